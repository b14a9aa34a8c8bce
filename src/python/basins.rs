//! Basins and air-locked spaces, for Python.

use std::sync::Arc;

use pyo3::exceptions::PyIndexError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::arrays::{FloatOrArray, ToArray, Triples, Values};
use super::detach::run_detached;
use super::errors;
use super::geometry::Attitude;
use super::quantity::{Scalar, shortest};
use super::rebuild::reduce_part;
use super::recipe::Recipe;
use super::sump::Sump;
use super::unit::{Litre, Millimetre, Unit};
use crate::geometry::{Attitude as CoreAttitude, Basin as CoreBasin, Point, Vents};

type Mm = (f64, f64, f64);

pub(super) fn millimetres(point: Point) -> Mm {
    point.si().map(shortest::<Millimetre>).into()
}

fn level(length: Length) -> f64 {
    shortest::<Millimetre>(length.get::<meter>())
}

/// The basins of a sump at an attitude: a sequence of `Basin`, children before parents. Made by `Sump.basins`.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
/// >>> basins = pan.basins()
/// >>> len(basins), basins[0].sill_mm is None, round(basins[0].volume_l, 9)
/// (1, True, 6.0)
#[pyclass(frozen, eq, sequence, module = "fillmark")]
pub(super) struct Basins {
    sump: Py<Sump>,
    attitude: CoreAttitude,
    recipe: Recipe,
    rows: Arc<Vec<CoreBasin>>,
}

impl PartialEq for Basins {
    fn eq(&self, other: &Self) -> bool {
        self.sump.get() == other.sump.get() && (self.attitude, &self.rows) == (other.attitude, &other.rows)
    }
}

impl Basins {
    pub(super) fn new(sump: &Bound<'_, Sump>, attitude: CoreAttitude) -> PyResult<Self> {
        let py = sump.py();
        let core = sump.get().inner.clone();
        let rows = run_detached(py, move || core.basins(attitude))?;
        let mut recipe = Recipe::of("basins");
        if attitude != CoreAttitude::LEVEL {
            recipe = recipe.with(py, "attitude", Attitude { inner: attitude })?;
        }
        Ok(Self { sump: sump.clone().unbind(), attitude, recipe, rows: Arc::new(rows) })
    }
}

#[pymethods]
impl Basins {
    /// The basins in order.
    #[getter]
    fn rows(slf: &Bound<'_, Self>) -> Vec<Basin> {
        (0..slf.get().rows.len()).map(|number| Basin { owner: slf.clone().unbind(), number }).collect()
    }

    /// The sump.
    #[getter]
    fn sump(&self, py: Python<'_>) -> Py<Sump> {
        self.sump.clone_ref(py)
    }

    /// The attitude.
    #[getter]
    fn attitude(&self) -> Attitude {
        Attitude { inner: self.attitude }
    }

    /// One entry per basin.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``number``; ``x_mm``, ``y_mm``, ``z_mm`` and ``lowest_mm``: the lowest point and its level; ``base_mm``;
    ///     ``sill_mm`` and ``sill_x_mm``, ``sill_y_mm``, ``sill_z_mm`` (NaN without a sill); ``parent`` (-1 without one);
    ///     ``volume_l``.
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let columns = PyDict::new(py);
        let floats = |name: &str, of: &dyn Fn(&CoreBasin) -> f64| {
            columns.set_item(name, self.rows.iter().map(of).collect::<Vec<_>>().array(py)?)
        };
        let whole = |n: usize| i64::try_from(n).unwrap_or(i64::MAX);
        columns.set_item("number", (0..self.rows.len()).map(whole).collect::<Vec<_>>().array(py)?)?;
        let at = |p: Point, k: usize| p.to_mm()[k];
        for (k, name) in ["x_mm", "y_mm", "z_mm"].into_iter().enumerate() {
            floats(name, &|b| at(b.lowest_point, k))?;
        }
        floats("lowest_mm", &|b| level(b.lowest_level))?;
        floats("base_mm", &|b| level(b.base))?;
        floats("sill_mm", &|b| b.sill.map_or(f64::NAN, |s| level(s.level)))?;
        for (k, name) in ["sill_x_mm", "sill_y_mm", "sill_z_mm"].into_iter().enumerate() {
            floats(name, &|b| b.sill.map_or(f64::NAN, |s| at(s.point, k)))?;
        }
        let parents = self.rows.iter().map(|b| b.sill.map_or(-1, |s| whole(s.parent)));
        columns.set_item("parent", parents.collect::<Vec<_>>().array(py)?)?;
        floats("volume_l", &|b| shortest::<Litre>(b.volume.get::<cubic_meter>()))?;
        Ok(columns)
    }

    fn __len__(&self) -> usize {
        self.rows.len()
    }

    fn __getitem__(slf: &Bound<'_, Self>, index: isize) -> PyResult<Basin> {
        let count = slf.get().rows.len();
        match usize::try_from(index) {
            Ok(number) if number < count => Ok(Basin { owner: slf.clone().unbind(), number }),
            _ => {
                Err(PyIndexError::new_err(format!("there is no basin {index}: there are {count} (0 to {})", count - 1)))
            }
        }
    }

    fn __str__(&self) -> String {
        let line = |(n, b): (usize, &CoreBasin)| {
            let [x, y, z] = b.lowest_point.to_mm();
            let volume = b.volume.get::<cubic_meter>() * 1e3;
            let low = format!("{n:>3}  lowest ({x:.1}, {y:.1}, {z:.1}) mm  {volume:>9.3} L");
            match b.sill {
                Some(s) => format!("{low}  to its sill at {:.1} mm, then in {}", level(s.level), s.parent),
                None => format!("{low}  to the top"),
            }
        };
        self.rows.iter().enumerate().map(line).collect::<Vec<_>>().join("\n")
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.recipe.repr(py, &self.sump.bind(py).repr()?.to_string())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.recipe.reduce_method(py, self.sump.bind(py).as_any())
    }
}

