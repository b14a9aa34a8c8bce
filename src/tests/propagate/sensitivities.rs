//! Sobol' indices and tornados against the closed forms of the test functions.

use std::f64::consts::PI;

use fillmark::estimate::{Correlation, Inputs, Method, Sensitivity, SensitivityOptions, per_row, sensitivity, tornado};

use super::support::{assert_close, exact, flat, inputs, model, normal};

fn analysed(f: impl Fn(&[f64]) -> f64 + Sync, inputs: &Inputs, options: &SensitivityOptions<'_>) -> Sensitivity {
    sensitivity(&model(f), inputs, options).unwrap()[0].clone()
}

fn assert_shares(found: &Sensitivity, first: &[f64], total: &[f64], within: f64) {
    for (i, shares) in found.shares.iter().enumerate() {
        let (a, b) = (shares.first.value, shares.total.value);
        assert!((a - first[i]).abs() < within, "first index of {:?}: {a}, not {}", shares.inputs, first[i]);
        assert!((b - total[i]).abs() < within, "total index of {:?}: {b}, not {}", shares.inputs, total[i]);
    }
}

/// Ishigami's function with a = 7 and b = 0.1 or 0.05 on [-pi, pi]³. Closed forms (computed):
/// `V = a²/8 + b pi⁴/5 + b² pi⁸/18 + 1/2`, `V1 = (1 + b pi⁴/5)²/2`, `V2 = a²/8`, `V13 = 8 b² pi⁸/225`.
#[test]
fn ishigami() {
    let (a, p4) = (7.0, PI.powi(4));
    for b in [0.1, 0.05] {
        let v = a * a / 8.0 + b * p4 / 5.0 + b * b * p4 * p4 / 18.0 + 0.5;
        let (v1, v2, v13) = (0.5 * (1.0 + b * p4 / 5.0).powi(2), a * a / 8.0, 8.0 * b * b * p4 * p4 / 225.0);
        if b == 0.1 {
            assert_close(v1 / v, 0.31390519114781146, 1e-14);
            assert_close((v1 + v13) / v, 0.5575888552099592, 1e-14);
        }
        let f = move |x: &[f64]| x[0].sin() + a * x[1].sin().powi(2) + b * x[2].powi(4) * x[0].sin();
        let found = analysed(f, &inputs((0..3).map(|_| flat(-PI, PI))), &SensitivityOptions::default());
        assert_shares(&found, &[v1 / v, v2 / v, 0.0], &[(v1 + v13) / v, v2 / v, v13 / v], 2e-3);
        assert_close(found.mean, a / 2.0, 1e-3);
        assert_close(found.standard_uncertainty, v.sqrt(), 1e-3);
    }
}

/// Sobol's G function with a = 0, 1, 4.5, 9, 99 (four times): `V_i = 1/(3 (1 + a_i)²)`, `V = Π (1 + V_i) - 1`,
/// `ST_i = V_i Π_{j != i} (1 + V_j) / V` (closed form; first two values computed).
#[test]
fn sobol_g() {
    let a = [0.0, 1.0, 4.5, 9.0, 99.0, 99.0, 99.0, 99.0];
    let parts = a.map(|a: f64| 1.0 / (3.0 * (1.0 + a).powi(2)));
    let whole: f64 = parts.iter().map(|v| 1.0 + v).product();
    let v = whole - 1.0;
    let first = parts.map(|part| part / v);
    let total = parts.map(|part| part * whole / (1.0 + part) / v);
    assert_close(first[0], 0.7161921688790331, 1e-13);
    assert_close(total[1], 0.2421981928182384, 1e-13);
    let g = move |x: &[f64]| x.iter().zip(a).map(|(x, a)| ((4.0 * x - 2.0).abs() + a) / (1.0 + a)).product();
    let found = analysed(g, &inputs((0..8).map(|_| flat(0.0, 1.0))), &SensitivityOptions::default());
    assert_shares(&found, &first, &total, 5e-3);
}

