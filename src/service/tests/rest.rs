//! Resting: dividing, waiting, cooling, and what runs back.

use approx::assert_abs_diff_eq;

use super::super::{Action, Contents, Event, Foreign, HowRead, When, simulate_from};
use super::{apart, carry_out, full, mass, mm, open, plain, pour, read, rest, run};
use crate::circuit::Circuit;
use crate::units::Value;

/// Dividing a rest changes nothing: 1e-12 where nothing cools, 1e-8 while it cools; with a plug open as well.
#[test]
fn a_divided_rest_changes_nothing() {
    for (hot, tolerance) in [(20.0, 1e-12), (90.0, 1e-8)] {
        for valve in ["sound", "leaking"] {
            for start in [vec![run("1 min", hot)], vec![run("1 min", hot), open("main")]] {
                let with = |rests: &[&str]| {
                    let events: Vec<_> = start.iter().cloned().chain(rests.iter().map(|t| rest(t))).collect();
                    carry_out(&full(valve), &events)
                };
                let (whole, parts) = (with(&["20 min"]), with(&["3 min", "1 s", "719 s", "5 min"]));
                let off = apart(&whole, &parts);
                assert!(off <= tolerance, "{hot} degC, {valve}: {off}");
            }
        }
    }
}

/// What leaks out and gets in at rest, hot and with whatever is open.
fn rates(leak: &str, ingress: &str) -> [Event; 2] {
    let rate = |text: &str| Value::parse("rate", text).unwrap();
    let fuel = Action::Ingress { component: Foreign::Fuel, rate: rate(ingress), when: When::Always };
    [Action::Leak { rate: rate(leak), when: When::Always }.into(), fuel.into()]
}

/// Dividing a rest changes nothing where rates act in it either, with a plug open as well, whose heel is stated or the geometry's,
/// and with readings taken and the stick wiped between.
#[test]
fn a_divided_rest_with_rates_changes_nothing() {
    let by_geometry = |valve: &str| {
        let mut tree: serde_json::Value = serde_json::from_str(&full(valve).to_json()).unwrap();
        tree["plugs"]["main"].as_object_mut().unwrap().remove("heel");
        Circuit::loads(&tree.to_string(), &|_| Err("no files".into())).unwrap()
    };
    for circuit in [full("sound"), full("leaking"), by_geometry("leaking")] {
        for plug in [None, Some(open("main"))] {
            let start: Vec<_> =
                [run("1 min", 90.0)].into_iter().chain(plug).chain(rates("20 mL/min", "5 mL/min")).collect();
            let with = |rests: &[Event]| carry_out(&circuit, &[start.as_slice(), rests].concat());
            let whole = with(&[rest("20 min"), read("dip")]);
            let wipe = Action::Wipe.into();
            let parts =
                with(&[rest("3 min"), read("early"), rest("1 s"), wipe, rest("719 s"), rest("5 min"), read("dip")]);
            assert!(apart(&whole, &parts) <= 1e-12, "{}", apart(&whole, &parts));
            assert_abs_diff_eq!(mm(&whole, "dip"), mm(&parts, "dip"), epsilon = 1e-9);
        }
    }
}

/// What returns and what leaves take turns in 16 parts: against a thousand (an event that changes nothing parts them), no
/// component of the sump is off by more than 1 % of the charge where a plug is open as well, 0.1 % where none is.
#[test]
fn rates_at_rest_take_turns_with_what_returns() {
    for (plug, tolerance) in [(None, 1e-3), (Some(open("main")), 1e-2)] {
        let start: Vec<_> =
            [run("1 min", 20.0)].into_iter().chain(plug).chain(rates("20 mL/min", "5 mL/min")).collect();
        let with = |rests: &[Event]| carry_out(&full("leaking"), &[start.as_slice(), rests].concat());
        let nothing = Action::Use { rate: Value::parse("rate", "0 L/min").unwrap(), when: When::Running };
        let fine: Vec<_> = (0..1000).flat_map(|_| [nothing.clone().into(), rest("1.2 s")]).collect();
        let (coarse, fine) = (with(&[rest("20 min")]), with(&fine));
        let charge: f64 = coarse.state(0).unwrap().contents.iter().map(Contents::total).sum();
        let off = apart(&coarse, &fine) / charge;
        assert!(off < tolerance && off > 1e-6, "{off}");
    }
}

