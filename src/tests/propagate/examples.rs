//! The examples of JCGM 101:2008 (9.2 to 9.5), JCGM 100:2008 (H.1, H.3), NPL DEM-ES-011 and NIST TN 1900.
//!
//! Where the guide prints a rounded or a Monte Carlo value, the exact one is computed from a closed form, as said beside
//! each; the printed values were taken from open re-computations of the examples and from memory, not from the printed
//! documents.

use std::f64::consts::PI;

use fillmark::estimate::{Correlation, Draws, Inputs, Method, PropagateOptions, propagate};
use fillmark::units::Distribution;

use super::support::{
    Exact, M, assert_close, assert_near, assert_shortest, exact, flat, inputs, model, normal, result, t, ways,
};

fn sum(x: &[f64]) -> f64 {
    x.iter().sum()
}

/// JCGM 101, 9.2.2 (Table 2): four standard normal inputs; both ways give ±3.92.
#[test]
fn sum_of_four_normals() {
    for options in ways() {
        let y = result(sum, &inputs((0..4).map(|_| normal(0.0, 1.0))), &options);
        assert_near(&y.draws, &Exact { mean: 0.0, u: 2.0, interval: Some((-3.919927969, 3.919927969, 0.95)) });
        assert_close(y.first_order.standard_uncertainty, 2.0, 1e-12);
        assert_close(y.first_order.interval(0.95).1, 3.919927969, 1e-9);
        assert!(y.first_order.validity(&y.draws, 0.95, 2).is_valid());
    }
}

/// JCGM 101, 9.2.3 (Table 3): four rectangular inputs of unit standard deviation; the exact ends are
/// `±2 sqrt 3 (2 - (3/5)^(1/4))`, first order gives ±3.92 and fails with two digits (the guide says so).
#[test]
fn sum_of_four_rectangles() {
    let end = 2.0 * 3f64.sqrt() * (2.0 - 0.6f64.powf(0.25));
    assert_close(end, 3.879406741347821, 1e-15);
    let half = 3f64.sqrt();
    for options in ways() {
        let y = result(sum, &inputs((0..4).map(|_| flat(-half, half))), &options);
        assert_near(&y.draws, &Exact { mean: 0.0, u: 2.0, interval: Some((-end, end, 0.95)) });
        assert!(y.first_order.validity(&y.draws, 0.95, 1).is_valid());
    }
}

/// JCGM 101, 9.2.4: one rectangle ten times as wide as the others; `u = sqrt 103`, exact ends ±17.0158 by convolution
/// (computed); first order gives ±19.9 and is not valid.
#[test]
fn sum_with_one_dominant_rectangle() {
    let half = 3f64.sqrt();
    let four = [1.0, 1.0, 1.0, 10.0].map(|scale| flat(-half * scale, half * scale));
    for options in ways() {
        let y = result(sum, &inputs(four.clone()), &options);
        let end = 17.01581409986674;
        assert_near(&y.draws, &Exact { mean: 0.0, u: 103f64.sqrt(), interval: Some((-end, end, 0.95)) });
        assert_eq!(format!("{:.1}", y.first_order.interval(0.95).1), "19.9");
        assert!(!y.first_order.validity(&y.draws, 0.95, 2).is_valid());
    }
}

/// JCGM 101, 9.3: calibration of a mass standard, in mg. First order 0.0539 (printed), exact standard deviation 0.07548 and
/// 95 % interval [1.0844, 1.3836] from the moments of 1/rho (computed; the guide prints Monte Carlo values).
#[test]
fn mass_calibration() {
    let set =
        [normal(100_000.0, 0.050), normal(1.234, 0.020), flat(1.10, 1.30), flat(7000.0, 9000.0), flat(7950.0, 8050.0)];
    let difference = |x: &[f64]| (x[0] + x[1]) * (1.0 + (x[2] - 1.2) * (1.0 / x[3] - 1.0 / x[4])) - 100_000.0;
    for options in ways() {
        let y = result(difference, &inputs(set.clone()), &options);
        let interval = Some((1.0844332597, 1.3835667403, 0.95));
        assert_near(&y.draws, &Exact { mean: 1.234, u: 0.07547973995542, interval });
        assert_close(y.first_order.estimate, 1.234, 1e-9);
        assert_close(y.first_order.standard_uncertainty, 0.05385165, 1e-6);
        assert_close(y.first_order.interval(0.95).0, 1.12845, 1e-5);
        assert!(!y.first_order.validity(&y.draws, 0.95, 1).is_valid());
    }
}

