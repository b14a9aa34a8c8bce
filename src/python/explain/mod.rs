//! Records, hypotheses and diagnoses for Python.

mod hypothesis;
mod record;
mod verdict;

pub(super) use hypothesis::{Hypothesis, Unknown};
pub(super) use record::Record;
pub(super) use verdict::{Cause, Check, Verdict, cause_priors, diagnose, diagnose_many};
