//! What is known of the scatter of one reading.

use crate::units::{Distribution, Length, Value};

/// Equally probable values that stand for an uncertain scatter.
const NODES: u32 = 15;

/// The scatter of one reading where nothing is said: lognormal, median 1 mm, standard deviation of its logarithm 0.4,
/// so that 95 % lie between 0.46 and 2.2 mm (judgement; common practice is 1 mm in dark oil and 2 mm in clear, no source).
pub fn reading_noise() -> Value<Length> {
    Distribution::log_normal("scatter", 1e-3, 0.4).map_or_else(|_| Value::constant(1e-3), Value::from_distribution)
}

/// Values of equal probability in place of a distribution; one for an exact value.
pub(super) fn nodes(scatter: &Value<Length>) -> Vec<f64> {
    if scatter.is_exact() {
        return vec![scatter.nominal()];
    }
    let count = f64::from(NODES);
    (0..NODES).map(|k| scatter.distribution().quantile((f64::from(k) + 0.5) / count)).collect()
}
