//! How much of a result rests on judgement: the share of its variance that inputs nobody stated bring in.

use std::sync::atomic::AtomicBool;
use std::sync::{Arc, OnceLock};

use super::draw::{Drawer, Points, Side};
use super::evaluate::{Threads, Work};
use super::inputs::Group;
use super::model::Model;
use super::predict_options::PredictOptions;
use super::sensitivity::{Spread, evaluated};
use super::service_model::ServiceModel;
use crate::Error;
use crate::circuit::Circuit;
use crate::numeric::sobol;
use crate::service::Event;

/// Pairs of runs from which the shares are taken.
const ROWS: usize = 2048;
/// Rows worked on at a time.
const CHUNK: usize = 256;

/// Shares of variance that rest on judgement.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgementShares {
    /// Paths of the uncertain inputs that count as judgement: defaults that nobody stated, those marked so in the circuit's
    /// file, and any that are correlated with one of them.
    pub inputs: Vec<String>,
    /// Of the true level at the end, drained back, in the reference condition; 0 where it does not vary.
    pub final_fraction: f64,
    /// Of every reading along the blade, in order.
    pub readings: Vec<f64>,
}

/// The share of the variance of the end and of every reading of a service that its judgement inputs bring in.
///
/// The share is the total Sobol' index of all judgement inputs as one group: what would stay of the variance, on average, if
/// every other input were known (Jansen 1999, Computer Physics Communications 117:35). With 2,048 pairs of Sobol' points its
/// standard error is about 0.02; it says whether judgement rules a result, not to how many digits.
///
/// ```
/// use fillmark::circuit::Circuit;
/// use fillmark::estimate::{PredictOptions, judgement_share};
/// use fillmark::service::Action;
/// let bus = Circuit::demo("shuttle-bus")?;
/// let found = judgement_share(&bus, &[Action::read().into()], &PredictOptions::default())?;
/// assert!((0.0..=1.0).contains(&found.final_fraction));
/// # Ok::<(), fillmark::Error>(())
/// ```
pub fn judgement_share(
    circuit: &Circuit,
    events: &[Event],
    options: &PredictOptions<'_>,
) -> Result<JudgementShares, Error> {
    let model = ServiceModel::stoppable(options.compile(circuit, events)?, &|| options.stopped_before())?
        .correlated(options.correlations)?;
    shares(&model, options.seed, options.stop)
}

/// The shares of a service that is ready, worked out when they are first asked for.
#[derive(Debug, Clone)]
pub(super) struct Asked {
    model: Arc<ServiceModel>,
    seed: u64,
    found: OnceLock<JudgementShares>,
}

impl Asked {
    pub(super) fn new(model: Arc<ServiceModel>, seed: u64) -> Self {
        Self { model, seed, found: OnceLock::new() }
    }

    /// The shares; an error when told to stop, after which they can be asked for again.
    pub(super) fn get(&self, stop: Option<&AtomicBool>) -> Result<&JudgementShares, Error> {
        if let Some(found) = self.found.get() {
            return Ok(found);
        }
        let found = shares(&self.model, self.seed, stop)?;
        Ok(self.found.get_or_init(|| found))
    }
}

/// Equal where the shares are of the same inputs, drawn alike: whether they were asked for does not count.
impl PartialEq for Asked {
    fn eq(&self, other: &Self) -> bool {
        let (a, b) = (&self.model, &other.model);
        self.seed == other.seed && a.inputs() == b.inputs() && a.judgement() == b.judgement()
    }
}

/// As [`judgement_share`], of a service that is ready.
fn shares(model: &ServiceModel, seed: u64, stop: Option<&AtomicBool>) -> Result<JudgementShares, Error> {
    let inputs = model.inputs();
    let judged = |group: &Group| group.members.iter().any(|i| model.judgement()[*i]);
    let names: Vec<String> = (inputs.grouped().iter().filter(|group| judged(group)))
        .flat_map(|group| group.members.iter().map(|i| inputs.names()[*i].clone()))
        .collect();
    let results = model.results();
    if names.is_empty() {
        let none = results.len().saturating_sub(2) / 3;
        return Ok(JudgementShares { inputs: names, final_fraction: 0.0, readings: vec![0.0; none] });
    }
    let fits = 2 * inputs.uncertain() <= sobol::MOST_DIMENSIONS;
    let points = if fits { Points::Sobol { rows_per_scramble: ROWS } } else { Points::PseudoRandom };
    let drawer = Drawer::new(inputs, points, seed);
    let work = Work::quiet(2 * ROWS, stop);
    let mut threads = Threads::new(model, CHUNK)?;
    let a = evaluated(&mut threads, &drawer, &work, ROWS, |_| Side::A)?;
    let side = |group: &Group| if judged(group) { Side::B } else { Side::A };
    let ab = evaluated(&mut threads, &drawer, &work, ROWS, side)?;
    let all = names.len() == inputs.uncertain();
    let share = |at: usize| share(&a[at], &ab[at], all);
    let readings = (2..results.len()).step_by(3).map(share).collect();
    Ok(JudgementShares { inputs: names, final_fraction: share(0), readings })
}

/// `mean((f(A) - f(AB))²) / 2 V`, 1 where nothing else varies; sampling must not put it above 1.
fn share(a: &[f64], ab: &[f64], all: bool) -> f64 {
    let variance = Spread::of(a, ab).variance;
    // What differs by rounding alone does not vary.
    let level = a.iter().fold(0.0_f64, |most, x| most.max(x.abs()));
    if variance <= (1e-12 * level).powi(2) {
        return 0.0;
    }
    if all {
        return 1.0;
    }
    let squares: f64 = a.iter().zip(ab).map(|(a, ab)| (a - ab).powi(2)).sum();
    (0.5 * squares / a.len() as f64 / variance).min(1.0)
}
