//! What can be propagated through: a model turns rows of inputs into results.

use super::draw::Block;
use crate::Error;

/// A model of one or more results.
///
/// A result must depend on nothing but the inputs of its own row, so that blocks may be cut anywhere and worked on in any
/// order.
pub trait Model: Sync {
    /// Names of the results, in order; at least one.
    fn results(&self) -> Vec<String>;

    /// Computes the results of a block: `out[j][i]` is result `j` of row `i`. Every slice has as many elements as the block
    /// has rows.
    fn evaluate(&self, inputs: &Block, out: &mut [&mut [f64]]) -> Result<(), Error>;
}

/// A function of one row as a model; made by [`per_row`].
pub struct PerRow<F> {
    results: Vec<String>,
    row: F,
}

/// A model from a function of one row of inputs that writes the results of the row.
///
/// ```
/// use fillmark::estimate::{Inputs, PropagateOptions, per_row, propagate};
/// use fillmark::units::Distribution;
/// let inputs = Inputs::new([("x", Distribution::rectangular("x", 0.1, 1.1)?)])?;
/// let model = per_row(["y"], |x: &[f64], y: &mut [f64]| y[0] = x[0].ln());
/// let found = propagate(&model, &inputs, &PropagateOptions::default())?;
/// let y = &found.results()[0];
/// assert!((y.draws.mean() - -0.6649).abs() < 0.01);
/// # Ok::<(), fillmark::Error>(())
/// ```
pub fn per_row<F>(results: impl IntoIterator<Item = impl Into<String>>, row: F) -> PerRow<F>
where
    F: Fn(&[f64], &mut [f64]) + Sync,
{
    PerRow { results: results.into_iter().map(Into::into).collect(), row }
}

impl<F: Fn(&[f64], &mut [f64]) + Sync> Model for PerRow<F> {
    fn results(&self) -> Vec<String> {
        self.results.clone()
    }

    fn evaluate(&self, inputs: &Block, out: &mut [&mut [f64]]) -> Result<(), Error> {
        let mut x = vec![0.0; inputs.columns().len()];
        let mut y = vec![0.0; out.len()];
        for row in 0..inputs.rows() {
            x.iter_mut().zip(inputs.columns()).for_each(|(x, column)| *x = column[row]);
            (self.row)(&x, &mut y);
            out.iter_mut().zip(&y).for_each(|(column, y)| column[row] = *y);
        }
        Ok(())
    }
}
