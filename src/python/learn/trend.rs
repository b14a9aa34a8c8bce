//! Readings over use, for Python.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyString, PyTuple};
use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::super::arrays::{ToArray, Values};
use super::super::detach::run_detached;
use super::super::errors;
use super::super::estimate::counts;
use super::super::quantity::Scalar;
use super::super::unit::{Litre, Millimetre, One};
use super::super::value::Input;
use super::{Band, Call, add_bands, keep};
use crate::infer::learn::{LearnError, Mark, Trend as Core, TrendOptions};
use crate::units::{Area, Ratio, Value};

/// Finds the rate at which oil is lost or gained from readings over use, where it changed, and when a mark is reached.
///
/// With ``t`` the use since the first reading as a share of the record, the reading is ``s0 + k A + r t + e`` (``A`` what had been
/// added, ``k`` the jug's scale over mL per mm), or also ``d max(0, t - tau)``: the rate changed once, or a jump that nobody recorded. All coefficients have normal priors, so that
/// for a given ``tau`` and scatter posterior and marginal likelihood are exact (Bayesian linear regression: Gelman et al., Bayesian Data Analysis,
/// 3rd ed., 14.8); ``tau`` (uniform over the record), the scatter and the three models are summed over: the single change point of Smith,
/// Biometrika 62 (1975) 407. The level shows only the *net* gain, ingress less use; see `Trend.ridge`.
///
/// Parameters
/// ----------
/// over : array_like
///     Use at each reading, such as the odometer [km] or hours, in any unit, not falling. At least three readings, at most 500.
/// reading_mm : array_like
///     Readings, from the tip along the blade [mm], all under the same conditions.
/// ml_per_mm : quantity
///     Volume per length of blade [mL/mm], such as ``"45(2) mL/mm"`` or ``Calibration.ml_per_mm``; counts by mean and standard uncertainty.
/// added_over, added_l : array_like, optional
///     Where something was added and how much [L]; below 0 what was taken out. An addition at the place of a reading was made after it.
/// min_mm, max_mm : quantity, optional
///     The marks [mm].
/// jug_scale : quantity
///     True volume over stated volume of the additions, all alike; counts by mean and standard uncertainty.
/// scatter_mm : quantity, optional
///     As in `calibrate`.
/// prior_change_l : quantity
///     Standard deviation of the priors of what is lost or gained over the whole record, of its change and of a jump [L]; 2 where not
///     given (judgement). The probabilities of change and jump depend on it.
/// probability_change, probability_jump : float
///     Prior probabilities that the rate changed, and of a jump (judgement).
/// unit : str
///     Name of the unit of `over`.
/// per : float
///     Rates are per so much use, such as 1000 km.
/// coverage : float
///     Coverage probability of the bands, 0.5 to 0.999.
/// draws, seed : int
///     Draws, 100 to 1 000 000, and their seed.
///
/// Returns
/// -------
/// Trend
///     Rates with bands, probabilities of a change and a jump, when MIN or MAX is reached.
///
/// Raises
/// ------
/// QuantityError
///     If a number is not finite or out of range.
/// LearnError
///     If there are too few readings, or they are out of order or all at one place.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> record = fm.trend(
/// ...     over=[0, 2000, 4000, 6000, 8000], reading_mm=[61.0, 50.5, 41.0, 52.0, 41.5], ml_per_mm=45,
/// ...     added_over=[4000], added_l=[1.0], min_mm=30, max_mm=62, scatter_mm=1,
/// ... )
/// >>> record.rate_l.low < -0.22 < record.rate_l.high
/// True
/// >>> record.reaches_min.unit
/// 'km'
#[pyfunction]
#[pyo3(signature = (over, reading_mm, *, ml_per_mm, added_over=None, added_l=None, min_mm=None, max_mm=None, jug_scale=None, scatter_mm=None, prior_change_l=None, probability_change=0.2, probability_jump=0.1, unit="km", per=1000.0, coverage=0.95, draws=10_000, seed=1))]
#[allow(clippy::too_many_arguments)] // keyword-only in Python
pub(in crate::python) fn trend(
    py: Python<'_>,
    over: Values<'_, One>,
    reading_mm: Values<'_, Millimetre>,
    ml_per_mm: Bound<'_, PyAny>,
    added_over: Option<Values<'_, One>>,
    added_l: Option<Values<'_, Litre>>,
    min_mm: Option<Input<'_, Millimetre>>,
    max_mm: Option<Input<'_, Millimetre>>,
    jug_scale: Option<Input<'_, One>>,
    scatter_mm: Option<Input<'_, Millimetre>>,
    prior_change_l: Option<Scalar<'_, Litre>>,
    probability_change: f64,
    probability_jump: f64,
    unit: &str,
    per: f64,
    coverage: f64,
    draws: i64,
    seed: i128,
) -> PyResult<Trend> {
    let (draws, seed) = counts(draws, seed)?;
    let made = PyDict::new(py);
    let over = over.read("over")?;
    made.set_item("over", over.as_keyword(py)?)?;
    let reading = reading_mm.read("reading_mm")?;
    made.set_item("reading_mm", reading.as_keyword(py)?)?;
    made.set_item("ml_per_mm", &ml_per_mm)?;
    let mut options = TrendOptions::new(per_blade(&ml_per_mm)?);
    let added = additions(&made, added_over, added_l)?;
    let given = [
        ("min_mm", min_mm.as_ref().map(Input::object)),
        ("max_mm", max_mm.as_ref().map(Input::object)),
        ("jug_scale", jug_scale.as_ref().map(Input::object)),
        ("scatter_mm", scatter_mm.as_ref().map(Input::object)),
    ];
    given.iter().try_for_each(|(name, value)| keep(&made, name, *value))?;
    options.marks = match (min_mm, max_mm) {
        (Some(min), Some(max)) => Some([min.value("min_mm")?, max.value("max_mm")?]),
        (None, None) => None,
        _ => return Err(errors::to_py(LearnError::Marks { reason: "one mark is given, the other is not".into() })),
    };
    if let Some(scale) = jug_scale {
        options.jug_scale = scale.value("jug_scale")?;
    }
    if let Some(scatter) = scatter_mm {
        options.scatter = scatter.value("scatter_mm")?;
    }
    if let Some(prior) = prior_change_l {
        made.set_item("prior_change_l", prior.number("prior_change_l")?)?;
        options.prior_change = prior.si("prior_change_l")?;
    }
    options = TrendOptions { probability_change, probability_jump, coverage, draws, seed, ..options };
    let rest: [(&str, Bound<'_, PyAny>); 7] = [
        ("probability_change", probability_change.into_pyobject(py)?.into_any()),
        ("probability_jump", probability_jump.into_pyobject(py)?.into_any()),
        ("unit", unit.into_pyobject(py)?.into_any()),
        ("per", per.into_pyobject(py)?.into_any()),
        ("coverage", coverage.into_pyobject(py)?.into_any()),
        ("draws", draws.into_pyobject(py)?.into_any()),
        ("seed", seed.into_pyobject(py)?.into_any()),
    ];
    rest.iter().try_for_each(|(name, value)| made.set_item(name, value))?;
    crate::numeric::check::in_range("per", per, 1e-9, 1e12, unit).map_err(errors::to_py)?;
    let over = over.flat();
    let reading: Vec<Length> = reading.flat().iter().map(|v| Length::new::<meter>(v / 1e3)).collect();
    let inner = run_detached(py, move || crate::infer::learn::trend(&over, &reading, &added, &options))?;
    Ok(Trend { inner, unit: unit.into(), per, call: Call::new("trend", made) })
}

/// The volume per length of blade: a number, text that may end in `mL/mm`, an uncertain number, or the band of a calibration.
fn per_blade(given: &Bound<'_, PyAny>) -> PyResult<Value<Area>> {
    let text = if let Ok(band) = given.cast::<Band>() {
        band.get().as_normal()
    } else if let Ok(text) = given.cast::<PyString>() {
        text.to_cow()?.into_owned()
    } else {
        let input: Input<'_, One> = given.extract()?;
        input.value::<Ratio>("ml_per_mm")?.written().to_owned()
    };
    let number = text.trim().trim_end_matches("mL/mm").trim();
    let read = Value::<Ratio>::parse("ml_per_mm", number).map_err(errors::to_py)?;
    // 1 mL per mm is a thousandth of a square metre.
    let scaled = read.distribution().map_affine(1e-3, 0.0).map_err(errors::to_py)?;
    Ok(Value::from_distribution(scaled))
}

/// What was added, and where; both columns or neither.
fn additions(
    made: &Bound<'_, PyDict>,
    over: Option<Values<'_, One>>,
    litres: Option<Values<'_, Litre>>,
) -> PyResult<Vec<(f64, Volume)>> {
    let py = made.py();
    let (mut places, mut amounts) = (Vec::new(), Vec::new());
    if let Some(over) = over {
        let over = over.read("added_over")?;
        made.set_item("added_over", over.as_keyword(py)?)?;
        places = over.flat();
    }
    if let Some(litres) = litres {
        let litres = litres.read("added_l")?;
        made.set_item("added_l", litres.as_keyword(py)?)?;
        amounts = litres.flat();
    }
    if places.len() != amounts.len() {
        return Err(errors::to_py(LearnError::LengthsDiffer {
            first: "added_over".into(),
            first_length: places.len(),
            second: "added_l".into(),
            second_length: amounts.len(),
        }));
    }
    Ok(places.into_iter().zip(amounts).map(|(x, v)| (x, Volume::new::<cubic_meter>(v / 1e3))).collect())
}

/// A rate from readings over use. Made by `trend`; prints as a summary.
#[pyclass(frozen, eq, module = "fillmark")]
pub(in crate::python) struct Trend {
    inner: Core,
    unit: String,
    per: f64,
    call: Call,
}

impl PartialEq for Trend {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner && self.unit == other.unit && self.per == other.per
    }
}

