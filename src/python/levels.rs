//! Level, volume, surfaces and wetted areas of a sump, for Python.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use uom::si::angle::radian;
use uom::si::area::square_meter;
use uom::si::f64::{Angle, Length};
use uom::si::length::meter;

use super::arrays::{Column, FloatOrArray, ToArray, Values};
use super::basins::millimetres;
use super::detach::run_detached;
use super::errors;
use super::geometry::{Attitude, or_level};
use super::quantity::{Scalar, shortest};
use super::recipe::Recipe;
use super::sump::Sump;
use super::unit::{Degree, Litre, Millimetre, SquareMillimetre, Unit};
use crate::geometry::{Attitude as CoreAttitude, Interval, Point, Strapping as CoreStrapping, Surface as CoreSurface};

type Mm = (f64, f64, f64);

/// The recipe of a result at an attitude.
fn at_attitude(recipe: Recipe, py: Python<'_>, attitude: CoreAttitude) -> PyResult<Recipe> {
    if attitude == CoreAttitude::LEVEL {
        return Ok(recipe);
    }
    recipe.with(py, "attitude", Attitude { inner: attitude })
}

#[pymethods]
impl Sump {
    /// Volume below a level.
    ///
    /// Parameters
    /// ----------
    /// level_mm : quantity or array
    ///     Level above the lowest point at this attitude [mm], 0 to the height there.
    /// attitude : Attitude
    ///     How the body stands; level where not given.
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     Volume of the level's shape [L].
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If a level is outside the sump, or the sump has no plan form and is not level.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> pan.volume_l(level_mm=[0.0, 50.0]).round(9)
    /// array([0., 3.])
    #[pyo3(signature = (*, level_mm, attitude = None))]
    fn volume_l(
        &self,
        py: Python<'_>,
        level_mm: Values<'_, Millimetre>,
        attitude: Option<PyRef<'_, Attitude>>,
    ) -> PyResult<FloatOrArray> {
        let (sump, attitude) = (self.inner.clone(), or_level(attitude));
        let levels = level_mm.read("level_mm")?;
        let curve = run_detached(py, move || sump.curve(attitude))?;
        let mut last = Interval::default();
        levels.map::<Litre, _, _>(py, move |level| curve.volume_near_si(level, &mut last))
    }

    /// Level at which a volume stands, one common level everywhere.
    ///
    /// Parameters
    /// ----------
    /// volume_l : quantity or array
    ///     Volume [L], 0 to the capacity.
    /// attitude : Attitude
    ///     How the body stands; level where not given.
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     Level above the lowest point at this attitude, of the volume's shape [mm].
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If a volume is outside the capacity, or the sump has no plan form and is not level.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> round(pan.level_mm(volume_l=3.0, attitude=fm.Attitude(nose_up_deg=2.0)), 3)
    /// 55.204
    #[pyo3(signature = (*, volume_l, attitude = None))]
    fn level_mm(
        &self,
        py: Python<'_>,
        volume_l: Values<'_, Litre>,
        attitude: Option<PyRef<'_, Attitude>>,
    ) -> PyResult<FloatOrArray> {
        let (sump, attitude) = (self.inner.clone(), or_level(attitude));
        let volumes = volume_l.read("volume_l")?;
        let curve = run_detached(py, move || sump.curve(attitude))?;
        volumes.map::<Millimetre, _, _>(py, move |volume| curve.level_si(volume))
    }

    /// Area of the free surface at a level: the derivative of the volume.
    ///
    /// Parameters
    /// ----------
    /// level_mm : quantity or array
    ///     Level above the lowest point at this attitude [mm], 0 to the height there.
    /// attitude : Attitude
    ///     How the body stands; level where not given.
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     Area of the level's shape [mm2]; just above a level at which it jumps, just below the top.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If a level is outside the sump, or the sump has no plan form and is not level.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> round(pan.free_surface_mm2(level_mm=10.0), 6)
    /// 60000.0
    #[pyo3(signature = (*, level_mm, attitude = None))]
    fn free_surface_mm2(
        &self,
        py: Python<'_>,
        level_mm: Values<'_, Millimetre>,
        attitude: Option<PyRef<'_, Attitude>>,
    ) -> PyResult<FloatOrArray> {
        let (sump, attitude) = (self.inner.clone(), or_level(attitude));
        let levels = level_mm.read("level_mm")?;
        let curve = run_detached(py, move || sump.curve(attitude))?;
        levels.map::<SquareMillimetre, _, _>(py, move |level| curve.free_surface_si(level))
    }

