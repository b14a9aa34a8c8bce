//! The merge tree of a mesh at one attitude.

use std::sync::OnceLock;

use super::super::curve::LevelCurve;
use super::super::extent::highest;
use super::super::mesh::ClosedMesh;
use super::super::vector::{Vec3, dot};
use super::adjacency::Adjacency;
use super::sweep;

/// Basins shallower than this are rounding of the drawing, not basins: a coordinate in single precision, as STL files
/// have, is good to about 3e-8 m \[m\].
pub(crate) const FLAT: f64 = 1e-7;

/// One branch of the tree. Heights are above the lowest vertex, along *up* \[m\].
#[derive(Debug, Clone)]
pub(crate) struct Node {
    /// Its lowest vertex.
    pub(crate) lowest: u32,
    /// Where it begins: the height of the lowest vertex, or of the sill where its children join.
    pub(crate) base: f64,
    /// The basins that join to make it.
    pub(crate) children: Vec<usize>,
    /// The basin it becomes part of, with the height and the vertex where that happens.
    pub(crate) end: Option<End>,
    /// Volume of the whole part below its sill (at the root: below the top) \[m3\].
    pub(crate) volume: f64,
}

/// Where a basin ends.
#[derive(Debug, Clone, Copy)]
pub(crate) struct End {
    pub(crate) parent: usize,
    pub(crate) sill: f64,
    pub(crate) vertex: u32,
}

/// The merge tree. Children come before their parents.
#[derive(Debug)]
pub(crate) struct Tree {
    pub(crate) up: Vec3,
    /// Height of the lowest vertex along *up* in the body frame \[m\].
    pub(crate) datum: f64,
    pub(crate) heights: Vec<f64>,
    pub(crate) nodes: Vec<Node>,
    /// The basin in which each vertex appears.
    pub(crate) node_of: Vec<u32>,
    /// The level curves of the basins asked for so far.
    pub(super) curves: Vec<OnceLock<LevelCurve>>,
    /// The smallest basin that each basin spills into, of those asked for so far.
    pub(super) spills: Vec<OnceLock<Option<usize>>>,
}

impl Tree {
    /// The tree of the parts below a rising level; with `up` reversed, of those above a falling one.
    pub(crate) fn new(mesh: &ClosedMesh, adjacency: &Adjacency, up: Vec3) -> Self {
        let (heights, datum) = mesh.heights(up);
        let (nodes, node_of) = sweep::sweep(mesh, adjacency, up, &heights);
        let curves = nodes.iter().map(|_| OnceLock::new()).collect();
        let spills = nodes.iter().map(|_| OnceLock::new()).collect();
        let mut tree = Self { up, datum, heights, nodes, node_of, curves, spills };
        tree.fill_volumes(mesh);
        tree
    }

    /// Height of a point of the body above the lowest vertex.
    pub(crate) fn height_of(&self, point: Vec3) -> f64 {
        dot(point, self.up) - self.datum
    }

    /// Highest vertex.
    pub(crate) fn top(&self) -> f64 {
        highest(&self.heights)
    }

    /// The height where a basin ends; infinite at a root.
    pub(crate) fn sill(&self, node: usize) -> f64 {
        self.nodes[node].end.map_or(f64::INFINITY, |e| e.sill)
    }

    /// The corner of a face that is swept first.
    pub(crate) fn lowest_corner(&self, f: [u32; 3]) -> u32 {
        f[lowest_of(f.map(|v| self.heights[v as usize]))]
    }

    /// The basin in which the part that a face begins in appears.
    #[inline]
    pub(crate) fn node_of_face(&self, f: [u32; 3]) -> usize {
        self.node_of[self.lowest_corner(f) as usize] as usize
    }

    /// The basin that `node` is part of at a level: the first of it and its ancestors whose sill is not below that.
    pub(crate) fn at_level(&self, mut node: usize, level: f64) -> usize {
        while let Some(end) = self.nodes[node].end {
            if end.sill >= level {
                break;
            }
            node = end.parent;
        }
        node
    }

    /// For every basin the one it is part of at a level.
    pub(crate) fn parts_at(&self, level: f64) -> Vec<usize> {
        let mut part: Vec<usize> = (0..self.nodes.len()).collect();
        for n in (0..self.nodes.len()).rev() {
            if let Some(end) = self.nodes[n].end.filter(|e| e.sill < level) {
                part[n] = part[end.parent];
            }
        }
        part
    }

    /// For every basin whether it is `node` or part of it.
    pub(crate) fn within(&self, node: usize) -> Vec<bool> {
        let mut inside = vec![false; self.nodes.len()];
        inside[node] = true;
        for n in (0..node).rev() {
            inside[n] = self.nodes[n].end.is_some_and(|e| inside[e.parent]);
        }
        inside
    }
}

/// The place of the lowest of three heights, of equal ones the first.
#[inline]
pub(super) fn lowest_of([a, b, c]: [f64; 3]) -> usize {
    let (first, lower) = if b < a { (1, b) } else { (0, a) };
    if c < lower { 2 } else { first }
}
