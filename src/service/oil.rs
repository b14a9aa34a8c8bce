//! The oil in force during a run, remembering its latest answers: a service asks for few temperatures, many times.

use std::cell::Cell;

use super::state::{Contents, NEW_OIL, OLD_OIL};
use crate::fluid::OilModel;

/// Latest answers kept for each property.
const KEPT: usize = 4;

/// An oil with its latest densities and viscosities. What it answers does not depend on what it remembers.
#[derive(Debug, Clone)]
pub(super) struct Oil {
    model: OilModel,
    densities: Latest,
    viscosities: Latest,
}

impl Oil {
    pub(super) fn new(model: OilModel) -> Self {
        Self { model, densities: Latest::default(), viscosities: Latest::default() }
    }

    /// The oil's laws.
    pub(super) fn model(&self) -> OilModel {
        self.model
    }

    /// Density at a temperature (°C), in kg/m3.
    #[inline]
    pub(super) fn density(&self, t: f64) -> f64 {
        self.densities.get(t, |t| self.model.density(t))
    }

    /// Kinematic viscosity at a temperature (°C), in m2/s.
    #[inline]
    pub(super) fn nu(&self, t: f64) -> f64 {
        self.viscosities.get(t, |t| self.model.nu(t))
    }

    /// Volume of a place at its own temperature: `V = Σ m_c / ρ_c(T)`.
    #[inline]
    pub(super) fn volume(&self, contents: &Contents) -> f64 {
        (contents.mass[OLD_OIL] + contents.mass[NEW_OIL]) / self.density(contents.temperature_c)
    }
}

/// The latest answers of a function of temperature.
#[derive(Debug, Clone)]
struct Latest {
    answers: [Cell<(f64, f64)>; KEPT],
    next: Cell<usize>,
}

impl Default for Latest {
    fn default() -> Self {
        // No temperature equals NaN, so an empty slot never answers.
        Self { answers: std::array::from_fn(|_| Cell::new((f64::NAN, 0.0))), next: Cell::new(0) }
    }
}

impl Latest {
    #[inline]
    fn get(&self, t: f64, of: impl FnOnce(f64) -> f64) -> f64 {
        for slot in &self.answers {
            let (known, answer) = slot.get();
            if known == t {
                return answer;
            }
        }
        let answer = of(t);
        let i = self.next.get();
        self.answers[i].set((t, answer));
        self.next.set((i + 1) % KEPT);
        answer
    }
}
