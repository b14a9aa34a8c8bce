//! Services in files: what is read, what is written, what is refused.

use super::super::{Action, Event, Service};
use crate::Error;
use crate::circuit::{CircuitError, read_text};
use crate::units::Value;

fn refused(text: &str) -> String {
    Service::loads(text).unwrap_err().to_string()
}

const WRITTEN: &str = r#"format = 1
name = "Monday"
note = """
two lines
of it"""
circuit = "shuttle-bus"

[[events]]
drain = { duration = "10 min", temperature = "60 degC" }

[[events]]
change_filter = { primed = "0 L" }

[[events]]
pour = { volume = "6.9 L", measured_with = "jug" }

[[events]]
wipe = {}

[[events]]
leak = { rate = "7 L/min", when = "running" }
label = "two gaskets"

[[events]]
read = { face = "higher" }
label = "first dip"
attitude = { nose_up = "2 deg", right_down = "0 deg" }
"#;

#[test]
fn toml_is_written_for_people() {
    let service = Service::loads(WRITTEN).unwrap();
    assert_eq!(service.to_toml().unwrap(), WRITTEN);
    assert_eq!(Service::default().to_toml().unwrap(), "format = 1\nevents = []\n");
    assert_eq!(Service::loads("").unwrap(), Service::default());
}

/// A table stays a table, a text stays the text that it was, in TOML and JSON.
#[test]
fn values_stay_as_written() {
    let toml = r#"format = 1

[[events]]
pour = { volume = { normal = { mean = 6.9, standard_uncertainty = 0.1, unit = "L" } } }

[[events]]
rest = { duration = "5.0  min" }
"#;
    let service = Service::loads(toml).unwrap();
    assert_eq!(service.to_toml().unwrap(), toml);
    assert_eq!(Service::loads(&service.to_json()).unwrap(), service);
    assert_eq!(service.to_string(), "pour normal(6.9, 0.1) L\nrest 5.0  min\n");
}

/// An event may be a line of text, its table may hold one, and tables of the first form are still read.
#[test]
fn an_event_may_be_said_in_several_ways() {
    let toml = r#"
format = 1
events = [
    "pour 6.9 L with jug",
    { do = "pour 6.9 L with jug" },
    { pour = { volume = "6.9 L", measured_with = "jug" } },
    { do = { pour = { amount = { volume = "6.9 L" }, measured_with = "jug" } } },
]
"#;
    let events = Service::loads(toml).unwrap().events;
    assert!(events.iter().all(|e| *e == events[0]));
    for old in [r#"{"do":"wipe"}"#, r#"{"do":"remove_filter","label":"a"}"#, r#"{"do":{"read":{}},"label":"a"}"#] {
        let event: Event = read_text(old).unwrap();
        assert_eq!(event.label.is_some(), old.contains("label"));
    }
    let withdrawn: Event = read_text(r#"{"do":{"withdraw":{"amount":{"mass":"1 kg"}}}}"#).unwrap();
    assert_eq!(withdrawn.to_string(), "withdraw 1 kg");
    let dry: Event = read_text("change_filter = {}").unwrap();
    assert_eq!(dry.action, Action::ChangeFilter { primed: Value::constant(0.0), net_volume: None, temperature: None });
}

#[test]
fn wrong_files_name_the_line_the_key_and_the_nearest() {
    for (events, says) in [
        ("[[events]]\npuor = { volume = \"1 L\" }", "line 4: unknown key `puor` in events[0]; did you mean `pour`?"),
        (
            "[[events]]\npour = { volum = \"1 L\" }",
            "line 4: unknown key `volum` in events[0].pour; did you mean `volume`?",
        ),
        (
            "[[events]]\nwipe = {}\n[[events]]\nread = {}\nlable = \"a\"",
            "line 7: unknown key `lable` in events[1]; did you mean `label`?",
        ),
        (
            "[[events]]\nread = { smaer = \"1 mm\" }",
            "line 4: unknown key `smaer` in events[0].read; did you mean `smear`?",
        ),
        (
            "[[events]]\nread = { face = \"hihger\" }",
            "line 4: unknown key `hihger` in events[0].read.face; did you mean `higher`?",
        ),
        ("[[events]]\nleak = { rate = \"1 L/min\", when = \"runing\" }", "did you mean `running`?"),
        (
            "[[events]]\ningress = { component = \"feul\", rate = \"1 L/min\" }",
            "did you mean `fuel`?; accepted here: fuel, coolant, water",
        ),
        ("[[events]]\nwipe = { label = \"a\" }", "line 4: unknown key `label` in events[0].wipe"),
        (
            "[[events]]\npour = { volume = \"1 qt\" }",
            "line 4: events[0].pour.volume: volume: \"1 qt\": \"qt\" is not one unit",
        ),
        ("[[events]]\nrest = {}", "line 4: events[0].rest: missing field `duration`"),
        ("[[events]]\nrest = \"5 min\"", "line 4: events[0].rest: invalid type: string \"5 min\"; a table is wanted"),
        ("[[events]]\npour = {}", "line 4: events[0].pour: exactly one of `volume` and `mass` is needed"),
        ("[[events]]\nlabel = \"a\"", "line 3: events[0]: nothing is done; an event needs one of open_plug, "),
        ("[[events]]\nwipe = {}\nread = {}", "an event does one thing; here are Wipe and Read"),
        (
            "[[events]]\ndo = \"pour 1 L wiht jug\"",
            "line 4: events[0].do: line 1, column 10: unknown word `wiht`; did you mean `with`?",
        ),
        ("[[events]]\ndo = \"wipe, called a\"\nlabel = \"b\"", "events[0]: `label` is given twice"),
        (
            "events = [\"wipe\",\n \"wpie\"]",
            "line 4: events[1]: line 1, column 1: unknown word `wpie`; did you mean `wipe`?",
        ),
        ("event = []", "line 3: unknown key `event`; did you mean `events`?"),
    ] {
        let message = refused(&format!("format = 1\nname = \"a\"\n{events}\n"));
        assert!(message.contains(says), "{events}\n{message}\n{says}");
    }
    let error = Service::loads("format = 2\nsteps = []").unwrap_err();
    assert_eq!(error, Error::Circuit(CircuitError::UnknownFormat { found: 2, expected: 1, line: 1 }));
    assert!(
        refused("{\"format\": 1, \"events\": [{\"rests\": 1}]}")
            .contains("unknown key `rests` in events[0]; did you mean `rest`?")
    );
}