impl Trend {
    fn band(&self, band: crate::infer::learn::Band, factor: f64, unit: &str) -> Band {
        Band::of(band, factor, unit, self.inner.options().coverage)
    }

    fn rate(&self, band: crate::infer::learn::Band) -> Band {
        self.band(band, 1e3 * self.per, &format!("L per {} {}", self.per, self.unit))
    }
}

#[pymethods]
impl Trend {
    /// Net gain at the end of the record [L per `per` of use]: what comes in less what is used; below 0 where oil is lost.
    #[getter]
    fn rate_l(&self) -> Band {
        self.rate(self.inner.rate())
    }

    /// Net gain at the beginning of the record [L per `per` of use].
    #[getter]
    fn rate_before_l(&self) -> Band {
        self.rate(self.inner.rate_before())
    }

    /// Probability that the rate changed within the record.
    #[getter]
    fn probability_change(&self) -> f64 {
        self.inner.probability_change()
    }

    /// Where the rate changed, if it did [unit of use]; None where no draw has a change.
    #[getter]
    fn change_over(&self) -> Option<Band> {
        self.inner.change_over().map(|b| self.band(b, 1.0, &self.unit))
    }

    /// Probability of a jump that nobody recorded.
    #[getter]
    fn probability_jump(&self) -> f64 {
        self.inner.probability_jump()
    }

