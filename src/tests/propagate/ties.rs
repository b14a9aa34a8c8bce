//! Correlated and shared inputs against closed forms.

use std::f64::consts::PI;

use fillmark::estimate::{Correlation, propagate};
use fillmark::units::Distribution;

use super::support::{Exact, M, assert_close, assert_near, flat, inputs, model, normal, result, ways};

fn correlation(a: &[f64], b: &[f64]) -> f64 {
    let n = a.len() as f64;
    let (mean_a, mean_b) = (a.iter().sum::<f64>() / n, b.iter().sum::<f64>() / n);
    let sum = |x: &[f64], mx: f64, y: &[f64], my: f64| x.iter().zip(y).map(|(x, y)| (x - mx) * (y - my)).sum::<f64>();
    sum(a, mean_a, b, mean_b) / (sum(a, mean_a, a, mean_a) * sum(b, mean_b, b, mean_b)).sqrt()
}

fn ranks(values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|i, j| values[*i].total_cmp(&values[*j]));
    let mut ranks = vec![0.0; values.len()];
    order.iter().enumerate().for_each(|(rank, i)| ranks[*i] = rank as f64);
    ranks
}

/// Four standard errors of a correlation coefficient of M normal pairs, `(1 - r²)/sqrt M` (textbook).
fn error(r: f64) -> f64 {
    4.0 * (1.0 - r * r) / (M as f64).sqrt()
}

/// `u² = Σ Σ c_i c_j u_i u_j r_ij` (JCGM 100, 5.2.2) is exact for a linear model of jointly normal inputs.
#[test]
fn a_sum_of_correlated_normals() {
    let set = inputs([normal(1.0, 1.0), normal(2.0, 2.0), normal(3.0, 3.0)]);
    let pairs = [("x0", "x1", 0.5), ("x1", "x2", -0.3), ("x0", "x2", 0.2)];
    let set = set.correlated(&pairs.map(|(a, b, r)| Correlation::of_scores(a, b, r))).unwrap();
    let u =
        (1.0_f64 + 16.0 + 9.0 + 2.0 * (2.0 * 2.0 * 0.5) + 2.0 * (-2.0 * 2.0 * 3.0 * -0.3) + 2.0 * (-3.0 * 0.2)).sqrt();
    for options in ways() {
        let y = result(|x| x[0] + 2.0 * x[1] - x[2], &set, &options);
        let end = 1.959963984540054 * u;
        assert_near(&y.draws, &Exact { mean: 2.0, u, interval: Some((2.0 - end, 2.0 + end, 0.95)) });
        assert_close(y.first_order.standard_uncertainty, u, 1e-10);
    }
}

/// The product of two normals: mean `ab + r u v`, variance `a²v² + b²u² + 2abruv + u²v²(1 + r²)` (textbook).
#[test]
fn a_product_of_correlated_normals() {
    let (a, b, u, v, r) = (2.0, 3.0, 0.5, 0.7, -0.6);
    let set = inputs([normal(a, u), normal(b, v)]).correlated(&[Correlation::of_scores("x0", "x1", r)]).unwrap();
    let variance = a * a * v * v + b * b * u * u + 2.0 * a * b * r * u * v + u * u * v * v * (1.0 + r * r);
    for options in ways() {
        let y = result(|x| x[0] * x[1], &set, &options);
        assert_near(&y.draws, &Exact { mean: a * b + r * u * v, u: f64::sqrt(variance), interval: None });
    }
}

