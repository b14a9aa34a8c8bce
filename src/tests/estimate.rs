//! Predictions do not depend on how the work is cut up, and stop when they are told to.
#![allow(clippy::unwrap_used)] // a failed helper is a failed test

use std::sync::atomic::AtomicBool;

use fillmark::Error;
use fillmark::circuit::Circuit;
use fillmark::estimate::{EstimateError, PlanOptions, PredictOptions, Prediction, plan_refill, predict};
use fillmark::service::{Action, Amount, Event, ServiceError, simulate};
use fillmark::units::Value;

fn service() -> Vec<Event> {
    let time = |text: &str| Value::parse("duration", text).unwrap();
    let poured = Amount::Volume(Value::parse("volume", "6.9(1) L").unwrap());
    vec![
        Action::Drain { plug: None, duration: time("10 min"), temperature: None }.into(),
        Action::ChangeFilter {
            primed: Value::parse("primed", "0.10(2) L").unwrap(),
            net_volume: None,
            temperature: None,
        }
        .into(),
        Action::Pour { amount: poured, temperature: None, measured_with: Some("jug".into()) }.into(),
        Action::Run { duration: time("1 min"), temperature: None }.into(),
        Action::Rest { duration: time("5(1) min") }.into(),
        Event::from(Action::read()).labelled("dip"),
    ]
}

fn predicted(draws: usize, chunk: usize, seed: u64) -> Prediction {
    let mut options = PredictOptions::default().draws(draws).seed(seed);
    options.chunk = chunk;
    predict(&Circuit::demo("shuttle-bus").unwrap(), &service(), &options).unwrap()
}

fn bits(prediction: &Prediction) -> Vec<u64> {
    let dip = prediction.reading("dip").unwrap();
    let all = [&dip.s, &dip.fraction, &dip.from_max, prediction.drained_back()];
    all.iter().flat_map(|draws| draws.values()).map(|v| v.to_bits()).collect()
}

#[test]
fn the_size_of_a_chunk_changes_no_bit() {
    let whole = predicted(5000, 5000, 3);
    for chunk in [1, 7, 64, 1000, 1024, 4999, 100_000] {
        assert_eq!(bits(&predicted(5000, chunk, 3)), bits(&whole), "chunks of {chunk}");
    }
}

/// The service read at an uncertain attitude.
fn tilted(bus: &Circuit, chunk: usize) -> Vec<u64> {
    let mut events = service();
    events[5] = Event::parse("read \"dip\", standing nose up 0.5(8) deg right down 0.2(6) deg").unwrap();
    let mut options = PredictOptions::default().draws(2000).seed(3);
    options.chunk = chunk;
    bits(&predict(bus, &events, &options).unwrap())
}

/// One circuit, as its surfaces take longest.
#[test]
fn an_uncertain_attitude_is_drawn_alike_in_any_chunk_and_on_1_2_and_7_threads() {
    let bus = Circuit::demo("shuttle-bus").unwrap();
    let whole = tilted(&bus, 2000);
    for chunk in [1, 7, 4096] {
        assert_eq!(tilted(&bus, chunk), whole, "chunks of {chunk}");
    }
    #[cfg(feature = "parallel")]
    for threads in [1, 2, 7] {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        assert_eq!(pool.install(|| tilted(&bus, 64)), whole, "{threads} threads");
    }
}

/// From the state after the drain and the filter the rest of the service reads as it does in one, at nominal values.
#[test]
fn a_start_takes_the_place_of_what_was_done() {
    let lines = |all: &[&str]| all.iter().map(|line| Event::parse(line).unwrap()).collect::<Vec<Event>>();
    let text =
        include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/box.toml")).replace("(5)", "").replace("(2)", "");
    let still = Circuit::loads(&text, &|_: &str| Err(String::from("no file"))).unwrap();
    let events = lines(&["drain 10 min", "pour 2.5 L with jug", "read \"dip\""]);
    let whole = simulate(&still, &events).unwrap();
    let start = whole.state(1).unwrap();
    let from = PredictOptions::default().draws(3).start(&start);
    let found = predict(&still, &events[1..], &from).unwrap();
    let (dip, told) = (found.reading("dip").unwrap(), whole.reading("dip").unwrap().reading.s);
    assert!(dip.s.values().iter().all(|s| (s - told).abs() < 1e-12), "{:?} {told}", dip.s.values());
    let bus = Circuit::demo("shuttle-bus").unwrap();
    assert_eq!(predict(&bus, &events[2..], &from).unwrap_err().code(), "service.wrong_start");
    let (done, then) = (lines(&["drain 10 min", "change filter"]), lines(&["run 1 min", "rest 15 min"]));
    let start = simulate(&bus, &done).unwrap().state(2).unwrap();
    let mut options = PlanOptions::default();
    options.predict = PredictOptions::default().draws(2000).start(&start);
    let plan = plan_refill(&bus, &[], &then, &options).unwrap();
    options.predict.start = None;
    let told = plan_refill(&bus, &done, &then, &options).unwrap();
    // What stayed is exact, so the first pour may be larger, by less than half a litre.
    let more = plan.first_pour_m3() - told.first_pour_m3();
    assert!((0.0..0.5e-3).contains(&more), "{more}");
    assert!(plan.residue().standard_uncertainty() < told.residue().standard_uncertainty());
}

