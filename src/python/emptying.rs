//! How long a sump takes to empty, and how well that is known, for Python.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use uom::si::f64::Length;
use uom::si::length::meter;
use uom::si::time::second;
use uom::si::volume::cubic_meter;

use super::detach::run_detached;
use super::fluid::PyFluid;
use super::geometry::Attitude;
use super::outflow::{Treatment, litres, prepared, stood};
use super::plug::Plug;
use super::quantity::Scalar;
use super::recipe::Recipe;
use super::sump::Sump;
use super::unit::{DegreeCelsius, Litre, SquareMillimetre, Unit};
use crate::fluid::grades::Spread;
use crate::fluid::outflow::TimesByModel;

/// Time in which a sump empties through its plug, until only drops fall [s].
///
/// As `drain_curve`, without the rows; `emptying_time` says besides how well it is known.
///
/// Parameters
/// ----------
/// sump : Sump
///     What empties.
/// plug : Plug
///     The hole.
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
///     As for `drain_flow`.
/// vent_area_mm2 : quantity
///     Free area of a restricted vent [mm2].
/// near_empty : {"weir", "ignore"}
///     Whether the rim limits the flow and the stream ends in drops. Ignored, the loss model holds down to nothing.
/// attitude : Attitude
///     How the body stands; level where not given.
///
/// Returns
/// -------
/// float
///     Time [s].
///
/// Raises
/// ------
/// FluidError, GeometryError, CircuitError, QuantityError, TypeError
///     As `drain_curve`.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> pan = fm.Sump.box(length_mm=250.0, width_mm=200.0, height_mm=100.0)
/// >>> plug = fm.Plug(at_mm=(0.0, 0.0, 0.0), bore_mm=12.0, boss_mm=10.0)
/// >>> oil = fm.Fluid.oil(grade="10W-40")
/// >>> cold, hot = (
/// ...     fm.emptying_seconds(pan, plug, oil, volume_l=4.0, temperature_c=t, model="energy balance")
/// ...     for t in (0.0, 90.0))
/// >>> cold > 2.0 * hot
/// True
#[pyfunction]
#[pyo3(signature = (sump, plug, fluid, *, volume_l, temperature_c, model, entry_loss = None, cd = None, vent = "open",
    vent_area_mm2 = None, near_empty = "weir", attitude = None))]
#[allow(clippy::too_many_arguments)] // keyword-only in Python
pub(super) fn emptying_seconds(
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
    attitude: Option<&Bound<'_, Attitude>>,
) -> PyResult<f64> {
    let (volume, temperature) = (volume_l.number("volume_l")?, temperature_c.number("temperature_c")?);
    let mut recipe = Recipe::of("");
    let how = Treatment::read(py, &mut recipe, model, [entry_loss, cd], vent, vent_area_mm2.as_ref(), near_empty)?;
    let drain = prepared(py, sump, plug, fluid, temperature, how, attitude)?;
    let time = run_detached(py, move || drain.core.emptying_time(litres(volume)))?;
    Ok(time.get::<second>())
}

/// How long a sump takes to empty through its plug, and how well that is known. Made by `emptying_time`.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct EmptyingTime {
    seconds: f64,
    by_model: TimesByModel,
    of_grade: Option<Spread>,
    left_l: f64,
    recipe: Recipe,
}

impl PartialEq for EmptyingTime {
    fn eq(&self, other: &Self) -> bool {
        let numbers = |t: &Self| (t.seconds, t.by_model, t.of_grade, t.left_l);
        numbers(self) == numbers(other)
    }
}

#[pymethods]
impl EmptyingTime {
    /// Time by the chosen model until only drops fall [s].
    #[getter]
    fn seconds(&self) -> f64 {
        self.seconds
    }

