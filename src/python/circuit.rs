//! Circuits for Python.

use std::collections::HashMap;
use std::path::PathBuf;

use pyo3::exceptions::{PyKeyError, PyTypeError};
use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyDict, PyString, PyTuple};
use uom::si::area::square_meter;
use uom::si::f64::Length;
use uom::si::length::meter;
use uom::si::ratio::ratio;
use uom::si::volume::cubic_meter;

use super::arrays::{FloatOrArray, ToArray, Values, texts};
use super::book::{Names, Sheet};
use super::detach::run_detached;
use super::errors;
use super::fluid::degrees;
use super::geometry::Attitude;
use super::quantity::{Scalar, shortest, shown};
use super::rebuild::reduce;
use super::recipe::Recipe;
use super::scale::{LitreScale, PressureDelay, or_reference};
use super::sump::Sump;
use super::text::{FilePath, Text};
use super::unit::{DegreeCelsius, Litre, MillilitrePerMillimetre, Millimetre, One};
use super::value::{Input, Uncertain};
use crate::circuit::Circuit as CoreCircuit;
use crate::circuit::spec::SumpSpec;
use crate::numeric::check;
use crate::units;

/// A sump with its dipstick, plugs, filter, stores, fluid, book figures and the marks' reference condition. Immutable.
///
/// Made by `Circuit.demo`, `Circuit.load`, `Circuit.loads` or `Circuit.from_book`; `replace` makes a changed copy. An input
/// is named by its path, such as ``filter.net_volume``; ``circuit[path]`` is its text as written.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> bus = fm.Circuit.demo("shuttle-bus")
/// >>> bus["filter.net_volume"]
/// '0.45(3) L'
/// >>> bus.replace({"filter.net_volume": "0.40(5) L"})["filter.net_volume"]
/// '0.40(5) L'
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Circuit {
    pub(super) inner: CoreCircuit,
    /// The constructor call that makes it.
    made: String,
}

impl PartialEq for Circuit {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

#[pymethods]
impl Circuit {
    /// One of the invented demo circuits; `demos` lists them.
    ///
    /// Parameters
    /// ----------
    /// name : str
    ///     Such as ``"shuttle-bus"``.
    ///
    /// Returns
    /// -------
    /// Circuit
    ///     Invented for teaching; no real engine stands behind it.
    ///
    /// Raises
    /// ------
    /// CircuitError
    ///     If there is no demo of that name; the message lists them.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> fm.Circuit.demo("deck-generator")
    /// Circuit.demo('deck-generator')
    #[staticmethod]
    fn demo(py: Python<'_>, name: &str) -> PyResult<Self> {
        let inner = CoreCircuit::demo(name).map_err(errors::to_py)?;
        Ok(Self { inner, made: format!("Circuit.demo({})", quoted(py, name)?) })
    }

    /// Reads a circuit from a TOML or JSON file; files it names are found beside it.
    ///
    /// Parameters
    /// ----------
    /// path : path-like
    ///     The file.
    ///
    /// Returns
    /// -------
    /// Circuit
    ///     With values and units kept as written.
    ///
    /// Raises
    /// ------
    /// FileError
    ///     If the file, or one it names, cannot be read.
    /// CircuitError, QuantityError, GeometryError
    ///     With the file, the line, the key and the nearest known key, or what does not fit together.
    #[staticmethod]
    fn load(py: Python<'_>, path: FilePath) -> PyResult<Self> {
        let FilePath(path) = path;
        let shown = path.display().to_string();
        let text = std::fs::read_to_string(&path).map_err(|e| errors::file(&shown, &e))?;
        let folder = path.parent().map(PathBuf::from).unwrap_or_default();
        let resolver = move |file: &str| std::fs::read(folder.join(file)).map_err(|e| errors::in_words(&e));
        let named = shown.clone();
        let inner = run_detached(py, move || {
            CoreCircuit::loads(&text, &resolver).map_err(|e| errors::Failure::in_file(e, &named))
        })?;
        Ok(Self { inner, made: format!("Circuit.load({})", quoted(py, &shown)?) })
    }

