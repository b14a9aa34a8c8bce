//! What a sump says of its basins and pools.

use std::sync::Arc;

use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::super::attitude::Attitude;
use super::super::curve::LevelCurve;
use super::super::error::GeometryError;
use super::super::point::Point;
use super::super::sump::Sump;
use super::tree::Tree;

/// A place where liquid can stand by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Basin {
    /// Its lowest point (of several, the first vertex).
    pub lowest_point: Point,
    /// Level of the lowest point.
    pub lowest_level: Length,
    /// Level at which it begins: that of its lowest point, or of the sill where smaller basins join to make it.
    pub base: Length,
    /// The smaller basins that join to make it, by their places in the list.
    pub children: Vec<usize>,
    /// Where it spills; `None` when it takes everything to the top.
    pub sill: Option<Sill>,
    /// Volume of everything in it below its sill, smaller basins included.
    pub volume: Volume,
}

/// Where a basin spills.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sill {
    /// Level of the sill.
    pub level: Length,
    /// The point that liquid passes.
    pub point: Point,
    /// The basin that it and its neighbours join to make, by its place in the list.
    pub parent: usize,
}

impl Sump {
    /// All basins at an attitude, children before parents.
    ///
    /// Components of the liquid space below a rising height make a merge tree, swept along the edges of the mesh
    /// (Carr, Snoeyink, Axen 2003, Computational Geometry 24:75; cited from memory); each of its branches is a basin. Tips of bodies that
    /// hang in liquid are no basins. Basins shallower than 0.1 micrometre are rounding of the drawing and left out.
    /// Levels are above the sump's lowest point at that attitude. Prepared at the first question and kept.
    ///
    /// ```
    /// use fillmark::geometry::{Attitude, Stepped, Sump};
    /// use fillmark::uom::si::{f64::Length, length::millimeter};
    /// let mm = |x| Length::new::<millimeter>(x);
    /// let well_in_the_middle = Stepped {
    ///     length: mm(300.0), width: mm(200.0), tray_height: mm(50.0),
    ///     well_length: mm(120.0), well_depth: mm(60.0), well_from_rear: mm(90.0),
    /// };
    /// let sump = Sump::stepped(well_in_the_middle)?;
    /// assert_eq!(sump.basins(Attitude::LEVEL)?.len(), 1);
    /// // Nose up: the well, the rear end of the tray behind it, and both together.
    /// let basins = sump.basins(Attitude::from_degrees(5.0, 0.0)?)?;
    /// assert_eq!(basins.len(), 3);
    /// assert!(basins[2].sill.is_none() && basins[2].children.len() == 2);
    /// # Ok::<(), fillmark::geometry::GeometryError>(())
    /// ```
    pub fn basins(&self, attitude: Attitude) -> Result<Vec<Basin>, GeometryError> {
        let (tree, mesh) = (self.basin_tree(attitude)?, self.need_mesh()?);
        let m = Length::new::<meter>;
        let point = |v: u32| Point::from_si(mesh.vertex(v));
        let basin = |n: &super::tree::Node| Basin {
            lowest_point: point(n.lowest),
            lowest_level: m(tree.heights[n.lowest as usize]),
            base: m(n.base),
            children: n.children.clone(),
            sill: n.end.map(|e| Sill { level: m(e.sill), point: point(e.vertex), parent: e.parent }),
            volume: Volume::new::<cubic_meter>(n.volume),
        };
        Ok(tree.nodes.iter().map(basin).collect())
    }

    /// Level and volume of one basin, by its place in [`Sump::basins`]: from its base to its sill, smaller basins in it
    /// included.
    pub fn basin_curve(&self, basin: usize, attitude: Attitude) -> Result<LevelCurve, GeometryError> {
        let tree = self.basin_tree(attitude)?;
        if basin >= tree.nodes.len() {
            return Err(GeometryError::NoSuchBasin { basin, basins: tree.nodes.len() });
        }
        Ok(tree.curve(self.need_mesh()?, basin, attitude).clone())
    }

    /// Volumes of the separate pools below a common level, largest first. Refused outside 0 to the height at that
    /// attitude. Their sum is [`Sump::volume`].
    ///
    /// ```
    /// use fillmark::geometry::{Attitude, Sump};
    /// use fillmark::uom::si::{f64::Length, length::millimeter, volume::liter};
    /// let mm = |x| Length::new::<millimeter>(x);
    /// let sump = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0))?;
    /// let pools = sump.pools(mm(50.0), Attitude::LEVEL)?;
    /// assert_eq!(pools.len(), 1);
    /// assert!((pools[0].get::<liter>() - 3.0).abs() < 1e-12);
    /// # Ok::<(), fillmark::geometry::GeometryError>(())
    /// ```
    pub fn pools(&self, level: Length, attitude: Attitude) -> Result<Vec<Volume>, GeometryError> {
        let pools = self.pools_si(level.get::<meter>(), attitude)?;
        Ok(pools.into_iter().map(Volume::new::<cubic_meter>).collect())
    }

    /// [`Sump::pools`] in metres and cubic metres.
    pub fn pools_si(&self, level: f64, attitude: Attitude) -> Result<Vec<f64>, GeometryError> {
        let (tree, mesh) = (self.basin_tree(attitude)?, self.need_mesh()?);
        let level = self.curve(attitude)?.accept_level(level)?;
        let mut volumes: Vec<f64> = tree.pools(mesh, level).into_iter().map(|(_, v)| v).collect();
        volumes.sort_by(|a, b| b.total_cmp(a));
        Ok(volumes)
    }

    /// The merge tree at an attitude, prepared or taken from the kept ones.
    pub(crate) fn basin_tree(&self, attitude: Attitude) -> Result<Arc<Tree>, GeometryError> {
        let mesh = self.need_mesh()?;
        Ok(self.trees().get(attitude, || Tree::new(mesh, self.adjacency(mesh), attitude.up_si())))
    }
}
