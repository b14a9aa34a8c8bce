//! What a state means: residue, old oil, balance, scale, assessment; by hand on the box.

use approx::assert_relative_eq;

use super::super::event::nothing;
use super::super::{Action, Event, Foreign, Part, When, changes_below, old_oil, simulate};
use super::{carry_out, full, open, plain, pour, rest, run};
use crate::circuit::{Circuit, Mark};
use crate::estimate::{AssessOptions, ReconcileOptions, Verdict, assess, assess_line, reconcile};
use crate::geometry::Attitude;
use crate::uom::si::f64::{Length, Volume};
use crate::uom::si::length::millimeter;
use crate::uom::si::volume::liter;

const LITRE: f64 = 1e-3;

fn drain(text: &str) -> Event {
    Action::Drain { plug: None, duration: super::time(text), temperature: None }.into()
}

/// Heel 0.2 L of 0.2 + 4 L, all mixed by the run.
#[test]
fn residue_and_old_oil() {
    let circuit = plain("[book]\ndry = \"5 L\"\nservice_without_filter = \"4.2 L\"");
    let events = [drain("10 min"), pour(4.0), run("1 min", 20.0)];
    let left = carry_out(&circuit, &events).residue(None).unwrap();
    assert_eq!(left.row, 1);
    assert_relative_eq!(left.volume_reference(), 0.2 * LITRE, max_relative = 1e-12);
    assert_relative_eq!(left.nominal.by_book.unwrap(), 0.8 * LITRE, max_relative = 1e-9);
    // V_MAX 4.5 L less service capacity.
    assert_relative_eq!(left.nominal.by_geometry.unwrap(), 0.3 * LITRE, max_relative = 1e-9);
    assert_relative_eq!(left.beyond_nominal().unwrap(), -0.6 * LITRE, max_relative = 1e-9);
    let rows = old_oil(&circuit, &events, 3).unwrap();
    for row in &rows {
        let n = i32::try_from(row.change).unwrap();
        assert_relative_eq!(row.original, (0.2_f64 / 4.2).powi(n), max_relative = 1e-9);
        assert_relative_eq!(row.previous, 0.2 / 4.2, max_relative = 1e-9);
    }
    assert_eq!(changes_below(&rows, 0.01), Some(2));
    assert!(old_oil(&circuit, &events, 0).is_err());
    assert_eq!(
        simulate(&circuit, &[]).unwrap().residue(Some(9)).unwrap_err().to_string(),
        "no row 9; the timeline has rows 0 to 0"
    );
}

/// The row is that before the refill's pour: what is poured before the drain, flushed through or withdrawn after the refill does not
/// count. 0.2 L is the heel; the marks hold 2.7 and 4.5 L.
#[test]
fn residue_is_taken_where_the_last_drain_has_ended() {
    let withdraw = |litres: f64| -> Event {
        Action::Withdraw {
            amount: crate::service::Amount::Volume(crate::units::Value::exact(litres, "L").unwrap()),
            measured_with: None,
        }
        .into()
    };
    let refill = |litres: f64| [drain("10 min"), Action::Wipe.into(), pour(litres)];
    let row = |events: &[Event]| {
        let left = carry_out(&plain(""), events).residue(None).unwrap();
        (left.row, (left.volume_reference() / LITRE * 1e6).round() / 1e6)
    };
    let topped = [vec![pour(0.2), run("1 min", 20.0)], refill(4.0).to_vec()].concat();
    assert_eq!(row(&topped), (4, 0.2));
    assert_eq!(row(&topped[..4]), (4, 0.2));
    assert_eq!(row(&[refill(4.5).to_vec(), vec![withdraw(0.2), pour(0.1)]].concat()), (2, 0.2));
    assert_eq!(row(&[refill(2.9).to_vec(), refill(4.3).to_vec()].concat()), (5, 0.2));
    let flushed = [open("main"), pour(0.5), super::close(), pour(4.3)];
    assert_eq!(row(&flushed), (3, 0.2));
    assert_eq!(row(&[withdraw(4.0), pour(4.0)]), (1, 0.5));
    // Nothing goes under MIN: the last that was taken out before a pour; nothing is taken out: the first pour of all.
    assert_eq!(row(&[withdraw(1.0), pour(1.0)]), (1, 3.5));
    assert_eq!(row(&[run("1 min", 20.0), pour(0.1), pour(0.1)]), (1, 4.5));
    assert_eq!(row(&[withdraw(1.0)]), (1, 3.5));
    assert_eq!(row(&[]), (0, 4.5));
}

