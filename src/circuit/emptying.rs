//! The sump emptying through its open plugs, prepared: time to the heel over volume and viscosity.

use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::draining::{Outlet, hole_si};
use crate::Error;
use crate::fluid::outflow::{LossModel, Outflow};
use crate::geometry::{Attitude, Plug, Sump};
use crate::numeric::lanes::{Eight, Lanes};
use crate::numeric::share::share;

/// Nodes over the head, evenly spaced in its root, as time goes with the root of the head.
const HEADS: usize = 65;
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
    /// The plugs.
    bores: Vec<Plug>,
    /// Which of the plugs alone would leave least: the head is over it, and what stays under its lip counts.
    lowest: usize,
    /// Volume at every head, from the heel to full.
    volumes: [f64; HEADS],
    /// Seconds to the heel: a row for every viscosity, a column for every head, rising along both.
    seconds: Vec<[f64; HEADS]>,
}

impl Emptying {
    /// Prepares the table by quadrature of `dt = -dV/Q` from a full sump down; several plugs at once add their flows.
    pub(crate) fn new(sump: &Sump, bores: Vec<Plug>, attitude: Attitude) -> Result<Self, Error> {
        let plugs = bores.as_slice();
        let full = Volume::new::<cubic_meter>(sump.capacity_si());
        let alone = plugs.iter().map(|p| Ok(sump.heel(&[*p], attitude)?.value)).collect::<Result<Vec<f64>, Error>>()?;
        let lowest = (0..alone.len()).min_by(|a, b| alone[*a].total_cmp(&alone[*b])).unwrap_or(0);
        let outlets = plugs.iter().map(|p| Outlet::of_plug(sump, p, attitude)).collect::<Result<Vec<_>, _>>()?;
        let outlet = &outlets[lowest];
        let (top, bottom) = (outlet.head(full)?, outlet.lowest_head());
        let heads: [Length; HEADS] = std::array::from_fn(|j| bottom + (top - bottom) * way(j as f64));
        let heel = sump.heel(plugs, attitude)?.value;
        let mut volumes = [heel; HEADS];
        for j in 1..HEADS {
            volumes[j] = outlet.left(full, heads[j])?.value.max(volumes[j - 1]);
        }
        let holes = plugs.iter().map(|p| hole(p, attitude)).collect::<Result<Vec<_>, _>>()?;
        let seconds = seconds(&heads, &|nu, from, to| together(&outlets, lowest, &holes, nu, from, to));
        Ok(Self { bores, lowest, volumes, seconds })
    }

    /// What stays (m3).
    pub(crate) fn heel(&self) -> f64 {
        self.volumes[0]
    }

    /// The plugs.
    pub(crate) fn bores(&self) -> &[Plug] {
        &self.bores
    }

    /// Which of the plugs alone would leave least.
    pub(crate) fn lowest(&self) -> usize {
        self.lowest
    }

    /// Seconds from a volume (m3) to the heel at a viscosity (m2/s).
    #[cfg(test)]
    pub(crate) fn seconds_from(&self, volume: f64, nu: f64) -> f64 {
        self.seconds_between(volume, Between::of(nu))
    }

    fn seconds_between(&self, volume: f64, nu: Between) -> f64 {
        let j = self.volumes.partition_point(|v| *v <= volume).clamp(1, HEADS - 1) - 1;
        let (low, high) = (self.volumes[j], self.volumes[j + 1]);
        let part = if high > low { ((volume - low) / (high - low)).clamp(0.0, 1.0) } else { 1.0 };
        // In a piece the volume goes with the head, that is with the square of the node's number.
        let from = j as f64;
        let x = (from * from + part * (2.0 * from + 1.0)).sqrt();
        self.at(j, nu) + (x - from) * (self.at(j + 1, nu) - self.at(j, nu))
    }

    /// [`Emptying::volume_after`] of several draws, each with the same bits.
    pub(crate) fn volumes_after<X: Lanes>(&self, volume: X, nu: X, seconds: X) -> X {
        if X::COUNT > 1 && volume.all(|volume| volume > self.heel()) && seconds.all(|seconds| seconds > 0.0) {
            let row = Between::row_of(nu.lane(0));
            let full = X::from_lanes(|i| self.at(HEADS - 1, Between::in_row(row, nu.lane(i))));
            if Between::all_in(row, nu) && (full - seconds).all(|missing| missing <= 0.0) {
                return X::splat(self.heel());
            }
        }
        X::from_lanes(|i| self.volume_after(volume.lane(i), nu.lane(i), seconds.lane(i)))
    }

