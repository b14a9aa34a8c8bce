//! Liquid as poured, for Python.

use std::collections::BTreeMap;

use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::arrays::ToArray;
use super::detach::{run_detached, run_interruptible};
use super::errors;
use super::geometry::{Attitude, or_level};
use super::outlets::Outlets;
use super::quantity::{Scalar, shortest, shown};
use super::recipe::Recipe;
use super::sump::Sump;
use super::unit::{Litre, Millimetre};
use crate::geometry::{Attitude as CoreAttitude, GeometryError, Point, Pool as CorePool, Pools as Core};

/// Liquid in a sump as it lies: separate pools with their own levels. Immutable: every change gives new pools.
///
/// A basin fills, spills at its sill and joins its neighbour when both are full to it (Barnes, Callaghan, Wickert 2021, Earth
/// Surface Dynamics 9:105). Liquid runs down by the steepest way. Volume is kept to 1e-12 of the capacity. Air leaves freely.
///
/// Parameters
/// ----------
/// sump : Sump
///     What they lie in.
/// volumes_l : mapping of int to quantity
///     Volume of the pool in each basin, by its place in `Sump.basins` [L]; no liquid where not given.
/// attitude : Attitude
///     How the body stands; level where not given.
/// unsettled_l : quantity
///     What the turns that led here left open [L], as `turn` reports it.
///
/// Raises
/// ------
/// GeometryError
///     If there is no such basin, a pool does not fit in its basin or two overlap, or the sump has no plan form.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
/// >>> pools = fm.Pools(pan).pour(3.0, at_mm=(0.0, 0.0, 90.0)).withdraw("0.6 L", at_mm=(0.0, 0.0, 5.0))
/// >>> round(pools.volume_l, 9), round(pools.level_mm(at_mm=(0.0, 0.0, 5.0)), 9)
/// (2.4, 40.0)
/// >>> print(pools)
///     2.400 L at    40.0 mm in basin 0
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Pools {
    sump: Py<Sump>,
    inner: Core,
    unsettled: f64,
}

impl PartialEq for Pools {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner && self.unsettled == other.unsettled
    }
}

impl Pools {
    /// New pools that a change of these gives.
    fn changed(
        &self,
        py: Python<'_>,
        change: impl FnOnce(&mut Core) -> Result<(), GeometryError> + Send,
    ) -> PyResult<Self> {
        let mut inner = self.inner.clone();
        let inner = run_detached(py, move || change(&mut inner).map(|()| inner))?;
        Ok(Self { sump: self.sump.clone_ref(py), inner, unsettled: self.unsettled })
    }

    fn recipe(&self, py: Python<'_>) -> PyResult<Recipe> {
        let mut recipe = Recipe::of("").with(py, "sump", self.sump.clone_ref(py))?;
        let volumes = self.volumes_l();
        if !volumes.is_empty() {
            recipe = recipe.with(py, "volumes_l", volumes)?;
        }
        if self.inner.attitude() != CoreAttitude::LEVEL {
            recipe = recipe.with(py, "attitude", self.attitude())?;
        }
        if self.unsettled > 0.0 {
            recipe = recipe.with(py, "unsettled_l", self.unsettled_l())?;
        }
        Ok(recipe)
    }
}

fn place(at_mm: (f64, f64, f64)) -> PyResult<Point> {
    Point::from_mm(at_mm.into()).map_err(errors::to_py)
}

fn litres(value: &Scalar<'_, Litre>) -> PyResult<Volume> {
    Ok(Volume::new::<cubic_meter>(value.si("volume_l")?))
}

/// Volumes by the numbers of basins: any mapping.
struct VolumesByBasin<'py>(Bound<'py, PyAny>);

impl<'py> FromPyObject<'_, 'py> for VolumesByBasin<'py> {
    type Error = PyErr;
    #[cfg(feature = "stubs")]
    const INPUT_TYPE: pyo3::inspect::PyStaticExpr = pyo3::type_hint_identifier!("fillmark._types", "VolumesByBasin");

