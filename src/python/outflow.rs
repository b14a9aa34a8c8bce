//! Oil leaving by a plug, for Python.

use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::time::second;
use uom::si::volume::cubic_meter;
use uom::si::volume_rate::cubic_meter_per_second;

use super::arrays::{ToArray, texts};
use super::detach::run_detached;
use super::emptying::spread_dict;
use super::errors;
use super::fluid::{PyFluid, degrees};
use super::geometry::{Attitude, or_level};
use super::plug::Plug;
use super::quantity::Scalar;
use super::recipe::Recipe;
use super::sump::Sump;
use super::unit::{DegreeCelsius, Litre, LitrePerMinute, Millimetre, SquareMillimetre, Unit};
use crate::circuit::PlugDrain;
use crate::fluid::grades::{Spread, middle_and_corners, nodes};
use crate::fluid::outflow::{
    DrainRow, Flag, Flow, LossModel, LowHead, Outflow, Regime, TimesByModel, Vent, coefficients,
};
use crate::fluid::{Fluid, FluidError, GradeOil};
use crate::geometry::Plug as CorePlug;
use crate::numeric::check;

/// Most rows of a curve.
const MOST_STEPS: f64 = 5000.0;

/// How a hole is treated, as Python's keywords say it.
pub(super) struct Treatment {
    model: LossModel,
    vent: Vent,
    low_head: LowHead,
}

impl Treatment {
    pub(super) fn read(
        py: Python<'_>,
        recipe: &mut Recipe,
        model: &str,
        numbers: [Option<f64>; 2],
        vent: &str,
        vent_area: Option<&Scalar<'_, SquareMillimetre>>,
        near_empty: &str,
    ) -> PyResult<Self> {
        let [entry_loss, cd] = numbers;
        recipe.add(py, "model", model)?;
        for (name, number) in [("entry_loss", entry_loss), ("cd", cd)] {
            if let Some(number) = number {
                recipe.add(py, name, number)?;
            }
        }
        let area = vent_area.map(|a| a.number("vent_area_mm2")).transpose()?;
        recipe.add(py, "vent", vent)?;
        if let Some(area) = area {
            recipe.add(py, "vent_area_mm2", area)?;
        }
        recipe.add(py, "near_empty", near_empty)?;
        let low_head = match near_empty {
            "weir" => LowHead::Weir,
            "ignore" => LowHead::Ignore,
            other => return Err(unknown("near_empty", other, "\"weir\" and \"ignore\"")),
        };
        Ok(Self { model: read_model(model, entry_loss, cd)?, vent: read_vent(vent, area)?, low_head })
    }

    /// The hole as it is to be treated.
    fn of(&self, hole: Outflow) -> Result<Outflow, FluidError> {
        Ok(hole.with_vent(self.vent)?.with_low_head(self.low_head))
    }
}

fn unknown(name: &str, given: &str, accepted: &str) -> PyErr {
    errors::quantity(format!("{name} = {given:?}; accepted are {accepted}"), "quantity.unknown_word")
}

/// The loss model that a word names, with its number.
fn read_model(word: &str, entry_loss: Option<f64>, cd: Option<f64>) -> PyResult<LossModel> {
    let stray = |name: &str| Err(PyTypeError::new_err(format!("{name} does not belong to the model {word:?}")));
    match (word, entry_loss, cd) {
        ("energy balance", loss, None) => Ok(LossModel::EnergyBalance { entry_loss: loss.unwrap_or(1.0) }),
        ("constant Cd", None, cd) => Ok(LossModel::ConstantCd { cd: cd.unwrap_or(coefficients::SHARP_EDGED) }),
        ("short tube", None, None) => Ok(LossModel::ShortTube),
        ("energy balance" | "short tube", _, Some(_)) => stray("cd"),
        ("constant Cd" | "short tube", Some(_), _) => stray("entry_loss"),
        _ => Err(unknown("model", word, "\"energy balance\", \"constant Cd\" and \"short tube\"")),
    }
}

