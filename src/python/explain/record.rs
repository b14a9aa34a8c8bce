//! A record for Python.

use std::collections::BTreeMap;

use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyString};
use serde_json::{Map, Value as Json};

use super::super::errors;
use super::super::events::{Event, Events, wrap};
use super::super::geometry::Attitude;
use super::super::text::{FilePath, Text};
use super::super::unit::Litre;
use super::super::value::Input;
use crate::circuit::read_text;
use crate::infer::explain::{Complaint, ExplainError, Measured, Record as Core, SeenReading, Sign};
use crate::service::Event as CoreEvent;

/// What is known of an incident: the events as told, what the stick said, signs, and what is complained of. Immutable.
///
/// Doubts about the size of an event are uncertain values of its fields; doubts whether it happened are weights of causes
/// under `priors`.
///
/// Parameters
/// ----------
/// events : sequence of Event
///     What was done, as told.
/// readings : sequence
///     What the stick said: numbers are millimetres from the tip, taken after the last event; a dict says more, with exactly one of
///     ``mm``, ``fraction`` (0 at MIN, 1 at MAX), ``litres_from_max`` and ``says`` (``dry``, ``under``, ``between``, ``over``,
///     ``above_blade``); ``of`` (label of a `Read`) or ``after`` (index of an event); ``attitude``; ``source`` (``seen``, ``photo``,
///     ``told``, ``remembered``); ``noise_mm``, a standard uncertainty in place of the source's.
/// complaint : str
///     ``reads_over``, ``reads_under``, ``rises``, ``falls`` or ``differs``.
/// name, note : str, optional
///     Short name; remark in plain words.
/// circuit : str, optional
///     The circuit it is about: a demo's name, or a file beside that of the record.
/// drained_l, poured_l : quantity, optional
///     All that came out, by the pan; all that was poured, by the tally [L].
/// signs : dict, optional
///     What was looked for and whether it was there: ``old_colour``, ``fuel_smell``, ``milky``, ``coolant_falls``, ``oil_on_floor``,
///     ``loose_plug``, ``second_dip_differs``, ``old_filter``, ``wrong_stick``.
/// tanked : bool
///     Whether the engine keeps its oil in a separate tank, in which the stick stands.
/// priors : dict, optional
///     Weights of causes in place of those of the complaint's table, which sums to 100.
///
/// Raises
/// ------
/// ExplainError
///     If the record says nothing, or contradicts itself.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> service = [fm.Drain(minutes=10), fm.ChangeFilter(), fm.Pour(7.4), fm.Run(minutes=1), fm.Rest(minutes=20)]
/// >>> record = fm.Record(service, [122.0], complaint="reads_over", name="Tuesday")
/// >>> record
/// <record "Tuesday": reads over after a service, 5 events, 1 reading>
/// >>> fm.Record.loads(record.to_toml()) == record
/// True
#[pyclass(frozen, eq, module = "fillmark")]
#[derive(Clone, PartialEq)]
pub(in super::super) struct Record {
    pub(super) inner: Core,
}

/// Text of a value given with a unit in its key.
fn with_unit(object: &Bound<'_, PyAny>, unit: &str) -> PyResult<Json> {
    if let Ok(text) = object.cast::<PyString>() {
        return Ok(Json::String(text.to_cow()?.into_owned()));
    }
    if let Ok(uncertain) = object.cast::<super::super::value::Uncertain>() {
        return Ok(Json::String(uncertain.get().text().into()));
    }
    let number: f64 = object.extract()?;
    Ok(Json::String(format!("{number} {unit}").trim_end().into()))
}

/// A reading from a number or a dict.
fn reading(i: usize, object: &Bound<'_, PyAny>) -> PyResult<SeenReading> {
    let mut json = Map::new();
    if let Ok(dict) = object.cast::<PyDict>() {
        for (key, value) in dict.iter() {
            let key: String = key.extract()?;
            if value.is_none() {
                continue;
            }
            let (key, value) = match key.as_str() {
                "mm" => ("mm".to_owned(), with_unit(&value, "mm")?),
                "noise_mm" => ("noise".to_owned(), with_unit(&value, "mm")?),
                "fraction" => (key, with_unit(&value, "")?),
                "litres_from_max" => ("from_max".to_owned(), with_unit(&value, "L")?),
                "after" => (key, Json::from(value.extract::<usize>()?)),
                "attitude" => {
                    let at = value.cast::<Attitude>()?.get().inner;
                    let mut pair = Map::new();
                    pair.insert("nose_up".into(), format!("{} deg", at.nose_up_deg()).into());
                    pair.insert("right_down".into(), format!("{} deg", at.right_down_deg()).into());
                    (key, Json::Object(pair))
                }
                _ => (key, Json::String(value.extract()?)),
            };
            json.insert(key, value);
        }
    } else {
        json.insert("mm".into(), with_unit(object, "mm")?);
    }
    read_text(&Json::Object(json).to_string())
        .map_err(|e| errors::to_py(ExplainError::BadReading { reading: i, problem: e.to_string() }))
}

