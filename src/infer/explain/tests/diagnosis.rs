//! Diagnoses of single records.

use super::{SERVICE, on_the_bus};

#[test]
fn short_drain_by_the_pan() {
    let v =
        on_the_bus("reads_over", &SERVICE, "readings = [{ mm = \"119 mm\" }]\nmeasured = { drained = \"6.2(1) L\" }")
            .unwrap();
    assert_eq!(v.causes()[0].name, "poor drain");
    assert!(v.causes()[0].probability > 0.7, "{v}");
}

#[test]
fn as_it_should_be() {
    let v = on_the_bus("reads_over", &SERVICE, "readings = [{ mm = \"112.5 mm\" }]").unwrap();
    assert_eq!(v.causes()[0].name, "ordinary scatter");
}

#[test]
fn own_hypotheses_compete() {
    use crate::circuit::Circuit;
    use crate::infer::explain::{DiagnoseOptions, Hypothesis, Record, diagnose};
    let own = Hypothesis::loads(
        r#"
format = 1

[[hypotheses]]
name = "a whole can was added"
weight = 5
edits = [
    { add = { after = "pour", event = { pour = { volume = { unknown = { name = "can", prior = "0.98 .. 1.02 L" } } } } } },
]

[[hypotheses]]
name = "the sump is dented"
weight = 2
complaints = ["reads_over"]
edits = [{ input = { path = "geometry.volume_scale", add = "-0.2 .. 0" } }]
"#,
    )
    .unwrap();
    let text = format!(
        "format = 1\ncomplaint = \"reads_over\"\nevents = {SERVICE:?}\nreadings = [{{ mm = \"122 mm\" }}]\n\
         measured = {{ poured = \"8.4(1) L\" }}"
    );
    let record = Record::loads(&text).unwrap();
    let mut options = DiagnoseOptions { hypotheses: own, ..DiagnoseOptions::default() };
    let bus = Circuit::demo("shuttle-bus").unwrap();
    let v = diagnose(&bus, &record, &options).unwrap();
    assert_eq!(v.causes()[0].name, "a whole can was added", "{v}");
    let can = &v.causes()[0].sizes[0];
    assert!(can.name == "can" && can.unit == "L" && (0.98..1.02).contains(&can.mean));
    assert!(v.causes().iter().any(|c| c.name == "the sump is dented"));
    // Replaced weights, and the same bits for the same seed.
    options.priors.insert("a whole can was added".into(), 0.0);
    let without = diagnose(&bus, &record, &options).unwrap();
    assert!(without.causes().iter().all(|c| c.name != "a whole can was added"));
    assert!(diagnose(&bus, &record, &options).unwrap() == without);
}

/// A record that no cause can reconcile: two readings an hour apart that differ by 60 mm without anything between.
#[test]
fn contradictory_readings_name_no_cause() {
    let rest =
        "readings = [{ mm = \"175 mm\", after = 4 }, { mm = \"113 mm\", after = 4 }, { mm = \"150 mm\", after = 4 }]";
    let v = on_the_bus("reads_over", &SERVICE, rest).unwrap();
    let first = &v.causes()[0];
    assert!(!v.is_settled() || first.name == "none of these", "{v}");
}

#[test]
fn told_causes_are_named() {
    let told = [
        "drain 10 min at 60 degC",
        "change filter",
        "pour 7.2 L with jug",
        "run 2 min",
        "rest 1 min",
        "read",
        "pour 0.8 L",
        "rest 8 h",
    ];
    let v = on_the_bus("reads_over", &told, "readings = [{ mm = \"120 mm\" }]").unwrap();
    assert!(v.causes()[0].told && v.causes()[0].name == "read early, then topped up", "{v}");
}

/// Whatever the causes, what the events as told leave undone forbids a start, in the words of an assessment, and blocks the checks that
/// start or move anything.
#[test]
fn what_is_undone_forbids_a_start() {
    use crate::circuit::Circuit;
    use crate::infer::explain::{DiagnoseOptions, Record, SmcOptions, diagnose};
    let bus = Circuit::demo("shuttle-bus").unwrap();
    let smc = SmcOptions::default().particles(16).replicates(2);
    let options = DiagnoseOptions { smc, single: true, ..DiagnoseOptions::default() };
    let told = |more: &[&str]| {
        let events: Vec<&str> = SERVICE.iter().chain(more).copied().collect();
        let text = format!(
            "format = 1\ncomplaint = \"reads_over\"\nevents = {events:?}\nreadings = [{{ mm = \"112.5 mm\" }}]"
        );
        let record = Record::loads(&text).unwrap();
        diagnose(&bus, &record, &options).unwrap()
    };
    let leak = "leak 0.001 L/min while running, called \"plug\"";
    let why = "oil leaks out at 0.001 L/min while the engine runs (plug), and nothing has stopped it";
    let v = told(&[leak]);
    assert_eq!(v.do_not_start().first().map(String::as_str), Some(why));
    assert!(v.to_string().contains(&format!("do not start: {why}")), "{v}");
    assert!(v.blocked_checks().iter().all(|check| check.blocked.as_deref().is_some_and(|b| b.contains(why))));
    assert!(!v.blocked_checks().is_empty());
    assert!(!told(&[leak, "stop \"plug\""]).do_not_start().iter().any(|reason| reason.contains("leaks out")));
    let v = told(&["remove filter"]);
    assert!(v.do_not_start().iter().any(|reason| reason == "no filter is fitted at the end"), "{v}");
}
