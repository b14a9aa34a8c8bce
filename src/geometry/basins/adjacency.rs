//! Which faces meet at each vertex.

use super::super::mesh::ClosedMesh;

/// For every vertex the faces around it and the next vertex in each: as every edge has one face on either side, these
/// are all its neighbours, each once.
#[derive(Debug)]
pub(crate) struct Adjacency {
    start: Vec<u32>,
    around: Vec<Corner>,
    /// Vertices in which surfaces touch, rising: one walk around does not meet all their faces.
    pinched: Vec<u32>,
}

/// A face at a vertex.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Corner {
    /// The face.
    pub(crate) face: u32,
    /// The vertex after this one in that face.
    pub(crate) next: u32,
    /// The vertex before this one in that face.
    pub(crate) previous: u32,
}

impl Adjacency {
    pub(crate) fn new(mesh: &ClosedMesh) -> Self {
        let mut start = vec![0u32; mesh.vertex_count() + 1];
        for v in mesh.faces.iter().flatten() {
            start[*v as usize + 1] += 1;
        }
        for i in 1..start.len() {
            start[i] += start[i - 1];
        }
        let mut place = start.clone();
        let mut around = vec![Corner { face: 0, next: 0, previous: 0 }; 3 * mesh.face_count()];
        for (face, f) in (0u32..).zip(&mesh.faces) {
            for i in 0..3 {
                let slot = &mut place[f[i] as usize];
                around[*slot as usize] = Corner { face, next: f[(i + 1) % 3], previous: f[(i + 2) % 3] };
                *slot += 1;
            }
        }
        let mut adjacency = Self { start, around, pinched: Vec::new() };
        adjacency.pinched = adjacency.find_pinched();
        adjacency
    }

    fn find_pinched(&self) -> Vec<u32> {
        let count = self.start.len() - 1;
        // For the vertex looked at: by each neighbour the corner that comes after it.
        let mut after = vec![0; count];
        let walks_all = |v: &u32| {
            let around = self.around(*v);
            for (i, c) in around.iter().enumerate() {
                after[c.next as usize] = i;
            }
            let (mut i, mut walked) = (0, 0);
            loop {
                i = after[around[i].previous as usize];
                walked += 1;
                if i == 0 || walked > around.len() {
                    return walked == around.len();
                }
            }
        };
        let mut walks_all = walks_all;
        (0u32..).take(count).filter(|v| !walks_all(v)).collect()
    }

    /// Vertices in which surfaces touch, rising.
    pub(super) fn pinched(&self) -> &[u32] {
        &self.pinched
    }

    /// The faces around a vertex.
    #[inline]
    pub(crate) fn around(&self, vertex: u32) -> &[Corner] {
        let v = vertex as usize;
        &self.around[self.start[v] as usize..self.start[v + 1] as usize]
    }
}
