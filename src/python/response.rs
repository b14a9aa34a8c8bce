//! The fast response of a level to volume and attitude, for Python.

use std::sync::Arc;
use std::sync::atomic::Ordering;

use pyo3::prelude::*;
use pyo3::types::PyTuple;
use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::arrays::{FloatOrArray, Numbers, Values};
use super::detach::run_interruptible;
use super::errors::{self, Failure};
use super::quantity::Scalar;
use super::recipe::Recipe;
use super::sump::Sump;
use super::unit::{Degree, Litre, Millimetre, Unit};
use crate::geometry::{Attitude, Domain, GeometryError, Point, Response as CoreResponse, ResponseOptions};

/// Height of the free surface over one body point, such as a dipstick's tip, for questions repeated at small attitudes.
///
/// Inside its domain it answers by polynomials that were checked at points they were not fitted to; outside, and where
/// no polynomial holds the tolerance, by the exact geometry. Immutable.
///
/// Parameters
/// ----------
/// sump : Sump
///     With a plan form.
/// at_mm : tuple of float
///     The body point [mm].
/// volume_l : tuple of float
///     Least and greatest volume of the domain [L].
/// nose_up_deg, right_down_deg : tuple of float
///     Least and greatest angle of the domain [deg]; may be equal.
/// tolerance_mm : quantity
///     Largest error [mm], 1e-6 to 10; 0.02 where not given.
///
/// Raises
/// ------
/// QuantityError, GeometryError
///     If the domain is none, or the sump has no plan form.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
/// >>> tip = fm.Response(pan, at_mm=(100.0, 0.0, 10.0), volume_l=(2.0, 4.0), nose_up_deg=(-3.0, 3.0), right_down_deg=(-3.0, 3.0))
/// >>> round(tip.height_mm(volume_l=3.0, nose_up_deg=0.0, right_down_deg=0.0), 3)
/// 40.0
/// >>> tip.worst_error_mm <= 0.02
/// True
#[pyclass(frozen, eq, module = "fillmark")]
pub(super) struct Response {
    inner: Arc<CoreResponse>,
    sump: Py<Sump>,
    recipe: Recipe,
    asked: ([f64; 3], [f64; 7]),
}

impl PartialEq for Response {
    fn eq(&self, other: &Self) -> bool {
        self.asked == other.asked && self.sump.get() == other.sump.get()
    }
}

/// What a response is asked for: volumes and two angles of one common shape.
struct Question {
    like: Numbers<Litre>,
    nose_up: Vec<f64>,
    right_down: Vec<f64>,
}

impl Question {
    fn read(
        py: Python<'_>,
        volume_l: &Values<'_, Litre>,
        nose_up_deg: &Values<'_, Degree>,
        right_down_deg: &Values<'_, Degree>,
    ) -> PyResult<Self> {
        let volumes = volume_l.read("volume_l")?;
        let (nose_up, right_down) = (nose_up_deg.read("nose_up_deg")?, right_down_deg.read("right_down_deg")?);
        if volumes.is_shaped_as(&nose_up) && volumes.is_shaped_as(&right_down) {
            return Ok(Self { like: volumes, nose_up: nose_up.flat(), right_down: right_down.flat() });
        }
        let given = (volumes.as_array(py)?, nose_up.as_array(py)?, right_down.as_array(py)?);
        let all: Vec<Bound<'_, PyAny>> = py
            .import("numpy")?
            .call_method1("broadcast_arrays", given)
            .map_err(|e| {
                let text =
                    format!("volume_l, nose_up_deg and right_down_deg have shapes that do not match: {}", e.value(py));
                errors::with_cause(py, errors::quantity(text, "quantity.wrong_shape"), e)
            })?
            .extract()?;
        let [v, p, r] = all.as_slice() else { return Err(errors::internal("three arrays became others")) };
        let read = |array: &Bound<'_, PyAny>, name| array.extract::<Values<'_, Degree>>()?.read(name);
        Ok(Self {
            like: v.extract::<Values<'_, Litre>>()?.read("volume_l")?,
            nose_up: read(p, "nose_up_deg")?.flat(),
            right_down: read(r, "right_down_deg")?.flat(),
        })
    }