    /// Reads a circuit from TOML or JSON text.
    ///
    /// Parameters
    /// ----------
    /// text : str
    ///     The circuit.
    /// files : mapping of str to bytes, optional
    ///     Contents of the files it names.
    ///
    /// Returns
    /// -------
    /// Circuit
    ///     With values and units kept as written.
    ///
    /// Raises
    /// ------
    /// FileError
    ///     If the text names a file that `files` does not hold.
    /// CircuitError, QuantityError, GeometryError
    ///     With the line, the key and the nearest known key, or what does not fit together.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> bus = fm.Circuit.demo("deck-generator")
    /// >>> fm.Circuit.loads(bus.to_toml()) == bus
    /// True
    #[staticmethod]
    #[pyo3(signature = (text, *, files=None))]
    fn loads(py: Python<'_>, text: Text, files: Option<HashMap<String, Vec<u8>>>) -> PyResult<Self> {
        let files = files.unwrap_or_default();
        let given = if files.is_empty() { ")" } else { WITH_FILES };
        let made = format!("Circuit.loads({}{given}", quoted(py, &text)?);
        let resolver = move |file: &str| files.get(file).cloned().ok_or_else(|| "it is not among `files`".to_string());
        let inner = run_detached(py, move || CoreCircuit::loads(&text, &resolver))?;
        Ok(Self { inner, made })
    }

    /// Builds a circuit from a service sheet: constant area, level ground only, one plug.
    ///
    /// At least one capacity is needed. What is not stated follows from what is, or from a default that is marked as judgement: filter, span and
    /// residue with an uncertainty, but oil (868 kg/m3 at 15 °C, 95 and 14.3 mm2/s), place of MAX and jug exact. At MAX in the reference
    /// condition the circuit holds the dry capacity, filter and stores included, with what is still aloft after the wait; a nominal drain
    /// (10 min at 60 °C) leaves the residue, of which the heel is what does not stay in the stores. One drain's heel scatters by 0.1 L about
    /// the nominal one (judgement).
    ///
    /// Figures are exact here. One that is not is stated afterwards: ``sheet.replace({"book.dry": "8.1(1) L"})``.
    ///
    /// Parameters
    /// ----------
    /// service_with_filter_l, service_without_filter_l : quantity, optional
    ///     Refill after a drain, with and without filter change [L], 0.05 to 1000.
    /// dry_l : quantity, optional
    ///     Empty engine to MAX [L]; the residue is this less the service capacity with filter.
    /// filter_l : quantity, optional
    ///     What the filter holds [L], 0 for none; the difference of the two service capacities where both are stated; 3 to 10 % of the
    ///     capacity (judgement) where nothing says.
    /// span_l : quantity, optional
    ///     MIN to MAX [L]; 0.17 to 0.25 of the volume at MAX where not known (published cases; nominal 0.21).
    /// span_mm : quantity, optional
    ///     Distance between the marks [mm]; 25 where not known (judgement).
    /// residue_l : quantity, optional
    ///     What one drain nominally leaves, at the reference temperature [L]; where neither it nor the dry capacity is known, lognormal with median 9 % of the dry
    ///     capacity and 0.66 for the logarithm (judgement).
    /// stores : sequence of str
    ///     Kinds of stores the circuit has, each with the defaults of its kind: ``galleries``, ``head``, ``cooler``, ``lines``, ``crankcase``.
    /// name : str, optional
    ///     Name of the circuit.
    ///
    /// Returns
    /// -------
    /// Circuit
    ///     Read by an upright stick standing on its floor.
    ///
    /// Raises
    /// ------
    /// CircuitError, QuantityError
    ///     If the figures contradict each other or are out of range, or a kind of store does not exist.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> sheet = fm.Circuit.from_book(service_with_filter_l="5.7 US qt", service_without_filter_l="5.3 US qt")
    /// >>> sheet["filter.net_volume"]
    /// '0.378541178 L'
    /// >>> fm.Circuit.from_book(dry_l=6.0, filter_l=0.4, stores=["head", "cooler"])["book.dry"]
    /// '6 L'
    #[staticmethod]
    #[pyo3(signature = (*, service_with_filter_l=None, service_without_filter_l=None, dry_l=None, filter_l=None, span_l=None, span_mm=None, residue_l=None, stores=Names(Vec::new()), name="service sheet"))]
    #[allow(clippy::too_many_arguments)] // keyword-only in Python
    fn from_book(
        py: Python<'_>,
        service_with_filter_l: Option<Scalar<'_, Litre>>,
        service_without_filter_l: Option<Scalar<'_, Litre>>,
        dry_l: Option<Scalar<'_, Litre>>,
        filter_l: Option<Scalar<'_, Litre>>,
        span_l: Option<Scalar<'_, Litre>>,
        span_mm: Option<Scalar<'_, Millimetre>>,
        residue_l: Option<Scalar<'_, Litre>>,
        stores: Names,
        name: &str,
    ) -> PyResult<Self> {
        let volumes = [
            ("service_with_filter_l", service_with_filter_l),
            ("service_without_filter_l", service_without_filter_l),
            ("dry_l", dry_l),
            ("filter_l", filter_l),
            ("span_l", span_l),
            ("residue_l", residue_l),
        ];
        let (inner, made) = Sheet { volumes, span_mm, stores: stores.0 }.circuit(py, name)?;
        Ok(Self { inner, made })
    }

