//! Distributions of a scaled, shifted or converted quantity.

use super::Distribution;
use crate::numeric::check;
use crate::units::error::QuantityError;
use crate::units::exact::Unit;

impl Distribution {
    /// The distribution of `scale * x + offset`. A scale of 0 is refused, and so is a log-normal with an offset or a
    /// negative scale, because the result is none of the distributions here.
    pub fn map_affine(&self, scale: f64, offset: f64) -> Result<Self, QuantityError> {
        const WHAT: &str = "scale and offset";
        let map = Map { point: &|x| scale * x + offset, size: &|dx, _| scale.abs() * dx };
        check::all_finite(WHAT, &[scale, offset])?;
        self.allows(WHAT, scale != 0.0 || self.is_exact(), "a distribution cannot be scaled by 0")?;
        let log_normal = matches!(self, Self::LogNormal { .. });
        let reason = "a log-normal can only be scaled by a factor above 0";
        self.allows(WHAT, !log_normal || (offset == 0.0 && scale > 0.0), reason)?;
        self.mapped(WHAT, scale < 0.0, &map)
    }

    /// This distribution, given in a unit, in the stored unit. A slope in per cent propagates to first order. A
    /// log-normal needs a unit that is proportional to the stored one.
    pub(in crate::units) fn to_stored(&self, what: &str, unit: &Unit) -> Result<Self, QuantityError> {
        if unit.is_stored() {
            return self.mapped(what, false, &Map { point: &|x| x, size: &|dx, _| dx });
        }
        let reason = "a log-normal needs a unit that counts from a true zero";
        self.allows(what, !matches!(self, Self::LogNormal { .. }) || unit.is_proportional(), reason)?;
        let map = Map { point: &|x| unit.to_si(x), size: &|dx, x| unit.difference_to_si(dx, x) };
        self.mapped(what, false, &map)
    }

    /// The refusal unless a rule of the map holds.
    fn allows(&self, what: &str, holds: bool, reason: &str) -> Result<(), QuantityError> {
        if holds { Ok(()) } else { self.clone().ruled(what, false, reason).map(|_| ()) }
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
            Self::InexactLimits { low, high, within } => {
                let within = (map.size)(within, f64::midpoint(low, high));
                let (low, high) = ends(low, high);
                Self::inexact_limits(what, low, high, within)
            }
            Self::Arcsine { low, high } => {
                let (low, high) = ends(low, high);
                Self::arcsine(what, low, high)
            }
            Self::Beta { low, high, alpha, beta } => {
                let (alpha, beta) = if flipped { (beta, alpha) } else { (alpha, beta) };
                let (low, high) = ends(low, high);
                Self::beta(what, low, high, alpha, beta)
            }
            Self::Student { estimate, scale, dof } => {
                Self::student(what, (map.point)(estimate), (map.size)(scale, estimate), dof)
            }
            Self::Samples(ref values) => {
                Self::samples(what, &values.iter().map(|x| (map.point)(*x)).collect::<Vec<_>>())
            }
        }
    }
}

/// How points and sizes (at a point) change with the unit.
struct Map<'a> {
    point: &'a dyn Fn(f64) -> f64,
    size: &'a dyn Fn(f64, f64) -> f64,
}
