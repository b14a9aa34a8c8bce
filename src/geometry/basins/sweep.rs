//! The sweep that makes the merge tree: vertices upwards, union-find along edges.
//!
//! Vertices of equal height (within a few roundings) are taken together, so a flat floor is one low point and ties do
//! not matter. A part of the surface that begins at a height either has liquid above it, then a basin begins; or it is
//! the tip of something that hangs in liquid, then it is joined to the part of the surface below it.

use super::super::mesh::ClosedMesh;
use super::super::ramp::Knots;
use super::super::vector::Vec3;
use super::adjacency::Adjacency;
use super::below;
use super::tip;
use super::tree::{End, FLAT, Node};

const NONE: u32 = u32::MAX;

/// The basins, children before parents, and the basin in which each vertex appears.
pub(super) fn sweep(mesh: &ClosedMesh, adjacency: &Adjacency, up: Vec3, heights: &[f64]) -> (Vec<Node>, Vec<u32>) {
    let knots = Knots::new(heights);
    let (start, order) = by_knot(&knots);
    let count = heights.len();
    let mut s = Sweep {
        knots: &knots,
        group: (0u32..).take(count).collect(),
        live: vec![NONE; count],
        node_of: vec![NONE; count],
        nodes: Vec::new(),
    };
    let mut fresh = Vec::new();
    for k in 0..knots.z.len() {
        let level = &order[start[k] as usize..start[k + 1] as usize];
        for &v in level {
            for c in adjacency.around(v) {
                if knots.of_vertex[c.next as usize] as usize <= k {
                    s.join(v, c.next, k);
                }
            }
        }
        s.fresh_parts(level, &mut fresh);
        let mut hanging = Vec::new();
        for part in fresh.chunk_by(|a, b| a.0 == b.0) {
            let vertex = tip::clearest(mesh, adjacency, up, part.iter().map(|p| p.1));
            if k > 0 && tip::hangs(mesh, adjacency, up, vertex) {
                hanging.push(vertex);
            } else {
                s.begin(vertex, k);
            }
        }
        for vertex in hanging {
            s.hang(mesh, up, heights, vertex, k);
        }
        for &v in level {
            s.node_of[v as usize] = s.branch_of(v);
        }
    }
    s.finish()
}

/// Vertices by knot, ties by number: the places where each knot's run starts, and the vertices.
fn by_knot(knots: &Knots) -> (Vec<u32>, Vec<u32>) {
    let mut start = vec![0u32; knots.z.len() + 1];
    for k in &knots.of_vertex {
        start[*k as usize + 1] += 1;
    }
    for k in 1..start.len() {
        start[k] += start[k - 1];
    }
    let (mut place, mut order) = (start.clone(), vec![0u32; knots.of_vertex.len()]);
    for (v, k) in (0u32..).zip(&knots.of_vertex) {
        let slot = &mut place[*k as usize];
        order[*slot as usize] = v;
        *slot += 1;
    }
    (start, order)
}

/// A branch while it grows.
struct Growing {
    lowest: u32,
    base: usize,
    children: Vec<u32>,
    end: Option<(u32, usize, u32)>,
    /// The branch that took it over: it was too shallow, or began at the same height.
    became: u32,
}

struct Sweep<'a> {
    knots: &'a Knots,
    group: Vec<u32>,
    /// The branch of each group, kept at its root.
    live: Vec<u32>,
    node_of: Vec<u32>,
    nodes: Vec<Growing>,
}