    /// A copy with some inputs changed.
    ///
    /// Parameters
    /// ----------
    /// changes : mapping
    ///     From the path of an input to its new value: text with a unit, or an `Uncertain`.
    ///
    /// Returns
    /// -------
    /// Circuit
    ///     The circuit itself stays as it is.
    ///
    /// Raises
    /// ------
    /// CircuitError
    ///     If a path names no input (the nearest is named), or the changed circuit does not fit together.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> bus = fm.Circuit.demo("shuttle-bus")
    /// >>> thin = bus.replace({"fluid.kv40": "60 mm2/s", "instruments.jug.scale": 1.02})
    /// >>> thin == bus
    /// False
    fn replace(&self, py: Python<'_>, changes: &Bound<'_, PyDict>) -> PyResult<Self> {
        let mut read = Vec::new();
        let normal = PyDict::new(py);
        for (path, value) in changes {
            let path: String = path.extract::<Text>()?.into();
            let json = change(&path, &value)?;
            normal.set_item(&path, errors::to_object(py, &json)?)?;
            read.push((path, json));
        }
        let changes: Vec<_> = read.iter().map(|(p, v)| (p.as_str(), v.clone())).collect();
        let inner = self.inner.replace_json(&changes).map_err(errors::to_py)?;
        Ok(Self { inner, made: format!("{}.replace({})", self.made, normal.repr()?) })
    }

    /// Name of the circuit.
    #[getter]
    fn name(&self) -> &str {
        self.inner.name()
    }

    /// Remark in plain words, such as where the figures come from.
    #[getter]
    fn note(&self) -> Option<&str> {
        self.inner.spec().note.as_deref()
    }

    /// The sump.
    #[getter]
    fn sump(&self, py: Python<'_>) -> PyResult<Sump> {
        Ok(Sump::made_by(self.inner.sump().clone(), self.recipe(py)?))
    }

    /// The attitude at which the marks are true.
    #[getter]
    fn reference_attitude(&self) -> Attitude {
        Attitude { inner: self.inner.reference_attitude() }
    }

    /// The condition in which the marks are true, in words.
    ///
    /// Temperature, engine stopped (for how long) or running, attitude, stick seated or screwed in.
    #[getter]
    fn reference_condition(&self) -> String {
        self.inner.spec().reference.to_string()
    }

    /// Points of the stick's path in the body frame, tip first [mm].
    #[getter]
    fn stick_path_mm(&self) -> Vec<(f64, f64, f64)> {
        self.inner.spec().dipstick.path_mm.iter().map(|p| (p[0], p[1], p[2])).collect()
    }

    /// The lower mark, from the tip along the blade, nominal [mm].
    #[getter]
    fn min_mm(&self) -> f64 {
        self.inner.spec().dipstick.min.nominal() * 1e3
    }

    /// The upper mark, from the tip along the blade, nominal [mm].
    #[getter]
    fn max_mm(&self) -> f64 {
        self.inner.spec().dipstick.max.nominal() * 1e3
    }

