//! Liquid that basins hold apart, in a service.

use approx::assert_abs_diff_eq;

use super::super::{Action, Event, Timeline, Wetting, simulate_from};
use super::{carry_out, celsius, mm, plain, pour, read, rest, run, time};
use crate::circuit::Circuit;
use crate::circuit::spec::AttitudeSpec;
use crate::units::Value;

/// A pan of 300 x 200 x 100 mm with a rib of 4 x 30 mm across its middle: 0.888 L on either side to the rib's edge. The
/// stick stands on the far side, its tip 2 mm over the floor and MAX 60 mm over it; the plug is on the near side.
fn ribbed(more: &str) -> Circuit {
    let outline =
        [[0, 0], [148, 0], [148, 30], [152, 30], [152, 0], [300, 0], [300, 100], [0, 100]].map(|[x, z]| (x, z));
    let corners: Vec<_> = [0, 200].iter().flat_map(|y| outline.map(|(x, z)| [x, *y, z])).collect();
    let mut faces: Vec<[usize; 3]> = Vec::new();
    for [a, b, c] in [[0, 1, 2], [0, 2, 7], [7, 2, 3], [7, 3, 6], [3, 5, 6], [3, 4, 5]] {
        faces.extend([[a, b, c], [a + 8, c + 8, b + 8]]);
    }
    for i in 0..8 {
        let j = (i + 1) % 8;
        faces.extend([[i, j + 8, j], [i, i + 8, j + 8]]);
    }
    let base: serde_json::Value = serde_json::from_str(&plain(more).to_json()).unwrap();
    let mut tree = base;
    tree["sump"] = serde_json::json!({ "mesh": { "vertices_mm": corners, "faces": faces } });
    tree["dipstick"]["path_mm"] = serde_json::json!([[250, 100, 2], [250, 100, 97]]);
    tree["dipstick"]["min"] = "20 mm".into();
    tree["dipstick"]["max"] = "58 mm".into();
    tree["plugs"]["main"] = serde_json::json!({ "at_mm": [20, 100, 0], "bore": "12 mm" });
    Circuit::loads(&tree.to_string(), &|_| Err("no files".into())).unwrap()
}

const HALF: f64 = 0.888;

fn drain() -> Event {
    Action::Drain { plug: None, duration: time("24 h"), temperature: None }.into()
}

fn volumes(line: &Timeline, row: usize) -> Vec<f64> {
    line.rows()[row].pools.iter().map(|p| p.volume_m3 * 1e3).collect()
}

/// Hand calculation: the near side empties, the far side keeps what is below the rib's edge; what is poured there spills
/// over until the near side is full as well; then both rise as one.
#[test]
fn a_drain_leaves_what_is_behind_a_rib() {
    let events = [drain(), read("after"), pour(0.5), read("spilled"), pour(HALF - 0.5 + 1.0), read("joined")];
    let line = carry_out(&ribbed(""), &events);
    assert_abs_diff_eq!(line.rows()[0].volume_sump_m3 * 1e3, 3.576, epsilon = 1e-9);
    assert_abs_diff_eq!(line.rows()[1].volume_sump_m3 * 1e3, HALF, epsilon = 1e-9);
    assert_abs_diff_eq!(mm(&line, "after"), 28.0, epsilon = 1e-9);
    assert_abs_diff_eq!(mm(&line, "spilled"), 28.0, epsilon = 1e-9);
    assert_abs_diff_eq!(mm(&line, "joined"), 28.0 + 1.0 / 0.06, epsilon = 1e-9);
    let flags = ["after", "spilled", "joined"].map(|l| line.reading(l).unwrap().reading.apart);
    assert_eq!(flags, [false, true, false]);
    assert_eq!(volumes(&line, 3).len(), 2);
    assert_abs_diff_eq!(volumes(&line, 3)[1], 0.5, epsilon = 1e-9);
}

