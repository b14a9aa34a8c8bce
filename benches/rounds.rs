//! What a draw and a simulation take, in rounds over half a minute.
//!
//! Where other guests use the same machine, the second thread of a core among them, a minute may be twice as slow as the next: what
//! disturbs only ever adds. So every round times everything once, for a moment, and the least, the quartiles and the share of the
//! rounds within the target are told. Repeat with `cargo bench --bench rounds`; `benches/README.md` keeps figures.
#![allow(missing_docs, clippy::expect_used, clippy::print_stdout)]

#[path = "common/service.rs"]
mod common;

use std::hint::black_box;
use std::time::Instant;

use common::{BOX, Last, service, side_by_side};
use fillmark::circuit::Circuit;
use fillmark::numeric::lanes::Eight;
use fillmark::service::{Event, Program, Scratch, simulate};

/// Some half a minute, without a pause: after one a core takes a while to come up to its speed.
const ROUNDS: usize = 20_000;
/// Runs of each in one round, after some that bring it back into the caches.
const RUNS: usize = 100;
const FIRST: usize = 20;

/// A circuit and everything that a run of its service needs.
struct Ready {
    circuit: Circuit,
    events: Vec<Event>,
    program: Program,
    inputs: Vec<f64>,
    scratch: Scratch,
    eight: Vec<Eight>,
    abreast: Scratch<Eight>,
}

impl Ready {
    fn new(circuit: Circuit) -> Self {
        let events = service();
        let program = Program::compile(&circuit, &events).expect("a service");
        let inputs = program.nominals().to_vec();
        let eight = side_by_side(&program);
        let scratch = program.scratch(&inputs).expect("an oil");
        let abreast = program.scratch_abreast(&eight).expect("an oil");
        Self { circuit, events, program, inputs, scratch, eight, abreast }
    }

    fn draw(&mut self) {
        let mut last = Last(0.0);
        self.program.run(black_box(&self.inputs), &mut self.scratch, &mut last).expect("a run");
        black_box(last.0);
    }

    fn eight_draws(&mut self) {
        let mut last = Last(0.0);
        assert!(self.program.run_abreast(black_box(&self.eight), &mut self.abreast, &mut last).expect("a run"));
        black_box(last.0);
    }

    fn simulate(&mut self) {
        drop(black_box(simulate(&self.circuit, black_box(&self.events)).expect("a timeline")));
    }
}

/// What is measured: of which circuit, how many draws it is, and what a draw may take (µs).
struct Measured {
    what: &'static str,
    of: usize,
    draws: usize,
    target: Option<f64>,
    run: fn(&mut Ready),
    found: Vec<f64>,
}

impl Measured {
    fn new(what: &'static str, of: usize, draws: usize, target: Option<f64>, run: fn(&mut Ready)) -> Self {
        Self { what, of, draws, target, run, found: Vec::new() }
    }

    fn round(&mut self, ready: &mut Ready) {
        (0..FIRST).for_each(|_| (self.run)(ready));
        let began = Instant::now();
        (0..RUNS).for_each(|_| (self.run)(ready));
        self.found.push(began.elapsed().as_secs_f64() * 1e6 / (RUNS * self.draws) as f64);
    }

    fn report(&mut self) {
        self.found.sort_by(f64::total_cmp);
        let (found, last) = (&self.found, self.found.len() - 1);
        let [least, lower, middle, upper] = [0, last / 4, last / 2, 3 * last / 4].map(|i| found[i]);
        print!("{:<45} {least:>7.3} {lower:>7.3} {middle:>7.3} {upper:>7.3}", self.what);
        match self.target {
            Some(target) => {
                let within = found.iter().filter(|took| **took <= target).count();
                println!("   {target} in {:.0} %", 100.0 * within as f64 / found.len() as f64);
            }
            None => println!(),
        }
    }
}

fn main() {
    // `cargo test --benches` runs a benchmark to see that it can run.
    let rounds = if std::env::args().any(|a| a == "--bench") { ROUNDS } else { 1 };
    let plain = Circuit::loads(BOX, &|_| Err("none".into())).expect("the box circuit");
    let bus = Circuit::demo("shuttle-bus").expect("the demo circuit");
    let mut ready = [plain, bus].map(Ready::new);
    let mut all = [
        Measured::new("box, a draw by itself", 0, 1, Some(0.3), Ready::draw),
        Measured::new("box, one of eight draws side by side", 0, 8, Some(0.3), Ready::eight_draws),
        Measured::new("box, simulate", 0, 1, Some(5.0), Ready::simulate),
        Measured::new("shuttle-bus, a draw by itself", 1, 1, None, Ready::draw),
        Measured::new("shuttle-bus, one of eight draws side by side", 1, 8, Some(0.3), Ready::eight_draws),
        Measured::new("shuttle-bus, simulate", 1, 1, Some(5.0), Ready::simulate),
    ];
    for _ in 0..rounds {
        all.iter_mut().for_each(|measured| measured.round(&mut ready[measured.of]));
    }
    println!("µs in {rounds} rounds: {:<23} {:>7} {:>7} {:>7} {:>7}   target", "", "least", "quarter", "half", "3/4");
    all.iter_mut().for_each(Measured::report);
}
