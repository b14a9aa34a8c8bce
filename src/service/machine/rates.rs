//! Rates that act while an operation lasts: what leaks, burns or gets in.

use super::{Contents, Machine, RateKind, SUMP, ServiceError, Side, When};

/// How many equal parts a rest has in which a rate acts.
///
/// What returns to the sump and what leaves it meanwhile would otherwise follow each other; in parts they take turns.
const PARTS: u8 = 16;

/// Rests that follow one another while rates act: one rest, taken from its beginning every time, so that dividing it changes
/// nothing. Liquid as it was at the beginning is in [`Machine::at_first`].
#[derive(Debug)]
pub(super) struct Stretch<X: Side> {
    pub stance: usize,
    /// How long it has lasted.
    time: X,
    supplied: [X; 5],
    lying: Option<X::Lying>,
}

impl<X: Side, const N: usize> Machine<'_, X, N> {
    /// Whether a rate acts at rest.
    #[inline]
    pub(super) fn acts_at_rest(&self) -> bool {
        !self.rates.is_empty() && self.rates.iter().any(|rate| rate.when == When::Always)
    }

    /// A rest in which rates act, and with it those just before it at the same stance.
    #[inline(never)]
    pub(super) fn rest_with_rates(&mut self, t: X, stance: usize) -> Result<(), ServiceError> {
        let going_on = self.stretch.take().filter(|stretch| stretch.stance == stance);
        let mut stretch = if let Some(stretch) = going_on {
            self.contents.copy_from_slice(self.at_first);
            self.supplied = stretch.supplied;
            self.lying.clone_from(&stretch.lying);
            stretch
        } else {
            self.at_first.copy_from_slice(self.contents);
            Stretch { stance, time: X::splat(0.0), supplied: self.supplied, lying: self.lying.clone() }
        };
        stretch.time += t;
        let (part, cooling) = (stretch.time / X::splat(f64::from(PARTS)), self.cooling());
        self.stretch = Some(stretch);
        let Some(fall) = self.next_fall() else { return Ok(()) };
        for _ in 0..PARTS {
            self.rest_for(part, stance, cooling, fall)?;
            self.settle_all(stance)?;
        }
        Ok(())
    }

    /// Rates that are active act for a time: running, all of them; at rest, those that always act.
    #[inline]
    pub(super) fn act(&mut self, t: X, when: When) {
        if !self.rates.is_empty() {
            self.act_on_rates(t, when);
        }
    }

    #[inline(never)]
    fn act_on_rates(&mut self, t: X, when: When) {
        let base = self.oil.density(X::splat(15.0));
        for i in 0..self.rates.len() {
            let rate = self.rates[i];
            if when == When::Always && rate.when == When::Running {
                continue;
            }
            let volume = self.amount(rate.rate) * t;
            match rate.kind {
                RateKind::Leak => self.move_mass(SUMP, self.program.places.floor, volume * base),
                RateKind::Use => self.move_mass(SUMP, self.program.places.burnt, volume * base),
                RateKind::Ingress(component) => {
                    let mass = volume * self.oil.foreign_density(component, 15.0);
                    let entering = Contents::of(component, mass, self.contents[SUMP].temperature_c);
                    self.supply(SUMP, entering);
                }
            }
        }
    }
}
