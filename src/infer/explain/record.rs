//! A record: what is known of an incident.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::ExplainError;
use super::sign::Sign;
use crate::Error;
use crate::circuit::spec::{AttitudeSpec, FORMAT};
use crate::circuit::{CircuitError, read_formatted};
use crate::service::{Action, Event};
use crate::units::{Length, Ratio, Value, Volume};

/// What is complained of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Complaint {
    /// It reads over after a service.
    ReadsOver,
    /// It reads low after a service.
    ReadsUnder,
    /// The level rises between services.
    Rises,
    /// The level falls between services.
    Falls,
    /// Two dips say different things.
    Differs,
}

impl Complaint {
    /// Every complaint.
    pub const ALL: [Self; 5] = [Self::ReadsOver, Self::ReadsUnder, Self::Rises, Self::Falls, Self::Differs];

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::ReadsOver => "reads over after a service",
            Self::ReadsUnder => "reads low after a service",
            Self::Rises => "rises between services",
            Self::Falls => "falls between services",
            Self::Differs => "differs between dips",
        }
    }

    /// Its key in a file.
    pub fn key(self) -> &'static str {
        match self {
            Self::ReadsOver => "reads_over",
            Self::ReadsUnder => "reads_under",
            Self::Rises => "rises",
            Self::Falls => "falls",
            Self::Differs => "differs",
        }
    }
}

/// How a reading is known; each adds its standard uncertainty to the stick's own scatter (judgement).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Source {
    /// Read by who writes the record.
    #[default]
    Seen,
    /// Taken from a photograph.
    Photo,
    /// Told by somebody.
    Told,
    /// Remembered.
    Remembered,
}

impl Source {
    /// Its standard uncertainty along the blade (m), beside the stick's scatter.
    pub fn standard_uncertainty(self) -> f64 {
        match self {
            Self::Seen => 0.0,
            Self::Photo => 1e-3,
            Self::Told => 2e-3,
            Self::Remembered => 4e-3,
        }
    }
}

/// What a reading says where it has no number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Says {
    /// The stick came out dry.
    Dry,
    /// Below MIN.
    Under,
    /// Between the marks.
    Between,
    /// Above MAX.
    Over,
    /// Above the blade.
    AboveBlade,
}

/// A reading as it is known: of a Read event of the record, or taken after an event; in mm, as a fraction, in litres, or in
/// words.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct SeenReading {
    /// Label of the Read event it belongs to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub of: Option<String>,
    /// Index of the event after which it was taken; after the last where neither this nor `of` is given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<usize>,
    /// How the vehicle stood, where that is known and the reading is not that of a Read event.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub attitude: Option<AttitudeSpec>,
    /// Distance from the tip.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mm: Option<Value<Length>>,
    /// 0 at MIN, 1 at MAX.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fraction: Option<Value<Ratio>>,
    /// Volume from MAX.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from_max: Option<Value<Volume>>,
    /// In words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub says: Option<Says>,
    /// How it is known.
    pub source: Source,
    /// Standard uncertainty along the blade in place of the source's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub noise: Option<Value<Length>>,
}

/// Amounts that were measured beside the reading.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Measured {
    /// All that came out, by the pan.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drained: Option<Value<Volume>>,
    /// All that was poured, by the jug's tally or the empty bottles.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub poured: Option<Value<Volume>>,
}