fn read_vent(word: &str, area_mm2: Option<f64>) -> PyResult<Vent> {
    match (word, area_mm2) {
        ("open", None) => Ok(Vent::Open),
        ("shut", None) => Ok(Vent::Shut),
        ("restricted", Some(area)) => Ok(Vent::Restricted { area: SquareMillimetre::to_si(area) }),
        ("restricted", None) => Err(PyTypeError::new_err("a restricted vent needs vent_area_mm2")),
        ("open" | "shut", Some(_)) => Err(PyTypeError::new_err(format!("vent_area_mm2 does not belong to {word:?}"))),
        _ => Err(unknown("vent", word, "\"open\", \"shut\" and \"restricted\"")),
    }
}

/// Flow out of a plug at one head, with what limits it and how far to trust it. Made by `drain_flow`.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct DrainFlow {
    flow: Flow,
    between_models: f64,
    /// What the grade of the oil leaves of the flow, L/min.
    of_grade: Option<Spread>,
    recipe: Recipe,
}

impl PartialEq for DrainFlow {
    fn eq(&self, other: &Self) -> bool {
        let models = self.between_models.to_bits() == other.between_models.to_bits();
        models && self.flow == other.flow && self.of_grade == other.of_grade
    }
}

#[pymethods]
impl DrainFlow {
    /// Volume per time [L/min].
    #[getter]
    fn l_min(&self) -> f64 {
        LitrePerMinute::from_si(self.flow.rate.get::<cubic_meter_per_second>())
    }

    /// How the oil leaves: ``"gush"`` (a full bore), ``"stream"`` (the rim limits it) or ``"drip"`` (below 0.3 mL/s).
    #[getter]
    fn regime(&self) -> &'static str {
        regime_text(self.flow.regime)
    }

    /// What is outside the model's ground, in words; empty when all is well.
    #[getter]
    fn flags<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        PyTuple::new(py, self.flow.flags.iter().map(flag_text))
    }

    /// Standard relative uncertainty of the flow [1]: a judgement that grows with the flags.
    #[getter]
    fn relative_uncertainty(&self) -> f64 {
        self.flow.relative_uncertainty
    }

    /// Standard relative uncertainty that the choice of a model leaves [1].
    ///
    /// Half the range of the three models over their mean, divided by the square root of 3 (rectangular, JCGM 100, 4.3.7).
    /// Cd and entry loss are this flow's; else Cd is 0.62 and the entry loss 1.0.
    #[getter]
    fn between_models(&self) -> f64 {
        self.between_models
    }

    /// What the grade of the oil leaves of the flow [L/min]; None for an oil that was not made from one.
    ///
    /// A dict of ``nominal``, ``low``, ``high``, ``mean`` and ``standard_uncertainty``, as `Fluid.spread` gives it.
    #[getter]
    fn of_grade<'py>(&self, py: Python<'py>) -> PyResult<Option<Bound<'py, PyDict>>> {
        self.of_grade.as_ref().map(|s| spread_dict(py, s)).transpose()
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.recipe.repr(py, "drain_flow")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.recipe.reduce_call(py, "drain_flow")
    }
}

