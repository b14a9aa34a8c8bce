//! One polynomial in volume, nose-up and right-down, of as many powers along each as it needs.

use super::tensor::{NODES, PLANE, Powers, Tensor};
use super::vector::Vec3;
use crate::numeric::lanes::{Eight, Lanes};

/// A polynomial in coordinates that are counted from the middle of a box.
///
/// Its terms, the factors of `v^k p^i r^j`, lie in the order of the sums: of the first power of nose-up those of the first of
/// right-down, one for every power of the volume, and so on; the rest of the array is unused. `sums` are the sums over them,
/// written out for these powers.
#[derive(Debug, Clone)]
pub(crate) struct Patch {
    /// Of the box: nose-up, right-down, volume. The angles are looked at side by side, and no angle waits for a volume.
    middle: Vec3,
    /// Half its width along each axis, likewise.
    reach: Vec3,
    sums: Sums,
    terms: Terms,
    powers: Powers,
}

/// In the order of the sums, on an address that two of them can be taken from at once.
#[derive(Debug, Clone)]
#[repr(align(64))]
struct Terms([f64; NODES * PLANE]);

/// Of the terms and a place, the sum. The place comes as three numbers, which stay in registers.
type Sum<X> = fn(&Terms, X, X, X) -> X;

/// Of the terms and an attitude's place, the factors of the powers of the volume.
type AtAttitude = fn(&Terms, f64, f64) -> [f64; NODES];

/// The sum at one place, and at eight side by side; what is left of it at one attitude.
#[derive(Debug, Clone, Copy)]
struct Sums {
    one: Sum<f64>,
    eight: Sum<Eight>,
    at_attitude: AtAttitude,
}

impl Patch {
    /// The polynomial of `tensor`, whose coordinates run from -1 to 1 across the box from `low` to `high`.
    pub(crate) fn new(tensor: &Tensor, low: Vec3, high: Vec3) -> Self {
        let middle = [1, 2, 0].map(|i| f64::midpoint(low[i], high[i]));
        // An axis of no width keeps its constant term only.
        let per_unit: Vec3 = [0, 1, 2].map(|i| if high[i] > low[i] { 2.0 / (high[i] - low[i]) } else { 0.0 });
        let powers = tensor.powers();
        let columns = powers.rows().enumerate().flat_map(|(i, row)| (0..row).map(move |j| (i, j)));
        let each = columns.flat_map(|(i, j)| (0..powers.sizes[0]).map(move |k| [k, i, j]));
        let mut terms = Terms([0.0; NODES * PLANE]);
        for (term, powers) in terms.0.iter_mut().zip(each) {
            let scale: f64 =
                powers.iter().zip(per_unit).map(|(n, unit)| (0..*n).map(|_| unit).product::<f64>()).product();
            *term = tensor.term(powers) * scale;
        }
        let reach = [0, 1, 2].map(|n| f64::max(high[(n + 1) % 3] - middle[n], middle[n] - low[(n + 1) % 3]));
        Self { middle, reach, sums: sums_for(powers), terms, powers }
    }

    /// Value at a point of the box; `None` outside it.
    pub(crate) fn value(&self, at: Vec3) -> Option<f64> {
        self.off_middle(at).map(|[v, p, r]| (self.sums.one)(&self.terms, v, p, r))
    }

    /// Values at eight points of the box, each with the bits of [`Patch::value`]; `None` where one lies outside it.
    pub(crate) fn values(&self, at: [Eight; 3]) -> Option<Eight> {
        self.off_middle(at).map(|[v, p, r]| (self.sums.eight)(&self.terms, v, p, r))
    }

    /// Whether its powers are [`Powers::UPRIGHT`].
    pub(crate) fn is_upright(&self) -> bool {
        self.powers == Powers::UPRIGHT
    }

    /// [`Patch::value`] or [`Patch::values`] of a patch that is upright, without a call.
    #[inline(always)]
    #[allow(clippy::inline_always)] // a call would cost as much as the sum
    pub(crate) fn upright_value<X: Lanes>(&self, at: [X; 3]) -> Option<X> {
        self.off_middle(at).map(|[v, p, r]| upright(&self.terms, v, p, r))
    }

