//! A box circuit: everything stands at 20 °C, so no volume changes. After a drain the sump holds the heel H; a pour of the
//! stated V with a jug of scale k brings it to `H + k V`; an upright blade whose tip is 5 mm above the floor of 60,000 mm² then
//! reads `(H + k V)/A - 5 mm`. MAX, at 50 mm of blade, is at 3.3 L, MIN, at 30 mm, at 2.1 L.

use fillmark::circuit::Circuit;
use fillmark::service::{Action, Amount, Event};
use fillmark::units::Value;

const BOX: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/box.toml"));

/// The circuit with a heel and a jug's scale.
pub fn circuit(heel: &str, jug: &str) -> Circuit {
    circuit_with(heel, jug, "")
}

/// The same with further tables.
pub fn circuit_with(heel: &str, jug: &str, tables: &str) -> Circuit {
    let text = BOX.replace("0.20(5) L", heel).replace("1.00(2)", jug) + tables;
    Circuit::loads(&text, &|_: &str| Err(String::from("no file"))).unwrap()
}

/// Area of the floor (m2), and the reading in metres of a volume in litres.
pub const AREA: f64 = 0.06;

pub fn reading(litres: f64) -> f64 {
    litres * 1e-3 / AREA - 5e-3
}

/// A further pour with the jug.
pub fn pour(volume: &str) -> Event {
    let poured = Amount::Volume(Value::parse("volume", volume).unwrap());
    Action::Pour { amount: poured, temperature: None, measured_with: Some("jug".into()) }.into()
}

/// Drain, pour the stated volume with the jug, read.
pub fn filled(volume: &str) -> Vec<Event> {
    let duration = Value::parse("duration", "10 min").unwrap();
    vec![
        Action::Drain { plug: None, duration, temperature: None }.into(),
        pour(volume),
        Event::from(Action::read()).labelled("dip"),
    ]
}
