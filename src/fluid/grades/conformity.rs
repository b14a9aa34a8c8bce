//! How probable it is that an oil conforms to a grade, given one uncertain measurement.

use uom::si::f64::KinematicViscosity;
use uom::si::kinematic_viscosity::square_millimeter_per_second;

use super::{Grade, Upper};
use crate::fluid::error::FluidError;
use crate::numeric::{check, normal};

impl Grade {
    /// Probability that the true viscosity lies within the grade's window, for a measured value with a standard
    /// uncertainty, both at the grade's temperature; a normal distribution with no prior knowledge (JCGM 106:2012,
    /// clause 7):
    ///
    /// ```text
    /// p = Phi((T_U - y)/u) - Phi((T_L - y)/u)
    /// ```
    ///
    /// # Errors
    /// [`FluidError::Quantity`] when a number is not finite or not above zero.
    ///
    /// ```
    /// use fillmark::fluid::grades::{Standard, grades};
    /// use fillmark::uom::si::{f64::KinematicViscosity, kinematic_viscosity::square_millimeter_per_second};
    ///
    /// // The example of JCGM 106: an oil sold as SAE 40, measured 13.6 mm2/s with u = 1.8 at 100 degC.
    /// let nu = KinematicViscosity::new::<square_millimeter_per_second>;
    /// let forty = grades().into_iter().find(|g| g.standard == Standard::SaeJ300 && g.name == "40");
    /// let p = forty.map(|g| g.conformity(nu(13.6), nu(1.8))).transpose()?;
    /// assert!((p.unwrap_or_default() - 0.6626).abs() < 5e-5);
    /// # Ok::<(), fillmark::fluid::FluidError>(())
    /// ```
    pub fn conformity(
        &self,
        measured: KinematicViscosity,
        standard_uncertainty: KinematicViscosity,
    ) -> Result<f64, FluidError> {
        let unit = "mm2/s";
        let y = measured.get::<square_millimeter_per_second>();
        let u = standard_uncertainty.get::<square_millimeter_per_second>();
        let y = check::in_range("measured", y, f64::MIN_POSITIVE, 1e9, unit)?;
        let u = check::in_range("standard_uncertainty", u, f64::MIN_POSITIVE, 1e9, unit)?;
        let high = match self.high_mm2_s {
            Upper::Open => f64::INFINITY,
            Upper::Below(high) | Upper::UpTo(high) => high,
        };
        Ok(within_limits(y, u, self.low_mm2_s, high))
    }
}

/// `Phi((high - y)/u) - Phi((low - y)/u)`, taken on the side where the tails are small.
fn within_limits(y: f64, u: f64, low: f64, high: f64) -> f64 {
    if low - y > 0.0 {
        return normal::cdf((y - low) / u) - normal::cdf((y - high) / u);
    }
    normal::cdf((high - y) / u) - normal::cdf((low - y) / u)
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;

    use super::super::{Standard, grades};
    use super::*;
    use crate::error::Coded;

    /// JCGM 106:2012, clause 7 (printed 0.92, 0.99 and 0.66, from memory; nine digits computed): a Zener diode, a
    /// container, and a motor oil sold as SAE 40.
    #[test]
    fn examples_of_the_guide() {
        assert_abs_diff_eq!(within_limits(-5.47, 0.05, f64::NEG_INFINITY, -5.40), 0.919243341, epsilon = 1e-9);
        assert_abs_diff_eq!(within_limits(509.7, 8.6, 490.0, f64::INFINITY), 0.989009547, epsilon = 1e-9);
        assert_abs_diff_eq!(within_limits(13.6, 1.8, 12.5, 16.3), 0.662629786, epsilon = 1e-9);
    }

    #[test]
    fn the_grades_of_a_standard_share_the_probability() {
        let nu = KinematicViscosity::new::<square_millimeter_per_second>;
        let sum: f64 = grades()
            .iter()
            .filter(|g| g.standard == Standard::SaeJ306 && !g.name.ends_with('W'))
            .map(|g| g.conformity(nu(15.0), nu(1.0)).unwrap())
            .sum();
        assert_abs_diff_eq!(sum, 1.0, epsilon = 1e-12);
        let far = within_limits(10.0, 0.5, 16.3, 21.9);
        assert!(far > 0.0 && far < 1e-30, "{far}");
    }

    #[test]
    fn nonsense_is_refused() {
        let nu = KinematicViscosity::new::<square_millimeter_per_second>;
        let g = &grades()[0];
        assert_eq!(g.conformity(nu(-1.0), nu(1.0)).unwrap_err().fields()["what"], "measured");
        assert_eq!(g.conformity(nu(4.0), nu(0.0)).unwrap_err().code(), "quantity.out_of_range");
    }
}
