//! What lies straight below a point.

use super::super::mesh::ClosedMesh;
use super::super::vector::{Vec3, cross, dot, norm, scale, sub};

/// How far outside a triangle its edge still counts as inside, as a fraction of the triangle.
const EDGE: f64 = 1e-9;
/// Faces less than this below a point are the ones it lies on \[m\].
const TOUCH: f64 = 1e-9;

/// The floor below vertex `v`: the highest face under it that looks down and away from the liquid.
pub(super) fn floor_below(mesh: &ClosedMesh, up: Vec3, heights: &[f64], v: u32) -> Option<usize> {
    floor_under(mesh, up, heights, mesh.vertex(v), heights[v as usize]).map(|hit| hit.0)
}

/// The highest floor face below a point of height `height`, and the height where it is met.
pub(super) fn floor_under(
    mesh: &ClosedMesh,
    up: Vec3,
    heights: &[f64],
    point: Vec3,
    height: f64,
) -> Option<(usize, f64)> {
    let [e, n] = across(up);
    let flat = |v: u32| {
        let d = sub(mesh.vertex(v), point);
        [dot(d, e), dot(d, n)]
    };
    let mut best: Option<(usize, f64)> = None;
    for (i, f) in mesh.faces.iter().enumerate() {
        if dot(mesh.area[i], up) >= 0.0 || f.iter().all(|v| heights[*v as usize] > height) {
            continue;
        }
        let [a, b, c] = f.map(flat);
        let [la, lb, lc] = [turn(b, c), turn(c, a), turn(a, b)];
        let sum = la + lb + lc;
        let margin = -EDGE * sum.abs();
        // Seen from above a floor face runs clockwise, so all three parts are negative inside.
        if sum >= 0.0 || -la < margin || -lb < margin || -lc < margin {
            continue;
        }
        let z = f.map(|v| heights[v as usize]);
        let met = (la * z[0] + lb * z[1] + lc * z[2]) / sum;
        if met < height - TOUCH && best.is_none_or(|(_, high)| met > high) {
            best = Some((i, met));
        }
    }
    best
}

fn turn(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

/// Two directions across *up*, right-handed with it.
pub(super) fn across(up: Vec3) -> [Vec3; 2] {
    let start = if up[0].abs() < 0.6 { [1.0, 0.0, 0.0] } else { [0.0, 1.0, 0.0] };
    let n = cross(up, start);
    let n = scale(n, 1.0 / norm(n));
    [cross(n, up), n]
}