/// A rank correlation is met whatever the distributions (Spearman's rho of a Gaussian copula is `6/pi asin(r/2)`); each input
/// keeps its own distribution; the product-moment correlation of two rectangular inputs is their rank correlation.
#[test]
fn ranks_are_correlated_as_stated() {
    let set = inputs([flat(0.0, 1.0), Distribution::log_normal("x", 1.0, 0.8).unwrap(), flat(3.0, 5.0)]);
    let stated = [Correlation::of_ranks("x0", "x1", 0.7), Correlation::of_ranks("x0", "x2", -0.4)];
    let set = set.correlated(&stated).unwrap();
    let both = fillmark::estimate::per_row(["a", "b", "c"], |x: &[f64], y: &mut [f64]| y.copy_from_slice(x));
    for options in ways() {
        let found = propagate(&both, &set, &options).unwrap();
        let column = |name: &str| found.result(name).unwrap().draws.values().to_vec();
        let rho = correlation(&ranks(&column("a")), &ranks(&column("b")));
        assert!((rho - 0.7).abs() < error(0.7), "{rho}");
        let rho = found.correlation("a", "c").unwrap();
        assert!((rho + 0.4).abs() < error(0.4), "{rho}");
        let a = &found.result("a").unwrap().draws;
        assert_near(a, &Exact { mean: 0.5, u: 1.0 / 12f64.sqrt(), interval: Some((0.025, 0.975, 0.95)) });
        let b = &found.result("b").unwrap().draws;
        let (mean, u) = (0.32f64.exp(), 0.32f64.exp() * 0.64f64.exp_m1().sqrt());
        assert_near(b, &Exact { mean, u, interval: None });
        let of_scores = 6.0 / PI * (0.5 * 2.0 * (PI * 0.7 / 6.0).sin()).asin();
        assert_close(of_scores, 0.7, 1e-14);
    }
}

/// To first order two rectangular inputs with the rank correlation r have `u² = u1² + u2² + 2 r u1 u2`.
#[test]
fn first_order_knows_the_correlation_of_the_values() {
    let set = inputs([flat(0.0, 1.0), flat(0.0, 2.0)]).correlated(&[Correlation::of_ranks("x0", "x1", 0.5)]).unwrap();
    let y = result(|x| x[0] + x[1], &set, &ways()[0]);
    let (u, v) = (1.0 / 12f64.sqrt(), 2.0 / 12f64.sqrt());
    let exact = (u * u + v * v + u * v).sqrt();
    assert_close(y.first_order.standard_uncertainty, exact, 1e-9);
    assert_near(&y.draws, &Exact { mean: 1.5, u: exact, interval: None });
}

/// One jug used twice is one input: two pours of V with scale k give `2 V u(k)`, two jugs `sqrt 2 V u(k)`.
#[test]
fn a_shared_instrument_is_one_input() {
    let shared = inputs([normal(1.0, 0.02)]);
    let two = inputs([normal(1.0, 0.02), normal(1.0, 0.02)]);
    for options in ways() {
        let y = result(|x| 3.0 * x[0] + 3.0 * x[0], &shared, &options);
        assert_near(&y.draws, &Exact { mean: 6.0, u: 0.12, interval: None });
        let y = result(|x| 3.0 * x[0] + 3.0 * x[1], &two, &options);
        assert_near(&y.draws, &Exact { mean: 6.0, u: 0.06 * 2f64.sqrt(), interval: None });
    }
}

/// The Welch-Satterthwaite formula is for independent inputs (JCGM 100, G.4.1): it is not given where a correlated input has
/// finite degrees of freedom, and still given where only others are correlated.
#[test]
fn effective_degrees_of_freedom_need_independence() {
    let few = Distribution::student("x", 0.0, 1.0, 5.0).unwrap();
    let set = inputs([few, normal(0.0, 1.0), normal(0.0, 1.0)]);
    let dof = |a: &str, b: &str| {
        let tied = set.correlated(&[Correlation::of_scores(a, b, 0.5)]).unwrap();
        let found = propagate(&model(|x| x.iter().sum()), &tied, &ways()[0].draws(100)).unwrap();
        found.results()[0].first_order.degrees_of_freedom
    };
    assert_eq!(dof("x0", "x1"), None);
    // u⁴ = (1 + 2 + 1)² over 1⁴/5.
    assert_close(dof("x1", "x2").unwrap(), 80.0, 1e-9);
}