    /// Heights for the volumes at the angles, so many at once; between them the work may be stopped.
    fn answer<F>(self, py: Python<'_>, at_once: usize, of: F) -> PyResult<FloatOrArray>
    where
        F: Fn(&mut [f64], &[f64], &[f64]) -> Result<(), GeometryError> + Send,
    {
        let Self { like, nose_up, right_down } = self;
        like.replaced(|volumes| {
            run_interruptible(py, move |stop| {
                let mut heights = volumes;
                let angles = nose_up.chunks(at_once).zip(right_down.chunks(at_once));
                for (part, (nose_up, right_down)) in heights.chunks_mut(at_once).zip(angles) {
                    if stop.load(Ordering::Relaxed) {
                        break;
                    }
                    part.iter_mut().for_each(|x| *x = Litre::to_si(*x));
                    of(part, nose_up, right_down).map_err(|e| Failure::at(e, None))?;
                    part.iter_mut().for_each(|x| *x = Millimetre::from_si(*x));
                }
                Ok::<_, Failure>(heights)
            })
        })
    }
}

#[pymethods]
impl Response {
    #[new]
    #[pyo3(signature = (sump, *, at_mm, volume_l, nose_up_deg, right_down_deg, tolerance_mm = None))]
    fn new(
        sump: &Bound<'_, Sump>,
        at_mm: (f64, f64, f64),
        volume_l: (f64, f64),
        nose_up_deg: (f64, f64),
        right_down_deg: (f64, f64),
        tolerance_mm: Option<Scalar<'_, Millimetre>>,
    ) -> PyResult<Self> {
        let py = sump.py();
        let tolerance = tolerance_mm.map_or(Ok(TOLERANCE_MM), |t| t.number("tolerance_mm"))?;
        let point = Point::from_mm(at_mm.into()).map_err(errors::to_py)?;
        let litres = |v: f64| Volume::new::<cubic_meter>(v / 1e3);
        let domain = Domain { volume: (litres(volume_l.0), litres(volume_l.1)), nose_up_deg, right_down_deg };
        let options = ResponseOptions::default().tolerance(Length::new::<meter>(tolerance / 1e3));
        let core = sump.get().inner.clone();
        let inner = run_interruptible(py, move |stop| {
            let go_on = || !stop.load(Ordering::Relaxed);
            CoreResponse::build_while(&core, point, domain, options, &go_on)
        })?;
        let mut recipe = Recipe::of("").with(py, "sump", sump)?.with(py, "at_mm", at_mm)?;
        recipe.add(py, "volume_l", volume_l)?;
        recipe.add(py, "nose_up_deg", nose_up_deg)?;
        recipe.add(py, "right_down_deg", right_down_deg)?;
        if tolerance.to_bits() != TOLERANCE_MM.to_bits() {
            recipe.add(py, "tolerance_mm", tolerance)?;
        }
        let ((v0, v1), (p0, p1), (r0, r1)) = (volume_l, nose_up_deg, right_down_deg);
        let asked = (at_mm.into(), [v0, v1, p0, p1, r0, r1, tolerance]);
        Ok(Self { inner: Arc::new(inner), sump: sump.clone().unbind(), recipe, asked })
    }

    /// Height of the free surface above the point.
    ///
    /// Parameters
    /// ----------
    /// volume_l : quantity or array
    ///     Volume in the sump [L].
    /// nose_up_deg, right_down_deg : quantity or array
    ///     Attitude [deg]; the three are broadcast against each other.
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     Along *up* [mm]; negative when the point is dry.
    ///
    /// Raises
    /// ------
    /// ValueError
    ///     If the shapes do not match.
    /// GeometryError
    ///     If a volume exceeds the capacity or an angle is outside its range.
    #[pyo3(signature = (*, volume_l, nose_up_deg, right_down_deg))]
    fn height_mm(
        &self,
        py: Python<'_>,
        volume_l: Values<'_, Litre>,
        nose_up_deg: Values<'_, Degree>,
        right_down_deg: Values<'_, Degree>,
    ) -> PyResult<FloatOrArray> {
        let core = Arc::clone(&self.inner);
        let question = Question::read(py, &volume_l, &nose_up_deg, &right_down_deg)?;
        question
            .answer(py, AT_ONCE, move |volumes, nose_up, right_down| core.heights_at_si(volumes, nose_up, right_down))
    }

    /// The same height from the exact geometry, to see the error.
    ///
    /// Parameters
    /// ----------
    /// volume_l : quantity or array
    ///     Volume in the sump [L].
    /// nose_up_deg, right_down_deg : quantity or array
    ///     Attitude [deg]; the three are broadcast against each other.
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     Along *up* [mm]; negative when the point is dry.
    ///
    /// Raises
    /// ------
    /// ValueError
    ///     If the shapes do not match.
    /// GeometryError
    ///     If a volume exceeds the capacity or an angle is outside its range.
    #[pyo3(signature = (*, volume_l, nose_up_deg, right_down_deg))]
    fn exact_mm(
        &self,
        py: Python<'_>,
        volume_l: Values<'_, Litre>,
        nose_up_deg: Values<'_, Degree>,
        right_down_deg: Values<'_, Degree>,
    ) -> PyResult<FloatOrArray> {
        let core = Arc::clone(&self.inner);
        let question = Question::read(py, &volume_l, &nose_up_deg, &right_down_deg)?;
        question.answer(py, 1, move |volumes, nose_up, right_down| {
            let mut places = volumes.iter_mut().zip(nose_up).zip(right_down);
            places.try_for_each(|((volume, nose_up), right_down)| {
                *volume = core.exact_si(*volume, Attitude::from_degrees(*nose_up, *right_down)?)?;
                Ok(())
            })
        })
    }

    /// The sump.
    #[getter]
    fn sump(&self, py: Python<'_>) -> Py<Sump> {
        self.sump.clone_ref(py)
    }

    /// Largest error at the held-out points of the accepted polynomials [mm].
    #[getter]
    fn worst_error_mm(&self) -> f64 {
        self.inner.quality().worst_error_mm
    }

    /// How many held-out points that is.
    #[getter]
    fn held_out_points(&self) -> usize {
        self.inner.quality().held_out_points
    }

    /// How many polynomials there are.
    #[getter]
    fn patches(&self) -> usize {
        self.inner.quality().patches
    }

    /// Share of the domain that is left to the exact geometry, 0 to 1.
    #[getter]
    fn exact_share(&self) -> f64 {
        self.inner.quality().exact_share
    }

    /// How many attitudes were computed exactly in building.
    #[getter]
    fn curves(&self) -> usize {
        self.inner.quality().curves
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.recipe.repr(py, "Response")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.recipe.reduce::<Self>(py)
    }
}

/// Largest error where none is given [mm].
const TOLERANCE_MM: f64 = 0.02;
/// Heights between two looks at whether the work was stopped: few enough where the exact geometry must answer.
const AT_ONCE: usize = 32;
