//! Liquid in a sump as it lies: a pool in each basin that has some.

use std::sync::Arc;

use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::super::attitude::Attitude;
use super::super::error::GeometryError;
use super::super::mesh::ClosedMesh;
use super::super::point::Point;
use super::super::sum::Sum;
use super::super::sump::Sump;
use super::descent::Runner;
use super::tree::Tree;

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
    /// The lowest hole of each basin, kept between drainings.
    pub(super) lowest: Vec<f64>,
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
        Ok(Self { sump: sump.clone(), attitude, tree, held, lowest: Vec::new() })
    }

    /// Liquid up to one common level in every basin. Refused outside 0 to the height at that attitude.
    pub fn at_level(sump: &Sump, level: Length, attitude: Attitude) -> Result<Self, GeometryError> {
        let mut pools = Self::empty(sump, attitude)?;
        let level = sump.curve(attitude)?.accept_level(level.get::<meter>())?;
        let mesh = sump.need_mesh()?;
        for (node, volume) in pools.tree.pools(mesh, level) {
            let within = pools.tree.within(node);
            pools.held.iter_mut().zip(within).filter(|(_, w)| *w).for_each(|(h, _)| *h = None);
            pools.held[node] = Some(volume);
        }
        Ok(pools)
    }

    /// Liquid that is known by its volume in each basin: pairs of a basin, by its place in [`Sump::basins`], and the
    /// volume of its pool. Refused unless each is between the volumes at base and sill of its basin and none lies in
    /// another. [`Pools::list`] gives such pairs.
    pub fn from_volumes(sump: &Sump, volumes: &[(usize, Volume)], attitude: Attitude) -> Result<Self, GeometryError> {
        let mut pools = Self::empty(sump, attitude)?;
        let nodes = &pools.tree.nodes;
        let mut taken: Vec<Option<usize>> = vec![None; nodes.len()];
        for (basin, volume) in volumes {
            let basin = *basin;
            let Some(node) = nodes.get(basin) else {
                return Err(GeometryError::NoSuchBasin { basin, basins: nodes.len() });
            };
            let volume = crate::numeric::check::finite("volume", volume.get::<cubic_meter>())?;
            let slack = 1e-12 * node.volume;
            let low = pools.tree.volume_at_base(basin);
            if volume < low - slack || volume > node.volume + slack {
                let [volume_l, low_l, high_l] = [volume, low, node.volume].map(|v| v * 1e3);
                return Err(GeometryError::PoolOutside { basin, volume_l, low_l, high_l });
            }
            let within = pools.tree.within(basin);
            // A larger pool around it has taken it too.
            if let Some(other) = taken.iter().zip(&within).find_map(|(t, w)| t.filter(|_| *w)) {
                return Err(GeometryError::PoolsOverlap { basin, other });
            }
            for n in (0..within.len()).filter(|n| within[*n]) {
                taken[n] = Some(basin);
                pools.held[n] = None;
            }
            pools.held[basin] = Some(volume);
        }
        Ok(pools)
    }

    /// The sump.
    pub fn sump(&self) -> &Sump {
        &self.sump
    }

    /// The attitude.
    pub fn attitude(&self) -> Attitude {
        self.attitude
    }

    /// How many basins there are at this attitude.
    pub(crate) fn basin_total(&self) -> usize {
        self.tree.nodes.len()
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
        let mut list: Vec<Pool> = self.volumes_si().map(|(n, v)| self.pool(mesh, n, v)).collect();
        list.sort_by(|a, b| b.volume.value.total_cmp(&a.volume.value).then(a.basin.cmp(&b.basin)));
        Ok(list)
    }

    /// The volume of every pool that has liquid, by basin, in the order of [`Sump::basins`] \[m3\]. Allocates nothing.
    pub fn volumes_si(&self) -> impl Iterator<Item = (usize, f64)> + '_ {
        (self.held.iter().enumerate()).filter_map(|(n, v)| v.filter(|v| *v > 0.0).map(|v| (n, v)))
    }

    /// The basin that a point is in, at the height of the point: constant for one attitude, so ask once and use
    /// [`Pools::pool_over`] from then on. A point more than 50 mm outside the liquid space is refused.
    pub fn basin_of(&self, point: Point) -> Result<usize, GeometryError> {
        self.tree.node_at(self.mesh()?, "point", point.si())
    }

    /// The pool that a basin is part of: its own or that of a larger one around it; `None` where pools are still apart
    /// below it, or it is empty. Allocates nothing once the level curve of that pool has been prepared.
    pub fn pool_over(&self, basin: usize) -> Result<Option<Pool>, GeometryError> {
        if basin >= self.tree.nodes.len() {
            return Err(GeometryError::NoSuchBasin { basin, basins: self.tree.nodes.len() });
        }
        let mesh = self.mesh()?;
        let filled = |n: usize| self.held[n].filter(|v| *v > 0.0).map(|v| (n, v));
        Ok(self.active(basin).and_then(filled).map(|(n, v)| self.pool(mesh, n, v)))
    }

    fn pool(&self, mesh: &ClosedMesh, basin: usize, volume: f64) -> Pool {
        Pool {
            basin,
            level: Length::new::<meter>(self.level_of(mesh, basin, volume)),
            volume: Volume::new::<cubic_meter>(volume),
        }
    }

    /// The pool that a place stands in or over: the one whose surface rises past a stick's tip there when liquid is
    /// added. `None` where pools are still apart below that place, or the one there is empty. A point more than 50 mm
    /// outside the liquid space is refused.
    pub fn pool_at(&self, point: Point) -> Result<Option<Pool>, GeometryError> {
        self.pool_over(self.basin_of(point)?)
    }

    pub(super) fn mesh(&self) -> Result<&ClosedMesh, GeometryError> {
        self.sump.need_mesh()
    }

    /// What runs down this sump.
    pub(super) fn runner<'a>(&'a self, sump: &'a Sump) -> Result<Runner<'a>, GeometryError> {
        let mesh = sump.need_mesh()?;
        Ok(Runner { tree: &self.tree, mesh, adjacency: sump.adjacency(mesh) })
    }

    pub(super) fn level_of(&self, mesh: &ClosedMesh, node: usize, volume: f64) -> f64 {
        self.tree.curve(mesh, node, self.attitude).level_at(volume)
    }

    fn active(&self, node: usize) -> Option<usize> {
        active(&self.tree, &self.held, node)
    }
}

impl PartialEq for Pools {
    fn eq(&self, other: &Self) -> bool {
        self.sump == other.sump && self.attitude == other.attitude && self.held == other.held
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
