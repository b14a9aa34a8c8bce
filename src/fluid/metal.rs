//! Expansion of the vessel: a warm sump holds a little more.

use serde::{Deserialize, Serialize};
use uom::si::f64::{Ratio, ThermodynamicTemperature};
use uom::si::ratio::ratio;

use super::celsius;
use super::error::{FluidError, within};

/// What a sump is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Metal {
    /// Mild steel: 3.35e-5 per kelvin (API MPMS 12.2, from memory).
    MildSteel,
    /// Stainless steel 304: 5.18e-5 per kelvin (API MPMS 12.2, from memory).
    Stainless304,
    /// Stainless steel 316: 4.77e-5 per kelvin (API MPMS 12.2, from memory).
    Stainless316,
    /// Cast aluminium: 6.6e-5 per kelvin, three times 22e-6 (from memory).
    CastAluminium,
}

impl Metal {
    /// Coefficient of cubic expansion, per kelvin.
    pub(crate) fn cubic_expansion(self) -> f64 {
        match self {
            Self::MildSteel => 3.35e-5,
            Self::Stainless304 => 5.18e-5,
            Self::Stainless316 => 4.77e-5,
            Self::CastAluminium => 6.6e-5,
        }
    }

    /// Capacity at `temperature` over capacity at `reference`: `1 + beta (t - t_ref)`.
    ///
    /// # Errors
    /// [`FluidError::OutsideRelation`] for a temperature outside -60 to 200 degC.
    pub fn capacity_ratio(
        self,
        temperature: ThermodynamicTemperature,
        reference: ThermodynamicTemperature,
    ) -> Result<Ratio, FluidError> {
        let relation = "linear expansion of a metal";
        let t = within("temperature", celsius(temperature), -60.0, 200.0, "degC", relation)?;
        let base = within("reference", celsius(reference), -60.0, 200.0, "degC", relation)?;
        Ok(Ratio::new::<ratio>(1.0 + self.cubic_expansion() * (t - base)))
    }
}

#[cfg(test)]
mod tests {
    use uom::si::thermodynamic_temperature::degree_celsius;

    use super::*;
    use crate::error::Coded;

    /// Linear coefficients of the metals in handbooks (from memory, 1e-6/K): steel 11-12, 304 16-17.5, aluminium 21-23.
    #[test]
    fn three_times_the_linear_coefficient() {
        for (metal, low, high) in [
            (Metal::MildSteel, 11.0, 12.0),
            (Metal::Stainless304, 16.0, 17.5),
            (Metal::Stainless316, 15.5, 16.5),
            (Metal::CastAluminium, 21.0, 23.0),
        ] {
            let linear = metal.cubic_expansion() / 3.0 * 1e6;
            assert!((low..=high).contains(&linear), "{metal:?} {linear}");
        }
    }

    #[test]
    fn ratio_is_one_at_reference_and_limits_hold() {
        let t = ThermodynamicTemperature::new::<degree_celsius>;
        approx::assert_abs_diff_eq!(Metal::MildSteel.capacity_ratio(t(20.0), t(20.0)).unwrap().value, 1.0);
        let warm = Metal::CastAluminium.capacity_ratio(t(90.0), t(20.0)).unwrap().value;
        approx::assert_abs_diff_eq!(warm, 1.00462, epsilon = 1e-8);
        let e = Metal::MildSteel.capacity_ratio(t(300.0), t(20.0)).unwrap_err();
        assert_eq!(e.code(), "fluid.outside_relation");
    }
}
