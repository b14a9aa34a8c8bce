//! The closed triangle mesh of a liquid space.

use super::curved::{Curved, stretch};
use super::error::GeometryError;
use super::extent::lowest;
use super::shells;
use super::sum::Sum;
use super::topology::{FACE_LIMIT, edge_flaws};
use super::vector::{Vec3, cross, dot, mm, norm, scale, sub};
use crate::numeric::share::share;

/// Smallest accepted value of the largest side of the bounding box \[m\].
pub(crate) const SMALLEST: f64 = 1e-3;
/// Largest accepted value of the largest side of the bounding box \[m\].
pub(crate) const LARGEST: f64 = 20.0;

/// Vertices or faces of which a little is asked that are worked in one go: enough to be worth a thread.
pub(crate) const MANY: usize = 65_536;

/// A closed, outward-oriented triangle mesh: the surface of a liquid space, in metres, body frame.
///
/// Built by [`ClosedMesh::try_new`], which refuses anything that does not enclose a positive volume; so every
/// `ClosedMesh` does.
#[derive(Debug, Clone)]
pub struct ClosedMesh {
    pub(crate) x: Vec<f64>,
    pub(crate) y: Vec<f64>,
    pub(crate) z: Vec<f64>,
    pub(crate) faces: Vec<[u32; 3]>,
    /// Area vector of each face (half the cross product of its sides), outward.
    pub(crate) area: Vec<Vec3>,
    low: Vec3,
    high: Vec3,
    volume: f64,
    /// The body that the facets stand for, where levels count from its lowest point instead of theirs.
    curved: Option<Curved>,
}

impl ClosedMesh {
    /// Checks and takes a mesh: vertices in metres, faces as triples of vertex numbers, counter-clockwise seen from
    /// outside.
    ///
    /// Refused, each with its own error that says where: coordinates that are not finite, faces that name a missing
    /// vertex or one vertex twice, open edges, edges with more than two faces, neighbouring faces of opposite
    /// orientation, a mesh or a separate part of it that is inside out, and sizes outside 1 mm to 20 m (which hint at a wrong unit). Triangles
    /// of zero area with three different vertices are accepted: they close gaps and hold nothing. Vertices that no
    /// face names are dropped. Separate parts that touch or cut each other are not looked for here;
    /// [`inspect`](super::inspect::inspect) finds them.
    pub fn try_new(vertices: Vec<[f64; 3]>, faces: Vec<[u32; 3]>) -> Result<Self, GeometryError> {
        check_counts(&vertices, &faces)?;
        check_finite(&vertices)?;
        check_faces(&vertices, &faces)?;
        let (vertices, faces) = without_spare_vertices(vertices, faces);
        let (low, high) = bounds(&vertices);
        check_size(low, high)?;
        edge_flaws(&faces).check(&vertices)?;
        let centre = middle(low, high);
        let volume = signed_volume(&vertices, &faces, centre);
        let area: Vec<Vec3> = faces.iter().map(|f| area_vector(&vertices, f)).collect();
        check_volume(volume, &area, low, high)?;
        shells::check(&vertices, &faces)?;
        let axis = |i: usize| vertices.iter().map(|v| v[i]).collect::<Vec<f64>>();
        Ok(Self { x: axis(0), y: axis(1), z: axis(2), faces, area, low, high, volume, curved: None })
    }

    /// The same faces, standing for a body whose lowest and highest points are known.
    pub(crate) fn standing_for(self, curved: Option<Curved>) -> Self {
        Self { curved, ..self }
    }

    /// The body that the facets stand for, if it is known.
    pub(crate) fn curved(&self) -> Option<&Curved> {
        self.curved.as_ref()
    }

    /// Number of vertices.
    pub fn vertex_count(&self) -> usize {
        self.x.len()
    }

    /// Number of triangular faces.
    pub fn face_count(&self) -> usize {
        self.faces.len()
    }

