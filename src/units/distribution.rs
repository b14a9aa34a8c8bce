//! What is known of a quantity: an exact number or a distribution (JCGM 100 and JCGM 101).

mod law;
mod map;
mod ready;

use std::sync::Arc;

pub(crate) use ready::Ready;

use super::error::QuantityError;
use super::number::shortest;
use super::truncated::Truncation;
use crate::numeric::check;

/// An exact number or a probability distribution, in SI (degC for a temperature).
///
/// Made by the constructors, which check the parameters; the variants cannot be built outside the crate.
#[derive(Debug, Clone, PartialEq)]
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
    /// Rectangular between limits that are themselves known within `± within` only (JCGM 101, 6.4.3: a curvilinear
    /// trapezoid).
    #[non_exhaustive]
    InexactLimits {
        /// Middle of what the lower limit may be.
        low: f64,
        /// Middle of what the upper limit may be, above `low`.
        high: f64,
        /// How far each limit may lie from its middle: above 0, at most half of `high - low`.
        within: f64,
    },
    /// Arcsine (U-shaped) between limits: a quantity that swings as a sine between them (JCGM 101, 6.4.6).
    #[non_exhaustive]
    Arcsine {
        /// Lower limit.
        low: f64,
        /// Upper limit, above `low`.
        high: f64,
    },
    /// Beta distribution stretched to the limits; PERT estimates become one.
    #[non_exhaustive]
    Beta {
        /// Lower limit.
        low: f64,
        /// Upper limit, above `low`.
        high: f64,
        /// First shape, without unit.
        alpha: f64,
        /// Second shape, without unit.
        beta: f64,
    },
    /// Scaled and shifted t-distribution: an estimate and its standard uncertainty with few degrees of freedom
    /// (JCGM 101, 6.4.9).
    #[non_exhaustive]
    Student {
        /// The estimate, its centre.
        estimate: f64,
        /// The standard uncertainty as stated (`s / sqrt(n)`, or `U / k` of a certificate), above 0: the scale of the
        /// distribution, whose standard deviation is larger by `sqrt(dof / (dof - 2))`.
        scale: f64,
        /// Degrees of freedom, 1 or more, without unit.
        dof: f64,
    },
    /// Each of these values with the same probability, in rising order: draws from an earlier analysis.
    #[non_exhaustive]
    Samples(Arc<[f64]>),
}

/// Accepted shapes of a beta distribution.
const SHAPES: std::ops::RangeInclusive<f64> = 0.1..=1e5;
/// The weight of the mode in a PERT estimate, whose mean is `(low + 4 mode + high) / 6`.
const PERT_WEIGHT: f64 = 4.0;

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

    /// Rectangular between limits known within `± within`, with finite `low < high` and `0 < within <= (high - low)/2`.
    pub fn inexact_limits(what: &str, low: f64, high: f64, within: f64) -> Result<Self, QuantityError> {
        check::all_finite(what, &[low, high, within])?;
        let this = Self::InexactLimits { low, high, within };
        let this = this.ruled(what, low < high, "the lower limit must lie below the upper limit")?;
        let fits = within > 0.0 && within <= 0.5 * (high - low);
        this.ruled(what, fits, "the limits must be known within more than 0 and at most half their distance")
    }

    /// Arcsine with finite `low < high`.
    pub fn arcsine(what: &str, low: f64, high: f64) -> Result<Self, QuantityError> {
        check::all_finite(what, &[low, high])?;
        Self::Arcsine { low, high }.ruled(what, low < high, "the lower limit must lie below the upper limit")
    }

    /// Beta distribution stretched to finite `low < high`, with shapes from 0.1 to 100 000.
    pub fn beta(what: &str, low: f64, high: f64, alpha: f64, beta: f64) -> Result<Self, QuantityError> {
        check::all_finite(what, &[low, high, alpha, beta])?;
        let this = Self::Beta { low, high, alpha, beta };
        let this = this.ruled(what, low < high, "the lower limit must lie below the upper limit")?;
        let shaped = SHAPES.contains(&alpha) && SHAPES.contains(&beta);
        this.ruled(what, shaped, "the shapes alpha and beta must lie within 0.1 to 100000")
    }

    /// PERT: the beta distribution of a lowest, a most likely and a highest value, with mean `(low + 4 mode + high)/6`
    /// (Malcolm, Roseboom, Clark and Fazar 1959, Operations Research 7:646): shapes `1 + 4 (mode - low)/(high - low)` and
    /// `1 + 4 (high - mode)/(high - low)`.
    pub fn pert(what: &str, low: f64, mode: f64, high: f64) -> Result<Self, QuantityError> {
        // The rule and the message of three such numbers are those of a triangle.
        Self::triangular(what, low, mode, high)?;
        let shape = |part: f64| 1.0 + PERT_WEIGHT * (part / (high - low));
        Self::beta(what, low, high, shape(mode - low), shape(high - mode))
    }

    /// Scaled and shifted t-distribution of an estimate with its stated standard uncertainty above 0 and 1 or more degrees
    /// of freedom (JCGM 101, 6.4.9.2 for a mean of readings, 6.4.9.7 for a certificate).
    pub fn student(what: &str, estimate: f64, standard_uncertainty: f64, dof: f64) -> Result<Self, QuantityError> {
        check::all_finite(what, &[estimate, standard_uncertainty, dof])?;
        let this = Self::Student { estimate, scale: standard_uncertainty, dof };
        let this = this.ruled(what, standard_uncertainty > 0.0, "the standard uncertainty must be above 0")?;
        this.ruled(what, dof >= 1.0, "the degrees of freedom must be 1 or more")
    }

    /// Each of two or more finite values, not all equal, with the same probability.
    pub fn samples(what: &str, values: &[f64]) -> Result<Self, QuantityError> {
        check::all_finite(what, values)?;
        let mut sorted = values.to_vec();
        sorted.sort_by(f64::total_cmp);
        let varied = sorted.first() < sorted.last();
        Self::Samples(sorted.into()).ruled(what, varied, "samples must be two or more values, not all equal")
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
            Self::InexactLimits { low, high, within } => join("rectangular", &[low, high, within]),
            Self::Arcsine { low, high } => join("arcsine", &[low, high]),
            Self::Beta { low, high, alpha, beta } => join("beta", &[low, high, alpha, beta]),
            Self::Student { estimate, scale, dof } => join("t", &[estimate, scale, dof]),
            Self::Samples(ref values) => join("samples", values),
        }
    }
}
