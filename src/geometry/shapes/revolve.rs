//! Solids of revolution from a profile, with facets of equal area: every cross-section of the faceted solid at a node
//! of the profile has the area of the true circle, and the whole has the true volume.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use super::super::curved::{Curved, Piece};
use super::super::error::GeometryError;
use super::super::mesh::ClosedMesh;
use super::super::vector::Vec3;
use super::loft::Faces;

/// A piece of the profile of an end, from the pole (`from`) towards the barrel (`to`): distance beyond the barrel
/// `u = u0 + a cos t`, radius `r = r0 + b sin t`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Arc {
    pub(crate) u0: f64,
    pub(crate) a: f64,
    pub(crate) r0: f64,
    pub(crate) b: f64,
    pub(crate) from: f64,
    pub(crate) to: f64,
}

impl Arc {
    fn point(&self, t: f64) -> [f64; 2] {
        [self.u0 + self.a * t.cos(), self.r0 + self.b * t.sin()]
    }

    /// The point moved outwards by `share` of two thirds of the sagitta of a chord over `step`: with `share` near one
    /// the chords enclose as much as the arc.
    fn moved(&self, t: f64, step: f64, share: f64) -> [f64; 2] {
        let [u, r] = self.point(t);
        let normal = [self.b * t.cos(), self.a * t.sin()];
        let length = normal[0].hypot(normal[1]);
        let offset = share * (2.0 / 3.0) * self.a * self.b * step * step / (8.0 * length * length);
        [u + offset * normal[0], r + offset * normal[1]]
    }

    /// The arc along the axis, beyond a barrel that ends at `end` and going `way`.
    fn piece(&self, end: f64, way: f64) -> Piece {
        let (s0, r0, b) = (end + way * self.u0, self.r0, self.b);
        // Backwards the same cosine is that of the rest of half a turn.
        let [from, to] = if way > 0.0 { [self.from, self.to] } else { [PI - self.to, PI - self.from] };
        Piece { s0, a: self.a, r0, b, from, to }
    }

    /// Volume swept by the arc: the integral of `pi r^2` along the axis.
    fn volume(&self) -> f64 {
        let integral = |t: f64| {
            let (s, c) = t.sin_cos();
            let (plain, mixed, square) = (-c, t / 2.0 - s * c / 2.0, -c + c * c * c / 3.0);
            self.r0 * self.r0 * plain + 2.0 * self.r0 * self.b * mixed + self.b * self.b * square
        };
        PI * self.a * (integral(self.to) - integral(self.from))
    }

    /// Steps along the arc in a body of this radius. How far a chord misses its arc goes with the radius of curvature, so a
    /// flatter arc than the barrel's circle takes more steps for each degree.
    fn steps(&self, radius: f64, per_quarter: u32) -> u32 {
        let flatter = (self.a.max(self.b) / radius).sqrt().max(1.0);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a few hundred
        let steps = (flatter * f64::from(per_quarter) * (self.to - self.from) / FRAC_PI_2).ceil() as u32;
        steps.max(2)
    }
}

/// One end of the solid, beyond the barrel.
#[derive(Debug, Clone)]
pub(crate) enum Profile {
    /// A flat disc.
    Flat,
    /// A cone of this depth.
    Cone(f64),
    /// Arcs from the pole to the barrel.
    Arcs(Vec<Arc>),
}

impl Profile {
    /// True volume beyond the barrel.
    pub(crate) fn volume(&self, radius: f64) -> f64 {
        match self {
            Self::Flat => 0.0,
            Self::Cone(depth) => PI * radius * radius * depth / 3.0,
            Self::Arcs(arcs) => arcs.iter().map(Arc::volume).sum(),
        }
    }

    /// The true profile of an end that begins at `from` along the axis and goes `way` (1 or -1), its edge included.
    fn pieces(&self, radius: f64, from: f64, way: f64) -> Vec<Piece> {
        let mut pieces = vec![Piece::corner(from, radius)];
        match self {
            Self::Flat => {}
            Self::Cone(depth) => pieces.push(Piece::corner(from + way * depth, 0.0)),
            Self::Arcs(arcs) => pieces.extend(arcs.iter().map(|arc| arc.piece(from, way))),
        }
        pieces
    }

    /// Nodes (distance beyond the barrel, radius) from the pole to the barrel's edge.
    fn nodes(&self, radius: f64, per_quarter: u32) -> Vec<[f64; 2]> {
        let arcs = match self {
            Self::Flat => return vec![[0.0, 0.0], [0.0, radius]],
            Self::Cone(depth) => return vec![[*depth, 0.0], [0.0, radius]],
            Self::Arcs(arcs) => arcs,
        };
        let with = |share: f64| nodes_of(arcs, radius, per_quarter, share);
        // The enclosed volume is nearly linear in the share: two secant steps meet the true one to rounding.
        let target = self.volume(radius);
        let (mut low, mut high) = ((0.0, swept(&with(0.0)) - target), (1.0, swept(&with(1.0)) - target));
        for _ in 0..4 {
            if (high.1 - low.1).abs() <= f64::EPSILON * target {
                break;
            }
            let next = high.0 - high.1 * (high.0 - low.0) / (high.1 - low.1);
            (low, high) = (high, (next, swept(&with(next)) - target));
        }
        with(high.0)
    }
}