#[test]
fn a_filter_that_stays_belongs_to_the_residue() {
    let line = carry_out(&full("leaking"), &[drain("10 min"), rest("1 min")]);
    let left = line.residue(None).unwrap();
    assert!(
        left.with_filter && left.part(Part::Kept) > 0.0 && left.part(Part::Film) > 0.0 && left.part(Part::Filter) > 0.0
    );
    let summed: f64 = left.places.iter().map(|p| p.mass).sum();
    assert_relative_eq!(left.mass(), summed);
    let balance = carry_out(&full("sound"), &[drain("10 min"), pour(1.0)]).ledger().balance();
    assert!(balance.poured[1] > 0.8 && balance.drained[0] > 3.0 && balance.difference()[0] < 0.0);
}

/// 45 mL/mm, marks at 60 and 100 mm; at a pitch the surface turns about the box's middle, where the stick stands.
#[test]
fn scale_and_marks() {
    let circuit = plain("");
    let (step, pitched) = (Volume::new::<liter>(0.9), Attitude::from_degrees(5.0, 0.0).unwrap());
    let lines = circuit.litre_scale(step, Mark::Min, Attitude::LEVEL).unwrap();
    let min = lines.iter().find(|l| l.from_min.abs() < 1e-12).unwrap();
    assert_relative_eq!(min.along, 0.060, max_relative = 1e-9);
    assert_relative_eq!(lines[lines.len() - 1].along - lines[lines.len() - 2].along, 0.020, max_relative = 1e-9);
    assert!(lines.iter().all(|l| (l.per_blade - 0.045).abs() < 1e-12));
    let marks = circuit.marks_at(pitched).unwrap();
    assert_relative_eq!(marks.max, 0.100, max_relative = 1e-9);
    let at = Length::new::<millimeter>(80.0);
    assert_relative_eq!(circuit.volume_from_max(at, pitched).unwrap().value, -0.9 * LITRE, max_relative = 1e-9);
    assert!(circuit.volume_per_blade_at(Length::new::<millimeter>(201.0), pitched).is_err());
}

fn with_crank(z_mm: f64) -> Circuit {
    plain(&format!("[crank]\npath_mm = [[-100.0, 0.0, {z_mm}], [100.0, 0.0, {z_mm}]]"))
}

/// The span is 1.8 L.
#[test]
fn bands_and_crank() {
    let circuit = with_crank(130.0);
    let options = AssessOptions::default();
    let level = assess_line(&simulate(&circuit, &[pour(0.36)]).unwrap(), &options).unwrap();
    assert_relative_eq!(level.spans().mean(), 1.2, max_relative = 1e-9);
    assert_eq!(level.verdict(), Verdict::Correct);
    let near = assess_line(&simulate(&with_crank(105.0), &[pour(0.36)]).unwrap(), &options).unwrap();
    assert!(near.verdict() == Verdict::DoNotStart && near.crank_gap().unwrap().used_up == 1.0);
    let unknown = assess_line(&simulate(&full("sound"), &[pour(0.36)]).unwrap(), &options).unwrap();
    assert!(unknown.crank_gap().is_none() && unknown.reasons().iter().any(|r| r.contains("unknown")));
    let mut few = options;
    few.predict.draws = 64;
    let drawn = assess(&circuit, &[pour(0.36)], &few).unwrap();
    assert_relative_eq!(drawn.spans().mean(), 1.2, max_relative = 1e-9);
}

