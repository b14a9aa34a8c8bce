//! Moments, quantiles and probabilities of a distribution.

use std::f64::consts::{FRAC_PI_2, PI};

use super::Distribution;
use crate::numeric::wide::widely;
use crate::numeric::{beta, normal, student};
use crate::units::inexact::InexactLimits;
use crate::units::truncated::Truncation;

impl Distribution {
    /// Whether it is a number without uncertainty.
    pub fn is_exact(&self) -> bool {
        matches!(self, Self::Exact(_))
    }

    /// The one number that stands for it: the median of a log-normal, the centre of a t-distribution, the mean of every
    /// other.
    pub fn nominal(&self) -> f64 {
        match *self {
            Self::LogNormal { median, .. } => median,
            _ => self.mean(),
        }
    }

    /// Expectation; of a t-distribution its centre (with 1 degree of freedom there is no expectation).
    pub fn mean(&self) -> f64 {
        match *self {
            Self::Exact(x) => x,
            Self::Normal { mean, .. } => mean,
            Self::Rectangular { low, high } | Self::InexactLimits { low, high, .. } | Self::Arcsine { low, high } => {
                f64::midpoint(low, high)
            }
            Self::Triangular { low, mode, high } => low / 3.0 + mode / 3.0 + high / 3.0,
            Self::LogNormal { median, sigma } => median * (0.5 * sigma * sigma).exp(),
            Self::TruncatedNormal { mean, sd, low, high } => Truncation::new(mean, sd, low, high).moments().0,
            Self::Beta { low, high, alpha, beta } => low + (high - low) * (alpha / (alpha + beta)),
            Self::Student { estimate, .. } => estimate,
            Self::Samples(ref values) => mean_of(values),
        }
    }

    /// Standard deviation; 0 for an exact number, infinite for a t-distribution of 2 or fewer degrees of freedom.
    ///
    /// What JCGM 100 calls the standard uncertainty is [`Distribution::standard_uncertainty`], which differs where degrees
    /// of freedom are few.
    pub fn standard_deviation(&self) -> f64 {
        match *self {
            Self::Exact(_) => 0.0,
            Self::Normal { sd, .. } => sd,
            Self::Rectangular { low, high } => (high - low) / 12f64.sqrt(),
            Self::Triangular { low, mode, high } => {
                (((high - low) * (high - low) - (mode - low) * (high - mode)) / 18.0).sqrt()
            }
            Self::LogNormal { sigma, .. } => self.mean() * (sigma * sigma).exp_m1().sqrt(),
            Self::TruncatedNormal { mean, sd, low, high } => Truncation::new(mean, sd, low, high).moments().1,
            // JCGM 101, 6.4.3.3, equation (3).
            Self::InexactLimits { low, high, within } => {
                ((high - low) * (high - low) / 12.0 + within * within / 9.0).sqrt()
            }
            Self::Arcsine { low, high } => (high - low) / 8f64.sqrt(),
            Self::Beta { low, high, alpha, beta } => {
                let sum = alpha + beta;
                (high - low) * (alpha / sum * (beta / sum) / (sum + 1.0)).sqrt()
            }
            // JCGM 101, 6.4.9.4, equation (6).
            Self::Student { scale, dof, .. } if dof > 2.0 => scale * (dof / (dof - 2.0)).sqrt(),
            Self::Student { .. } => f64::INFINITY,
            Self::Samples(ref values) => {
                let mean = mean_of(values);
                (values.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / values.len() as f64).sqrt()
            }
        }
    }

    /// Standard uncertainty as JCGM 100 uses it: as stated for a t-distribution, `(high - low)/sqrt(12)` for inexact limits
    /// (their doubt is in the degrees of freedom, G.4.2), the standard deviation of every other.
    pub fn standard_uncertainty(&self) -> f64 {
        match *self {
            Self::Student { scale, .. } => scale,
            Self::InexactLimits { low, high, .. } => (high - low) / 12f64.sqrt(),
            _ => self.standard_deviation(),
        }
    }

    /// Degrees of freedom of the standard uncertainty as JCGM 100 uses them: as stated for a t-distribution;
    /// `(Δu/u)^-2 / 2` for limits known within a part `Δu/u` of their half-distance (G.4.2, equation G.3); else infinite.
    pub fn degrees_of_freedom(&self) -> f64 {
        match *self {
            Self::Student { dof, .. } => dof,
            Self::InexactLimits { low, high, within } => 0.5 * (0.5 * (high - low) / within).powi(2),
            _ => f64::INFINITY,
        }
    }

