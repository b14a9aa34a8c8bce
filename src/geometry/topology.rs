//! Does a set of triangles enclose a space? Every edge must have exactly two faces, which run along it in opposite
//! directions.

use super::error::GeometryError;
use super::vector::{Vec3, mm};

/// One corner-to-corner side of a face, filed under its two vertices so that equal edges sort together.
#[derive(Clone, Copy)]
struct HalfEdge {
    /// Lower vertex in the high half, higher vertex in the low half.
    key: u64,
    /// The face; the top bit says that the face runs from the higher to the lower vertex.
    face: u32,
}

const BACKWARD: u32 = 1 << 31;

/// Most faces a mesh may have (the direction flag takes one bit).
pub(crate) const FACE_LIMIT: usize = (BACKWARD - 1) as usize;

/// What is wrong with the edge at the start of a run of equal half-edges.
enum Flaw {
    Open,
    NonManifold(usize),
    Inconsistent(usize, usize),
}

/// How many places of one flaw are kept.
pub(crate) const PLACES: usize = 8;

/// How often a flaw occurs and the first places, by vertex order: the edge and two numbers that describe it.
#[derive(Default)]
pub(crate) struct Found {
    pub(crate) count: usize,
    pub(crate) first: Vec<(u64, usize, usize)>,
}

impl Found {
    fn note(&mut self, key: u64, a: usize, b: usize) {
        self.count += 1;
        if self.first.len() < PLACES {
            self.first.push((key, a, b));
        }
    }
}

/// All flaws of the edges of a mesh.
#[derive(Default)]
pub(crate) struct EdgeFlaws {
    pub(crate) open: Found,
    pub(crate) non_manifold: Found,
    pub(crate) inconsistent: Found,
}

/// The two vertices of an edge.
pub(crate) fn edge_ends(key: u64) -> [usize; 2] {
    [(key >> 32) as usize, (key & 0xffff_ffff) as usize]
}

/// Looks at every edge. Faces must name existing vertices.
pub(crate) fn edge_flaws(faces: &[[u32; 3]]) -> EdgeFlaws {
    let mut flaws = EdgeFlaws::default();
    let mut halves = half_edges(faces);
    halves.sort_unstable_by_key(|h| (h.key, h.face & !BACKWARD));
    for run in halves.chunk_by(|a, b| a.key == b.key) {
        match flaw(run) {
            None => {}
            Some(Flaw::Open) => flaws.open.note(run[0].key, 0, 0),
            Some(Flaw::NonManifold(faces)) => flaws.non_manifold.note(run[0].key, faces, 0),
            Some(Flaw::Inconsistent(a, b)) => flaws.inconsistent.note(run[0].key, a, b),
        }
    }
    flaws
}

fn half_edges(faces: &[[u32; 3]]) -> Vec<HalfEdge> {
    let mut halves = Vec::with_capacity(3 * faces.len());
    for (i, f) in faces.iter().enumerate() {
        for (from, to) in [(f[0], f[1]), (f[1], f[2]), (f[2], f[0])] {
            let backward = if from > to { BACKWARD } else { 0 };
            let key = (u64::from(from.min(to)) << 32) | u64::from(from.max(to));
            halves.push(HalfEdge { key, face: index(i) | backward });
        }
    }
    halves
}

/// Face and vertex numbers fit in 32 bits because the counts were checked against [`FACE_LIMIT`].
#[allow(clippy::cast_possible_truncation)]
fn index(i: usize) -> u32 {
    i as u32
}

fn flaw(run: &[HalfEdge]) -> Option<Flaw> {
    let face = |h: &HalfEdge| (h.face & !BACKWARD) as usize;
    match run {
        [a, b] if (a.face ^ b.face) & BACKWARD != 0 => None,
        [a, b] => Some(Flaw::Inconsistent(face(a), face(b))),
        [_] => Some(Flaw::Open),
        _ => Some(Flaw::NonManifold(run.len())),
    }
}

impl EdgeFlaws {
    /// The most serious flaw as an error, with the place of its first occurrence.
    pub(crate) fn check(&self, vertices: &[Vec3]) -> Result<(), GeometryError> {
        let ends = |key: u64| {
            let [from, to] = edge_ends(key);
            (mm(vertices[from]), mm(vertices[to]))
        };
        if let Some(&(key, ..)) = self.open.first.first() {
            let (from_mm, to_mm) = ends(key);
            return Err(GeometryError::OpenMesh { from_mm, to_mm, count: self.open.count });
        }
        if let Some(&(key, faces, _)) = self.non_manifold.first.first() {
            let (from_mm, to_mm) = ends(key);
            return Err(GeometryError::NonManifoldMesh { from_mm, to_mm, faces, count: self.non_manifold.count });
        }
        if let Some(&(key, face, other_face)) = self.inconsistent.first.first() {
            let (from_mm, to_mm) = ends(key);
            let count = self.inconsistent.count;
            return Err(GeometryError::InconsistentFaces { face, other_face, from_mm, to_mm, count });
        }
        Ok(())
    }
}