    /// Coordinates from the middle of the box, of points that all lie in it.
    #[inline(always)]
    #[allow(clippy::inline_always)] // likewise
    fn off_middle<X: Lanes>(&self, [v, p, r]: [X; 3]) -> Option<[X; 3]> {
        let [middle_p, middle_r, middle_v] = self.middle.map(X::splat);
        let (p, r, v) = (p - middle_p, r - middle_r, v - middle_v);
        let within = |x: X, reach: f64| x.all(|x| x.abs() <= reach);
        // All three, without a branch between them.
        let inside = within(p, self.reach[0]) & within(r, self.reach[1]) & within(v, self.reach[2]);
        inside.then_some([v, p, r])
    }

    /// How many terms it has.
    pub(crate) fn size(&self) -> usize {
        self.powers.terms()
    }

    /// What is left of it at one attitude (degrees): a polynomial in volume, on `range` of volumes. The same sums in the same
    /// order as in [`Patch::value`].
    pub(crate) fn at_attitude(&self, nose_up: f64, right_down: f64, range: [f64; 2]) -> Line {
        let (p, r) = (nose_up - self.middle[0], right_down - self.middle[1]);
        let terms = (self.sums.at_attitude)(&self.terms, p, r);
        Line { range, middle: self.middle[2], terms, size: self.powers.sizes[0] }
    }
}

/// The sum over `V` powers of the volume beside `P` of nose-up beside `R` of right-down, or `B` but beside the first: Horner's rule
/// along right-down, then nose-up, for every power of the volume side by side, then along the volume.
#[inline(always)]
#[allow(clippy::inline_always)] // a call would cost as much as the sum
fn sum<X: Lanes, const V: usize, const P: usize, const R: usize, const B: usize>(terms: &Terms, v: X, p: X, r: X) -> X {
    let powers = factors::<X, V, P, R, B>(terms, p, r);
    (0..V - 1).rev().fold(powers[V - 1], |sum, k| sum * v + powers[k])
}

/// The factors of the powers of the volume in [`sum`].
#[inline(always)]
#[allow(clippy::inline_always)] // likewise
fn factors<X: Lanes, const V: usize, const P: usize, const R: usize, const B: usize>(
    terms: &Terms,
    p: X,
    r: X,
) -> [X; V] {
    let columns = terms.0.as_chunks::<V>().0;
    let step = |sums: [X; V], x: X, next: [X; V]| -> [X; V] { std::array::from_fn(|k| sums[k] * x + next[k]) };
    let row = |i: usize| {
        let (first, size) = if i == 0 { (0, R) } else { (R + B * (i - 1), B) };
        let column = |j: usize| columns[first + j].map(X::splat);
        (0..size - 1).rev().fold(column(size - 1), |sums, j| step(sums, r, column(j)))
    };
    (0..P - 1).rev().fold(row(P - 1), |sums, i| step(sums, p, row(i)))
}

/// [`factors`] of one draw, those of the powers that are not there among them.
fn at_attitude<const V: usize, const P: usize, const R: usize, const B: usize>(
    terms: &Terms,
    p: f64,
    r: f64,
) -> [f64; NODES] {
    let factors = factors::<f64, V, P, R, B>(terms, p, r);
    std::array::from_fn(|k| factors.get(k).copied().unwrap_or_default())
}

/// [`sum`] for [`Powers::UPRIGHT`].
#[inline(always)]
#[allow(clippy::inline_always)] // likewise
fn upright<X: Lanes>(terms: &Terms, v: X, p: X, r: X) -> X {
    const POWERS: Powers = Powers::UPRIGHT;
    sum::<X, { POWERS.sizes[0] }, { POWERS.sizes[1] }, { POWERS.sizes[2] }, { POWERS.beside }>(terms, v, p, r)
}

/// [`sum`] for the given powers, 1 to [`NODES`] along each axis.
fn sums_for(powers: Powers) -> Sums {
    if powers == Powers::UPRIGHT {
        const POWERS: Powers = Powers::UPRIGHT;
        let at_attitude =
            at_attitude::<{ POWERS.sizes[0] }, { POWERS.sizes[1] }, { POWERS.sizes[2] }, { POWERS.beside }>;
        return Sums { one: upright::<f64>, eight: upright::<Eight>, at_attitude };
    }
    let [v, p, r] = powers.sizes;
    match v {
        1 => sums_in::<1>(p, r),
        2 => sums_in::<2>(p, r),
        3 => sums_in::<3>(p, r),
        4 => sums_in::<4>(p, r),
        _ => sums_in::<NODES>(p, r),
    }
}

