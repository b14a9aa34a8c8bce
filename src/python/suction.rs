//! Suction tubes for Python.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use uom::si::f64::{KinematicViscosity, Length, MassDensity, Pressure, Volume};
use uom::si::kinematic_viscosity::square_meter_per_second;
use uom::si::length::meter;
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::pressure::pascal;
use uom::si::time::second;
use uom::si::volume::cubic_meter;
use uom::si::volume_rate::cubic_meter_per_second;

use super::arrays::{FloatOrArray, ToArray, Values};
use super::detach::run_detached;
use super::errors;
use super::fluid::{PyFluid, degrees};
use super::geometry::{Attitude, or_level};
use super::quantity::Scalar;
use super::recipe::Recipe;
use super::sump::Sump;
use super::unit::{DegreeCelsius, Kilopascal, Litre, LitrePerMinute, Millimetre, Unit};
use crate::circuit::{SuctionRow, TubeDrain};
use crate::fluid::suction::{ENTRAINMENT_MARGIN, SuctionTube as CoreTube, TubeRegime};
use crate::fluid::{Fluid, FluidError};
use crate::geometry::{Plug, Point, SuctionTip};
use crate::numeric::check;

/// A tube put into a sump to draw the oil out. Immutable.
///
/// Energy balance from the free surface to the pump's port, v the mean velocity in the tube, its friction that of a smooth
/// pipe: ``vacuum = rho g (rise - head) + (rho v**2 / 2) (1 + 0.5 + f l / d)`` with ``f = 64 / Re`` to Re = 2300 (Poiseuille),
/// ``0.3164 Re**-0.25`` from 4000 (Blasius, to 1e5), a straight line between. Entry loss 0.5 from memory. Flow and time have a
/// standard relative uncertainty of 15 % (judgement: coiled tubes, couplings and the pump's own curve).
///
/// Parameters
/// ----------
/// tip_mm : tuple of float
///     Where the tip stands, body frame [mm].
/// bore_mm : quantity
///     Inner diameter [mm], 1 to 100.
/// length_mm : quantity
///     Length of tube [mm], 10 to 100 000.
/// rise_mm : quantity
///     Height of the pump's port over the tip [mm], -10 000 to 12 000.
/// vacuum_kpa : quantity
///     What the pump holds below the air pressure [kPa], 0.001 to 101.325.
/// axis : tuple of float
///     Direction in which the tube leads away from its tip, body frame, any length; upright where not given, its opening
///     level.
///
/// Raises
/// ------
/// QuantityError
///     If a value is outside its range.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> tube = fm.SuctionTube(tip_mm=(80.0, 0.0, 3.0), bore_mm=6.0, length_mm=1500.0, rise_mm=900.0, vacuum_kpa=70.0)
/// >>> pan = fm.Sump.box(length_mm=250.0, width_mm=200.0, height_mm=100.0)
/// >>> round(tube.left_l(pan), 2)
/// 0.3
/// >>> tube.breaks_at_mm
/// 3.0
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct SuctionTube {
    tip: Point,
    bore: Length,
    length: Length,
    rise: Length,
    vacuum: Pressure,
    axis: [f64; 3],
    recipe: Recipe,
}

impl PartialEq for SuctionTube {
    fn eq(&self, other: &Self) -> bool {
        let sizes = |t: &Self| (t.tip, t.bore, t.length, t.rise, t.vacuum, t.axis);
        sizes(self) == sizes(other)
    }
}

impl SuctionTube {
    /// Its tip.
    pub(super) fn tip(&self) -> SuctionTip {
        SuctionTip { at: self.tip, bore: self.bore, axis: self.axis, margin: ENTRAINMENT_MARGIN * self.bore }
    }

    /// The tube in a fluid at one temperature.
    fn filled(&self, fluid: &Fluid, temperature_c: f64) -> Result<CoreTube, FluidError> {
        let at = degrees(temperature_c);
        let (nu, density) = (fluid.kinematic_viscosity(at)?, fluid.density(at)?);
        CoreTube::new(self.bore, self.length, self.rise, self.vacuum, nu, density)
    }
}

