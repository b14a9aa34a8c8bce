//! Services against hand calculations.

mod draining;
mod errors;
mod files;
mod meaning;
mod pools;
mod reading;
mod reference;
mod rest;

use super::{Action, Amount, Event, Timeline, simulate};
use crate::circuit::Circuit;
use crate::units::{Temperature, Time, Value};

/// A box of 300 x 150 x 200 mm (45 mL/mm), an upright stick standing on its floor with marks at 60 and 100 mm, a plug that
/// leaves 0.2 L, and whatever else `more` says.
pub(super) fn plain(more: &str) -> Circuit {
    let text = format!(
        r#"format = 1
name = "test bench"
[sump.box]
length = "300 mm"
width = "150 mm"
height = "200 mm"
[dipstick]
path_mm = [[0.0, 0.0, 0.0], [0.0, 0.0, 200.0]]
min = "60 mm"
max = "100 mm"
[plugs.main]
at_mm = [100.0, 0.0, 0.0]
bore = "14 mm"
heel = "0.2 L"
[fluid]
density_15c = "868 kg/m3"
kv40 = "95 mm2/s"
kv100 = "14.3 mm2/s"
{more}"#
    );
    Circuit::loads(&text, &|_| Err("no files".into())).unwrap()
}

/// With a head that holds oil aloft, a filter, and cooling to 20 °C with a time constant of 40 min.
pub(super) fn full(valve: &str) -> Circuit {
    plain(&format!(
        r#"[filter]
net_volume = "0.4 L"
valve = "{valve}"
[stores.head]
kept = "0.05 L"
running = "0.5 L"
film = "0.15 L"
pool_time = "30 s"
[cooling]
time = "40 min"
"#
    ))
}

pub(super) fn time(text: &str) -> Value<Time> {
    Value::parse("duration", text).unwrap()
}

#[allow(clippy::unnecessary_wraps)] // as events take it
pub(super) fn celsius(t: f64) -> Option<Value<Temperature>> {
    Some(Value::exact(t, "degC").unwrap())
}

pub(super) fn rest(text: &str) -> Event {
    Action::Rest { duration: time(text) }.into()
}

pub(super) fn run(text: &str, at: f64) -> Event {
    Action::Run { duration: time(text), temperature: celsius(at) }.into()
}

pub(super) fn pour(litres: f64) -> Event {
    let amount = Amount::Volume(Value::exact(litres, "L").unwrap());
    Action::Pour { amount, temperature: None, measured_with: None }.into()
}

pub(super) fn open(plug: &str) -> Event {
    Action::OpenPlug { plug: Some(plug.into()), temperature: None }.into()
}

pub(super) fn close() -> Event {
    Action::ClosePlug { plug: None }.into()
}

pub(super) fn read(label: &str) -> Event {
    Event::from(Action::read()).labelled(label)
}

pub(super) fn carry_out(circuit: &Circuit, events: &[Event]) -> Timeline {
    let line = simulate(circuit, events).unwrap();
    assert!(line.ledger().imbalance() < 1e-12, "{}", line.ledger().imbalance());
    line
}

pub(super) fn mm(line: &Timeline, label: &str) -> f64 {
    line.reading(label).unwrap().reading.s * 1e3
}

/// Mass in a place at the end (kg).
pub(super) fn mass(line: &Timeline, place: &str) -> f64 {
    line.state(line.rows().len() - 1).unwrap().place(place).unwrap().total()
}

/// Largest difference of any mass (kg) or temperature (K) between two ends.
pub(super) fn apart(a: &Timeline, b: &Timeline) -> f64 {
    let [a, b] = [a, b].map(|line| line.state(line.rows().len() - 1).unwrap());
    a.contents
        .iter()
        .zip(&b.contents)
        .map(|(x, y)| {
            let masses = x.mass.iter().zip(y.mass).map(|(m, n)| (m - n).abs()).fold(0.0, f64::max);
            if x.total() > 1e-9 { masses.max((x.temperature_c - y.temperature_c).abs()) } else { masses }
        })
        .fold(0.0, f64::max)
}
