//! A service as a sequence of events: state, program, simulation, reading.
//!
//! The semantics of every event, with its equations, stand in `docs/model.md`.

mod amounts;
mod apart;
mod assess;
mod clock;
mod document;
mod error;
mod event;
mod inputs;
mod leaning;
mod ledger;
mod lying;
mod machine;
mod oil;
mod old_oil;
mod phrase;
mod program;
mod reading;
mod recorder;
mod residue;
mod returning;
mod sheet;
mod simulate;
mod start;
mod state;
mod table;
#[cfg(test)]
mod tests;
mod undone;
mod view;

pub(crate) use apart::Parting;
pub use apart::Side;
pub use assess::Band;
pub(crate) use assess::{Seen, Watch, dilution_limit};
pub use document::Service;
#[cfg(test)]
pub(crate) use document::ServiceFile;
pub use error::ServiceError;
pub use event::{Action, Amount, Event, Face, Foreign, HowRead, When};
pub(crate) use leaning::Leaning;
pub use ledger::{Balance, Entry, Ledger};
pub use lying::PoolRow;
pub use old_oil::{OldOil, changes_below, old_oil};
pub use program::{Input, InputView, Program};
pub(crate) use program::{ReadingPoint, Touched, is_pour};
pub use reading::{Reading, Taken, Wetting};
pub use recorder::{Bend, Misfit, Recorder};
pub use residue::{NominalResidue, Part, Residue, Stays};
pub use simulate::{Row, TakenReading, Timeline, simulate, simulate_from};
pub(crate) use simulate::{find_reading, is_read};
pub use start::Scratch;
pub use state::{ApartPool, COMPONENTS, Contents, State};
pub(crate) use undone::Undone;
pub use view::View;
