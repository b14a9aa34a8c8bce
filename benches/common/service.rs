//! The six events that the benchmarks time, on a box and on a demo circuit.

use fillmark::numeric::lanes::{Eight, Lanes};
use fillmark::service::{Action, Amount, Bend, Event, Misfit, Program, Recorder, Side, Taken};
use fillmark::units::Value;

pub const BOX: &str = r#"
format = 1
name = "box"
[sump.box]
length = "300 mm"
width = "220 mm"
height = "150 mm"
[dipstick]
path_mm = [[50.0, 0.0, 10.0], [50.0, 0.0, 140.0]]
min = "40 mm"
max = "60 mm"
[plugs.main]
at_mm = [0.0, 0.0, 0.0]
bore = "14 mm"
heel = "0.2(1) L"
[filter]
net_volume = "0.4(1) L"
[fluid]
density_15c = "868 kg/m3"
kv40 = "95 mm2/s"
kv100 = "14.3 mm2/s"
[instruments.jug]
scale = "1.00(2)"
"#;

/// Drain, filter, pour, run, rest, read: six events.
pub fn service() -> Vec<Event> {
    let time = |text: &str| Value::parse("duration", text).expect("a duration");
    vec![
        Action::Drain { plug: None, duration: time("10 min"), temperature: Value::parse("t", "60 degC").ok() }.into(),
        Action::ChangeFilter {
            primed: Value::parse("primed", "0 L").expect("a volume"),
            net_volume: None,
            temperature: None,
        }
        .into(),
        Action::Pour {
            amount: Amount::Volume(Value::parse("volume", "4.3 L").expect("a volume")),
            temperature: None,
            measured_with: Some("jug".into()),
        }
        .into(),
        Action::Run { duration: time("1 min"), temperature: None }.into(),
        Action::Rest { duration: time("5 min") }.into(),
        Action::read().into(),
    ]
}

/// Keeps the last reading only.
pub struct Last(pub f64);

impl<X: Side> Recorder<X> for Last {
    fn hears_rows(&self) -> bool {
        false
    }

    fn reading(&mut self, _nth: usize, taken: &Taken<'_, X>) {
        self.0 = taken.s.lane(0);
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        Bend::Refuse
    }
}

/// Eight draws: every uncertain input a little off its nominal value, in each by another part in a thousand.
pub fn side_by_side(program: &Program) -> Vec<Eight> {
    let off = |uncertain: bool, i: usize| if uncertain { 1.0 + 1e-3 * (i as f64 - 3.5) } else { 1.0 };
    let inputs = program.inputs().zip(program.nominals());
    inputs.map(|(input, x)| Eight::from_lanes(|i| x * off(!input.distribution().is_exact(), i))).collect()
}
