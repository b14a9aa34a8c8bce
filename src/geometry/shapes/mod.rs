//! Shapes given by a few dimensions, as closed meshes.

mod cuboid;

#[cfg(test)]
pub(crate) use cuboid::HEXAHEDRON;
pub(crate) use cuboid::cuboid;
