//! Marginal likelihoods against the closed form, clean records, and what is refused.

use approx::assert_relative_eq;
use uom::si::f64::{Length, Volume};
use uom::si::length::millimeter;
use uom::si::volume::liter;

use super::*;

fn mm(v: &[f64]) -> Vec<Length> {
    v.iter().map(|v| Length::new::<millimeter>(*v)).collect()
}

fn options() -> TrendOptions {
    let scatter = Value::from_si(1e-4).unwrap();
    TrendOptions { scatter, draws: 1000, ..TrendOptions::new(Value::from_si(45e-3).unwrap()) }
}

/// A record without scatter: 10 mm of 45 mL/mm in 1000 units, and 0.45 L that was poured.
#[test]
fn a_clean_record_gives_its_rate() {
    let added = [(500.0, Volume::new::<liter>(0.45))];
    let record = trend(&[0.0, 500.0, 501.0, 1000.0], &mm(&[60.0, 55.0, 64.99, 60.0]), &added, &options()).unwrap();
    assert_relative_eq!(record.rate().median, -0.45e-3 / 1000.0, max_relative = 0.03);
    assert!(record.probability_jump() < 0.1 && record.probability_change() < 0.2);
    assert_relative_eq!(record.reading_now().median, 60e-3, max_relative = 0.01);
}

/// From 60 mm, 10 mm lost in each 1000: MIN at 30 mm is 2000 further on; MAX is never reached.
#[test]
fn when_a_mark_is_reached() {
    let marks = Some([Value::from_si(30e-3).unwrap(), Value::from_si(75e-3).unwrap()]);
    let options = TrendOptions { marks, ..options() };
    let record =
        trend(&[0.0, 500.0, 1000.0, 1500.0, 2000.0], &mm(&[70.0, 65.0, 60.0, 55.0, 50.0]), &[], &options).unwrap();
    let min = record.reaches(Mark::Min).unwrap();
    assert_relative_eq!(min.over.median, 4000.0, max_relative = 0.02);
    assert_eq!(min.probability, 1.0);
    let max = record.reaches(Mark::Max).unwrap();
    assert_eq!((max.over.median, max.probability), (f64::INFINITY, 0.0));
}

#[test]
fn a_jump_and_a_change_are_told_apart() {
    let over: Vec<f64> = (0..12).map(f64::from).collect();
    let jump: Vec<f64> = over.iter().map(|x| 60.0 - x + if *x > 5.5 { 8.0 } else { 0.0 }).collect();
    let found = trend(&over, &mm(&jump), &[], &options()).unwrap();
    assert!(found.probability_jump() > 0.99);
    assert_relative_eq!(found.jump().unwrap().median, 8.0 * 45e-6, max_relative = 0.05);
    assert_eq!(found.jump_over().unwrap().median, 5.5);
    let change: Vec<f64> = over.iter().map(|x| 60.0 - x - 2.0 * (x - 5.5).max(0.0)).collect();
    let found = trend(&over, &mm(&change), &[], &options()).unwrap();
    assert!(found.probability_change() > 0.99);
    assert!((found.change_over().unwrap().median - 5.5).abs() < 0.3);
    assert_relative_eq!(found.rate().median, -3.0 * 45e-6, max_relative = 0.05);
    assert_relative_eq!(found.rate_before().median, -45e-6, max_relative = 0.05);
}

#[test]
fn what_is_refused() {
    let code = |over: &[f64], read: &[f64], added: &[(f64, Volume)]| {
        trend(over, &mm(read), added, &options()).unwrap_err().code()
    };
    assert_eq!(code(&[0.0, 1.0], &[1.0, 2.0], &[]), "learn.too_few");
    assert_eq!(code(&[0.0, 1.0, 2.0], &[1.0, 2.0], &[]), "learn.lengths_differ");
    assert_eq!(code(&[0.0, 2.0, 1.0], &[1.0, 2.0, 3.0], &[]), "learn.not_in_order");
    assert_eq!(code(&[1.0, 1.0, 1.0], &[1.0, 2.0, 3.0], &[]), "learn.no_use");
    let late = [(9.0, Volume::new::<liter>(1.0))];
    assert_eq!(code(&[0.0, 1.0, 2.0], &[1.0, 2.0, 3.0], &late), "quantity.out_of_range");
    let record = trend(&[0.0, 1.0, 2.0], &mm(&[1.0, 2.0, 3.0]), &[], &options()).unwrap();
    assert_eq!(record.reaches(Mark::Min).unwrap_err().code(), "learn.no_marks");
}
