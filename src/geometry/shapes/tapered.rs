//! Boxes with sloping sides.

use super::super::error::GeometryError;
use super::super::mesh::ClosedMesh;
use super::super::vector::Vec3;
use super::cuboid::{HEXAHEDRON, side};

/// An obelisk: rectangular floor and top (length, width), both centred on the z axis, joined by four flat sides. The
/// origin is the middle of the floor. Metres.
pub(crate) fn tapered(floor: [f64; 2], top: [f64; 2], height: f64) -> Result<ClosedMesh, GeometryError> {
    side("floor_length", floor[0])?;
    side("floor_width", floor[1])?;
    side("top_length", top[0])?;
    side("top_width", top[1])?;
    side("height", height)?;
    let corner = |i: u32| -> Vec3 {
        let size = if i & 4 == 0 { floor } else { top };
        let sign = |bit: u32| if i & bit == 0 { -0.5 } else { 0.5 };
        [sign(1) * size[0], sign(2) * size[1], if i & 4 == 0 { 0.0 } else { height }]
    };
    ClosedMesh::try_new((0..8).map(corner).collect(), HEXAHEDRON.to_vec())
}
