//! Writing an event as its line.

use std::fmt;

use super::super::event::{Action, Amount, Event, Face, Foreign, HowRead, When, nothing};
use super::is_bare;
use crate::circuit::spec::AttitudeSpec;
use crate::units::{Dimension, Value};

/// The line of text that [`Event::parse`] reads.
impl fmt::Display for Event {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut line = Sentence(f);
        line.action(&self.action)?;
        match (&self.label, &self.action) {
            (Some(_), Action::Read(_)) | (None, _) => {}
            (Some(label), _) => line.say(", called ", quoted(label))?,
        }
        if let Action::Read(how) = &self.action {
            if let Some(label) = &self.label {
                line.say(" ", quoted(label))?;
            }
            line.how(how)?;
        }
        match &self.attitude {
            Some(attitude) => line.say(", standing ", Turned(attitude)),
            None => Ok(()),
        }
    }
}

struct Sentence<'a, 'f>(&'a mut fmt::Formatter<'f>);

impl Sentence<'_, '_> {
    fn say(&mut self, before: &str, what: impl fmt::Display) -> fmt::Result {
        write!(self.0, "{before}{what}")
    }

    fn value<D: Dimension>(&mut self, before: &str, value: Option<&Value<D>>) -> fmt::Result {
        value.map_or(Ok(()), |v| self.say(before, on_one_line(v.written())))
    }

    fn name(&mut self, before: &str, name: Option<&str>) -> fmt::Result {
        match name {
            Some(name) if is_bare(name) => self.say(before, name),
            Some(name) => self.say(before, quoted(name)),
            None => Ok(()),
        }
    }

    fn action(&mut self, action: &Action) -> fmt::Result {
        match action {
            Action::OpenPlug { plug, temperature } => {
                self.say("", "open plug")?;
                self.name(" ", plug.as_deref())?;
                self.value(" at ", temperature.as_ref())
            }
            Action::ClosePlug { plug } => {
                self.say("", "close plug")?;
                self.name(" ", plug.as_deref())
            }
            Action::RemoveFilter => self.say("", "remove filter"),
            Action::FitFilter { primed, net_volume, temperature }
            | Action::ChangeFilter { primed, net_volume, temperature } => {
                let fits = matches!(action, Action::FitFilter { .. });
                self.say("", if fits { "fit filter" } else { "change filter" })?;
                self.value(", primed ", Some(primed).filter(|p| **p != nothing()))?;
                self.value(", holds ", net_volume.as_ref())?;
                self.value(", oil at ", temperature.as_ref())
            }
            Action::Drain { plug, duration, temperature } => {
                self.value("drain ", Some(duration))?;
                self.name(" through ", plug.as_deref())?;
                self.value(" at ", temperature.as_ref())
            }
            Action::Pour { amount, temperature, measured_with } => {
                self.amount("pour ", amount, measured_with.as_deref())?;
                self.value(", oil at ", temperature.as_ref())
            }
            Action::Withdraw { amount, measured_with } => self.amount("withdraw ", amount, measured_with.as_deref()),
            Action::Run { duration, temperature } => {
                self.value("run ", Some(duration))?;
                self.value(" to ", temperature.as_ref())
            }
            Action::Rest { duration } => self.value("rest ", Some(duration)),
            Action::Tilt { attitude } => self.say("tilt ", Turned(attitude)),
            Action::Leak { rate, when } => {
                self.value("leak ", Some(rate))?;
                self.say("", if *when == When::Running { " while running" } else { "" })
            }
            Action::Use { rate, when } => {
                self.value("use ", Some(rate))?;
                self.say("", unless_running(*when))
            }
            Action::Ingress { component, rate, when } => {
                self.say("ingress ", word(*component))?;
                self.value(" ", Some(rate))?;
                self.say("", unless_running(*when))
            }
            Action::Stop { rate } => self.say("stop ", quoted(rate)),
            Action::Wipe => self.say("", "wipe"),
            Action::Read(_) => self.say("", "read"),
        }
    }

    fn amount(&mut self, before: &str, amount: &Amount, measured_with: Option<&str>) -> fmt::Result {
        match amount {
            Amount::Volume(volume) => self.value(before, Some(volume))?,
            Amount::Mass(mass) => self.value(before, Some(mass))?,
        }
        self.name(" with ", measured_with)
    }

    fn how(&mut self, how: &HowRead) -> fmt::Result {
        self.name(", stick ", how.stick.as_deref())?;
        self.value(", smear ", how.smear.as_ref())?;
        self.value(", seat offset ", how.seat_offset.as_ref())?;
        self.value(", tube pressure ", how.tube_pressure.as_ref())?;
        self.say("", if how.face == Face::Higher { ", higher face" } else { "" })
    }
}

fn unless_running(when: When) -> &'static str {
    if when == When::Always { " always" } else { "" }
}

/// What gets in, in one word.
fn word(component: Foreign) -> &'static str {
    match component {
        Foreign::Fuel => "fuel",
        Foreign::Coolant => "coolant",
        Foreign::Water => "water",
    }
}

/// An attitude as it is said.
struct Turned<'a>(&'a AttitudeSpec);

impl fmt::Display for Turned<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let level = AttitudeSpec::default();
        let AttitudeSpec { nose_up, right_down } = self.0;
        let (nose, right) = (*nose_up != level.nose_up, *right_down != level.right_down);
        let mut line = Sentence(f);
        line.value("nose up ", Some(nose_up).filter(|_| nose))?;
        line.value(if nose { ", right down " } else { "right down " }, Some(right_down).filter(|_| right))?;
        if nose || right { Ok(()) } else { line.say("", "level") }
    }
}

/// As [`AttitudeSpec::parse`] reads it.
impl fmt::Display for AttitudeSpec {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        Turned(self).fmt(f)
    }
}

/// A text in quotes, on one line, with JSON's escapes.
pub(super) fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}

/// A quantity read from several lines of a file, on one.
fn on_one_line(text: &str) -> String {
    text.replace(['\n', '\r'], " ")
}
