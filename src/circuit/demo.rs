//! The invented demo circuits of a ferry depot's training bay. No real engine, vehicle or maker stands behind them.

use super::{Circuit, CircuitError};
use crate::Error;

const SHUTTLE_BUS: &str = include_str!("../../python/fillmark/demo/shuttle-bus.toml");
const DECK_GENERATOR: &str = include_str!("../../python/fillmark/demo/deck-generator.toml");
const HARBOUR_LAUNCH: &str = include_str!("../../python/fillmark/demo/harbour-launch.toml");
const WINCH_GEARBOX: &str = include_str!("../../python/fillmark/demo/winch-gearbox.toml");
const STEPPED_BUS: &[u8] = include_bytes!("../../python/fillmark/demo/stepped_bus.stl");

const DEMOS: &[(&str, &str)] = &[
    ("shuttle-bus", SHUTTLE_BUS),
    ("deck-generator", DECK_GENERATOR),
    ("harbour-launch", HARBOUR_LAUNCH),
    ("winch-gearbox", WINCH_GEARBOX),
];

/// Names of the demo circuits.
pub fn demos() -> Vec<&'static str> {
    DEMOS.iter().map(|(name, _)| *name).collect()
}

/// Loads a demo circuit by name.
pub(super) fn load(name: &str) -> Result<Circuit, Error> {
    let Some((_, text)) = DEMOS.iter().find(|(n, _)| *n == name) else {
        return Err(CircuitError::UnknownDemo { name: name.into(), accepted: demos().join(", ") }.into());
    };
    Circuit::loads(text, &embedded)
}

fn embedded(file: &str) -> Result<Vec<u8>, String> {
    match file {
        "stepped_bus.stl" => Ok(STEPPED_BUS.to_vec()),
        _ => Err("it is not among the embedded demo files".into()),
    }
}
