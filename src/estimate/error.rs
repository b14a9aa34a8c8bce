//! Everything that can be wrong with an estimate.

use serde::Serialize;

use crate::error::Coded;
use crate::numeric::text::{as_given, first_of};

/// What is wrong with an estimate.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
#[non_exhaustive]
pub enum EstimateError {
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
    /// An attitude with an uncertainty that cannot be drawn here, and what to do.
    #[error("{path} is uncertain: {reason}")]
    UncertainAttitude {
        /// Path of the attitude.
        path: String,
        /// Why its draws are not covered, and what to do.
        reason: String,
    },
    /// The caller stopped the work.
    #[error("stopped after {done} of {asked} draws")]
    Stopped {
        /// Draws finished.
        done: usize,
        /// Draws asked for.
        asked: usize,
    },
    /// A model without inputs.
    #[error("there are no inputs; at least one is needed")]
    NoInputs,
    /// Two inputs of one name.
    #[error("{input} is given twice; an input that enters twice is one input that the model uses twice")]
    RepeatedInput {
        /// Name of the input.
        input: String,
    },
    /// The name of no input.
    #[error("there is no input {input}; the inputs are {}", known.join(", "))]
    UnknownInput {
        /// The name given.
        input: String,
        /// Names of the inputs.
        known: Box<[String]>,
    },
    /// A correlation coefficient that two inputs cannot have.
    #[error(
        "the correlation of {a} and {b} is {value}; it must lie between -1 and 1, both excluded, for two different inputs \
         (inputs that are correlated fully are one input)"
    )]
    CorrelationOutOfRange {
        /// Name of one input.
        a: String,
        /// Name of the other.
        b: String,
        /// The coefficient given, as text.
        value: String,
    },
    /// Two coefficients for one pair of inputs.
    #[error("the correlation of {a} and {b} is given twice")]
    RepeatedCorrelation {
        /// Name of one input.
        a: String,
        /// Name of the other.
        b: String,
    },
    /// A correlation with an input that has no uncertainty.
    #[error("{input} is exact; only uncertain inputs can be correlated")]
    CorrelationOfExact {
        /// Name of the exact input.
        input: String,
    },
    /// Coefficients that contradict each other.
    #[error(
        "the correlations of {} contradict each other: their matrix, with 0 where none is given, is not positive definite",
        inputs.join(", ")
    )]
    ImpossibleCorrelations {
        /// Names of the inputs that hang together.
        inputs: Box<[String]>,
    },
    /// A number of draws that Sobol' points cannot balance.
    #[error(
        "draws = {draws} is not {scrambles} scrambles times a power of two, as Sobol' points need; take {below} or {above}"
    )]
    DrawsNotBalanced {
        /// Draws asked for.
        draws: usize,
        /// Independent scrambles.
        scrambles: usize,
        /// The next accepted number below, or the lowest.
        below: usize,
        /// The next accepted number above.
        above: usize,
    },
    /// More uncertain inputs than Sobol' points have coordinates.
    #[error("Sobol' points of {needed} coordinates are needed and {most} are the most; take pseudo-random draws")]
    TooManyDimensions {
        /// Coordinates needed.
        needed: usize,
        /// Most coordinates.
        most: usize,
    },
    /// A model without results.
    #[error("the model has no results; at least one is needed")]
    NoResults,
    /// The name of no result.
    #[error("there is no result {result:?}; the results are {}", known.join(", "))]
    UnknownResult {
        /// The name given.
        result: String,
        /// Names of the results.
        known: Box<[String]>,
    },
    /// A result that is NaN or infinite.
    #[error("{result} is {value} for the inputs of row {row}{}", first_of(*count, "such in its block"))]
    ResultNotFinite {
        /// Name of the result.
        result: String,
        /// Index of the first offending row.
        row: usize,
        /// The offending value as text.
        value: String,
        /// How many there are in the block.
        count: usize,
    },
    /// A result of another length than the inputs.
    #[error("the model gave {result} with {found} values for {wanted} rows of inputs; one for each row is needed")]
    WrongLength {
        /// Name of the result.
        result: String,
        /// Values given.
        found: usize,
        /// Values needed.
        wanted: usize,
    },
    /// A result that does not vary, so that no share of its variance can be given.
    #[error("{result} does not vary with the uncertain inputs; there is no variance to share out")]
    NoVariance {
        /// Name of the result.
        result: String,
    },
    /// A plug that is open when the wait before a reading begins.
    #[error(
        "events[{event}] leaves a plug open; what drains back then leaves the sump. Close it before waiting for a reading"
    )]
    PlugOpen {
        /// Index of the event that opens it.
        event: usize,
    },
    /// A plan whose `done` or `then` pours already.
    #[error("{list}[{event}] pours; plan_refill decides the pour itself, leave Pour out of `{list}`")]
    PourInPlan {
        /// `done` or `then`.
        list: String,
        /// Index of the event in that list.
        event: usize,
    },
    /// A small risk of a plan whose end rests on judgement.
    #[error(
        "risk_over_max = {risk} is below 0.01, and judgement carries {:.0} % of the variance of the final level, more than 50 %: \
         so rare an event is no better known than the judgement. Accept 0.01 or more, or measure {}",
        share * 1e2,
        inputs.join(", ")
    )]
    RiskRestsOnJudgement {
        /// The risk asked for.
        risk: f64,
        /// Share of the variance of the final level that judgement inputs carry.
        share: f64,
        /// Paths of the judgement inputs.
        inputs: Box<[String]>,
    },
    /// A plan whose draws are too few to show its risk: ten of them at least are over MAX at it.
    #[error("{draws} draws cannot show a risk of {risk}, which is 10 of {low} draws; accepted: {low} draws or more")]
    TooFewDraws {
        /// The draws asked for.
        draws: usize,
        /// The risk asked for.
        risk: f64,
        /// Fewest accepted draws.
        low: usize,
    },
    /// A plan for a sump with an open plug.
    #[error("a plug is open when oil is to be poured or the stick to be read; ClosePlug first")]
    PlugOpenInPlan,
    /// A correction whose `then` runs the engine.
    #[error("then[{event}] runs; an engine that may be overfull is not started to find out, leave Run out of `then`")]
    RunInPlan {
        /// Index of the event in `then`.
        event: usize,
    },
}

impl Coded for EstimateError {
    const DOMAIN: &'static str = "estimate";
}