fn nodes_of(arcs: &[Arc], radius: f64, per_quarter: u32, share: f64) -> Vec<[f64; 2]> {
    let mut out = vec![[arcs[0].point(arcs[0].from)[0], 0.0]];
    for arc in arcs {
        let steps = arc.steps(radius, per_quarter);
        let step = (arc.to - arc.from) / f64::from(steps);
        out.extend((1..steps).map(|i| arc.moved(arc.from + step * f64::from(i), step, share)));
        out.push(arc.point(arc.to));
    }
    // The last point is the barrel's edge, exactly.
    if let Some(last) = out.last_mut() {
        *last = [0.0, radius];
    }
    out
}

/// Volume of the frusta through the nodes, equal to that of the equal-area facets.
fn swept(nodes: &[[f64; 2]]) -> f64 {
    nodes
        .windows(2)
        .map(|w| PI / 3.0 * (w[0][0] - w[1][0]) * (w[0][1].powi(2) + w[0][1] * w[1][1] + w[1][1].powi(2)))
        .sum()
}

/// How finely a solid of revolution is divided.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Facets {
    /// Facets around; a multiple of four.
    pub(crate) around: u32,
    /// Steps along a quarter turn of an end's arc.
    per_quarter: u32,
}

impl Facets {
    /// Facets for a volume error of at most `tolerance` of the capacity at any level and attitude.
    ///
    /// A polygon of equal area misses the circle's segments by about `(pi^2 / 3) / n^3`, which rules the steps along an
    /// end (the factor covers them, measured): half as many again as around would need, because a level surface meets a
    /// shallow end along a whole ring at once. Its corners stand out by `pi^2 / (3 n^2)` of the radius; where levels count
    /// from the lowest of them (in the facets alone, without the body they stand for), a barrel's level that is off by so
    /// much is off by up to `2 r^2 l / (pi r^2 l)` of the capacity for each radius: that rules the facets around.
    pub(crate) fn for_tolerance(tolerance: f64) -> Self {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // tolerance is bounded by the caller
        let quarter = |facets: f64| ((facets / 4.0).ceil() as u32).max(4);
        let (of_segments, of_corners) = ((10.0 / tolerance).cbrt(), (2.5 / tolerance).sqrt());
        Self { around: 4 * quarter(of_corners.max(of_segments)), per_quarter: quarter(of_segments) * 3 / 2 }
    }
}

/// A barrel of this radius from 0 to `length` along the third local axis, with an end at each side. `place` maps local
/// coordinates (across, across, along) to the body frame and must keep handedness.
pub(crate) fn revolve(
    radius: f64,
    length: f64,
    ends: [&Profile; 2],
    facets: Facets,
    place: impl Fn(Vec3) -> Vec3,
) -> Result<ClosedMesh, GeometryError> {
    let [low, high] = ends.map(|end| end.nodes(radius, facets.per_quarter));
    let along = low.iter().map(|[u, r]| [-u, *r]).chain(high.iter().rev().map(|[u, r]| [length + u, *r]));
    let profile: Vec<[f64; 2]> = along.collect();
    let n = facets.around as usize;
    // Circumradius of the regular polygon with the circle's area.
    let turn = TAU / n as f64;
    let swell = (turn / turn.sin()).sqrt();
    let mut f = Faces { vertices: Vec::new(), faces: Vec::new() };
    f.vertices.push(place([0.0, 0.0, profile[0][0]]));
    for [s, r] in &profile[1..profile.len() - 1] {
        for j in 0..n {
            let (sin, cos) = (turn * j as f64).sin_cos();
            f.vertices.push(place([swell * r * cos, swell * r * sin, *s]));
        }
    }
    let rings = profile.len() - 2;
    let (low_pole, high_pole) = (0, f.vertices.len());
    f.vertices.push(place([0.0, 0.0, profile[profile.len() - 1][0]]));
    let ring = |k: usize, j: usize| 1 + k * n + j % n;
    for j in 0..n {
        f.triangle(low_pole, ring(0, j + 1), ring(0, j));
        f.triangle(high_pole, ring(rings - 1, j), ring(rings - 1, j + 1));
        for k in 0..rings - 1 {
            f.triangle(ring(k, j), ring(k, j + 1), ring(k + 1, j + 1));
            f.triangle(ring(k, j), ring(k + 1, j + 1), ring(k + 1, j));
        }
    }
    let pieces = [(ends[0], 0.0, -1.0), (ends[1], length, 1.0)];
    let pieces = pieces.into_iter().flat_map(|(end, from, way)| end.pieces(radius, from, way)).collect();
    Ok(ClosedMesh::try_new(f.vertices, f.faces)?.standing_for(Some(Curved::new(pieces, place))))
}