/// Flow out of a plug at one head.
///
/// One loss model at a time, chosen by name; H is the driving head: for a bore that points down (within 45°) the depth over
/// the rim and the bore's own length L, else the depth over the bore's centre.
///
/// ``"energy balance"``: ``g H = (1 + entry_loss) v**2 / 2 + 32 nu L v / d**2``, laminar friction in the bore.
///
/// ``"constant Cd"``: ``Q = cd a sqrt(2 g H)`` (Torricelli); for thin oil in a thin plate.
///
/// ``"short tube"``: A. Lichtarowicz, R. K. Duggins and E. Markland, J. Mech. Eng. Sci. 7 (1965) 210, with the Reynolds number
/// of the ideal velocity; for 2 <= L/d <= 10 and 10 <= Re <= 20 000.
///
/// Outside its ground a model still answers, with a flag and a wider uncertainty. Below about one bore of depth over a bore
/// that points down, the rim limits the flow as a weir (judgement).
///
/// Parameters
/// ----------
/// plug : Plug
///     The hole.
/// fluid : Fluid
///     With a viscosity.
/// head_mm : quantity
///     Depth over the rim, or over the centre of a bore that points sideways [mm].
/// temperature_c : quantity
///     Temperature of the fluid [°C].
/// model : {"energy balance", "constant Cd", "short tube"}
///     The loss model.
/// entry_loss : float
///     Of the energy balance [1], 0 to 100: 1.0 where not given, a plug boss with a burr or thread (judgement); 0.5 is a clean
///     sharp entry.
/// cd : float
///     Of the constant coefficient [1], 0.01 to 1; 0.62 where not given, a sharp-edged hole in a thin plate (Encyclopaedia
///     Britannica, 11th ed., "Hydraulics").
/// vent : {"open", "shut", "restricted"}
///     How air gets into the sump: freely, by the hole itself (filler cap on), or through a small opening.
/// vent_area_mm2 : quantity
///     Free area of that opening [mm2].
/// near_empty : {"weir", "ignore"}
///     Whether the rim limits the flow.
/// attitude : Attitude
///     How the body stands; level where not given.
///
/// Returns
/// -------
/// DrainFlow
///
/// Raises
/// ------
/// FluidError
///     If the fluid has no viscosity, or the temperature is outside its range.
/// QuantityError
///     If a number is outside its range.
/// TypeError
///     If a number is given that does not belong to the model or the vent.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> plug = fm.Plug(at_mm=(0.0, 0.0, 0.0), bore_mm=12.0, boss_mm=24.0)
/// >>> oil = fm.Fluid.oil(grade="10W-40")
/// >>> hot = fm.drain_flow(plug, oil, head_mm=80.0, temperature_c=90.0, model="short tube")
/// >>> round(hot.l_min, 1), hot.regime, hot.flags
/// (7.2, 'gush', ())
#[pyfunction]
#[pyo3(signature = (plug, fluid, *, head_mm, temperature_c, model, entry_loss = None, cd = None, vent = "open",
    vent_area_mm2 = None, near_empty = "weir", attitude = None))]
#[allow(clippy::too_many_arguments)] // keyword-only in Python
pub(super) fn drain_flow(
    py: Python<'_>,
    plug: &Bound<'_, Plug>,
    fluid: &Bound<'_, PyFluid>,
    head_mm: Scalar<'_, Millimetre>,
    temperature_c: Scalar<'_, DegreeCelsius>,
    model: &str,
    entry_loss: Option<f64>,
    cd: Option<f64>,
    vent: &str,
    vent_area_mm2: Option<Scalar<'_, SquareMillimetre>>,
    near_empty: &str,
    attitude: Option<&Bound<'_, Attitude>>,
) -> PyResult<DrainFlow> {
    let head = head_mm.number("head_mm")?;
    let temperature = temperature_c.number("temperature_c")?;
    let mut recipe = Recipe::of("").with(py, "plug", plug)?.with(py, "fluid", fluid)?.with(py, "head_mm", head)?;
    recipe.add(py, "temperature_c", temperature)?;
    let how = Treatment::read(py, &mut recipe, model, [entry_loss, cd], vent, vent_area_mm2.as_ref(), near_empty)?;
    let recipe = stood(py, recipe, attitude)?;
    let (plug, fluid, attitude) = (plug.get().inner, fluid.get(), or_level(attitude.map(Bound::borrow)));
    let head = Length::new::<meter>(Millimetre::to_si(head));
    let hole_of = |oil: &Fluid| {
        let hole = PlugDrain::hole(&plug, attitude, oil, degrees(temperature), how.model)?;
        Ok::<_, crate::Error>(how.of(hole)?)
    };
    let l_min = |oil: &Fluid| {
        let flow = hole_of(oil)?.flow(head)?;
        Ok::<_, crate::Error>(LitrePerMinute::from_si(flow.rate.get::<cubic_meter_per_second>()))
    };
    let hole = hole_of(&fluid.inner).map_err(errors::to_py)?;
    Ok(DrainFlow {
        flow: hole.flow(head).map_err(errors::to_py)?,
        between_models: hole.between_models(head).map_err(errors::to_py)?,
        of_grade: fluid.grade.as_ref().map(|g| g.spread(l_min)).transpose().map_err(errors::to_py)?,
        recipe,
    })
}

