//! Turning a sump with liquid in it.

use std::sync::atomic::{AtomicBool, Ordering};

use uom::si::f64::Volume;
use uom::si::volume::cubic_meter;

use super::super::attitude::Attitude;
use super::super::error::GeometryError;
use super::super::mesh::ClosedMesh;
use super::flow::{Flow, Listener};
use super::overlap::{Body, overlaps};
use super::pouring::fill;
use super::state::{Pools, active, nothing};
use super::tree::Tree;

/// Longest step, in degrees of the larger angle.
const STEP_DEG: f64 = 2.0;
/// Most halvings of a step.
const HALVINGS: u32 = 12;
/// A step is short enough when halving it moves less than this fraction of the liquid.
const SETTLED: f64 = 1e-6;
/// A smaller fraction than this of what the sump holds is drops in the seams of its drawing's faces. They part at every step, however
/// short, and where each of them runs matters to nobody: their steps are not halved, and none of them parts.
const DROPS: f64 = 1e-6;

/// How a turn was worked out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turn {
    /// How many steps were taken.
    pub steps: usize,
    /// The most that a last halving still moved: 0 unless steps of 2 deg / 4096 were too long, as where the smallest
    /// difference decides to which side liquid runs.
    pub unsettled: Volume,
}

/// What a turn there and back does to liquid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hysteresis {
    /// Volume that lies elsewhere afterwards.
    pub moved: Volume,
    /// The most that a last halving of a step still moved.
    pub unsettled: Volume,
    /// Whether liquid has really moved: more than the steps leave open, 1e-6 of it each and what is not settled.
    pub real: bool,
}

impl Pools {
    /// Turns the sump to another attitude, slowly, along the straight line between the two pairs of angles.
    ///
    /// Pools move with the body, spill and join as at rest. A pool that a turn parts goes into the new basins in
    /// proportion to the volume of its old region in each, below the sill. Steps of at most 2 deg are halved until that
    /// moves less than 1e-6 of the liquid. All of it less than 1e-6 of what the sump holds is drops: they neither part nor
    /// have their steps halved. Where there is more than the basins hold before they join, all is one pool and the way there
    /// does not matter. Turning there and back need not bring liquid back where it was
    /// ([`Pools::hysteresis`]).
    pub fn turn(&mut self, to: Attitude) -> Result<Turn, GeometryError> {
        self.turn_with(to, &mut |_| {})
    }

    /// [`Pools::turn`], telling `listener` what moves.
    pub fn turn_with(&mut self, to: Attitude, listener: &mut dyn FnMut(Flow)) -> Result<Turn, GeometryError> {
        self.turn_on(to, &mut Way { listener, stop: &AtomicBool::new(false) })
    }

    /// [`Pools::turn`] that gives up when `stop` becomes true; then the pools mean nothing.
    pub(crate) fn turn_until(&mut self, to: Attitude, stop: &AtomicBool) -> Result<Turn, GeometryError> {
        self.turn_on(to, &mut Way { listener: &mut |_| {}, stop })
    }

    fn turn_on(&mut self, to: Attitude, way: &mut Way<'_>) -> Result<Turn, GeometryError> {
        let mut report = Turn { steps: 0, unsettled: Volume::new::<cubic_meter>(0.0) };
        let from = self.attitude;
        if from == to {
            return Ok(report);
        }
        if let Some((pools, flows)) = self.joined(to)? {
            way.tell(&flows);
            *self = pools;
            report.steps = 1;
            return Ok(report);
        }
        let span =
            (to.nose_up_deg() - from.nose_up_deg()).abs().max((to.right_down_deg() - from.right_down_deg()).abs());
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // at most 90 for 180 degrees
        let count = (span / STEP_DEG).ceil().max(1.0) as u32;
        let mut pools = self.clone();
        for i in 1..=count {
            let next = if i == count { to } else { between(from, to, f64::from(i) / f64::from(count))? };
            pools = match pools.joined(next)? {
                Some((joined, flows)) => {
                    way.tell(&flows);
                    report.steps += 1;
                    joined
                }
                None => pools.step(next, HALVINGS, &mut report, way)?,
            };
        }
        *self = pools;
        Ok(report)
    }

    /// What a turn to another attitude and back does; the pools stay as they are.
    ///
    /// Liquid that spills on the way does not come back by itself: two wells at the same reading before and after need
    /// not hold the same.
    pub fn hysteresis(&self, to: Attitude) -> Result<Hysteresis, GeometryError> {
        self.hysteresis_until(to, &AtomicBool::new(false))
    }

