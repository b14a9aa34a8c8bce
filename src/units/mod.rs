//! Units of the trade, text with units, and uncertain values.
//!
//! # Text
//!
//! ```text
//! what is written                         what it means
//! 4.2 L   .5 L   1e-3 m3   -4 degC        an exact number
//! 1/2 US qt   5 1/2 US qt                 an exact fraction
//! 0.35(5) L   0.350(12) L   7.4(1)e-3 L   standard uncertainty in the last digits (JCGM 100, 7.2.2): normal
//! 0.35(0.05) L                            standard uncertainty in full (JCGM 100, 7.2.2): normal
//! 0.35 ± 0.10 L k=2   (also +/- and +-)   expanded uncertainty (JCGM 100, 6.2.1): normal, sd = 0.10 L / 2
//! 0.30 .. 0.40 L                          limits: rectangular
//! normal(0.35, 0.05) L                    mean, standard deviation
//! rectangular(0.30, 0.40) L               lower and upper limit
//! triangular(0.30, 0.35, 0.40) L          lower limit, mode, upper limit
//! lognormal(0.30, 0.66) L                 median; standard deviation of the natural logarithm (no unit)
//! truncated(0.35, 0.05, 0, 0.5) L         a normal's mean and standard deviation; limits (also -inf, inf)
//! rectangular(0.30, 0.40, 0.01) L         limits that are themselves known within ± 0.01 L (JCGM 101, 6.4.3)
//! arcsine(0.30, 0.40) L                   limits of a quantity that swings as a sine (JCGM 101, 6.4.6)
//! pert(0.30, 0.35, 0.45) L                lowest, most likely, highest: a beta distribution
//! beta(0.30, 0.45, 2, 3) L                limits; shapes alpha and beta (no unit)
//! t(0.35, 0.05, 4) L                      estimate, standard uncertainty as stated, degrees of freedom (JCGM 101, 6.4.9)
//! samples(0.34, 0.35, 0.37) L             each of these values with the same probability
//! ```
//!
//! A file may also name the numbers of a functional form, in a table under the form's name (`limits_within`,
//! `standard_uncertainty`, `degrees_of_freedom` and `values` are the names that need saying):
//!
//! ```toml
//! net_volume = { truncated = { mean = 0.35, standard_uncertainty = 0.05, low = 0, unit = "L" } }
//! heel = { samples = { values = [0.34, 0.35, 0.37], unit = "L" } }
//! ```
//!
//! Only a ratio may do without a unit. Refused, each with what to write instead: bare qt, gal, pt and oz (US or
//! imperial?), a decimal comma, a unit of another kind, `±` without `k=` (to a mechanic it is a tolerance).
//!
//! # Units
//!
//! ```text
//! volume                  L l, mL ml, dL, cL, uL, m3, dm3, cm3 cc, mm3, in3 (cu in)
//!                         US qt, US gal, US pt, US fl oz, imp qt, imp gal, imp pt, imp fl oz
//! length                  mm, cm, m, um, in, ft
//! mass                    kg, g, mg, t, lb
//! temperature             degC °C C, degF °F F, K           stored in degrees Celsius
//! temperature difference  K, degC, degF (size of the step only)
//! pressure                Pa, hPa, kPa, MPa, mbar, bar, psi
//! torque                  N.m Nm, ft.lbf lbf.ft ft-lbf, in.lbf
//! time                    s, min, h, d
//! angle                   deg °, rad, % (a slope: the angle is atan of it)
//! density                 kg/m3, g/cm3, kg/L, g/mL, kg/dm3, g/L
//! kinematic viscosity     mm2/s, cSt, m2/s
//! dynamic viscosity       mPa.s, cP, Pa.s
//! volume flow             L/min, L/s, L/h, mL/s, mL/min, m3/h, m3/s, US gal/min, imp gal/min
//! area                    mm2, cm2, m2
//! surface tension         N/m, mN/m
//! ratio                   1 or nothing, %
//! ```
//!
//! Powers may be written m3, m^3 or m³; a product N.m or N·m. Case matters (m is not M), but for l and L. Factors are
//! exact integer fractions; a conversion is rounded once.
//!
//! # Numbers inside the crate
//!
//! SI, with one exception: a temperature is stored in degrees Celsius, in fields named `_c`; its uncertainty is a
//! difference and has the same number in degrees Celsius and kelvin. An uncertain slope in per cent propagates to
//! first order (JCGM 100, 5.1.2).
//!
//! ```
//! use fillmark::units::{Temperature, Value, Volume};
//!
//! let fill = Value::<Volume>::parse("fill", "5 1/2 US qt")?;
//! assert_eq!(fill.nominal(), 5.204_941_203e-3);
//! let warm = Value::<Temperature>::parse("oil", "140 ± 3.6 degF k=2")?;
//! assert_eq!((warm.nominal(), warm.standard_uncertainty()), (60.0, 1.0));
//! let refused = Value::<Volume>::parse("fill", "5 1/2 qt").unwrap_err();
//! assert!(refused.to_string().ends_with("say US qt (0.946352946 L) or imp qt (1.1365225 L)"));
//! # Ok::<(), fillmark::units::QuantityError>(())
//! ```

mod dimension;
mod distribution;
mod error;
mod exact;
mod inexact;
mod number;
mod parse;
#[cfg(test)]
mod schema;
mod serde_text;
mod table;
mod table_form;
#[cfg(test)]
mod tests;
mod truncated;
mod uom_face;
mod value;
mod written;

pub use dimension::{
    Acceleration, Angle, Area, Density, Dimension, DimensionId, DynamicViscosity, Expansion, KinematicViscosity,
    Length, Mass, Pressure, Ratio, SurfaceTension, Temperature, TemperatureDifference, Time, Torque, Volume,
    VolumeFlow,
};
pub use distribution::Distribution;
pub(crate) use distribution::Ready;
pub use error::QuantityError;
pub use exact::{Unit, convert, convert_as, find_unit, unit, unit_of, units_of};
pub use parse::{parse_any, parse_as_written, parse_si};
pub use value::Value;
pub use written::format_in;
#[cfg(feature = "python")]
pub(crate) use written::written_form;
