//! Exact volume below a plane, and the free surface there, by one pass over the triangles.
//!
//! By the divergence theorem the liquid below height `h` is a sum over the surface's triangles. One with heights
//! `z0 <= z1 <= z2` along *up* and signed horizontal area `a` (positive where the face looks down) contributes
//!
//! ```text
//! h <= z0        0
//! z0 < h <= z1   a (h - z0)^3 / (3 (z1 - z0)(z2 - z0))
//! z1 < h <= z2   a [ (h - zm) + (z2 - h)^3 / (3 (z2 - z0)(z2 - z1)) ],   zm = (z0 + z1 + z2) / 3
//! z2 < h         a (h - zm)
//! ```
//!
//! and its derivative to the free surface. The sum is exact: no cap has to be made and nothing is sliced. (Derived
//! here; the tests hold it against clipped solids and closed forms.)

use super::mesh::ClosedMesh;
use super::sum::Sum;
use super::vector::{Vec3, dot};
use crate::numeric::share::share;

/// Which limit of a quantity that jumps where a face is horizontal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Just below the level.
    Below,
    /// Just above the level.
    Above,
}

/// The lower and the higher of two heights, without a branch (which a processor would guess wrongly every other time).
#[inline]
fn pair(a: f64, b: f64) -> [f64; 2] {
    [if b < a { b } else { a }, if b < a { a } else { b }]
}

/// Heights of a triangle's corners, rising.
#[inline]
pub(crate) fn rising(heights: &[f64], f: [u32; 3]) -> [f64; 3] {
    sorted(f.map(|i| heights[i as usize]))
}

/// Three heights, rising.
#[inline]
pub(crate) fn sorted([a, b, c]: [f64; 3]) -> [f64; 3] {
    let [a, b] = pair(a, b);
    let [b, c] = pair(b, c);
    let [a, b] = pair(a, b);
    [a, b, c]
}

/// Fraction of a triangle's horizontal area that lies below `h` (the derivative of [`column`]).
#[inline]
pub(crate) fn fraction_below([z0, z1, z2]: [f64; 3], h: f64, side: Side) -> f64 {
    let passed = match side {
        Side::Below => h > z2,
        Side::Above => h >= z2,
    };
    if passed {
        1.0
    } else if h <= z0 {
        0.0
    } else if h <= z1 {
        ((h - z0) / (z1 - z0)) * ((h - z0) / (z2 - z0))
    } else {
        1.0 - ((z2 - h) / (z2 - z1)) * ((z2 - h) / (z2 - z0))
    }
}

/// Volume per unit of signed horizontal area between a triangle and the plane at `h`, where it is below the plane.
#[inline]
pub(crate) fn column([z0, z1, z2]: [f64; 3], h: f64) -> f64 {
    // h - zm without the rounding of a mean: exact when the triangle is horizontal.
    let above_mean = ((h - z0) + (h - z1) + (h - z2)) / 3.0;
    if h >= z2 {
        above_mean
    } else if h <= z0 {
        0.0
    } else if h <= z1 {
        ((h - z0) / (z1 - z0)) * ((h - z0) / (z2 - z0)) * (h - z0) / 3.0
    } else {
        above_mean + ((z2 - h) / (z2 - z1)) * ((z2 - h) / (z2 - z0)) * (z2 - h) / 3.0
    }
}

/// Faces or vertices that are worked in one go: enough to be worth a thread.
pub(crate) const RUN: usize = 8192;

/// A mesh seen at one attitude: heights of its vertices above the lowest, and *up*.
pub(crate) struct View<'a> {
    mesh: &'a ClosedMesh,
    up: Vec3,
    pub(crate) heights: Vec<f64>,
    /// Height of the lowest vertex along *up*, in the body frame \[m\].
    pub(crate) datum: f64,
}

impl<'a> View<'a> {
    pub(crate) fn new(mesh: &'a ClosedMesh, up: Vec3) -> Self {
        let (heights, datum) = mesh.heights(up);
        Self { mesh, up, heights, datum }
    }

    /// Signed horizontal area of face `i`, positive where it looks down \[m2\].
    #[inline]
    pub(crate) fn weight(&self, i: usize) -> f64 {
        -dot(self.mesh.area[i], self.up)
    }

    /// Volume of the liquid space below level `h` \[m3\].
    pub(crate) fn volume(&self, h: f64) -> f64 {
        self.total(|i, f| {
            let z = rising(&self.heights, f);
            if h <= z[0] { 0.0 } else { self.weight(i) * column(z, h) }
        })
    }

    /// Area of the free surface at level `h`, on one side of it \[m2\].
    pub(crate) fn free_surface(&self, h: f64, side: Side) -> f64 {
        self.total(|i, f| self.weight(i) * fraction_below(rising(&self.heights, f), h, side))
    }

    /// The sum of a term over all faces: over runs of faces, then over the runs, so that it has the same bits for any
    /// number of threads.
    fn total(&self, term: impl Fn(usize, [u32; 3]) -> f64 + Sync + Send) -> f64 {
        let runs = self.mesh.faces.chunks(RUN).enumerate().collect();
        let sums = share(runs, |(n, faces): (usize, &[[u32; 3]])| {
            (n * RUN..).zip(faces).map(|(i, f)| term(i, *f)).collect::<Sum>()
        });
        let mut all = Sum::default();
        sums.into_iter().for_each(|sum| all.merge(sum));
        all.value()
    }
}