    /// [`Pools::hysteresis`] that gives up when `stop` becomes true; then it means nothing.
    pub(crate) fn hysteresis_until(&self, to: Attitude, stop: &AtomicBool) -> Result<Hysteresis, GeometryError> {
        let mut pools = self.clone();
        let (there, back) = (pools.turn_until(to, stop)?, pools.turn_until(self.attitude, stop)?);
        let moved: f64 = self.layers().zip(pools.layers()).map(|(a, b)| (a - b).abs()).sum::<f64>() / 2.0;
        let unsettled = there.unsettled.value + back.unsettled.value;
        #[allow(clippy::cast_precision_loss)] // far below 2^53
        let open = (there.steps + back.steps) as f64 * self.settled() + unsettled;
        let [moved_v, unsettled] = [moved, unsettled].map(Volume::new::<cubic_meter>);
        Ok(Hysteresis { moved: moved_v, unsettled, real: moved > open })
    }

    /// Liquid in each basin above its base and below its sill.
    fn layers(&self) -> impl Iterator<Item = f64> + '_ {
        let tree = &self.tree;
        (0..tree.nodes.len()).map(move |n| match active(tree, &self.held, n) {
            Some(pool) if pool == n => self.held[n].unwrap_or(0.0) - tree.volume_at_base(n),
            Some(_) => tree.nodes[n].volume - tree.volume_at_base(n),
            None => 0.0,
        })
    }

    /// All in one pool, where there is more than the basins hold before they join: the way there does not matter.
    fn joined(&self, to: Attitude) -> Result<Option<(Self, Vec<Flow>)>, GeometryError> {
        let tree = self.sump.basin_tree(to)?;
        let whole = tree.nodes.len() - 1;
        let one_body = tree.nodes.iter().filter(|n| n.end.is_none()).count() == 1;
        let volume = self.volume_si();
        if !one_body || volume < tree.volume_at_base(whole) {
            return Ok(None);
        }
        let mut held = vec![None; tree.nodes.len()];
        held[whole] = Some(volume);
        let carry = self.volumes_si().map(|(from, volume)| Flow::Carry { from, to: whole, volume });
        let flows = std::iter::once(Flow::Step).chain(carry).collect();
        let lowest = Vec::new();
        Ok(Some((Self { sump: self.sump.clone(), attitude: to, tree, held, lowest }, flows)))
    }

    /// How much halving a step may still move \[m3\].
    fn settled(&self) -> f64 {
        let volume = self.volume_si();
        // Beyond what any step moves, which is all of it from one place to another, but for rounding.
        if self.is_drops() { 3.0 * volume } else { SETTLED * volume }
    }

    /// Whether all of it is but drops.
    fn is_drops(&self) -> bool {
        self.volume_si() < DROPS * self.sump.capacity_si()
    }

    /// One step, or two of half its length if that makes a difference.
    fn step(&self, to: Attitude, halvings: u32, report: &mut Turn, way: &mut Way<'_>) -> Result<Self, GeometryError> {
        if way.stop.load(Ordering::Relaxed) {
            return Self::empty(&self.sump, to);
        }
        let half = between(self.attitude, to, 0.5)?;
        let ((once, _), (middle, first)) = (self.moved(to)?, self.moved(half)?);
        let (twice, second) = middle.moved(to)?;
        let zip = once.held.iter().zip(&twice.held);
        let moved: f64 = zip.map(|(a, b)| (a.unwrap_or(0.0) - b.unwrap_or(0.0)).abs()).sum();
        if moved <= self.settled() || halvings == 0 {
            report.steps += 2;
            if moved > self.settled() {
                report.unsettled = report.unsettled.max(Volume::new::<cubic_meter>(moved));
            }
            way.tell(&first);
            way.tell(&second);
            return Ok(twice);
        }
        self.step(half, halvings - 1, report, way)?.step(to, halvings - 1, report, way)
    }

    /// The same liquid at a nearby attitude, and how it came there.
    fn moved(&self, to: Attitude) -> Result<(Self, Vec<Flow>), GeometryError> {
        let mesh = self.mesh()?;
        let tree = self.sump.basin_tree(to)?;
        let mut held = nothing(&tree);
        let mut flows = vec![Flow::Step];
        let next = Self { sump: self.sump.clone(), attitude: to, held: Vec::new(), tree, lowest: Vec::new() };
        let (runner, drops) = (next.runner(&self.sump)?, self.is_drops());
        for (from, volume) in self.volumes_si() {
            let level = self.level_of(mesh, from, volume);
            let within = self.tree.within(from);
            let was_wet = |leaf: &usize| {
                let low = next.tree.nodes[*leaf].lowest as usize;
                self.tree.heights[low] < level && within[self.tree.at_level(self.tree.node_of[low] as usize, level)]
            };
            let leaves = |tree: &Tree| (0..tree.nodes.len()).filter(|i| tree.nodes[*i].children.is_empty()).collect();
            let (old, new): (Vec<usize>, Vec<usize>) = (leaves(&self.tree), leaves(&next.tree));
            let mut into: Vec<usize> = new.into_iter().filter(was_wet).collect();
            let lows = old.into_iter().filter(|l| within[*l]).map(|l| self.tree.nodes[l].lowest);
            into.extend(lows.map(|v| runner.run_from(v)));
            into.sort_unstable();
            into.dedup();
            if drops {
                into.truncate(1);
            }
            let parting = Parting { mesh, old: Body { tree: &self.tree, within: &within, level }, new: &next.tree };
            for (leaf, share) in parting.shares(&into, volume) {
                let pool = active(&next.tree, &held, leaf).unwrap_or(leaf);
                flows.push(Flow::Carry { from, to: pool, volume: share });
                fill(&runner, &mut held, leaf, share, &mut |flow| flows.push(flow));
            }
        }
        Ok((Self { held, ..next }, flows))
    }
}

