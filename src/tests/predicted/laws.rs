//! What a prediction says against closed forms. Tolerances are four Monte Carlo standard errors (textbook sampling theory).

use fillmark::circuit::Circuit;
use fillmark::estimate::{Correlation, EstimateError, Method, PredictOptions, predict};
use fillmark::service::{Action, Event};

use super::support::{AREA, circuit, filled, pour, reading};

const M: usize = 1 << 17;

fn options() -> PredictOptions<'static> {
    PredictOptions::default().draws(M)
}

/// `1 - Φ(x)` to 1.5e-7 (Abramowitz and Stegun 7.1.26, for `x` of either sign).
fn tail(x: f64) -> f64 {
    let z = x.abs() / std::f64::consts::SQRT_2;
    let t = 1.0 / (1.0 + 0.327_591_1 * z);
    let poly =
        t * (0.254_829_592 + t * (-0.284_496_736 + t * (1.421_413_741 + t * (-1.453_152_027 + t * 1.061_405_429))));
    let upper = 0.5 * poly * (-z * z).exp();
    if x >= 0.0 { upper } else { 1.0 - upper }
}

/// `u² = h² + j² + 2 r h j` of two correlated normals that enter with coefficient 1 (JCGM 100, 5.2.2).
#[test]
fn correlated_inputs() {
    let (h, j) = (0.05_f64, 0.02 * 3.0);
    let service = circuit("0.20(5) L", "1.00(2)");
    for method in [Method::PseudoRandom, Method::SOBOL] {
        for r in [-0.9, 0.0, 0.5] {
            let ties = [Correlation::of_scores("plugs.main.heel", "instruments.jug.scale", r)];
            let ties = if r == 0.0 { &[][..] } else { &ties[..] };
            let p = predict(&service, &filled("2.5 L"), &options().method(method).correlations(ties)).unwrap();
            let j = j * 2.5 / 3.0;
            let u = (h * h + j * j + 2.0 * r * h * j).sqrt() * 1e-3 / AREA;
            let s = &p.readings()[0].s;
            let n = M as f64;
            assert!((s.mean() - reading(2.7)).abs() < 4.0 * u / n.sqrt(), "{method:?}, {r}");
            assert!((s.standard_uncertainty() - u).abs() < 4.0 * u / (2.0 * n).sqrt(), "{method:?}, {r}");
        }
    }
}

#[test]
fn sobol_points_beat_chance() {
    let service = circuit("0.20(5) L", "1.00(2)");
    let u = 0.05_f64.hypot(0.05) * 1e-3 / AREA;
    let p = predict(&service, &filled("2.5 L"), &options().method(Method::SOBOL)).unwrap();
    // A twentieth of the standard error of independent draws, for a mean of a function that is linear in both.
    assert!((p.readings()[0].s.mean() - reading(2.7)).abs() < 0.05 * u / (M as f64).sqrt());
    let error = predict(&service, &filled("2.5 L"), &options().draws(100_000).method(Method::SOBOL)).unwrap_err();
    assert_eq!(error.code(), "estimate.draws_not_balanced");
}

/// Under MIN (2.1 L) with `N(0.2 + V, u)` litres in the sump.
#[test]
fn under_min_is_the_normal_tail() {
    let service = circuit("0.20(5) L", "1.00(2)");
    for (volume, litres) in [("1.8 L", 1.8), ("1.9 L", 1.9), ("2.0 L", 2.0)] {
        let p = predict(&service, &filled(volume), &options()).unwrap();
        let exact = 1.0 - tail((2.1 - 0.2 - litres) / 0.05_f64.hypot(0.02 * litres));
        let error = (exact * (1.0 - exact) / M as f64).sqrt();
        assert!((p.probability_under_min() - exact).abs() < 4.0 * error, "{} not {exact}", p.probability_under_min());
        assert_eq!(p.under_min().iter().filter(|f| **f).count() as f64 / M as f64, p.probability_under_min());
    }
}

/// At MIN it is not under it.
#[test]
fn at_min_is_not_under_it() {
    let p = predict(&circuit("0.2 L", "1"), &filled("1.9 L"), &options().draws(10)).unwrap();
    assert_eq!((p.probability_under_min(), p.probability_over_max()), (0.0, 0.0));
    let p = predict(&circuit("0.2 L", "1"), &filled("1.8999 L"), &options().draws(10)).unwrap();
    assert_eq!(p.probability_under_min(), 1.0);
}

