//! What a calibration gives back of clean pours, and what is refused.

use approx::assert_relative_eq;
use uom::si::f64::{Length, Volume};
use uom::si::length::millimeter;
use uom::si::volume::liter;

use super::*;

fn litres(v: &[f64]) -> Vec<Volume> {
    v.iter().map(|v| Volume::new::<liter>(*v)).collect()
}

fn mm(v: &[f64]) -> Vec<Length> {
    v.iter().map(|v| Length::new::<millimeter>(*v)).collect()
}

fn options() -> CalibrateOptions {
    let scatter = Value::from_si(1e-5).unwrap();
    CalibrateOptions { scatter, draws: 400, ..CalibrateOptions::default() }
}

/// Straight sides: 45 cm2 under an upright blade are 45 mL per mm of blade, by definition of the litre.
#[test]
fn clean_pours_give_the_area() {
    let fit = calibrate(&litres(&[9.0, 0.45, 0.45, 0.45]), &mm(&[20.0, 30.0, 40.0, 50.0]), &options()).unwrap();
    assert_relative_eq!(fit.per_blade_mean().median, 45e-3, max_relative = 1e-3);
    assert_relative_eq!(fit.zero().median, 20e-3, max_relative = 1e-3);
    assert_relative_eq!(fit.volume_between(0.022, 0.048).median, 26.0 * 45e-6, max_relative = 3e-3);
}

/// A jug's scale multiplies every volume, and its error is in every one of them: relative uncertainty 2 %.
#[test]
fn the_jug_is_shared_by_all_pours() {
    let jug_scale = Value::parse("jug", "1.00(2)").unwrap();
    let options = CalibrateOptions { jug_scale, draws: 4000, ..options() };
    let fit = calibrate(&litres(&[0.0, 0.45, 0.45, 0.45]), &mm(&[20.0, 30.0, 40.0, 50.0]), &options).unwrap();
    let slope = fit.per_blade_mean();
    // Standard error of a standard deviation from 4000 draws: 0.02 / sqrt(8000) = 2.2e-4; four of it.
    assert!((slope.standard_uncertainty / slope.mean - 0.02).abs() < 9e-4, "{slope:?}");
    assert!(fit.next_pours().iter().all(|p| p.left > 0.95), "no pour with the same jug removes its error");
}

#[test]
fn the_same_seed_gives_the_same_bits() {
    let again = |seed| {
        let options = CalibrateOptions { seed, ..options() };
        calibrate(&litres(&[0.0, 0.5, 0.4, 0.5]), &mm(&[20.0, 31.0, 40.0, 52.0]), &options).unwrap()
    };
    assert_eq!(again(3), again(3));
    assert_ne!(again(3), again(4));
}

/// For straight lines the posterior under a flat prior is that of least squares: the slope's variance is s2/Sxx (JCGM 100, H.3).
#[test]
fn the_bend_only_widens() {
    let scatter = Value::from_si(1e-3).unwrap();
    let options = CalibrateOptions { scatter, draws: 4000, ..options() };
    let fit = calibrate(&litres(&[0.0, 0.5, 0.5, 0.5, 0.5]), &mm(&[20.0, 31.0, 42.0, 53.0, 64.0]), &options).unwrap();
    // The ends alone: sqrt(2) * 1 mm in 44 mm; least squares: 1/sqrt(Sxx) per step, Sxx = 10 for five steps of one, times 4 steps in 44 mm.
    let relative = fit.per_blade_mean().standard_uncertainty / fit.per_blade_mean().mean;
    let (least, most) = (4.0 / 10f64.sqrt() / 44.0, 2f64.sqrt() / 44.0);
    assert!(relative > 0.95 * least && relative < 1.05 * most, "{least} {relative} {most}");
}

#[test]
fn what_is_refused() {
    let code = |added: &[f64], read: &[f64], marks: Option<[f64; 2]>| {
        let marks = marks.map(|m| m.map(|x| Value::from_si(x / 1e3).unwrap()));
        calibrate(&litres(added), &mm(read), &CalibrateOptions { marks, ..options() }).unwrap_err().code()
    };
    let (pours, reads) = ([0.0, 0.5, 0.5], [20.0, 30.0, 40.0]);
    assert_eq!(code(&pours, &reads[..2], None), "learn.lengths_differ");
    assert_eq!(code(&pours[..2], &reads[..2], None), "learn.too_few");
    assert_eq!(code(&[], &[], None), "learn.too_few");
    assert_eq!(code(&[0.5; 600], &[30.0; 600], None), "learn.too_many");
    assert_eq!(code(&pours, &[40.0, 30.0, 20.0], None), "learn.not_rising");
    assert_eq!(code(&pours, &reads, Some([20.0, 90.0])), "learn.mark_outside_pours");
    assert_eq!(code(&pours, &reads, Some([40.0, 20.0])), "learn.marks");
    assert_eq!(code(&[0.0, -0.5, 0.5], &reads, None), "quantity.out_of_range");
    assert_eq!(
        calibrate(&litres(&pours), &mm(&reads), &options()).unwrap().span().unwrap_err().code(),
        "learn.no_marks"
    );
    let long = calibrate(&litres(&pours), &mm(&[20.0, 300.0, 600.0]), &options()).unwrap();
    let bus = crate::circuit::Circuit::demo("shuttle-bus").unwrap();
    assert_eq!(long.against(&bus).unwrap_err().code(), "learn.not_this_stick");
}
