//! Moved, turned and scaled sumps.

use uom::si::angle::radian;
use uom::si::f64::Angle;

use super::error::GeometryError;
use super::mesh::ClosedMesh;
use super::point::Point;
use super::sump::Sump;
use super::vector::{Vec3, add, cross, dot, norm, scale};
use crate::numeric::check;

impl ClosedMesh {
    /// The same faces with every vertex moved by a map that keeps handedness and angles.
    pub(crate) fn mapped(&self, map: impl Fn(Vec3) -> Vec3) -> Result<Self, GeometryError> {
        let curved = self.curved().map(|curved| curved.mapped(&map));
        let mesh = Self::try_new(self.vertices().into_iter().map(map).collect(), self.faces.clone())?;
        Ok(mesh.standing_for(curved))
    }
}

impl Sump {
    /// The sump moved by `by` in the body frame. A sump known by a table or a span has no place and is refused.
    pub fn translated(&self, by: Point) -> Result<Self, GeometryError> {
        let by = by.si();
        check::all_finite("by", &by)?;
        self.need_mesh()?.mapped(|v| add(v, by)).map(Self::from_mesh)
    }

    /// The sump turned by `angle` about an axis through the origin (right-hand rule; the axis need not be of unit
    /// length): `v cos a + (k x v) sin a + k (k . v)(1 - cos a)` (Rodrigues' formula).
    pub fn rotated(&self, axis: [f64; 3], angle: Angle) -> Result<Self, GeometryError> {
        check::all_finite("axis", &axis)?;
        let length = norm(axis);
        check::in_range("axis (its length)", length, 1e-9, 1e9, "")?;
        let k = scale(axis, 1.0 / length);
        let (sin, cos) = check::finite("angle", angle.get::<radian>())?.sin_cos();
        let turn = |v: Vec3| add(add(scale(v, cos), scale(cross(k, v), sin)), scale(k, dot(k, v) * (1.0 - cos)));
        self.need_mesh()?.mapped(turn).map(Self::from_mesh)
    }

    /// The sump with every length multiplied by `factor` (0.001 to 1000), about the origin; volumes go with its cube. So a
    /// vessel of one metal expands.
    pub fn scaled(&self, factor: f64) -> Result<Self, GeometryError> {
        check::in_range("factor", factor, 1e-3, 1e3, "")?;
        if let Some(table) = self.scaled_table(factor) {
            return Ok(table);
        }
        self.need_mesh()?.mapped(|v| scale(v, factor)).map(Self::from_mesh)
    }

    /// Number of triangular faces, unless the sump is known by a table or a span.
    pub fn face_count(&self) -> Option<usize> {
        self.mesh().map(ClosedMesh::face_count)
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use uom::si::f64::{Length, Volume};
    use uom::si::length::millimeter;
    use uom::si::volume::liter;

    use super::*;
    use crate::geometry::Attitude;

    /// A strapping table of a vessel that grows: levels with the factor, volumes with its cube.
    #[test]
    fn a_table_grows_with_its_vessel() {
        let row = |mm: f64, l: f64| (Length::new::<millimeter>(mm), Volume::new::<liter>(l));
        let table = Sump::from_table(&[row(0.0, 0.0), row(40.0, 3.0), row(90.0, 5.0)]).unwrap();
        let warm = table.scaled(1.01).unwrap();
        let volume = warm.volume(Length::new::<millimeter>(40.4), Attitude::LEVEL).unwrap();
        assert_relative_eq!(volume.get::<liter>(), 3.0 * 1.01f64.powi(3), max_relative = 1e-12);
        assert_relative_eq!(warm.capacity().get::<liter>(), 5.0 * 1.01f64.powi(3), max_relative = 1e-12);
    }
}