    /// What the true sump holds at a temperature over what its drawing holds, nominal [1].
    ///
    /// ``geometry.volume_scale``, times ``1 + 3 alpha (t - t_drawn)`` where ``geometry.metal`` or ``geometry.metal_expansion``
    /// says that the sump expands, with ``geometry.drawn_at`` the temperature at which the drawing holds.
    ///
    /// Parameters
    /// ----------
    /// temperature_c : quantity or array
    ///     Temperature of the sump [°C], -60 to 200.
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     Of the temperature's shape [1].
    ///
    /// Raises
    /// ------
    /// FluidError
    ///     If a temperature is outside the range.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> bus = fm.Circuit.demo("shuttle-bus").replace({"geometry.metal": "cast_aluminium"})
    /// >>> round(bus.volume_scale(temperature_c=90.0), 5)
    /// 1.00462
    #[pyo3(signature = (*, temperature_c))]
    fn volume_scale(&self, py: Python<'_>, temperature_c: Values<'_, DegreeCelsius>) -> PyResult<FloatOrArray> {
        let circuit = self.inner.clone();
        let temperatures = temperature_c.read("temperature_c")?;
        temperatures
            .map::<One, _, _>(py, move |t| Ok::<_, crate::Error>(circuit.volume_scale(degrees(t))?.get::<ratio>()))
    }

    /// Volume per length of blade at MAX at the reference attitude [mL/mm]: free surface times the rise of the blade.
    #[getter]
    fn ml_per_mm(&self) -> PyResult<f64> {
        Ok(self.inner.volume_per_blade().map_err(errors::to_py)? * 1e3)
    }

    /// Volume per length of blade anywhere on the stick: free surface times the rise of the blade along *up*.
    ///
    /// ``A cos(phi)`` for a straight blade at the angle phi to *up*; just below where the free surface jumps; nothing where the blade stands
    /// outside the liquid space.
    ///
    /// Parameters
    /// ----------
    /// mm : quantity or array
    ///     Distance from the tip along the blade [mm], 0 to its length.
    /// attitude : Attitude, optional
    ///     How the vehicle stands; the marks' reference attitude where not given.
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     Volume per length [mL/mm].
    ///
    /// Raises
    /// ------
    /// QuantityError
    ///     If a distance is off the blade.
    /// GeometryError
    ///     If the sump has no plan form and is not level.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> bus = fm.Circuit.demo("shuttle-bus")
    /// >>> bus.ml_per_mm_at(mm=bus.max_mm) == bus.ml_per_mm
    /// True
    #[pyo3(signature = (*, mm, attitude=None))]
    fn ml_per_mm_at(
        &self,
        py: Python<'_>,
        mm: Values<'_, Millimetre>,
        attitude: Option<PyRef<'_, Attitude>>,
    ) -> PyResult<FloatOrArray> {
        let (circuit, attitude) = (self.inner.clone(), or_reference(&self.inner, attitude));
        mm.read("mm")?.map::<MillilitrePerMillimetre, _, _>(py, move |along| {
            let area = circuit.volume_per_blade_at(Length::new::<meter>(along), attitude)?;
            Ok::<_, crate::Error>(area.get::<square_meter>())
        })
    }

    /// Litres from MAX at a true reading: what the sump holds, less what it holds at MAX in the reference condition.
    ///
    /// `Reading.litres_from_max` takes MAX at the attitude of the reading instead, as one who does not know of the slope would; the two agree at
    /// the reference attitude.
    ///
    /// Parameters
    /// ----------
    /// mm : quantity or array
    ///     Reading, from the tip along the blade [mm], 0 to its length.
    /// attitude : Attitude, optional
    ///     How the vehicle stands; the marks' reference attitude where not given.
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     Volume from MAX [L]; negative below it.
    ///
    /// Raises
    /// ------
    /// QuantityError
    ///     If a reading is off the blade.
    /// GeometryError
    ///     If the sump has no plan form and is not level.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> bus = fm.Circuit.demo("shuttle-bus")
    /// >>> round(bus.litres_from_max(mm=bus.min_mm), 1)
    /// -1.5
    #[pyo3(signature = (*, mm, attitude=None))]
    fn litres_from_max(
        &self,
        py: Python<'_>,
        mm: Values<'_, Millimetre>,
        attitude: Option<PyRef<'_, Attitude>>,
    ) -> PyResult<FloatOrArray> {
        let (circuit, attitude) = (self.inner.clone(), or_reference(&self.inner, attitude));
        mm.read("mm")?.map::<Litre, _, _>(py, move |along| {
            let volume = circuit.volume_from_max(Length::new::<meter>(along), attitude)?;
            Ok::<_, crate::Error>(volume.get::<cubic_meter>())
        })
    }

