//! A distribution made ready for many normal scores: what does not change from one to the next is worked out once.

use super::Distribution;
use crate::numeric::normal;
use crate::units::truncated::{ReadyTruncation, Truncation};

/// A distribution made ready for many normal scores.
#[derive(Debug, Clone)]
pub(crate) struct Ready(Law);

#[derive(Debug, Clone)]
enum Law {
    Truncated(ReadyTruncation),
    Other(Distribution),
}

impl Ready {
    pub(crate) fn of(distribution: &Distribution) -> Self {
        Self(match *distribution {
            Distribution::TruncatedNormal { mean, sd, low, high } => {
                Law::Truncated(Truncation::new(mean, sd, low, high).ready())
            }
            _ => Law::Other(distribution.clone()),
        })
    }

    /// The bits of [`Distribution::at_score`].
    pub(crate) fn at_score(&self, z: f64) -> f64 {
        match &self.0 {
            Law::Truncated(truncation) => truncation.quantile(normal::cdf(z)),
            Law::Other(distribution) => distribution.at_score(z),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bits_of_the_distribution() {
        let all = [
            Distribution::normal("x", 1.0, 0.3),
            Distribution::log_normal("x", 1.0, 0.3),
            Distribution::rectangular("x", 1.0, 2.0),
            Distribution::truncated_normal("x", 0.35, 0.05, 0.3, f64::INFINITY),
            Distribution::truncated_normal("x", 0.0, 1.0, 2.0, 3.0),
            Distribution::truncated_normal("x", 0.0, 1.0, f64::NEG_INFINITY, -1.0),
        ];
        for d in all.map(Result::unwrap) {
            let ready = Ready::of(&d);
            for z in (-90..=90).map(|k| f64::from(k) * 0.1) {
                assert_eq!(ready.at_score(z).to_bits(), d.at_score(z).to_bits(), "{d:?} at {z}");
            }
        }
    }
}
