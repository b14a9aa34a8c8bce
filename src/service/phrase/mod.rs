//! Events as lines of text that a person can read and write.
//!
//! ```text
//! open plug [NAME] [at TEMPERATURE]               of everything in the circuit from now on
//! close plug [NAME]
//! remove filter
//! fit filter [primed VOLUME] [holds VOLUME] [oil at TEMPERATURE]
//! change filter [primed VOLUME] [holds VOLUME] [oil at TEMPERATURE]
//! drain TIME [through NAME] [at TEMPERATURE]
//! pour VOLUME-OR-MASS [with NAME] [oil at TEMPERATURE]
//! withdraw VOLUME-OR-MASS [with NAME]
//! run TIME [to TEMPERATURE]                       of everything in the circuit at the end
//! rest TIME
//! tilt ATTITUDE                                   from now on
//! leak FLOW [while running]
//! use FLOW [always]                               else while running
//! ingress fuel|coolant|water FLOW [always]        else while running
//! stop NAME                                       of the leak, use or ingress
//! wipe
//! read ["LABEL"] [stick NAME] [smear LENGTH] [seat offset LENGTH] [tube pressure PRESSURE] [higher face]
//! ```
//!
//! Every event may go on with `called "LABEL"` and with `standing ATTITUDE`, which holds for that event only; but for `tilt`
//! the word `standing` may be left out. An ATTITUDE is `level`, or `nose up ANGLE` (or `nose down`), `right down ANGLE`
//! (or `right up`), or both. What follows the first quantity may come in any order, with commas or without.
//!
//! A NAME of more than letters, digits, `_`, `-` and `.`, or one that is a word of the above, stands in double quotes, and so
//! does a LABEL; in quotes the escapes are those of JSON. Right after `open plug`, `close plug` and `stop` the word `level` is
//! a NAME also without quotes; an attitude there comes after a comma or `standing`: `close plug, level`. `#` starts a remark. A quantity is written as anywhere else (see
//! [`crate::units`]) and kept as written. A service may begin with lines `name: ...`, `note: ...` and `circuit: ...`.

mod lex;
mod options;
mod parse;
mod print;
mod service;
#[cfg(test)]
mod tests;

pub(super) use service::{service, write_service};

use super::{Event, ServiceError};
use crate::circuit::spec::AttitudeSpec;

impl Event {
    /// Reads an event from its line of text, such as `drain 10 min at 60 degC`; its `Display` writes it.
    ///
    /// ```
    /// use fillmark::service::Event;
    /// let event = Event::parse("read \"first dip\", seat offset 5 mm # not pushed home")?;
    /// assert_eq!(event.label.as_deref(), Some("first dip"));
    /// assert_eq!(event.to_string(), "read \"first dip\", seat offset 5 mm");
    ///
    /// let refused = Event::parse("drian 10 min").unwrap_err().to_string();
    /// assert!(refused.starts_with("line 1, column 1: unknown word `drian`; did you mean `drain`?"));
    /// # Ok::<(), fillmark::service::ServiceError>(())
    /// ```
    pub fn parse(line: &str) -> Result<Self, ServiceError> {
        parse::event(line, 1)
    }
}

impl AttitudeSpec {
    /// Reads an attitude from text, such as `nose up 2.0(5) deg right down 1 deg`; its `Display` writes it.
    ///
    /// ```
    /// use fillmark::circuit::spec::AttitudeSpec;
    /// let ramp = AttitudeSpec::parse("nose up 2.0(5) deg")?;
    /// assert_eq!(ramp.to_string(), "nose up 2.0(5) deg");
    /// # Ok::<(), fillmark::service::ServiceError>(())
    /// ```
    pub fn parse(text: &str) -> Result<Self, ServiceError> {
        parse::attitude(text)
    }
}

/// What may be said of an event after its first words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Clause {
    At,
    Through,
    With,
    OilAt,
    Primed,
    Holds,
    To,
    WhileRunning,
    Always,
    Stick,
    Smear,
    SeatOffset,
    TubePressure,
    HigherFace,
    Called,
    Standing,
    Level,
    NoseUp,
    NoseDown,
    RightDown,
    RightUp,
}

