//! Thermal expansion of lubricating oil: the volume correction factor of API MPMS 11.1.
//!
//! A volume `V15` at 15 degC fills `V15 / vcf(t)` at temperature t, and the density there is `rho15 vcf(t)`.

use serde::{Deserialize, Serialize};
use uom::si::f64::{MassDensity, Ratio, ThermodynamicTemperature};
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::ratio::ratio;

use super::celsius;
use super::error::{FluidError, within};
use crate::numeric::exponential::exp;
use crate::numeric::lanes::Lanes;

/// Which edition of the volume correction is applied.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Edition {
    /// API MPMS 11.1 (2004) = ASTM D1250-04 = IP 200/04: 60 degF base, temperatures converted to IPTS-68.
    #[default]
    V2004,
    /// API MPMS 11.1 (1980), tables 53D and 54D: 15 degC base. Differs from 2004 by less than 1e-5 of volume.
    V1980,
}

/// Lubricating-oil coefficient K1 in degF-1 kg/m3 (MPMS 11.1 (2004), commodity group "lubricating oils": K0 = K2 = 0).
const K1_F: f64 = 0.34878;
/// Lubricating-oil coefficient K1 in degC-1 kg/m3 (MPMS 11.1 (1980), tables 53D and 54D).
const K1_C: f64 = 0.6278;
/// Shift of the 60 degF base between the temperature scales, in degF (MPMS 11.1 (2004), 11.1.6).
const DELTA_60: f64 = 0.01374979547;
/// 60 degF (ITS-90) expressed on IPTS-68, in degF (same source).
const BASE_60_IPTS68: f64 = 60.0068749;
/// ITS-90 to IPTS-68 (MPMS 11.1 (2004), 11.1.5.3), lowest power first, in degC with tau = t/630.
const SCALE_SHIFT: [f64; 8] = [-0.148759, -0.267408, 1.080760, 1.269056, -4.089591, -1.871251, 7.438081, -3.536296];

/// Density range of the lubricating-oil group at 60 degF, in kg/m3 (MPMS 11.1 (2004)).
pub const DENSITY_60F_RANGE: [f64; 2] = [800.9, 1163.5];
/// Temperature range of the correction, in degC (-58 to 302 degF, MPMS 11.1 (2004)).
pub const TEMPERATURE_RANGE_C: [f64; 2] = [-50.0, 150.0];
/// Standard relative uncertainty of K1 for a lubricating oil whose density alone is known.
///
/// K1 is one number for the whole group, but two oils of equal density can expand differently: NBS Research Paper 244
/// (R. S. Jessup, 1930) found more than 30 % between oils of equal specific gravity and different origin at its higher
/// temperatures. Finished lubricants are far more alike; 5 % is a judgement, not a published figure.
pub const K1_RELATIVE_UNCERTAINTY: f64 = 0.05;

const RELATION: &str = "API MPMS 11.1, lubricating oils";

/// The prepared volume correction of one lubricating oil.
///
/// 2004 edition, with rho60 the density at 60 degF, delta60 = 0.01374979547 degF and t68 the temperature on IPTS-68 in degF:
///
/// ```text
/// A     = delta60/2 K1/rho60
/// rho*  = rho60 {1 + [exp(A(1 + 0.8 A)) - 1] / [1 + A(1 + 1.6 A)]}
/// alpha = K1/rho*,   D = t68 - 60.0068749
/// CTL   = exp{-alpha D [1 + 0.8 alpha (D + delta60)]}
/// vcf(t) = CTL(t) / CTL(15 degC)
/// ```
///
/// 1980 edition: `vcf = exp{-a D (1 + 0.8 a D)}`, `a = 0.6278/rho15`, `D = t - 15`. Neither result is rounded here; the
/// standard reports 5 decimals (2004) or prints 4 (1980).
///
/// Valid for 800.9 to 1163.5 kg/m3 at 60 degF and -50 to 150 degC, at atmospheric pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LubeExpansion {
    edition: Edition,
    density_15c: f64,
    /// Coefficient per kelvin (1980) or per degF (2004).
    alpha: f64,
    /// ln CTL of the base temperature, which is subtracted.
    base_exponent: f64,
}

