//! Small dense linear algebra: symmetric positive definite systems through their triangular root.

use crate::numeric::cholesky;

/// The lower triangular root of a symmetric positive definite matrix, row by row.
pub(super) struct Root {
    lower: Vec<f64>,
    size: usize,
}

impl Root {
    /// None unless the matrix, scaled to ones on its diagonal, is positive definite.
    pub(super) fn of(matrix: &[f64], size: usize) -> Option<Self> {
        let scale: Vec<f64> = (0..size).map(|i| matrix[i * size + i].sqrt()).collect();
        if !scale.iter().all(|s| *s > 0.0 && s.is_finite()) {
            return None;
        }
        let scaled: Vec<f64> = (0..size * size).map(|k| matrix[k] / (scale[k / size] * scale[k % size])).collect();
        let mut lower = cholesky::root(&scaled, size)?;
        lower.iter_mut().enumerate().for_each(|(k, l)| *l *= scale[k / size]);
        Some(Self { lower, size })
    }

    /// Of a diagonal matrix of positive entries.
    pub(super) fn diagonal(entries: impl IntoIterator<Item = f64>) -> Self {
        let roots: Vec<f64> = entries.into_iter().map(f64::sqrt).collect();
        let size = roots.len();
        let mut lower = vec![0.0; size * size];
        roots.iter().enumerate().for_each(|(i, r)| lower[i * size + i] = *r);
        Self { lower, size }
    }

    /// Solves `L x = b` in place.
    pub(super) fn forward(&self, b: &mut [f64]) {
        for i in 0..self.size {
            let row = &self.lower[i * self.size..=i * self.size + i];
            let known: f64 = row[..i].iter().zip(&b[..i]).map(|(l, x)| l * x).sum();
            b[i] = (b[i] - known) / row[i];
        }
    }

    /// Solves `Lᵀ x = b` in place.
    pub(super) fn backward(&self, b: &mut [f64]) {
        for i in (0..self.size).rev() {
            let known: f64 = (i + 1..self.size).map(|j| self.lower[j * self.size + i] * b[j]).sum();
            b[i] = (b[i] - known) / self.lower[i * self.size + i];
        }
    }

    /// Solves `L Lᵀ x = b`.
    pub(super) fn solve(&self, b: &[f64]) -> Vec<f64> {
        let mut x = b.to_vec();
        self.forward(&mut x);
        self.backward(&mut x);
        x
    }

    /// Logarithm of the determinant.
    pub(super) fn ln_determinant(&self) -> f64 {
        2.0 * (0..self.size).map(|i| self.lower[i * self.size + i].ln()).sum::<f64>()
    }
}

/// Sum of products.
pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}