/// By hand: 4.5 L at MAX, 0.2 L heel.
#[test]
fn reconciled() {
    let circuit = plain("[book]\nservice_without_filter = \"4.4 L\"");
    let mut options = ReconcileOptions { temperature: None, ..ReconcileOptions::default() };
    options.predict.draws = 32;
    let found = reconcile(&circuit, &options).unwrap();
    // Without a filter there is no figure with one.
    let names: Vec<_> = found.figures().iter().map(|c| c.figure).collect();
    assert_eq!(names, ["service_without_filter", "dry", "span"]);
    assert_relative_eq!(found.figures()[0].gap().unwrap(), -0.1 * LITRE, max_relative = 1e-6);
    let heel = found.closings().iter().find(|c| c.path == "plugs.main.heel").unwrap();
    assert!(heel.possible && (heel.needed - 0.1 * LITRE).abs() < 1e-8);
    // 4.3 L without filter and 1.8 L between the marks are what the drawing says: nothing need change.
    let circuit = plain("[book]\nservice_without_filter = \"4.3004 L\"\nspan = \"1.8 L\"");
    let found = reconcile(&circuit, &options).unwrap();
    assert!(found.closings().is_empty() && found.figures()[2].gap().unwrap().abs() < 1e-12, "{found}");
    assert!(found.to_string().contains("no gap that a single quantity would close"), "{found}");
    // Of two figures only the one that is off is closed.
    let circuit = plain("[book]\nservice_without_filter = \"4.4 L\"\nspan = \"1.8 L\"");
    let found = reconcile(&circuit, &options).unwrap();
    assert!(!found.closings().is_empty() && found.closings().iter().all(|c| c.figure == "service_without_filter"));
}

/// Whatever the level, what is not finished forbids a start, and says why.
#[test]
fn an_end_with_something_undone_is_never_within() {
    let circuit = full("sound");
    let options = AssessOptions::default();
    let judged = |events: &[Event]| assess_line(&simulate(&circuit, events).unwrap(), &options).unwrap();
    let rate = |text: &str| crate::units::Value::parse("rate", text).unwrap();
    let leak = || Event::from(Action::Leak { rate: rate("7 L/min"), when: When::Running }).labelled("gasket");
    let ingress = |component: Foreign, text: &str| -> Event {
        Action::Ingress { component, rate: rate(text), when: When::Running }.into()
    };
    let stop = || Event::from(Action::Stop { rate: "gasket".into() });
    let off = || Event::from(Action::RemoveFilter);
    let fit = || Event::from(Action::FitFilter { primed: nothing(), net_volume: None, temperature: None });
    for (events, why) in [
        (vec![leak()], "oil leaks out at 7 L/min while the engine runs (gasket), and nothing has stopped it"),
        (vec![ingress(Foreign::Coolant, "0.1 L/min")], "coolant gets in at 0.1 L/min while the engine runs, and"),
        (vec![ingress(Foreign::Fuel, "0.0(1) L/min")], "fuel gets in at 0.0(1) L/min"),
        (vec![open("main"), pour(4.3)], "the plug `main` is open at the end"),
        (vec![drain("10 min"), off(), pour(4.6)], "no filter is fitted at the end"),
    ] {
        let found = judged(&events);
        assert_eq!(found.verdict(), Verdict::DoNotStart, "{found}");
        assert!(found.reasons().iter().any(|r| r.starts_with(why)), "{:?}", found.reasons());
        let mut few = options;
        few.predict.draws = 8;
        assert_eq!(assess(&circuit, &events, &few).unwrap().verdict(), Verdict::DoNotStart);
    }
    let used: Event = Action::Use { rate: rate("0.03 L/h"), when: When::Running }.into();
    for events in [
        vec![],
        vec![leak(), stop()],
        vec![used],
        vec![ingress(Foreign::Water, "0 L/min")],
        vec![open("main"), super::close(), pour(4.1)],
        vec![off(), fit(), pour(0.2)],
    ] {
        let found = judged(&events);
        assert_eq!(found.verdict(), Verdict::Within, "{events:?}: {found}");
    }
}

