//! Planning a refill for Python.

use std::sync::Arc;

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyList, PyTuple};

use super::arrays::{Field, add_columns, texts};
use super::circuit::Circuit;
use super::detach::run_reporting;
use super::errors;
use super::estimate::{Draws, PredictedReading, counts, summary};
use super::events::{Events, wrap};
use super::model::Progress;
use super::quantity::{Scalar, shortest};
use super::rebuild::{reduce_call, reduce_part};
use super::service::State;
use super::unit::{DegreeCelsius, Litre, Millimetre};
use super::value::Input;
use crate::Error;
use crate::estimate::{Advice, Plan as CorePlan, PlanOptions, PolicyRow, PredictOptions, Prediction as CorePrediction};
use crate::numeric::check;
use crate::service::Event as CoreEvent;

/// Plans a refill as a policy: a first pour, and what to add or take out on the reading that follows.
///
/// Over MAX means: true, noise-free level, drained back, filter full, in the reference condition of the marks. The first
/// pour is the largest whole number of jug steps that keeps the risk with nothing corrected afterwards (in every draw a larger
/// pour ends higher, so bisection over the same draws finds it exactly). The table conditions on the last reading, noise and
/// all: of all tables in whole jug steps that do not rise with the reading, and at no reading make it likelier than not to
/// end over MAX, it is the one with the highest mean final level for its share over MAX (Everett's Lagrange multiplier, found
/// by dynamic programming). Every second draw shapes it; the others prove that its share over MAX stays two standard errors
/// below the risk.
///
/// Parameters
/// ----------
/// circuit : Circuit
///     What is served.
/// done : sequence of Event
///     What was done so far, such as `Drain` and `ChangeFilter`.
/// then : sequence of Event
///     What will be done after pouring, such as `Run`, `Rest` and readings. The last reading is the one corrected by; where
///     there is none, one is taken at the end.
/// risk_over_max : float
///     Accepted probability of ending over MAX, 0.0001 to 0.5, when the first pour is all that is done and when the table is
///     followed. Below 0.01 it is refused while judgement inputs carry over half the variance of the final level.
/// jug_step_l : quantity
///     Smallest amount the jug measures out [L]; 0.1 L where not stated.
/// reading_step_mm : quantity
///     What the stick is read to [mm], 0.1 to 10; 0.5 mm where not stated.
/// measured_with : str, optional
///     Instrument the oil is measured with; ``jug`` where the circuit has one of that name.
/// temperature_c : quantity, optional
///     Temperature of the oil poured [°C]; the reference temperature where not stated.
/// other_unit : str, optional
///     Unit of volume to print beside litres, such as ``"US qt"``.
/// start : State, optional
///     Where `done` starts, as in `predict`.
/// draws, seed : int
///     As in `predict`; at least ten draws over the risk, 200 for 0.05.
/// progress : callable, optional
///     Is called with the number of draws done and how many there will be, as far as is known: a plan goes through all its draws
///     five times or so. `ProgressLine` shows them.
///
/// Returns
/// -------
/// Plan
///     First pour, residue, the readings to expect, the table, cautions.
///
/// Raises
/// ------
/// EstimateError
///     If `done` or `then` pours, an option is out of range, the draws are fewer than ten over the risk, or a risk
///     below 0.01 rests on judgement.
/// ServiceError
///     If the service cannot be carried out.
/// QuantityError
///     If `other_unit` is no unit of volume.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> bus = fm.Circuit.demo("shuttle-bus")
/// >>> done, then = [fm.Drain(minutes=10), fm.ChangeFilter()], [fm.Run(minutes=1), fm.Rest(minutes=5)]
/// >>> plan = fm.plan_refill(bus, done=done, then=then, draws=2000)
/// >>> plan.probability_over_max <= 0.05 and plan.end_over_max <= 0.05
/// True
/// >>> plan.after_reading(mm=103.0).change_l > 0.0 > plan.after_reading(mm=120.0).change_l
/// True
#[pyfunction]
#[pyo3(signature = (circuit, *, done, then, risk_over_max=0.05, jug_step_l=None, reading_step_mm=None, measured_with=None, temperature_c=None, other_unit=None, start=None, draws=100_000, seed=1, progress=None))]
#[allow(clippy::too_many_arguments)] // keyword-only in Python
pub(super) fn plan_refill(
    py: Python<'_>,
    circuit: &Bound<'_, Circuit>,
    done: Events<'_>,
    then: Events<'_>,
    risk_over_max: f64,
    jug_step_l: Option<Scalar<'_, Litre>>,
    reading_step_mm: Option<Scalar<'_, Millimetre>>,
    measured_with: Option<String>,
    temperature_c: Option<Input<'_, DegreeCelsius>>,
    other_unit: Option<String>,
    start: Option<&Bound<'_, State>>,
    draws: i64,
    seed: i128,
    progress: Option<Progress<'_>>,
) -> PyResult<Plan> {
    let request = Request {
        function: "plan_refill",
        done: done.read("done")?,
        then: then.read("then")?,
        counts: counts(draws, seed)?,
        start: start.cloned().map(Bound::unbind),
        options: options(risk_over_max, jug_step_l, reading_step_mm, measured_with, temperature_c, other_unit)?,
    };
    request.carry_out(py, circuit, progress.as_ref(), crate::estimate::plan_refill)
}

