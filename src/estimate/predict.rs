//! What the stick will say, by Monte Carlo: the propagation of distributions (JCGM 101:2008) through the service program.
//!
//! Every uncertain input is drawn from its own stream (keyed by seed and path), so the same seed gives the same bits for
//! any number of threads and any chunk size.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use super::adaptive::{Batches, FEWEST, batch_rows};
use super::draw::Points;
use super::judgement::{Asked, JudgementShares};
use super::leaning::{AttitudeFit, fits};
use super::options::Method;
use super::predict_options::PredictOptions;
use super::run::{Collect, Job};
use super::service_model::ServiceModel;
use super::summary::Draws;
use crate::Error;
use crate::circuit::Circuit;
use crate::numeric::lanes::Lanes;
use crate::service::{
    Bend, Event, Misfit, Program, ReadingPoint, Recorder, ServiceError, Side, Taken, View, Wetting, find_reading,
};

/// Readings of a service with their uncertainty, if the stated uncertainties of its inputs are right.
#[derive(Debug, Clone, PartialEq)]
pub struct Prediction {
    readings: Vec<PredictedReading>,
    over_max: Vec<bool>,
    under_min: Vec<bool>,
    drained_back: Draws,
    bent: usize,
    seed: u64,
    settled: Option<bool>,
    judgement: Asked,
    attitudes: Vec<AttitudeFit>,
}

/// One reading over all draws.
#[derive(Debug, Clone, PartialEq)]
pub struct PredictedReading {
    /// Label of the event.
    pub label: Option<String>,
    /// Index of the event.
    pub event: usize,
    /// Distance from the tip along the blade (m).
    pub s: Draws,
    /// 0 at MIN, 1 at MAX.
    pub fraction: Draws,
    /// Volume from MAX (m3).
    pub from_max: Draws,
    /// Draws in which the stick came out dry.
    pub below_tip: usize,
    /// Draws in which the surface stood above the blade.
    pub above_blade: usize,
}

/// Predicts the readings of a service.
///
/// ```
/// use fillmark::circuit::Circuit;
/// use fillmark::estimate::{PredictOptions, predict};
/// use fillmark::service::Action;
/// let bus = Circuit::demo("shuttle-bus")?;
/// let p = predict(&bus, &[Action::read().into()], &PredictOptions::default())?;
/// let dip = &p.readings()[0];
/// assert!((dip.fraction.mean() - 1.0).abs() < 0.1); // a circuit starts at MAX
/// # Ok::<(), fillmark::Error>(())
/// ```
pub fn predict(circuit: &Circuit, events: &[Event], options: &PredictOptions<'_>) -> Result<Prediction, Error> {
    let model = ServiceModel::stoppable(options.compile(circuit, events)?, &|| options.stopped_before())?
        .correlated(options.correlations)?;
    options.check(model.inputs().uncertain())?;
    let (columns, settled) = match options.digits {
        None => (all_draws(&model, options)?, None),
        Some(digits) => adaptive(&model, options, digits)?,
    };
    Ok(columns.into_prediction(model, options.seed, settled))
}

/// As many draws as asked for.
fn all_draws(model: &ServiceModel, options: &PredictOptions<'_>) -> Result<Columns, Error> {
    let job = Job::new(model.program(), model.varying(), options, options.points());
    let mut columns = Columns::recorder(model.program(), options.draws);
    job.run(0, options.draws, &Columns::recorder, &mut columns)?;
    Ok(columns)
}

/// Draws in batches until every reading and the volume at the end are stable, or the most draws are reached.
fn adaptive(model: &ServiceModel, options: &PredictOptions<'_>, digits: u32) -> Result<(Columns, Option<bool>), Error> {
    let least = batch_rows(options.coverage);
    let (rows, points) = match options.method {
        Method::PseudoRandom => (least, Points::PseudoRandom),
        Method::Sobol { .. } => {
            let rows = least.next_power_of_two();
            (rows, Points::Sobol { rows_per_scramble: rows })
        }
    };
    let job = Job::new(model.program(), model.varying(), options, points);
    let mut columns = Columns::recorder(model.program(), FEWEST * rows);
    job.run(0, FEWEST * rows, &Columns::recorder, &mut columns)?;
    let mut batches = vec![Batches::default(); columns.watched().count()];
    for (batches, column) in batches.iter_mut().zip(columns.watched()) {
        column.chunks_exact(rows).for_each(|batch| batches.push(batch, options.coverage));
    }
    while !batches.iter().all(|b| b.settled(digits)) {
        let done = columns.over_max.len();
        if done + rows > options.draws {
            return Ok((columns, Some(false)));
        }
        job.run(done, rows, &Columns::recorder, &mut columns)?;
        for (batches, column) in batches.iter_mut().zip(columns.watched()) {
            batches.push(&column[done..], options.coverage);
        }
    }
    Ok((columns, Some(true)))
}

