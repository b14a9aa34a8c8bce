//! Draws of uncertain attitudes against exact services and closed forms.

use std::collections::HashMap;

use approx::assert_abs_diff_eq;

use crate::circuit::Circuit;
use crate::estimate::draw::{Drawer, Points};
use crate::estimate::{
    AssessOptions, EstimateError, PredictOptions, Prediction, ServiceModel, assess, predict, tornado,
};
use crate::service::{Bend, Event, Misfit, Program, Reading, Recorder, Taken};
use crate::{Error, circuit::Resolver};

const NO_FILE: Resolver<'_> = &|_| Err("none".into());

/// A box 300 mm by 220 mm, its stick upright at x = 50 mm and y = -30 mm with the tip 10 mm up, scatter nil.
const BOX: &str = r#"
format = 1
name = "box"
[sump.box]
length = "300 mm"
width = "220 mm"
height = "150 mm"
[dipstick]
path_mm = [[50.0, -30.0, 10.0], [50.0, -30.0, 140.0]]
min = "40 mm"
max = "60 mm"
scatter = "0 mm"
[plugs.main]
at_mm = [0.0, 0.0, 0.0]
bore = "14 mm"
heel = "0.2(1) L"
[fluid]
density_15c = "868 kg/m3"
kv40 = "95 mm2/s"
kv100 = "14.3 mm2/s"
"#;
const AREA: f64 = 0.300 * 0.220;
/// Place of the stick and height of its tip (m).
const STICK: [f64; 3] = [0.050, -0.030, 0.010];

fn boxed() -> Circuit {
    Circuit::loads(BOX, NO_FILE).unwrap()
}

/// A pan of 300 x 200 x 100 mm with a rib of 4 x 30 mm across its middle, the stick on one side of it.
fn ribbed() -> Circuit {
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
    let mut tree: serde_json::Value = serde_json::from_str(&boxed().to_json()).unwrap();
    tree["sump"] = serde_json::json!({ "mesh": { "vertices_mm": corners, "faces": faces } });
    tree["dipstick"]["path_mm"] = serde_json::json!([[250, 100, 2], [250, 100, 97]]);
    tree["plugs"]["main"] = serde_json::json!({ "at_mm": [20, 100, 0], "bore": "12 mm", "heel": "0.2 L" });
    Circuit::loads(&tree.to_string(), NO_FILE).unwrap()
}

fn events(lines: &[&str]) -> Vec<Event> {
    lines.iter().map(|line| Event::parse(line).unwrap()).collect()
}

fn drawn(circuit: &Circuit, lines: &[&str], draws: usize) -> Prediction {
    predict(circuit, &events(lines), &PredictOptions::default().draws(draws).seed(3)).unwrap()
}

/// Every draw of the uncertain inputs of a service, by path (SI).
fn inputs(circuit: &Circuit, lines: &[&str], draws: usize) -> Vec<HashMap<String, f64>> {
    let model = ServiceModel::new(circuit, &events(lines)).unwrap();
    let drawer = Drawer::new(model.inputs(), Points::PseudoRandom, 3);
    let mut block = drawer.block(draws);
    drawer.draw(0, &mut block);
    let names = model.inputs().names();
    let row = |i: usize| names.iter().cloned().zip(block.columns().iter().map(|column| column[i])).collect();
    (0..draws).map(row).collect()
}

struct Last(Option<Reading>);

impl Recorder for Last {
    fn reading(&mut self, _nth: usize, taken: &Taken<'_>) {
        self.0 = Some(taken.all());
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        Bend::Bend
    }
}

