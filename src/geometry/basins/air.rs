//! Air that rising liquid locks in.
//!
//! The parts of the liquid space *above* a falling level make the same tree upside down: each branch is a dome, and its
//! sill is where it joins its neighbours. As liquid rises past that, the dome is cut off; its air leaves only by a vent.

use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::super::attitude::Attitude;
use super::super::error::GeometryError;
use super::super::mesh::ClosedMesh;
use super::super::point::Point;
use super::super::sump::Sump;
use super::super::vector::scale;
use super::tree::Tree;

/// Vertices this near to the highest of the body are its top \[m\].
const TOP: f64 = 1e-6;
/// Less air than this fraction of the capacity is rounding.
const NOTHING: f64 = 1e-12;

/// Where air can leave a sump.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Vents {
    /// The top: whatever is highest when the body stands level (a sump open to the crankcase).
    #[default]
    Top,
    /// At points; each must be within 50 mm of the liquid space.
    At(Vec<Point>),
}

/// A space whose air cannot leave once liquid has risen to its level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirLock {
    /// Its highest point.
    pub highest_point: Point,
    /// Level of liquid that cuts it off.
    pub level: Length,
    /// Volume of the space above that level, which stays air (its compression by the liquid aside).
    pub volume: Volume,
}

impl Sump {
    /// Spaces that stay filled with air as liquid rises everywhere, largest first; empty when all air can leave.
    ///
    /// A space is cut off when liquid passes the way to its neighbours, or when it passes the highest vent in it.
    pub fn air_locks(&self, vents: &Vents, attitude: Attitude) -> Result<Vec<AirLock>, GeometryError> {
        let mesh = self.need_mesh()?;
        let upside_down = || Tree::new(mesh, self.adjacency(mesh), scale(attitude.up_si(), -1.0));
        let tree = self.domes().get(attitude, upside_down);
        let highest_vent = tree.highest_vents(&tree.vented(mesh, vents)?);
        let top = tree.top();
        let mut found: Vec<AirLock> = (tree.locks(&highest_vent).into_iter())
            .map(|(node, depth)| AirLock {
                highest_point: Point::from_si(mesh.vertex(tree.nodes[node].lowest)),
                // Depths are below the highest vertex, levels above the lowest.
                level: Length::new::<meter>(top - depth.min(top)),
                volume: Volume::new::<cubic_meter>(tree.locked_volume(mesh, node, depth)),
            })
            .filter(|lock| lock.volume.get::<cubic_meter>() > NOTHING * mesh.volume_si())
            .collect();
        found.sort_by(|a, b| b.volume.value.total_cmp(&a.volume.value));
        Ok(found)
    }
}

/// In these the tree is upside down: heights are depths below the highest vertex.
impl Tree {
    /// The domes that the vents are in, and how deep they lie.
    fn vented(&self, mesh: &ClosedMesh, vents: &Vents) -> Result<Vec<(usize, f64)>, GeometryError> {
        match vents {
            Vents::At(points) => {
                let one = |p: &Point| Ok((self.node_at(mesh, "vent", p.si())?, self.height_of(p.si()).max(0.0)));
                points.iter().map(one).collect()
            }
            Vents::Top => {
                let (_, high) = mesh.bounds_si();
                let of = |v: usize| (self.node_of[v] as usize, self.heights[v]);
                Ok((0..mesh.vertex_count()).filter(|v| mesh.z[*v] >= high[2] - TOP).map(of).collect())
            }
        }
    }

    /// For every dome the depth of the highest vent in it; infinite without one.
    fn highest_vents(&self, vents: &[(usize, f64)]) -> Vec<f64> {
        let mut depth = vec![f64::INFINITY; self.nodes.len()];
        for (node, d) in vents {
            depth[*node] = depth[*node].min(*d);
        }
        for n in 0..self.nodes.len() {
            if let Some(end) = self.nodes[n].end {
                depth[end.parent] = depth[end.parent].min(depth[n]);
            }
        }
        depth
    }

    /// The largest domes without a way out, and the depth at which each is cut off.
    fn locks(&self, highest_vent: &[f64]) -> Vec<(usize, f64)> {
        let mut out = Vec::new();
        let mut open: Vec<usize> = (0..self.nodes.len()).filter(|n| self.nodes[*n].end.is_none()).collect();
        while let Some(n) = open.pop() {
            let vent = highest_vent[n];
            if vent.is_infinite() {
                out.push((n, self.sill(n)));
                continue;
            }
            let children = &self.nodes[n].children;
            if vent > self.nodes[n].base || children.is_empty() {
                out.push((n, vent));
            } else {
                open.extend(children);
            }
        }
        out
    }

    fn locked_volume(&self, mesh: &ClosedMesh, node: usize, depth: f64) -> f64 {
        if depth >= self.sill(node).min(self.top()) {
            self.nodes[node].volume
        } else {
            self.volume_below(mesh, node, depth)
        }
    }
}
