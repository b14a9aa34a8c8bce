//! How far to trust a flow.

use serde::Serialize;
use uom::si::f64::VolumeRate;

use super::coefficients::{LENGTH_RATIO, REYNOLDS};
use super::emptying::Regime;
use super::{LossModel, Outflow, Vent};

/// A flow, its regime, and its standing.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Flow {
    /// Volume per time.
    pub rate: VolumeRate,
    /// How it leaves.
    pub regime: Regime,
    /// What is outside the model's ground; empty when all is well.
    pub flags: Vec<Flag>,
    /// Standard relative uncertainty of the rate: a judgement that grows with the flags.
    pub relative_uncertainty: f64,
}

/// A reason to trust a flow less.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Flag {
    /// The short-tube formula needs an ideal Reynolds number of 10 to 20000.
    Reynolds {
        /// The ideal Reynolds number.
        value: f64,
    },
    /// The short-tube formula needs 2 <= L/d <= 10.
    LengthRatio {
        /// L/d.
        value: f64,
    },
    /// The bore flows turbulent, and it is long enough for that to matter: the energy balance leaves out the friction.
    TurbulentBore {
        /// Reynolds number of the mean velocity in the bore.
        value: f64,
    },
    /// A constant coefficient is for thin plates and an ideal Reynolds number above 10000.
    ViscosityIgnored {
        /// The ideal Reynolds number.
        value: f64,
    },
    /// The rim limits the flow as a weir.
    Weir,
    /// The bore of a sideways hole is not covered.
    PartlyCovered,
    /// Air comes in by the hole itself, or hardly at all.
    PoorVent,
}

/// Standard relative uncertainty of a flow on the model's own ground (judgement: the energy balance stands or falls with its
/// entry loss; the other two are fits).
const ON_GROUND: f64 = 0.05;
const ENERGY_BALANCE: f64 = 0.10;
/// Each flag adds this, in quadrature (judgement).
const PER_FLAG: f64 = 0.20;

impl Outflow {
    pub(super) fn flags(&self, head: f64) -> Vec<Flag> {
        let mut flags = Vec::new();
        let driving = self.driving(self.wetted_si(head).0).max(0.0);
        let re = self.ideal_reynolds(driving);
        let ratio = self.length / self.bore;
        match self.model {
            LossModel::ShortTube => {
                if !(REYNOLDS[0]..=REYNOLDS[1]).contains(&re) {
                    flags.push(Flag::Reynolds { value: re });
                }
                if !(LENGTH_RATIO[0]..=LENGTH_RATIO[1]).contains(&ratio) {
                    flags.push(Flag::LengthRatio { value: ratio });
                }
            }
            LossModel::ConstantCd { .. } if re < 1e4 => flags.push(Flag::ViscosityIgnored { value: re }),
            LossModel::EnergyBalance { .. } => {
                let bore_re = 4.0 * self.bore_si(driving) / (std::f64::consts::PI * self.bore * self.nu);
                if bore_re > 2300.0 && ratio > 10.0 {
                    flags.push(Flag::TurbulentBore { value: bore_re });
                }
            }
            LossModel::ConstantCd { .. } => {}
        }
        if self.rim_si(head) < self.vented_si(head) {
            flags.push(Flag::Weir);
        }
        if self.partly_covered(head) {
            flags.push(Flag::PartlyCovered);
        }
        if self.vent != Vent::Open {
            flags.push(Flag::PoorVent);
        }
        flags
    }

    pub(super) fn relative_uncertainty_si(&self, head: f64) -> f64 {
        let base = if matches!(self.model, LossModel::EnergyBalance { .. }) { ENERGY_BALANCE } else { ON_GROUND };
        let flags = self.flags(head).len() as f64;
        (base * base + flags * PER_FLAG * PER_FLAG).sqrt()
    }
}
