//! The law of propagation of uncertainty to first order (JCGM 100:2008, clause 5), beside which draws are judged.

use super::evaluate::{Evaluator, Work};
use super::inputs::Inputs;
use super::summary::Draws;
use crate::numeric::{normal, student};
use crate::units::Distribution;

use super::draw::Block;

/// The step of the differences in standard uncertainties of the input; half of it is tried too.
const STEP: f64 = 1.0 / 32.0;
/// Rows that one input takes: up and down, by a step and by half of it.
const ROWS: [f64; 4] = [STEP, -STEP, 0.5 * STEP, -0.5 * STEP];
/// Spacing and reach of the nodes for the correlation of two inputs that are not both normal: the trapezoidal rule
/// converges faster than any power for a smooth function times a normal density.
const SPACING: f64 = 0.25;
const REACH: i32 = 32;

/// What one input contributes.
#[derive(Debug, Clone, PartialEq)]
pub struct Contribution {
    /// Name of the input.
    pub input: String,
    /// Its expectation, at which the model is differentiated.
    pub estimate: f64,
    /// Its standard uncertainty, as stated.
    pub standard_uncertainty: f64,
    /// Degrees of freedom of that; infinite where it is taken as exact.
    pub degrees_of_freedom: f64,
    /// Sensitivity coefficient: the partial derivative of the result (5.1.3).
    pub coefficient: f64,
}

impl Contribution {
    /// Coefficient times standard uncertainty, in the unit of the result, with its sign.
    pub fn contribution(&self) -> f64 {
        self.coefficient * self.standard_uncertainty
    }
}

/// A result by the law of propagation of uncertainty to first order.
#[derive(Debug, Clone, PartialEq)]
pub struct FirstOrder {
    /// The model at the expectations of its inputs.
    pub estimate: f64,
    /// Combined standard uncertainty `sqrt(Σ Σ c_i c_j u_i u_j r_ij)` (5.1.2, 5.2.2).
    pub standard_uncertainty: f64,
    /// Effective degrees of freedom by the Welch-Satterthwaite formula `u⁴ / Σ (c_i u_i)⁴/ν_i` (G.4.1), infinite where no
    /// input has fewer; `None` where a correlated input has finite degrees of freedom: the formula is for independent inputs.
    pub degrees_of_freedom: Option<f64>,
    /// Every uncertain input, in order.
    pub contributions: Vec<Contribution>,
}

/// Whether first order is good enough for a coverage interval (JCGM 101:2008, clause 8).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Validity {
    /// Half a unit in the last of the significant digits of the standard uncertainty (7.9.2).
    pub tolerance: f64,
    /// How far the lower ends of the two coverage intervals lie apart.
    pub low_difference: f64,
    /// How far the upper ends lie apart.
    pub high_difference: f64,
}

impl Validity {
    /// Whether both ends agree within the tolerance.
    pub fn is_valid(&self) -> bool {
        self.low_difference <= self.tolerance && self.high_difference <= self.tolerance
    }
}

impl FirstOrder {
    /// Coverage factor for a coverage probability: the quantile of the t-distribution with the effective degrees of freedom,
    /// truncated to the integer below (G.4.1), or of the normal distribution.
    pub fn coverage_factor(&self, p: f64) -> f64 {
        let upper = f64::midpoint(1.0, p);
        match self.degrees_of_freedom {
            Some(dof) if dof.is_finite() => student::quantile(upper, dof.floor().max(1.0)),
            _ => normal::quantile(upper),
        }
    }

    /// Expanded uncertainty: coverage factor times standard uncertainty (6.2.1).
    pub fn expanded_uncertainty(&self, p: f64) -> f64 {
        self.coverage_factor(p) * self.standard_uncertainty
    }

    /// The estimate less and plus the expanded uncertainty.
    pub fn interval(&self, p: f64) -> (f64, f64) {
        let half = self.expanded_uncertainty(p);
        (self.estimate - half, self.estimate + half)
    }

