//! The wait before a reading against the laws of return: a pool leaves `V e^(-t/τ)`, a film `V / √(1 + t/τ)`; on a floor of 60,000 mm²
//! that is `V/A` on the stick.

use fillmark::circuit::Circuit;
use fillmark::estimate::{WaitOptions, wait_advice};
use fillmark::service::{Action, Event};
use fillmark::units::Value;

use super::support::{AREA, circuit, circuit_with};

/// At 40 °C the oil has 95 mm²/s, 0.95 of the viscosity at which time scales are stated.
fn run() -> Vec<Event> {
    let duration = Value::parse("duration", "1 min").unwrap();
    vec![Action::Run { duration, temperature: Some(Value::parse("temperature", "40 degC").unwrap()) }.into()]
}

fn with_store(lines: &str) -> Circuit {
    circuit_with("0.2 L", "1", &format!("\n[stores.head]\nrunning = \"0.3 L\"\nkept = \"0.1 L\"\n{lines}"))
}

fn options(shows: f64) -> WaitOptions<'static> {
    let mut options = WaitOptions::default();
    options.shows = Some(shows);
    options
}

#[test]
fn a_pool_is_back_after_a_multiple_of_its_time() {
    let pool = with_store("pool_time = \"100 s\"\ninertia_time = \"5 s\"");
    let (tau, all) = (5.0 + 0.95 * 100.0, 0.3e-3 / AREA);
    for shows in [0.5e-3, 1e-3, 2e-3] {
        let advice = wait_advice(&pool, &run(), &options(shows)).unwrap();
        let exact = tau * f64::ln(all / shows);
        assert!((advice.nominal.unwrap() - exact).abs() < 0.2, "{:?} not {exact}", advice.nominal);
        assert!(advice.cooling.is_none() && advice.beyond == 0.0);
        // Rows: the law itself.
        for row in &advice.rows {
            assert!((row.on_stick - all * (-row.wait / tau).exp()).abs() < 1e-9 && row.sump_c == 40.0);
            assert!((row.returning - row.on_stick * AREA).abs() < 1e-12);
        }
    }
    // What is back already needs no wait.
    assert_eq!(wait_advice(&pool, &run(), &options(6e-3)).unwrap().nominal, Some(0.0));
}

#[test]
fn a_film_keeps_its_tail() {
    let film = with_store("film = \"0.3 L\"\nfilm_time = \"100 s\"");
    let (tau, all) = (0.95 * 100.0, 0.3e-3 / AREA);
    let exact = tau * ((all / 1e-3_f64).powi(2) - 1.0);
    let advice = wait_advice(&film, &run(), &options(1e-3)).unwrap();
    assert!((advice.nominal.unwrap() - exact).abs() < 0.2, "{:?} not {exact}", advice.nominal);
    let mut short = options(1e-3);
    short.longest = exact - 1.0;
    let advice = wait_advice(&film, &run(), &short).unwrap();
    assert_eq!((advice.nominal, advice.beyond), (None, 1.0));
}

/// A pool whose time is known to a tenth: the wait is that time times a constant, so its relative uncertainty is the same.
#[test]
fn the_wait_over_all_draws() {
    let pool = with_store("pool_time = \"0 s\"\ninertia_time = \"100(10) s\"");
    let mut options = options(1e-3);
    options.draws = 20_000;
    let advice = wait_advice(&pool, &run(), &options).unwrap();
    let exact = 100.0 * f64::ln(0.3 / AREA);
    assert!((advice.wait.mean() - exact).abs() < 4.0 * 0.1 * exact / f64::sqrt(20_000.0) + 0.1);
    assert!((advice.wait.standard_uncertainty() - 0.1 * exact).abs() < 4.0 * 0.1 * exact / f64::sqrt(40_000.0));
}

/// Thicker oil drains more slowly: with cooling the wait is longer, and what it cools to is said.
#[test]
fn cooling_lengthens_the_wait() {
    let store = "pool_time = \"100 s\"\n\n[cooling]\ntime = \"10 min\"\nambient = \"0 degC\"";
    let advice = wait_advice(&with_store(store), &run(), &options(1e-3)).unwrap();
    assert_eq!(advice.cooling, Some((600.0, 0.0)));
    let still = wait_advice(&with_store("pool_time = \"100 s\""), &run(), &options(1e-3)).unwrap();
    assert!(advice.nominal.unwrap() > still.nominal.unwrap());
    let row = advice.rows.iter().find(|row| row.wait == 600.0).unwrap();
    assert!((row.sump_c - 40.0 * f64::exp(-1.0)).abs() < 1e-9);
}

#[test]
fn what_is_refused() {
    let pool = with_store("");
    let code = |shows: Option<f64>, longest: f64, events: &[Event]| {
        let mut options = WaitOptions::default();
        (options.shows, options.longest) = (shows, longest);
        wait_advice(&pool, events, &options).unwrap_err().code().clone()
    };
    // The stick of this circuit has no scatter, so what it shows must be said.
    assert_eq!(code(None, 3600.0, &run()), "estimate.option_out_of_range");
    assert_eq!(code(Some(1e-3), 0.0, &run()), "estimate.option_out_of_range");
    let open = [run(), vec![Event::parse("open plug").unwrap()]].concat();
    assert_eq!(code(Some(1e-3), 3600.0, &open), "estimate.plug_open");
    let shut = [open, vec![Event::parse("close plug").unwrap()]].concat();
    assert!(wait_advice(&pool, &shut, &options(1e-3)).is_ok());
    assert_eq!(wait_advice(&circuit("0.2 L", "1"), &[], &options(1e-3)).unwrap().nominal, Some(0.0));
}
