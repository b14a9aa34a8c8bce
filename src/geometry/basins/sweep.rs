//! The sweep that makes the merge tree.
//!
//! Slopes lead down to low points and meet at passes (see [`slopes`](super::slopes)). The sweep takes these meetings upwards, with
//! union-find. Vertices of equal height (within a few roundings) are ordered by number, and what meets at the height at
//! which it begins is one, so a flat floor is one low point. A part of the surface that begins at a height either has
//! liquid above it, then a basin begins; or it is the tip of something that hangs in liquid, then it is joined to the
//! part of the surface below it.

use super::super::mesh::ClosedMesh;
use super::super::vector::Vec3;
use super::adjacency::Adjacency;
use super::below;
use super::order::{Moments, Order};
use super::slopes::{Meeting, Slopes};
use super::tip;
use super::tree::{End, FLAT, Node};

const NONE: u32 = u32::MAX;

/// The basins, children before parents, and the basin in which each vertex appears.
pub(super) fn sweep(mesh: &ClosedMesh, adjacency: &Adjacency, up: Vec3, heights: &[f64]) -> (Vec<Node>, Vec<u32>) {
    let order = Order::new(heights);
    let (slopes, meetings) = Slopes::new(mesh, adjacency, &order);
    let low_points = slopes.low_points.clone();
    let keys = low_points.iter().map(|v| order.key(*v)).chain(meetings.iter().map(|m| m.key)).collect();
    let moments = Moments::new(&order, heights, keys);
    let begins: Vec<u32> = low_points.iter().map(|v| moments.of(order.step(order.key(*v)))).collect();
    let meets: Vec<u32> = meetings.iter().map(|m| moments.of(order.step(m.key))).collect();
    let count = low_points.len();
    let mut s = Sweep {
        place: Place { mesh, adjacency, up, heights },
        order: &order,
        moments,
        slopes,
        group: (0u32..).take(count).collect(),
        live: vec![NONE; count],
        entry: vec![NONE; count],
        nodes: Vec::new(),
    };
    let (mut met, mut begun) = (0, 0);
    for k in 0..s.moments.z.len() {
        while meets.get(met).is_some_and(|m| *m as usize == k) {
            let Meeting { key, slopes: [a, b] } = meetings[met];
            s.join(a, b, k, order.vertex(key));
            met += 1;
        }
        let from = begun;
        begun += begins[begun..].iter().take_while(|b| **b as usize == k).count();
        s.begin_parts(k, from..begun);
    }
    s.finish()
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

/// The mesh at the attitude swept.
struct Place<'a> {
    mesh: &'a ClosedMesh,
    adjacency: &'a Adjacency,
    up: Vec3,
    heights: &'a [f64],
}

struct Sweep<'a> {
    place: Place<'a>,
    order: &'a Order,
    moments: Moments,
    slopes: Slopes<'a>,
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

    /// The slopes `a` and `b` meet at moment `k`, vertex `at`.
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

    /// Two branches meet at moment `k`, vertex `at`: the branch that goes on.
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
        node.children.is_empty() && self.moments.z[k] - self.moments.z[node.base] <= FLAT
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
        self.nodes[to as usize].lowest = if self.order.key(a) < self.order.key(b) { a } else { b };
    }

    #[allow(clippy::cast_possible_truncation)] // fewer branches than vertices
    fn push(&mut self, lowest: u32, k: usize) -> u32 {
        self.nodes.push(Growing { lowest, base: k, children: Vec::new(), end: None, became: NONE });
        (self.nodes.len() - 1) as u32
    }

    /// Begins a branch at those of the low points of moment `k` that have not been joined to an older one.
    fn begin_parts(&mut self, k: usize, numbers: std::ops::Range<usize>) {
        let Place { mesh, adjacency, up, heights } = self.place;
        #[allow(clippy::cast_possible_truncation)] // fewer low points than vertices
        let numbers = numbers.start as u32..numbers.end as u32;
        let mut fresh: Vec<(u32, u32)> = numbers.clone().map(|n| (self.root(n), n)).collect();
        fresh.retain(|(root, _)| self.live[*root as usize] == NONE);
        fresh.sort_unstable();
        let mut hanging = Vec::new();
        for part in fresh.chunk_by(|a, b| a.0 == b.0) {
            let vertices = part.iter().map(|p| self.slopes.low_points[p.1 as usize]);
            let vertex = tip::clearest(mesh, adjacency, up, vertices);
            if k > 0 && tip::hangs(mesh, adjacency, up, vertex) {
                hanging.push((part[0].0, vertex));
            } else {
                self.live[part[0].0 as usize] = self.push(vertex, k);
            }
        }
        for (number, tip) in hanging {
            // Joined to the part of the surface below it.
            if let Some(face) = below::floor_below(mesh, up, heights, tip) {
                let low = mesh.faces[face].into_iter().min_by_key(|v| self.order.key(*v));
                let below = low.map_or(number, |v| self.slopes.under(v));
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
        let nodes: Vec<Node> = remaining
            .iter()
            .map(|&n| {
                let g = &self.nodes[n];
                let end = g.end.map(|(parent, k, vertex)| End {
                    parent: number[self.final_of(parent) as usize],
                    sill: self.moments.z[k],
                    vertex,
                });
                let mut children: Vec<usize> = g.children.iter().map(|c| number[*c as usize]).collect();
                children.sort_unstable();
                Node { lowest: g.lowest, base: self.moments.z[g.base], children, end, volume: 0.0 }
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
        let node_of = self.node_of_vertices(&nodes, &entry);
        (nodes, node_of)
    }

    /// The branch in which each vertex appears: that of its low point, or what this has become at its height.
    #[allow(clippy::cast_possible_truncation)] // fewer branches than vertices
    fn node_of_vertices(&mut self, nodes: &[Node], entry: &[usize]) -> Vec<u32> {
        let last = (nodes.len() - 1) as u32;
        let mut node_of = vec![last; self.place.heights.len()];
        // Above the highest sill all is in the one that takes everything.
        let sills = nodes.iter().map(|n| n.end.map_or(f64::INFINITY, |e| e.sill));
        let roots = sills.clone().filter(|s| s.is_infinite()).count();
        let highest = sills.filter(|s| roots > 1 || s.is_finite()).fold(0.0, f64::max);
        for (v, h) in (0u32..).zip(self.place.heights).filter(|(_, h)| **h < highest) {
            let mut n = entry[self.slopes.under(v) as usize];
            while let Some(end) = nodes[n].end.filter(|e| e.sill <= *h) {
                n = end.parent;
            }
            node_of[v as usize] = n as u32;
        }
        node_of
    }
}
