//! The film that a stick carries up when it is drawn out.

use uom::si::dynamic_viscosity::pascal_second;
use uom::si::f64::{Angle, DynamicViscosity, Length, MassDensity, SurfaceTension, Velocity};
use uom::si::length::meter;
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::surface_tension::newton_per_meter;
use uom::si::velocity::meter_per_second;

use crate::fluid::STANDARD_GRAVITY;
use crate::fluid::error::FluidError;
use crate::numeric::check;

/// Surface tension of engine oil in N/m (from memory; base oils lie between 0.028 and 0.033).
pub const OIL_SURFACE_TENSION: f64 = 0.030;

/// Capillary length `sqrt(sigma / (rho g))`: 1.9 mm for oil.
///
/// # Errors
/// [`FluidError::Quantity`] when surface tension or density is not above zero.
pub fn capillary_length(sigma: SurfaceTension, density: MassDensity) -> Result<Length, FluidError> {
    let sigma = check::in_range("surface tension", sigma.get::<newton_per_meter>(), 1e-4, 1.0, "N/m")?;
    let rho = check::in_range("density", density.get::<kilogram_per_cubic_meter>(), 1.0, 1e5, "kg/m3")?;
    Ok(Length::new::<meter>(capillary_length_si(sigma, rho)))
}

fn capillary_length_si(sigma: f64, rho: f64) -> f64 {
    (sigma / (rho * STANDARD_GRAVITY)).sqrt()
}

/// Thickness of the film on a plate drawn out of oil at a speed U, at `slope` against the horizontal.
///
/// The thinner of two regimes, which cross at a capillary number `Ca = mu U / sigma` of 1.4 for a vertical plate:
///
/// ```text
/// capillary (L. Landau and B. Levich 1942):  h = 0.9458 l_c Ca^(2/3)
/// gravity (B. Derjaguin 1943):               h = sqrt(mu U / (rho g sin(alpha)))
/// ```
///
/// The capillary law is for a vertical plate and is used for sloping sticks too (judgement: a stick 40 degrees off
/// vertical changes it less than the unknown speed does).
///
/// # Errors
/// [`FluidError::Quantity`] when a quantity is not above zero or the slope outside 1 to 90 degrees.
pub fn withdrawal_film(
    mu: DynamicViscosity,
    density: MassDensity,
    sigma: SurfaceTension,
    speed: Velocity,
    slope: Angle,
) -> Result<Length, FluidError> {
    let mu = check::in_range("dynamic viscosity", mu.get::<pascal_second>(), 1e-6, 1e6, "Pa.s")?;
    let rho = check::in_range("density", density.get::<kilogram_per_cubic_meter>(), 1.0, 1e5, "kg/m3")?;
    let sigma = check::in_range("surface tension", sigma.get::<newton_per_meter>(), 1e-4, 1.0, "N/m")?;
    let speed = check::in_range("speed", speed.get::<meter_per_second>(), 1e-9, 100.0, "m/s")?;
    let degrees = check::in_range("slope", slope.get::<uom::si::angle::degree>(), 1.0, 90.0 + 1e-9, "deg")?;
    let thin = landau_levich(mu, rho, sigma, speed);
    Ok(Length::new::<meter>(thin.min(derjaguin(mu, rho, speed, degrees.to_radians().sin()))))
}

fn landau_levich(mu: f64, rho: f64, sigma: f64, speed: f64) -> f64 {
    0.9458 * capillary_length_si(sigma, rho) * (mu * speed / sigma).powf(2.0 / 3.0)
}

pub(super) fn derjaguin(mu: f64, rho: f64, speed: f64, sin_slope: f64) -> f64 {
    (mu * speed / (rho * STANDARD_GRAVITY * sin_slope)).sqrt()
}

#[cfg(test)]
mod tests {
    use approx::{assert_abs_diff_eq, assert_relative_eq};
    use uom::si::angle::degree;

    use super::*;
    use crate::error::Coded;

    const MU: f64 = 0.087;
    const RHO: f64 = 870.0;

    /// Computed: speed, Landau-Levich and Derjaguin thickness in um.
    #[test]
    fn both_regimes() {
        assert_abs_diff_eq!(capillary_length_si(OIL_SURFACE_TENSION, RHO) * 1e3, 1.87517007, epsilon = 1e-8);
        for (speed, capillary, gravity) in [(1e-4, 7.7703, 31.933), (1e-3, 36.0666, 100.981), (1e-2, 167.406, 319.330)]
        {
            let thin = landau_levich(MU, RHO, OIL_SURFACE_TENSION, speed) * 1e6;
            assert_relative_eq!(thin, capillary, max_relative = 1e-5);
            assert_relative_eq!(derjaguin(MU, RHO, speed, 1.0) * 1e6, gravity, max_relative = 1e-5);
        }
    }

    /// The regimes cross at Ca = 1.397 (computed).
    #[test]
    fn crossing() {
        let speed = 1.397 * OIL_SURFACE_TENSION / MU;
        let ratio = landau_levich(MU, RHO, OIL_SURFACE_TENSION, speed) / derjaguin(MU, RHO, speed, 1.0);
        assert_abs_diff_eq!(ratio, 1.0, epsilon = 1e-4);
    }

    #[test]
    fn thinner_one_counts_and_nonsense_is_refused() {
        let film = |speed: f64| {
            withdrawal_film(
                DynamicViscosity::new::<pascal_second>(MU),
                MassDensity::new::<kilogram_per_cubic_meter>(RHO),
                SurfaceTension::new::<newton_per_meter>(OIL_SURFACE_TENSION),
                Velocity::new::<meter_per_second>(speed),
                Angle::new::<degree>(90.0),
            )
        };
        assert_relative_eq!(film(1e-3).unwrap().value * 1e6, 36.0666, max_relative = 1e-5);
        assert_relative_eq!(film(2.0).unwrap().value, derjaguin(MU, RHO, 2.0, 1.0), max_relative = 1e-12);
        assert_eq!(film(0.0).unwrap_err().code(), "quantity.out_of_range");
        let none = SurfaceTension::new::<newton_per_meter>(0.0);
        let e = capillary_length(none, MassDensity::new::<kilogram_per_cubic_meter>(RHO)).unwrap_err();
        assert_eq!(e.fields()["what"], "surface tension");
    }
}
