//! Quantiles for many draws: a t or a beta distribution, whose quantile takes an iteration, from a table.

use crate::numeric::{beta, normal, student};
use crate::units::Distribution;

/// Nodes for each unit of the normal score, and how many units either way: the furthest draw of a stream lies at 8.2.
const NODES_PER_UNIT: u32 = 64;
const REACH: f64 = 8.5;

/// A distribution ready for many draws.
#[derive(Debug, Clone)]
pub(super) struct Sampler {
    distribution: Distribution,
    table: Option<Table>,
}

impl Sampler {
    pub(super) fn of(distribution: &Distribution) -> Self {
        let table = match *distribution {
            Distribution::Student { estimate, scale, dof, .. } => {
                Some(Table::of(estimate, scale, |z| student_node(z, dof)))
            }
            Distribution::Beta { low, high, alpha, beta, .. } => {
                Some(Table::of(low, high - low, |z| beta_node(z, alpha, beta)))
            }
            _ => None,
        };
        Self { distribution: distribution.clone(), table }
    }

    /// The quantile at `u` in (0, 1).
    pub(super) fn at_uniform(&self, u: f64) -> f64 {
        let tabled = self.table.as_ref().and_then(|table| table.at(normal::quantile(u)));
        tabled.unwrap_or_else(|| self.distribution.quantile(u))
    }

    /// The quantile at every number of a column, in place: the bits of [`Sampler::at_uniform`].
    pub(super) fn at_uniforms(&self, column: &mut [f64]) {
        match self.table {
            Some(_) => column.iter_mut().for_each(|u| *u = self.at_uniform(*u)),
            None => self.distribution.quantiles(column),
        }
    }

    /// The quantile at the probability of a normal score.
    pub(super) fn at_score(&self, z: f64) -> f64 {
        let tabled = self.table.as_ref().and_then(|table| table.at(z));
        tabled.unwrap_or_else(|| self.distribution.at_score(z))
    }
}

/// The quantile over the normal score as quintic Hermite pieces. As a function of the score it is smooth, so the error falls
/// with the sixth power of the spacing.
#[derive(Debug, Clone)]
struct Table {
    /// Value, and first and second derivative times spacing and spacing squared.
    nodes: Vec<[f64; 3]>,
}

impl Table {
    /// The table of `offset + scale * x`, where `node` gives `x` and its derivatives by the score.
    fn of(offset: f64, scale: f64, node: impl Fn(f64) -> [f64; 3]) -> Self {
        let per_unit = f64::from(NODES_PER_UNIT);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a small constant
        let last = (2.0 * REACH * per_unit) as u32;
        let nodes = (0..=last).map(|i| {
            let [x, first, second] = node(f64::from(i) / per_unit - REACH);
            [offset + scale * x, scale * first / per_unit, scale * second / (per_unit * per_unit)]
        });
        Self { nodes: nodes.collect() }
    }

    /// The value at a score within reach.
    fn at(&self, z: f64) -> Option<f64> {
        let place = (z + REACH) * f64::from(NODES_PER_UNIT);
        if !(place >= 0.0 && place < (self.nodes.len() - 1) as f64) {
            return None;
        }
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // within the table
        let i = place as usize;
        let s = place - i as f64;
        let ([f0, d0, c0], [f1, d1, c1]) = (self.nodes[i], self.nodes[i + 1]);
        let rise = f1 - f0;
        let cubic = 10.0 * rise - 6.0 * d0 - 4.0 * d1 - 1.5 * c0 + 0.5 * c1;
        let quartic = -15.0 * rise + 8.0 * d0 + 7.0 * d1 + 1.5 * c0 - c1;
        let quintic = 6.0 * rise - 3.0 * (d0 + d1) + 0.5 * (c1 - c0);
        Some(f0 + s * (d0 + s * (0.5 * c0 + s * (cubic + s * (quartic + s * quintic)))))
    }
}

/// The derivatives by the score of a quantile `x(z)` with density `f`: `x' = density(z)/f(x)` and
/// `x'' = -z x' - x'² (ln f)'(x)`.
fn derivatives(z: f64, x: f64, ln_density: f64, slope_of_ln: f64) -> [f64; 3] {
    const LN_SQRT_2PI: f64 = 0.918_938_533_204_672_8;
    let first = (-0.5 * z * z - LN_SQRT_2PI - ln_density).exp();
    [x, first, -z * first - first * first * slope_of_ln]
}

