//! How many times faster a response answers than the exact kernel at the same places, of every demo circuit.
//!
//! Fast and exact are timed by turns, within milliseconds of each other, as a processor's clock may change between one
//! figure and the next. Repeat with `cargo bench --bench response`; `benches/README.md` keeps figures.
#![allow(missing_docs, clippy::expect_used, clippy::print_stdout)]

use std::hint::black_box;
use std::time::Instant;

use fillmark::circuit::Circuit;
use fillmark::geometry::{Attitude, Domain, Point, Response, ResponseOptions};
use uom::si::f64::Volume;
use uom::si::volume::liter;

/// Name, tip of the stick (mm), volumes from half the span below MIN to half above MAX (L).
const CIRCUITS: [(&str, [f64; 3], [f64; 2]); 4] = [
    ("shuttle-bus", [60.0, 40.0, -80.0], [4.96, 7.94]),
    ("deck-generator", [-100.0, 50.0, 10.0], [2.96, 4.56]),
    ("harbour-launch", [-200.0, 80.0, -150.0], [13.21, 19.19]),
    ("winch-gearbox", [-70.0, 40.0, 20.0], [2.18, 3.45]),
];
/// Within this of level, either way (deg).
const TILT: f64 = 4.0;
const PLACES: usize = 1024;
const ROUNDS: usize = 61;
/// As often are all places asked in one round, by the response.
const TIMES: usize = 20;

type Place = (f64, Attitude);

fn main() {
    // `cargo test --benches` runs a benchmark to see that it can run.
    let rounds = if std::env::args().any(|a| a == "--bench") { ROUNDS } else { 1 };
    println!("a place in nanoseconds, over {rounds} rounds; exact over fast: median (least to most)");
    for (name, tip, litres) in CIRCUITS {
        let response = response(name, tip, litres);
        let places: Vec<Place> = (0..PLACES).map(|i| place(i, litres)).collect();
        // Over many faces an exact answer takes milliseconds.
        let (few, rounds) = if name == "shuttle-bus" { (8, rounds.min(9)) } else { (PLACES, rounds) };
        let found: Vec<[f64; 3]> = (0..rounds).map(|_| round(&response, &places, few)).collect();
        let [one, many, exact] = [0, 1, 2].map(|i| median(found.iter().map(|f| f[i] * 1e9)));
        println!("{name}: error {:.4} mm at held-out points", response.quality().worst_error_mm);
        println!("  exact         {exact:>10.1}");
        println!("  one in turn   {one:>10.1}   {}", ratios(&found, 0));
        println!("  all at once   {many:>10.1}   {}", ratios(&found, 1));
    }
}

fn response(name: &str, tip: [f64; 3], litres: [f64; 2]) -> Response {
    let circuit = Circuit::demo(name).expect("a demo circuit");
    let [low, high] = litres.map(Volume::new::<liter>);
    let domain = Domain { volume: (low, high), nose_up_deg: (-TILT, TILT), right_down_deg: (-TILT, TILT) };
    let tip = Point::from_mm(tip).expect("a point");
    Response::build(circuit.sump(), tip, domain, ResponseOptions::default()).expect("a response")
}

/// Places all over the domain.
fn place(i: usize, [low, high]: [f64; 2]) -> Place {
    let turn = |k: usize| (i * k % PLACES) as f64 / PLACES as f64;
    let angle = |k: usize| 2.0 * TILT * turn(k) - TILT;
    ((low + (high - low) * turn(389)) / 1e3, Attitude::from_degrees(angle(577), angle(211)).expect("an attitude"))
}

/// Seconds a place: one after the other, all at once, exact.
fn round(response: &Response, places: &[Place], few: usize) -> [f64; 3] {
    let part = |of: fn(&Place) -> f64| places.iter().map(of).collect::<Vec<f64>>();
    let [volumes, nose_up, right_down] = [part(|p| p.0), part(|p| p.1.nose_up_deg()), part(|p| p.1.right_down_deg())];
    let mut heights = volumes.clone();
    let one = seconds(TIMES * PLACES, || {
        for _ in 0..TIMES {
            for (height, (volume, attitude)) in heights.iter_mut().zip(black_box(places)) {
                *height = response.height_si(*volume, *attitude).expect("a height");
            }
            black_box(&mut heights);
        }
    });
    let many = seconds(TIMES * PLACES, || {
        for _ in 0..TIMES {
            heights.copy_from_slice(&volumes);
            response.heights_at_si(black_box(&mut heights), &nose_up, &right_down).expect("heights");
        }
    });
    let exact = seconds(few, || {
        for (volume, attitude) in &places[..few] {
            black_box(response.exact_si(black_box(*volume), *attitude).expect("a height"));
        }
    });
    [one, many, exact]
}

fn seconds(places: usize, work: impl FnOnce()) -> f64 {
    let began = Instant::now();
    work();
    began.elapsed().as_secs_f64() / places as f64
}

fn median(values: impl Iterator<Item = f64>) -> f64 {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}

/// Exact over the way `i`, round by round.
fn ratios(found: &[[f64; 3]], i: usize) -> String {
    let each = || found.iter().map(move |f| f[2] / f[i]);
    let (least, most) = each().fold((f64::MAX, 0.0_f64), |(least, most), r| (least.min(r), most.max(r)));
    format!("{:.0} x ({least:.0} to {most:.0})", median(each()))
}