/// Columns of draws of every reading.
struct Columns {
    readings: Vec<ReadingColumns>,
    over_max: Vec<bool>,
    under_min: Vec<bool>,
    drained_back: Vec<f64>,
    bent: usize,
    bent_now: bool,
}

struct ReadingColumns {
    s: Vec<f64>,
    fraction: Vec<f64>,
    from_max: Vec<f64>,
    wettings: Vec<Wetting>,
}

impl ReadingColumns {
    fn shorten(&mut self, rows: usize) {
        self.s.truncate(rows);
        self.fraction.truncate(rows);
        self.from_max.truncate(rows);
        self.wettings.truncate(rows);
    }

    fn met(&self, wetting: Wetting) -> usize {
        self.wettings.iter().filter(|w| **w == wetting).count()
    }
}

impl Columns {
    fn recorder(program: &Program, draws: usize) -> Self {
        let column = || Vec::with_capacity(draws);
        let readings = (0..program.reading_count())
            .map(|_| ReadingColumns {
                s: column(),
                fraction: column(),
                from_max: column(),
                wettings: Vec::with_capacity(draws),
            })
            .collect();
        let flags = || Vec::with_capacity(draws);
        Self { readings, over_max: flags(), under_min: flags(), drained_back: column(), bent: 0, bent_now: false }
    }

    /// What adaptive stopping watches.
    fn watched(&self) -> impl Iterator<Item = &[f64]> {
        self.readings.iter().map(|r| r.s.as_slice()).chain([self.drained_back.as_slice()])
    }

    fn into_prediction(self, model: ServiceModel, seed: u64, settled: Option<bool>) -> Prediction {
        let program = model.program();
        let one = |(point, c): (&ReadingPoint, ReadingColumns)| PredictedReading {
            label: point.label.clone(),
            event: point.event,
            below_tip: c.met(Wetting::BelowTip),
            above_blade: c.met(Wetting::AboveBlade),
            s: Draws::new(c.s),
            fraction: Draws::new(c.fraction),
            from_max: Draws::new(c.from_max),
        };
        Prediction {
            readings: program.readings.iter().zip(self.readings).map(one).collect(),
            over_max: self.over_max,
            under_min: self.under_min,
            drained_back: Draws::new(self.drained_back),
            bent: self.bent,
            seed,
            settled,
            attitudes: fits(program),
            judgement: Asked::new(Arc::new(model), seed),
        }
    }
}

impl<X: Side> Recorder<X> for Columns {
    fn hears_rows(&self) -> bool {
        false
    }

    fn start(&mut self, _view: &View<'_, X>) {
        self.bent_now = false;
        // Draws side by side that were given up may have left readings without an end.
        let done = self.over_max.len();
        self.readings.iter_mut().filter(|c| c.s.len() > done).for_each(|c| c.shorten(done));
    }

    fn reading(&mut self, nth: usize, taken: &Taken<'_, X>) {
        let c = &mut self.readings[nth];
        push(&mut c.s, taken.s);
        push(&mut c.fraction, taken.fraction);
        push(&mut c.from_max, taken.from_max());
        c.wettings.extend_from_slice(taken.wettings());
    }

    fn end(&mut self, view: &View<'_, X>) {
        let drained_back = view.drained_back();
        push(&mut self.drained_back, drained_back);
        self.over_max.extend_from_slice(view.are_over_max(drained_back).as_ref());
        self.under_min.extend_from_slice(view.are_under_min(drained_back).as_ref());
        self.bent += usize::from(self.bent_now);
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        self.bent_now = true;
        Bend::Bend
    }
}

fn push<X: Lanes>(column: &mut Vec<f64>, x: X) {
    column.extend((0..X::COUNT).map(|i| x.lane(i)));
}

impl Collect for Columns {
    fn join(&mut self, next: Self) {
        for (a, b) in self.readings.iter_mut().zip(next.readings) {
            a.s.extend(b.s);
            a.fraction.extend(b.fraction);
            a.from_max.extend(b.from_max);
            a.wettings.extend(b.wettings);
        }
        self.over_max.extend(next.over_max);
        self.under_min.extend(next.under_min);
        self.drained_back.extend(next.drained_back);
        self.bent += next.bent;
    }
}

