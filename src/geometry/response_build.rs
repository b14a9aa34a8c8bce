//! Fitting the patches of a [`Response`](super::response::Response).
//!
//! Everything lies on a fixed fine grid over the domain, so that halves share their samples: a *column* is one
//! attitude with the heights at all volumes of the grid, and costs one prepared curve.

use std::collections::{BTreeMap, VecDeque};

use super::attitude::Attitude;
use super::error::GeometryError;
use super::parts::{Node, Parts};
use super::patch::Patch;
use super::response::{ResponseQuality, exact};
use super::sump::Sump;
use super::tensor::{NODES, Samples, Tensor};
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

/// Share of the tolerance that leaving out terms may cost, unless the full polynomial errs by more already.
const NEGLIGIBLE: f64 = 0.25;

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

/// A point that a patch is not fitted to, and the exact height there.
struct HeldOut {
    at: Vec3,
    height: f64,
    /// Whether its attitude is one of those fitted, so that only its volume is new.
    fitted_attitude: bool,
}

/// Largest errors of a patch at the held-out points.
#[derive(Debug, Clone, Copy)]
struct Errors {
    /// At the fitted attitudes, between the fitted volumes.
    volume: f64,
    /// At held-out attitudes and volumes.
    attitude: f64,
}

impl Errors {
    fn of(patch: &Patch, points: &[HeldOut]) -> Self {
        let mut errors = Self { volume: 0.0, attitude: 0.0 };
        for point in points {
            let kind = if point.fitted_attitude { &mut errors.volume } else { &mut errors.attitude };
            let off = patch.value(point.at).map_or(f64::INFINITY, |height| (height - point.height).abs());
            *kind = kind.max(off);
        }
        errors
    }

    fn worst(self) -> f64 {
        self.volume.max(self.attitude)
    }
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
    ) -> Result<(Parts, ResponseQuality), GeometryError> {
        let aim = tolerance / 2.0;
        let mut open = VecDeque::from([Part { node: 0, low: [0; 3], high: STEPS }]);
        while let Some(part) = open.pop_front() {
            if !go_on() || !self.prepare_columns(&part, budget)? {
                self.quality.exact_share += part.share();
                continue;
            }
            let (full, held_out) = (self.fit(&part), self.held_out(&part));
            let errors = Errors::of(&self.patch(&part, &full), &held_out);
            if errors.worst() <= aim {
                self.take(&part, full, &held_out, errors.worst().max(tolerance * NEGLIGIBLE));
            } else if let Some(axis) = self.axis_to_halve(&part, &full, errors.volume > aim) {
                open.extend(self.halve(&part, axis));
            } else {
                self.quality.exact_share += part.share();
            }
        }
        self.quality.curves = self.columns.len();
        Ok((Parts::new(self.nodes), self.quality))
    }

    /// Keeps the polynomial of a part with as few terms as the held-out points allow. What is reported is the error of what is kept.
    fn take(&mut self, part: &Part, full: Tensor, held_out: &[HeldOut], allowed: f64) {
        let patch = self.patch(part, &self.fewest_terms(part, full, held_out, allowed));
        let quality = &mut self.quality;
        quality.worst_error_mm = quality.worst_error_mm.max(Errors::of(&patch, held_out).worst() * 1e3);
        quality.held_out_points += held_out.len();
        quality.patches += 1;
        quality.terms += patch.size();
        self.nodes[part.node] = Node::Fit(Box::new(patch));
    }

    /// Lowers the degree along one axis after the other, each time that which spares the most terms, for as long as the
    /// errors at the held-out points stay within `allowed`; then leaves out what upright walls have no need of, likewise.
    fn fewest_terms(&self, part: &Part, full: Tensor, held_out: &[HeldOut], allowed: f64) -> Tensor {
        let holds = |lower: &Tensor| Errors::of(&self.patch(part, lower), held_out).worst() <= allowed;
        let mut kept = full;
        loop {
            let sizes = kept.powers().sizes;
            let mut axes = [0, 1, 2];
            // Of fewer powers along an axis, each stands for more terms.
            axes.sort_by_key(|axis| sizes[*axis]);
            match axes.into_iter().filter_map(|axis| kept.lowered(axis)).find(holds) {
                Some(lower) => kept = lower,
                None => return kept.upright().filter(holds).unwrap_or(kept),
            }
        }
    }

    /// Halving the volume costs no curve, so it comes first where it helps; then the attitude axis with the longer
    /// tail.
    fn axis_to_halve(&self, part: &Part, fitted: &Tensor, volume_misses: bool) -> Option<usize> {
        if volume_misses && part.can_halve(0) {
            return Some(0);
        }
        let [nose_up, right_down] = fitted.tails();
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

    fn fit(&self, part: &Part) -> Tensor {
        let mut samples: Samples = [[0.0; NODES * NODES]; NODES];
        for (i, place) in self.fitted_places(part).enumerate() {
            for (v, plane) in samples.iter_mut().enumerate() {
                plane[i] = self.height(place, part.at(0, 2 * step(v)));
            }
        }
        Tensor::through(&samples)
    }

    fn patch(&self, part: &Part, fitted: &Tensor) -> Patch {
        Patch::new(fitted, self.corner(part.low), self.corner(part.high))
    }

    fn held_out(&self, part: &Part) -> Vec<HeldOut> {
        let fitted = self.fitted_places(part).map(|place| (place, true));
        let others = HELD_OUT.iter().map(|eighths| (self.place(part, *eighths), false));
        let mut points = Vec::with_capacity((NODES * NODES + HELD_OUT.len()) * HELD_OUT_VOLUMES.len());
        for (place, fitted_attitude) in fitted.chain(others) {
            points.extend(HELD_OUT_VOLUMES.iter().map(|eighths| {
                let volume = part.at(0, *eighths);
                let at = self.corner([volume, place[0], place[1]]);
                HeldOut { at, height: self.height(place, volume), fitted_attitude }
            }));
        }
        points
    }
}

/// A node number as a grid step; there are five.
#[allow(clippy::cast_possible_truncation)]
fn step(node: usize) -> u32 {
    node as u32
}