/// The cautions of an assessment fit the machine and say why: common practice, no source.
#[test]
fn cautions_fit_the_machine_and_its_state() {
    let gearbox = Circuit::demo("winch-gearbox").unwrap();
    let options = AssessOptions::default();
    let told = |circuit: &Circuit, events: &[Event]| {
        assess_line(&simulate(circuit, events).unwrap(), &options).unwrap().to_string()
    };
    let warm: Event = Action::Drain {
        plug: Some("drain".into()),
        duration: super::time("10 min"),
        temperature: super::celsius(60.0),
    }
    .into();
    let drained = told(&gearbox, &[warm, pour(6.0)]);
    assert!(!drained.contains("oil pressure") && !drained.contains("An overfilled diesel"), "{drained}");
    assert!(drained.contains("Hot oil burns: keep it off skin and off hot exhaust. (the oil is at up to 60 degC)"));
    assert!(told(&gearbox, &[]).contains("Do not start when the oil is milky or smells of fuel."));
    assert!(told(&gearbox, &[run("1 min", 20.0)]).contains("(a run warms the oil)"));
    let bus = Circuit::demo("shuttle-bus").unwrap();
    assert!(told(&bus, &[drain("10 min")]).contains("oil pressure"));
    assert!(told(&bus, &[pour(3.0)]).contains("run away"));
    let unknown = "do not start while the gap to the crank is unknown";
    let mut spec = Circuit::demo("deck-generator").unwrap().spec().clone();
    spec.crank = None;
    let sheet = Circuit::from_spec(spec, &|_| Err("no files".into())).unwrap();
    assert!(!told(&bus, &[]).contains(unknown) && told(&sheet, &[]).contains(unknown));
}

/// A machine without a pump has no crank and no pickup to know of; far over MAX it is not started all the same.
#[test]
fn a_gearbox_is_told_nothing_of_a_crank() {
    let gearbox = Circuit::demo("winch-gearbox").unwrap();
    let judged =
        |events: &[Event]| assess_line(&simulate(&gearbox, events).unwrap(), &AssessOptions::default()).unwrap();
    let (level, over) = (judged(&[]), judged(&[pour(2.0)]));
    for found in [&level, &over] {
        let page = found.to_string();
        assert!(!page.contains("crank") && !page.contains("pickup"), "{page}");
    }
    assert_eq!((level.verdict(), over.verdict()), (Verdict::Within, Verdict::DoNotStart));
    assert!(over.reasons().iter().any(|why| why == "more than 0.5 span over MAX in 100.0 % of draws"), "{over}");
}

/// The box holds 9 L, 4.5 L at MAX, 2.7 L at MIN, 1.8 L for a span: as its walls are upright, what is beyond its top stands as high by volume as
/// by height.
#[test]
fn what_gets_in_counts_as_over_max_beyond_the_top_of_the_drawing() {
    let circuit = plain("");
    let options = AssessOptions::default();
    for (component, litres, over_top) in [
        (Foreign::Water, 1.0, false),
        (Foreign::Coolant, 3.0, false),
        (Foreign::Fuel, 2.0, false),
        (Foreign::Water, 6.0, true),
        (Foreign::Fuel, 7.0, true),
    ] {
        let rate = crate::units::Value::parse("rate", &format!("{litres} L/min")).unwrap();
        let gets_in = Event::from(Action::Ingress { component, rate, when: When::Always }).labelled("in");
        let line = simulate(&circuit, &[gets_in, rest("1 min"), Action::Stop { rate: "in".into() }.into()]).unwrap();
        let found = assess_line(&line, &options).unwrap();
        assert_relative_eq!(found.spans().mean(), (line.drained_back_m3() / LITRE - 2.7) / 1.8, max_relative = 1e-9);
        assert!(found.probability_over_max() == 1.0 && found.verdict() == Verdict::DoNotStart, "{found}");
        let page = found.to_string();
        for told in [
            "more than 0.5 span over MAX",
            "withdraw and weigh",
            "milky or smells of fuel. (fuel, coolant or water got",
        ] {
            assert!(page.contains(told), "{told}: {page}");
        }
        assert_eq!(
            page.contains("overfull: more than the sump's drawing holds (9.00 L) in 100.0 % of draws"),
            over_top
        );
        assert_eq!(line.to_string().contains("overfull: up to"), over_top, "{line}");
    }
}