#[pymethods]
impl SuctionTube {
    #[new]
    #[pyo3(signature = (*, tip_mm, bore_mm, length_mm, rise_mm, vacuum_kpa, axis = None))]
    fn new(
        py: Python<'_>,
        tip_mm: (f64, f64, f64),
        bore_mm: Scalar<'_, Millimetre>,
        length_mm: Scalar<'_, Millimetre>,
        rise_mm: Scalar<'_, Millimetre>,
        vacuum_kpa: Scalar<'_, Kilopascal>,
        axis: Option<(f64, f64, f64)>,
    ) -> PyResult<Self> {
        let mut recipe = Recipe::of("").with(py, "tip_mm", tip_mm)?;
        let mut size = |name: &'static str, given: &Scalar<'_, Millimetre>| {
            let number = given.number(name)?;
            recipe.add(py, name, number)?;
            Ok::<_, PyErr>(Length::new::<meter>(Millimetre::to_si(number)))
        };
        let (bore, length) = (size("bore_mm", &bore_mm)?, size("length_mm", &length_mm)?);
        let rise = size("rise_mm", &rise_mm)?;
        let vacuum = vacuum_kpa.number("vacuum_kpa")?;
        let mut recipe = recipe.with(py, "vacuum_kpa", vacuum)?;
        let vacuum = Pressure::new::<pascal>(Kilopascal::to_si(vacuum));
        let (nu, density) = any_liquid();
        CoreTube::new(bore, length, rise, vacuum, nu, density).map_err(errors::to_py)?;
        let tip = Point::from_mm(tip_mm.into()).map_err(errors::to_py)?;
        if let Some(axis) = axis {
            recipe = recipe.with(py, "axis", axis)?;
        }
        let axis = axis.map_or(TubeDrain::UPRIGHT, Into::into);
        Plug::new(tip, bore, Length::new::<meter>(0.0), axis).map_err(errors::to_py)?;
        Ok(Self { tip, bore, length, rise, vacuum, axis, recipe })
    }

    /// Depth over the highest point of the tip's rim at which it begins to draw air: half a bore (judgement) [mm].
    #[getter]
    fn breaks_at_mm(&self) -> f64 {
        Millimetre::from_si(ENTRAINMENT_MARGIN * self.bore.get::<meter>())
    }

    /// Flow at a depth of oil over the tip.
    ///
    /// Parameters
    /// ----------
    /// fluid : Fluid
    ///     With a viscosity.
    /// temperature_c : quantity
    ///     Its temperature [°C].
    /// head_mm : quantity or array
    ///     Depth over the tip [mm], 0 to 10 000.
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     Flow of the depth's shape [L/min].
    ///
    /// Raises
    /// ------
    /// FluidError
    ///     If the vacuum does not lift the oil to the pump, or the fluid has no viscosity there.
    /// QuantityError
    ///     If a depth is outside its range.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> tube = fm.SuctionTube(tip_mm=(0.0, 0.0, 3.0), bore_mm=6.0, length_mm=1500.0, rise_mm=900.0, vacuum_kpa=70.0)
    /// >>> oil = fm.Fluid.oil(grade="10W-40")
    /// >>> cold, hot = (tube.flow_l_min(oil, temperature_c=t, head_mm=80.0) for t in (20.0, 80.0))
    /// >>> hot > 5.0 * cold
    /// True
    #[pyo3(signature = (fluid, *, temperature_c, head_mm))]
    fn flow_l_min(
        &self,
        py: Python<'_>,
        fluid: PyRef<'_, PyFluid>,
        temperature_c: Scalar<'_, DegreeCelsius>,
        head_mm: Values<'_, Millimetre>,
    ) -> PyResult<FloatOrArray> {
        let tube = self.filled(&fluid.inner, temperature_c.number("temperature_c")?).map_err(errors::to_py)?;
        head_mm.read("head_mm")?.map::<LitrePerMinute, _, _>(py, move |head| {
            Ok::<_, FluidError>(tube.flow(Length::new::<meter>(head))?.rate.get::<cubic_meter_per_second>())
        })
    }