    /// Vertex `i` \[m\].
    pub(crate) fn vertex(&self, i: u32) -> Vec3 {
        let i = i as usize;
        [self.x[i], self.y[i], self.z[i]]
    }

    /// The three corners of face `i` \[m\].
    pub(crate) fn corners(&self, i: usize) -> [Vec3; 3] {
        self.faces[i].map(|v| self.vertex(v))
    }

    /// All vertices, in metres.
    pub fn vertices(&self) -> Vec<[f64; 3]> {
        (0..self.x.len()).map(|i| [self.x[i], self.y[i], self.z[i]]).collect()
    }

    /// All faces, as triples of vertex numbers, counter-clockwise seen from outside.
    pub fn faces(&self) -> &[[u32; 3]] {
        &self.faces
    }

    /// Enclosed volume \[m3\].
    pub(crate) fn volume_si(&self) -> f64 {
        self.volume
    }

    /// Lowest and highest corner of the bounding box \[m\].
    pub(crate) fn bounds_si(&self) -> (Vec3, Vec3) {
        (self.low, self.high)
    }

    /// The middle of the bounding box \[m\].
    pub(crate) fn centre_si(&self) -> Vec3 {
        middle(self.low, self.high)
    }

    /// Heights of all vertices along `up` above the lowest of them, and the height of that lowest vertex in the body
    /// frame; of facets that stand for a curved body, above its lowest point, from 0 to the highest. Measured from the middle of the bounding box, so that a shift of the whole body costs no digits.
    pub(crate) fn heights(&self, up: Vec3) -> (Vec<f64>, f64) {
        let c = self.centre_si();
        let mut heights = vec![0.0; self.x.len()];
        let lows =
            share(heights.chunks_mut(MANY).zip((0..).step_by(MANY)).collect(), |(run, i): (&mut [f64], usize)| {
                let vertices = self.x[i..].iter().zip(&self.y[i..]).zip(&self.z[i..]);
                for (h, ((x, y), z)) in run.iter_mut().zip(vertices) {
                    *h = (x - c[0]) * up[0] + (y - c[1]) * up[1] + (z - c[2]) * up[2];
                }
                lowest(run)
            });
        let reach = self.curved.as_ref().map(|curved| curved.reach(up, c));
        let datum = reach.map_or_else(|| lowest(&lows), |[low, _]| low);
        share(heights.chunks_mut(MANY).collect(), |run| run.iter_mut().for_each(|h| *h -= datum));
        if let Some([low, high]) = reach {
            stretch(&mut heights, high - low);
        }
        (heights, dot(c, up) + datum)
    }
}

impl PartialEq for ClosedMesh {
    fn eq(&self, other: &Self) -> bool {
        self.faces == other.faces && self.x == other.x && self.y == other.y && self.z == other.z
    }
}

fn check_counts(vertices: &[Vec3], faces: &[[u32; 3]]) -> Result<(), GeometryError> {
    if faces.len() < 4 || faces.len() > FACE_LIMIT || vertices.len() > FACE_LIMIT {
        return Err(GeometryError::FaceCount { faces: faces.len(), vertices: vertices.len(), limit: FACE_LIMIT });
    }
    Ok(())
}

fn check_finite(vertices: &[Vec3]) -> Result<(), GeometryError> {
    let bad = |v: &&Vec3| v.iter().any(|c| !c.is_finite());
    let Some(first_index) = vertices.iter().position(|v| bad(&v)) else {
        return Ok(());
    };
    let value = vertices[first_index].map(|c| c.to_string());
    Err(GeometryError::VertexNotFinite { first_index, value, count: vertices.iter().filter(bad).count() })
}

fn check_faces(vertices: &[Vec3], faces: &[[u32; 3]]) -> Result<(), GeometryError> {
    for (face, corners) in faces.iter().enumerate() {
        if let Some(&vertex) = corners.iter().find(|&&v| v as usize >= vertices.len()) {
            return Err(GeometryError::FaceIndexOutOfRange { face, vertex, vertices: vertices.len() });
        }
    }
    let degenerate = |f: &&[u32; 3]| f[0] == f[1] || f[1] == f[2] || f[2] == f[0];
    let Some(first_face) = faces.iter().position(|f| degenerate(&f)) else {
        return Ok(());
    };
    let point_mm = mm(vertices[faces[first_face][0] as usize]);
    Err(GeometryError::DegenerateFaces { first_face, point_mm, count: faces.iter().filter(degenerate).count() })
}