    /// Height of the sump at an attitude: its highest level.
    ///
    /// Parameters
    /// ----------
    /// attitude : Attitude
    ///     How the body stands; level where not given.
    ///
    /// Returns
    /// -------
    /// float
    ///     Highest point above lowest point, along *up* [mm].
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If the sump has no plan form and is not level.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> round(pan.height_mm(attitude=fm.Attitude(nose_up_deg=2.0)), 3)
    /// 110.409
    #[pyo3(signature = (*, attitude = None))]
    fn height_mm(&self, py: Python<'_>, attitude: Option<PyRef<'_, Attitude>>) -> PyResult<f64> {
        let (sump, attitude) = (self.inner.clone(), or_level(attitude));
        let height = run_detached(py, move || sump.curve(attitude).map(|curve| curve.height_si()))?;
        Ok(shortest::<Millimetre>(height))
    }

    /// Volume below a level without preparing a curve, for a single question at an attitude.
    ///
    /// `volume_l` prepares the whole curve of an attitude first, which pays where an attitude is asked often; this looks
    /// only at the faces near the level. A sump of more than some 4,000 faces puts them in blocks at its first such
    /// question, which takes about as long as preparing one curve. The two agree within 1e-12 of the capacity.
    ///
    /// Parameters
    /// ----------
    /// level_mm : quantity
    ///     Level above the lowest point at this attitude [mm], 0 to the height there.
    /// attitude : Attitude
    ///     How the body stands; level where not given.
    ///
    /// Returns
    /// -------
    /// float
    ///     Volume [L].
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If the level is outside the sump, or the sump has no plan form.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> round(pan.direct_volume_l(level_mm=50.0), 9)
    /// 3.0
    #[pyo3(signature = (*, level_mm, attitude = None))]
    fn direct_volume_l(
        &self,
        py: Python<'_>,
        level_mm: Scalar<'_, Millimetre>,
        attitude: Option<PyRef<'_, Attitude>>,
    ) -> PyResult<f64> {
        let (sump, attitude, level) = (self.inner.clone(), or_level(attitude), level_mm.si("level_mm")?);
        Ok(Litre::from_si(run_detached(py, move || sump.direct_volume_si(level, attitude))?))
    }

    /// Ullage: the room left above a level.
    ///
    /// Parameters
    /// ----------
    /// level_mm : quantity or array
    ///     Level above the lowest point at this attitude [mm], 0 to the height there.
    /// attitude : Attitude
    ///     How the body stands; level where not given.
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     The capacity less the volume below the level, of its shape [L].
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If a level is outside the sump, or the sump has no plan form and is not level.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> round(pan.ullage_l(level_mm=80.0), 9)
    /// 1.2
    #[pyo3(signature = (*, level_mm, attitude = None))]
    fn ullage_l(
        &self,
        py: Python<'_>,
        level_mm: Values<'_, Millimetre>,
        attitude: Option<PyRef<'_, Attitude>>,
    ) -> PyResult<FloatOrArray> {
        let (sump, attitude) = (self.inner.clone(), or_level(attitude));
        let levels = level_mm.read("level_mm")?;
        let curve = run_detached(py, move || sump.curve(attitude))?;
        levels.map::<Litre, _, _>(py, move |level| curve.ullage_si(level))
    }

