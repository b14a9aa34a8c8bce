//! Which basin a point of the body belongs to.

use super::super::attitude::Attitude;
use super::super::distance::nearest_on_triangle;
use super::super::error::GeometryError;
use super::super::mesh::ClosedMesh;
use super::super::sump::Sump;
use super::super::vector::{Vec3, mm, norm, sub};
use super::below;
use super::tree::Tree;

/// How far outside the liquid space a point may lie and still count as at its wall: drawings and tape measures differ
/// (judgement) \[m\].
pub(crate) const WALL: f64 = 0.05;
/// Heights that differ by less are one \[m\].
const TOUCH: f64 = 1e-9;

impl Tree {
    /// A face that a point is joined to by a path through the liquid space that never rises: the face below it, or the
    /// one it lies on. A point outside counts as at the nearest wall; farther off than [`WALL`] it is refused.
    pub(crate) fn anchor(&self, mesh: &ClosedMesh, what: &str, point: Vec3) -> Result<usize, GeometryError> {
        let (face, place, distance) = nearest(mesh, point);
        let falls = self.height_of(place) <= self.height_of(point) + TOUCH;
        if falls && distance <= WALL {
            return Ok(face);
        }
        if mesh.contains_si(point) {
            let below = below::floor_under(mesh, self.up, &self.heights, point, self.height_of(point));
            return Ok(below.map_or(face, |hit| hit.0));
        }
        if distance <= WALL {
            return Ok(face);
        }
        let limit_mm = WALL * 1e3;
        Err(GeometryError::OutsideLiquid {
            what: what.into(),
            point_mm: mm(point),
            distance_mm: distance * 1e3,
            limit_mm,
        })
    }

    /// The basin that a point is in, at the height of the point.
    pub(crate) fn node_at(&self, mesh: &ClosedMesh, what: &str, point: Vec3) -> Result<usize, GeometryError> {
        let face = self.anchor(mesh, what, point)?;
        Ok(self.at_level(self.node_of_face(mesh.faces[face]), self.height_of(point)))
    }
}

impl Sump {
    /// How far outside the liquid space a point lies \[m\], 0 inside it; of a sump without plan form, how far below or above.
    pub(crate) fn outside_si(&self, point: Vec3, attitude: Attitude) -> Result<f64, GeometryError> {
        let Some(mesh) = self.mesh() else {
            let (level, height) = (self.level_of_point_si(point, attitude)?, self.curve(attitude)?.height_si());
            return Ok((-level).max(level - height).max(0.0));
        };
        Ok(if mesh.contains_si(point) { 0.0 } else { nearest(mesh, point).2 })
    }
}

/// The face nearest to a point, the place on it and how far it is.
pub(super) fn nearest(mesh: &ClosedMesh, point: Vec3) -> (usize, Vec3, f64) {
    let mut best = (0, point, f64::INFINITY);
    for i in 0..mesh.face_count() {
        let corners = mesh.corners(i);
        // The box around a face is a cheap bound for its distance.
        let gap = (0..3).map(|k| {
            let (low, high) =
                (corners.iter().map(|c| c[k]).fold(f64::INFINITY, f64::min), corners.iter().map(|c| c[k]));
            let high = high.fold(f64::NEG_INFINITY, f64::max);
            (low - point[k]).max(point[k] - high).max(0.0)
        });
        if gap.map(|g| g * g).sum::<f64>() >= best.2 * best.2 {
            continue;
        }
        let place = nearest_on_triangle(&corners, point);
        let distance = norm(sub(place, point));
        if distance < best.2 {
            best = (i, place, distance);
        }
    }
    best
}
