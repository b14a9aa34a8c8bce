//! Everything that can be wrong with an estimate.

use serde::Serialize;

use crate::error::Coded;

/// What is wrong with an estimate.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
#[non_exhaustive]
pub enum EstimateError {
    /// An option outside its accepted range.
    #[error("{option} = {value} is outside {low} to {high}")]
    OptionOutOfRange {
        /// Name of the option.
        option: String,
        /// The value given.
        value: f64,
        /// Lowest accepted value.
        low: f64,
        /// Highest accepted value.
        high: f64,
    },
    /// An attitude with an uncertainty, which a prediction does not yet propagate.
    #[error(
        "{path} is uncertain; predictions take attitudes as exact. Predict at several attitudes, or state it without \
         an uncertainty"
    )]
    UncertainAttitude {
        /// Path of the attitude.
        path: String,
    },
    /// The caller stopped the work.
    #[error("stopped after {done} of {asked} draws")]
    Stopped {
        /// Draws finished.
        done: usize,
        /// Draws asked for.
        asked: usize,
    },
    /// A plan whose `done` or `then` pours already.
    #[error("{list}[{event}] pours; plan_refill decides the pour itself, leave Pour out of `{list}`")]
    PourInPlan {
        /// `done` or `then`.
        list: String,
        /// Index of the event in that list.
        event: usize,
    },
}

impl Coded for EstimateError {
    const DOMAIN: &'static str = "estimate";
}
