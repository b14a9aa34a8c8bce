//! The pours and readings of a calibration, checked.

use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use crate::Error;
use crate::infer::learn::LearnError;
use crate::numeric::check;

/// Most readings of one calibration.
const MOST: usize = 500;
/// Fewest different volumes that show a slope and that it bends.
const FEWEST: usize = 3;

/// Step pours: what had been poured, by its label, when each reading was taken.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Pours {
    /// Poured by then, of all that was poured (0 to 1).
    pub x: Vec<f64>,
    /// Readings (m).
    pub readings: Vec<f64>,
    /// All that was poured (m3).
    pub total: f64,
    /// How many pours there had been by then.
    pub count: Vec<f64>,
}

impl Pours {
    pub(super) fn new(added: &[Volume], reading: &[Length]) -> Result<Self, Error> {
        if added.len() != reading.len() {
            return Err(LearnError::LengthsDiffer {
                first: "added_l".into(),
                first_length: added.len(),
                second: "reading_mm".into(),
                second_length: reading.len(),
            }
            .into());
        }
        if reading.len() > MOST {
            return Err(LearnError::TooMany { what: "readings".into(), found: reading.len(), most: MOST }.into());
        }
        let mut poured = vec![0.0; added.len()];
        let mut readings = vec![0.0; added.len()];
        for i in 0..added.len() {
            let litres = added[i].get::<cubic_meter>() * 1e3;
            poured[i] = check::in_range(&format!("added_l[{i}]"), litres, 0.0, 1e6, "L")? / 1e3;
            let mm = reading[i].get::<meter>() * 1e3;
            readings[i] = check::in_range(&format!("reading_mm[{i}]"), mm, 0.0, 20_000.0, "mm")? / 1e3;
        }
        // What stood before the first reading shows nothing: volumes count from there.
        if let Some(first) = poured.first_mut() {
            *first = 0.0;
        }
        let different = poured.iter().skip(1).filter(|p| **p > 0.0).count() + 1;
        if different < FEWEST || poured.is_empty() {
            let found = if poured.is_empty() { 0 } else { different };
            let what = "different volumes with a reading (the first reading and those after a pour)".into();
            return Err(LearnError::TooFew { what, found, needed: FEWEST }.into());
        }
        Ok(Self::scaled(&poured, readings))
    }

    fn scaled(poured: &[f64], readings: Vec<f64>) -> Self {
        let total: f64 = poured.iter().sum();
        let running = |of: &dyn Fn(f64) -> f64| -> Vec<f64> {
            let mut sum = 0.0;
            let mut next = |p: &f64| {
                sum += of(*p);
                sum
            };
            poured.iter().map(&mut next).collect()
        };
        let (x, count) = (running(&|p| p / total), running(&|p| if p > 0.0 { 1.0 } else { 0.0 }));
        Self { x, readings, total, count }
    }

    /// Lowest and highest reading (m).
    pub(super) fn range(&self) -> (f64, f64) {
        let low = self.readings.iter().copied().fold(f64::INFINITY, f64::min);
        (low, self.readings.iter().copied().fold(f64::NEG_INFINITY, f64::max))
    }

    /// Slope of the straight line through the readings over `x` (m).
    pub(super) fn slope(&self) -> f64 {
        let n = self.x.len() as f64;
        let (mx, my) = (self.x.iter().sum::<f64>() / n, self.readings.iter().sum::<f64>() / n);
        let over: f64 = self.x.iter().zip(&self.readings).map(|(x, y)| (x - mx) * (y - my)).sum();
        over / self.x.iter().map(|x| (x - mx).powi(2)).sum::<f64>()
    }
}
