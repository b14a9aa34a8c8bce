//! A shallow tray with a deep well.

use super::super::error::GeometryError;
use super::super::mesh::ClosedMesh;
use super::cuboid::side;
use super::loft::Faces;
use super::polygon::{Point2, triangles};
use crate::numeric::check;

/// Dimensions of a stepped sump, in metres: a tray `length` x `width` x `tray_height`, and below its floor a well over
/// the full width, `well_length` long, `well_depth` deep, whose rear wall is `well_from_rear` ahead of the tray's.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stepped {
    pub(crate) length: f64,
    pub(crate) width: f64,
    pub(crate) tray_height: f64,
    pub(crate) well_length: f64,
    pub(crate) well_depth: f64,
    pub(crate) well_from_rear: f64,
}

/// The origin is on the well's floor, in the middle of the tray's length and width.
pub(crate) fn stepped(s: Stepped) -> Result<ClosedMesh, GeometryError> {
    side("length", s.length)?;
    side("width", s.width)?;
    side("tray_height", s.tray_height)?;
    side("well_length", s.well_length)?;
    side("well_depth", s.well_depth)?;
    check::in_range("well_length", s.well_length * 1e3, 1.0, s.length * 1e3, "mm")?;
    let spare = s.length - s.well_length;
    check::in_range("well_from_rear", s.well_from_rear * 1e3, 0.0, spare * 1e3, "mm")?;
    let rear = -s.length / 2.0;
    let (w0, w1) = (rear + s.well_from_rear, rear + s.well_from_rear + s.well_length);
    let (shelf, top) = (s.well_depth, s.well_depth + s.tray_height);
    let mut profile: Vec<Point2> = vec![[w0, 0.0], [w1, 0.0], [w1, shelf], [-rear, shelf], [-rear, top], [rear, top]];
    profile.extend([[rear, shelf], [w0, shelf]]);
    // A well flush with an end has no shelf there.
    profile.dedup_by(|a, b| (a[0] - b[0]).hypot(a[1] - b[1]) < 1e-9);
    prism(&profile, s.width)
}

/// A profile in (x, z), counter-clockwise, drawn out across the body by `width`, centred.
pub(crate) fn prism(profile: &[Point2], width: f64) -> Result<ClosedMesh, GeometryError> {
    let n = profile.len();
    let at = |y: f64| profile.iter().map(move |[x, z]| [*x, y, *z]);
    let mut f = Faces { vertices: at(-width / 2.0).chain(at(width / 2.0)).collect(), faces: Vec::new() };
    for [a, b, c] in triangles(profile) {
        // (x, z) counter-clockwise is seen so from the right, where y is negative.
        f.triangle(a, b, c);
        f.triangle(n + a, n + c, n + b);
    }
    for i in 0..n {
        let next = (i + 1) % n;
        f.quad([next, i, n + i, n + next]);
    }
    ClosedMesh::try_new(f.vertices, f.faces)
}
