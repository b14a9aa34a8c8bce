//! The sum of [`column`](super::kernel::column) over all triangles as one piecewise cubic of the level, in
//! `O(n log n)` and without cancellation.
//!
//! Sweeping upwards with running polynomial coefficients fails: the coefficient `a / 3(z1 - z0)(z2 - z0)` of a nearly
//! horizontal triangle is enormous, and what its removal leaves behind is integrated over the whole height. Here every
//! cubic lives only where it is bounded:
//!
//! * between `z0` and `z1` the term `k (h - z0)^3`, and between `z1` and `z2` the term `k' (z2 - h)^3`, are written
//!   into the nodes of a binary tree over the intervals between knots that exactly cover them, as Taylor polynomials
//!   about the low end of the node. There all four parts are bounded by the term itself. Afterwards each node is
//!   shifted to its two children, which is again bounded, down to the single intervals;
//! * from `z1` upwards the linear part `a (h - zm)` is carried by two compensated running sums.

use super::sum::Sum;

/// `c[0] + c[1] t + c[2] t^2 + c[3] t^3`, `t` measured from the low end of an interval.
pub(crate) type Cubic = [f64; 4];

/// Heights that differ by no more than this fraction of the largest are one knot: a few roundings of a height.
const SNAP: f64 = 4.0 * f64::EPSILON;

/// The distinct heights of a mesh, rising, and which of them each vertex has.
pub(crate) struct Knots {
    pub(crate) z: Vec<f64>,
    pub(crate) of_vertex: Vec<u32>,
}

impl Knots {
    /// Sorts the heights (none negative) and merges those equal within a few roundings.
    #[allow(clippy::cast_possible_truncation)] // vertex counts are below 2^31
    pub(crate) fn new(heights: &[f64]) -> Self {
        // Heights are not negative, so their bits sort as they do.
        let mut order: Vec<(u64, u32)> =
            heights.iter().enumerate().map(|(i, h)| ((h + 0.0).to_bits(), i as u32)).collect();
        order.sort_unstable();
        let largest = order.last().map_or(0.0, |(bits, _)| f64::from_bits(*bits));
        let tolerance = SNAP * largest;
        let mut z: Vec<f64> = Vec::with_capacity(heights.len());
        let mut of_vertex = vec![0; heights.len()];
        for (bits, vertex) in order {
            let h = f64::from_bits(bits);
            if z.last().is_none_or(|last| h - last > tolerance) {
                z.push(h);
            }
            of_vertex[vertex as usize] = (z.len() - 1) as u32;
        }
        Self { z, of_vertex }
    }

    /// The three knots of a face, rising.
    #[inline]
    fn rising(&self, f: [u32; 3]) -> [u32; 3] {
        let [mut a, mut b, mut c] = f.map(|v| self.of_vertex[v as usize]);
        if a > b {
            std::mem::swap(&mut a, &mut b);
        }
        if b > c {
            std::mem::swap(&mut b, &mut c);
        }
        if a > b {
            std::mem::swap(&mut a, &mut b);
        }
        [a, b, c]
    }
}

/// The piecewise cubic: one polynomial for each interval between knots.
pub(crate) struct Pieces {
    pub(crate) cubic: Vec<Cubic>,
}

/// Sums `weight * column` over the faces; `weight(i)` is the signed horizontal area of face `i` for the volume (or any
/// other weight). The sum above the last knot is linear and not returned.
pub(crate) fn sum(knots: &Knots, faces: &[[u32; 3]], weight: impl Fn(usize) -> f64) -> Pieces {
    let mut tree = Tree::new(&knots.z);
    let mut ramps = vec![Ramp::default(); knots.z.len()];
    for t in by_lowest_knot(knots, faces, weight) {
        let [k0, k1, k2] = t.knots.map(|k| k as usize);
        let (z0, z1, z2) = (knots.z[k0], knots.z[k1], knots.z[k2]);
        let a = t.weight;
        if a == 0.0 {
            continue; // a wall that stands upright
        }
        if k1 > k0 {
            tree.add_rising(k0, k1, a / (3.0 * (z1 - z0) * (z2 - z0)));
        }
        if k2 > k1 {
            tree.add_falling(k1, k2, a / (3.0 * (z2 - z0) * (z2 - z1)));
        }
        ramps[k1].slope.add(a);
        ramps[k1].value.add(a * (((z1 - z0) - (z2 - z1)) / 3.0));
    }
    let mut cubic = tree.into_leaves();
    add_ramps(&mut cubic, &knots.z, &ramps);
    Pieces { cubic }
}

/// A face as the sum needs it: its knots, rising, and its weight.
#[derive(Clone, Copy, Default)]
struct Term {
    knots: [u32; 3],
    weight: f64,
}

/// The faces in the order of their lowest knots (a counting sort), so that the sum works on one part of the tree after
/// another instead of all over it.
fn by_lowest_knot(knots: &Knots, faces: &[[u32; 3]], weight: impl Fn(usize) -> f64) -> Vec<Term> {
    let lowest = |f: &[u32; 3]| f.map(|v| knots.of_vertex[v as usize]).into_iter().fold(u32::MAX, u32::min) as usize;
    let mut next = vec![0u32; knots.z.len() + 1];
    for f in faces {
        next[lowest(f) + 1] += 1;
    }
    for k in 1..next.len() {
        next[k] += next[k - 1];
    }
    let mut terms = vec![Term::default(); faces.len()];
    for (i, f) in faces.iter().enumerate() {
        let rising = knots.rising(*f);
        let place = &mut next[rising[0] as usize];
        terms[*place as usize] = Term { knots: rising, weight: weight(i) };
        *place += 1;
    }
    terms
}

