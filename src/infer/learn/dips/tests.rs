//! Critical values against the tables of ISO 5725-2, and what is refused.

use uom::si::length::millimeter;

use super::checks::{cochran_critical, grubbs_critical};
use super::*;

/// Tables 4 and 5 of ISO 5725-2:1994 (from memory), printed to three decimals.
#[test]
fn critical_values_as_printed() {
    let cochran =
        [(8.0, 2.0, 0.05, "0.680"), (8.0, 3.0, 0.05, "0.516"), (8.0, 3.0, 0.01, "0.615"), (10.0, 2.0, 0.01, "0.718")];
    for (p, n, alpha, printed) in cochran {
        assert_eq!(format!("{:.3}", cochran_critical(alpha, p, n)), printed, "{p} {n} {alpha}");
    }
    let grubbs = [
        (3.0, 0.05, "1.155"),
        (8.0, 0.05, "2.126"),
        (8.0, 0.01, "2.274"),
        (10.0, 0.05, "2.290"),
        (10.0, 0.01, "2.482"),
    ];
    for (p, alpha, printed) in grubbs {
        // The tables of the editions round 2.1266 either way: one unit of the last digit.
        let printed: f64 = printed.parse().unwrap();
        assert!((grubbs_critical(alpha, p) - printed).abs() < 1e-3, "{p} {alpha}");
    }
}

#[test]
fn what_is_refused() {
    let dip = |trainee: &str, mm: f64| Dip {
        trainee: trainee.into(),
        level: "a".into(),
        reading: Length::new::<millimeter>(mm),
    };
    let code = |dips: &[Dip]| dip_study(dips, &DipOptions::default()).unwrap_err().code();
    assert_eq!(code(&[]), "learn.too_few");
    assert_eq!(code(&[dip("x", 1.0), dip("x", 2.0)]), "learn.too_few");
    assert_eq!(code(&[dip("x", 1.0), dip("y", 2.0)]), "learn.too_few");
    assert_eq!(code(&vec![dip("x", 1.0); 2001]), "learn.too_many");
    assert_eq!(code(&[dip("x", 1.0), dip("y", -2.0), dip("y", 2.0)]), "quantity.out_of_range");
}