/// JCGM 101, 9.4: comparison loss `x1² + x2²` with u = 0.005, in units of 1e-6. Exact mean `x1² + 2 u²`, variance
/// `4 u² x1² + 4 u⁴ (1 + r²)`; shortest intervals computed (exact for r = 0).
#[test]
fn comparison_loss() {
    let cases = [
        (0.0, 0.0, 0.0, Some((0.0, 149.787))),
        (0.0, 0.010, 100.0, Some((0.0, 366.005))),
        (0.0, 0.050, 500.0, Some((1593.57, 3548.57))),
        (0.9, 0.0, 0.0, Some((0.0, 185.1))),
        (0.9, 0.010, 100.0, None),
    ];
    for (r, x1, first_order, shortest) in cases {
        let plain = inputs([normal(x1, 0.005), normal(0.0, 0.005)]);
        let set = if r == 0.0 { plain } else { plain.correlated(&[Correlation::of_scores("x0", "x1", r)]).unwrap() };
        for options in ways() {
            let y = result(|x| 1e6 * (x[0] * x[0] + x[1] * x[1]), &set, &options);
            let u2 = 2.5e-5_f64;
            let mean = 1e6 * (x1 * x1 + 2.0 * u2);
            let u = 1e6 * (4.0 * u2 * x1 * x1 + 4.0 * u2 * u2 * (1.0 + r * r)).sqrt();
            assert_near(&y.draws, &Exact { mean, u, interval: None });
            assert!((y.first_order.standard_uncertainty - first_order).abs() < 1e-6);
            if let Some(ends) = shortest {
                // The place of a shortest interval is known to about M^(-1/3) standard deviations (Andrews et al. 1972).
                assert_shortest(&y.draws, 0.95, ends, 4.0 * u / (M as f64).cbrt());
            }
        }
    }
}

/// JCGM 101, 9.5: gauge-block calibration, in nm. Two temperatures and expansions are known within inexact limits. The guide
/// prints 838, 36 and the 99 % interval [745, 932] for its draws; 2e7 independent draws in NumPy gave 838.005, 35.82, and
/// [744.4, 931.7] (computed).
#[test]
fn gauge_block() {
    let y = result(gauge_block_nm, &gauge_block_inputs(), &ways()[0]);
    assert_near(&y.draws, &Exact { mean: 50_000_838.0, u: 35.82, interval: Some((50_000_744.4, 50_000_931.7, 0.99)) });
}

fn gauge_block_inputs() -> Inputs {
    inputs([
        t(50_000_623.0, 25.0, 18.0),
        t(215.0, 6.0, 24.0),
        t(0.0, 4.0, 5.0),
        t(0.0, 7.0, 8.0),
        flat(9.5e-6, 13.5e-6),
        normal(-0.1, 0.2),
        Distribution::arcsine("x", -0.5, 0.5).unwrap(),
        Distribution::inexact_limits("x", -1e-6, 1e-6, 0.1e-6).unwrap(),
        Distribution::inexact_limits("x", -0.05, 0.05, 0.025).unwrap(),
    ])
}

fn gauge_block_nm(x: &[f64]) -> f64 {
    let [standard, mean_difference, random, systematic, expansion, mean, cycle, d_expansion, d_temperature] =
        <[f64; 9]>::try_from(x).unwrap();
    let difference = mean_difference + random + systematic;
    let temperature = mean + cycle;
    standard + difference - standard * (d_expansion * temperature + expansion * d_temperature)
}

