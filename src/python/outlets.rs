//! What a sump is emptied through, and what that leaves, for Python.

use std::sync::Arc;

use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

use super::arrays::{Column, Grid, ToArray, Values};
use super::detach::{run_detached, run_interruptible};
use super::errors;
use super::geometry::Attitude;
use super::plug::Plug;
use super::quantity::shown;
use super::recipe::Recipe;
use super::suction::SuctionTube;
use super::sump::Sump;
use super::unit::{Degree, Litre, Unit};
use crate::geometry::{Attitude as CoreAttitude, Outlets as CoreOutlets, Plug as CorePlug, SuctionTip};

/// A plug, several, or a suction tube.
pub(super) struct Outlets<'py>(Bound<'py, PyAny>);

impl<'py> FromPyObject<'_, 'py> for Outlets<'py> {
    type Error = PyErr;
    #[cfg(feature = "stubs")]
    const INPUT_TYPE: pyo3::inspect::PyStaticExpr = pyo3::type_hint_identifier!("fillmark._types", "Outlets");

    fn extract(object: Borrowed<'_, 'py, PyAny>) -> PyResult<Self> {
        Ok(Self(object.to_owned()))
    }
}

/// The same away from the interpreter.
enum Through {
    Plugs(Vec<CorePlug>),
    Tip(SuctionTip),
}

impl Through {
    fn core(&self) -> CoreOutlets<'_> {
        match self {
            Self::Plugs(plugs) => CoreOutlets::Plugs(plugs),
            Self::Tip(tip) => CoreOutlets::Tip(tip),
        }
    }
}

impl<'py> Outlets<'py> {
    /// The plugs, and the object in its normal form.
    pub(super) fn plugs(&self, name: &str) -> PyResult<(Vec<CorePlug>, Bound<'py, PyAny>)> {
        if let Ok(plug) = self.0.cast::<Plug>() {
            return Ok((vec![plug.get().inner], self.0.clone()));
        }
        let refuse = || PyTypeError::new_err(format!("{name} = {} is no Plug and no sequence of them", shown(&self.0)));
        let items = self.0.try_iter().map_err(|_| refuse())?.collect::<PyResult<Vec<_>>>()?;
        let one = |item: &Bound<'py, PyAny>| item.cast::<Plug>().map(|p| p.get().inner).map_err(|_| refuse());
        let plugs = items.iter().map(one).collect::<PyResult<Vec<_>>>()?;
        Ok((plugs, PyTuple::new(self.0.py(), items)?.into_any()))
    }

    fn read(&self, name: &str) -> PyResult<(Through, Bound<'py, PyAny>)> {
        if let Ok(tube) = self.0.cast::<SuctionTube>() {
            return Ok((Through::Tip(tube.get().tip()), self.0.clone()));
        }
        let (plugs, object) = self.plugs(name)?;
        Ok((Through::Plugs(plugs), object))
    }
}

/// What stays in a full sump [L].
pub(super) fn heel_l(sump: &Bound<'_, Sump>, outlets: &Outlets<'_>, attitude: CoreAttitude) -> PyResult<f64> {
    let (through, _) = outlets.read("outlets")?;
    let core = sump.get().inner.clone();
    let heel = run_detached(sump.py(), move || core.left_si(through.core(), attitude))?;
    Ok(Litre::from_si(heel))
}

/// The heel over pitch and roll. Made by `Sump.heel_map`.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=220.0, height_mm=100.0)
/// >>> plug = fm.Plug(at_mm=(-144.0, 0.0, 0.0), bore_mm=12.0)
/// >>> ends = pan.heel_map(plug, nose_up_deg=[-3.0, 0.0, 3.0], right_down_deg=[0.0])
/// >>> ends.heel_l.round(3)
/// array([[0.478],
///        [0.   ],
///        [0.   ]])
/// >>> ends.least
/// Attitude()
/// >>> print(ends)
/// heel [L] by nose up (rows) and right down (columns) [deg]
///               0.00
///     -3.00    0.478
///      0.00    0.000
///      3.00    0.000
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct HeelMap {
    sump: Py<Sump>,
    recipe: Recipe,
    nose_up: Vec<f64>,
    right_down: Vec<f64>,
    heel: Arc<Vec<f64>>,
}

