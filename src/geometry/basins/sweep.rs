//! The sweep that makes the merge tree.
//!
//! Every vertex is led down to the low point below it, always by its lowest neighbour; where an edge joins two low points'
//! slopes they meet at its higher end. The sweep then takes these meetings upwards, with union-find. Vertices of equal
//! height (within a few roundings) are ordered by number, and what meets at the height at which it begins is one, so a
//! flat floor is one low point. A part of the surface that begins at a height either has liquid above it, then a basin
//! begins; or it is the tip of something that hangs in liquid, then it is joined to the part of the surface below it.

use super::super::knots::Knots;
use super::super::mesh::ClosedMesh;
use super::super::vector::Vec3;
use super::adjacency::Adjacency;
use super::below;
use super::slopes::{Meeting, Slopes};
use super::tip;
use super::tree::{End, FLAT, Node};

const NONE: u32 = u32::MAX;

/// The basins, children before parents, and the basin in which each vertex appears.
pub(super) fn sweep(mesh: &ClosedMesh, adjacency: &Adjacency, up: Vec3, heights: &[f64]) -> (Vec<Node>, Vec<u32>) {
    let knots = Knots::new(heights);
    let slopes = Slopes::new(mesh, adjacency, &knots);
    let count = slopes.low_points.len();
    let mut s = Sweep {
        knots: &knots,
        slopes: &slopes,
        group: (0u32..).take(count).collect(),
        live: vec![NONE; count],
        entry: vec![NONE; count],
        nodes: Vec::new(),
    };
    let (mut meetings, mut low_points) = (slopes.meetings.as_slice(), slopes.low_points.as_slice());
    while let Some(k) = next_knot(&knots, meetings, low_points) {
        let now = meetings.partition_point(|m| m.knot <= k);
        for m in &meetings[..now] {
            s.join(m.slopes[0], m.slopes[1], k as usize, m.at);
        }
        meetings = &meetings[now..];
        let now = low_points.partition_point(|v| knots.of_vertex[*v as usize] <= k);
        let numbers = count - low_points.len()..count - low_points.len() + now;
        low_points = &low_points[now..];
        s.begin_parts(mesh, adjacency, up, heights, numbers);
    }
    s.finish()
}

/// The height at which something happens next.
fn next_knot(knots: &Knots, meetings: &[Meeting], low_points: &[u32]) -> Option<u32> {
    let begins = low_points.first().map(|v| knots.of_vertex[*v as usize]);
    let meets = meetings.first().map(|m| m.knot);
    begins.into_iter().chain(meets).min()
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
    slopes: &'a Slopes,
    /// Union-find over the low points, in the order of the sweep.
    group: Vec<u32>,
    /// The branch of each group, kept at its root.
    live: Vec<u32>,
    /// The branch that each low point was in when it had been swept.
    entry: Vec<u32>,
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

    /// The slopes `a` and `b` meet at knot `k`, vertex `at`.
    fn join(&mut self, a: u32, b: u32, k: usize, at: u32) {
        let (ra, rb) = (self.root(a), self.root(b));
        if ra == rb {
            return;
        }
        let node = match (self.live[ra as usize], self.live[rb as usize]) {
            (NONE, n) | (n, NONE) => n,
            (m, n) if m == n => m,
            (m, n) => self.merge(m, n, k, at),
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

    /// Begins a branch at those of the low points of one height that have not been joined to an older one.
    fn begin_parts(
        &mut self,
        mesh: &ClosedMesh,
        adjacency: &Adjacency,
        up: Vec3,
        heights: &[f64],
        numbers: std::ops::Range<usize>,
    ) {
        #[allow(clippy::cast_possible_truncation)] // fewer low points than vertices
        let numbers = numbers.start as u32..numbers.end as u32;
        let mut fresh: Vec<(u32, u32)> = numbers.clone().map(|n| (self.root(n), n)).collect();
        fresh.retain(|(root, _)| self.live[*root as usize] == NONE);
        fresh.sort_unstable();
        let mut hanging = Vec::new();
        for part in fresh.chunk_by(|a, b| a.0 == b.0) {
            let vertices = part.iter().map(|p| self.slopes.low_points[p.1 as usize]);
            let vertex = tip::clearest(mesh, adjacency, up, vertices);
            let k = self.knots.of_vertex[vertex as usize] as usize;
            if k > 0 && tip::hangs(mesh, adjacency, up, vertex) {
                hanging.push((part[0].0, vertex, k));
            } else {
                self.live[part[0].0 as usize] = self.push(vertex, k);
            }
        }
        for (number, tip, k) in hanging {
            // Joined to the part of the surface below it.
            if let Some(face) = below::floor_below(mesh, up, heights, tip) {
                let low = mesh.faces[face].map(|v| (self.knots.of_vertex[v as usize], v)).into_iter().min();
                let below = low.map_or(number, |(_, v)| self.slopes.of_vertex[v as usize]);
                self.join(number, below, k, tip);
            }
        }
        for n in numbers {
            self.entry[n as usize] = self.branch_of(n);
        }
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
        let entry: Vec<usize> = (0u32..)
            .take(self.entry.len())
            .map(|n| {
                let swept = self.entry[n as usize];
                // A hanging tip with nothing found below it belongs to what it is joined to in the end.
                let branch = if swept == NONE { self.branch_of(n) } else { swept };
                if branch == NONE { 0 } else { number[self.final_of(branch) as usize] }
            })
            .collect();
        let node_of = self.node_of_vertices(&remaining, &number, &entry);
        (nodes, node_of)
    }

    /// The branch in which each vertex appears: that of its low point, or what this has become at its height.
    #[allow(clippy::cast_possible_truncation)] // fewer branches than vertices
    fn node_of_vertices(&self, remaining: &[usize], number: &[usize], entry: &[usize]) -> Vec<u32> {
        let node_of = |(knot, slope): (&u32, &u32)| {
            let mut n = entry[*slope as usize];
            while let Some((parent, k, _)) = self.nodes[remaining[n]].end {
                if k > *knot as usize {
                    break;
                }
                n = number[self.final_of(parent) as usize];
            }
            n as u32
        };
        self.knots.of_vertex.iter().zip(&self.slopes.of_vertex).map(node_of).collect()
    }
}
