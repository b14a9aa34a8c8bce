//! How much to pour now, and what to do on the reading that follows: a refill as a policy.
//!
//! The first pour is the largest whole number of jug steps that keeps the risk by itself. Then the engine runs and rests as
//! stated, the stick is read, and a table says for every reading what to add or to take out. The table is found by
//! conditioning on the noisy reading, over the joint draws of reading and state ([`Policy`]).

mod first_pour;
mod forbidden;
mod joint;
mod page;
mod passes;
mod policy;
mod result;
mod search;
mod service;
mod shape;

pub use policy::{Advice, Policy, PolicyRow};
pub use result::Plan;
pub use service::{AFTER, BEFORE_START};

use self::passes::Passes;
use self::service::{Aim, Service};
use super::EstimateError;
use super::judgement::judgement_share;
use super::predict_options::PredictOptions;
use crate::Error;
use crate::circuit::Circuit;
use crate::service::{Action, Event};
use crate::units::{DimensionId, Temperature, Value, parse_si};

/// Most draws of a first start that may leave the level under MIN once the filter has filled.
pub const UNDER_MIN_AT_START: f64 = 0.01;

/// A risk below this is refused while judgement inputs carry more than [`MOST_JUDGEMENT`] of the variance of the end.
pub const SMALL_RISK: f64 = 0.01;
/// Share of the variance of the final level that judgement inputs may carry at a risk below [`SMALL_RISK`].
pub const MOST_JUDGEMENT: f64 = 0.5;

/// How a refill is planned.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct PlanOptions<'a> {
    /// Accepted probability of ending over MAX, 0.0001 to 0.5.
    pub risk_over_max: f64,
    /// Smallest amount the jug measures out (m3).
    pub jug_step: f64,
    /// What the stick is read to (m): a reading is taken to the nearest multiple of it. 0.1 to 10 mm.
    pub reading_step: f64,
    /// Instrument the oil is measured with; `jug` where the circuit has one of that name.
    pub measured_with: Option<String>,
    /// Temperature of the oil poured; the reference temperature where not stated.
    pub temperature: Option<Value<Temperature>>,
    /// Unit of volume that the page gives beside litres, such as `US qt`.
    pub other_unit: Option<String>,
    /// How the draws are made.
    pub predict: PredictOptions<'a>,
}

impl Default for PlanOptions<'_> {
    fn default() -> Self {
        Self {
            risk_over_max: 0.05,
            jug_step: 1e-4,
            reading_step: 5e-4,
            measured_with: None,
            temperature: None,
            other_unit: None,
            predict: PredictOptions::default(),
        }
    }
}

/// Plans a refill: `done` is what was done so far (drain, filter), `then` what will be done after pouring (run, rest, readings).
///
/// The first pour is the largest whole number of jug steps whose probability of ending over MAX, over all draws and with
/// nothing corrected afterwards, is at most the stated risk. In every draw a larger pour ends higher, so the probability
/// rises with the pour and bisection finds the step exactly. The correction by the last reading keeps the risk of the whole
/// policy; see [`Policy`].
pub fn plan_refill(
    circuit: &Circuit,
    done: &[Event],
    then: &[Event],
    options: &PlanOptions<'_>,
) -> Result<Plan, Error> {
    refuse_pours("done", done)?;
    refuse_pours("then", then)?;
    plan(&Service { circuit, done, then, options, aim: Aim::Refill })
}

/// Plans how to bring a level that may be over MAX back: `done` is all that was done (pours included), `then` what is waited
/// for before the stick is read. Nothing is poured or taken out before the reading; the table of the [`Policy`] then says
/// how much to take out, or to add.
///
/// `then` may neither pour nor run: an engine that may be overfull is not started to find out.
pub fn plan_withdraw(
    circuit: &Circuit,
    done: &[Event],
    then: &[Event],
    options: &PlanOptions<'_>,
) -> Result<Plan, Error> {
    refuse_pours("then", then)?;
    if let Some(event) = then.iter().position(|e| matches!(e.action, Action::Run { .. })) {
        return Err(EstimateError::RunInPlan { event }.into());
    }
    plan(&Service { circuit, done, then, options, aim: Aim::Withdraw })
}

fn plan(service: &Service<'_>) -> Result<Plan, Error> {
    check(service.options)?;
    service.refuse_open_plug()?;
    let passes = Passes::of(&service.options.predict, service.aim);
    let report = |_: usize, _: usize| passes.iter().for_each(Passes::chunk_done);
    let mut options = service.options.clone();
    if passes.is_some() {
        options.predict.progress = Some(&report);
    }
    let service = &Service { options: &options, ..*service };
    let planned = || {
        let steps = service.first_pour()?;
        refuse_judgement(service, steps)?;
        passes.iter().for_each(Passes::found);
        Plan::of(service, steps)
    };
    planned().map_err(|error| service.by_list(error))
}

/// Refuses a small risk that rests on judgement: its tail is no better known than the judgement.
fn refuse_judgement(service: &Service<'_>, steps: u32) -> Result<(), Error> {
    let risk = service.options.risk_over_max;
    if risk >= SMALL_RISK {
        return Ok(());
    }
    let found = judgement_share(service.circuit, &service.events(steps), &service.options.predict)?;
    if found.final_fraction <= MOST_JUDGEMENT {
        return Ok(());
    }
    let share = found.final_fraction;
    Err(EstimateError::RiskRestsOnJudgement { risk, share, inputs: found.inputs.into() }.into())
}

fn refuse_pours(list: &str, events: &[Event]) -> Result<(), EstimateError> {
    match events.iter().position(|e| matches!(e.action, Action::Pour { .. })) {
        Some(event) => Err(EstimateError::PourInPlan { list: list.into(), event }),
        None => Ok(()),
    }
}

/// Refuses draws of which at the accepted risk fewer than ten would be over MAX: they could not show it. That ten do (their
/// relative standard deviation is a third) is our choice, no source. None at all are refused as every prediction does.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // the risk is at least 0.0001
fn refuse_few_draws(options: &PlanOptions<'_>) -> Result<(), EstimateError> {
    let (draws, risk) = (options.predict.draws, options.risk_over_max);
    let low = (10.0 / risk).ceil() as usize;
    if draws == 0 || draws >= low { Ok(()) } else { Err(EstimateError::TooFewDraws { draws, risk, low }) }
}

fn check(options: &PlanOptions<'_>) -> Result<(), Error> {
    let within = |option: &str, value: f64, low: f64, high: f64| {
        if (low..=high).contains(&value) {
            return Ok(());
        }
        Err(EstimateError::OptionOutOfRange { option: option.into(), value, low, high })
    };
    within("risk_over_max", options.risk_over_max, 1e-4, 0.5)?;
    refuse_few_draws(options)?;
    within("jug_step_l", options.jug_step * 1e3, 1e-3, 20.0)?;
    within("reading_step_mm", options.reading_step * 1e3, 0.1, 10.0)?;
    if let Some(unit) = &options.other_unit {
        parse_si("other_unit", &format!("1 {unit}"), DimensionId::Volume)?;
    }
    Ok(())
}
