//! Units of the trade, text with units, and uncertain values.

mod dimension;
mod distribution;
mod error;
mod exact;
mod number;
mod parse;
mod serde_text;
mod table;
#[cfg(test)]
mod tests;
mod truncated;
mod value;
mod written;

pub use dimension::{
    Angle, Area, Density, Dimension, DimensionId, DynamicViscosity, KinematicViscosity, Length, Mass, Pressure, Ratio,
    SurfaceTension, Temperature, TemperatureDifference, Time, Torque, Volume, VolumeFlow,
};
pub use distribution::Distribution;
pub use error::QuantityError;
pub use exact::{Unit, convert, convert_as, find_unit, unit, unit_of, units_of};
pub use parse::{parse_any, parse_si};
pub use value::Value;
pub use written::format_in;