    /// Compares the coverage interval with that of the draws (JCGM 101:2008, 8.1): `digits` significant digits of the
    /// standard uncertainty are meant, usually 1 or 2.
    pub fn validity(&self, draws: &Draws, p: f64, digits: u32) -> Validity {
        let ((low, high), (drawn_low, drawn_high)) = (self.interval(p), draws.interval(p));
        Validity {
            tolerance: tolerance(self.standard_uncertainty, digits),
            low_difference: (low - drawn_low).abs(),
            high_difference: (high - drawn_high).abs(),
        }
    }
}

/// Half a unit in the last place of `u` written with so many significant digits (JCGM 101:2008, 7.9.2); 0 for 0.
pub(super) fn tolerance(u: f64, digits: u32) -> f64 {
    if u == 0.0 || !u.is_finite() {
        return 0.0;
    }
    let places = digits.max(1) as usize - 1;
    // Written with that many digits, as the guide says: 9.96 with two digits is 1.0e1.
    let written = format!("{u:.places$e}");
    let exponent: i32 = written.split_once('e').and_then(|(_, e)| e.parse().ok()).unwrap_or(0);
    #[allow(clippy::cast_possible_wrap, clippy::cast_possible_truncation)] // a few digits
    let last = exponent - places as i32;
    0.5 * 10f64.powi(last)
}

/// First order of every result, by central differences with one Richardson step.
pub(super) fn first_order<E: Evaluator>(
    evaluator: &mut E,
    inputs: &Inputs,
    work: &Work<'_>,
) -> Result<Vec<FirstOrder>, E::Error> {
    let exact = |i: &usize| inputs.distributions()[*i].is_exact();
    let uncertain: Vec<usize> = (0..inputs.names().len()).filter(|i| !exact(i)).collect();
    let rows = 1 + ROWS.len() * uncertain.len();
    let means: Vec<f64> = inputs.distributions().iter().map(Distribution::mean).collect();
    let u: Vec<f64> = inputs.distributions().iter().map(Distribution::standard_uncertainty).collect();
    let mut out = vec![vec![0.0; rows]; evaluator.results().len()];
    let fill = |first: usize, block: &mut Block| {
        for (input, mean) in means.iter().enumerate() {
            block.column_mut(input).fill(*mean);
        }
        for at in 0..block.rows() {
            if let Some(row) = (first + at).checked_sub(1) {
                let input = uncertain[row / ROWS.len()];
                block.column_mut(input)[at] += ROWS[row % ROWS.len()] * u[input];
            }
        }
    };
    evaluator.evaluate(work, &|rows| Block::of_constants(&means, rows), &fill, &mut out)?;
    let correlations = Pairs::of(inputs);
    let of_result = |values: &Vec<f64>| {
        let contributions = uncertain
            .iter()
            .zip(values[1..].chunks_exact(ROWS.len()))
            .map(|(input, at)| Contribution {
                input: inputs.names()[*input].clone(),
                estimate: means[*input],
                standard_uncertainty: u[*input],
                degrees_of_freedom: inputs.distributions()[*input].degrees_of_freedom(),
                coefficient: derivative(at) / u[*input],
            })
            .collect();
        combine(values[0], contributions, &uncertain, &correlations)
    };
    Ok(out.iter().map(of_result).collect())
}

/// The derivative by the step of [`STEP`]: the error of a central difference falls with the square of the step, and the
/// weights take that term out.
fn derivative(at: &[f64]) -> f64 {
    let whole = (at[0] - at[1]) / (2.0 * STEP);
    let half = (at[2] - at[3]) / STEP;
    (4.0 * half - whole) / 3.0
}

