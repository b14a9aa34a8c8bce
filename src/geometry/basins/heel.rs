//! The heel: what stays in when everything drains that can.
//!
//! Liquid at a place leaves through a hole if a path through the liquid space leads from there to the hole's rim. The
//! level that remains is the higher of the rim's lowest point and the lowest possible highest point of such a path; with
//! several holes, the lowest of these levels. In the merge tree: a basin with a hole in it, or in a smaller basin that it
//! is made of, keeps what is below the lowest rim there; one without keeps everything below its sill.

use std::sync::atomic::{AtomicBool, Ordering};

use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::super::attitude::Attitude;
use super::super::error::GeometryError;
use super::super::mesh::ClosedMesh;
use super::super::plug::Plug;
use super::super::point::Point;
use super::super::sump::Sump;
use super::super::vector::Vec3;
use super::tree::Tree;
use crate::numeric::check;
use crate::numeric::share::share;

/// The tip of a suction tube: liquid leaves while the tip draws no air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SuctionTip {
    /// Centre of the tip's opening, body frame.
    pub at: Point,
    /// Inner diameter, 1 to 200 mm.
    pub bore: Length,
    /// Direction in which the tube leads away from the tip, body frame, any length.
    pub axis: [f64; 3],
    /// How far above the rim air is drawn in already (entrainment); 0 to 200 mm. A judgement: about a bore at full flow.
    pub margin: Length,
}

/// What a suction tube leaves, at least and at most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SuctionHeel {
    /// When suction holds down to the lowest point of the rim.
    pub least: Volume,
    /// When it breaks a margin above the highest point of the rim.
    pub most: Volume,
}

/// A place where liquid leaves: the basin it is in and the height down to which it empties that. It holds for the sump and
/// the attitude that it was made for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hole {
    pub(super) node: usize,
    pub(super) height: f64,
    /// Volume that it leaves in its basin \[m3\].
    pub(super) keeps: f64,
}

impl Hole {
    /// The basin that it is in, by its place in [`Sump::basins`].
    pub fn basin(&self) -> usize {
        self.node
    }
}

impl Tree {
    /// A hole at a point.
    pub(super) fn hole(&self, mesh: &ClosedMesh, what: &str, point: Vec3) -> Result<Hole, GeometryError> {
        let node = self.node_at(mesh, what, point)?;
        Ok(self.hole_in(mesh, node, self.height_of(point)))
    }

    fn hole_in(&self, mesh: &ClosedMesh, node: usize, height: f64) -> Hole {
        Hole { node, height, keeps: self.volume_below(mesh, node, height) }
    }

    /// The lowest point of a plug's rim as a hole.
    pub(super) fn plug(&self, mesh: &ClosedMesh, plug: &Plug) -> Result<Hole, GeometryError> {
        let [low, _] = plug.rim_points_si(self.up);
        self.hole(mesh, "plug", low)
    }

    /// The tip of a suction tube as two holes: where suction breaks at the latest and at the earliest.
    fn tip(&self, mesh: &ClosedMesh, tip: &SuctionTip) -> Result<[Hole; 2], GeometryError> {
        let margin = check::in_range("margin", tip.margin.get::<meter>() * 1e3, 0.0, 200.0, "mm")? / 1e3;
        let [low, high] = tip.rim()?.rim_points_si(self.up);
        let from = self.node_at(mesh, "suction tip", low)?;
        let heights = [self.height_of(low), self.height_of(high) + margin];
        Ok(heights.map(|height| self.hole_in(mesh, self.at_level(from, height), height)))
    }

    fn outlets(&self, mesh: &ClosedMesh, outlets: &Outlets<'_>) -> Result<Vec<Hole>, GeometryError> {
        match outlets {
            Outlets::Plugs(plugs) => plugs.iter().map(|p| self.plug(mesh, p)).collect(),
            Outlets::Tip(tip) => Ok(vec![self.tip(mesh, tip)?[1]]),
        }
    }

    /// For every basin the lowest hole in it, smaller basins included; infinite without one.
    pub(super) fn lowest_holes(&self, holes: &[Hole], lowest: &mut Vec<f64>) {
        lowest.clear();
        lowest.resize(self.nodes.len(), f64::INFINITY);
        for hole in holes {
            lowest[hole.node] = lowest[hole.node].min(hole.height);
        }
        for n in 0..self.nodes.len() {
            if let Some(end) = self.nodes[n].end {
                lowest[end.parent] = lowest[end.parent].min(lowest[n]);
            }
        }
    }

    /// The basin in `node` that `part` lies in; `part` itself where it is none of its parts.
    pub(super) fn towards(&self, node: usize, part: usize) -> usize {
        let mut n = part;
        while let Some(end) = self.nodes[n].end.filter(|e| e.parent != node) {
            n = end.parent;
        }
        n
    }

    /// What stays in a full sump when all the holes are open \[m3\].
    fn heel(&self, mesh: &ClosedMesh, holes: &[Hole]) -> f64 {
        let mut lowest = Vec::new();
        self.lowest_holes(holes, &mut lowest);
        let mut kept = crate::geometry::sum::Sum::default();
        for (n, low) in lowest.into_iter().enumerate() {
            let node = &self.nodes[n];
            if low <= node.base {
                continue;
            }
            let volume = if low >= self.sill(n) { node.volume } else { self.volume_below(mesh, n, low) };
            kept.add(volume);
            kept.add(-self.volume_at_base(n));
        }
        kept.value().max(0.0)
    }
}

