//! One polynomial of degree four in each of volume, nose-up and right-down.

use super::vector::Vec3;

/// Nodes along an axis: a polynomial of degree four passes through five.
pub(crate) const NODES: usize = 5;
const PLANE: usize = NODES * NODES;

/// A polynomial on a box, in coordinates that run from -1 to 1 across it.
///
/// `terms[k][NODES * i + j]` multiplies `v^k p^i r^j`; so does `by_attitude[NODES * i + j][k]`, which lies as the sums over one
/// attitude run.
#[derive(Debug, Clone)]
pub(crate) struct Patch {
    middle: Vec3,
    per_half_width: Vec3,
    terms: [[f64; PLANE]; NODES],
    by_attitude: [[f64; NODES]; PLANE],
}

/// Heights at the nodes of a box: `[volume][NODES * nose_up + right_down]`, equally spaced along each axis.
pub(crate) type Samples = [[f64; PLANE]; NODES];

impl Patch {
    /// The polynomial through the samples (tensor product of Lagrange's interpolation at -1, -1/2, 0, 1/2, 1).
    pub(crate) fn through(samples: &Samples, low: Vec3, high: Vec3) -> Self {
        let mut terms = [[0.0; PLANE]; NODES];
        for (v, plane) in samples.iter().enumerate() {
            let powers = to_powers(&to_powers(plane, 1, NODES), NODES, 1);
            for (k, row) in POWERS.iter().enumerate() {
                for (term, value) in terms[k].iter_mut().zip(powers) {
                    *term += row[v] * value;
                }
            }
        }
        let middle = [0, 1, 2].map(|i| f64::midpoint(low[i], high[i]));
        // An axis of no width keeps its constant term only.
        let per_half_width = [0, 1, 2].map(|i| if high[i] > low[i] { 2.0 / (high[i] - low[i]) } else { 0.0 });
        let by_attitude = std::array::from_fn(|at| terms.map(|plane| plane[at]));
        Self { middle, per_half_width, terms, by_attitude }
    }

    /// Value at a point of the box.
    #[inline]
    pub(crate) fn value(&self, at: Vec3) -> f64 {
        let [v, p, r] = [0, 1, 2].map(|i| (at[i] - self.middle[i]) * self.per_half_width[i]);
        let mut plane = self.terms[NODES - 1];
        for terms in self.terms[..NODES - 1].iter().rev() {
            for (sum, term) in plane.iter_mut().zip(terms) {
                *sum = *sum * v + term;
            }
        }
        let mut column = [plane[4], plane[9], plane[14], plane[19], plane[24]];
        for j in (0..NODES - 1).rev() {
            for (i, sum) in column.iter_mut().enumerate() {
                *sum = *sum * r + plane[NODES * i + j];
            }
        }
        column.iter().rev().fold(0.0, |sum, term| sum * p + term)
    }

    /// What is left of it at one attitude (degrees): a polynomial in volume, on `range` of volumes.
    pub(crate) fn at_attitude(&self, nose_up: f64, right_down: f64, range: [f64; 2]) -> Line {
        let [p, r] = [(1, nose_up), (2, right_down)].map(|(i, x)| (x - self.middle[i]) * self.per_half_width[i]);
        let mut terms = [0.0; NODES];
        for row in self.by_attitude.chunks_exact(NODES).rev() {
            let mut along = [0.0; NODES];
            for column in row.iter().rev() {
                along.iter_mut().zip(column).for_each(|(sum, term)| *sum = *sum * r + term);
            }
            terms.iter_mut().zip(along).for_each(|(sum, term)| *sum = *sum * p + term);
        }
        Line { range, middle: self.middle[0], per_half_width: self.per_half_width[0], terms }
    }

    /// How much the highest powers along nose-up and along right-down can matter: the measure of what a halving of
    /// that axis would gain.
    pub(crate) fn tails(&self) -> [f64; 2] {
        let mut tails = [0.0; 2];
        for plane in &self.terms {
            for i in 0..NODES {
                tails[0] += plane[NODES * (NODES - 1) + i].abs();
                tails[1] += plane[NODES * i + NODES - 1].abs();
            }
        }
        tails
    }
}

