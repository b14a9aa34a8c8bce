//! A stick from step pours, for Python.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::super::arrays::{ToArray, Values};
use super::super::circuit::Circuit;
use super::super::detach::run_detached;
use super::super::errors;
use super::super::estimate::counts;
use super::super::quantity::Scalar;
use super::super::unit::{Litre, Millimetre, One};
use super::super::value::Input;
use super::{Band, Call, add_bands, keep};
use crate::infer::learn::{CalibrateOptions, Calibration as Core, LearnError};

/// Learns a stick from step pours: volume along the blade, volume of the span, zero.
///
/// ``added_l[i]`` was poured just before ``reading_mm[i]`` was taken; 0 for a reading taken again without a pour. What stood in the
/// sump before the first reading counts as the start, whatever ``added_l[0]`` says.
///
/// The reading is ``g(V) + e``: ``V`` the volume poured by then, ``e`` the scatter of the reading, ``g`` a rising curve. It is a straight line with a flat
/// prior and, one third each (judgement), nothing else (straight sides), a parabola (sides that lean evenly: the slope changes by 0.5 of its mean, one
/// standard deviation, a judgement), or an integrated Brownian motion (the Bayesian cubic smoothing spline: Wahba, J. R. Statist. Soc. B 40 (1978) 364; its bands:
/// Nychka, J. Am. Statist. Assoc. 83 (1988) 1134). Kind of sides, how much the slope wanders (half-normal prior: its mean over all pours, a judgement) and the
/// scatter are summed over, weighted by their marginal likelihood. The error of the jug's scale is shared by all
/// pours, that of a single pour (`pour_scatter_l`, to first order) and that of a reading are independent. mL per mm is the scale over ``g'``. Bands
/// are quantiles of the draws.
///
/// Parameters
/// ----------
/// added_l : array_like
///     Poured before each reading, by the jug's scale [L], 0 or more. At least three different volumes, at most 500 readings.
/// reading_mm : array_like
///     Readings, from the tip along the blade [mm], 0 or more.
/// min_mm, max_mm : quantity, optional
///     The marks [mm]: for the volume of the span, and so that no pour above MAX is proposed. At most a quarter of the readings' range
///     outside it.
/// start_l : quantity, optional
///     In the sump before the first pour [L]; without it volumes count from there, and the zero of the stick stays open.
/// jug_scale : quantity
///     True volume over stated volume of the jug, such as ``"1.00(2)"``.
/// pour_scatter_l : quantity
///     Standard uncertainty of each single pour besides that [L].
/// scatter_mm : quantity, optional
///     Standard deviation of one reading [mm]; uncertain where it is not well known. Where not given, lognormal with median 1 mm
///     and 0.4 as standard deviation of its logarithm (judgement).
/// coverage : float
///     Coverage probability of the bands, 0.5 to 0.999.
/// draws, seed : int
///     Draws, 100 to 100 000, and their seed.
///
/// Returns
/// -------
/// Calibration
///     The stick as the pours showed it.
///
/// Raises
/// ------
/// QuantityError
///     If a number is not finite or out of range.
/// LearnError
///     If there are too few different volumes, the readings do not rise with what was poured, or a mark lies where the pours say nothing.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fit = fm.calibrate(
/// ...     added_l=[0.0, 0.4, 0.4, 0.4, 0.4, 0.4], reading_mm=[22.0, 31.5, 40.0, 49.5, 58.0, 67.5],
/// ...     min_mm=25.0, max_mm=60.0, jug_scale="1.00(2)",
/// ... )
/// >>> fit.span_l.low < 1.55 < fit.span_l.high
/// True
/// >>> sorted(fit.columns())[:3]
/// ['high_ml_per_mm', 'high_volume_l', 'low_ml_per_mm']
#[pyfunction]
#[pyo3(signature = (added_l, reading_mm, *, min_mm=None, max_mm=None, start_l=None, jug_scale=None, pour_scatter_l=None, scatter_mm=None, coverage=0.95, draws=4000, seed=1))]
#[allow(clippy::too_many_arguments)] // keyword-only in Python
pub(in crate::python) fn calibrate(
    py: Python<'_>,
    added_l: Values<'_, Litre>,
    reading_mm: Values<'_, Millimetre>,
    min_mm: Option<Input<'_, Millimetre>>,
    max_mm: Option<Input<'_, Millimetre>>,
    start_l: Option<Input<'_, Litre>>,
    jug_scale: Option<Input<'_, One>>,
    pour_scatter_l: Option<Scalar<'_, Litre>>,
    scatter_mm: Option<Input<'_, Millimetre>>,
    coverage: f64,
    draws: i64,
    seed: i128,
) -> PyResult<Calibration> {
    let (draws, seed) = counts(draws, seed)?;
    let made = PyDict::new(py);
    let added = added_l.read("added_l")?;
    made.set_item("added_l", added.as_keyword(py)?)?;
    let reading = reading_mm.read("reading_mm")?;
    made.set_item("reading_mm", reading.as_keyword(py)?)?;
    let given = [
        ("min_mm", min_mm.as_ref().map(Input::object)),
        ("max_mm", max_mm.as_ref().map(Input::object)),
        ("start_l", start_l.as_ref().map(Input::object)),
        ("jug_scale", jug_scale.as_ref().map(Input::object)),
        ("scatter_mm", scatter_mm.as_ref().map(Input::object)),
    ];
    given.iter().try_for_each(|(name, value)| keep(&made, name, *value))?;
    let mut options = CalibrateOptions { coverage, draws, seed, ..CalibrateOptions::default() };
    options.marks = match (min_mm, max_mm) {
        (Some(min), Some(max)) => Some([min.value("min_mm")?, max.value("max_mm")?]),
        (None, None) => None,
        _ => return Err(errors::to_py(LearnError::Marks { reason: "one mark is given, the other is not".into() })),
    };
    options.start = start_l.map(|v| v.value("start_l")).transpose()?;
    if let Some(scale) = jug_scale {
        options.jug_scale = scale.value("jug_scale")?;
    }
    if let Some(scatter) = pour_scatter_l {
        made.set_item("pour_scatter_l", scatter.number("pour_scatter_l")?)?;
        options.pour_scatter = scatter.si("pour_scatter_l")?;
    }
    if let Some(scatter) = scatter_mm {
        options.scatter = scatter.value("scatter_mm")?;
    }
    made.set_item("coverage", coverage)?;
    made.set_item("draws", draws)?;
    made.set_item("seed", seed)?;
    let added: Vec<Volume> = added.flat().iter().map(|v| Volume::new::<cubic_meter>(v / 1e3)).collect();
    let reading: Vec<Length> = reading.flat().iter().map(|v| Length::new::<meter>(v / 1e3)).collect();
    let inner = run_detached(py, move || crate::infer::learn::calibrate(&added, &reading, &options))?;
    Ok(Calibration { inner, call: Call::new("calibrate", made) })
}

