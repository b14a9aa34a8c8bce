//! The order in which the vertices of a mesh are swept.

use super::super::extent::highest;

/// Bits of a height that count. A step of 2^-48 of the greatest height is a few roundings.
const BITS: u32 = 48;

/// For every vertex one whole number that sorts as the vertices are swept: by height in steps of a few roundings, of
/// one step by number.
pub(super) struct Order {
    keys: Vec<u64>,
    /// Bits of a key that hold the vertex.
    number: u32,
}

impl Order {
    /// The order by `heights`, none negative.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // steps are not negative and below 2^48
    pub(super) fn new(heights: &[f64]) -> Self {
        let number = usize::BITS - heights.len().leading_zeros();
        let last = (1u64 << BITS.min(u64::BITS - number)) - 1;
        let highest = highest(heights);
        let per_unit = if highest > 0.0 { last as f64 / highest } else { 0.0 };
        let key = |(h, v): (&f64, u64)| (((h * per_unit) as i64 as u64).min(last) << number) | v;
        Self { keys: heights.iter().zip(0..).map(key).collect(), number }
    }

    #[inline]
    pub(super) fn key(&self, vertex: u32) -> u64 {
        self.keys[vertex as usize]
    }

    #[inline]
    #[allow(clippy::cast_possible_truncation)] // vertex counts are below 2^31
    pub(super) fn vertex(&self, key: u64) -> u32 {
        (key & ((1 << self.number) - 1)) as u32
    }

    /// The step of a key's height.
    #[inline]
    pub(super) fn step(&self, key: u64) -> u64 {
        key >> self.number
    }
}

/// Heights at which something happens: those less than two steps above the first of them are one.
pub(super) struct Moments {
    /// The lowest step of each.
    first: Vec<u64>,
    /// Its height: the lowest of those that are one.
    pub(super) z: Vec<f64>,
}

impl Moments {
    /// The moments of these vertices, by their keys.
    pub(super) fn new(order: &Order, heights: &[f64], mut keys: Vec<u64>) -> Self {
        keys.sort_unstable();
        let (mut first, mut z): (Vec<u64>, Vec<f64>) = (Vec::new(), Vec::new());
        for key in keys {
            let (step, height) = (order.step(key), heights[order.vertex(key) as usize]);
            match (first.last(), z.last_mut()) {
                (Some(from), Some(lowest)) if step <= from + 1 => *lowest = lowest.min(height),
                _ => {
                    first.push(step);
                    z.push(height);
                }
            }
        }
        Self { first, z }
    }

    /// The moment of one of the vertices they were made of, by its step.
    #[allow(clippy::cast_possible_truncation)] // fewer moments than vertices
    pub(super) fn of(&self, step: u64) -> u32 {
        self.first.partition_point(|from| *from <= step).saturating_sub(1) as u32
    }
}
