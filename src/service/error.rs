//! Everything that can be wrong with a service.

use serde::Serialize;

use crate::error::{Coded, code_of, fields_of};
use crate::numeric::text::as_given;

/// What is wrong with a service: orders that cannot be carried out. `event` counts from 0.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
#[non_exhaustive]
pub enum ServiceError {
    /// An event that cannot happen in the state the service has reached.
    #[error("events[{event}] {action}: {reason}")]
    Impossible {
        /// Index of the event.
        event: usize,
        /// Name of the event.
        action: String,
        /// Why it cannot be done and what would have to come first.
        reason: String,
    },
    /// A name that the circuit does not know.
    #[error("events[{event}]: no {kind} `{name}`; the circuit has{}", listed(accepted))]
    UnknownName {
        /// Index of the event.
        event: usize,
        /// `plug`, `instrument` or `stick`.
        kind: String,
        /// The name given.
        name: String,
        /// The names that exist.
        accepted: String,
    },
    /// The circuit has several plugs and the event does not say which.
    #[error(
        "events[{event}]: the circuit has several plugs, say which (`through NAME` in a line of text, `plug` else): {accepted}"
    )]
    WhichPlug {
        /// Index of the event.
        event: usize,
        /// The names that exist.
        accepted: String,
    },
    /// A pour that does not fit into the sump.
    #[error("events[{event}] Pour: {poured_l:.3} L is {excess_l:.3} L more than the ullage of {ullage_l:.3} L")]
    PourBeyondUllage {
        /// Index of the event.
        event: usize,
        /// Volume that enters, in L.
        poured_l: f64,
        /// Room left above the liquid, in L.
        ullage_l: f64,
        /// What does not fit, in L.
        excess_l: f64,
    },
    /// More is withdrawn than the sump holds.
    #[error("events[{event}] Withdraw: {asked_l:.3} L is more than the {held_l:.3} L in the sump")]
    WithdrawBeyondHeld {
        /// Index of the event.
        event: usize,
        /// Volume asked for, in L.
        asked_l: f64,
        /// Volume held, in L.
        held_l: f64,
    },
    /// A filter is primed with more than it holds.
    #[error("events[{event}]: the filter is primed with {primed_l:.3} L, but filter.net_volume is {net_volume_l:.3} L")]
    PrimedBeyondFilter {
        /// Index of the event.
        event: usize,
        /// Volume primed, in L.
        primed_l: f64,
        /// What the filter holds, in L.
        net_volume_l: f64,
    },
    /// An event quantity outside its accepted range.
    #[error(
        "events[{event}].{field} = {} {unit} is outside {} to {} {unit}",
        as_given(*value), as_given(*low), as_given(*high)
    )]
    OutOfRange {
        /// Index of the event.
        event: usize,
        /// Name of the field.
        field: String,
        /// The value, in `unit`.
        value: f64,
        /// Lowest accepted value.
        low: f64,
        /// Highest accepted value.
        high: f64,
        /// Unit of the three numbers.
        unit: String,
    },
    /// Liquid that lies apart in the sump cannot be followed.
    #[error("sump: {message}")]
    Pools {
        /// What the geometry says.
        message: String,
    },
    /// A state that cannot be the start of a service.
    #[error("start: {message}")]
    WrongStart {
        /// What is wrong with it.
        message: String,
    },
    /// A row that the timeline does not have.
    #[error("no row {row}; the timeline has rows 0 to {}", rows.saturating_sub(1))]
    NoSuchRow {
        /// The row asked for; below 0 where it was counted from the end.
        row: i64,
        /// Number of rows.
        rows: usize,
    },
    /// A word of a service's text that is not understood where it stands.
    #[error("line {line}, column {column}: {}; accepted here: {accepted}", unknown(word, nearest))]
    UnknownWord {
        /// Line, counted from 1.
        line: usize,
        /// Column of the word, counted from 1.
        column: usize,
        /// The word; empty at the end of the line.
        word: String,
        /// What it most resembles of the accepted; empty where nothing comes near.
        nearest: String,
        /// What may stand in its place.
        accepted: String,
    },
    /// A passage of a service's text that does not fit.
    #[error("line {line}, column {column}: {message}")]
    BadText {
        /// Line, counted from 1.
        line: usize,
        /// Column of the passage, counted from 1.
        column: usize,
        /// The passage.
        word: String,
        /// What is wrong and what is accepted.
        message: String,
    },
    /// An error in one of the lists of events that a longer service was joined from; its code is that of the error.
    #[error("{}", renamed(&error.to_string(), list, *event))]
    InList {
        /// Name of the list, such as `done`.
        list: String,
        /// Index of the event in that list.
        event: usize,
        /// The error, with the event's index in the joined service.
        error: Box<Self>,
    },
    /// A label asked for that no reading or row carries, or that several carry.
    #[error("{}", labelled(label, accepted))]
    UnknownLabel {
        /// The label asked for.
        label: String,
        /// The labels that exist.
        accepted: String,
    },
}