impl LubeExpansion {
    /// Prepares the correction of the 2004 edition for an oil of the given density at 15 degC.
    ///
    /// # Errors
    /// [`FluidError::OutsideRelation`] when the density at 60 degF falls outside 800.9 to 1163.5 kg/m3, and
    /// [`FluidError::Quantity`] when it is not finite.
    ///
    /// ```
    /// use fillmark::fluid::LubeExpansion;
    /// use fillmark::uom::si::{f64::*, mass_density::kilogram_per_cubic_meter, ratio::ratio};
    /// use fillmark::uom::si::thermodynamic_temperature::degree_celsius;
    ///
    /// let oil = LubeExpansion::new(MassDensity::new::<kilogram_per_cubic_meter>(880.0))?;
    /// let hot = ThermodynamicTemperature::new::<degree_celsius>(100.0);
    /// assert!((oil.volume_correction(hot)?.get::<ratio>() - 0.938392).abs() < 1e-6);
    /// # Ok::<(), fillmark::fluid::FluidError>(())
    /// ```
    pub fn new(density_15c: MassDensity) -> Result<Self, FluidError> {
        Self::with_edition(density_15c, Edition::V2004)
    }

    /// Prepares the correction of a named edition; otherwise as [`LubeExpansion::new`].
    pub fn with_edition(density_15c: MassDensity, edition: Edition) -> Result<Self, FluidError> {
        Self::checked_si(density_15c.get::<kilogram_per_cubic_meter>(), edition, 1.0)
    }

    /// As [`LubeExpansion::unchecked_si`], with the density range enforced.
    pub(crate) fn checked_si(density_15c: f64, edition: Edition, k1_scale: f64) -> Result<Self, FluidError> {
        crate::numeric::check::finite("density_15c", density_15c)?;
        let [low, high] = DENSITY_60F_RANGE;
        let density_60f = if density_15c > 0.0 { density_60f(density_15c, K1_F) } else { density_15c };
        within("density at 60 degF", density_60f, low, high, "kg/m3", RELATION)?;
        Ok(Self::unchecked_si(density_15c, edition, k1_scale))
    }

    /// The correction without any range check, for inner loops. `density_15c` in kg/m3, positive; `k1_scale` multiplies
    /// K1 (1 for the standard; see [`K1_RELATIVE_UNCERTAINTY`]).
    pub(crate) fn unchecked_si(density_15c: f64, edition: Edition, k1_scale: f64) -> Self {
        match edition {
            Edition::V2004 => {
                let k1 = K1_F * k1_scale;
                let alpha = alpha_60f(density_60f(density_15c, k1), k1);
                Self { edition, density_15c, alpha, base_exponent: exponent_2004(alpha, base_15c()) }
            }
            Edition::V1980 => Self { edition, density_15c, alpha: K1_C * k1_scale / density_15c, base_exponent: 0.0 },
        }
    }

    /// Volume at 15 degC over volume at `temperature_c` (deg C), unchecked.
    #[inline]
    pub(crate) fn vcf(&self, temperature_c: f64) -> f64 {
        Self::vcf_abreast(|_| self, temperature_c)
    }

