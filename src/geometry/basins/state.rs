//! Liquid in a sump as it lies: a pool in each basin that has some.

use std::sync::Arc;

use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::super::attitude::Attitude;
use super::super::error::GeometryError;
use super::super::mesh::ClosedMesh;
use super::super::plug::Plug;
use super::super::point::Point;
use super::super::sum::Sum;
use super::super::sump::Sump;
use super::descent::Runner;
use super::tree::Tree;
use crate::numeric::check;

/// Liquid in a sump at one attitude, as poured: it lies in separate pools with their own levels, spills where a basin is
/// full, and joins where neighbours are full to the same sill (fill, spill, merge: Barnes, Callaghan, Wickert 2021, Earth
/// Surface Dynamics 9:105). Volume is kept to 1e-12 of the capacity. Air leaves freely.
///
/// ```
/// use fillmark::geometry::{Attitude, Point, Pools, Sump};
/// use fillmark::uom::si::{f64::{Length, Volume}, length::millimeter, volume::liter};
/// let mm = |x| Length::new::<millimeter>(x);
/// let sump = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0))?;
/// let mut pools = Pools::empty(&sump, Attitude::LEVEL)?;
/// pools.pour(Point::from_mm([0.0, 0.0, 90.0])?, Volume::new::<liter>(3.0))?;
/// assert!((pools.list()?[0].level.get::<millimeter>() - 50.0).abs() < 1e-9);
/// # Ok::<(), fillmark::geometry::GeometryError>(())
/// ```
#[derive(Debug, Clone)]
pub struct Pools {
    pub(super) sump: Sump,
    pub(super) attitude: Attitude,
    pub(super) tree: Arc<Tree>,
    pub(super) held: Held,
}

/// Volume in each basin whose pool is one; none in those that are parts of such a basin or not yet joined \[m3\].
pub(super) type Held = Vec<Option<f64>>;

/// One pool.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pool {
    /// The basin it lies in, by its place in [`Sump::basins`].
    pub basin: usize,
    /// Level of its free surface above the sump's lowest point.
    pub level: Length,
    /// Its volume.
    pub volume: Volume,
}

impl Pools {
    /// No liquid.
    pub fn empty(sump: &Sump, attitude: Attitude) -> Result<Self, GeometryError> {
        let tree = sump.basin_tree(attitude)?;
        let held = nothing(&tree);
        Ok(Self { sump: sump.clone(), attitude, tree, held })
    }

    /// Liquid up to one common level in every basin. Refused outside 0 to the height at that attitude.
    pub fn at_level(sump: &Sump, level: Length, attitude: Attitude) -> Result<Self, GeometryError> {
        let mut pools = Self::empty(sump, attitude)?;
        let level = sump.curve(attitude)?.accept_level(level.get::<meter>())?;
        let mesh = sump.need_mesh(attitude)?;
        for (node, volume) in pools.tree.pools(mesh, level) {
            let within = pools.tree.within(node);
            pools.held.iter_mut().zip(within).filter(|(_, w)| *w).for_each(|(h, _)| *h = None);
            pools.held[node] = Some(volume);
        }
        Ok(pools)
    }

    /// The attitude.
    pub fn attitude(&self) -> Attitude {
        self.attitude
    }

    /// All the liquid.
    pub fn volume(&self) -> Volume {
        Volume::new::<cubic_meter>(self.volume_si())
    }

    pub(super) fn volume_si(&self) -> f64 {
        self.held.iter().flatten().copied().collect::<Sum>().value()
    }

    /// The pools, largest first.
    pub fn list(&self) -> Result<Vec<Pool>, GeometryError> {
        let mesh = self.mesh()?;
        let mut list: Vec<Pool> = (self.held.iter().enumerate())
            .filter_map(|(n, v)| v.filter(|v| *v > 0.0).map(|v| (n, v)))
            .map(|(basin, v)| Pool {
                basin,
                level: Length::new::<meter>(self.level_of(mesh, basin, v)),
                volume: Volume::new::<cubic_meter>(v),
            })
            .collect();
        list.sort_by(|a, b| b.volume.value.total_cmp(&a.volume.value).then(a.basin.cmp(&b.basin)));
        Ok(list)
    }

