//! Air must get into a sump as oil gets out; with the cap on it comes in by the hole, in gulps.

use serde::{Deserialize, Serialize};

use super::Outflow;
use crate::fluid::STANDARD_GRAVITY;
use crate::fluid::error::FluidError;
use crate::numeric::check;
use crate::numeric::lanes::Lanes;

/// How air gets into the sump.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Vent {
    /// Freely: the filler cap is off.
    #[default]
    Open,
    /// Through a small opening of this area in m2 (a breather, a stick tube).
    Restricted {
        /// Free area in m2.
        area: f64,
    },
    /// Not at all but by the hole itself.
    Shut,
}

/// Density of air in kg/m3 at about 20 degC.
const AIR: f64 = 1.2;
/// Discharge coefficient of a vent opening, sharp-edged.
const VENT_CD: f64 = 0.6;

impl Vent {
    pub(super) fn check(self) -> Result<(), FluidError> {
        if let Self::Restricted { area } = self {
            check::in_range("vent area", area, 1e-9, 1.0, "m2")?;
        }
        Ok(())
    }
}

impl Outflow {
    /// Flow by the loss model as the vent allows it.
    ///
    /// *Shut*: the hole passes oil and air in turn. An emptying bottle of diameter D and length L takes
    /// `3.0 L/sqrt(g D) (D/d)^(5/2)` (C. Clanet and G. Searby, J. Fluid Mech. 510 (2004) 145; from memory), which is a flow
    /// of `(pi/12) sqrt(g d) d^2` whatever the vessel. Found for thin liquids; surface tension may stop bores below about
    /// 8 mm altogether (judgement).
    ///
    /// *Restricted*: the pressure that drives air through the opening, `(1.2/2) [Q/(0.6 A)]^2` pascals, is taken from the
    /// head, down to the flow of a shut vent.
    pub(super) fn vented_si(&self, head: f64) -> f64 {
        self.vented_of(head, self.nu)
    }

    /// The same with other viscosities.
    #[inline]
    pub(super) fn vented_of<X: Lanes>(&self, head: f64, nu: X) -> X {
        let driving = self.driving(head);
        let free = self.bore_of(driving, nu);
        let gulps = std::f64::consts::PI / 12.0 * (STANDARD_GRAVITY * self.bore).sqrt() * self.bore * self.bore;
        match self.vent {
            Vent::Open => free,
            Vent::Shut => free.at_most(gulps),
            Vent::Restricted { area } => {
                free.with(nu, |free, nu| free.min(self.throttled(driving, free, area, nu).max(gulps)))
            }
        }
    }

    /// The flow at which the head left after the air's pressure drop drives just that flow: by bisection, because the one
    /// rises and the other falls.
    fn throttled(&self, driving: f64, free: f64, area: f64, nu: f64) -> f64 {
        let (mut low, mut high) = (0.0, free);
        for _ in 0..60 {
            let q = 0.5 * (low + high);
            let lost = 0.5 * AIR * (q / (VENT_CD * area)).powi(2) / (self.density * STANDARD_GRAVITY);
            if self.bore_of(driving - lost, nu) > q {
                low = q;
            } else {
                high = q;
            }
        }
        0.5 * (low + high)
    }
}
