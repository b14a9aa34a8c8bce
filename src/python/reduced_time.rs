//! The clock of a draining film, for Python.

use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::PyTuple;
use uom::si::f64::{KinematicViscosity, ThermodynamicTemperature, Time};
use uom::si::kinematic_viscosity::square_meter_per_second;
use uom::si::time::second;

use super::errors;
use super::fluid::{PyFluid, degrees};
use super::quantity::Scalar;
use super::recipe::Recipe;
use super::unit::{DegreeCelsius, Hour, Minute, Second, SquareMillimetrePerSecond};
use crate::fluid::film::ReducedTime as CoreReduced;
use crate::fluid::{Fluid, FluidError};

/// The clock on which a film thins: time divided by kinematic viscosity since a surface was uncovered. Immutable.
///
/// ``s = integral dt / nu(T(t))``. Thick oil ages slowly, so a film that has drained hot stays thin when it cools; with the
/// viscosity of the moment in place of s it would seem to grow.
///
/// Parameters
/// ----------
/// s2_m2 : float
///     The value [s2/m2], not negative; 0 for a surface that is just uncovered.
///
/// Raises
/// ------
/// QuantityError
///     If the value is negative or not finite.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> hot = fm.ReducedTime().after(minutes=5, kinematic_viscosity_mm2_s=14.0)
/// >>> round(hot.s2_m2)
/// 21428571
/// >>> hot < hot.after(minutes=20, kinematic_viscosity_mm2_s=127.0)
/// True
#[pyclass(frozen, eq, ord, module = "fillmark")]
#[derive(PartialEq, PartialOrd)]
pub(super) struct ReducedTime(pub(super) CoreReduced);

#[pymethods]
impl ReducedTime {
    #[new]
    #[pyo3(signature = (s2_m2 = 0.0))]
    fn new(s2_m2: f64) -> PyResult<Self> {
        let s = crate::numeric::check::in_range("s2_m2", s2_m2, 0.0, 1e30, "s2/m2").map_err(errors::to_py)?;
        Ok(Self(CoreReduced::from_si(s)))
    }

    /// The value [s2/m2].
    #[getter]
    fn s2_m2(&self) -> f64 {
        self.0.si()
    }

    /// This reduced time after a further time at one viscosity.
    ///
    /// Parameters
    /// ----------
    /// minutes, seconds, hours : quantity
    ///     The further time; exactly one of them.
    /// kinematic_viscosity_mm2_s : quantity
    ///     Kinematic viscosity meanwhile [mm2/s], above 0.
    ///
    /// Returns
    /// -------
    /// ReducedTime
    ///
    /// Raises
    /// ------
    /// QuantityError
    ///     If the time is negative or the viscosity not above 0.
    #[pyo3(signature = (minutes = None, *, seconds = None, hours = None, kinematic_viscosity_mm2_s))]
    fn after(
        &self,
        minutes: Option<Scalar<'_, Minute>>,
        seconds: Option<Scalar<'_, Second>>,
        hours: Option<Scalar<'_, Hour>>,
        kinematic_viscosity_mm2_s: Scalar<'_, SquareMillimetrePerSecond>,
    ) -> PyResult<Self> {
        let time = duration(minutes.as_ref(), seconds.as_ref(), hours.as_ref())?;
        let nu = kinematic_viscosity_mm2_s.si("kinematic_viscosity_mm2_s")?;
        let nu = KinematicViscosity::new::<square_meter_per_second>(nu);
        self.0.after(time, nu).map(Self).map_err(errors::to_py)
    }

