//! Evidence against closed forms.
//!
//! `y_i ~ N(θ, σ²)`, `θ ~ N(m, τ²)`: `ln Z = -n/2 ln(2πσ²) - S/(2σ²) + ½ ln[(σ²/n)/(τ²+σ²/n)] - (ȳ-m)²/[2(τ²+σ²/n)]`,
//! `S = Σ(y-ȳ)²` (the marginal of the normal-normal model, Gelman et al., Bayesian Data Analysis, section 2.5). The numbers
//! are computed from it, not printed anywhere; they equal the multivariate normal density and quadrature to 1e-15.

use std::f64::consts::PI;

use crate::infer::explain::{Evidence, SmcOptions, evidence};
use crate::units::Distribution;

fn ln_normal(x: f64, mean: f64, sd: f64) -> f64 {
    -0.5 * ((x - mean) / sd).powi(2) - sd.ln() - 0.5 * (2.0 * PI).ln()
}

fn normal_normal(data: &[f64], sd: f64, mean: f64, tau: f64, seed: u64) -> Evidence {
    let prior = [Distribution::normal("theta", mean, tau).unwrap()];
    let likelihood = |theta: &[f64]| data.iter().map(|y| ln_normal(*y, theta[0], sd)).sum();
    evidence(&prior, &likelihood, &SmcOptions::default().seed(seed)).unwrap()
}

/// Within four standard errors, and the standard error is of use.
fn agrees(found: Evidence, truth: f64) {
    assert!((found.ln - truth).abs() < 4.0 * found.standard_error, "{found:?} against {truth}");
    assert!(found.standard_error < 0.25, "{found:?}");
}

#[test]
fn normal_normal_evidence() {
    agrees(normal_normal(&[1.0], 1.0, 0.0, 1.0, 1), -1.5155121234846454);
    agrees(normal_normal(&[4.8, 5.1, 5.0], 0.2, 5.0, 0.5, 2), -0.0055216459599655);
    agrees(normal_normal(&[4.50, 4.45, 4.62, 4.40], 0.08, 5.0, 0.25, 3), 0.488936591309459);
}

/// The same over many seeds: the errors, in standard errors, scatter as they say (a t-distribution of 7 degrees of freedom
/// has a root mean square of 1.18), and the mean is right.
#[test]
fn standard_errors_tell_the_scatter() {
    let z: Vec<f64> = (0..60)
        .map(|seed| {
            let found = normal_normal(&[4.50, 4.45, 4.62, 4.40], 0.08, 5.0, 0.25, seed);
            (found.ln - 0.488936591309459) / found.standard_error
        })
        .collect();
    let mean = z.iter().sum::<f64>() / 60.0;
    let rms = (z.iter().map(|z| z * z).sum::<f64>() / 60.0).sqrt();
    assert!(mean.abs() < 4.0 * 1.18 / 60.0_f64.sqrt(), "mean {mean}");
    assert!((0.7..1.8).contains(&rms), "root mean square {rms}");
}

/// A point hypothesis has the likelihood itself as evidence: `ln L(θ = 4.5)`, and with it the Bayes factor (Savage-Dickey).
#[test]
fn point_hypothesis() {
    let data = [4.50, 4.45, 4.62, 4.40];
    let at = evidence(&[], &|_| data.iter().map(|y| ln_normal(*y, 4.5, 0.08)).sum(), &SmcOptions::default()).unwrap();
    assert!((at.ln - 4.325597944414336).abs() < 1e-12 && at.standard_error == 0.0);
    let wide = normal_normal(&data, 0.08, 5.0, 0.25, 4);
    agrees(Evidence { ln: wide.ln - at.ln, ..wide }, -3.836661353104877);
}

/// Forty correlated unknowns of which one reading tells the sum: `Σθ ~ N(0, 40)`, so `y = 20` with σ = 0.5 has the density
/// `N(20; 0, √40.25)`; computed.
#[test]
fn many_unknowns_and_one_reading() {
    let priors = vec![Distribution::normal("theta", 0.0, 1.0).unwrap(); 40];
    let likelihood = |theta: &[f64]| ln_normal(20.0, theta.iter().sum(), 0.5);
    let found = evidence(&priors, &likelihood, &SmcOptions::default().seed(5)).unwrap();
    agrees(found, ln_normal(20.0, 0.0, 40.25_f64.sqrt()));
}

/// Two modes: `½[N(y; 3, ..) + N(y; -3, ..)]` through `|θ|`: `y = 3`, `|θ|` of `θ ~ N(0, 2²)`, σ = 0.1. By quadrature over a
/// normal this narrow the evidence is the folded density `2 N(3; 0, 2)` to 1e-3: convolved exactly, computed.
#[test]
fn two_modes() {
    let prior = [Distribution::normal("theta", 0.0, 2.0).unwrap()];
    let found = evidence(&prior, &|t| ln_normal(3.0, t[0].abs(), 0.1), &SmcOptions::default().seed(6)).unwrap();
    agrees(found, 2.0_f64.ln() + ln_normal(3.0, 0.0, 4.01_f64.sqrt()));
}

/// A rectangular prior and a step: the share of the prior that is possible.
#[test]
fn impossible_regions() {
    let prior = [Distribution::rectangular("theta", 0.0, 1.0).unwrap()];
    let step = |t: &[f64]| if t[0] < 0.1 { 0.0 } else { f64::NEG_INFINITY };
    let options = SmcOptions::default().particles(512).seed(7);
    agrees(evidence(&prior, &step, &options).unwrap(), 0.1_f64.ln());
    let never = evidence(&prior, &|_| f64::NEG_INFINITY, &options).unwrap();
    assert!(never.ln == f64::NEG_INFINITY && never.standard_error == 0.0);
}

#[test]
fn same_seed_same_bits() {
    let twice = [1, 1, 2].map(|seed| normal_normal(&[4.8, 5.1, 5.0], 0.2, 5.0, 0.5, seed).ln.to_bits());
    assert!(twice[0] == twice[1] && twice[0] != twice[2]);
}

#[test]
fn options_out_of_range() {
    let mut options = SmcOptions::default().particles(3);
    let code = |o: &SmcOptions<'_>| evidence(&[], &|_| 0.0, o).unwrap_err().to_string();
    assert_eq!(code(&options), "particles = 3 is outside 16 to 1000000");
    options = SmcOptions::default().replicates(1);
    assert_eq!(code(&options), "replicates = 1 is outside 2 to 10000");
}

#[test]
fn stopped() {
    let stop = std::sync::atomic::AtomicBool::new(true);
    let options = SmcOptions { stop: Some(&stop), ..SmcOptions::default() };
    let prior = [Distribution::normal("theta", 0.0, 2.0).unwrap()];
    assert_eq!(evidence(&prior, &|_| 0.0, &options).unwrap_err().code(), "explain.stopped");
}