/// Plans how to bring a level that may be over MAX back: what to take out, or to add, on a reading of the stick.
///
/// Nothing is poured or taken out before the reading; the table of the plan is found as in `plan_refill`.
///
/// Parameters
/// ----------
/// circuit : Circuit
///     What is served.
/// done : sequence of Event
///     All that was done, pours included.
/// then : sequence of Event
///     What is waited for before the stick is read, such as `Rest` and `Read`; no `Run`: an engine that may be overfull is
///     not started to find out.
/// risk_over_max, jug_step_l, reading_step_mm, measured_with, temperature_c, other_unit, start, draws, seed, progress : as in `plan_refill`
///     All as there; the instrument measures what is added and what is taken out.
///
/// Returns
/// -------
/// Plan
///     With a first pour of nothing.
///
/// Raises
/// ------
/// EstimateError
///     If `then` pours or runs, an option is out of range, the draws are fewer than ten over the risk, or a risk
///     below 0.01 rests on judgement.
/// ServiceError
///     If the service cannot be carried out.
/// QuantityError
///     If `other_unit` is no unit of volume.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> bus = fm.Circuit.demo("shuttle-bus")
/// >>> done = [fm.Drain(minutes=10), fm.Pour("7.4(2) L"), fm.Run(minutes=1)]  # the filter was kept
/// >>> plan = fm.plan_withdraw(bus, done=done, then=[fm.Rest(minutes=15)], draws=2000)
/// >>> plan.probability_over_max > 0.9 and plan.end_over_max <= 0.05
/// True
#[pyfunction]
#[pyo3(signature = (circuit, *, done, then, risk_over_max=0.05, jug_step_l=None, reading_step_mm=None, measured_with=None, temperature_c=None, other_unit=None, start=None, draws=100_000, seed=1, progress=None))]
#[allow(clippy::too_many_arguments)] // keyword-only in Python
pub(super) fn plan_withdraw(
    py: Python<'_>,
    circuit: &Bound<'_, Circuit>,
    done: Events<'_>,
    then: Events<'_>,
    risk_over_max: f64,
    jug_step_l: Option<Scalar<'_, Litre>>,
    reading_step_mm: Option<Scalar<'_, Millimetre>>,
    measured_with: Option<String>,
    temperature_c: Option<Input<'_, DegreeCelsius>>,
    other_unit: Option<String>,
    start: Option<&Bound<'_, State>>,
    draws: i64,
    seed: i128,
    progress: Option<Progress<'_>>,
) -> PyResult<Plan> {
    let request = Request {
        function: "plan_withdraw",
        done: done.read("done")?,
        then: then.read("then")?,
        counts: counts(draws, seed)?,
        start: start.cloned().map(Bound::unbind),
        options: options(risk_over_max, jug_step_l, reading_step_mm, measured_with, temperature_c, other_unit)?,
    };
    request.carry_out(py, circuit, progress.as_ref(), crate::estimate::plan_withdraw)
}