/// A polynomial in volume that holds on a range of volumes at one attitude.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Line {
    range: [f64; 2],
    middle: f64,
    per_half_width: f64,
    terms: [f64; NODES],
}

impl Line {
    /// Whether it holds for a volume; its upper end belongs to the next one.
    #[inline]
    pub(crate) fn holds(&self, volume: f64) -> bool {
        self.range[0] <= volume && volume < self.range[1]
    }

    /// Its value and its derivative by volume.
    #[inline]
    pub(crate) fn value_and_slope(&self, volume: f64) -> [f64; 2] {
        let v = (volume - self.middle) * self.per_half_width;
        let (mut value, mut slope) = (0.0, 0.0);
        for term in self.terms.iter().rev() {
            slope = slope * v + value;
            value = value * v + term;
        }
        [value, slope * self.per_half_width]
    }
}

/// Turns values at the five nodes into coefficients of powers, along one direction of a plane.
fn to_powers(plane: &[f64; PLANE], step: usize, line: usize) -> [f64; PLANE] {
    let mut out = [0.0; PLANE];
    for l in 0..NODES {
        for (k, row) in POWERS.iter().enumerate() {
            out[line * l + step * k] = (0..NODES).map(|n| row[n] * plane[line * l + step * n]).sum();
        }
    }
    out
}

/// `POWERS[k][n]`: coefficient of `x^k` in the Lagrange polynomial of node `n` (nodes -1, -1/2, 0, 1/2, 1); exact.
const POWERS: [[f64; NODES]; NODES] = [
    [0.0, 0.0, 1.0, 0.0, 0.0],
    [1.0 / 6.0, -4.0 / 3.0, 0.0, 4.0 / 3.0, -1.0 / 6.0],
    [-1.0 / 6.0, 8.0 / 3.0, -5.0, 8.0 / 3.0, -1.0 / 6.0],
    [-2.0 / 3.0, 4.0 / 3.0, 0.0, -4.0 / 3.0, 2.0 / 3.0],
    [2.0 / 3.0, -8.0 / 3.0, 4.0, -8.0 / 3.0, 2.0 / 3.0],
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reproduces_any_polynomial_of_degree_four() {
        let (low, high) = ([1.0, -2.0, 3.0], [1.5, 4.0, 3.5]);
        let f = |[v, p, r]: Vec3| (v - 1.1).powi(4) * p.powi(3) + p.powi(4) * r - 2.0 * v * p * r.powi(4) + 7.0;
        let node = |axis: usize, n: usize| low[axis] + (high[axis] - low[axis]) * n as f64 / 4.0;
        let mut samples = [[0.0; PLANE]; NODES];
        for (v, plane) in samples.iter_mut().enumerate() {
            for (i, value) in plane.iter_mut().enumerate() {
                *value = f([node(0, v), node(1, i / NODES), node(2, i % NODES)]);
            }
        }
        let patch = Patch::through(&samples, low, high);
        for at in [[1.0, -2.0, 3.0], [1.5, 4.0, 3.5], [1.23, 0.7, 3.3], [1.41, -1.7, 3.01]] {
            approx::assert_relative_eq!(patch.value(at), f(at), max_relative = 1e-12);
            let line = patch.at_attitude(at[1], at[2], [low[0], high[0]]);
            let [value, slope] = line.value_and_slope(at[0]);
            approx::assert_relative_eq!(value, f(at), max_relative = 1e-12);
            let by_volume = 4.0 * (at[0] - 1.1).powi(3) * at[1].powi(3) - 2.0 * at[1] * at[2].powi(4);
            approx::assert_relative_eq!(slope, by_volume, max_relative = 1e-10, epsilon = 1e-10);
            assert!(line.holds(low[0]) && !line.holds(high[0]));
        }
    }

    #[test]
    fn an_axis_of_no_width_is_constant() {
        let patch = Patch::through(&[[2.0; PLANE]; NODES], [0.0, 1.0, 2.0], [1.0, 1.0, 2.0]);
        assert_eq!(patch.value([0.3, 1.0, 2.0]), 2.0);
    }
}
