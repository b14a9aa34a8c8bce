//! Kinematic viscosity against temperature: the MacCoull-Walther line of ASTM D341.

use uom::si::f64::{KinematicViscosity, ThermodynamicTemperature};
use uom::si::kinematic_viscosity::square_meter_per_second;

use super::error::{FluidError, tidy, within};
use super::{KELVIN, celsius};
use crate::numeric::exponential::exp;
use crate::numeric::lanes::Lanes;
use crate::numeric::logarithm::ln;

/// Kinematic viscosity that the practical form of D341 covers, in m2/s: 0.21 to 2e7 mm2/s.
pub const NU_RANGE: [f64; 2] = [0.21e-6, 20.0];

/// Temperatures of the D341 charts, in deg C (from memory).
pub const TEMPERATURE_RANGE_C: [f64; 2] = [-70.0, 370.0];

const RELATION: &str = "ASTM D341, practical form";
const MM2_S: f64 = 1e-6;

/// The straight line of ASTM D341 through two viscosity points.
///
/// ```text
/// log10 log10 Z = A - B log10 T,   T in kelvin (deg C + 273.15)
/// Z  = nu + 0.7 + exp(-1.47 - 1.84 nu - 0.51 nu^2),   nu in mm2/s
/// nu = x - exp(-0.7487 - 3.295 x + 0.6119 x^2 - 0.3193 x^3),   x = Z - 0.7
/// ```
///
/// ASTM D341-20, sections 5 and 6, practical form with the low-viscosity terms, for 0.21 to 2e7 mm2/s. The inverse is
/// an approximation of the standard: a round trip is good to 0.02 %. The constant is 0.7; the 0.8 of DIN 51563 gives
/// 6.6 % less at -20 degC for an oil of 32 and 5.4 mm2/s, so the two must not be mixed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ViscosityLine {
    /// Intercept of `ln ln Z = a - b ln T`.
    a: f64,
    /// Slope B (the same for natural and decimal logarithms).
    b: f64,
}

impl ViscosityLine {
    /// The line through two points, given in any order.
    ///
    /// # Errors
    /// [`FluidError::SameTemperature`], [`FluidError::ViscosityNotFalling`] when the hotter point is not the thinner,
    /// [`FluidError::OutsideRelation`] when a viscosity is outside 0.21 to 2e7 mm2/s, [`FluidError::Quantity`] when a
    /// number is not finite.
    ///
    /// ```
    /// use fillmark::fluid::ViscosityLine;
    /// use fillmark::uom::si::{f64::*, kinematic_viscosity::square_millimeter_per_second as mm2_s};
    /// use fillmark::uom::si::thermodynamic_temperature::degree_celsius;
    ///
    /// let t = ThermodynamicTemperature::new::<degree_celsius>;
    /// let nu = KinematicViscosity::new::<mm2_s>;
    /// let line = ViscosityLine::through((t(40.0), nu(90.0)), (t(100.0), nu(14.0)))?;
    /// assert!((line.kinematic_viscosity(t(60.0))?.get::<mm2_s>() - 42.0457).abs() < 1e-3);
    /// # Ok::<(), fillmark::fluid::FluidError>(())
    /// ```
    pub fn through(
        first: (ThermodynamicTemperature, KinematicViscosity),
        second: (ThermodynamicTemperature, KinematicViscosity),
    ) -> Result<Self, FluidError> {
        let point =
            |(t, nu): (ThermodynamicTemperature, KinematicViscosity)| (celsius(t), nu.get::<square_meter_per_second>());
        Self::checked_si(point(first), point(second))
    }

    /// As [`ViscosityLine::through`], points as (deg C, m2/s).
    pub(crate) fn checked_si(first: (f64, f64), second: (f64, f64)) -> Result<Self, FluidError> {
        for (t, nu) in [first, second] {
            within(
                "temperature of a viscosity point",
                t,
                TEMPERATURE_RANGE_C[0],
                TEMPERATURE_RANGE_C[1],
                "degC",
                RELATION,
            )?;
            let [low, high] = NU_RANGE.map(|v| v / MM2_S);
            within("kinematic viscosity", nu / MM2_S, low, high, "mm2/s", RELATION)?;
        }
        // A difference below a millikelvin is the same temperature written twice.
        if (first.0 - second.0).abs() < 1e-3 {
            return Err(FluidError::SameTemperature { temperature_c: tidy(first.0) });
        }
        let (cold, hot) = if first.0 < second.0 { (first, second) } else { (second, first) };
        if cold.1 <= hot.1 {
            return Err(FluidError::ViscosityNotFalling {
                cold_c: tidy(cold.0),
                cold_mm2_s: tidy(cold.1 / MM2_S),
                hot_c: tidy(hot.0),
                hot_mm2_s: tidy(hot.1 / MM2_S),
            });
        }
        Ok(Self::unchecked_si(cold, hot))
    }

    /// The line through two points (deg C, m2/s) without any check, for inner loops.
    pub(crate) fn unchecked_si(first: (f64, f64), second: (f64, f64)) -> Self {
        Self::by_logarithms((ln_kelvin(first.0), first.1), (ln_kelvin(second.0), second.1))
    }

    /// As [`ViscosityLine::unchecked_si`], points as ([`ln_kelvin`], m2/s).
    pub(crate) fn by_logarithms(first: (f64, f64), second: (f64, f64)) -> Self {
        Lines::by_logarithms(first, second).of(0)
    }