/// The last reading of a service with exact attitudes, every input that a draw names at its value.
fn exactly(circuit: &Circuit, lines: &[&str], draw: &HashMap<String, f64>) -> Reading {
    let program = Program::compile(circuit, &events(lines)).unwrap();
    let value =
        |(input, nominal): (crate::service::InputView<'_>, &f64)| draw.get(&input.path()).copied().unwrap_or(*nominal);
    let values: Vec<f64> = program.inputs().zip(program.nominals()).map(value).collect();
    let mut last = Last(None);
    program.run(&values, &mut program.scratch(&values).unwrap(), &mut last).unwrap();
    last.0.unwrap()
}

/// The same draws through the exact geometry, one service at an exact attitude for each: readings agree within the error that
/// the prediction tells of its surfaces. The blade of every demo circuit rises by more than 0.6 of its length.
#[test]
fn every_draw_is_the_exact_service_at_its_attitude() {
    for name in ["shuttle-bus", "deck-generator", "harbour-launch"] {
        let circuit = Circuit::demo(name).unwrap();
        let own = circuit.reference_attitude().nose_up_deg();
        let pour = match name {
            "shuttle-bus" => "6.9(1)",
            "harbour-launch" => "12.0(3)",
            _ => "4.0(1)",
        };
        let lines = |standing: &str| {
            ["drain 10 min", "change filter", &format!("pour {pour} L with jug"), "run 1 min", "rest 15 min"]
                .map(String::from)
                .into_iter()
                .chain([format!("read, standing {standing}")])
                .collect::<Vec<_>>()
        };
        let leaning = lines(&format!("nose up {own}.5(8) deg right down 0.2(6) deg"));
        let leaning: Vec<&str> = leaning.iter().map(String::as_str).collect();
        let prediction = drawn(&circuit, &leaning, 30);
        let [fit] = prediction.attitudes() else { panic!("one attitude") };
        assert_eq!(fit.path, "events[5].attitude");
        assert!(fit.quality.worst_error_mm <= 0.02 && fit.quality.exact_share < 0.2, "{name}: {fit:?}");
        let dip = &prediction.readings()[0];
        for (i, draw) in inputs(&circuit, &leaning, 30).iter().enumerate() {
            let [p, r] = ["nose_up", "right_down"].map(|a| draw[&format!("events[5].attitude.{a}")].to_degrees());
            let exact = lines(&format!("nose up {p} deg right down {r} deg"));
            let exact: Vec<&str> = exact.iter().map(String::as_str).collect();
            let told = exactly(&circuit, &exact, draw);
            let within = fit.quality.worst_error_mm / 0.6 + 1e-6;
            let off = (dip.s.values()[i] - told.s) * 1e3;
            assert!(off.abs() <= within, "{name} draw {i} at {p}, {r}: {off} mm off, {within} told");
            // The same error twice over the free surface: of the reading, and of MAX.
            let litres = (dip.from_max.values()[i] - told.from_max) * 1e3;
            assert!(litres.abs() <= 2.5 * within * 0.15, "{name} draw {i}: {litres} L off");
        }
    }
}

/// In a box whose floor and lid stay clear of the surface, the surface turns about the middle: on an upright stick it stands
/// `x tan p / cos r + y tan r` lower (elementary geometry).
#[test]
fn a_box_reads_with_the_tangents_of_the_angles() {
    let circuit = boxed();
    let lines = ["tilt nose up 1.0(8) deg right down -0.5(6) deg", "read"];
    let prediction = drawn(&circuit, &lines, 2000);
    let level = exactly(&circuit, &["read"], &HashMap::new());
    let dip = &prediction.readings()[0];
    for (i, draw) in inputs(&circuit, &lines, 2000).iter().enumerate() {
        let [p, r] = ["nose_up", "right_down"].map(|a| draw[&format!("events[0].attitude.{a}")]);
        let falls = STICK[0] * p.tan() / r.cos() + STICK[1] * r.tan();
        assert_abs_diff_eq!(dip.s.values()[i], level.s - falls, epsilon = 2e-5);
        // Planes through two points of an upright stick bound a layer of the box.
        assert_abs_diff_eq!(dip.from_max.values()[i], AREA * (level.s - falls - 0.060), epsilon = 2.0 * AREA * 2e-5);
    }
    // First order (JCGM 100, 5.1): u = √((x u_p)² + (y u_r)²), curvature adding less than 1 % here.
    let u = (STICK[0] * 0.8_f64.to_radians()).hypot(STICK[1] * 0.6_f64.to_radians());
    assert!((dip.s.standard_uncertainty() / u - 1.0).abs() < 4.0 / 4000_f64.sqrt() + 0.01);
}

/// A circuit starts at MAX in the condition of its marks, however that stands: at the drawn attitude it reads MAX.
#[test]
fn the_reference_attitude_is_drawn_once_for_marks_and_readings() {
    let text = format!("{BOX}\n[reference]\nattitude = {{ nose_up = \"0.0(10) deg\" }}\n");
    let circuit = Circuit::loads(&text, NO_FILE).unwrap();
    let prediction = drawn(&circuit, &["read", "read, standing level"], 500);
    let [own, level] = prediction.readings() else { panic!("two readings") };
    for (i, draw) in inputs(&circuit, &["read", "read, standing level"], 500).iter().enumerate() {
        assert_abs_diff_eq!(own.s.values()[i], 0.060, epsilon = 2e-5);
        // On the level it reads what the marks' slope gave.
        let falls = STICK[0] * draw["reference.attitude.nose_up"].tan();
        assert_abs_diff_eq!(level.s.values()[i], 0.060 + falls, epsilon = 2e-5);
    }
    assert_eq!(prediction.attitudes()[0].path, "reference.attitude");
    assert_eq!(prediction.probability_over_max(), 0.0);
}

/// A tilt lasts, so what follows stands alike; two events of one uncertain attitude are two draws.
#[test]
fn a_tilt_is_one_draw() {
    let circuit = boxed();
    let s = |p: &Prediction, n: usize| p.readings()[n].s.values().to_vec();
    let tilted = drawn(&circuit, &["tilt nose up 1.0(5) deg", "read", "rest 1 min", "read"], 50);
    assert_eq!(s(&tilted, 0), s(&tilted, 1));
    let one = "read, standing nose up 1.0(5) deg";
    let two = drawn(&circuit, &[one, one], 50);
    assert_ne!(s(&two, 0), s(&two, 1));
}

#[test]
fn sensitivity_names_the_angles() {
    let circuit = boxed();
    let lines = events(&["pour 0.5(1) L", "read, standing nose up 1.0(20) deg right down 0.0(1) deg"]);
    let model = ServiceModel::new(&circuit, &lines).unwrap().of("0 mm").unwrap();
    let found = tornado(&model, model.inputs(), 0.95).unwrap();
    let names: Vec<String> = found[0].bars.iter().map(|bar| bar.input.clone()).collect();
    assert_eq!(names[..2], ["events[1].attitude.nose_up", "events[0].volume"]);
    assert!(names.contains(&"events[1].attitude.right_down".to_string()));
}

/// Far out, and where no surface was prepared, the exact kernel answers: by the closed form as well.
#[test]
fn beyond_what_was_prepared_the_exact_kernel_answers() {
    let circuit = boxed();
    let lines = events(&["read, standing nose up 1.0(5) deg"]);
    let program = Program::compile(&circuit, &lines).unwrap();
    let level = exactly(&circuit, &["read"], &HashMap::new());
    let at = program.inputs().position(|i| i.path() == "events[0].attitude.nose_up").unwrap();
    let prepared = ServiceModel::of_program(program.clone()).unwrap().program().clone();
    for program in [program, prepared] {
        for degrees in [-12.0_f64, 5.0, 9.0] {
            let mut values = program.nominals().to_vec();
            values[at] = degrees.to_radians();
            let mut last = Last(None);
            program.run(&values, &mut program.scratch(&values).unwrap(), &mut last).unwrap();
            let falls = STICK[0] * degrees.to_radians().tan();
            assert_abs_diff_eq!(last.0.unwrap().s, level.s - falls, epsilon = 1e-12);
        }
    }
}

#[test]
fn what_is_not_covered_is_refused_with_what_to_do() {
    let bus = Circuit::demo("shuttle-bus").unwrap();
    let refused = |circuit: &Circuit, lines: &[&str]| match predict(
        circuit,
        &events(lines),
        &PredictOptions::default().draws(50),
    )
    .unwrap_err()
    {
        Error::Estimate(EstimateError::UncertainAttitude { path, reason }) => (path, reason),
        other => panic!("{other}"),
    };
    // The heel of the drawing's plug.
    let (path, reason) = refused(&bus, &["drain 10 min, standing nose up 1.0(5) deg", "read"]);
    assert_eq!(path, "events[0].attitude");
    assert!(reason.contains("plugs.main.heel"), "{reason}");
    // Either side of the rib holds its own while there is little.
    let little = ["drain 10 min", "pour 0.5 L", "read, standing nose up 0(1) deg"];
    let (path, reason) = refused(&ribbed(), &little);
    assert_eq!(path, "events[2].attitude");
    assert!(reason.contains("several pools"), "{reason}");
    assert_eq!(drawn(&ribbed(), &["pour 0.5 L", "read, standing nose up 0(1) deg"], 50).readings()[0].below_tip, 0);
    let (_, reason) = refused(&boxed(), &["read, standing nose up 20(15) deg"]);
    assert!(reason.contains("within 60 deg"), "{reason}");
    let mut options = AssessOptions { surge_deg: 3.0, ..AssessOptions::default() };
    options.predict.draws = 50;
    let lines = events(&["run 1 min, standing nose up 1.0(5) deg"]);
    let error = assess(&bus, &lines, &options).unwrap_err();
    assert!(error.to_string().starts_with("events[0].attitude is uncertain: a surge"), "{error}");
    options.surge_deg = 0.0;
    assert!(assess(&bus, &lines, &options).unwrap().pickup().is_some());
}

/// With a stated heel a drain at an uncertain attitude needs no geometry.
#[test]
fn a_stated_heel_holds_at_any_attitude() {
    let found = drawn(&boxed(), &["drain 10 min, standing nose up 1.0(5) deg", "pour 3.2 L", "read"], 100);
    assert!(found.readings()[0].below_tip == 0);
}
