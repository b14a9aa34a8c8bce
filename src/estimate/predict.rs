//! What the stick will say, by Monte Carlo: the propagation of distributions (JCGM 101:2008) through the service program.
//!
//! Every uncertain input is drawn from its own stream (keyed by seed and path), so the same seed gives the same bits for
//! any number of threads and any chunk size.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use super::EstimateError;
use super::summary::Draws;
use crate::Error;
use crate::circuit::{Circuit, Ix};
use crate::numeric::streams;
use crate::service::{Bend, Event, Misfit, Program, Reading, Recorder, ServiceError, View, Wetting, find_reading};
use crate::units::Distribution;

/// How a prediction is run.
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
pub struct PredictOptions<'a> {
    /// Number of draws, 1 to 100 million.
    pub draws: usize,
    /// Seed of every stream.
    pub seed: u64,
    /// Draws worked on at a time; results do not depend on it.
    pub chunk: usize,
    /// Set from another thread to stop the work early with an error.
    pub stop: Option<&'a AtomicBool>,
}

impl Default for PredictOptions<'_> {
    fn default() -> Self {
        Self { draws: 100_000, seed: 1, chunk: 1024, stop: None }
    }
}

impl PredictOptions<'_> {
    /// The same options with another number of draws.
    #[must_use]
    pub fn draws(self, draws: usize) -> Self {
        Self { draws, ..self }
    }

    /// The same options with another seed.
    #[must_use]
    pub fn seed(self, seed: u64) -> Self {
        Self { seed, ..self }
    }

    /// Whether the caller wants the work stopped.
    pub(super) fn is_stopped(&self) -> bool {
        self.stop.is_some_and(|stop| stop.load(Ordering::Relaxed))
    }

    /// The error of work that is stopped when every draw is done and only the summary is left.
    pub(super) fn stopped_at_end(&self) -> Error {
        EstimateError::Stopped { done: self.draws, asked: self.draws }.into()
    }
}

/// Readings of a service with their uncertainty, if the stated uncertainties of its inputs are right.
#[derive(Debug, Clone, PartialEq)]
pub struct Prediction {
    readings: Vec<PredictedReading>,
    over_max: Vec<bool>,
    drained_back: Draws,
    bent: usize,
    seed: u64,
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
    let program = Program::compile(circuit, events)?;
    let columns = run_draws(&program, options, &Columns::recorder)?;
    let seed = options.seed;
    columns.into_prediction(&program, seed, &|| options.is_stopped()).ok_or_else(|| options.stopped_at_end())
}

/// The uncertain inputs of a program.
pub(super) struct Varying {
    inputs: Vec<(Ix, String, Distribution)>,
    touched: (bool, bool),
}

impl Varying {
    pub(super) fn of(program: &Program) -> Self {
        let inputs: Vec<_> = program
            .inputs()
            .enumerate()
            .filter(|(_, input)| !input.distribution().is_exact())
            .map(|(ix, input)| (ix, input.path(), input.distribution().clone()))
            .collect();
        let touched = program.touches(&inputs.iter().map(|(ix, ..)| *ix).collect::<Vec<_>>());
        Self { inputs, touched }
    }
}

/// What a run over many draws collects; chunks are joined in order.
pub(super) trait Collect: Send {
    /// Takes in the chunk that follows.
    fn join(&mut self, next: Self);
}

/// Runs the program over every draw, chunk by chunk, on as many threads as the pool has. `new(n)` makes an empty
/// collector for `n` draws.
pub(super) fn run_draws<C>(
    program: &Program,
    options: &PredictOptions<'_>,
    new: &(dyn Fn(&Program, usize) -> C + Sync),
) -> Result<C, Error>
where
    C: Collect + Recorder,
{
    check(options)?;
    if let Some(path) = program.uncertain_attitude() {
        return Err(EstimateError::UncertainAttitude { path }.into());
    }
    program.run(program.nominals(), &mut program.scratch(program.nominals())?, &mut Strict)?;
    let varying = Varying::of(program);
    let done = AtomicUsize::new(0);
    let one = |first: usize| -> Result<C, Error> {
        if options.is_stopped() {
            return Err(EstimateError::Stopped { done: done.load(Ordering::Relaxed), asked: options.draws }.into());
        }
        let n = options.chunk.min(options.draws - first);
        let collected = run_chunk(program, &varying, options.seed, first, n, new)?;
        done.fetch_add(n, Ordering::Relaxed);
        Ok(collected)
    };
    let firsts: Vec<usize> = (0..options.draws).step_by(options.chunk).collect();
    let mut whole = new(program, options.draws);
    for chunk in in_order(&firsts, one) {
        whole.join(chunk?);
    }
    Ok(whole)
}

#[cfg(feature = "parallel")]
fn in_order<C: Send>(firsts: &[usize], one: impl Fn(usize) -> Result<C, Error> + Sync) -> Vec<Result<C, Error>> {
    use rayon::prelude::*;
    firsts.par_iter().map(|first| one(*first)).collect()
}

#[cfg(not(feature = "parallel"))]
fn in_order<C: Send>(firsts: &[usize], one: impl Fn(usize) -> Result<C, Error> + Sync) -> Vec<Result<C, Error>> {
    firsts.iter().map(|first| one(*first)).collect()
}