/// A place where liquid can stand by itself. One row of `Basins`.
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Basin {
    owner: Py<Basins>,
    number: usize,
}

impl PartialEq for Basin {
    fn eq(&self, other: &Self) -> bool {
        self.number == other.number && self.owner.get() == other.owner.get()
    }
}

impl Basin {
    fn row(&self) -> &CoreBasin {
        &self.owner.get().rows[self.number]
    }
}

#[pymethods]
impl Basin {
    /// Its place in the list.
    #[getter]
    fn number(&self) -> usize {
        self.number
    }

    /// Its lowest point, body frame [mm]; of several, the first corner of the mesh.
    #[getter]
    fn lowest_point_mm(&self) -> Mm {
        millimetres(self.row().lowest_point)
    }

    /// Level of the lowest point [mm].
    #[getter]
    fn lowest_mm(&self) -> f64 {
        level(self.row().lowest_level)
    }

    /// Level at which it begins [mm]: that of its lowest point, or of the sill where smaller basins join to make it.
    #[getter]
    fn base_mm(&self) -> f64 {
        level(self.row().base)
    }

    /// Level at which it spills [mm]; None when it takes everything to the top.
    #[getter]
    fn sill_mm(&self) -> Option<f64> {
        self.row().sill.map(|s| level(s.level))
    }

    /// The point that liquid passes when it spills, body frame [mm].
    #[getter]
    fn sill_point_mm(&self) -> Option<Mm> {
        self.row().sill.map(|s| millimetres(s.point))
    }

    /// The basin that it and its neighbours join to make, by its place in the list.
    #[getter]
    fn parent(&self) -> Option<usize> {
        self.row().sill.map(|s| s.parent)
    }

    /// The smaller basins that join to make it, by their places in the list.
    #[getter]
    fn children(&self) -> Vec<usize> {
        self.row().children.clone()
    }

    /// Volume of everything in it below its sill, smaller basins included [L].
    #[getter]
    fn volume_l(&self) -> f64 {
        shortest::<Litre>(self.row().volume.get::<cubic_meter>())
    }

    /// Volume in this basin below a level, smaller basins included.
    ///
    /// Parameters
    /// ----------
    /// level_mm : quantity or array
    ///     Level above the sump's lowest point [mm], from `base_mm` to `sill_mm`.
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     Volume of the level's shape [L].
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If a level is outside the basin.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> pan.basins()[0].volume_below_l(level_mm=[0.0, 50.0]).round(9)
    /// array([0., 3.])
    #[pyo3(signature = (*, level_mm))]
    fn volume_below_l(&self, py: Python<'_>, level_mm: Values<'_, Millimetre>) -> PyResult<FloatOrArray> {
        let curve = Arc::new(self.curve(py)?);
        level_mm.read("level_mm")?.map::<Litre, _, _>(py, move |level| curve.volume_si(level))
    }