    fn extract(object: Borrowed<'_, 'py, PyAny>) -> PyResult<Self> {
        Ok(Self(object.to_owned()))
    }
}

impl VolumesByBasin<'_> {
    fn read(&self) -> PyResult<Vec<(usize, Volume)>> {
        let text = || format!("volumes_l = {} is no mapping from basins to volumes", shown(&self.0));
        let items = self.0.call_method0("items").map_err(|_| PyTypeError::new_err(text()))?;
        let one = |item: PyResult<Bound<'_, PyAny>>| {
            let (key, value): (Bound<'_, PyAny>, Bound<'_, PyAny>) = item?.extract()?;
            let number = key.extract::<usize>().map_err(|_| {
                PyTypeError::new_err(format!("volumes_l has the key {}; its keys are numbers of basins", shown(&key)))
            })?;
            let value: Scalar<'_, Litre> = value.extract()?;
            Ok((number, Volume::new::<cubic_meter>(value.si(&format!("volumes_l[{number}]"))?)))
        };
        items.try_iter()?.map(one).collect()
    }
}

#[pymethods]
impl Pools {
    #[new]
    #[pyo3(signature = (sump, volumes_l = None, *, attitude = None, unsettled_l = None))]
    fn new(
        sump: &Bound<'_, Sump>,
        volumes_l: Option<VolumesByBasin<'_>>,
        attitude: Option<PyRef<'_, Attitude>>,
        unsettled_l: Option<Scalar<'_, Litre>>,
    ) -> PyResult<Self> {
        let volumes = volumes_l.map_or_else(|| Ok(Vec::new()), |v| v.read())?;
        let unsettled = unsettled_l.map_or(Ok(0.0), |v| v.si("unsettled_l"))?;
        let (core, attitude) = (sump.get().inner.clone(), or_level(attitude));
        let inner = run_detached(sump.py(), move || Core::from_volumes(&core, &volumes, attitude))?;
        Ok(Self { sump: sump.clone().unbind(), inner, unsettled })
    }

    /// Liquid up to one common level in every basin.
    ///
    /// Parameters
    /// ----------
    /// sump : Sump
    ///     What it lies in.
    /// level_mm : quantity
    ///     Level above the lowest point at this attitude [mm].
    /// attitude : Attitude
    ///     How the body stands; level where not given.
    ///
    /// Returns
    /// -------
    /// Pools
    ///     With ``sump.volume_l(level_mm=level_mm, attitude=attitude)`` in all.
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
    /// >>> round(fm.Pools.at_level(pan, level_mm=50.0).volume_l, 9)
    /// 3.0
    #[staticmethod]
    #[pyo3(signature = (sump, *, level_mm, attitude = None))]
    fn at_level(
        sump: &Bound<'_, Sump>,
        level_mm: Scalar<'_, Millimetre>,
        attitude: Option<PyRef<'_, Attitude>>,
    ) -> PyResult<Self> {
        let level = Length::new::<meter>(level_mm.si("level_mm")?);
        let (core, attitude) = (sump.get().inner.clone(), or_level(attitude));
        let inner = run_detached(sump.py(), move || Core::at_level(&core, level, attitude))?;
        Ok(Self { sump: sump.clone().unbind(), inner, unsettled: 0.0 })
    }

    /// Pours liquid at a point: it falls, runs down by the steepest way, fills the basin it comes to and spills on.
    ///
    /// Parameters
    /// ----------
    /// volume_l : quantity
    ///     How much [L].
    /// at_mm : tuple of float
    ///     Where, body frame [mm]; at most 50 mm outside the liquid space.
    ///
    /// Returns
    /// -------
    /// Pools
    ///     With the liquid.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If it does not fit, or the point is too far outside.
    /// QuantityError
    ///     If the volume is negative.
    #[pyo3(signature = (volume_l, *, at_mm))]
    fn pour(&self, py: Python<'_>, volume_l: Scalar<'_, Litre>, at_mm: (f64, f64, f64)) -> PyResult<Self> {
        let (at, volume) = (place(at_mm)?, litres(&volume_l)?);
        self.changed(py, move |pools| pools.pour(at, volume))
    }

