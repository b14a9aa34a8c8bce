//! Films of oil for Python.

use pyo3::prelude::*;
use pyo3::types::PyTuple;
use uom::si::dynamic_viscosity::pascal_second;
use uom::si::f64::{Angle, DynamicViscosity, Length, MassDensity, SurfaceTension, Velocity};
use uom::si::length::meter;
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::surface_tension::newton_per_meter;
use uom::si::velocity::meter_per_second;
use uom::si::volume::cubic_meter;

use super::arrays::{FloatOrArray, Values};
use super::errors;
use super::fluid::{PyFluid, degrees};
use super::quantity::Scalar;
use super::recipe::Recipe;
use super::reduced_time::{Course, ReducedTime};
use super::unit::{
    Degree, DegreeCelsius, KilogramPerCubicMetre, Litre, Micrometre, Millimetre, Minute, NewtonPerMetre, Unit,
};
use crate::fluid::film::{self, FloorFilm as CoreFloor, WallFilm as CoreWall};
use crate::fluid::{Fluid, FluidError};

/// The film on a plane wall that was uncovered all at once. Immutable.
///
/// H. Jeffreys, Proc. Cambridge Phil. Soc. 26 (1930) 204: at a distance z down the wall
/// ``h = sqrt(z / (g sin(beta) s))`` and on the whole wall ``V = (2/3) W H**1.5 / sqrt(g sin(beta) s)``, s being the reduced
/// time. Where that exceeds the thickness the film started with, the film still has the latter. Valid while the film is
/// thin against the wall's length; for any oil after about a second.
///
/// Parameters
/// ----------
/// length_mm : quantity
///     Length of the wall along its slope [mm].
/// width_mm : quantity
///     Width across [mm].
/// slope_deg : quantity
///     Slope against the horizontal [deg], 0.1 to 90; upright where not given. Nearer to level use `FloorFilm`.
/// start_um : quantity
///     Thickness of the film at the beginning [um], 0.001 to 100 000; unlimited where not given.
///
/// Raises
/// ------
/// QuantityError
///     If a value is outside its range.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> walls = fm.WallFilm(length_mm=300.0, width_mm=2e6 / 300.0)
/// >>> hot = fm.ReducedTime().after(minutes=5, kinematic_viscosity_mm2_s=14.0)
/// >>> round(walls.volume_l(hot), 4)
/// 0.0504
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct WallFilm {
    inner: CoreWall,
    recipe: Recipe,
}

impl PartialEq for WallFilm {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

#[pymethods]
impl WallFilm {
    #[new]
    #[pyo3(signature = (*, length_mm, width_mm, slope_deg = None, start_um = None))]
    fn new(
        py: Python<'_>,
        length_mm: Scalar<'_, Millimetre>,
        width_mm: Scalar<'_, Millimetre>,
        slope_deg: Option<Scalar<'_, Degree>>,
        start_um: Option<Scalar<'_, Micrometre>>,
    ) -> PyResult<Self> {
        let (length, width) = (length_mm.number("length_mm")?, width_mm.number("width_mm")?);
        let slope = slope_deg.map_or(Ok(90.0), |s| s.number("slope_deg"))?;
        let wall = CoreWall::new(mm(length), mm(width), deg(slope)).map_err(errors::to_py)?;
        let mut recipe = Recipe::of("").with(py, "length_mm", length)?.with(py, "width_mm", width)?;
        recipe = recipe.with(py, "slope_deg", slope)?;
        let Some(start) = start_um.map(|s| s.number("start_um")).transpose()? else {
            return Ok(Self { inner: wall, recipe });
        };
        let thickness = Length::new::<meter>(Micrometre::to_si(start));
        let inner = wall.starting_with(thickness).map_err(errors::to_py)?;
        Ok(Self { inner, recipe: recipe.with(py, "start_um", start)? })
    }

    /// Volume on the wall.
    ///
    /// Parameters
    /// ----------
    /// since : ReducedTime
    ///     Since the wall was uncovered.
    ///
    /// Returns
    /// -------
    /// float
    ///     Volume [L]; infinite at once unless the film started with a thickness.
    fn volume_l(&self, since: PyRef<'_, ReducedTime>) -> f64 {
        Litre::from_si(self.inner.volume(since.0).get::<cubic_meter>())
    }