/// A stick as step pours showed it. Made by `calibrate`; prints as a table.
#[pyclass(frozen, eq, module = "fillmark")]
pub(in crate::python) struct Calibration {
    inner: Core,
    call: Call,
}

impl PartialEq for Calibration {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

impl Calibration {
    fn band(&self, band: crate::infer::learn::Band, unit: &str) -> Band {
        Band::of(band, if unit == "1" { 1.0 } else { 1e3 }, unit, self.inner.options().coverage)
    }
}

#[pymethods]
impl Calibration {
    /// Mean volume per length of blade between the lowest and the highest reading [mL/mm].
    #[getter]
    fn ml_per_mm(&self) -> Band {
        self.band(self.inner.per_blade_mean(), "mL/mm")
    }

    /// Volume of the span, MIN to MAX [L]; None where the marks were not given.
    #[getter]
    fn span_l(&self) -> Option<Band> {
        self.inner.span().ok().map(|b| self.band(b, "L"))
    }

    /// The zero of the pours: what the stick reads, free of scatter, before the first pour [mm].
    #[getter]
    fn zero_mm(&self) -> Band {
        self.band(self.inner.zero(), "mm")
    }

    /// Scatter of a reading, as the readings leave it [mm].
    #[getter]
    fn scatter_mm(&self) -> Band {
        self.band(self.inner.scatter(), "mm")
    }