#[test]
fn the_first_draws_are_those_of_a_longer_run() {
    let (short, long) = (predicted(1000, 1024, 3), predicted(3000, 1024, 3));
    let s = |p: &Prediction| p.reading("dip").unwrap().s.values()[..1000].to_vec();
    assert_eq!(s(&short), s(&long));
}

#[test]
fn another_seed_gives_other_draws() {
    assert_ne!(bits(&predicted(100, 1024, 3)), bits(&predicted(100, 1024, 4)));
    assert_eq!(bits(&predicted(100, 1024, 3)), bits(&predicted(100, 1024, 3)));
}

#[cfg(feature = "parallel")]
#[test]
fn the_number_of_threads_changes_no_bit() {
    let whole = bits(&predicted(5000, 64, 3));
    for threads in [1, 2, 7] {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        assert_eq!(pool.install(|| bits(&predicted(5000, 64, 3))), whole, "{threads} threads");
    }
}

fn planned(chunk: usize) -> (Vec<u64>, String) {
    let mut options = PlanOptions::default();
    options.predict = PredictOptions::default().draws(600).seed(5);
    options.predict.chunk = chunk;
    let events = service();
    let plan = plan_refill(&Circuit::demo("shuttle-bus").unwrap(), &events[..2], &events[3..], &options).unwrap();
    let ends = plan.end_fraction().values().iter().map(|v| v.to_bits()).collect();
    (ends, format!("{:?} {:?}", plan.first_pour_m3(), plan.policy()))
}

/// First pour, table and every draw's end.
#[test]
fn a_plan_is_the_same_in_chunks_of_1_and_4096() {
    let whole = planned(600);
    for chunk in [1, 100, 4096] {
        assert_eq!(planned(chunk), whole, "chunks of {chunk}");
    }
}

#[cfg(feature = "parallel")]
#[test]
fn a_plan_is_the_same_on_1_2_and_7_threads() {
    let whole = planned(64);
    for threads in [1, 2, 7] {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        assert_eq!(pool.install(|| planned(64)), whole, "{threads} threads");
    }
}

/// An error of the joined service names the event by the list that it was given in, under its own code.
#[test]
fn a_plan_names_the_list_of_a_wrong_event() {
    let bus = Circuit::demo("shuttle-bus").unwrap();
    let mut options = PlanOptions::default();
    options.predict = PredictOptions::default().draws(200);
    let refused = |done: &[Event], then: &[Event]| plan_refill(&bus, done, then, &options).unwrap_err();
    let close = Event::from(Action::ClosePlug { plug: None });
    for (error, list, event) in [
        (refused(&[service()[0].clone(), close.clone()], &[]), "done", 1),
        (refused(&service()[..2], &[service()[3].clone(), close.clone()]), "then", 1),
    ] {
        assert!(
            matches!(&error, Error::Service(ServiceError::InList { list: l, event: e, .. }) if l == list && *e == event)
        );
        assert_eq!(error.code(), "service.impossible");
        assert_eq!(error.to_string(), format!("{list}[{event}] ClosePlug: no plug is open"));
        let fields = error.fields();
        assert_eq!((fields["list"].as_str(), fields["event"].as_u64()), (Some(list), Some(event as u64)));
        assert_eq!(fields["action"], "ClosePlug");
    }
    let tilted = Event::parse("drain 10 min, standing nose up 2.0(5) deg").unwrap();
    let message = refused(&[tilted], &[]).to_string();
    assert!(message.starts_with("done[0].attitude is uncertain"), "{message}");
}

/// At a risk of 0.03 ten draws over MAX are those of 334: fewer cannot show it.
#[test]
fn a_plan_needs_ten_draws_over_max() {
    let bus = Circuit::demo("shuttle-bus").unwrap();
    let mut options = PlanOptions::default();
    options.risk_over_max = 0.03;
    options.predict = PredictOptions::default().draws(333);
    let error = plan_refill(&bus, &service()[..2], &[], &options).unwrap_err();
    assert_eq!(error, Error::Estimate(EstimateError::TooFewDraws { draws: 333, risk: 0.03, low: 334 }));
    options.predict = options.predict.draws(334);
    assert!(plan_refill(&bus, &service()[..2], &[], &options).is_ok());
}

#[test]
fn a_set_flag_stops_the_work_with_an_error() {
    let (bus, stop) = (Circuit::demo("shuttle-bus").unwrap(), AtomicBool::new(true));
    let mut options = PredictOptions::default().draws(5000);
    options.stop = Some(&stop);
    let error = predict(&bus, &service(), &options).unwrap_err();
    assert_eq!(error.code(), "estimate.stopped");
    assert_eq!(error, Error::Estimate(EstimateError::Stopped { done: 0, asked: 5000 }));
    assert_eq!(error.to_string(), "stopped after 0 of 5000 draws");
    let mut plan = PlanOptions::default();
    plan.predict = options;
    assert_eq!(plan_refill(&bus, &service()[..2], &[], &plan).unwrap_err().code(), "estimate.stopped");
}
