//! First order for Python: the uncertainty budget of a propagated result.

use std::fmt::Write;

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

use super::arrays::{Field, add_columns, texts};
use super::estimate::coverage as probability_of;
use super::propagate::PropagatedResult;
use super::rebuild::reduce_part;
use crate::estimate::{Contribution, FirstOrder as CoreFirstOrder};

/// A result by the law of propagation of uncertainty to first order (JCGM 100:2008, clause 5); prints as an uncertainty budget.
///
/// The model is differentiated at the expectations of its inputs, by central differences with steps of 1/32 and 1/64 of each
/// standard uncertainty.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct FirstOrder {
    pub(super) owner: Py<PropagatedResult>,
    pub(super) inner: CoreFirstOrder,
}

impl PartialEq for FirstOrder {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

#[pymethods]
impl FirstOrder {
    /// The model at the expectations of its inputs.
    #[getter]
    fn estimate(&self) -> f64 {
        self.inner.estimate
    }

    /// Combined standard uncertainty (5.1.2; with correlated inputs 5.2.2).
    #[getter]
    fn standard_uncertainty(&self) -> f64 {
        self.inner.standard_uncertainty
    }

    /// Effective degrees of freedom by the Welch-Satterthwaite formula (G.4.1).
    ///
    /// Infinite where no input has fewer; None where a correlated input has finite ones, because the formula is for
    /// independent inputs.
    #[getter]
    fn degrees_of_freedom(&self) -> Option<f64> {
        self.inner.degrees_of_freedom
    }

    /// Coverage factor: the quantile of the t-distribution with the effective degrees of freedom, truncated (G.4.1).
    ///
    /// Parameters
    /// ----------
    /// probability : float
    ///     Coverage probability, greater than 0, less than 1.
    ///
    /// Returns
    /// -------
    /// float
    ///     1.96 for 95 % and infinitely many degrees of freedom.
    #[pyo3(signature = (probability=0.95))]
    fn coverage_factor(&self, probability: f64) -> PyResult<f64> {
        Ok(self.inner.coverage_factor(probability_of(probability)?))
    }

    /// Expanded uncertainty: coverage factor times standard uncertainty (6.2.1).
    ///
    /// Parameters
    /// ----------
    /// probability : float
    ///     Coverage probability, greater than 0, less than 1.
    ///
    /// Returns
    /// -------
    /// float
    ///     Half the width of `interval`.
    #[pyo3(signature = (probability=0.95))]
    fn expanded_uncertainty(&self, probability: f64) -> PyResult<f64> {
        Ok(self.inner.expanded_uncertainty(probability_of(probability)?))
    }

    /// The estimate less and plus the expanded uncertainty.
    ///
    /// Parameters
    /// ----------
    /// probability : float
    ///     Coverage probability, greater than 0, less than 1.
    ///
    /// Returns
    /// -------
    /// tuple of float
    ///     Its two ends.
    #[pyo3(signature = (probability=0.95))]
    fn interval(&self, probability: f64) -> PyResult<(f64, f64)> {
        Ok(self.inner.interval(probability_of(probability)?))
    }

    /// The uncertainty budget: one row for each uncertain input.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``input``, ``estimate``, ``standard_uncertainty``, ``degrees_of_freedom``, ``coefficient`` (the partial derivative)
    ///     and ``contribution`` (coefficient times standard uncertainty, with its sign).
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let parts = &self.inner.contributions;
        let columns = PyDict::new(py);
        columns.set_item("input", texts(py, parts.iter().map(|c| c.input.as_str()).collect())?)?;
        let fields: [Field<Contribution>; 5] = [
            ("estimate", |c| c.estimate),
            ("standard_uncertainty", |c| c.standard_uncertainty),
            ("degrees_of_freedom", |c| c.degrees_of_freedom),
            ("coefficient", |c| c.coefficient),
            ("contribution", Contribution::contribution),
        ];
        add_columns(&columns, parts, &fields)?;
        Ok(columns)
    }

    fn __str__(&self) -> String {
        let width = self.inner.contributions.iter().map(|c| c.input.chars().count()).max().unwrap_or(0).max(5);
        let mut text =
            format!("{:width$}  {:>12}  {:>12}  {:>12}  {:>12}", "input", "estimate", "u", "coefficient", "c u");
        for c in &self.inner.contributions {
            let _ = write!(
                text,
                "\n{:width$}  {:>12.5e}  {:>12.5e}  {:>12.5e}  {:>12.5e}",
                c.input,
                c.estimate,
                c.standard_uncertainty,
                c.coefficient,
                c.contribution()
            );
        }
        let _ = write!(
            text,
            "\nestimate {:.6e}, standard uncertainty {:.3e}",
            self.estimate(),
            self.standard_uncertainty()
        );
        text
    }

    fn __repr__(&self) -> String {
        let (y, u) = (self.inner.estimate, self.inner.standard_uncertainty);
        format!("<first order: {y:.6}, standard uncertainty {u:.6}>")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        reduce_part(py, self.owner.bind(py).as_any(), "first_order", None)
    }
}

/// What a contribution is rebuilt from: input, estimate, standard uncertainty, degrees of freedom, coefficient.
type Part = (String, f64, f64, f64, f64);
/// First order in parts: estimate, standard uncertainty, degrees of freedom, contributions.
pub(super) type Whole = (f64, f64, Option<f64>, Vec<Part>);

/// What first order is rebuilt from.
pub(super) fn taken_apart(first: &CoreFirstOrder) -> Whole {
    let part =
        |c: &Contribution| (c.input.clone(), c.estimate, c.standard_uncertainty, c.degrees_of_freedom, c.coefficient);
    let parts = first.contributions.iter().map(part).collect();
    (first.estimate, first.standard_uncertainty, first.degrees_of_freedom, parts)
}

/// First order, rebuilt.
pub(super) fn whole((estimate, standard_uncertainty, degrees_of_freedom, parts): Whole) -> CoreFirstOrder {
    let part = |(input, estimate, standard_uncertainty, degrees_of_freedom, coefficient)| Contribution {
        input,
        estimate,
        standard_uncertainty,
        degrees_of_freedom,
        coefficient,
    };
    let contributions = parts.into_iter().map(part).collect();
    CoreFirstOrder { estimate, standard_uncertainty, degrees_of_freedom, contributions }
}
