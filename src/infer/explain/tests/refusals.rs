//! Every error of a record, a hypothesis and a diagnosis.

use std::collections::BTreeMap;

use super::{SERVICE, on_the_bus};
use crate::Error;
use crate::circuit::Circuit;
use crate::infer::explain::{DiagnoseOptions, Hypothesis, Record, diagnose};

fn code(complaint: &str, events: &[&str], rest: &str) -> (String, String) {
    let error = on_the_bus(complaint, events, rest).unwrap_err();
    (error.code(), error.to_string())
}

fn with(change: impl FnOnce(&mut DiagnoseOptions<'_>)) -> Error {
    let text =
        format!("format = 1\ncomplaint = \"reads_over\"\nevents = {SERVICE:?}\nreadings = [{{ mm = \"119 mm\" }}]");
    let mut options = DiagnoseOptions::default();
    change(&mut options);
    diagnose(&Circuit::demo("shuttle-bus").unwrap(), &Record::loads(&text).unwrap(), &options).unwrap_err()
}

#[test]
fn nothing_seen() {
    assert_eq!(code("reads_over", &SERVICE, "").0, "explain.nothing_seen");
}

#[test]
fn readings_that_say_nothing_or_too_much() {
    let cases = [
        ("readings = [{ source = \"told\" }]", "states 0 of"),
        ("readings = [{ mm = \"119 mm\", says = \"over\" }]", "states 2 of"),
        ("readings = [{ mm = \"119 mm\", after = 5 }]", "the events are 0 to 4"),
        ("readings = [{ mm = \"119 mm\", of = \"dip\" }]", "0 Read events are labelled so"),
        ("readings = [{ mm = \"119 mm\", of = \"dip\", after = 2 }]", "both `of` and `after`"),
        ("readings = [{ mm = \"-1 mm\" }]", "below the tip"),
        ("readings = [{ mm = \"119 mm\", noise = \"-1 mm\" }]", "noise below 0"),
        ("readings = [{ mm = \"400 mm\" }]", "off the blade"),
    ];
    for (rest, part) in cases {
        let (code, text) = code("reads_over", &SERVICE, rest);
        assert_eq!(code, "explain.bad_reading", "{rest}");
        assert!(text.starts_with("readings[0]") && text.contains(part), "{text}");
    }
    let read = ["drain 10 min", "pour 7 L", "read \"dip\""];
    let twice = "readings = [{ of = \"dip\", mm = \"119 mm\" }, { of = \"dip\", mm = \"118 mm\" }]";
    assert!(code("reads_over", &read, twice).1.contains("has a reading already"));
    let sloped = "readings = [{ of = \"dip\", mm = \"119 mm\", attitude = { nose_up = \"1 deg\" } }]";
    assert!(code("reads_over", &read, sloped).1.contains("stands in the event"));
}

#[test]
fn records_that_contradict_themselves() {
    let cases = [
        ("reads_over", &SERVICE[..], "readings = [{ mm = \"100 mm\" }]", "no reading lies above MAX"),
        ("reads_under", &SERVICE[..], "readings = [{ says = \"over\" }]", "no reading lies below MAX"),
        ("differs", &SERVICE[..], "readings = [{ mm = \"119 mm\" }]", "there is one reading"),
        (
            "reads_over",
            &["rest 1 min"][..],
            "readings = [{ says = \"over\" }]\nmeasured = { poured = \"7 L\" }",
            "no event pours",
        ),
    ];
    for (complaint, events, rest, part) in cases {
        let (code, text) = code(complaint, events, rest);
        assert_eq!(code, "explain.contradiction", "{text}");
        assert!(text.contains(part), "{text}");
    }
}

#[test]
fn events_that_cannot_be() {
    let impossible = ["pour 40 L", "run 1 min"];
    let (code, text) = code("reads_over", &impossible, "readings = [{ says = \"over\" }]");
    assert_eq!(code, "explain.impossible_events", "{text}");
    assert!(text.contains("events[0]"), "{text}");
    let open = ["open plug", "run 1 min"];
    assert_eq!(self::code("reads_over", &open, "readings = [{ says = \"over\" }]").0, "explain.impossible_events");
}

#[test]
fn amounts_and_priors_below_nothing() {
    let rest = "readings = [{ says = \"over\" }]\nmeasured = { drained = \"-1 L\" }";
    assert_eq!(code("reads_over", &SERVICE, rest).0, "explain.bad_observation");
    let rest = "readings = [{ says = \"over\" }]\npriors = { \"poor drain\" = -1 }";
    assert_eq!(code("reads_over", &SERVICE, rest).0, "explain.bad_prior");
    let one = |name: &str, weight: f64| BTreeMap::from([(name.to_owned(), weight)]);
    assert_eq!(with(|o| o.priors = one("poor drain", f64::NAN)).code(), "explain.bad_prior");
    let error = with(|o| o.priors = one("poor drian", 1.0));
    assert_eq!(error.code(), "explain.unknown_cause");
    assert!(error.to_string().contains("did you mean `poor drain`?"), "{error}");
}

#[test]
fn hypotheses_that_cannot_be() {
    let own = |text: &str| Hypothesis::loads(&format!("format = 1\n[[hypotheses]]\nname = \"x\"\nweight = 5\n{text}"));
    assert_eq!(own("").unwrap_err().code(), "explain.bad_hypothesis");
    let cases = [
        ("edits = [{ remove = { event = 9 } }]", "the record has no event 9"),
        ("edits = [{ scale = { event = \"rest\", by = \"0.9 .. 1.1\" } }]", "not Rest"),
        ("edits = [{ input = { path = \"dipstick.seat\", set = \"1 mm\" } }]", "no input `dipstick.seat`"),
        ("edits = [{ input = { path = \"dipstick.seat_offset\" } }]", "exactly one of `set` and `add`"),
        ("events = [\"rest 5 min\"]", "lack the Read labelled `reading 1`"),
        (
            "edits = [{ remove = { event = \"change_filter\" } }, { add = { event = \"fit filter\" } }]",
            "filter is fitted",
        ),
    ];
    for (text, part) in cases {
        let error = with(|o| o.hypotheses = own(text).unwrap());
        assert_eq!(error.code(), "explain.bad_hypothesis", "{error}");
        assert!(error.to_string().contains(part), "{error}");
    }
}

#[test]
fn options_and_attitudes() {
    assert_eq!(with(|o| o.smc.particles = 1).code(), "explain.option_out_of_range");
    let stop = std::sync::atomic::AtomicBool::new(true);
    let text =
        format!("format = 1\ncomplaint = \"reads_over\"\nevents = {SERVICE:?}\nreadings = [{{ mm = \"119 mm\" }}]");
    let mut options = DiagnoseOptions::default();
    options.smc.stop = Some(&stop);
    let stopped = diagnose(&Circuit::demo("shuttle-bus").unwrap(), &Record::loads(&text).unwrap(), &options);
    assert_eq!(stopped.unwrap_err().code(), "explain.stopped");
    let rest = "readings = [{ mm = \"119 mm\", attitude = { nose_up = \"1(1) deg\" } }]";
    assert_eq!(code("reads_over", &SERVICE, rest).0, "estimate.uncertain_attitude");
}

#[test]
fn files_with_wrong_keys() {
    let (code, text) = code("reads_over", &SERVICE, "readings = [{ mn = \"119 mm\" }]");
    assert_eq!(code, "circuit.unknown_key", "{text}");
    let signs = self::code("reads_over", &SERVICE, "readings = [{ mm = \"119 mm\" }]\nsigns = { mlky = true }");
    assert!(signs.1.contains("milky"), "{}", signs.1);
}
