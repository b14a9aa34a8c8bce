//! Pouring, withdrawing and draining: what changes the pools at one attitude.

use uom::si::f64::Volume;
use uom::si::volume::cubic_meter;

use super::super::error::GeometryError;
use super::super::plug::Plug;
use super::super::point::Point;
use super::descent::Runner;
use super::flow::{Flow, Listener};
use super::heel::Hole;
use super::state::{Held, Pools, active};
use super::tree::Tree;
use crate::numeric::check;

impl Pools {
    /// Pours liquid at a point: it falls, runs down by the steepest way and fills the basin it comes to; what is too much
    /// spills over the sill. Refused when it does not fit; then nothing is changed.
    pub fn pour(&mut self, at: Point, volume: Volume) -> Result<(), GeometryError> {
        let volume = not_negative("volume", volume)?;
        let basin = self.landing(at)?;
        self.pour_into(basin, volume, &mut |_| {})
    }

    /// The smallest basin that liquid poured at a point comes to: constant for one attitude. A point more than 50 mm
    /// outside the liquid space is refused.
    pub fn landing(&self, at: Point) -> Result<usize, GeometryError> {
        let (mesh, runner) = (self.mesh()?, self.runner(&self.sump)?);
        self.tree.anchor(mesh, "pour", at.si())?;
        Ok(runner.fallen_at(at.si()))
    }

    /// [`Pools::pour`] of a volume \[m3\] into a basin that is known, telling `listener` what moves. Allocates nothing once the
    /// ways of its spills are known.
    pub fn pour_into(
        &mut self,
        basin: usize,
        volume: f64,
        listener: &mut dyn FnMut(Flow),
    ) -> Result<(), GeometryError> {
        if basin >= self.tree.nodes.len() {
            return Err(GeometryError::NoSuchBasin { basin, basins: self.tree.nodes.len() });
        }
        check::finite("volume", volume)?;
        self.fits(basin, volume)?;
        let leaf = first_leaf(&self.tree, basin);
        let mut held = std::mem::take(&mut self.held);
        let filled = self.runner(&self.sump).map(|runner| {
            let to = active(&self.tree, &held, leaf).unwrap_or(leaf);
            listener(Flow::In { basin: to, volume });
            fill(&runner, &mut held, leaf, volume, listener);
        });
        self.held = held;
        filled
    }

    /// Whether a body of liquid has room for more.
    fn fits(&self, basin: usize, volume: f64) -> Result<(), GeometryError> {
        let root = |n: usize| self.tree.at_level(n, f64::INFINITY);
        let body = root(basin);
        let inside: f64 = self.volumes_si().filter(|(n, _)| root(*n) == body).map(|(_, v)| v).sum();
        let capacity = self.tree.nodes[body].volume;
        let excess = inside + volume - capacity;
        if excess > 1e-12 * capacity {
            let [volume_l, capacity_l, excess_l] = [inside + volume, capacity, excess].map(|v| v * 1e3);
            return Err(GeometryError::VolumeAboveCapacity { volume_l, capacity_l, excess_l });
        }
        Ok(())
    }

    /// Takes liquid out at a point, as a tube with its end there would: the pool around it falls, down to the point. Where
    /// a sill comes out of the liquid, what is behind stays. Refused when the tube cannot reach so much; then nothing is
    /// changed.
    pub fn withdraw(&mut self, at: Point, volume: Volume) -> Result<(), GeometryError> {
        let volume = not_negative("volume", volume)?;
        let end = self.tube(at)?;
        let reach = self.reach(&end);
        if volume - reach > 1e-12 * self.sump.capacity_si() {
            let (volume_l, reach_l) = (volume * 1e3, reach * 1e3);
            return Err(GeometryError::BeyondReach { at_mm: at.to_mm(), volume_l, reach_l });
        }
        self.withdraw_through(&end, volume, &mut |_| {});
        Ok(())
    }

    /// The end of a tube: constant for one attitude.
    pub fn tube(&self, at: Point) -> Result<Hole, GeometryError> {
        self.tree.hole(self.mesh()?, "tube", at.si())
    }

    /// The holes of plugs: constant for one attitude.
    pub fn holes(&self, plugs: &[Plug]) -> Result<Vec<Hole>, GeometryError> {
        let mesh = self.mesh()?;
        plugs.iter().map(|p| self.tree.plug(mesh, p)).collect()
    }

    /// How much a tube takes out at most \[m3\]. Allocates nothing.
    pub fn reach(&self, end: &Hole) -> f64 {
        let Some(mut n) = active(&self.tree, &self.held, end.node) else { return 0.0 };
        let mut reach = 0.0;
        let mut now = self.held[n].unwrap_or(0.0);
        while n != end.node {
            reach += (now - self.tree.volume_at_base(n)).max(0.0);
            n = self.tree.towards(n, end.node);
            now = self.tree.nodes[n].volume;
        }
        reach + (now - end.keeps).max(0.0)
    }

