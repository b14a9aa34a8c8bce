//! A number with its band.

/// A quantity as draws describe it: middle, standard uncertainty and a coverage interval.
#[derive(Debug, Clone, Copy)]
pub struct Band {
    /// Median of the draws.
    pub median: f64,
    /// Mean of the draws.
    pub mean: f64,
    /// Standard deviation of the draws (standard uncertainty, JCGM 101, 7.6).
    pub standard_uncertainty: f64,
    /// Lower end of the probabilistically symmetric coverage interval (JCGM 101, 7.7).
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl PartialEq for Band {
    /// The same numbers; what has no mean, because some draws are infinite, equals itself.
    fn eq(&self, other: &Self) -> bool {
        let numbers = |b: &Self| [b.median, b.mean, b.standard_uncertainty, b.low, b.high];
        numbers(self).iter().zip(numbers(other)).all(|(a, b)| *a == b || (a.is_nan() && b.is_nan()))
    }
}

impl Band {
    /// The band of draws, which are put in order. Infinite draws make mean and uncertainty infinite or NaN, never the median.
    pub(super) fn of(draws: &mut [f64], coverage: f64) -> Self {
        draws.sort_by(f64::total_cmp);
        let count = draws.len() as f64;
        let mean = draws.iter().sum::<f64>() / count;
        let variance = draws.iter().map(|d| (d - mean).powi(2)).sum::<f64>() / (count - 1.0).max(1.0);
        let at = |p: f64| quantile(draws, p);
        let tail = 0.5 * (1.0 - coverage);
        Self { median: at(0.5), mean, standard_uncertainty: variance.sqrt(), low: at(tail), high: at(1.0 - tail) }
    }

    /// The band of draws that may heap up at their least and greatest value. A heap that holds more than its tail is held whole
    /// whatever is left out, so that the other end leaves out all of it.
    pub(super) fn heaped(draws: &mut [f64], coverage: f64) -> Self {
        let band = Self::of(draws, coverage);
        let (Some(least), Some(greatest)) = (draws.first().copied(), draws.last().copied()) else { return band };
        let ends = (band.low == least, band.high == greatest);
        match ends {
            (true, false) => Self { high: quantile(draws, coverage).max(band.median), ..band },
            (false, true) => Self { low: quantile(draws, 1.0 - coverage).min(band.median), ..band },
            _ => band,
        }
    }

    /// The same in another unit.
    pub(crate) fn times(self, factor: f64) -> Self {
        let (a, b) = (self.low * factor, self.high * factor);
        Self {
            median: self.median * factor,
            mean: self.mean * factor,
            standard_uncertainty: self.standard_uncertainty * factor.abs(),
            low: a.min(b),
            high: a.max(b),
        }
    }
}

/// Quantile of ordered draws, straight between them (definition 7 of Hyndman and Fan 1996).
pub(super) fn quantile(ordered: &[f64], p: f64) -> f64 {
    let place = p * (ordered.len() - 1) as f64;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // within the list
    let below = (place.floor() as usize).min(ordered.len() - 1);
    let above = (below + 1).min(ordered.len() - 1);
    let part = place - below as f64;
    if part == 0.0 || ordered[below] == ordered[above] {
        return ordered[below];
    }
    ordered[below] + part * (ordered[above] - ordered[below])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `numpy.quantile` of numpy 2.4.6 (its default method is definition 7).
    #[test]
    fn quantiles_as_numpy() {
        let x = [1.0, 2.0, 4.0, 8.0];
        assert_eq!((quantile(&x, 0.0), quantile(&x, 0.5), quantile(&x, 1.0)), (1.0, 3.0, 8.0));
        assert!((quantile(&x, 0.9) - 6.8).abs() < 1e-15);
    }

    /// A fifth never comes: an interval of 95 % from 5 % on, by counting.
    #[test]
    fn a_heap_is_held_whole() {
        let mut draws: Vec<f64> = (0..100).map(|k| if k < 80 { f64::from(k) } else { f64::INFINITY }).collect();
        let band = Band::heaped(&mut draws, 0.95);
        assert!(band.high == f64::INFINITY && (band.low - 0.05 * 99.0).abs() < 1e-9);
        let mut even: Vec<f64> = (0..101).map(f64::from).collect();
        assert_eq!(Band::heaped(&mut even, 0.95), Band::of(&mut even.clone(), 0.95));
    }

    #[test]
    fn infinite_draws_leave_the_median() {
        let band = Band::of(&mut [f64::INFINITY, 3.0, 1.0, 2.0, f64::INFINITY], 0.5);
        assert_eq!((band.median, band.low, band.high), (3.0, 2.0, f64::INFINITY));
    }
}
