//! The units that keyword suffixes name, each with its exact factor.

use crate::units::{self, Dimension};

/// A unit of the Python face.
pub(super) trait Unit: Send + Sync + 'static {
    /// The kind of quantity it measures.
    type Kind: Dimension;
    /// How messages and texts write it.
    const SYMBOL: &'static str;
    /// The word that pint and libraries with its face read.
    const WORD: &'static str;

    /// SI value of a number in this unit (temperatures stay in deg C).
    fn to_si(value: f64) -> f64;

    /// Number in this unit of an SI value.
    fn from_si(si: f64) -> f64;
}

/// A unit with an exact factor: `/ 1e3` is a thousandth of the SI unit, `* 60.0` is sixty of them.
macro_rules! unit {
    (@to / $x:ident $factor:literal) => { $x / $factor };
    (@to * $x:ident $factor:literal) => { $x * $factor };
    (@from / $x:ident $factor:literal) => { $x * $factor };
    (@from * $x:ident $factor:literal) => { $x / $factor };
    ($($(#[$doc:meta])* $unit:ident, $kind:ident, $symbol:literal, $word:literal, $op:tt $factor:literal;)*) => {$(
        $(#[$doc])*
        pub(super) struct $unit;

        impl Unit for $unit {
            type Kind = units::$kind;
            const SYMBOL: &'static str = $symbol;
            const WORD: &'static str = $word;

            fn to_si(value: f64) -> f64 {
                unit!(@to $op value $factor)
            }

            fn from_si(si: f64) -> f64 {
                unit!(@from $op si $factor)
            }
        }
    )*};
}

unit! {
    /// `_l`
    Litre, Volume, "L", "litre", / 1e3;
    /// `_mm`
    Millimetre, Length, "mm", "millimetre", / 1e3;
    /// `_mm2`
    SquareMillimetre, Area, "mm2", "millimetre ** 2", / 1e6;
    /// `_kg_m3`
    KilogramPerCubicMetre, Density, "kg/m3", "kilogram / metre ** 3", / 1.0;
    /// `_mm2_s`
    SquareMillimetrePerSecond, KinematicViscosity, "mm2/s", "millimetre ** 2 / second", / 1e6;
    /// `_mpa_s`
    MillipascalSecond, DynamicViscosity, "mPa.s", "millipascal * second", / 1e3;
    /// `_c`
    DegreeCelsius, Temperature, "degC", "degC", / 1.0;
    /// `_kg`
    Kilogram, Mass, "kg", "kilogram", / 1.0;
    /// `seconds`
    Second, Time, "s", "second", / 1.0;
    /// `minutes`
    Minute, Time, "min", "minute", * 60.0;
    /// `hours`
    Hour, Time, "h", "hour", * 3600.0;
    /// `_um`
    Micrometre, Length, "um", "micrometre", / 1e6;
    /// `_kpa`
    Kilopascal, Pressure, "kPa", "kilopascal", * 1e3;
    /// `_l_min`
    LitrePerMinute, VolumeFlow, "L/min", "litre / minute", / 6e4;
    /// `_n_m`
    NewtonPerMetre, SurfaceTension, "N/m", "newton / metre", / 1.0;
    /// `_ppm_k`
    PpmPerKelvin, Expansion, "ppm/K", "ppm / kelvin", / 1e6;
    /// `_m_s2`
    MetrePerSecondSquared, Acceleration, "m/s2", "metre / second ** 2", / 1.0;
    /// no suffix
    One, Ratio, "1", "dimensionless", / 1.0;
}

/// `_deg`
pub(super) struct Degree;

impl Unit for Degree {
    type Kind = units::Angle;
    const SYMBOL: &'static str = "deg";
    const WORD: &'static str = "degree";

    fn to_si(value: f64) -> f64 {
        value.to_radians()
    }

    fn from_si(si: f64) -> f64 {
        si.to_degrees()
    }
}