/// JCGM 100, H.1: the same gauge block to first order. Printed: l = 50 000 838 nm, u = 32 nm, 16 effective degrees of
/// freedom, U99 = 93 nm with k = 2.92; components 25, 9.7 (of 5.8, 3.9 and 6.7), 2.9 and 16.6. The root of the sum of their
/// unrounded squares is 31.664 and the Welch-Satterthwaite formula gives 16.75 (computed by hand from the partial
/// derivatives; the guide's 16.7 comes from rounded components).
#[test]
fn end_gauge_to_first_order() {
    let set = inputs([
        t(50_000_623.0, 25.0, 18.0),
        t(215.0, 5.8, 24.0),
        t(0.0, 3.9, 5.0),
        t(0.0, 6.7, 8.0),
        flat(9.5e-6, 13.5e-6),
        normal(-0.1, 0.2),
        Distribution::arcsine("x", -0.5, 0.5).unwrap(),
        Distribution::inexact_limits("x", -1e-6, 1e-6, 0.1e-6).unwrap(),
        Distribution::inexact_limits("x", -0.05, 0.05, 0.025).unwrap(),
    ]);
    let y = result(gauge_block_nm, &set, &PropagateOptions::default().draws(1000));
    let first = &y.first_order;
    assert_eq!(format!("{:.0}", first.estimate), "50000838");
    let length = 50_000_623.0;
    let (of_expansion, of_temperature) = (length * 0.1 * 1e-6 / 3f64.sqrt(), length * 11.5e-6 * 0.05 / 3f64.sqrt());
    let squares = 25f64.powi(2) + 5.8f64.powi(2) + 3.9f64.powi(2) + 6.7f64.powi(2);
    let u = (squares + of_expansion * of_expansion + of_temperature * of_temperature).sqrt();
    assert_close(first.standard_uncertainty, u, 1e-8);
    let parts = [(25.0, 18.0), (5.8, 24.0), (3.9, 5.0), (6.7, 8.0), (of_expansion, 50.0), (of_temperature, 2.0)];
    let dof = u.powi(4) / parts.iter().map(|(part, dof): &(f64, f64)| part.powi(4) / dof).sum::<f64>();
    assert_close(first.degrees_of_freedom.unwrap(), dof, 1e-6);
    assert_eq!([format!("{u:.0}"), format!("{dof:.2}")], ["32", "16.75"]);
    assert_eq!(format!("{:.2}", first.coverage_factor(0.99)), "2.92");
    // The guide multiplies the rounded 32 nm.
    assert_eq!(format!("{:.0}", 32.0 * first.coverage_factor(0.99)), "93");
    assert_close(first.expanded_uncertainty(0.99), 2.9208 * u, 1e-5);
    let part = |i: usize| first.contributions[i].contribution().abs();
    assert_eq!(format!("{:.1}", (part(1).powi(2) + part(2).powi(2) + part(3).powi(2)).sqrt()), "9.7");
    assert_eq!([format!("{:.1}", part(7)), format!("{:.1}", part(8))], ["2.9", "16.6"]);
    assert_eq!(first.contributions[8].degrees_of_freedom, 2.0);
}

/// The toy of the Welch-Satterthwaite formula (course notes repeated in an open library's tests): u = 0.57 with 9 degrees
/// of freedom and u = 0.25 with infinitely many give 12.8.
#[test]
fn welch_satterthwaite() {
    let y = result(sum, &inputs([t(0.0, 0.57, 9.0), normal(0.0, 0.25)]), &PropagateOptions::default().draws(100));
    assert_eq!(format!("{:.1}", y.first_order.degrees_of_freedom.unwrap()), "12.8");
}

/// JCGM 100, H.3: the calibration line of a thermometer, used at 30 degC. Intercept and slope -0.1712(29) and 0.00218(67)
/// with r = -0.930 give a correction of -0.1494 with u = 0.0041; unrounded values computed by least squares from the
/// printed readings.
#[test]
fn calibration_line() {
    let t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511];
    let b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160];
    let n = t.len() as f64;
    let (mean_t, mean_b) = (t.iter().map(|t| t - 20.0).sum::<f64>() / n, b.iter().sum::<f64>() / n);
    let sxx: f64 = t.iter().map(|t| (t - 20.0 - mean_t).powi(2)).sum();
    let slope: f64 = t.iter().zip(b).map(|(t, b)| (t - 20.0 - mean_t) * (b - mean_b)).sum::<f64>() / sxx;
    let intercept = mean_b - slope * mean_t;
    let squares: f64 = t.iter().zip(b).map(|(t, b)| (b - intercept - slope * (t - 20.0)).powi(2)).sum();
    let s = (squares / (n - 2.0)).sqrt();
    let (u_slope, u_intercept) = (s / sxx.sqrt(), s * (1.0 / n + mean_t * mean_t / sxx).sqrt());
    let r = -mean_t / (sxx / n + mean_t * mean_t).sqrt();
    assert_close(s, 0.00349756, 2e-6);
    assert_close(r, -0.930430, 1e-6);
    let set = inputs([normal(intercept, u_intercept), normal(slope, u_slope)]);
    let set = set.correlated(&[Correlation::of_scores("x0", "x1", r)]).unwrap();
    for options in ways() {
        let y = result(|x| x[0] + 10.0 * x[1], &set, &options);
        assert_near(&y.draws, &Exact { mean: -0.14937681, u: 0.00413860, interval: None });
        assert_close(y.first_order.estimate, -0.14937681, 1e-7);
        assert_close(y.first_order.standard_uncertainty, 0.00413860, 1e-5);
    }
}