    /// Volume per length of blade at a place.
    ///
    /// Parameters
    /// ----------
    /// mm : quantity
    ///     Distance from the tip along the blade [mm].
    ///
    /// Returns
    /// -------
    /// Band
    ///     [mL/mm].
    fn ml_per_mm_at(&self, mm: Scalar<'_, Millimetre>) -> PyResult<Band> {
        Ok(self.band(self.inner.per_blade_at(mm.si("mm")?), "mL/mm"))
    }

    /// Volume when the stick reads `mm`: in the sump where ``start_l`` was given, else above that before the first pour.
    ///
    /// Parameters
    /// ----------
    /// mm : quantity
    ///     The reading, from the tip along the blade [mm]; beyond the pours the band widens fast.
    ///
    /// Returns
    /// -------
    /// Band
    ///     [L].
    fn volume_l(&self, mm: Scalar<'_, Millimetre>) -> PyResult<Band> {
        Ok(self.band(self.inner.volume_at(mm.si("mm")?), "L"))
    }

    /// Volume between two readings.
    ///
    /// Parameters
    /// ----------
    /// low_mm, high_mm : quantity
    ///     The readings [mm].
    ///
    /// Returns
    /// -------
    /// Band
    ///     [L]; below zero where ``high_mm`` is the lower one.
    fn volume_between_l(&self, low_mm: Scalar<'_, Millimetre>, high_mm: Scalar<'_, Millimetre>) -> PyResult<Band> {
        Ok(self.band(self.inner.volume_between(low_mm.si("low_mm")?, high_mm.si("high_mm")?), "L"))
    }

    /// Forty-one places along the blade, from the lowest to the highest reading.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``mm``; ``ml_per_mm`` and ``volume_l`` (medians), each with ``low_`` and ``high_`` (ends of the band).
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let along = self.inner.along();
        let columns = PyDict::new(py);
        columns.set_item("mm", along.iter().map(|s| s * 1e3).collect::<Vec<_>>().array(py)?)?;
        let slopes: Vec<_> = along.iter().map(|s| self.inner.per_blade_at(*s)).collect();
        let volumes: Vec<_> = along.iter().map(|s| self.inner.volume_at(*s)).collect();
        add_bands(&columns, "ml_per_mm", &slopes, 1e3)?;
        add_bands(&columns, "volume_l", &volumes, 1e3)?;
        Ok(columns)
    }