    /// Takes liquid out at a point, as a tube with its end there would. Where a sill comes out of it, what is behind stays.
    ///
    /// Parameters
    /// ----------
    /// volume_l : quantity
    ///     How much [L].
    /// at_mm : tuple of float
    ///     Where the tube ends, body frame [mm]; at most 50 mm outside the liquid space.
    ///
    /// Returns
    /// -------
    /// Pools
    ///     Without the liquid.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If the tube does not reach so much (the message says how much it does), or its end is too far outside.
    /// QuantityError
    ///     If the volume is negative.
    #[pyo3(signature = (volume_l, *, at_mm))]
    fn withdraw(&self, py: Python<'_>, volume_l: Scalar<'_, Litre>, at_mm: (f64, f64, f64)) -> PyResult<Self> {
        let (at, volume) = (place(at_mm)?, litres(&volume_l)?);
        self.changed(py, move |pools| pools.withdraw(at, volume))
    }

    /// Lets everything out that open plugs reach.
    ///
    /// Parameters
    /// ----------
    /// plugs : Plug or sequence of Plug
    ///     Which are open.
    ///
    /// Returns
    /// -------
    /// Pools
    ///     What is left: of a full sump the heel.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If a plug is more than 50 mm outside the liquid space.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> side = fm.Plug(at_mm=(150.0, 0.0, 17.0), bore_mm=14.0, axis=(1.0, 0.0, 0.0))
    /// >>> round(fm.Pools.at_level(pan, level_mm=50.0).drain(side).volume_l, 9)
    /// 0.6
    fn drain(&self, py: Python<'_>, plugs: Outlets<'_>) -> PyResult<Self> {
        let (plugs, _) = plugs.plugs("plugs")?;
        self.changed(py, move |pools| pools.drain(&plugs).map(|_| ()))
    }

    /// Turns the sump to another attitude, slowly, along the straight line between the two pairs of angles.
    ///
    /// Pools move with the body, spill and join as at rest. One that the turn parts goes into the new basins in proportion
    /// to the volume of its old region in each. Steps of at most 2 deg are halved until that moves less than 1e-6 of the
    /// liquid; what 12 halvings leave open is in `unsettled_l`. Less than 1e-6 of what the sump holds, drops in the seams of its drawing,
    /// is turned without parting and without halving.
    ///
    /// Parameters
    /// ----------
    /// attitude : Attitude
    ///     How the body stands afterwards.
    ///
    /// Returns
    /// -------
    /// Pools
    ///     The same liquid there. Turning back need not bring it back; see `hysteresis`.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> turned = fm.Pools.at_level(pan, level_mm=50.0).turn(fm.Attitude(nose_up_deg=5.0))
    /// >>> round(turned.volume_l, 9), turned.unsettled_l
    /// (3.0, 0.0)
    fn turn(&self, py: Python<'_>, attitude: PyRef<'_, Attitude>) -> PyResult<Self> {
        let (mut inner, to) = (self.inner.clone(), attitude.inner);
        let (inner, report) =
            run_interruptible(py, move |stop| inner.turn_until(to, stop).map(|report| (inner, report)))?;
        let unsettled = self.unsettled.max(report.unsettled.get::<cubic_meter>());
        Ok(Self { sump: self.sump.clone_ref(py), inner, unsettled })
    }

    /// What a turn to another attitude and back does.
    ///
    /// Parameters
    /// ----------
    /// attitude : Attitude
    ///     Where to.
    ///
    /// Returns
    /// -------
    /// Hysteresis
    ///     How much liquid lies elsewhere afterwards, and whether that is real.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    /// >>> fm.Pools.at_level(pan, level_mm=50.0).hysteresis(fm.Attitude(nose_up_deg=5.0)).real
    /// False
    fn hysteresis(&self, py: Python<'_>, attitude: PyRef<'_, Attitude>) -> PyResult<Hysteresis> {
        let (inner, to) = (self.inner.clone(), attitude.inner);
        let found = run_interruptible(py, move |stop| inner.hysteresis_until(to, stop))?;
        let volume = |v: Volume| shortest::<Litre>(v.get::<cubic_meter>());
        Ok(Hysteresis { moved_l: volume(found.moved), unsettled_l: volume(found.unsettled), real: found.real })
    }

