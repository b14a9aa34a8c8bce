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

use super::cover::{Tree, shifted};
use super::knots::Knots;
use super::sum::Sum;
use crate::numeric::share::share;

/// `c[0] + c[1] t + c[2] t^2 + c[3] t^3`, `t` measured from the low end of an interval.
pub(crate) type Cubic = [f64; 4];

/// The piecewise cubic: one polynomial for each interval between knots.
pub(crate) struct Pieces {
    pub(crate) cubic: Vec<Cubic>,
}

/// Intervals of one block: its tree (256 kB) stays near the processor.
const BLOCK: usize = 4096;

/// Sums `weight * column` over the faces; `weight(i)` is the signed horizontal area of face `i` for the volume (or any
/// other weight). The sum above the last knot is linear and not returned.
///
/// The intervals are worked block by block, each with a tree of its own; what covers a whole block goes into a tree over the blocks
/// and from there to each block's root. A block sees its terms in one order, whoever works it: the result has the same bits for
/// any number of threads.
pub(crate) fn sum(knots: &Knots, faces: &[[u32; 3]], weight: impl Fn(usize) -> f64) -> Pieces {
    let intervals = knots.z.len().saturating_sub(1);
    let blocks = Blocks::new(&knots.z, Terms::by_lowest_knot(knots, faces, weight));
    let mut cubic = vec![[0.0; 4]; intervals];
    let mut ramps = vec![Ramp::default(); intervals];
    let whole = blocks.whole();
    let work = |(b, (cubic, ramps)): (usize, (&mut [Cubic], &mut [Ramp]))| blocks.work(b, whole[b], cubic, ramps);
    share(cubic.chunks_mut(BLOCK).zip(ramps.chunks_mut(BLOCK)).enumerate().collect(), work);
    add_ramps(&mut cubic, &knots.z, &ramps);
    Pieces { cubic }
}

/// A face as the sum needs it: its knots, rising, and its weight.
#[derive(Clone, Copy, Default)]
struct Term {
    knots: [u32; 3],
    weight: f64,
}

impl Term {
    /// What the term is between its knots: from and to, the knot whose height is the root, and the factor of the cube.
    fn parts(&self, z: &[f64]) -> [Part; 2] {
        let [k0, k1, k2] = self.knots.map(|k| k as usize);
        let (z0, z1, z2, a) = (z[k0], z[k1], z[k2], self.weight / 3.0);
        let rising = Part { range: [k0, k1], root: z0, k: a / ((z1 - z0) * (z2 - z0)), rises: true };
        let falling = Part { range: [k1, k2], root: z2, k: a / ((z2 - z0) * (z2 - z1)), rises: false };
        [rising, falling]
    }

    /// Where the linear part begins: its value and slope there.
    fn ramp(&self, z: &[f64]) -> [f64; 2] {
        let [z0, z1, z2] = self.knots.map(|k| z[k as usize]);
        [self.weight * (((z1 - z0) - (z2 - z1)) / 3.0), self.weight]
    }
}

/// `k (h - root)^3` or `k (root - h)^3` from one knot to another.
struct Part {
    range: [usize; 2],
    root: f64,
    k: f64,
    rises: bool,
}

impl Part {
    fn add_to(&self, tree: &mut Tree, range: [usize; 2]) {
        if self.rises {
            tree.add_rising(range, self.root, self.k);
        } else {
            tree.add_falling(range, self.root, self.k);
        }
    }
}

/// The faces in the order of their lowest knots, walls that stand upright left out.
struct Terms {
    terms: Vec<Term>,
    /// Where the terms end whose lowest knot is this one.
    end: Vec<u32>,
}

impl Terms {
    /// A counting sort.
    fn by_lowest_knot(knots: &Knots, faces: &[[u32; 3]], weight: impl Fn(usize) -> f64) -> Self {
        let lowest =
            |f: &[u32; 3]| f.map(|v| knots.of_vertex[v as usize]).into_iter().fold(u32::MAX, u32::min) as usize;
        let mut end = vec![0u32; knots.z.len() + 1];
        for f in faces {
            end[lowest(f) + 1] += 1;
        }
        for k in 1..end.len() {
            end[k] += end[k - 1];
        }
        let mut terms = vec![Term::default(); faces.len()];
        for (i, f) in faces.iter().enumerate() {
            let rising = knots.rising(*f);
            let place = &mut end[rising[0] as usize];
            terms[*place as usize] = Term { knots: rising, weight: weight(i) };
            *place += 1;
        }
        Self { terms, end }
    }
}

