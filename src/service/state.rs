//! Where the liquid is: a mass of every component, a temperature and an age for every place.

#![allow(clippy::inline_always)] // so that a run is compiled for the widest instructions

use serde::{Deserialize, Serialize};

use crate::numeric::lanes::Lanes;

/// Components of the liquid, in the order of every mass array.
pub const COMPONENTS: [&str; 5] = ["old_oil", "new_oil", "fuel", "coolant", "water"];
/// The first so many components are oil; nothing else is in a circuit that nothing else got into.
pub(crate) const OILS: usize = 2;
pub(crate) const OLD_OIL: usize = 0;
pub(crate) const NEW_OIL: usize = 1;
pub(crate) const FUEL: usize = 2;
pub(crate) const COOLANT: usize = 3;
pub(crate) const WATER: usize = 4;

/// Specific heat of oils and fuel, J/(kg K).
const HEAT_OF_OIL: f64 = 2.0e3;
/// Specific heat of coolant, J/(kg K) (judgement).
const HEAT_OF_COOLANT: f64 = 3.5e3;
/// Specific heat of water, J/(kg K).
const HEAT_OF_WATER: f64 = 4.18e3;

/// Contents of one place.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(rename = "Contents"))]
#[serde(deny_unknown_fields)]
pub struct Contents<X = f64> {
    /// Mass of each component, in kg, in the order of [`COMPONENTS`].
    pub mass: [X; 5],
    /// Temperature, in °C.
    pub temperature_c: X,
    /// Age of the film in units of its time scale; 0 for every other place.
    pub age: X,
}

impl Contents {
    /// Whether there is nothing.
    pub(crate) fn is_empty(&self) -> bool {
        self.mass.iter().all(|m| *m == 0.0)
    }

    /// Whether there is anything but oil.
    pub(crate) fn has_foreign(&self) -> bool {
        self.mass[OILS..].iter().any(|m| *m != 0.0)
    }

    /// Total mass (kg).
    pub fn total(&self) -> f64 {
        self.mass.iter().sum()
    }
}

impl<X: Lanes> Contents<X> {
    #[inline(always)]
    pub(crate) fn empty(temperature_c: X) -> Self {
        Self { mass: [X::splat(0.0); 5], temperature_c, age: X::splat(0.0) }
    }

    #[inline(always)]
    pub(crate) fn of(component: usize, mass: X, temperature_c: X) -> Self {
        let mut contents = Self::empty(temperature_c);
        contents.mass[component] = mass;
        contents
    }

    /// Becomes empty, where none but the first `N` components were ever there: the memory of the others is not touched.
    #[inline(always)]
    pub(crate) fn clear<const N: usize>(&mut self, temperature_c: X) {
        self.mass[..N].fill(X::splat(0.0));
        self.temperature_c = temperature_c;
        self.age = X::splat(0.0);
    }

    /// Becomes another, likewise.
    #[inline(always)]
    pub(crate) fn set<const N: usize>(&mut self, other: &Self) {
        self.mass[..N].copy_from_slice(&other.mass[..N]);
        self.temperature_c = other.temperature_c;
        self.age = other.age;
    }

    /// The same in every draw.
    pub(crate) fn splat(one: &Contents) -> Self {
        Self { mass: one.mass.map(X::splat), temperature_c: X::splat(one.temperature_c), age: X::splat(one.age) }
    }

    /// Whether there is nothing in any draw.
    pub(crate) fn is_empty_everywhere(&self) -> bool {
        self.mass.iter().all(|m| m.all(|m| m == 0.0))
    }

    /// Total mass of the first `N` components (kg).
    #[inline(always)]
    pub(crate) fn total_of<const N: usize>(&self) -> X {
        let (first, others) = (self.mass[0], &self.mass[1..N]);
        others.iter().fold(first, |sum, m| sum + *m)
    }

    /// Heat capacity of the first `N` components over that of a kilogram of oil, `Σ m_c c_c / c_oil` (kg).
    #[inline(always)]
    fn heat<const N: usize>(&self) -> X {
        let m = &self.mass;
        if N == OILS {
            return m[OLD_OIL] + m[NEW_OIL];
        }
        m[OLD_OIL]
            + m[NEW_OIL]
            + m[FUEL]
            + m[COOLANT] * (HEAT_OF_COOLANT / HEAT_OF_OIL)
            + m[WATER] * (HEAT_OF_WATER / HEAT_OF_OIL)
    }

