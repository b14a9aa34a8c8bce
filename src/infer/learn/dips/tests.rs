//! Critical values against the tables of ISO 5725-2, and what is refused.

use uom::si::length::millimeter;

use super::checks::{cochran_critical, grubbs_critical};
use super::*;

/// Cochran's and Grubbs' critical values at 12 digits, from the quantiles of F and t of SciPy 1.17 (`scipy.stats`), and as
/// printed in tables 4 and 5 of ISO 5725-2:1994 (from memory; those tables round the last digit either way).
#[test]
fn critical_values_as_computed_elsewhere_and_as_printed() {
    let near = |value: f64, computed: f64, printed: f64| {
        assert!((value / computed - 1.0).abs() < 1e-9, "{value} {computed}");
        assert!((value - printed).abs() < 1e-3, "{value} {printed}");
    };
    for (p, n, alpha, computed, printed) in [
        (8.0, 2.0, 0.05, 0.679820928495778, 0.680),
        (8.0, 3.0, 0.05, 0.5156874570365015, 0.516),
        (8.0, 3.0, 0.01, 0.6151665102966508, 0.615),
        (10.0, 2.0, 0.01, 0.7174886322477523, 0.718),
    ] {
        near(cochran_critical(alpha, p, n), computed, printed);
    }
    for (p, alpha, computed, printed) in [
        (3.0, 0.05, 1.1543048513440386, 1.155),
        (8.0, 0.05, 2.1266450871954685, 2.126),
        (8.0, 0.01, 2.274365127079893, 2.274),
        (10.0, 0.05, 2.2899540844796005, 2.290),
        (10.0, 0.01, 2.482083249715332, 2.482),
    ] {
        near(grubbs_critical(alpha, p), computed, printed);
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
