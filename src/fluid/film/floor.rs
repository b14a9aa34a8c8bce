//! The layer left on a near-level floor that drains over an edge.

use uom::si::f64::{Angle, Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::ReducedTime;
use crate::fluid::STANDARD_GRAVITY;
use crate::fluid::error::FluidError;
use crate::numeric::check;

/// Mean thickness of the self-similar layer in units of `(L^2 / (g s))^(1/3)`:
/// `sqrt(2/5) f0^(5/2)` with `f0 = (sqrt(10) / B(4/5, 1/2))^(2/3)`, B Euler's beta function.
const LEVEL_COEFFICIENT: f64 = 1.0757;

/// Height of oil that surface tension holds at a sharp edge, in metres: `2 l_c sin(theta/2)` with a capillary length of
/// 1.9 mm and a contact angle of 15 degrees. A judgement; clean oily metal wets better, a burr holds more.
pub const DEFAULT_LIP: f64 = 0.5e-3;

/// A floor that drains over one edge.
///
/// A level floor of length L (towards the edge) obeys `dh/dt = (g/(3 nu)) d/dx(h^3 dh/dx)` with no thickness at the edge
/// and no flow at the far side. Its long-time solution is self-similar, with mean thickness
///
/// ```text
/// h = 1.0757 (L^2 / (g s))^(1/3)
/// ```
///
/// (separation of variables; the coefficient is checked by integrating the profile). A floor that falls towards the edge
/// by beta drains like a wall as well, mean `(2/3) sqrt(L / (g sin(beta) s))`; the thinner of the two is taken, which is
/// continuous and at most some 30 % too thick where they cross. A capillary lip (judgement) holds back a layer: the cubes
/// of film and lip are added.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FloorFilm {
    length: f64,
    width: f64,
    sin_slope: f64,
    lip: f64,
}

impl FloorFilm {
    /// A floor of `length` towards the edge it drains over and `width` along it, falling towards the edge by `slope`
    /// (0 level). The lip is 0.5 mm.
    ///
    /// # Errors
    /// [`FluidError::Quantity`] for a length or width outside 1e-6 to 100 m or a slope outside 0 to 90 degrees.
    pub fn new(length: Length, width: Length, slope: Angle) -> Result<Self, FluidError> {
        let length = check::in_range("length", length.get::<meter>(), 1e-6, 100.0, "m")?;
        let width = check::in_range("width", width.get::<meter>(), 1e-6, 100.0, "m")?;
        let degrees = check::in_range("slope", slope.get::<uom::si::angle::degree>(), 0.0, 90.0 + 1e-9, "deg")?;
        Ok(Self { length, width, sin_slope: degrees.to_radians().sin(), lip: DEFAULT_LIP })
    }

    /// The same floor with another height of oil held at its edge; zero for none.
    ///
    /// # Errors
    /// [`FluidError::Quantity`] outside 0 to 5 mm.
    pub fn with_lip(self, lip: Length) -> Result<Self, FluidError> {
        Ok(Self { lip: check::in_range("lip", lip.get::<meter>(), 0.0, 5e-3, "m")?, ..self })
    }

    /// Mean thickness of the layer.
    pub fn mean_thickness(&self, since: ReducedTime) -> Length {
        Length::new::<meter>(self.mean_si(since.si()))
    }

    /// Volume of the layer.
    pub fn volume(&self, since: ReducedTime) -> Volume {
        Volume::new::<cubic_meter>(self.mean_si(since.si()) * self.length * self.width)
    }

    /// Mean thickness in metres; `s` in s2/m2.
    pub(crate) fn mean_si(&self, s: f64) -> f64 {
        let level = LEVEL_COEFFICIENT * (self.length * self.length / (STANDARD_GRAVITY * s)).cbrt();
        let sloped = 2.0 / 3.0 * (self.length / (STANDARD_GRAVITY * self.sin_slope * s)).sqrt();
        (level.min(sloped).powi(3) + self.lip.powi(3)).cbrt()
    }
}

#[cfg(test)]
mod tests {
    use approx::{assert_abs_diff_eq, assert_relative_eq};
    use uom::si::angle::degree;

    use super::*;
    use crate::error::Coded;
    use crate::numeric::quadrature;

    fn floor(slope: f64) -> FloorFilm {
        let m = Length::new::<meter>;
        FloorFilm::new(m(0.3), m(0.22), Angle::new::<degree>(slope)).unwrap().with_lip(m(0.0)).unwrap()
    }

    /// Calculated: a 300 x 220 mm floor, 65 mm2/s, 10 min: 1.07 mm, 71 mL.
    #[test]
    fn level_floor() {
        let s = 600.0 / 65e-6;
        assert_abs_diff_eq!(floor(0.0).mean_si(s) * 1e3, 1.07, epsilon = 0.005);
        let ml = floor(0.0).volume(ReducedTime::from_si(s)).get::<cubic_meter>() * 1e6;
        assert_abs_diff_eq!(ml, 71.0, epsilon = 0.5);
    }

    /// The profile f of `(f^3 f')' = -f`, f'(0) = 0, f(1) = 0: the first integral gives x as an integral over f, which
    /// fixes f(0); the mean is the flow over the edge, `sqrt(2/5) f0^(5/2)`.
    #[test]
    fn coefficient_from_the_profile() {
        let beta = quadrature::integrate_root_ends(|u: f64| u.powi(3) / (1.0 - u.powi(5)).sqrt(), 0.0, 1.0, 1e-12);
        let f0 = (0.4f64.sqrt() / beta).powf(2.0 / 3.0);
        assert_abs_diff_eq!(0.4f64.sqrt() * f0.powf(2.5), LEVEL_COEFFICIENT, epsilon = 5e-5);
    }

    #[test]
    fn scaling() {
        let f = floor(0.0);
        assert_relative_eq!(f.mean_si(8e6), 0.5 * f.mean_si(1e6), max_relative = 1e-12);
        let steep = floor(20.0);
        assert_relative_eq!(steep.mean_si(4e6), 0.5 * steep.mean_si(1e6), max_relative = 1e-12);
    }

    #[test]
    fn a_lip_holds_a_layer_back_for_ever() {
        let m = Length::new::<meter>;
        let f = floor(0.0).with_lip(m(DEFAULT_LIP)).unwrap();
        assert_abs_diff_eq!(f.mean_si(1e15), DEFAULT_LIP, epsilon = 1e-6);
        assert_eq!(f.with_lip(m(0.01)).unwrap_err().code(), "quantity.out_of_range");
        let e = FloorFilm::new(m(0.3), m(f64::NAN), Angle::new::<degree>(0.0)).unwrap_err();
        assert_eq!(e.code(), "quantity.not_finite");
    }
}
