//! What the particles of one hypothesis say at the end: sizes, predictions, outcomes of checks.

use super::bench::Bench;
use super::checks::{Base, KINDS, OUTCOMES};
use super::model::{Amounts, Model, Observed, SeenValue};
use super::record::Says;
use super::smc::{LOOK, Replicate, SmcOptions, Source};
use super::verdict::{ObservationSeen, Size};
use crate::Error;
use crate::numeric::normal;
use crate::service::{Seen, dilution_limit};

/// What the particles of one hypothesis say.
#[derive(Debug)]
pub(super) struct Posterior {
    pub sizes: Vec<Size>,
    pub observations: Vec<ObservationSeen>,
    pub fit: f64,
    pub spans: (f64, f64),
    pub over_max: f64,
    /// Probability that the static hot level reaches the crank, is far over MAX with the gap unknown, or is more than the sump's drawing
    /// holds.
    pub reaches_crank: f64,
    /// Probability of too much fuel, or of coolant.
    pub foreign: f64,
    pub below_min: f64,
    /// Probability of standing over MAX by more than reading error.
    pub overfull: f64,
    /// Probabilities of every check's outcomes, in the order of the list.
    pub outcomes: Vec<[f64; OUTCOMES]>,
    pub evaluations: usize,
}

/// One observation over all particles.
#[derive(Clone, Copy, Default)]
struct Sum {
    mean: f64,
    square: f64,
    /// Mean of the prediction's own variance.
    variance: f64,
    /// Probability of something lower.
    below: f64,
    /// Mean of `1/p(y_i)`: its inverse is the density given all other observations.
    inverse: f64,
}

/// Runs every particle once more, with the readings of later checks.
pub(super) fn posterior(
    model: &Model,
    runs: &[Replicate],
    name: &str,
    base: Base,
    options: &SmcOptions<'_>,
) -> Result<Posterior, Error> {
    let mut bench = model.bench()?;
    let mut source = Source::new(options.seed, format!("explain/{name}/predictive"));
    let dimensions = model.dimensions();
    let highest = runs.iter().map(|r| r.ln).fold(f64::NEG_INFINITY, f64::max);
    let weights: Vec<f64> =
        runs.iter().map(|r| if highest.is_finite() { (r.ln - highest).exp() } else { 1.0 }).collect();
    let total: f64 = weights.iter().sum();
    let observed = model.observed().len();
    let fuel_limit = dilution_limit(model.program.circuit.spec().fluid.fuel);
    let mut sums = vec![Sum::default(); observed];
    let mut sizes: Vec<Vec<(f64, f64)>> = vec![Vec::new(); model.unknowns.len()];
    let (mut outcomes, mut marks) = (vec![[0.0; OUTCOMES]; KINDS.len()], Marks::default());
    let (mut shares, mut evaluations) = ([0.0; COUNTED], 0);
    for (run, share) in runs.iter().zip(&weights) {
        let particles = run.scores.len().checked_div(dimensions).unwrap_or(1);
        let w = share / total / particles as f64;
        evaluations += particles * (1 + run.stages * options.sweeps) + particles;
        let mut counts = [0_usize; COUNTED];
        for first in (0..particles).step_by(LOOK) {
            options.check_stopped()?;
            let upto = particles.min(first + LOOK);
            bench.each(&run.scores[first * dimensions..upto * dimensions], upto - first, |_, bench| {
                for (i, sum) in sums.iter_mut().enumerate() {
                    sum.add(bench, i, w);
                }
                for (k, list) in sizes.iter_mut().enumerate() {
                    list.push((bench.unknown(k), w));
                }
                for (sum, kind) in outcomes.iter_mut().zip(KINDS) {
                    let p = kind.outcomes_of(bench, base);
                    sum.iter_mut().zip(p).for_each(|(s, p)| *s += w * p);
                }
                if let Some(seen) = bench.seen() {
                    marks.add(&seen, w);
                    count(&mut counts, &seen, fuel_limit);
                }
                counts[FIT] += usize::from(replicated(bench, observed, &mut source));
            })?;
        }
        shares.iter_mut().zip(counts).for_each(|(sum, n)| *sum += share * (n as f64 / particles as f64));
    }
    let shares = shares.map(|sum| sum / total);
    let observations = (0..observed).map(|i| sums[i].told(model, &bench, i)).collect();
    let sizes = sizes.into_iter().enumerate().map(|(k, list)| size(model, k, list)).collect();
    Ok(Posterior {
        sizes,
        observations,
        fit: shares[FIT],
        spans: marks.spans(),
        over_max: shares[OVER_MAX],
        reaches_crank: shares[CRANK],
        foreign: shares[FOREIGN],
        below_min: shares[BELOW_MIN],
        overfull: shares[OVERFULL],
        outcomes,
        evaluations,
    })
}

/// What is counted of the particles of a replicate. The share of a replicate is at most 1, and the weighed sum of such shares
/// is rounded like the sum of the weights that divides it: no probability leaves 0 to 1, and what always holds has exactly 1.
const COUNTED: usize = 6;
const OVER_MAX: usize = 0;
const CRANK: usize = 1;
const FOREIGN: usize = 2;
const BELOW_MIN: usize = 3;
const OVERFULL: usize = 4;
const FIT: usize = 5;

fn count(counts: &mut [usize; COUNTED], seen: &Seen, fuel_limit: f64) {
    let holds = [
        (OVER_MAX, seen.over_max),
        (CRANK, seen.past_top || seen.crank_gap.map_or(seen.spans > 1.5, |gap| gap <= 0.0)),
        (FOREIGN, seen.foreign[0] > fuel_limit || seen.foreign[1] > 1e-4),
        (BELOW_MIN, seen.spans < 0.0),
        (OVERFULL, seen.spans > 1.1),
    ];
    holds.into_iter().for_each(|(what, holds)| counts[what] += usize::from(holds));
}

