//! Hypotheses of one's own: other events, or edits of the events as told.

use serde::{Deserialize, Serialize};

use super::ExplainError;
use super::draft::{At, Draft, How};
use super::record::Complaint;
use crate::Error;
use crate::circuit::read_formatted;
use crate::service::{Action, Amount, Event};
use crate::units::{DimensionId, Ratio, Value, parse_si};

/// A hypothesis of one's own.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hypothesis {
    /// What it is called.
    pub name: String,
    /// Weight before anything was read, on the scale of the complaint's table, which sums to 100.
    pub weight: f64,
    /// What it means, in a sentence.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// Complaints it may explain; every one where empty.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub complaints: Vec<Complaint>,
    /// The events that would have happened, in place of those told; fields may be unknown sizes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub events: Option<Vec<Event>>,
    /// Or what to change in those told, in order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub edits: Vec<Edit>,
}

/// An event of the record: by its index, its label, or its kind (`pour` is the largest, every other kind the first).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Which {
    /// By index in the record.
    Index(usize),
    /// By label or kind.
    Name(String),
}

/// One change of the events as told or of an input.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
#[non_exhaustive]
pub enum Edit {
    /// Puts an event in after another, or first of all.
    Add {
        /// What happens.
        event: Event,
        /// After which; first where not given.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        after: Option<Which>,
    },
    /// Leaves an event out.
    Remove {
        /// Which.
        event: Which,
    },
    /// Puts another event in its place.
    Replace {
        /// Which.
        event: Which,
        /// What happens instead.
        with: Event,
    },
    /// Multiplies the amount of a pour or a withdrawal.
    Scale {
        /// Which.
        event: Which,
        /// By what: exact, or with its prior.
        by: Value<Ratio>,
    },
    /// Changes an input of the circuit.
    Input {
        /// Its path, such as `dipstick.seat_offset`.
        path: String,
        /// A prior that takes its place.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        set: Option<String>,
        /// A prior of what is added.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        add: Option<String>,
    },
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct HypothesesFile {
    #[allow(dead_code)] // read beforehand
    format: u32,
    hypotheses: Vec<Hypothesis>,
}

impl Hypothesis {
    /// Reads hypotheses from TOML or JSON: a document with `[[hypotheses]]`.
    ///
    /// ```
    /// use fillmark::infer::explain::Hypothesis;
    /// let own = Hypothesis::loads(r#"
    /// format = 1
    ///
    /// [[hypotheses]]
    /// name = "a second jug was added"
    /// weight = 5
    /// edits = [
    ///     { add = { after = "pour", event = { pour = { volume = { unknown = { name = "jug", prior = "0.8 .. 1.1 L" } } } } } },
    /// ]
    /// "#)?;
    /// assert_eq!(own[0].name, "a second jug was added");
    /// # Ok::<(), fillmark::Error>(())
    /// ```
    pub fn loads(text: &str) -> Result<Vec<Self>, Error> {
        let file: HypothesesFile = read_formatted(text)?;
        file.hypotheses.iter().try_for_each(Self::check)?;
        Ok(file.hypotheses)
    }

    /// A hypothesis that other events happened.
    pub fn of_events(name: &str, weight: f64, events: Vec<Event>) -> Self {
        Self {
            name: name.into(),
            weight,
            note: String::new(),
            complaints: Vec::new(),
            events: Some(events),
            edits: Vec::new(),
        }
    }

    fn bad(&self, problem: impl Into<String>) -> ExplainError {
        ExplainError::BadHypothesis { hypothesis: self.name.clone(), problem: problem.into() }
    }

    /// Refuses one without a name, a weight or anything that differs.
    pub fn check(&self) -> Result<(), ExplainError> {
        if self.name.trim().is_empty() {
            return Err(self.bad("it has no name"));
        }
        if !self.weight.is_finite() || self.weight < 0.0 {
            return Err(ExplainError::BadPrior { cause: self.name.clone(), value: self.weight });
        }
        if self.events.is_some() != self.edits.is_empty() {
            return Err(self.bad("exactly one of `events` and `edits` is wanted"));
        }
        Ok(())
    }

