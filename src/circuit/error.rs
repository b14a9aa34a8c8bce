//! Everything that can be wrong with a circuit or its file.

use serde::Serialize;

use crate::error::Coded;
use crate::numeric::text::text_number;

/// What is wrong with a circuit or its file.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
#[non_exhaustive]
pub enum CircuitError {
    /// The text is not TOML or JSON.
    #[error("line {line}, column {column}: not valid {format}: {message}")]
    Syntax {
        /// `TOML` or `JSON`.
        format: String,
        /// Line, counted from 1.
        line: usize,
        /// Column, counted from 1.
        column: usize,
        /// What the parser expected.
        message: String,
    },
    /// A key that the format does not know.
    #[error("{}unknown key `{key}`{}; accepted here: {accepted}", at_line(*line), in_path(path, nearest))]
    UnknownKey {
        /// Path of the table it stands in.
        path: String,
        /// The key as written.
        key: String,
        /// Line, counted from 1; 0 where the text has none.
        line: usize,
        /// The known key it most resembles; empty where none comes near.
        nearest: String,
        /// The keys accepted in its place.
        accepted: String,
    },
    /// A value that does not fit its key.
    #[error("{}{}{message}", at_line(*line), of_path(path))]
    BadValue {
        /// Path of the value; empty for the file as a whole.
        path: String,
        /// Line, counted from 1; 0 where the text has none.
        line: usize,
        /// What is wrong and what is accepted.
        message: String,
    },
    /// A file of a format this version does not read.
    #[error("{}format = {found} is not known; this version reads format = {expected}", at_line(*line))]
    UnknownFormat {
        /// The format the file states.
        found: u32,
        /// The format read here.
        expected: u32,
        /// Line, counted from 1; 0 where the text has none.
        line: usize,
    },
    /// A file the circuit names, or the circuit file itself, cannot be read.
    #[error("cannot read {file}: {message}")]
    FileUnreadable {
        /// The file.
        file: String,
        /// Why not.
        message: String,
    },
    /// MAX does not stand above MIN.
    #[error("{stick}: MAX at {max_mm} mm must stand above MIN at {min_mm} mm, both from the tip along the blade")]
    MarksInWrongOrder {
        /// Table of the stick, such as `dipstick`.
        stick: String,
        /// MIN, in mm from the tip.
        min_mm: f64,
        /// MAX, in mm from the tip.
        max_mm: f64,
    },
    /// A mark does not lie on the blade.
    #[error("dipstick: {mark} at {mark_mm} mm is not on the blade, which is {blade_mm} mm long")]
    MarkOffBlade {
        /// `MIN` or `MAX`.
        mark: String,
        /// The mark, in mm from the tip.
        mark_mm: f64,
        /// Length of the path, in mm.
        blade_mm: f64,
    },
    /// The stick's path cannot be used.
    #[error("dipstick.path_mm: {message}")]
    BadPath {
        /// What is wrong.
        message: String,
    },
    /// A mark of the stick, or its tip, does not stand in the sump.
    #[error(
        "dipstick: the stick misses the sump: {mark} stands at ({}, {}, {}) mm, outside the liquid space \
         x {}..{}, y {}..{}, z {}..{} mm",
        at_mm[0], at_mm[1], at_mm[2], low_mm[0], high_mm[0], low_mm[1], high_mm[1], low_mm[2], high_mm[2]
    )]
    StickMissesSump {
        /// `MIN`, `MAX` or `the tip`.
        mark: String,
        /// Where it stands, in mm.
        at_mm: [f64; 3],
        /// Lower corner of the sump's bounding box, in mm.
        low_mm: [f64; 3],
        /// Upper corner of the sump's bounding box, in mm.
        high_mm: [f64; 3],
    },
    /// A plug, the tip of a suction tube or the pump's pickup is not at the sump.
    #[error(
        "{what} at ({}, {}, {}) mm misses the sump, whose liquid space is x {}..{}, y {}..{}, z {}..{} mm",
        at_mm[0], at_mm[1], at_mm[2], low_mm[0], high_mm[0], low_mm[1], high_mm[1], low_mm[2], high_mm[2]
    )]
    OutletMissesSump {
        /// `plug`, `tip` or `pickup`.
        what: String,
        /// Where it is, in mm.
        at_mm: [f64; 3],
        /// Lower corner of the sump's bounding box, in mm.
        low_mm: [f64; 3],
        /// Upper corner of the sump's bounding box, in mm.
        high_mm: [f64; 3],
    },
    /// A quantity is larger than what must contain it.
    #[error("{what} = {} L is more than {container} = {} L", text_number(*value_l), text_number(*limit_l))]
    TooMuch {
        /// Path of the quantity, or paths of several with ` + ` between them.
        what: String,
        /// Its nominal value, in L.
        value_l: f64,
        /// What it must fit in.
        container: String,
        /// The limit, in L.
        limit_l: f64,
    },
    /// A path that names no input of the circuit.
    #[error("no input `{path}` in circuit `{circuit}`{}", did_you_mean(nearest))]
    UnknownPath {
        /// The path asked for.
        path: String,
        /// Name of the circuit.
        circuit: String,
        /// The path it most resembles; empty where none comes near.
        nearest: String,
    },
    /// A demo circuit that does not exist.
    #[error("no demo circuit `{name}`; there are: {accepted}")]
    UnknownDemo {
        /// The name asked for.
        name: String,
        /// The names that exist.
        accepted: String,
    },
    /// A volume that does not meet the blade at an attitude.
    #[error(
        "{what}: {volume_l:.3} L stands {side} of the blade at {nose_up_deg} deg nose-up, {right_down_deg} deg right-down; a longer \
         dipstick.path_mm is wanted"
    )]
    OffBlade {
        /// `MIN` or `MAX`.
        what: String,
        /// The volume, in L.
        volume_l: f64,
        /// `below the tip` or `above the top`.
        side: String,
        /// Nose-up angle, in degrees.
        nose_up_deg: f64,
        /// Right-down angle, in degrees.
        right_down_deg: f64,
    },
    /// A part that a question needs and the circuit does not have.
    #[error("circuit `{circuit}` has no [{part}]; state it in the circuit")]
    PartMissing {
        /// Table of the part in the circuit's file.
        part: String,
        /// Name of the circuit.
        circuit: String,
    },
    /// A kind of store that does not exist.
    #[error("no kind of store `{name}`; there are: {accepted}")]
    UnknownStoreKind {
        /// The kind asked for.
        name: String,
        /// The kinds that exist.
        accepted: String,
    },
    /// The book figures contradict each other.
    #[error("book: {message}")]
    BookContradicts {
        /// Which figures, with their values.
        message: String,
    },
}

impl Coded for CircuitError {
    const DOMAIN: &'static str = "circuit";
}

fn at_line(line: usize) -> String {
    if line == 0 { String::new() } else { format!("line {line}: ") }
}

fn of_path(path: &str) -> String {
    if path.is_empty() { String::new() } else { format!("{path}: ") }
}

fn did_you_mean(nearest: &str) -> String {
    if nearest.is_empty() { String::new() } else { format!("; did you mean `{nearest}`?") }
}

fn in_path(path: &str, nearest: &str) -> String {
    let place = if path.is_empty() { String::new() } else { format!(" in {path}") };
    format!("{place}{}", did_you_mean(nearest))
}
