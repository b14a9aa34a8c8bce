//! Turning a sump with liquid in it.

use uom::si::f64::Volume;
use uom::si::volume::cubic_meter;

use super::super::attitude::Attitude;
use super::super::error::GeometryError;
use super::state::{Pools, fill, nothing};
use super::tree::Tree;

/// Longest step, in degrees of the larger angle.
const STEP_DEG: f64 = 2.0;
/// Most halvings of a step.
const HALVINGS: u32 = 12;
/// A step is short enough when halving it moves less than this fraction of the liquid.
const SETTLED: f64 = 1e-6;

/// How a turn was worked out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turn {
    /// How many steps were taken.
    pub steps: usize,
    /// The most that a last halving still moved: 0 unless steps of 2 deg / 4096 were too long, as where the smallest
    /// difference decides to which side liquid runs.
    pub unsettled: Volume,
}

impl Pools {
    /// Turns the sump to another attitude, slowly, along the straight line between the two pairs of angles.
    ///
    /// Pools move with the body, spill and join as at rest. A pool that a turn parts goes into the new basins in
    /// proportion to the volumes that they take out of it, which are theirs to the sill when it comes out of the
    /// liquid. Steps of at most 2 deg are halved until that moves less than 1e-6 of the liquid. Turning there and back
    /// need not bring liquid back where it was.
    pub fn turn(&mut self, to: Attitude) -> Result<Turn, GeometryError> {
        let from = self.attitude;
        let span =
            (to.nose_up_deg() - from.nose_up_deg()).abs().max((to.right_down_deg() - from.right_down_deg()).abs());
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // at most 90 for 180 degrees
        let count = (span / STEP_DEG).ceil().max(1.0) as u32;
        let mut report = Turn { steps: 0, unsettled: Volume::new::<cubic_meter>(0.0) };
        let mut pools = self.clone();
        for i in 1..=count {
            let next = if i == count { to } else { between(from, to, f64::from(i) / f64::from(count))? };
            pools = pools.step(next, HALVINGS, &mut report)?;
        }
        *self = pools;
        Ok(report)
    }

    /// One step, or two of half its length if that makes a difference.
    fn step(&self, to: Attitude, halvings: u32, report: &mut Turn) -> Result<Self, GeometryError> {
        let half = between(self.attitude, to, 0.5)?;
        let (once, middle) = (self.moved(to)?, self.moved(half)?);
        let twice = middle.moved(to)?;
        let zip = once.held.iter().zip(&twice.held);
        let moved: f64 = zip.map(|(a, b)| (a.unwrap_or(0.0) - b.unwrap_or(0.0)).abs()).sum();
        if moved <= SETTLED * self.volume_si() || halvings == 0 {
            report.steps += 2;
            if moved > SETTLED * self.volume_si() {
                report.unsettled = report.unsettled.max(Volume::new::<cubic_meter>(moved));
            }
            return Ok(twice);
        }
        self.step(half, halvings - 1, report)?.step(to, halvings - 1, report)
    }

    /// The same liquid at a nearby attitude.
    fn moved(&self, to: Attitude) -> Result<Self, GeometryError> {
        let mesh = self.mesh()?;
        let tree = self.sump.basin_tree(to)?;
        let mut next = Self { sump: self.sump.clone(), attitude: to, held: nothing(&tree), tree };
        let sump = self.sump.clone();
        let mut held = std::mem::take(&mut next.held);
        let runner = next.runner(&sump)?;
        for (n, volume) in self.held.iter().enumerate().filter_map(|(n, v)| v.filter(|v| *v > 0.0).map(|v| (n, v))) {
            let level = self.level_of(mesh, n, volume);
            let within = self.tree.within(n);
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
            for (leaf, share) in shares(&next.tree, &into, volume) {
                fill(&runner, &mut held, leaf, share)?;
            }
        }
        next.held = held;
        Ok(next)
    }
}

/// How the volume of one pool goes into the smallest basins that it lies over.
fn shares(tree: &Tree, leaves: &[usize], volume: f64) -> Vec<(usize, f64)> {
    let (Some(&first), Some(top)) = (leaves.first(), common(tree, leaves)) else {
        // Parts that never join: there is nothing to weigh but their number.
        let each = volume / leaves.len().max(1) as f64;
        return leaves.iter().map(|l| (*l, each)).collect();
    };
    if tree.nodes[top].children.is_empty() {
        return vec![(first, volume)];
    }
    let below = tree.volume_at_base(top);
    if volume >= below {
        let within = tree.within(top);
        let all = (0..top).filter(|n| within[*n] && tree.nodes[*n].children.is_empty());
        let mut out: Vec<(usize, f64)> = all.map(|n| (n, tree.nodes[n].volume)).collect();
        let rest = volume - out.iter().map(|s| s.1).sum::<f64>();
        out.push((first, rest));
        return out;
    }
    let parts: Vec<(Vec<usize>, f64)> = (tree.nodes[top].children.iter())
        .map(|c| {
            let within = tree.within(*c);
            (leaves.iter().copied().filter(|l| within[*l]).collect::<Vec<_>>(), tree.nodes[*c].volume)
        })
        .filter(|(l, _)| !l.is_empty())
        .collect();
    let (total, mut left) = (parts.iter().map(|p| p.1).sum::<f64>(), volume);
    let mut out = Vec::new();
    for (i, (inside, size)) in parts.iter().enumerate() {
        let share = if i + 1 == parts.len() { left } else { volume * (size / total) };
        left -= share;
        out.extend(shares(tree, inside, share));
    }
    out
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