/// With a vented tube, nothing leaking and constant temperature a longer wait never lowers the reading of a wet sump.
#[test]
fn waiting_never_lowers_a_reading_at_constant_temperature() {
    let waits = ["0 s", "10 s", "1 min", "5 min", "20 min", "2 h", "12 h"];
    let mut last = 0.0;
    for wait in waits {
        let line = carry_out(&full("leaking"), &[run("1 min", 20.0), rest(wait), read("dip")]);
        let s = mm(&line, "dip");
        assert!(s >= last, "{wait}: {s} after {last}");
        last = s;
    }
}

/// Calculated: 4.5 L of an oil of 868 kg/m3 shrinks by 0.24 L from 90 to 20 °C, 5.4 mm at 45 mL/mm.
#[test]
fn waiting_lowers_it_while_it_cools() {
    let circuit = plain("[cooling]\ntime = \"40 min\"\n");
    let line = carry_out(&circuit, &[run("1 min", 90.0), read("hot"), rest("24 h"), read("cold")]);
    assert_abs_diff_eq!(mm(&line, "cold"), 100.0, epsilon = 1e-6);
    let fall = mm(&line, "hot") - mm(&line, "cold");
    assert_abs_diff_eq!(fall, 5.4, epsilon = 0.05);
    assert_abs_diff_eq!(fall * 0.045, 0.245, epsilon = 5e-3);
}

/// Hand calculation: everything is at `T_a + (T - T_a)/e` after one time constant.
#[test]
fn cooling_by_newtons_law() {
    let circuit = plain("[cooling]\ntime = \"40 min\"\nambient = \"10 degC\"\n");
    let line = carry_out(&circuit, &[run("1 min", 90.0), rest("40 min")]);
    let sump = *line.state(2).unwrap().place("sump").unwrap();
    assert_abs_diff_eq!(sump.temperature_c, 10.0 + 80.0 / std::f64::consts::E, epsilon = 1e-12);
}

/// A leaking valve lets the filter run back by its share; a sound one keeps it full.
#[test]
fn a_leaking_filter_valve() {
    let night = [run("1 min", 20.0), rest("12 h")];
    let (sound, leaking) = (carry_out(&full("sound"), &night), carry_out(&full("leaking"), &night));
    let rho = mass(&sound, "filter") / 0.4e-3;
    assert_abs_diff_eq!(mass(&leaking, "filter"), 0.0, epsilon = 1e-12);
    let back = mass(&leaking, "sump") - mass(&sound, "sump");
    // Both started at MAX after the reference wait, in which this filter had lost most already.
    assert!(mass(&leaking, "filter.pool") < 1e-9 && back.abs() < 0.02 * rho, "{back}");
    let lying = full("leaking").replace(&[("filter.drains", "0.5")]).unwrap();
    let line = carry_out(&lying, &night);
    assert_abs_diff_eq!(mass(&line, "filter"), 0.5 * mass(&sound, "filter"), epsilon = 1e-12);
}

/// What a pour leaves on the filler path comes back as a film: half of it after an age of 3.
#[test]
fn a_filler_path_is_wetted_by_pours() {
    let circuit = plain("[filler]\nwetted = \"30 mL\"\nfilm_time = \"60 s\"\n");
    let line = carry_out(&circuit, &[pour(0.5)]);
    let wet = mass(&line, "filler");
    assert_abs_diff_eq!(wet, 0.06 * 0.5e-3 * 868.0, epsilon = 2e-4);
    let nu = crate::fluid::OilModel::new(868.0, 95e-6, 14.3e-6).unwrap().nu(20.0);
    let wait = 3.0 * 60.0 * nu / 100e-6;
    let line = carry_out(&circuit, &[pour(0.5), rest(&format!("{wait} s"))]);
    assert_abs_diff_eq!(mass(&line, "filler"), wet / 2.0, epsilon = 1e-12);
}