    /// Kinematic viscosity in m2/s at `temperature_c` (deg C), unchecked.
    #[inline]
    pub(crate) fn nu(&self, temperature_c: f64) -> f64 {
        self.nu_at(ln_kelvin(temperature_c))
    }

    /// As [`ViscosityLine::nu`], at a temperature by its [`ln_kelvin`].
    #[inline]
    pub(crate) fn nu_at(&self, ln_kelvin: f64) -> f64 {
        Lines::same(self).nu(ln_kelvin)
    }

    /// Kinematic viscosity at `temperature`.
    ///
    /// # Errors
    /// [`FluidError::OutsideRelation`] outside -70 to 370 degC, and when the line gives a value outside 0.21 to 2e7 mm2/s
    /// there. The relation holds only while the oil is a homogeneous liquid: not below its pour point.
    pub fn kinematic_viscosity(&self, temperature: ThermodynamicTemperature) -> Result<KinematicViscosity, FluidError> {
        let t = celsius(temperature);
        within("temperature", t, TEMPERATURE_RANGE_C[0], TEMPERATURE_RANGE_C[1], "degC", RELATION)?;
        let [low, high] = NU_RANGE.map(|v| v / MM2_S);
        let nu = within("kinematic viscosity", self.nu(t) / MM2_S, low, high, "mm2/s", RELATION)?;
        Ok(KinematicViscosity::new::<square_meter_per_second>(nu * MM2_S))
    }

    /// Intercept A of the line in decimal logarithms.
    pub fn intercept(&self) -> f64 {
        // ln ln Z = ln(ln 10) + ln 10 log10 log10 Z.
        (self.a - std::f64::consts::LN_10.ln()) / std::f64::consts::LN_10
    }

    /// Slope B of the line.
    pub fn slope(&self) -> f64 {
        self.b
    }
}

/// The lines of the oils of several draws.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lines<X> {
    a: X,
    b: X,
}

#[allow(clippy::inline_always)] // so that it is compiled for the widest instructions
impl<X: Lanes> Lines<X> {
    /// One oil in every draw.
    #[inline(always)]
    pub(crate) fn same(line: &ViscosityLine) -> Self {
        Self { a: X::splat(line.a), b: X::splat(line.b) }
    }

    /// As [`ViscosityLine::by_logarithms`].
    #[inline(always)]
    pub(crate) fn by_logarithms((l1, nu1): (f64, X), (l2, nu2): (f64, X)) -> Self {
        let [w1, w2] = walthers([nu1 / MM2_S, nu2 / MM2_S]);
        let b = (w1 - w2) / (l2 - l1);
        Self { a: w1 + b * l1, b }
    }

    /// As [`ViscosityLine::nu_at`].
    #[inline(always)]
    pub(crate) fn nu(&self, ln_kelvin: X) -> X {
        from_walther(self.a - self.b * ln_kelvin) * MM2_S
    }

    /// The line of a draw.
    pub(crate) fn of(&self, draw: usize) -> ViscosityLine {
        ViscosityLine { a: self.a.lane(draw), b: self.b.lane(draw) }
    }
}

/// `ln T` of a temperature in deg C.
#[inline(always)]
#[allow(clippy::inline_always)] // so that it is compiled for the widest instructions
pub(crate) fn ln_kelvin<X: Lanes>(temperature_c: X) -> X {
    ln(temperature_c + X::splat(KELVIN))
}

/// `ln ln Z` of a viscosity in mm2/s.
pub(crate) fn walther<X: Lanes>(nu: X) -> X {
    let [w] = walthers([nu]);
    w
}

/// [`walther`] of several: neither waits for the other.
#[inline(always)]
#[allow(clippy::inline_always)] // so that it is compiled for the widest instructions
fn walthers<X: Lanes, const N: usize>(nu: [X; N]) -> [X; N] {
    // From 8 mm2/s on the exponential is below 1e-21, under the rounding of the sum.
    let z = nu.map(|nu| nu + X::splat(0.7));
    let thin = |nu: X| nu.any(|nu| nu < 8.0);
    let mut w = if nu.into_iter().any(thin) { std::array::from_fn(|i| z[i] + thinness(nu[i])) } else { z };
    // No `map` or `for_each`: what they are given is called, and not compiled for wide instructions.
    for w in &mut w {
        *w = ln(ln(*w));
    }
    w
}

/// The term of viscosities below 8 mm2/s.
#[cold]
fn thinness<X: Lanes>(nu: X) -> X {
    let low = exp(nu.map(|nu| -1.47 - nu * (1.84 + 0.51 * nu)));
    low.with(nu, |low, nu| if nu < 8.0 { low } else { 0.0 })
}

/// The viscosity in mm2/s of a given `ln ln Z`.
#[inline(always)]
#[allow(clippy::inline_always)] // so that it is compiled for the widest instructions
pub(crate) fn from_walther<X: Lanes>(w: X) -> X {
    let x = exp(exp(w)) - X::splat(0.7);
    // Above 5 mm2/s the correction is below 1e-18 of x, under the rounding of the difference.
    if x.all(|x| x >= 5.0) { x } else { x - low_viscosity(x) }
}

/// The term of low viscosities, below 5 mm2/s.
#[cold]
fn low_viscosity<X: Lanes>(x: X) -> X {
    let low = exp(x.map(|x| -0.7487 + x * (-3.295 + x * (0.6119 - 0.3193 * x))));
    low.with(x, |low, x| if x < 5.0 { low } else { 0.0 })
}

#[cfg(test)]
mod tests;
