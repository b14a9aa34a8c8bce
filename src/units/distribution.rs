//! What is known of a quantity: an exact number or a distribution (JCGM 100 and JCGM 101).

use super::error::QuantityError;
use super::exact::Unit;
use super::number::shortest;
use super::truncated::Truncation;
use crate::numeric::{check, normal};

/// An exact number or a probability distribution, in SI (degC for a temperature).
///
/// Made by the constructors, which check the parameters; the variants cannot be built outside the crate.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Distribution {
    /// A number without uncertainty.
    #[non_exhaustive]
    Exact(f64),
    /// Normal (JCGM 101, 6.4.7).
    #[non_exhaustive]
    Normal {
        /// Expectation.
        mean: f64,
        /// Standard uncertainty, above 0.
        sd: f64,
    },
    /// Rectangular between limits (JCGM 101, 6.4.2).
    #[non_exhaustive]
    Rectangular {
        /// Lower limit.
        low: f64,
        /// Upper limit, above `low`.
        high: f64,
    },
    /// Triangular between limits with its peak at `mode`.
    #[non_exhaustive]
    Triangular {
        /// Lower limit.
        low: f64,
        /// Most likely value, within the limits.
        mode: f64,
        /// Upper limit, above `low`.
        high: f64,
    },
    /// The logarithm is normal.
    #[non_exhaustive]
    LogNormal {
        /// Median, above 0.
        median: f64,
        /// Standard deviation of the natural logarithm, above 0, without unit.
        sigma: f64,
    },
    /// A normal distribution cut off at limits.
    #[non_exhaustive]
    TruncatedNormal {
        /// Mean of the normal before it is cut off.
        mean: f64,
        /// Standard deviation of the normal before it is cut off, above 0.
        sd: f64,
        /// Lower limit; may be `-inf`.
        low: f64,
        /// Upper limit, above `low`; may be `inf`.
        high: f64,
    },
}

impl Distribution {
    /// A number without uncertainty; it must be finite.
    pub fn exact(what: &str, value: f64) -> Result<Self, QuantityError> {
        Ok(Self::Exact(check::finite(what, value)?))
    }

    /// Normal with finite `mean` and `sd > 0`.
    pub fn normal(what: &str, mean: f64, sd: f64) -> Result<Self, QuantityError> {
        check::all_finite(what, &[mean, sd])?;
        Self::Normal { mean, sd }.ruled(what, sd > 0.0, "the standard uncertainty must be above 0")
    }

    /// Rectangular with finite `low < high`.
    pub fn rectangular(what: &str, low: f64, high: f64) -> Result<Self, QuantityError> {
        check::all_finite(what, &[low, high])?;
        Self::Rectangular { low, high }.ruled(what, low < high, "the lower limit must lie below the upper limit")
    }

    /// Triangular with finite `low <= mode <= high` and `low < high`.
    pub fn triangular(what: &str, low: f64, mode: f64, high: f64) -> Result<Self, QuantityError> {
        check::all_finite(what, &[low, mode, high])?;
        let ordered = low <= mode && mode <= high && low < high;
        Self::Triangular { low, mode, high }.ruled(
            what,
            ordered,
            "the order must be low, mode, high, with low below high",
        )
    }

    /// Log-normal with finite `median > 0` and `sigma > 0` (of the natural logarithm).
    pub fn log_normal(what: &str, median: f64, sigma: f64) -> Result<Self, QuantityError> {
        check::all_finite(what, &[median, sigma])?;
        Self::LogNormal { median, sigma }.ruled(what, median > 0.0 && sigma > 0.0, "median and sigma must be above 0")
    }

    /// Normal cut off at `low < high`, which may be infinite but must leave some probability between them.
    pub fn truncated_normal(what: &str, mean: f64, sd: f64, low: f64, high: f64) -> Result<Self, QuantityError> {
        check::all_finite(what, &[mean, sd])?;
        let this = Self::TruncatedNormal { mean, sd, low, high };
        let this = this.ruled(what, sd > 0.0, "the standard deviation must be above 0")?;
        let this = this.ruled(what, low < high, "the lower limit must lie below the upper limit")?;
        let left = Truncation::new(mean, sd, low, high).probability();
        this.ruled(what, left > Truncation::LEAST, "the limits leave no probability of the normal distribution")
    }

    /// This distribution if its rule holds, else the refusal.
    fn ruled(self, what: &str, holds: bool, reason: &str) -> Result<Self, QuantityError> {
        if holds {
            return Ok(self);
        }
        let text = self.in_numbers();
        Err(QuantityError::InvalidDistribution { what: what.to_owned(), text, reason: reason.to_owned() })
    }