    /// Depth of a point of the body below the free surface, along *up*.
    ///
    /// Parameters
    /// ----------
    /// at_mm : tuple of float
    ///     The point, body frame [mm].
    /// level_mm : quantity or array
    ///     Level above the lowest point at this attitude [mm].
    /// attitude : Attitude
    ///     How the body stands; level where not given.
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     Of the level's shape [mm]; negative where the point is above the surface.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If the sump has no plan form and is not level.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> round(pan.depth_mm((0.0, 0.0, 20.0), level_mm=50.0), 9)
    /// 30.0
    #[pyo3(signature = (at_mm, *, level_mm, attitude = None))]
    fn depth_mm(
        &self,
        py: Python<'_>,
        at_mm: Mm,
        level_mm: Values<'_, Millimetre>,
        attitude: Option<PyRef<'_, Attitude>>,
    ) -> PyResult<FloatOrArray> {
        let (sump, attitude) = (self.inner.clone(), or_level(attitude));
        let point = Point::from_mm(at_mm.into()).map_err(errors::to_py)?;
        let levels = level_mm.read("level_mm")?;
        let at = run_detached(py, move || sump.level_of_point(point, attitude))?.get::<meter>();
        levels.map::<Millimetre, _, _>(py, move |level| Ok::<_, crate::Error>(level - at))
    }

    /// The free surface at a level: a plane in the body frame, its wet area and the centroid of that.
    ///
    /// Parameters
    /// ----------
    /// level_mm : quantity
    ///     Level above the lowest point at this attitude [mm], 0 to the height there.
    /// attitude : Attitude
    ///     How the body stands; level where not given.
    ///
    /// Returns
    /// -------
    /// Surface
    ///     At constant volume it turns about its centroid when the body tilts a little more.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If the level is outside the sump, or the sump has no plan form.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> pan.surface(level_mm=50.0).centroid_mm
    /// (0.0, 0.0, 50.0)
    #[pyo3(signature = (*, level_mm, attitude = None))]
    fn surface(
        slf: &Bound<'_, Self>,
        level_mm: Scalar<'_, Millimetre>,
        attitude: Option<PyRef<'_, Attitude>>,
    ) -> PyResult<Surface> {
        let (py, attitude) = (slf.py(), or_level(attitude));
        let number = level_mm.number("level_mm")?;
        let (core, level) = (slf.get().inner.clone(), Length::new::<meter>(Millimetre::to_si(number)));
        let inner = run_detached(py, move || core.surface(level, attitude))?;
        let recipe = Recipe::on(slf.as_any(), "surface").with(py, "level_mm", number)?;
        Ok(Surface { inner, recipe: at_attitude(recipe, py, attitude)? })
    }

    /// Area of the inner surface that liquid wets below a level, by slope: floor, walls, ceiling.
    ///
    /// Parameters
    /// ----------
    /// level_mm : quantity or array
    ///     Level above the lowest point at this attitude [mm]; nothing is wet below 0, everything above the height.
    /// attitude : Attitude
    ///     How the body stands; level where not given.
    /// floor_slope_deg : quantity
    ///     A face is floor (or ceiling) up to this slope against the horizontal [deg], 0 to 90; 10 where not given
    ///     (judgement).
    ///
    /// Returns
    /// -------
    /// WettedArea
    ///     Floats or arrays of the level's shape.
    ///
    /// Raises
    /// ------
    /// QuantityError
    ///     If the slope is outside its range.
    /// GeometryError
    ///     If the sump has no plan form.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> wet = pan.wetted(level_mm=50.0)
    /// >>> round(wet.floor_mm2, 6), round(wet.walls_mm2, 6), wet.ceiling_mm2
    /// (60000.0, 50000.0, 0.0)
    #[pyo3(signature = (*, level_mm, attitude = None, floor_slope_deg = None))]
    fn wetted(
        slf: &Bound<'_, Self>,
        level_mm: Values<'_, Millimetre>,
        attitude: Option<PyRef<'_, Attitude>>,
        floor_slope_deg: Option<Scalar<'_, Degree>>,
    ) -> PyResult<WettedArea> {
        let (py, attitude, core) = (slf.py(), or_level(attitude), slf.get().inner.clone());
        let slope = floor_slope_deg.map_or(Ok(FLOOR_SLOPE_DEG), |s| s.number("floor_slope_deg"))?;
        let levels = level_mm.read("level_mm")?;
        let mut recipe = Recipe::on(slf.as_any(), "wetted").with(py, "level_mm", levels.as_keyword(py)?)?;
        recipe = at_attitude(recipe, py, attitude)?;
        if slope.to_bits() != FLOOR_SLOPE_DEG.to_bits() {
            recipe.add(py, "floor_slope_deg", slope)?;
        }
        let curve = run_detached(py, move || core.wetted(attitude, Angle::new::<radian>(slope.to_radians())))?;
        let part = |p: usize| {
            levels.clone().map::<SquareMillimetre, _, _>(py, |level| Ok::<_, crate::Error>(curve.at_si(level)[p]))
        };
        Ok(WettedArea { floor: part(0)?, walls: part(1)?, ceiling: part(2)?, recipe })
    }

