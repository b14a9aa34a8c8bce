//! A sump given by the heights of its floor on a grid.

use super::super::error::GeometryError;
use super::super::mesh::ClosedMesh;
use super::loft::Faces;
use crate::numeric::check;

/// Positions and heights of a floor, in metres.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Floor<'a> {
    /// Rising positions along x, at least two.
    pub(crate) x: &'a [f64],
    /// Rising positions along y, at least two.
    pub(crate) y: &'a [f64],
    /// Height of the floor at every pair, `z[i * y.len() + j]` at `x[i], y[j]`.
    pub(crate) z: &'a [f64],
    /// Height of the flat top; above every floor height.
    pub(crate) top: f64,
}

/// The space between the floor (bilinear between grid points), upright walls around the grid and a flat top.
pub(crate) fn from_floor(floor: Floor<'_>) -> Result<ClosedMesh, GeometryError> {
    check_floor(&floor)?;
    let (nx, ny) = (floor.x.len(), floor.y.len());
    let at = |i: usize, j: usize| i * ny + j;
    let mut vertices = Vec::with_capacity(3 * nx * ny);
    for i in 0..nx {
        for j in 0..ny {
            vertices.push([floor.x[i], floor.y[j], floor.z[at(i, j)]]);
        }
    }
    for i in 0..nx {
        for j in 0..ny {
            vertices.push([floor.x[i], floor.y[j], floor.top]);
        }
    }
    let mut f = Faces { vertices, faces: Vec::new() };
    let roof = |i: usize, j: usize| nx * ny + at(i, j);
    for i in 0..nx - 1 {
        for j in 0..ny - 1 {
            f.quad([at(i, j), at(i, j + 1), at(i + 1, j + 1), at(i + 1, j)]);
            f.quad([roof(i, j), roof(i + 1, j), roof(i + 1, j + 1), roof(i, j + 1)]);
        }
    }
    for i in 0..nx - 1 {
        f.quad([at(i, 0), at(i + 1, 0), roof(i + 1, 0), roof(i, 0)]);
        f.quad([at(i + 1, ny - 1), at(i, ny - 1), roof(i, ny - 1), roof(i + 1, ny - 1)]);
    }
    for j in 0..ny - 1 {
        f.quad([at(0, j + 1), at(0, j), roof(0, j), roof(0, j + 1)]);
        f.quad([at(nx - 1, j), at(nx - 1, j + 1), roof(nx - 1, j + 1), roof(nx - 1, j)]);
    }
    ClosedMesh::try_new(f.vertices, f.faces)
}

fn check_floor(floor: &Floor<'_>) -> Result<(), GeometryError> {
    let (nx, ny) = (floor.x.len(), floor.y.len());
    if nx < 2 || ny < 2 || floor.z.len() != nx * ny {
        return Err(GeometryError::FloorShape { along: nx, across: ny, heights: floor.z.len() });
    }
    for (what, values) in [("floor.x", floor.x), ("floor.y", floor.y), ("floor.z", floor.z)] {
        check::all_finite(what, values)?;
    }
    check::finite("floor.top", floor.top)?;
    for values in [floor.x, floor.y] {
        if let Some(i) = values.windows(2).position(|w| w[1] <= w[0]) {
            let (value, previous, unit) = (values[i + 1] * 1e3, values[i] * 1e3, "mm".into());
            return Err(GeometryError::SectionsNotRising { section: i + 1, value, previous, unit });
        }
    }
    match floor.z.iter().position(|z| floor.top - z < 1e-6) {
        None => Ok(()),
        Some(k) => Err(GeometryError::FloorAboveTop {
            along: k / ny,
            across: k % ny,
            floor_mm: floor.z[k] * 1e3,
            top_mm: floor.top * 1e3,
        }),
    }
}
