//! A plan: the first pour, what to expect of it, and what to do on the reading.

use super::super::cautions::{OVERFULL, cautions_of_service};
use super::super::predict::{Prediction, predict};
use super::super::summary::Draws;
use super::forbidden::Forbidden;
use super::joint::Joint;
use super::policy::Policy;
use super::search::Search;
use super::service::{Aim, Service};
use super::{PlanOptions, UNDER_MIN_AT_START};
use crate::Error;
use crate::circuit::Circuit;
use crate::service::{Action, Event};

/// A refill as a policy: a first pour, what to expect of it, and what to do on the reading that follows.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    pub(super) circuit: Circuit,
    pub(super) aim: Aim,
    pub(super) first_pour: f64,
    pub(super) jug_step: f64,
    pub(super) risk_over_max: f64,
    pub(super) other_unit: Option<String>,
    /// Whether the filter still has to fill after the pour.
    pub(super) fills_filter: bool,
    /// Whether a filter is fitted anywhere in the service.
    pub(super) changes_filter: bool,
    /// What follows the pour, up to the last reading.
    pub(super) then: Vec<Event>,
    pub(super) prediction: Prediction,
    pub(super) residue: Draws,
    pub(super) per_blade: f64,
    pub(super) under_min: f64,
    pub(super) policy: Policy,
    pub(super) end_fraction: Draws,
    pub(super) forbidden: Forbidden,
}

impl Plan {
    /// The plan with a first pour of so many jug steps.
    pub(super) fn of(service: &Service<'_>, steps: u32) -> Result<Self, Error> {
        let PlanOptions { risk_over_max, jug_step, reading_step, .. } = *service.options;
        let (circuit, options) = (service.circuit, &service.options.predict);
        let events = service.events(steps);
        let prediction = predict(circuit, &events, options)?;
        let Joint { cases, residue, .. } = service.joint(steps)?;
        let stopped = || options.is_stopped();
        let search = Search { cases: &cases, jug_step, reading_step, risk: risk_over_max };
        let policy = search.policy(&stopped);
        let draws = |values: Vec<f64>| Draws::unless(&stopped, values).ok_or_else(|| options.stopped_at_end());
        let policy = policy.ok_or_else(|| options.stopped_at_end())?;
        let ends = cases.iter().map(|case| case.fraction(policy.row(case.reading).change)).collect();
        let under_min = cases.iter().filter(|case| case.room > case.span).count() as f64 / cases.len() as f64;
        Ok(Self {
            circuit: circuit.clone(),
            aim: service.aim,
            first_pour: service.volume(steps),
            jug_step,
            risk_over_max,
            other_unit: service.options.other_unit.clone(),
            fills_filter: service.fills_filter(),
            then: events[events.len() - service.after_pour()..].to_vec(),
            prediction,
            residue: draws(residue)?,
            per_blade: circuit.volume_per_blade()?,
            under_min,
            policy,
            end_fraction: draws(ends)?,
            forbidden: Forbidden::of(service, &events)?,
            changes_filter: events.iter().any(fits_filter),
        })
    }

    /// The circuit planned for.
    pub fn circuit(&self) -> &Circuit {
        &self.circuit
    }

    /// How much to pour first (m3), as the instrument says.
    pub fn first_pour_m3(&self) -> f64 {
        self.first_pour
    }

    /// What the jug steps in (m3).
    pub fn jug_step_m3(&self) -> f64 {
        self.jug_step
    }

    /// The risk accepted.
    pub fn risk_over_max(&self) -> f64 {
        self.risk_over_max
    }

    /// What to expect of the first pour: reading [`super::BEFORE_START`], those of `then`, and [`super::AFTER`] where it
    /// takes none. Its probability of being over MAX is that of the first pour with nothing corrected.
    pub fn prediction(&self) -> &Prediction {
        &self.prediction
    }

    /// What to do on the last reading.
    pub fn policy(&self) -> &Policy {
        &self.policy
    }

    /// What the circuit held before the pour (m3): heel, film and what stays in stores, and the filter if it was kept.
    pub fn residue(&self) -> &Draws {
        &self.residue
    }

    /// Fraction of the span at the end, by volume, when the table is followed: 0 at MIN, 1 at MAX.
    pub fn end_fraction(&self) -> &Draws {
        &self.end_fraction
    }

    /// Share of the draws that stand under MIN after the first pour, once the filter has filled and all has drained back.
    pub fn probability_under_min(&self) -> f64 {
        self.under_min
    }

    /// Why the engine is not to be started after the first pour; none where it may. Whatever the level, a plug open, no filter fitted,
    /// a leak or an ingress going on, coolant or water in the oil, or fuel above the limit forbids it, in the words of an assessment.
    pub fn no_start(&self) -> Option<String> {
        let all: Vec<String> = self.forbidden.reasons().cloned().chain(self.off_level()).collect();
        (!all.is_empty()).then(|| all.join("; "))
    }

    /// Why the level forbids a start, if it does.
    pub(super) fn off_level(&self) -> Option<String> {
        let (over, under) = (self.prediction.probability_over_max(), self.under_min);
        if over > self.risk_over_max {
            let (over, risk) = (percent(over), percent(self.risk_over_max));
            return Some(format!("it is over MAX already in {over} of the draws, more than the accepted {risk}"));
        }
        if under > UNDER_MIN_AT_START {
            let (under, most, risk) = (percent(under), percent(UNDER_MIN_AT_START), percent(self.risk_over_max));
            return Some(format!(
                "no first pour keeps both {risk} over MAX and {most} under MIN once the filter has filled; this one \
                 leaves {under} of the draws under MIN"
            ));
        }
        None
    }

    /// Volume per length of blade at MAX (m2).
    pub fn volume_per_blade_m2(&self) -> f64 {
        self.per_blade
    }

    /// Cautions to print with the plan: those that its machine and its service call for.
    pub fn cautions(&self) -> Vec<&'static str> {
        let over = (self.aim == Aim::Withdraw).then_some(OVERFULL);
        over.into_iter().chain(cautions_of_service(&self.circuit, self.changes_filter)).collect()
    }
}

fn fits_filter(event: &Event) -> bool {
    matches!(event.action, Action::FitFilter { .. } | Action::ChangeFilter { .. })
}

/// A share in per cent, with one decimal, or two where that is below 1 %.
pub(super) fn percent(share: f64) -> String {
    if share > 0.0 && share < 0.01 { format!("{:.2} %", share * 1e2) } else { format!("{:.1} %", share * 1e2) }
}
