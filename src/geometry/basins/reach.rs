//! What an outlet reaches: the basins it lies in, one after the other as the level falls.

use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::super::attitude::Attitude;
use super::super::curve::LevelCurve;
use super::super::error::GeometryError;
use super::super::mesh::ClosedMesh;
use super::super::plug::Plug;
use super::super::point::Point;
use super::super::sump::Sump;
use super::super::vector::dot;
use super::heel::SuctionTip;
use super::tree::Tree;

/// What an outlet reaches of the liquid below one common level.
///
/// At a level the outlet lies in one part of the liquid; its free surface is that of this part alone. Where the level falls
/// to a sill, what is behind the sill stays at it and the part is smaller from there on. Below the outlet nothing is
/// reached. A sump without plan form counts as one part.
#[derive(Debug, Clone)]
pub struct Reach {
    /// The level curves of the basins around the outlet, each beginning where the one before it ends.
    parts: Vec<LevelCurve>,
    /// Level of the outlet \[m\].
    outlet: f64,
}

impl Reach {
    /// The basins around a node, from its own to the whole.
    fn of_node(tree: &Tree, mesh: &ClosedMesh, node: usize, outlet: f64, attitude: Attitude) -> Self {
        let around = |n: &usize| tree.nodes[*n].end.map(|e| e.parent);
        let basins = std::iter::successors(Some(node), around);
        Self { parts: basins.map(|n| tree.curve(mesh, n, attitude).clone()).collect(), outlet }
    }

    /// Level of the outlet's lowest point; below zero where it lies under the whole sump.
    pub fn outlet(&self) -> Length {
        Length::new::<meter>(self.outlet)
    }

    /// Volume that leaves in falling from a level to the outlet.
    pub fn volume(&self, level: Length) -> Volume {
        Volume::new::<cubic_meter>(self.volume_si(level.get::<meter>()))
    }

    /// [`Reach::volume`] in metres and cubic metres.
    pub fn volume_si(&self, level: f64) -> f64 {
        let mut sum = 0.0;
        for part in &self.parts {
            let low = part.knots()[0].max(self.outlet);
            let high = level.min(part.height_si());
            if high > low {
                sum += part.volume_at(high) - part.volume_at(low);
            }
        }
        sum
    }

    /// Free surface of the part that the outlet lies in, in metres and square metres; none below the outlet and above
    /// the sump.
    pub fn free_surface_si(&self, level: f64) -> f64 {
        if level < self.outlet {
            return 0.0;
        }
        let part = self.parts.iter().find(|p| level < p.height_si()).or(self.parts.last());
        part.and_then(|p| p.free_surface_si(level).ok()).unwrap_or(0.0)
    }

    /// Levels at which the free surface jumps or has a kink, in metres, rising.
    pub fn knots(&self) -> Vec<f64> {
        let all = self.parts.iter().flat_map(|p| p.knots().iter().copied());
        all.filter(|z| *z > self.outlet).collect()
    }
}

impl Sump {
    /// What a plug reaches at an attitude: liquid that is joined to the lowest point of its rim.
    ///
    /// # Errors
    /// [`GeometryError::OutsideLiquid`] for a plug more than 50 mm outside the liquid space;
    /// [`GeometryError::NeedsPlanForm`] for a sump without plan form that is not level.
    ///
    /// ```
    /// use fillmark::geometry::{Attitude, Plug, Point, Sump};
    /// use fillmark::uom::si::{f64::Length, length::millimeter, volume::liter};
    /// let mm = |x| Length::new::<millimeter>(x);
    /// let sump = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0))?;
    /// let side = Plug::new(Point::from_mm([150.0, 0.0, 31.0])?, mm(12.0), mm(10.0), [1.0, 0.0, 0.0])?;
    /// let reach = sump.reach_of_plug(&side, Attitude::LEVEL)?;
    /// assert!((reach.volume(mm(100.0)).get::<liter>() - 4.5).abs() < 1e-9);
    /// # Ok::<(), fillmark::geometry::GeometryError>(())
    /// ```
    pub fn reach_of_plug(&self, plug: &Plug, attitude: Attitude) -> Result<Reach, GeometryError> {
        self.reach("plug", plug.rim_points_si(attitude.up_si())[0], attitude)
    }

    /// What a suction tip reaches at an attitude: liquid that is joined to the lowest point of its rim.
    ///
    /// # Errors
    /// As [`Sump::reach_of_plug`].
    pub fn reach_of_tip(&self, tip: &SuctionTip, attitude: Attitude) -> Result<Reach, GeometryError> {
        self.reach("suction tip", tip.rim()?.rim_points_si(attitude.up_si())[0], attitude)
    }

    /// What a point reaches at an attitude.
    ///
    /// # Errors
    /// As [`Sump::reach_of_plug`].
    pub fn reach_of_point(&self, point: Point, attitude: Attitude) -> Result<Reach, GeometryError> {
        self.reach("point", point.si(), attitude)
    }

    fn reach(&self, what: &str, point: [f64; 3], attitude: Attitude) -> Result<Reach, GeometryError> {
        let Some(mesh) = self.mesh() else {
            let curve = self.curve(attitude)?;
            let outlet = dot(point, attitude.up_si()) - curve.datum_si();
            return Ok(Reach { parts: vec![(*curve).clone()], outlet });
        };
        let tree = self.basin_tree(attitude)?;
        let node = tree.node_at(mesh, what, point)?;
        Ok(Reach::of_node(&tree, mesh, node, tree.height_of(point), attitude))
    }
}
