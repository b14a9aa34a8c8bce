//! Volume that a pool at one attitude and basins at another have in common.
//!
//! Both are parts of the liquid space below a plane. Where `d` is a unit vector along both planes, the divergence theorem
//! with the field `(x.d) d` gives the volume below both as an integral over the surface of the body alone,
//! `sum over faces of (d.n) integral of (x.d) dA` of what is left of each face below both planes: nothing flows through
//! the planes themselves. A face below a level is one piece and belongs to the part that its lowest corner is in. The sum is exact. (Derived
//! here; the tests hold it against closed forms.)

use super::super::mesh::ClosedMesh;
use super::super::sum::Sum;
use super::super::vector::{Vec3, add, cross, dot, norm, scale, sub};
use super::below::across;
use super::tree::Tree;

/// The most corners of a triangle cut by two planes.
const CORNERS: usize = 5;

/// A polygon of few corners.
#[derive(Clone, Copy)]
struct Polygon {
    corners: [Vec3; CORNERS],
    count: usize,
}

/// A pool at an attitude: the part of the liquid space in a basin below a level.
pub(super) struct Body<'a> {
    pub(super) tree: &'a Tree,
    pub(super) within: &'a [bool],
    pub(super) level: f64,
}

/// For every one of some basins at a new attitude the volume to its sill that lies in `old` \[m3\]. No basin may be part of
/// another.
pub(super) fn overlaps(mesh: &ClosedMesh, old: &Body<'_>, new: &Tree, basins: &[usize]) -> Vec<f64> {
    let mut place = vec![usize::MAX; new.nodes.len()];
    for (i, basin) in basins.iter().enumerate() {
        let within = new.within(*basin);
        place.iter_mut().zip(&within).filter(|(_, w)| **w).for_each(|(p, _)| *p = i);
    }
    let along = cross(old.tree.up, new.up);
    let length = norm(along);
    let d = if length > 1e-9 { scale(along, 1.0 / length) } else { across(new.up)[0] };
    let (low, high) = mesh.bounds_si();
    let centre = super::super::mesh::middle(low, high);
    let mut sums = vec![Sum::default(); basins.len()];
    for f in &mesh.faces {
        let i = place[new.node_of_face(*f)];
        if i == usize::MAX || !old.within[old.tree.node_of_face(*f)] {
            continue;
        }
        let sill = new.sill(basins[i]);
        let mut piece = Polygon::of(f.map(|v| mesh.vertex(v)));
        for (tree, level) in [(old.tree, old.level), (new, sill)] {
            if f.iter().any(|v| tree.heights[*v as usize] > level) {
                piece = piece.below(|p| tree.height_of(p) - level);
            }
        }
        sums[i].add(piece.flux(d, centre));
    }
    sums.iter().map(|s| s.value().max(0.0)).collect()
}

impl Polygon {
    fn of(triangle: [Vec3; 3]) -> Self {
        let mut corners = [[0.0; 3]; CORNERS];
        corners[..3].copy_from_slice(&triangle);
        Self { corners, count: 3 }
    }

    /// What is left where `height` is not positive (Sutherland and Hodgman 1974, Comm. ACM 17:32; from memory).
    fn below(&self, height: impl Fn(Vec3) -> f64) -> Self {
        let mut out = Self { corners: [[0.0; 3]; CORNERS], count: 0 };
        for i in 0..self.count {
            let (p, q) = (self.corners[i], self.corners[(i + 1) % self.count]);
            let (hp, hq) = (height(p), height(q));
            if hp <= 0.0 {
                out.push(p);
            }
            if (hp <= 0.0) != (hq <= 0.0) {
                out.push(add(p, scale(sub(q, p), hp / (hp - hq))));
            }
        }
        out
    }

    fn push(&mut self, p: Vec3) {
        // Rounding can make a sliver of a polygon look bent and cut it once more; such a corner adds nothing.
        if self.count < CORNERS {
            self.corners[self.count] = p;
            self.count += 1;
        }
    }

