//! What a draw and a simulation take, by turns with a fixed piece of work.
//!
//! A shared machine changes its speed by up to two within minutes. What is measured here is therefore timed within a millisecond of
//! a loop of sums that never changes, and also told in steps of it: a figure in steps is the same in a
//! fast minute and in a slow one. Repeat with `cargo bench --bench turns`; `benches/README.md` keeps figures.
#![allow(missing_docs, clippy::expect_used, clippy::print_stdout)]

#[path = "common/service.rs"]
mod common;

use std::hint::black_box;
use std::time::Instant;

use common::{BOX, Last, service, side_by_side};
use fillmark::circuit::Circuit;
use fillmark::service::{Program, simulate};

const ROUNDS: usize = 301;
/// Of the fixed work, in one round.
const STEPS: usize = 5_000;
/// Runs of what is measured, in one round.
const RUNS: usize = 100;

/// What is measured, how many draws a run of it is, and what it may take (µs a draw).
struct Measured<'a> {
    name: String,
    draws: usize,
    target: Option<f64>,
    run: Box<dyn FnMut() + 'a>,
}

fn main() {
    // `cargo test --benches` runs a benchmark to see that it can run.
    let rounds = if std::env::args().any(|a| a == "--bench") { ROUNDS } else { 1 };
    let events = service();
    println!("{rounds} rounds: µs in the median (least to most); steps of the fixed work; rounds within the target");
    for name in ["box", "shuttle-bus"] {
        let circuit = match name {
            "box" => Circuit::loads(BOX, &|_| Err("none".into())),
            demo => Circuit::demo(demo),
        };
        let circuit = circuit.expect("a circuit");
        let program = Program::compile(&circuit, &events).expect("a service");
        let inputs = program.nominals().to_vec();
        let eight = side_by_side(&program);
        let mut scratch = program.scratch(&inputs).expect("an oil");
        let mut abreast = program.scratch_abreast(&eight).expect("an oil");
        let (mut alone, mut together) = (Last(0.0), Last(0.0));
        let measured = [
            Measured {
                name: format!("{name}: a draw by itself"),
                draws: 1,
                target: (name == "box").then_some(0.3),
                run: Box::new(|| program.run(black_box(&inputs), &mut scratch, &mut alone).expect("a run")),
            },
            Measured {
                name: format!("{name}: one of eight draws side by side"),
                draws: 8,
                target: Some(0.3),
                run: Box::new(|| {
                    assert!(program.run_abreast(black_box(&eight), &mut abreast, &mut together).expect("a run"));
                }),
            },
            Measured {
                name: format!("{name}: simulate"),
                draws: 1,
                target: Some(5.0),
                run: Box::new(|| drop(black_box(simulate(&circuit, black_box(&events)).expect("a timeline")))),
            },
        ];
        measured.into_iter().for_each(|what| report(what, rounds));
    }
}

/// Times both by turns and prints what was found.
fn report(what: Measured<'_>, rounds: usize) {
    let Measured { name, draws, target, mut run } = what;
    let found: Vec<[f64; 2]> = (0..rounds)
        .map(|_| {
            let fixed = seconds(STEPS, fixed_work);
            [seconds(RUNS * draws, || (0..RUNS).for_each(|_| run())) * 1e6, fixed * 1e6]
        })
        .collect();
    let took: Vec<f64> = sorted(found.iter().map(|f| f[0]));
    let steps = sorted(found.iter().map(|f| f[0] / f[1]));
    let step = sorted(found.iter().map(|f| f[1] * 1e3));
    let within = target.map_or_else(String::new, |target| {
        let share = 100 * took.iter().filter(|t| **t <= target).count() / rounds;
        format!("; within {target} µs {share} %")
    });
    let (middle, last) = (rounds / 2, rounds - 1);
    println!(
        "{name}: {:.3} ({:.3} to {:.3}); {:.0} steps of {:.2} ns ({:.2} to {:.2}){within}",
        took[middle], took[0], took[last], steps[middle], step[middle], step[0], step[last]
    );
}

/// Sums of powers of eight numbers at a time, none of which waits for another: as a draw of eight does, it keeps a core's units
/// busy, and slows down as much where they are shared.
fn fixed_work() {
    let mut all = [[0.0_f64; 8]; 8];
    for step in 0..STEPS {
        let x = black_box(&mut all)[step % 8];
        let (mut odd, mut even) = ([0.3; 8], [0.7; 8]);
        for c in [0.9, 0.8, 0.6, 0.5, 0.4, 0.2] {
            for i in 0..8 {
                odd[i] = odd[i] * x[i] + c;
                even[i] = even[i] * x[i] - c;
            }
        }
        all[step % 8] = std::array::from_fn(|i| odd[i] + even[i]);
    }
}

fn seconds(of: usize, work: impl FnOnce()) -> f64 {
    let began = Instant::now();
    work();
    began.elapsed().as_secs_f64() / of as f64
}

fn sorted(values: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    values
}
