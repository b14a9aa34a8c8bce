//! Hypotheses and unknown sizes for Python.

use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyList, PyString};

use super::super::errors;
use super::super::events::{Events, wrap};
use super::super::text::{FilePath, Text};
use super::super::value::Uncertain;
use super::record::known_complaint;
use crate::infer::explain::{ExplainError, Hypothesis as Core};
use crate::service::Event as CoreEvent;

/// A size that a hypothesis leaves open, with what is known of it beforehand: stands in the events of a hypothesis.
///
/// The same name in two fields is one size.
///
/// Parameters
/// ----------
/// name : str
///     What it is called.
/// prior : str or Uncertain
///     Such as ``"0.2 .. 0.8 L"`` or ``"lognormal(0.3, 0.6) L"``.
///
/// Raises
/// ------
/// QuantityError
///     If the text cannot be read.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.Unknown("a second can", "0.9 .. 1.1 L")
/// Unknown('a second can', '0.9 .. 1.1 L')
#[pyclass(frozen, eq, module = "fillmark")]
#[derive(PartialEq)]
pub(in super::super) struct Unknown {
    pub(in super::super) name: String,
    pub(in super::super) prior: String,
}

#[pymethods]
impl Unknown {
    #[new]
    fn new(name: String, prior: Bound<'_, PyAny>) -> PyResult<Self> {
        let prior = match prior.cast::<Uncertain>() {
            Ok(uncertain) => uncertain.get().text().to_owned(),
            Err(_) => prior.extract::<String>()?,
        };
        crate::units::parse_as_written(&name, &prior).map_err(errors::to_py)?;
        if name.trim().is_empty() {
            return Err(errors::quantity("name is empty; an unknown needs one".into(), "quantity.empty"));
        }
        Ok(Self { name, prior })
    }

    /// What it is called.
    #[getter]
    fn name(&self) -> &str {
        &self.name
    }