    /// The time by each of the three models [s], by name; each to the end of its own stream.
    #[getter]
    fn by_model<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let dict = PyDict::new(py);
        for (name, time) in ["energy balance", "constant Cd", "short tube"].into_iter().zip(self.by_model.times()) {
            dict.set_item(name, time.get::<second>())?;
        }
        Ok(dict)
    }

    /// Shortest and longest time of the three models [s].
    #[getter]
    fn between_models_seconds(&self) -> (f64, f64) {
        let [low, high] = self.by_model.interval().map(|t| t.get::<second>());
        (low, high)
    }

    /// Standard uncertainty that the choice of a model leaves [s].
    ///
    /// The half width of `between_models_seconds` over the square root of 3 (rectangular, JCGM 100, 4.3.7).
    #[getter]
    fn between_models_uncertainty_seconds(&self) -> f64 {
        self.by_model.standard_uncertainty().get::<second>()
    }

    /// What the grade of the oil leaves of the time [s]; None for an oil that was not made from one.
    ///
    /// A dict of ``nominal``, ``low``, ``high``, ``mean`` and ``standard_uncertainty``, as `Fluid.spread` gives it.
    #[getter]
    fn of_grade<'py>(&self, py: Python<'py>) -> PyResult<Option<Bound<'py, PyDict>>> {
        self.of_grade.as_ref().map(|s| spread_dict(py, s)).transpose()
    }

    /// Volume left in the sump when the stream breaks into drops, what is behind ribs included [L].
    #[getter]
    fn left_l(&self) -> f64 {
        self.left_l
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.recipe.repr(py, "emptying_time")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.recipe.reduce_call(py, "emptying_time")
    }
}

/// How long a sump takes to empty through its plug until only drops fall, and how well that is known.
///
/// As `drain_curve`, without the rows.
///
/// Parameters
/// ----------
/// sump : Sump
///     What empties.
/// plug : Plug
///     The hole.
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
///     As for `drain_flow`.
/// vent_area_mm2 : quantity
///     Free area of a restricted vent [mm2].
/// near_empty : {"weir", "ignore"}
///     Whether the rim limits the flow and the stream ends in drops. Ignored, the loss model holds down to nothing.
/// attitude : Attitude
///     How the body stands; level where not given.
///
/// Returns
/// -------
/// EmptyingTime
///     With the interval between the three models, and what the grade of the oil leaves.
///
/// Raises
/// ------
/// FluidError, GeometryError, CircuitError, QuantityError, TypeError
///     As `drain_curve`.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> pan = fm.Sump.box(length_mm=250.0, width_mm=200.0, height_mm=100.0)
/// >>> plug = fm.Plug(at_mm=(0.0, 0.0, 0.0), bore_mm=12.0, boss_mm=10.0)
/// >>> oil = fm.Fluid.oil(grade="10W-40")
/// >>> cold = fm.emptying_time(pan, plug, oil, volume_l=4.0, temperature_c=0.0, model="energy balance")
/// >>> low, high = cold.between_models_seconds
/// >>> low < cold.seconds <= high
/// True
/// >>> cold.of_grade["standard_uncertainty"] > 5.0
/// True
#[pyfunction]
#[pyo3(signature = (sump, plug, fluid, *, volume_l, temperature_c, model, entry_loss = None, cd = None, vent = "open",
    vent_area_mm2 = None, near_empty = "weir", attitude = None))]
#[allow(clippy::too_many_arguments)] // keyword-only in Python
pub(super) fn emptying_time(
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
    attitude: Option<&Bound<'_, Attitude>>,
) -> PyResult<EmptyingTime> {
    let (volume, temperature) = (volume_l.number("volume_l")?, temperature_c.number("temperature_c")?);
    let mut recipe = Recipe::of("").with(py, "sump", sump)?.with(py, "plug", plug)?.with(py, "fluid", fluid)?;
    recipe = recipe.with(py, "volume_l", volume)?.with(py, "temperature_c", temperature)?;
    let how = Treatment::read(py, &mut recipe, model, [entry_loss, cd], vent, vent_area_mm2.as_ref(), near_empty)?;
    let recipe = stood(py, recipe, attitude)?;
    let drain = prepared(py, sump, plug, fluid, temperature, how, attitude)?;
    let (time, by_model, of_grade, left) = run_detached(py, move || {
        let volume = litres(volume);
        let rows = drain.core.curve(volume, None, 1)?;
        let end = rows.last().map_or(Length::new::<meter>(0.0), |row| row.head);
        let time = drain.core.emptying_time(volume)?;
        let of_grade = drain.spread(|core| Ok(core.emptying_time(volume)?.get::<second>()))?;
        Ok::<_, crate::Error>((
            time,
            drain.core.emptying_times(volume)?,
            of_grade,
            drain.core.outlet().left(volume, end)?,
        ))
    })?;
    let left_l = Litre::from_si(left.get::<cubic_meter>());
    Ok(EmptyingTime { seconds: time.get::<second>(), by_model, of_grade, left_l, recipe })
}

/// A result with what a grade leaves of it, as a dict.
pub(super) fn spread_dict<'py>(py: Python<'py>, spread: &Spread) -> PyResult<Bound<'py, PyDict>> {
    let dict = PyDict::new(py);
    for (name, value) in spread.named() {
        dict.set_item(name, value)?;
    }
    Ok(dict)
}
