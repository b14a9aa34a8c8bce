//! Fluids: what expands and what flows.
//!
//! Temperatures are on ITS-90; densities and volumes are at atmospheric pressure. Inside the crate all numbers are SI
//! (`kg/m3`, `m2/s`, `Pa.s`) and temperatures in deg C; public signatures take `uom` quantities.

pub mod blend;
pub mod coolant;
pub mod density;
mod error;
pub mod expansion;
pub mod film;
pub mod fuel;
pub mod grades;
pub mod metal;
mod oil;
pub mod outflow;
pub mod suction;
pub mod viscosity;
pub mod viscosity_index;
pub mod water;

pub use blend::BlendRule;
pub use coolant::{Basis, GlycolWater};
pub use density::{DensityLaw, DensityTable};
pub use error::FluidError;
pub use expansion::{Edition, LubeExpansion};
pub use fuel::FuelExpansion;
pub use grades::{GradeOil, Label, Standard};
pub use metal::Metal;
pub use oil::{Fluid, OilModel};
pub use viscosity::ViscosityLine;

/// Deg C of a thermodynamic temperature.
pub(crate) fn celsius(temperature: uom::si::f64::ThermodynamicTemperature) -> f64 {
    temperature.get::<uom::si::thermodynamic_temperature::kelvin>() - KELVIN
}

/// Standard acceleration of free fall in m/s2, exact.
pub(crate) const STANDARD_GRAVITY: f64 = 9.80665;

/// 0 deg C in kelvin, exact.
pub(crate) const KELVIN: f64 = 273.15;
