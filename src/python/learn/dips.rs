//! Dip studies, for Python.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use uom::si::f64::Length;
use uom::si::length::meter;

use super::super::arrays::{ToArray, Values, texts};
use super::super::circuit::Circuit;
use super::super::detach::run_detached;
use super::super::errors;
use super::super::estimate::counts;
use super::super::unit::Millimetre;
use super::{Band, Call, names};
use crate::infer::learn::{Check, Dip, DipLevel, DipOptions, DipStudy as Core, LearnError, Reader, TraineeRow};

/// Finds how well trainees read one stick, by themselves and among each other (ISO 5725-2).
///
/// Trainees stand for laboratories, levels for materials. At each level, with ``n_i`` readings of trainee ``i``, mean ``m_i`` and standard
/// deviation ``s_i``, and ``p`` trainees (ISO 5725-2:1994, 7.4): ``s_r² = Σ(n_i-1)s_i²/Σ(n_i-1)``, ``s_d² = Σ n_i(m_i-m)²/(p-1)``,
/// ``n = (Σn_i - Σn_i²/Σn_i)/(p-1)``, ``s_L² = max(0, (s_d²-s_r²)/n)``, ``s_R² = s_r² + s_L²``. Over levels the variances are pooled by their degrees of
/// freedom, which holds where precision does not depend on the level. Bands are generalised confidence intervals (Weerahandi, J. Am. Statist.
/// Assoc. 88 (1993) 899). Cochran's and Grubbs' tests name stragglers (5 %) and outliers (1 %); nothing is removed.
///
/// Parameters
/// ----------
/// trainee : sequence
///     Who took each reading.
/// reading_mm : array_like
///     The readings [mm]; at most 2000. At each level at least two trainees, one of them with two readings.
/// level : sequence, optional
///     Which level each reading is of; all the same where not given.
/// coverage : float
///     Coverage probability of the bands, 0.5 to 0.999.
/// draws, seed : int
///     Draws for the bands, 100 to 100 000, and their seed.
///
/// Returns
/// -------
/// DipStudy
///     Repeatability and reproducibility.
///
/// Raises
/// ------
/// QuantityError
///     If a number is not finite or out of range.
/// LearnError
///     If columns differ in length, or trainees or repetitions are too few.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> study = fm.dip_study(["Ada", "Ada", "Bo", "Bo", "Cy", "Cy"], [41.0, 42.0, 43.5, 44.0, 40.5, 41.5])
/// >>> round(study.repeatability_mm, 2), round(study.reproducibility_mm, 2)
/// (0.61, 1.53)
#[pyfunction]
#[pyo3(signature = (trainee, reading_mm, *, level=None, coverage=0.95, draws=4000, seed=1))]
pub(in crate::python) fn dip_study(
    py: Python<'_>,
    trainee: Bound<'_, PyAny>,
    reading_mm: Values<'_, Millimetre>,
    level: Option<Bound<'_, PyAny>>,
    coverage: f64,
    draws: i64,
    seed: i128,
) -> PyResult<DipStudy> {
    let (draws, seed) = counts(draws, seed)?;
    let made = PyDict::new(py);
    let trainee = names(&trainee)?;
    made.set_item("trainee", &trainee)?;
    let reading = reading_mm.read("reading_mm")?;
    made.set_item("reading_mm", reading.as_keyword(py)?)?;
    let reading = reading.flat();
    let given = level.as_ref().map(names).transpose()?;
    if let Some(level) = &given {
        made.set_item("level", level)?;
    }
    let level = given.unwrap_or_else(|| vec!["all".into(); reading.len()]);
    for (second, length) in [("trainee", trainee.len()), ("level", level.len())] {
        if length != reading.len() {
            return Err(errors::to_py(LearnError::LengthsDiffer {
                first: "reading_mm".into(),
                first_length: reading.len(),
                second: second.into(),
                second_length: length,
            }));
        }
    }
    let options = DipOptions { coverage, draws, seed };
    made.set_item("coverage", coverage)?;
    made.set_item("draws", draws)?;
    made.set_item("seed", seed)?;
    let rows = trainee.into_iter().zip(level).zip(reading);
    let dips: Vec<Dip> =
        rows.map(|((trainee, level), mm)| Dip { trainee, level, reading: Length::new::<meter>(mm / 1e3) }).collect();
    let inner = run_detached(py, move || crate::infer::learn::dip_study(&dips, &options))?;
    Ok(DipStudy { inner, call: Call::new("dip_study", made) })
}

