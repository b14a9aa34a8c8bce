//! The free surface as a plane: where its centroid lies.

use super::mesh::{ClosedMesh, middle};
use super::vector::{Vec3, add, cross, dot, scale, sub};
use crate::numeric::check;

use super::attitude::Attitude;
use super::error::GeometryError;
use super::point::Point;
use super::sump::Sump;
use uom::si::area::square_meter;
use uom::si::f64::{Area, Length};
use uom::si::length::meter;

/// The free surface at a level: a plane in the body frame and what of it is wet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surface {
    /// Unit normal of the plane, pointing up.
    pub up: [f64; 3],
    /// Where the plane lies: every point of it has this component along `up`.
    pub offset: Length,
    /// Area inside the sump, just above (at the top: just below).
    pub area: Area,
    /// Centroid of that area; `None` where there is none.
    pub centroid: Option<Point>,
}

impl Surface {
    /// Depth of a point below the plane, along `up` (negative above it).
    pub fn depth(&self, point: Point) -> Length {
        self.offset - Length::new::<meter>(dot(point.si(), self.up))
    }
}

impl Sump {
    /// The free surface at `level`. Refused outside the sump, and for a table or a span, which has no plan form.
    pub fn surface(&self, level: Length, attitude: Attitude) -> Result<Surface, GeometryError> {
        let mesh = self.need_mesh()?;
        let curve = self.curve(attitude)?;
        let area = Area::new::<square_meter>(curve.free_surface_si(level.get::<meter>())?);
        let up = attitude.up_si();
        let centroid = centroid(mesh, up, level.get::<meter>()).map(Point::from_si);
        Ok(Surface { up, offset: level + curve.datum(), area, centroid })
    }

    /// Centroid of the free surface at `level`; `None` where there is none (below the lowest point, at the very top).
    ///
    /// Exact: the plane cuts each triangle in a segment, and the segments bound the surface. It is also how the height
    /// of the surface answers to a small tilt at constant volume: the surface turns about its centroid.
    pub fn free_surface_centroid(&self, level: Length, attitude: Attitude) -> Result<Option<Point>, GeometryError> {
        let level = check::finite("level", level.get::<meter>())?;
        let mesh = self.need_mesh()?;
        Ok(centroid(mesh, attitude.up_si(), level).map(Point::from_si))
    }
}

/// Centroid of the cut at `level` above the lowest vertex; corners in the plane count as below it.
fn centroid(mesh: &ClosedMesh, up: Vec3, level: f64) -> Option<Vec3> {
    let (heights, datum) = mesh.heights(up);
    let (low, high) = mesh.bounds_si();
    let centre = middle(low, high);
    // A point of the plane near the body, from which areas are counted.
    let origin = add(centre, scale(up, level + datum - dot(centre, up)));
    let above = |v: u32| heights[v as usize] > level;
    let (mut area, mut moment) = (0.0, [0.0; 3]);
    for f in &mesh.faces {
        let (mut rises, mut falls) = (None, None);
        for (i, j) in [(f[0], f[1]), (f[1], f[2]), (f[2], f[0])] {
            match (above(i), above(j)) {
                (false, true) => rises = Some(cut(mesh, &heights, level, i, j)),
                (true, false) => falls = Some(cut(mesh, &heights, level, j, i)),
                _ => {}
            }
        }
        let (Some(from), Some(to)) = (falls, rises) else { continue };
        // Seen from above the cut runs counter-clockwise from where the face's edge falls to where it rises.
        let (a, b) = (sub(from, origin), sub(to, origin));
        let part = dot(cross(a, b), up) / 2.0;
        area += part;
        moment = add(moment, scale(add(a, b), part / 3.0));
    }
    (area > 0.0).then(|| add(origin, scale(moment, 1.0 / area)))
}

/// Where the edge from a low to a high vertex passes the level.
fn cut(mesh: &ClosedMesh, heights: &[f64], level: f64, low: u32, high: u32) -> Vec3 {
    let (p, q) = (mesh.vertex(low), mesh.vertex(high));
    let (hp, hq) = (heights[low as usize], heights[high as usize]);
    add(p, scale(sub(q, p), (level - hp) / (hq - hp)))
}