/// Repeated with other seeds, the intervals of a linear model cover the closed form: of 2 x 3 x 40 intervals of 95 %, by the
/// binomial distribution at least 213 (four standard errors below 228).
#[test]
fn intervals_cover() {
    let set = inputs([normal(0.0, 1.0), normal(0.0, 2.0), normal(0.0, 3.0)]);
    for method in [Method::PseudoRandom, Method::SOBOL] {
        let mut covered = 0;
        for seed in 0..40 {
            let mut options = SensitivityOptions::default();
            (options.method, options.seed, options.draws) = (method, seed, 256);
            // A product term makes first and total differ.
            let found = analysed(|x| x[0] + x[1] + x[2] + 0.5 * x[0] * x[1], &set, &options);
            let v = 14.0 + 1.0;
            let right = [(1.0 / v, 2.0 / v), (4.0 / v, 5.0 / v), (9.0 / v, 9.0 / v)];
            for (shares, (first, total)) in found.shares.iter().zip(right) {
                for (index, right) in [(shares.first, first), (shares.total, total)] {
                    covered += usize::from((index.value - right).abs() <= index.half_width);
                }
            }
        }
        assert!(covered >= 213, "{method:?}: {covered} of 240");
    }
}

/// Dependent inputs are one group. For `x0 + x1 + x2` with r(x0, x1) = 0.5 and unit variances V = 4, of which the pair has 3.
#[test]
fn dependent_inputs_are_one_group() {
    let set = inputs([normal(0.0, 1.0), normal(0.0, 1.0), normal(0.0, 1.0), exact(5.0)]);
    let set = set.correlated(&[Correlation::of_scores("x0", "x2", 0.5)]).unwrap();
    let found = analysed(|x| x.iter().sum(), &set, &SensitivityOptions::default());
    let names: Vec<&[String]> = found.shares.iter().map(|s| s.inputs.as_slice()).collect();
    assert_eq!(names, [["x0".to_owned(), "x2".to_owned()].as_slice(), ["x1".to_owned()].as_slice()]);
    assert_shares(&found, &[0.75, 0.25], &[0.75, 0.25], 2e-3);
    assert_close(found.mean, 5.0, 1e-3);
}

#[test]
fn every_result_has_its_own_shares() {
    let two = per_row(["sum", "product"], |x: &[f64], y: &mut [f64]| {
        y[0] = x[0] + x[1];
        y[1] = x[0] * x[1];
    });
    let set = inputs([normal(0.0, 1.0), normal(0.0, 1.0)]);
    let found = sensitivity(&two, &set, &SensitivityOptions::default()).unwrap();
    assert_shares(&found[0], &[0.5, 0.5], &[0.5, 0.5], 5e-3);
    // A product of two centred inputs is all interaction.
    assert_shares(&found[1], &[0.0, 0.0], &[1.0, 1.0], 2e-2);
    assert_eq!([found[0].result.as_str(), found[1].result.as_str()], ["sum", "product"]);
}

/// By hand: a linear model moves by coefficient times the distance of the quantiles.
#[test]
fn tornado_of_a_linear_model() {
    let set = inputs([flat(0.0, 1.0), normal(5.0, 2.0), exact(1.0), flat(0.0, 0.1)]);
    let found = &tornado(&model(|x| 10.0 * x[0] - x[1] + x[2] + x[3]), &set, 0.95).unwrap()[0];
    assert_close(found.nominal, 5.0 - 5.0 + 1.0 + 0.05, 1e-14);
    let order: Vec<&str> = found.bars.iter().map(|bar| bar.input.as_str()).collect();
    assert_eq!(order, ["x0", "x1", "x3"]);
    assert_close(found.bars[0].swing(), 9.5, 1e-14);
    assert_close(found.bars[1].swing(), 2.0 * 2.0 * 1.959963984540054, 1e-14);
    assert_close(found.bars[1].ends.0, 5.0 - 2.0 * 1.959963984540054, 1e-13);
    assert!(found.bars[1].results.0 > found.bars[1].results.1);
}