/// The heel of the service is that of the geometry, at any attitude.
#[test]
fn the_heel_is_that_of_the_geometry() {
    let circuit = ribbed("");
    let plug = circuit.spec().plugs["main"].plug().unwrap();
    for degrees in [-4.0, -1.0, 0.0, 2.0, 6.0] {
        let at = AttitudeSpec { nose_up: Value::exact(degrees, "deg").unwrap(), ..Default::default() };
        let line = carry_out(&circuit, &[drain().at(at.clone())]);
        let heel = circuit.sump().heel(&[plug], at.nominal().unwrap()).unwrap().value;
        // Turned there at MAX, some of it may have stayed out of reach of what the geometry counts from a full sump: none does.
        assert_abs_diff_eq!(line.rows()[1].volume_sump_m3 * 1e3, heel * 1e3, epsilon = 1e-6);
    }
}

/// Only the pool under the stick mixes in a run; what lies apart keeps its oil and its temperature.
#[test]
fn what_lies_apart_does_not_mix() {
    let circuit = ribbed("[filter]\nnet_volume = \"0.2 L\"\n");
    let run: Event = Action::Run { duration: time("1 min"), temperature: None }.into();
    let events = [drain(), pour(0.4), run.clone(), run];
    let line = carry_out(&circuit, &events);
    let last = line.rows().last().unwrap();
    let apart = last.pools.iter().find(|p| !p.under_tip).unwrap();
    // Poured on the far side: old oil with as much new in it as had mixed there spilled over.
    assert!(apart.contents.mass[0] > 0.0 && apart.contents.mass[1] > 0.0);
    assert_eq!(line.rows()[2].pools.len(), 2);
    let before = line.rows()[2].pools.iter().find(|p| !p.under_tip).unwrap();
    assert_eq!(apart.contents.mass, before.contents.mass);
}

/// Warming makes a full basin spill, and cooling makes joined pools part.
#[test]
fn warming_spills_and_cooling_parts() {
    let circuit = ribbed("[cooling]\ntime = \"10 min\"\n");
    let events = [drain(), run("1 min", 80.0), read("hot"), rest("24 h"), read("cold")];
    let line = carry_out(&circuit, &events);
    assert_abs_diff_eq!(mm(&line, "hot"), 28.0, epsilon = 1e-9);
    assert!(volumes(&line, 2)[1] > 0.03, "{:?}", volumes(&line, 2));
    assert!(mm(&line, "cold") < 27.0, "{}", mm(&line, "cold"));
    let joined = [drain(), pour(HALF + 0.02), run("1 min", 20.0), rest("24 h")];
    assert_eq!(volumes(&carry_out(&circuit, &joined), 2).len(), 1);
    let parted = [
        drain(),
        Action::Pour {
            amount: super::super::Amount::Volume(Value::exact(HALF + 0.05, "L").unwrap()),
            temperature: celsius(140.0),
            measured_with: None,
        }
        .into(),
        rest("24 h"),
    ];
    let line = carry_out(&circuit, &parted);
    assert_eq!((volumes(&line, 2).len(), volumes(&line, 3).len()), (1, 2));
}

/// Tilted there and back, mass is kept, and what went over the rib stays there.
#[test]
fn a_tilt_there_and_back() {
    let tilt = |degrees: f64| -> Event {
        let attitude = AttitudeSpec { nose_up: Value::exact(degrees, "deg").unwrap(), ..Default::default() };
        Action::Tilt { attitude }.into()
    };
    let events = [drain(), read("before"), tilt(8.0), tilt(0.0), read("after")];
    let line = carry_out(&ribbed(""), &events);
    assert_abs_diff_eq!(mm(&line, "before"), 28.0, epsilon = 1e-9);
    // Nose up: the stick's side, ahead, runs over the rib to the rear.
    assert!(mm(&line, "after") < 27.0 && line.reading("after").unwrap().reading.apart);
    assert_abs_diff_eq!(line.rows()[5].volume_sump_m3 * 1e3, HALF, epsilon = 1e-9);
}

