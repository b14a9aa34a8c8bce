//! The sump emptying through its open plugs, prepared: time to the heel over volume and viscosity.

use crate::Error;
use crate::circuit::Outlet;
use crate::fluid::outflow::{LossModel, Outflow};
use crate::geometry::{Attitude, Plug, Sump};

/// Nodes over the volume, evenly spaced in the root of what stands above the heel, as time goes with the root of the head.
const VOLUMES: usize = 65;
/// Viscosities of the table, in mm2/s; between them the time goes linearly with viscosity, as friction in the bore does.
#[rustfmt::skip]
const VISCOSITIES: [f64; 26] = [
    2.0, 4.0, 7.0, 10.0, 14.0, 19.0, 25.0, 33.0, 43.0, 56.0, 73.0, 95.0, 120.0, 150.0, 190.0, 240.0, 300.0, 380.0, 480.0,
    610.0, 780.0, 1000.0, 1400.0, 2200.0, 4000.0, 10000.0,
];
/// Head to which the outflow is followed (m); what is left of it then counts as gone.
const LAST_HEAD: f64 = 1e-4;
/// Density that the outflow is worked out with (kg/m3); no law of it depends on density while the vent is open.
const DENSITY: f64 = 870.0;

/// Emptying of one sump at one attitude through one set of open plugs. Volumes are the drawing's.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Emptying {
    heel: f64,
    full: f64,
    /// Which of the plugs alone would leave least: what stays under its lip counts.
    lowest: usize,
    /// Seconds to the heel: a row for every viscosity, a column for every volume, rising along both.
    seconds: Vec<[f64; VOLUMES]>,
}

impl Emptying {
    /// Prepares the table by quadrature of `dt = -dV/Q`; several plugs at once add their flows.
    pub(crate) fn new(sump: &Sump, plugs: &[Plug], attitude: Attitude) -> Result<Self, Error> {
        let heel = sump.heel(plugs, attitude)?.value;
        let full = sump.capacity_si();
        let alone = plugs.iter().map(|p| Ok(sump.heel(&[*p], attitude)?.value)).collect::<Result<Vec<f64>, Error>>()?;
        let lowest = (0..alone.len()).min_by(|a, b| alone[*a].total_cmp(&alone[*b])).unwrap_or(0);
        let outlets = plugs.iter().map(|p| Outlet::of_plug(sump, p, attitude)).collect::<Result<Vec<_>, _>>()?;
        let volumes: [f64; VOLUMES] = std::array::from_fn(|j| volume_at(heel, full, j as f64));
        let mut seconds = Vec::with_capacity(VISCOSITIES.len());
        for nu in VISCOSITIES {
            let mut row = [0.0; VOLUMES];
            let holes = (plugs.iter()).map(|p| hole(p, attitude, nu * 1e-6)).collect::<Result<Vec<_>, _>>()?;
            for j in 1..VOLUMES {
                row[j] = row[j - 1] + together(&outlets, &holes, volumes[j], volumes[j - 1])?;
            }
            seconds.push(row);
        }
        Ok(Self { heel, full, lowest, seconds })
    }

    /// What stays (m3).
    pub(crate) fn heel(&self) -> f64 {
        self.heel
    }

    /// Which of the plugs alone would leave least.
    pub(crate) fn lowest(&self) -> usize {
        self.lowest
    }

    /// Seconds from a volume (m3) to the heel at a viscosity (m2/s).
    pub(crate) fn seconds_from(&self, volume: f64, nu: f64) -> f64 {
        let x = self.position(volume);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // within 0 to VOLUMES - 1
        let j = (x as usize).min(VOLUMES - 2);
        let (low, high) = (self.at(j, nu), self.at(j + 1, nu));
        low + (x - j as f64) * (high - low)
    }

    /// Volume after emptying for a time; from a volume at or below the heel nothing leaves.
    pub(crate) fn volume_after(&self, volume: f64, nu: f64, seconds: f64) -> f64 {
        if volume <= self.heel || seconds <= 0.0 {
            return volume;
        }
        let left = self.seconds_from(volume, nu) - seconds;
        if left <= 0.0 {
            return self.heel;
        }
        let (mut low, mut high) = (0, VOLUMES - 1);
        while high - low > 1 {
            let middle = usize::midpoint(low, high);
            if self.at(middle, nu) <= left { low = middle } else { high = middle }
        }
        let (from, to) = (self.at(low, nu), self.at(high, nu));
        let x = low as f64 + if to > from { (left - from) / (to - from) } else { 1.0 };
        volume_at(self.heel, self.full, x).min(volume)
    }

    /// Seconds at a node of volume, linear in viscosity between the table's.
    fn at(&self, j: usize, nu: f64) -> f64 {
        let nu = nu * 1e6;
        let last = VISCOSITIES.len() - 2;
        let i = VISCOSITIES.iter().rposition(|v| *v <= nu).unwrap_or(0).min(last);
        let share = (nu - VISCOSITIES[i]) / (VISCOSITIES[i + 1] - VISCOSITIES[i]);
        let seconds = self.seconds[i][j] + share * (self.seconds[i + 1][j] - self.seconds[i][j]);
        seconds.max(0.0)
    }

    fn position(&self, volume: f64) -> f64 {
        let above = ((volume - self.heel) / (self.full - self.heel)).clamp(0.0, 1.0);
        above.sqrt() * (VOLUMES - 1) as f64
    }
}

fn volume_at(heel: f64, full: f64, x: f64) -> f64 {
    heel + (full - heel) * (x / (VOLUMES - 1) as f64).powi(2)
}

fn hole(plug: &Plug, attitude: Attitude, nu: f64) -> Result<Outflow, Error> {
    crate::circuit::hole_si(plug, attitude, nu, DENSITY, LossModel::energy_balance())
}

/// Seconds between two volumes through several outlets at once, each alone taking its own: `1/Σ(1/t_i)`.
fn together(outlets: &[Outlet], holes: &[Outflow], from: f64, to: f64) -> Result<f64, Error> {
    use uom::si::f64::Volume;
    use uom::si::length::meter;
    use uom::si::volume::cubic_meter;
    let volume = Volume::new::<cubic_meter>;
    let mut rate = 0.0;
    for (outlet, hole) in outlets.iter().zip(holes) {
        let (high, low) = (outlet.head(volume(from))?.get::<meter>(), outlet.head(volume(to))?.get::<meter>());
        let seconds = hole.time_si(outlet, high.max(LAST_HEAD), low.max(LAST_HEAD));
        if high > LAST_HEAD && seconds > 0.0 {
            rate += 1.0 / seconds;
        }
    }
    Ok(if rate > 0.0 { 1.0 / rate } else { 0.0 })
}
