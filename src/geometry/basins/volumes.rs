//! Volumes of basins: to the sill, below a level, and as a curve.
//!
//! A part of the liquid space below a level is bounded by the faces that begin in it and by the free surface. So its
//! volume is the same exact sum over triangles as that of the whole, over the faces whose lowest corner is in it.

use super::super::attitude::Attitude;
use super::super::curve::LevelCurve;
use super::super::kernel::{column, rising};
use super::super::mesh::ClosedMesh;
use super::super::sum::Sum;
use super::super::vector::dot;
use super::tree::Tree;

impl Tree {
    fn weight(&self, mesh: &ClosedMesh, face: usize) -> f64 {
        -dot(mesh.area[face], self.up)
    }

    /// Fills in the volume of every basin to its sill. A face adds to each basin it passes through by the exact sum, and
    /// to those above it by its area and its mean height.
    pub(super) fn fill_volumes(&mut self, mesh: &ClosedMesh) {
        let count = self.nodes.len();
        let mut partial = vec![Sum::default(); count];
        let mut whole = vec![(Sum::default(), Sum::default()); count];
        for (i, f) in mesh.faces.iter().enumerate() {
            let (z, a) = (rising(&self.heights, *f), self.weight(mesh, i));
            let mut n = self.node_of_face(*f);
            while let Some(end) = self.nodes[n].end {
                if end.sill >= z[2] {
                    break;
                }
                partial[n].add(a * column(z, end.sill));
                n = end.parent;
            }
            whole[n].0.add(a);
            whole[n].1.add(a * ((z[0] + z[1] + z[2]) / 3.0));
        }
        let top = self.top();
        for n in 0..count {
            let (area, moment) = whole[n];
            let sill = self.sill(n).min(top);
            partial[n].add(area.value() * sill);
            partial[n].add(-moment.value());
            self.nodes[n].volume = partial[n].value().max(0.0);
            if let Some(end) = self.nodes[n].end {
                whole[end.parent].0.merge(area);
                whole[end.parent].1.merge(moment);
            }
        }
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
        self.curves[node].get_or_init(|| {
            let within = self.within(node);
            let faces: Vec<usize> =
                (0..mesh.face_count()).filter(|i| within[self.node_of_face(mesh.faces[*i])]).collect();
            let n = &self.nodes[node];
            let range = [n.base, self.sill(node).min(self.top())];
            LevelCurve::of_part(mesh, &self.heights, attitude, self.datum, &faces, range, n.volume)
        })
    }
}