    /// A litre scale for the circuit's own stick at an attitude.
    ///
    /// A line for every whole number of steps from a mark, as far as blade and liquid reach. Zero is the volume that the sump holds at that mark
    /// *in the reference condition*: at another attitude the lines stand where that volume reads there. Nominal values, without the errors
    /// of a reading.
    ///
    /// Parameters
    /// ----------
    /// step_l : quantity
    ///     Volume from line to line [L]; at most 10 000 lines.
    /// from_mark : {"MAX", "MIN"}
    ///     Where zero is.
    /// attitude : Attitude, optional
    ///     How the vehicle stands; the marks' reference attitude where not given.
    ///
    /// Returns
    /// -------
    /// LitreScale
    ///     With its `columns`.
    ///
    /// Raises
    /// ------
    /// QuantityError
    ///     If the step is out of range.
    /// GeometryError
    ///     If the sump has no plan form and is not level.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> scale = fm.Circuit.demo("shuttle-bus").litre_scale(step_l=0.5).columns()
    /// >>> [round(float(mm), 1) for mm, litres in zip(scale["mm"], scale["from_max_l"]) if -1.6 < litres < 0.1]
    /// [95.7, 101.0, 106.2, 111.4]
    #[pyo3(signature = (*, step_l, from_mark="MAX", attitude=None))]
    fn litre_scale(
        slf: &Bound<'_, Self>,
        step_l: Scalar<'_, Litre>,
        from_mark: &str,
        attitude: Option<PyRef<'_, Attitude>>,
    ) -> PyResult<LitreScale> {
        let keywords = PyDict::new(slf.py());
        keywords.set_item("step_l", step_l.number("step_l")?)?;
        keywords.set_item("from_mark", from_mark)?;
        let attitude = or_reference(&slf.get().inner, attitude);
        keywords.set_item("attitude", Attitude { inner: attitude })?;
        LitreScale::new(slf, step_l.si("step_l")?, from_mark, attitude, keywords)
    }

    /// Where MIN and MAX belong on the blade at an attitude: a stick marked upright, translated to an installed angle.
    ///
    /// Parameters
    /// ----------
    /// attitude : Attitude
    ///     How the vehicle stands, or how the engine is installed.
    ///
    /// Returns
    /// -------
    /// tuple of float
    ///     Distance of MIN and of MAX from the tip [mm] at which the sump holds there what it holds at the marks in the reference condition.
    ///
    /// Raises
    /// ------
    /// CircuitError
    ///     If such a volume does not meet the blade.
    /// GeometryError
    ///     If the sump has no plan form and is not level.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> bus = fm.Circuit.demo("shuttle-bus")
    /// >>> [round(mm, 1) for mm in bus.marks_at(fm.Attitude())]
    /// [95.8, 111.4]
    fn marks_at(&self, py: Python<'_>, attitude: PyRef<'_, Attitude>) -> PyResult<(f64, f64)> {
        let (circuit, attitude) = (self.inner.clone(), attitude.inner);
        let marks = run_detached(py, move || circuit.marks_at(attitude))?;
        Ok((shortest::<Millimetre>(marks.min), shortest::<Millimetre>(marks.max)))
    }

