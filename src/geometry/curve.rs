//! The level-volume curve of one sump at one attitude, prepared once and then cheap to read.

use uom::si::area::square_meter;
use uom::si::f64::{Area, Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::attitude::Attitude;
use super::error::GeometryError;
use super::kernel::{Side, View};
use super::knots::Knots;
use super::lookup::Lookup;
use super::mesh::ClosedMesh;
use super::ramp::{self, Cubic};
use super::vector::dot;
use crate::numeric::lanes::Lanes;

/// How far outside its range a level may be and still count as its end: rounding, not a mistake \[m\].
const LEVEL_SLACK: f64 = 1e-12;
/// The same for a volume, as a fraction of the capacity.
const VOLUME_SLACK: f64 = 1e-12;

/// Volume below every level of one sump at one attitude, exact between knots.
///
/// *Level* is the height of the free surface above the sump's lowest point at that attitude, along *up*. Between the
/// heights of the mesh's vertices the volume is a cubic of the level; its derivative, the free surface, is continuous
/// except where a face is horizontal. The cubics are exact, so reading the curve equals summing over the triangles
/// (within 1e-12 of the capacity).
#[derive(Debug, Clone)]
pub struct LevelCurve {
    attitude: Attitude,
    /// Height of the lowest point along *up* in the body frame \[m\].
    datum: f64,
    z: Vec<f64>,
    v: Vec<f64>,
    cubic: Vec<Cubic>,
    by_level: Lookup,
    by_volume: Lookup,
}

/// One interval of a [`LevelCurve`], kept between questions at neighbouring levels.
#[derive(Debug, Clone, Copy, Default)]
pub struct Interval {
    /// Levels from and to; none before the first question.
    z: [f64; 2],
    v: [f64; 2],
    cubic: Cubic,
}

impl Interval {
    /// Volume at a level, if it lies in the interval.
    #[inline]
    fn volume(&self, level: f64) -> Option<f64> {
        let [from, to] = self.z;
        if !(from <= level && level < to) {
            return None;
        }
        let [low, high] = self.v;
        let volume = value(self.cubic, level - from);
        // As `clamp` does, whose check of its limits would be made for every level.
        let volume = if volume < low { low } else { volume };
        Some(if volume > high { high } else { volume })
    }
}

impl LevelCurve {
    /// Prepares the curve of `mesh` at `attitude`.
    pub(crate) fn of_mesh(mesh: &ClosedMesh, attitude: Attitude) -> Self {
        let view = View::new(mesh, attitude.up_si());
        let knots = Knots::new(&view.heights);
        let cubic = ramp::sum(&knots, &mesh.faces, |i| view.weight(i)).cubic;
        Self::from_pieces(attitude, view.datum, knots.z, cubic, mesh.volume_si())
    }

    /// The curve of a part of `mesh` that the given faces bound, for levels in `range` only; `capacity` is its volume
    /// at the upper end. Heights and datum are those of the whole.
    pub(crate) fn of_part(
        mesh: &ClosedMesh,
        heights: &[f64],
        attitude: Attitude,
        datum: f64,
        faces: &[usize],
        range: [f64; 2],
        capacity: f64,
    ) -> Self {
        let up = attitude.up_si();
        let corners: Vec<f64> = faces.iter().flat_map(|i| mesh.faces[*i]).map(|v| heights[v as usize]).collect();
        let knots = Knots::new(&corners);
        let own: Vec<[u32; 3]> = (0u32..).step_by(3).take(faces.len()).map(|i| [i, i + 1, i + 2]).collect();
        let cubic = ramp::sum(&knots, &own, |i| -dot(mesh.area[faces[i]], up)).cubic;
        let (z, cubic) = ramp::cut(&knots.z, &cubic, range);
        Self::from_pieces(attitude, datum, z, cubic, capacity)
    }

    /// A curve through pairs, straight between them, whose level 0 lies at the height `datum` in the body frame. `z` and `v`
    /// must rise.
    pub(crate) fn of_pairs(attitude: Attitude, datum: f64, z: Vec<f64>, v: &[f64]) -> Self {
        let cubic =
            (z.windows(2).zip(v.windows(2))).map(|(z, v)| [v[0], (v[1] - v[0]) / (z[1] - z[0]), 0.0, 0.0]).collect();
        let capacity = v[v.len() - 1];
        Self::from_pieces(attitude, datum, z, cubic, capacity)
    }

    /// Takes the polynomials; the volume at knots is made to rise and to end at the capacity to the last digit.
    fn from_pieces(attitude: Attitude, datum: f64, z: Vec<f64>, mut cubic: Vec<Cubic>, capacity: f64) -> Self {
        let mut highest: f64 = 0.0;
        for c in &mut cubic {
            highest = c[0].clamp(highest, capacity.max(highest));
            c[0] = highest;
        }
        let v: Vec<f64> = cubic.iter().map(|c| c[0]).chain([capacity]).collect();
        let (by_level, by_volume) = (Lookup::new(&z), Lookup::new(&v));
        Self { attitude, datum, z, v, cubic, by_level, by_volume }
    }

    /// The attitude the curve was prepared for.
    pub fn attitude(&self) -> Attitude {
        self.attitude
    }

    /// Volume of liquid below `level`.
    ///
    /// Refused outside 0 to [`LevelCurve::height`] (a table: outside its first and last row).
    pub fn volume(&self, level: Length) -> Result<Volume, GeometryError> {
        self.volume_si(level.get::<meter>()).map(Volume::new::<cubic_meter>)
    }

    /// Level at which `volume` stands: the inverse of [`LevelCurve::volume`].
    ///
    /// Refused below 0 and above the capacity, saying by how much.
    pub fn level(&self, volume: Volume) -> Result<Length, GeometryError> {
        self.level_si(volume.get::<cubic_meter>()).map(Length::new::<meter>)
    }

    /// Area of the free surface at `level`, which is the derivative of the volume. Where it jumps (a horizontal face)
    /// this is its value just above, at the top just below; [`LevelCurve::free_surface_on`] gives both.
    pub fn free_surface(&self, level: Length) -> Result<Area, GeometryError> {
        self.free_surface_si(level.get::<meter>()).map(Area::new::<square_meter>)
    }

    /// Area of the free surface just below or just above `level`: zero below the lowest and above the highest point.
    pub fn free_surface_on(&self, level: Length, side: Side) -> Result<Area, GeometryError> {
        self.free_surface_on_si(level.get::<meter>(), side).map(Area::new::<square_meter>)
    }

    /// The highest level: the height of the sump at this attitude.
    pub fn height(&self) -> Length {
        Length::new::<meter>(self.height_si())
    }

    /// Volume at the highest level.
    pub fn capacity(&self) -> Volume {
        Volume::new::<cubic_meter>(self.capacity_si())
    }

    /// Height of the lowest point along *up* in the body frame: level plus datum is the height of the free surface as
    /// the body sees it.
    pub fn datum(&self) -> Length {
        Length::new::<meter>(self.datum)
    }

    /// Levels at which the polynomial changes, rising, in metres.
    pub fn knots(&self) -> &[f64] {
        &self.z
    }

    /// [`LevelCurve::volume`] in metres and cubic metres.
    #[inline]
    pub fn volume_si(&self, level: f64) -> Result<f64, GeometryError> {
        let level = self.accept_level(level)?;
        Ok(self.volume_at(level))
    }

    /// [`LevelCurve::volume_si`] with a memory of the interval that the last level fell into (start with the default):
    /// neighbouring levels need no search. The same bits.
    #[inline]
    pub fn volume_near_si(&self, level: f64, last: &mut Interval) -> Result<f64, GeometryError> {
        if let Some(volume) = last.volume(level) {
            return Ok(volume);
        }
        self.volume_elsewhere(level, last)
    }

    /// The same for a level outside the interval of the last.
    fn volume_elsewhere(&self, level: f64, last: &mut Interval) -> Result<f64, GeometryError> {
        let level = self.accept_level(level)?;
        if level >= self.height_si() {
            return Ok(self.capacity_si());
        }
        *last = self.interval(self.by_level.interval(&self.z, level));
        Ok(value(last.cubic, level - last.z[0]).clamp(last.v[0], last.v[1]))
    }

    fn interval(&self, i: usize) -> Interval {
        Interval { z: [self.z[i], self.z[i + 1]], v: [self.v[i], self.v[i + 1]], cubic: self.cubic[i] }
    }

    /// Room left above a level: the capacity less the volume below it, in metres and cubic metres.
    pub fn ullage_si(&self, level: f64) -> Result<f64, GeometryError> {
        Ok(self.capacity_si() - self.volume_si(level)?)
    }

    /// [`LevelCurve::level`] in cubic metres and metres.
    #[inline]
    pub fn level_si(&self, volume: f64) -> Result<f64, GeometryError> {
        let volume = self.accept_volume(volume)?;
        Ok(self.level_at(volume))
    }

    /// [`LevelCurve::free_surface`] in metres and square metres.
    pub fn free_surface_si(&self, level: f64) -> Result<f64, GeometryError> {
        let side = if level >= self.height_si() { Side::Below } else { Side::Above };
        self.free_surface_on_si(level, side)
    }

    /// [`LevelCurve::free_surface_on`] in metres and square metres.
    pub fn free_surface_on_si(&self, level: f64, side: Side) -> Result<f64, GeometryError> {
        let level = self.accept_level(level)?;
        let mut i = self.by_level.interval(&self.z, level);
        match side {
            Side::Above if level >= self.height_si() => return Ok(0.0),
            Side::Below if level <= self.z[0] => return Ok(0.0),
            Side::Below if level <= self.z[i] => i -= 1,
            _ => {}
        }
        Ok(slope(self.cubic[i], level - self.z[i]).max(0.0))
    }

    /// [`LevelCurve::height`] in metres.
    pub fn height_si(&self) -> f64 {
        self.z[self.z.len() - 1]
    }

    /// [`LevelCurve::capacity`] in cubic metres.
    pub fn capacity_si(&self) -> f64 {
        self.v[self.v.len() - 1]
    }

    /// [`LevelCurve::datum`] in metres.
    pub fn datum_si(&self) -> f64 {
        self.datum
    }

    /// Volume below a level that is known to be in range (others give the nearest end).
    #[inline]
    pub(crate) fn volume_at(&self, level: f64) -> f64 {
        if level >= self.height_si() {
            return self.capacity_si();
        }
        let level = level.max(self.z[0]);
        let i = self.by_level.interval(&self.z, level);
        value(self.cubic[i], level - self.z[i]).clamp(self.v[i], self.v[i + 1])
    }

    /// Volumes below levels that are known to be in range (others give the nearest end), with the bits of [`LevelCurve::volume_at`].
    #[inline(always)]
    #[allow(clippy::inline_always)] // so that it is compiled for the widest instructions
    pub(crate) fn volumes_at<X: Lanes>(&self, levels: X) -> X {
        if X::COUNT == 1 || levels.any(|level| level >= self.height_si()) {
            return levels.map(|level| self.volume_at(level));
        }
        let levels = levels.at_least(self.z[0]);
        let at = X::each(|i| self.by_level.interval(&self.z, levels.lane(i)));
        let from = X::from_lanes(|i| self.z[at.as_ref()[i]]);
        let ends = [0, 1].map(|end| X::from_lanes(|i| self.v[at.as_ref()[i] + end]));
        let term = |n: usize| X::from_lanes(|i| self.cubic[at.as_ref()[i]][n]);
        let over = levels - from;
        let volume = term(0) + over * (term(1) + over * (term(2) + over * term(3)));
        volume
            .with(ends[0], |v, low| if v < low { low } else { v })
            .with(ends[1], |v, high| if v > high { high } else { v })
    }

    /// Level of a volume that is known to be in range (others give the nearest end).
    #[inline]
    pub(crate) fn level_at(&self, volume: f64) -> f64 {
        let volume = volume.clamp(self.v[0], self.capacity_si());
        if volume <= self.v[0] {
            return self.z[0];
        }
        let i = self.by_volume.interval(&self.v, volume);
        let width = self.z[i + 1] - self.z[i];
        if volume >= self.v[i + 1] {
            return self.z[i + 1];
        }
        self.z[i] + root(self.cubic[i], volume, width)
    }

    /// Levels of volumes that are known to be in range (others give the nearest end), with the bits of [`LevelCurve::level_at`]:
    /// at once where all lie in one interval.
    pub(crate) fn levels_at<X: Lanes>(&self, volumes: X) -> X {
        if X::COUNT > 1 && volumes.all(|volume| volume > self.v[0]) {
            let i = self.by_volume.interval(&self.v, volumes.lane(0));
            let (from, width) = (self.z[i], self.z[i + 1] - self.z[i]);
            let together = volumes.all(|volume| self.v[i] <= volume && volume < self.v[i + 1]);
            if together && is_straight(self.cubic[i]) {
                return X::splat(from) + on_line(self.cubic[i], volumes, width);
            }
            if together && let Some(over) = roots(self.cubic[i], volumes, width) {
                return X::splat(from) + over;
            }
        }
        volumes.map(|volume| self.level_at(volume))
    }

    #[inline]
    pub(super) fn accept_level(&self, level: f64) -> Result<f64, GeometryError> {
        let (low, high) = (self.z[0], self.height_si());
        if level >= low && level <= high {
            return Ok(level);
        }
        self.refuse_level(level, low, high)
    }

    #[cold]
    fn refuse_level(&self, level: f64, low: f64, high: f64) -> Result<f64, GeometryError> {
        crate::numeric::check::finite("level", level)?;
        if level >= low - LEVEL_SLACK && level <= high + LEVEL_SLACK {
            return Ok(level.clamp(low, high));
        }
        Err(GeometryError::LevelOutside {
            level_mm: level * 1e3,
            low_mm: low * 1e3,
            height_mm: high * 1e3,
            nose_up_deg: self.attitude.nose_up_deg(),
            right_down_deg: self.attitude.right_down_deg(),
        })
    }

    #[inline]
    fn accept_volume(&self, volume: f64) -> Result<f64, GeometryError> {
        let (low, high) = (self.v[0], self.capacity_si());
        if volume >= low && volume <= high {
            return Ok(volume);
        }
        refuse_volume(volume, low, high)
    }
}

#[cold]
fn refuse_volume(volume: f64, low: f64, high: f64) -> Result<f64, GeometryError> {
    crate::numeric::check::finite("volume", volume)?;
    let slack = VOLUME_SLACK * high;
    if volume > high + slack {
        let (volume_l, capacity_l) = (volume * 1e3, high * 1e3);
        return Err(GeometryError::VolumeAboveCapacity { volume_l, capacity_l, excess_l: (volume - high) * 1e3 });
    }
    if volume < low - slack {
        return Err(GeometryError::VolumeBelow { volume_l: volume * 1e3, low_l: low * 1e3 });
    }
    Ok(volume.clamp(low, high))
}

#[inline]
fn value([c0, c1, c2, c3]: Cubic, t: f64) -> f64 {
    c0 + t * (c1 + t * (c2 + t * c3))
}

#[inline]
fn slope<X: Lanes>([_, c1, c2, c3]: Cubic, t: X) -> X {
    X::splat(c1) + t * (X::splat(2.0 * c2) + t * 3.0 * c3)
}

/// Where a cubic that rises from 0 to `width` takes `target`: Newton's method, held inside a shrinking bracket (a step
/// that leaves it is replaced by halving). It has arrived where the next step, some `step² f''/(2 f')`, would be lost in
/// rounding.
fn root(c: Cubic, target: f64, width: f64) -> f64 {
    if is_straight(c) {
        return on_line(c, target, width);
    }
    let (mut low, mut high) = (0.0, width);
    let mut t = straight(c, target, width);
    for _ in 0..80 {
        let (miss, rate) = (missed(c, target, t), slope(c, t));
        if miss > 0.0 {
            high = t;
        } else {
            low = t;
        }
        let newton = t - miss / rate;
        let inside = newton > low && newton < high;
        let next = if inside { newton } else { f64::midpoint(low, high) };
        if miss == 0.0 {
            return t;
        }
        let step = next - t;
        if step.abs() <= f64::EPSILON * width || (inside && is_last(step, half_bend(c, t), rate, width)) {
            return next;
        }
        t = next;
    }
    t
}

/// Steps that several draws may take together; most need two or three.
const STEPS_TOGETHER: usize = 8;

/// [`root`] for several targets at once, each with the same bits; none where one of them would have to halve its bracket.
#[inline(never)]
fn roots<X: Lanes>(c: Cubic, target: X, width: f64) -> Option<X> {
    let mut search = Search {
        at: target.map(|target| straight(c, target, width)),
        low: X::splat(0.0),
        high: X::splat(width),
        underway: X::splat(1.0),
    };
    for _ in 0..STEPS_TOGETHER {
        search.step(c, target, width)?;
        if search.underway.all(|underway| underway == 0.0) {
            return Some(search.at);
        }
    }
    None
}

/// Where several searches for a root stand.
struct Search<X> {
    at: X,
    low: X,
    high: X,
    /// 1 for each that is not there yet, else 0.
    underway: X,
}

impl<X: Lanes> Search<X> {
    /// A step of those that are underway; none where one of them leads out of its bracket.
    #[inline]
    #[allow(clippy::needless_bitwise_bool)] // no jump for each draw
    fn step(&mut self, c: Cubic, target: X, width: f64) -> Option<()> {
        let Self { at, low, high, underway } = *self;
        let (miss, rate) = (missed(c, target, at), slope(c, at));
        let newton = at - miss / rate;
        self.high = X::from_lanes(|i| if miss.lane(i) > 0.0 { at.lane(i) } else { high.lane(i) });
        self.low = X::from_lanes(|i| if miss.lane(i) > 0.0 { low.lane(i) } else { at.lane(i) });
        let stays = miss.with(underway, |miss, underway| if (miss == 0.0) | (underway == 0.0) { 1.0 } else { 0.0 });
        let inside = X::from_lanes(|i| {
            let inside = (newton.lane(i) > self.low.lane(i)) & (newton.lane(i) < self.high.lane(i));
            if inside { 1.0 } else { stays.lane(i) }
        });
        if inside.any(|inside| inside == 0.0) {
            return None;
        }
        self.at = X::from_lanes(|i| if stays.lane(i) == 0.0 { newton.lane(i) } else { at.lane(i) });
        let (step, bend) = (self.at - at, half_bend(c, at));
        self.underway = X::from_lanes(|i| {
            let small = step.lane(i).abs() <= f64::EPSILON * width;
            if small | is_last(step.lane(i), bend.lane(i), rate.lane(i), width) { 0.0 } else { underway.lane(i) }
        });
        Some(())
    }
}

/// Whether a cubic is a straight line that rises, as between upright walls and between the rows of a table.
#[inline]
fn is_straight([_, c1, c2, c3]: Cubic) -> bool {
    c2 == 0.0 && c3 == 0.0 && c1 > 0.0
}

/// Where a straight line that rises from 0 to `width` takes `target`.
#[inline]
fn on_line<X: Lanes>([c0, c1, ..]: Cubic, target: X, width: f64) -> X {
    ((target - X::splat(c0)) / c1).at_most(width)
}

/// Where the straight line between the ends of a cubic takes `target`.
#[inline]
fn straight(c: Cubic, target: f64, width: f64) -> f64 {
    let end = value(c, width) - c[0];
    if end > 0.0 { width * ((target - c[0]) / end).clamp(0.0, 1.0) } else { width / 2.0 }
}

/// By how much a cubic is over `target`.
#[inline]
fn missed<X: Lanes>([c0, c1, c2, c3]: Cubic, target: X, t: X) -> X {
    (X::splat(c0) - target) + t * (X::splat(c1) + t * (X::splat(c2) + t * c3))
}

/// Half the second derivative of a cubic.
#[inline]
fn half_bend<X: Lanes>([_, _, c2, c3]: Cubic, t: X) -> X {
    X::splat(c2) + t * 3.0 * c3
}

/// Whether the step after this one would be lost in rounding.
#[inline]
fn is_last(step: f64, half_bend: f64, rate: f64, width: f64) -> bool {
    (step * step * half_bend).abs() <= f64::EPSILON * width * rate
}

#[cfg(test)]
mod tests {
    use crate::circuit::Circuit;
    use crate::geometry::Attitude;
    use crate::numeric::lanes::{Eight, Lanes};

    /// Close together, far apart, and beyond either end.
    #[test]
    fn volumes_of_eight_levels_have_the_bits_of_one() {
        for name in ["shuttle-bus", "deck-generator"] {
            let circuit = Circuit::demo(name).unwrap();
            let curve = circuit.sump().prepare(Attitude::from_degrees(1.5, -0.7).unwrap()).unwrap();
            let height = curve.height_si();
            let sets: [[f64; 2]; 4] = [[0.45, 1e-4], [0.02, 0.13], [-0.1, 0.05], [0.7, 0.05]];
            for [from, step] in sets {
                let levels = Eight::from_lanes(|i| height * (from + step * i as f64));
                let volumes = curve.volumes_at(levels);
                (0..8).for_each(|i| assert_eq!(volumes.lane(i).to_bits(), curve.volume_at(levels.lane(i)).to_bits()));
            }
        }
    }
}
