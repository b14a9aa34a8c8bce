//! An event as a person reads it.

use std::fmt;

use super::event::{Action, Amount, Event, Face, Foreign, HowRead, When};
use crate::circuit::spec::AttitudeSpec;
use crate::units::{Dimension, Value};

/// One line: name of the event, then what was stated, as written.
impl fmt::Display for Event {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.action)?;
        if let Some(own) = &self.attitude {
            write!(f, ", standing {}", Stands(own))?;
        }
        match &self.label {
            Some(label) => write!(f, " \"{label}\""),
            None => Ok(()),
        }
    }
}

/// Name of the event, then what was stated, as written.
impl fmt::Display for Action {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())?;
        match self {
            Self::OpenPlug { plug, temperature } => {
                word(f, "", plug.as_deref())?;
                stated(f, "at", temperature.as_ref())
            }
            Self::ClosePlug { plug } => word(f, "", plug.as_deref()),
            Self::Drain { plug, duration, temperature } => {
                word(f, "", plug.as_deref())?;
                write!(f, " {}", duration.written())?;
                stated(f, "at", temperature.as_ref())
            }
            Self::FitFilter { primed, net_volume, temperature }
            | Self::ChangeFilter { primed, net_volume, temperature } => {
                if primed.nominal() != 0.0 || !primed.is_exact() {
                    write!(f, " primed with {}", primed.written())?;
                    stated(f, "at", temperature.as_ref())?;
                }
                stated(f, "that holds", net_volume.as_ref())
            }
            Self::Pour { amount, temperature, measured_with } => {
                write!(f, " {amount}")?;
                stated(f, "at", temperature.as_ref())?;
                word(f, "by", measured_with.as_deref())
            }
            Self::Withdraw { amount, measured_with } => {
                write!(f, " {amount}")?;
                word(f, "by", measured_with.as_deref())
            }
            Self::Run { duration, temperature } => {
                write!(f, " {}", duration.written())?;
                stated(f, "to", temperature.as_ref())
            }
            Self::Rest { duration } => write!(f, " {}", duration.written()),
            Self::Tilt { attitude } => write!(f, " {}", Stands(attitude)),
            Self::Leak { rate, when } | Self::Use { rate, when } => write!(f, " {} {when}", rate.written()),
            Self::Ingress { component, rate, when } => write!(f, " of {component} {} {when}", rate.written()),
            Self::Stop { rate } => write!(f, " \"{rate}\""),
            Self::RemoveFilter | Self::Wipe => Ok(()),
            Self::Read(how) => write!(f, "{how}"),
        }
    }
}

fn word(f: &mut fmt::Formatter<'_>, before: &str, word: Option<&str>) -> fmt::Result {
    let space = if before.is_empty() { "" } else { " " };
    word.map_or(Ok(()), |w| write!(f, "{space}{before} {w}"))
}

fn stated<D: Dimension>(f: &mut fmt::Formatter<'_>, before: &str, value: Option<&Value<D>>) -> fmt::Result {
    value.map_or(Ok(()), |v| write!(f, " {before} {}", v.written()))
}

impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Volume(v) => f.write_str(v.written()),
            Self::Mass(m) => f.write_str(m.written()),
        }
    }
}

impl fmt::Display for When {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Running => "while running",
            Self::Always => "always",
        })
    }
}

impl fmt::Display for Foreign {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Fuel => "fuel",
            Self::Coolant => "coolant",
            Self::Water => "water",
        })
    }
}

impl fmt::Display for HowRead {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        word(f, "with stick", self.stick.as_deref())?;
        if self.face == Face::Higher {
            f.write_str(", higher side")?;
        }
        stated(f, "with smear", self.smear.as_ref())?;
        stated(f, "seated proud by", self.seat_offset.as_ref())?;
        stated(f, "with tube pressure", self.tube_pressure.as_ref())
    }
}

/// An attitude in words.
struct Stands<'a>(&'a AttitudeSpec);

impl fmt::Display for Stands<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let AttitudeSpec { nose_up, right_down } = self.0;
        let told = |v: &Value<crate::units::Angle>| v.nominal() != 0.0 || !v.is_exact();
        match (told(nose_up), told(right_down)) {
            (false, false) => f.write_str("level"),
            (true, false) => write!(f, "nose up {}", nose_up.written()),
            (false, true) => write!(f, "right down {}", right_down.written()),
            (true, true) => write!(f, "nose up {}, right down {}", nose_up.written(), right_down.written()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(json: &str) -> String {
        serde_json::from_str::<Event>(json).unwrap().to_string()
    }

    #[test]
    fn events_read_as_a_person_would_say_them() {
        let cases = [
            (r#"{"do": {"drain": {"duration": "10 min", "temperature": "60 degC"}}}"#, "Drain 10 min at 60 degC"),
            (r#"{"do": {"open_plug": {"plug": "main"}}}"#, "OpenPlug main"),
            (
                r#"{"do": {"pour": {"amount": {"volume": "6.9 L"}, "measured_with": "jug"}}, "label": "fill"}"#,
                "Pour 6.9 L by jug \"fill\"",
            ),
            (r#"{"do": {"change_filter": {"primed": "0 L"}}}"#, "ChangeFilter"),
            (
                r#"{"do": {"fit_filter": {"primed": "0.2(1) L", "net_volume": "0.6 L"}}}"#,
                "FitFilter primed with 0.2(1) L that holds 0.6 L",
            ),
            (r#"{"do": {"run": {"duration": "1 min", "temperature": "80 degC"}}}"#, "Run 1 min to 80 degC"),
            (r#"{"do": {"tilt": {"attitude": {"nose_up": "2 deg"}}}}"#, "Tilt nose up 2 deg"),
            (r#"{"do": {"leak": {"rate": "2 L/min"}}}"#, "Leak 2 L/min always"),
            (
                r#"{"do": {"ingress": {"component": "fuel", "rate": "1 mL/min"}}}"#,
                "Ingress of fuel 1 mL/min while running",
            ),
            (r#"{"do": {"stop": {"rate": "seep"}}}"#, "Stop \"seep\""),
            (
                r#"{"do": {"read": {"stick": "old", "face": "higher"}}, "attitude": {"right_down": "-1 deg"}}"#,
                "Read with stick old, higher side, standing right down -1 deg",
            ),
        ];
        for (json, words) in cases {
            assert_eq!(said(json), words);
        }
    }
}