/// The linear parts that start at one knot: their value there and their slope.
#[derive(Clone, Copy, Default)]
struct Ramp {
    value: Sum,
    slope: Sum,
}

fn add_ramps(cubic: &mut [Cubic], z: &[f64], ramps: &[Ramp]) {
    let (mut value, mut slope) = (Sum::default(), Sum::default());
    for (i, c) in cubic.iter_mut().enumerate() {
        value.merge(ramps[i].value);
        slope.merge(ramps[i].slope);
        c[0] += value.value();
        c[1] += slope.value();
        value.add(slope.value() * (z[i + 1] - z[i]));
    }
}

/// The part of a piecewise cubic within `[low, high]`: its knots and polynomials. Outside the given knots it is empty
/// below and goes on with the last polynomial above.
pub(crate) fn cut(z: &[f64], cubic: &[Cubic], [low, high]: [f64; 2]) -> (Vec<f64>, Vec<Cubic>) {
    let first = z.partition_point(|k| *k <= low);
    let last = z.partition_point(|k| *k < high).max(first);
    let mut knots = vec![low];
    knots.extend_from_slice(&z[first..last]);
    let from = |k: f64| match z.partition_point(|x| *x <= k).min(cubic.len()) {
        0 => [0.0; 4],
        i => shifted(cubic[i - 1], k - z[i - 1]),
    };
    let pieces = knots.iter().map(|k| from(*k)).collect();
    knots.push(high);
    (knots, pieces)
}

/// A binary tree over the intervals between knots. Node `i` has the children `2 i` and `2 i + 1`; the intervals are
/// the nodes from `leaves` on.
struct Tree<'a> {
    z: &'a [f64],
    leaves: usize,
    nodes: Vec<Cubic>,
}

impl<'a> Tree<'a> {
    fn new(z: &'a [f64]) -> Self {
        let leaves = z.len().saturating_sub(1).next_power_of_two();
        Self { z, leaves, nodes: vec![[0.0; 4]; 2 * leaves] }
    }

    /// Adds `k (h - z[from])^3` to all intervals from knot `from` to knot `to`.
    #[inline]
    fn add_rising(&mut self, from: usize, to: usize, k: f64) {
        let root = self.z[from];
        self.cover(from, to, |low| {
            let u = low - root;
            let ku = k * u;
            [ku * u * u, 3.0 * ku * u, 3.0 * ku, k]
        });
    }

    /// Adds `k (z[to] - h)^3` to all intervals from knot `from` to knot `to`.
    #[inline]
    fn add_falling(&mut self, from: usize, to: usize, k: f64) {
        let root = self.z[to];
        self.cover(from, to, |low| {
            let v = root - low;
            let kv = k * v;
            [kv * v * v, -3.0 * kv * v, 3.0 * kv, -k]
        });
    }

    /// Adds the polynomial that `at` gives for a low end to the fewest nodes that cover intervals `from..to`.
    #[inline]
    fn cover(&mut self, from: usize, to: usize, at: impl Fn(f64) -> Cubic) {
        let (mut l, mut r, mut level) = (from + self.leaves, to + self.leaves, 0);
        while l < r {
            if l & 1 == 1 {
                self.add(l, at(self.z[(l << level) - self.leaves]));
                l += 1;
            }
            if r & 1 == 1 {
                r -= 1;
                self.add(r, at(self.z[(r << level) - self.leaves]));
            }
            l >>= 1;
            r >>= 1;
            level += 1;
        }
    }

    #[inline]
    fn add(&mut self, node: usize, c: Cubic) {
        for (sum, term) in self.nodes[node].iter_mut().zip(c) {
            *sum += term;
        }
    }

    /// Shifts every node to its children and returns the intervals' polynomials.
    fn into_leaves(mut self) -> Vec<Cubic> {
        let intervals = self.z.len().saturating_sub(1);
        let depth = self.leaves.trailing_zeros();
        for node in 1..self.leaves {
            let c = self.nodes[node];
            if c.iter().all(|part| *part == 0.0) {
                continue;
            }
            let level = depth - node.ilog2();
            let low = (node << level) - self.leaves;
            let half = low + (1 << (level - 1));
            self.add(2 * node, c);
            if half < intervals {
                self.add(2 * node + 1, shifted(c, self.z[half] - self.z[low]));
            }
        }
        self.nodes.drain(..self.leaves);
        self.nodes.truncate(intervals);
        self.nodes
    }
}

/// The polynomial about a point `d` higher.
#[inline]
fn shifted([c0, c1, c2, c3]: Cubic, d: f64) -> Cubic {
    [c0 + d * (c1 + d * (c2 + d * c3)), c1 + d * (2.0 * c2 + 3.0 * d * c3), c2 + 3.0 * d * c3, c3]
}
