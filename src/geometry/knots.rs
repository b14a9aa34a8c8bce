//! The heights of a mesh in order: where the piecewise cubic of a level changes.

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
        let order = rising_order(heights);
        let largest = order.last().map_or(0.0, |(h, _)| *h);
        let tolerance = SNAP * largest;
        let mut z: Vec<f64> = Vec::with_capacity(heights.len());
        let mut of_vertex = vec![0; heights.len()];
        for (h, vertex) in order {
            if z.last().is_none_or(|last| h - last > tolerance) {
                z.push(h);
            }
            of_vertex[vertex as usize] = (z.len() - 1) as u32;
        }
        Self { z, of_vertex }
    }

    /// The three knots of a face, rising.
    #[inline]
    pub(super) fn rising(&self, f: [u32; 3]) -> [u32; 3] {
        let [a, b, c] = f.map(|v| self.of_vertex[v as usize]);
        let (a, b) = (a.min(b), a.max(b));
        let (b, c) = (b.min(c), b.max(c));
        let (a, b) = (a.min(b), a.max(b));
        [a, b, c]
    }
}

/// Bits of a height that the counting sort looks at, so many at a time.
const BITS: u32 = 11;
const PASSES: u32 = 4;
const DIGITS: usize = 1 << BITS;

/// The heights (none negative) with their places, rising; equal ones in the order of their places.
///
/// As whole steps of 2^-44 of the largest they are sorted by counting, digit by digit (Knuth, The Art of Computer Programming 3, 5.2.5, cited
/// from memory); what shares a step is then sorted by comparing. Time is linear but for crowds within a step.
fn rising_order(heights: &[f64]) -> Vec<(f64, u32)> {
    let mut steps = by_steps(heights);
    let height = |i: u32| heights[i as usize] + 0.0; // no -0
    for crowd in steps.chunk_by_mut(|a, b| a.0 == b.0).filter(|c| c.len() > 1) {
        crowd.sort_unstable_by(|a, b| height(a.1).total_cmp(&height(b.1)).then(a.1.cmp(&b.1)));
    }
    steps.into_iter().map(|(_, i)| (height(i), i)).collect()
}

/// The heights in steps with their places, by steps; equal ones in the order of their places.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // steps are below 2^44 and not negative
fn by_steps(heights: &[f64]) -> Vec<(u64, u32)> {
    let largest = heights.iter().copied().fold(0.0, f64::max);
    let last = (1u64 << (BITS * PASSES)) - 1;
    let per_unit = if largest > 0.0 { last as f64 / largest } else { 0.0 };
    let digit = |step: u64, pass: u32| (step >> (BITS * pass)) as usize % DIGITS;
    let mut counts = vec![[0u32; DIGITS]; PASSES as usize];
    let mut from: Vec<(u64, u32)> = Vec::with_capacity(heights.len());
    for (h, i) in heights.iter().zip(0..) {
        let step = ((h * per_unit) as u64).min(last);
        for (pass, counts) in (0..PASSES).zip(&mut counts) {
            counts[digit(step, pass)] += 1;
        }
        from.push((step, i));
    }
    let mut to = from.clone();
    for (pass, counts) in (0..PASSES).zip(&mut counts) {
        let mut place = 0;
        for count in counts.iter_mut() {
            place += std::mem::replace(count, place);
        }
        for item in &from {
            let place = &mut counts[digit(item.0, pass)];
            to[*place as usize] = *item;
            *place += 1;
        }
        std::mem::swap(&mut from, &mut to);
    }
    from
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn order_is_that_of_a_sort() {
        let mut heights: Vec<f64> = (0..2000).map(|i| (f64::from(i) * 0.754_877_666).fract()).collect();
        heights.extend((0..500).map(|i| 1e-9 * f64::from(i % 7))); // a crowd at the floor, many of them equal
        heights.push(1e3); // one far away, so that the rest shares few buckets
        let mut want: Vec<(f64, u32)> = heights.iter().copied().zip(0..).collect();
        want.sort_by(|a, b| a.0.total_cmp(&b.0)); // stable
        assert_eq!(rising_order(&heights), want);
        assert_eq!(rising_order(&[0.0; 3]), [(0.0, 0), (0.0, 1), (0.0, 2)]);
    }
}
