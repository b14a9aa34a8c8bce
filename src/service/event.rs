//! Events of a service: plain data, as a person would say them.

use serde::{Deserialize, Serialize};

use crate::circuit::spec::AttitudeSpec;
use crate::units::{Mass, Temperature, Time, Value, Volume};

/// One step of a service, with an optional label and an attitude that holds for this event only.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Event {
    /// What is done.
    #[serde(rename = "do")]
    pub action: Action,
    /// Name under which its row or reading is found again.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub label: Option<String>,
    /// How the vehicle stands for this event only.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub attitude: Option<AttitudeSpec>,
}

impl From<Action> for Event {
    fn from(action: Action) -> Self {
        Self { action, label: None, attitude: None }
    }
}

impl Event {
    /// The same event with a label.
    #[must_use]
    pub fn labelled(self, label: &str) -> Self {
        Self { label: Some(label.into()), ..self }
    }

    /// The same event at an attitude of its own.
    #[must_use]
    pub fn at(self, attitude: AttitudeSpec) -> Self {
        Self { attitude: Some(attitude), ..self }
    }
}

/// An amount of liquid, by volume at its own temperature or by mass.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Amount {
    /// By volume.
    Volume(Value<Volume>),
    /// By mass.
    Mass(Value<Mass>),
}

/// What an event does. Temperatures not stated are the reference temperature of the circuit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
#[non_exhaustive]
pub enum Action {
    /// Takes a plug out: what stands above its heel leaves now and after every later event.
    OpenPlug {
        /// Name of the plug; needed only where the circuit has several.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        plug: Option<String>,
        /// Temperature of everything in the circuit from now on.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        temperature: Option<Value<Temperature>>,
    },
    /// Puts the plug back.
    ClosePlug {
        /// Name of the plug, if it is to be checked against the one that is open.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        plug: Option<String>,
    },
    /// Takes the filter off, with what it holds.
    RemoveFilter,
    /// Fits a new filter.
    FitFilter {
        /// New oil put into it beforehand.
        primed: Value<Volume>,
        /// Temperature of that oil.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        temperature: Option<Value<Temperature>>,
    },
    /// Opens the plug, waits, closes it.
    Drain {
        /// Name of the plug; needed only where the circuit has several.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        plug: Option<String>,
        /// How long it is left open.
        duration: Value<Time>,
        /// Temperature of everything in the circuit from now on.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        temperature: Option<Value<Temperature>>,
    },
    /// Takes the filter off and fits a new one.
    ChangeFilter {
        /// New oil put into the new one beforehand.
        primed: Value<Volume>,
        /// Temperature of that oil.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        temperature: Option<Value<Temperature>>,
    },
    /// Pours new oil into the sump.
    Pour {
        /// How much, as the instrument says.
        amount: Amount,
        /// Temperature of the oil.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        temperature: Option<Value<Temperature>>,
        /// Instrument it is measured with; pours that share one share its error.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        measured_with: Option<String>,
    },
    /// Takes liquid out of the sump from above.
    Withdraw {
        /// How much, as the instrument says.
        amount: Amount,
        /// Instrument it is measured with.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        measured_with: Option<String>,
    },
    /// Runs the engine, then stops it.
    Run {
        /// How long.
        duration: Value<Time>,
        /// Temperature of everything in the circuit at the end.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        temperature: Option<Value<Temperature>>,
    },
    /// Waits with the engine stopped.
    Rest {
        /// How long.
        duration: Value<Time>,
    },
    /// Stands the vehicle so from now on.
    Tilt {
        /// The new attitude.
        attitude: AttitudeSpec,
    },
    /// Reads the stick.
    Read,
}

impl Action {
    /// Name of the event as the user writes it.
    pub fn name(&self) -> &'static str {
        match self {
            Self::OpenPlug { .. } => "OpenPlug",
            Self::ClosePlug { .. } => "ClosePlug",
            Self::RemoveFilter => "RemoveFilter",
            Self::FitFilter { .. } => "FitFilter",
            Self::Drain { .. } => "Drain",
            Self::ChangeFilter { .. } => "ChangeFilter",
            Self::Pour { .. } => "Pour",
            Self::Withdraw { .. } => "Withdraw",
            Self::Run { .. } => "Run",
            Self::Rest { .. } => "Rest",
            Self::Tilt { .. } => "Tilt",
            Self::Read => "Read",
        }
    }
}
