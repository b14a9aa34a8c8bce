//! Shapes given by a few dimensions, as closed meshes.

mod cuboid;
mod cylinder;
mod floor;
mod loft;
mod polygon;
mod revolve;
mod stepped;
mod sump;
mod tapered;

#[cfg(test)]
pub(crate) use cuboid::HEXAHEDRON;
pub(crate) use cuboid::cuboid;
pub use cylinder::{Axis, Cylinder, End};
pub use sump::{Floor, Section, Stepped};
