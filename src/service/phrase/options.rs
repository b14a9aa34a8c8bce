//! What is said of an event after its first words.

use super::super::event::When;
use crate::circuit::spec::AttitudeSpec;
use crate::units::{Angle, Length, Pressure, Temperature, Value, Volume};

/// Every clause of one event.
#[derive(Debug, Default)]
pub(super) struct Options {
    pub(super) temperature: Option<Value<Temperature>>,
    /// Name after `through`, `with` or `stick`.
    pub(super) name: Option<String>,
    pub(super) primed: Option<Value<Volume>>,
    pub(super) holds: Option<Value<Volume>>,
    pub(super) when: Option<When>,
    pub(super) smear: Option<Value<Length>>,
    pub(super) seat_offset: Option<Value<Length>>,
    pub(super) tube_pressure: Option<Value<Pressure>>,
    pub(super) higher: Option<()>,
    pub(super) label: Option<String>,
    /// Before the word `standing` of a tilt.
    pub(super) tilt: Turned,
    /// For this event only.
    pub(super) own: Turned,
}

/// An attitude as far as it is said.
#[derive(Debug, Default)]
pub(super) struct Turned {
    pub(super) level: Option<()>,
    pub(super) nose_up: Option<Value<Angle>>,
    pub(super) right_down: Option<Value<Angle>>,
}

impl Turned {
    /// The attitude, if anything was said of it.
    pub(super) fn attitude(self) -> Option<AttitudeSpec> {
        let level = AttitudeSpec::default();
        match self {
            Self { level: None, nose_up: None, right_down: None } => None,
            Self { nose_up, right_down, .. } => Some(AttitudeSpec {
                nose_up: nose_up.unwrap_or(level.nose_up),
                right_down: right_down.unwrap_or(level.right_down),
            }),
        }
    }
}