    /// Mean thickness of the film: volume over area.
    ///
    /// Parameters
    /// ----------
    /// since : ReducedTime
    ///     Since the wall was uncovered.
    ///
    /// Returns
    /// -------
    /// float
    ///     Thickness [um].
    fn mean_thickness_um(&self, since: PyRef<'_, ReducedTime>) -> f64 {
        Micrometre::from_si(self.inner.mean_thickness(since.0).get::<meter>())
    }

    /// Thickness of the film at a distance down the wall.
    ///
    /// Parameters
    /// ----------
    /// at_mm : quantity or array
    ///     Distance from the wall's upper edge along its slope [mm].
    /// since : ReducedTime
    ///     Since the wall was uncovered.
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     Thickness of the distance's shape [um].
    #[pyo3(signature = (at_mm, since))]
    fn thickness_um(
        &self,
        py: Python<'_>,
        at_mm: Values<'_, Millimetre>,
        since: PyRef<'_, ReducedTime>,
    ) -> PyResult<FloatOrArray> {
        let (wall, since) = (self.inner, since.0);
        at_mm.read("at_mm")?.map::<Micrometre, _, _>(py, move |z| {
            Ok::<_, FluidError>(wall.thickness(Length::new::<meter>(z), since).get::<meter>())
        })
    }

    /// Volume on the wall against time, at one temperature or while the oil cools.
    ///
    /// `Fluid.spread` says what the grade of an oil leaves of it.
    ///
    /// Parameters
    /// ----------
    /// minutes : quantity or array
    ///     Time since the wall was uncovered [min].
    /// fluid : Fluid
    ///     With a viscosity; a lubricating oil where it cools.
    /// temperature_c : quantity
    ///     Its temperature, or that at the beginning [°C].
    /// surroundings_c, time_constant_minutes : quantity
    ///     Where it cools: the temperature it tends to [°C], and the time in which the difference falls to 37 % [min].
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     Volume of the shape of `minutes` [L].
    ///
    /// Raises
    /// ------
    /// FluidError
    ///     If the fluid has no viscosity, or a temperature is outside its range.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> walls = fm.WallFilm(length_mm=300.0, width_mm=2e6 / 300.0)
    /// >>> oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
    /// >>> walls.retained_l(minutes=[5.0, 20.0], fluid=oil, temperature_c=90.0).round(3)
    /// array([0.057, 0.029])
    #[pyo3(signature = (*, minutes, fluid, temperature_c, surroundings_c = None, time_constant_minutes = None))]
    fn retained_l(
        &self,
        py: Python<'_>,
        minutes: Values<'_, Minute>,
        fluid: PyRef<'_, PyFluid>,
        temperature_c: Scalar<'_, DegreeCelsius>,
        surroundings_c: Option<Scalar<'_, DegreeCelsius>>,
        time_constant_minutes: Option<Scalar<'_, Minute>>,
    ) -> PyResult<FloatOrArray> {
        let course = Course::read(&fluid, &temperature_c, surroundings_c.as_ref(), time_constant_minutes.as_ref())?;
        let wall = self.inner;
        let times = minutes.read("minutes")?;
        times.map::<Litre, _, _>(py, move |t| Ok::<_, FluidError>(wall.volume(course.after(t)?).get::<cubic_meter>()))
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.recipe.repr(py, "WallFilm")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.recipe.reduce::<Self>(py)
    }
}

/// The layer on a near-level floor that drains over one edge. Immutable.
///
/// On a level floor of length L towards the edge the layer becomes self-similar, of mean thickness
/// ``1.0757 (L**2 / (g s))**(1/3)``, s being the reduced time. A floor that falls towards the edge by beta drains like a wall
/// as well, mean ``(2/3) sqrt(L / (g sin(beta) s))``; the thinner counts, at most some 30 % too thick where they cross. A
/// capillary lip holds a layer back for good: the cubes of the two thicknesses are added (judgement).
///
/// Parameters
/// ----------
/// length_mm : quantity
///     Length towards the edge that the floor drains over [mm].
/// width_mm : quantity
///     Width along that edge [mm].
/// slope_deg : quantity
///     Fall towards the edge [deg], 0 to 90; level where not given.
/// lip_mm : quantity
///     Height of oil that surface tension holds at the edge [mm], 0 to 5; 0.5 where not given (judgement).
///
/// Raises
/// ------
/// QuantityError
///     If a value is outside its range.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> floor = fm.FloorFilm(length_mm=300.0, width_mm=220.0, lip_mm=0.0)
/// >>> since = fm.ReducedTime().after(minutes=10, kinematic_viscosity_mm2_s=65.0)
/// >>> round(floor.volume_l(since), 3)
/// 0.071
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct FloorFilm {
    inner: CoreFloor,
    recipe: Recipe,
}

impl PartialEq for FloorFilm {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

#[pymethods]
impl FloorFilm {
    #[new]
    #[pyo3(signature = (*, length_mm, width_mm, slope_deg = None, lip_mm = None))]
    fn new(
        py: Python<'_>,
        length_mm: Scalar<'_, Millimetre>,
        width_mm: Scalar<'_, Millimetre>,
        slope_deg: Option<Scalar<'_, Degree>>,
        lip_mm: Option<Scalar<'_, Millimetre>>,
    ) -> PyResult<Self> {
        let (length, width) = (length_mm.number("length_mm")?, width_mm.number("width_mm")?);
        let slope = slope_deg.map_or(Ok(0.0), |s| s.number("slope_deg"))?;
        let lip = lip_mm.map_or(Ok(film::DEFAULT_LIP * 1e3), |l| l.number("lip_mm"))?;
        let floor = CoreFloor::new(mm(length), mm(width), deg(slope)).map_err(errors::to_py)?;
        let inner = floor.with_lip(mm(lip)).map_err(errors::to_py)?;
        let recipe = Recipe::of("").with(py, "length_mm", length)?.with(py, "width_mm", width)?;
        Ok(Self { inner, recipe: recipe.with(py, "slope_deg", slope)?.with(py, "lip_mm", lip)? })
    }

