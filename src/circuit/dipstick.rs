//! The stick: a path of the blade through the sump, from the tip upwards.

use std::sync::Arc;

use super::CircuitError;
use crate::numeric::lanes::Lanes;

/// Path of the blade, tip first, in the body frame (metres).
#[derive(Debug, Clone, PartialEq)]
pub struct StickPath {
    points: Vec<[f64; 3]>,
    /// Distance from the tip along the blade at each point; strictly rising.
    along: Arc<[f64]>,
}

/// Where a free surface meets the stick.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wetting {
    /// On the blade.
    OnBlade,
    /// The surface stands below the tip: the stick comes out dry.
    BelowTip,
    /// The surface stands above the top of the path.
    AboveBlade,
}

impl StickPath {
    /// Takes the points of the path in mm, tip first; at least two, none repeated, each above the last.
    pub(crate) fn from_mm(points_mm: &[[f64; 3]]) -> Result<Self, CircuitError> {
        let bad = |message: String| CircuitError::BadPath { message };
        if points_mm.len() < 2 {
            let given = if points_mm.is_empty() { "no point" } else { "1 point" };
            return Err(bad(format!("{given} given; at least two are needed, tip first")));
        }
        if let Some(i) = points_mm.iter().position(|p| p.iter().any(|c| !c.is_finite())) {
            return Err(bad(format!("point {i} is not finite: {:?}", points_mm[i])));
        }
        let points: Vec<[f64; 3]> = points_mm.iter().map(|p| p.map(|c| c * 1e-3)).collect();
        let mut along = vec![0.0];
        for (i, pair) in points.windows(2).enumerate() {
            if pair[1][2] <= pair[0][2] {
                return Err(bad(format!(
                    "point {} at z = {} mm does not rise above point {i} at z = {} mm; the tip comes first",
                    i + 1,
                    points_mm[i + 1][2],
                    points_mm[i][2]
                )));
            }
            let step = (0..3).map(|k| (pair[1][k] - pair[0][k]).powi(2)).sum::<f64>().sqrt();
            along.push(along[i] + step);
        }
        Ok(Self { points, along: along.into() })
    }

    /// Length of the path (m).
    pub(crate) fn length(&self) -> f64 {
        self.along[self.along.len() - 1]
    }

    /// The point at distance `s` from the tip (m), held to the path.
    pub(crate) fn point_at(&self, s: f64) -> [f64; 3] {
        let s = s.clamp(0.0, self.length());
        let i = self.segment(|k| self.along[k] <= s);
        let t = (s - self.along[i]) / (self.along[i + 1] - self.along[i]);
        let (p, q) = (self.points[i], self.points[i + 1]);
        std::array::from_fn(|k| p[k] + t * (q[k] - p[k]))
    }

    /// Heights of the points along `up` (m).
    pub(crate) fn heights(&self, up: [f64; 3]) -> StickHeights {
        StickHeights { heights: self.points.iter().map(|p| dot(*p, up)).collect(), along: Arc::clone(&self.along) }
    }

    /// Heights of the points along one or several `up`, each with the bits of [`StickPath::heights`], in place of those that are there.
    #[inline(always)]
    #[allow(clippy::inline_always)] // so that it is compiled for the widest instructions
    pub(crate) fn turn<X: Lanes>(&self, up: [X; 3], heights: &mut [X]) {
        for (height, point) in heights.iter_mut().zip(&self.points) {
            let [x, y, z] = point.map(X::splat);
            *height = x * up[0] + y * up[1] + z * up[2];
        }
    }

    /// Last segment whose lower point satisfies `reached`.
    fn segment(&self, reached: impl Fn(usize) -> bool) -> usize {
        (0..self.along.len() - 1).rev().find(|&k| reached(k)).unwrap_or(0)
    }
}

/// The stick at one attitude: heights of its points along *up*, ready for repeated readings.
#[derive(Debug, Clone, PartialEq)]
pub struct StickHeights {
    heights: Vec<f64>,
    along: Arc<[f64]>,
}

impl StickHeights {
    /// Distance from the tip at which a free surface at height `surface` (along *up*, m) crosses the blade.
    #[inline]
    pub(crate) fn reading(&self, surface: f64) -> (f64, Wetting) {
        self.reading_on(surface, |k| self.heights[k])
    }

    /// As [`StickHeights::reading`], where the points of the path stand at these heights.
    #[inline]
    fn reading_on(&self, surface: f64, height: impl Fn(usize) -> f64) -> (f64, Wetting) {
        if surface < height(0) {
            return (0.0, Wetting::BelowTip);
        }
        for k in 1..self.along.len() {
            let [low, high] = [height(k - 1), height(k)];
            if surface <= high && high > low {
                let [from, to] = [self.along[k - 1], self.along[k]];
                return (from + (surface - low) / (high - low) * (to - from), Wetting::OnBlade);
            }
        }
        (self.length(), Wetting::AboveBlade)
    }

    /// The heights of its points, tip first (m).
    pub(crate) fn heights(&self) -> &[f64] {
        &self.heights
    }

    /// [`StickHeights::reading_from`] of several surfaces, each with the same bits, where all meet the blade in one piece of it; the
    /// points of the path stand at these heights.
    #[inline(always)]
    #[allow(clippy::inline_always)] // so that it is compiled for the widest instructions
    pub(crate) fn readings_from<X: Lanes>(&self, surface: X, longer: X, height: impl Fn(usize) -> X) -> Option<X> {
        let k = (1..self.along.len()).find(|&k| surface.lane(0) <= height(k).lane(0))?;
        let ([low, high], [from, to]) = ([height(k - 1), height(k)], [self.along[k - 1], self.along[k]]);
        // Of a blade that rises no earlier piece is met.
        let rises = (1..k).all(|j| (height(j) - height(j - 1)).all(|rise| rise >= 0.0));
        let inside = (surface - low).all(|over| over > 0.0) && (high - surface).all(|under| under >= 0.0);
        let met = X::splat(from) + (surface - low) / (high - low) * (to - from) + longer;
        (rises && inside && met.all(|met| met >= 0.0)).then_some(met)
    }