impl SuctionTip {
    /// Its rim, which has the limits of a plug's.
    pub(crate) fn rim(&self) -> Result<Plug, GeometryError> {
        Plug::new(self.at, self.bore, Length::new::<meter>(0.0), self.axis)
    }
}

/// What a sump is emptied through.
#[derive(Debug, Clone, Copy)]
pub enum Outlets<'a> {
    /// Open plugs.
    Plugs(&'a [Plug]),
    /// A suction tube, until it draws air.
    Tip(&'a SuctionTip),
}

impl Sump {
    /// The heel of open plugs: what stays in a full sump at an attitude when everything drains that can, film aside.
    ///
    /// What is joined to the rim at the height of its lowest point stays at that height; everything else stays at its
    /// sill on the way there. A plug more than 50 mm outside the liquid space is refused. Without a plug all stays in.
    ///
    /// ```
    /// use fillmark::geometry::{Attitude, Plug, Point, Sump};
    /// use fillmark::uom::si::{f64::Length, length::millimeter, volume::liter};
    /// let mm = |x| Length::new::<millimeter>(x);
    /// let sump = Sump::cuboid(mm(300.0), mm(220.0), mm(100.0))?;
    /// // Through the floor at the front wall, nose up by 1 deg.
    /// let plug = Plug::new(Point::from_mm([144.0, 0.0, 0.0])?, mm(12.0), mm(10.0), Plug::DOWN)?;
    /// let heel = sump.heel(&[plug], Attitude::from_degrees(1.0, 0.0)?)?;
    /// assert!((heel.get::<liter>() - 0.159).abs() < 5e-4);
    /// # Ok::<(), fillmark::geometry::GeometryError>(())
    /// ```
    pub fn heel(&self, plugs: &[Plug], attitude: Attitude) -> Result<Volume, GeometryError> {
        self.heel_si(plugs, attitude).map(Volume::new::<cubic_meter>)
    }

    /// [`Sump::heel`] in cubic metres.
    pub fn heel_si(&self, plugs: &[Plug], attitude: Attitude) -> Result<f64, GeometryError> {
        self.left_si(Outlets::Plugs(plugs), attitude)
    }

    /// The same for plugs, or for a suction tube that draws air as early as it may, in cubic metres.
    pub fn left_si(&self, outlets: Outlets<'_>, attitude: Attitude) -> Result<f64, GeometryError> {
        let (tree, mesh) = (self.basin_tree(attitude)?, self.need_mesh()?);
        Ok(tree.heel(mesh, &tree.outlets(mesh, &outlets)?))
    }

    /// [`Sump::heel`] at every pair of angles: nose-up (outer) by right-down (inner), in degrees; the value at
    /// `nose_up_deg[i]`, `right_down_deg[j]` is number `i * right_down_deg.len() + j`. Which end to raise.
    pub fn heel_map(
        &self,
        plugs: &[Plug],
        nose_up_deg: &[f64],
        right_down_deg: &[f64],
    ) -> Result<Vec<Volume>, GeometryError> {
        let map = self.heel_map_si(Outlets::Plugs(plugs), nose_up_deg, right_down_deg, &AtomicBool::new(false))?;
        Ok(map.into_iter().map(Volume::new::<cubic_meter>).collect())
    }

    /// [`Sump::heel_map`] in cubic metres; where `stop` becomes true the rest is not worked out and stays at NaN.
    pub(crate) fn heel_map_si(
        &self,
        outlets: Outlets<'_>,
        nose_up_deg: &[f64],
        right_down_deg: &[f64],
        stop: &AtomicBool,
    ) -> Result<Vec<f64>, GeometryError> {
        let mut attitudes = Vec::with_capacity(nose_up_deg.len() * right_down_deg.len());
        for p in nose_up_deg {
            for r in right_down_deg {
                attitudes.push(Attitude::from_degrees(*p, *r)?);
            }
        }
        let one = |attitude: Attitude| -> Result<f64, GeometryError> {
            if stop.load(Ordering::Relaxed) {
                return Ok(f64::NAN);
            }
            let mesh = self.need_mesh()?;
            let tree = Tree::new(mesh, self.adjacency(mesh), attitude.up_si());
            Ok(tree.heel(mesh, &tree.outlets(mesh, &outlets)?))
        };
        share(attitudes, one).into_iter().collect()
    }

    /// What a suction tube leaves of a full sump at an attitude: between suction that holds to the lowest point of the
    /// tip's rim and suction that breaks at `margin` above the highest. A tip more than 50 mm outside the liquid space
    /// is refused.
    pub fn suction_heel(&self, tip: &SuctionTip, attitude: Attitude) -> Result<SuctionHeel, GeometryError> {
        let (tree, mesh) = (self.basin_tree(attitude)?, self.need_mesh()?);
        let [least, most] = tree.tip(mesh, tip)?.map(|hole| Volume::new::<cubic_meter>(tree.heel(mesh, &[hole])));
        Ok(SuctionHeel { least, most })
    }
}
