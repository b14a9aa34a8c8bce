//! Which measurement would help most: what would be left of a result's variance if an input were known better.

use super::EstimateError;
use super::draw::{Block, Side};
use super::evaluate::{Evaluator, Threads, Work, zeros};
use super::inputs::{Group, Inputs};
use super::model::Model;
use super::options::{MOST_DRAWS, in_range};
use super::sensitivity::{Index, Parts, SensitivityOptions, Spread, check, drawer, evaluated, over_repetitions};
use crate::Error;
use crate::units::Distribution;

/// What it would be worth to measure one input, or inputs that hang together.
#[derive(Debug, Clone, PartialEq)]
pub struct Worth {
    /// Names of the inputs.
    pub inputs: Vec<String>,
    /// Share of the variance that would go, on average, if they were known exactly: the first-order Sobol' index.
    pub known: Index,
    /// Share that would go if they lay half as far from their means, in every draw: half the standard uncertainty.
    pub halved: Index,
}

/// What measuring would be worth for one result.
#[derive(Debug, Clone, PartialEq)]
pub struct WorthMeasuring {
    /// Name of the result.
    pub result: String,
    /// Its standard deviation now.
    pub standard_uncertainty: f64,
    /// The inputs, the one first whose exact knowledge would remove most of the variance.
    pub worth: Vec<Worth>,
}

/// Which measurement would help most, for every result of a model.
///
/// `known` is `V[E(y | x)] / V(y)`, what is to be expected before the measurement is made: its outcome may turn out to lie where
/// the result varies more or less. `halved` is `1 - V(y') / V(y)` where every `x` becomes `E(x) + (x - E(x))/2`. Where the result is a sum in
/// which `x` has its own term, `halved` is three quarters of `known`.
///
/// ```
/// use fillmark::estimate::{Inputs, SensitivityOptions, per_row, worth_measuring};
/// use fillmark::units::Distribution;
/// let inputs = Inputs::new([
///     ("a", Distribution::normal("a", 0.0, 2.0)?),
///     ("b", Distribution::normal("b", 0.0, 1.0)?),
/// ])?;
/// let sum = per_row(["y"], |x: &[f64], y: &mut [f64]| y[0] = x[0] + x[1]);
/// let best = &worth_measuring(&sum, &inputs, &SensitivityOptions::default())?[0].worth[0];
/// assert_eq!(best.inputs, ["a"]);
/// assert!((best.known.value - 0.8).abs() < 0.01 && (best.halved.value - 0.6).abs() < 0.01);
/// # Ok::<(), fillmark::Error>(())
/// ```
pub fn worth_measuring(
    model: &impl Model,
    inputs: &Inputs,
    options: &SensitivityOptions<'_>,
) -> Result<Vec<WorthMeasuring>, Error> {
    in_range("chunk", options.chunk as f64, 1.0, MOST_DRAWS as f64)?;
    worth_measuring_by(&mut Threads::new(model, options.chunk)?, inputs, options)
}

/// As [`worth_measuring`], with a way of carrying the model out.
pub(crate) fn worth_measuring_by<E: Evaluator>(
    evaluator: &mut E,
    inputs: &Inputs,
    options: &SensitivityOptions<'_>,
) -> Result<Vec<WorthMeasuring>, E::Error> {
    check(inputs, options).map_err(Error::from)?;
    let rows = options.draws * options.replicates;
    let drawer = drawer(inputs, options);
    let work = Work::new(rows * (2 * inputs.grouped().len() + 2), options.stop, options.progress);
    let a = evaluated(evaluator, &drawer, &work, rows, |_| Side::A)?;
    let b = evaluated(evaluator, &drawer, &work, rows, |_| Side::B)?;
    let spreads: Vec<Spread> = a.iter().zip(&b).map(|(a, b)| Spread::of(a, b)).collect();
    for (result, spread) in evaluator.results().iter().zip(&spreads) {
        if spread.variance <= 0.0 {
            return Err(Error::from(EstimateError::NoVariance { result: result.clone() }).into());
        }
    }
    let means: Vec<f64> = inputs.distributions().iter().map(Distribution::mean).collect();
    let mut worth: Vec<Vec<Worth>> = vec![Vec::new(); a.len()];
    for group in inputs.grouped() {
        let side = |of: &Group| if of == group { Side::B } else { Side::A };
        let ab = evaluated(evaluator, &drawer, &work, rows, side)?;
        let mut near = zeros(a.len(), rows);
        let fill = |first: usize, block: &mut Block| {
            drawer.draw(first, block);
            for input in &group.members {
                block.column_mut(*input).iter_mut().for_each(|x| *x = f64::midpoint(*x, means[*input]));
            }
        };
        evaluator.evaluate(&work, &|rows| drawer.block(rows), &fill, &mut near)?;
        for (j, spread) in spreads.iter().enumerate() {
            let names = group.members.iter().map(|i| inputs.names()[*i].clone()).collect();
            let parts = Parts { a: &a[j], b: &b[j], ab: &ab[j], spread: *spread, options };
            worth[j].push(Worth { inputs: names, known: parts.first(), halved: halved(&a[j], &near[j], options) });
        }
    }
    let results = evaluator.results().iter().zip(spreads).zip(worth);
    Ok(results
        .map(|((result, spread), mut worth)| {
            // What rounding alone tells apart stays in the order of the inputs.
            let share = |w: &Worth| (w.known.value * 1e9).round();
            worth.sort_by(|a, b| share(b).total_cmp(&share(a)));
            WorthMeasuring { result: result.clone(), standard_uncertainty: spread.variance.sqrt(), worth }
        })
        .collect())
}

/// Share of the variance that is gone, with the scatter of the repetitions.
fn halved(a: &[f64], near: &[f64], options: &SensitivityOptions<'_>) -> Index {
    let gone = |rows: std::ops::Range<usize>| {
        let [whole, left] = [a, near].map(|y| Spread::of(&y[rows.clone()], &[]).variance);
        if whole > 0.0 { 1.0 - left / whole } else { 0.0 }
    };
    Index { value: gone(0..a.len()), half_width: over_repetitions(options, gone) }
}
