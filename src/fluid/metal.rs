//! Expansion of the vessel: a warm sump holds a little more.

use serde::{Deserialize, Serialize};
use uom::si::f64::{Ratio, ThermodynamicTemperature};
use uom::si::ratio::ratio;

use super::celsius;
use super::error::{FluidError, within};

/// What a sump is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Metal {
    /// Mild steel: cubic 3.35e-5 per kelvin (API MPMS 12.2, from memory).
    MildSteel,
    /// Stainless steel 304: cubic 5.18e-5 per kelvin (API MPMS 12.2, from memory).
    #[serde(rename = "stainless_304")]
    Stainless304,
    /// Stainless steel 316: cubic 4.77e-5 per kelvin (API MPMS 12.2, from memory).
    #[serde(rename = "stainless_316")]
    Stainless316,
    /// Die-cast aluminium: linear 22e-6 per kelvin (alloy 380; NADCA, Typical Material Properties: Al Alloys, table A-3-2,
    /// where the common alloys have 21.0 to 22.0).
    CastAluminium,
}

/// Standard relative uncertainty of a metal's coefficient (judgement: alloys that go by one name differ by some per cent).
pub(crate) const RELATIVE_UNCERTAINTY: f64 = 0.05;

/// Temperatures in deg C for which the coefficients serve.
pub(crate) const RANGE_C: [f64; 2] = [-60.0, 200.0];

/// Capacity at `temperature_c` over capacity at `reference_c` for a linear coefficient per kelvin: `1 + 3 alpha (t - t_ref)`, three
/// times the linear coefficient to first order; the square leaves out 5e-6 over 80 K of aluminium.
pub(crate) fn capacity_ratio_si(linear: f64, temperature_c: f64, reference_c: f64) -> f64 {
    1.0 + 3.0 * linear * (temperature_c - reference_c)
}

impl Metal {
    /// Coefficient of linear expansion, per kelvin: a third of the cubic one.
    pub fn linear_expansion(self) -> f64 {
        match self {
            Self::MildSteel => 3.35e-5 / 3.0,
            Self::Stainless304 => 5.18e-5 / 3.0,
            Self::Stainless316 => 4.77e-5 / 3.0,
            Self::CastAluminium => 22e-6,
        }
    }

    /// Capacity at `temperature` over capacity at `reference`: `1 + 3 alpha (t - t_ref)`.
    ///
    /// # Errors
    /// [`FluidError::OutsideRelation`] for a temperature outside -60 to 200 degC.
    pub fn capacity_ratio(
        self,
        temperature: ThermodynamicTemperature,
        reference: ThermodynamicTemperature,
    ) -> Result<Ratio, FluidError> {
        let [t, base] = accepted(celsius(temperature), celsius(reference))?;
        Ok(Ratio::new::<ratio>(capacity_ratio_si(self.linear_expansion(), t, base)))
    }
}

/// A temperature and its reference in deg C, checked.
pub(crate) fn accepted(temperature_c: f64, reference_c: f64) -> Result<[f64; 2], FluidError> {
    let (relation, [low, high]) = ("linear expansion of a metal", RANGE_C);
    Ok([
        within("temperature", temperature_c, low, high, "degC", relation)?,
        within("reference", reference_c, low, high, "degC", relation)?,
    ])
}

#[cfg(test)]
mod tests {
    use uom::si::thermodynamic_temperature::degree_celsius;

    use super::*;
    use crate::error::Coded;

    /// Linear coefficients of the metals in handbooks (from memory, 1e-6/K): steel 11-12, 304 16-17.5, aluminium 21-23.
    #[test]
    fn linear_coefficients() {
        for (metal, low, high) in [
            (Metal::MildSteel, 11.0, 12.0),
            (Metal::Stainless304, 16.0, 17.5),
            (Metal::Stainless316, 15.5, 16.5),
            (Metal::CastAluminium, 21.0, 23.0),
        ] {
            let linear = metal.linear_expansion() * 1e6;
            assert!((low..=high).contains(&linear), "{metal:?} {linear}");
        }
    }

    /// Inches per 100 ft from 70 to 200 degF of piping (table "Thermal Expansion of Materials", hyspan.com): steel 0.99, 18Cr-8Ni
    /// 1.46; pipe steels differ from these by a few per cent.
    #[test]
    fn against_a_table_of_piping() {
        for (metal, inches) in [(Metal::MildSteel, 0.99), (Metal::Stainless304, 1.46)] {
            let linear = inches / 1200.0 / (130.0 / 1.8);
            approx::assert_relative_eq!(metal.linear_expansion(), linear, max_relative = 0.03);
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