    /// [`Pools::withdraw`] through a tube that is known, of at most [`Pools::reach`]: what came \[m3\], telling `listener` what
    /// moves. Allocates nothing.
    pub fn withdraw_through(&mut self, end: &Hole, volume: f64, listener: &mut dyn FnMut(Flow)) -> f64 {
        let mut left = volume;
        while let Some(n) = active(&self.tree, &self.held, end.node).filter(|_| left > 0.0) {
            let keep = if n == end.node { end.keeps } else { self.tree.volume_at_base(n) };
            let now = self.held[n].unwrap_or(0.0);
            let taken = left.min((now - keep).max(0.0));
            self.held[n] = Some(now - taken);
            left -= taken;
            if taken > 0.0 {
                listener(Flow::Out { basin: n, volume: taken });
            }
            if n == end.node || left <= 0.0 {
                break;
            }
            part(&self.tree, &mut self.held, n, listener);
        }
        volume - left
    }

    /// Lets everything out that the plugs reach: what has left.
    pub fn drain(&mut self, plugs: &[Plug]) -> Result<Volume, GeometryError> {
        let holes = self.holes(plugs)?;
        Ok(Volume::new::<cubic_meter>(self.drain_through(&holes, &mut |_| {})))
    }

    /// [`Pools::drain`] through holes that are known: what has left \[m3\], telling `listener` what moves. Allocates nothing
    /// from the second time on.
    pub fn drain_through(&mut self, holes: &[Hole], listener: &mut dyn FnMut(Flow)) -> f64 {
        self.tree.lowest_holes(holes, &mut self.lowest);
        let before = self.volume_si();
        // Parents come after children, so what a basin leaves to its parts is seen to in its turn.
        for n in (0..self.held.len()).rev() {
            let Some(now) = self.held[n].filter(|_| self.lowest[n].is_finite()) else { continue };
            let own = |h: &&Hole| h.node == n && h.height == self.lowest[n];
            let keep = match holes.iter().find(own) {
                Some(hole) if self.lowest[n] > self.tree.nodes[n].base => hole.keeps,
                _ => self.tree.volume_at_base(n),
            };
            if now > keep {
                listener(Flow::Out { basin: n, volume: now - keep });
                self.held[n] = Some(keep);
            }
            if self.lowest[n] <= self.tree.nodes[n].base {
                part(&self.tree, &mut self.held, n, listener);
            }
        }
        before - self.volume_si()
    }
}

/// The sills inside a pool come out: its parts are full.
fn part(tree: &Tree, held: &mut Held, node: usize, listener: Listener<'_>) {
    if tree.nodes[node].children.is_empty() {
        return;
    }
    held[node] = None;
    for c in &tree.nodes[node].children {
        let volume = tree.nodes[*c].volume;
        held[*c] = Some(volume);
        listener(Flow::Part { from: node, to: *c, volume });
    }
}

/// Adds liquid to the pool of a smallest basin; what is too much spills on. There is room for it.
pub(super) fn fill(run: &Runner<'_>, held: &mut Held, leaf: usize, volume: f64, listener: Listener<'_>) {
    let (tree, mut leaf, mut volume) = (run.tree, leaf, volume);
    loop {
        let n = active(tree, held, leaf).unwrap_or(leaf);
        let (now, full) = (held[n].unwrap_or(0.0), tree.nodes[n].volume);
        let over = now - full + volume;
        let Some(end) = tree.nodes[n].end.filter(|_| over > 0.0) else {
            held[n] = Some(now + volume);
            return;
        };
        held[n] = Some(full);
        volume = over;
        let filled = |c: usize| held[c].is_some_and(|v| v >= tree.nodes[c].volume);
        let brothers = &tree.nodes[end.parent].children;
        if brothers.iter().all(|c| filled(*c)) {
            // What is too much stays with the pool that it is in.
            held[end.parent] = Some(tree.volume_at_base(end.parent));
            for c in brothers {
                let own = held[*c].take().unwrap_or(0.0);
                let volume = if *c == n { own + over } else { own };
                listener(Flow::Join { from: *c, to: end.parent, volume });
            }
            continue;
        }
        let next = tree.spills[n].get_or_init(|| run.spill(n)).unwrap_or(leaf);
        // A neighbour that is full passes it on to one that is not.
        let blocked = active(tree, held, next).is_some_and(|m| brothers.contains(&m) && filled(m));
        let free = brothers.iter().copied().find(|c| !filled(*c));
        leaf = if blocked { free.map_or(next, |c| first_leaf(tree, c)) } else { next };
        let to = active(tree, held, leaf).unwrap_or(leaf);
        listener(Flow::Spill { from: n, to, volume: over });
    }
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
