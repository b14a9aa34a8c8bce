//! What drives a result: Sobol' indices, with inputs that hang together in one group.

use std::sync::atomic::AtomicBool;

use super::EstimateError;
use super::draw::{Block, Drawer, Side};
use super::evaluate::{Evaluator, Progress, Threads, Work, zeros};
use super::inputs::{Group, Inputs};
use super::model::Model;
use super::options::{MOST_DRAWS, Method, check_sobol, in_range};
use crate::Error;
use crate::numeric::student;

/// Options of a sensitivity analysis.
#[derive(Clone, Copy)]
#[non_exhaustive]
pub struct SensitivityOptions<'a> {
    /// Where the draws come from. Of Sobol' points the number of scrambles is `replicates`.
    pub method: Method,
    /// Independent repetitions, from whose scatter the intervals come: 4 to 1000.
    pub replicates: usize,
    /// Draws of each repetition, 16 to 10 million, a power of two. The model is evaluated `draws * (groups + 2)` times in
    /// each.
    pub draws: usize,
    /// Coverage probability of the intervals, 0.5 to 0.9999.
    pub coverage: f64,
    /// Seed of every stream.
    pub seed: u64,
    /// Rows worked on at a time, 1 to 100 million; results do not depend on it.
    pub chunk: usize,
    /// Set from another thread to stop the work early with an error.
    pub stop: Option<&'a AtomicBool>,
    /// Told about every chunk that is done.
    pub progress: Option<Progress<'a>>,
}

impl Default for SensitivityOptions<'_> {
    fn default() -> Self {
        let method = Method::SOBOL;
        Self {
            method,
            replicates: 16,
            draws: 1 << 12,
            coverage: 0.95,
            seed: 1,
            chunk: 1024,
            stop: None,
            progress: None,
        }
    }
}

/// A Sobol' index with the interval in which it lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Index {
    /// Share of the variance. Sampling may put a small one below 0.
    pub value: f64,
    /// Half-width of its coverage interval: the t-quantile of the repetitions times their standard error.
    pub half_width: f64,
}

/// The shares of one input, or of inputs that hang together, in the variance of a result.
#[derive(Debug, Clone, PartialEq)]
pub struct Shares {
    /// Names of the inputs.
    pub inputs: Vec<String>,
    /// Share of the variance that knowing them would remove on average: `V[E(y | x)] / V(y)`.
    pub first: Index,
    /// Share that stays when everything else is known, with all interactions: `E[V(y | others)] / V(y)`.
    pub total: Index,
}

/// What drives one result.
#[derive(Debug, Clone, PartialEq)]
pub struct Sensitivity {
    /// Name of the result.
    pub result: String,
    /// Mean of the result.
    pub mean: f64,
    /// Its standard deviation.
    pub standard_uncertainty: f64,
    /// The shares, in the order of the inputs.
    pub shares: Vec<Shares>,
}

/// Sobol' indices of every result of a model.
///
/// With draws `A` and `B` and `AB`, which is `A` but for the inputs of one group, taken from `B`: the first-order index is
/// `mean(f(B) (f(AB) - f(A))) / V` (Saltelli et al. 2010, Computer Physics Communications 181:259, with `f` counted from its
/// mean), the total index `mean((f(A) - f(AB))²) / 2 V` (Jansen 1999, Computer Physics Communications 117:35).
///
/// Inputs that are correlated cannot be told apart this way; they make one group (Jacques, Lavergne and Devictor 2006,
/// Reliability Engineering and System Safety 91:1126).
///
/// ```
/// use fillmark::estimate::{Inputs, SensitivityOptions, per_row, sensitivity};
/// use fillmark::units::Distribution;
/// let inputs = Inputs::new([
///     ("a", Distribution::normal("a", 0.0, 2.0)?),
///     ("b", Distribution::normal("b", 0.0, 1.0)?),
/// ])?;
/// let sum = per_row(["y"], |x: &[f64], y: &mut [f64]| y[0] = x[0] + x[1]);
/// let of_y = &sensitivity(&sum, &inputs, &SensitivityOptions::default())?[0];
/// assert!((of_y.shares[0].first.value - 0.8).abs() < 0.01); // 4 of 5 parts of the variance
/// # Ok::<(), fillmark::Error>(())
/// ```
pub fn sensitivity(
    model: &impl Model,
    inputs: &Inputs,
    options: &SensitivityOptions<'_>,
) -> Result<Vec<Sensitivity>, Error> {
    in_range("chunk", options.chunk as f64, 1.0, MOST_DRAWS as f64)?;
    sensitivity_by(&mut Threads::new(model, options.chunk)?, inputs, options)
}