/// The recipe with the attitude, where one is given.
pub(super) fn stood(py: Python<'_>, recipe: Recipe, attitude: Option<&Bound<'_, Attitude>>) -> PyResult<Recipe> {
    match attitude {
        Some(attitude) => recipe.with(py, "attitude", attitude),
        None => Ok(recipe),
    }
}

/// A sump that empties through its plug, row by row. Made by `drain_curve`.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct DrainCurve {
    rows: Vec<Row>,
    heel_l: f64,
    flags: Vec<String>,
    recipe: Recipe,
}

/// One row, in the units of the columns.
#[derive(PartialEq)]
struct Row {
    seconds: f64,
    head_mm: f64,
    level_mm: f64,
    flow_l_min: f64,
    out_l: f64,
    left_l: f64,
    regime: &'static str,
    relative_uncertainty: f64,
    between_models: f64,
    /// By each of the three models.
    by_model: TimesByModel,
    /// What the grade of the oil leaves: the time itself, and none of anything, without one.
    of_grade: [f64; 3],
}

impl PartialEq for DrainCurve {
    fn eq(&self, other: &Self) -> bool {
        self.rows == other.rows && self.flags == other.flags
    }
}

#[pymethods]
impl DrainCurve {
    /// One entry per row, from the opening of the plug to the end.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``seconds``, ``head_mm`` over the outlet, ``level_mm`` of the part it lies in, ``flow_l_min``, ``out_l``, ``left_l`` in
    ///     the whole sump, ``regime`` (``"gush"``, ``"stream"``, ``"drip"``), ``relative_uncertainty`` of the flow and
    ///     ``between_models`` of the flow (see `DrainFlow`; 0 where nothing flows). Of the time to the row's head:
    ///     ``seconds_models_low`` and ``seconds_models_high`` are the extremes of the three models,
    ///     ``seconds_models_uncertainty`` the standard uncertainty of a rectangular distribution between them (JCGM 100,
    ///     4.3.7), and ``seconds_grade_low``, ``seconds_grade_high``, ``seconds_grade_uncertainty`` what the grade of the oil
    ///     leaves (see `Fluid.spread`; nothing for an oil that was not made from one).
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let columns = PyDict::new(py);
        let numbers = |name: &str, of: &dyn Fn(&Row) -> f64| {
            columns.set_item(name, self.rows.iter().map(of).collect::<Vec<_>>().array(py)?)
        };
        numbers("seconds", &|r| r.seconds)?;
        numbers("head_mm", &|r| r.head_mm)?;
        numbers("level_mm", &|r| r.level_mm)?;
        numbers("flow_l_min", &|r| r.flow_l_min)?;
        numbers("out_l", &|r| r.out_l)?;
        numbers("left_l", &|r| r.left_l)?;
        numbers("relative_uncertainty", &|r| r.relative_uncertainty)?;
        numbers("between_models", &|r| r.between_models)?;
        numbers("seconds_models_low", &|r| r.by_model.interval()[0].get::<second>())?;
        numbers("seconds_models_high", &|r| r.by_model.interval()[1].get::<second>())?;
        numbers("seconds_models_uncertainty", &|r| r.by_model.standard_uncertainty().get::<second>())?;
        numbers("seconds_grade_low", &|r| r.of_grade[0])?;
        numbers("seconds_grade_high", &|r| r.of_grade[1])?;
        numbers("seconds_grade_uncertainty", &|r| r.of_grade[2])?;
        columns.set_item("regime", texts(py, self.rows.iter().map(|r| r.regime).collect())?)?;
        Ok(columns)
    }

    /// Time from opening the plug to the last row [s].
    #[getter]
    fn seconds(&self) -> f64 {
        self.rows.last().map_or(0.0, |r| r.seconds)
    }

    /// Volume left in the sump at the last row, at its temperature, what is behind ribs included [L].
    #[getter]
    fn left_l(&self) -> f64 {
        self.rows.last().map_or(0.0, |r| r.left_l)
    }

    /// What would be left if the last drop came: below the lowest point of the rim, and behind ribs [L].
    #[getter]
    fn heel_l(&self) -> f64 {
        self.heel_l
    }

    /// Every reason to trust a row less, in words.
    #[getter]
    fn flags<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        PyTuple::new(py, &self.flags)
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.recipe.repr(py, "drain_curve")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.recipe.reduce_call(py, "drain_curve")
    }
}

