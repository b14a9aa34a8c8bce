//! The service that a plan is made for: what was done, the pour, what follows.

use super::super::EstimateError;
use super::PlanOptions;
use crate::Error;
use crate::circuit::Circuit;
use crate::service::{Action, Amount, Contents, Event, is_read};
use crate::units::Value;

/// Label of the reading taken right after the pour, before the first start.
pub const BEFORE_START: &str = "before start";
/// Label of the reading at the end where `then` takes none.
pub const AFTER: &str = "after";

/// Volume poured, and then withdrawn, to see what a correction does (m3): both act in proportion.
pub(super) const PROBE: f64 = 1e-6;

/// What is planned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Aim {
    /// A first pour, and a correction.
    Refill,
    /// Only a correction.
    Withdraw,
}

pub(super) struct Service<'a> {
    pub circuit: &'a Circuit,
    pub done: &'a [Event],
    pub then: &'a [Event],
    pub options: &'a PlanOptions<'a>,
    pub aim: Aim,
}

impl Service<'_> {
    /// The error with its event named by the list that the caller gave.
    pub(super) fn by_list(&self, error: Error) -> Error {
        match error {
            Error::Service(error) => error.in_list(|event| self.place(event)).into(),
            Error::Estimate(EstimateError::UncertainAttitude { path, reason }) => {
                let event = path.strip_prefix("events[").and_then(|rest| rest.split_once(']'));
                let place = event.and_then(|(i, rest)| Some((self.place(i.parse().ok()?)?, rest)));
                let path = place.map_or_else(|| path.clone(), |((list, i), rest)| format!("{list}[{i}]{rest}"));
                EstimateError::UncertainAttitude { path, reason }.into()
            }
            other => other,
        }
    }

    /// The list that an event of the joined service came from, and its index there; none for the pours and the readings
    /// that planning puts in.
    fn place(&self, event: usize) -> Option<(&'static str, usize)> {
        let put_in = match self.aim {
            Aim::Refill => 2,
            Aim::Withdraw => 0,
        };
        match event.checked_sub(self.done.len() + put_in) {
            None => (event < self.done.len()).then_some(("done", event)),
            Some(event) => (event < self.then.len()).then_some(("then", event)),
        }
    }

    /// The service with a first pour of `steps` jug steps, up to the last reading.
    pub(super) fn events(&self, steps: u32) -> Vec<Event> {
        let mut events = self.done.to_vec();
        if self.aim == Aim::Refill {
            events.push(self.pour(self.volume(steps)));
            events.push(Event::from(Action::read()).labelled(BEFORE_START));
        }
        events.extend_from_slice(self.then);
        if !self.then.iter().any(is_read) {
            events.push(Event::from(Action::read()).labelled(AFTER));
        }
        events
    }

    /// Refuses a plug that is still open when oil is poured, or when the stick is read to be corrected by.
    pub(super) fn refuse_open_plug(&self) -> Result<(), EstimateError> {
        let before = match self.aim {
            Aim::Refill => self.done.to_vec(),
            Aim::Withdraw => [self.done, self.then].concat(),
        };
        // That each closes one that is open is for the program to see.
        let opened = before.iter().fold(0_i64, |open, event| match &event.action {
            Action::OpenPlug { .. } => open + 1,
            Action::ClosePlug { plug: Some(_) } => open - 1,
            Action::ClosePlug { plug: None } => 0,
            _ => open,
        });
        if opened > 0 { Err(EstimateError::PlugOpenInPlan) } else { Ok(()) }
    }

    /// Whether the filter that is fitted at the pour still has to fill.
    pub(super) fn fills_filter(&self) -> bool {
        let is_fitted = |e: &Event| matches!(e.action, Action::FitFilter { .. } | Action::ChangeFilter { .. });
        self.done.iter().any(is_fitted) || self.starts_unfilled()
    }

    /// Whether the start that is given has less than nine tenths in the filter.
    fn starts_unfilled(&self) -> bool {
        let (layout, nominals) = (self.circuit.layout(), self.circuit.nominals());
        let held = self.options.predict.start.and_then(|start| start.place("filter")).map(Contents::total);
        let full = layout.filter.map(|f| nominals[f.net_volume] * nominals[layout.density_15c]);
        held.zip(full).is_some_and(|(held, full)| held < 0.9 * full)
    }

    /// How many of [`Service::events`] follow the first pour and the reading right after it.
    pub(super) fn after_pour(&self) -> usize {
        self.then.len() + usize::from(!self.then.iter().any(is_read))
    }

    /// Probes of a correction: a little oil poured, a little withdrawn.
    pub(super) fn probes(&self) -> [Event; 2] {
        let withdraw = Action::Withdraw { amount: amount(PROBE), measured_with: self.instrument() };
        [self.pour(PROBE), withdraw.into()]
    }

    fn pour(&self, volume: f64) -> Event {
        Event::from(Action::Pour {
            amount: amount(volume),
            temperature: self.options.temperature.clone(),
            measured_with: self.instrument(),
        })
    }

    fn instrument(&self) -> Option<String> {
        let jug = || self.circuit.spec().instruments.contains_key("jug").then(|| "jug".to_string());
        self.options.measured_with.clone().or_else(jug)
    }

    pub(super) fn volume(&self, steps: u32) -> f64 {
        in_steps(self.options.jug_step, f64::from(steps))
    }
}

/// So many jug steps, rounded to a microlitre, in litres, so that 69 steps of 0.1 L are what a person calls 6.9 L (m3).
pub(super) fn in_steps(jug_step: f64, steps: f64) -> f64 {
    (steps * jug_step * 1e9).round() / 1e6 / 1e3
}

fn amount(volume: f64) -> Amount {
    Amount::Volume(Value::constant(volume))
}