/// The tip hangs over pools that lie apart below it: the stick comes out dry.
#[test]
fn a_tip_over_pools_apart() {
    let circuit = ribbed("")
        .replace_json(&[("dipstick.path_mm", serde_json::json!([[150, 100, 40], [150, 100, 98]]))])
        .and_then(|c| c.replace(&[("dipstick.min", "5 mm"), ("dipstick.max", "20 mm")]))
        .unwrap();
    let line = carry_out(&circuit, &[read("full"), drain(), read("dry")]);
    assert_abs_diff_eq!(mm(&line, "full"), 20.0, epsilon = 1e-9);
    let dry = line.reading("dry").unwrap().reading;
    assert_eq!((dry.s, dry.wetting), (0.0, Wetting::BelowTip));
}

/// A state with pools apart is a start as good as any.
#[test]
fn a_service_goes_on_with_pools_apart() {
    let circuit = ribbed("");
    let half = carry_out(&circuit, &[drain(), pour(0.5)]);
    let start = half.state(2).unwrap();
    assert_eq!(start.apart.len(), 1);
    let text = serde_json::to_string(&start).unwrap();
    let start: super::super::State = serde_json::from_str(&text).unwrap();
    let line = simulate_from(&circuit, &[pour(HALF - 0.5), read("dip"), pour(0.6), read("more")], &start).unwrap();
    assert_abs_diff_eq!(mm(&line, "dip"), 28.0, epsilon = 1e-6);
    assert_abs_diff_eq!(mm(&line, "more"), 38.0, epsilon = 1e-6);
    assert!(line.ledger().imbalance() < 1e-12);
}

/// What a sump holds over its capacity, warmed or through what returns to it, is carried along when it is turned.
#[test]
fn nothing_is_lost_where_a_sump_that_is_overfull_is_turned() {
    let bus = Circuit::demo("shuttle-bus").unwrap();
    let launch = Circuit::demo("harbour-launch").unwrap();
    let tilt = |nose_up: f64| {
        let nose_up = Value::exact(nose_up, "deg").unwrap();
        Event::from(Action::Tilt { attitude: AttitudeSpec { nose_up, ..Default::default() } })
    };
    let warm = |degrees: f64| Event::from(Action::Run { duration: time("5 min"), temperature: celsius(degrees) });
    for (circuit, poured, to) in [(&bus, 7.1, -5.0), (&bus, 7.1, 12.0), (&launch, 8.0, -8.0)] {
        for events in [vec![pour(poured), rest("5 h"), tilt(to)], vec![pour(poured), warm(120.0), tilt(to), tilt(0.0)]]
        {
            let line = carry_out(circuit, &events);
            assert!(line.ledger().imbalance() < 1e-12, "{}: {:e}", circuit.name(), line.ledger().imbalance());
        }
    }
}

/// Drops in the seams of a drawing's faces part at every step of a turn, however short: they are turned in the 45 steps of 2 deg, two halves
/// each, in one, and none of them is lost. 0.06 and 10 µL in 14.3 L.
#[test]
fn a_turn_of_a_few_drops_takes_no_endless_steps() {
    use crate::geometry::{Attitude, Point, Pools};
    use crate::uom::si::f64::Volume;
    use crate::uom::si::volume::liter;
    let bus = Circuit::demo("shuttle-bus").unwrap();
    let lowest = bus.sump().basins(Attitude::LEVEL).unwrap()[0].lowest_point;
    for litres in [6.1e-8, 1e-5] {
        let mut pools = Pools::empty(bus.sump(), Attitude::LEVEL).unwrap();
        pools.pour(Point::from_mm(lowest.to_mm()).unwrap(), Volume::new::<liter>(litres)).unwrap();
        let turn = pools.turn(Attitude::from_degrees(89.0, 0.0).unwrap()).unwrap();
        assert_eq!(pools.list().unwrap().len(), 1);
        assert!(turn.steps <= 90 && turn.unsettled.get::<liter>() == 0.0, "{litres} L: {turn:?}");
        assert_abs_diff_eq!(pools.volume().get::<liter>(), litres, epsilon = 1e-9 * litres);
    }
}