    /// What may come next, the one that teaches most first: the last level read again, or one more pour and its reading.
    ///
    /// The target is the volume of the span where the marks were given, else the mean mL per mm. Its expected variance after one more reading is found by
    /// making readings from the draws and weighting the draws by their likelihood (preposterior analysis: Raiffa and Schlaifer, Applied Statistical Decision
    /// Theory, 1961). The jug's own error is left by every pour with the same jug. One more pour brings its own error (`pour_scatter_l`) into its reading, a
    /// level read again does not: with a poor jug that may teach more. Amounts up to a quarter of all that was poured; where MAX is known, none that would stand
    /// above it with more than 2.5 % probability. Reading again is always offered.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``added_l`` (0: the reading is taken again); ``reading_mm`` expected, with ``low_`` and ``high_``; ``left``, the expected standard
    ///     uncertainty of the target over that now.
    fn next_pours<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let all = self.inner.next_pours();
        let columns = PyDict::new(py);
        columns.set_item("added_l", all.iter().map(|p| p.added * 1e3).collect::<Vec<_>>().array(py)?)?;
        add_bands(&columns, "reading_mm", &all.iter().map(|p| p.reading).collect::<Vec<_>>(), 1e3)?;
        columns.set_item("left", all.iter().map(|p| p.left).collect::<Vec<_>>().array(py)?)?;
        Ok(columns)
    }

    /// How a circuit's geometry would have to be for its stick to read as the pours showed.
    ///
    /// ``V_i = k D(s_i - δ) + e_i`` with ``D`` the drawn volume along the blade and ``V_i`` that poured by reading ``s_i``, by generalised least squares: the errors are
    /// those of start, jug and pours, the scatter of the readings, and 5 mL of misfit (judgement). It is drawn to what the circuit states of
    /// ``geometry.volume_scale`` and ``geometry.datum`` (where exactly: 2 % and 2 mm, judgement), because a short piece of blade can hardly tell the two apart; as
    /// Student's t of four degrees of freedom with that standard uncertainty, so that a sump far from its drawing is not held back. It is fitted to draws of the errors about draws
    /// of that prior (randomised maximum likelihood: Bardsley et al., SIAM J. Sci. Comput. 36 (2014) A1895). Without `start_l` differences of volume say ``k`` alone. Attitude: that of the marks.
    ///
    /// Parameters
    /// ----------
    /// circuit : Circuit
    ///     The circuit whose stick was read.
    ///
    /// Returns
    /// -------
    /// dict
    ///     ``volume_scale`` (Band), ``datum_mm`` (Band, None without ``start_l``), ``correlation`` of the two (None likewise), ``left_over_l``: the
    ///     largest distance, along the blade, that these two numbers leave between circuit and pours [L].
    ///
    /// Raises
    /// ------
    /// LearnError
    ///     If a reading lies above the circuit's blade.
    fn against<'py>(&self, py: Python<'py>, circuit: &Circuit) -> PyResult<Bound<'py, PyDict>> {
        let fit = self.inner.against(&circuit.inner).map_err(errors::to_py)?;
        let found = PyDict::new(py);
        found.set_item("volume_scale", Py::new(py, self.band(fit.volume_scale, "1"))?)?;
        found.set_item("datum_mm", fit.datum.map(|d| Py::new(py, self.band(d, "mm"))).transpose()?)?;
        found.set_item("correlation", fit.correlation)?;
        found.set_item("left_over_l", fit.left_over * 1e3)?;
        Ok(found)
    }

    /// A circuit with what was learnt put in.
    ///
    /// ``geometry.volume_scale`` and, with ``start_l``, ``geometry.datum`` as of `against`, with their ``geometry.correlation``: readings predicted with the circuit
    /// know both together better than either alone. The marks where they were given, and ``dipstick.scatter``. What a circuit cannot hold: the curve's
    /// own shape where it differs from the drawing's (``left_over_l``).
    ///
    /// Parameters
    /// ----------
    /// circuit : Circuit
    ///     The circuit whose stick was read.
    ///
    /// Returns
    /// -------
    /// Circuit
    ///     A changed copy.
    ///
    /// Raises
    /// ------
    /// LearnError
    ///     If a reading lies above the circuit's blade.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> gearbox = fm.Circuit.demo("winch-gearbox")
    /// >>> fit = fm.calibrate([0, 0.3, 0.3, 0.3], [41.0, 48.5, 56.5, 64.0], start_l=2.38, scatter_mm=0.5)
    /// >>> learnt = fit.apply(gearbox)
    /// >>> learnt.columns()["standard_uncertainty"][0] > 0
    /// np.True_
    fn apply<'py>(&self, circuit: &Bound<'py, Circuit>) -> PyResult<Bound<'py, PyAny>> {
        let py = circuit.py();
        let changes = self.inner.changes(&circuit.get().inner).map_err(errors::to_py)?;
        let normal = PyDict::new(py);
        for (path, value) in &changes {
            normal.set_item(path, errors::to_object(py, value)?)?;
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
