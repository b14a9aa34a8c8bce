//! Bodies wholly surrounded by liquid: a cavity in the liquid space.

use super::distance::{Triangle, between, near_pairs};
use super::error::GeometryError;
use super::mesh::ClosedMesh;
use super::sump::Sump;
use super::vector::mm;

/// Surfaces nearer than this touch \[m\].
const CLEARANCE: f64 = 1e-6;

impl Sump {
    /// The sump with a closed body inside it that takes up room (a pickup, a windage tray). The body must lie wholly
    /// within the liquid space: one that touches or cuts a wall (within 1 micrometre), or another displacer, is refused
    /// with the place, because its surface must then be subtracted from the drawing first.
    pub fn with_displacer(&self, body: &ClosedMesh) -> Result<Self, GeometryError> {
        let hull = self.need_mesh()?;
        check_apart(hull, body)?;
        let first = body.vertex(body.faces[0][0]);
        if !hull.contains_si(first) {
            return Err(GeometryError::DisplacerOutside { point_mm: mm(first) });
        }
        let mut vertices = hull.vertices();
        #[allow(clippy::cast_possible_truncation)] // vertex counts are below 2^31
        let shift = vertices.len() as u32;
        vertices.extend(body.vertices());
        let mut faces = hull.faces.clone();
        faces.extend(body.faces.iter().map(|[a, b, c]| [a + shift, c + shift, b + shift]));
        let mesh = ClosedMesh::try_new(vertices, faces)?;
        Ok(Self::from_mesh(mesh.standing_for(hull.curved().cloned())))
    }
}

fn check_apart(hull: &ClosedMesh, body: &ClosedMesh) -> Result<(), GeometryError> {
    let triangles = |mesh: &ClosedMesh| (0..mesh.face_count()).map(|i| mesh.corners(i)).collect::<Vec<Triangle>>();
    let (outer, inner) = (triangles(hull), triangles(body));
    for (j, i) in near_pairs(&inner, &outer, CLEARANCE) {
        let (distance, place) = between(&inner[j], &outer[i]);
        if distance <= CLEARANCE {
            return Err(GeometryError::DisplacerTouches { face: i, body_face: j, point_mm: mm(place) });
        }
    }
    Ok(())
}