/// What is known of an incident: the events as told, what was seen, what is complained of.
///
/// Doubts about an event are the uncertain values of its fields; doubts about whether it happened at all are weights of the
/// causes under `priors`.
///
/// ```
/// use fillmark::infer::explain::{Complaint, Record};
/// let record = Record::loads(r#"
/// format = 1
/// name = "Tuesday"
/// circuit = "shuttle-bus"
/// complaint = "reads_over"
/// events = ["drain 10 min at 60 degC", "change filter", "pour 7.4 L with jug", "run 1 min", "rest 20 min"]
///
/// [[readings]]
/// mm = "122 mm"
/// source = "told"
///
/// [signs]
/// old_colour = false
/// "#)?;
/// assert_eq!(record.complaint, Complaint::ReadsOver);
/// assert_eq!(Record::loads(&record.to_json())?, record);
/// # Ok::<(), fillmark::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    /// Short name; may be empty.
    pub name: String,
    /// Remark in plain words.
    pub note: Option<String>,
    /// The circuit it is about: a demo's name, or a file beside that of the record. Finding it is left to the caller.
    pub circuit: Option<String>,
    /// What is complained of.
    pub complaint: Complaint,
    /// What was done, as told.
    pub events: Vec<Event>,
    /// What the stick said.
    pub readings: Vec<SeenReading>,
    /// What else was measured.
    pub measured: Measured,
    /// Signs that were looked for, and whether they were there.
    pub signs: BTreeMap<Sign, bool>,
    /// Whether the engine keeps its oil in a separate tank, in which the stick stands.
    pub tanked: bool,
    /// Weights of causes in place of those of the complaint's table.
    pub priors: BTreeMap<String, f64>,
}

/// A record as its file says it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
struct RecordFile {
    format: u32,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    name: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    note: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    circuit: Option<String>,
    complaint: Complaint,
    #[serde(default, skip_serializing_if = "is_false")]
    tanked: bool,
    events: Vec<Event>,
    #[serde(default)]
    readings: Vec<SeenReading>,
    #[serde(default, skip_serializing_if = "is_nothing")]
    measured: Measured,
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    signs: BTreeMap<Sign, bool>,
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    priors: BTreeMap<String, f64>,
}

/// The schema of the file of a record.
#[cfg(test)]
pub(crate) fn schema() -> schemars::Schema {
    schemars::schema_for!(RecordFile)
}

#[allow(clippy::trivially_copy_pass_by_ref)] // as serde calls it
fn is_false(b: &bool) -> bool {
    !b
}

fn is_nothing(measured: &Measured) -> bool {
    *measured == Measured::default()
}

/// The events of a record with a Read event for every reading, each under a label of its own.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Told {
    /// Each with its mark: its index in the record, or a number beyond.
    pub events: Vec<(usize, Event)>,
    /// Label of each reading's Read event, in the order of the record's readings.
    pub labels: Vec<String>,
}

impl Record {
    /// Reads a record from TOML or JSON and checks it.
    pub fn loads(text: &str) -> Result<Self, Error> {
        let file: RecordFile = read_formatted(text)?;
        let RecordFile { name, note, circuit, complaint, events, readings, measured, signs, tanked, priors, .. } = file;
        let record = Self { name, note, circuit, complaint, events, readings, measured, signs, tanked, priors };
        record.check()?;
        Ok(record)
    }

    fn file(&self) -> RecordFile {
        let Self { name, note, circuit, complaint, events, readings, measured, signs, tanked, priors } = self.clone();
        RecordFile { format: FORMAT, name, note, circuit, complaint, tanked, events, readings, measured, signs, priors }
    }

    /// The record as JSON, values and units as written.
    pub fn to_json(&self) -> String {
        serde_json::to_string(&self.file()).unwrap_or_default()
    }

    /// The record as TOML, values and units as written.
    pub fn to_toml(&self) -> Result<String, CircuitError> {
        toml::to_string(&self.file()).map_err(|e| CircuitError::BadValue {
            path: String::new(),
            line: 0,
            message: e.to_string(),
        })
    }

    /// Refuses what contradicts itself or says nothing.
    pub fn check(&self) -> Result<(), ExplainError> {
        if self.readings.is_empty() {
            return Err(ExplainError::NothingSeen);
        }
        for (i, reading) in self.readings.iter().enumerate() {
            self.check_reading(i, reading)?;
        }
        for (field, amount) in
            [("measured.drained", &self.measured.drained), ("measured.poured", &self.measured.poured)]
        {
            if let Some(amount) = amount.as_ref().filter(|a| a.nominal() < 0.0) {
                let (field, value) = (field.into(), amount.written().into());
                return Err(ExplainError::BadObservation { field, value, problem: "an amount is 0 or more".into() });
            }
        }
        let poured = self.events.iter().any(|e| matches!(e.action, Action::Pour { .. }));
        if self.measured.poured.as_ref().is_some_and(|p| p.nominal() > 0.0) && !poured {
            let problem = "measured.poured is given, but no event pours".into();
            return Err(ExplainError::Contradiction { problem });
        }
        self.check_priors()
    }

