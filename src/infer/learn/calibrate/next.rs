//! The next pour, or reading without one, that would teach most.

use super::result::{Calibration, Draw};
use crate::infer::learn::Band;
use crate::infer::learn::draws::Numbers;

/// Amounts that are looked at.
const AMOUNTS: u32 = 25;
/// Readings that may come, for each amount.
const READINGS: usize = 100;
/// Nothing is proposed that would stand above MAX with more than this probability.
const OVER_MAX: f64 = 0.025;

/// One more reading, after one more pour, and what it is expected to leave of the uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NextPour {
    /// How much is poured (m3 by label); nothing: the reading is taken again.
    pub added: f64,
    /// The reading that is expected (m).
    pub reading: Band,
    /// Expected standard uncertainty of the target afterwards, over that now.
    pub left: f64,
}

impl Calibration {
    /// What may come next, the one that teaches most first: the last level read again, or one more pour and its reading.
    ///
    /// The target is the span volume where the marks are given, else the mean volume per length of blade between the lowest and the highest reading. Its
    /// expected variance after one more reading `y` is `E_y[var(T | y)]`: readings `y` are made from draws of the posterior, and every `var(T | y)` comes from
    /// the draws weighted by the likelihood of `y` (preposterior analysis: Raiffa and Schlaifer, Applied Statistical Decision Theory, 1961).
    /// The jug's own error is in the target and in no reading, so no pour with the same jug removes it. One more pour brings its own error
    /// (`pour_scatter`) into its reading, a level read again does not: with a poor jug that may teach more. Amounts up to a quarter of
    /// what was poured; where MAX is given, none that would stand above it with more than 2.5 % probability: never pour over MAX to learn.
    /// Reading again is always offered.
    pub fn next_pours(&self) -> Vec<NextPour> {
        let target = self.targets();
        let beyond = super::curve::BEYOND;
        let mut found: Vec<NextPour> = (0..=AMOUNTS)
            .map(|k| beyond * f64::from(k) / f64::from(AMOUNTS))
            .filter_map(|x| self.next_pour(x, &target))
            .collect();
        found.sort_by(|a, b| a.left.total_cmp(&b.left).then(a.added.total_cmp(&b.added)));
        found
    }

    fn targets(&self) -> Vec<f64> {
        let (low, high) = self.range();
        let of = |d: &Draw| {
            let [a, b] = d.marks.unwrap_or([low, high]);
            self.volume(d, b) - self.volume(d, a)
        };
        self.draws.iter().map(of).collect()
    }

    /// Variance of the target after one more reading, on average over the readings that may come.
    fn expected_variance(&self, truth: &[f64], target: &[f64], poured: bool) -> f64 {
        let mut numbers = Numbers::new(self.options().seed, "calibrate.next");
        let count = self.draws.len();
        let scatter = |d: &Draw| if poured { d.scatter.hypot(d.pour) } else { d.scatter };
        let one = |k: usize| {
            let from = k * count / READINGS;
            let y = truth[from] + scatter(&self.draws[from]) * numbers.normal();
            let mut sums = [0.0; 3];
            for ((draw, r), t) in self.draws.iter().zip(truth).zip(target) {
                let scatter = scatter(draw);
                let z = (y - r) / scatter;
                let weight = (-0.5 * z * z).exp() / scatter;
                let t = t - target[from];
                sums = [sums[0] + weight, sums[1] + weight * t, sums[2] + weight * t * t];
            }
            let mean = sums[1] / sums[0];
            sums[2] / sums[0] - mean * mean
        };
        (0..READINGS).map(one).sum::<f64>() / READINGS as f64
    }

    fn next_pour(&self, x: f64, target: &[f64]) -> Option<NextPour> {
        let place = self.place(1.0 + x);
        let at = |d: &Draw| d.path.reading[place] + d.off;
        let truth: Vec<f64> = self.draws.iter().map(at).collect();
        let max = self.options().marks.as_ref().map(|m| m[1].nominal());
        if let Some(max) = max.filter(|_| x > 0.0) {
            let over = truth.iter().filter(|r| **r > max).count() as f64;
            if over > OVER_MAX * truth.len() as f64 {
                return None;
            }
        }
        let left = (self.expected_variance(&truth, target, x > 0.0) / variance(target)).sqrt().min(1.0);
        let reading = self.band(at);
        Some(NextPour { added: self.added(x), reading, left })
    }
}

/// Variance of a column.
fn variance(column: &[f64]) -> f64 {
    let mean = column.iter().sum::<f64>() / column.len() as f64;
    column.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / column.len() as f64
}
