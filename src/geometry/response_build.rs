//! Fitting the patches of a [`Response`](super::response::Response).
//!
//! Everything lies on a fixed fine grid over the domain, so that halves share their samples: a *column* is one
//! attitude with the heights at all volumes of the grid, and costs one prepared curve.

use std::collections::{BTreeMap, VecDeque};

use super::attitude::Attitude;
use super::error::GeometryError;
use super::patch::{NODES, Patch, Samples};
use super::response::{Node, ResponseQuality, exact};
use super::sump::Sump;
use super::vector::Vec3;
use crate::numeric::share::share;

/// Grid steps along volume, nose-up and right-down. A part is at least eight steps wide: four between nodes, halved
/// by the held-out points.
const STEPS: [u32; 3] = [2048, 256, 256];
const LEAST: u32 = 8;

/// Held-out attitudes of a part, in eighths of its sides: none is used by the fit, all four corners are near one.
const HELD_OUT: [[u32; 2]; 6] = [[1, 1], [7, 7], [1, 7], [7, 1], [3, 5], [5, 3]];
/// Held-out volumes, likewise.
const HELD_OUT_VOLUMES: [u32; 4] = [1, 3, 5, 7];

/// Heights over the point at every volume of the grid, for one attitude.
type Column = Vec<f64>;
/// Grid position of a column: nose-up, right-down.
type Place = [u32; 2];

/// A part of the domain that is still to be settled, in grid steps.
#[derive(Debug, Clone, Copy)]
struct Part {
    node: usize,
    low: [u32; 3],
    high: [u32; 3],
}

impl Part {
    /// The grid position `eighths` of the way along an axis.
    fn at(&self, axis: usize, eighths: u32) -> u32 {
        self.low[axis] + (self.high[axis] - self.low[axis]) / 8 * eighths
    }

    /// Share of the domain.
    fn share(&self) -> f64 {
        (0..3).map(|i| f64::from(self.high[i] - self.low[i]) / f64::from(STEPS[i])).product()
    }

    fn can_halve(&self, axis: usize) -> bool {
        self.high[axis] - self.low[axis] > LEAST
    }
}

/// Largest errors of a patch at points that it was not fitted to.
struct Errors {
    /// At the fitted attitudes, between the fitted volumes.
    volume: f64,
    /// At held-out attitudes and volumes.
    attitude: f64,
}

pub(super) struct Builder<'a> {
    sump: &'a Sump,
    point: Vec3,
    low: Vec3,
    high: Vec3,
    columns: BTreeMap<Place, Column>,
    quality: ResponseQuality,
    nodes: Vec<Node>,
}

impl<'a> Builder<'a> {
    pub(super) fn new(sump: &'a Sump, point: Vec3, low: Vec3, high: Vec3) -> Self {
        let quality = ResponseQuality::default();
        Self { sump, point, low, high, columns: BTreeMap::new(), quality, nodes: vec![Node::Exact] }
    }

    /// Settles the domain part by part, the largest first, so that a spent budget leaves the smallest and hardest
    /// parts to the exact kernel. The error at held-out points must not exceed half the tolerance; the other half is
    /// for what lies between them.
    pub(super) fn build(
        mut self,
        tolerance: f64,
        budget: usize,
        go_on: &dyn Fn() -> bool,
    ) -> Result<(Vec<Node>, ResponseQuality), GeometryError> {
        let aim = tolerance / 2.0;
        let mut open = VecDeque::from([Part { node: 0, low: [0; 3], high: STEPS }]);
        while let Some(part) = open.pop_front() {
            if !go_on() || !self.prepare_columns(&part, budget)? {
                self.quality.exact_share += part.share();
                continue;
            }
            let patch = self.fit(&part);
            let errors = self.errors(&part, &patch);
            if errors.volume.max(errors.attitude) <= aim {
                self.take(&part, patch, &errors);
            } else if let Some(axis) = self.axis_to_halve(&part, &patch, errors.volume > aim) {
                open.extend(self.halve(&part, axis));
            } else {
                self.quality.exact_share += part.share();
            }
        }
        self.quality.curves = self.columns.len();
        Ok((self.nodes, self.quality))
    }

    fn take(&mut self, part: &Part, patch: Patch, errors: &Errors) {
        self.quality.worst_error_mm = self.quality.worst_error_mm.max(errors.volume.max(errors.attitude) * 1e3);
        self.quality.held_out_points += (NODES * NODES + HELD_OUT.len()) * HELD_OUT_VOLUMES.len();
        self.quality.patches += 1;
        self.nodes[part.node] = Node::Fit(Box::new(patch));
    }

