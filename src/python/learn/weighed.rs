//! Residue from weighed drains, for Python.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use uom::si::f64::Mass;
use uom::si::mass::kilogram;

use super::super::arrays::{ToArray, Values};
use super::super::circuit::Circuit;
use super::super::detach::run_detached;
use super::super::errors;
use super::super::estimate::counts;
use super::super::quantity::Scalar;
use super::super::unit::{Kilogram, KilogramPerCubicMetre, Litre, One};
use super::super::value::Input;
use super::{Band, Call, add_bands, keep};
use crate::infer::learn::{WeighedOptions, WeighedResidue as Core};

/// Finds what drains left in a circuit, from what was in and what was weighed out.
///
/// ``R_i = V - c m_i/ρ - F``: before each drain the circuit held ``V``, the scale showed ``m_i``, the filter took ``F`` away. Mass needs no temperature: with the
/// density at the temperature for which `held_l` is meant, so is the residue. The errors of ``V``, ``ρ``, ``c`` and ``F`` are shared by all services and do not
/// shrink with their number. What differs from service to service is normal: the residue itself with `service_scatter_l`, whose prior the scatter of the masses
/// sharpens (a hierarchical model: Gelman et al., Bayesian Data Analysis, 3rd ed., 5.4), the rest with `held_scatter_l` and `weighing_kg`. Distributions are propagated by Monte
/// Carlo (JCGM 101).
///
/// Parameters
/// ----------
/// drained_kg : array_like
///     Mass drained in each service, tare taken off [kg]; 1 to 500 services.
/// held_l : quantity
///     In the circuit before each drain, filter and stores included [L], such as the dry capacity where the reading stood at MAX.
/// density_kg_m3 : quantity
///     Density of the old oil [kg/m3] at the temperature for which `held_l` is meant.
/// held_scatter_l : quantity
///     Standard uncertainty of what a single service began with, such as of the reading before it [L].
/// service_scatter_l : quantity, optional
///     Standard deviation of the residue from service to service [L], such as by temperature and time; 0 where such drains do not differ. Where not given,
///     lognormal with median 1 % of `held_l` and 0.7 as standard deviation of its logarithm (judgement).
/// scale : quantity
///     True mass over what the scale shows, such as ``"1.000(2)"``.
/// weighing_kg : quantity
///     Standard uncertainty of a single weighing, tare included [kg]; 0.005 where not given (judgement).
/// filter_l : quantity
///     What went away inside the old filter [L].
/// coverage : float
///     Coverage probability of the bands, 0.5 to 0.999.
/// draws, seed : int
///     Draws, 100 to 1 000 000, and their seed.
///
/// Returns
/// -------
/// WeighedResidue
///     Residue of each service, of such drains in the mean, and of the next.
///
/// Raises
/// ------
/// QuantityError
///     If a number is not finite or out of range.
/// LearnError
///     If there is no service, or more came out than was in, by over three standard uncertainties.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> found = fm.weighed_residue([5.91, 5.87, 5.95], held_l="7.90(5) L", density_kg_m3="868(3) kg/m3", filter_l="0.38(3) L")
/// >>> found.residue_l.low < 0.71 < found.residue_l.high
/// True
#[pyfunction]
#[pyo3(signature = (drained_kg, *, held_l, density_kg_m3, held_scatter_l=None, service_scatter_l=None, scale=None, weighing_kg=None, filter_l=None, coverage=0.95, draws=10_000, seed=1))]
#[allow(clippy::too_many_arguments)] // keyword-only in Python
pub(in crate::python) fn weighed_residue(
    py: Python<'_>,
    drained_kg: Values<'_, Kilogram>,
    held_l: Input<'_, Litre>,
    density_kg_m3: Input<'_, KilogramPerCubicMetre>,
    held_scatter_l: Option<Scalar<'_, Litre>>,
    service_scatter_l: Option<Input<'_, Litre>>,
    scale: Option<Input<'_, One>>,
    weighing_kg: Option<Scalar<'_, Kilogram>>,
    filter_l: Option<Input<'_, Litre>>,
    coverage: f64,
    draws: i64,
    seed: i128,
) -> PyResult<WeighedResidue> {
    let (draws, seed) = counts(draws, seed)?;
    let made = PyDict::new(py);
    let drained = drained_kg.read("drained_kg")?;
    made.set_item("drained_kg", drained.as_keyword(py)?)?;
    let given = [
        ("held_l", Some(held_l.object())),
        ("density_kg_m3", Some(density_kg_m3.object())),
        ("service_scatter_l", service_scatter_l.as_ref().map(Input::object)),
        ("scale", scale.as_ref().map(Input::object)),
        ("filter_l", filter_l.as_ref().map(Input::object)),
    ];
    given.iter().try_for_each(|(name, value)| keep(&made, name, *value))?;
    let mut options = WeighedOptions::new(held_l.value("held_l")?, density_kg_m3.value("density_kg_m3")?);
    if let Some(scatter) = held_scatter_l {
        made.set_item("held_scatter_l", scatter.number("held_scatter_l")?)?;
        options.held_scatter = scatter.si("held_scatter_l")?;
    }
    if let Some(scatter) = service_scatter_l {
        options.service_scatter = scatter.value("service_scatter_l")?;
    }
    if let Some(scale) = scale {
        options.scale = scale.value("scale")?;
    }
    if let Some(weighing) = weighing_kg {
        made.set_item("weighing_kg", weighing.number("weighing_kg")?)?;
        options.weighing = weighing.si("weighing_kg")?;
    }
    if let Some(filter) = filter_l {
        options.filter = filter.value("filter_l")?;
    }
    options = WeighedOptions { coverage, draws, seed, ..options };
    made.set_item("coverage", coverage)?;
    made.set_item("draws", draws)?;
    made.set_item("seed", seed)?;
    let drained: Vec<Mass> = drained.flat().iter().map(|m| Mass::new::<kilogram>(*m)).collect();
    let inner = run_detached(py, move || crate::infer::learn::weighed_residue(&drained, &options))?;
    Ok(WeighedResidue { inner, coverage, call: Call::new("weighed_residue", made) })
}

