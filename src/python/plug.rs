//! Plugs for Python.

use pyo3::prelude::*;
use pyo3::types::PyTuple;
use uom::si::f64::Length;
use uom::si::length::meter;

use super::errors;
use super::quantity::{Scalar, shortest};
use super::recipe::Recipe;
use super::unit::Millimetre;
use crate::geometry::{Plug as CorePlug, Point};

/// A drain plug: a round bore through the wall of a sump. Immutable.
///
/// Parameters
/// ----------
/// at_mm : tuple of float
///     Centre of the bore's rim on the inner side of the wall, body frame [mm].
/// bore_mm : quantity
///     Diameter of the bore [mm], 1 to 200.
/// boss_mm : quantity
///     Length of the bore [mm], 0 (a thin wall) to 500; 10 where not given (judgement).
/// axis : tuple of float
///     Direction in which the bore leaves the sump, body frame, of any length; straight down where not given.
///
/// Raises
/// ------
/// QuantityError
///     If a value is outside its range or the axis has no direction.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.Plug(at_mm=(95.0, 0.0, -110.0), bore_mm=14.0)
/// Plug(at_mm=(95.0, 0.0, -110.0), bore_mm=14.0)
/// >>> fm.Plug(at_mm=(150.0, 0.0, 20.0), bore_mm=14.0, boss_mm=12.0, axis=(1.0, 0.0, 0.0)).boss_mm
/// 12.0
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Plug {
    pub(super) inner: CorePlug,
    at_mm: (f64, f64, f64),
    recipe: Recipe,
}

impl PartialEq for Plug {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

#[pymethods]
impl Plug {
    #[new]
    #[pyo3(signature = (*, at_mm, bore_mm, boss_mm = None, axis = (0.0, 0.0, -1.0)))]
    fn new(
        py: Python<'_>,
        at_mm: (f64, f64, f64),
        bore_mm: Scalar<'_, Millimetre>,
        boss_mm: Option<Scalar<'_, Millimetre>>,
        axis: (f64, f64, f64),
    ) -> PyResult<Self> {
        let bore = bore_mm.number("bore_mm")?;
        let boss = boss_mm.map_or(Ok(DEFAULT_BOSS_MM), |b| b.number("boss_mm"))?;
        let metres = |v: f64| Length::new::<meter>(v / 1e3);
        let at = Point::from_mm(at_mm.into()).map_err(errors::to_py)?;
        let inner = CorePlug::new(at, metres(bore), metres(boss), axis.into()).map_err(errors::to_py)?;
        let mut recipe = Recipe::of("").with(py, "at_mm", at_mm)?.with(py, "bore_mm", bore)?;
        if boss.to_bits() != DEFAULT_BOSS_MM.to_bits() {
            recipe = recipe.with(py, "boss_mm", boss)?;
        }
        if axis != (0.0, 0.0, -1.0) {
            recipe = recipe.with(py, "axis", axis)?;
        }
        Ok(Self { inner, at_mm, recipe })
    }

    /// Centre of the bore's rim on the inner side of the wall, body frame [mm].
    #[getter]
    fn at_mm(&self) -> (f64, f64, f64) {
        self.at_mm
    }

    /// Diameter of the bore [mm].
    #[getter]
    fn bore_mm(&self) -> f64 {
        shortest::<Millimetre>(self.inner.bore().get::<meter>())
    }

    /// Length of the bore [mm].
    #[getter]
    fn boss_mm(&self) -> f64 {
        shortest::<Millimetre>(self.inner.boss().get::<meter>())
    }

    /// Direction in which the bore leaves the sump, a unit vector in the body frame [1].
    #[getter]
    fn axis(&self) -> (f64, f64, f64) {
        self.inner.axis().into()
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.recipe.repr(py, "Plug")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.recipe.reduce::<Self>(py)
    }
}

/// Length of a bore that is not given: 10 mm, a plate with a welded or cast boss (judgement).
const DEFAULT_BOSS_MM: f64 = 10.0;
