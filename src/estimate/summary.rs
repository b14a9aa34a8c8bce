//! What a set of draws says: mean, standard uncertainty, coverage interval (JCGM 101:2008, clause 7).

use std::sync::{Arc, OnceLock};

use super::sort;

/// Draws of one quantity. They are sorted when an interval is first asked for. Cheap to clone.
#[derive(Debug, Clone)]
pub struct Draws(Arc<Kept>);

#[derive(Debug)]
struct Kept {
    values: Vec<f64>,
    sorted: OnceLock<Vec<f64>>,
}

impl PartialEq for Draws {
    fn eq(&self, other: &Self) -> bool {
        self.0.values == other.0.values
    }
}

impl Draws {
    pub(crate) fn new(values: Vec<f64>) -> Self {
        Self(Arc::new(Kept { values, sorted: OnceLock::new() }))
    }

    /// As [`Draws::new`], sorted at once, looking between blocks whether to stop; `None` when it was told to.
    pub(super) fn unless(stopped: &dyn Fn() -> bool, values: Vec<f64>) -> Option<Self> {
        let draws = Self::new(values);
        draws.sort_unless(stopped).then_some(draws)
    }

    /// Sorts them, looking between blocks whether to stop; false when it was told to.
    pub(crate) fn sort_unless(&self, stopped: &dyn Fn() -> bool) -> bool {
        if self.is_sorted() {
            return true;
        }
        let sorted = sort::sorted(&self.0.values, stopped);
        // Where another thread was faster its copy stands, which is the same.
        sorted.map(|sorted| self.0.sorted.set(sorted)).is_some()
    }

    /// Whether an interval can be told at once.
    pub(crate) fn is_sorted(&self) -> bool {
        self.0.sorted.get().is_some()
    }

    fn sorted(&self) -> &[f64] {
        self.0.sorted.get_or_init(|| {
            let mut sorted = self.0.values.clone();
            sorted.sort_unstable_by(f64::total_cmp);
            sorted
        })
    }

    /// The draws in order.
    pub fn values(&self) -> &[f64] {
        &self.0.values
    }

    /// Mean, summed in a fixed order (JCGM 101, 7.6).
    pub fn mean(&self) -> f64 {
        let values = self.values();
        values.iter().sum::<f64>() / values.len() as f64
    }

    /// Standard deviation of the draws, `sqrt(Σ (y - mean)² / (M - 1))` (JCGM 101, 7.6).
    pub fn standard_uncertainty(&self) -> f64 {
        let mean = self.mean();
        let n = self.values().len();
        if n < 2 {
            return 0.0;
        }
        (self.values().iter().map(|y| (y - mean).powi(2)).sum::<f64>() / (n - 1) as f64).sqrt()
    }

    /// Probabilistically symmetric coverage interval: the `(1 ± p)/2` quantiles of the draws, interpolated between order
    /// statistics (JCGM 101, 7.7). `p` strictly between 0 and 1.
    pub fn interval(&self, p: f64) -> (f64, f64) {
        (self.quantile((1.0 - p) / 2.0), self.quantile(f64::midpoint(1.0, p)))
    }

    /// Shortest coverage interval: of all runs of `q = floor(p M + 1/2)` steps between sorted draws the shortest, the first of
    /// equals (JCGM 101, 7.7.4). `p` strictly between 0 and 1.
    pub fn shortest_interval(&self, p: f64) -> (f64, f64) {
        let sorted = self.sorted();
        let last = sorted.len() - 1;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // between 0 and the number of draws
        let steps = ((p * sorted.len() as f64 + 0.5) as usize).clamp(1.min(last), last);
        let width = |first: usize| sorted[first + steps] - sorted[first];
        let first = (0..=last - steps).fold(0, |best, first| if width(first) < width(best) { first } else { best });
        (sorted[first], sorted[first + steps])
    }

    /// Quantile by linear interpolation between order statistics at `(n - 1) q` (Hyndman and Fan 1996, type 7).
    pub fn quantile(&self, q: f64) -> f64 {
        let sorted = self.sorted();
        let at = q.clamp(0.0, 1.0) * (sorted.len() - 1) as f64;
        let low = at.floor();
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // within 0..len by the clamp
        let i = low as usize;
        let next = sorted[(i + 1).min(sorted.len() - 1)];
        sorted[i] + (at - low) * (next - sorted[i])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand on 1..=5; numpy.percentile's default method gives the same.
    #[test]
    fn summary_of_five() {
        let d = Draws::new(vec![5.0, 1.0, 3.0, 2.0, 4.0]);
        assert_eq!(d.mean(), 3.0);
        assert!((d.standard_uncertainty() - 2.5_f64.sqrt()).abs() < 1e-15);
        assert_eq!(d.quantile(0.5), 3.0);
        assert!((d.quantile(0.1) - 1.4).abs() < 1e-12);
        assert_eq!(d.interval(0.5), (2.0, 4.0));
    }

    /// By hand, after JCGM 101, 7.7.4: of 10 draws, `q = 5` steps for 50 %; from 0 to 5 they span 5, from 3 to 8 only 1.7.
    #[test]
    fn shortest_of_ten() {
        let d = Draws::new(vec![0.0, 1.0, 2.0, 3.1, 3.2, 3.3, 4.0, 4.5, 4.8, 9.0]);
        assert_eq!(d.shortest_interval(0.5), (3.1, 4.8));
        assert_eq!(d.shortest_interval(0.999), (0.0, 9.0));
        assert_eq!(Draws::new(vec![7.0]).shortest_interval(0.5), (7.0, 7.0));
    }
}