fn options(
    risk_over_max: f64,
    jug_step: Option<Scalar<'_, Litre>>,
    reading_step: Option<Scalar<'_, Millimetre>>,
    measured_with: Option<String>,
    temperature: Option<Input<'_, DegreeCelsius>>,
    other_unit: Option<String>,
) -> PyResult<PlanOptions<'static>> {
    let standard = PlanOptions::default();
    Ok(PlanOptions {
        risk_over_max,
        jug_step: jug_step.map_or(Ok(standard.jug_step), |step| step.si("jug_step_l"))?,
        reading_step: reading_step.map_or(Ok(standard.reading_step), |step| step.si("reading_step_mm"))?,
        measured_with,
        temperature: temperature.map(|t| t.value("temperature_c")).transpose()?,
        other_unit,
        predict: standard.predict,
    })
}

/// What is asked for.
struct Request {
    function: &'static str,
    done: Vec<CoreEvent>,
    then: Vec<CoreEvent>,
    counts: (usize, u64),
    start: Option<Py<State>>,
    options: PlanOptions<'static>,
}

type Planner = fn(&crate::circuit::Circuit, &[CoreEvent], &[CoreEvent], &PlanOptions<'_>) -> Result<CorePlan, Error>;

impl Request {
    fn carry_out(
        self,
        py: Python<'_>,
        circuit: &Bound<'_, Circuit>,
        progress: Option<&Progress<'_>>,
        planner: Planner,
    ) -> PyResult<Plan> {
        let made = self.made(circuit)?.unbind();
        let core = circuit.get().inner.clone();
        let Self { function, done, then, counts: (draws, seed), start, options } = self;
        let from = start.map(|s| s.get().inner.clone());
        let inner = run_reporting(py, progress.map(|p| &p.0), move |stop, report| {
            let mut predict = PredictOptions::default().draws(draws).seed(seed);
            (predict.stop, predict.start, predict.progress) = (Some(stop), from.as_ref(), Some(report));
            planner(&core, &done, &then, &PlanOptions { predict, ..options })
        })?;
        let prediction = Arc::new(inner.prediction().clone());
        Ok(Plan { inner: Arc::new(inner), prediction, circuit: circuit.clone().unbind(), function, made })
    }

    /// The keywords that ask for this again.
    fn made<'py>(&self, circuit: &Bound<'py, Circuit>) -> PyResult<Bound<'py, PyDict>> {
        let (py, options) = (circuit.py(), &self.options);
        let made = PyDict::new(py);
        made.set_item("circuit", circuit)?;
        for (name, events) in [("done", &self.done), ("then", &self.then)] {
            made.set_item(name, events.iter().map(|e| wrap(py, e.clone())).collect::<PyResult<Vec<_>>>()?)?;
        }
        made.set_item("risk_over_max", options.risk_over_max)?;
        made.set_item("jug_step_l", shortest::<Litre>(options.jug_step))?;
        made.set_item("reading_step_mm", shortest::<Millimetre>(options.reading_step))?;
        made.set_item("measured_with", &options.measured_with)?;
        made.set_item("temperature_c", options.temperature.as_ref().map(|t| t.written().to_owned()))?;
        made.set_item("other_unit", &options.other_unit)?;
        if let Some(start) = &self.start {
            made.set_item("start", start)?;
        }
        made.set_item("draws", self.counts.0)?;
        made.set_item("seed", self.counts.1)?;
        Ok(made)
    }
}