impl Sweep<'_> {
    fn root(&mut self, mut v: u32) -> u32 {
        while self.group[v as usize] != v {
            self.group[v as usize] = self.group[self.group[v as usize] as usize];
            v = self.group[v as usize];
        }
        v
    }

    fn branch_of(&mut self, v: u32) -> u32 {
        let root = self.root(v);
        self.live[root as usize]
    }

    /// Vertices `a` and `b` are joined at knot `k`.
    fn join(&mut self, a: u32, b: u32, k: usize) {
        let (ra, rb) = (self.root(a), self.root(b));
        if ra == rb {
            return;
        }
        let node = match (self.live[ra as usize], self.live[rb as usize]) {
            (NONE, n) | (n, NONE) => n,
            (m, n) if m == n => m,
            (m, n) => self.merge(m, n, k, a),
        };
        let (keep, drop) = (ra.min(rb), ra.max(rb));
        self.group[drop as usize] = keep;
        self.live[keep as usize] = node;
    }

    /// Two branches meet at knot `k`, vertex `at`: the branch that goes on.
    fn merge(&mut self, m: u32, n: u32, k: usize, at: u32) -> u32 {
        match (self.shallow(m, k), self.shallow(n, k)) {
            (true, true) if self.nodes[m as usize].base <= self.nodes[n as usize].base => self.absorb(n, m),
            (true, _) => self.absorb(m, n),
            (_, true) => self.absorb(n, m),
            _ => match (self.begins_at(m, k), self.begins_at(n, k)) {
                (true, true) => {
                    for child in std::mem::take(&mut self.nodes[n as usize].children) {
                        self.adopt(m, child, k, at);
                    }
                    self.absorb(n, m)
                }
                (true, false) => self.adopt(m, n, k, at),
                (false, true) => self.adopt(n, m, k, at),
                (false, false) => {
                    let node = self.push(self.nodes[m as usize].lowest, k);
                    self.adopt(node, m, k, at);
                    self.adopt(node, n, k, at)
                }
            },
        }
    }

    /// A branch without children that has risen by no more than rounding.
    fn shallow(&self, n: u32, k: usize) -> bool {
        let node = &self.nodes[n as usize];
        node.children.is_empty() && self.knots.z[k] - self.knots.z[node.base] <= FLAT
    }

    /// A branch made of others at this very height.
    fn begins_at(&self, n: u32, k: usize) -> bool {
        let node = &self.nodes[n as usize];
        node.base == k && !node.children.is_empty()
    }

    fn absorb(&mut self, n: u32, into: u32) -> u32 {
        self.nodes[n as usize].became = into;
        self.note_lowest(n, into);
        into
    }

    fn adopt(&mut self, parent: u32, child: u32, k: usize, at: u32) -> u32 {
        let end = self.nodes[child as usize].end;
        self.nodes[child as usize].end = Some((parent, k, end.map_or(at, |e| e.2)));
        self.nodes[parent as usize].children.push(child);
        self.note_lowest(child, parent);
        parent
    }

    fn note_lowest(&mut self, of: u32, to: u32) {
        let (a, b) = (self.nodes[of as usize].lowest, self.nodes[to as usize].lowest);
        let key = |v: u32| (self.knots.of_vertex[v as usize], v);
        self.nodes[to as usize].lowest = if key(a) < key(b) { a } else { b };
    }

    #[allow(clippy::cast_possible_truncation)] // fewer branches than vertices
    fn push(&mut self, lowest: u32, k: usize) -> u32 {
        self.nodes.push(Growing { lowest, base: k, children: Vec::new(), end: None, became: NONE });
        (self.nodes.len() - 1) as u32
    }

    /// The vertices of this height whose part has no branch yet, sorted by part.
    fn fresh_parts(&mut self, level: &[u32], out: &mut Vec<(u32, u32)>) {
        out.clear();
        for &v in level {
            let root = self.root(v);
            if self.live[root as usize] == NONE {
                out.push((root, v));
            }
        }
        if out.len() > 1 {
            out.sort_unstable();
        }
    }

    fn begin(&mut self, vertex: u32, k: usize) {
        let root = self.root(vertex);
        self.live[root as usize] = self.push(vertex, k);
    }

    /// Joins a hanging tip to the part of the surface below it.
    fn hang(&mut self, mesh: &ClosedMesh, up: Vec3, heights: &[f64], tip: u32, k: usize) {
        if self.branch_of(tip) != NONE {
            return;
        }
        let Some(face) = below::floor_below(mesh, up, heights, tip) else { return };
        let f = mesh.faces[face];
        let low = f.into_iter().min_by_key(|v| (self.knots.of_vertex[*v as usize], *v)).unwrap_or(f[0]);
        self.join(tip, low, k);
    }

    fn final_of(&self, mut n: u32) -> u32 {
        while self.nodes[n as usize].became != NONE {
            n = self.nodes[n as usize].became;
        }
        n
    }

    /// Numbers the branches that remain.
    fn finish(mut self) -> (Vec<Node>, Vec<u32>) {
        let mut number = vec![usize::MAX; self.nodes.len()];
        let remaining: Vec<usize> = (0..self.nodes.len()).filter(|n| self.nodes[*n].became == NONE).collect();
        remaining.iter().enumerate().for_each(|(i, n)| number[*n] = i);
        let nodes = remaining
            .iter()
            .map(|&n| {
                let g = &self.nodes[n];
                let end = g.end.map(|(parent, k, vertex)| End {
                    parent: number[self.final_of(parent) as usize],
                    sill: self.knots.z[k],
                    vertex,
                });
                let children = g.children.iter().map(|c| number[*c as usize]).collect();
                Node { lowest: g.lowest, base: self.knots.z[g.base], children, end, volume: 0.0 }
            })
            .collect();
        #[allow(clippy::cast_possible_truncation)] // fewer branches than vertices
        for v in 0..self.node_of.len() {
            let swept = self.node_of[v];
            // A hanging tip with nothing found below it belongs to what it is joined to in the end.
            let node = if swept == NONE { self.branch_of(v as u32) } else { swept };
            self.node_of[v] = if node == NONE { 0 } else { number[self.final_of(node) as usize] as u32 };
        }
        (nodes, self.node_of)
    }
}