/// Precision of dips. Made by `dip_study`; prints as a table.
#[pyclass(frozen, eq, module = "fillmark")]
pub(in crate::python) struct DipStudy {
    inner: Core,
    call: Call,
}

impl PartialEq for DipStudy {
    fn eq(&self, other: &Self) -> bool {
        // Standard deviations of single readings are NaN, so the study is compared by what it was made of as well.
        self.inner.bands == other.inner.bands
            && self.inner.options == other.inner.options
            && self.text() == other.text()
    }
}

impl DipStudy {
    fn text(&self) -> String {
        format!("{:?}", self.inner.levels)
    }

    fn band(&self, which: usize) -> Band {
        Band::of(self.inner.bands[which], 1e3, "mm", self.inner.options.coverage)
    }
}

#[pymethods]
impl DipStudy {
    /// Repeatability standard deviation ``s_r``: one trainee, over and over [mm].
    #[getter]
    fn repeatability_mm(&self) -> f64 {
        self.inner.s_r * 1e3
    }

    /// Standard deviation between trainees ``s_L`` [mm].
    #[getter]
    fn between_trainees_mm(&self) -> f64 {
        self.inner.s_l * 1e3
    }

    /// Reproducibility standard deviation ``s_R``: another trainee each time [mm].
    #[getter]
    fn reproducibility_mm(&self) -> f64 {
        self.inner.s_big_r * 1e3
    }

    /// Two readings of one trainee differ by less than this with 95 % probability: ``2.8 s_r`` (ISO 5725-6, 4.1) [mm].
    #[getter]
    fn repeatability_limit_mm(&self) -> f64 {
        self.inner.s_r * 2.8e3
    }

    /// Two readings of different trainees differ by less than this with 95 % probability: ``2.8 s_R`` (ISO 5725-6, 4.1) [mm].
    #[getter]
    fn reproducibility_limit_mm(&self) -> f64 {
        self.inner.s_big_r * 2.8e3
    }

