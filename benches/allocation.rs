//! What a draw and a simulation allocate, by an allocator that counts. A draw that allocates stops the bench.
//!
//! Repeat with `cargo bench --bench allocation`.
#![allow(missing_docs, clippy::expect_used, clippy::print_stdout)]

#[path = "common/service.rs"]
mod common;

use std::hint::black_box;

use allocation_counter::measure;
use common::{BOX, Last, service, side_by_side};
use fillmark::circuit::Circuit;
use fillmark::service::{Action, Event, Program, When, simulate};
use fillmark::units::Value;

const RUNS: usize = 100;

/// The service, and the same with a leak that acts in its rests.
fn services() -> [(&'static str, Vec<Event>); 2] {
    let rate = Value::parse("rate", "2 mL/min").expect("a rate");
    let leak = Event::from(Action::Leak { rate, when: When::Always });
    let leaking = std::iter::once(leak).chain(service()).collect();
    [("service", service()), ("service with a leak", leaking)]
}

fn main() {
    let plain = Circuit::loads(BOX, &|_| Err("none".into())).expect("the box circuit");
    let demo = |name| Circuit::demo(name).expect("a demo circuit");
    for (name, circuit) in
        [("box", plain), ("shuttle-bus", demo("shuttle-bus")), ("harbour-launch", demo("harbour-launch"))]
    {
        for (what, events) in services() {
            let program = Program::compile(&circuit, &events).expect("a service");
            let (inputs, eight) = (program.nominals().to_vec(), side_by_side(&program));
            let mut scratch = program.scratch(&inputs).expect("an oil");
            let mut abreast = program.scratch_abreast(&eight).expect("an oil");
            let mut last = Last(0.0);
            let one = measure(|| {
                for _ in 0..RUNS {
                    program.run(black_box(&inputs), &mut scratch, &mut last).expect("a run");
                }
            });
            let side_by_side = measure(|| {
                for _ in 0..RUNS {
                    program.run_abreast(black_box(&eight), &mut abreast, &mut last).expect("a run");
                }
            });
            assert_eq!((one.count_total, side_by_side.count_total), (0, 0), "{name}, {what}: a draw allocates");
            let whole = measure(|| drop(black_box(simulate(&circuit, &events).expect("a timeline"))));
            println!(
                "{name}, {what}: {RUNS} draws, one by one or eight abreast, allocate nothing; simulate allocates {} times, {} bytes",
                whole.count_total, whole.bytes_total
            );
        }
    }
}
