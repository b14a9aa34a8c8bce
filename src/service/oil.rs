//! The liquids in force during a run, remembering their latest answers: a service asks for few temperatures, many times.

#![allow(clippy::inline_always)] // so that a run is compiled for the widest instructions

use std::cell::Cell;

use super::state::{COMPONENTS, COOLANT, Contents, FUEL, NEW_OIL, OILS, OLD_OIL, WATER};
use crate::fluid::viscosity::{Lines, ln_kelvin};
use crate::fluid::{DensityLaw, FuelExpansion, GlycolWater, LubeExpansion, OilModel, ViscosityLine};
use crate::numeric::lanes::{Eight, Lanes};

/// Latest answers kept for each property.
const KEPT: usize = 4;

/// The laws of an oil and of the fuel that may get into it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Laws {
    pub oil: OilModel,
    pub fuel: FuelExpansion,
}

/// An oil and what may get into it. What it answers does not depend on what it remembers.
#[derive(Debug, Clone)]
pub(super) struct Oil<X: Lanes = f64> {
    /// Of every draw, but for the viscosity.
    laws: X::Each<Laws>,
    /// The viscosities of all draws.
    lines: Lines<X>,
    densities: Latest<X>,
    viscosities: Latest<X>,
    /// Of the temperature in kelvin; they hold for every oil.
    logarithms: Latest<f64>,
}

impl Oil {
    /// The laws alone, without what is remembered.
    pub(super) fn laws(&self) -> Laws {
        let Laws { oil, fuel } = self.laws[0];
        Laws { oil: oil.with_line(self.lines.of(0)), fuel }
    }

    /// Volume of each component of a place at its own temperature.
    pub(super) fn volumes(&self, contents: &Contents) -> [f64; 5] {
        let t = contents.temperature_c;
        std::array::from_fn(|c| match (contents.mass[c], c) {
            (0.0, _) => 0.0,
            (m, OLD_OIL | NEW_OIL) => m / self.density(t),
            (m, foreign) => m / self.foreign_density(foreign, t),
        })
    }
}

impl<X: Lanes> Oil<X> {
    /// The same in every draw.
    pub(super) fn new(oil: OilModel, fuel: FuelExpansion) -> Self {
        Self::of(Laws { oil, fuel })
    }

    pub(super) fn of(laws: Laws) -> Self {
        let (laws, lines) = (X::each(|_| laws), Lines::same(laws.oil.line()));
        Self { laws, lines, densities: Latest::new(), viscosities: Latest::new(), logarithms: Latest::new() }
    }

    /// Another density at 15 °C (kg/m3); the viscosity stays.
    pub(super) fn set_density(&mut self, density_15c: X) {
        for (i, laws) in self.laws.as_mut().iter_mut().enumerate() {
            laws.oil = laws.oil.with_density(density_15c.lane(i));
        }
        self.densities = Latest::new();
    }

    /// Other viscosities at 40 and 100 °C (m2/s); the density stays.
    #[inline(always)]
    pub(super) fn set_viscosity(&mut self, kv40: X, kv100: X) {
        let (cold, hot) = (self.ln_kelvin(40.0), self.ln_kelvin(100.0));
        self.lines = Lines::by_logarithms((cold, kv40), (hot, kv100));
        self.viscosities = Latest::new();
    }

    /// The viscosity line of a draw.
    pub(super) fn line(&self, draw: usize) -> ViscosityLine {
        self.lines.of(draw)
    }

    /// Density at a temperature (°C), in kg/m3.
    #[inline(always)]
    pub(super) fn density(&self, t: X) -> X {
        self.densities.get(t, |t| self.density_worked_out(t))
    }

    /// As [`Oil::density`], whatever is remembered of it.
    fn density_worked_out(&self, t: X) -> X {
        LubeExpansion::density_abreast(|i| self.laws.as_ref()[i].oil.expansion(), t)
    }

    /// Kinematic viscosity at a temperature (°C), in m2/s.
    #[inline]
    pub(super) fn nu(&self, t: X) -> X {
        self.viscosities.get(t, |t| self.nu_worked_out(t))
    }

    /// As [`Oil::nu`], whatever is remembered of it.
    pub(super) fn nu_worked_out(&self, t: X) -> X {
        X::widely(
            #[inline(always)]
            || {
                let first = t.lane(0);
                let together = t.all(|t| t == first);
                self.lines.nu(if together { X::splat(self.ln_kelvin(first)) } else { ln_kelvin(t) })
            },
        )
    }

