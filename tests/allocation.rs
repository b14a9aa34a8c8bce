//! The per-draw path allocates nothing, nor do pools once asked.
#![allow(clippy::unwrap_used)]

use fillmark::circuit::Circuit;
use fillmark::geometry::{Attitude, LengthUnit, Plug, Pools, Sump};
use fillmark::service::{Action, Amount, Bend, Event, Misfit, Program, Reading, Recorder};
use fillmark::units::Value;
use fillmark::uom::si::f64::{Length, Volume};
use fillmark::uom::si::length::millimeter;
use fillmark::uom::si::volume::liter;

#[test]
fn pools_allocate_nothing_once_their_ways_are_known() {
    let l = |litres: f64| Volume::new::<liter>(litres);
    let bytes = std::fs::read(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/twin_well.stl")).unwrap();
    let sump = Sump::from_stl_bytes(&bytes, LengthUnit::Millimetre).unwrap();
    let wells = sump.basins(Attitude::LEVEL).unwrap();
    let mut pools = Pools::at_level(&sump, Length::default(), Attitude::LEVEL).unwrap();
    let well = wells[0].lowest_point;
    let plug = Plug::new(well, Length::new::<millimeter>(14.0), Length::default(), Plug::DOWN).unwrap();
    let (landing, holes, tube) =
        (pools.landing(well).unwrap(), pools.holes(&[plug]).unwrap(), pools.tube(well).unwrap());
    let cycle = |pools: &mut Pools| {
        let mut heard = 0;
        // Both wells past the ridge, a little out again, then all that the plug reaches.
        pools.pour_into(landing, l(4.0).value, &mut |_| heard += 1).unwrap();
        let pool = pools.pool_over(landing).unwrap().unwrap();
        pools.withdraw_through(&tube, pools.reach(&tube) / 2.0, &mut |_| heard += 1);
        pools.drain_through(&holes, &mut |_| heard += 1);
        assert!(heard > 4 && pool.level.value > 0.0);
    };
    cycle(&mut pools);
    let counted = allocation_counter::measure(|| (0..10).for_each(|_| cycle(&mut pools)));
    assert_eq!(counted.count_total, 0, "{counted:?}");
}

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