fn sums_in<const V: usize>(p: usize, r: usize) -> Sums {
    match p {
        1 => sums_along::<V, 1>(r),
        2 => sums_along::<V, 2>(r),
        3 => sums_along::<V, 3>(r),
        4 => sums_along::<V, 4>(r),
        _ => sums_along::<V, NODES>(r),
    }
}

fn sums_along<const V: usize, const P: usize>(r: usize) -> Sums {
    match r {
        1 => both::<V, P, 1>(),
        2 => both::<V, P, 2>(),
        3 => both::<V, P, 3>(),
        4 => both::<V, P, 4>(),
        _ => both::<V, P, NODES>(),
    }
}

fn both<const V: usize, const P: usize, const R: usize>() -> Sums {
    Sums { one: sum::<f64, V, P, R, R>, eight: sum::<Eight, V, P, R, R>, at_attitude: at_attitude::<V, P, R, R> }
}

/// A polynomial in volume that holds on a range of volumes at one attitude; or one for each of several draws.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Line<X = f64> {
    range: [X; 2],
    middle: X,
    terms: [X; NODES],
    /// How many of the terms there are; the others are zero.
    size: usize,
}

impl<X: Lanes> Line<X> {
    /// Those of several draws side by side; `None` where one has none.
    #[inline]
    pub(crate) fn abreast(mut of: impl FnMut(usize) -> Option<Line>) -> Option<Self> {
        let zero = X::splat(0.0);
        let mut all = Self { range: [zero; 2], middle: zero, terms: [zero; NODES], size: 0 };
        for i in 0..X::COUNT {
            all.set(i, &of(i)?);
        }
        Some(all)
    }

    /// Puts that of a draw.
    #[inline]
    pub(crate) fn set(&mut self, draw: usize, line: &Line) {
        self.range.iter_mut().zip(line.range).for_each(|(all, one)| all.set_lane(draw, one));
        self.middle.set_lane(draw, line.middle);
        self.terms.iter_mut().zip(line.terms).for_each(|(all, one)| all.set_lane(draw, one));
        self.size = self.size.max(line.size);
    }

    /// Whether it holds for a volume, in every draw; its upper end belongs to the next one.
    #[inline]
    pub(crate) fn holds(&self, volume: X) -> bool {
        self.reaches(volume).all(|reaches| reaches > 0.0)
    }

    /// 1 in every draw in which it holds for a volume, else 0.
    #[inline(always)]
    #[allow(clippy::inline_always)] // so that it is compiled for the widest instructions
    pub(crate) fn reaches(&self, volume: X) -> X {
        let above = (volume - self.range[0]).map(|above| if above >= 0.0 { 1.0 } else { 0.0 });
        above.with(self.range[1] - volume, |above, below| if below > 0.0 { above } else { 0.0 })
    }

    /// Its value, its derivative by volume, and half of its second.
    #[inline(always)]
    #[allow(clippy::inline_always)] // so that it is compiled for the widest instructions
    pub(crate) fn value_slope_and_bend(&self, volume: X) -> [X; 3] {
        let v = volume - self.middle;
        let [mut value, mut slope, mut bend] = [X::splat(0.0); 3];
        for term in self.terms.iter().take(self.size).rev() {
            bend = bend * v + slope;
            slope = slope * v + value;
            value = value * v + *term;
        }
        [value, slope, bend]
    }

    /// Its value and its derivative by volume.
    #[inline(always)]
    #[allow(clippy::inline_always)] // so that it is compiled for the widest instructions
    pub(crate) fn value_and_slope(&self, volume: X) -> [X; 2] {
        let v = volume - self.middle;
        let (mut value, mut slope) = (X::splat(0.0), X::splat(0.0));
        for term in self.terms.iter().take(self.size).rev() {
            slope = slope * v + value;
            value = value * v + *term;
        }
        [value, slope]
    }
}

#[cfg(test)]
#[allow(clippy::cast_possible_wrap, clippy::cast_possible_truncation)] // small powers
mod tests {
    use super::*;

