//! One input at a time: what a result becomes at either end of each input's coverage interval.

use super::EstimateError;
use super::draw::Block;
use super::evaluate::{Evaluator, Threads, Work, zeros};
use super::inputs::Inputs;
use super::model::Model;
use super::options::in_range;
use crate::Error;
use crate::units::Distribution;

/// One input's effect.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// Name of the input.
    pub input: String,
    /// The ends of its coverage interval.
    pub ends: (f64, f64),
    /// The result at either end, the other inputs at their nominal values.
    pub results: (f64, f64),
}

impl Bar {
    /// How far the result goes between the two ends, never negative.
    pub fn swing(&self) -> f64 {
        (self.results.1 - self.results.0).abs()
    }
}

/// The effects of every uncertain input on one result.
#[derive(Debug, Clone, PartialEq)]
pub struct Tornado {
    /// Name of the result.
    pub result: String,
    /// The result with every input at its nominal value.
    pub nominal: f64,
    /// The inputs, the one with the largest swing first; equal ones in their order.
    pub bars: Vec<Bar>,
}

/// Moves each uncertain input alone to the ends of its coverage interval (`(1 ± coverage)/2` quantiles, so 2.5 % and 97.5 % for
/// 0.95), with every other at its nominal value, for every result of a model.
///
/// A picture for the eye (common practice, no source): it shows no interaction and takes no notice of correlations. The shares
/// of the variance are in [`super::sensitivity`].
///
/// ```
/// use fillmark::estimate::{Inputs, per_row, tornado};
/// use fillmark::units::Distribution;
/// let inputs = Inputs::new([
///     ("a", Distribution::rectangular("a", 0.0, 1.0)?),
///     ("b", Distribution::rectangular("b", 0.0, 4.0)?),
/// ])?;
/// let sum = per_row(["y"], |x: &[f64], y: &mut [f64]| y[0] = x[0] + x[1]);
/// let of_y = &tornado(&sum, &inputs, 0.5)?[0];
/// assert_eq!(of_y.nominal, 2.5);
/// assert_eq!((of_y.bars[0].input.as_str(), of_y.bars[0].results), ("b", (1.5, 3.5)));
/// # Ok::<(), fillmark::Error>(())
/// ```
pub fn tornado(model: &impl Model, inputs: &Inputs, coverage: f64) -> Result<Vec<Tornado>, Error> {
    tornado_by(&mut Threads::new(model, 1024)?, inputs, coverage)
}

/// As [`tornado`], with a way of carrying the model out.
pub(crate) fn tornado_by<E: Evaluator>(
    evaluator: &mut E,
    inputs: &Inputs,
    coverage: f64,
) -> Result<Vec<Tornado>, E::Error> {
    in_range("coverage", coverage, 0.01, 0.9999).map_err(|e: EstimateError| Error::from(e))?;
    let nominals: Vec<f64> = inputs.distributions().iter().map(Distribution::nominal).collect();
    let moved: Vec<(usize, (f64, f64))> = inputs
        .distributions()
        .iter()
        .enumerate()
        .filter(|(_, d)| !d.is_exact())
        .map(|(i, d)| (i, (d.quantile(0.5 * (1.0 - coverage)), d.quantile(f64::midpoint(1.0, coverage)))))
        .collect();
    let rows = 1 + 2 * moved.len();
    let mut out = zeros(evaluator.results().len(), rows);
    let fill = |first: usize, block: &mut Block| {
        for at in 0..block.rows() {
            for (input, nominal) in nominals.iter().enumerate() {
                block.column_mut(input)[at] = *nominal;
            }
            if let Some(row) = (first + at).checked_sub(1) {
                let (input, ends) = moved[row / 2];
                block.column_mut(input)[at] = if row % 2 == 0 { ends.0 } else { ends.1 };
            }
        }
    };
    evaluator.evaluate(&Work::quiet(rows, None), &|rows| Block::of_constants(&nominals, rows), &fill, &mut out)?;
    let of_result = |(result, values): (&String, &Vec<f64>)| {
        let bar = |((input, ends), results): (&(usize, (f64, f64)), &[f64])| Bar {
            input: inputs.names()[*input].clone(),
            ends: *ends,
            results: (results[0], results[1]),
        };
        let mut bars: Vec<Bar> = moved.iter().zip(values[1..].chunks_exact(2)).map(bar).collect();
        bars.sort_by(|a, b| b.swing().total_cmp(&a.swing()));
        Tornado { result: result.clone(), nominal: values[0], bars }
    };
    Ok(evaluator.results().iter().zip(&out).map(of_result).collect())
}