/// As [`sensitivity`], with a way of carrying the model out.
pub(crate) fn sensitivity_by<E: Evaluator>(
    evaluator: &mut E,
    inputs: &Inputs,
    options: &SensitivityOptions<'_>,
) -> Result<Vec<Sensitivity>, E::Error> {
    check(inputs, options).map_err(Error::from)?;
    let rows = options.draws * options.replicates;
    let drawer = drawer(inputs, options);
    let work = Work::new(rows * (inputs.grouped().len() + 2), options.stop, options.progress);
    let a = evaluated(evaluator, &drawer, &work, rows, |_| Side::A)?;
    let b = evaluated(evaluator, &drawer, &work, rows, |_| Side::B)?;
    let spreads: Vec<Spread> = a.iter().zip(&b).map(|(a, b)| Spread::of(a, b)).collect();
    for (result, spread) in evaluator.results().iter().zip(&spreads) {
        if spread.variance <= 0.0 {
            return Err(Error::from(EstimateError::NoVariance { result: result.clone() }).into());
        }
    }
    let mut shares: Vec<Vec<Shares>> = vec![Vec::new(); a.len()];
    for group in inputs.grouped() {
        let side = |of: &Group| if of == group { Side::B } else { Side::A };
        let ab = evaluated(evaluator, &drawer, &work, rows, side)?;
        for (j, spread) in spreads.iter().enumerate() {
            let names = group.members.iter().map(|i| inputs.names()[*i].clone()).collect();
            let parts = Parts { a: &a[j], b: &b[j], ab: &ab[j], spread: *spread, options };
            shares[j].push(Shares { inputs: names, first: parts.first(), total: parts.total() });
        }
    }
    let results = evaluator.results().iter().zip(spreads).zip(shares);
    Ok(results
        .map(|((result, spread), shares)| Sensitivity {
            result: result.clone(),
            mean: spread.mean,
            standard_uncertainty: spread.variance.sqrt(),
            shares,
        })
        .collect())
}

/// The draws of all repetitions.
pub(super) fn drawer<'a>(inputs: &'a Inputs, options: &SensitivityOptions<'_>) -> Drawer<'a> {
    let points = super::PropagateOptions::default().method(options.method).points(options.draws);
    Drawer::new(inputs, points, options.seed)
}

pub(super) fn check(inputs: &Inputs, options: &SensitivityOptions<'_>) -> Result<(), EstimateError> {
    in_range("replicates", options.replicates as f64, 4.0, 1000.0)?;
    in_range("draws", options.draws as f64, 16.0, 1e7)?;
    in_range("coverage", options.coverage, 0.5, 0.9999)?;
    if !options.draws.is_power_of_two() {
        let above = options.draws.next_power_of_two();
        let draws = options.draws;
        return Err(EstimateError::DrawsNotBalanced { draws, scrambles: 1, below: above / 2, above });
    }
    match options.method {
        Method::PseudoRandom => Ok(()),
        Method::Sobol { .. } => check_sobol(options.replicates, 2 * inputs.uncertain()),
    }
}

/// The results with every group drawn from the side it is given.
pub(super) fn evaluated<E: Evaluator>(
    evaluator: &mut E,
    drawer: &Drawer<'_>,
    work: &Work<'_>,
    rows: usize,
    side: impl Fn(&Group) -> Side + Sync,
) -> Result<Vec<Vec<f64>>, E::Error> {
    let mut out = zeros(evaluator.results().len(), rows);
    let fill = |first: usize, block: &mut Block| {
        drawer.inputs().grouped().iter().for_each(|group| drawer.draw_group(group, side(group), first, block));
    };
    evaluator.evaluate(work, &|rows| drawer.block(rows), &fill, &mut out)?;
    Ok(out)
}

/// Mean and variance over both sides.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spread {
    pub(super) mean: f64,
    pub(super) variance: f64,
}

impl Spread {
    pub(super) fn of(a: &[f64], b: &[f64]) -> Self {
        let n = (a.len() + b.len()) as f64;
        let mean = (a.iter().sum::<f64>() + b.iter().sum::<f64>()) / n;
        let squares = |side: &[f64]| side.iter().map(|y| (y - mean).powi(2)).sum::<f64>();
        Self { mean, variance: (squares(a) + squares(b)) / (n - 1.0) }
    }
}

/// The values from which the indices of a group come.
pub(super) struct Parts<'a> {
    pub(super) a: &'a [f64],
    pub(super) b: &'a [f64],
    pub(super) ab: &'a [f64],
    pub(super) spread: Spread,
    pub(super) options: &'a SensitivityOptions<'a>,
}

impl Parts<'_> {
    pub(super) fn first(&self) -> Index {
        self.index(|a, b, ab| (b - self.spread.mean) * (ab - a))
    }

    fn total(&self) -> Index {
        self.index(|a, _, ab| 0.5 * (a - ab) * (a - ab))
    }

    /// Mean of a term over all draws by the variance, with the scatter of the repetitions. A repetition is judged by its own
    /// variance, whose scatter belongs to the index.
    fn index(&self, term: impl Fn(f64, f64, f64) -> f64) -> Index {
        let sum =
            |rows: std::ops::Range<usize>| -> f64 { rows.map(|i| term(self.a[i], self.b[i], self.ab[i])).sum::<f64>() };
        let value = sum(0..self.a.len()) / self.a.len() as f64 / self.spread.variance;
        let half_width = over_repetitions(self.options, |rows| {
            let own = Spread::of(&self.a[rows.clone()], &self.b[rows.clone()]).variance;
            if own > 0.0 { sum(rows) / self.options.draws as f64 / own } else { 0.0 }
        });
        Index { value, half_width }
    }
}

/// Half-width of the coverage interval of what is taken from the rows of each repetition: the t-quantile times the standard error.
pub(super) fn over_repetitions(options: &SensitivityOptions<'_>, of: impl Fn(std::ops::Range<usize>) -> f64) -> f64 {
    let (n, count) = (options.draws, options.replicates as f64);
    let of_each: Vec<f64> = (0..options.replicates).map(|r| of(r * n..(r + 1) * n)).collect();
    let mean = of_each.iter().sum::<f64>() / count;
    let squares: f64 = of_each.iter().map(|x| (x - mean).powi(2)).sum();
    let error = (squares / (count * (count - 1.0))).sqrt();
    student::quantile(f64::midpoint(1.0, options.coverage), count - 1.0) * error
}
