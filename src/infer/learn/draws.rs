//! Uniform and normal numbers in order, from a stream of their own.

use crate::numeric::{normal, streams};

/// Numbers drawn at once.
const BLOCK: usize = 4096;

/// The numbers of the stream `name` of a seed, one after the other.
pub(super) struct Numbers {
    seed: u64,
    name: &'static str,
    block: Vec<f64>,
    used: usize,
    next: u64,
}

impl Numbers {
    pub(super) fn new(seed: u64, name: &'static str) -> Self {
        Self { seed, name, block: vec![0.0; BLOCK], used: BLOCK, next: 0 }
    }

    /// Strictly between 0 and 1.
    pub(super) fn uniform(&mut self) -> f64 {
        if self.used == BLOCK {
            streams::fill(self.seed, self.name, self.next, &mut self.block);
            self.next += BLOCK as u64;
            self.used = 0;
        }
        self.used += 1;
        self.block[self.used - 1]
    }

    /// Standard normal.
    pub(super) fn normal(&mut self) -> f64 {
        normal::quantile(self.uniform())
    }
}

/// The entry of cumulative weights (the last one their sum) that a uniform number falls in.
pub(super) fn pick(cumulative: &[f64], u: f64) -> usize {
    let total = cumulative.last().copied().unwrap_or(0.0);
    cumulative.partition_point(|c| *c < u * total).min(cumulative.len().saturating_sub(1))
}

/// Cumulative weights, proportional to `exp` of the logarithms.
pub(super) fn cumulate(logarithms: &[f64]) -> Vec<f64> {
    let top = logarithms.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let mut sum = 0.0;
    logarithms
        .iter()
        .map(|l| {
            sum += (l - top).exp();
            sum
        })
        .collect()
}