    /// The functional form in its own numbers, without unit: `normal(0.35, 0.05)`.
    pub(super) fn in_numbers(&self) -> String {
        let join = |name: &str, numbers: &[f64]| {
            let list: Vec<String> = numbers.iter().map(|x| shortest(*x)).collect();
            format!("{name}({})", list.join(", "))
        };
        match *self {
            Self::Exact(x) => shortest(x),
            Self::Normal { mean, sd } => join("normal", &[mean, sd]),
            Self::Rectangular { low, high } => join("rectangular", &[low, high]),
            Self::Triangular { low, mode, high } => join("triangular", &[low, mode, high]),
            Self::LogNormal { median, sigma } => join("lognormal", &[median, sigma]),
            Self::TruncatedNormal { mean, sd, low, high } => join("truncated", &[mean, sd, low, high]),
        }
    }

    /// Whether it is a number without uncertainty.
    pub fn is_exact(&self) -> bool {
        matches!(self, Self::Exact(_))
    }

    /// The one number that stands for it: the median of a log-normal, the mean of every other.
    pub fn nominal(&self) -> f64 {
        match *self {
            Self::LogNormal { median, .. } => median,
            _ => self.mean(),
        }
    }

    /// Expectation.
    pub fn mean(&self) -> f64 {
        match *self {
            Self::Exact(x) => x,
            Self::Normal { mean, .. } => mean,
            Self::Rectangular { low, high } => f64::midpoint(low, high),
            Self::Triangular { low, mode, high } => low / 3.0 + mode / 3.0 + high / 3.0,
            Self::LogNormal { median, sigma } => median * (0.5 * sigma * sigma).exp(),
            Self::TruncatedNormal { mean, sd, low, high } => Truncation::new(mean, sd, low, high).moments().0,
        }
    }

    /// Standard deviation, the standard uncertainty of JCGM 100; 0 for an exact number.
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
        }
    }

    /// Lowest and highest possible value; infinite where there is no limit.
    pub fn support(&self) -> (f64, f64) {
        match *self {
            Self::Exact(x) => (x, x),
            Self::Normal { .. } => (f64::NEG_INFINITY, f64::INFINITY),
            Self::LogNormal { .. } => (0.0, f64::INFINITY),
            Self::Rectangular { low, high }
            | Self::Triangular { low, high, .. }
            | Self::TruncatedNormal { low, high, .. } => (low, high),
        }
    }

    /// The distribution of `scale * x + offset`. A scale of 0 is refused, and so is a log-normal with an offset or a
    /// negative scale, because the result is none of the distributions here.
    pub fn map_affine(&self, scale: f64, offset: f64) -> Result<Self, QuantityError> {
        let map = Map { point: &|x| scale * x + offset, size: &|dx, _| scale.abs() * dx };
        check::all_finite("scale and offset", &[scale, offset])?;
        self.ruled("scale and offset", scale != 0.0 || self.is_exact(), "a distribution cannot be scaled by 0")?;
        let log_normal = matches!(self, Self::LogNormal { .. });
        let reason = "a log-normal can only be scaled by a factor above 0";
        self.ruled("scale and offset", !log_normal || (offset == 0.0 && scale > 0.0), reason)?;
        self.mapped("scale and offset", scale < 0.0, &map)
    }

    /// This distribution, given in a unit, in the stored unit. A slope in per cent propagates to first order. A
    /// log-normal needs a unit that is proportional to the stored one.
    pub(super) fn to_stored(self, what: &str, unit: &Unit) -> Result<Self, QuantityError> {
        if unit.is_stored() {
            return self.mapped(what, false, &Map { point: &|x| x, size: &|dx, _| dx });
        }
        let reason = "a log-normal needs a unit that counts from a true zero";
        self.ruled(what, !matches!(self, Self::LogNormal { .. }) || unit.is_proportional(), reason)?;
        let map = Map { point: &|x| unit.to_si(x), size: &|dx, x| unit.difference_to_si(dx, x) };
        self.mapped(what, false, &map)
    }

    fn mapped(&self, what: &str, flipped: bool, map: &Map<'_>) -> Result<Self, QuantityError> {
        let ends = |low: f64, high: f64| {
            let (low, high) = ((map.point)(low), (map.point)(high));
            if flipped { (high, low) } else { (low, high) }
        };
        match *self {
            Self::Exact(x) => Self::exact(what, (map.point)(x)),
            Self::Normal { mean, sd } => Self::normal(what, (map.point)(mean), (map.size)(sd, mean)),
            Self::Rectangular { low, high } => {
                let (low, high) = ends(low, high);
                Self::rectangular(what, low, high)
            }
            Self::Triangular { low, mode, high } => {
                let (low, high) = ends(low, high);
                Self::triangular(what, low, (map.point)(mode), high)
            }
            Self::LogNormal { median, sigma } => Self::log_normal(what, (map.point)(median), sigma),
            Self::TruncatedNormal { mean, sd, low, high } => {
                let (low, high) = ends(low, high);
                Self::truncated_normal(what, (map.point)(mean), (map.size)(sd, mean), low, high)
            }
        }
    }
}

/// How points and sizes (at a point) change with the unit.
struct Map<'a> {
    point: &'a dyn Fn(f64) -> f64,
    size: &'a dyn Fn(f64, f64) -> f64,
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
