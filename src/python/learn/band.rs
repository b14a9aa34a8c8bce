//! A number with its band, for Python.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

use super::super::rebuild::reduce;
use crate::infer::learn::Band as Core;

/// A number with its band: what draws say of a quantity.
///
/// Parameters
/// ----------
/// median, mean : float
///     Middle of the draws, and their mean.
/// standard_uncertainty : float
///     Their standard deviation (JCGM 101, 7.6).
/// low, high : float
///     Ends of the coverage interval with as much probability below as above (JCGM 101, 7.7).
/// unit : str
///     Unit of all five.
/// coverage : float
///     Coverage probability of the interval.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fit = fm.calibrate([0, 0.5, 0.5, 0.5], [20.0, 31.5, 42.0, 53.5], scatter_mm=0.5)
/// >>> fit.ml_per_mm.low < 45 < fit.ml_per_mm.high
/// True
#[pyclass(frozen, eq, module = "fillmark")]
#[derive(PartialEq)]
pub(in crate::python) struct Band {
    inner: Core,
    unit: String,
    coverage: f64,
}

impl Band {
    /// A band in a unit of the face; `factor` turns SI into it.
    pub(super) fn of(band: Core, factor: f64, unit: &str, coverage: f64) -> Self {
        Self { inner: band.times(factor), unit: unit.into(), coverage }
    }

    /// The text of a normal distribution with its mean and standard uncertainty.
    pub(super) fn as_normal(&self) -> String {
        format!("normal({}, {}) {}", self.inner.mean, self.inner.standard_uncertainty, self.unit)
    }

    /// The middle and the interval, with two digits of the uncertainty.
    pub(super) fn text(&self) -> String {
        let Core { median, low, high, .. } = self.inner;
        let unit = if self.unit == "1" { String::new() } else { format!(" {}", self.unit) };
        // Where some draws are infinite there is no standard uncertainty; the band is about four wide.
        let u = self.inner.standard_uncertainty;
        let digits = decimals(if u.is_finite() { u } else { (high - low) / 4.0 });
        let percent = self.coverage * 100.0;
        let said = |x: f64| if x == f64::INFINITY { "never".into() } else { format!("{x:.digits$}") };
        format!("{}{unit} ({percent} %: {} to {}{unit})", said(median), said(low), said(high))
    }
}

#[pymethods]
impl Band {
    #[new]
    #[pyo3(signature = (*, median, mean, standard_uncertainty, low, high, unit="1", coverage=0.95))]
    #[allow(clippy::too_many_arguments)] // keyword-only in Python
    fn new(median: f64, mean: f64, standard_uncertainty: f64, low: f64, high: f64, unit: &str, coverage: f64) -> Self {
        Self { inner: Core { median, mean, standard_uncertainty, low, high }, unit: unit.into(), coverage }
    }

    /// Middle of the draws.
    #[getter]
    pub(super) fn median(&self) -> f64 {
        self.inner.median
    }

    /// Mean of the draws; not a number or infinite where some are infinite.
    #[getter]
    fn mean(&self) -> f64 {
        self.inner.mean
    }

    /// Standard deviation of the draws.
    #[getter]
    fn standard_uncertainty(&self) -> f64 {
        self.inner.standard_uncertainty
    }

    /// Lower end of the interval.
    #[getter]
    fn low(&self) -> f64 {
        self.inner.low
    }

    /// Upper end of the interval.
    #[getter]
    fn high(&self) -> f64 {
        self.inner.high
    }

    /// Unit of the numbers.
    #[getter]
    fn unit(&self) -> &str {
        &self.unit
    }

    /// Coverage probability of the interval.
    #[getter]
    fn coverage(&self) -> f64 {
        self.coverage
    }

    fn __str__(&self) -> String {
        self.text()
    }

    fn __repr__(&self) -> String {
        let Core { median, mean, standard_uncertainty, low, high } = self.inner;
        let shown = |x: f64| if x.is_finite() { format!("{x:?}") } else { format!("float('{x}')") };
        let (median, mean, u) = (shown(median), shown(mean), shown(standard_uncertainty));
        format!(
            "Band(median={median}, mean={mean}, standard_uncertainty={u}, low={}, high={}, unit='{}', coverage={:?})",
            shown(low),
            shown(high),
            self.unit,
            self.coverage
        )
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let keywords = PyDict::new(py);
        keywords.set_item("median", self.inner.median)?;
        keywords.set_item("mean", self.inner.mean)?;
        keywords.set_item("standard_uncertainty", self.inner.standard_uncertainty)?;
        keywords.set_item("low", self.inner.low)?;
        keywords.set_item("high", self.inner.high)?;
        keywords.set_item("unit", &self.unit)?;
        keywords.set_item("coverage", self.coverage)?;
        reduce::<Self>(py, "", keywords)
    }
}

/// Decimals that show two digits of the uncertainty.
fn decimals(uncertainty: f64) -> usize {
    if !(uncertainty.is_finite() && uncertainty > 0.0) {
        return 3;
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // between 0 and 9
    let digits = (1.0 - uncertainty.log10().floor()).clamp(0.0, 9.0) as usize;
    digits
}
