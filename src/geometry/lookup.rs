//! Finding the interval of a rising sequence that holds a value, in a few nanoseconds.

/// A table of equal buckets over a rising sequence: each remembers where in the sequence it starts, so that a search
/// only looks at the few elements of one bucket (and halves them where many crowd together).
#[derive(Debug, Clone)]
pub(crate) struct Lookup {
    low: f64,
    per_unit: f64,
    start: Vec<u32>,
}

impl Lookup {
    /// Indexes `values` (rising, at least two, first and last different) by about one bucket an element.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // positions below 2^31, bucket numbers are not negative
    pub(crate) fn new(values: &[f64]) -> Self {
        let buckets = values.len().clamp(2, 1 << 20);
        let (low, high) = (values[0], values[values.len() - 1]);
        let per_unit = buckets as f64 / (high - low);
        let mut start = vec![0; buckets + 1];
        let mut next = 0;
        for (i, v) in values.iter().enumerate() {
            let bucket = (((v - low) * per_unit) as usize).min(buckets - 1);
            while next <= bucket {
                start[next] = i as u32;
                next += 1;
            }
        }
        start[next..].fill(values.len() as u32);
        Self { low, per_unit, start }
    }

    /// The last interval `i` with `values[i] <= x`, at most `values.len() - 2`; `x` must not be below the first.
    #[inline]
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // saturates, then clamped
    pub(crate) fn interval(&self, values: &[f64], x: f64) -> usize {
        if values.len() == 2 {
            return 0;
        }
        let bucket = (((x - self.low) * self.per_unit) as usize).min(self.start.len() - 2);
        let (mut from, mut to) = (self.start[bucket] as usize, self.start[bucket + 1] as usize);
        while to - from > 8 {
            let half = from + (to - from) / 2;
            if values[half] <= x {
                from = half;
            } else {
                to = half;
            }
        }
        let passed = values[from..to].iter().map(|v| usize::from(*v <= x)).sum::<usize>();
        (from + passed).saturating_sub(1).min(values.len() - 2)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_what_a_linear_search_finds() {
        let mut values: Vec<f64> = (0..1000).map(|i| f64::from(i).powi(3) / 1e3).collect();
        values.extend((0..500).map(|i| 998_000.0 + f64::from(i) * 1e-7));
        values.sort_by(f64::total_cmp);
        let lookup = Lookup::new(&values);
        let probe = |x: f64| {
            let want = values.iter().rposition(|v| *v <= x).unwrap().min(values.len() - 2);
            assert_eq!(lookup.interval(&values, x), want, "x = {x}");
        };
        values.iter().for_each(|v| probe(*v));
        values.windows(2).for_each(|w| probe(w[0] + 0.37 * (w[1] - w[0])));
    }
}