    /// [`StickHeights::height_at`] of several distances, each with the same bits; the points of the path stand at these heights.
    #[inline(always)]
    #[allow(clippy::inline_always)] // so that it is compiled for the widest instructions
    pub(crate) fn heights_at<X: Lanes>(&self, s: X, height: impl Fn(usize) -> X) -> X {
        let s = s.at_most(self.length());
        let piece = |s: f64| self.segment(|along| along <= s);
        let i = piece(s.lane(0));
        if self.along.len() > 2 && s.any(|s| piece(s) != i) {
            let at = |i: usize, lane: usize| height(i).lane(lane);
            return X::from_lanes(|lane| self.between(piece(s.lane(lane)), s.lane(lane), |i| at(i, lane)));
        }
        self.between(i, s, height)
    }

    /// Height of the point at distance `s` from the tip, in a piece of the path.
    #[inline(always)]
    #[allow(clippy::inline_always)] // likewise
    fn between<X: Lanes>(&self, i: usize, s: X, height: impl Fn(usize) -> X) -> X {
        let t = (s - X::splat(self.along[i])) / (self.along[i + 1] - self.along[i]);
        height(i) + t * (height(i + 1) - height(i))
    }

    /// As [`StickHeights::reading`], for a stick whose tip hangs lower by `longer` (m): distance from that tip, the first
    /// piece of the path extended downwards; the points of the path stand at these heights.
    #[inline]
    pub(crate) fn reading_from(&self, surface: f64, longer: f64, height: impl Fn(usize) -> f64) -> (f64, Wetting) {
        let (crossing, wetting) = self.reading_on(surface, &height);
        if longer == 0.0 || wetting != Wetting::BelowTip {
            return if crossing + longer < 0.0 { (0.0, Wetting::BelowTip) } else { (crossing + longer, wetting) };
        }
        let below = (surface - height(0)) / ((height(1) - height(0)) / self.along[1]);
        if below + longer < 0.0 { (0.0, Wetting::BelowTip) } else { (below + longer, Wetting::OnBlade) }
    }

    /// Height along *up* of the blade's point at distance `s` from the tip (m); below the tip the first piece is extended.
    pub(crate) fn height_at(&self, s: f64) -> f64 {
        self.heights_at(s, |i| self.heights[i])
    }

    /// Rise along *up* per length of blade just below distance `s` from the tip (m/m).
    pub(crate) fn rise_at(&self, s: f64) -> f64 {
        let i = self.segment(|along| along < s);
        (self.heights[i + 1] - self.heights[i]) / (self.along[i + 1] - self.along[i])
    }

    /// Last segment whose lower point satisfies `reached`.
    fn segment(&self, reached: impl Fn(f64) -> bool) -> usize {
        (0..self.along.len() - 1).rev().find(|&k| reached(self.along[k])).unwrap_or(0)
    }

    /// Length of the blade (m).
    pub(crate) fn length(&self) -> f64 {
        self.along[self.along.len() - 1]
    }
}

pub(crate) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::lanes::Eight;

    /// A bent stick, leaned by another angle in each of eight draws.
    fn bent() -> (StickPath, [Eight; 3]) {
        let path = StickPath::from_mm(&[[0.0, 0.0, 0.0], [10.0, 5.0, 60.0], [40.0, 5.0, 130.0], [42.0, 9.0, 300.0]]);
        let tilt = |i: usize| 0.02 * (i as f64 - 3.0);
        let up = [Eight::from_lanes(|i| tilt(i).sin()), Eight::splat(0.0), Eight::from_lanes(|i| tilt(i).cos())];
        (path.unwrap(), up)
    }

    #[test]
    fn eight_draws_have_the_heights_and_readings_of_one() {
        let (path, up) = bent();
        let one = |i: usize| path.heights(up.map(|x| x.lane(i)));
        let mut heights = vec![Eight::splat(0.0); 4];
        path.turn(up, &mut heights);
        let stick = one(0);
        // In one piece, in several, at a bend, below the tip and beyond the end.
        let places: [fn(usize) -> f64; 4] =
            [|i| 0.07 + 1e-3 * i as f64, |i| 0.04 * i as f64, |_| 0.0, |i| 0.1 * i as f64 - 0.1];
        for place in places {
            let at = stick.heights_at(Eight::from_lanes(place), |k| heights[k]);
            (0..8).for_each(|i| assert_eq!(at.lane(i).to_bits(), one(i).height_at(place(i)).to_bits()));
        }
        // All meet the second piece; then the last draw stands above a bend, which is left to one draw at a time.
        let (level, longer) = (Eight::from_lanes(|i| 0.08 + 2e-3 * i as f64), Eight::splat(2e-3));
        let met = stick.readings_from(level, longer, |k| heights[k]).unwrap();
        (0..8).for_each(|i| {
            assert_eq!(
                (met.lane(i), Wetting::OnBlade),
                one(i).reading_from(level.lane(i), 2e-3, |k| one(i).heights[k])
            );
        });
        let mut apart = level;
        apart.set_lane(7, 0.2);
        assert_eq!(stick.readings_from(apart, longer, |k| heights[k]), None);
    }
}