/// NPL report DEM-ES-011, 9.2: `ln x` with x rectangular on 0.1 to 1.1. First order -0.511, 0.481 and an upper end of 0.432
/// (printed). Exact mean and standard deviation from the integral of the logarithm; the shortest 95 % interval is
/// [ln 0.15, ln 1.1], because the density rises with y.
#[test]
fn logarithm() {
    for options in ways() {
        let y = result(|x| x[0].ln(), &inputs([flat(0.1, 1.1)]), &options);
        assert_near(&y.draws, &Exact { mean: -0.6649002929, u: 0.6062266974, interval: None });
        let first = &y.first_order;
        let printed = [first.estimate, first.standard_uncertainty, first.interval(0.95).1].map(|x| format!("{x:.3}"));
        assert_eq!(printed, ["-0.511", "0.481", "0.432"]);
        // The upper end is the largest draw but a few; the lower end lies a quantile of 5 % off.
        let (low, high) = y.draws.shortest_interval(0.95);
        assert!(1.1f64.ln() - high < 1e-3, "{high}");
        let error = 4.0 * (0.05 * 0.95 / M as f64).sqrt() / 0.15;
        assert!((low - 0.15f64.ln()).abs() < error, "{low}");
    }
}

/// NIST TN 1900, example E3: falling-ball viscometer. Printed: 5.69 to first order; draws 5.82 with u = 1.11 and 95 % [4.05,
/// 8.39]. The uncertainty to first order is the root of the sum of the squared relative ones (by hand).
#[test]
fn viscometer() {
    let viscosity = |x: &[f64]| x[0] * x[1] * (x[5] - x[2]) / (x[4] * (x[5] - x[3]));
    let set = inputs([
        normal(4.63, 0.0463),
        normal(61.0, 6.1),
        normal(1180.0, 0.5),
        normal(810.0, 0.5),
        normal(36.6, 5.49),
        normal(2217.0, 0.5),
    ]);
    for options in ways() {
        let y = result(viscosity, &set, &options);
        let point = 4.63 * 61.0 * (2217.0 - 1180.0) / (36.6 * (2217.0 - 810.0)); // 5.6874082
        // The mean of 1/t of a normal t with relative uncertainty c is (1 + c² + 3 c⁴ + 15 c⁶ + ...)/t: 5.8252, printed 5.82.
        let mean =
            point * (1.0 + 0.15f64.powi(2) + 3.0 * 0.15f64.powi(4) + 15.0 * 0.15f64.powi(6) + 105.0 * 0.15f64.powi(8));
        assert!((y.draws.mean() - mean).abs() < 4.0 * y.draws.standard_uncertainty() / (M as f64).sqrt());
        let (low, high) = y.draws.interval(0.95);
        assert!((low - 4.05).abs() < 0.03 && (high - 8.39).abs() < 0.05, "{low} {high}");
        assert_close(y.first_order.estimate, point, 1e-14);
        let relative = [0.01, 0.1, 0.5 / 1037.0, 0.5 / 1407.0, 0.15, 0.5 / 1037.0 - 0.5 / 1407.0];
        let u = point * relative.iter().map(|r: &f64| r * r).sum::<f64>().sqrt();
        assert_close(y.first_order.standard_uncertainty, u, 1e-6);
        assert!((y.draws.standard_uncertainty() - 1.11).abs() < 0.02, "{}", y.draws.standard_uncertainty());
    }
}

