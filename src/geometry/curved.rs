//! How low and how high a body of revolution reaches, beyond what its facets say.
//!
//! Levels count from the lowest point. On a dished end the lowest corner of the facets stands out beyond the true surface, or back
//! behind it, by up to a ten-thousandth of the radius, which would be as much of the capacity. So a mesh made of such a
//! body keeps what it was made of, as far as that matters: its profile and where its axis lies.

use super::vector::{Vec3, add, dot, sub};

/// A piece of the profile: distance along the axis `s = s0 + a cos t`, radius `r = r0 + b sin t`, `t` from `from` to `to`
/// within 0 to half a turn. A corner is one with `a` and `b` zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Piece {
    pub(crate) s0: f64,
    pub(crate) a: f64,
    pub(crate) r0: f64,
    pub(crate) b: f64,
    pub(crate) from: f64,
    pub(crate) to: f64,
}

impl Piece {
    /// A single point of the profile.
    pub(crate) fn corner(s: f64, r: f64) -> Self {
        Self { s0: s, a: 0.0, r0: r, b: 0.0, from: 0.0, to: 0.0 }
    }

    /// The least of `s g - r q` (`q` not negative): it is least where `t` points against `(a g, -b q)`, and on both sides
    /// of that it rises.
    fn least(&self, g: f64, q: f64) -> f64 {
        let t = (self.b * q).atan2(-self.a * g).clamp(self.from, self.to);
        (self.s0 + self.a * t.cos()) * g - (self.r0 + self.b * t.sin()) * q
    }
}

/// A body of revolution: its profile, and its axis in the body frame.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Curved {
    pieces: Vec<Piece>,
    /// The axis from `s = 0` to `s = 1`; its length is the scale.
    start: Vec3,
    along: Vec3,
}

impl Curved {
    /// A profile with its axis as `place` puts it.
    pub(crate) fn new(pieces: Vec<Piece>, place: impl Fn(Vec3) -> Vec3) -> Self {
        let start = place([0.0; 3]);
        Self { pieces, start, along: sub(place([0.0, 0.0, 1.0]), start) }
    }

    /// The same moved by a map that keeps angles.
    pub(crate) fn mapped(&self, map: impl Fn(Vec3) -> Vec3) -> Self {
        let start = map(self.start);
        let along = sub(map(add(self.start, self.along)), start);
        Self { pieces: self.pieces.clone(), start, along }
    }

    /// Heights of the lowest and of the highest point along `up`, above a point.
    pub(crate) fn reach(&self, up: Vec3, above: Vec3) -> [f64; 2] {
        let (g, all) = (dot(self.along, up), dot(self.along, self.along));
        let q = (all - g * g).max(0.0).sqrt();
        let least = |g: f64| self.pieces.iter().map(|p| p.least(g, q)).fold(f64::INFINITY, f64::min);
        let start = dot(sub(self.start, above), up);
        [start + least(g), start - least(-g)]
    }
}

/// Lets heights reach exactly from 0 to `top`: what passes an end is brought back to it, and where none comes so far the
/// first of those that come nearest does. (These are the corners of facets next to the true lowest or highest point; what that moves of the
/// volume is of the order of the square of how far they are off.)
pub(crate) fn stretch(heights: &mut [f64], top: f64) {
    let (mut low, mut high) = (0, 0);
    for (i, h) in heights.iter().enumerate() {
        if *h < heights[low] {
            low = i;
        }
        if *h > heights[high] {
            high = i;
        }
    }
    heights[low] = 0.0;
    heights[high] = top;
    heights.iter_mut().for_each(|h| *h = h.clamp(0.0, top));
}