    /// Level at which a volume stands in this basin.
    ///
    /// Parameters
    /// ----------
    /// volume_l : quantity or array
    ///     Volume in this basin, smaller basins included [L]: from what they hold to `volume_l`.
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     Level above the sump's lowest point, of the volume's shape [mm].
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If a volume is outside the basin.
    #[pyo3(signature = (*, volume_l))]
    fn level_mm(&self, py: Python<'_>, volume_l: Values<'_, Litre>) -> PyResult<FloatOrArray> {
        let curve = Arc::new(self.curve(py)?);
        volume_l.read("volume_l")?.map::<Millimetre, _, _>(py, move |volume| curve.level_si(volume))
    }

    fn __repr__(&self) -> String {
        let to = self.sill_mm().map_or_else(|| "to the top".into(), |s| format!("to its sill at {s:.1} mm"));
        format!("<basin {}: {:.3} L {to}>", self.number, self.volume_l())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        reduce_part(py, self.owner.bind(py).as_any(), "rows", Some(self.number))
    }
}

impl Basin {
    fn curve(&self, py: Python<'_>) -> PyResult<crate::geometry::LevelCurve> {
        let owner = self.owner.get();
        let (sump, attitude, number) = (owner.sump.get().inner.clone(), owner.attitude, self.number);
        run_detached(py, move || sump.basin_curve(number, attitude))
    }
}

/// A space whose air cannot leave once liquid has risen to its level. Made by `Sump.air_locks`.
///
/// Parameters
/// ----------
/// highest_point_mm : tuple of float
///     Its highest point, body frame [mm].
/// level_mm : quantity
///     Level of liquid that cuts it off [mm].
/// volume_l : quantity
///     Volume of the space above that level, which stays air (its compression by the liquid aside) [L].
#[pyclass(frozen, eq, module = "fillmark")]
#[derive(PartialEq)]
pub(super) struct AirLock {
    highest_point_mm: Mm,
    level_mm: f64,
    volume_l: f64,
}

#[pymethods]
impl AirLock {
    #[new]
    #[pyo3(signature = (*, highest_point_mm, level_mm, volume_l))]
    fn new(highest_point_mm: Mm, level_mm: Scalar<'_, Millimetre>, volume_l: Scalar<'_, Litre>) -> PyResult<Self> {
        Point::from_mm(highest_point_mm.into()).map_err(errors::to_py)?;
        Ok(Self { highest_point_mm, level_mm: level_mm.number("level_mm")?, volume_l: volume_l.number("volume_l")? })
    }

    /// Its highest point, body frame [mm].
    #[getter]
    fn highest_point_mm(&self) -> Mm {
        self.highest_point_mm
    }

    /// Level of liquid that cuts it off [mm].
    #[getter]
    fn level_mm(&self) -> f64 {
        self.level_mm
    }

    /// Volume of the space above that level [L].
    #[getter]
    fn volume_l(&self) -> f64 {
        self.volume_l
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.recipe(py)?.repr(py, "AirLock")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.recipe(py)?.reduce::<Self>(py)
    }
}

impl AirLock {
    fn recipe(&self, py: Python<'_>) -> PyResult<Recipe> {
        let recipe = Recipe::of("").with(py, "highest_point_mm", self.highest_point_mm)?;
        recipe.with(py, "level_mm", self.level_mm)?.with(py, "volume_l", self.volume_l)
    }
}

/// Spaces that stay filled with air, largest first.
pub(super) fn air_locks(
    sump: &Bound<'_, Sump>,
    vents_mm: Option<&Triples<'_>>,
    attitude: CoreAttitude,
) -> PyResult<Vec<AirLock>> {
    let points = |vents: &Triples<'_>| -> PyResult<Vec<Point>> {
        vents.floats("vents_mm")?.into_iter().map(|v| Point::from_mm(v).map_err(errors::to_py)).collect()
    };
    let vents = vents_mm.map(points).transpose()?.map_or(Vents::Top, Vents::At);
    let core = sump.get().inner.clone();
    let locks = run_detached(sump.py(), move || core.air_locks(&vents, attitude))?;
    let one = |lock: crate::geometry::AirLock| AirLock {
        highest_point_mm: millimetres(lock.highest_point),
        level_mm: level(lock.level),
        volume_l: shortest::<Litre>(lock.volume.get::<cubic_meter>()),
    };
    Ok(locks.into_iter().map(one).collect())
}

/// Volumes of the separate pools below one level, largest first [L].
pub(super) fn pools_l(sump: &Bound<'_, Sump>, level: f64, attitude: CoreAttitude) -> PyResult<Vec<f64>> {
    let core = sump.get().inner.clone();
    let volumes: Vec<Volume> = run_detached(sump.py(), move || core.pools(Length::new::<meter>(level), attitude))?;
    Ok(volumes.into_iter().map(|v| Litre::from_si(v.get::<cubic_meter>())).collect())
}