fn from_word<T: serde::de::DeserializeOwned>(what: &str, word: &str) -> PyResult<T> {
    serde_json::from_value(Json::String(word.into())).map_err(|e| {
        let problem = e.to_string();
        errors::to_py(ExplainError::BadObservation { field: what.into(), value: word.into(), problem })
    })
}

/// A complaint by its key, or what is wrong.
pub(super) fn known_complaint(word: &str) -> Result<Complaint, String> {
    Complaint::ALL.iter().find(|c| c.key() == word).copied().ok_or_else(|| {
        let all = Complaint::ALL.map(Complaint::key).join(", ");
        format!("there is no complaint `{word}`; accepted: {all}")
    })
}

fn signs_of(given: Option<BTreeMap<String, bool>>) -> PyResult<BTreeMap<Sign, bool>> {
    given.unwrap_or_default().into_iter().map(|(sign, there)| Ok((from_word("signs", &sign)?, there))).collect()
}

/// A column of a table as Python objects; nothing where there is no such column.
fn column<'py>(columns: &Bound<'py, PyDict>, name: &str) -> PyResult<Option<Vec<Bound<'py, PyAny>>>> {
    columns.get_item(name)?.map(|c| c.try_iter()?.collect()).transpose()
}

/// Whether a cell says nothing: none, empty text, not a number.
fn is_blank(cell: &Bound<'_, PyAny>) -> bool {
    let empty = cell.cast::<PyString>().is_ok_and(|t| t.to_cow().is_ok_and(|t| t.trim().is_empty()));
    cell.is_none() || empty || cell.extract::<f64>().is_ok_and(f64::is_nan)
}

const READING_COLUMNS: [(&str, &str); 6] = [
    ("reading_mm", "mm"),
    ("reading_fraction", "fraction"),
    ("litres_from_max", "litres_from_max"),
    ("says", "says"),
    ("source", "source"),
    ("noise_mm", "noise_mm"),
];

impl Record {
    /// One record from rows of columns.
    fn of_rows(columns: &Bound<'_, PyDict>, rows: &[usize], complaint: &str, name: &str) -> PyResult<Self> {
        let bad = |column: &str, row: Option<usize>, problem: String| {
            errors::to_py(ExplainError::BadColumn { column: column.into(), row, problem })
        };
        let events = column(columns, "event")?
            .ok_or_else(|| bad("event", None, "it is missing; its cells are lines such as \"pour 6.9 L\"".into()))?;
        let mut told: Vec<CoreEvent> = Vec::new();
        let mut readings: Vec<SeenReading> = Vec::new();
        let cells = READING_COLUMNS
            .iter()
            .map(|(name, key)| Ok((*name, *key, column(columns, name)?)))
            .collect::<PyResult<Vec<_>>>()?;
        for row in rows {
            if let Some(line) = events.get(*row).filter(|c| !is_blank(c)) {
                let line: String = line.extract().map_err(|_| bad("event", Some(*row), "it is not text".into()))?;
                told.push(CoreEvent::parse(&line).map_err(|e| bad("event", Some(*row), e.to_string()))?);
            }
            let seen = PyDict::new(columns.py());
            for (name, key, cells) in &cells {
                let Some(cells) = cells else { continue };
                let cell = cells.get(*row).ok_or_else(|| bad(name, None, "it is shorter than `event`".into()))?;
                if !is_blank(cell) {
                    seen.set_item(*key, cell)?;
                }
            }
            if seen.keys().iter().any(|k| !matches!(k.extract::<String>().as_deref(), Ok("source" | "noise_mm"))) {
                if !told.is_empty() {
                    seen.set_item("after", told.len() - 1)?;
                }
                readings.push(reading(readings.len(), &seen)?);
            }
        }
        let inner = Core {
            name: name.into(),
            note: None,
            circuit: None,
            complaint: from_word("complaint", complaint)?,
            events: told,
            readings,
            measured: Measured::default(),
            signs: BTreeMap::new(),
            tanked: false,
            priors: BTreeMap::new(),
        };
        inner.check().map_err(errors::to_py)?;
        Ok(Self { inner })
    }
}

