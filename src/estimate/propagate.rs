//! The propagation of distributions through a model by draws (JCGM 101:2008), beside first order (JCGM 100:2008).

use super::EstimateError;
use super::adaptive::{Batches, FEWEST, batch_rows};
use super::draw::{Block, Drawer};
use super::evaluate::{Evaluator, Threads, Work, zeros};
use super::first_order::{FirstOrder, first_order};
use super::inputs::Inputs;
use super::model::Model;
use super::options::{Method, PropagateOptions, Stopping};
use super::summary::Draws;
use crate::Error;

/// One result of a model with its uncertainty, if what is said of the inputs is right.
#[derive(Debug, Clone, PartialEq)]
pub struct Propagated {
    /// Name of the result.
    pub name: String,
    /// Its draws.
    pub draws: Draws,
    /// Standard error of the mean of the draws: `u / sqrt(M)`, or from the scatter between the scrambles of Sobol' points.
    pub standard_error: f64,
    /// The same by the law of propagation of uncertainty to first order.
    pub first_order: FirstOrder,
}

/// The results of a model with their uncertainty.
#[derive(Debug, Clone, PartialEq)]
pub struct Propagation {
    results: Vec<Propagated>,
    settled: Option<bool>,
}

/// Propagates what is known of the inputs through a model.
///
/// Draw `i` of an input depends on seed, name and `i` alone: the same bits come out for any number of threads and any chunk.
///
/// ```
/// use fillmark::estimate::{Inputs, PropagateOptions, per_row, propagate};
/// use fillmark::units::Distribution;
/// // JCGM 101:2008, 9.2.2: the sum of four standard normal inputs.
/// let names = ["x1", "x2", "x3", "x4"];
/// let standard = |name| Ok((name, Distribution::normal(name, 0.0, 1.0)?));
/// let inputs = Inputs::new(names.into_iter().map(standard).collect::<Result<Vec<_>, fillmark::Error>>()?)?;
/// let sum = per_row(["y"], |x: &[f64], y: &mut [f64]| y[0] = x.iter().sum());
/// let found = propagate(&sum, &inputs, &PropagateOptions::default())?;
/// let y = &found.results()[0];
/// assert!((y.draws.interval(0.95).1 - 3.92).abs() < 0.05);
/// assert!((y.first_order.interval(0.95).1 - 3.92).abs() < 0.001);
/// # Ok::<(), fillmark::Error>(())
/// ```
pub fn propagate(model: &impl Model, inputs: &Inputs, options: &PropagateOptions<'_>) -> Result<Propagation, Error> {
    options.check(inputs.uncertain())?;
    let collected = collect(&mut Threads::new(model, options.chunk)?, inputs, options)?;
    Ok(collected.summarised(&|| options.is_stopped())?)
}

/// Values of every result before they are summed up.
pub(crate) struct Collected {
    names: Vec<String>,
    columns: Vec<Vec<f64>>,
    first_orders: Vec<FirstOrder>,
    /// Rows of each independent part; `None` where every row is independent.
    rows_per_scramble: Option<usize>,
    settled: Option<bool>,
}

/// Carries the model out over every draw, and over the differences of first order.
pub(crate) fn collect<E: Evaluator>(
    evaluator: &mut E,
    inputs: &Inputs,
    options: &PropagateOptions<'_>,
) -> Result<Collected, E::Error> {
    options.check(inputs.uncertain()).map_err(Error::from)?;
    let quiet = Work::quiet(4 * inputs.uncertain() + 1, options.stop);
    let first_orders = first_order(evaluator, inputs, &quiet)?;
    let names = evaluator.results().to_vec();
    let (columns, rows_per_scramble, settled) = match options.stopping {
        Stopping::Draws(draws) => {
            let rows = if let Method::Sobol { scrambles } = options.method { draws / scrambles } else { draws };
            let work = Work::new(draws, options.stop, options.progress);
            let drawer = Drawer::new(inputs, options.points(rows), options.seed);
            (rows_of(evaluator, &drawer, &work, 0, draws)?, rows, None)
        }
        Stopping::Digits { digits, most } => adaptive(evaluator, inputs, options, digits, most)?,
    };
    let rows_per_scramble = matches!(options.method, Method::Sobol { .. }).then_some(rows_per_scramble);
    Ok(Collected { names, columns, first_orders, rows_per_scramble, settled })
}

/// The results of rows `first..first + rows`.
fn rows_of<E: Evaluator>(
    evaluator: &mut E,
    drawer: &Drawer<'_>,
    work: &Work<'_>,
    first: usize,
    rows: usize,
) -> Result<Vec<Vec<f64>>, E::Error> {
    let mut out = zeros(evaluator.results().len(), rows);
    let fill = |at: usize, block: &mut Block| drawer.draw(first + at, block);
    evaluator.evaluate(work, &|rows| drawer.block(rows), &fill, &mut out)?;
    Ok(out)
}