    /// The strapping table: level, volume and free surface at equal steps of level.
    ///
    /// Parameters
    /// ----------
    /// step_mm : quantity
    ///     Step of level [mm]; at most a million rows.
    /// attitude : Attitude
    ///     How the body stands; level where not given.
    ///
    /// Returns
    /// -------
    /// Strapping
    ///     From the lowest level; the last row is the highest level, whatever the step.
    ///
    /// Raises
    /// ------
    /// QuantityError
    ///     If the step is outside its range.
    /// GeometryError
    ///     If the sump has no plan form and is not level.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> table = pan.strapping(step_mm=25.0).columns()
    /// >>> table["volume_l"].round(9)
    /// array([0. , 1.5, 3. , 4.5, 6. ])
    /// >>> table["ml_per_mm"].round(6)
    /// array([60., 60., 60., 60., 60.])
    #[pyo3(signature = (*, step_mm, attitude = None))]
    fn strapping(
        slf: &Bound<'_, Self>,
        step_mm: Scalar<'_, Millimetre>,
        attitude: Option<PyRef<'_, Attitude>>,
    ) -> PyResult<Strapping> {
        let (py, attitude, core) = (slf.py(), or_level(attitude), slf.get().inner.clone());
        let number = step_mm.number("step_mm")?;
        let step = Length::new::<meter>(Millimetre::to_si(number));
        let inner = run_detached(py, move || core.curve(attitude)?.strapping(step))?;
        let recipe = Recipe::on(slf.as_any(), "strapping").with(py, "step_mm", number)?;
        Ok(Strapping { inner, recipe: at_attitude(recipe, py, attitude)? })
    }
}

/// Steepest floor where none is given [deg] (judgement).
const FLOOR_SLOPE_DEG: f64 = 10.0;

/// The free surface at a level: a plane in the body frame. Made by `Sump.surface`.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
/// >>> top = pan.surface(level_mm=60.0, attitude=fm.Attitude(nose_up_deg=1.0))
/// >>> round(top.depth_mm((0.0, 0.0, 0.0)), 3)
/// 57.382
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Surface {
    inner: CoreSurface,
    recipe: Recipe,
}

impl PartialEq for Surface {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

#[pymethods]
impl Surface {
    /// Unit normal of the plane, pointing up, in the body frame [1].
    #[getter]
    fn up(&self) -> (f64, f64, f64) {
        self.inner.up.into()
    }

    /// Where the plane lies: every point of it has this component along `up` [mm].
    #[getter]
    fn offset_mm(&self) -> f64 {
        shortest::<Millimetre>(self.inner.offset.get::<meter>())
    }

    /// Wet area, just above the level (at the top: just below) [mm2].
    #[getter]
    fn area_mm2(&self) -> f64 {
        shortest::<SquareMillimetre>(self.inner.area.get::<square_meter>())
    }

    /// Centroid of the wet area, body frame [mm]; None where there is none (at the very top).
    #[getter]
    fn centroid_mm(&self) -> Option<Mm> {
        self.inner.centroid.map(millimetres)
    }

