//! The polynomial of degree four in each of volume, nose-up and right-down that a patch is first fitted as, and the
//! same with lower degrees.

/// Nodes along an axis: a polynomial of degree four passes through five.
pub(crate) const NODES: usize = 5;
pub(crate) const PLANE: usize = NODES * NODES;

/// A polynomial in coordinates that run from -1 to 1: `terms[k][NODES * i + j]` multiplies `v^k p^i r^j`. Along each axis
/// only the first powers are there, as many as `powers` says; the others are zero.
#[derive(Debug, Clone)]
pub(crate) struct Tensor {
    terms: [[f64; PLANE]; NODES],
    powers: Powers,
}

/// How many powers there are, the constant among them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Powers {
    /// Along volume, nose-up and right-down.
    pub(crate) sizes: [usize; 3],
    /// Along right-down beside a power of nose-up other than the constant.
    pub(crate) beside: usize,
}

impl Powers {
    /// As many along right-down beside every power of nose-up.
    pub(crate) const fn all(sizes: [usize; 3]) -> Self {
        Self { sizes, beside: sizes[2] }
    }

    /// Over upright walls: straight in the volume, and in the angles what *up* has, `sin p`, `cos p sin r` and
    /// `cos p cos r`, to the third order without the cubes. `p r^2` is not in it.
    pub(crate) const UPRIGHT: Self = Self { sizes: [2, 3, 3], beside: 2 };

    /// How many terms that makes.
    pub(crate) fn terms(self) -> usize {
        self.rows().map(|row| row * self.sizes[0]).sum()
    }

    /// How many powers of right-down there are beside each of nose-up.
    pub(crate) fn rows(self) -> impl DoubleEndedIterator<Item = usize> {
        let [_, nose_up, right_down] = self.sizes;
        (0..nose_up).map(move |i| if i == 0 { right_down } else { self.beside })
    }
}

/// Heights at the nodes of a box: `[volume][NODES * nose_up + right_down]`, equally spaced along each axis.
pub(crate) type Samples = [[f64; PLANE]; NODES];

impl Tensor {
    /// The polynomial through the samples (tensor product of Lagrange's interpolation at -1, -1/2, 0, 1/2, 1).
    pub(crate) fn through(samples: &Samples) -> Self {
        let mut terms = [[0.0; PLANE]; NODES];
        for (v, plane) in samples.iter().enumerate() {
            let powers = to_powers(&to_powers(plane, 1, NODES), NODES, 1);
            for (k, row) in POWERS.iter().enumerate() {
                for (term, value) in terms[k].iter_mut().zip(powers) {
                    *term += row[v] * value;
                }
            }
        }
        Self { terms, powers: Powers::all([NODES; 3]) }
    }

    /// Which powers it has.
    pub(crate) fn powers(&self) -> Powers {
        self.powers
    }

    /// The factor of `v^k p^i r^j`.
    pub(crate) fn term(&self, [k, i, j]: [usize; 3]) -> f64 {
        self.terms[k][NODES * i + j]
    }

    /// The same without the highest power along an axis, which is replaced by the polynomial of lower degree that comes
    /// closest to it in the largest error between -1 and 1 (Chebyshev: `x^4` by `x^2 - 1/8`, and so on). `None` where only
    /// the constant is left, or not all powers along right-down beside every one of nose-up.
    pub(crate) fn lowered(&self, axis: usize) -> Option<Self> {
        let mut sizes = self.powers.sizes;
        let top = sizes[axis].checked_sub(1).filter(|top| *top > 0 && self.powers == Powers::all(sizes))?;
        sizes[axis] = top;
        let mut lower = Self { powers: Powers::all(sizes), ..self.clone() };
        let stride = [PLANE, NODES, 1][axis];
        let terms = lower.terms.as_flattened_mut();
        for at in (0..NODES * PLANE).filter(|at| at / stride % NODES == top) {
            let highest = std::mem::take(&mut terms[at]);
            for (power, share) in NEAREST[top - 1].iter().enumerate().take(top) {
                terms[at - stride * (top - power)] += share * highest;
            }
        }
        Some(lower)
    }