    /// Puts viscosities (m2/s) in the place of temperatures (°C), whatever is remembered of them. The points of one draw go
    /// through the law side by side.
    pub(super) fn thicken(&self, points: &mut [(X, X)]) {
        if X::COUNT > 1 {
            points.iter_mut().for_each(|(t, _)| *t = self.nu_worked_out(*t));
            return;
        }
        for some in points.chunks_mut(Eight::COUNT) {
            let t = Eight::from_lanes(|i| some.get(i).map_or(15.0, |(t, _)| t.lane(0)));
            let nu = Lines::same(&self.line(0)).nu(ln_kelvin(t));
            some.iter_mut().enumerate().for_each(|(i, (t, _))| *t = X::splat(nu.lane(i)));
        }
    }

    /// Kinematic viscosity of a draw's oil at a temperature (°C), in m2/s.
    pub(super) fn nu_of(&self, draw: usize, t: f64) -> f64 {
        self.line(draw).nu_at(self.ln_kelvin(t))
    }

    fn ln_kelvin(&self, t: f64) -> f64 {
        self.logarithms.get(t, ln_kelvin)
    }

    /// Volume of a place at its own temperature: `V = Σ m_c / ρ_c(T)`.
    #[inline]
    pub(super) fn volume(&self, contents: &Contents<X>) -> X {
        self.volume_of::<{ COMPONENTS.len() }>(contents)
    }

    /// As [`Oil::volume`], where none but the first `N` components can be there.
    #[inline(always)]
    pub(super) fn volume_of<const N: usize>(&self, contents: &Contents<X>) -> X {
        let m = &contents.mass;
        let oil = (m[OLD_OIL] + m[NEW_OIL]) / self.density(contents.temperature_c);
        let foreign = N > OILS && [FUEL, COOLANT, WATER].iter().any(|c| m[*c].any(|m| m != 0.0));
        if foreign { oil + self.foreign(contents) } else { oil }
    }

    /// Mass over volume of a place; the oil's density at its temperature where it is empty (kg/m3).
    pub(super) fn mean_density(&self, contents: &Contents<X>) -> X {
        let (volume, mass) = (self.volume(contents), contents.total_of::<{ COMPONENTS.len() }>());
        if volume.all(|v| v > 0.0) {
            return mass / volume;
        }
        let empty = self.density(contents.temperature_c);
        let of = |mass: f64, volume: f64, empty: f64| if volume > 0.0 { mass / volume } else { empty };
        X::from_lanes(|i| of(mass.lane(i), volume.lane(i), empty.lane(i)))
    }

    #[cold]
    fn foreign(&self, contents: &Contents<X>) -> X {
        let density = |c: usize| contents.temperature_c.map(|t| self.foreign_density(c, t));
        let held = [FUEL, COOLANT, WATER].into_iter().filter(|c| contents.mass[*c].any(|m| m != 0.0));
        held.map(|c| contents.mass[c] / density(c)).fold(X::splat(0.0), |sum, v| sum + v)
    }

    /// Density of a component that is no oil (kg/m3), its temperature held to the range of its law: fuel by its group of
    /// API MPMS 11.1, coolant 50 % by mass of ethylene glycol in water, water. They are the same in every draw.
    pub(super) fn foreign_density(&self, component: usize, t: f64) -> f64 {
        let law = match component {
            FUEL => DensityLaw::Fuel(self.laws.as_ref()[0].fuel),
            COOLANT => DensityLaw::Coolant(GlycolWater::HALF_BY_MASS),
            _ => DensityLaw::Water,
        };
        let [low, high] = law.range_c();
        law.density_si(t.clamp(low, high))
    }
}

/// The latest answers of a function of temperature.
#[derive(Debug, Clone)]
struct Latest<X: Lanes> {
    known: [Cell<X>; KEPT],
    answers: [Cell<X>; KEPT],
    next: Cell<usize>,
}

impl<X: Lanes> Latest<X> {
    fn new() -> Self {
        // No temperature equals NaN, so an empty slot never answers.
        let each = |x: f64| std::array::from_fn(|_| Cell::new(X::splat(x)));
        Self { known: each(f64::NAN), answers: each(0.0), next: Cell::new(0) }
    }

    #[inline(always)]
    fn get(&self, t: X, of: impl FnOnce(X) -> X) -> X {
        // Of draws side by side the first mostly tells.
        let first = |known: X| X::COUNT == 1 || known.lane(0) == t.lane(0);
        match self.known.iter().position(|known| first(known.get()) && known.get() == t) {
            Some(i) => self.answers[i].get(),
            None => self.keep(t, of(t)),
        }
    }

    #[inline(never)] // seldom
    fn keep(&self, t: X, answer: X) -> X {
        let i = self.next.get();
        self.known[i].set(t);
        self.answers[i].set(answer);
        self.next.set((i + 1) % KEPT);
        answer
    }
}
