//! Volumes of basins: to the sill, below a level, and as a curve.
//!
//! A part of the liquid space below a level is bounded by the faces that begin in it and by the free surface. So its
//! volume is the same exact sum over triangles as that of the whole, over the faces whose lowest corner is in it.

use super::super::attitude::Attitude;
use super::super::curve::LevelCurve;
use super::super::kernel::{column, rising, sorted};
use super::super::mesh::{ClosedMesh, MANY};
use super::super::sum::Sum;
use super::super::vector::dot;
use super::tree::{Tree, lowest_of};
use crate::numeric::share::share;

/// What faces add to the volume of one basin.
#[derive(Debug, Clone, Copy, Default)]
struct Shares {
    /// Of faces that pass its sill, below it.
    passed: Sum,
    /// Horizontal area of faces that end in it, and the same times their mean heights.
    area: Sum,
    moment: Sum,
}

impl Shares {
    fn merge(&mut self, other: Self) {
        self.passed.merge(other.passed);
        self.area.merge(other.area);
        self.moment.merge(other.moment);
    }
}

impl Tree {
    fn weight(&self, mesh: &ClosedMesh, face: usize) -> f64 {
        -dot(mesh.area[face], self.up)
    }

    /// Fills in the volume of every basin to its sill. A face adds to each basin it passes through by the exact sum, and
    /// to those above it by its area and its mean height. A basin that all others become part of holds all.
    pub(super) fn fill_volumes(&mut self, mesh: &ClosedMesh) {
        let whole = self.whole();
        if let Some(node) = whole {
            self.nodes[node].volume = mesh.volume_si();
        }
        let count = whole.unwrap_or(self.nodes.len());
        if count == 0 {
            return;
        }
        let runs = mesh.faces.chunks(MANY).enumerate().collect();
        let runs = share(runs, |(n, faces): (usize, &[[u32; 3]])| self.shares_of(mesh, n * MANY, faces));
        let mut shares = vec![Shares::default(); self.nodes.len()];
        for run in runs {
            shares.iter_mut().zip(run).for_each(|(all, part)| all.merge(part));
        }
        let top = self.top();
        for n in 0..count {
            let Shares { mut passed, area, moment } = shares[n];
            passed.add(area.value() * self.sill(n).min(top));
            passed.add(-moment.value());
            self.nodes[n].volume = passed.value().max(0.0);
            if let Some(end) = self.nodes[n].end {
                shares[end.parent].area.merge(area);
                shares[end.parent].moment.merge(moment);
            }
        }
    }

    /// The basin that all others become part of, if there is one: the last.
    fn whole(&self) -> Option<usize> {
        let last = self.nodes.len() - 1;
        self.nodes[..last].iter().all(|n| n.end.is_some()).then_some(last)
    }

    /// What a run of faces, the first of them numbered, adds to every basin but the one that holds all.
    fn shares_of(&self, mesh: &ClosedMesh, first: usize, faces: &[[u32; 3]]) -> Vec<Shares> {
        let mut shares = vec![Shares::default(); self.nodes.len()];
        let whole = self.whole();
        // Neighbouring faces mostly end in one basin: its sums stay at hand until another comes.
        let (mut at, mut own) = (0, Shares::default());
        for (f, area) in faces.iter().zip(&mesh.area[first..]) {
            let corners = f.map(|v| self.heights[v as usize]);
            let mut n = self.node_of[f[lowest_of(corners)] as usize] as usize;
            if Some(n) == whole {
                continue;
            }
            let (z, a) = (sorted(corners), -dot(*area, self.up));
            while let Some(end) = self.nodes[n].end.filter(|e| e.sill < z[2]) {
                shares[n].passed.add(a * column(z, end.sill));
                n = end.parent;
            }
            if n != at {
                shares[at].merge(std::mem::take(&mut own));
                at = n;
            }
            own.area.add(a);
            own.moment.add(a * ((z[0] + z[1] + z[2]) / 3.0));
        }
        shares[at].merge(own);
        shares
    }

    /// The basins that hold liquid below one common level, and how much.
    pub(crate) fn pools(&self, mesh: &ClosedMesh, level: f64) -> Vec<(usize, f64)> {
        let part = self.parts_at(level);
        let mut sums = vec![Sum::default(); self.nodes.len()];
        for (i, f) in mesh.faces.iter().enumerate() {
            let z = rising(&self.heights, *f);
            if z[0] < level {
                sums[part[self.node_of_face(*f)]].add(self.weight(mesh, i) * column(z, level));
            }
        }
        sums.iter().enumerate().map(|(n, s)| (n, s.value())).filter(|(_, v)| *v > 0.0).collect()
    }

    /// Volume of the part that `node` is, below a level in its range.
    pub(crate) fn volume_below(&self, mesh: &ClosedMesh, node: usize, level: f64) -> f64 {
        let within = self.within(node);
        let term = |(i, f): (usize, &[u32; 3])| {
            let z = rising(&self.heights, *f);
            if z[0] < level && within[self.node_of_face(*f)] { self.weight(mesh, i) * column(z, level) } else { 0.0 }
        };
        mesh.faces.iter().enumerate().map(term).collect::<Sum>().value().clamp(0.0, self.nodes[node].volume)
    }

    /// Volume with which a basin begins: what the basins that join to make it hold.
    pub(crate) fn volume_at_base(&self, node: usize) -> f64 {
        self.nodes[node].children.iter().map(|c| self.nodes[*c].volume).sum()
    }

    /// Level and volume of one basin between its base and its sill, prepared at the first question.
    pub(crate) fn curve(&self, mesh: &ClosedMesh, node: usize, attitude: Attitude) -> &LevelCurve {
        if let Some(curve) = self.curves[node].get() {
            return curve;
        }
        // Outside the lock, as it is worked on several threads: one that waits for the others may be given work that asks for this
        // very curve. Two that miss at once both prepare it.
        let made = self.prepare(mesh, node, attitude);
        self.curves[node].get_or_init(|| made)
    }

    fn prepare(&self, mesh: &ClosedMesh, node: usize, attitude: Attitude) -> LevelCurve {
        let within = self.within(node);
        let faces: Vec<usize> = (0..mesh.face_count()).filter(|i| within[self.node_of_face(mesh.faces[*i])]).collect();
        let n = &self.nodes[node];
        let range = [n.base, self.sill(node).min(self.top())];
        LevelCurve::of_part(mesh, &self.heights, attitude, self.datum, &faces, range, n.volume)
    }
}