    /// How long the oil pressure takes to come up after a filter change, at idle.
    ///
    /// ``(net - primed + empty galleries) / (displacement x idle speed)``: slip of the pump is left out. Standard uncertainty by the law of
    /// propagation (JCGM 100:2008, 5.1.2).
    ///
    /// Parameters
    /// ----------
    /// primed_l : quantity
    ///     New oil put into the filter beforehand [L]; none where not given.
    /// empty_galleries_l : quantity
    ///     What else the pump must fill [L]; nothing where not given.
    ///
    /// Returns
    /// -------
    /// PressureDelay
    ///     Primed as stated, and dry, with the stop limit.
    ///
    /// Raises
    /// ------
    /// CircuitError
    ///     If the circuit has no ``[filter]`` or no ``[pump]``.
    /// QuantityError
    ///     If a volume is out of range.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> delay = fm.Circuit.demo("shuttle-bus").pressure_delay(primed_l=0.3)
    /// >>> round(delay.seconds, 1), round(delay.dry_seconds, 1)
    /// (1.0, 3.0)
    #[pyo3(signature = (*, primed_l=None, empty_galleries_l=None))]
    fn pressure_delay(
        slf: &Bound<'_, Self>,
        primed_l: Option<Input<'_, Litre>>,
        empty_galleries_l: Option<Input<'_, Litre>>,
    ) -> PyResult<PressureDelay> {
        let keywords = PyDict::new(slf.py());
        let read = |given: Option<Input<'_, Litre>>, name: &str| {
            let value: units::Value<units::Volume> = match given {
                Some(given) => given.value(name)?,
                None => units::Value::from_si(0.0).map_err(errors::to_py)?,
            };
            keywords.set_item(name, value.written())?;
            PyResult::Ok(value)
        };
        let (primed, galleries) = (read(primed_l, "primed_l")?, read(empty_galleries_l, "empty_galleries_l")?);
        PressureDelay::new(slf, &primed, &galleries, keywords)
    }

    /// Every scalar input.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``path``, ``nominal``, ``standard_uncertainty`` and ``unit`` of the two (SI, temperatures in degC).
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let scalars = self.inner.scalars();
        let columns = PyDict::new(py);
        columns.set_item("path", texts(py, scalars.iter().map(|s| s.path.as_str()).collect())?)?;
        let nominal: Vec<f64> = scalars.iter().map(|s| s.distribution.nominal()).collect();
        let spread: Vec<f64> = scalars.iter().map(|s| s.distribution.standard_deviation()).collect();
        columns.set_item("nominal", nominal.array(py)?)?;
        columns.set_item("standard_uncertainty", spread.array(py)?)?;
        columns.set_item("unit", texts(py, scalars.iter().map(|s| s.dimension.stored_unit()).collect())?)?;
        Ok(columns)
    }

    /// The circuit as TOML, for people; values and units as written.
    ///
    /// Returns
    /// -------
    /// str
    ///     `Circuit.loads` reads it back.
    fn to_toml(&self) -> String {
        self.inner.to_toml()
    }

    /// The circuit as JSON, for exchange; values and units as written.
    ///
    /// Returns
    /// -------
    /// str
    ///     `Circuit.loads` reads it back.
    fn to_json(&self) -> String {
        self.inner.to_json()
    }

    fn __getitem__(&self, py: Python<'_>, path: &str) -> PyResult<Py<PyAny>> {
        let tree: serde_json::Value = serde_json::to_value(self.inner.spec()).unwrap_or_default();
        let node = path.split('.').try_fold(&tree, |node, key| node.get(key));
        match node {
            Some(node) => Ok(errors::to_object(py, node)?.unbind()),
            None => match self.inner.scalars().iter().find(|s| s.path == path) {
                // An input left at its default, or to the grade of the oil, is not written in the file.
                Some(s) => {
                    let written = crate::units::written_form(s.dimension, &s.distribution);
                    Ok(PyString::new(py, &written).into_any().unbind())
                }
                None => Err(PyKeyError::new_err(self.inner.unknown_path(path).to_string())),
            },
        }
    }

    fn __repr__(&self) -> String {
        // Without the contents of its files it makes nothing when pasted.
        if self.made.contains(WITH_FILES) { format!("<{}>", self.made) } else { self.made.clone() }
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let keywords = PyDict::new(py);
        keywords.set_item("text", self.inner.to_json())?;
        let files = PyDict::new(py);
        for (name, bytes) in self.inner.files() {
            files.set_item(name, PyBytes::new(py, bytes))?;
        }
        keywords.set_item("files", files)?;
        reduce::<Self>(py, "loads", keywords)
    }
}

