//! Exact level and volume of any sump at any attitude.
//!
//! Conventions, stated once: body frame x forward, y left, z up (axes of ISO 8855); *up* in that frame is
//! `(sin p, cos p sin r, cos p cos r)` for nose-up `p` and right-down `r` (see [`Attitude`]); **level** is the height
//! of a free surface above the sump's lowest point at that attitude, along *up*. The datum therefore moves with the
//! attitude; [`LevelCurve::datum`] is where it lies in the body frame. Numbers inside are in metres and cubic metres.
//!
//! Every shape with a plan form is a [`ClosedMesh`] of the liquid space. The volume below a plane is an exact sum over
//! its triangles; [`LevelCurve`] is that sum prepared for one attitude.

mod attitude;
mod attitude_from;
mod basins;
mod blocks;
mod cache;
mod cover;
mod curve;
mod curved;
mod displacer;
mod distance;
mod error;
mod extent;
mod glance;
mod inside;
mod inspect;
pub(crate) mod kernel;
mod knots;
mod lookup;
mod mesh;
mod parts;
mod patch;
mod plug;
mod point;
mod ramp;
mod response;
mod response_build;
mod shapes;
mod shells;
pub mod stl;
mod strapping;
mod sum;
mod sump;
mod surface;
mod table;
mod tensor;
#[cfg(test)]
mod tests;
mod topology;
mod transform;
pub(crate) mod vector;
mod wetted;

pub use attitude::Attitude;
pub use attitude_from::TurnedReadings;
pub use basins::{
    AirLock, Basin, Flow, Hole, Hysteresis, Outlets, Pool, Pools, Reach, Sill, SuctionHeel, SuctionTip, Turn, Vents,
};
pub(crate) use basins::{WALL, joined};
pub use curve::{Interval, LevelCurve};
pub use error::GeometryError;
pub(crate) use glance::Glance;
pub use inspect::{Finding, Flaw, Inspection, inspect};
pub use kernel::Side;
pub use mesh::ClosedMesh;
pub(crate) use patch::Line;
pub use plug::Plug;
pub use point::{Bounds, Point};
pub use response::{Domain, Response, ResponseOptions, ResponseQuality};
pub use shapes::{Axis, Cylinder, End, Floor, Section, Stepped};
pub use shells::{Shell, ShellKind};
pub use stl::LengthUnit;
pub use strapping::Strapping;
pub use sump::Sump;
pub use surface::Surface;
pub use table::Span;
pub use wetted::{WettedArea, WettedCurve};