    /// How the oil flows in the tube at a depth over the tip.
    ///
    /// Parameters
    /// ----------
    /// fluid : Fluid
    ///     With a viscosity.
    /// temperature_c : quantity
    ///     Its temperature [°C].
    /// head_mm : quantity
    ///     Depth over the tip [mm], 0 to 10 000.
    ///
    /// Returns
    /// -------
    /// str
    ///     ``"laminar"``, ``"transitional"`` (Reynolds number 2300 to 4000) or ``"turbulent"``.
    ///
    /// Raises
    /// ------
    /// FluidError, QuantityError
    ///     As `flow_l_min`.
    #[pyo3(signature = (fluid, *, temperature_c, head_mm))]
    fn regime(
        &self,
        fluid: PyRef<'_, PyFluid>,
        temperature_c: Scalar<'_, DegreeCelsius>,
        head_mm: Scalar<'_, Millimetre>,
    ) -> PyResult<&'static str> {
        let tube = self.filled(&fluid.inner, temperature_c.number("temperature_c")?).map_err(errors::to_py)?;
        let flow = tube.flow(Length::new::<meter>(head_mm.si("head_mm")?)).map_err(errors::to_py)?;
        Ok(match flow.regime {
            TubeRegime::Laminar => "laminar",
            TubeRegime::Transitional => "transitional",
            TubeRegime::Turbulent => "turbulent",
        })
    }

    /// Time from starting the pump until the tip begins to draw air [s].
    ///
    /// In the beginning all liquid stands at one common level. Then only the part falls that the tip lies in; what is behind a rib
    /// stays.
    ///
    /// Parameters
    /// ----------
    /// sump : Sump
    ///     What is emptied; the tip is at most 50 mm outside the liquid space.
    /// fluid : Fluid
    ///     With a viscosity.
    /// volume_l : quantity
    ///     In the sump at the beginning, at its temperature [L].
    /// temperature_c : quantity
    ///     Temperature of the fluid [°C].
    /// attitude : Attitude
    ///     How the body stands; level where not given.
    ///
    /// Returns
    /// -------
    /// float
    ///     Time [s]; 0 when the tip draws air at once.
    ///
    /// Raises
    /// ------
    /// FluidError
    ///     If the vacuum does not lift the oil to the pump, or the fluid has no viscosity there.
    /// GeometryError
    ///     If the volume is outside the capacity, or the sump has no plan form and is not level.
    /// CircuitError
    ///     If the tip is not at the sump.
    #[pyo3(signature = (sump, fluid, *, volume_l, temperature_c, attitude = None))]
    fn emptying_seconds(
        &self,
        py: Python<'_>,
        sump: PyRef<'_, Sump>,
        fluid: PyRef<'_, PyFluid>,
        volume_l: Scalar<'_, Litre>,
        temperature_c: Scalar<'_, DegreeCelsius>,
        attitude: Option<PyRef<'_, Attitude>>,
    ) -> PyResult<f64> {
        let volume = Volume::new::<cubic_meter>(volume_l.si("volume_l")?);
        let tube = self.filled(&fluid.inner, temperature_c.number("temperature_c")?).map_err(errors::to_py)?;
        let (sump, tip, axis, attitude) = (sump.inner.clone(), self.tip, self.axis, or_level(attitude));
        let time = run_detached(py, move || TubeDrain::new(&sump, attitude, tip, axis, tube)?.emptying_time(volume))?;
        Ok(time.get::<second>())
    }

    /// How the sump empties until the tip begins to draw air.
    ///
    /// Parameters
    /// ----------
    /// sump, fluid : Sump, Fluid
    ///     As `emptying_seconds`.
    /// volume_l, temperature_c : quantity
    ///     As `emptying_seconds` [L], [°C].
    /// steps : int
    ///     Equal falls of the surface, 1 to 5000.
    /// attitude : Attitude
    ///     How the body stands; level where not given.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``seconds``, ``head_mm`` over the tip, ``level_mm`` of the part it lies in, ``flow_l_min`` and ``left_l`` in the whole
    ///     sump, what is behind ribs included.
    ///
    /// Raises
    /// ------
    /// FluidError, GeometryError, CircuitError, QuantityError
    ///     As `emptying_seconds`, and for steps outside their range.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> tube = fm.SuctionTube(tip_mm=(80.0, 0.0, 3.0), bore_mm=6.0, length_mm=1500.0, rise_mm=900.0, vacuum_kpa=70.0)
    /// >>> pan = fm.Sump.box(length_mm=250.0, width_mm=200.0, height_mm=100.0)
    /// >>> oil = fm.Fluid.oil(grade="10W-40")
    /// >>> c = tube.emptying_columns(pan, oil, volume_l=4.0, temperature_c=70.0)
    /// >>> c["left_l"][[0, -1]].round(3)
    /// array([4. , 0.3])
    #[pyo3(signature = (sump, fluid, *, volume_l, temperature_c, steps = 200, attitude = None))]
    #[allow(clippy::too_many_arguments)] // keyword-only in Python
    fn emptying_columns<'py>(
        &self,
        py: Python<'py>,
        sump: PyRef<'_, Sump>,
        fluid: PyRef<'_, PyFluid>,
        volume_l: Scalar<'_, Litre>,
        temperature_c: Scalar<'_, DegreeCelsius>,
        steps: usize,
        attitude: Option<PyRef<'_, Attitude>>,
    ) -> PyResult<Bound<'py, PyDict>> {
        check::in_range("steps", steps as f64, 1.0, 5e3, "rows").map_err(errors::to_py)?;
        let volume = Volume::new::<cubic_meter>(volume_l.si("volume_l")?);
        let tube = self.filled(&fluid.inner, temperature_c.number("temperature_c")?).map_err(errors::to_py)?;
        let (sump, tip, axis, attitude) = (sump.inner.clone(), self.tip, self.axis, or_level(attitude));
        let (rows, levels) = run_detached(py, move || {
            let drain = TubeDrain::new(&sump, attitude, tip, axis, tube)?;
            let rows = drain.curve(volume, steps)?;
            let levels: Vec<f64> = rows.iter().map(|r| drain.outlet().level_at(r.head).get::<meter>()).collect();
            Ok::<_, crate::Error>((rows, levels))
        })?;
        let columns = PyDict::new(py);
        let numbers = |name: &str, of: &dyn Fn(&SuctionRow) -> f64| {
            columns.set_item(name, rows.iter().map(of).collect::<Vec<_>>().array(py)?)
        };
        numbers("seconds", &|r| r.time.get::<second>())?;
        numbers("head_mm", &|r| Millimetre::from_si(r.head.get::<meter>()))?;
        let levels: Vec<f64> = levels.into_iter().map(Millimetre::from_si).collect();
        columns.set_item("level_mm", levels.array(py)?)?;
        numbers("flow_l_min", &|r| LitrePerMinute::from_si(r.rate.get::<cubic_meter_per_second>()))?;
        numbers("left_l", &|r| Litre::from_si(r.left.get::<cubic_meter>()))?;
        Ok(columns)
    }

    /// Volume that the tube leaves when its tip begins to draw air: below that level, and behind ribs.
    ///
    /// Parameters
    /// ----------
    /// sump : Sump
    ///     What is emptied.
    /// volume_l : quantity
    ///     In the sump at the beginning, at one common level [L]; full where not given.
    /// attitude : Attitude
    ///     How the body stands; level where not given.
    ///
    /// Returns
    /// -------
    /// float
    ///     Volume [L]: the greater of `left_between_l`.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If the volume is outside the capacity, the tip is more than 50 mm outside the liquid space, or the sump has no plan
    ///     form and is not level.
    /// CircuitError
    ///     If the tip is not at the sump.
    #[pyo3(signature = (sump, *, volume_l = None, attitude = None))]
    fn left_l(
        &self,
        py: Python<'_>,
        sump: PyRef<'_, Sump>,
        volume_l: Option<Scalar<'_, Litre>>,
        attitude: Option<PyRef<'_, Attitude>>,
    ) -> PyResult<f64> {
        Ok(self.left_between_l(py, sump, volume_l, attitude)?.1)
    }

    /// The least and the most that the tube leaves.
    ///
    /// The least if suction holds down to the lowest point of the tip's rim, the most if it breaks at `breaks_at_mm` over the
    /// highest.
    ///
    /// Parameters
    /// ----------
    /// sump : Sump
    ///     What is emptied.
    /// volume_l : quantity
    ///     In the sump at the beginning, at one common level [L]; full where not given.
    /// attitude : Attitude
    ///     How the body stands; level where not given.
    ///
    /// Returns
    /// -------
    /// tuple of float
    ///     The two volumes [L].
    ///
    /// Raises
    /// ------
    /// GeometryError, CircuitError
    ///     As `left_l`.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> tube = fm.SuctionTube(tip_mm=(80.0, 0.0, 3.0), bore_mm=6.0, length_mm=1500.0, rise_mm=900.0, vacuum_kpa=70.0)
    /// >>> pan = fm.Sump.box(length_mm=250.0, width_mm=200.0, height_mm=100.0)
    /// >>> least, most = tube.left_between_l(pan)
    /// >>> round(least, 6), round(most, 6)
    /// (0.15, 0.3)
    #[pyo3(signature = (sump, *, volume_l = None, attitude = None))]
    fn left_between_l(
        &self,
        py: Python<'_>,
        sump: PyRef<'_, Sump>,
        volume_l: Option<Scalar<'_, Litre>>,
        attitude: Option<PyRef<'_, Attitude>>,
    ) -> PyResult<(f64, f64)> {
        let volume = volume_l.map(|v| v.si("volume_l")).transpose()?.map(Volume::new::<cubic_meter>);
        let (sump, tip, axis, attitude) = (sump.inner.clone(), self.tip, self.axis, or_level(attitude));
        let volume = volume.unwrap_or_else(|| sump.capacity());
        // What is left does not depend on the oil.
        let (nu, density) = any_liquid();
        let tube = CoreTube::new(self.bore, self.length, self.rise, self.vacuum, nu, density).map_err(errors::to_py)?;
        let left = run_detached(py, move || TubeDrain::new(&sump, attitude, tip, axis, tube)?.left(volume))?;
        let litres = |v: Volume| Litre::from_si(v.get::<cubic_meter>());
        Ok((litres(left.least), litres(left.most)))
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.recipe.repr(py, "SuctionTube")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.recipe.reduce::<Self>(py)
    }
}

/// Viscosity and density of some liquid: for what does not depend on which.
fn any_liquid() -> (KinematicViscosity, MassDensity) {
    (KinematicViscosity::new::<square_meter_per_second>(1e-5), MassDensity::new::<kilogram_per_cubic_meter>(870.0))
}