/// A refill as a policy. Made by `plan_refill` and `plan_withdraw`; prints as a page.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Plan {
    inner: Arc<CorePlan>,
    prediction: Arc<CorePrediction>,
    circuit: Py<Circuit>,
    /// The function it was made by, and its keywords.
    function: &'static str,
    made: Py<PyDict>,
}

impl PartialEq for Plan {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

#[pymethods]
impl Plan {
    /// The circuit planned for.
    #[getter]
    fn circuit(&self, py: Python<'_>) -> Py<Circuit> {
        self.circuit.clone_ref(py)
    }

    /// How much to pour first, as the instrument says [L].
    #[getter]
    fn first_pour_l(&self) -> f64 {
        shortest::<Litre>(self.inner.first_pour_m3())
    }

    /// What the jug steps in [L].
    #[getter]
    fn jug_step_l(&self) -> f64 {
        shortest::<Litre>(self.inner.jug_step_m3())
    }

    /// What the stick is read to [mm].
    #[getter]
    fn reading_step_mm(&self) -> f64 {
        shortest::<Millimetre>(self.inner.policy().reading_step_m())
    }

    /// Share of the draws that end over MAX after the first pour, with nothing corrected.
    #[getter]
    fn probability_over_max(&self) -> f64 {
        self.inner.prediction().probability_over_max()
    }

    /// Share of the draws that end over MAX when the table is followed, by draws that had no part in making it.
    #[getter]
    fn end_over_max(&self) -> f64 {
        self.inner.policy().probability_over_max()
    }

    /// Fraction of the span at the end, by volume, when the table is followed: 0 at MIN, 1 at MAX.
    #[getter]
    fn end_fraction(&self) -> Draws {
        Draws::of(self.inner.end_fraction())
    }

    /// Share of the draws that stand under MIN after the first pour, once the filter has filled and all has drained back.
    #[getter]
    fn probability_under_min(&self) -> f64 {
        self.inner.probability_under_min()
    }

    /// Whether the engine may be started after the first pour.
    ///
    /// It may where it is over MAX within the risk, under MIN in at most 1 % of draws, and nothing is left undone (a plug open, no filter
    /// fitted, a leak or an ingress going on) or got into the oil.
    #[getter]
    fn may_start(&self) -> bool {
        self.inner.no_start().is_none()
    }

    /// Why the engine is not to be started after the first pour; `None` where it may.
    ///
    /// What is undone, or in the oil, comes first, in the words of `assess`.
    #[getter]
    fn no_start(&self) -> Option<String> {
        self.inner.no_start()
    }

    /// The risk accepted.
    #[getter]
    fn risk_over_max(&self) -> f64 {
        self.inner.risk_over_max()
    }

    /// What the circuit held before the pour [L]: heel, film and what stays in stores, and the filter if it was kept.
    #[getter]
    fn residue_l(&self) -> Draws {
        Draws::scaled(self.inner.residue(), 1e3)
    }

    /// Volume per length of blade at MAX [mL/mm].
    #[getter]
    fn ml_per_mm(&self) -> f64 {
        self.inner.volume_per_blade_m2() * 1e3
    }

    /// Readings to expect: ``before start``, those of `then`, and ``after`` where `then` takes none.
    #[getter]
    fn readings(slf: &Bound<'_, Self>) -> Vec<PredictedReading> {
        PredictedReading::all(slf.as_any(), &slf.get().prediction)
    }

    /// The table: what to do on the last reading, from low readings to high ones.
    #[getter]
    fn corrections(slf: &Bound<'_, Self>) -> Vec<Correction> {
        (0..slf.get().inner.policy().rows().len()).map(|index| Self::correction(slf, index)).collect()
    }

    /// What to do on a reading of the stick.
    ///
    /// Parameters
    /// ----------
    /// mm : quantity
    ///     The last reading, from the tip along the blade [mm], 0 to 100000; it is taken to the nearest `reading_step_mm`.
    ///
    /// Returns
    /// -------
    /// Correction
    ///     The row of the table.
    ///
    /// Raises
    /// ------
    /// QuantityError
    ///     If the reading is out of range.
    #[pyo3(signature = (*, mm))]
    fn after_reading(slf: &Bound<'_, Self>, mm: Scalar<'_, Millimetre>) -> PyResult<Correction> {
        let reading = check::in_range("mm", mm.number("mm")?, 0.0, 1e5, "").map_err(errors::to_py)?;
        Ok(Self::correction(slf, slf.get().inner.policy().index(reading * 1e-3)))
    }

