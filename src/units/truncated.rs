//! A normal distribution cut off at limits, also where the limits lie far in a tail or close together.

use crate::numeric::normal;

/// Parent mean and standard deviation, and the limits in standard deviations from the mean.
#[derive(Debug, Clone, Copy)]
pub(super) struct Truncation {
    mean: f64,
    sd: f64,
    low: f64,
    high: f64,
    a: f64,
    b: f64,
}

/// Panels of the quadrature; each has five Gauss points.
const PANELS: u32 = 128;

/// Where `exp(-z^2 / 2)` has fallen to 1e-20 of its value at the peak `z0`: `z^2 = z0^2 + 92`.
const FADED: f64 = 92.0;

impl Truncation {
    /// Least probability between the limits that still leaves precise numbers.
    pub(super) const LEAST: f64 = 1e-290;

    pub(super) fn new(mean: f64, sd: f64, low: f64, high: f64) -> Self {
        Self { mean, sd, low, high, a: (low - mean) / sd, b: (high - mean) / sd }
    }

    /// Whether the limits lie above the mean, so that upper-tail probabilities are the small, precise ones.
    fn upper(&self) -> bool {
        self.a > 0.0
    }

    /// Probability of the parent between the limits.
    pub(super) fn probability(&self) -> f64 {
        self.between(self.a, self.b)
    }

    fn between(&self, from: f64, to: f64) -> f64 {
        if self.upper() { normal::cdf(-from) - normal::cdf(-to) } else { normal::cdf(to) - normal::cdf(from) }
    }

    pub(super) fn cdf(&self, x: f64) -> f64 {
        let z = (x - self.mean) / self.sd;
        if z <= self.a {
            0.0
        } else if z >= self.b {
            1.0
        } else {
            (self.between(self.a, z) / self.probability()).clamp(0.0, 1.0)
        }
    }

    pub(super) fn quantile(&self, p: f64) -> f64 {
        self.ready().quantile(p)
    }

    /// The quantile at every probability of a column, in place.
    pub(super) fn quantiles(&self, column: &mut [f64]) {
        let ready = self.ready();
        column.iter_mut().for_each(|p| *p = ready.of_parent(*p));
        normal::quantiles(column);
        column.iter_mut().for_each(|z| *z = ready.of_score(*z));
    }

    /// Ready for many quantiles, on the side where probabilities are small and precise.
    pub(super) fn ready(&self) -> ReadyTruncation {
        let between = self.probability();
        let (outside, step, sign) =
            if self.upper() { (normal::cdf(-self.a), -between, -1.0) } else { (normal::cdf(self.a), between, 1.0) };
        ReadyTruncation { mean: self.mean, sd: self.sd, low: self.low, high: self.high, outside, step, sign }
    }

    /// Mean and standard deviation by Gauss-Legendre quadrature of the density over its effective support, measured
    /// from its peak. The textbook formulas lose all digits when the limits are close together or far in a tail.
    pub(super) fn moments(&self) -> (f64, f64) {
        let peak = 0f64.max(self.a).min(self.b);
        let far = peak.abs() + (peak * peak + FADED).sqrt();
        let (outward, inward) = (FADED / far, far);
        let (left, right) = if peak < 0.0 { (outward, inward) } else { (inward, outward) };
        let (from, to) = ((self.a - peak).max(-left), (self.b - peak).min(right));
        let (mut weight, mut first, mut second) = (0.0, 0.0, 0.0);
        each_node(from, to, |t, w| {
            let density = w * (-0.5 * t * (t + 2.0 * peak)).exp();
            weight += density;
            first += density * t;
            second += density * t * t;
        });
        let shift = first / weight;
        // At most three quarters cancel, because `t` counts from the peak.
        let variance = second / weight - shift * shift;
        (self.mean + self.sd * (peak + shift), self.sd * variance.sqrt())
    }
}

/// A truncation with what its quantile needs at the limits.
#[derive(Debug, Clone, Copy)]
pub(super) struct ReadyTruncation {
    mean: f64,
    sd: f64,
    low: f64,
    high: f64,
    /// Probability of the parent outside the first limit, and how it goes on with the probability between the limits.
    outside: f64,
    step: f64,
    /// Sign of the scores.
    sign: f64,
}

impl ReadyTruncation {
    pub(super) fn quantile(&self, p: f64) -> f64 {
        self.of_score(normal::quantile(self.of_parent(p)))
    }

    /// The parent's probability at one between the limits.
    fn of_parent(&self, p: f64) -> f64 {
        self.outside + p * self.step
    }

    fn of_score(&self, z: f64) -> f64 {
        (self.mean + self.sd * (self.sign * z)).clamp(self.low, self.high)
    }
}

/// Calls `visit(node, weight)` over the composite five-point Gauss-Legendre rule on `[from, to]`.
fn each_node(from: f64, to: f64, mut visit: impl FnMut(f64, f64)) {
    let root = 2.0 * (10.0f64 / 7.0).sqrt();
    let (near, far) = ((5.0 - root).sqrt() / 3.0, (5.0 + root).sqrt() / 3.0);
    let spread = 13.0 * 70f64.sqrt();
    let (w_near, w_far) = ((322.0 + spread) / 900.0, (322.0 - spread) / 900.0);
    let rule = [(-far, w_far), (-near, w_near), (0.0, 128.0 / 225.0), (near, w_near), (far, w_far)];
    let half = 0.5 * (to - from) / f64::from(PANELS);
    for panel in 0..PANELS {
        let centre = from + half * f64::from(2 * panel + 1);
        for (x, w) in rule {
            visit(centre + half * x, half * w);
        }
    }
}
