//! A rectangular distribution between limits that are themselves known only within an interval: the curvilinear trapezoid
//! of JCGM 101:2008, 6.4.3.

/// Terms of the series that replaces a difference of nearly equal numbers.
const TERMS: u32 = 14;
/// Below this the series is used: its next term is then below rounding.
const SMALL: f64 = 0.1;
/// Newton steps; convergence is from one side and takes five or six.
const STEPS: u32 = 50;

/// Its middle, and the least and greatest half-width.
#[derive(Debug, Clone, Copy)]
pub(super) struct InexactLimits {
    middle: f64,
    inner: f64,
    outer: f64,
}

impl InexactLimits {
    pub(super) fn new(low: f64, high: f64, within: f64) -> Self {
        let half = 0.5 * (high - low);
        Self { middle: f64::midpoint(low, high), inner: half - within, outer: half + within }
    }

    pub(super) fn cdf(&self, x: f64) -> f64 {
        let above = self.beyond((x - self.middle).abs());
        if x > self.middle { 1.0 - above } else { above }
    }

    /// Probability of lying farther than `y` above the middle: the integral of the density of JCGM 101, 6.4.3.2,
    /// `ln(outer / max(y, inner)) / (2 (outer - inner))`.
    fn beyond(&self, y: f64) -> f64 {
        let Self { inner, outer, .. } = *self;
        if y >= outer {
            return 0.0;
        }
        let width = 2.0 * (outer - inner);
        if y >= inner { outer * bend(1.0 - y / outer) / width } else { 0.5 - y * (outer / inner).ln() / width }
    }

    pub(super) fn quantile(&self, p: f64) -> f64 {
        let tail = p.min(1.0 - p);
        let Self { inner, outer, .. } = *self;
        let width = 2.0 * (outer - inner);
        let y = if tail < self.beyond(inner) {
            outer * (1.0 - unbend(tail * width / outer))
        } else {
            (0.5 - tail) * width / (outer / inner).ln()
        };
        if p < 0.5 { self.middle - y } else { self.middle + y }
    }
}

/// `t + (1 - t) ln(1 - t)`, which is `t²/2 + t³/6 + ... + t^k / (k (k - 1))`.
fn bend(t: f64) -> f64 {
    if t >= 1.0 {
        return 1.0;
    }
    if t > SMALL {
        return t + (1.0 - t) * (-t).ln_1p();
    }
    (2..TERMS + 2).rev().map(f64::from).fold(0.0, |sum, k| sum * t + 1.0 / (k * (k - 1.0))) * t * t
}

/// The `t` in [0, 1] with `bend(t) = c`. The bend is convex and above `t²/2`, so Newton's method falls towards it.
fn unbend(c: f64) -> f64 {
    let mut t = (2.0 * c).sqrt().min(1.0 - f64::EPSILON);
    for _ in 0..STEPS {
        let slope = -(-t).ln_1p();
        let step = if slope > 0.0 { (bend(t) - c) / slope } else { 0.0 };
        t -= step;
        if step.abs() <= f64::EPSILON * t {
            break;
        }
    }
    t
}