    /// The figures of the plan, each with its name.
    #[getter]
    fn figures(&self) -> Vec<(&'static str, String)> {
        self.inner.figures()
    }

    /// What to do, in order; the last step is the table.
    #[getter]
    fn steps(&self) -> Vec<String> {
        self.inner.steps()
    }

    /// Cautions to print with the plan.
    #[getter]
    fn cautions(&self) -> Vec<&'static str> {
        self.inner.cautions()
    }

    /// The table, one entry per row.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``from_mm`` and ``to_mm`` (lowest and highest reading of the row; NaN where it is open), ``do`` (in words),
    ///     ``change_l`` (to add; negative to take out), ``probability`` (of such a reading), ``over_max`` (share of those draws
    ///     that end over MAX) and ``fraction`` (of the span, their mean at the end; NaN where there are none).
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let rows = self.inner.policy().rows();
        let columns = PyDict::new(py);
        let ends: [Field<PolicyRow>; 2] =
            [("from_mm", |row| millimetres(row.from)), ("to_mm", |row| millimetres(row.to))];
        add_columns(&columns, rows, &ends)?;
        let asked: Vec<String> = rows.iter().map(|row| self.inner.asked(row)).collect();
        columns.set_item("do", texts(py, asked.iter().map(String::as_str).collect())?)?;
        let numbers: [Field<PolicyRow>; 4] = [
            ("change_l", |row| shortest::<Litre>(row.change)),
            ("probability", |row| row.probability),
            ("over_max", |row| row.over_max),
            ("fraction", |row| row.fraction.unwrap_or(f64::NAN)),
        ];
        add_columns(&columns, rows, &numbers)?;
        Ok(columns)
    }

    /// The plan as plain data that JSON takes.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Figures with the unit in the key, ``steps``, ``readings``, ``table`` (a list of rows, `None` where a row is open)
    ///     and ``cautions``.
    fn to_dict<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyDict>> {
        let (py, this) = (slf.py(), slf.get());
        let told = PyDict::new(py);
        told.set_item("title", this.inner.title())?;
        told.set_item("circuit", this.inner.circuit().name())?;
        told.set_item("first_pour_l", this.first_pour_l())?;
        told.set_item("jug_step_l", this.jug_step_l())?;
        told.set_item("reading_step_mm", this.reading_step_mm())?;
        told.set_item("risk_over_max", this.risk_over_max())?;
        told.set_item("probability_over_max", this.probability_over_max())?;
        told.set_item("end_over_max", this.end_over_max())?;
        told.set_item("probability_under_min", this.probability_under_min())?;
        told.set_item("may_start", this.may_start())?;
        told.set_item("no_start", this.no_start())?;
        told.set_item("residue_l", summary(py, this.inner.residue(), 1e3)?)?;
        told.set_item("end_fraction", summary(py, this.inner.end_fraction(), 1.0)?)?;
        told.set_item("ml_per_mm", this.ml_per_mm())?;
        told.set_item("steps", this.steps())?;
        let readings = PyList::empty(py);
        for reading in this.prediction.readings() {
            let one = PyDict::new(py);
            one.set_item("label", &reading.label)?;
            one.set_item("mm", summary(py, &reading.s, 1e3)?)?;
            one.set_item("fraction", summary(py, &reading.fraction, 1.0)?)?;
            readings.append(one)?;
        }
        told.set_item("readings", readings)?;
        let table = Self::corrections(slf).iter().map(|row| row.to_dict(py)).collect::<PyResult<Vec<_>>>()?;
        told.set_item("table", table)?;
        told.set_item("cautions", this.cautions())?;
        Ok(told)
    }

    /// The plan as Markdown.
    ///
    /// Returns
    /// -------
    /// str
    ///     Title, figures, numbered steps, the table, cautions.
    fn to_markdown(&self) -> String {
        self.inner.to_markdown()
    }

    fn __str__(&self) -> String {
        self.inner.to_string()
    }

    fn __repr__(&self) -> String {
        format!(
            "<plan for {}: first pour {:?} L, over MAX in {:.1} % of draws>",
            self.inner.circuit().name(),
            self.first_pour_l(),
            self.probability_over_max() * 1e2
        )
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        reduce_call(py, self.function, self.made.bind(py).copy()?)
    }
}

