//! Thermal expansion of petrol and diesel fuel: the refined-products group of API MPMS 11.1.

use serde::Serialize;
use uom::si::f64::MassDensity;
use uom::si::mass_density::kilogram_per_cubic_meter;

use super::error::{FluidError, within};

/// Temperatures that the correction covers, in deg C.
pub const TEMPERATURE_RANGE_C: [f64; 2] = [-50.0, 150.0];

/// Densities at 15 degC that the group covers, in kg/m3.
const DENSITY_RANGE: [f64; 2] = [653.0, 1075.0];

/// Upper density at 15 degC of a subgroup, its K0, K1 and K2 (API MPMS 11.1 (1980), tables 53B and 54B, deg C and
/// kg/m3; from memory, agreeing with the coefficients in two public programs). In the transition zone between gasolines
/// and jet fuels the coefficient is `A + B/rho^2`.
const SUBGROUPS: [(f64, f64, f64, f64); 4] = [
    (770.5, 346.42278, 0.43884, 0.0),
    (787.5, 2680.32060, 0.0, -0.00336312),
    (838.5, 594.54180, 0.0, 0.0),
    (f64::INFINITY, 186.96960, 0.48618, 0.0),
];

/// The volume correction of a motor fuel.
///
/// ```text
/// alpha = K0/rho15^2 + K1/rho15 + K2,   vcf = exp{-alpha D (1 + 0.8 alpha D)},   D = t - 15 degC
/// ```
///
/// API MPMS 11.1 (1980), refined products, for 653 to 1075 kg/m3 at 15 degC and -50 to 150 degC. Petrol with ethanol
/// expands a little differently; the difference is within the standard relative uncertainty of 3 % of alpha (judgement).
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct FuelExpansion {
    density_15c: f64,
    alpha: f64,
}

impl FuelExpansion {
    /// A fuel of the given density at 15 degC.
    ///
    /// # Errors
    /// [`FluidError::OutsideRelation`] outside 653 to 1075 kg/m3.
    pub fn new(density_15c: MassDensity) -> Result<Self, FluidError> {
        Self::checked_si(density_15c.get::<kilogram_per_cubic_meter>())
    }

    /// Petrol of 745 kg/m3 at 15 degC: a middle value of the 720 to 775 that EN 228 allows (from memory); u = 15 kg/m3
    /// (judgement).
    pub fn petrol() -> Self {
        Self::unchecked_si(745.0)
    }

    /// Diesel fuel of 835 kg/m3 at 15 degC: a middle value of the 820 to 845 that EN 590 allows (from memory); u = 7
    /// kg/m3 (judgement).
    pub fn diesel() -> Self {
        Self::unchecked_si(835.0)
    }

    fn checked_si(density_15c: f64) -> Result<Self, FluidError> {
        let [low, high] = DENSITY_RANGE;
        within("density_15c", density_15c, low, high, "kg/m3", "API MPMS 11.1, refined products")?;
        Ok(Self::unchecked_si(density_15c))
    }

    fn unchecked_si(density_15c: f64) -> Self {
        let found = SUBGROUPS.iter().find(|g| density_15c <= g.0).unwrap_or(&SUBGROUPS[3]);
        let (_, k0, k1, k2) = *found;
        Self { density_15c, alpha: (k0 / density_15c + k1) / density_15c + k2 }
    }

    /// Density in kg/m3 at `temperature_c` (deg C), unchecked.
    pub(crate) fn density(&self, temperature_c: f64) -> f64 {
        let x = self.alpha * (temperature_c - 15.0);
        self.density_15c * (-x * (1.0 + 0.8 * x)).exp()
    }
}

#[cfg(test)]
mod tests {
    use approx::{assert_abs_diff_eq, assert_relative_eq};

    use super::*;
    use crate::error::Coded;

    /// Rules of thumb of the fuel trade (common practice, no source): petrol grows 0.12 % per kelvin, diesel 0.083 %.
    #[test]
    fn rules_of_thumb() {
        assert_abs_diff_eq!(FuelExpansion::petrol().alpha, 1.2e-3, epsilon = 0.05e-3);
        assert_abs_diff_eq!(FuelExpansion::diesel().alpha, 0.83e-3, epsilon = 0.03e-3);
        assert_relative_eq!(FuelExpansion::petrol().density(15.0), 745.0);
    }

    /// The subgroups must meet, or a boundary was mistyped: the coefficient may step by 1 % at most.
    #[test]
    fn subgroups_meet() {
        for edge in [770.5, 787.5, 838.5] {
            let (below, above) = (FuelExpansion::unchecked_si(edge), FuelExpansion::unchecked_si(edge + 1e-6));
            assert_relative_eq!(below.alpha, above.alpha, max_relative = 1e-2);
        }
    }

    #[test]
    fn outside_is_refused() {
        let e = FuelExpansion::new(MassDensity::new::<kilogram_per_cubic_meter>(600.0)).unwrap_err();
        assert_eq!(e.code(), "fluid.outside_relation");
        assert!(e.to_string().contains("653 to 1075"), "{e}");
    }
}