    /// The value below which it falls with probability `p`, for `p` in (0, 1); at 0 and 1 the limits of the support
    /// (infinite for a normal), NaN outside.
    pub fn quantile(&self, p: f64) -> f64 {
        if !(0.0..=1.0).contains(&p) {
            return f64::NAN;
        }
        match *self {
            Self::Exact(x) => x,
            Self::Normal { mean, sd } => mean + sd * normal::quantile(p),
            Self::Rectangular { low, high } => (low + p * (high - low)).min(high),
            Self::Triangular { low, mode, high } => triangular_quantile(p, low, mode, high),
            Self::LogNormal { median, sigma } => median * (sigma * normal::quantile(p)).exp(),
            Self::TruncatedNormal { mean, sd, low, high } => Truncation::new(mean, sd, low, high).quantile(p),
            Self::InexactLimits { low, high, within } => InexactLimits::new(low, high, within).quantile(p),
            Self::Arcsine { low, high } => f64::midpoint(low, high) + 0.5 * (high - low) * (PI * (p - 0.5)).sin(),
            Self::Beta { low, high, alpha, beta } => {
                let (below, above) = beta::inverse(p, alpha, beta);
                if below < above { low + (high - low) * below } else { high - (high - low) * above }
            }
            Self::Student { estimate, scale, dof } => estimate + scale * student::quantile(p, dof),
            Self::Samples(ref values) => values[step(p, values.len())],
        }
    }

    /// The quantile at every probability of a column, in place, to the bits of [`Distribution::quantile`].
    pub(crate) fn quantiles(&self, column: &mut [f64]) {
        match *self {
            Self::Normal { mean, sd } => {
                normal::quantiles(column);
                widely(
                    #[inline(always)]
                    || column.iter_mut().for_each(|z| *z = mean + sd * *z),
                );
            }
            Self::LogNormal { median, sigma } => {
                normal::quantiles(column);
                column.iter_mut().for_each(|z| *z = median * (sigma * *z).exp());
            }
            Self::TruncatedNormal { mean, sd, low, high } => Truncation::new(mean, sd, low, high).quantiles(column),
            _ => column.iter_mut().for_each(|p| *p = self.quantile(*p)),
        }
    }

    /// The quantile at the probability of a standard normal number `z`: how a normal number becomes a draw. Keeps the tails
    /// of a normal and a log-normal that a probability next to 1 would round away.
    pub fn at_score(&self, z: f64) -> f64 {
        match *self {
            Self::Normal { mean, sd } => mean + sd * z,
            Self::LogNormal { median, sigma } => median * (sigma * z).exp(),
            _ => self.quantile(normal::cdf(z)),
        }
    }

    /// Probability that the quantity is at most `x`.
    pub fn cdf(&self, x: f64) -> f64 {
        match *self {
            Self::Exact(at) => f64::from(u8::from(x >= at)),
            Self::Normal { mean, sd } => normal::cdf((x - mean) / sd),
            Self::Rectangular { low, high } => ((x - low) / (high - low)).clamp(0.0, 1.0),
            Self::Triangular { low, mode, high } => triangular_cdf(x, low, mode, high),
            Self::LogNormal { .. } if x <= 0.0 => 0.0,
            Self::LogNormal { median, sigma } => normal::cdf((x / median).ln() / sigma),
            Self::TruncatedNormal { mean, sd, low, high } => Truncation::new(mean, sd, low, high).cdf(x),
            Self::InexactLimits { low, high, within } => InexactLimits::new(low, high, within).cdf(x),
            Self::Arcsine { low, high } => {
                let sine = ((x - low) - (high - x)) / (high - low);
                0.5 + sine.clamp(-1.0, 1.0).asin() / (2.0 * FRAC_PI_2)
            }
            Self::Beta { low, high, alpha, beta } => {
                beta::regularised(((x - low) / (high - low)).clamp(0.0, 1.0), alpha, beta)
            }
            Self::Student { estimate, scale, dof } => student::cdf((x - estimate) / scale, dof),
            Self::Samples(ref values) => values.partition_point(|value| *value <= x) as f64 / values.len() as f64,
        }
    }

    /// Lowest and highest possible value; infinite where there is no limit.
    pub fn support(&self) -> (f64, f64) {
        match *self {
            Self::Exact(x) => (x, x),
            Self::Normal { .. } | Self::Student { .. } => (f64::NEG_INFINITY, f64::INFINITY),
            Self::LogNormal { .. } => (0.0, f64::INFINITY),
            Self::Rectangular { low, high }
            | Self::Triangular { low, high, .. }
            | Self::TruncatedNormal { low, high, .. }
            | Self::Arcsine { low, high }
            | Self::Beta { low, high, .. } => (low, high),
            Self::InexactLimits { low, high, within } => (low - within, high + within),
            Self::Samples(ref values) => (values[0], values[values.len() - 1]),
        }
    }
}

fn triangular_quantile(p: f64, low: f64, mode: f64, high: f64) -> f64 {
    let width = high - low;
    if p * width < mode - low {
        low + (p * width * (mode - low)).sqrt()
    } else {
        high - ((1.0 - p) * width * (high - mode)).sqrt()
    }
}

fn triangular_cdf(x: f64, low: f64, mode: f64, high: f64) -> f64 {
    let width = high - low;
    if x <= low {
        0.0
    } else if x >= high {
        1.0
    } else if x < mode {
        (x - low) / width * ((x - low) / (mode - low))
    } else {
        1.0 - (high - x) / width * ((high - x) / (high - mode))
    }
}

/// Mean of sorted values, from the smallest up.
fn mean_of(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// Index of the sample that probability `p` falls on: the inverse of the step-like distribution function.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // within 0..n by the clamp
fn step(p: f64, n: usize) -> usize {
    ((p * n as f64).ceil() - 1.0).clamp(0.0, (n - 1) as f64) as usize
}
