//! Cylinders with every kind of end at every kind of attitude against quadrature of circular segments along the axis, levels
//! counted from the true lowest point.

use std::f64::consts::{FRAC_PI_2, PI};

use super::super::{Attitude, Axis, Cylinder, End, Sump};
use super::support::at;
use uom::si::f64::Length;
use uom::si::length::meter;

const RADIUS: f64 = 0.12;
const LENGTH: f64 = 0.2;

/// An end by the textbook: how deep it is and its radius at a distance `u` beyond the barrel.
#[derive(Clone, Copy)]
enum Dish {
    Flat,
    /// A sphere's cap of this depth.
    Cap(f64),
    /// 2:1, half an ellipsoid half as deep as its radius.
    Ellipsoid,
    /// A sphere of this radius, then a torus of that.
    Torisphere(f64, f64),
}

impl Dish {
    fn end(self) -> End {
        let m = Length::new::<meter>;
        match self {
            Self::Flat => End::Flat,
            Self::Cap(depth) => End::Spherical { depth: m(depth) },
            Self::Ellipsoid => End::Ellipsoidal { depth: m(RADIUS / 2.0) },
            Self::Torisphere(f, k) => End::Torispherical { crown: f / (2.0 * RADIUS), knuckle: k / (2.0 * RADIUS) },
        }
    }

    fn depth(self) -> f64 {
        match self {
            Self::Flat => 0.0,
            Self::Cap(depth) => depth,
            Self::Ellipsoid => RADIUS / 2.0,
            Self::Torisphere(f, k) => f - ((f - k).powi(2) - (RADIUS - k).powi(2)).sqrt(),
        }
    }

    fn radius(self, u: f64) -> f64 {
        match self {
            Self::Flat => RADIUS,
            Self::Cap(depth) => {
                let sphere = (RADIUS * RADIUS + depth * depth) / (2.0 * depth);
                (sphere * sphere - (u + sphere - depth).powi(2)).max(0.0).sqrt()
            }
            Self::Ellipsoid => RADIUS * (1.0 - (2.0 * u / RADIUS).powi(2)).max(0.0).sqrt(),
            Self::Torisphere(f, k) => {
                let centre = self.depth() - f;
                // Sphere and torus touch on the line through their centres.
                let meet = -centre * k / (f - k);
                if u > meet {
                    (f * f - (u - centre).powi(2)).max(0.0).sqrt()
                } else {
                    RADIUS - k + (k * k - u * u).max(0.0).sqrt()
                }
            }
        }
    }
}

/// Area of a circle of radius `r` about the origin below the line at height `y`.
fn segment(r: f64, y: f64) -> f64 {
    if r <= 0.0 || y <= -r {
        return 0.0;
    }
    if y >= r {
        return PI * r * r;
    }
    r * r * (y / r).asin() + y * (r * r - y * y).sqrt() + FRAC_PI_2 * r * r
}

/// Integral by adaptive Simpson's rule.
fn integral(f: &dyn Fn(f64) -> f64, a: f64, b: f64, error: f64) -> f64 {
    fn part(f: &dyn Fn(f64) -> f64, [a, b]: [f64; 2], [fa, fm, fb]: [f64; 3], error: f64, depth: u32) -> f64 {
        let m = f64::midpoint(a, b);
        let (fl, fr) = (f(f64::midpoint(a, m)), f(f64::midpoint(m, b)));
        let simpson = |w: f64, [x, y, z]: [f64; 3]| w / 6.0 * (x + 4.0 * y + z);
        let (whole, halves) =
            (simpson(b - a, [fa, fm, fb]), simpson(m - a, [fa, fl, fm]) + simpson(b - m, [fm, fr, fb]));
        if depth == 0 || (halves - whole).abs() < 15.0 * error {
            return halves + (halves - whole) / 15.0;
        }
        part(f, [a, m], [fa, fl, fm], error / 2.0, depth - 1) + part(f, [m, b], [fm, fr, fb], error / 2.0, depth - 1)
    }
    if b <= a {
        return 0.0;
    }
    // In steps first, so that nothing narrow is overlooked.
    let steps: Vec<f64> = (0..=16u8).map(|i| a + (b - a) * f64::from(i) / 16.0).collect();
    let all = |w: &[f64]| part(f, [w[0], w[1]], [f(w[0]), f(f64::midpoint(w[0], w[1])), f(w[1])], error / 16.0, 30);
    steps.windows(2).map(all).sum()
}

/// A vessel along `s`: rear (low) dish, barrel from 0 to [`LENGTH`], front (high) dish.
struct Vessel {
    ends: [Dish; 2],
}

impl Vessel {
    fn radius(&self, s: f64) -> f64 {
        if s < 0.0 {
            self.ends[0].radius(-s)
        } else if s > LENGTH {
            self.ends[1].radius(s - LENGTH)
        } else {
            RADIUS
        }
    }

