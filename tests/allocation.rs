//! The per-draw path allocates nothing.
#![allow(clippy::unwrap_used)]

use fillmark::circuit::Circuit;
use fillmark::service::{Action, Amount, Bend, Event, Misfit, Program, Reading, Recorder};
use fillmark::units::Value;

/// Keeps the last reading only.
struct Last(f64);

impl Recorder for Last {
    fn reading(&mut self, _nth: usize, reading: Reading) {
        self.0 = reading.s;
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        Bend::Bend
    }
}

fn time(text: &str) -> Value<fillmark::units::Time> {
    Value::parse("duration", text).unwrap()
}

#[test]
fn a_run_allocates_nothing() {
    for name in fillmark::circuit::demos() {
        let circuit = Circuit::demo(name).unwrap();
        let events: Vec<Event> = vec![
            Action::Drain { plug: None, duration: time("10 min"), temperature: None }.into(),
            Action::ChangeFilter {
                primed: Value::parse("primed", "0.1 L").unwrap(),
                net_volume: None,
                temperature: None,
            }
            .into(),
            Action::Pour {
                amount: Amount::Volume(Value::parse("volume", "4 L").unwrap()),
                temperature: None,
                measured_with: Some("jug".into()),
            }
            .into(),
            Action::Run { duration: time("1 min"), temperature: None }.into(),
            Action::Rest { duration: time("5 min") }.into(),
            Action::read().into(),
            // More than the sump holds: the draw is bent, which must not allocate either.
            Action::Withdraw { amount: Amount::Volume(Value::parse("volume", "900 L").unwrap()), measured_with: None }
                .into(),
        ];
        let program = Program::compile(&circuit, &events).unwrap();
        let inputs = program.nominals().to_vec();
        let mut scratch = program.scratch(&inputs).unwrap();
        let mut last = Last(0.0);
        let counted = allocation_counter::measure(|| {
            for _ in 0..100 {
                program.run(&inputs, &mut scratch, &mut last).unwrap();
            }
        });
        assert!(last.0 > 0.0);
        assert_eq!(counted.count_total, 0, "{name}: {counted:?}");
    }
}
