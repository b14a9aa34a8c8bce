//! Low points of the surface, the vertices that lead down to each, and where their slopes meet.

use super::super::kernel::RUN;
use super::super::knots::Knots;
use super::super::mesh::ClosedMesh;
use super::adjacency::Adjacency;
use crate::numeric::share::share;

/// The surface parted by low points.
pub(super) struct Slopes {
    /// The vertices lower than all their neighbours, rising (of equal heights the lower number counts as lower).
    pub(super) low_points: Vec<u32>,
    /// The low point that each vertex leads down to, by its place in the list.
    pub(super) of_vertex: Vec<u32>,
    /// Edges between slopes of different low points, in the order of their higher ends.
    pub(super) meetings: Vec<Meeting>,
}

/// An edge between two slopes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Meeting {
    /// Height of the higher end, as a knot.
    pub(super) knot: u32,
    /// The higher end.
    pub(super) at: u32,
    /// The slopes of its ends.
    pub(super) slopes: [u32; 2],
}

impl Slopes {
    pub(super) fn new(mesh: &ClosedMesh, adjacency: &Adjacency, knots: &Knots) -> Self {
        let key = |v: u32| (u64::from(knots.of_vertex[v as usize]) << 32) | u64::from(v);
        let lowest = |v: u32| adjacency.around(v).iter().map(|c| key(c.next)).fold(key(v), u64::min);
        let mut down = vec![0u32; mesh.vertex_count()];
        share(down.chunks_mut(RUN).zip((0u32..).step_by(RUN)).collect(), |(down, first): (&mut [u32], u32)| {
            #[allow(clippy::cast_possible_truncation)] // the low half of a key is the vertex
            down.iter_mut().zip(first..).for_each(|(down, v)| *down = lowest(v) as u32);
        });
        let mut low_points: Vec<u32> = (0u32..).zip(&down).filter(|(v, d)| v == *d).map(|(v, _)| v).collect();
        low_points.sort_unstable_by_key(|v| key(*v));
        lead_down(&mut down);
        let mut number = vec![0u32; down.len()];
        for (n, v) in (0u32..).zip(&low_points) {
            number[*v as usize] = n;
        }
        let of_vertex: Vec<u32> = down.iter().map(|v| number[*v as usize]).collect();
        let meetings = if low_points.len() > 1 { meetings(mesh, &of_vertex, key) } else { Vec::new() };
        Self { low_points, of_vertex, meetings }
    }
}

/// Replaces each vertex's next lower one by the last of the chain.
fn lead_down(down: &mut [u32]) {
    let mut chain = Vec::new();
    for v in 0..down.len() {
        let mut w = down[v];
        while down[w as usize] != w {
            chain.push(w);
            w = down[w as usize];
        }
        down[v] = w;
        for u in chain.drain(..) {
            down[u as usize] = w;
        }
    }
}

#[allow(clippy::cast_possible_truncation)] // the halves of a key are knot and vertex
fn meetings(mesh: &ClosedMesh, of_vertex: &[u32], key: impl Fn(u32) -> u64) -> Vec<Meeting> {
    let mut out = Vec::new();
    for f in &mesh.faces {
        for (a, b) in [(f[0], f[1]), (f[1], f[2]), (f[2], f[0])] {
            let slopes = [of_vertex[a as usize], of_vertex[b as usize]];
            // Every edge is seen from both its faces; once will do.
            if a < b && slopes[0] != slopes[1] {
                let higher = key(a).max(key(b));
                out.push(Meeting { knot: (higher >> 32) as u32, at: higher as u32, slopes });
            }
        }
    }
    out.sort_unstable();
    out
}