/// The words of every clause.
const CLAUSES: [(Clause, &str); 21] = [
    (Clause::At, "at"),
    (Clause::Through, "through"),
    (Clause::With, "with"),
    (Clause::OilAt, "oil at"),
    (Clause::Primed, "primed"),
    (Clause::Holds, "holds"),
    (Clause::To, "to"),
    (Clause::WhileRunning, "while running"),
    (Clause::Always, "always"),
    (Clause::Stick, "stick"),
    (Clause::Smear, "smear"),
    (Clause::SeatOffset, "seat offset"),
    (Clause::TubePressure, "tube pressure"),
    (Clause::HigherFace, "higher face"),
    (Clause::Called, "called"),
    (Clause::Standing, "standing"),
    (Clause::Level, "level"),
    (Clause::NoseUp, "nose up"),
    (Clause::NoseDown, "nose down"),
    (Clause::RightDown, "right down"),
    (Clause::RightUp, "right up"),
];

/// What an event may begin with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Verb {
    OpenPlug,
    ClosePlug,
    RemoveFilter,
    FitFilter,
    ChangeFilter,
    Drain,
    Pour,
    Withdraw,
    Run,
    Rest,
    Tilt,
    Leak,
    Use,
    Ingress,
    Stop,
    Wipe,
    Read,
}

/// The words of every verb, with the clauses that it takes besides a label and an attitude.
const VERBS: [(Verb, &str, &[Clause]); 17] = [
    (Verb::OpenPlug, "open plug", &[Clause::At]),
    (Verb::ClosePlug, "close plug", &[]),
    (Verb::RemoveFilter, "remove filter", &[]),
    (Verb::FitFilter, "fit filter", &[Clause::Primed, Clause::Holds, Clause::OilAt]),
    (Verb::ChangeFilter, "change filter", &[Clause::Primed, Clause::Holds, Clause::OilAt]),
    (Verb::Drain, "drain", &[Clause::Through, Clause::At]),
    (Verb::Pour, "pour", &[Clause::With, Clause::OilAt]),
    (Verb::Withdraw, "withdraw", &[Clause::With]),
    (Verb::Run, "run", &[Clause::To]),
    (Verb::Rest, "rest", &[]),
    (Verb::Tilt, "tilt", &[]),
    (Verb::Leak, "leak", &[Clause::WhileRunning, Clause::Always]),
    (Verb::Use, "use", &[Clause::WhileRunning, Clause::Always]),
    (Verb::Ingress, "ingress", &[Clause::WhileRunning, Clause::Always]),
    (Verb::Stop, "stop", &[]),
    (Verb::Wipe, "wipe", &[]),
    (Verb::Read, "read", &[Clause::Stick, Clause::Smear, Clause::SeatOffset, Clause::TubePressure, Clause::HigherFace]),
];

/// Clauses that every event takes.
const OF_ALL: [Clause; 7] = [
    Clause::Called,
    Clause::Standing,
    Clause::Level,
    Clause::NoseUp,
    Clause::NoseDown,
    Clause::RightDown,
    Clause::RightUp,
];

/// Those that say an attitude.
const ATTITUDES: [Clause; 5] = [Clause::Level, Clause::NoseUp, Clause::NoseDown, Clause::RightDown, Clause::RightUp];

/// What may get in.
const COMPONENTS: [&str; 3] = ["fuel", "coolant", "water"];

/// Whether a name must stand in quotes.
fn is_bare(name: &str) -> bool {
    let plain = |c: char| c.is_alphanumeric() || "_-.".contains(c);
    let taken = |words: &str| words.split(' ').next().is_some_and(|first| first.eq_ignore_ascii_case(name));
    !name.is_empty() && name.chars().all(plain) && !CLAUSES.iter().any(|(_, words)| taken(words))
}