    /// Volume after emptying for a time; from a volume at or below the heel nothing leaves.
    pub(crate) fn volume_after(&self, volume: f64, nu: f64, seconds: f64) -> f64 {
        if volume <= self.heel() || seconds <= 0.0 {
            return volume;
        }
        let nu = Between::of(nu);
        // Time enough from full is time enough from any volume.
        if self.at(HEADS - 1, nu) <= seconds {
            return self.heel();
        }
        let left = self.seconds_between(volume, nu) - seconds;
        if left <= 0.0 {
            return self.heel();
        }
        let (mut low, mut high) = (0, HEADS - 1);
        while high - low > 1 {
            let middle = usize::midpoint(low, high);
            if self.at(middle, nu) <= left { low = middle } else { high = middle }
        }
        let (from, to) = (self.at(low, nu), self.at(high, nu));
        let part = if to > from { (left - from) / (to - from) } else { 1.0 };
        let x = low as f64 + part;
        let share = (x * x - (low * low) as f64) / (2 * low + 1) as f64;
        (self.volumes[low] + share * (self.volumes[high] - self.volumes[low])).min(volume)
    }

    /// Seconds at a node of head, linear in viscosity between the table's.
    #[inline]
    fn at(&self, j: usize, nu: Between) -> f64 {
        let (thin, thick) = (self.seconds[nu.row][j], self.seconds[nu.row + 1][j]);
        (thin + nu.share * (thick - thin)).max(0.0)
    }
}

/// Where a viscosity stands among those of the table.
#[derive(Debug, Clone, Copy)]
struct Between {
    /// The row below it.
    row: usize,
    /// Share of the way to the next; beyond the table below 0 or above 1.
    share: f64,
}

impl Between {
    fn of(nu: f64) -> Self {
        Self::in_row(Self::row_of(nu), nu)
    }

    /// The row below a viscosity (m2/s).
    fn row_of(nu: f64) -> usize {
        let last = VISCOSITIES.len() - 2;
        VISCOSITIES.partition_point(|v| *v <= nu * 1e6).clamp(1, last + 1) - 1
    }

    /// Whether that is the row below all of several viscosities; those beyond the table are not looked at.
    fn all_in<X: Lanes>(row: usize, nu: X) -> bool {
        let [thin, thick] = [VISCOSITIES[row], VISCOSITIES[row + 1]];
        nu.all(|nu| (thin..thick).contains(&(nu * 1e6)))
    }

    #[inline]
    fn in_row(row: usize, nu: f64) -> Self {
        let [thin, thick] = [VISCOSITIES[row], VISCOSITIES[row + 1]];
        Self { row, share: (nu * 1e6 - thin) / (thick - thin) }
    }
}

/// Share of the way from the lowest to the highest head at a node.
fn way(x: f64) -> f64 {
    (x / (HEADS - 1) as f64).powi(2)
}

/// A row for every viscosity: seconds from each head to the lowest, rising. `between` has those from one head to another for
/// several viscosities (m2/s) at once; pieces of the table are worked on all threads.
fn seconds(heads: &[Length; HEADS], between: &(impl Fn(Eight, Length, Length) -> Eight + Sync)) -> Vec<[f64; HEADS]> {
    let last = VISCOSITIES.len() - 1;
    let abreast = |first: usize| Eight::from_lanes(|i| VISCOSITIES[last.min(first + i)] * 1e-6);
    let all = (0..VISCOSITIES.len()).step_by(Eight::COUNT);
    let pieces = all.flat_map(|first| (1..HEADS).map(move |j| (first, j))).collect();
    let pieces = share(pieces, |(first, j)| between(abreast(first), heads[j], heads[j - 1]));
    let mut rows = vec![[0.0; HEADS]; VISCOSITIES.len()];
    for (i, row) in rows.iter_mut().enumerate() {
        let own = &pieces[i / Eight::COUNT * (HEADS - 1)..];
        for j in 1..HEADS {
            row[j] = row[j - 1] + own[j - 1].lane(i % Eight::COUNT);
        }
    }
    rows
}

/// The hole of a plug; any viscosity will do, as it is stated with every question.
fn hole(plug: &Plug, attitude: Attitude) -> Result<Outflow, Error> {
    hole_si(plug, attitude, VISCOSITIES[0] * 1e-6, DENSITY, LossModel::energy_balance())
}

/// Seconds between two heads over the lowest outlet through all of them at once, each alone taking its own: `1/Σ(1/t_i)`.
fn together(outlets: &[Outlet], lowest: usize, holes: &[Outflow], nu: Eight, from: Length, to: Length) -> Eight {
    let mut rate = Eight::splat(0.0);
    for (outlet, hole) in outlets.iter().zip(holes) {
        // The same levels as heads over this outlet.
        let over = outlets[lowest].rises_above(outlet);
        let last = outlet.lowest_head().get::<meter>() + LAST_HEAD;
        let [high, low] = [from, to].map(|h| (h + over).get::<meter>().max(last));
        if high > last {
            let seconds = hole.time_of(outlet, high, low, nu);
            rate = rate.with(seconds, |rate, seconds| if seconds > 0.0 { rate + 1.0 / seconds } else { rate });
        }
    }
    rate.map(|rate| if rate > 0.0 { 1.0 / rate } else { 0.0 })
}
