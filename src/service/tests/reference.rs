//! The condition in which the marks are true.

use approx::assert_relative_eq;

use super::super::simulate;
use super::{carry_out, mass, mm, plain, pour, read, rest, run};
use crate::circuit::Circuit;
use crate::estimate::{PlanOptions, plan_refill};
use crate::service::Event;

/// A head that holds 0.5 L aloft, 0.15 L of it as film, and keeps 0.05 L.
fn bench(reference: &str) -> Circuit {
    plain(&format!(
        "[filter]\nnet_volume = \"0.4 L\"\n[stores.head]\nkept = \"0.05 L\"\nrunning = \"0.5 L\"\nfilm = \"0.15 L\"\n[reference]\n{reference}"
    ))
}

const RUNNING: &str = "engine = \"running\"\nstick = \"screwed\"\n";

/// By hand: at the start the sump stands at MAX, 4.5 L, and the head holds all its 0.55 L; a reading right after a run at that
/// temperature is at MAX, and 0.5 L higher, 11.1 mm at 45 mL/mm, once all has come back but a film.
#[test]
fn marks_that_hold_with_the_engine_running() {
    let line = carry_out(
        &bench(RUNNING),
        &[read("start"), run("1 min", 20.0), read("running"), rest("24 h"), read("stopped")],
    );
    let density = mass(&line, "filter") / 0.4;
    let first = line.state(0).unwrap();
    for (place, litres) in
        [("sump", 4.5), ("stores.head.pool", 0.35), ("stores.head.film", 0.15), ("stores.head.kept", 0.05)]
    {
        assert_relative_eq!(first.place(place).unwrap().total(), litres * density, max_relative = 1e-12);
    }
    assert_relative_eq!(mm(&line, "start"), 100.0, max_relative = 1e-12);
    assert_relative_eq!(mm(&line, "running"), 100.0, max_relative = 1e-12);
    let film = mass(&line, "stores.head.film") / density;
    assert_relative_eq!(mm(&line, "stopped"), 100.0 + (0.5 - film) / 0.045, max_relative = 1e-9);
    assert_relative_eq!(line.drained_back_m3(), line.at_max_m3(), max_relative = 1e-12);
}

/// It is a wait of nothing after stopping.
#[test]
fn running_is_no_wait_after_stopping() {
    let events = [pour(0.5), run("1 min", 60.0), rest("10 min")];
    let ends = [RUNNING, "engine = \"running\"\nwait = \"0 s\"\n", "wait = \"0 s\"\n"].map(|reference| {
        let line = simulate(&bench(reference), &events).unwrap();
        (line.state(0), line.state(3), line.drained_back_m3().to_bits())
    });
    assert!(ends[0] == ends[1] && ends[0] == ends[2]);
    assert!(simulate(&bench(""), &events).unwrap().state(0) != ends[0].0);
}

#[test]
fn a_reference_condition_is_kept_as_written_and_said_in_words() {
    let running = bench(RUNNING);
    assert_eq!(running.spec().reference.to_string(), "20 degC, engine running at idle, level, stick screwed in");
    assert_eq!(bench("").spec().reference.to_string(), "20 degC, stopped for 10 min, level, stick seated");
    let other = "temperature = \"60(2) degC\"\nwait = \"15 min\"\nattitude = { nose_up = \"8 deg\" }\n";
    let told = "60(2) degC, stopped for 15 min, 8 deg nose-up, 0 deg right-down, stick seated";
    assert_eq!(bench(other).spec().reference.to_string(), told);
    for circuit in [running, bench(""), bench(other)] {
        for text in [circuit.to_toml(), circuit.to_json()] {
            let again = Circuit::loads(&text, &|_| Err("no files".into())).unwrap();
            assert_eq!(again, circuit, "{text}");
        }
    }
    assert!(bench(RUNNING).to_toml().contains("engine = \"running\"") && !bench("").to_toml().contains("engine"));
}

#[test]
fn a_wait_with_the_engine_running_is_refused() {
    let refused = |reference: &str| {
        let text = bench("").to_toml().replace("[reference]", &format!("[reference]\n{reference}"));
        Circuit::loads(&text, &|_| Err("no files".into())).unwrap_err().to_string()
    };
    for wait in ["10 min", "0(5) s"] {
        let message = refused(&format!("engine = \"running\"\nwait = \"{wait}\""));
        assert!(message.starts_with("line ") && message.contains("reference.wait"), "{message}");
        assert!(message.contains(wait) && message.ends_with("accepted: no wait, or 0 s"), "{message}");
    }
    let message = refused("engine = \"idling\"");
    assert!(message.contains("idling") && message.contains("running"), "{message}");
    let message = refused("stick = \"loose\"");
    assert!(message.contains("loose") && message.contains("screwed"), "{message}");
}

/// The steps of a plan keep to the marks' condition.
#[test]
fn a_plan_says_how_to_read() {
    let mut options = PlanOptions::default();
    options.predict.draws = 200;
    let done: Vec<Event> = ["drain 10 min", "change filter"].map(|line| Event::parse(line).unwrap()).into();
    let steps = |reference: &str, then: &[Event]| {
        let plan = plan_refill(&bench(reference), &done, then, &options).unwrap();
        assert_eq!(plan.no_start(), None);
        let held = plan.figures().into_iter().find(|(name, _)| *name == "marks hold at").unwrap().1;
        (plan.steps().join("\n"), held)
    };
    let (told, held) = steps(RUNNING, &[run("1 min", 20.0), read("idling")]);
    assert!(told.contains("Leave the engine running, at idle; keep clear of moving and hot parts."), "{told}");
    assert!(told.contains("Wipe the stick, screw it in, read it (idling)") && !told.contains("seat it"), "{told}");
    assert!(told.contains("stopped, it stands high by what has come back"), "{told}");
    assert_eq!(held, "20 degC, engine running at idle, level, stick screwed in");
    let (told, held) = steps("", &[run("1 min", 20.0), rest("10 min"), read("dip")]);
    assert!(told.contains("Wait 10 min.") && told.contains("Wipe the stick, seat it, read it (dip)"), "{told}");
    assert!(!told.contains("running") && held.ends_with("stick seated"), "{told}");
}