    /// Where the jump was, if there was one: the middle of a gap between readings [unit of use]; None where no draw has one.
    #[getter]
    fn jump_over(&self) -> Option<Band> {
        self.inner.jump_over().map(|b| self.band(b, 1.0, &self.unit))
    }

    /// Volume of the jump, if there was one [L]; None where no draw has one.
    #[getter]
    fn jump_l(&self) -> Option<Band> {
        self.inner.jump().map(|b| self.band(b, 1e3, "L"))
    }

    /// The true reading at the end of the record, additions included [mm].
    #[getter]
    fn reading_now_mm(&self) -> Band {
        self.band(self.inner.reading_now(), 1e3, "mm")
    }

    /// Scatter of a reading, as the readings leave it [mm].
    #[getter]
    fn scatter_mm(&self) -> Band {
        self.band(self.inner.scatter(), 1e3, "mm")
    }

    /// Use at which MIN is reached, if nothing more is added and the present rate goes on [unit of use]; None without marks.
    ///
    /// Infinite for draws whose rate leads away from MIN; the end of the record for those that stand below it already. Where either holds more draws
    /// than half of what the coverage leaves out, the band ends there and leaves the whole out on its other side.
    #[getter]
    fn reaches_min(&self) -> Option<Band> {
        self.inner.reaches(Mark::Min).ok().map(|r| self.band(r.over, 1.0, &self.unit))
    }