    /// Halving the volume costs no curve, so it comes first where it helps; then the attitude axis with the longer
    /// tail.
    fn axis_to_halve(&self, part: &Part, patch: &Patch, volume_misses: bool) -> Option<usize> {
        if volume_misses && part.can_halve(0) {
            return Some(0);
        }
        let [nose_up, right_down] = patch.tails();
        let order = if nose_up >= right_down { [1, 2] } else { [2, 1] };
        let wide = |axis: &usize| self.high[*axis] > self.low[*axis] && part.can_halve(*axis);
        order.into_iter().find(wide).or_else(|| part.can_halve(0).then_some(0))
    }

    fn halve(&mut self, part: &Part, axis: usize) -> [Part; 2] {
        let border = part.at(axis, 4);
        let first = self.nodes.len();
        self.nodes[part.node] = Node::Split { axis, at: self.coordinate(axis, border), first };
        self.nodes.extend([Node::Exact, Node::Exact]);
        let (mut below, mut above) = (Part { node: first, ..*part }, Part { node: first + 1, ..*part });
        below.high[axis] = border;
        above.low[axis] = border;
        [below, above]
    }

    /// A grid position in cubic metres or degrees.
    fn coordinate(&self, axis: usize, step: u32) -> f64 {
        if step == STEPS[axis] {
            return self.high[axis];
        }
        self.low[axis] + (self.high[axis] - self.low[axis]) * f64::from(step) / f64::from(STEPS[axis])
    }

    fn corner(&self, steps: [u32; 3]) -> Vec3 {
        [0, 1, 2].map(|axis| self.coordinate(axis, steps[axis]))
    }

    /// The place of the column at a part's nose-up and right-down position; an axis of no width has one place.
    fn place(&self, part: &Part, [nose_up, right_down]: [u32; 2]) -> Place {
        let pick = |axis: usize, eighths| if self.high[axis] > self.low[axis] { part.at(axis, eighths) } else { 0 };
        [pick(1, nose_up), pick(2, right_down)]
    }

    fn fitted_places(&self, part: &Part) -> impl Iterator<Item = Place> {
        let part = *part;
        (0..NODES * NODES).map(move |i| self.place(&part, [2 * step(i / NODES), 2 * step(i % NODES)]))
    }

    /// Makes sure of the columns that a part needs; false when that would exceed the budget.
    fn prepare_columns(&mut self, part: &Part, budget: usize) -> Result<bool, GeometryError> {
        let mut missing: Vec<Place> = (self.fitted_places(part))
            .chain(HELD_OUT.iter().map(|eighths| self.place(part, *eighths)))
            .filter(|place| !self.columns.contains_key(place))
            .collect();
        missing.sort_unstable();
        missing.dedup();
        if self.columns.len() + missing.len() > budget {
            return Ok(false);
        }
        let columns = share(missing.clone(), |place| self.sample(place));
        for (place, column) in missing.iter().zip(columns) {
            self.columns.insert(*place, column?);
        }
        Ok(true)
    }

    fn sample(&self, place: Place) -> Result<Column, GeometryError> {
        let attitude = Attitude::from_degrees(self.coordinate(1, place[0]), self.coordinate(2, place[1]))?;
        let curve = self.sump.prepare(attitude)?;
        (0..=STEPS[0]).map(|step| exact(&curve, self.point, self.coordinate(0, step))).collect()
    }

    /// The exact height at a place and a volume step; the columns of a part have been prepared before.
    fn height(&self, place: Place, volume: u32) -> f64 {
        self.columns.get(&place).map_or(f64::NAN, |column| column[volume as usize])
    }

    fn fit(&self, part: &Part) -> Patch {
        let mut samples: Samples = [[0.0; NODES * NODES]; NODES];
        for (i, place) in self.fitted_places(part).enumerate() {
            for (v, plane) in samples.iter_mut().enumerate() {
                plane[i] = self.height(place, part.at(0, 2 * step(v)));
            }
        }
        Patch::through(&samples, self.corner(part.low), self.corner(part.high))
    }

    fn errors(&self, part: &Part, patch: &Patch) -> Errors {
        let worst = |place: Place| {
            let miss = |eighths: &u32| {
                let volume = part.at(0, *eighths);
                let at = [volume, place[0], place[1]];
                (patch.value(self.corner(at)) - self.height(place, volume)).abs()
            };
            HELD_OUT_VOLUMES.iter().map(miss).fold(0.0, f64::max)
        };
        let volume = self.fitted_places(part).map(worst).fold(0.0, f64::max);
        let attitude = HELD_OUT.iter().map(|e| worst(self.place(part, *e))).fold(0.0, f64::max);
        Errors { volume, attitude }
    }
}

/// A node number as a grid step; there are five.
#[allow(clippy::cast_possible_truncation)]
fn step(node: usize) -> u32 {
    node as u32
}
