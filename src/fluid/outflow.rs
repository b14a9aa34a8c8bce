//! Oil leaving by a hole: how fast, by which loss model, and how well that is known.
//!
//! Three loss models, one at a time, chosen explicitly: [`LossModel::EnergyBalance`], [`LossModel::ConstantCd`] and
//! [`LossModel::ShortTube`]. Below about one bore of depth the hole works as a weir. `head` is the depth of liquid over
//! the inlet rim (a hole that points down) or over the bore's centre (one that points sideways: there the head goes on
//! below zero, to the lowest point of the rim).

use serde::{Deserialize, Serialize};
use uom::si::f64::{KinematicViscosity, Length, MassDensity, VolumeRate};
use uom::si::kinematic_viscosity::square_meter_per_second;
use uom::si::length::meter;
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::volume_rate::cubic_meter_per_second;

use super::STANDARD_GRAVITY;
use super::error::FluidError;
use crate::numeric::check;
use crate::numeric::lanes::Lanes;

mod between;
pub mod coefficients;
pub mod creeping;
mod emptying;
mod near_empty;
mod validity;
mod vent;

pub use between::TimesByModel;
pub(crate) use emptying::integrate_over_levels;
pub use emptying::{DRIP_FLOW, DrainRow, Prism, Regime, Shape, Vessel};
pub use validity::{Flag, Flow};
pub use vent::Vent;

/// Which way a bore points.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Axis {
    /// Down: the liquid in the bore drives as well, and near empty the rim is a weir.
    Down,
    /// Sideways: only the depth over the centre drives.
    Side,
}

/// How the losses of the hole are worked out.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum LossModel {
    /// Bernoulli with an entry loss K and Poiseuille friction in the bore, v its mean velocity and H the driving head:
    ///
    /// ```text
    /// g H = (1 + K) v^2/2 + 32 nu L v/d^2
    /// ```
    ///
    /// Smooth from thick to thin oil. Laminar in the bore: for long bores above Re = 2300 it gives too much flow.
    EnergyBalance {
        /// Entry loss coefficient: 1.0 for a plug boss with a burr or thread (judgement), 0.5 for a clean sharp entry.
        entry_loss: f64,
    },
    /// `Q = Cd a sqrt(2 g H)` (Torricelli). For thin oil in a thin plate; knows nothing of viscosity.
    ConstantCd {
        /// Discharge coefficient; see [`coefficients`].
        cd: f64,
    },
    /// A. Lichtarowicz, R. K. Duggins and E. Markland, J. Mech. Eng. Sci. 7 (1965) 210, see [`coefficients::short_tube`],
    /// with the Reynolds number of the *ideal* velocity `sqrt(2 g H)`. For 2 <= L/d <= 10 and 10 <= Re <= 20000.
    ShortTube,
}

impl LossModel {
    /// The energy balance with an entry loss of 1.0.
    pub const fn energy_balance() -> Self {
        Self::EnergyBalance { entry_loss: 1.0 }
    }
}

/// What happens when the depth falls to about the bore.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LowHead {
    /// The rim of a hole that points down limits the flow as a weir; of one that points sideways the wetted part flows.
    #[default]
    Weir,
    /// The loss model is used down to a head of zero: no weir, and no end of the stream in drops.
    Ignore,
}

/// A hole with one liquid flowing out of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outflow {
    bore: f64,
    length: f64,
    axis: Axis,
    model: LossModel,
    nu: f64,
    density: f64,
    vent: Vent,
    low_head: LowHead,
}

impl Outflow {
    /// A hole of diameter `bore` and `length` (0 for a thin plate), open to the air at both ends, weir below.
    ///
    /// # Errors
    /// [`FluidError::Quantity`] for a bore outside 1e-4 to 1 m, a length outside 0 to 10 m, a viscosity outside 1e-8 to 1
    /// m2/s, a density outside 100 to 3000 kg/m3, an entry loss outside 0 to 100 or a coefficient outside 0.01 to 1.
    ///
    /// ```
    /// use fillmark::fluid::outflow::{Axis, LossModel, Outflow, Prism};
    /// use fillmark::uom::si::f64::*;
    /// use fillmark::uom::si::{area::square_meter, kinematic_viscosity::square_millimeter_per_second, length::millimeter};
    /// use fillmark::uom::si::{mass_density::kilogram_per_cubic_meter, time::second};
    ///
    /// // 4 L of oil of 14 mm2/s in a pan of 0.05 m2 with a 12 mm hole in a 10 mm boss.
    /// let mm = Length::new::<millimeter>;
    /// let hole = Outflow::new(
    ///     mm(12.0), mm(10.0), Axis::Down, LossModel::energy_balance(),
    ///     KinematicViscosity::new::<square_millimeter_per_second>(14.0),
    ///     MassDensity::new::<kilogram_per_cubic_meter>(850.0),
    /// )?;
    /// let pan = Prism::new(Area::new::<square_meter>(0.05));
    /// let until_it_drips = hole.emptying_time(&pan, mm(80.0))?.get::<second>();
    /// assert!(until_it_drips > 58.0 && until_it_drips < 120.0);
    /// # Ok::<(), fillmark::fluid::FluidError>(())
    /// ```
    pub fn new(
        bore: Length,
        length: Length,
        axis: Axis,
        model: LossModel,
        nu: KinematicViscosity,
        density: MassDensity,
    ) -> Result<Self, FluidError> {
        let bore = check::in_range("bore", bore.get::<meter>(), 1e-4, 1.0, "m")?;
        let length = check::in_range("length", length.get::<meter>(), 0.0, 10.0, "m")?;
        let nu = check::in_range("kinematic viscosity", nu.get::<square_meter_per_second>(), 1e-8, 1.0, "m2/s")?;
        let density = check::in_range("density", density.get::<kilogram_per_cubic_meter>(), 100.0, 3000.0, "kg/m3")?;
        match model {
            LossModel::EnergyBalance { entry_loss } => {
                check::in_range("entry_loss", entry_loss, 0.0, 100.0, "(dimensionless)")?
            }
            LossModel::ConstantCd { cd } => check::in_range("cd", cd, 0.01, 1.0, "(dimensionless)")?,
            LossModel::ShortTube => 0.0,
        };
        Ok(Self::unchecked_si(bore, length, axis, model, nu, density))
    }