/// Residue of drained and weighed services. Made by `weighed_residue`; prints as a summary.
#[pyclass(frozen, eq, module = "fillmark")]
pub(in crate::python) struct WeighedResidue {
    inner: Core,
    coverage: f64,
    call: Call,
}

impl PartialEq for WeighedResidue {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner && self.coverage == other.coverage
    }
}

#[pymethods]
impl WeighedResidue {
    /// Mean residue of such drains [L].
    #[getter]
    fn residue_l(&self) -> Band {
        Band::of(self.inner.mean, 1e3, "L", self.coverage)
    }

    /// Residue of the next such drain [L].
    #[getter]
    fn next_l(&self) -> Band {
        Band::of(self.inner.next, 1e3, "L", self.coverage)
    }

    /// Standard deviation from service to service [L]; None of one service.
    #[getter]
    fn spread_l(&self) -> Option<f64> {
        self.inner.spread.map(|s| s * 1e3)
    }

    /// Shares of the variance of the mean by input, to first order.
    ///
    /// Returns
    /// -------
    /// dict of str to float
    ///     ``held``, ``density``, ``scale``, ``filter`` (shared by all services) and ``single services``; together 1.
    fn shares<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let shares = PyDict::new(py);
        self.inner.shares.iter().try_for_each(|(name, share)| shares.set_item(name, share))?;
        Ok(shares)
    }

    /// One entry for each service.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``service`` (its number, from 0); ``residue_l`` with ``low_`` and ``high_``.
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let columns = PyDict::new(py);
        let count = self.inner.services.len() as u64;
        columns.set_item("service", (0..count).collect::<Vec<_>>().array(py)?)?;
        add_bands(&columns, "residue_l", &self.inner.services, 1e3)?;
        Ok(columns)
    }

    /// A circuit whose book has this residue (``book.residue``).
    ///
    /// Where the book gives a dry capacity, that less the service capacity goes before it.
    ///
    /// Parameters
    /// ----------
    /// circuit : Circuit
    ///     With a ``[book]``.
    ///
    /// Returns
    /// -------
    /// Circuit
    ///     A changed copy.
    ///
    /// Raises
    /// ------
    /// CircuitError
    ///     If the circuit has no book.
    fn apply<'py>(&self, circuit: &Bound<'py, Circuit>) -> PyResult<Bound<'py, PyAny>> {
        let py = circuit.py();
        let normal = PyDict::new(py);
        for (path, value) in self.inner.changes() {
            normal.set_item(path, errors::to_object(py, &value)?)?;
        }
        circuit.call_method1("replace", (normal,))
    }

    fn __str__(&self) -> String {
        self.inner.to_string()
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.call.repr(py)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.call.reduce(py)
    }
}