#[pymethods]
impl Record {
    #[new]
    #[pyo3(signature = (events, readings, *, complaint, name="", note=None, circuit=None, drained_l=None, poured_l=None, signs=None, tanked=false, priors=None))]
    #[allow(clippy::too_many_arguments)] // keyword-only in Python
    fn new(
        events: Events<'_>,
        readings: Bound<'_, PyAny>,
        complaint: &str,
        name: &str,
        note: Option<String>,
        circuit: Option<String>,
        drained_l: Option<Input<'_, Litre>>,
        poured_l: Option<Input<'_, Litre>>,
        signs: Option<BTreeMap<String, bool>>,
        tanked: bool,
        priors: Option<BTreeMap<String, f64>>,
    ) -> PyResult<Self> {
        let iterator = readings
            .try_iter()
            .map_err(|_| PyTypeError::new_err("readings is not a sequence; give numbers in mm, or dicts"))?;
        let readings = iterator.enumerate().map(|(i, r)| reading(i, &r?)).collect::<PyResult<Vec<SeenReading>>>()?;
        let inner = Core {
            name: name.into(),
            note,
            circuit,
            complaint: from_word("complaint", complaint)?,
            events: events.read("events")?,
            readings,
            measured: Measured {
                drained: drained_l.map(|v| v.value("drained_l")).transpose()?,
                poured: poured_l.map(|v| v.value("poured_l")).transpose()?,
            },
            signs: signs_of(signs)?,
            tanked,
            priors: priors.unwrap_or_default(),
        };
        inner.check().map_err(errors::to_py)?;
        Ok(Self { inner })
    }

    /// Reads a record from a TOML or JSON file.
    ///
    /// Parameters
    /// ----------
    /// path : path-like
    ///     The file.
    ///
    /// Returns
    /// -------
    /// Record
    ///     With values and units kept as written.
    ///
    /// Raises
    /// ------
    /// FileError
    ///     If the file cannot be read.
    /// CircuitError
    ///     With the file, the line, the key and the nearest known key.
    /// ExplainError
    ///     If the record says nothing, or contradicts itself.
    #[staticmethod]
    fn load(path: FilePath) -> PyResult<Self> {
        let FilePath(path) = path;
        let shown = path.display().to_string();
        let text = std::fs::read_to_string(&path).map_err(|e| errors::file(&shown, &e))?;
        let inner = Core::loads(&text).map_err(|e| errors::to_py(errors::Failure::in_file(e, &shown)))?;
        Ok(Self { inner })
    }

    /// Reads a record from its TOML or JSON text.
    ///
    /// Parameters
    /// ----------
    /// text : str
    ///     The record.
    ///
    /// Returns
    /// -------
    /// Record
    ///     With values and units kept as written.
    ///
    /// Raises
    /// ------
    /// CircuitError
    ///     With the line, the key and the nearest known key.
    /// ExplainError
    ///     If the record says nothing, or contradicts itself.
    #[staticmethod]
    #[allow(clippy::needless_pass_by_value)] // as an argument comes
    fn loads(text: Text) -> PyResult<Self> {
        Core::loads(&text).map(|inner| Self { inner }).map_err(errors::to_py)
    }

    /// A record from the columns of a table, one row after another.
    ///
    /// Parameters
    /// ----------
    /// columns : dict of str to sequence
    ///     ``event``: lines such as ``"pour 6.9 L"``, or blank. Optional: ``reading_mm``, ``reading_fraction``, ``litres_from_max``,
    ///     ``says``, ``source``, ``noise_mm``: what the stick said after the row's event.
    /// complaint : str
    ///     As for the class.
    /// name : str, optional
    ///     Short name.
    ///
    /// Returns
    /// -------
    /// Record
    ///     Its readings each taken after the event of their row, or the last before it.
    ///
    /// Raises
    /// ------
    /// ExplainError
    ///     If a column is missing, or a cell cannot be read.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> table = {"event": ["drain 10 min", "pour 7.4 L", "rest 20 min"], "reading_mm": [None, None, 122.0]}
    /// >>> fm.Record.from_columns(table, complaint="reads_over")
    /// <record "": reads over after a service, 3 events, 1 reading>
    #[staticmethod]
    #[pyo3(signature = (columns, *, complaint, name=""))]
    fn from_columns(columns: Bound<'_, PyDict>, complaint: &str, name: &str) -> PyResult<Self> {
        let rows = column(&columns, "event")?.map_or(0, |c| c.len());
        Self::of_rows(&columns, &(0..rows).collect::<Vec<_>>(), complaint, name)
    }