    /// Unchecked, SI.
    pub(crate) fn unchecked_si(bore: f64, length: f64, axis: Axis, model: LossModel, nu: f64, density: f64) -> Self {
        Self { bore, length, axis, model, nu, density, vent: Vent::Open, low_head: LowHead::Weir }
    }

    /// The same hole with air getting into the sump another way.
    ///
    /// # Errors
    /// [`FluidError::Quantity`] for a vent area that is not 1e-9 to 1 m2.
    pub fn with_vent(self, vent: Vent) -> Result<Self, FluidError> {
        vent.check()?;
        Ok(Self { vent, ..self })
    }

    /// The same hole treated otherwise near empty.
    #[must_use]
    pub fn with_low_head(self, low_head: LowHead) -> Self {
        Self { low_head, ..self }
    }

    /// The same hole by another loss model.
    #[must_use]
    pub fn with_model(self, model: LossModel) -> Self {
        Self { model, ..self }
    }

    /// Flow at a head, with what limits it and how far to trust it.
    ///
    /// # Errors
    /// [`FluidError::Quantity`] for a head outside [`Outflow::lowest_head`] to 100 m.
    pub fn flow(&self, head: Length) -> Result<Flow, FluidError> {
        let head = self.accept("head", head)?;
        Ok(Flow {
            rate: VolumeRate::new::<cubic_meter_per_second>(self.flow_si(head)),
            regime: self.regime_si(head),
            flags: self.flags(head),
            relative_uncertainty: self.relative_uncertainty_si(head),
        })
    }

    /// Flow in m3/s at a head in metres, unchecked; none at or below [`Outflow::lowest_head`].
    pub(crate) fn flow_si(&self, head: f64) -> f64 {
        self.flow_of(head, self.nu)
    }

    /// [`Outflow::flow_si`] with other viscosities (m2/s) than the hole's own.
    #[inline]
    fn flow_of<X: Lanes>(&self, head: f64, nu: X) -> X {
        if head <= self.lowest_si() {
            return X::splat(0.0);
        }
        let (depth, share) = self.wetted_si(head);
        (self.vented_of(depth, nu) * share).smaller(self.rim_of(head, nu))
    }

    /// A head in metres, checked.
    pub(super) fn accept(&self, what: &str, head: Length) -> Result<f64, FluidError> {
        Ok(check::in_range(what, head.get::<meter>(), self.lowest_si(), 100.0, "m")?)
    }

    /// Flow through the full bore by the loss model, driven by a head `driving` that includes the bore's own.
    fn bore_si(&self, driving: f64) -> f64 {
        self.bore_of(driving, self.nu)
    }

    /// The same with other viscosities.
    #[inline]
    fn bore_of<X: Lanes>(&self, driving: f64, nu: X) -> X {
        if driving <= 0.0 {
            return X::splat(0.0);
        }
        let area = std::f64::consts::FRAC_PI_4 * self.bore * self.bore;
        let ideal = (2.0 * STANDARD_GRAVITY * driving).sqrt();
        match self.model {
            LossModel::EnergyBalance { entry_loss } => {
                // (1+K)/2 v^2 + b v = g H; the form without a difference of near numbers.
                let b = nu * 32.0 * self.length / (self.bore * self.bore);
                let root = (b * b + X::splat((1.0 + entry_loss) * ideal * ideal)).map(f64::sqrt);
                X::splat(area * ideal * ideal) / (b + root)
            }
            LossModel::ConstantCd { cd } => X::splat(area * cd * ideal),
            LossModel::ShortTube => {
                let ratio = self.length / self.bore;
                nu.map(|nu| area * ideal * coefficients::short_tube_si(ratio, ideal * self.bore / nu))
            }
        }
    }

    /// Head that drives: the depth, and the column in a bore that points down.
    fn driving(&self, head: f64) -> f64 {
        match self.axis {
            Axis::Down => head + self.length,
            Axis::Side => head,
        }
    }

    /// Reynolds number of the ideal velocity in the bore.
    fn ideal_reynolds(&self, driving: f64) -> f64 {
        (2.0 * STANDARD_GRAVITY * driving).sqrt() * self.bore / self.nu
    }
}

#[cfg(test)]
mod tests;