fn student_node(z: f64, dof: f64) -> [f64; 3] {
    // The lower tail keeps the digits of small probabilities; the upper one is its mirror image.
    let t = -student::quantile(normal::cdf(-z.abs()), dof) * z.signum();
    let ln_density = -beta::ln_beta(0.5 * dof, 0.5) - 0.5 * dof.ln() - 0.5 * (dof + 1.0) * (t * t / dof).ln_1p();
    derivatives(z, t, ln_density, -(dof + 1.0) * t / (dof + t * t))
}

fn beta_node(z: f64, alpha: f64, beta_shape: f64) -> [f64; 3] {
    let (x, y) = if z <= 0.0 {
        beta::inverse(normal::cdf(z), alpha, beta_shape)
    } else {
        let (y, x) = beta::inverse(normal::cdf(-z), beta_shape, alpha);
        (x, y)
    };
    if x <= 0.0 || y <= 0.0 {
        return [x, 0.0, 0.0];
    }
    let ln_density = (alpha - 1.0) * x.ln() + (beta_shape - 1.0) * y.ln() - beta::ln_beta(alpha, beta_shape);
    derivatives(z, x, ln_density, (alpha - 1.0) / x - (beta_shape - 1.0) / y)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::streams;

    /// The table against the quantile it stands for, which is compared with scipy elsewhere: within 1e-9 of the value's
    /// distance from the centre, or of the width between the limits, at random and at extreme probabilities.
    #[test]
    fn as_the_quantile_itself() {
        let mut u = vec![0.0; 2000];
        streams::fill(1, "sampler", 0, &mut u);
        u.extend([1e-16, 1e-12, 1e-6, 1.0 - 1e-6, 1.0 - 1e-12, 0.5, 0.25, 0.75]);
        for dof in [1.0, 1.5, 2.0, 4.0, 30.0, 1e4] {
            let d = Distribution::student("x", 3.0, 0.5, dof).unwrap();
            let sampler = Sampler::of(&d);
            for u in &u {
                let (found, wanted) = (sampler.at_uniform(*u), d.quantile(*u));
                // Next to 1 a probability is a rounded number, which the quantile itself magnifies.
                let rounding = 4.0 * f64::EPSILON / (1.0 - u);
                let allowed = (1e-9 + rounding) * (wanted - 3.0).abs().max(0.5);
                assert!((found - wanted).abs() <= allowed, "dof {dof}, {u}: {found}, not {wanted}");
            }
        }
        for (alpha, beta) in [(2.0, 4.0), (0.5, 0.5), (0.1, 3.0), (1.0, 1.0), (1.8, 4.2), (50.0, 700.0), (5.0, 0.2)] {
            let d = Distribution::beta("x", -1.0, 4.0, alpha, beta).unwrap();
            let sampler = Sampler::of(&d);
            for u in &u {
                let (found, wanted) = (sampler.at_uniform(*u), d.quantile(*u));
                assert!((found - wanted).abs() <= 5e-9, "{alpha}, {beta}, {u}: {found}, not {wanted}");
            }
        }
    }

    #[test]
    fn beyond_the_table_the_quantile_itself() {
        let d = Distribution::student("x", 0.0, 1.0, 4.0).unwrap();
        let sampler = Sampler::of(&d);
        assert_eq!(sampler.at_score(-9.0).to_bits(), d.at_score(-9.0).to_bits());
        let normal = Distribution::normal("x", 0.0, 1.0).unwrap();
        assert_eq!(Sampler::of(&normal).at_uniform(0.3).to_bits(), normal.quantile(0.3).to_bits());
    }

    /// Run with `cargo test --release --lib sampler::tests::speed -- --ignored --nocapture`.
    #[test]
    #[ignore = "a measurement, not a check"]
    #[allow(clippy::print_stdout)]
    fn speed() {
        let mut u = vec![0.0; 200_000];
        streams::fill(1, "speed", 0, &mut u);
        let time = |f: &dyn Fn(f64) -> f64| {
            let start = std::time::Instant::now();
            let sum: f64 = u.iter().map(|u| f(*u)).sum();
            (start.elapsed().as_secs_f64() / u.len() as f64 * 1e9, sum)
        };
        for d in [Distribution::student("x", 0.0, 1.0, 5.0), Distribution::pert("x", 0.0, 0.3, 1.0)] {
            let d = d.unwrap();
            let start = std::time::Instant::now();
            let sampler = Sampler::of(&d);
            println!("{d:?}: table {:.2} ms", start.elapsed().as_secs_f64() * 1e3);
            println!(
                "ns for a draw: quantile {:?}, table {:?}",
                time(&|u| d.quantile(u)),
                time(&|u| sampler.at_uniform(u))
            );
        }
    }
}