fn combine(estimate: f64, contributions: Vec<Contribution>, uncertain: &[usize], pairs: &Pairs) -> FirstOrder {
    let parts: Vec<f64> = contributions.iter().map(Contribution::contribution).collect();
    let squares: f64 = parts.iter().map(|part| part * part).sum();
    let products: f64 = pairs
        .0
        .iter()
        .map(|(i, j, r)| {
            let part = |input| uncertain.binary_search(input).map_or(0.0, |at| parts[at]);
            2.0 * r * part(i) * part(j)
        })
        .sum();
    let u = (squares + products).max(0.0).sqrt();
    let finite = |c: &Contribution| c.degrees_of_freedom.is_finite();
    let tied = |at: usize| pairs.0.iter().any(|(i, j, _)| [i, j].contains(&&uncertain[at]));
    let defined = contributions.iter().enumerate().all(|(at, c)| !(finite(c) && tied(at)));
    let sum: f64 = contributions.iter().map(|c| c.contribution().powi(4) / c.degrees_of_freedom).sum();
    let effective = if sum > 0.0 { u.powi(4) / sum } else { f64::INFINITY };
    FirstOrder { estimate, standard_uncertainty: u, degrees_of_freedom: defined.then_some(effective), contributions }
}

/// Pairs of tied inputs with the product-moment correlation of their values.
struct Pairs(Vec<(usize, usize, f64)>);

impl Pairs {
    fn of(inputs: &Inputs) -> Self {
        let mut pairs = Vec::new();
        for group in inputs.grouped() {
            let size = group.members.len();
            for (i, a) in group.members.iter().enumerate() {
                for (j, b) in group.members.iter().enumerate().skip(i + 1) {
                    let of_scores = group.matrix[i * size + j];
                    pairs.push((
                        *a,
                        *b,
                        of_values(of_scores, &inputs.distributions()[*a], &inputs.distributions()[*b]),
                    ));
                }
            }
        }
        Self(pairs)
    }
}

/// The product-moment correlation of two values whose normal scores have the correlation `r`; `r` itself where a standard
/// deviation is infinite.
fn of_values(r: f64, a: &Distribution, b: &Distribution) -> f64 {
    let (sd_a, sd_b) = (a.standard_deviation(), b.standard_deviation());
    let normal = |d: &Distribution| matches!(d, Distribution::Normal { .. });
    if (normal(a) && normal(b)) || !sd_a.is_finite() || !sd_b.is_finite() {
        return r;
    }
    let rest = (1.0 - r * r).sqrt();
    let nodes = || (-REACH..=REACH).map(|k| SPACING * f64::from(k));
    let expectation: f64 = nodes()
        .map(|x| {
            let inner: f64 = nodes().map(|y| normal::density(y) * (b.at_score(r * x + rest * y) - b.mean())).sum();
            normal::density(x) * (a.at_score(x) - a.mean()) * inner
        })
        .sum();
    SPACING * SPACING * expectation / (sd_a * sd_b)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// JCGM 101:2008, 7.9.2, examples 1 and 2 (from memory): u = 35 with two digits gives 0.5, one digit 5.
    #[test]
    fn tolerances_of_the_guide() {
        assert_eq!([tolerance(35.0, 2), tolerance(35.0, 1), tolerance(9.96, 2)], [0.5, 5.0, 0.5]);
        assert!((tolerance(2.0, 2) - 0.05).abs() < 1e-16 && (tolerance(0.0539, 2) - 0.0005).abs() < 1e-18);
        assert_eq!(tolerance(0.0, 2), 0.0);
    }

    /// Closed form for two lognormals: `(exp(r s t) - 1) / sqrt((exp(s²) - 1)(exp(t²) - 1))` (textbook; from memory), and
    /// for two rectangular values `6/pi asin(r/2)`, which is their rank correlation (Pearson 1907).
    #[test]
    fn correlation_of_values_from_that_of_scores() {
        let (s, t, r) = (0.5_f64, 0.3_f64, 0.6);
        let log = |sigma| Distribution::log_normal("x", 2.0, sigma).unwrap();
        let exact = (r * s * t).exp_m1() / ((s * s).exp_m1() * (t * t).exp_m1()).sqrt();
        assert!((of_values(r, &log(s), &log(t)) - exact).abs() < 1e-12);
        let flat = Distribution::rectangular("x", 1.0, 3.0).unwrap();
        let exact = 6.0 / std::f64::consts::PI * (0.5 * r).asin();
        assert!((of_values(r, &flat, &flat) - exact).abs() < 1e-10);
    }
}
