//! Low points of the surface, the slopes that lead down to them, and the passes where slopes meet.
//!
//! Only vertices where the surface below changes its connection matter to the tree: low points, and passes, from which
//! it falls on more than one side. One look at every face finds them. From a pass each side is followed down to a low
//! point, by any path that only falls (monotone paths: Chiang, Lenz, Lu, Rote 2005, Computational Geometry 30:165; cited
//! from memory). Where several low points can be reached from a vertex, they are one part below its height.

use super::super::mesh::ClosedMesh;
use super::adjacency::Adjacency;
use super::order::Order;

const NONE: u32 = u32::MAX;

/// The surface parted by low points.
pub(super) struct Slopes<'a> {
    adjacency: &'a Adjacency,
    order: &'a Order,
    /// The vertices lower than all their neighbours, as they are swept.
    pub(super) low_points: Vec<u32>,
    /// A low point that each vertex leads down to, by its place in the list, where it has been followed.
    of_vertex: Vec<u32>,
    /// Vertices kept for the next walk.
    walked: Vec<u32>,
}

/// A pass and the low points of two of its sides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Meeting {
    pub(super) key: u64,
    pub(super) slopes: [u32; 2],
}

impl<'a> Slopes<'a> {
    /// The slopes, and where they meet.
    pub(super) fn new(mesh: &ClosedMesh, adjacency: &'a Adjacency, order: &'a Order) -> (Self, Vec<Meeting>) {
        let turns = turns(mesh, order);
        let uneven = (0u32..).zip(&turns).filter(|(_, t)| **t != REGULAR).map(|(v, _)| v);
        let uneven: Vec<u32> = uneven.chain(adjacency.pinched().iter().copied()).collect();
        let lowest = |v: &u32| adjacency.around(*v).iter().all(|c| order.key(c.next) > order.key(*v));
        let (mut low_points, passes): (Vec<u32>, Vec<u32>) = uneven.into_iter().partition(lowest);
        low_points.sort_unstable_by_key(|v| order.key(*v));
        low_points.dedup();
        let mut of_vertex = vec![NONE; mesh.vertex_count()];
        for (n, v) in (0u32..).zip(&low_points) {
            of_vertex[*v as usize] = n;
        }
        let mut slopes = Self { adjacency, order, low_points, of_vertex, walked: Vec::new() };
        let meetings = if slopes.low_points.len() > 1 { slopes.meetings(&passes) } else { Vec::new() };
        (slopes, meetings)
    }

    /// A low point that a vertex leads down to: always the same.
    pub(super) fn under(&mut self, mut v: u32) -> u32 {
        while self.of_vertex[v as usize] == NONE {
            self.walked.push(v);
            let key = self.order.key(v);
            // Every vertex that is not a low point has one.
            let lower = self.adjacency.around(v).iter().find(|c| self.order.key(c.next) < key);
            let Some(lower) = lower else { break };
            v = lower.next;
        }
        let low = self.of_vertex[v as usize];
        for u in self.walked.drain(..) {
            self.of_vertex[u as usize] = low;
        }
        low
    }

    /// Where slopes of different low points meet, in the order of the sweep.
    fn meetings(&mut self, passes: &[u32]) -> Vec<Meeting> {
        let mut out = Vec::new();
        for at in passes {
            let key = self.order.key(*at);
            // One neighbour of each side: the last lower one before a higher one. Where surfaces touch in a vertex a
            // side may have no end: every lower neighbour then.
            let pinched = self.adjacency.pinched().binary_search(at).is_ok();
            let mut first = None;
            for c in self.adjacency.around(*at) {
                let [next, previous] = [c.next, c.previous].map(|v| self.order.key(v));
                if next < key && (pinched || previous > key) {
                    let under = self.under(c.next);
                    let first = *first.get_or_insert(under);
                    if under != first {
                        out.push(Meeting { key, slopes: [first, under] });
                    }
                }
            }
        }
        out.sort_unstable();
        out
    }
}

/// Turns around a vertex from where the surface falls to where it does not: an even number, two at most vertices.
const REGULAR: u8 = 2;

/// How often, going around each vertex, the neighbours change between lower and higher: once in every face of which
/// it is the middle corner.
fn turns(mesh: &ClosedMesh, order: &Order) -> Vec<u8> {
    let mut turns = vec![0u8; mesh.vertex_count()];
    for f in &mesh.faces {
        let [a, b, c] = f.map(|v| order.key(v));
        let middle = a.min(b).max(a.max(b).min(c));
        let count = &mut turns[order.vertex(middle) as usize];
        *count = count.saturating_add(1);
    }
    turns
}
