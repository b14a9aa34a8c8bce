//! The exact posterior of a straight line with one change or one jump, at nodes of scatter and place.

use super::TrendOptions;
use super::series::Series;
use crate::Error;
use crate::infer::learn::LearnError;
use crate::infer::learn::draws::{Numbers, cumulate, pick};
use crate::infer::learn::linear::Root;

/// Places of a changed rate that are looked at.
const PLACES: u32 = 80;
/// Coefficients: level, added, drift, extra.
const SIZE: usize = 4;
/// Standard deviation of the level's prior about the mean reading (m).
const LEVEL: f64 = 1.0;

/// What happened besides the drift.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Extra {
    /// Nothing.
    Steady,
    /// The rate changed at this share of the record.
    Change(f64),
    /// A jump between these two.
    Jump(f64, f64),
}

impl Extra {
    fn column(self, t: f64) -> f64 {
        match self {
            Self::Steady => 0.0,
            Self::Change(at) => (t - at).max(0.0),
            Self::Jump(_, to) => {
                if t >= to {
                    1.0
                } else {
                    0.0
                }
            }
        }
    }
}

/// One draw of the line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Draw {
    /// Reading at the start of the record (m).
    pub level: f64,
    /// Rise of the reading over the record, before any change (m).
    pub drift: f64,
    /// What the rate changes by over a record, or the jump (m).
    pub extra: f64,
    /// Where that is.
    pub at: Extra,
    /// Rise of the reading per volume added, by the jug (1/m2).
    pub per_added: f64,
    /// Volume per length of blade (m2).
    pub per_blade: f64,
    /// Scatter of a reading (m).
    pub scatter: f64,
    /// MIN and MAX (m).
    pub marks: Option<[f64; 2]>,
}

impl Draw {
    /// True reading at a share of the record, with so much added by then (m).
    pub(super) fn reading(&self, t: f64, added: f64) -> f64 {
        self.level + self.per_added * added + self.drift * t + self.extra * self.at.column(t)
    }

    /// Rise of the reading over a record at the present rate (m).
    pub(super) fn drift_now(&self) -> f64 {
        if matches!(self.at, Extra::Change(_)) { self.drift + self.extra } else { self.drift }
    }
}

/// One node: what happened and where, the scatter, the posterior of the coefficients over their priors.
struct Node {
    extra: Extra,
    scatter: f64,
    mean: Vec<f64>,
    root: Root,
    ln_weight: f64,
}

/// The posterior of a record.
pub(super) struct Posterior<'a> {
    options: &'a TrendOptions,
    nodes: Vec<Node>,
    cumulative: Vec<f64>,
    /// Prior mean and standard deviation of each coefficient.
    prior: [(f64, f64); SIZE],
    /// Relative uncertainty of jug and of volume per blade.
    relative: (f64, f64),
}

impl<'a> Posterior<'a> {
    pub(super) fn new(series: &Series, scatters: &[f64], options: &'a TrendOptions) -> Result<Self, Error> {
        let (scale, blade) = (options.jug_scale.distribution(), options.per_blade.distribution());
        let relative = (scale.standard_deviation() / scale.mean(), blade.standard_deviation() / blade.mean());
        let per_added = scale.mean() / blade.mean();
        let change = options.prior_change / blade.mean();
        let middle = series.readings.iter().sum::<f64>() / series.readings.len() as f64;
        let prior =
            [(middle, LEVEL), (per_added, per_added * relative.0.hypot(relative.1)), (0.0, change), (0.0, change)];
        let mut nodes = Vec::new();
        for (extra, probability) in extras(series, options) {
            for scatter in scatters {
                nodes.extend(Node::new(series, extra, *scatter, &prior, probability.ln()));
            }
        }
        if nodes.is_empty() {
            return Err(LearnError::NoUse { over: series.over[0] }.into());
        }
        let cumulative = cumulate(&nodes.iter().map(|n| n.ln_weight).collect::<Vec<_>>());
        Ok(Self { options, nodes, cumulative, prior, relative })
    }

    pub(super) fn draw(&self, numbers: &mut Numbers) -> Vec<Draw> {
        (0..self.options.draws).map(|_| self.one(numbers)).collect()
    }

    fn one(&self, numbers: &mut Numbers) -> Draw {
        let node = &self.nodes[pick(&self.cumulative, numbers.uniform())];
        let mut z: Vec<f64> = (0..SIZE).map(|_| numbers.normal()).collect();
        node.root.backward(&mut z);
        let beta: Vec<f64> = (0..SIZE).map(|k| self.prior[k].0 + self.prior[k].1 * (node.mean[k] + z[k])).collect();
        // What the additions say of jug over blade, shared out between the two by their variances.
        let both = beta[1] / self.prior[1].0 - 1.0;
        let (jug, blade) = self.relative;
        let square = jug * jug + blade * blade;
        let of_jug =
            if square > 0.0 { jug * jug / square * both + jug * blade / square.sqrt() * numbers.normal() } else { 0.0 };
        let marks = self.options.marks.as_ref();
        Draw {
            level: beta[0],
            drift: beta[2],
            extra: beta[3],
            at: node.extra,
            per_added: beta[1],
            per_blade: self.options.per_blade.distribution().mean() * (1.0 + of_jug - both).max(1e-3),
            scatter: node.scatter,
            marks: marks.map(|m| [0, 1].map(|k| m[k].distribution().at_score(numbers.normal()))),
        }
    }
}

/// What may have happened, with its prior probability.
fn extras(series: &Series, options: &TrendOptions) -> Vec<(Extra, f64)> {
    let (change, jump) = (options.probability_change, options.probability_jump);
    let mut all = vec![(Extra::Steady, 1.0 - change - jump)];
    let places = f64::from(PLACES);
    all.extend((0..PLACES).map(|k| (Extra::Change((f64::from(k) + 0.5) / places), change / places)));
    all.extend(series.t.windows(2).map(|w| (Extra::Jump(w[0], w[1]), jump * (w[1] - w[0]))));
    all.retain(|(_, p)| *p > 0.0);
    all
}

impl Node {
    /// Coefficients in units of their prior: `b ~ N(0, 1)`, precision `1 + X'X/s2`.
    fn new(series: &Series, extra: Extra, scatter: f64, prior: &[(f64, f64); SIZE], ln_prior: f64) -> Option<Self> {
        let n = series.t.len();
        let precision = 1.0 / (scatter * scatter);
        let mut matrix = vec![0.0; SIZE * SIZE];
        let mut side = [0.0; SIZE];
        let mut square = 0.0;
        for i in 0..n {
            let x = [1.0, series.added[i], series.t[i], extra.column(series.t[i])];
            let rest = series.readings[i] - (0..SIZE).map(|k| x[k] * prior[k].0).sum::<f64>();
            square += rest * rest * precision;
            for a in 0..SIZE {
                let scaled = x[a] * prior[a].1 * precision;
                side[a] += scaled * rest;
                for b in 0..SIZE {
                    matrix[a * SIZE + b] += scaled * x[b] * prior[b].1;
                }
            }
        }
        (0..SIZE).for_each(|k| matrix[k * SIZE + k] += 1.0);
        let root = Root::of(&matrix, SIZE)?;
        let mean = root.solve(&side);
        let explained: f64 = (0..SIZE).map(|k| side[k] * mean[k]).sum();
        let ln_weight = ln_prior - n as f64 * scatter.ln() - 0.5 * root.ln_determinant() - 0.5 * (square - explained);
        Some(Self { extra, scatter, mean, root, ln_weight })
    }
}