impl Plan {
    fn correction(slf: &Bound<'_, Self>, index: usize) -> Correction {
        Correction { owner: slf.clone().unbind(), plan: Arc::clone(&slf.get().inner), index }
    }
}

fn millimetres(m: Option<f64>) -> f64 {
    m.map_or(f64::NAN, shortest::<Millimetre>)
}

/// A row of a plan's table: what to do on readings in its range. From `Plan.after_reading` and `Plan.corrections`.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Correction {
    owner: Py<Plan>,
    plan: Arc<CorePlan>,
    index: usize,
}

impl PartialEq for Correction {
    fn eq(&self, other: &Self) -> bool {
        self.row() == other.row()
    }
}

impl Correction {
    fn row(&self) -> &PolicyRow {
        &self.plan.policy().rows()[self.index]
    }

    fn to_dict<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let told = PyDict::new(py);
        told.set_item("from_mm", self.from_mm())?;
        told.set_item("to_mm", self.to_mm())?;
        told.set_item("advice", self.advice())?;
        told.set_item("do", self.text())?;
        told.set_item("change_l", self.change_l())?;
        told.set_item("probability", self.probability())?;
        told.set_item("over_max", self.over_max())?;
        told.set_item("fraction", self.fraction())?;
        Ok(told)
    }
}

#[pymethods]
impl Correction {
    /// Lowest reading of the row [mm]; `None` where it has no lower end.
    #[getter]
    #[allow(clippy::wrong_self_convention)] // the lowest reading, beside to_mm
    fn from_mm(&self) -> Option<f64> {
        self.row().from.map(shortest::<Millimetre>)
    }

    /// Highest reading of the row [mm]; `None` where it has no upper end.
    #[getter]
    fn to_mm(&self) -> Option<f64> {
        self.row().to.map(shortest::<Millimetre>)
    }

    /// What is asked for: ``add``, ``take out``, ``leave`` or ``find out``.
    ///
    /// ``find out``: so low a reading is not to be expected; add nothing before it is known why.
    #[getter]
    fn advice(&self) -> &'static str {
        match self.row().advice {
            Advice::Add => "add",
            Advice::TakeOut => "take out",
            Advice::Leave => "leave",
            Advice::FindOut => "find out",
        }
    }

    /// How much to add, as the instrument says [L]; negative: to take out.
    #[getter]
    fn change_l(&self) -> f64 {
        shortest::<Litre>(self.row().change)
    }

    /// Share of the draws that read so.
    #[getter]
    fn probability(&self) -> f64 {
        self.row().probability
    }

    /// Share of those draws that end over MAX when this is done.
    #[getter]
    fn over_max(&self) -> f64 {
        self.row().over_max
    }

    /// Mean fraction of the span, by volume, at which those draws end; `None` where there are none.
    #[getter]
    fn fraction(&self) -> Option<f64> {
        self.row().fraction
    }

    /// What to do, in words.
    #[getter]
    fn text(&self) -> String {
        self.plan.asked(self.row())
    }

    fn __str__(&self) -> String {
        self.text()
    }

    fn __repr__(&self) -> String {
        format!("<correction: {}>", self.text())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        reduce_part(py, self.owner.bind(py).as_any(), "corrections", Some(self.index))
    }
}
