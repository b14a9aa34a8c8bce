//! One input at a time, for Python.

use std::fmt::Write;

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

use super::arrays::{Field, add_columns, texts};
use super::detach::run_interruptible;
use super::model::{Calls, Inputs, Model, RESULT, of_service, read_inputs, service_of};
use super::rebuild::reduce;
use super::sensitivity::{given, of_name, the_one};
use crate::Error;
use crate::estimate::{Bar, ServiceModel, Tornado as CoreTornado, tornado_by};

/// Moves one input at a time to the ends of its coverage interval, with every other at its nominal value.
///
/// A picture for the eye (common practice, no source): it shows no interaction and takes no notice of correlations. The
/// shares of the variance are in `sensitivity`.
///
/// Parameters
/// ----------
/// model : Circuit or callable
///     As in `propagate`.
/// inputs : sequence of Event, or mapping of str to Uncertain, float or str
///     As in `propagate`.
/// of : str, optional
///     Name of the result, as in `sensitivity`.
/// coverage : float
///     Coverage probability of the inputs' intervals, 0.01 to 0.9999: 0.95 moves each between its 2.5 % and 97.5 % quantile.
///
/// Returns
/// -------
/// Tornado
///     The effect of every uncertain input, the largest first.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> inputs = {"a": fm.Uncertain.rectangular(0, 1), "b": fm.Uncertain.rectangular(0, 4)}
/// >>> fm.tornado(lambda a, b: a + b, inputs, coverage=0.5).columns()["input"].tolist()
/// ['b', 'a']
#[pyfunction]
#[pyo3(signature = (model, inputs, *, of=None, coverage=0.95))]
pub(super) fn tornado(
    py: Python<'_>,
    model: Model<'_>,
    inputs: Inputs<'_>,
    of: Option<String>,
    coverage: f64,
) -> PyResult<Tornado> {
    if let Some((circuit, events)) = service_of(&model, &inputs)? {
        let found = run_interruptible(py, move |_| {
            let model = of_service(&circuit, &events, of.as_deref(), &[])?;
            let inner = the_one(crate::estimate::tornado(&model, model.inputs(), coverage)?);
            Ok::<_, Error>(inner.map(|tornado| shown(&model, tornado)))
        })?;
        return given(found);
    }
    let inputs = read_inputs(&inputs, None, "scores")?;
    let mut calls = Calls::new(&model, None, &inputs)?;
    let all = tornado_by(&mut calls, &inputs, coverage)?;
    Ok(Tornado { inner: of_name(all, of.as_deref().unwrap_or(RESULT), |t| &t.result)?, units: None })
}

/// The effects on a service's result, with the ends of its inputs in the units that the package shows.
fn shown(model: &ServiceModel, mut tornado: CoreTornado) -> Tornado {
    let mut units = Vec::with_capacity(tornado.bars.len());
    for bar in &mut tornado.bars {
        let Ok(input) = model.inputs().index(&bar.input) else { continue };
        let ((low, unit), (high, _)) = (model.shown(input, bar.ends.0), model.shown(input, bar.ends.1));
        bar.ends = (low, high);
        units.push(unit.to_owned());
    }
    Tornado { inner: tornado, units: Some(units) }
}

/// The effects of every uncertain input on a result. Made by `tornado`; prints as a table.
#[pyclass(frozen, eq, module = "fillmark")]
#[derive(PartialEq)]
pub(super) struct Tornado {
    inner: CoreTornado,
    /// Unit of every bar's ends, of a service.
    units: Option<Vec<String>>,
}

/// What a bar is rebuilt from: input, its ends, the results there.
type BarParts = (String, (f64, f64), (f64, f64));

#[pymethods]
impl Tornado {
    /// Rebuilds what a pickle holds.
    #[staticmethod]
    fn _restore(result: String, nominal: f64, bars: Vec<BarParts>, units: Option<Vec<String>>) -> Self {
        let bars = bars.into_iter().map(|(input, ends, results)| Bar { input, ends, results }).collect();
        Self { inner: CoreTornado { result, nominal, bars }, units }
    }

    /// Name of the result.
    #[getter]
    fn result(&self) -> &str {
        &self.inner.result
    }

    /// The result with every input at its nominal value.
    #[getter]
    fn nominal(&self) -> f64 {
        self.inner.nominal
    }

    /// One row for each uncertain input, the one that moves the result most first.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``input``, ``low`` and ``high`` (the ends of its interval), ``at_low`` and ``at_high`` (the result there). Of a service
    ///     also ``unit``, that of ``low`` and ``high``.
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let bars = &self.inner.bars;
        let columns = PyDict::new(py);
        columns.set_item("input", texts(py, bars.iter().map(|bar| bar.input.as_str()).collect())?)?;
        let fields: [Field<Bar>; 4] = [
            ("low", |bar| bar.ends.0),
            ("high", |bar| bar.ends.1),
            ("at_low", |bar| bar.results.0),
            ("at_high", |bar| bar.results.1),
        ];
        add_columns(&columns, bars, &fields)?;
        if let Some(units) = &self.units {
            columns.set_item("unit", texts(py, units.iter().map(String::as_str).collect())?)?;
        }
        Ok(columns)
    }

    fn __str__(&self) -> String {
        let width = self.inner.bars.iter().map(|bar| bar.input.chars().count()).max().unwrap_or(0).max(5);
        let mut text = format!("{} = {:.6} at nominal values\n", self.result(), self.nominal());
        let _ = write!(text, "{:width$}  {:>12}  {:>12}  {:>12}  {:>12}", "input", "low", "high", "at low", "at high");
        for (row, bar) in self.inner.bars.iter().enumerate() {
            let (ends, results) = (bar.ends, bar.results);
            let numbers = [ends.0, ends.1, results.0, results.1].map(|x| format!("{x:>12.6}")).join("  ");
            let unit = self.units.as_ref().and_then(|units| units.get(row)).filter(|unit| *unit != "1");
            let unit = unit.map_or_else(String::new, |unit| format!("  (low, high in {unit})"));
            let _ = write!(text, "\n{:width$}  {numbers}{unit}", bar.input);
        }
        text
    }

    fn __repr__(&self) -> String {
        let bar = |bar: &Bar| format!("{} {:.6}", bar.input, bar.swing());
        let list: Vec<String> = self.inner.bars.iter().map(bar).collect();
        format!("<swing of {}: {}>", self.result(), list.join(", "))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let bars: Vec<_> = self.inner.bars.iter().map(|bar| (bar.input.clone(), bar.ends, bar.results)).collect();
        let keywords = PyDict::new(py);
        keywords.set_item("result", self.result())?;
        keywords.set_item("nominal", self.nominal())?;
        keywords.set_item("bars", bars)?;
        keywords.set_item("units", self.units.clone())?;
        reduce::<Self>(py, "_restore", keywords)
    }
}
