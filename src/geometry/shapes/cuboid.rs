//! Boxes.

use super::super::error::GeometryError;
use super::super::mesh::ClosedMesh;
use super::super::vector::Vec3;
use crate::numeric::check;

/// The twelve triangles of eight corners numbered by bits: 1 front, 2 left, 4 high.
pub(crate) const HEXAHEDRON: [[u32; 3]; 12] = [
    [0, 2, 3],
    [0, 3, 1], // floor
    [4, 5, 7],
    [4, 7, 6], // top
    [0, 1, 5],
    [0, 5, 4], // right
    [2, 6, 7],
    [2, 7, 3], // left
    [0, 4, 6],
    [0, 6, 2], // rear
    [1, 3, 7],
    [1, 7, 5], // front
];

/// Accepts a side of a shape, in metres.
pub(crate) fn side(what: &str, metres: f64) -> Result<f64, GeometryError> {
    Ok(check::in_range(what, metres * 1e3, 1.0, 20_000.0, "mm")? / 1e3)
}

/// A box whose floor is centred on the origin.
pub(crate) fn cuboid(length: f64, width: f64, height: f64) -> Result<ClosedMesh, GeometryError> {
    side("length", length)?;
    side("width", width)?;
    side("height", height)?;
    let corner = |i: u32| -> Vec3 {
        let pick = |bit: u32, low: f64, high: f64| if i & bit == 0 { low } else { high };
        [pick(1, -length / 2.0, length / 2.0), pick(2, -width / 2.0, width / 2.0), pick(4, 0.0, height)]
    };
    ClosedMesh::try_new((0..8).map(corner).collect(), HEXAHEDRON.to_vec())
}