impl Prediction {
    /// Every reading in order.
    pub fn readings(&self) -> &[PredictedReading] {
        &self.readings
    }

    /// The one reading of this label.
    pub fn reading(&self, label: &str) -> Result<&PredictedReading, ServiceError> {
        find_reading(&self.readings, |r| r.label.as_deref(), label)
    }

    /// Number of draws.
    pub fn draws(&self) -> usize {
        self.over_max.len()
    }

    /// Seed of the streams.
    pub fn seed(&self) -> u64 {
        self.seed
    }

    /// Share of the draws that end over MAX: true, noise-free, drained back, filter full, in the reference condition.
    pub fn probability_over_max(&self) -> f64 {
        share(&self.over_max)
    }

    /// Share of the draws that end under MIN in the same sense.
    pub fn probability_under_min(&self) -> f64 {
        share(&self.under_min)
    }

    /// For every draw, whether it ends under MIN.
    pub fn under_min(&self) -> &[bool] {
        &self.under_min
    }

    /// For every draw, whether it ends over MAX.
    pub fn over_max(&self) -> &[bool] {
        &self.over_max
    }

    /// Volume of the sump at the end, drained back, filter full, in the reference condition (m3).
    pub fn drained_back(&self) -> &Draws {
        &self.drained_back
    }

    /// With adaptive stopping, whether everything became stable before the most draws allowed.
    pub fn settled(&self) -> Option<bool> {
        self.settled
    }

    /// What share of the variance of the end and of every reading rests on judgement; worked out when it is first asked for.
    ///
    /// # Errors
    /// Those of [`judgement_share`](super::judgement_share).
    pub fn judgement(&self) -> Result<&JudgementShares, Error> {
        self.judgement_until(None)
    }

    /// As [`Prediction::judgement`]; `stop` ends the work with an error.
    pub(crate) fn judgement_until(&self, stop: Option<&AtomicBool>) -> Result<&JudgementShares, Error> {
        self.judgement.get(stop)
    }

    /// How well the free surfaces are known at every attitude that is stated with an uncertainty.
    pub fn attitudes(&self) -> &[AttitudeFit] {
        &self.attitudes
    }

    /// Covariances of the readings along the blade (m2): entry `[i][j]` is `Σ (a - mean)(b - mean) / (M - 1)` of readings `i`
    /// and `j` (JCGM 102:2011, 7.6); 0 for a single draw.
    pub fn covariance(&self) -> Vec<Vec<f64>> {
        let columns: Vec<&[f64]> = self.readings.iter().map(|r| r.s.values()).collect();
        // Counted from the first draw, so that what does not vary has no variance by rounding either.
        let firsts: Vec<f64> = columns.iter().map(|c| c.first().copied().unwrap_or_default()).collect();
        let mean = |(c, first): (&&[f64], &f64)| c.iter().map(|s| s - first).sum::<f64>() / c.len() as f64;
        let means: Vec<f64> = columns.iter().zip(&firsts).map(mean).collect();
        let over = (self.draws().max(2) - 1) as f64;
        let off = |i: usize, s: f64| s - firsts[i] - means[i];
        let of = |i: usize, j: usize| {
            let pairs = columns[i].iter().zip(columns[j]);
            pairs.map(|(a, b)| off(i, *a) * off(j, *b)).sum::<f64>() / over
        };
        // The smaller index first, so that the matrix is symmetric to the last bit.
        (0..columns.len()).map(|i| (0..columns.len()).map(|j| of(i.min(j), i.max(j))).collect()).collect()
    }

    /// Correlation coefficients of the readings along the blade; NaN with a reading that does not vary.
    pub fn correlation(&self) -> Vec<Vec<f64>> {
        let covariance = self.covariance();
        let u: Vec<f64> = (0..covariance.len()).map(|i| covariance[i][i].sqrt()).collect();
        let of = |i: usize, j: usize| if i == j && u[i] > 0.0 { 1.0 } else { covariance[i][j] / (u[i] * u[j]) };
        (0..u.len()).map(|i| (0..u.len()).map(|j| of(i, j)).collect()).collect()
    }

    /// Draws in which an amount did not fit and was bent (excess to the floor, withdrawal or prime cut to what there is).
    pub fn bent(&self) -> usize {
        self.bent
    }
}

fn share(flags: &[bool]) -> f64 {
    flags.iter().filter(|f| **f).count() as f64 / flags.len().max(1) as f64
}