/// NIST TN 1900, example E13: thermal expansion, all inputs t with 3 degrees of freedom: 1.7266e-5 and u = 1.76e-6 (printed).
/// The stated uncertainties are the scales, so the standard deviation to first order is that of 1.76e-6.
#[test]
fn thermal_expansion() {
    let coefficient = |x: &[f64]| (x[2] - x[0]) / (x[0] * (x[3] - x[1]));
    let set = [(1.4999, 1e-4), (288.15, 0.02), (1.5021, 2e-4), (373.10, 0.05)].map(|(x, u)| t(x, u, 3.0));
    let y = result(coefficient, &inputs(set), &PropagateOptions::default().draws(1000));
    assert_eq!(format!("{:.4e}", y.first_order.estimate), "1.7266e-5");
    assert_eq!(format!("{:.2e}", y.first_order.standard_uncertainty), "1.76e-6");
}

/// JCGM 102:2011, magnitude and phase of a complex quantity: real part 0.001, imaginary part 0, u = 0.01 each. Printed for
/// draws: magnitude 0.013 with u = 0.007, phase 0 with u = 1.744; first order 0.001, 0.010 and 0, 10.000.
#[test]
fn magnitude_and_phase() {
    let set = inputs([normal(0.001, 0.01), normal(0.0, 0.01)]);
    let both = fillmark::estimate::per_row(["magnitude", "phase"], |x: &[f64], y: &mut [f64]| {
        y[0] = x[0].hypot(x[1]);
        y[1] = x[1].atan2(x[0]);
    });
    let found = propagate(&both, &set, &ways()[0]).unwrap();
    let summary = |d: &Draws| [d.mean(), d.standard_uncertainty()].map(|x| format!("{x:.3}"));
    assert_eq!(summary(&found.result("magnitude").unwrap().draws), ["0.013", "0.007"]);
    let phase = &found.result("phase").unwrap().draws;
    assert!((phase.standard_uncertainty() - 1.744).abs() < 4.0 * PI / (M as f64).sqrt());
    assert!(phase.mean().abs() < 4.0 * phase.standard_uncertainty() / (M as f64).sqrt());
    assert_eq!(format!("{:.3}", found.result("magnitude").unwrap().first_order.standard_uncertainty), "0.010");
}

/// Adaptive stopping on JCGM 101, 9.2.2 with two digits: the summaries agree with the exact ones within the tolerance, 0.05.
#[test]
fn draws_until_two_digits_are_right() {
    for method in [Method::PseudoRandom, Method::SOBOL] {
        let options = PropagateOptions::default().digits(2).method(method);
        let found = propagate(&model(sum), &inputs((0..4).map(|_| normal(0.0, 1.0))), &options).unwrap();
        let y = &found.results()[0];
        assert_eq!(found.settled(), Some(true));
        let (low, high) = y.draws.interval(0.95);
        for (value, right) in [(y.draws.mean(), 0.0), (y.draws.standard_uncertainty(), 2.0), (low, -3.92), (high, 3.92)]
        {
            assert!((value - right).abs() < 0.05, "{value}, not {right}");
        }
    }
}

/// Sobol' points need fewer: for three digits of a smooth model pseudo-random draws take several times as many.
#[test]
fn scrambled_points_settle_sooner() {
    let draws = |method| {
        let mut options = PropagateOptions::default().digits(3).method(method);
        options.stopping = fillmark::estimate::Stopping::Digits { digits: 3, most: 1_000_000 };
        let found = propagate(&model(sum), &inputs([normal(0.0, 1.0), flat(-1.0, 1.0), exact(3.0)]), &options).unwrap();
        (found.draws(), found.settled(), found.results()[0].standard_error)
    };
    let (plain, scrambled) = (draws(Method::PseudoRandom), draws(Method::SOBOL));
    assert_eq!(scrambled.1, Some(true));
    assert!(plain.0 >= 3 * scrambled.0, "{plain:?} {scrambled:?}");
    assert!(scrambled.2 < 0.1 * plain.2, "{plain:?} {scrambled:?}");
}
