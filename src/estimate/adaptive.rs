//! Draws until the results are stable: the adaptive procedure of JCGM 101:2008, 7.9.4, judged at fixed batches.

use super::first_order::tolerance;
use super::summary::Draws;

/// Batches before the first judgement. The guide starts with two, whose scatter says too little.
pub(super) const FEWEST: usize = 8;

/// Rows of a batch: the smallest integer not below `100/(1 - p)`, at least 10 000 (7.9.4 b).
pub(super) fn batch_rows(coverage: f64) -> usize {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // at most 1e6 by the accepted range
    let least = (100.0 / (1.0 - coverage)).ceil() as usize;
    least.max(10_000)
}

/// What the batches of one result have given so far.
#[derive(Debug, Clone, Default)]
pub(super) struct Batches {
    rows: usize,
    /// Mean, standard uncertainty, lower and upper end of the coverage interval of each.
    summaries: Vec<[f64; 4]>,
}

impl Batches {
    /// Takes in the values of a batch.
    pub(super) fn push(&mut self, values: &[f64], coverage: f64) {
        let draws = Draws::new(values.to_vec());
        let (low, high) = draws.interval(coverage);
        self.rows = values.len();
        self.summaries.push([draws.mean(), draws.standard_uncertainty(), low, high]);
    }

    /// Whether twice the standard deviation of the average of each summary is below the tolerance (7.9.4 h, i).
    pub(super) fn settled(&self, digits: u32) -> bool {
        let allowed = tolerance(self.standard_uncertainty(), digits);
        (0..4).all(|k| 2.0 * self.standard_error(k) <= allowed)
    }

    /// Standard deviation of the average of a summary, `sqrt(Σ (x - mean)² / (h (h - 1)))` (7.9.4 g).
    pub(super) fn standard_error(&self, which: usize) -> f64 {
        let h = self.summaries.len() as f64;
        let mean = self.average(which);
        let squares: f64 = self.summaries.iter().map(|s| (s[which] - mean).powi(2)).sum();
        (squares / (h * (h - 1.0))).sqrt()
    }

    fn average(&self, which: usize) -> f64 {
        self.summaries.iter().map(|s| s[which]).sum::<f64>() / self.summaries.len() as f64
    }

    /// Standard deviation of all values of all batches.
    fn standard_uncertainty(&self) -> f64 {
        let (rows, mean) = (self.rows as f64, self.average(0));
        let squares: f64 =
            self.summaries.iter().map(|s| (rows - 1.0) * s[1] * s[1] + rows * (s[0] - mean).powi(2)).sum();
        (squares / (rows * self.summaries.len() as f64 - 1.0)).sqrt()
    }
}