/// Columns, rows of a batch, whether it settled.
type Adapted = (Vec<Vec<f64>>, usize, Option<bool>);

fn adaptive<E: Evaluator>(
    evaluator: &mut E,
    inputs: &Inputs,
    options: &PropagateOptions<'_>,
    digits: u32,
    most: usize,
) -> Result<Adapted, E::Error> {
    let least = batch_rows(options.coverage);
    let rows = if options.method == Method::PseudoRandom { least } else { least.next_power_of_two() };
    let work = Work::new(most, options.stop, options.progress);
    let drawer = Drawer::new(inputs, options.points(rows), options.seed);
    let mut columns = rows_of(evaluator, &drawer, &work, 0, FEWEST * rows)?;
    let mut batches = vec![Batches::default(); columns.len()];
    for (batches, column) in batches.iter_mut().zip(&columns) {
        column.chunks_exact(rows).for_each(|batch| batches.push(batch, options.coverage));
    }
    while !batches.iter().all(|b| b.settled(digits)) {
        let done = columns.first().map_or(0, Vec::len);
        if done + rows > most {
            return Ok((columns, rows, Some(false)));
        }
        let batch = rows_of(evaluator, &drawer, &work, done, rows)?;
        for ((batches, column), new) in batches.iter_mut().zip(&mut columns).zip(batch) {
            batches.push(&new, options.coverage);
            column.extend(new);
        }
    }
    Ok((columns, rows, Some(true)))
}

impl Collected {
    /// Sorts every column; an error when told to stop.
    pub(crate) fn summarised(self, stopped: &dyn Fn() -> bool) -> Result<Propagation, EstimateError> {
        let asked = self.columns.first().map_or(0, Vec::len);
        let mut results = Vec::with_capacity(self.columns.len());
        for ((name, column), first_order) in self.names.into_iter().zip(self.columns).zip(self.first_orders) {
            let between = self.rows_per_scramble.map(|rows| scatter(&column, rows));
            let draws = Draws::unless(stopped, column).ok_or(EstimateError::Stopped { done: asked, asked })?;
            let within = || draws.standard_uncertainty() / (asked as f64).sqrt();
            let standard_error = between.unwrap_or_else(within);
            results.push(Propagated { name, draws, standard_error, first_order });
        }
        Ok(Propagation { results, settled: self.settled })
    }
}

/// Standard deviation of the average of the means of equal parts.
fn scatter(values: &[f64], rows: usize) -> f64 {
    let means: Vec<f64> = values.chunks_exact(rows).map(|part| part.iter().sum::<f64>() / rows as f64).collect();
    let parts = Draws::new(means);
    parts.standard_uncertainty() / (parts.values().len() as f64).sqrt()
}

impl Propagation {
    /// Results put together again.
    #[cfg(feature = "python")]
    pub(crate) fn of(results: Vec<Propagated>, settled: Option<bool>) -> Self {
        Self { results, settled }
    }

    /// Every result, in the model's order.
    pub fn results(&self) -> &[Propagated] {
        &self.results
    }

    /// The result of this name.
    pub fn result(&self, name: &str) -> Result<&Propagated, EstimateError> {
        let unknown = || EstimateError::UnknownResult {
            result: name.into(),
            known: self.results.iter().map(|r| r.name.clone()).collect(),
        };
        self.results.iter().find(|r| r.name == name).ok_or_else(unknown)
    }

    /// Number of draws.
    pub fn draws(&self) -> usize {
        self.results.first().map_or(0, |r| r.draws.values().len())
    }

    /// Whether every result became stable before the most draws allowed; `None` without adaptive stopping.
    pub fn settled(&self) -> Option<bool> {
        self.settled
    }

    /// Covariance of the draws of two results, `Σ (a - mean)(b - mean) / (M - 1)` (JCGM 102:2011, 7.6).
    pub fn covariance(&self, a: &str, b: &str) -> Result<f64, EstimateError> {
        let (a, b) = (&self.result(a)?.draws, &self.result(b)?.draws);
        let (mean_a, mean_b) = (a.mean(), b.mean());
        let products = a.values().iter().zip(b.values()).map(|(a, b)| (a - mean_a) * (b - mean_b));
        Ok(products.sum::<f64>() / (a.values().len() - 1) as f64)
    }

    /// Correlation coefficient of the draws of two results; NaN where one does not vary.
    pub fn correlation(&self, a: &str, b: &str) -> Result<f64, EstimateError> {
        let u = |name| self.result(name).map(|r| r.draws.standard_uncertainty());
        Ok(self.covariance(a, b)? / (u(a)? * u(b)?))
    }
}