    /// Depth of a point of the body below the plane.
    ///
    /// Parameters
    /// ----------
    /// at_mm : tuple of float
    ///     The point, body frame [mm].
    ///
    /// Returns
    /// -------
    /// float
    ///     Along *up* [mm]; negative above the plane.
    fn depth_mm(&self, at_mm: Mm) -> PyResult<f64> {
        let point = Point::from_mm(at_mm.into()).map_err(errors::to_py)?;
        Ok(shortest::<Millimetre>(self.inner.depth(point).get::<meter>()))
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.recipe.repr(py, "Surface")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.recipe.reduce::<Self>(py)
    }
}

/// Areas of floor, walls and ceiling that liquid wets. Made by `Sump.wetted`.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
/// >>> pan.wetted(level_mm=[0.0, 50.0, 100.0]).total_mm2.round(6)
/// array([ 60000., 110000., 220000.])
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct WettedArea {
    floor: FloatOrArray,
    walls: FloatOrArray,
    ceiling: FloatOrArray,
    recipe: Recipe,
}

impl PartialEq for WettedArea {
    fn eq(&self, other: &Self) -> bool {
        (&self.floor, &self.walls, &self.ceiling) == (&other.floor, &other.walls, &other.ceiling)
    }
}

#[pymethods]
impl WettedArea {
    /// Faces that liquid stands on, no steeper than the floor slope [mm2].
    #[getter]
    fn floor_mm2(&self) -> FloatOrArray {
        self.floor.clone()
    }

    /// Faces steeper than the floor slope, whichever way they look [mm2].
    #[getter]
    fn walls_mm2(&self) -> FloatOrArray {
        self.walls.clone()
    }

    /// Faces that liquid stands under, no steeper than the floor slope [mm2].
    #[getter]
    fn ceiling_mm2(&self) -> FloatOrArray {
        self.ceiling.clone()
    }

    /// All three together [mm2].
    #[getter]
    fn total_mm2(&self) -> FloatOrArray {
        self.floor.clone().plus(&self.walls).plus(&self.ceiling)
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.recipe.repr(py, "WettedArea")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.recipe.reduce::<Self>(py)
    }
}

/// Level, volume and free surface at equal steps of level. Made by `Sump.strapping`.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
/// >>> len(pan.strapping(step_mm=1.0))
/// 101
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Strapping {
    inner: CoreStrapping,
    recipe: Recipe,
}

impl PartialEq for Strapping {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

#[pymethods]
impl Strapping {
    /// Levels [mm].
    #[getter]
    fn level_mm(&self) -> Column {
        Column(self.inner.level_m.iter().map(|h| shortest::<Millimetre>(*h)).collect())
    }

    /// Volume below each [L].
    #[getter]
    fn volume_l(&self) -> Column {
        Column(self.inner.volume_m3.iter().map(|v| shortest::<Litre>(*v)).collect())
    }

    /// Free surface at each, just above (the last: just below) [mm2].
    #[getter]
    fn free_surface_mm2(&self) -> Column {
        Column(self.inner.free_surface_m2.iter().map(|a| shortest::<SquareMillimetre>(*a)).collect())
    }

    /// The table by columns, which any dataframe takes.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``level_mm``, ``volume_l``, ``free_surface_mm2``, and ``ml_per_mm``: how much a millimetre holds there.
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let columns = PyDict::new(py);
        columns.set_item("level_mm", self.level_mm())?;
        columns.set_item("volume_l", self.volume_l())?;
        columns.set_item("free_surface_mm2", self.free_surface_mm2())?;
        // 1 m2 is 1e-3 m3 for each mm, which is 1000 mL.
        let rate: Vec<f64> = self.inner.free_surface_m2.iter().map(|a| a * 1e3).collect();
        columns.set_item("ml_per_mm", rate.array(py)?)?;
        Ok(columns)
    }

    fn __len__(&self) -> usize {
        self.inner.level_m.len()
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.recipe.repr(py, "Strapping")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.recipe.reduce::<Self>(py)
    }
}