fn run_chunk<C: Collect + Recorder>(
    program: &Program,
    varying: &Varying,
    seed: u64,
    first: usize,
    n: usize,
    new: &(dyn Fn(&Program, usize) -> C + Sync),
) -> Result<C, Error> {
    let mut inputs = program.nominals().to_vec();
    let mut scratch = program.scratch(&inputs)?;
    let drawn: Vec<Vec<f64>> = varying
        .inputs
        .iter()
        .map(|(_, path, distribution)| {
            let mut column = vec![0.0; n];
            streams::fill(seed, path, first as u64, &mut column);
            for u in &mut column {
                *u = distribution.quantile(*u);
            }
            column
        })
        .collect();
    let mut collected = new(program, n);
    for draw in 0..n {
        for ((ix, ..), column) in varying.inputs.iter().zip(&drawn) {
            inputs[*ix] = column[draw];
        }
        program.refresh(&inputs, varying.touched, &mut scratch);
        program.run(&inputs, &mut scratch, &mut collected)?;
    }
    Ok(collected)
}

fn check(options: &PredictOptions<'_>) -> Result<(), EstimateError> {
    for (option, value, high) in [("draws", options.draws, 1e8), ("chunk", options.chunk, 1e8)] {
        if !(1.0..=high).contains(&(value as f64)) {
            return Err(EstimateError::OptionOutOfRange { option: option.into(), value: value as f64, low: 1.0, high });
        }
    }
    Ok(())
}

/// Refuses what does not fit at nominal values, before any draw is made.
struct Strict;

impl Recorder for Strict {
    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        Bend::Refuse
    }
}

/// Columns of draws of every reading.
struct Columns {
    readings: Vec<ReadingColumns>,
    over_max: Vec<bool>,
    drained_back: Vec<f64>,
    bent: usize,
    bent_now: bool,
}

#[derive(Default)]
struct ReadingColumns {
    s: Vec<f64>,
    fraction: Vec<f64>,
    from_max: Vec<f64>,
    below_tip: usize,
    above_blade: usize,
}

impl Columns {
    fn recorder(program: &Program, draws: usize) -> Self {
        let column = || Vec::with_capacity(draws);
        let readings = (0..program.reading_count())
            .map(|_| ReadingColumns { s: column(), fraction: column(), from_max: column(), ..Default::default() })
            .collect();
        Self { readings, over_max: Vec::with_capacity(draws), drained_back: column(), bent: 0, bent_now: false }
    }

    /// `None` when told to stop.
    fn into_prediction(self, program: &Program, seed: u64, stopped: &dyn Fn() -> bool) -> Option<Prediction> {
        let draws = |values| Draws::unless(stopped, values);
        let readings = program
            .readings
            .iter()
            .zip(self.readings)
            .map(|(point, c)| {
                Some(PredictedReading {
                    label: point.label.clone(),
                    event: point.event,
                    s: draws(c.s)?,
                    fraction: draws(c.fraction)?,
                    from_max: draws(c.from_max)?,
                    below_tip: c.below_tip,
                    above_blade: c.above_blade,
                })
            })
            .collect::<Option<_>>()?;
        let drained_back = draws(self.drained_back)?;
        Some(Prediction { readings, over_max: self.over_max, drained_back, bent: self.bent, seed })
    }
}

impl Recorder for Columns {
    fn start(&mut self, _view: &View<'_>) {
        self.bent_now = false;
    }

    fn reading(&mut self, nth: usize, reading: Reading) {
        let c = &mut self.readings[nth];
        c.s.push(reading.s);
        c.fraction.push(reading.fraction);
        c.from_max.push(reading.from_max);
        match reading.wetting {
            Wetting::OnBlade => {}
            Wetting::BelowTip => c.below_tip += 1,
            Wetting::AboveBlade => c.above_blade += 1,
        }
    }

    fn end(&mut self, view: &View<'_>) {
        self.drained_back.push(view.drained_back());
        self.over_max.push(view.over_max());
        self.bent += usize::from(self.bent_now);
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        self.bent_now = true;
        Bend::Bend
    }
}

impl Collect for Columns {
    fn join(&mut self, next: Self) {
        for (a, b) in self.readings.iter_mut().zip(next.readings) {
            a.s.extend(b.s);
            a.fraction.extend(b.fraction);
            a.from_max.extend(b.from_max);
            a.below_tip += b.below_tip;
            a.above_blade += b.above_blade;
        }
        self.over_max.extend(next.over_max);
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

    /// For every draw, whether it ends over MAX.
    pub fn over_max(&self) -> &[bool] {
        &self.over_max
    }

    /// Volume of the sump at the end, drained back, filter full, in the reference condition (m3).
    pub fn drained_back(&self) -> &Draws {
        &self.drained_back
    }

    /// Draws in which an amount did not fit and was bent (excess to the floor, withdrawal or prime cut to what there is).
    pub fn bent(&self) -> usize {
        self.bent
    }
}

fn share(flags: &[bool]) -> f64 {
    flags.iter().filter(|f| **f).count() as f64 / flags.len().max(1) as f64
}