    /// Applies it to the events as told.
    pub(crate) fn apply(&self, draft: &mut Draft) -> Result<(), ExplainError> {
        if let Some(events) = &self.events {
            draft.events.clear();
            for (i, event) in events.iter().enumerate() {
                draft.insert(i, event.clone());
            }
            return Ok(());
        }
        self.edits.iter().try_for_each(|edit| self.edit(edit, draft))
    }

    fn edit(&self, edit: &Edit, draft: &mut Draft) -> Result<(), ExplainError> {
        match edit {
            Edit::Add { event, after } => {
                let place = after.as_ref().map(|w| self.place(w, draft)).transpose()?.map_or(0, |p| p + 1);
                draft.insert(place, event.clone());
            }
            Edit::Remove { event } => {
                let place = self.place(event, draft)?;
                draft.events.remove(place);
            }
            Edit::Replace { event, with } => {
                let place = self.place(event, draft)?;
                draft.events[place].1 = with.clone();
            }
            Edit::Scale { event, by } => {
                let place = self.place(event, draft)?;
                let (mark, told) = &draft.events[place];
                let field = match &told.action {
                    Action::Pour { amount: Amount::Mass(_), .. } | Action::Withdraw { amount: Amount::Mass(_), .. } => {
                        "mass"
                    }
                    Action::Pour { .. } | Action::Withdraw { .. } => "volume",
                    other => return Err(self.bad(format!("scale wants a pour or a withdrawal, not {}", other.name()))),
                };
                let (mark, name) = (*mark, by.unknown_name().unwrap_or("factor").to_owned());
                let unknown = draft.unknown(&name, Ok(by.distribution().clone()), "", 1.0).map_err(|e| self.bad(e))?;
                draft.edit(At::Event(mark, field), How::Scale, unknown, 1.0);
            }
            Edit::Input { path, set, add } => {
                let (how, text) = match (set, add) {
                    (Some(text), None) => (How::Set, text),
                    (None, Some(text)) => (How::Add, text),
                    _ => return Err(self.bad(format!("input `{path}` wants exactly one of `set` and `add`"))),
                };
                let scalar = draft.circuit.scalars().iter().find(|s| s.path == *path);
                let dimension =
                    scalar.map(|s| s.dimension).ok_or_else(|| self.bad(format!("there is no input `{path}`")))?;
                let (unit, per_si) = shown_in(dimension);
                let unknown =
                    draft.unknown(path, parse_si(path, text, dimension), unit, per_si).map_err(|e| self.bad(e))?;
                draft.edit(At::Circuit(path.clone()), how, unknown, 1.0);
            }
        }
        Ok(())
    }

    fn place(&self, which: &Which, draft: &Draft) -> Result<usize, ExplainError> {
        let found = match which {
            Which::Index(index) => draft.events.iter().position(|(mark, _)| mark == index),
            Which::Name(name) => {
                let labelled = draft.events.iter().position(|(_, e)| e.label.as_deref() == Some(name));
                let kind = || draft.events.iter().position(|(_, e)| snake(e.action.name()) == *name);
                let pour = || (name == "pour").then(|| draft.main_pour().map(|(place, ..)| place)).flatten();
                labelled.or_else(pour).or_else(kind)
            }
        };
        found.ok_or_else(|| self.bad(format!("the record has no event {}", said(which))))
    }
}

fn said(which: &Which) -> String {
    match which {
        Which::Index(i) => i.to_string(),
        Which::Name(name) => format!("`{name}`"),
    }
}

/// `ChangeFilter` becomes `change_filter`.
fn snake(name: &str) -> String {
    let mut out = String::new();
    for (i, c) in name.chars().enumerate() {
        if c.is_ascii_uppercase() && i > 0 {
            out.push('_');
        }
        out.push(c.to_ascii_lowercase());
    }
    out
}

fn shown_in(dimension: DimensionId) -> (&'static str, f64) {
    match dimension {
        DimensionId::Volume => ("L", 1e3),
        DimensionId::Length => ("mm", 1e3),
        DimensionId::Time => ("min", 1.0 / 60.0),
        DimensionId::Temperature => ("degC", 1.0),
        DimensionId::Pressure => ("Pa", 1.0),
        DimensionId::Density => ("kg/m3", 1.0),
        DimensionId::KinematicViscosity => ("mm2/s", 1e6),
        _ => ("", 1.0),
    }
}
