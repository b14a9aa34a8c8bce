//! Compensated summation.

/// A running sum that carries its own rounding error (Neumaier 1974, ZAMM 54:39, the improved Kahan-Babuska
/// algorithm): the result is as good as if summed in twice the working precision and then rounded once.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Sum {
    high: f64,
    low: f64,
}

impl Sum {
    /// Adds one term.
    #[inline]
    pub fn add(&mut self, term: f64) {
        let total = self.high + term;
        // Branch-free two-sum (Knuth): the exact rounding error of the addition.
        let back = total - self.high;
        self.low += (self.high - (total - back)) + (term - back);
        self.high = total;
    }

    /// Adds another compensated sum.
    #[inline]
    pub fn merge(&mut self, other: Self) {
        self.add(other.high);
        self.low += other.low;
    }

    /// The sum so far.
    #[inline]
    pub fn value(self) -> f64 {
        self.high + self.low
    }
}

impl FromIterator<f64> for Sum {
    fn from_iter<I: IntoIterator<Item = f64>>(terms: I) -> Self {
        let mut sum = Self::default();
        for term in terms {
            sum.add(term);
        }
        sum
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_terms_survive_a_large_one() {
        // Neumaier's own counter-example to Kahan's sum: 1 + 1e100 + 1 - 1e100 = 2.
        let sum: Sum = [1.0, 1e100, 1.0, -1e100].into_iter().collect();
        assert_eq!(sum.value(), 2.0);
        let mut two = sum;
        two.merge(sum);
        assert_eq!(two.value(), 4.0);
    }
}
