//! Draws side by side against draws one by one: the same bits.

use super::*;
use crate::circuit::Circuit;
use crate::estimate::draw::Points;
use crate::service::{Event, Taken, View};

/// Everything that is heard of every draw, as bits.
#[derive(Default)]
struct All {
    draws: Vec<Vec<u64>>,
    now: [Vec<u64>; Eight::COUNT],
    asked: usize,
}

impl All {
    fn hear<X: Lanes>(&mut self, x: X) {
        self.now[..X::COUNT].iter_mut().enumerate().for_each(|(i, heard)| heard.push(x.lane(i).to_bits()));
    }
}

impl<X: Side> Recorder<X> for All {
    fn start(&mut self, view: &View<'_, X>) {
        self.now.iter_mut().for_each(Vec::clear);
        self.hear(view.volume_at_max());
        self.hear(view.volume_elsewhere());
    }

    fn row(&mut self, _event: usize, view: &View<'_, X>) {
        for place in view.contents() {
            place.mass.iter().for_each(|m| self.hear(*m));
            self.hear(place.temperature_c);
        }
        view.supplied().iter().for_each(|m| self.hear(*m));
        self.hear(view.volume_sump());
    }

    fn reading(&mut self, _nth: usize, taken: &Taken<'_, X>) {
        self.hear(taken.s);
        self.hear(taken.fraction);
        self.hear(taken.from_max());
        let wettings = taken.wettings().to_vec();
        self.now.iter_mut().zip(&wettings).for_each(|(heard, wetting)| heard.push(*wetting as u64));
    }

    fn end(&mut self, view: &View<'_, X>) {
        self.hear(view.spans());
        self.hear(view.drained_back_at(view.reference_c() + X::splat(60.0)));
        let flags = [view.are_over_max(view.drained_back()), view.are_under_min(view.drained_back())];
        for flags in flags {
            self.now.iter_mut().zip(flags.as_ref()).for_each(|(heard, flag)| heard.push(u64::from(*flag)));
        }
        self.draws.extend(self.now[..X::COUNT].iter().cloned());
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        self.asked += 1;
        Bend::Bend
    }
}

/// How many of 512 draws ran side by side; every one has the bits that it has alone.
fn side_by_side(circuit: &Circuit, lines: &[&str]) -> usize {
    let events: Vec<Event> = lines.iter().map(|line| Event::parse(line).unwrap()).collect();
    let program = Program::compile(circuit, &events).unwrap();
    let varying = Varying::of(&program, &[], &|| None).unwrap();
    let drawer = Drawer::new(&varying.inputs, Points::PseudoRandom, 5);
    let mut block = drawer.block(512);
    drawer.draw(0, &mut block);

    let (mut many, mut seen) = (All::default(), Vec::new());
    varying.run(&program, &block, &mut many, |row, draw, _| seen.push((row, draw))).unwrap();
    let mut alone = All::default();
    let mut bench = Bench::<f64>::new(&varying, &program).unwrap();
    (0..block.rows()).for_each(|row| assert!(bench.run(&block, row, &mut alone).unwrap()));

    assert_eq!(seen.iter().map(|(row, _)| *row).collect::<Vec<_>>(), (0..512).collect::<Vec<_>>());
    assert_eq!(many.asked, alone.asked);
    for (row, (found, wanted)) in many.draws.iter().zip(&alone.draws).enumerate() {
        assert_eq!(found, wanted, "draw {row} of {lines:?}");
    }
    assert_eq!(many.draws.len(), 512);
    seen.iter().filter(|(_, draw)| *draw == Eight::COUNT - 1).count() * Eight::COUNT
}

#[test]
fn a_service_with_all_that_a_draw_may_vary() {
    let bus = Circuit::demo("shuttle-bus").unwrap();
    let lines = [
        "drain 10(2) min at 60(3) degC",
        "change filter primed 0.1(1) L",
        "pour 6.9(1) L with jug, oil at 15(2) degC",
        "run 1.0(2) min to 95(2) degC",
        "rest 5(1) min",
        "read",
        "withdraw 0.3(1) L",
        "rest 2 h",
        "wipe",
        "read, standing nose up 0.5(5) deg right down 0.0(5) deg",
    ];
    // In a draw or two the filter does not hold what it was primed with.
    assert!(side_by_side(&bus, &lines) >= 480);
}

