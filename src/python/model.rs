//! A Python function as a model: called with arrays by name, block after block, on the thread of the interpreter.

use numpy::PyReadonlyArrayDyn;
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyString, PyTuple};

use super::arrays::{ToArray, refuse_masked};
use super::circuit::Circuit;
use super::errors;
use super::events::Events;
use super::quantity::shown;
use super::value::{Uncertain, made};
use crate::Error;
use crate::circuit::Circuit as CoreCircuit;
use crate::estimate::{
    Block, Correlation, CorrelationOf, EstimateError, Evaluator, FINAL_FRACTION, Fill, Inputs as CoreInputs,
    ServiceModel, Work, finite,
};
use crate::service::Event as CoreEvent;
use crate::units::Distribution;

/// Rows that the function gets at a time: some milliseconds of drawing.
const ROWS: usize = 8192;
/// Name of the one result of a function that gives an array.
pub(super) const RESULT: &str = "result";

/// An argument that is taken as it comes and has a type of its own in the stub.
macro_rules! taken_as_it_comes {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        pub(super) struct $name<'py>(pub(super) Bound<'py, PyAny>);

        impl<'py> FromPyObject<'_, 'py> for $name<'py> {
            type Error = PyErr;
            #[cfg(feature = "stubs")]
            const INPUT_TYPE: pyo3::inspect::PyStaticExpr =
                pyo3::type_hint_identifier!("fillmark._types", stringify!($name));

            fn extract(object: Borrowed<'_, 'py, PyAny>) -> PyResult<Self> {
                Ok(Self(object.to_owned()))
            }
        }
    };
}

taken_as_it_comes!(
    /// The function.
    Model
);
taken_as_it_comes!(
    /// What is known of each input.
    Inputs
);
taken_as_it_comes!(
    /// Coefficients of pairs of inputs.
    Correlations
);
taken_as_it_comes!(
    /// The function that is told how far the work is.
    Progress
);

/// The service where the model is a circuit; its inputs are then the events.
pub(super) fn service_of(model: &Model<'_>, inputs: &Inputs<'_>) -> PyResult<Option<(CoreCircuit, Vec<CoreEvent>)>> {
    let Ok(circuit) = model.0.cast::<Circuit>() else {
        return Ok(None);
    };
    let events = Events(inputs.0.clone()).read("events")?;
    Ok(Some((circuit.get().inner.clone(), events)))
}

/// The one result that is asked for: of a service its end where none is named, of a function its array.
pub(super) fn of_service(
    circuit: &CoreCircuit,
    events: &[CoreEvent],
    of: Option<&str>,
    correlations: &[Correlation],
) -> Result<ServiceModel, Error> {
    let model = ServiceModel::new(circuit, events)?.correlated(correlations)?;
    Ok(model.of(of.unwrap_or(FINAL_FRACTION))?)
}

/// The inputs with their correlations.
pub(super) fn read_inputs(
    inputs: &Inputs<'_>,
    correlations: Option<&Correlations<'_>>,
    correlation_of: &str,
) -> PyResult<CoreInputs> {
    let pairs = items("inputs", &inputs.0, "a name and an uncertain value, a number or a text each")?;
    let read = pairs.iter().map(|(name, value)| {
        let name = name
            .cast::<PyString>()
            .map_err(|_| PyTypeError::new_err(format!("inputs has the key {}; a name is text", shown(name))))?;
        let name = name.to_cow()?.into_owned();
        let distribution = distribution(&name, value)?;
        Ok((name, distribution))
    });
    let plain = CoreInputs::new(read.collect::<PyResult<Vec<_>>>()?).map_err(errors::to_py)?;
    let list = read_correlations(correlations, correlation_of)?;
    if list.is_empty() { Ok(plain) } else { plain.correlated(&list).map_err(errors::to_py) }
}

/// The correlations of pairs of inputs.
pub(super) fn read_correlations(
    correlations: Option<&Correlations<'_>>,
    correlation_of: &str,
) -> PyResult<Vec<Correlation>> {
    let of = match correlation_of {
        "scores" => CorrelationOf::Scores,
        "ranks" => CorrelationOf::Ranks,
        other => {
            let text = format!("correlation_of = {other:?}; accepted are \"scores\" and \"ranks\"");
            return Err(errors::quantity(text, "quantity.unknown_word"));
        }
    };
    let Some(correlations) = correlations else {
        return Ok(Vec::new());
    };
    let wanted = "a pair of names and a number each, such as {(\"a\", \"b\"): 0.5}";
    let list = items("correlations", &correlations.0, wanted)?.into_iter().map(|(pair, r)| {
        let refuse = |_: PyErr| {
            PyTypeError::new_err(format!("correlations has {}: {}; wanted is {wanted}", shown(&pair), shown(&r)))
        };
        let (a, b): (String, String) = pair.extract().map_err(refuse)?;
        Ok(Correlation { a, b, r: r.extract().map_err(refuse)?, of })
    });
    list.collect()
}

/// Keys and values of a mapping.
fn items<'py>(
    name: &str,
    mapping: &Bound<'py, PyAny>,
    wanted: &str,
) -> PyResult<Vec<(Bound<'py, PyAny>, Bound<'py, PyAny>)>> {
    if !mapping.hasattr("items")? {
        return Err(PyTypeError::new_err(format!("{name} = {} is no mapping; wanted is {wanted}", shown(mapping))));
    }
    mapping.call_method0("items")?.try_iter()?.map(|item| item?.extract()).collect()
}