/// A sump whose drawing ends 2 mm above MAX, at 1.05 spans: 4.59 L. What is known of the crank does not hide it.
#[test]
fn a_start_that_is_overfull_forbids_to_start() {
    let text = with_crank(115.0).to_toml().replace("200 mm\"", "102 mm\"");
    let circuit = Circuit::loads(&text.replace("0.0, 200.0", "0.0, 102.0"), &|_| Err("no files".into())).unwrap();
    let mut start = simulate(&circuit, &[]).unwrap().state(0).unwrap();
    let at_max = assess_line(&crate::service::simulate_from(&circuit, &[], &start).unwrap(), &AssessOptions::default());
    assert_eq!(at_max.unwrap().verdict(), Verdict::Within);
    start.contents[0].mass[0] *= 1.2;
    let line = crate::service::simulate_from(&circuit, &[rest("1 min")], &start).unwrap();
    let mut options = AssessOptions::default();
    let of_line = assess_line(&line, &options).unwrap();
    options.predict.draws = 8;
    options.predict.start = Some(&start);
    for found in [of_line, assess(&circuit, &[rest("1 min")], &options).unwrap()] {
        // 5.4 L: 120 mm, 1.5 spans.
        assert_relative_eq!(found.spans().mean(), 1.5, max_relative = 1e-9);
        assert!(found.verdict() == Verdict::DoNotStart && found.crank_gap().unwrap().used_up == 1.0, "{found}");
        assert!(
            found.reasons().iter().any(|why| why.starts_with("overfull: more than the sump's drawing holds (4.59 L)"))
        );
        assert!(found.to_string().contains("withdraw and weigh"));
    }
}

/// Coolant that may have got in is told, though at nominal values none has: half of the draws.
#[test]
fn what_may_have_got_in_forbids_a_start() {
    let rate = crate::units::Value::parse("rate", "0.0(1) L/min").unwrap();
    let gets_in = Action::Ingress { component: Foreign::Coolant, rate, when: When::Always };
    let events = [Event::from(gets_in).labelled("in"), rest("1 min"), Action::Stop { rate: "in".into() }.into()];
    let mut options = AssessOptions::default();
    options.predict.draws = 64;
    let found = assess(&plain(""), &events, &options).unwrap();
    assert_eq!(found.verdict(), Verdict::DoNotStart);
    assert!(found.reasons().iter().any(|why| why.starts_with("coolant or water is in the oil in ")), "{found}");
}

/// All that the sump held is burnt: below MIN, dry, and no negative volume is told.
#[test]
fn a_sump_burnt_dry_is_not_run() {
    let rate = crate::units::Value::parse("rate", "1 L/min").unwrap();
    let used: Event = Action::Use { rate, when: When::Always }.into();
    for (circuit, lacks) in [(plain(""), false), (full("sound"), true)] {
        let line = simulate(&circuit, &[used.clone(), rest("2 h"), super::read("dip")]).unwrap();
        assert_eq!(line.drained_back_m3() < -1e-6, lacks);
        let page = line.to_string();
        assert!(!page.contains(": -"), "{page}");
        assert_eq!(page.contains("nothing in the sump, and filter and stores lack 0."), lacks, "{page}");
        let found = assess_line(&line, &AssessOptions::default()).unwrap();
        assert_eq!((found.verdict(), found.probability(crate::service::Band::BelowMin)), (Verdict::DoNotRun, 1.0));
        // The floor lies 60 mm under MIN, with 40 mm for a span.
        assert_relative_eq!(found.spans().mean(), -1.5, max_relative = 1e-9);
        assert!(found.reasons().iter().any(|why| why.contains("nothing is left in the sump")), "{found}");
    }
}

/// What a circuit is checked with as still aloft at MAX is what its start holds there. The charge is the book's 14.0 L.
#[test]
fn a_circuit_is_checked_with_what_its_start_holds_aloft() {
    for wait in ["0 s", "20 s", "15 min"] {
        let launch = Circuit::demo("harbour-launch").unwrap().replace(&[("reference.wait", wait)]).unwrap();
        let start = simulate(&launch, &[]).unwrap().state(0).unwrap();
        let mass = |place: String| start.place(&place).unwrap().total();
        let inputs = launch.layout().oil().map(|ix| launch.nominals()[ix]);
        let nu = launch.oil(inputs).unwrap().nu(20.0);
        let wait = launch.spec().reference.waited().nominal();
        for (name, store) in &launch.spec().stores {
            let values = store.values(14.0 * LITRE);
            let density = mass(format!("stores.{name}.kept")) / values.kept.nominal();
            let held = mass(format!("stores.{name}.pool")) + mass(format!("stores.{name}.film"));
            assert_relative_eq!(values.aloft(wait, nu), held / density, max_relative = 1e-9);
        }
    }
}
