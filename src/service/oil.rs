//! The liquids in force during a run, remembering their latest answers: a service asks for few temperatures, many times.

use std::cell::Cell;

use super::state::{COMPONENTS, COOLANT, Contents, FUEL, NEW_OIL, OILS, OLD_OIL, WATER};
use crate::fluid::viscosity::ln_kelvin;
use crate::fluid::{DensityLaw, FuelExpansion, GlycolWater, OilModel, ViscosityLine};

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
pub(super) struct Oil {
    laws: Laws,
    densities: Latest,
    viscosities: Latest,
    /// Of the temperature in kelvin; they hold for every oil.
    logarithms: Latest,
}

impl Oil {
    pub(super) fn new(oil: OilModel, fuel: FuelExpansion) -> Self {
        Self::of(Laws { oil, fuel })
    }

    pub(super) fn of(laws: Laws) -> Self {
        Self { laws, densities: Latest::new(), viscosities: Latest::new(), logarithms: Latest::new() }
    }

    /// Another density at 15 °C (kg/m3); the viscosity stays.
    pub(super) fn set_density(&mut self, density_15c: f64) {
        self.laws.oil = self.laws.oil.with_density(density_15c);
        self.densities = Latest::new();
    }

    /// Other viscosities at 40 and 100 °C (m2/s); the density stays.
    pub(super) fn set_viscosity(&mut self, kv40: f64, kv100: f64) {
        let point = |t: f64, nu: f64| (self.ln_kelvin(t), nu);
        let line = ViscosityLine::by_logarithms(point(40.0, kv40), point(100.0, kv100));
        self.laws.oil = self.laws.oil.with_line(line);
        self.viscosities = Latest::new();
    }

    /// The laws alone, without what is remembered.
    pub(super) fn laws(&self) -> Laws {
        self.laws
    }

    /// The oil's laws.
    pub(super) fn model(&self) -> &OilModel {
        &self.laws.oil
    }

    /// Density at a temperature (°C), in kg/m3.
    #[inline]
    pub(super) fn density(&self, t: f64) -> f64 {
        self.densities.get(t, |t| self.laws.oil.density(t))
    }

    /// Kinematic viscosity at a temperature (°C), in m2/s.
    #[inline]
    pub(super) fn nu(&self, t: f64) -> f64 {
        self.viscosities.get(t, |t| self.laws.oil.line().nu_at(self.ln_kelvin(t)))
    }

    fn ln_kelvin(&self, t: f64) -> f64 {
        self.logarithms.get(t, ln_kelvin)
    }

    /// Volume of a place at its own temperature: `V = Σ m_c / ρ_c(T)`.
    #[inline]
    pub(super) fn volume(&self, contents: &Contents) -> f64 {
        self.volume_of::<{ COMPONENTS.len() }>(contents)
    }

    /// As [`Oil::volume`], where none but the first `N` components can be there.
    #[inline]
    pub(super) fn volume_of<const N: usize>(&self, contents: &Contents) -> f64 {
        let m = &contents.mass;
        let oil = (m[OLD_OIL] + m[NEW_OIL]) / self.density(contents.temperature_c);
        let foreign = N > OILS && (m[FUEL] != 0.0 || m[COOLANT] != 0.0 || m[WATER] != 0.0);
        if foreign { oil + self.foreign(contents) } else { oil }
    }

    /// Mass over volume of a place; the oil's density at its temperature where it is empty (kg/m3).
    pub(super) fn mean_density(&self, contents: &Contents) -> f64 {
        let volume = self.volume(contents);
        if volume > 0.0 { contents.total() / volume } else { self.density(contents.temperature_c) }
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

    #[cold]
    fn foreign(&self, contents: &Contents) -> f64 {
        [FUEL, COOLANT, WATER]
            .into_iter()
            .filter(|c| contents.mass[*c] != 0.0)
            .map(|c| contents.mass[c] / self.foreign_density(c, contents.temperature_c))
            .sum()
    }

    /// Density of a component that is no oil (kg/m3), its temperature held to the range of its law: fuel by its group of
    /// API MPMS 11.1, coolant 50 % by mass of ethylene glycol in water, water.
    pub(super) fn foreign_density(&self, component: usize, t: f64) -> f64 {
        let law = match component {
            FUEL => DensityLaw::Fuel(self.laws.fuel),
            COOLANT => DensityLaw::Coolant(GlycolWater::HALF_BY_MASS),
            _ => DensityLaw::Water,
        };
        let [low, high] = law.range_c();
        law.density_si(t.clamp(low, high))
    }
}

/// The latest answers of a function of temperature.
#[derive(Debug, Clone)]
struct Latest {
    answers: [Cell<(f64, f64)>; KEPT],
    next: Cell<usize>,
}

impl Latest {
    fn new() -> Self {
        // No temperature equals NaN, so an empty slot never answers.
        Self { answers: std::array::from_fn(|_| Cell::new((f64::NAN, 0.0))), next: Cell::new(0) }
    }

    #[inline]
    fn get(&self, t: f64, of: impl FnOnce(f64) -> f64) -> f64 {
        for slot in &self.answers {
            let (known, answer) = slot.get();
            if known == t {
                return answer;
            }
        }
        self.keep(t, of(t))
    }

    fn keep(&self, t: f64, answer: f64) -> f64 {
        let i = self.next.get();
        self.answers[i].set((t, answer));
        self.next.set((i + 1) % KEPT);
        answer
    }
}
