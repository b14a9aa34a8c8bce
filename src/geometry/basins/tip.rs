//! A low point of the surface: does a basin begin there, or does something hang into liquid?

use super::super::mesh::ClosedMesh;
use super::super::vector::{Vec3, add, cross, dot, norm, scale, sub};
use super::adjacency::Adjacency;

/// Below this the two answers are too near each other to tell them by the normal.
const UNCLEAR: f64 = 1e-6;
/// How far below a low point its surroundings are probed when the normal does not tell \[m\].
const PROBE: f64 = 1e-6;

/// Whether there is liquid just below a vertex from which the surface only rises.
///
/// The vertex is then the point of the surface nearest to all points straight below it, and those lie outside the
/// liquid if they lie on the outer side of the angle-weighted normal there (from memory: Bærentzen and Aanæs 2005, IEEE Trans. Vis.
/// Comput. Graphics 11:243).
pub(super) fn hangs(mesh: &ClosedMesh, adjacency: &Adjacency, up: Vec3, vertex: u32) -> bool {
    let rise = lean(mesh, adjacency, up, vertex);
    if rise.abs() < UNCLEAR {
        let probe = sub(mesh.vertex(vertex), scale(up, PROBE));
        return mesh.contains_si(probe);
    }
    rise > 0.0
}

/// Of vertices of one height, the one that tells best.
pub(super) fn clearest(mesh: &ClosedMesh, adj: &Adjacency, up: Vec3, vertices: impl Iterator<Item = u32>) -> u32 {
    let mut best = (0, -1.0);
    for (n, v) in vertices.enumerate() {
        // The first will do where it is the only one or tells well.
        let clear = lean(mesh, adj, up, v).abs();
        if clear > best.1 {
            best = (v, clear);
        }
        if n >= 8 && best.1 > 0.1 {
            break;
        }
    }
    best.0
}

/// The part along *up* of the angle-weighted outward normal.
fn lean(mesh: &ClosedMesh, adjacency: &Adjacency, up: Vec3, vertex: u32) -> f64 {
    let at = mesh.vertex(vertex);
    let mut normal = [0.0; 3];
    for c in adjacency.around(vertex) {
        let area = mesh.area[c.face as usize];
        let size = norm(area);
        if size > 0.0 {
            let (a, b) = (sub(mesh.vertex(c.next), at), sub(mesh.vertex(c.previous), at));
            let angle = norm(cross(a, b)).atan2(dot(a, b));
            normal = add(normal, scale(area, angle / size));
        }
    }
    dot(normal, up)
}