    /// Several records from one table: rows that share a cell of its column ``record`` are one record.
    ///
    /// Parameters
    /// ----------
    /// columns : dict of str to sequence
    ///     As for `from_columns`, with ``record`` (the name) and ``complaint``.
    ///
    /// Returns
    /// -------
    /// list of Record
    ///     In the order in which their names first occur.
    ///
    /// Raises
    /// ------
    /// ExplainError
    ///     If a column is missing, or a cell cannot be read.
    #[staticmethod]
    fn from_table(columns: Bound<'_, PyDict>) -> PyResult<Vec<Self>> {
        let missing = |name: &str| {
            let problem = "it is missing; from_table wants record, complaint and event".into();
            errors::to_py(ExplainError::BadColumn { column: name.into(), row: None, problem })
        };
        let names = column(&columns, "record")?.ok_or_else(|| missing("record"))?;
        let complaints = column(&columns, "complaint")?.ok_or_else(|| missing("complaint"))?;
        let mut grouped: Vec<(String, String, Vec<usize>)> = Vec::new();
        for (row, name) in names.iter().enumerate() {
            let name = name.str()?.to_string();
            if let Some((.., rows)) = grouped.iter_mut().find(|(n, ..)| *n == name) {
                rows.push(row);
            } else {
                let complaint = complaints.get(row).ok_or_else(|| missing("complaint"))?;
                grouped.push((name, complaint.str()?.to_string(), vec![row]));
            }
        }
        grouped.iter().map(|(name, complaint, rows)| Self::of_rows(&columns, rows, complaint, name)).collect()
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

    /// The circuit it is about, if it says so: a demo's name, or a file beside that of the record.
    #[getter]
    fn circuit(&self) -> Option<&str> {
        self.inner.circuit.as_deref()
    }

    /// What is complained of: ``reads_over``, ``reads_under``, ``rises``, ``falls`` or ``differs``.
    #[getter]
    fn complaint(&self) -> &'static str {
        self.inner.complaint.key()
    }

    /// What was done, as told.
    #[getter]
    fn events(&self, py: Python<'_>) -> PyResult<Vec<Py<Event>>> {
        self.inner.events.iter().map(|e| wrap(py, e.clone())).collect()
    }

    /// What the stick said, each as a dict of texts.
    #[getter]
    fn readings<'py>(&self, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyAny>>> {
        let json = |r: &SeenReading| serde_json::to_value(r).map_err(|e| errors::internal(&e.to_string()));
        self.inner.readings.iter().map(|r| errors::to_object(py, &json(r)?)).collect()
    }

    /// Signs that were looked for, and whether they were there.
    #[getter]
    fn signs(&self) -> BTreeMap<&'static str, bool> {
        self.inner.signs.iter().map(|(sign, there)| (sign.key(), *there)).collect()
    }

    /// The record as TOML.
    ///
    /// Returns
    /// -------
    /// str
    ///     Values and units as written.
    fn to_toml(&self) -> PyResult<String> {
        self.inner.to_toml().map_err(errors::to_py)
    }

    /// The record as JSON.
    ///
    /// Returns
    /// -------
    /// str
    ///     Values and units as written.
    fn to_json(&self) -> String {
        self.inner.to_json()
    }

    fn __repr__(&self) -> String {
        let Core { name, complaint, events, readings, .. } = &self.inner;
        let plural = if readings.len() == 1 { "" } else { "s" };
        format!(
            "<record {name:?}: {}, {} events, {} reading{plural}>",
            Complaint::words(*complaint),
            events.len(),
            readings.len()
        )
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, (String,))> {
        Ok((py.get_type::<Self>().getattr("loads")?, (self.to_json(),)))
    }
}
