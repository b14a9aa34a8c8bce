//! The tests of ISO 5725-2 for trainees who differ from the others.

use crate::numeric::{beta, student};

/// What a test says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Finding {
    /// Nothing unusual, or too few trainees for the test.
    Usual,
    /// Beyond the 5 % critical value.
    Straggler,
    /// Beyond the 1 % critical value.
    Outlier,
}

impl Finding {
    /// The word of ISO 5725-2.
    pub fn word(self) -> &'static str {
        match self {
            Self::Usual => "",
            Self::Straggler => "straggler",
            Self::Outlier => "outlier",
        }
    }
}

/// A test statistic with its critical values.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// `Cochran` (greatest scatter), `Grubbs, highest` or `Grubbs, lowest` (mean).
    pub name: &'static str,
    /// Whom it is about.
    pub trainee: String,
    /// The statistic.
    pub statistic: f64,
    /// Critical value at 5 %.
    pub critical_5: f64,
    /// Critical value at 1 %.
    pub critical_1: f64,
}

impl Check {
    /// What it says.
    pub fn finding(&self) -> Finding {
        if self.statistic > self.critical_1 {
            Finding::Outlier
        } else if self.statistic > self.critical_5 {
            Finding::Straggler
        } else {
            Finding::Usual
        }
    }
}

/// Quantile of Fisher's F: `F = (d2/d1) x/(1-x)` with `x` that of the beta distribution (Abramowitz and Stegun, 26.6.2).
fn fisher(p: f64, d1: f64, d2: f64) -> f64 {
    let (x, rest) = beta::inverse(p, 0.5 * d1, 0.5 * d2);
    d2 / d1 * x / rest
}

/// Critical value of Cochran's test, `1/(1 + (p-1)/F)` with `F` the upper `α/p` quantile for `n-1` and `(p-1)(n-1)` degrees of
/// freedom (Wilrich, AStA Adv. Stat. Anal. 97 (2013) 1-10, from memory; it gives back Table 4 of ISO 5725-2).
pub(super) fn cochran_critical(alpha: f64, p: f64, n: f64) -> f64 {
    let f = fisher(1.0 - alpha / p, n - 1.0, (p - 1.0) * (n - 1.0));
    1.0 / (1.0 + (p - 1.0) / f)
}

/// Critical value of Grubbs' test of one mean: `(p-1) t / sqrt(p (p-2+t²))`, `t` Student's upper `α/(2p)` quantile for `p-2`
/// degrees of freedom (Wilrich 2013; it gives back Table 5 of ISO 5725-2).
pub(super) fn grubbs_critical(alpha: f64, p: f64) -> f64 {
    let t = student::quantile(1.0 - 0.5 * alpha / p, p - 2.0);
    (p - 1.0) * t / (p * (p - 2.0 + t * t)).sqrt()
}
