//! How a propagation is carried out.

use std::sync::atomic::{AtomicBool, Ordering};

use super::EstimateError;
use super::draw::Points;
use super::evaluate::Progress;
use crate::numeric::sobol;

/// Where the draws come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Method {
    /// ChaCha streams keyed by the seed and the input's name, as `predict` uses them.
    PseudoRandom,
    /// Sobol' points, in independent scrambles from which the errors of the results are judged.
    Sobol {
        /// Number of scrambles, 2 to 1000. With adaptive stopping each batch is one scramble and this is not used.
        scrambles: usize,
    },
}

impl Method {
    /// Sobol' points in 16 scrambles.
    pub const SOBOL: Self = Self::Sobol { scrambles: 16 };
}

/// When there are draws enough.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Stopping {
    /// This many draws, 2 to 100 million; with Sobol' points the number of scrambles times a power of two.
    Draws(usize),
    /// When mean, standard uncertainty and the ends of the coverage interval of every result are stable (JCGM 101, 7.9).
    Digits {
        /// Significant digits of the standard uncertainty that are to be right: 1 to 4.
        digits: u32,
        /// Draws after which to stop all the same, up to 100 million.
        most: usize,
    },
}

/// Options of a propagation.
#[derive(Clone, Copy)]
#[non_exhaustive]
pub struct PropagateOptions<'a> {
    /// Where the draws come from.
    pub method: Method,
    /// When there are draws enough.
    pub stopping: Stopping,
    /// Coverage probability of the interval that adaptive stopping watches, 0.5 to 0.9999.
    pub coverage: f64,
    /// Seed of every stream.
    pub seed: u64,
    /// Rows worked on at a time, 1 to 100 million; results do not depend on it.
    pub chunk: usize,
    /// Set from another thread to stop the work early with an error.
    pub stop: Option<&'a AtomicBool>,
    /// Told about every chunk that is done.
    pub progress: Option<Progress<'a>>,
}

impl Default for PropagateOptions<'_> {
    fn default() -> Self {
        Self {
            method: Method::PseudoRandom,
            stopping: Stopping::Draws(1 << 17),
            coverage: 0.95,
            seed: 1,
            chunk: 1024,
            stop: None,
            progress: None,
        }
    }
}

impl PropagateOptions<'_> {
    /// The same options with a fixed number of draws.
    #[must_use]
    pub fn draws(self, draws: usize) -> Self {
        Self { stopping: Stopping::Draws(draws), ..self }
    }

    /// The same options with adaptive stopping, after 100 million draws at the latest.
    #[must_use]
    pub fn digits(self, digits: u32) -> Self {
        Self { stopping: Stopping::Digits { digits, most: MOST_DRAWS }, ..self }
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

    /// Whether the caller wants the work stopped.
    pub(super) fn is_stopped(&self) -> bool {
        self.stop.is_some_and(|stop| stop.load(Ordering::Relaxed))
    }

    /// Checks every option, for so many uncertain inputs.
    pub(super) fn check(&self, uncertain: usize) -> Result<(), EstimateError> {
        in_range("chunk", self.chunk as f64, 1.0, MOST_DRAWS as f64)?;
        in_range("coverage", self.coverage, 0.5, 0.9999)?;
        if let Method::Sobol { scrambles } = self.method {
            check_sobol(scrambles, uncertain)?;
        }
        match self.stopping {
            Stopping::Digits { digits, most } => {
                in_range("digits", f64::from(digits), 1.0, 4.0)?;
                in_range("most", most as f64, 1.0, MOST_DRAWS as f64)
            }
            Stopping::Draws(draws) => {
                in_range("draws", draws as f64, 2.0, MOST_DRAWS as f64)?;
                match self.method {
                    Method::Sobol { scrambles } => balanced(draws, scrambles),
                    Method::PseudoRandom => Ok(()),
                }
            }
        }
    }

    /// The points, where a scramble is used for so many rows.
    pub(super) fn points(&self, rows_per_scramble: usize) -> Points {
        match self.method {
            Method::PseudoRandom => Points::PseudoRandom,
            Method::Sobol { .. } => Points::Sobol { rows_per_scramble },
        }
    }
}

/// Most draws of one propagation.
pub(super) const MOST_DRAWS: usize = 100_000_000;

pub(super) fn in_range(option: &str, value: f64, low: f64, high: f64) -> Result<(), EstimateError> {
    if (low..=high).contains(&value) {
        return Ok(());
    }
    Err(EstimateError::OptionOutOfRange { option: option.into(), value, low, high })
}

pub(super) fn check_sobol(scrambles: usize, coordinates: usize) -> Result<(), EstimateError> {
    in_range("scrambles", scrambles as f64, 2.0, 1000.0)?;
    if coordinates > sobol::MOST_DIMENSIONS {
        return Err(EstimateError::TooManyDimensions { needed: coordinates, most: sobol::MOST_DIMENSIONS });
    }
    Ok(())
}

/// Sobol' points are balanced in powers of two only.
pub(super) fn balanced(draws: usize, scrambles: usize) -> Result<(), EstimateError> {
    let each = draws / scrambles;
    if draws == each * scrambles && each.is_power_of_two() {
        return Ok(());
    }
    let above = (each + 1).next_power_of_two();
    let below = if each.is_power_of_two() { each } else { (above / 2).max(1) };
    Err(EstimateError::DrawsNotBalanced { draws, scrambles, below: below * scrambles, above: above * scrambles })
}