    /// Bands of the three standard deviations.
    ///
    /// Returns
    /// -------
    /// dict of str to Band
    ///     ``repeatability``, ``between_trainees``, ``reproducibility`` [mm].
    fn bands<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let found = PyDict::new(py);
        for (k, name) in ["repeatability", "between_trainees", "reproducibility"].iter().enumerate() {
            found.set_item(name, Py::new(py, self.band(k))?)?;
        }
        Ok(found)
    }

    /// One entry for each trainee at each level.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``level``, ``trainee``, ``count``, ``mean_mm``, ``deviation_mm`` (NaN of a single reading), Mandel's ``h`` and ``k``.
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let rows: Vec<(&DipLevel, &TraineeRow)> =
            self.inner.levels.iter().flat_map(|l| l.rows.iter().map(move |r| (l, r))).collect();
        let columns = PyDict::new(py);
        columns.set_item("level", texts(py, rows.iter().map(|(l, _)| l.level.as_str()).collect())?)?;
        columns.set_item("trainee", texts(py, rows.iter().map(|(_, r)| r.trainee.as_str()).collect())?)?;
        columns.set_item("count", rows.iter().map(|(_, r)| r.count as u64).collect::<Vec<_>>().array(py)?)?;
        let column = |of: &dyn Fn(&TraineeRow) -> f64| rows.iter().map(|(_, r)| of(r)).collect::<Vec<_>>();
        columns.set_item("mean_mm", column(&|r| r.mean * 1e3).array(py)?)?;
        columns.set_item("deviation_mm", column(&|r| r.deviation * 1e3).array(py)?)?;
        columns.set_item("h", column(&|r| r.h).array(py)?)?;
        columns.set_item("k", column(&|r| r.k).array(py)?)?;
        Ok(columns)
    }

    /// One entry for each level.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``level``, ``mean_mm``, ``repeatability_mm``, ``between_trainees_mm``, ``reproducibility_mm``.
    fn levels<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let all = &self.inner.levels;
        let columns = PyDict::new(py);
        columns.set_item("level", texts(py, all.iter().map(|l| l.level.as_str()).collect())?)?;
        let column = |of: &dyn Fn(&DipLevel) -> f64| all.iter().map(|l| of(l) * 1e3).collect::<Vec<_>>();
        columns.set_item("mean_mm", column(&|l| l.mean).array(py)?)?;
        columns.set_item("repeatability_mm", column(&DipLevel::s_r).array(py)?)?;
        columns.set_item("between_trainees_mm", column(&DipLevel::s_l).array(py)?)?;
        columns.set_item("reproducibility_mm", column(&DipLevel::s_big_r).array(py)?)?;
        Ok(columns)
    }

    /// The tests for trainees who differ from the others: Cochran's of the greatest scatter, Grubbs' of the highest and lowest mean (from three trainees on).
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``test``, ``level``, ``trainee``, ``statistic``, ``critical_5``, ``critical_1`` and ``finding``: ``straggler`` beyond the 5 % critical value,
    ///     ``outlier`` beyond that of 1 %, else empty.
    fn checks<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let rows: Vec<(&DipLevel, &Check)> =
            self.inner.levels.iter().flat_map(|l| l.checks.iter().map(move |c| (l, c))).collect();
        let columns = PyDict::new(py);
        columns.set_item("test", texts(py, rows.iter().map(|(_, c)| c.name).collect())?)?;
        columns.set_item("level", texts(py, rows.iter().map(|(l, _)| l.level.as_str()).collect())?)?;
        columns.set_item("trainee", texts(py, rows.iter().map(|(_, c)| c.trainee.as_str()).collect())?)?;
        let column = |of: &dyn Fn(&Check) -> f64| rows.iter().map(|(_, c)| of(c)).collect::<Vec<_>>();
        columns.set_item("statistic", column(&|c| c.statistic).array(py)?)?;
        columns.set_item("critical_5", column(&|c| c.critical_5).array(py)?)?;
        columns.set_item("critical_1", column(&|c| c.critical_1).array(py)?)?;
        columns.set_item("finding", texts(py, rows.iter().map(|(_, c)| c.finding().word()).collect())?)?;
        Ok(columns)
    }

    /// A circuit whose readings scatter as the study showed.
    ///
    /// Parameters
    /// ----------
    /// circuit : Circuit
    ///     The circuit.
    /// reader : str
    ///     ``"anyone"``: another trainee each time, ``dipstick.scatter`` is ``s_R``. ``"same trainee"``: it is ``s_r``, and ``dipstick.seat_offset``, whose error all
    ///     readings share, is wider by ``s_L``.
    ///
    /// Returns
    /// -------
    /// Circuit
    ///     A changed copy.
    ///
    /// Raises
    /// ------
    /// ValueError
    ///     If `reader` is neither.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> study = fm.dip_study(["Ada", "Ada", "Bo", "Bo", "Cy", "Cy"], [41.0, 42.0, 43.5, 44.0, 40.5, 41.5])
    /// >>> bus = study.apply(fm.Circuit.demo("shuttle-bus"), reader="same trainee")
    #[pyo3(signature = (circuit, *, reader="anyone"))]
    fn apply<'py>(&self, circuit: &Bound<'py, Circuit>, reader: &str) -> PyResult<Bound<'py, PyAny>> {
        let py = circuit.py();
        let reader = match reader {
            "anyone" => Reader::Anyone,
            "same trainee" => Reader::Same,
            other => {
                let text = format!("reader = {other:?}; accepted are \"anyone\" and \"same trainee\"");
                return Err(errors::quantity(text, "quantity.unknown_word"));
            }
        };
        let normal = PyDict::new(py);
        for (path, value) in self.inner.changes(&circuit.get().inner, reader) {
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