impl ServiceError {
    /// Whether a pour did not fit into the sump.
    pub fn is_beyond_ullage(&self) -> bool {
        matches!(self, Self::PourBeyondUllage { .. })
    }
}

fn listed(names: &str) -> String {
    if names.is_empty() { " none".into() } else { format!(": {names}") }
}

fn labelled(label: &str, accepted: &str) -> String {
    let same = accepted.split(", ").filter(|other| *other == label).count();
    match same {
        0 | 1 if accepted.is_empty() => format!("no reading is labelled `{label}`; no reading has a label"),
        0 | 1 => format!("no reading is labelled `{label}`; labels of readings: {accepted}"),
        _ => format!(
            "{same} readings are labelled `{label}`; to be asked for by its label, a reading needs one of its own"
        ),
    }
}

fn unknown(word: &str, nearest: &str) -> String {
    let word =
        if word.is_empty() { "something is missing at the end".into() } else { format!("unknown word `{word}`") };
    if nearest.is_empty() { word } else { format!("{word}; did you mean `{nearest}`?") }
}

/// The message with the first `events[..]` under another name.
fn renamed(message: &str, list: &str, event: usize) -> String {
    let named = message.split_once("events[").and_then(|(before, rest)| Some((before, rest.split_once(']')?.1)));
    named.map_or_else(|| message.into(), |(before, after)| format!("{before}{list}[{event}]{after}"))
}

impl ServiceError {
    /// Index of the event it is about.
    fn event(&self) -> Option<usize> {
        match self {
            Self::Impossible { event, .. }
            | Self::UnknownName { event, .. }
            | Self::WhichPlug { event, .. }
            | Self::PourBeyondUllage { event, .. }
            | Self::WithdrawBeyondHeld { event, .. }
            | Self::PrimedBeyondFilter { event, .. }
            | Self::OutOfRange { event, .. } => Some(*event),
            _ => None,
        }
    }

    /// The error with its event named by the list it came from; `place` finds the list and the index in it.
    pub(crate) fn in_list(self, place: impl Fn(usize) -> Option<(&'static str, usize)>) -> Self {
        match self.event().and_then(place) {
            Some((list, event)) => Self::InList { list: list.into(), event, error: Box::new(self) },
            None => self,
        }
    }
}

impl Coded for ServiceError {
    const DOMAIN: &'static str = "service";

    fn code(&self) -> String {
        match self {
            Self::InList { error, .. } => error.code(),
            other => code_of(other),
        }
    }

    fn fields(&self) -> serde_json::Map<String, serde_json::Value> {
        let Self::InList { list, event, error } = self else { return fields_of(self) };
        let mut fields = error.fields();
        fields.insert("list".into(), list.as_str().into());
        fields.insert("event".into(), (*event).into());
        fields
    }
}
