//! What explains a reading: a record of what happened, hypotheses as edits of its events, their evidence and probabilities.
//!
//! * a [`Record`] holds the events as told, what was seen, and what is complained of;
//! * every cause is an edit of those events, with priors on its size, compiled into one program;
//! * [`diagnose`] finds the evidence of each by tempered sequential Monte Carlo ([`evidence`]) and, with the prior weights of the
//!   complaint, its probability. It assigns causes, never fault.

mod bench;
mod causes;
mod checks;
mod diagnose;
mod draft;
mod error;
mod hypothesis;
mod model;
mod posterior;
mod priors;
mod record;
mod run;
mod sign;
mod smc;
#[cfg(test)]
mod tests;
mod verdict;

pub use checks::Need;
pub use diagnose::{DiagnoseOptions, diagnose, diagnose_many};
pub use draft::Unknown;
pub use error::ExplainError;
pub use hypothesis::{Edit, Hypothesis, Which};
pub use model::MISTAKEN;
pub use priors::{JUDGEMENT, pairs, priors};
#[cfg(test)]
pub(crate) use record::schema as record_schema;
pub use record::{Complaint, Measured, Record, Says, SeenReading, Source};
pub use sign::{Curve, Sign};
pub use smc::{Evidence, SmcOptions, evidence};
pub use verdict::{CauseFound, Check, ObservationSeen, Outcome, Size, Verdict};