impl Circuit {
    /// The constructor call of the sump alone.
    fn recipe(&self, py: Python<'_>) -> PyResult<Recipe> {
        let spec = self.inner.spec();
        match &spec.sump {
            SumpSpec::Box { length, width, height } => {
                let mm = |v: &crate::units::Value<crate::units::Length>| {
                    super::quantity::shortest::<Millimetre>(v.nominal())
                };
                let recipe = Recipe::of("box").with(py, "length_mm", mm(length))?;
                recipe.with(py, "width_mm", mm(width))?.with(py, "height_mm", mm(height))
            }
            SumpSpec::Mesh { vertices_mm, faces } => {
                let corners = PyTuple::new(py, vertices_mm.iter().map(|v| (v[0], v[1], v[2])))?;
                let triangles = PyTuple::new(py, faces.iter().map(|f| (f[0], f[1], f[2])))?;
                Recipe::of("from_mesh").with(py, "vertices_mm", corners)?.with(py, "faces", triangles)
            }
            SumpSpec::Stl { file, unit } => {
                let bytes = self.inner.files().get(file).map_or(&[][..], |b| b);
                let recipe = Recipe::of("from_stl_bytes").with(py, "data", PyBytes::new(py, bytes))?;
                let unit = serde_json::to_value(unit).unwrap_or_default();
                recipe.with(py, "unit", unit.as_str().unwrap_or("mm"))
            }
            SumpSpec::Table { level_mm, volume_l, centroid_mm } => {
                let recipe = Recipe::of("from_table").with(py, "level_mm", PyTuple::new(py, level_mm)?)?;
                let mut recipe = recipe.with(py, "volume_l", PyTuple::new(py, volume_l)?)?;
                if !centroid_mm.is_empty() {
                    recipe.add(py, "centroid_mm", super::sump::centroid_argument(py, centroid_mm)?)?;
                }
                Ok(recipe)
            }
        }
    }
}

/// How a repr names the contents of files.
const WITH_FILES: &str = ", files=<...>)";

/// The new value of an input, in the shape the file format has.
fn change(path: &str, value: &Bound<'_, PyAny>) -> PyResult<serde_json::Value> {
    if let Ok(uncertain) = value.cast::<Uncertain>() {
        return Ok(uncertain.get().text().into());
    }
    if let Ok(text) = value.cast::<PyString>() {
        return Ok(super::text::of(path, text)?.into());
    }
    if let Ok(number) = value.extract::<f64>() {
        return Ok(check::finite(path, number).map_err(errors::to_py)?.into());
    }
    let strict = PyDict::new(value.py());
    strict.set_item("allow_nan", false)?;
    let json = value.py().import("json")?.call_method("dumps", (value,), Some(&strict)).map_err(|cause| {
        let text = if cause.is_instance_of::<PyTypeError>(value.py()) {
            let kind = value.get_type().name().map_or_else(|_| "object".into(), |n| n.to_string());
            PyTypeError::new_err(format!("{path}: a value of type {kind}; text with a unit or an Uncertain is wanted"))
        } else {
            errors::quantity(format!("{path} must be finite: it is {}", shown(value)), "quantity.not_finite")
        };
        errors::with_cause(value.py(), text, cause)
    })?;
    let json: String = json.extract()?;
    // Python's JSON writes what is none: a whole number beyond every float, half of a UTF-16 pair.
    let no_json = |e: serde_json::Error| {
        errors::quantity(format!("{path} = {} is no value: {e}", shown(value)), "quantity.no_value")
    };
    serde_json::from_str(&json).map_err(no_json)
}

pub(super) fn quoted(py: Python<'_>, text: &str) -> PyResult<String> {
    Ok(PyString::new(py, text).repr()?.to_string())
}

/// Names of the demo circuits.
///
/// Returns
/// -------
/// list of str
///     `Circuit.demo` loads them.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.demos()
/// ['shuttle-bus', 'deck-generator', 'harbour-launch', 'winch-gearbox']
#[pyfunction]
pub(super) fn demos() -> Vec<&'static str> {
    crate::circuit::demos()
}