/// How a sump empties through its plug: the integral of free surface over flow on the sump's own level curve.
///
/// In the beginning all liquid stands at one common level. Then only the part falls that is joined to the plug's rim: where
/// the level comes to the sill of a basin, what is behind it stays. The end is where the stream breaks into drops (0.3 mL/s,
/// judgement), or a stated head, to which the drops are followed. A bore in a wall drains below its centre, the wetted part of
/// it flowing as the model has it at the depth of that part (judgement).
///
/// Parameters
/// ----------
/// sump : Sump
///     What empties.
/// plug : Plug
///     The hole; at most 50 mm outside the box that bounds the sump.
/// fluid : Fluid
///     With a viscosity.
/// volume_l : quantity
///     In the sump when the plug is opened, at its temperature [L].
/// temperature_c : quantity
///     Temperature of the fluid [°C].
/// model : {"energy balance", "constant Cd", "short tube"}
///     The loss model, as for `drain_flow`.
/// entry_loss, cd : float
///     As for `drain_flow` [1].
/// vent : {"open", "shut", "restricted"}
///     As for `drain_flow`. Shut, the hole passes oil and air in turn, at most ``(pi/12) sqrt(g d) d**2`` (C. Clanet and
///     G. Searby, J. Fluid Mech. 510 (2004) 145, from memory).
/// vent_area_mm2 : quantity
///     Free area of a restricted vent [mm2].
/// near_empty : {"weir", "ignore"}
///     Whether the rim limits the flow and the stream ends in drops. Ignored, the loss model holds down to nothing.
/// to_head_mm : quantity
///     Head over the outlet at which to end [mm]; the end of the stream where not given.
/// steps : int
///     Intervals, 1 to 5000, closer together near the end.
/// attitude : Attitude
///     How the body stands; level where not given.
///
/// Returns
/// -------
/// DrainCurve
///
/// Raises
/// ------
/// FluidError
///     If the fluid has no viscosity, the temperature is outside its range, or the stated end is never reached.
/// GeometryError
///     If the volume is outside the capacity, the plug is more than 50 mm outside the liquid space, or the sump has no plan
///     form and is not level.
/// CircuitError
///     If the plug is not at the sump.
/// QuantityError
///     If a number is outside its range.
/// TypeError
///     If a number is given that does not belong to the model or the vent.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> pan = fm.Sump.box(length_mm=250.0, width_mm=200.0, height_mm=100.0)
/// >>> plug = fm.Plug(at_mm=(0.0, 0.0, 0.0), bore_mm=12.0, boss_mm=10.0)
/// >>> oil = fm.Fluid.oil(grade="10W-40")
/// >>> curve = fm.drain_curve(pan, plug, oil, volume_l=4.0, temperature_c=90.0, model="energy balance")
/// >>> round(curve.seconds), round(curve.left_l, 2)
/// (113, 0.02)
/// >>> c = curve.columns()
/// >>> bool(c["seconds_grade_low"][-1] < curve.seconds < c["seconds_grade_high"][-1])
/// True
#[pyfunction]
#[pyo3(signature = (sump, plug, fluid, *, volume_l, temperature_c, model, entry_loss = None, cd = None, vent = "open",
    vent_area_mm2 = None, near_empty = "weir", to_head_mm = None, steps = 200, attitude = None))]
