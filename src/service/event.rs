//! Events of a service: plain data, as a person would say them.
//!
//! How one is written in a file stands in [`super::table`], how as a line of text in [`super::phrase`].

use serde::{Deserialize, Serialize};

use super::table;
use crate::circuit::spec::AttitudeSpec;
use crate::units::{Length, Mass, Pressure, Temperature, Time, Value, Volume, VolumeFlow};

/// One step of a service, with an optional label and an attitude that holds for this event only.
///
/// It prints as a line of text, which [`Event::parse`] reads back.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// What is done.
    pub action: Action,
    /// Name under which its row or reading is found again.
    pub label: Option<String>,
    /// How the vehicle stands for this event only.
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
#[derive(Debug, Clone, PartialEq)]
pub enum Amount {
    /// By volume.
    Volume(Value<Volume>),
    /// By mass.
    Mass(Value<Mass>),
}

/// When a rate acts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum When {
    /// While the engine runs.
    Running,
    /// While it runs and while it rests.
    Always,
}

/// What gets into the oil from outside.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Foreign {
    /// Fuel: thins the oil, smells.
    Fuel,
    /// Coolant: makes it milky.
    Coolant,
    /// Water.
    Water,
}

/// Side of the blade that is read; the two differ on a stick in a bent tube.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Face {
    /// The side on which the liquid stands lower: the one to take.
    #[default]
    Lower,
    /// The side on which it stands higher.
    Higher,
}

/// How the stick is read where it departs from the circuit's stick in order.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct HowRead {
    /// Height of the smear left on the blade; counted whether it was wiped or not.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub smear: Option<Value<Length>>,
    /// How far the stick stands proud of its seat, on top of the circuit's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seat_offset: Option<Value<Length>>,
    /// Pressure in the crankcase less that in the tube, in place of the circuit's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tube_pressure: Option<Value<Pressure>>,
    /// Side of the blade that is read.
    #[serde(skip_serializing_if = "is_lower")]
    pub face: Face,
    /// Another stick of the circuit, by name.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stick: Option<String>,
}

#[allow(clippy::trivially_copy_pass_by_ref)] // as serde calls it
fn is_lower(face: &Face) -> bool {
    *face == Face::Lower
}

/// What an event does. Temperatures not stated are the reference temperature of the circuit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
#[non_exhaustive]
pub enum Action {
    /// Takes a plug out: what stands above its heel leaves, at once where the heel is stated, else over the rests that follow.
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
        /// Name of the plug; all that are open where none is named.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        plug: Option<String>,
    },
    /// Takes the filter off, with what it holds.
    #[serde(with = "table::empty")]
    #[cfg_attr(test, schemars(with = "table::Nothing"))]
    RemoveFilter,
    /// Fits a new filter.
    FitFilter {
        /// New oil put into it beforehand.
        #[serde(default = "nothing")]
        primed: Value<Volume>,
        /// What it holds when full; as the circuit's filter where not stated.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        net_volume: Option<Value<Volume>>,
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
        #[serde(default = "nothing")]
        primed: Value<Volume>,
        /// What the new one holds when full; as the circuit's filter where not stated.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        net_volume: Option<Value<Volume>>,
        /// Temperature of that oil.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        temperature: Option<Value<Temperature>>,
    },
    /// Pours new oil into the sump.
    #[serde(with = "table::pour")]
    #[cfg_attr(test, schemars(with = "table::pour::Pour"))]
    Pour {
        /// How much, as the instrument says.
        amount: Amount,
        /// Temperature of the oil.
        temperature: Option<Value<Temperature>>,
        /// Instrument it is measured with; pours that share one share its error.
        measured_with: Option<String>,
    },
    /// Takes liquid out of the sump from above.
    #[serde(with = "table::withdraw")]
    #[cfg_attr(test, schemars(with = "table::withdraw::Withdraw"))]
    Withdraw {
        /// How much, as the instrument says.
        amount: Amount,
        /// Instrument it is measured with.
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
    /// Liquid leaks out of the sump onto the floor from now on, until [`Action::Stop`].
    Leak {
        /// Volume at 15 °C per time.
        rate: Value<VolumeFlow>,
        /// When it leaks.
        #[serde(default = "always")]
        when: When,
    },
    /// The engine uses oil up from now on, until [`Action::Stop`].
    Use {
        /// Volume at 15 °C per time.
        rate: Value<VolumeFlow>,
        /// When it uses oil.
        #[serde(default = "running")]
        when: When,
    },
    /// Something gets into the sump from now on, until [`Action::Stop`].
    Ingress {
        /// What gets in.
        component: Foreign,
        /// Volume at 15 °C per time.
        rate: Value<VolumeFlow>,
        /// When it gets in.
        #[serde(default = "running")]
        when: When,
    },
    /// Ends the rate that was begun under this label.
    Stop {
        /// Label of the event that began it.
        rate: String,
    },
    /// Wipes the stick.
    #[serde(with = "table::empty")]
    #[cfg_attr(test, schemars(with = "table::Nothing"))]
    Wipe,
    /// Reads the stick.
    Read(HowRead),
}

/// A filter fitted dry.
pub(super) fn nothing() -> Value<Volume> {
    Value::constant(0.0)
}

fn always() -> When {
    When::Always
}

fn running() -> When {
    When::Running
}

impl Action {
    /// Reads the stick, seated and in order.
    pub fn read() -> Self {
        Self::Read(HowRead::default())
    }

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
            Self::Leak { .. } => "Leak",
            Self::Use { .. } => "Use",
            Self::Ingress { .. } => "Ingress",
            Self::Stop { .. } => "Stop",
            Self::Wipe => "Wipe",
            Self::Read(_) => "Read",
        }
    }
}
