//! How long the oil pressure takes to come up after a filter change: the pump must first fill what is empty.

use super::{Circuit, CircuitError};
use crate::Error;
use crate::numeric::check;
use crate::units::{Value, Volume};

/// No pressure within this time after a start: stop (a figure published for engines; see [`PressureDelay::caution`]).
pub const STOP_LIMIT_S: f64 = 15.0;

/// Time from a start until a changed filter is full and pressure comes up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PressureDelay {
    /// With the filter primed as stated (s).
    pub primed_s: f64,
    /// Its standard uncertainty (s).
    pub primed_u_s: f64,
    /// With a dry filter (s).
    pub dry_s: f64,
    /// Its standard uncertainty (s).
    pub dry_u_s: f64,
    /// Flow of the pump at idle (m3/s).
    pub flow: f64,
}

impl PressureDelay {
    /// What to heed: the stop limit, and that it may be exceeded where the upper end of 95 % coverage (two standard uncertainties) does.
    pub fn caution(&self) -> &'static str {
        if self.primed_s + 2.0 * self.primed_u_s > STOP_LIMIT_S {
            "By this estimate the filter may not be full within 15 s. If oil pressure does not come up within 15 s, stop; ask a qualified \
             technician how this engine is to be primed."
        } else {
            "If oil pressure does not come up within 15 s, stop: by this estimate it should be up earlier."
        }
    }
}

/// A volume or a factor with its standard uncertainty.
#[derive(Clone, Copy)]
struct Known {
    value: f64,
    u: f64,
}

impl Circuit {
    /// Delay until pressure after a filter change, by what the pump must fill at idle:
    ///
    /// ```text
    /// t = (net - primed + empty galleries) / (displacement × idle speed)
    /// ```
    ///
    /// Slip of the pump and the opening of its relief valve are left out. Standard uncertainties by the law of propagation (JCGM 100:2008,
    /// 5.1.2) from those of `filter.net_volume`, `pump.displacement`, `pump.idle_rpm` and of the two arguments. Refused without a filter,
    /// without a pump, and where the filter is primed with more than it holds.
    pub fn pressure_delay(
        &self,
        primed: &Value<Volume>,
        empty_galleries: &Value<Volume>,
    ) -> Result<PressureDelay, Error> {
        let Some(filter) = &self.spec().filter else { return Err(self.lacks("filter")) };
        let Some(pump) = &self.spec().pump else { return Err(self.lacks("pump")) };
        let net = filter.net()?;
        let net = Known { value: net.nominal(), u: net.standard_uncertainty() };
        let primed = litres("primed", primed, net.value)?;
        let galleries = litres("empty_galleries", empty_galleries, 1.0)?;
        let displacement = &pump.displacement;
        let speed = &pump.idle_rpm;
        let flow = displacement.nominal() * speed.nominal() / 60.0;
        let relative = (displacement.standard_uncertainty() / displacement.nominal())
            .hypot(speed.standard_uncertainty() / speed.nominal());
        let delay = |primed: Known| {
            let seconds = (net.value - primed.value + galleries.value) / flow;
            let volume_u = net.u.hypot(primed.u).hypot(galleries.u);
            (seconds, (volume_u / flow).hypot(seconds * relative))
        };
        let (primed_s, primed_u_s) = delay(primed);
        let (dry_s, dry_u_s) = delay(Known { value: 0.0, u: 0.0 });
        Ok(PressureDelay { primed_s, primed_u_s, dry_s, dry_u_s, flow })
    }

    /// The error for a part that the circuit does not have.
    fn lacks(&self, part: &str) -> Error {
        CircuitError::PartMissing { part: part.into(), circuit: self.name().into() }.into()
    }
}

/// A volume between nothing and `most` (m3).
fn litres(what: &str, value: &Value<Volume>, most: f64) -> Result<Known, Error> {
    check::in_range(what, value.nominal() * 1e3, 0.0, most * 1e3, "L")?;
    Ok(Known { value: value.nominal(), u: value.standard_uncertainty() })
}
