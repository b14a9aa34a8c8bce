//! Flow without inertia through a hole: the thick-oil limit that every loss model must stay under.
//!
//! Alone it is a trap: warm oil in a 12 mm hole would get a discharge coefficient above 1.

use uom::si::dynamic_viscosity::pascal_second;
use uom::si::f64::{DynamicViscosity, Length, Pressure, VolumeRate};
use uom::si::length::meter;
use uom::si::pressure::pascal;
use uom::si::volume_rate::cubic_meter_per_second;

use crate::fluid::error::FluidError;
use crate::numeric::check;

/// Creeping flow through a hole of radius R and length L under a pressure difference:
///
/// ```text
/// Q = R^3 dp / {mu [3 + 8 L/(pi R)]}
/// ```
///
/// Z. Dagan, S. Weinbaum and R. Pfeffer, J. Fluid Mech. 115 (1982) 505 (from memory); for L = 0 it is R. A. Sampson's
/// `dp d^3/(24 mu)` (Phil. Trans. R. Soc. A 182 (1891) 449), and for long tubes Poiseuille's law. Holds for a Reynolds
/// number well below 10; no check is made of that.
///
/// # Errors
/// [`FluidError::Quantity`] when bore or viscosity is not above zero, or length or pressure is negative.
pub fn creeping_flow(
    bore: Length,
    length: Length,
    mu: DynamicViscosity,
    pressure: Pressure,
) -> Result<VolumeRate, FluidError> {
    let bore = check::in_range("bore", bore.get::<meter>(), 1e-6, 10.0, "m")?;
    let length = check::in_range("length", length.get::<meter>(), 0.0, 100.0, "m")?;
    let mu = check::in_range("dynamic viscosity", mu.get::<pascal_second>(), 1e-6, 1e6, "Pa.s")?;
    let dp = check::in_range("pressure", pressure.get::<pascal>(), 0.0, 1e9, "Pa")?;
    Ok(VolumeRate::new::<cubic_meter_per_second>(creeping_si(bore, length, mu, dp)))
}

fn creeping_si(bore: f64, length: f64, mu: f64, dp: f64) -> f64 {
    let r = 0.5 * bore;
    r.powi(3) * dp / (mu * (3.0 + 8.0 * length / (std::f64::consts::PI * r)))
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;
    use crate::error::Coded;
    use crate::fluid::STANDARD_GRAVITY;
    use crate::fluid::outflow::{Axis, LossModel, LowHead, Outflow};

    const HEAD: f64 = 870.0 * STANDARD_GRAVITY * 0.08;

    /// Computed elsewhere: d = 12 mm, 80 mm of head, 870 kg/m3, 0.2 Pa.s; L = 0, 2, 12, 24 mm.
    #[test]
    fn numbers() {
        for (length, q) in [(0.0, 2.457154e-4), (2e-3, 1.915249e-4), (12e-3, 9.108490e-5), (24e-3, 5.590406e-5)] {
            assert_relative_eq!(creeping_si(0.012, length, 0.2, HEAD), q, max_relative = 3e-7);
        }
        // Sampson, written otherwise.
        assert_relative_eq!(creeping_si(0.012, 0.0, 0.2, HEAD), HEAD * 0.012f64.powi(3) / (24.0 * 0.2));
    }

    /// At that state the Reynolds number is 65.4 and the formula for L = 0 gives Cd = 1.734 (computed): not usable alone.
    #[test]
    fn the_trap() {
        let ideal = (2.0 * STANDARD_GRAVITY * 0.08).sqrt();
        assert_relative_eq!(ideal * 0.012 * 870.0 / 0.2, 65.4, max_relative = 1e-3);
        let cd = creeping_si(0.012, 0.0, 0.2, HEAD) / (std::f64::consts::FRAC_PI_4 * 0.012f64.powi(2) * ideal);
        assert_relative_eq!(cd, 1.734, max_relative = 3e-4);
    }

    /// For very thick oil in a long bore all of the energy balance is Poiseuille's, and the short-tube formula, made for
    /// Re above 10, stays within a third of it.
    #[test]
    fn thick_limit_of_the_models() {
        let (d, l, nu, rho) = (0.012, 0.1, 1e-2, 870.0);
        let creeping = creeping_si(d, l, nu * rho, rho * STANDARD_GRAVITY * 0.08);
        let hole = Outflow::unchecked_si(d, l, Axis::Side, LossModel::energy_balance(), nu, rho);
        let hole = hole.with_low_head(LowHead::Ignore);
        assert_relative_eq!(hole.flow_si(0.08), creeping, max_relative = 0.15);
        assert_relative_eq!(hole.with_model(LossModel::ShortTube).flow_si(0.08), creeping, max_relative = 0.34);
    }

    #[test]
    fn nonsense_is_refused() {
        let m = Length::new::<meter>;
        let mu = DynamicViscosity::new::<pascal_second>(0.0);
        let e = creeping_flow(m(0.012), m(0.0), mu, Pressure::new::<pascal>(100.0)).unwrap_err();
        assert_eq!(
            (e.code().as_str(), e.fields()["what"].as_str()),
            ("quantity.out_of_range", Some("dynamic viscosity"))
        );
    }
}