#[allow(clippy::too_many_arguments)] // keyword-only in Python
pub(super) fn drain_curve(
    py: Python<'_>,
    sump: &Bound<'_, Sump>,
    plug: &Bound<'_, Plug>,
    fluid: &Bound<'_, PyFluid>,
    volume_l: Scalar<'_, Litre>,
    temperature_c: Scalar<'_, DegreeCelsius>,
    model: &str,
    entry_loss: Option<f64>,
    cd: Option<f64>,
    vent: &str,
    vent_area_mm2: Option<Scalar<'_, SquareMillimetre>>,
    near_empty: &str,
    to_head_mm: Option<Scalar<'_, Millimetre>>,
    steps: usize,
    attitude: Option<&Bound<'_, Attitude>>,
) -> PyResult<DrainCurve> {
    let (volume, temperature) = (volume_l.number("volume_l")?, temperature_c.number("temperature_c")?);
    check::in_range("steps", steps as f64, 1.0, MOST_STEPS, "rows").map_err(errors::to_py)?;
    let mut recipe = Recipe::of("").with(py, "sump", sump)?.with(py, "plug", plug)?.with(py, "fluid", fluid)?;
    recipe = recipe.with(py, "volume_l", volume)?.with(py, "temperature_c", temperature)?.with(py, "steps", steps)?;
    let to = to_head_mm.map(|h| h.number("to_head_mm")).transpose()?;
    if let Some(to) = to {
        recipe = recipe.with(py, "to_head_mm", to)?;
    }
    let how = Treatment::read(py, &mut recipe, model, [entry_loss, cd], vent, vent_area_mm2.as_ref(), near_empty)?;
    let recipe = stood(py, recipe, attitude)?;
    let drain = prepared(py, sump, plug, fluid, temperature, how, attitude)?;
    let to = to.map(|mm| Length::new::<meter>(Millimetre::to_si(mm)));
    let (rows, heel, flags) = run_detached(py, move || drain.rows(litres(volume), to, steps))?;
    Ok(DrainCurve { rows, heel_l: Litre::from_si(heel.get::<cubic_meter>()), flags, recipe })
}

/// A sump with its plug out, and what its oil may be.
pub(super) struct Prepared {
    pub(super) core: PlugDrain,
    plug: CorePlug,
    attitude: crate::geometry::Attitude,
    temperature: f64,
    how: Treatment,
    grade: Option<GradeOil>,
}

/// The sump with its plug out.
pub(super) fn prepared(
    py: Python<'_>,
    sump: &Bound<'_, Sump>,
    plug: &Bound<'_, Plug>,
    fluid: &Bound<'_, PyFluid>,
    temperature: f64,
    how: Treatment,
    attitude: Option<&Bound<'_, Attitude>>,
) -> PyResult<Prepared> {
    let (sump, plug, fluid) = (sump.get().inner.clone(), plug.get().inner, fluid.get());
    let (grade, fluid) = (fluid.grade.clone(), fluid.inner.clone());
    let attitude = or_level(attitude.map(Bound::borrow));
    run_detached(py, move || {
        let mut core = PlugDrain::new(&sump, attitude, &plug, &fluid, degrees(temperature), how.model)?;
        core.hole = how.of(core.hole)?;
        Ok::<_, crate::Error>(Prepared { core, plug, attitude, temperature, how, grade })
    })
}

impl Prepared {
    /// A number for every oil of the grade.
    pub(super) fn spread(
        &self,
        of: impl Fn(&PlugDrain) -> Result<f64, crate::Error>,
    ) -> Result<Option<Spread>, crate::Error> {
        let Some(grade) = &self.grade else { return Ok(None) };
        let spread = grade.spread(|oil| of(&self.with(oil)?))?;
        Ok(Some(spread))
    }

    /// The same sump with another oil.
    fn with(&self, oil: &Fluid) -> Result<PlugDrain, crate::Error> {
        let hole = PlugDrain::hole(&self.plug, self.attitude, oil, degrees(self.temperature), self.how.model)?;
        let mut core = self.core.clone();
        core.hole = self.how.of(hole)?;
        Ok(core)
    }

    /// The rows of a curve, the heel, and every flag.
    fn rows(
        &self,
        volume: Volume,
        to: Option<Length>,
        steps: usize,
    ) -> Result<(Vec<Row>, Volume, Vec<String>), crate::Error> {
        let core = self.core.curve(volume, to, steps)?;
        let by_model = self.core.curve_times(&core)?;
        let of_grade = self.grade_times(&core)?;
        let mut rows = Vec::with_capacity(core.len());
        let mut flags: Vec<String> = Vec::new();
        for (i, row) in core.iter().enumerate() {
            rows.push(written(&self.core, volume, row, by_model[i], of_grade[i])?);
            for flag in self.core.hole.flow(row.head)?.flags {
                let text = flag_kind(&flag).to_owned();
                if !flags.contains(&text) {
                    flags.push(text);
                }
            }
        }
        Ok((rows, self.core.outlet().heel(volume)?, flags))
    }