    /// Volume of the layer.
    ///
    /// Parameters
    /// ----------
    /// since : ReducedTime
    ///     Since the floor was uncovered, after 0.
    ///
    /// Returns
    /// -------
    /// float
    ///     Volume [L].
    fn volume_l(&self, since: PyRef<'_, ReducedTime>) -> f64 {
        Litre::from_si(self.inner.volume(since.0).get::<cubic_meter>())
    }

    /// Mean thickness of the layer.
    ///
    /// Parameters
    /// ----------
    /// since : ReducedTime
    ///     Since the floor was uncovered, after 0.
    ///
    /// Returns
    /// -------
    /// float
    ///     Thickness [um].
    fn mean_thickness_um(&self, since: PyRef<'_, ReducedTime>) -> f64 {
        Micrometre::from_si(self.inner.mean_thickness(since.0).get::<meter>())
    }

    /// Volume of the layer against time, at one temperature or while the oil cools.
    ///
    /// `Fluid.spread` says what the grade of an oil leaves of it.
    ///
    /// Parameters
    /// ----------
    /// minutes : quantity or array
    ///     Time since the floor was uncovered [min], above 0.
    /// fluid : Fluid
    ///     With a viscosity; a lubricating oil where it cools.
    /// temperature_c : quantity
    ///     Its temperature, or that at the beginning [°C].
    /// surroundings_c, time_constant_minutes : quantity
    ///     Where it cools: the temperature it tends to [°C], and the time in which the difference falls to 37 % [min].
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     Volume of the shape of `minutes` [L].
    ///
    /// Raises
    /// ------
    /// FluidError
    ///     If the fluid has no viscosity, or a temperature is outside its range.
    #[pyo3(signature = (*, minutes, fluid, temperature_c, surroundings_c = None, time_constant_minutes = None))]
    fn retained_l(
        &self,
        py: Python<'_>,
        minutes: Values<'_, Minute>,
        fluid: PyRef<'_, PyFluid>,
        temperature_c: Scalar<'_, DegreeCelsius>,
        surroundings_c: Option<Scalar<'_, DegreeCelsius>>,
        time_constant_minutes: Option<Scalar<'_, Minute>>,
    ) -> PyResult<FloatOrArray> {
        let course = Course::read(&fluid, &temperature_c, surroundings_c.as_ref(), time_constant_minutes.as_ref())?;
        let floor = self.inner;
        let times = minutes.read("minutes")?;
        times.map::<Litre, _, _>(py, move |t| Ok::<_, FluidError>(floor.volume(course.after(t)?).get::<cubic_meter>()))
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.recipe.repr(py, "FloorFilm")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.recipe.reduce::<Self>(py)
    }
}

/// Thickness of the film on a stick drawn out of oil.
///
/// The thinner of two regimes, with ``Ca = mu U / sigma``: capillary, ``0.9458 l_c Ca**(2/3)`` (L. Landau and B. Levich
/// 1942), and gravity, ``sqrt(mu U / (rho g sin(alpha)))`` (B. Derjaguin 1943). They cross at Ca = 1.4 for an upright stick;
/// the first is for an upright plate and used for leaning ones too (judgement).
///
/// Parameters
/// ----------
/// fluid : Fluid
///     With a viscosity.
/// temperature_c : quantity
///     Its temperature [°C].
/// speed_mm_s : float
///     Speed of the stick along itself [mm/s], above 0.
/// slope_deg : quantity
///     Slope of the stick against the horizontal [deg], 1 to 90; upright where not given.
/// surface_tension_n_m : quantity
///     Surface tension [N/m]; 0.030 where not given (engine oil, from memory).
///
/// Returns
/// -------
/// float
///     Thickness on each side [um].
///
/// Raises
/// ------
/// FluidError
///     If the fluid has no viscosity, or the temperature is outside its range.
/// QuantityError
///     If another value is outside its range.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
/// >>> round(fm.withdrawal_film_um(oil, temperature_c=40.0, speed_mm_s=100.0))
/// 748
#[pyfunction]
#[pyo3(signature = (fluid, *, temperature_c, speed_mm_s, slope_deg = None, surface_tension_n_m = None))]
pub(super) fn withdrawal_film_um(
    fluid: PyRef<'_, PyFluid>,
    temperature_c: Scalar<'_, DegreeCelsius>,
    speed_mm_s: f64,
    slope_deg: Option<Scalar<'_, Degree>>,
    surface_tension_n_m: Option<Scalar<'_, NewtonPerMetre>>,
) -> PyResult<f64> {
    let at = degrees(temperature_c.number("temperature_c")?);
    let slope = deg(slope_deg.map_or(Ok(90.0), |s| s.number("slope_deg"))?);
    let sigma = tension(surface_tension_n_m.as_ref())?;
    let speed = Velocity::new::<meter_per_second>(speed_mm_s / 1e3);
    let film = |fluid: &Fluid| {
        let mu = DynamicViscosity::new::<pascal_second>(fluid.dynamic_viscosity(at)?.get::<pascal_second>());
        film::withdrawal_film(mu, fluid.density(at)?, sigma, speed, slope)
    };
    Ok(Micrometre::from_si(film(&fluid.inner).map_err(errors::to_py)?.get::<meter>()))
}

/// Capillary length of a liquid: ``sqrt(sigma / (rho g))``, 1.9 mm for oil.
///
/// Parameters
/// ----------
/// density_kg_m3 : quantity
///     Density [kg/m3].
/// surface_tension_n_m : quantity
///     Surface tension [N/m]; 0.030 where not given (engine oil, from memory).
///
/// Returns
/// -------
/// float
///     Length [mm].
///
/// Raises
/// ------
/// QuantityError
///     If a value is not above 0.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> round(fm.capillary_length_mm(density_kg_m3=870.0), 3)
/// 1.875
#[pyfunction]
#[pyo3(signature = (*, density_kg_m3, surface_tension_n_m = None))]
pub(super) fn capillary_length_mm(
    density_kg_m3: Scalar<'_, KilogramPerCubicMetre>,
    surface_tension_n_m: Option<Scalar<'_, NewtonPerMetre>>,
) -> PyResult<f64> {
    let density = MassDensity::new::<kilogram_per_cubic_meter>(density_kg_m3.si("density_kg_m3")?);
    let length = film::capillary_length(tension(surface_tension_n_m.as_ref())?, density).map_err(errors::to_py)?;
    Ok(Millimetre::from_si(length.get::<meter>()))
}

fn tension(given: Option<&Scalar<'_, NewtonPerMetre>>) -> PyResult<SurfaceTension> {
    let sigma = given.map_or(Ok(film::OIL_SURFACE_TENSION), |s| s.si("surface_tension_n_m"))?;
    Ok(SurfaceTension::new::<newton_per_meter>(sigma))
}

fn mm(length: f64) -> Length {
    Length::new::<meter>(Millimetre::to_si(length))
}

fn deg(angle: f64) -> Angle {
    Angle::new::<uom::si::angle::degree>(angle)
}
