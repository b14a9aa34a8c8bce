//! Arguments that may be uncertain: a number, text with a unit, a quantity object, or an [`Uncertain`].

use std::marker::PhantomData;

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyString, PyTuple};

use super::arrays::Values;
use super::errors;
use super::quantity::{refused, single};
use super::rebuild::reduce;
use super::text::Text;
use super::unit::{One, Unit};
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

impl<'py, U: Unit> Input<'py, U> {
    /// What was given.
    pub(super) fn object(&self) -> &Bound<'py, PyAny> {
        &self.object
    }

    /// The value, kept as written; `name` is the argument's.
    pub(super) fn value<D: Dimension>(&self, name: &str) -> PyResult<Value<D>> {
        let parse = |text: &str| Value::parse(name, text).map_err(errors::to_py);
        if let Ok(uncertain) = self.object.cast::<Uncertain>() {
            return parse(&uncertain.get().text);
        }
        if let Ok(unknown) = self.object.cast::<super::explain::Unknown>() {
            let super::explain::Unknown { name: called, prior } = unknown.get();
            let table = serde_json::json!({ "unknown": { "name": called, "prior": prior } });
            let table = table.as_object().cloned().unwrap_or_default();
            return Value::from_table(name, table).map_err(errors::to_py);
        }
        if let Ok(text) = self.object.cast::<PyString>() {
            return parse(&super::text::of(name, text)?);
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
    /// In the numbers of the text.
    distribution: units::Distribution,
}

impl Uncertain {
    fn read(text: &str) -> Result<Self, QuantityError> {
        let (distribution, unit) = units::parse_as_written("value", text)?;
        Ok(Self { text: text.trim().to_owned(), unit, distribution })
    }
}

impl Uncertain {
    /// The text it is written as.
    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// Its distribution, in the unit of the text.
    pub(super) fn distribution(&self) -> &units::Distribution {
        &self.distribution
    }
}

pub(super) fn made(text: &str) -> PyResult<Uncertain> {
    Uncertain::read(text).map_err(errors::to_py)
}

#[pymethods]
impl Uncertain {
    #[new]
    #[allow(clippy::needless_pass_by_value)] // as an argument comes
    fn new(text: Text) -> PyResult<Self> {
        made(&text)
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
    #[pyo3(signature = (mean, standard_uncertainty, unit="1"))]
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
    /// limits_within : float, optional
    ///     How far each limit may itself lie from what is said, at most half of ``high - low``: then the distribution is the
    ///     curvilinear trapezoid of JCGM 101, 6.4.3, with standard deviation ``sqrt((high - low)**2/12 + limits_within**2/9)``.
    ///
    /// Returns
    /// -------
    /// Uncertain
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> fm.Uncertain.rectangular(-0.05, 0.05, "K", limits_within=0.025).degrees_of_freedom
    /// 2.0
    #[staticmethod]
    #[pyo3(signature = (low, high, unit="1", *, limits_within=None))]
    fn rectangular(low: f64, high: f64, unit: &str, limits_within: Option<f64>) -> PyResult<Self> {
        match limits_within {
            None => made(&format!("{low} .. {high} {unit}")),
            Some(within) => made(&format!("rectangular({low}, {high}, {within}) {unit}")),
        }
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
    #[pyo3(signature = (low, mode, high, unit="1"))]
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
    #[pyo3(signature = (median, sigma, unit="1"))]
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
    #[pyo3(signature = (mean, standard_uncertainty, low, high, unit="1"))]
    fn truncated(mean: f64, standard_uncertainty: f64, low: f64, high: f64, unit: &str) -> PyResult<Self> {
        made(&format!("truncated({mean}, {standard_uncertainty}, {low}, {high}) {unit}"))
    }

    /// Arcsine (U-shaped) distribution between limits: a quantity that swings as a sine (JCGM 101, 6.4.6).
    ///
    /// Its standard deviation is ``(high - low)/sqrt(8)``.
    ///
    /// Parameters
    /// ----------
    /// low, high : float
    ///     The limits, in `unit`.
    /// unit : str
    ///     Such as ``"degC"``.
    ///
    /// Returns
    /// -------
    /// Uncertain
    #[staticmethod]
    #[pyo3(signature = (low, high, unit="1"))]
    fn arcsine(low: f64, high: f64, unit: &str) -> PyResult<Self> {
        made(&format!("arcsine({low}, {high}) {unit}"))
    }

    /// PERT: the beta distribution of a lowest, a most likely and a highest value.
    ///
    /// Its mean is ``(low + 4*mode + high)/6`` (Malcolm, Roseboom, Clark and Fazar 1959, Operations Research 7:646); its
    /// shapes are ``1 + 4*(mode - low)/(high - low)`` and ``1 + 4*(high - mode)/(high - low)``.
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
    #[pyo3(signature = (low, mode, high, unit="1"))]
    fn pert(low: f64, mode: f64, high: f64, unit: &str) -> PyResult<Self> {
        made(&format!("pert({low}, {mode}, {high}) {unit}"))
    }

    /// Beta distribution stretched to limits.
    ///
    /// Parameters
    /// ----------
    /// low, high : float
    ///     The limits, in `unit`.
    /// alpha, beta : float
    ///     The shapes, 0.1 to 100 000, without unit.
    /// unit : str
    ///     Such as ``"L"``.
    ///
    /// Returns
    /// -------
    /// Uncertain
    #[staticmethod]
    #[pyo3(signature = (low, high, alpha, beta, unit="1"))]
    fn beta(low: f64, high: f64, alpha: f64, beta: f64, unit: &str) -> PyResult<Self> {
        made(&format!("beta({low}, {high}, {alpha}, {beta}) {unit}"))
    }

    /// Scaled and shifted t-distribution: few degrees of freedom (JCGM 101, 6.4.9).
    ///
    /// For the mean of n readings with experimental standard deviation s, state ``s/sqrt(n)`` and ``n - 1``; for a
    /// certificate, ``U/k`` and its effective degrees of freedom.
    ///
    /// Parameters
    /// ----------
    /// estimate : float
    ///     In `unit`.
    /// standard_uncertainty : float
    ///     As stated, above 0, in `unit`. The standard deviation of the distribution is larger by ``sqrt(v/(v - 2))``.
    /// degrees_of_freedom : float
    ///     v, 1 or more.
    /// unit : str
    ///     Such as ``"L"``.
    ///
    /// Returns
    /// -------
    /// Uncertain
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> mean_of_five = fm.Uncertain.t(43.2, 0.4, 4, "mm")
    /// >>> mean_of_five.standard_uncertainty, round(mean_of_five.standard_deviation, 4)
    /// (0.4, 0.5657)
    #[staticmethod]
    #[pyo3(signature = (estimate, standard_uncertainty, degrees_of_freedom, unit="1"))]
    fn t(estimate: f64, standard_uncertainty: f64, degrees_of_freedom: f64, unit: &str) -> PyResult<Self> {
        made(&format!("t({estimate}, {standard_uncertainty}, {degrees_of_freedom}) {unit}"))
    }

    /// Each of these values with the same probability: draws from an earlier analysis.
    ///
    /// A draw is one of the values, never a number between two of them.
    ///
    /// Parameters
    /// ----------
    /// values : sequence of float
    ///     Two or more, finite, not all equal, in `unit`.
    /// unit : str
    ///     Such as ``"L"``.
    ///
    /// Returns
    /// -------
    /// Uncertain
    #[staticmethod]
    #[pyo3(signature = (values, unit="1"))]
    fn samples(values: Values<'_, One>, unit: &str) -> PyResult<Self> {
        let numbers: Vec<String> = values.read("values")?.flat().iter().map(ToString::to_string).collect();
        made(&format!("samples({}) {unit}", numbers.join(", ")))
    }

    /// Nominal value, in the unit of the text: mean, midpoint, or median of a lognormal.
    #[getter]
    fn nominal(&self) -> f64 {
        self.distribution.nominal()
    }

    /// Expectation, in the unit of the text; of a t-distribution its centre.
    #[getter]
    fn mean(&self) -> f64 {
        self.distribution.mean()
    }

    /// Median, in the unit of the text.
    #[getter]
    fn median(&self) -> f64 {
        self.distribution.quantile(0.5)
    }

    /// Standard uncertainty, in the unit of the text, as JCGM 100 uses it: as stated where it comes with degrees of freedom.
    #[getter]
    fn standard_uncertainty(&self) -> f64 {
        self.distribution.standard_uncertainty()
    }

    /// Standard deviation of the distribution, in the unit of the text; infinite for two or fewer degrees of freedom.
    #[getter]
    fn standard_deviation(&self) -> f64 {
        self.distribution.standard_deviation()
    }

    /// Degrees of freedom of the standard uncertainty (JCGM 100, G.3 and G.4.2); infinite where it is taken as exact.
    #[getter]
    fn degrees_of_freedom(&self) -> f64 {
        self.distribution.degrees_of_freedom()
    }

    /// Value below which the quantity falls with a probability: the inverse of `cdf`.
    ///
    /// Parameters
    /// ----------
    /// probability : float
    ///     0 to 1; the ends give the limits, which may be infinite.
    ///
    /// Returns
    /// -------
    /// float
    ///     In the unit of the text.
    ///
    /// Raises
    /// ------
    /// QuantityError
    ///     If the probability is out of range.
    fn quantile(&self, probability: f64) -> PyResult<f64> {
        let p = crate::numeric::check::in_range("probability", probability, 0.0, 1.0, "");
        Ok(self.distribution.quantile(p.map_err(errors::to_py)?))
    }

    /// Probability that the quantity is at most `value`.
    ///
    /// Parameters
    /// ----------
    /// value : float
    ///     In the unit of the text.
    ///
    /// Returns
    /// -------
    /// float
    ///     0 to 1.
    fn cdf(&self, value: f64) -> PyResult<f64> {
        let value = crate::numeric::check::finite("value", value).map_err(errors::to_py)?;
        Ok(self.distribution.cdf(value))
    }

    /// Probabilistically symmetric coverage interval.
    ///
    /// Parameters
    /// ----------
    /// probability : float
    ///     Greater than 0, less than 1.
    ///
    /// Returns
    /// -------
    /// tuple of float
    ///     Its two ends, in the unit of the text.
    ///
    /// Raises
    /// ------
    /// QuantityError
    ///     If the probability is out of range.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> fm.Uncertain("0.30 .. 0.40 L").interval(0.5)
    /// (0.325, 0.375)
    #[pyo3(signature = (probability=0.95))]
    fn interval(&self, probability: f64) -> PyResult<(f64, f64)> {
        let p = crate::numeric::check::in_range("probability", probability, 1e-9, 1.0 - 1e-9, "");
        let p = p.map_err(errors::to_py)?;
        Ok((self.distribution.quantile(0.5 * (1.0 - p)), self.distribution.quantile(f64::midpoint(1.0, p))))
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
