//! A service with its name: read from files, written to them.

use pyo3::exceptions::PyIndexError;
use pyo3::prelude::*;
use pyo3::types::{PyList, PyString};

use super::errors;
use super::events::{Event, EventIterator, Events, wrap};
use super::text::{FilePath, Text};
use crate::service::Service as Core;

/// Events in order, with a name, a remark and the circuit they are meant for. Immutable; stands wherever events do.
///
/// It is written in three ways, each of which `load` and `loads` read: TOML for people and JSON for exchange, which keep
/// values and units as written, and lines of text:
///
/// .. code-block:: text
///
///     name: Monday
///     circuit: shuttle-bus
///
///     drain 10 min at 60 degC
///     change filter, primed 0.3 L
///     pour 6.9 L with jug, oil at 20 degC     # a remark
///     run 1 min
///     rest 5 min
///     read "first dip"
///
/// The other events are, with what may be said of each: ``open plug NAME at 60 degC``, ``close plug``, ``remove filter``,
/// ``fit filter, holds 0.5 L``, ``withdraw 0.2 kg``, ``run 20 min to 90 degC``, ``drain 10 min through NAME``,
/// ``tilt nose up 2 deg, right down 1 deg``, ``leak 7 L/min while running, called "two gaskets"``, ``use 0.03 L/h``,
/// ``ingress fuel 20 mL/min always``, ``stop "two gaskets"``, ``wipe`` and ``read "dip", stick NAME, smear 5 mm, seat offset
/// 5 mm, tube pressure 100 Pa, higher face``. Any of them may go on with ``called "LABEL"`` and ``standing nose up 3 deg``,
/// which holds for that event only.
///
/// Parameters
/// ----------
/// events : sequence of Event
///     What is done, in order.
/// name : str, optional
///     Short name.
/// note : str, optional
///     Remark in plain words.
/// circuit : str, optional
///     The circuit it is meant for: a demo's name, or a file beside that of the service. Finding it is left to the caller.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> service = fm.Service([fm.Drain(minutes=10), fm.Pour("6.9 L"), fm.Read(label="dip")], name="Monday")
/// >>> print(service)
/// name: Monday
/// <BLANKLINE>
/// drain 10 min
/// pour 6.9 L
/// read "dip"
/// >>> fm.simulate(fm.Circuit.demo("shuttle-bus"), service).reading("dip").flag is None
/// True
/// >>> fm.Service.loads("drain 10 min\npour 6.9 L\n")[1]
/// Pour('6.9 L')
#[pyclass(frozen, eq, module = "fillmark")]
#[derive(PartialEq)]
pub(super) struct Service {
    inner: Core,
}

/// Text that `str` does not end with a line break in Python.
fn without_last_break(text: &str) -> &str {
    text.strip_suffix('\n').unwrap_or(text)
}

#[pymethods]
impl Service {
    #[new]
    #[pyo3(signature = (events, *, name="", note=None, circuit=None))]
    fn new(events: Events<'_>, name: &str, note: Option<String>, circuit: Option<String>) -> PyResult<Self> {
        let inner = Core { name: name.into(), note, circuit, events: events.read("events")? };
        Ok(Self { inner })
    }

    /// Reads a service from a file: TOML, JSON or lines of text, whichever it is.
    ///
    /// Parameters
    /// ----------
    /// path : path-like
    ///     The file.
    ///
    /// Returns
    /// -------
    /// Service
    ///     With values and units kept as written.
    ///
    /// Raises
    /// ------
    /// FileError
    ///     If the file cannot be read.
    /// CircuitError, ServiceError
    ///     With the file, the line, the key or word and the nearest that is known.
    #[staticmethod]
    fn load(path: FilePath) -> PyResult<Self> {
        let FilePath(path) = path;
        let shown = path.display().to_string();
        let text = std::fs::read_to_string(&path).map_err(|e| errors::file(&shown, &e))?;
        let inner = Core::loads(&text).map_err(|e| errors::to_py(errors::Failure::in_file(e, &shown)))?;
        Ok(Self { inner })
    }