/// A thermostat keeps a cooler shut off in a cool run, with what it holds.
#[test]
fn a_cooler_behind_a_thermostat() {
    let circuit = plain("[stores.cooler]\nkept = \"0.1 L\"\nrunning = \"0.2 L\"\nopens_at = \"80 degC\"\n");
    let held = |t: f64| {
        let line = carry_out(&circuit, &[run("1 min", t)]);
        mass(&line, "stores.cooler.pool")
    };
    assert!(held(60.0) < 1e-3 && held(90.0) > 0.15, "{} {}", held(60.0), held(90.0));
}

/// Calculated: a leak at the pump's flow of 6 to 10 L/min empties 4 L in 24 to 40 s.
#[test]
fn two_gaskets_empty_a_sump_in_seconds() {
    let rate = |text: &str| Value::parse("rate", text).unwrap();
    for (flow, empty_after) in [("6 L/min", 40.0), ("10 L/min", 24.0)] {
        let left = |seconds: f64| {
            let events = [
                super::super::Event::from(Action::Withdraw {
                    amount: super::super::Amount::Volume(Value::exact(0.5, "L").unwrap()),
                    measured_with: None,
                }),
                super::super::Event::from(Action::Leak { rate: rate(flow), when: When::Running }).labelled("gaskets"),
                run(&format!("{seconds} s"), 15.0),
                Action::Stop { rate: "gaskets".into() }.into(),
                run("1 min", 15.0),
            ];
            mass(&carry_out(&plain(""), &events), "sump")
        };
        assert!(left(empty_after - 0.5) > 0.0 && left(empty_after + 0.5) == 0.0, "{flow}");
    }
}

/// Ingress raises the level by its volume; use lowers it; both by their density at 15 °C.
#[test]
fn what_gets_in_and_what_is_used() {
    let rate = Value::parse("rate", "0.1 L/h").unwrap();
    let at_15 = plain("[reference]\ntemperature = \"15 degC\"\n");
    for component in [Foreign::Fuel, Foreign::Coolant, Foreign::Water] {
        let events = [
            Action::Ingress { component, rate: rate.clone(), when: When::Running }.into(),
            run("9 h", 15.0),
            read("dip"),
        ];
        assert_abs_diff_eq!(mm(&carry_out(&at_15, &events), "dip"), 120.0, epsilon = 1e-6);
    }
    let events = [Action::Use { rate, when: When::Running }.into(), run("9 h", 15.0), rest("9 h"), read("dip")];
    let line = carry_out(&at_15, &events);
    assert_abs_diff_eq!(mm(&line, "dip"), 80.0, epsilon = 1e-6);
    assert_abs_diff_eq!(mass(&line, "burnt"), 0.9e-3 * 868.0, epsilon = 1e-12);
}

/// Another start: the end of one service is the start of the next.
#[test]
fn a_service_goes_on_from_where_another_ended() {
    let circuit = full("leaking");
    let (first, second) = ([run("1 min", 80.0), rest("10 min")], [rest("1 h"), read("dip")]);
    let half = carry_out(&circuit, &first);
    let start = half.state(half.rows().len() - 1).unwrap();
    let rest_of_it = simulate_from(&circuit, &second, &start).unwrap();
    let whole: Vec<_> = first.into_iter().chain(second).collect();
    let whole = carry_out(&circuit, &whole);
    assert_eq!(apart(&whole, &rest_of_it), 0.0);
    assert_abs_diff_eq!(mm(&whole, "dip"), mm(&rest_of_it, "dip"));
}

/// A smear counts until the stick is wiped, or where it is stated.
#[test]
fn a_stick_is_smeared_until_it_is_wiped() {
    let circuit = plain("").replace(&[("dipstick.smear", "8 mm")]).unwrap();
    let stated = HowRead { smear: Some(Value::parse("smear", "3 mm").unwrap()), ..HowRead::default() };
    let events = [
        read("start"),
        run("1 min", 20.0),
        read("first"),
        read("second"),
        Action::Wipe.into(),
        read("wiped"),
        super::super::Event::from(Action::Read(stated)).labelled("stated"),
    ];
    let line = carry_out(&circuit, &events);
    for (label, want) in [("start", 100.0), ("first", 108.0), ("second", 108.0), ("wiped", 100.0), ("stated", 103.0)] {
        assert_abs_diff_eq!(mm(&line, label), want, epsilon = 1e-9);
    }
}