fn distribution(name: &str, value: &Bound<'_, PyAny>) -> PyResult<Distribution> {
    if let Ok(uncertain) = value.cast::<Uncertain>() {
        return Ok(uncertain.get().distribution().clone());
    }
    if let Ok(text) = value.cast::<PyString>() {
        return Ok(made(&text.to_cow()?)?.distribution().clone());
    }
    match value.extract::<f64>() {
        Ok(number) => Distribution::exact(name, number).map_err(errors::to_py),
        Err(_) => Err(PyTypeError::new_err(format!(
            "inputs[{name:?}] = {} is neither an Uncertain, nor a number, nor text",
            shown(value)
        ))),
    }
}

/// A function with the names it takes and gives.
pub(super) struct Calls<'a, 'py> {
    py: Python<'py>,
    model: &'a Bound<'py, PyAny>,
    progress: Option<&'a Bound<'py, PyAny>>,
    inputs: &'a [String],
    results: Vec<String>,
}

impl<'a, 'py> Calls<'a, 'py> {
    /// Calls the function once, with every input at its nominal value in two rows, to learn the names of its results.
    pub(super) fn new(
        model: &'a Model<'py>,
        progress: Option<&'a Progress<'py>>,
        inputs: &'a CoreInputs,
    ) -> PyResult<Self> {
        let py = model.0.py();
        let mut this =
            Self { py, model: &model.0, progress: progress.map(|p| &p.0), inputs: inputs.names(), results: Vec::new() };
        let nominals = inputs.distributions().iter().map(|d| vec![d.nominal(); 2]).collect::<Vec<_>>();
        this.results = this.call(&nominals, 2)?.into_iter().map(|(name, _)| name).collect();
        Ok(this)
    }

    /// What the function gives for these columns: names and values.
    fn call(&self, columns: &[Vec<f64>], rows: usize) -> PyResult<Vec<(String, Vec<f64>)>> {
        let keywords = PyDict::new(self.py);
        for (name, column) in self.inputs.iter().zip(columns) {
            keywords.set_item(name, column.clone().array(self.py)?)?;
        }
        let given = self.model.call(PyTuple::empty(self.py), Some(&keywords))?;
        let pairs: Vec<(String, Bound<'py, PyAny>)> = match given.cast::<PyDict>() {
            Ok(dict) => dict.iter().map(|(name, value)| Ok((name.extract()?, value))).collect::<PyResult<_>>()?,
            Err(_) => vec![(RESULT.to_owned(), given)],
        };
        if pairs.is_empty() {
            return Err(errors::to_py(EstimateError::NoResults));
        }
        pairs.into_iter().map(|(name, value)| self.numbers(&name, &value, rows).map(|v| (name, v))).collect()
    }

    fn numbers(&self, result: &str, value: &Bound<'py, PyAny>, rows: usize) -> PyResult<Vec<f64>> {
        refuse_masked(value, result)?;
        let array = self.py.import("numpy")?.call_method1("asarray", (value,))?;
        let kind: String = array.getattr("dtype")?.getattr("kind")?.extract()?;
        if !matches!(kind.as_str(), "f" | "i" | "u" | "b") {
            let text = format!("the model gave {} for {result}; wanted is an array of numbers", shown(value));
            return Err(PyTypeError::new_err(text));
        }
        let array = array.call_method1("astype", ("float64",))?;
        let array: PyReadonlyArrayDyn<'_, f64> = array.extract()?;
        let view = array.as_array();
        if view.shape() != [rows] {
            let found = if view.ndim() == 0 { 1 } else { view.len() };
            let error = EstimateError::WrongLength { result: result.into(), found, wanted: rows };
            return Err(errors::to_py(error));
        }
        Ok(view.iter().copied().collect())
    }
}

impl Evaluator for Calls<'_, '_> {
    type Error = PyErr;

    fn results(&self) -> &[String] {
        &self.results
    }

    fn evaluate(
        &mut self,
        work: &Work<'_>,
        pattern: &dyn Fn(usize) -> Block,
        fill: Fill<'_>,
        out: &mut [Vec<f64>],
    ) -> PyResult<()> {
        let rows = out.first().map_or(0, Vec::len);
        for first in (0..rows).step_by(ROWS) {
            self.py.check_signals()?;
            let n = ROWS.min(rows - first);
            let mut block = pattern(n);
            self.py.detach(|| fill(first, &mut block));
            let given = self.call(block.columns(), n)?;
            for (name, column) in self.results.iter().zip(out.iter_mut()) {
                let unknown = || EstimateError::UnknownResult {
                    result: name.clone(),
                    known: given.iter().map(|(name, _)| name.clone()).collect(),
                };
                let (_, values) =
                    given.iter().find(|(given, _)| given == name).ok_or_else(unknown).map_err(Error::from)?;
                finite(name, first, values).map_err(Error::from)?;
                column[first..first + n].copy_from_slice(values);
            }
            work.finished(n);
            if let (Some(progress), Some(so_far)) = (self.progress, work.so_far()) {
                progress.call1(so_far)?;
            }
        }
        Ok(())
    }
}