    /// The pool that a place stands in or over: the one whose surface rises past a stick's tip there when liquid is
    /// added. `None` where pools are still apart below that place, or the one there is empty. A point more than 50 mm
    /// outside the liquid space is refused.
    pub fn pool_at(&self, point: Point) -> Result<Option<Pool>, GeometryError> {
        let mesh = self.mesh()?;
        let node = self.tree.node_at(mesh, "point", point.si())?;
        let active = self.active(node).filter(|n| self.held[*n].is_some_and(|v| v > 0.0));
        Ok(self.list()?.into_iter().find(|pool| Some(pool.basin) == active))
    }

    /// Pours liquid at a point: it falls, runs down by the steepest way and fills the basin it comes to; what is too much
    /// spills over the sill. Refused when it does not fit; then nothing is changed.
    pub fn pour(&mut self, at: Point, volume: Volume) -> Result<(), GeometryError> {
        let volume = not_negative("volume", volume)?;
        let sump = self.sump.clone();
        let (mesh, runner) = (self.mesh()?, self.runner(&sump)?);
        self.tree.anchor(mesh, "pour", at.si())?;
        let leaf = runner.fallen_at(at.si());
        let mut held = self.held.clone();
        fill(&runner, &mut held, leaf, volume)?;
        self.held = held;
        Ok(())
    }

    /// Takes liquid out at a point, as a tube with its end there would: the pool around it falls, down to the point. Where
    /// a sill comes out of the liquid, what is behind stays. Refused when the tube cannot reach so much; then nothing is
    /// changed.
    pub fn withdraw(&mut self, at: Point, volume: Volume) -> Result<(), GeometryError> {
        let volume = not_negative("volume", volume)?;
        let mesh = self.sump.need_mesh(self.attitude)?;
        let target = self.tree.node_at(mesh, "tube", at.si())?;
        let floor = self.tree.volume_below(mesh, target, self.tree.height_of(at.si()));
        let (mut held, mut left) = (self.held.clone(), volume);
        while let Some(n) = active(&self.tree, &held, target) {
            let keep = if n == target { floor } else { self.tree.volume_at_base(n) };
            let now = held[n].unwrap_or(0.0);
            let taken = left.min((now - keep).max(0.0));
            held[n] = Some(now - taken);
            left -= taken;
            if n == target || left <= 0.0 {
                break;
            }
            part(&self.tree, &mut held, n);
        }
        if left > 1e-12 * mesh.volume_si() {
            return Err(GeometryError::BeyondReach {
                at_mm: at.to_mm(),
                volume_l: volume * 1e3,
                reach_l: (volume - left) * 1e3,
            });
        }
        self.held = held;
        Ok(())
    }

    /// Lets everything out that the plugs reach: what has left.
    pub fn drain(&mut self, plugs: &[Plug]) -> Result<Volume, GeometryError> {
        let mesh = self.sump.need_mesh(self.attitude)?;
        let holes = plugs.iter().map(|p| self.tree.plug(mesh, p)).collect::<Result<Vec<_>, _>>()?;
        let lowest = self.tree.lowest_holes(&holes);
        let before = self.volume_si();
        // Parents come after children, so what a basin leaves to its parts is seen to in its turn.
        for n in (0..self.held.len()).rev() {
            let Some(v) = self.held[n].filter(|_| lowest[n].is_finite()) else { continue };
            if lowest[n] > self.tree.nodes[n].base || self.tree.nodes[n].children.is_empty() {
                self.held[n] = Some(v.min(self.tree.volume_below(mesh, n, lowest[n])));
            } else {
                part(&self.tree, &mut self.held, n);
            }
        }
        Ok(Volume::new::<cubic_meter>(before - self.volume_si()))
    }

    pub(super) fn mesh(&self) -> Result<&ClosedMesh, GeometryError> {
        self.sump.need_mesh(self.attitude)
    }

