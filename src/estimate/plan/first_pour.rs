//! The first pour: the largest whole number of jug steps that keeps the risk by itself.

use super::super::run::{Collect, run_draws};
use super::service::{Aim, Service};
use crate::Error;
use crate::service::{Bend, Misfit, Recorder, Side, View};

/// No more than this is tried; the range of a pour.
const MOST_POURED_M3: f64 = 1.0;

impl Service<'_> {
    /// The largest number of steps within the risk and within the room the sump has; none where nothing is to be poured.
    pub(super) fn first_pour(&self) -> Result<u32, Error> {
        if self.aim == Aim::Withdraw {
            return Ok(0);
        }
        let guess = self.guess()?;
        // Out from the guess, in ever longer strides, to a step within the risk and one beyond; nothing is always within.
        let (mut within, mut beyond, mut stride) = (guess, guess + 1, 1);
        if guess == 0 || self.acceptable(guess)? {
            while self.acceptable(beyond)? {
                within = beyond;
                (beyond, stride) = (beyond + stride, 2 * stride);
            }
        } else {
            (within, beyond) = (guess - 1, guess);
            while within > 0 && !self.acceptable(within)? {
                beyond = within;
                (within, stride) = (within.saturating_sub(stride), 2 * stride);
            }
        }
        while beyond - within > 1 {
            let middle = u32::midpoint(within, beyond);
            if self.acceptable(middle)? {
                within = middle;
            } else {
                beyond = middle;
            }
        }
        Ok(within)
    }

    /// Where to begin: the steps that the draws of a service without a pour leave room for, but for the accepted share.
    fn guess(&self) -> Result<u32, Error> {
        let jug_step = self.options.jug_step;
        let mut steps: Vec<f64> =
            self.joint_unpoured()?.cases.iter().map(|c| c.room / (c.added.max(1e-6) * jug_step)).collect();
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a share of a count
        let allowed = (self.options.risk_over_max * steps.len() as f64) as usize;
        let at = allowed.min(steps.len() - 1);
        let most = *steps.select_nth_unstable_by(at, f64::total_cmp).1;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // held between nothing and the most poured
        let guess = most.clamp(0.0, MOST_POURED_M3 / jug_step) as u32;
        Ok(guess)
    }

    fn acceptable(&self, steps: u32) -> Result<bool, Error> {
        // No sump holds so much; a pour of more would be refused as out of range.
        if self.volume(steps) > MOST_POURED_M3 {
            return Ok(false);
        }
        match self.risk(steps) {
            Ok(risk) => Ok(risk <= self.options.risk_over_max),
            Err(Error::Service(e)) if e.is_beyond_ullage() => Ok(false),
            Err(e) => Err(e),
        }
    }

    /// Probability of ending over MAX with a pour of `steps`, over all draws.
    fn risk(&self, steps: u32) -> Result<f64, Error> {
        let program = self.options.predict.compile(self.circuit, &self.events(steps))?;
        let count: OverMax = run_draws(&program, &self.options.predict, &|_, _| OverMax::default())?;
        Ok(count.over as f64 / self.options.predict.draws as f64)
    }
}

/// Counts the draws that end over MAX.
#[derive(Default)]
struct OverMax {
    over: usize,
}

impl<X: Side> Recorder<X> for OverMax {
    fn hears_rows(&self) -> bool {
        false
    }

    fn end(&mut self, view: &View<'_, X>) {
        let over = view.are_over_max(view.drained_back());
        self.over += over.as_ref().iter().filter(|over| **over).count();
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        Bend::Bend
    }
}

impl Collect for OverMax {
    fn join(&mut self, next: Self) {
        self.over += next.over;
    }
}
