//! Everything that can be wrong with what is to be learnt from.

use serde::Serialize;

use crate::error::Coded;

/// What is wrong with the data of a study, or with what is asked of its result.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
#[non_exhaustive]
pub enum LearnError {
    /// Two columns that go in pairs differ in length.
    #[error("{first} has {first_length} entries and {second} {second_length}; they go in pairs")]
    LengthsDiffer {
        /// Name of one column.
        first: String,
        /// Its length.
        first_length: usize,
        /// Name of the other.
        second: String,
        /// Its length.
        second_length: usize,
    },
    /// Too little to learn from.
    #[error("there are {found} {what}; at least {needed} are needed")]
    TooFew {
        /// What there is too little of.
        what: String,
        /// How many there are.
        found: usize,
        /// How many are needed.
        needed: usize,
    },
    /// More than can be handled.
    #[error("there are {found} {what}; at most {most} are accepted")]
    TooMany {
        /// What there is too much of.
        what: String,
        /// How many there are.
        found: usize,
        /// How many are accepted.
        most: usize,
    },
    /// A column that must not fall does.
    #[error("{column}[{row}] = {value} lies below the entry before it, {previous}; put the readings in order")]
    NotInOrder {
        /// Name of the column.
        column: String,
        /// Index of the entry.
        row: usize,
        /// The entry.
        value: f64,
        /// The entry before it.
        previous: f64,
    },
    /// Readings that are all at one place.
    #[error("all readings are at {over}; a rate needs use between them")]
    NoUse {
        /// Where they are.
        over: f64,
    },
    /// The readings do not rise with what was poured.
    #[error(
        "the readings do not rise with what was poured: from {first_mm:.1} mm to {last_mm:.1} mm while {added_l:.3} L went in \
         (standard deviation of a reading: {scatter_mm:.2} mm); check units and order, or pour more"
    )]
    NotRising {
        /// First reading, mm.
        first_mm: f64,
        /// Last reading, mm.
        last_mm: f64,
        /// Poured between the two, L.
        added_l: f64,
        /// Standard deviation of a reading, mm.
        scatter_mm: f64,
    },
    /// A mark that the pours tell nothing about.
    #[error(
        "{mark} = {value_mm} mm lies outside what the pours reach, {low_mm:.1} to {high_mm:.1} mm (the readings and a quarter \
         of their range on either side)"
    )]
    MarkOutsidePours {
        /// `min_mm` or `max_mm`.
        mark: String,
        /// Its nominal value, mm.
        value_mm: f64,
        /// Lowest accepted, mm.
        low_mm: f64,
        /// Highest accepted, mm.
        high_mm: f64,
    },
    /// Marks that are not MIN below MAX, or only one of them.
    #[error("{reason}; give min_mm and max_mm both or neither, min_mm below max_mm")]
    Marks {
        /// What is wrong.
        reason: String,
    },
    /// More came out than was in.
    #[error(
        "{drained_l:.3} L came out of a circuit that held {held_l:.3} L (standard uncertainty of the difference {u_l:.3} L); check \
         held_l, the tare and the density"
    )]
    MoreThanHeld {
        /// Drained and taken off with the filter, L.
        drained_l: f64,
        /// Held before, L.
        held_l: f64,
        /// Standard uncertainty of the difference, L.
        u_l: f64,
    },
    /// A question that needs the marks.
    #[error("{question} needs min_mm and max_mm, and none were given")]
    NoMarks {
        /// What was asked.
        question: String,
    },
    /// A reading that the blade of the circuit does not have.
    #[error(
        "the readings reach from {low_mm:.1} to {high_mm:.1} mm and the blade of {circuit} is {length_mm:.1} mm long; this is \
         another stick"
    )]
    NotThisStick {
        /// Name of the circuit.
        circuit: String,
        /// Lowest reading, mm.
        low_mm: f64,
        /// Highest reading, mm.
        high_mm: f64,
        /// Length of the blade, mm.
        length_mm: f64,
    },
}

impl Coded for LearnError {
    const DOMAIN: &'static str = "learn";
}
