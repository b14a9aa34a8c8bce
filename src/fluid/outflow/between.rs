//! What the choice of a loss model leaves open.

use serde::Serialize;
use uom::si::f64::{Length, Time};
use uom::si::time::second;

use super::coefficients::SHARP_EDGED;
use super::emptying::Vessel;
use super::{LossModel, Outflow};
use crate::fluid::error::FluidError;

/// One time by each of the three loss models, in the order energy balance, constant Cd, short tube.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TimesByModel {
    seconds: [f64; 3],
}

impl TimesByModel {
    pub(crate) fn from_si(seconds: [f64; 3]) -> Self {
        Self { seconds }
    }

    /// By the energy balance, a constant Cd, the short tube.
    pub fn times(&self) -> [Time; 3] {
        self.seconds.map(Time::new::<second>)
    }

    /// The shortest and the longest.
    pub fn interval(&self) -> [Time; 2] {
        let low = self.seconds.iter().copied().fold(f64::INFINITY, f64::min);
        let high = self.seconds.iter().copied().fold(0.0, f64::max);
        [low, high].map(Time::new::<second>)
    }

    /// Standard uncertainty that the choice of a model leaves: the interval's half width over sqrt 3 (rectangular,
    /// JCGM 100, 4.3.7).
    pub fn standard_uncertainty(&self) -> Time {
        let [low, high] = self.interval();
        0.5 * (high - low) / 3f64.sqrt()
    }
}

impl Outflow {
    /// The same hole by each of the three loss models: the energy balance with this hole's entry loss, or 1.0; a constant Cd,
    /// this hole's, or 0.62; the short tube.
    pub fn by_each_model(&self) -> [Self; 3] {
        let balance = match self.model {
            LossModel::EnergyBalance { .. } => self.model,
            _ => LossModel::energy_balance(),
        };
        let constant = match self.model {
            LossModel::ConstantCd { .. } => self.model,
            _ => LossModel::ConstantCd { cd: SHARP_EDGED },
        };
        [balance, constant, LossModel::ShortTube].map(|m| self.with_model(m))
    }

    /// Standard relative uncertainty of a flow that the choice of a loss model leaves: half the range of the three
    /// ([`Outflow::by_each_model`]) at this head over their mean, divided by sqrt 3 (rectangular, JCGM 100, 4.3.7).
    ///
    /// # Errors
    /// [`FluidError::Quantity`] for a head outside 1 um over [`Outflow::lowest_head`] to 100 m.
    pub fn between_models(&self, head: Length) -> Result<f64, FluidError> {
        let head = head.get::<uom::si::length::meter>();
        let head = crate::numeric::check::in_range("head", head, self.lowest_si() + 1e-6, 100.0, "m")?;
        let flows = self.by_each_model().map(|hole| hole.flow_si(head));
        let (low, high) = flows.iter().fold((f64::MAX, 0.0f64), |(l, h), q| (l.min(*q), h.max(*q)));
        let mean = flows.iter().sum::<f64>() / 3.0;
        Ok(0.5 * (high - low) / mean / 3f64.sqrt())
    }

    /// [`Outflow::emptying_time`] by each of the three loss models: each to the end of its own stream.
    ///
    /// # Errors
    /// Those of [`Outflow::emptying_time`].
    pub fn emptying_times(&self, vessel: &impl Vessel, from: Length) -> Result<TimesByModel, FluidError> {
        let mut seconds = [0.0; 3];
        for (t, hole) in seconds.iter_mut().zip(self.by_each_model()) {
            *t = hole.emptying_time(vessel, from)?.get::<second>();
        }
        Ok(TimesByModel { seconds })
    }

    /// Times by each of the three loss models in which the head falls from the first head to each of the heads, which fall.
    ///
    /// # Errors
    /// Those of [`Outflow::time_between`].
    pub fn times_to(&self, vessel: &impl Vessel, heads: &[Length]) -> Result<Vec<TimesByModel>, FluidError> {
        let mut rows = vec![[0.0; 3]; heads.len()];
        for (k, hole) in self.by_each_model().iter().enumerate() {
            for i in 1..heads.len() {
                rows[i][k] = rows[i - 1][k] + hole.time_between(vessel, heads[i - 1], heads[i])?.get::<second>();
            }
        }
        Ok(rows.into_iter().map(TimesByModel::from_si).collect())
    }
}