    /// This reduced time after a further time of cooling: ``T(t) = Ta + (T0 - Ta) exp(-t / time constant)``.
    ///
    /// Parameters
    /// ----------
    /// minutes, seconds, hours : quantity
    ///     The further time; exactly one of them.
    /// fluid : Fluid
    ///     A lubricating oil; viscosity by ASTM D341.
    /// from_c : quantity
    ///     Temperature at the beginning [°C].
    /// surroundings_c : quantity
    ///     Temperature that it tends to [°C].
    /// time_constant_minutes : quantity
    ///     Time in which the difference falls to 37 % [min], above 0.
    ///
    /// Returns
    /// -------
    /// ReducedTime
    ///
    /// Raises
    /// ------
    /// FluidError
    ///     If the fluid is no lubricating oil or a temperature is outside the range of its viscosity.
    /// QuantityError
    ///     If a time is outside its range.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
    /// >>> cooling = fm.ReducedTime().after_cooling(
    /// ...     minutes=20, fluid=oil, from_c=90.0, surroundings_c=20.0, time_constant_minutes=30.0)
    /// >>> cooling < fm.ReducedTime().after(minutes=20, kinematic_viscosity_mm2_s=18.4)
    /// True
    #[pyo3(signature = (minutes = None, *, seconds = None, hours = None, fluid, from_c, surroundings_c,
        time_constant_minutes))]
    #[allow(clippy::too_many_arguments)] // keyword-only in Python
    fn after_cooling(
        &self,
        minutes: Option<Scalar<'_, Minute>>,
        seconds: Option<Scalar<'_, Second>>,
        hours: Option<Scalar<'_, Hour>>,
        fluid: PyRef<'_, PyFluid>,
        from_c: Scalar<'_, DegreeCelsius>,
        surroundings_c: Scalar<'_, DegreeCelsius>,
        time_constant_minutes: Scalar<'_, Minute>,
    ) -> PyResult<Self> {
        let time = duration(minutes.as_ref(), seconds.as_ref(), hours.as_ref())?;
        let (from, to) = (degrees(from_c.number("from_c")?), degrees(surroundings_c.number("surroundings_c")?));
        let constant = Time::new::<second>(time_constant_minutes.si("time_constant_minutes")?);
        self.0.after_cooling(time, &fluid.inner, from, to, constant).map(Self).map_err(errors::to_py)
    }

    fn __repr__(&self) -> String {
        format!("ReducedTime({:?})", self.0.si())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        Recipe::of("").with(py, "s2_m2", self.0.si())?.reduce::<Self>(py)
    }
}

fn duration(
    minutes: Option<&Scalar<'_, Minute>>,
    seconds: Option<&Scalar<'_, Second>>,
    hours: Option<&Scalar<'_, Hour>>,
) -> PyResult<Time> {
    let si = match (minutes, seconds, hours) {
        (Some(minutes), None, None) => minutes.si("minutes"),
        (None, Some(seconds), None) => seconds.si("seconds"),
        (None, None, Some(hours)) => hours.si("hours"),
        _ => Err(PyTypeError::new_err("give exactly one of minutes, seconds and hours")),
    };
    si.map(Time::new::<second>)
}

/// How an oil stands or cools while a film drains.
#[derive(Clone)]
pub(super) struct Course {
    fluid: Fluid,
    start: ThermodynamicTemperature,
    /// Surroundings and time constant, where it cools.
    cooling: Option<(ThermodynamicTemperature, Time)>,
}

impl Course {
    pub(super) fn read(
        fluid: &PyFluid,
        temperature_c: &Scalar<'_, DegreeCelsius>,
        surroundings_c: Option<&Scalar<'_, DegreeCelsius>>,
        time_constant_minutes: Option<&Scalar<'_, Minute>>,
    ) -> PyResult<Self> {
        let cooling = match (surroundings_c, time_constant_minutes) {
            (None, None) => None,
            (Some(to), Some(constant)) => {
                let constant = Time::new::<second>(constant.si("time_constant_minutes")?);
                Some((degrees(to.number("surroundings_c")?), constant))
            }
            _ => return Err(PyTypeError::new_err("give surroundings_c and time_constant_minutes together")),
        };
        Ok(Self { fluid: fluid.inner.clone(), start: degrees(temperature_c.number("temperature_c")?), cooling })
    }

    /// The reduced time after so many seconds.
    pub(super) fn after(&self, seconds: f64) -> Result<CoreReduced, FluidError> {
        let (new, time) = (CoreReduced::default(), Time::new::<second>(seconds));
        match self.cooling {
            None => new.after(time, self.fluid.kinematic_viscosity(self.start)?),
            Some((to, constant)) => new.after_cooling(time, &self.fluid, self.start, to, constant),
        }
    }
}