/// Two readings share heel and jug and have a noise of their own: with `a` the first pour and `b` the second,
/// `cov = (h² + a (a + b) k²)/A²`, variances `(h² + a² k²)/A² + σ²` and `(h² + (a + b)² k²)/A² + σ²`.
#[test]
fn covariance_of_two_readings() {
    let service = circuit("0.20(5) L", "1.00(2)").replace(&[("dipstick.scatter", "1 mm")]).unwrap();
    let events = [filled("1.5 L"), vec![pour("1.0 L"), Event::from(Action::read())]].concat();
    let p = predict(&service, &events, &options()).unwrap();
    let (h, k, a, c, noise) = (0.05_f64, 0.02_f64, 1.5, 2.5, 1e-6);
    let over = 1e-6 / (AREA * AREA);
    let exact = [
        [(h * h + a * a * k * k) * over + noise, (h * h + a * c * k * k) * over],
        [(h * h + a * c * k * k) * over, (h * h + c * c * k * k) * over + noise],
    ];
    let found = p.covariance();
    for i in 0..2 {
        for j in 0..2 {
            // Variance of a sample covariance of normal pairs: (s_ii s_jj + s_ij²)/M.
            let error = ((exact[i][i] * exact[j][j] + exact[i][j].powi(2)) / M as f64).sqrt();
            assert!((found[i][j] - exact[i][j]).abs() < 4.0 * error, "{i}{j}: {} not {}", found[i][j], exact[i][j]);
        }
    }
    assert_eq!(found[0][1].to_bits(), found[1][0].to_bits());
    let r = exact[0][1] / (exact[0][0] * exact[1][1]).sqrt();
    assert!((p.correlation()[0][1] - r).abs() < 4.0 * (1.0 - r * r) / (M as f64).sqrt());
    assert_eq!(p.correlation()[0][0], 1.0);
    let still = predict(&circuit("0.2 L", "1"), &filled("1.9 L"), &options().draws(10)).unwrap();
    assert!(still.correlation()[0][0].is_nan());
}

#[test]
fn draws_until_the_digits_are_right() {
    let service = circuit("0.20(5) L", "1.00(2)");
    for method in [Method::PseudoRandom, Method::SOBOL] {
        let p = predict(&service, &filled("2.5 L"), &options().method(method).digits(2, 10_000_000)).unwrap();
        assert_eq!(p.settled(), Some(true), "{method:?}");
        let u = 0.05_f64.hypot(0.05) * 1e-3 / AREA;
        // Two digits of u = 1.2 mm: half a unit is 0.05 mm (JCGM 101, 7.9.2); that tolerance is two standard errors.
        let s = &p.readings()[0].s;
        assert!((s.mean() - reading(2.7)).abs() < 1e-4 && (s.standard_uncertainty() - u).abs() < 1e-4);
        let cut = predict(&service, &filled("2.5 L"), &options().method(method).digits(4, 150_000)).unwrap();
        assert_eq!(cut.settled(), Some(false));
    }
    assert_eq!(predict(&service, &filled("2.5 L"), &options().draws(10)).unwrap().settled(), None);
}

#[test]
fn options_that_are_refused() {
    let code = |options: PredictOptions<'_>| {
        let service = circuit("0.20(5) L", "1.00(2)");
        predict(&service, &filled("2.5 L"), &options).unwrap_err().code().clone()
    };
    assert_eq!(code(options().digits(9, 1000)), "estimate.option_out_of_range");
    assert_eq!(code(options().method(Method::Sobol { scrambles: 1 })), "estimate.option_out_of_range");
    let unknown = [Correlation::of_scores("plugs.main.heel", "events[1].volume", 0.5)];
    let error = predict(&circuit("0.20(5) L", "1.00(2)"), &filled("2.5 L"), &options().correlations(&unknown));
    let fillmark::Error::Estimate(EstimateError::UnknownInput { input, .. }) = error.unwrap_err() else {
        panic!("another error")
    };
    assert_eq!(input, "events[1].volume");
}

/// A circuit's demo has dozens of inputs; without any the draws are all alike.
#[test]
fn no_uncertain_input_at_all() {
    let p = predict(&circuit("0.2 L", "1"), &filled("2.5 L")[..2], &options().draws(100)).unwrap();
    assert_eq!(p.drained_back().standard_uncertainty(), 0.0);
    assert_eq!(p.judgement().unwrap().final_fraction, 0.0);
    let bus = Circuit::demo("shuttle-bus").unwrap();
    assert!(
        predict(&bus, &[Action::read().into()], &options().draws(100)).unwrap().judgement().unwrap().final_fraction
            <= 1.0
    );
}
