//! Which measurement would help most, for Python.

use std::fmt::Write;

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

use super::arrays::{Field, ToArray, add_columns, texts};
use super::detach::run_reporting;
use super::model::{
    Calls, Correlations, Inputs, Model, Progress, RESULT, of_service, read_correlations, read_inputs, service_of,
};
use super::rebuild::reduce;
use super::sensitivity::{given, of_name, options_of, the_one};
use crate::Error;
use crate::estimate::{
    Index, SensitivityOptions, ServiceModel, Worth, WorthMeasuring as CoreWorthMeasuring, worth_measuring_by,
};
use crate::units::Distribution;

/// Finds which measurement would help most: how much of a result's variance would go if an input were known better.
///
/// ``known`` is the share that would go, on average, if the input were known exactly: its first-order Sobol' index. ``halved`` is
/// the share that would go if it lay half as far from its mean in every draw, so that its standard uncertainty were half as
/// large; where the result is a sum with a term of its own for the input, three quarters of ``known``. Correlated inputs are
/// measured together.
///
/// Parameters
/// ----------
/// model : Circuit or callable
///     As in `propagate`. It is evaluated ``replicates*draws*(2*groups + 2)`` times.
/// inputs : sequence of Event, or mapping of str to Uncertain, float or str
///     As in `propagate`.
/// of : str, optional
///     Name of the result, as in `sensitivity`.
/// correlations, correlation_of, method, draws, replicates, coverage, seed, progress : object
///     As in `sensitivity`.
///
/// Returns
/// -------
/// WorthMeasuring
///     The inputs, the most worthwhile first.
///
/// Raises
/// ------
/// EstimateError
///     If the result does not vary, or as in `propagate`.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> bus = fm.Circuit.demo("shuttle-bus").replace({"instruments.jug.scale": "1.00(4)"})
/// >>> service = [fm.Drain(minutes=10), fm.Pour(6.5, measured_with="jug"), fm.Run(minutes=1), fm.Rest(minutes=5)]
/// >>> fm.worth_measuring(bus, service, draws=256).columns()["input"][0].item()
/// 'instruments.jug.scale'
#[pyfunction]
#[pyo3(signature = (model, inputs, *, of=None, correlations=None, correlation_of="scores", method="sobol", draws=1024, replicates=16, coverage=0.95, seed=1, progress=None))]
#[allow(clippy::too_many_arguments)] // keyword-only in Python
pub(super) fn worth_measuring(
    py: Python<'_>,
    model: Model<'_>,
    inputs: Inputs<'_>,
    of: Option<String>,
    correlations: Option<Correlations<'_>>,
    correlation_of: &str,
    method: &str,
    draws: i64,
    replicates: i64,
    coverage: f64,
    seed: i128,
    progress: Option<Progress<'_>>,
) -> PyResult<WorthMeasuring> {
    let options = options_of(method, draws, replicates, coverage, seed)?;
    if let Some((circuit, events)) = service_of(&model, &inputs)? {
        let ties = read_correlations(correlations.as_ref(), correlation_of)?;
        let found = run_reporting(py, progress.as_ref().map(|p| &p.0), move |stop, report| {
            let model = of_service(&circuit, &events, of.as_deref(), &ties)?;
            let options = SensitivityOptions { stop: Some(stop), progress: Some(report), ..options };
            let inner = the_one(crate::estimate::worth_measuring(&model, model.inputs(), &options)?);
            Ok::<_, Error>(inner.map(|inner| WorthMeasuring { known: Known::of(&model, &inner), inner }))
        })?;
        return given(found);
    }
    let inputs = read_inputs(&inputs, correlations.as_ref(), correlation_of)?;
    let mut calls = Calls::new(&model, progress.as_ref(), &inputs)?;
    let all = worth_measuring_by(&mut calls, &inputs, &options)?;
    let inner = of_name(all, of.as_deref().unwrap_or(RESULT), |w| &w.result)?;
    Ok(WorthMeasuring { inner, known: None })
}

/// What is known of the inputs of a service now, row by row.
#[derive(Debug, Clone, PartialEq)]
struct Known {
    /// Standard uncertainty in the unit shown, with that unit; of inputs that hang together the first one's.
    uncertainty: Vec<(f64, String)>,
    judgement: Vec<bool>,
}

impl Known {
    fn of(model: &ServiceModel, found: &CoreWorthMeasuring) -> Option<Self> {
        let u = |worth: &Worth| {
            let input = model.inputs().index(worth.inputs.first()?).ok()?;
            let stated: &Distribution = &model.inputs().distributions()[input];
            let (mean, u) = (stated.mean(), stated.standard_uncertainty());
            // The difference of two values: a temperature's unit has another zero.
            let ((above, unit), (at, _)) = (model.shown(input, mean + u), model.shown(input, mean));
            Some((above - at, unit.to_owned()))
        };
        Some(Self {
            uncertainty: found.worth.iter().map(u).collect::<Option<_>>()?,
            judgement: found.worth.iter().map(|w| model.any_judgement(&w.inputs)).collect(),
        })
    }
}

