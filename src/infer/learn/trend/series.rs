//! Readings and additions in the order of use, checked.

use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use crate::Error;
use crate::infer::learn::LearnError;
use crate::numeric::check;

/// Most readings, and most additions.
const MOST: usize = 500;
/// Fewest readings that show a rate and whether it changes.
const FEWEST: usize = 3;

/// Readings over use.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Series {
    /// Use at each reading, in the caller's unit.
    pub over: Vec<f64>,
    /// The same as a share of the record, 0 to 1.
    pub t: Vec<f64>,
    /// Readings (m).
    pub readings: Vec<f64>,
    /// Added before each reading, by the jug (m3).
    pub added: Vec<f64>,
    /// Additions in order: share of the record, volume (m3).
    pub additions: Vec<(f64, f64)>,
}

impl Series {
    pub(super) fn new(over: &[f64], reading: &[Length], added: &[(f64, Volume)]) -> Result<Self, Error> {
        if over.len() != reading.len() {
            return Err(LearnError::LengthsDiffer {
                first: "over".into(),
                first_length: over.len(),
                second: "reading_mm".into(),
                second_length: reading.len(),
            }
            .into());
        }
        for (what, found) in [("readings", over.len()), ("additions", added.len())] {
            if found > MOST {
                return Err(LearnError::TooMany { what: what.into(), found, most: MOST }.into());
            }
        }
        if over.len() < FEWEST {
            return Err(LearnError::TooFew { what: "readings".into(), found: over.len(), needed: FEWEST }.into());
        }
        check::all_finite("over", over)?;
        if let Some(k) = over.windows(2).position(|w| w[1] < w[0]) {
            let (value, previous) = (over[k + 1], over[k]);
            return Err(LearnError::NotInOrder { column: "over".into(), row: k + 1, value, previous }.into());
        }
        let mut readings = Vec::with_capacity(reading.len());
        for (i, r) in reading.iter().enumerate() {
            let mm = r.get::<meter>() * 1e3;
            readings.push(check::in_range(&format!("reading_mm[{i}]"), mm, 0.0, 20_000.0, "mm")? / 1e3);
        }
        Self::timed(over, readings, added)
    }

    fn timed(over: &[f64], readings: Vec<f64>, added: &[(f64, Volume)]) -> Result<Self, Error> {
        let (first, last) = (over[0], over[over.len() - 1]);
        if last <= first {
            return Err(LearnError::NoUse { over: first }.into());
        }
        let share = |x: f64| (x - first) / (last - first);
        let mut additions = Vec::with_capacity(added.len());
        for (i, (x, v)) in added.iter().enumerate() {
            check::in_range(&format!("added_over[{i}]"), *x, first, last, "")?;
            let litres = v.get::<cubic_meter>() * 1e3;
            let v = check::in_range(&format!("added_l[{i}]"), litres, -1e4, 1e4, "L")? / 1e3;
            additions.push((share(*x), v));
        }
        additions.sort_by(|a, b| a.0.total_cmp(&b.0));
        let t: Vec<f64> = over.iter().map(|x| share(*x)).collect();
        let series = Self { over: over.to_vec(), t: Vec::new(), readings, added: Vec::new(), additions };
        let added = t.iter().map(|t| series.added_by(*t)).collect();
        Ok(Self { t, added, ..series })
    }

    /// Added strictly before a share of the record (m3 by the jug).
    pub(super) fn added_by(&self, t: f64) -> f64 {
        self.additions.iter().filter(|(at, _)| *at < t).map(|(_, v)| v).sum()
    }

    /// First use and length of the record, in the caller's unit.
    pub(super) fn record(&self) -> (f64, f64) {
        (self.over[0], self.over[self.over.len() - 1] - self.over[0])
    }
}