    /// Use at which MAX is reached [unit of use], likewise.
    #[getter]
    fn reaches_max(&self) -> Option<Band> {
        self.inner.reaches(Mark::Max).ok().map(|r| self.band(r.over, 1.0, &self.unit))
    }

    /// Probability that the present rate leads to MIN, or that the level stands below it already; None without marks.
    #[getter]
    fn probability_min(&self) -> Option<f64> {
        self.inner.reaches(Mark::Min).ok().map(|r| r.probability)
    }

    /// Probability that the present rate leads to MAX, or that the level stands above it already; None without marks.
    #[getter]
    fn probability_max(&self) -> Option<f64> {
        self.inner.reaches(Mark::Max).ok().map(|r| r.probability)
    }

    /// The line through the record and half its length ahead.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``over``; ``mm``, the true reading (median), with ``low_mm`` and ``high_mm``.
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let (over, bands): (Vec<f64>, Vec<_>) = self.inner.line().into_iter().unzip();
        let columns = PyDict::new(py);
        columns.set_item("over", over.array(py)?)?;
        add_bands(&columns, "mm", &bands, 1e3)?;
        Ok(columns)
    }

    /// Pairs of ingress and use that the readings cannot tell apart: fuel or coolant in and oil out.
    ///
    /// The level shows only the net gain, so ``use = ingress - net gain`` is a ridge on which every pair explains the readings equally well. Only
    /// another observation picks one: fuel in a sample, viscosity, flash point, coolant that falls.
    ///
    /// Parameters
    /// ----------
    /// most_l : quantity
    ///     Highest ingress [L per `per` of use].
    /// rows : int
    ///     How many pairs, from no ingress to that; 2 to 10 000.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``ingress_l``; ``use_l`` with ``low_use_l`` and ``high_use_l``, given that ingress [L per `per` of use].
    #[pyo3(signature = (*, most_l, rows=21))]
    fn ridge<'py>(&self, py: Python<'py>, most_l: Scalar<'_, Litre>, rows: u16) -> PyResult<Bound<'py, PyDict>> {
        let most = most_l.si("most_l")?;
        crate::numeric::check::in_range("most_l", most * 1e3, 0.0, 1e6, "L").map_err(errors::to_py)?;
        let (ingress, bands): (Vec<f64>, Vec<_>) =
            self.inner.ridge(most / self.per, u32::from(rows)).into_iter().unzip();
        let factor = 1e3 * self.per;
        let columns = PyDict::new(py);
        columns.set_item("ingress_l", ingress.iter().map(|x| x * factor).collect::<Vec<_>>().array(py)?)?;
        add_bands(&columns, "use_l", &bands, factor)?;
        Ok(columns)
    }

    fn __str__(&self) -> String {
        let (first, last) = self.inner.record();
        let head = format!("Readings from {first} to {last} {}", self.unit);
        let mut lines = vec![head];
        lines.push(format!("net gain at the end        {}", self.rate_l().text()));
        lines.push(format!("net gain at the beginning  {}", self.rate_before_l().text()));
        let change = self.change_over().map_or(String::new(), |b| format!("; if so at {}", b.text()));
        lines.push(format!("the rate changed           {:.1} %{change}", self.probability_change() * 100.0));
        let jump = self.jump_l().map_or(String::new(), |b| format!("; if so {}", b.text()));
        lines.push(format!("a jump nobody recorded     {:.1} %{jump}", self.probability_jump() * 100.0));
        let marks =
            [("MIN", self.reaches_min(), self.probability_min()), ("MAX", self.reaches_max(), self.probability_max())];
        for (name, over, probability) in marks {
            if let (Some(over), Some(p)) = (over, probability) {
                let when = if over.median().is_finite() {
                    format!("reached at          {}", over.text())
                } else {
                    "not to be reached".into()
                };
                lines.push(format!("{name} is {when}; probability {:.1} %", p * 100.0));
            }
        }
        lines.push("Only the net gain shows: the level alone cannot tell use from ingress.".into());
        lines.join("\n")
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.call.repr(py)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.call.reduce(py)
    }
}
