//! Everything that can be wrong with a service.

use serde::Serialize;

use crate::error::Coded;

/// What is wrong with a service: orders that cannot be carried out. `event` counts from 0.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
#[non_exhaustive]
pub enum ServiceError {
    /// An event that cannot happen in the state the service has reached.
    #[error("events[{event}] {action}: {reason}")]
    Impossible {
        /// Index of the event.
        event: usize,
        /// Name of the event.
        action: String,
        /// Why it cannot be done and what would have to come first.
        reason: String,
    },
    /// A name that the circuit does not know.
    #[error("events[{event}]: no {kind} `{name}`; the circuit has: {accepted}")]
    UnknownName {
        /// Index of the event.
        event: usize,
        /// `plug`, `instrument` or `stick`.
        kind: String,
        /// The name given.
        name: String,
        /// The names that exist.
        accepted: String,
    },
    /// The circuit has several plugs and the event does not say which.
    #[error("events[{event}]: the circuit has several plugs, say which: {accepted}")]
    WhichPlug {
        /// Index of the event.
        event: usize,
        /// The names that exist.
        accepted: String,
    },
    /// A pour that does not fit into the sump.
    #[error("events[{event}] Pour: {poured_l:.3} L is {excess_l:.3} L more than the ullage of {ullage_l:.3} L")]
    PourBeyondUllage {
        /// Index of the event.
        event: usize,
        /// Volume that enters, in L.
        poured_l: f64,
        /// Room left above the liquid, in L.
        ullage_l: f64,
        /// What does not fit, in L.
        excess_l: f64,
    },
    /// More is withdrawn than the sump holds.
    #[error("events[{event}] Withdraw: {asked_l:.3} L is more than the {held_l:.3} L in the sump")]
    WithdrawBeyondHeld {
        /// Index of the event.
        event: usize,
        /// Volume asked for, in L.
        asked_l: f64,
        /// Volume held, in L.
        held_l: f64,
    },
    /// A filter is primed with more than it holds.
    #[error("events[{event}]: the filter is primed with {primed_l:.3} L, but filter.net_volume is {net_volume_l:.3} L")]
    PrimedBeyondFilter {
        /// Index of the event.
        event: usize,
        /// Volume primed, in L.
        primed_l: f64,
        /// What the filter holds, in L.
        net_volume_l: f64,
    },
    /// An event quantity outside its accepted range.
    #[error("events[{event}].{field} = {value} {unit} is outside {low} to {high} {unit}")]
    OutOfRange {
        /// Index of the event.
        event: usize,
        /// Name of the field.
        field: String,
        /// The value, in `unit`.
        value: f64,
        /// Lowest accepted value.
        low: f64,
        /// Highest accepted value.
        high: f64,
        /// Unit of the three numbers.
        unit: String,
    },
    /// Liquid that lies apart in the sump cannot be followed.
    #[error("sump: {message}")]
    Pools {
        /// What the geometry says.
        message: String,
    },
    /// A state that cannot be the start of a service.
    #[error("start: {message}")]
    WrongStart {
        /// What is wrong with it.
        message: String,
    },
    /// A row that the timeline does not have.
    #[error("no row {row}; the timeline has rows 0 to {}", rows.saturating_sub(1))]
    NoSuchRow {
        /// The row asked for.
        row: usize,
        /// Number of rows.
        rows: usize,
    },
    /// A label asked for that no reading or row carries, or that several carry.
    #[error("no single reading labelled `{label}`; labels of readings: {accepted}")]
    UnknownLabel {
        /// The label asked for.
        label: String,
        /// The labels that exist.
        accepted: String,
    },
}

impl ServiceError {
    /// Whether a pour did not fit into the sump.
    pub fn is_beyond_ullage(&self) -> bool {
        matches!(self, Self::PourBeyondUllage { .. })
    }
}

impl Coded for ServiceError {
    const DOMAIN: &'static str = "service";
}
