//! Time of one service: the compiled program alone, a full simulation, a prediction per draw.
//!
//! Repeat with `cargo bench --bench service`; `benches/README.md` keeps figures with the machine they came from.
#![allow(missing_docs, clippy::expect_used)]

use std::hint::black_box;

#[path = "common/service.rs"]
mod common;

use common::{BOX, Last, service, side_by_side};
use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use fillmark::circuit::Circuit;
use fillmark::estimate::{PredictOptions, predict};
use fillmark::service::{Event, Program, simulate};

/// The same lines with the reading taken on a slope that is known to so many degrees; it drains as the drawing says, along
/// its prepared curve.
fn sloped() -> Vec<Event> {
    let lines = [
        "drain 10 min at 60 degC",
        "change filter",
        "pour 6.9 L with jug",
        "run 1 min",
        "rest 5 min",
        "read, standing nose up 0.0(5) deg right down 0.0(5) deg",
    ];
    lines.map(|line| Event::parse(line).expect("an event")).to_vec()
}

fn bench(c: &mut Criterion) {
    let events = service();
    let box_circuit = Circuit::loads(BOX, &|_| Err("none".into())).expect("the box circuit");
    let bus = Circuit::demo("shuttle-bus").expect("the demo circuit");
    for (name, circuit) in [("box", &box_circuit), ("shuttle-bus", &bus)] {
        let program = Program::compile(circuit, &events).expect("a service");
        let inputs = program.nominals().to_vec();
        let mut scratch = program.scratch(&inputs).expect("an oil");
        let mut last = Last(0.0);
        c.bench_function(&format!("run/{name}"), |b| {
            b.iter(|| {
                program.run(black_box(&inputs), &mut scratch, &mut last).expect("a run");
                last.0
            });
        });
        let eight = side_by_side(&program);
        let mut abreast = program.scratch_abreast(&eight).expect("an oil");
        c.bench_function(&format!("run, eight draws side by side/{name}"), |b| {
            b.iter(|| {
                assert!(program.run_abreast(black_box(&eight), &mut abreast, &mut last).expect("a run"));
                last.0
            });
        });
        c.bench_function(&format!("simulate/{name}"), |b| b.iter(|| simulate(circuit, black_box(&events))));
        let options = PredictOptions::default().draws(10_000);
        c.bench_function(&format!("predict 10,000/{name}"), |b| b.iter(|| predict(circuit, &events, &options)));
    }
}

/// What is prepared once for a service of the drawn sump, and what a draw of it takes then: the drain curve of the plug and
/// the surfaces over pitch and roll.
fn prepared(c: &mut Criterion) {
    let events = sloped();
    let options = PredictOptions::default().draws(10_000);
    let mut slow = c.benchmark_group("prepared");
    slow.sample_size(10);
    let fresh = || Circuit::demo("shuttle-bus").expect("the demo circuit");
    let few = PredictOptions::default().draws(1);
    // A new circuit has nothing kept.
    slow.bench_function("drain curve, compiled anew", |b| {
        b.iter_batched(fresh, |bus| Program::compile(&bus, &events), BatchSize::PerIteration);
    });
    slow.bench_function("drain curve and surfaces, 1 draw", |b| {
        b.iter_batched(fresh, |bus| predict(&bus, &events, &few), BatchSize::PerIteration);
    });
    let bus = fresh();
    slow.bench_function("1 draw, all kept", |b| b.iter(|| predict(&bus, black_box(&events), &few)));
    slow.bench_function("10,000 draws, all kept", |b| b.iter(|| predict(&bus, black_box(&events), &options)));
    slow.finish();
}

/// The service of `benches/peers/predict.py`: 14 uncertain inputs, pitch and roll of the reading among them, everything at
/// 20 °C. With `RAYON_NUM_THREADS=1` a ten-thousandth of it is a draw on one core.
fn tilted(c: &mut Criterion) {
    let stated = [
        ("instruments.jug.scale", "1.00(2)"),
        ("plugs.main.heel", "0.45(5) L"),
        ("filter.net_volume", "0.45(3) L"),
        ("stores.head.running", "0.45(5) L"),
        ("stores.head.film", "0.12(1) L"),
        ("stores.head.pool_time", "12(1) s"),
        ("geometry.volume_scale", "1.000(5)"),
        ("geometry.datum", "0.0(5) mm"),
        ("fluid.kv40", "95(3) mm2/s"),
        ("fluid.kv100", "14.3(3) mm2/s"),
        ("dipstick.min", "95.8 mm"),
        ("dipstick.max", "111.4 mm"),
        ("stores.head.kept", "0.08 L"),
        ("stores.cooler.kept", "0.15 L"),
        ("stores.cooler.running", "0.10 L"),
        ("cooling.time", "40 min"),
        ("fluid.density_15c", "868 kg/m3"),
    ];
    let bus = Circuit::demo("shuttle-bus").and_then(|bus| bus.replace(&stated)).expect("the demo circuit, as stated");
    let lines = [
        "drain 10 min",
        "change filter",
        "pour 6.60(5) L with jug",
        "run 1 min",
        "rest 5 min",
        "read, standing nose up 0.0(5) deg right down 0.0(5) deg",
    ];
    let events = lines.map(|line| Event::parse(line).expect("an event"));
    let options = PredictOptions::default().draws(10_000);
    // The surfaces are prepared once for a circuit.
    predict(&bus, &events, &options).expect("a prediction");
    c.bench_function("predict 10,000/14 inputs", |b| b.iter(|| predict(&bus, black_box(&events), &options)));
}

criterion_group!(benches, bench, prepared, tilted);
criterion_main!(benches);
