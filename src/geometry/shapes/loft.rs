//! Shapes through a row of cross-sections.

use super::super::error::GeometryError;
use super::super::mesh::ClosedMesh;
use super::super::vector::{Vec3, add, cross, dot, norm, scale, sub};
use super::polygon::{Point2, check_simple, signed_area, triangles};
use crate::numeric::check;

/// Deviation of a quadrilateral from its plane below which two triangles do, as a fraction of its size.
const FLAT: f64 = 1e-12;

/// A shape through cross-sections at rising stations along x; each outline is a list of (y, z) in metres, all with the
/// same number of points in matching order. Between stations matching points are joined by straight lines.
pub(crate) fn from_sections(sections: &[(f64, Vec<Point2>)]) -> Result<ClosedMesh, GeometryError> {
    check_sections(sections)?;
    let corners = sections[0].1.len();
    // Looking along x from behind, y runs to the left: an outline that is counter-clockwise in (y, z) faces forward.
    let reverse = signed_area(&sections[0].1) < 0.0;
    let order = |i: usize| if reverse { corners - 1 - i } else { i };
    let vertices: Vec<Vec3> = (sections.iter())
        .flat_map(|(x, outline)| (0..corners).map(move |i| (x, outline[order(i)])))
        .map(|(x, [y, z])| [*x, y, z])
        .collect();
    let outline = |s: usize| -> Vec<Point2> { (0..corners).map(|i| sections[s].1[order(i)]).collect() };
    let mut builder = Faces { vertices, faces: Vec::new() };
    let last = sections.len() - 1;
    for t in triangles(&outline(0)) {
        builder.triangle(t[0], t[2], t[1]);
    }
    for t in triangles(&outline(last)) {
        let [a, b, c] = t.map(|i| last * corners + i);
        builder.triangle(a, b, c);
    }
    for s in 0..last {
        for i in 0..corners {
            let (here, next) = (s * corners + i, s * corners + (i + 1) % corners);
            builder.quad([here, next, next + corners, here + corners]);
        }
    }
    ClosedMesh::try_new(builder.vertices, builder.faces)
}

fn check_sections(sections: &[(f64, Vec<Point2>)]) -> Result<(), GeometryError> {
    let corners = sections.first().map_or(0, |s| s.1.len());
    if sections.len() < 2 || corners < 3 {
        return Err(GeometryError::TooFewSections { sections: sections.len(), corners });
    }
    let mut sense = 0.0;
    for (i, (x, outline)) in sections.iter().enumerate() {
        let what = format!("section {i}");
        check::finite(&format!("{what}.at"), *x)?;
        check::all_finite(&what, outline.as_flattened())?;
        if outline.len() != corners {
            return Err(GeometryError::SectionMismatch { section: i, corners: outline.len(), expected: corners });
        }
        if i > 0 && *x <= sections[i - 1].0 {
            let (value, previous, unit) = (x * 1e3, sections[i - 1].0 * 1e3, "mm".into());
            return Err(GeometryError::SectionsNotRising { section: i, value, previous, unit });
        }
        check_simple(&what, outline)?;
        let area = signed_area(outline);
        if area * sense < 0.0 {
            return Err(GeometryError::SectionReversed { section: i });
        }
        sense = area;
    }
    Ok(())
}

/// Vertices and faces under construction.
pub(crate) struct Faces {
    pub(crate) vertices: Vec<Vec3>,
    pub(crate) faces: Vec<[u32; 3]>,
}

impl Faces {
    pub(crate) fn triangle(&mut self, a: usize, b: usize, c: usize) {
        // Counts are checked against the face limit by ClosedMesh.
        #[allow(clippy::cast_possible_truncation)]
        self.faces.push([a as u32, b as u32, c as u32]);
    }

    /// A quadrilateral, counter-clockwise seen from outside. When it is not flat it becomes four triangles around its
    /// middle: the volume below is that of the ruled (bilinear) surface, and no diagonal is preferred.
    pub(crate) fn quad(&mut self, [a, b, c, d]: [usize; 4]) {
        let [p, q, r, s] = [a, b, c, d].map(|i| self.vertices[i]);
        let size = norm(sub(r, p)).max(norm(sub(s, q)));
        let twist = dot(cross(sub(q, p), sub(r, p)), sub(s, p)).abs();
        if twist <= FLAT * size * size * size {
            self.triangle(a, b, c);
            self.triangle(a, c, d);
            return;
        }
        let middle = self.vertices.len();
        self.vertices.push(scale(add(add(p, q), add(r, s)), 0.25));
        for (from, to) in [(a, b), (b, c), (c, d), (d, a)] {
            self.triangle(from, to, middle);
        }
    }
}
