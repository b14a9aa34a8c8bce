//! Pans with uneven floors, and shapes with ribs and hanging parts, for the tests of basins.

use super::super::{ClosedMesh, Sump};

/// A pan over a grid of `nx` by `ny` points 10 mm apart: floor heights `z[i * ny + j]` in metres, top at `top`. Every
/// cell is cut along the diagonal from (i, j) to (i + 1, j + 1), so each inner point has six neighbours.
pub(in crate::geometry) fn pan(nx: u32, ny: u32, z: &[f64], top: f64) -> ClosedMesh {
    let at = |i: u32, j: u32| i * ny + j;
    let mut vertices = Vec::new();
    for roof in [false, true] {
        for i in 0..nx {
            for j in 0..ny {
                let height = if roof { top } else { z[at(i, j) as usize] };
                vertices.push([f64::from(i) * 0.01, f64::from(j) * 0.01, height]);
            }
        }
    }
    let over = nx * ny;
    let mut faces = Vec::new();
    for i in 0..nx - 1 {
        for j in 0..ny - 1 {
            let [a, b, c, d] = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
            faces.extend([[a, c, b], [a, d, c]]);
            faces.extend([[a, b, c], [a, c, d]].map(|f| f.map(|v| v + over)));
        }
    }
    let mut wall = |a: u32, b: u32| faces.extend([[a, b, b + over], [a, b + over, a + over]]);
    for i in 0..nx - 1 {
        wall(at(i, 0), at(i + 1, 0));
        wall(at(i + 1, ny - 1), at(i, ny - 1));
    }
    for j in 0..ny - 1 {
        wall(at(0, j + 1), at(0, j));
        wall(at(nx - 1, j), at(nx - 1, j + 1));
    }
    ClosedMesh::try_new(vertices, faces).unwrap()
}

/// Indices of the up to six neighbours of a grid point in [`pan`].
pub(in crate::geometry) fn neighbours(nx: u32, ny: u32, point: u32) -> Vec<u32> {
    let (i, j) = (i64::from(point / ny), i64::from(point % ny));
    [(1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, -1)]
        .iter()
        .map(|(di, dj)| (i + di, j + dj))
        .filter(|(i, j)| (0..i64::from(nx)).contains(i) && (0..i64::from(ny)).contains(j))
        .map(|(i, j)| u32::try_from(i * i64::from(ny) + j).unwrap())
        .collect()
}

/// A box 300 x 200 x 100 mm (x from 0, y from 0) with a rib `thickness` by `height` across its floor, the whole width, with its
/// middle at half length: 5 strips of floor and wall by hand.
pub(in crate::geometry) fn ribbed(thickness: f64, height: f64) -> Sump {
    let (a, b) = (0.15 - thickness / 2.0, 0.15 + thickness / 2.0);
    // Outline in x and z, counter-clockwise seen from -y.
    let outline = [[0.0, 0.0], [a, 0.0], [a, height], [b, height], [b, 0.0], [0.3, 0.0], [0.3, 0.1], [0.0, 0.1]];
    extruded(&outline, &[[0, 1, 2], [0, 2, 7], [7, 2, 3], [7, 3, 6], [3, 5, 6], [3, 4, 5]], 0.2)
}

/// An outline in x and z (counter-clockwise seen from -y) with its triangles, drawn out from y = 0 to `width`.
pub(in crate::geometry) fn extruded(outline: &[[f64; 2]], triangles: &[[u32; 3]], width: f64) -> Sump {
    let n = u32::try_from(outline.len()).unwrap();
    let mut vertices: Vec<[f64; 3]> = outline.iter().map(|[x, z]| [*x, 0.0, *z]).collect();
    vertices.extend(outline.iter().map(|[x, z]| [*x, width, *z]));
    let mut faces = Vec::new();
    for [a, b, c] in triangles {
        faces.extend([[*a, *b, *c], [a + n, c + n, b + n]]);
    }
    for i in 0..n {
        let j = (i + 1) % n;
        faces.extend([[i, j + n, j], [i, i + n, j + n]]);
    }
    Sump::from_mesh(ClosedMesh::try_new(vertices, faces).unwrap())
}
