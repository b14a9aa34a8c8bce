//! A service as a sequence of events: state, program, simulation, reading.
//!
//! The semantics of every event, with its equations, stand in `docs/model.md`.

mod error;
mod event;
mod inputs;
mod ledger;
mod machine;
mod oil;
mod program;
mod reading;
mod simulate;
mod state;

pub use error::ServiceError;
pub use event::{Action, Amount, Event};
pub use ledger::{Entry, Ledger};
pub use machine::{Bend, Misfit, Recorder, Scratch, View};
pub use program::{Input, InputView, Program};
pub use reading::{Reading, Wetting};
pub use simulate::{Row, TakenReading, Timeline, simulate};
pub(crate) use simulate::{find_reading, is_read};
pub use state::{COMPONENTS, Contents, State};