    /// Takes a fraction `f` of every component out.
    #[inline(always)]
    pub(crate) fn take(&mut self, f: X) -> Self {
        let mut out = *self;
        for (kept, moved) in self.mass.iter_mut().zip(&mut out.mass) {
            *moved = *kept * f;
            *kept -= *moved;
        }
        out
    }

    /// Passes a fraction `f` of the first `N` components on, with its heat: `T = Σ C_i T_i / Σ C_i` where it arrives.
    #[inline(always)]
    pub(crate) fn pass<const N: usize>(&mut self, to: &mut Self, f: X) {
        to.warm_by::<N>(self, f);
        for (kept, held) in self.mass[..N].iter_mut().zip(&mut to.mass[..N]) {
            let moved = *kept * f;
            *kept -= moved;
            *held += moved;
        }
    }

    /// Passes all of the first `N` components on.
    #[inline(always)]
    pub(crate) fn pass_all<const N: usize>(&mut self, to: &mut Self) {
        to.warm_by::<N>(self, X::splat(1.0));
        for (kept, held) in self.mass[..N].iter_mut().zip(&mut to.mass[..N]) {
            *held += *kept;
            *kept = X::splat(0.0);
        }
    }

    /// The temperature when a fraction of other liquid is mixed in.
    #[inline(always)]
    fn warm_by<const N: usize>(&mut self, incoming: &Self, f: X) {
        if self.temperature_c != incoming.temperature_c {
            let (own, other) = (self.heat::<N>(), f * incoming.heat::<N>());
            let (t, comes) = (self.temperature_c, incoming.temperature_c);
            // What one draw need not divide for; `mixed` says the same, to the last bit.
            if X::COUNT == 1 && own.all(|own| own == 0.0) {
                self.temperature_c = if other.all(|other| other > 0.0) { comes } else { t };
                return;
            }
            if X::COUNT == 1 && other.all(|other| other <= 0.0) {
                return;
            }
            self.temperature_c = X::from_lanes(|i| mixed(t.lane(i), comes.lane(i), own.lane(i), other.lane(i)));
        }
    }

    /// Takes everything out.
    pub(crate) fn take_all(&mut self) -> Self {
        let out = *self;
        self.mass = [X::splat(0.0); 5];
        out
    }

    /// Mixes liquid in, with its heat: `T = Σ C_i T_i / Σ C_i`.
    pub(crate) fn receive(&mut self, mut incoming: Self) {
        incoming.pass_all::<{ COMPONENTS.len() }>(self);
    }
}

/// The temperature of two heat capacities at `t` and at `comes`; what was empty is as warm as what comes, to the last bit.
#[inline(always)]
fn mixed(t: f64, comes: f64, own: f64, other: f64) -> f64 {
    // Worked out in any case, so that draws side by side take no branch.
    let blend = comes + (t - comes) * (own / (own + other));
    if other > 0.0 { blend } else { t }
}

/// Where everything is at one moment of a service.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct State {
    /// Path of every place, such as `sump` or `stores.head.pool`.
    pub places: std::sync::Arc<[String]>,
    /// Contents of every place, in the same order; `sump` is the pool under the stick's tip.
    pub contents: Vec<Contents>,
    /// Pools of the sump that lie apart from that under the tip.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub apart: Vec<ApartPool>,
}

/// A pool of the sump that the stick does not see.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ApartPool {
    /// A point at the bottom of its basin, body frame, in mm.
    pub bottom_mm: [f64; 3],
    /// What it holds.
    pub contents: Contents,
}

impl State {
    /// Contents of a place by its path.
    pub fn place(&self, path: &str) -> Option<&Contents> {
        self.contents.get(self.places.iter().position(|p| p == path)?)
    }

    /// Total mass of each component over all places (kg).
    pub fn totals(&self) -> [f64; 5] {
        let all = || self.contents.iter().chain(self.apart.iter().map(|pool| &pool.contents));
        std::array::from_fn(|c| all().map(|p| p.mass[c]).sum())
    }
}