/// Where the level stands, over all particles.
#[derive(Default)]
struct Marks {
    spans: f64,
    square: f64,
}

impl Marks {
    fn add(&mut self, seen: &Seen, w: f64) {
        self.spans += w * seen.spans;
        self.square += w * seen.spans * seen.spans;
    }

    fn spans(&self) -> (f64, f64) {
        (self.spans, (self.square - self.spans * self.spans).max(0.0).sqrt())
    }
}

/// Whether data simulated from the last run fit it at most as well as those that were seen: readings and amounts by their
/// squares, signs by their probabilities.
fn replicated(bench: &Bench<'_>, observed: usize, source: &mut Source) -> bool {
    let (mut seen, mut simulated) = (0.0, 0.0);
    for i in 0..observed {
        if let Some(value) = bench.number_seen(i) {
            let (at, sd) = bench.predicted(i);
            seen += ((value - at) / sd).powi(2);
            simulated += source.normal().powi(2);
        } else {
            let (yes, p) = bench.said(i);
            let ln = |there: bool| -2.0 * if there { p } else { 1.0 - p }.max(1e-12).ln();
            seen += ln(yes);
            simulated += ln(source.uniform() < p);
        }
    }
    simulated >= seen
}

impl Sum {
    fn add(&mut self, bench: &Bench<'_>, i: usize, w: f64) {
        let (at, sd) = bench.predicted(i);
        self.mean += w * at;
        self.square += w * at * at;
        self.variance += w * sd * sd;
        self.inverse += w * (-bench.log_term(i)).exp();
        self.below += w * match bench.number_seen(i) {
            Some(value) => normal::cdf((value - at) / sd),
            None => bench.log_term(i).exp(),
        };
    }

    fn told(&self, model: &Model, bench: &Bench<'_>, i: usize) -> ObservationSeen {
        let spread = (self.square - self.mean * self.mean).max(0.0);
        let value = bench.number_seen(i);
        let (what, seen, unit, per_si) = words(&model.observed()[i]);
        let sign = matches!(model.observed()[i], Observed::Sign { .. });
        ObservationSeen {
            what,
            seen,
            value: if sign { Some(f64::from(u8::from(bench.said(i).0))) } else { value.map(|v| v * per_si) },
            predicted: if sign { self.mean.clamp(0.0, 1.0) } else { self.mean * per_si },
            standard_uncertainty: if sign { 0.0 } else { (spread + self.variance).sqrt() * per_si },
            unit,
            tail: if value.is_some() { 2.0 * self.below.min(1.0 - self.below) } else { self.below }.clamp(0.0, 1.0),
            ln_predictive: -self.inverse.ln(),
        }
    }
}

/// What an observation is called, what it said, and its unit.
fn words(observed: &Observed) -> (String, String, &'static str, f64) {
    match observed {
        Observed::Reading(seen) => {
            let what = format!("reading {}", seen.reading + 1);
            match seen.value {
                SeenValue::Along(v) => (what, format!("{:.1} mm", v * 1e3), "mm", 1e3),
                SeenValue::Fraction(v) => (what, format!("{v:.2} of the span"), "of the span", 1.0),
                SeenValue::FromMax(v) => (what, format!("{:+.2} L from MAX", v * 1e3), "L from MAX", 1e3),
                SeenValue::Says(says) => (what, said_in_words(says).into(), "mm", 1e3),
            }
        }
        Observed::Amount { what, value, .. } => {
            let what = if *what == Amounts::Drained { "drained" } else { "poured" };
            (what.into(), format!("{:.2} L", value * 1e3), "L", 1e3)
        }
        Observed::Sign { sign, there } => (sign.words().into(), if *there { "yes" } else { "no" }.into(), "", 1.0),
    }
}

fn said_in_words(says: Says) -> &'static str {
    match says {
        Says::Dry => "dry stick",
        Says::Under => "below MIN",
        Says::Between => "between the marks",
        Says::Over => "above MAX",
        Says::AboveBlade => "above the blade",
    }
}

/// Parts into which the quantiles of a size divide its probability.
const QUANTILES: u32 = 40;

/// A size over all particles.
fn size(model: &Model, k: usize, mut list: Vec<(f64, f64)>) -> Size {
    let (unknown, _) = &model.unknowns[k];
    let mean: f64 = list.iter().map(|(v, w)| v * w).sum();
    let square: f64 = list.iter().map(|(v, w)| (v - mean).powi(2) * w).sum();
    list.sort_by(|a, b| a.0.total_cmp(&b.0));
    let quantile = |p: f64| {
        let mut below = 0.0;
        for (v, w) in &list {
            below += w;
            if below >= p {
                return *v;
            }
        }
        list.last().map_or(0.0, |(v, _)| *v)
    };
    let per_si = unknown.per_si;
    let quantiles: Vec<f64> = (1..QUANTILES).map(|k| quantile(f64::from(k) / f64::from(QUANTILES)) * per_si).collect();
    Size {
        name: unknown.name.clone(),
        unit: unknown.unit,
        mean: mean * per_si,
        standard_uncertainty: square.sqrt() * per_si,
        interval: (quantile(0.025) * per_si, quantile(0.975) * per_si),
        quantiles,
        prior_interval: (unknown.prior.quantile(0.025) * per_si, unknown.prior.quantile(0.975) * per_si),
    }
}