    /// What runs down this sump.
    pub(super) fn runner<'a>(&'a self, sump: &'a Sump) -> Result<Runner<'a>, GeometryError> {
        let mesh = sump.need_mesh(self.attitude)?;
        Ok(Runner { tree: &self.tree, mesh, adjacency: sump.adjacency(mesh) })
    }

    pub(super) fn level_of(&self, mesh: &ClosedMesh, node: usize, volume: f64) -> f64 {
        self.tree.curve(mesh, node, self.attitude).level_at(volume)
    }

    fn active(&self, node: usize) -> Option<usize> {
        active(&self.tree, &self.held, node)
    }
}

/// An empty pool in every smallest basin.
pub(super) fn nothing(tree: &Tree) -> Held {
    tree.nodes.iter().map(|n| n.children.is_empty().then_some(0.0)).collect()
}

/// The pool that a basin is part of: its own or that of a larger one around it.
pub(super) fn active(tree: &Tree, held: &[Option<f64>], node: usize) -> Option<usize> {
    let around = |n: &usize| tree.nodes[*n].end.map(|e| e.parent);
    std::iter::successors(Some(node), around).find(|n| held[*n].is_some())
}

/// The sills inside a pool come out: its parts are full.
fn part(tree: &Tree, held: &mut Held, node: usize) {
    if tree.nodes[node].children.is_empty() {
        return;
    }
    held[node] = None;
    for c in &tree.nodes[node].children {
        held[*c] = Some(tree.nodes[*c].volume);
    }
}

/// Adds liquid to the pool of a smallest basin; what is too much spills on.
pub(super) fn fill(run: &Runner<'_>, held: &mut Held, leaf: usize, volume: f64) -> Result<(), GeometryError> {
    let (tree, mut leaf, mut volume) = (run.tree, leaf, volume);
    loop {
        let n = active(tree, held, leaf).unwrap_or(leaf);
        let (now, full) = (held[n].unwrap_or(0.0), tree.nodes[n].volume);
        let over = now - full + volume;
        let Some(end) = tree.nodes[n].end.filter(|_| over > 0.0) else {
            return take(run, held, n, now + volume);
        };
        held[n] = Some(full);
        volume = over;
        let filled = |c: usize| held[c].is_some_and(|v| v >= tree.nodes[c].volume);
        let brothers = &tree.nodes[end.parent].children;
        if brothers.iter().all(|c| filled(*c)) {
            held[end.parent] = Some(tree.volume_at_base(end.parent));
            brothers.iter().for_each(|c| held[*c] = None);
            continue;
        }
        let next = run.spill(n).unwrap_or(leaf);
        // A neighbour that is full passes it on to one that is not.
        let blocked = active(tree, held, next).is_some_and(|m| brothers.contains(&m) && filled(m));
        let free = brothers.iter().copied().find(|c| !filled(*c));
        leaf = if blocked { free.map_or(next, |c| first_leaf(tree, c)) } else { next };
    }
}

fn take(run: &Runner<'_>, held: &mut Held, n: usize, volume: f64) -> Result<(), GeometryError> {
    let capacity = run.tree.nodes[n].volume;
    let excess = volume - capacity;
    if run.tree.nodes[n].end.is_none() && excess > 1e-12 * capacity {
        let [volume_l, capacity_l, excess_l] = [volume, capacity, excess].map(|v| v * 1e3);
        return Err(GeometryError::VolumeAboveCapacity { volume_l, capacity_l, excess_l });
    }
    held[n] = Some(volume);
    Ok(())
}

pub(super) fn first_leaf(tree: &Tree, mut node: usize) -> usize {
    while let Some(c) = tree.nodes[node].children.first() {
        node = *c;
    }
    node
}

fn not_negative(what: &str, volume: Volume) -> Result<f64, GeometryError> {
    let litres = volume.get::<cubic_meter>() * 1e3;
    Ok(check::in_range(what, litres, 0.0, 1e9, "L")? / 1e3)
}