    /// [`LubeExpansion::vcf`] of several oils of one edition, each at its temperature.
    #[inline]
    fn vcf_abreast<'a, X: Lanes>(oil: impl Fn(usize) -> &'a Self, temperature_c: X) -> X {
        let alpha = X::from_lanes(|i| oil(i).alpha);
        let exponent = match oil(0).edition {
            Edition::V2004 => exponent_2004(alpha, offset_from_60f(temperature_c)),
            Edition::V1980 => {
                let x = alpha * (temperature_c - X::splat(15.0));
                -x * (X::splat(1.0) + x * 0.8)
            }
        };
        let exponent = exponent - X::from_lanes(|i| oil(i).base_exponent);
        X::widely(
            #[inline(always)]
            || exp(exponent),
        )
    }

    /// [`LubeExpansion::density_si`] of several oils of one edition, each at its temperature.
    #[inline]
    pub(crate) fn density_abreast<'a, X: Lanes>(oil: impl Fn(usize) -> &'a Self, temperature_c: X) -> X {
        X::from_lanes(|i| oil(i).density_15c) * Self::vcf_abreast(&oil, temperature_c)
    }

    /// Density in kg/m3 at `temperature_c` (deg C), unchecked.
    #[inline]
    pub(crate) fn density_si(&self, temperature_c: f64) -> f64 {
        self.density_15c * self.vcf(temperature_c)
    }

    /// Volume at 15 degC over volume at `temperature` (above 1 when colder), for -50 to 150 degC.
    pub fn volume_correction(&self, temperature: ThermodynamicTemperature) -> Result<Ratio, FluidError> {
        Ok(Ratio::new::<ratio>(self.vcf(in_range_c(temperature)?)))
    }

    /// Density at `temperature`, for -50 to 150 degC.
    pub fn density(&self, temperature: ThermodynamicTemperature) -> Result<MassDensity, FluidError> {
        Ok(MassDensity::new::<kilogram_per_cubic_meter>(self.density_si(in_range_c(temperature)?)))
    }

    /// The edition applied.
    pub fn edition(&self) -> Edition {
        self.edition
    }

    /// Density at 15 degC, as given.
    pub fn density_15c(&self) -> MassDensity {
        MassDensity::new::<kilogram_per_cubic_meter>(self.density_15c)
    }
}

/// Deg C of a temperature that the correction covers.
pub(crate) fn in_range_c(temperature: ThermodynamicTemperature) -> Result<f64, FluidError> {
    let [low, high] = TEMPERATURE_RANGE_C;
    // A temperature given in deg C comes back from kelvin with a rounding error, so the limits themselves are kept in.
    let t = celsius(temperature);
    let t = if (t - low).abs() < 1e-9 {
        low
    } else if (t - high).abs() < 1e-9 {
        high
    } else {
        t
    };
    within("temperature", t, low, high, "degC", RELATION)
}

/// Temperature on IPTS-68 in degC of a temperature on ITS-90 in degC (MPMS 11.1 (2004), 11.1.5.3).
#[inline]
pub(crate) fn ipts68_c<X: Lanes>(t90_c: X) -> X {
    let tau = t90_c * (1.0 / 630.0);
    t90_c - SCALE_SHIFT.iter().rev().fold(X::splat(0.0), |sum, a| (sum + X::splat(*a)) * tau)
}

/// Temperature on IPTS-68 less the 60 degF base, in degF, for a temperature in degC on ITS-90.
#[inline]
fn offset_from_60f<X: Lanes>(t90_c: X) -> X {
    ipts68_c(t90_c) * 1.8 + X::splat(32.0) - X::splat(BASE_60_IPTS68)
}

/// [`offset_from_60f`] of 15 degC.
fn base_15c() -> f64 {
    offset_from_60f(15.0)
}

/// ln CTL for `alpha` per degF and an offset in degF from the 60 degF base.
#[inline]
fn exponent_2004<X: Lanes>(alpha: X, offset: X) -> X {
    -alpha * offset * (X::splat(1.0) + alpha * 0.8 * (offset + X::splat(DELTA_60)))
}

/// Expansion coefficient per degF at 60 degF (IPTS-68 base) from the density at 60 degF.
fn alpha_60f(density_60f: f64, k1: f64) -> f64 {
    let a = 0.5 * DELTA_60 * k1 / density_60f;
    let x = a * (1.0 + 0.8 * a);
    k1 / (density_60f * (1.0 + x.exp_m1() / (1.0 + a * (1.0 + 1.6 * a))))
}

/// Density at 60 degF from the density at 15 degC. With `rho15 = rho60 CTL(15 degC)` the slope d rho15 / d rho60 is
/// `CTL (1 + alpha D)`, which differs from 1 by less than 1e-6, so each Newton step of unit slope gains six digits; the start has three.
fn density_60f(density_15c: f64, k1: f64) -> f64 {
    let offset = base_15c();
    let mut density = density_15c;
    for _ in 0..2 {
        let factor = exponent_2004(alpha_60f(density, k1), offset).exp();
        density -= density * factor - density_15c;
    }
    density
}

#[cfg(test)]
mod tests;
