//! Reduced time: the clock on which a film ages.

use serde::{Deserialize, Serialize};
use uom::si::f64::{KinematicViscosity, ThermodynamicTemperature, Time};
use uom::si::kinematic_viscosity::square_meter_per_second;
use uom::si::time::second;

use crate::fluid::error::FluidError;
use crate::fluid::{Fluid, OilModel, celsius};
use crate::numeric::{check, quadrature};

/// `s = integral dt / nu(T(t))` since a surface was uncovered, in s2/m2. Starts at zero and only grows.
///
/// In the equation of a draining film (Jeffreys 1930) time and viscosity stand together as `dt / nu`, so a film that cools
/// follows the same solution on this clock (derived); valid where the film is as warm throughout as its wall.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default, Serialize, Deserialize)]
pub struct ReducedTime(f64);

impl ReducedTime {
    /// A reduced time in s2/m2, such as one kept in a state.
    pub fn from_si(s: f64) -> Self {
        Self(s)
    }

    /// The value in s2/m2.
    pub fn si(self) -> f64 {
        self.0
    }

    /// This reduced time after a further `duration` at a constant viscosity.
    ///
    /// # Errors
    /// [`FluidError::Quantity`] for a negative duration or a viscosity that is not above zero.
    pub fn after(self, duration: Time, nu: KinematicViscosity) -> Result<Self, FluidError> {
        let t = check::in_range("duration", duration.get::<second>(), 0.0, 1e10, "s")?;
        let nu = check::in_range("kinematic viscosity", nu.get::<square_meter_per_second>(), 1e-9, 1e3, "m2/s")?;
        Ok(self.after_si(t, nu))
    }

    /// This reduced time after a further `duration` of cooling (or warming) towards `surroundings`:
    /// `T(t) = Ta + (T0 - Ta) exp(-t / time_constant)` (Newton's law), viscosity by the oil's ASTM D341 line.
    ///
    /// # Errors
    /// [`FluidError::NotAnOil`], and as [`ReducedTime::after`]; the time constant must be above zero.
    pub fn after_cooling(
        self,
        duration: Time,
        oil: &Fluid,
        start: ThermodynamicTemperature,
        surroundings: ThermodynamicTemperature,
        time_constant: Time,
    ) -> Result<Self, FluidError> {
        let t = check::in_range("duration", duration.get::<second>(), 0.0, 1e10, "s")?;
        let tau = check::in_range("time_constant", time_constant.get::<second>(), 1e-3, 1e10, "s")?;
        let model = oil.model()?;
        oil.kinematic_viscosity(start)?;
        oil.kinematic_viscosity(surroundings)?;
        Ok(self.after_cooling_si(t, &model, celsius(start), celsius(surroundings), tau))
    }

    /// Unchecked: seconds and m2/s.
    #[inline]
    pub(crate) fn after_si(self, duration: f64, nu: f64) -> Self {
        Self(self.0 + duration / nu)
    }

    /// Unchecked: seconds and deg C.
    pub(crate) fn after_cooling_si(
        self,
        duration: f64,
        oil: &OilModel,
        start_c: f64,
        surroundings_c: f64,
        time_constant: f64,
    ) -> Self {
        let temperature = |t: f64| surroundings_c + (start_c - surroundings_c) * (-t / time_constant).exp();
        Self(self.0 + quadrature::integrate(|t| 1.0 / oil.nu(temperature(t)), 0.0, duration, 1e-9))
    }
}