    /// The same with [`Powers::UPRIGHT`], where these are all that is too much: without `p r^2` and `p^2 r^2`, which are replaced
    /// by `p / 2` and `p^2 / 2 + r^2 / 2 - 1/4`. What that errs by are products of Chebyshev polynomials, `p (r^2 - 1/2)` and
    /// `(p^2 - 1/2) (r^2 - 1/2)`.
    pub(crate) fn upright(&self) -> Option<Self> {
        let powers = Powers::UPRIGHT;
        let mut upright = (self.powers == Powers::all(powers.sizes)).then(|| Self { powers, ..self.clone() })?;
        for plane in &mut upright.terms {
            let [straight, square] = [1, 2].map(|i| std::mem::take(&mut plane[NODES * i + 2]));
            plane[NODES] += straight / 2.0;
            plane[2 * NODES] += square / 2.0;
            plane[2] += square / 2.0;
            plane[0] -= square / 4.0;
        }
        Some(upright)
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

/// `NEAREST[n - 1][k]`: coefficient of `x^k` in `x^n - T_n(x) / 2^(n - 1)`, the nearest to `x^n` of lower degree, with the
/// Chebyshev polynomials `T_1 = x`, `T_2 = 2 x^2 - 1`, `T_3 = 4 x^3 - 3 x`, `T_4 = 8 x^4 - 8 x^2 + 1`; exact.
const NEAREST: [[f64; NODES - 1]; NODES - 1] =
    [[0.0, 0.0, 0.0, 0.0], [0.5, 0.0, 0.0, 0.0], [0.0, 0.75, 0.0, 0.0], [-0.125, 0.0, 1.0, 0.0]];

#[cfg(test)]
#[allow(clippy::cast_possible_wrap, clippy::cast_possible_truncation)] // small powers
mod tests {
    use super::*;

    /// Value at a point, term by term.
    fn value(tensor: &Tensor, [v, p, r]: [f64; 3]) -> f64 {
        let powers = (0..NODES * PLANE).map(|at| [at / PLANE, at / NODES % NODES, at % NODES]);
        powers.map(|n| tensor.term(n) * v.powi(n[0] as i32) * p.powi(n[1] as i32) * r.powi(n[2] as i32)).sum()
    }

    fn samples(f: impl Fn(f64, f64, f64) -> f64) -> Samples {
        let node = |n: usize| n as f64 / 2.0 - 1.0;
        std::array::from_fn(|v| std::array::from_fn(|i| f(node(v), node(i / NODES), node(i % NODES))))
    }

    #[test]
    fn lowering_errs_by_a_chebyshev_polynomial() {
        // x^n less its nearest polynomial of lower degree is T_n / 2^(n - 1), with T_n(cos t) = cos(n t) (DLMF 18.5.1).
        for axis in 0..3 {
            for n in 1..NODES {
                let power =
                    |v: f64, p: f64, r: f64| 3.0 * [v, p, r][axis].powi(n as i32) * (1.0 + 0.5 * [p, r, v][axis]);
                let mut tensor = Tensor::through(&samples(power));
                while tensor.powers().sizes[axis] > n {
                    tensor = tensor.lowered(axis).unwrap();
                }
                assert_eq!(tensor.powers().sizes[axis], n);
                for i in 0..=20 {
                    let x = f64::from(i) / 10.0 - 1.0;
                    let at: [f64; 3] = std::array::from_fn(|k| if k == axis { x } else { 0.3 });
                    let off = power(at[0], at[1], at[2]) - value(&tensor, at);
                    let want = 3.0 * 1.15 * (n as f64 * x.acos()).cos() / 2f64.powi(n as i32 - 1);
                    assert!((off - want).abs() < 1e-13, "axis {axis}, x^{n} at {x}: {off}, not {want}");
                }
            }
        }
        let mut constant = Tensor::through(&samples(|v, _, _| v));
        for _ in 1..NODES {
            constant = constant.lowered(0).unwrap();
        }
        assert!(constant.lowered(0).is_none());
    }
    #[test]
    fn upright_errs_by_products_of_chebyshev_polynomials() {
        let height =
            |v: f64, p: f64, r: f64| 1.0 + 2.0 * v + p - r * p + 3.0 * p * p * r + p * r * r + v * p * p * r * r;
        let mut tensor = Tensor::through(&samples(height));
        assert!(tensor.upright().is_none());
        for (axis, size) in Powers::UPRIGHT.sizes.into_iter().enumerate() {
            while tensor.powers().sizes[axis] > size {
                tensor = tensor.lowered(axis).unwrap();
            }
        }
        let upright = tensor.upright().unwrap();
        assert_eq!((upright.powers(), upright.powers().terms()), (Powers::UPRIGHT, 14));
        assert!((0..3).all(|axis| upright.lowered(axis).is_none()));
        for (v, p, r) in [(0.3, 0.8, -0.7), (-1.0, 1.0, 1.0), (0.5, -0.2, 0.9)] {
            // T_1 and T_2 (DLMF 18.5.1), as above.
            let [t1, t2] = [1.0, 2.0].map(|n| move |x: f64| (n * x.acos()).cos());
            let want = t1(p) * t2(r) / 2.0 + v * t2(p) * t2(r) / 4.0;
            assert!((height(v, p, r) - value(&upright, [v, p, r]) - want).abs() < 1e-13);
        }
    }
}
