//! The table of a plan: for every reading of the stick what to add or to take out.

/// What to do on a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Advice {
    /// Add so much.
    Add,
    /// Take so much out.
    TakeOut,
    /// Leave it as it is.
    Leave,
    /// Such a low reading is not to be expected: add nothing before it is known why.
    FindOut,
}

/// One row of the table: readings that ask for the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PolicyRow {
    /// Lowest reading of the row (m); none where it has no lower end.
    pub from: Option<f64>,
    /// Highest reading of the row (m); none where it has no upper end.
    pub to: Option<f64>,
    /// What to do.
    pub advice: Advice,
    /// Whole jug steps to add, negative to take out.
    pub steps: i32,
    /// Volume to add, as the instrument says (m3), negative to take out.
    pub change: f64,
    /// Share of the draws that read so.
    pub probability: f64,
    /// Share of those that end over MAX when this is done; 0 where there are none.
    pub over_max: f64,
    /// Their mean fraction of the span at the end, by volume: 0 at MIN, 1 at MAX; none where there are no draws.
    pub fraction: Option<f64>,
}

/// What to do on the last reading of a plan.
///
/// Readings are taken to the nearest multiple of the reading step and gathered in bins; in every bin the joint draws of
/// noisy reading and state say how likely each correction ends over MAX. Among all tables whose correction does not rise
/// with the reading, and that nowhere make it likelier than not to end over MAX, that is sought whose mean final level is
/// highest for a given share over MAX: the highest sum of `mean level − λ · share over MAX` over the bins, by dynamic
/// programming, at the smallest `λ` that keeps the accepted risk. (A bound `λ` on a sum is Everett's use of a Lagrange
/// multiplier, 1963: no other table with the same share over MAX stands higher.) Every second draw shapes the
/// tables; the others, which had no part in it, say their share over MAX, which must stay two of its standard errors below the
/// accepted risk (or half the risk, where that is more). Probabilities of the rows are those of the others, too.
///
/// The lowest thousandth of the readings is not to be expected: there nothing is added. The highest thousandth is treated as
/// the readings just below it.
#[derive(Debug, Clone, PartialEq)]
pub struct Policy {
    pub(super) rows: Vec<PolicyRow>,
    /// Highest bin of every row but the last.
    pub(super) ends: Vec<i64>,
    pub(super) bin: f64,
    pub(super) over_max: f64,
    pub(super) bound: f64,
}

impl Policy {
    /// The rows, from low readings to high ones.
    pub fn rows(&self) -> &[PolicyRow] {
        &self.rows
    }

    /// What the stick is read to (m).
    pub fn reading_step_m(&self) -> f64 {
        self.bin
    }

    /// Share of the draws that end over MAX when the table is followed, by draws that had no part in making it.
    pub fn probability_over_max(&self) -> f64 {
        self.over_max
    }

    /// What that share had to keep.
    pub fn bound(&self) -> f64 {
        self.bound
    }

    /// The row of a reading (m).
    pub fn row(&self, reading: f64) -> &PolicyRow {
        &self.rows[self.index(reading)]
    }

    pub(crate) fn index(&self, reading: f64) -> usize {
        let bin = bin_of(reading, self.bin);
        self.ends.iter().position(|end| bin <= *end).unwrap_or(self.ends.len())
    }
}

/// The bin that a reading falls in: the nearest multiple.
pub(super) fn bin_of(reading: f64, width: f64) -> i64 {
    #[allow(clippy::cast_possible_truncation)] // a blade is no 1e15 steps long
    let bin = (reading / width).round() as i64;
    bin
}