impl PartialEq for HeelMap {
    fn eq(&self, other: &Self) -> bool {
        self.sump.get() == other.sump.get()
            && (&self.nose_up, &self.right_down, &self.heel) == (&other.nose_up, &other.right_down, &other.heel)
    }
}

impl HeelMap {
    pub(super) fn new(
        sump: &Bound<'_, Sump>,
        outlets: &Outlets<'_>,
        nose_up_deg: &Values<'_, Degree>,
        right_down_deg: &Values<'_, Degree>,
    ) -> PyResult<Self> {
        let py = sump.py();
        let (through, object) = outlets.read("outlets")?;
        let nose_up = nose_up_deg.read("nose_up_deg")?.flat();
        let right_down = right_down_deg.read("right_down_deg")?.flat();
        let recipe =
            Recipe::of("heel_map").with(py, "outlets", object)?.with(py, "nose_up_deg", PyTuple::new(py, &nose_up)?)?;
        let recipe = recipe.with(py, "right_down_deg", PyTuple::new(py, &right_down)?)?;
        let core = sump.get().inner.clone();
        let (p, r) = (&nose_up, &right_down);
        let heel = run_interruptible(py, move |stop| core.heel_map_si(through.core(), p, r, stop))?;
        Ok(Self { sump: sump.clone().unbind(), recipe, nose_up, right_down, heel: Arc::new(heel) })
    }
}

#[pymethods]
impl HeelMap {
    /// Pitch angles [deg], one for each row of `heel_l`.
    #[getter]
    fn nose_up_deg(&self) -> Column {
        Column(self.nose_up.clone())
    }

    /// Roll angles [deg], one for each column of `heel_l`.
    #[getter]
    fn right_down_deg(&self) -> Column {
        Column(self.right_down.clone())
    }

    /// What stays in a full sump, by pitch (rows) and roll (columns) [L].
    #[getter]
    fn heel_l(&self) -> Grid {
        let litres = self.heel.iter().map(|v| Litre::from_si(*v)).collect();
        Grid(self.nose_up.len(), self.right_down.len(), litres)
    }

    /// The attitude of the map at which least stays in; of several equal to 1e-9 L, the nearest to level.
    #[getter]
    fn least(&self) -> PyResult<Attitude> {
        let lowest = self.heel.iter().copied().fold(f64::INFINITY, f64::min);
        let tilt = |i: usize| {
            let (p, r) = (self.nose_up[i / self.right_down.len()], self.right_down[i % self.right_down.len()]);
            (p.hypot(r), p, r)
        };
        let near = (0..self.heel.len()).filter(|i| self.heel[*i] <= lowest + 1e-12).map(tilt);
        let (_, p, r) = near.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or_default();
        CoreAttitude::from_degrees(p, r).map(|inner| Attitude { inner }).map_err(errors::to_py)
    }

    /// One entry per pair of angles.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``nose_up_deg``, ``right_down_deg``, ``heel_l``.
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let columns = PyDict::new(py);
        let pairs = self.nose_up.iter().flat_map(|p| self.right_down.iter().map(move |r| (*p, *r)));
        let (p, r): (Vec<f64>, Vec<f64>) = pairs.unzip();
        columns.set_item("nose_up_deg", p.array(py)?)?;
        columns.set_item("right_down_deg", r.array(py)?)?;
        columns.set_item("heel_l", self.heel.iter().map(|v| Litre::from_si(*v)).collect::<Vec<_>>().array(py)?)?;
        Ok(columns)
    }

    fn __str__(&self) -> String {
        let head = self.right_down.iter().map(|r| format!("{r:>9.2}")).collect::<Vec<_>>().concat();
        let mut lines =
            vec!["heel [L] by nose up (rows) and right down (columns) [deg]".into(), format!("{:9}{head}", "")];
        for (p, row) in self.nose_up.iter().zip(self.heel.chunks(self.right_down.len().max(1))) {
            let cells: Vec<String> = row.iter().map(|v| format!("{:>9.3}", Litre::from_si(*v))).collect();
            lines.push(format!("{p:>9.2}{}", cells.concat()));
        }
        lines.join("\n")
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.recipe.repr(py, &self.sump.bind(py).repr()?.to_string())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.recipe.reduce_method(py, self.sump.bind(py).as_any())
    }
}