    /// A tensor with these powers whose terms are of many magnitudes and signs.
    fn tensor(powers: Powers, low: Vec3, high: Vec3) -> (Tensor, impl Fn(Vec3) -> f64) {
        let middle = [0, 1, 2].map(|axis| f64::midpoint(low[axis], high[axis]));
        let f = move |at: Vec3| {
            let mut sum = 0.0;
            for n in 0..NODES * PLANE {
                let [k, i, j] = [n / PLANE, n / NODES % NODES, n % NODES];
                if k < powers.sizes[0] && powers.rows().nth(i).is_some_and(|row| j < row) {
                    let factor = (1.7 * n as f64).sin();
                    sum += factor
                        * (0..3).map(|axis| (at[axis] - middle[axis]).powi([k, i, j][axis] as i32)).product::<f64>();
                }
            }
            sum
        };
        let node = |axis: usize, n: usize| low[axis] + (high[axis] - low[axis]) * n as f64 / 4.0;
        let samples =
            std::array::from_fn(|v| std::array::from_fn(|i| f([node(0, v), node(1, i / NODES), node(2, i % NODES)])));
        let mut tensor = Tensor::through(&samples);
        for (axis, size) in powers.sizes.into_iter().enumerate() {
            while tensor.powers().sizes[axis] > size {
                tensor = tensor.lowered(axis).unwrap();
            }
        }
        if powers == Powers::UPRIGHT {
            tensor = tensor.upright().unwrap();
        }
        (tensor, f)
    }

    #[test]
    fn reproduces_any_polynomial_of_its_powers() {
        let (low, high) = ([0.5, -1.0, 1.0], [1.5, 2.0, 1.5]);
        let boxes = (0..NODES * PLANE).map(|n| Powers::all([1 + n / PLANE, 1 + n / NODES % NODES, 1 + n % NODES]));
        for powers in boxes.chain([Powers::UPRIGHT]) {
            let (tensor, f) = tensor(powers, low, high);
            let patch = Patch::new(&tensor, low, high);
            assert_eq!(patch.size(), powers.terms());
            for at in [low, high, [1.23, 0.7, 1.3], [0.61, -0.7, 1.01]] {
                approx::assert_relative_eq!(patch.value(at).unwrap(), f(at), max_relative = 1e-11, epsilon = 1e-11);
                let off = |x: f64, i: usize| x + 1e-3 * (i as f64) * (if x > 1.2 { -1.0 } else { 1.0 });
                let eight = [0, 1, 2].map(|axis| Eight::from_lanes(|i| off(at[axis], i)));
                let values = patch.values(eight).unwrap();
                (0..8).for_each(|i| assert_eq!(Some(values.lane(i)), patch.value(eight.map(|x| x.lane(i)))));
                if patch.is_upright() {
                    assert_eq!(patch.upright_value(at), patch.value(at));
                    assert_eq!(patch.upright_value(eight), patch.values(eight));
                }
                let line = patch.at_attitude(at[1], at[2], [low[0], high[0]]);
                let [value_there, slope] = line.value_and_slope(at[0]);
                assert_eq!(Some(value_there), patch.value(at), "the same sums in the same order: {powers:?}");
                let [value_beside, slope_beside, bend] = line.value_slope_and_bend(at[0]);
                assert_eq!([value_beside, slope_beside], [value_there, slope]);
                let [before, after] = [-1e-4, 1e-4].map(|off| line.value_and_slope(at[0] + off)[1]);
                approx::assert_relative_eq!(2.0 * bend, (after - before) / 2e-4, max_relative = 1e-6, epsilon = 1e-6);
                let step = 1e-5;
                let by_volume = (f([at[0] + step, at[1], at[2]]) - f([at[0] - step, at[1], at[2]])) / (2.0 * step);
                approx::assert_relative_eq!(slope, by_volume, max_relative = 1e-7, epsilon = 1e-7);
                assert!(line.holds(low[0]) && !line.holds(high[0]));
            }
        }
    }

    #[test]
    fn an_axis_of_no_width_is_constant() {
        let tensor = Tensor::through(&[[2.0; PLANE]; NODES]);
        let patch = Patch::new(&tensor, [0.0, 1.0, 2.0], [1.0, 1.0, 2.0]);
        assert_eq!(patch.value([0.3, 1.0, 2.0]), Some(2.0));
        for outside in [[-0.1, 1.0, 2.0], [0.3, 1.1, 2.0], [0.3, 1.0, f64::NAN]] {
            assert_eq!(patch.value(outside), None);
        }
    }
}
