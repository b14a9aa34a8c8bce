//! Does a point lie in the liquid space? By the solid angle that the whole surface fills, seen from the point.

use super::mesh::ClosedMesh;
use super::vector::Vec3;

impl ClosedMesh {
    /// Whether a point (m) lies inside, or on the surface within rounding.
    ///
    /// The surface of a closed mesh fills 4π seen from inside and 0 from outside; a triangle with corners a, b, c seen from
    /// the origin fills `2 atan2(a·(b×c), |a||b||c| + (a·b)|c| + (b·c)|a| + (c·a)|b|)` (Van Oosterom and Strackee 1983, IEEE
    /// Trans. Biomed. Eng. 30:125).
    pub(crate) fn contains_si(&self, point: Vec3) -> bool {
        let filled: f64 = (0..self.face_count()).map(|i| self.solid_angle(i, point)).sum();
        filled > std::f64::consts::PI
    }

    fn solid_angle(&self, face: usize, from: Vec3) -> f64 {
        let [a, b, c] = self.corners(face).map(|p| [p[0] - from[0], p[1] - from[1], p[2] - from[2]]);
        let dot = |p: Vec3, q: Vec3| p[0] * q[0] + p[1] * q[1] + p[2] * q[2];
        let [la, lb, lc] = [a, b, c].map(|p| dot(p, p).sqrt());
        let cross = [b[1] * c[2] - b[2] * c[1], b[2] * c[0] - b[0] * c[2], b[0] * c[1] - b[1] * c[0]];
        2.0 * dot(a, cross).atan2(la * lb * lc + dot(a, b) * lc + dot(b, c) * la + dot(c, a) * lb)
    }
}

#[cfg(test)]
mod tests {
    use super::super::sump::Sump;
    use uom::si::f64::Length;
    use uom::si::length::millimeter;

    #[test]
    fn a_box_holds_its_middle_and_not_its_surroundings() {
        let mm = |x| Length::new::<millimeter>(x);
        let sump = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
        let mesh = sump.mesh().unwrap();
        for inside in [[0.0, 0.0, 0.05], [0.149, -0.099, 0.001], [0.1, 0.05, 0.0999]] {
            assert!(mesh.contains_si(inside), "{inside:?}");
        }
        for outside in [[0.151, 0.0, 0.05], [0.0, 0.0, -0.001], [0.0, 0.0, 0.101], [3.0, 3.0, 3.0]] {
            assert!(!mesh.contains_si(outside), "{outside:?}");
        }
    }
}