    /// The pool that a point stands in or over, such as the tip of a stick.
    ///
    /// Parameters
    /// ----------
    /// at_mm : tuple of float
    ///     Body frame [mm]; at most 50 mm outside the liquid space.
    ///
    /// Returns
    /// -------
    /// Pool or None
    ///     None where pools are still apart below the point, or the one there is empty.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If the point is too far outside.
    #[pyo3(signature = (*, at_mm))]
    fn pool_at(&self, py: Python<'_>, at_mm: (f64, f64, f64)) -> PyResult<Option<Pool>> {
        let (pools, at) = (self.inner.clone(), place(at_mm)?);
        Ok(run_detached(py, move || pools.pool_at(at))?.map(Pool::of))
    }

    /// Level of the pool that a point stands in or over.
    ///
    /// Parameters
    /// ----------
    /// at_mm : tuple of float
    ///     Body frame [mm]; at most 50 mm outside the liquid space.
    ///
    /// Returns
    /// -------
    /// float or None
    ///     Level above the sump's lowest point [mm]; None as in `pool_at`.
    ///
    /// Raises
    /// ------
    /// GeometryError
    ///     If the point is too far outside.
    #[pyo3(signature = (*, at_mm))]
    fn level_mm(&self, py: Python<'_>, at_mm: (f64, f64, f64)) -> PyResult<Option<f64>> {
        Ok(self.pool_at(py, at_mm)?.map(|pool| pool.level_mm))
    }

    /// The sump.
    #[getter]
    fn sump(&self, py: Python<'_>) -> Py<Sump> {
        self.sump.clone_ref(py)
    }

    /// The attitude.
    #[getter]
    fn attitude(&self) -> Attitude {
        Attitude { inner: self.inner.attitude() }
    }

    /// All the liquid [L].
    #[getter]
    fn volume_l(&self) -> f64 {
        shortest::<Litre>(self.inner.volume().get::<cubic_meter>())
    }

    /// Volume of the pool in each basin that has one, by its place in `Sump.basins` [L].
    #[getter]
    fn volumes_l(&self) -> BTreeMap<usize, f64> {
        self.inner.volumes_si().map(|(basin, volume)| (basin, shortest::<Litre>(volume))).collect()
    }

    /// The pools, largest first.
    #[getter]
    fn pools(&self, py: Python<'_>) -> PyResult<Vec<Pool>> {
        let pools = self.inner.clone();
        let list = run_detached(py, move || pools.list())?;
        Ok(list.into_iter().map(Pool::of).collect())
    }

    /// The most that a last halving of a step still moved in the turns so far [L].
    ///
    /// It is 0 unless the smallest difference decides to which side liquid runs.
    #[getter]
    fn unsettled_l(&self) -> f64 {
        shortest::<Litre>(self.unsettled)
    }

    /// One entry per pool, largest first.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``basin``, ``level_mm``, ``volume_l``.
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let pools = self.pools(py)?;
        let columns = PyDict::new(py);
        let basins: Vec<i64> = pools.iter().map(|p| i64::try_from(p.basin).unwrap_or(i64::MAX)).collect();
        columns.set_item("basin", basins.array(py)?)?;
        columns.set_item("level_mm", pools.iter().map(|p| p.level_mm).collect::<Vec<_>>().array(py)?)?;
        columns.set_item("volume_l", pools.iter().map(|p| p.volume_l).collect::<Vec<_>>().array(py)?)?;
        Ok(columns)
    }

    fn __str__(&self, py: Python<'_>) -> PyResult<String> {
        let line = |p: &Pool| format!("{:>9.3} L at {:>7.1} mm in basin {}", p.volume_l, p.level_mm, p.basin);
        let lines: Vec<String> = self.pools(py)?.iter().map(line).collect();
        Ok(if lines.is_empty() { "no liquid".into() } else { lines.join("\n") })
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.recipe(py)?.repr(py, "Pools")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.recipe(py)?.reduce::<Self>(py)
    }
}