    /// Reads a service from its text: TOML, JSON or lines of text, whichever it is.
    ///
    /// Text that starts with a brace is JSON; text whose first line that says something is ``[...]`` or ``key = value`` is TOML;
    /// all else is taken as lines of text.
    ///
    /// Parameters
    /// ----------
    /// text : str
    ///     The service.
    ///
    /// Returns
    /// -------
    /// Service
    ///     With values and units kept as written.
    ///
    /// Raises
    /// ------
    /// CircuitError
    ///     If it is TOML or JSON: with the line, the key and the nearest known key.
    /// ServiceError
    ///     If it is lines of text: with line and column, the word, what is accepted there and the nearest of it.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> service = fm.Service.loads('''
    /// ... format = 1
    /// ... name = "Monday"
    /// ...
    /// ... [[events]]
    /// ... pour = { volume = "6.9 L", measured_with = "jug" }
    /// ...
    /// ... [[events]]
    /// ... do = "read"
    /// ... label = "first dip"
    /// ... ''')
    /// >>> service.events
    /// [Pour('6.9 L', measured_with='jug'), Read(label='first dip')]
    #[staticmethod]
    #[allow(clippy::needless_pass_by_value)] // as an argument comes
    fn loads(text: Text) -> PyResult<Self> {
        Core::loads(&text).map(|inner| Self { inner }).map_err(errors::to_py)
    }

    /// Short name; may be empty.
    #[getter]
    fn name(&self) -> &str {
        &self.inner.name
    }

    /// Remark in plain words, if any.
    #[getter]
    fn note(&self) -> Option<&str> {
        self.inner.note.as_deref()
    }

    /// The circuit it is meant for, if it says so: a demo's name, or a file beside that of the service.
    #[getter]
    fn circuit(&self) -> Option<&str> {
        self.inner.circuit.as_deref()
    }

    /// What is done, in order.
    #[getter]
    fn events(&self, py: Python<'_>) -> PyResult<Vec<Py<Event>>> {
        self.inner.events.iter().map(|e| wrap(py, e.clone())).collect()
    }

    /// The service as TOML.
    ///
    /// Returns
    /// -------
    /// str
    ///     Values and units as written.
    fn to_toml(&self) -> PyResult<String> {
        self.inner.to_toml().map_err(errors::to_py)
    }

    /// The service as JSON.
    ///
    /// Returns
    /// -------
    /// str
    ///     Values and units as written.
    fn to_json(&self) -> String {
        self.inner.to_json()
    }

    /// The service as lines of text.
    ///
    /// Returns
    /// -------
    /// str
    ///     Values and units as written; an uncertain value that was a table in its functional form.
    fn to_text(&self) -> String {
        self.inner.to_string()
    }

    fn __len__(&self) -> usize {
        self.inner.events.len()
    }

    fn __iter__<'py>(&self, py: Python<'py>) -> PyResult<EventIterator<'py>> {
        PyList::new(py, self.events(py)?)?.try_iter().map(EventIterator)
    }

    fn __getitem__(&self, py: Python<'_>, index: isize) -> PyResult<Py<Event>> {
        let count = self.inner.events.len();
        let at = if index < 0 { count.checked_add_signed(index) } else { usize::try_from(index).ok() };
        let event = at.and_then(|at| self.inner.events.get(at));
        let event = event.ok_or_else(|| PyIndexError::new_err(format!("event {index} of {count}")))?;
        wrap(py, event.clone())
    }

    fn __str__(&self) -> String {
        without_last_break(&self.inner.to_string()).into()
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        let Core { name, note, circuit, .. } = &self.inner;
        let mut arguments = vec![PyList::new(py, self.events(py)?)?.repr()?.to_string()];
        let name = Some(name).filter(|name| !name.is_empty());
        for (key, value) in [("name", name), ("note", note.as_ref()), ("circuit", circuit.as_ref())] {
            if let Some(value) = value {
                arguments.push(format!("{key}={}", PyString::new(py, value).repr()?));
            }
        }
        Ok(format!("Service({})", arguments.join(", ")))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, (String,))> {
        Ok((py.get_type::<Self>().getattr("loads")?, (self.to_json(),)))
    }
}