    /// Integral of `((x - centre).d) (d.n)` over the polygon.
    fn flux(&self, d: Vec3, centre: Vec3) -> f64 {
        let along = |p: Vec3| dot(sub(p, centre), d);
        let a = self.corners[0];
        let fan = (2..self.count).map(|i| {
            let (b, c) = (self.corners[i - 1], self.corners[i]);
            let area = dot(cross(sub(b, a), sub(c, a)), d) / 2.0;
            area * (along(a) + along(b) + along(c)) / 3.0
        });
        fan.sum()
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::f64::Length;
    use uom::si::length::millimeter;

    use super::super::super::tests::pans::{pan, ribbed};
    use super::super::super::{Attitude, Sump};
    use super::*;

    fn leaves(tree: &Tree) -> Vec<usize> {
        (0..tree.nodes.len()).filter(|n| tree.nodes[*n].children.is_empty()).collect()
    }

    /// 5 mm deep on both sides of a rib of 4 x 10 mm, then nose up by 5 deg: the front basin is a wedge against the rib, of
    /// which 10 mm to 5 mm were not wet; the rear one covers all that was wet there (closed forms).
    #[test]
    fn a_rib_between_two_wedges() {
        let sump = ribbed(0.004, 0.010);
        let (old, up) = (sump.basin_tree(Attitude::LEVEL).unwrap(), Attitude::from_degrees(5.0, 0.0).unwrap());
        let (new, mesh) = (sump.basin_tree(up).unwrap(), sump.mesh().unwrap());
        let tan = f64::to_radians(5.0).tan();
        let mut seen = 0.0;
        for leaf in leaves(&old) {
            let within = old.within(leaf);
            let body = Body { tree: &old, within: &within, level: 0.005 };
            let basins = leaves(&new);
            for (basin, got) in basins.iter().zip(overlaps(mesh, &body, &new, &basins)) {
                let [front_old, front_new] =
                    [old.nodes[leaf].lowest, new.nodes[*basin].lowest].map(|v| mesh.vertex(v)[0] > 0.15);
                let want = match (front_old, front_new) {
                    (true, true) => 0.2 * (0.010_f64.powi(2) - 0.005_f64.powi(2)) / (2.0 * tan),
                    (false, false) => 0.2 * 0.148 * 0.005,
                    _ => 0.0,
                };
                assert_relative_eq!(got, want, max_relative = 1e-11, epsilon = 1e-18);
                seen += got;
            }
        }
        assert!(seen > 0.0);
        // A box that is turned by nothing: the whole pool, whatever line is taken along both planes.
        let whole = Sump::cuboid(
            Length::new::<millimeter>(300.0),
            Length::new::<millimeter>(200.0),
            Length::new::<millimeter>(100.0),
        );
        let whole = whole.unwrap();
        let tree = whole.basin_tree(up).unwrap();
        let body = Body { tree: &tree, within: &[true], level: 0.03 };
        let got = overlaps(whole.mesh().unwrap(), &body, &tree, &[0]);
        assert_relative_eq!(got[0], whole.volume_si(0.03, up).unwrap(), max_relative = 1e-11);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]

        /// All of a pan below its top has with each basin the volume of that basin to its sill; all of the pan has with
        /// what was below a level what was below it.
        #[test]
        fn all_of_a_pan(
            z in prop::collection::vec(0.0..0.03f64, 7 * 6), p in -15.0..15.0f64, r in -15.0..15.0f64, share in 0.1..0.9f64,
        ) {
            let sump = Sump::from_mesh(pan(7, 6, &z, 0.12));
            let mesh = sump.mesh().unwrap();
            let old = sump.basin_tree(Attitude::LEVEL).unwrap();
            let new = sump.basin_tree(Attitude::from_degrees(p, r).unwrap()).unwrap();
            let all = vec![true; old.nodes.len()];
            let full = Body { tree: &old, within: &all, level: old.top() };
            let basins = leaves(&new);
            for (basin, got) in basins.iter().zip(overlaps(mesh, &full, &new, &basins)) {
                prop_assert!((got - new.nodes[*basin].volume).abs() <= 1e-13 * sump.capacity_si());
            }
            let level = share * old.top();
            let body = Body { tree: &old, within: &all, level };
            let got = overlaps(mesh, &body, &new, &[new.nodes.len() - 1])[0];
            prop_assert!((got - sump.volume_si(level, Attitude::LEVEL).unwrap()).abs() <= 1e-13 * sump.capacity_si());
        }
    }
}
