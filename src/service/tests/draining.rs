//! Emptying through plugs.

use std::sync::Arc;

use approx::{assert_abs_diff_eq, assert_relative_eq};
use uom::si::f64::{ThermodynamicTemperature, Volume};
use uom::si::thermodynamic_temperature::degree_celsius;
use uom::si::time::second;
use uom::si::volume::cubic_meter;

use super::super::Action;
use super::{carry_out, close, open, plain, pour, rest, time};
use crate::circuit::{Circuit, Emptying, PlugDrain};
use crate::fluid::Fluid;
use crate::fluid::outflow::LossModel;
use crate::geometry::{Attitude, Plug};
use crate::units::Value;

fn by_geometry() -> Circuit {
    let spec = plain("").to_json().replace(r#","heel":"0.2 L""#, "");
    Circuit::loads(&spec, &|_| Err("no files".into())).unwrap()
}

/// The table against the quadrature it is made of, between its nodes: 1 % of the time, over volumes and viscosities.
#[test]
fn the_table_keeps_the_time_of_the_quadrature() {
    let circuit = by_geometry();
    let plug = circuit.spec().plugs["main"].plug().unwrap();
    let emptying = Emptying::new(circuit.sump(), vec![plug], Attitude::LEVEL).unwrap();
    let fluid = Fluid::from_grade("10W-40").unwrap();
    for t in [-5.0, 20.0, 47.0, 93.0] {
        let t = ThermodynamicTemperature::new::<degree_celsius>(t);
        let nu = fluid.kinematic_viscosity(t).unwrap().value;
        let model = LossModel::energy_balance();
        let drain = PlugDrain::new(circuit.sump(), Attitude::LEVEL, &plug, &fluid, t, model).unwrap();
        for litres in [8.7, 4.1, 1.3] {
            let [from, to] = [litres, litres / 3.0].map(|l| Volume::new::<cubic_meter>(l * 1e-3));
            let heads = [from, to].map(|v| drain.outlet().head(v).unwrap());
            let direct = drain.hole.time_between(drain.outlet(), heads[0], heads[1]).unwrap().get::<second>();
            let table = emptying.seconds_from(from.value, nu) - emptying.seconds_from(to.value, nu);
            assert_relative_eq!(table, direct, max_relative = 0.01);
            assert_relative_eq!(emptying.volume_after(from.value, nu, table), to.value, max_relative = 1e-9);
        }
    }
}

/// One emptying serves a circuit and what is made of it, as long as sump, plug and attitude are the same.
#[test]
fn prepared_once_for_the_same_sump_and_plug() {
    let circuit = by_geometry();
    let emptying = |c: &Circuit| c.emptying(&[0], Attitude::LEVEL).unwrap();
    let first = emptying(&circuit);
    let thin = circuit.replace(&[("fluid.kv40", "60 mm2/s")]).unwrap();
    assert!(Arc::ptr_eq(&first, &emptying(&thin)));
    let wide = thin.replace(&[("plugs.main.bore", "20 mm")]).unwrap();
    assert_ne!(*first, *emptying(&wide));
    assert_eq!(*emptying(&wide), Emptying::new(wide.sump(), first_plug(&wide), Attitude::LEVEL).unwrap());
    assert!(Arc::ptr_eq(&first, &emptying(&wide.replace(&[("plugs.main.bore", "14 mm")]).unwrap())));
    assert!(!Arc::ptr_eq(&first, &circuit.emptying(&[0], Attitude::from_degrees(1.0, 0.0).unwrap()).unwrap()));
    assert!(!Arc::ptr_eq(&first, &emptying(&by_geometry())));
}

fn first_plug(circuit: &Circuit) -> Vec<Plug> {
    vec![circuit.spec().plugs["main"].plug().unwrap()]
}

/// A drain that is too short leaves more, a cold one more still; a long one leaves the heel at any temperature.
#[test]
fn short_and_cold_drains_leave_more() {
    let circuit = by_geometry();
    let left = |seconds: &str, t: f64| {
        let drain = Action::Drain { plug: None, duration: time(seconds), temperature: super::celsius(t) };
        let line = carry_out(&circuit, &[drain.into()]);
        line.rows()[1].volume_sump_m3 * 1e3
    };
    assert!(left("20 s", 0.0) > left("20 s", 60.0) && left("20 s", 60.0) > left("40 s", 60.0));
    assert!(left("20 s", 0.0) > 2.0);
    for t in [0.0, 60.0] {
        assert_abs_diff_eq!(left("24 h", t), 0.0, epsilon = 1e-12);
    }
}

/// Emptying does not care how a rest is divided.
#[test]
fn a_divided_drain() {
    let circuit = by_geometry();
    let volume = |rests: &[&str]| {
        let events: Vec<_> = std::iter::once(open("main")).chain(rests.iter().map(|t| rest(t))).collect();
        carry_out(&circuit, &events).rows().last().unwrap().volume_sump_m3
    };
    assert_relative_eq!(volume(&["30 s"]), volume(&["10 s", "1 s", "19 s"]), max_relative = 1e-12);
}

/// Fill to overflow: with the level plug out, what stands above its rim runs off (3.1 L stay, 5 mm under no ridge).
#[test]
fn a_level_plug_sets_the_level() {
    let gearbox = Circuit::demo("winch-gearbox").unwrap();
    let drain = Action::Drain { plug: Some("drain".into()), duration: time("30 min"), temperature: None };
    let events = [drain.into(), open("level"), pour(4.0), rest("24 h"), close(), super::read("dip")];
    let line = carry_out(&gearbox, &events);
    // The rim's lowest point is 81.5 mm above the floor of 240 x 160 mm.
    assert_abs_diff_eq!(line.rows().last().unwrap().level_m * 1e3, 81.5, epsilon = 1e-6);
    assert_abs_diff_eq!(line.reading("dip").unwrap().reading.fraction, 1.0, epsilon = 1e-6);
}

/// The same after a warm drain: the new oil is cold, and its density counts, not that of the few drops of warm oil in the sump when
/// the plug was opened (2 mm less would stay). What the mixture cools by afterwards it stands lower, some 0.1 mm.
#[test]
fn a_level_plug_sets_the_level_after_a_warm_drain() {
    let gearbox = Circuit::demo("winch-gearbox").unwrap();
    for warm in [60.0, 80.0] {
        let drain =
            Action::Drain { plug: Some("drain".into()), duration: time("10 min"), temperature: super::celsius(warm) };
        let events = [drain.into(), open("level"), pour(4.0), rest("24 h"), close(), super::read("dip")];
        let line = carry_out(&gearbox, &events);
        let level = line.rows().last().unwrap().level_m * 1e3;
        assert!((81.3..=81.5).contains(&level), "drained at {warm} degC: {level} mm");
    }
}

/// A sump that is all but level has knots that all but coincide; what drains is what drains on level ground.
#[test]
fn all_but_level_it_drains_as_on_level_ground() {
    for (name, angles) in [("shuttle-bus", [5e-9, -1e-9, 1e-10]), ("harbour-launch", [1e-9, -1e-9, 1e-10])] {
        let circuit = Circuit::demo(name).unwrap();
        let after = |nose_up: f64| {
            let nose_up = Value::exact(nose_up, "deg").unwrap();
            let attitude = crate::circuit::spec::AttitudeSpec { nose_up, ..Default::default() };
            let drain: super::super::Event =
                Action::Drain { plug: None, duration: time("10 min"), temperature: None }.into();
            carry_out(&circuit, &[drain.at(attitude)]).rows()[1].volume_sump_m3
        };
        let level = after(0.0);
        for nose_up in angles {
            assert_abs_diff_eq!(after(nose_up), level, epsilon = 1e-9);
        }
    }
}

/// Two plugs at once: the lower one decides what stays, and it goes faster.
#[test]
fn two_plugs_at_once() {
    let gearbox = Circuit::demo("winch-gearbox").unwrap();
    let lasts = |plugs: &[&str]| {
        let events: Vec<_> =
            [pour(0.3)].into_iter().chain(plugs.iter().map(|p| open(p))).chain([rest("5 s")]).collect();
        carry_out(&gearbox, &events).rows().last().unwrap().volume_sump_m3
    };
    assert!(lasts(&["drain", "level"]) < lasts(&["drain"]) && lasts(&["drain"]) < lasts(&["level"]));
    let both = carry_out(&gearbox, &[open("drain"), open("level"), rest("48 h"), close()]);
    let lip = gearbox.spec().plugs["drain"].lip.nominal();
    assert_abs_diff_eq!(both.rows().last().unwrap().volume_sump_m3, lip, epsilon = 1e-12);
}

/// Tilted, the wedge that the plug does not reach stays in.
#[test]
fn a_tilted_drain_keeps_a_wedge() {
    let circuit = by_geometry();
    let tilted = |degrees: f64| {
        let drain: super::super::Event = Action::Drain { plug: None, duration: time("24 h"), temperature: None }.into();
        let attitude =
            crate::circuit::spec::AttitudeSpec { nose_up: Value::exact(degrees, "deg").unwrap(), ..Default::default() };
        carry_out(&circuit, &[drain.at(attitude)]).rows()[1].volume_sump_m3 * 1e3
    };
    // Hand calculation: the plug's lower rim 93 mm ahead of the middle, 243 mm from the rear end: 0.5 · 0.243² · tan θ · 0.15 m3.
    for degrees in [1.0, 3.0] {
        let wedge = 0.5 * 0.243f64.powi(2) * f64::to_radians(degrees).tan() * 0.15 * 1e3;
        assert_relative_eq!(tilted(degrees), wedge, max_relative = 1e-6);
    }
}
