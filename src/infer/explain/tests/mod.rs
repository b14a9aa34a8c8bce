//! Tests of explanations.

mod diagnosis;
mod evidence;
mod refusals;
mod side_by_side;

use super::{DiagnoseOptions, Record, Verdict, diagnose};
use crate::Error;
use crate::circuit::Circuit;

/// A diagnosis on the bus, of a record without its head.
pub(super) fn on_the_bus(complaint: &str, events: &[&str], rest: &str) -> Result<Verdict, Error> {
    let text = format!("format = 1\ncomplaint = \"{complaint}\"\nevents = {events:?}\n{rest}");
    diagnose(&Circuit::demo("shuttle-bus")?, &Record::loads(&text)?, &DiagnoseOptions::default())
}

pub(super) const SERVICE: [&str; 5] =
    ["drain 10 min at 60 degC", "change filter", "pour 7.4 L with jug", "run 2 min", "rest 20 min"];