/// Who hears of a turn, and who stops it.
struct Way<'a> {
    listener: Listener<'a>,
    stop: &'a AtomicBool,
}

impl Way<'_> {
    fn tell(&mut self, flows: &[Flow]) {
        flows.iter().for_each(|flow| (self.listener)(*flow));
    }
}

/// One pool that goes into the basins of a new attitude.
struct Parting<'a> {
    mesh: &'a ClosedMesh,
    old: Body<'a>,
    new: &'a Tree,
}

impl Parting<'_> {
    /// How the volume of the pool goes into the smallest basins that it lies over.
    fn shares(&self, leaves: &[usize], volume: f64) -> Vec<(usize, f64)> {
        let tree = self.new;
        let (Some(&first), Some(top)) = (leaves.first(), common(tree, leaves)) else {
            // Parts that never join: there is nothing to weigh but their number.
            let each = volume / leaves.len().max(1) as f64;
            return leaves.iter().map(|l| (*l, each)).collect();
        };
        if tree.nodes[top].children.is_empty() {
            return vec![(first, volume)];
        }
        if volume >= tree.volume_at_base(top) {
            let within = tree.within(top);
            let all = (0..top).filter(|n| within[*n] && tree.nodes[*n].children.is_empty());
            let mut out: Vec<(usize, f64)> = all.map(|n| (n, tree.nodes[n].volume)).collect();
            let rest = volume - out.iter().map(|s| s.1).sum::<f64>();
            out.push((first, rest));
            return out;
        }
        let of = |c: &usize| {
            let within = tree.within(*c);
            leaves.iter().copied().filter(|l| within[*l]).collect::<Vec<_>>()
        };
        let wet: Vec<usize> = tree.nodes[top].children.iter().copied().filter(|c| !of(c).is_empty()).collect();
        let weights = self.weights(&wet);
        let (total, mut left) = (weights.iter().sum::<f64>(), volume);
        let mut out = Vec::new();
        for (i, (child, weight)) in wet.iter().zip(&weights).enumerate() {
            let share = if i + 1 == wet.len() { left } else { volume * (weight / total) };
            left -= share;
            out.extend(self.shares(&of(child), share));
        }
        out
    }

    /// The volume of the pool's old region in each of some basins; where it has left them all, what they hold.
    fn weights(&self, basins: &[usize]) -> Vec<f64> {
        let weights = overlaps(self.mesh, &self.old, self.new, basins);
        if weights.iter().sum::<f64>() > 0.0 {
            return weights;
        }
        basins.iter().map(|b| self.new.nodes[*b].volume).collect()
    }
}

/// The smallest basin that all of some basins are part of.
fn common(tree: &Tree, nodes: &[usize]) -> Option<usize> {
    let mut node = *nodes.first()?;
    loop {
        let within = tree.within(node);
        if nodes.iter().all(|n| within[*n]) {
            return Some(node);
        }
        node = tree.nodes[node].end?.parent;
    }
}

fn between(from: Attitude, to: Attitude, share: f64) -> Result<Attitude, GeometryError> {
    let mix = |a: f64, b: f64| a + share * (b - a);
    Attitude::from_degrees(mix(from.nose_up_deg(), to.nose_up_deg()), mix(from.right_down_deg(), to.right_down_deg()))
}