    /// Lowest and highest time to the head of every row and its standard uncertainty, over what the grade leaves.
    fn grade_times(&self, rows: &[DrainRow]) -> Result<Vec<[f64; 3]>, crate::Error> {
        let Some(grade) = &self.grade else {
            return Ok(rows.iter().map(|r| [r.time.get::<second>(), r.time.get::<second>(), 0.0]).collect());
        };
        let times = |[d, v, i]: [f64; 3]| -> Result<Vec<f64>, crate::Error> {
            let drain = self.with(&grade.at(d, v, i)?)?;
            let mut sum = vec![0.0; rows.len()];
            for k in 1..rows.len() {
                let step = drain.hole.time_between(drain.outlet(), rows[k - 1].head, rows[k].head)?;
                sum[k] = sum[k - 1] + step.get::<second>();
            }
            Ok(sum)
        };
        let ends = middle_and_corners().into_iter().map(times).collect::<Result<Vec<_>, _>>()?;
        let inside = nodes().map(|(shares, _)| times(shares)).collect::<Result<Vec<_>, _>>()?;
        let at = |all: &[Vec<f64>], k: usize| all.iter().map(|t| t[k]).collect::<Vec<f64>>();
        Ok((0..rows.len())
            .map(|k| Spread::of(&at(&ends, k), &at(&inside, k)))
            .map(|s| [s.low, s.high, s.standard_uncertainty])
            .collect())
    }
}

fn written(
    drain: &PlugDrain,
    volume: Volume,
    row: &DrainRow,
    by_model: TimesByModel,
    of_grade: [f64; 3],
) -> Result<Row, crate::Error> {
    let head = row.head;
    let over = (head - drain.hole.lowest_head()).get::<meter>();
    let spread = if over < 1e-6 { 0.0 } else { drain.hole.between_models(head)? };
    Ok(Row {
        seconds: row.time.get::<second>(),
        head_mm: Millimetre::from_si(head.get::<meter>()),
        level_mm: Millimetre::from_si(drain.outlet().level_at(head).get::<meter>()),
        flow_l_min: LitrePerMinute::from_si(row.rate.get::<cubic_meter_per_second>()),
        out_l: Litre::from_si(row.volume_out.get::<cubic_meter>()),
        left_l: Litre::from_si(drain.outlet().left(volume, head)?.get::<cubic_meter>()),
        regime: regime_text(row.regime),
        relative_uncertainty: drain.hole.flow(head)?.relative_uncertainty,
        between_models: spread,
        by_model,
        of_grade,
    })
}

pub(super) fn litres(volume: f64) -> Volume {
    Volume::new::<cubic_meter>(Litre::to_si(volume))
}

fn regime_text(regime: Regime) -> &'static str {
    match regime {
        Regime::Gush => "gush",
        Regime::Stream => "stream",
        Regime::Drip => "drip",
    }
}

/// A flag in words, without its value.
fn flag_kind(flag: &Flag) -> &'static str {
    match flag {
        Flag::Reynolds { .. } => "ideal Reynolds number outside 10 to 20000, the range of the short tube",
        Flag::LengthRatio { .. } => "boss over bore outside 2 to 10, the range of the short tube",
        Flag::TurbulentBore { .. } => "turbulent in a long bore, whose friction the energy balance leaves out",
        Flag::ViscosityIgnored { .. } => "ideal Reynolds number below 10000, where a constant Cd is too high",
        Flag::Weir => "the rim limits the flow as a weir",
        Flag::PartlyCovered => "the bore is not covered",
        Flag::PoorVent => "air comes in by the hole itself, or hardly at all",
    }
}

/// A flag in words, with its value where it has one.
fn flag_text(flag: &Flag) -> String {
    match flag {
        Flag::Reynolds { value }
        | Flag::LengthRatio { value }
        | Flag::TurbulentBore { value }
        | Flag::ViscosityIgnored { value } => format!("{}: {value:.4}", flag_kind(flag)),
        _ => flag_kind(flag).to_owned(),
    }
}
