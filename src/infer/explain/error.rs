//! Everything that can be wrong with a record, a hypothesis or a diagnosis.

use serde::Serialize;

use crate::error::Coded;
use crate::numeric::text::as_given;

/// What is wrong with a record, a hypothesis or a diagnosis.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
#[non_exhaustive]
pub enum ExplainError {
    /// An option outside its accepted range.
    #[error("{option} = {} is outside {} to {}", as_given(*value), as_given(*low), as_given(*high))]
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
    /// The caller stopped the work.
    #[error("stopped before the diagnosis was done")]
    Stopped,
    /// A record without a reading.
    #[error("the record has no reading; a diagnosis needs at least one, such as mm = \"122 mm\"")]
    NothingSeen,
    /// A reading that does not say one thing.
    #[error("readings[{reading}] {problem}")]
    BadReading {
        /// Index of the reading.
        reading: usize,
        /// What is wrong and what is accepted.
        problem: String,
    },
    /// An observation of a record that cannot be.
    #[error("{field} = {value}: {problem}")]
    BadObservation {
        /// Where in the record.
        field: String,
        /// The value, as text.
        value: String,
        /// What is accepted.
        problem: String,
    },
    /// Two statements of a record that cannot both hold.
    #[error("the record contradicts itself: {problem}")]
    Contradiction {
        /// Which statements, and why.
        problem: String,
    },
    /// The events as told cannot be carried out.
    #[error("the events as told cannot be carried out: {problem}")]
    ImpossibleEvents {
        /// What the service says.
        problem: String,
    },
    /// A prior weight that is none.
    #[error("the prior of `{cause}` is {value}; a prior is a finite weight of 0 or more, and not all may be 0")]
    BadPrior {
        /// Name of the cause.
        cause: String,
        /// The weight given.
        value: f64,
    },
    /// The name of no cause.
    #[error("there is no cause `{name}`{}; the causes are: {accepted}", did_you_mean(nearest))]
    UnknownCause {
        /// The name given.
        name: String,
        /// What it most resembles; empty where nothing comes near.
        nearest: String,
        /// The names that exist.
        accepted: String,
    },
    /// A hypothesis that cannot be worked out for this record.
    #[error("hypothesis `{hypothesis}`: {problem}")]
    BadHypothesis {
        /// Its name.
        hypothesis: String,
        /// What is wrong.
        problem: String,
    },
    /// A column of a table that does not fit.
    #[error("column `{column}`{}: {problem}", at_row(*row))]
    BadColumn {
        /// Name of the column.
        column: String,
        /// Row, from 0, where one row is wrong.
        row: Option<usize>,
        /// What is wrong and what is accepted.
        problem: String,
    },
}

fn did_you_mean(nearest: &str) -> String {
    if nearest.is_empty() { String::new() } else { format!("; did you mean `{nearest}`?") }
}

fn at_row(row: Option<usize>) -> String {
    row.map_or_else(String::new, |row| format!(", row {row}"))
}

impl Coded for ExplainError {
    const DOMAIN: &'static str = "explain";
}