    fn check_priors(&self) -> Result<(), ExplainError> {
        match self.priors.iter().find(|(_, w)| !w.is_finite() || **w < 0.0) {
            Some((cause, value)) => Err(ExplainError::BadPrior { cause: cause.clone(), value: *value }),
            None => Ok(()),
        }
    }

    fn check_reading(&self, i: usize, reading: &SeenReading) -> Result<(), ExplainError> {
        let bad = |problem: String| Err(ExplainError::BadReading { reading: i, problem });
        let SeenReading { of, after, attitude, mm, fraction, from_max, says, noise, .. } = reading;
        let said = [mm.is_some(), fraction.is_some(), from_max.is_some(), says.is_some()];
        let count = said.iter().filter(|s| **s).count();
        if count != 1 {
            return bad(format!("states {count} of `mm`, `fraction`, `from_max` and `says`; exactly one is wanted"));
        }
        if mm.as_ref().is_some_and(|mm| mm.nominal() < 0.0) {
            return bad("lies below the tip of the stick; say says = \"dry\"".into());
        }
        if noise.as_ref().is_some_and(|n| n.nominal() < 0.0) {
            return bad("has a noise below 0".into());
        }
        match (of, after) {
            (Some(_), Some(_)) => bad("states both `of` and `after`; one is wanted".into()),
            (None, Some(after)) if *after >= self.events.len() => bad(format!(
                "is taken after event {after}; the events are 0 to {}",
                self.events.len().saturating_sub(1)
            )),
            (Some(label), None) => {
                if attitude.is_some() {
                    return bad("states an attitude; that of a Read event stands in the event".into());
                }
                let reads = self.events.iter().filter(|e| is_read(e) && e.label.as_deref() == Some(label)).count();
                if reads != 1 {
                    return bad(format!("is of `{label}`, but {reads} Read events are labelled so; one is wanted"));
                }
                let twice = self.readings[..i].iter().any(|r| r.of.as_deref() == Some(label));
                if twice {
                    return bad(format!("is of `{label}`, which has a reading already"));
                }
                Ok(())
            }
            _ => Ok(()),
        }
    }

    /// The events with a labelled Read event for every reading.
    #[cfg(feature = "python")]
    pub(crate) fn events_as_read(&self) -> Vec<Event> {
        self.told().events.into_iter().map(|(_, e)| e).collect()
    }

    /// The events with a Read event for every reading.
    pub(crate) fn told(&self) -> Told {
        let own = self.events.len();
        // The event, its mark, and the event of the record that it comes after.
        let mut events: Vec<(usize, usize, Event)> =
            self.events.iter().cloned().enumerate().map(|(i, e)| (i, i, e)).collect();
        let mut labels = vec![String::new(); self.readings.len()];
        for (i, reading) in self.readings.iter().enumerate() {
            if let Some(of) = &reading.of {
                labels[i].clone_from(of);
                continue;
            }
            labels[i] = format!("reading {}", i + 1);
            let event =
                Event { action: Action::read(), label: Some(labels[i].clone()), attitude: reading.attitude.clone() };
            let after = reading.after.unwrap_or(own.saturating_sub(1));
            let at = events.iter().rposition(|(_, of, _)| *of <= after).map_or(0, |at| at + 1);
            events.insert(at, (own + i, after, event));
        }
        Told { events: events.into_iter().map(|(mark, _, e)| (mark, e)).collect(), labels }
    }
}

pub(crate) fn is_read(event: &Event) -> bool {
    matches!(event.action, Action::Read(_))
}
