//! How a service is drawn.

use std::fmt;
use std::sync::atomic::{AtomicBool, Ordering};

use super::EstimateError;
use super::draw::Points;
use super::evaluate::Progress;
use super::inputs::Correlation;
use super::options::{MOST_DRAWS, Method, balanced, check_sobol, in_range};
use crate::Error;
use crate::circuit::Circuit;
use crate::service::{Event, Program, State};

/// How a prediction is run.
#[derive(Clone, Copy)]
#[non_exhaustive]
pub struct PredictOptions<'a> {
    /// Number of draws, 1 to 100 million; with Sobol' points the number of scrambles times a power of two. With `digits` the
    /// most draws.
    pub draws: usize,
    /// Seed of every stream.
    pub seed: u64,
    /// Draws worked on at a time; results do not depend on it.
    pub chunk: usize,
    /// Where the draws come from.
    pub method: Method,
    /// Where every draw starts: a state of the circuit, plugs closed, filter fitted, stick wiped. At MAX in the reference condition,
    /// all old oil, where none is given.
    pub start: Option<&'a State>,
    /// Correlations between inputs, by path; all others are independent.
    pub correlations: &'a [Correlation],
    /// Draw in batches until mean, standard uncertainty and the ends of the coverage interval of every reading and of the volume
    /// at the end are stable to so many significant digits of the standard uncertainty (JCGM 101:2008, 7.9), 1 to 4. Only
    /// `predict` takes notice of it.
    pub digits: Option<u32>,
    /// Coverage probability of the interval that `digits` watches, 0.5 to 0.9999.
    pub coverage: f64,
    /// Set from another thread to stop the work early with an error.
    pub stop: Option<&'a AtomicBool>,
    /// Told about every chunk that is done.
    pub progress: Option<Progress<'a>>,
}

impl Default for PredictOptions<'_> {
    fn default() -> Self {
        Self {
            draws: 100_000,
            seed: 1,
            chunk: 1024,
            method: Method::PseudoRandom,
            start: None,
            correlations: &[],
            digits: None,
            coverage: 0.95,
            stop: None,
            progress: None,
        }
    }
}

impl fmt::Debug for PredictOptions<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("PredictOptions")
            .field("draws", &self.draws)
            .field("seed", &self.seed)
            .field("chunk", &self.chunk)
            .field("method", &self.method)
            .field("start", &self.start)
            .field("correlations", &self.correlations)
            .field("digits", &self.digits)
            .field("coverage", &self.coverage)
            .finish_non_exhaustive()
    }
}

impl<'a> PredictOptions<'a> {
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

    /// The same options with another method.
    #[must_use]
    pub fn method(self, method: Method) -> Self {
        Self { method, ..self }
    }

    /// The same options with another start.
    #[must_use]
    pub fn start(self, start: &'a State) -> Self {
        Self { start: Some(start), ..self }
    }

    /// A service compiled with the start.
    pub(super) fn compile(&self, circuit: &Circuit, events: &[Event]) -> Result<Program, Error> {
        match self.start {
            Some(start) => Program::compile_from(circuit, events, start),
            None => Program::compile(circuit, events),
        }
    }

    /// The same options with correlations between inputs.
    #[must_use]
    pub fn correlations(self, correlations: &'a [Correlation]) -> Self {
        Self { correlations, ..self }
    }

    /// The same options with adaptive stopping, after so many draws at the latest.
    #[must_use]
    pub fn digits(self, digits: u32, most: usize) -> Self {
        Self { digits: Some(digits), draws: most, ..self }
    }

    /// Whether the caller wants the work stopped.
    pub(super) fn is_stopped(&self) -> bool {
        self.stop.is_some_and(|stop| stop.load(Ordering::Relaxed))
    }

    /// The error of work that is stopped before the first draw, once it is.
    pub(super) fn stopped_before(&self) -> Option<EstimateError> {
        self.is_stopped().then_some(EstimateError::Stopped { done: 0, asked: self.draws })
    }

    /// The error of work that is stopped when every draw is done and only the summary is left.
    pub(super) fn stopped_at_end(&self) -> Error {
        EstimateError::Stopped { done: self.draws, asked: self.draws }.into()
    }

    /// Checks every option, for so many uncertain inputs.
    pub(super) fn check(&self, uncertain: usize) -> Result<(), EstimateError> {
        in_range("draws", self.draws as f64, 1.0, MOST_DRAWS as f64)?;
        in_range("chunk", self.chunk as f64, 1.0, MOST_DRAWS as f64)?;
        in_range("coverage", self.coverage, 0.5, 0.9999)?;
        if let Some(digits) = self.digits {
            in_range("digits", f64::from(digits), 1.0, 4.0)?;
        }
        match (self.method, self.digits) {
            (Method::PseudoRandom, _) => Ok(()),
            (Method::Sobol { scrambles }, digits) => {
                check_sobol(scrambles, uncertain)?;
                if digits.is_some() { Ok(()) } else { balanced(self.draws, scrambles) }
            }
        }
    }

    /// The points of all draws together.
    pub(super) fn points(&self) -> Points {
        match self.method {
            Method::PseudoRandom => Points::PseudoRandom,
            Method::Sobol { scrambles } => Points::Sobol { rows_per_scramble: self.draws / scrambles },
        }
    }
}
