//! Errors of the stick, one at a time.

use approx::assert_abs_diff_eq;

use super::super::{Action, Event, Face, HowRead, Wetting};
use super::{carry_out, mm, plain, read};
use crate::circuit::spec::AttitudeSpec;
use crate::units::{Dimension, Value};

fn value<D: Dimension>(text: &str) -> Value<D> {
    Value::parse("value", text).unwrap()
}

fn how(how: HowRead) -> Event {
    Event::from(Action::Read(how)).labelled("dip")
}

fn dip(circuit: &crate::circuit::Circuit, event: Event) -> f64 {
    mm(&carry_out(circuit, &[event]), "dip")
}

/// Calculated: the crankcase 100 Pa above the tube reads 12.0 mm high at 850 kg/m3; along a blade that leans by 30°, the
/// cosine less.
#[test]
fn pressure_in_the_tube() {
    let circuit =
        plain("[reference]\ntemperature = \"15 degC\"\n").replace(&[("fluid.density_15c", "850 kg/m3")]).unwrap();
    let pressed = || how(HowRead { tube_pressure: Some(value("100 Pa")), ..HowRead::default() });
    assert_abs_diff_eq!(dip(&circuit, pressed()), 112.0, epsilon = 0.01);
    let leaning = circuit
        .replace_json(&[("dipstick.path_mm", serde_json::json!([[0.0, 0.0, 0.0], [50.0, 0.0, 86.60254037844386]]))])
        .and_then(|c| c.replace(&[("dipstick.max", "80 mm")]))
        .unwrap();
    let rise = dip(&leaning, pressed()) - 80.0;
    assert_abs_diff_eq!(rise, 11.9968 / 30f64.to_radians().cos(), epsilon = 1e-3);
}

/// Calculated: 5 mm proud of its seat reads 5 mm low; at 45 mL/mm that makes one add 225 mL.
#[test]
fn a_stick_proud_of_its_seat() {
    let proud = how(HowRead { seat_offset: Some(value("5 mm")), ..HowRead::default() });
    let line = carry_out(&plain(""), &[proud]);
    assert_abs_diff_eq!(mm(&line, "dip"), 95.0, epsilon = 1e-9);
    assert_abs_diff_eq!(line.reading("dip").unwrap().reading.from_max, -0.225e-3, epsilon = 1e-12);
}

/// Calculated: a stick 150 mm from the middle reads 2.62 mm per degree of slope, and the other way round when turned.
#[test]
fn a_slope_and_turning_round() {
    let circuit = plain("")
        .replace_json(&[("dipstick.path_mm", serde_json::json!([[149.9, 0.0, 0.0], [149.9, 0.0, 200.0]]))])
        .unwrap();
    let at = |degrees: &str| AttitudeSpec { nose_up: value(degrees), ..AttitudeSpec::default() };
    let up = dip(&circuit, read("dip").at(at("1 deg"))) - 100.0;
    let down = dip(&circuit, read("dip").at(at("-1 deg"))) - 100.0;
    assert_abs_diff_eq!(up, -2.62, epsilon = 5e-3);
    assert_abs_diff_eq!(up + down, 0.0, epsilon = 1e-9);
}

/// The higher side, the meniscus and a longer stick add what they are.
#[test]
fn faces_meniscus_and_another_stick() {
    let circuit = plain("[sticks.spare]\nmin = \"70 mm\"\nmax = \"120 mm\"\nlonger = \"15 mm\"\n")
        .replace(&[("dipstick.faces", "2.5 mm"), ("dipstick.meniscus", "1 mm")])
        .unwrap();
    assert_abs_diff_eq!(dip(&circuit, read("dip")), 101.0, epsilon = 1e-9);
    let higher = how(HowRead { face: Face::Higher, ..HowRead::default() });
    assert_abs_diff_eq!(dip(&circuit, higher), 103.5, epsilon = 1e-9);
    let line = carry_out(&circuit, &[how(HowRead { stick: Some("spare".into()), ..HowRead::default() })]);
    let reading = line.reading("dip").unwrap().reading;
    assert_abs_diff_eq!(reading.s * 1e3, 116.0, epsilon = 1e-9);
    assert_abs_diff_eq!(reading.fraction, 46.0 / 50.0, epsilon = 1e-9);
    assert_abs_diff_eq!(reading.from_max, -4.0 * 0.045e-3, epsilon = 1e-12);
    assert_eq!(reading.wetting, Wetting::OnBlade);
}

/// A longer stick still finds liquid that the circuit's own, hung high, misses.
#[test]
fn a_longer_stick_reaches_deeper() {
    let circuit = plain("[sticks.long]\nmin = \"70 mm\"\nmax = \"120 mm\"\nlonger = \"30 mm\"\n")
        .replace_json(&[("dipstick.path_mm", serde_json::json!([[0.0, 0.0, 40.0], [0.0, 0.0, 190.0]]))])
        .unwrap();
    let out = Action::Withdraw { amount: super::super::Amount::Volume(value("5.4 L")), measured_with: None };
    // MAX at 140 mm over the floor, 6.3 L; 20 mm are left.
    let events =
        |stick: Option<&str>| [out.clone().into(), how(HowRead { stick: stick.map(Into::into), ..HowRead::default() })];
    let own = carry_out(&circuit, &events(None));
    assert_eq!(own.reading("dip").unwrap().reading.wetting, Wetting::BelowTip);
    assert_abs_diff_eq!(mm(&carry_out(&circuit, &events(Some("long"))), "dip"), 10.0, epsilon = 1e-9);
}
