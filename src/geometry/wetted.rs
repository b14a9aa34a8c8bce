//! Wetted area below a level, split into floor, walls and ceiling by slope, prepared for one attitude.
//!
//! The area of a triangle below a plane is the derivative of the same cubic that gives volumes, with the triangle's
//! true area in place of its horizontal one; so it is prepared by the same sum and as exact.

use uom::si::angle::radian;
use uom::si::area::square_meter;
use uom::si::f64::{Angle, Area, Length};
use uom::si::length::meter;

use super::attitude::Attitude;
use super::error::GeometryError;
use super::knots::Knots;
use super::lookup::Lookup;
use super::ramp::{self, Cubic};
use super::sump::Sump;
use super::vector::{dot, norm};
use crate::numeric::check;

/// Area of the sump's surface that liquid touches.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct WettedArea {
    /// Faces that liquid stands on, no steeper than the floor slope.
    pub floor: Area,
    /// Faces steeper than the floor slope, whichever way they look.
    pub walls: Area,
    /// Faces that liquid stands under, no steeper than the floor slope.
    pub ceiling: Area,
}

/// Wetted area at every level, at one attitude.
#[derive(Debug, Clone)]
pub struct WettedCurve {
    z: Vec<f64>,
    by_level: Lookup,
    parts: [Vec<Cubic>; 3],
    totals: [f64; 3],
}

impl Sump {
    /// Prepares the wetted area for one attitude. A face counts as floor or ceiling when it is inclined to the
    /// horizontal by at most `floor_slope` (0 to 90 degrees), else as wall.
    pub fn wetted(&self, attitude: Attitude, floor_slope: Angle) -> Result<WettedCurve, GeometryError> {
        let slope = check::in_range("floor_slope", floor_slope.get::<radian>().to_degrees(), 0.0, 90.0, "deg")?;
        let mesh = self.need_mesh()?;
        let up = attitude.up_si();
        let (heights, _) = mesh.heights(up);
        let knots = Knots::new(&heights);
        // A face is flat enough when its area seen from above is at least this share of it; vertical walls never are.
        let flat = slope.to_radians().cos().max(f64::EPSILON);
        let part = |face: usize| {
            let (seen, all) = (dot(mesh.area[face], up), norm(mesh.area[face]));
            match () {
                () if seen.abs() < flat * all => 1,
                () if seen < 0.0 => 0,
                () => 2,
            }
        };
        let weight = |p: usize| move |face: usize| if part(face) == p { norm(mesh.area[face]) } else { 0.0 };
        let parts = [0, 1, 2].map(|p| ramp::sum(&knots, &mesh.faces, weight(p)).cubic);
        let totals = [0, 1, 2].map(|p| (0..mesh.face_count()).map(weight(p)).sum());
        Ok(WettedCurve { by_level: Lookup::new(&knots.z), z: knots.z, parts, totals })
    }
}

impl WettedCurve {
    /// Wetted area below `level`; nothing below the lowest point and everything above the highest. At the height of a
    /// horizontal face the face counts.
    pub fn at(&self, level: Length) -> Result<WettedArea, GeometryError> {
        let [floor, walls, ceiling] = self.at_si(check::finite("level", level.get::<meter>())?);
        let area = Area::new::<square_meter>;
        Ok(WettedArea { floor: area(floor), walls: area(walls), ceiling: area(ceiling) })
    }

    /// Floor, walls and ceiling wetted below a level, in metres and square metres.
    pub fn at_si(&self, level: f64) -> [f64; 3] {
        if level < self.z[0] {
            return [0.0; 3];
        }
        if level >= self.z[self.z.len() - 1] {
            return self.totals;
        }
        let i = self.by_level.interval(&self.z, level);
        let t = level - self.z[i];
        [0, 1, 2].map(|p| {
            let [_, c1, c2, c3] = self.parts[p][i];
            (c1 + t * (2.0 * c2 + 3.0 * t * c3)).clamp(0.0, self.totals[p])
        })
    }
}
