//! Where liquid goes that runs down the surface: steepest descent over the triangles, free fall at overhangs.

use super::super::mesh::ClosedMesh;
use super::super::vector::{Vec3, add, cross, dot, norm, scale, sub};
use super::adjacency::{Adjacency, Corner};
use super::tree::{FLAT, Tree};
use super::{below, locate};

/// Slopes and differences of height below this are level.
const LEVEL: f64 = 1e-12;

/// A point this near to a floor lies on it \[m\].
const TOUCH: f64 = 1e-6;

/// Where running liquid is.
#[derive(Debug, Clone, Copy)]
enum Place {
    /// On a face, having come over one of its edges, from a corner, or from above.
    Face(usize, Vec3, From),
    Vertex(u32),
    /// In the air.
    Falls(Vec3),
}

/// How liquid has come to a face: the edges that it cannot leave by at once.
#[derive(Debug, Clone, Copy)]
enum From {
    Above,
    Edge(u32, u32),
    Corner(u32),
}

/// Liquid that runs down a mesh at the attitude of a tree.
pub(super) struct Runner<'a> {
    pub(super) tree: &'a Tree,
    pub(super) mesh: &'a ClosedMesh,
    pub(super) adjacency: &'a Adjacency,
}

impl Runner<'_> {
    /// The smallest basin that liquid let go at a point of the liquid space ends in.
    pub(super) fn fallen_at(&self, point: Vec3) -> usize {
        let (face, _, distance) = locate::nearest(self.mesh, point);
        if distance <= TOUCH && dot(self.mesh.area[face], self.tree.up) < 0.0 {
            return self.run(Place::Face(face, point, From::Above));
        }
        let drop = below::floor_under(self.mesh, self.tree.up, &self.tree.heights, point, self.tree.height_of(point));
        match drop {
            Some((f, height)) => self.run(Place::Face(f, self.lowered(point, height), From::Above)),
            None => self.run(Place::Face(face, point, From::Above)),
        }
    }

    /// The same for liquid at a vertex.
    pub(super) fn run_from(&self, vertex: u32) -> usize {
        self.run(Place::Vertex(vertex))
    }

    /// The smallest basin that a full basin spills into.
    pub(super) fn spill(&self, node: usize) -> Option<usize> {
        let end = self.tree.nodes[node].end?;
        let (full, family) = (self.tree.within(node), self.tree.within(end.parent));
        // Downwards from the sill, but not back.
        let forward = |v: u32| {
            self.height(v) < end.sill - LEVEL && {
                let part = self.tree.node_of[v as usize] as usize;
                !full[part] && self.tree.at_level(part, end.sill) != node
            }
        };
        let lip = self.flat_part(end.vertex).find(|v| self.around(*v).iter().any(|c| forward(c.next)));
        let step = lip.and_then(|v| self.steepest(v, |c| forward(c.next), |c| forward(c.next) || forward(c.previous)));
        let landed = step.map(|place| self.run(place));
        // Where the ways back and on cannot be told apart: the deepest neighbour.
        let other = || {
            let siblings = self.tree.nodes[end.parent].children.iter().filter(|c| **c != node);
            siblings.copied().min_by(|a, b| self.lowest_of(*a).total_cmp(&self.lowest_of(*b)))
        };
        landed.filter(|leaf| family[*leaf] && !full[*leaf]).or_else(|| other().map(|n| self.deepest(n)))
    }

    fn run(&self, mut place: Place) -> usize {
        for _ in 0..4 * self.mesh.face_count() + 64 {
            let part = self.part(place);
            if self.tree.nodes[part].children.is_empty() {
                return part;
            }
            let next = match place {
                Place::Face(f, p, from) => self.down_face(f, p, from),
                Place::Vertex(v) => self.down_vertex(v),
                Place::Falls(p) => self.fall(p),
            };
            match next {
                Some(next) => place = next,
                None => break,
            }
        }
        // A pit of no more than rounding: what is below it in the tree.
        self.deepest(self.part(place))
    }

    /// The basin that a place is in at its own height. From there liquid does not come out again.
    fn part(&self, place: Place) -> usize {
        let (node, height) = match place {
            Place::Face(f, p, _) => (self.tree.node_of_face(self.mesh.faces[f]), self.tree.height_of(p)),
            Place::Vertex(v) => (self.tree.node_of[v as usize] as usize, self.height(v)),
            Place::Falls(p) => {
                let h = self.tree.height_of(p);
                let hit = below::floor_under(self.mesh, self.tree.up, &self.tree.heights, p, h);
                (hit.map_or(self.tree.nodes.len() - 1, |(f, _)| self.tree.node_of_face(self.mesh.faces[f])), h)
            }
        };
        self.tree.at_level(node, height)
    }

    fn down_face(&self, face: usize, p: Vec3, from: From) -> Option<Place> {
        let f = self.mesh.faces[face];
        let Some(way) = self.slope(face) else {
            return Some(Place::Vertex(self.tree.lowest_corner(f)));
        };
        let (i, j, place) = self.exit(face, p, way, from)?;
        let falls_along = || Some(Place::Vertex(if self.height(i) <= self.height(j) { i } else { j }));
        let Some(beyond) = self.across(i, j) else { return falls_along() };
        let into = self.inward(beyond, i, j);
        if dot(into, self.tree.up) >= -LEVEL {
            return falls_along();
        }
        if self.looks_up(beyond) {
            return Some(Place::Falls(place));
        }
        match self.slope(beyond) {
            Some(on) if dot(on, into) > LEVEL => Some(Place::Face(beyond, place, From::Edge(i, j))),
            _ => falls_along(),
        }
    }

    fn down_vertex(&self, v: u32) -> Option<Place> {
        if let Some(place) = self.steepest(v, |_| true, |_| true) {
            return Some(place);
        }
        let height = self.height(v);
        let lower = |u: u32| self.around(u).iter().any(|c| self.height(c.next) < height - LEVEL);
        let here = self.mesh.vertex(v);
        let away = |u: &u32| norm(sub(self.mesh.vertex(*u), here));
        let over = self.flat_part(v).filter(|u| lower(*u)).min_by(|a, b| away(a).total_cmp(&away(b)));
        match over {
            Some(u) => self.steepest(u, |c| self.height(c.next) < height - LEVEL, |_| true),
            None => self.fall(here),
        }
    }

    fn fall(&self, p: Vec3) -> Option<Place> {
        let height = self.tree.height_of(p);
        let (face, met) = below::floor_under(self.mesh, self.tree.up, &self.tree.heights, p, height)?;
        Some(Place::Face(face, self.lowered(p, met), From::Above))
    }

    /// The steepest way down from a vertex, along an edge or across a face, of those allowed.
    fn steepest(&self, v: u32, edge: impl Fn(&Corner) -> bool, face: impl Fn(&Corner) -> bool) -> Option<Place> {
        let at = self.mesh.vertex(v);
        let mut best = (LEVEL, None);
        for c in self.around(v) {
            let f = c.face as usize;
            let to = sub(self.mesh.vertex(c.next), at);
            let grade = -dot(to, self.tree.up) / norm(to);
            if edge(c) && grade > best.0 {
                best = (grade, Some(Place::Vertex(c.next)));
            }
            let Some(way) = self.slope(f).filter(|_| face(c)) else { continue };
            let grade = -dot(way, self.tree.up);
            let (a, b) = (to, sub(self.mesh.vertex(c.previous), at));
            let n = self.mesh.area[f];
            let between = dot(cross(a, way), n) > 0.0 && dot(cross(way, b), n) > 0.0;
            if between && grade > best.0 {
                let place = Place::Face(f, at, From::Corner(v));
                best = (grade, Some(if self.looks_up(f) { Place::Falls(at) } else { place }));
            }
        }
        best.1
    }

    /// Where liquid that crosses a face by `way` leaves it: the edge and the place.
    fn exit(&self, face: usize, p: Vec3, way: Vec3, from: From) -> Option<(u32, u32, Vec3)> {
        let (f, n) = (self.mesh.faces[face], self.mesh.area[face]);
        let mut best: Option<(f64, u32, u32)> = None;
        for (i, j) in [(f[0], f[1]), (f[1], f[2]), (f[2], f[0])] {
            let barred = match from {
                From::Above => false,
                From::Edge(a, b) => (i, j) == (a, b) || (i, j) == (b, a),
                From::Corner(v) => i == v || j == v,
            };
            let a = self.mesh.vertex(i);
            // Across the edge, out of the face.
            let out = cross(sub(self.mesh.vertex(j), a), n);
            let speed = dot(way, out);
            if !barred && speed > 0.0 {
                let time = (dot(sub(a, p), out) / speed).max(0.0);
                if best.is_none_or(|(t, ..)| time < t) {
                    best = Some((time, i, j));
                }
            }
        }
        best.map(|(t, i, j)| (i, j, add(p, scale(way, t))))
    }

    /// Steepest way down in a face, a unit vector; none on a level one or one without area.
    fn slope(&self, face: usize) -> Option<Vec3> {
        let n = self.mesh.area[face];
        let n = scale(n, 1.0 / norm(n));
        let way = sub(scale(n, dot(n, self.tree.up)), self.tree.up);
        let length = norm(way);
        (length > LEVEL).then(|| scale(way, 1.0 / length))
    }

    /// Direction into a face from its edge between `i` and `j`, across that edge.
    fn inward(&self, face: usize, i: u32, j: u32) -> Vec3 {
        let far = self.mesh.faces[face].into_iter().find(|v| *v != i && *v != j).unwrap_or(i);
        let (a, b) = (self.mesh.vertex(i), self.mesh.vertex(j));
        let (edge, to) = (sub(b, a), sub(self.mesh.vertex(far), a));
        let across = sub(to, scale(edge, dot(to, edge) / dot(edge, edge)));
        let length = norm(across);
        if length > 0.0 { scale(across, 1.0 / length) } else { across }
    }

    /// The face on the other side of the edge that a face runs along from `i` to `j`.
    fn across(&self, i: u32, j: u32) -> Option<usize> {
        self.around(j).iter().find(|c| c.next == i).map(|c| c.face as usize)
    }

    /// Whether liquid lies below a face: a ceiling, off which liquid drips.
    fn looks_up(&self, face: usize) -> bool {
        let n = self.mesh.area[face];
        dot(n, self.tree.up) > LEVEL * norm(n)
    }

    /// The vertices joined to one at no more than rounding above it.
    fn flat_part(&self, v: u32) -> impl Iterator<Item = u32> + '_ {
        let limit = self.height(v) + FLAT;
        let mut seen = std::collections::HashSet::from([v]);
        let mut queue = std::collections::VecDeque::from([v]);
        let low = self.height(v) - FLAT;
        std::iter::from_fn(move || {
            let next = queue.pop_front()?;
            for c in self.around(next) {
                if (low..=limit).contains(&self.height(c.next)) && seen.insert(c.next) {
                    queue.push_back(c.next);
                }
            }
            Some(next)
        })
    }

    /// The smallest basin with the lowest point of all in `node`.
    fn deepest(&self, mut node: usize) -> usize {
        while let Some(next) =
            self.tree.nodes[node].children.iter().min_by(|a, b| self.lowest_of(**a).total_cmp(&self.lowest_of(**b)))
        {
            node = *next;
        }
        node
    }

    fn lowest_of(&self, node: usize) -> f64 {
        self.height(self.tree.nodes[node].lowest)
    }

    fn lowered(&self, p: Vec3, height: f64) -> Vec3 {
        sub(p, scale(self.tree.up, self.tree.height_of(p) - height))
    }

    fn height(&self, v: u32) -> f64 {
        self.tree.heights[v as usize]
    }

    fn around(&self, v: u32) -> &[Corner] {
        self.adjacency.around(v)
    }
}
