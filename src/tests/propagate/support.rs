//! Shorthand, and the sampling theory that the tolerances come from.

use fillmark::estimate::{Draws, Inputs, Method, PerRow, PropagateOptions, Propagated, per_row, propagate};
use fillmark::units::Distribution;

/// Draws of a check; a fixed seed makes it the same every time.
pub const M: usize = 1 << 16;

pub fn normal(mean: f64, u: f64) -> Distribution {
    Distribution::normal("x", mean, u).unwrap()
}

pub fn flat(low: f64, high: f64) -> Distribution {
    Distribution::rectangular("x", low, high).unwrap()
}

pub fn t(estimate: f64, u: f64, dof: f64) -> Distribution {
    Distribution::student("x", estimate, u, dof).unwrap()
}

pub fn exact(value: f64) -> Distribution {
    Distribution::exact("x", value).unwrap()
}

/// A model of one result.
pub fn model(f: impl Fn(&[f64]) -> f64 + Sync) -> PerRow<impl Fn(&[f64], &mut [f64]) + Sync> {
    per_row(["y"], move |x: &[f64], y: &mut [f64]| y[0] = f(x))
}

/// Inputs x0, x1, ...
pub fn inputs(distributions: impl IntoIterator<Item = Distribution>) -> Inputs {
    Inputs::new(distributions.into_iter().enumerate().map(|(i, d)| (format!("x{i}"), d))).unwrap()
}

/// Both methods, each with a fixed number of draws.
pub fn ways() -> [PropagateOptions<'static>; 2] {
    [PropagateOptions::default().draws(M), PropagateOptions::default().draws(M).method(Method::SOBOL)]
}

/// The one result.
pub fn result(f: impl Fn(&[f64]) -> f64 + Sync, inputs: &Inputs, options: &PropagateOptions<'_>) -> Propagated {
    propagate(&model(f), inputs, options).unwrap().results()[0].clone()
}

/// What a result must be.
pub struct Exact {
    pub mean: f64,
    pub u: f64,
    /// Ends of a coverage interval and its probability.
    pub interval: Option<(f64, f64, f64)>,
}

/// Each summary within four Monte Carlo standard errors of M independent draws, taken from the draws themselves (textbook
/// sampling theory): mean `u/sqrt(M)`; standard deviation `u sqrt((kurtosis - 1)/(4 M))`; a quantile as far as the quantiles
/// at `q ± 4 sqrt(q (1 - q)/M)`. Sobol' points must do as well.
pub fn assert_near(draws: &Draws, exact: &Exact) {
    let m = draws.values().len() as f64;
    let (mean, u) = (draws.mean(), draws.standard_uncertainty());
    assert!((mean - exact.mean).abs() <= 4.0 * u / m.sqrt(), "mean {mean}, not {}", exact.mean);
    let kurtosis = draws.values().iter().map(|y| ((y - mean) / u).powi(4)).sum::<f64>() / m;
    assert!((u - exact.u).abs() <= 4.0 * u * ((kurtosis - 1.0) / (4.0 * m)).sqrt(), "u {u}, not {}", exact.u);
    let Some((low, high, p)) = exact.interval else { return };
    assert_quantile(draws, 0.5 * (1.0 - p), low);
    assert_quantile(draws, f64::midpoint(1.0, p), high);
}

pub fn assert_quantile(draws: &Draws, q: f64, value: f64) {
    let error = 4.0 * (q * (1.0 - q) / draws.values().len() as f64).sqrt();
    let (least, greatest) = (draws.quantile(q - error), draws.quantile(q + error));
    assert!(
        (least..=greatest).contains(&value),
        "the {q} quantile lies in {least} .. {greatest}, which leaves out {value}"
    );
}

/// The shortest interval cannot be placed by sampling theory so simply: its length is compared with the exact one within four
/// standard errors of the coverage it has, and its ends within the stated distance.
pub fn assert_shortest(draws: &Draws, p: f64, ends: (f64, f64), within: f64) {
    let (low, high) = draws.shortest_interval(p);
    assert!((low - ends.0).abs() <= within && (high - ends.1).abs() <= within, "{low} .. {high}, not {ends:?}");
}

pub fn assert_close(found: f64, wanted: f64, relative: f64) {
    assert!((found - wanted).abs() <= relative * wanted.abs(), "{found} is not {wanted}");
}