/// Drops vertices that no face names (they would otherwise count as the lowest point).
fn without_spare_vertices(vertices: Vec<Vec3>, mut faces: Vec<[u32; 3]>) -> (Vec<Vec3>, Vec<[u32; 3]>) {
    const UNUSED: u32 = u32::MAX;
    let mut number = vec![UNUSED; vertices.len()];
    for v in faces.iter().flatten() {
        number[*v as usize] = 0;
    }
    if !number.contains(&UNUSED) {
        return (vertices, faces);
    }
    for (n, next) in number.iter_mut().filter(|n| **n != UNUSED).zip(0..) {
        *n = next;
    }
    for v in faces.iter_mut().flatten() {
        *v = number[*v as usize];
    }
    let kept = vertices.into_iter().zip(&number).filter(|(_, n)| **n != UNUSED).map(|(v, _)| v).collect();
    (kept, faces)
}

fn check_size(low: Vec3, high: Vec3) -> Result<(), GeometryError> {
    let size = sub(high, low).into_iter().fold(0.0, f64::max);
    let shift = low.into_iter().chain(high).fold(0.0, |m: f64, c| m.max(c.abs()));
    if (SMALLEST..=LARGEST).contains(&size) && shift <= 1e3 * LARGEST {
        return Ok(());
    }
    let size_mm = if (SMALLEST..=LARGEST).contains(&size) { shift * 1e3 } else { size * 1e3 };
    Err(GeometryError::AbsurdSize { size_mm, low_mm: SMALLEST * 1e3, high_mm: LARGEST * 1e3 })
}

/// The volume must be positive beyond what rounding of the coordinates can make of a flat surface.
fn check_volume(volume: f64, area: &[Vec3], low: Vec3, high: Vec3) -> Result<(), GeometryError> {
    let surface: f64 = area.iter().map(|a| norm(*a)).sum();
    let rounding = 64.0 * f64::EPSILON * surface * norm(sub(high, low));
    if volume > rounding {
        return Ok(());
    }
    let volume_l = volume * 1e3;
    Err(if volume < -rounding { GeometryError::InsideOut { volume_l } } else { GeometryError::NoVolume { volume_l } })
}

pub(crate) fn bounds(vertices: &[Vec3]) -> (Vec3, Vec3) {
    let mut low = [f64::INFINITY; 3];
    let mut high = [f64::NEG_INFINITY; 3];
    for v in vertices {
        for i in 0..3 {
            low[i] = low[i].min(v[i]);
            high[i] = high[i].max(v[i]);
        }
    }
    (low, high)
}

/// Half-way between two corners.
pub(crate) fn middle(low: Vec3, high: Vec3) -> Vec3 {
    [0, 1, 2].map(|i| low[i] + (high[i] - low[i]) / 2.0)
}

/// Half the cross product of two sides: points outwards, its length is the area.
pub(crate) fn area_vector(vertices: &[Vec3], f: &[u32; 3]) -> Vec3 {
    let [a, b, c] = f.map(|i| vertices[i as usize]);
    scale(cross(sub(b, a), sub(c, a)), 0.5)
}

/// Volume by the divergence theorem: a sixth of the triple product of each face, about `centre`.
pub(crate) fn signed_volume(vertices: &[Vec3], faces: &[[u32; 3]], centre: Vec3) -> f64 {
    let term = |f: &[u32; 3]| {
        let [a, b, c] = f.map(|i| sub(vertices[i as usize], centre));
        dot(a, cross(b, c)) / 6.0
    };
    faces.iter().map(term).collect::<Sum>().value()
}
