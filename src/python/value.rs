//! Arguments that may be uncertain: a number, text with a unit, a quantity object, or an [`Uncertain`].

use std::marker::PhantomData;

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyString, PyTuple};

use super::errors;
use super::quantity::{refused, single};
use super::rebuild::reduce;
use super::unit::Unit;
use crate::units::{self, Dimension, QuantityError, Value};

/// One exact or uncertain value in the unit `U`.
pub(super) struct Input<'py, U> {
    object: Bound<'py, PyAny>,
    unit: PhantomData<U>,
}

impl<'py, U: Unit> FromPyObject<'_, 'py> for Input<'py, U> {
    type Error = PyErr;
    #[cfg(feature = "stubs")]
    const INPUT_TYPE: pyo3::inspect::PyStaticExpr = pyo3::type_hint_identifier!("fillmark._types", "Given");

    fn extract(object: Borrowed<'_, 'py, PyAny>) -> PyResult<Self> {
        Ok(Self { object: object.to_owned(), unit: PhantomData })
    }
}

impl<U: Unit> Input<'_, U> {
    /// The value, kept as written; `name` is the argument's.
    pub(super) fn value<D: Dimension>(&self, name: &str) -> PyResult<Value<D>> {
        let parse = |text: &str| Value::parse(name, text).map_err(errors::to_py);
        if let Ok(uncertain) = self.object.cast::<Uncertain>() {
            return parse(&uncertain.get().text);
        }
        if let Ok(text) = self.object.cast::<PyString>() {
            return parse(&text.to_cow()?);
        }
        let Some(number) = single::<U>(&self.object, name)? else {
            return Err(refused::<U>(&self.object, name));
        };
        let exact = crate::numeric::check::finite(name, number).and_then(|n| Value::exact(n, U::SYMBOL));
        exact.map_err(errors::to_py)
    }
}

/// A value with its uncertainty, in the words of JCGM 100.
///
/// Any quantity of a circuit or an event may be one. Each has a text, which files use as well.
///
/// Parameters
/// ----------
/// text : str
///     Such as ``"0.35(5) L"`` (standard uncertainty in the last digits), ``"0.35 +/- 0.10 L k=2"`` (expanded
///     uncertainty), ``"0.30 .. 0.40 L"`` (limits), or any form that ``str()`` of an `Uncertain` gives.
///
/// Raises
/// ------
/// QuantityError
///     If the text cannot be read; a ``±`` without its ``k`` is refused.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.Uncertain("0.35(5) L").standard_uncertainty
/// 0.05
/// >>> fm.Uncertain.rectangular(0.30, 0.40, "L")
/// Uncertain('0.3 .. 0.4 L')
#[pyclass(frozen, eq, module = "fillmark")]
#[derive(PartialEq)]
pub(super) struct Uncertain {
    text: String,
    unit: &'static units::Unit,
    distribution: units::Distribution,
}

impl Uncertain {
    fn read(text: &str) -> Result<Self, QuantityError> {
        let (distribution, unit) = units::parse_any("value", text)?;
        Ok(Self { text: text.trim().to_owned(), unit, distribution })
    }
}

impl Uncertain {
    /// The text it is written as.
    pub(super) fn text(&self) -> &str {
        &self.text
    }
}

pub(super) fn made(text: &str) -> PyResult<Uncertain> {
    Uncertain::read(text).map_err(errors::to_py)
}

#[pymethods]
impl Uncertain {
    #[new]
    fn new(text: &str) -> PyResult<Self> {
        made(text)
    }

    /// Normal distribution (JCGM 101, 6.4.7).
    ///
    /// Parameters
    /// ----------
    /// mean : float
    ///     Expectation, in `unit`.
    /// standard_uncertainty : float
    ///     Above 0, in `unit`.
    /// unit : str
    ///     Such as ``"L"``, ``"mm"``, ``"US qt"``.
    ///
    /// Returns
    /// -------
    /// Uncertain
    #[staticmethod]
    fn normal(mean: f64, standard_uncertainty: f64, unit: &str) -> PyResult<Self> {
        made(&format!("normal({mean}, {standard_uncertainty}) {unit}"))
    }

    /// Rectangular distribution between limits (JCGM 101, 6.4.2).
    ///
    /// Parameters
    /// ----------
    /// low, high : float
    ///     The limits, in `unit`.
    /// unit : str
    ///     Such as ``"L"``.
    ///
    /// Returns
    /// -------
    /// Uncertain
    #[staticmethod]
    fn rectangular(low: f64, high: f64, unit: &str) -> PyResult<Self> {
        made(&format!("{low} .. {high} {unit}"))
    }

    /// Triangular distribution between limits with its peak at `mode`.
    ///
    /// Parameters
    /// ----------
    /// low, mode, high : float
    ///     In `unit`.
    /// unit : str
    ///     Such as ``"L"``.
    ///
    /// Returns
    /// -------
    /// Uncertain
    #[staticmethod]
    fn triangular(low: f64, mode: f64, high: f64, unit: &str) -> PyResult<Self> {
        made(&format!("triangular({low}, {mode}, {high}) {unit}"))
    }

    /// Lognormal distribution: the logarithm is normal.
    ///
    /// Parameters
    /// ----------
    /// median : float
    ///     In `unit`.
    /// sigma : float
    ///     Standard deviation of the natural logarithm.
    /// unit : str
    ///     Such as ``"L"``.
    ///
    /// Returns
    /// -------
    /// Uncertain
    #[staticmethod]
    fn lognormal(median: f64, sigma: f64, unit: &str) -> PyResult<Self> {
        made(&format!("lognormal({median}, {sigma}) {unit}"))
    }

    /// Normal distribution cut off at limits.
    ///
    /// Parameters
    /// ----------
    /// mean, standard_uncertainty : float
    ///     Of the distribution before it is cut, in `unit`.
    /// low, high : float
    ///     The limits, in `unit`.
    /// unit : str
    ///     Such as ``"L"``.
    ///
    /// Returns
    /// -------
    /// Uncertain
    #[staticmethod]
    fn truncated(mean: f64, standard_uncertainty: f64, low: f64, high: f64, unit: &str) -> PyResult<Self> {
        made(&format!("truncated({mean}, {standard_uncertainty}, {low}, {high}) {unit}"))
    }

    /// Nominal value, in the unit of the text: mean, midpoint, or median of a lognormal.
    #[getter]
    fn nominal(&self) -> f64 {
        self.unit.from_si(self.distribution.nominal())
    }

    /// Standard uncertainty, in the unit of the text.
    #[getter]
    fn standard_uncertainty(&self) -> f64 {
        self.unit.difference_from_si(self.distribution.standard_deviation(), self.distribution.nominal())
    }

    /// Unit of the text.
    #[getter]
    fn unit(&self) -> &'static str {
        self.unit.symbol()
    }

    fn __str__(&self) -> &str {
        &self.text
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        Ok(format!("Uncertain({})", PyString::new(py, &self.text).repr()?))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let keywords = PyDict::new(py);
        keywords.set_item("text", &self.text)?;
        reduce::<Self>(py, "", keywords)
    }
}
