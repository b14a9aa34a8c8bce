//! A hypothesis in the making: the circuit and the events as told, edited, with what stays unknown.

use crate::circuit::Circuit;
use crate::circuit::spec::AttitudeSpec;
use crate::service::{Action, Amount, Event};
use crate::units::Distribution;

use super::record::{Told, is_read};

/// A size that a hypothesis leaves open.
#[derive(Debug, Clone, PartialEq)]
pub struct Unknown {
    /// What it is called.
    pub name: String,
    /// What is known of it beforehand (SI; an angle in degrees).
    pub prior: Distribution,
    /// Unit in which it is shown.
    pub unit: &'static str,
    /// That unit in one of the stored unit.
    pub per_si: f64,
}

/// How an unknown acts on an input.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum How {
    /// Takes its place.
    Set,
    /// Is added.
    Add,
    /// Multiplies it.
    Scale,
}

/// Which input.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum At {
    /// The circuit's, by path.
    Circuit(String),
    /// A field of the event with this mark.
    Event(usize, &'static str),
}

/// An input changed by `unknown × factor`.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct InputEdit {
    pub at: At,
    pub how: How,
    pub unknown: usize,
    pub factor: f64,
}

/// A hypothesis in the making. Events carry marks, so that what refers to one survives what is put in before it.
#[derive(Debug, Clone)]
pub(crate) struct Draft {
    pub circuit: Circuit,
    pub events: Vec<(usize, Event)>,
    pub labels: Vec<String>,
    pub unknowns: Vec<Unknown>,
    pub edits: Vec<InputEdit>,
    /// Unknown pitch and roll of the ground under readings whose attitude is not stated.
    pub slope: Option<[usize; 2]>,
    /// Unknown shift of every reading: none of these.
    pub shift: Option<usize>,
    marks: usize,
}

/// What a builder cannot do, in words.
pub(crate) type Unfit = String;

impl Draft {
    pub(crate) fn new(circuit: &Circuit, told: &Told) -> Self {
        Self {
            circuit: circuit.clone(),
            marks: 1 + told.events.iter().map(|(mark, _)| *mark).max().unwrap_or(0),
            events: told.events.clone(),
            labels: told.labels.clone(),
            unknowns: Vec::new(),
            edits: Vec::new(),
            slope: None,
            shift: None,
        }
    }

    /// Adds an unknown; `per_si` of its unit.
    pub(crate) fn unknown(
        &mut self,
        name: &str,
        prior: Result<Distribution, crate::units::QuantityError>,
        unit: &'static str,
        per_si: f64,
    ) -> Result<usize, Unfit> {
        let prior = prior.map_err(|e| e.to_string())?;
        self.unknowns.push(Unknown { name: name.into(), prior, unit, per_si });
        Ok(self.unknowns.len() - 1)
    }

    pub(crate) fn edit(&mut self, at: At, how: How, unknown: usize, factor: f64) {
        self.edits.push(InputEdit { at, how, unknown, factor });
    }

    /// Puts an event in before the one at this place; its mark.
    pub(crate) fn insert(&mut self, place: usize, event: impl Into<Event>) -> usize {
        let mark = self.marks;
        self.marks += 1;
        self.events.insert(place.min(self.events.len()), (mark, event.into()));
        mark
    }

    pub(crate) fn find(&self, of: impl Fn(&Action) -> bool) -> Option<usize> {
        self.events.iter().position(|(_, e)| of(&e.action))
    }

    pub(crate) fn remove(&mut self, of: impl Fn(&Action) -> bool) -> usize {
        let before = self.events.len();
        self.events.retain(|(_, e)| !of(&e.action));
        before - self.events.len()
    }

    /// Place of the first event that reads what the record has seen.
    pub(crate) fn first_reading(&self) -> Option<usize> {
        let seen = |e: &Event| is_read(e) && e.label.as_ref().is_some_and(|l| self.labels.contains(l));
        self.events.iter().position(|(_, e)| seen(e))
    }

    /// Place of the last of them.
    pub(crate) fn last_reading(&self) -> Option<usize> {
        let seen = |e: &Event| is_read(e) && e.label.as_ref().is_some_and(|l| self.labels.contains(l));
        self.events.iter().rposition(|(_, e)| seen(e))
    }

    /// Place, mark and field of the largest pour.
    pub(crate) fn main_pour(&self) -> Option<(usize, usize, &'static str)> {
        let size = |e: &Event| match &e.action {
            Action::Pour { amount: Amount::Volume(v), .. } => Some((v.nominal(), "volume")),
            Action::Pour { amount: Amount::Mass(m), .. } => Some((m.nominal() * 1.15e-3, "mass")),
            _ => None,
        };
        let pours = self.events.iter().enumerate().filter_map(|(i, (mark, e))| size(e).map(|s| (i, *mark, s)));
        pours.max_by(|a, b| a.2.0.total_cmp(&b.2.0).then(b.0.cmp(&a.0))).map(|(i, mark, (_, field))| (i, mark, field))
    }

    /// Nominal seconds the engine runs, and runs or rests, from this place to the last reading.
    pub(crate) fn seconds_from(&self, place: usize) -> [f64; 2] {
        let end = self.last_reading().unwrap_or(self.events.len());
        let mut sums = [0.0; 2];
        for (_, event) in self.events.iter().take(end).skip(place) {
            match &event.action {
                Action::Run { duration, .. } => sums.iter_mut().for_each(|s| *s += duration.nominal()),
                Action::Rest { duration } | Action::Drain { duration, .. } => sums[1] += duration.nominal(),
                _ => {}
            }
        }
        sums
    }

    /// An attitude that is stated somewhere with an uncertainty.
    pub(crate) fn uncertain_attitude(&self) -> Option<usize> {
        let stated = |e: &Event| match &e.action {
            Action::Tilt { attitude } => Some(attitude.clone()),
            _ => e.attitude.clone(),
        };
        let exact = |a: &AttitudeSpec| a.nose_up.is_exact() && a.right_down.is_exact();
        self.events.iter().position(|(_, e)| stated(e).is_some_and(|a| !exact(&a)))
    }
}