/// What measuring would be worth. Made by `worth_measuring`; prints as a table.
#[pyclass(frozen, eq, module = "fillmark")]
#[derive(PartialEq)]
pub(super) struct WorthMeasuring {
    inner: CoreWorthMeasuring,
    known: Option<Known>,
}

/// What a row is rebuilt from: inputs; known and halved, each with its half-width.
type Part = (Vec<String>, (f64, f64), (f64, f64));
/// What is known of the inputs now: uncertainties with their units, judgement.
type KnownPart = (Vec<(f64, String)>, Vec<bool>);

#[pymethods]
impl WorthMeasuring {
    /// Rebuilds what a pickle holds.
    #[staticmethod]
    fn _restore(result: String, standard_uncertainty: f64, worth: Vec<Part>, known: Option<KnownPart>) -> Self {
        let index = |(value, half_width)| Index { value, half_width };
        let worth = worth.into_iter().map(|(inputs, known, halved)| Worth {
            inputs,
            known: index(known),
            halved: index(halved),
        });
        let known = known.map(|(uncertainty, judgement)| Known { uncertainty, judgement });
        Self { inner: CoreWorthMeasuring { result, standard_uncertainty, worth: worth.collect() }, known }
    }

    /// Name of the result.
    #[getter]
    fn result(&self) -> &str {
        &self.inner.result
    }

    /// Standard deviation of the result now.
    #[getter]
    fn standard_uncertainty(&self) -> f64 {
        self.inner.standard_uncertainty
    }

    /// One row for each input or group of correlated inputs, the one first whose exact knowledge would remove most variance.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``input`` (names joined by ``" + "``), ``known`` and ``halved`` (shares of the variance that would go), each with
    ///     the half-width of its coverage interval, ``known_half_width`` and ``halved_half_width``. Of a service also
    ///     ``standard_uncertainty`` of the input now with its ``unit`` (of a group that of the first), and ``judgement``.
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let worth = &self.inner.worth;
        let columns = PyDict::new(py);
        let names: Vec<String> = worth.iter().map(|w| w.inputs.join(" + ")).collect();
        columns.set_item("input", texts(py, names.iter().map(String::as_str).collect())?)?;
        let fields: [Field<Worth>; 4] = [
            ("known", |w| w.known.value),
            ("known_half_width", |w| w.known.half_width),
            ("halved", |w| w.halved.value),
            ("halved_half_width", |w| w.halved.half_width),
        ];
        add_columns(&columns, worth, &fields)?;
        if let Some(known) = &self.known {
            let fields: [Field<(f64, String)>; 1] = [("standard_uncertainty", |u| u.0)];
            add_columns(&columns, &known.uncertainty, &fields)?;
            columns.set_item("unit", texts(py, known.uncertainty.iter().map(|u| u.1.as_str()).collect())?)?;
            columns.set_item("judgement", known.judgement.clone().array(py)?)?;
        }
        Ok(columns)
    }

    fn __str__(&self) -> String {
        let names: Vec<String> = self.inner.worth.iter().map(|w| w.inputs.join(" + ")).collect();
        let width = names.iter().map(|name| name.chars().count()).max().unwrap_or(0).max(5);
        let mut text = format!(
            "share of the variance of {} that would go\n{:width$}  {:>15}  {:>15}",
            self.result(),
            "input",
            "if known",
            "if u halved"
        );
        for (row, (name, w)) in names.iter().zip(&self.inner.worth).enumerate() {
            // No share is less than nothing but by rounding: it is not shown as `-0.000`.
            let index = |i: &Index| format!("{:.3} ± {:.3}", (i.value * 1e3).round() / 1e3 + 0.0, i.half_width);
            let _ = write!(text, "\n{name:width$}  {:>15}  {:>15}", index(&w.known), index(&w.halved));
            if let Some(known) = &self.known {
                let (u, unit) = &known.uncertainty[row];
                let unit = if unit == "1" { String::new() } else { format!(" {unit}") };
                let mark = if known.judgement[row] { ", judgement" } else { "" };
                let _ = write!(text, "  u = {u:.4}{unit}{mark}");
            }
        }
        text
    }

    fn __repr__(&self) -> String {
        let row = |w: &Worth| format!("{} {:.3}", w.inputs.join(" + "), (w.known.value * 1e3).round() / 1e3 + 0.0);
        let list: Vec<String> = self.inner.worth.iter().map(row).collect();
        format!("<share of the variance of {} that knowing would remove: {}>", self.result(), list.join(", "))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let index = |i: &Index| (i.value, i.half_width);
        let parts: Vec<Part> =
            self.inner.worth.iter().map(|w| (w.inputs.clone(), index(&w.known), index(&w.halved))).collect();
        let keywords = PyDict::new(py);
        keywords.set_item("result", self.result())?;
        keywords.set_item("standard_uncertainty", self.standard_uncertainty())?;
        keywords.set_item("worth", parts)?;
        let known: Option<KnownPart> = self.known.as_ref().map(|k| (k.uncertainty.clone(), k.judgement.clone()));
        keywords.set_item("known", known)?;
        reduce::<Self>(py, "_restore", keywords)
    }
}