    /// What is known of it beforehand.
    #[getter]
    fn prior(&self) -> &str {
        &self.prior
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        let (name, prior) = (PyString::new(py, &self.name), PyString::new(py, &self.prior));
        Ok(format!("Unknown({}, {})", name.repr()?, prior.repr()?))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> (Bound<'py, PyAny>, (String, String)) {
        (py.get_type::<Self>().into_any(), (self.name.clone(), self.prior.clone()))
    }
}

/// A cause of one's own: the events that would have happened, with sizes left open as `Unknown`.
///
/// Parameters
/// ----------
/// name : str
///     What it is called.
/// events : sequence of Event, or callable
///     The events in place of those told. A callable gets the list of events as told, with a labelled `Read` for every reading of
///     the record, is called once, and returns the list of events; it must keep those reads.
/// weight : float
///     Weight before anything was read, on the scale of the complaint's table, which sums to 100.
/// note : str, optional
///     What it means, in a sentence.
/// complaints : sequence of str, optional
///     Complaints it may explain; every one where not given.
///
/// Raises
/// ------
/// ExplainError
///     If it has no name, the weight is no weight, or there is no such complaint.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> can = fm.Pour(fm.Unknown("a second can", "0.9 .. 1.1 L"))
/// >>> own = fm.Hypothesis("a second can", lambda told: [told[0], can, *told[1:]], weight=5)
/// >>> own.name, own.weight
/// ('a second can', 5.0)
#[pyclass(frozen, module = "fillmark")]
pub(in super::super) struct Hypothesis {
    core: Core,
    /// Makes the events from those told.
    make: Option<Py<PyAny>>,
}

#[pymethods]
impl Hypothesis {
    #[new]
    #[pyo3(signature = (name, events, *, weight=5.0, note="", complaints=None))]
    fn new(
        name: &str,
        events: Bound<'_, PyAny>,
        weight: f64,
        note: &str,
        complaints: Option<Vec<String>>,
    ) -> PyResult<Self> {
        let (make, events) = if events.is_callable() {
            (Some(events.unbind()), Vec::new())
        } else {
            (None, events.extract::<Events<'_>>()?.read("events")?)
        };
        let mut core = Core::of_events(name, weight, events);
        core.note = note.into();
        for word in complaints.unwrap_or_default() {
            core.complaints.push(
                known_complaint(&word).map_err(|problem| {
                    errors::to_py(ExplainError::BadHypothesis { hypothesis: name.into(), problem })
                })?,
            );
        }
        core.check().map_err(errors::to_py)?;
        Ok(Self { core, make })
    }

    /// Reads hypotheses from a TOML or JSON file with ``[[hypotheses]]``.
    ///
    /// Parameters
    /// ----------
    /// path : path-like
    ///     The file.
    ///
    /// Returns
    /// -------
    /// list of Hypothesis
    ///     In the order of the file.
    ///
    /// Raises
    /// ------
    /// FileError, CircuitError, ExplainError
    ///     If the file or what it says cannot be read.
    #[staticmethod]
    fn load(path: FilePath) -> PyResult<Vec<Self>> {
        let FilePath(path) = path;
        let shown = path.display().to_string();
        let text = std::fs::read_to_string(&path).map_err(|e| errors::file(&shown, &e))?;
        let all = Core::loads(&text).map_err(|e| errors::to_py(errors::Failure::in_file(e, &shown)))?;
        Ok(all.into_iter().map(|core| Self { core, make: None }).collect())
    }

    /// Reads hypotheses from TOML or JSON text with ``[[hypotheses]]``.
    ///
    /// Each has ``name``, ``weight``, and ``events``, or ``edits`` of the events as told: ``add = { after, event }``, ``remove =
    /// { event }``, ``replace = { event, with }``, ``scale = { event, by }``, ``input = { path, set or add }``. An event is meant by its
    /// index, its label or its kind; a size left open is ``{ unknown = { name = "...", prior = "0.2 .. 0.8 L" } }``.
    ///
    /// Parameters
    /// ----------
    /// text : str
    ///     The document.
    ///
    /// Returns
    /// -------
    /// list of Hypothesis
    ///     In the order of the text.
    ///
    /// Raises
    /// ------
    /// CircuitError, ExplainError
    ///     If the text cannot be read.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> own = fm.Hypothesis.loads('''
    /// ... format = 1
    /// ... [[hypotheses]]
    /// ... name = "the sump is dented"
    /// ... weight = 2
    /// ... edits = [{ input = { path = "geometry.volume_scale", add = "-0.1 .. 0" } }]
    /// ... ''')
    /// >>> own[0].name
    /// 'the sump is dented'
    #[staticmethod]
    #[allow(clippy::needless_pass_by_value)] // as an argument comes
    fn loads(text: Text) -> PyResult<Vec<Self>> {
        let all = Core::loads(&text).map_err(errors::to_py)?;
        Ok(all.into_iter().map(|core| Self { core, make: None }).collect())
    }

    /// What it is called.
    #[getter]
    fn name(&self) -> &str {
        &self.core.name
    }

    /// Weight before anything was read.
    #[getter]
    fn weight(&self) -> f64 {
        self.core.weight
    }

    /// What it means, in a sentence.
    #[getter]
    fn note(&self) -> &str {
        &self.core.note
    }

    fn __repr__(&self) -> String {
        format!("<hypothesis {:?}, weight {}>", self.core.name, self.core.weight)
    }
}

impl Hypothesis {
    /// The core's hypothesis; a callable is called once with the events as told.
    pub(super) fn made(&self, py: Python<'_>, told: &[CoreEvent]) -> PyResult<Core> {
        let Some(make) = &self.make else { return Ok(self.core.clone()) };
        let events = told.iter().map(|e| wrap(py, e.clone())).collect::<PyResult<Vec<_>>>()?;
        let made = make.bind(py).call1((PyList::new(py, events)?,))?;
        let name = format!("events of hypothesis {:?}", self.core.name);
        let events = made.extract::<Events<'_>>().map_err(|_| PyTypeError::new_err(format!("{name} are no events")))?;
        Ok(Core { events: Some(events.read(&name)?), ..self.core.clone() })
    }
}
