//! Polynomials added to ranges of intervals: a binary tree over the intervals, in which a range is a few nodes.

use super::ramp::Cubic;

/// A binary tree over the intervals between knots. Node `i` has the children `2 i` and `2 i + 1`; the intervals are
/// the nodes from `leaves` on.
pub(super) struct Tree<'a> {
    z: &'a [f64],
    leaves: usize,
    nodes: Vec<Cubic>,
}

impl<'a> Tree<'a> {
    pub(super) fn new(z: &'a [f64]) -> Self {
        let leaves = z.len().saturating_sub(1).next_power_of_two();
        Self { z, leaves, nodes: vec![[0.0; 4]; 2 * leaves] }
    }

    /// Adds `k (h - root)^3` to the intervals from knot `from` to knot `to`, which are at or above the root.
    #[inline]
    pub(super) fn add_rising(&mut self, [from, to]: [usize; 2], root: f64, k: f64) {
        self.cover(from, to, |low| {
            let u = low - root;
            let ku = k * u;
            [ku * u * u, 3.0 * ku * u, 3.0 * ku, k]
        });
    }

    /// Adds `k (root - h)^3` to the intervals from knot `from` to knot `to`, which are at or below the root.
    #[inline]
    pub(super) fn add_falling(&mut self, [from, to]: [usize; 2], root: f64, k: f64) {
        self.cover(from, to, |low| {
            let v = root - low;
            let kv = k * v;
            [kv * v * v, -3.0 * kv * v, 3.0 * kv, -k]
        });
    }

    /// Adds the polynomial that `at` gives for a low end to the fewest nodes that cover intervals `from..to`: from below,
    /// always the largest that begins here and does not reach too far. (Climbing from both ends takes a branch at every
    /// height of the tree that no processor guesses; this one takes one for each node.)
    #[inline]
    fn cover(&mut self, mut from: usize, to: usize, at: impl Fn(f64) -> Cubic) {
        while from < to {
            let height = from.trailing_zeros().min((to - from).ilog2());
            self.add((from + self.leaves) >> height, at(self.z[from]));
            from += 1 << height;
        }
    }

    #[inline]
    fn add(&mut self, node: usize, c: Cubic) {
        for (sum, term) in self.nodes[node].iter_mut().zip(c) {
            *sum += term;
        }
    }

    /// Adds a polynomial about the lowest knot to all intervals.
    pub(super) fn add_everywhere(&mut self, c: Cubic) {
        self.add(1, c);
    }

    /// Shifts every node to its children and writes the intervals' polynomials.
    pub(super) fn write(mut self, out: &mut [Cubic]) {
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
        out.copy_from_slice(&self.nodes[self.leaves..self.leaves + intervals]);
    }
}

/// The polynomial about a point `d` higher.
#[inline]
pub(super) fn shifted([c0, c1, c2, c3]: Cubic, d: f64) -> Cubic {
    [c0 + d * (c1 + d * (c2 + d * c3)), c1 + d * (2.0 * c2 + 3.0 * d * c3), c2 + 3.0 * d * c3, c3]
}
