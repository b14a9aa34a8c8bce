//! The per-draw path allocates nothing, nor do pools once asked.
#![allow(clippy::unwrap_used)]

use fillmark::circuit::Circuit;
use fillmark::geometry::{Attitude, LengthUnit, Plug, Pools, Sump};
use fillmark::service::{Action, Amount, Bend, Event, Misfit, Program, Recorder, Taken, When};
use fillmark::units::Value;
use fillmark::uom::si::f64::{Length, Volume};
use fillmark::uom::si::length::millimeter;
use fillmark::uom::si::volume::liter;

#[test]
fn pools_allocate_nothing_once_their_ways_are_known() {
    let l = |litres: f64| Volume::new::<liter>(litres);
    let bytes = std::fs::read(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/twin_well.stl")).unwrap();
    let sump = Sump::from_stl_bytes(&bytes, LengthUnit::Millimetre).unwrap();
    let wells = sump.basins(Attitude::LEVEL).unwrap();
    let mut pools = Pools::at_level(&sump, Length::default(), Attitude::LEVEL).unwrap();
    let well = wells[0].lowest_point;
    let plug = Plug::new(well, Length::new::<millimeter>(14.0), Length::default(), Plug::DOWN).unwrap();
    let (landing, holes, tube) =
        (pools.landing(well).unwrap(), pools.holes(&[plug]).unwrap(), pools.tube(well).unwrap());
    let cycle = |pools: &mut Pools| {
        let mut heard = 0;
        // Both wells past the ridge, a little out again, then all that the plug reaches.
        pools.pour_into(landing, l(4.0).value, &mut |_| heard += 1).unwrap();
        let pool = pools.pool_over(landing).unwrap().unwrap();
        pools.withdraw_through(&tube, pools.reach(&tube) / 2.0, &mut |_| heard += 1);
        pools.drain_through(&holes, &mut |_| heard += 1);
        assert!(heard > 4 && pool.level.value > 0.0);
    };
    cycle(&mut pools);
    let counted = allocation_counter::measure(|| (0..10).for_each(|_| cycle(&mut pools)));
    assert_eq!(counted.count_total, 0, "{counted:?}");
}

/// Keeps the last reading only.
struct Last(f64);

impl Recorder for Last {
    fn reading(&mut self, _nth: usize, taken: &Taken<'_>) {
        self.0 = taken.s;
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        Bend::Bend
    }
}

fn time(text: &str) -> Value<fillmark::units::Time> {
    Value::parse("duration", text).unwrap()
}

#[test]
fn a_run_allocates_nothing() {
    // All that have a filter to change.
    for name in ["shuttle-bus", "deck-generator", "harbour-launch"] {
        let circuit = Circuit::demo(name).unwrap();
        let leak = Action::Leak { rate: Value::parse("rate", "2 mL/min").unwrap(), when: When::Always };
        let events: Vec<Event> = vec![
            leak.into(),
            Action::Drain { plug: None, duration: time("10 min"), temperature: None }.into(),
            Action::ChangeFilter {
                primed: Value::parse("primed", "0.1 L").unwrap(),
                net_volume: None,
                temperature: None,
            }
            .into(),
            Action::Pour {
                amount: Amount::Volume(Value::parse("volume", "4 L").unwrap()),
                temperature: None,
                measured_with: Some("jug".into()),
            }
            .into(),
            Action::Run { duration: time("1 min"), temperature: None }.into(),
            Action::Rest { duration: time("5 min") }.into(),
            Action::read().into(),
            // More than the sump holds: the draw is bent, which must not allocate either.
            Action::Withdraw { amount: Amount::Volume(Value::parse("volume", "900 L").unwrap()), measured_with: None }
                .into(),
        ];
        let program = Program::compile(&circuit, &events).unwrap();
        let inputs = program.nominals().to_vec();
        let mut scratch = program.scratch(&inputs).unwrap();
        let mut last = Last(0.0);
        let counted = allocation_counter::measure(|| {
            for _ in 0..100 {
                program.run(&inputs, &mut scratch, &mut last).unwrap();
            }
        });
        assert!(last.0 > 0.0);
        assert_eq!(counted.count_total, 0, "{name}: {counted:?}");
    }
}

/// A closed grid of `n` by `n` cells bent into a lump, with its faces in a fixed order.
fn lump(n: u32) -> Sump {
    use fillmark::geometry::ClosedMesh;
    let mut vertices = vec![[0.0, 0.0, -0.1]];
    let angle = |i: u32, of: u32| std::f64::consts::PI * f64::from(i) / f64::from(of);
    for i in 1..n {
        for j in 0..n {
            let (polar, turn) = (angle(i, n), 2.0 * angle(j, n));
            let r = 0.1 * (1.0 + 0.2 * (3.0 * turn).sin() * polar.sin());
            vertices.push([r * polar.sin() * turn.cos(), r * polar.sin() * turn.sin(), -0.1 * polar.cos()]);
        }
    }
    vertices.push([0.0, 0.0, 0.1]);
    let (at, top) = (|i: u32, j: u32| 1 + (i - 1) * n + j % n, (n - 1) * n + 1);
    let mut faces = Vec::new();
    for j in 0..n {
        faces.extend([[0, at(1, j + 1), at(1, j)], [top, at(n - 1, j), at(n - 1, j + 1)]]);
        for i in 1..n - 1 {
            let (a, b, c, d) = (at(i, j), at(i, j + 1), at(i + 1, j), at(i + 1, j + 1));
            faces.extend([[a, b, d], [a, d, c]]);
        }
    }
    Sump::from_mesh(ClosedMesh::try_new(vertices, faces).unwrap())
}

/// What preparing a curve takes over the mesh, at its highest and for keeps, per face.
#[test]
fn a_curve_takes_at_most_150_bytes_a_face() {
    let sump = lump(200);
    let faces = f64::from(u32::try_from(sump.face_count().unwrap()).unwrap());
    for attitude in [Attitude::LEVEL, Attitude::from_degrees(3.0, -2.0).unwrap()] {
        let mut kept = None;
        let counted = allocation_counter::measure(|| kept = Some(sump.prepare(attitude).unwrap()));
        let [peak, stays] =
            [counted.bytes_max as f64 / faces, f64::from(i32::try_from(counted.bytes_current).unwrap()) / faces];
        assert!(peak <= 150.0, "{peak:.0} bytes a face while a curve is prepared");
        assert!(stays <= 75.0, "{stays:.0} bytes a face for a prepared curve");
    }
}

/// A file of STL may claim any number of triangles: memory follows its length, not its claim.
#[test]
fn memory_for_a_drawing_follows_its_length() {
    let mut claims = vec![0u8; 80];
    claims.extend(u32::MAX.to_le_bytes());
    claims.extend(vec![1u8; 10_000]);
    let box_bytes = std::fs::read(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/twin_well.stl")).unwrap();
    let text =
        b"solid x\n".iter().copied().chain(b"facet normal 0 0 0 ".iter().copied().cycle().take(20_000)).collect();
    for bytes in [claims, box_bytes, text] {
        let counted = allocation_counter::measure(|| drop(Sump::from_stl_bytes(&bytes, LengthUnit::Millimetre)));
        // Corners, joined corners, faces, half-edges and areas: a triangle of 50 bytes becomes some 400 while it is read.
        assert!(counted.bytes_max <= 12 * bytes.len() as u64 + 10_000, "{} of {}", counted.bytes_max, bytes.len());
    }
}

/// Beyond what a prediction returns it takes at most a tenth of that, at a million draws on one thread.
#[cfg(feature = "parallel")]
#[test]
fn a_prediction_takes_little_beyond_what_it_returns() {
    use fillmark::estimate::{PredictOptions, predict};
    let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/box.toml"));
    let circuit = Circuit::loads(text, &|_: &str| Err(String::from("no file"))).unwrap();
    let events = ["drain 10 min", "pour 2.5 L with jug", "read"].map(|line| Event::parse(line).unwrap());
    let draws = 1_000_000;
    let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
    let mut kept = None;
    let counted = pool.install(|| {
        allocation_counter::measure(|| {
            kept = Some(predict(&circuit, &events, &PredictOptions::default().draws(draws)).unwrap());
        })
    });
    let returned = u64::try_from(counted.bytes_current).unwrap();
    // Four columns of numbers and two of flags.
    assert!(returned >= 34 * draws as u64 && kept.unwrap().draws() == draws);
    let beyond = counted.bytes_max - returned;
    assert!(beyond * 10 <= returned, "{beyond} bytes beyond {returned}");
}

/// Twice the draws, as many allocations: what is allocated is for the chunk and the summary, nothing for a draw.
#[cfg(feature = "parallel")]
fn allocated_for_draws(of: impl Fn(usize) + Send + Sync) {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
    pool.install(|| {
        of(500); // prepares what is kept
        let [once, twice] = [500, 1000].map(|draws| allocation_counter::measure(|| of(draws)).count_total);
        assert!(twice <= once + 20, "{once} allocations for 500 draws, {twice} for 1000");
    });
}

#[cfg(feature = "parallel")]
#[test]
fn an_assessment_allocates_nothing_in_a_draw() {
    use fillmark::estimate::{AssessOptions, assess};
    // A sump of one pool at any tilt: pools are made anew where liquid may lie apart.
    let generator = Circuit::demo("deck-generator").unwrap();
    let events = ["drain 10 min", "change filter", "pour 4.1 L with jug", "run 1 min", "rest 5 min"];
    let events = events.map(|line| Event::parse(line).unwrap());
    allocated_for_draws(|draws| {
        let mut options = AssessOptions::default();
        options.surge_deg = 3.0;
        options.predict.draws = draws;
        let found = assess(&generator, &events, &options).unwrap();
        assert!(found.crank_gap().is_some() && found.pickup().is_some());
    });
}

#[cfg(feature = "parallel")]
#[test]
fn a_draw_of_an_attitude_allocates_nothing() {
    use fillmark::estimate::{PredictOptions, predict};
    let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/box.toml"));
    let circuit = Circuit::loads(text, &|_: &str| Err(String::from("no file"))).unwrap();
    let events = ["drain 10 min", "pour 2.5 L with jug", "read, standing nose up 1.0(5) deg right down 0.0(3) deg"];
    let events = events.map(|line| Event::parse(line).unwrap());
    allocated_for_draws(|draws| {
        predict(&circuit, &events, &PredictOptions::default().draws(draws)).unwrap();
    });
}