    /// Ends and joints along the axis.
    fn joints(&self) -> [f64; 4] {
        [-self.ends[0].depth(), 0.0, LENGTH, LENGTH + self.ends[1].depth()]
    }

    /// Lowest height, the axis rising by `g` a metre and its cross-sections by `q`: a search along the axis.
    fn lowest(&self, g: f64, q: f64) -> f64 {
        let height = |s: f64| s * g - self.radius(s) * q;
        let joints = self.joints();
        let mut low = joints.into_iter().map(height).fold(f64::INFINITY, f64::min);
        for w in joints.windows(2).filter(|w| w[1] > w[0]) {
            // By angle, so that steps get small where a dish is steep; then thirds of the best step.
            let along = |t: f64| f64::midpoint(w[0], w[1]) - (w[1] - w[0]) / 2.0 * t.cos();
            let best = (0..=2000)
                .map(|i| PI * f64::from(i) / 2000.0)
                .min_by(|a, b| height(along(*a)).total_cmp(&height(along(*b))));
            let best = best.unwrap();
            let (mut a, mut b) = ((best - PI / 2000.0).max(0.0), (best + PI / 2000.0).min(PI));
            for _ in 0..100 {
                let (l, r) = (a + (b - a) / 3.0, b - (b - a) / 3.0);
                if height(along(l)) < height(along(r)) { b = r } else { a = l }
            }
            low = low.min(height(along(f64::midpoint(a, b))));
        }
        low
    }

    /// Volume below a height.
    fn volume(&self, height: f64, g: f64, q: f64) -> f64 {
        let joints = self.joints();
        let parts = joints.windows(2).map(|w| {
            // s = middle - half cos t: smooth where a dish ends in its pole or meets the barrel at a right angle.
            let (middle, half) = (f64::midpoint(w[0], w[1]), (w[1] - w[0]) / 2.0);
            let slice = |t: f64| {
                let s = middle - half * t.cos();
                let y = height - s * g;
                let area = if q > 1e-12 { segment(self.radius(s), y / q) } else { segment(self.radius(s), y * 1e12) };
                area * half * t.sin()
            };
            integral(&slice, 0.0, PI, 1e-10 * PI * RADIUS * RADIUS * LENGTH)
        });
        parts.sum()
    }
}

/// Largest difference over levels and attitudes, as a fraction of the capacity.
fn worst(axis: Axis, ends: [Dish; 2], attitudes: &[Attitude]) -> f64 {
    let m = Length::new::<meter>;
    let c = Cylinder {
        diameter: m(2.0 * RADIUS),
        length: m(LENGTH),
        axis,
        ends: ends.map(Dish::end),
        facet_tolerance: 1e-5,
    };
    let (sump, vessel) = (Sump::cylinder(&c).unwrap(), Vessel { ends });
    let mut worst = 0.0f64;
    for attitude in attitudes {
        let up = attitude.up();
        let g = match axis {
            Axis::Upright => up[2],
            Axis::AlongX => up[0],
            Axis::AlongY => up[1],
        };
        let q = (1.0 - g * g).max(0.0).sqrt();
        let (low, high) = (vessel.lowest(g, q), -vessel.lowest(-g, q));
        let curve = sump.curve(*attitude).unwrap();
        assert!((curve.height_si() - (high - low)).abs() < 1e-9, "{axis:?} {attitude}: height");
        for i in 1..20u8 {
            let level = (high - low) * f64::from(i) / 20.0;
            let want = vessel.volume(low + level, g, q);
            worst = worst.max((curve.volume_si(level).unwrap() - want).abs() / sump.capacity_si());
        }
    }
    worst
}

#[test]
fn ends_of_every_kind_keep_the_default_tolerance_at_every_attitude() {
    let dishes = [Dish::Flat, Dish::Cap(0.05), Dish::Cap(RADIUS), Dish::Ellipsoid, Dish::Torisphere(0.24, 0.0144)];
    let attitudes =
        [(0.0, 0.0), (1.0, 0.3), (-2.7, 1.9), (0.0, 5.0), (8.0, -3.0), (-14.0, 0.0), (33.0, 12.0), (75.0, -20.0)];
    let attitudes = attitudes.map(|(p, r)| at(p, r));
    for axis in [Axis::Upright, Axis::AlongX, Axis::AlongY] {
        for (i, dish) in dishes.iter().enumerate() {
            let ends = [*dish, dishes[(i + 1) % dishes.len()]];
            let worst = worst(axis, ends, &attitudes);
            assert!(worst <= 1e-5, "{axis:?}, ends {i} and the next: {worst:e} of the capacity");
        }
    }
}