/// One pool of liquid.
///
/// Parameters
/// ----------
/// basin : int
///     The basin it lies in, by its place in `Sump.basins`.
/// level_mm : quantity
///     Level of its free surface above the sump's lowest point [mm].
/// volume_l : quantity
///     Its volume [L].
#[pyclass(frozen, eq, module = "fillmark")]
#[derive(PartialEq)]
pub(super) struct Pool {
    basin: usize,
    level_mm: f64,
    volume_l: f64,
}

impl Pool {
    fn of(pool: CorePool) -> Self {
        Self {
            basin: pool.basin,
            level_mm: shortest::<Millimetre>(pool.level.get::<meter>()),
            volume_l: shortest::<Litre>(pool.volume.get::<cubic_meter>()),
        }
    }

    fn recipe(&self, py: Python<'_>) -> PyResult<Recipe> {
        let recipe = Recipe::of("").with(py, "basin", self.basin)?;
        recipe.with(py, "level_mm", self.level_mm)?.with(py, "volume_l", self.volume_l)
    }
}

#[pymethods]
impl Pool {
    #[new]
    #[pyo3(signature = (*, basin, level_mm, volume_l))]
    fn new(basin: usize, level_mm: Scalar<'_, Millimetre>, volume_l: Scalar<'_, Litre>) -> PyResult<Self> {
        Ok(Self { basin, level_mm: level_mm.number("level_mm")?, volume_l: volume_l.number("volume_l")? })
    }

    /// The basin it lies in, by its place in `Sump.basins`.
    #[getter]
    fn basin(&self) -> usize {
        self.basin
    }

    /// Level of its free surface above the sump's lowest point [mm].
    #[getter]
    fn level_mm(&self) -> f64 {
        self.level_mm
    }

    /// Its volume [L].
    #[getter]
    fn volume_l(&self) -> f64 {
        self.volume_l
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.recipe(py)?.repr(py, "Pool")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.recipe(py)?.reduce::<Self>(py)
    }
}

/// What a turn there and back does to liquid. Made by `Pools.hysteresis`.
///
/// Parameters
/// ----------
/// moved_l : quantity
///     Volume that lies elsewhere afterwards [L].
/// unsettled_l : quantity
///     The most that a last halving of a step still moved [L].
/// real : bool
///     Whether liquid has really moved: more than the steps of the turn leave open.
#[pyclass(frozen, eq, module = "fillmark")]
#[derive(PartialEq)]
pub(super) struct Hysteresis {
    moved_l: f64,
    unsettled_l: f64,
    real: bool,
}

impl Hysteresis {
    fn recipe(&self, py: Python<'_>) -> PyResult<Recipe> {
        let recipe = Recipe::of("").with(py, "moved_l", self.moved_l)?;
        recipe.with(py, "unsettled_l", self.unsettled_l)?.with(py, "real", self.real)
    }
}

#[pymethods]
impl Hysteresis {
    #[new]
    #[pyo3(signature = (*, moved_l, unsettled_l, real))]
    fn new(moved_l: Scalar<'_, Litre>, unsettled_l: Scalar<'_, Litre>, real: bool) -> PyResult<Self> {
        Ok(Self { moved_l: moved_l.number("moved_l")?, unsettled_l: unsettled_l.number("unsettled_l")?, real })
    }

    /// Volume that lies elsewhere afterwards [L].
    #[getter]
    fn moved_l(&self) -> f64 {
        self.moved_l
    }

    /// The most that a last halving of a step still moved [L].
    #[getter]
    fn unsettled_l(&self) -> f64 {
        self.unsettled_l
    }

    /// Whether liquid has really moved.
    #[getter]
    fn real(&self) -> bool {
        self.real
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.recipe(py)?.repr(py, "Hysteresis")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.recipe(py)?.reduce::<Self>(py)
    }
}