/// The terms and, for every block of intervals, which of them end or bend in it.
struct Blocks<'a> {
    z: &'a [f64],
    terms: Terms,
    /// Terms from lower blocks that reach into each block, in their order, block after block.
    carried: Vec<u32>,
    start: Vec<u32>,
}

impl<'a> Blocks<'a> {
    #[allow(clippy::cast_possible_truncation)] // face counts are below 2^31
    fn new(z: &'a [f64], terms: Terms) -> Self {
        let count = z.len().saturating_sub(1).div_ceil(BLOCK);
        let mut start = vec![0u32; count + 1];
        let all = |visit: &mut dyn FnMut(usize, usize)| {
            for (i, t) in terms.terms.iter().enumerate() {
                let [b0, b1, b2] = t.knots.map(|k| k as usize / BLOCK);
                for b in [(b1 > b0).then_some(b1), (b2 > b1).then_some(b2)].into_iter().flatten() {
                    if b < count {
                        visit(b, i);
                    }
                }
            }
        };
        all(&mut |b, _| start[b + 1] += 1);
        for b in 1..=count {
            start[b] += start[b - 1];
        }
        let (mut next, mut carried) = (start.clone(), vec![0; start[count] as usize]);
        all(&mut |b, i| {
            carried[next[b] as usize] = i as u32;
            next[b] += 1;
        });
        Self { z, terms, carried, start }
    }

    fn intervals(&self, block: usize) -> [usize; 2] {
        [block * BLOCK, ((block + 1) * BLOCK).min(self.z.len() - 1)]
    }

    /// For every block the polynomial, about its lowest knot, of the terms that cover it wholly.
    fn whole(&self) -> Vec<Cubic> {
        let count = self.start.len() - 1;
        if count == 0 {
            return Vec::new();
        }
        let last = self.z.len() - 1;
        let bounds: Vec<f64> = (0..=count).map(|b| self.z[(b * BLOCK).min(last)]).collect();
        let mut tree = Tree::new(&bounds);
        // Only a term that reaches another block's bound can cover one.
        let reaches = |t: &&Term| {
            t.weight != 0.0
                && (t.knots[2] as usize / BLOCK > t.knots[0] as usize / BLOCK || t.knots[2] as usize == last)
        };
        for term in self.terms.terms.iter().filter(reaches) {
            for part in term.parts(self.z) {
                let [from, to] = part.range;
                let to = if to == last { count } else { to / BLOCK };
                let from = from.div_ceil(BLOCK);
                if from < to {
                    part.add_to(&mut tree, [from, to]);
                }
            }
        }
        let mut whole = vec![[0.0; 4]; count];
        tree.write(&mut whole);
        whole
    }

    /// The cubics of one block's intervals and the linear parts that begin at its knots.
    fn work(&self, block: usize, whole: Cubic, cubic: &mut [Cubic], ramps: &mut [Ramp]) {
        let [low, high] = self.intervals(block);
        let mut tree = Tree::new(&self.z[low..=high]);
        let carried = &self.carried[self.start[block] as usize..self.start[block + 1] as usize];
        let first = if low == 0 { 0 } else { self.terms.end[low - 1] as usize };
        let own = &self.terms.terms[first..self.terms.end[high - 1] as usize];
        let carried = carried.iter().map(|i| &self.terms.terms[*i as usize]);
        for term in carried.chain(own).filter(|t| t.weight != 0.0) {
            for part in term.parts(self.z) {
                let [from, to] = [part.range[0].max(low), part.range[1].min(high)];
                if from < to && [from, to] != [low, high] {
                    part.add_to(&mut tree, [from - low, to - low]);
                }
            }
            let bend = term.knots[1] as usize;
            if (low..high).contains(&bend) {
                let [value, slope] = term.ramp(self.z);
                ramps[bend - low].value.add(value);
                ramps[bend - low].slope.add(slope);
            }
        }
        tree.add_everywhere(whole);
        tree.write(cubic);
    }
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