#[test]
fn every_demo_circuit() {
    for (name, pour) in [("deck-generator", "1.5(1) L"), ("harbour-launch", "9(1) L"), ("shuttle-bus", "7.0(5) L")] {
        let circuit = Circuit::demo(name).unwrap();
        let lines =
            ["drain 20 min at 50 degC", "change filter", &format!("pour {pour}"), "run 3 min", "rest 20 min", "read"];
        let filter = circuit.spec().filter.is_some();
        let lines: Vec<&str> = lines.into_iter().filter(|line| filter || !line.contains("filter")).collect();
        assert!(side_by_side(&circuit, &lines) >= 480, "{name}");
    }
}

#[test]
fn rates_that_act_and_stop() {
    let bus = Circuit::demo("shuttle-bus").unwrap();
    let lines = [
        "leak 2.0(5) mL/min always, called drip",
        "use 1.0(2) mL/min",
        "ingress fuel 0.5(2) mL/min",
        "run 2.0(3) h",
        "stop drip",
        "rest 1 h",
        "read",
    ];
    assert_eq!(side_by_side(&bus, &lines), 512);
}

/// What does not fit in some draws is asked about one by one; a thermostat that opens in some draws parts them.
#[test]
fn draws_that_go_different_ways() {
    let bus = Circuit::demo("shuttle-bus").unwrap();
    let held = side_by_side(&bus, &["read", "withdraw 6.5(10) L", "rest 5 min", "read"]);
    assert!(held < 256, "{held}");
    let warm = bus.replace(&[("stores.cooler.opens_at", "80(8) degC")]);
    if let Ok(warm) = warm {
        let ran = side_by_side(&warm, &["run 5 min to 80(3) degC", "rest 5 min", "read"]);
        assert!(ran < 256, "{ran}");
    }
}

/// Where liquid may lie apart, every draw runs alone. A pan of 300 mm with a rib of 30 mm across its middle holds 0.888 L on
/// either side of it; the stick stands on the far one, so what is poured in on the near one does not show.
#[test]
fn draws_whose_liquid_may_lie_apart() {
    let outline = [(0, 0), (148, 0), (148, 30), (152, 30), (152, 0), (300, 0), (300, 100), (0, 100)];
    let vertices: Vec<[i32; 3]> = [0, 200].iter().flat_map(|y| outline.map(|(x, z)| [x, *y, z])).collect();
    let side = [[0, 1, 2], [0, 2, 7], [7, 2, 3], [7, 3, 6], [3, 5, 6], [3, 4, 5]];
    let far = side.map(|[a, b, c]| [a + 8, c + 8, b + 8]);
    let walls = (0..8).flat_map(|i| [[i, (i + 1) % 8 + 8, (i + 1) % 8], [i, i + 8, (i + 1) % 8 + 8]]);
    let faces: Vec<[i32; 3]> = side.into_iter().chain(far).chain(walls).collect();
    let text = format!(
        r#"{{"format": 1, "name": "ribbed pan", "sump": {{"mesh": {{"vertices_mm": {vertices:?}, "faces": {faces:?}}}}},
        "dipstick": {{"path_mm": [[250, 100, 2], [250, 100, 97]], "min": "20 mm", "max": "58 mm"}},
        "plugs": {{"main": {{"at_mm": [20, 100, 0], "bore": "12 mm"}}}},
        "fluid": {{"density_15c": "868 kg/m3", "kv40": "95 mm2/s", "kv100": "14.3 mm2/s"}}}}"#
    );
    let circuit = Circuit::loads(&text, &|_| unreachable!()).unwrap();
    assert_eq!(side_by_side(&circuit, &["drain 24 h", "pour 0.500(1) L, oil at 20 degC", "read"]), 0);
}
