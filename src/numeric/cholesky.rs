//! The triangular root of a correlation matrix.

/// A pivot at or below this is taken as 0: the matrix is then singular to rounding.
const LEAST_PIVOT: f64 = 1e-12;

/// The lower triangular `L` with `L Lᵀ = R` of a symmetric matrix, both row by row; `None` unless it is positive definite.
///
/// ```
/// let root = fillmark::numeric::cholesky::root(&[1.0, 0.6, 0.6, 1.0], 2).unwrap();
/// assert_eq!(root, [1.0, 0.0, 0.6, 0.8]);
/// assert!(fillmark::numeric::cholesky::root(&[1.0, 1.0, 1.0, 1.0], 2).is_none());
/// ```
pub fn root(matrix: &[f64], size: usize) -> Option<Vec<f64>> {
    let mut lower = vec![0.0; size * size];
    for i in 0..size {
        for j in 0..=i {
            let known: f64 = (0..j).map(|k| lower[i * size + k] * lower[j * size + k]).sum();
            let rest = matrix[i * size + j] - known;
            if i > j {
                lower[i * size + j] = rest / lower[j * size + j];
            } else if rest > LEAST_PIVOT {
                lower[i * size + i] = rest.sqrt();
            } else {
                return None;
            }
        }
    }
    Some(lower)
}
