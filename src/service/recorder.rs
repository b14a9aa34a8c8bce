//! Who listens to a program as it runs, and what becomes of amounts that do not fit.

use super::ServiceError;
use super::apart::Side;
use super::reading::Taken;
use super::view::View;

/// Listens to a program as it runs. Every method has a default that ignores what it hears.
///
/// One draw is heard at a time (`f64`), or several side by side; of these, what was heard counts only when the end is.
pub trait Recorder<X: Side = f64> {
    /// The start, before any event.
    fn start(&mut self, _view: &View<'_, X>) {}

    /// Whether it wants to hear [`Recorder::row`]; asked once, before the start. One that does not saves the views of all events.
    fn hears_rows(&self) -> bool {
        true
    }

    /// The state after an event, where [`Recorder::hears_rows`].
    fn row(&mut self, _event: usize, _view: &View<'_, X>) {}

    /// The `nth` reading of the service.
    fn reading(&mut self, _nth: usize, _taken: &Taken<'_, X>) {}

    /// The end of the service.
    fn end(&mut self, _view: &View<'_, X>) {}

    /// An amount that does not fit. [`Bend::Bend`] lets the machine bend it (the excess goes to the floor, a withdrawal or
    /// a prime is cut to what there is); [`Bend::Refuse`] stops the service with the error.
    fn misfit(&mut self, misfit: Misfit) -> Bend;
}

/// What to do with an amount that does not fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bend {
    /// Carry out what can be.
    Bend,
    /// Stop with the error.
    Refuse,
}

/// An amount that does not fit (volumes in m3).
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Misfit {
    /// A pour beyond the room left in the sump.
    PourBeyondUllage {
        /// Index of the event.
        event: usize,
        /// Volume that enters.
        poured: f64,
        /// Room left above the liquid.
        ullage: f64,
        /// What does not fit.
        excess: f64,
    },
    /// A withdrawal of more than the sump holds.
    WithdrawBeyondHeld {
        /// Index of the event.
        event: usize,
        /// Volume asked for.
        asked: f64,
        /// Volume held.
        held: f64,
    },
    /// A filter primed with more than it holds.
    PrimedBeyondFilter {
        /// Index of the event.
        event: usize,
        /// Volume primed.
        primed: f64,
        /// What the filter holds.
        net_volume: f64,
    },
}

impl From<Misfit> for ServiceError {
    fn from(misfit: Misfit) -> Self {
        match misfit {
            Misfit::PourBeyondUllage { event, poured, ullage, excess } => {
                Self::PourBeyondUllage { event, poured_l: poured * 1e3, ullage_l: ullage * 1e3, excess_l: excess * 1e3 }
            }
            Misfit::WithdrawBeyondHeld { event, asked, held } => {
                Self::WithdrawBeyondHeld { event, asked_l: asked * 1e3, held_l: held * 1e3 }
            }
            Misfit::PrimedBeyondFilter { event, primed, net_volume } => {
                Self::PrimedBeyondFilter { event, primed_l: primed * 1e3, net_volume_l: net_volume * 1e3 }
            }
        }
    }
}

/// Asks the recorder about a misfit.
pub(super) fn ask<X: Side, R: Recorder<X> + ?Sized>(recorder: &mut R, misfit: Misfit) -> Result<(), ServiceError> {
    match recorder.misfit(misfit) {
        Bend::Bend => Ok(()),
        Bend::Refuse => Err(misfit.into()),
    }
}
