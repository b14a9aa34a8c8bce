//! Sumps from dimensions: the public constructors.

use uom::si::f64::Length;
use uom::si::length::meter;

use super::super::error::GeometryError;
use super::super::sump::Sump;
use super::cylinder::{self, Cylinder};
use super::{floor, loft, stepped, tapered};

/// Dimensions of a stepped sump: a tray, and below its floor a well over the full width.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stepped {
    /// Length of the tray, along x.
    pub length: Length,
    /// Width of tray and well, along y.
    pub width: Length,
    /// Height of the space above the tray's floor.
    pub tray_height: Length,
    /// Length of the well, along x; at most that of the tray.
    pub well_length: Length,
    /// Depth of the well below the tray's floor.
    pub well_depth: Length,
    /// How far the well's rear wall is ahead of the tray's rear wall (0: the well is at the rear).
    pub well_from_rear: Length,
}

/// One cross-section of a sump.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// Position along x.
    pub at: Length,
    /// Outline as (y, z), in either sense; the same number of points in matching order in every section.
    pub outline: Vec<(Length, Length)>,
}

/// A floor given by its heights on a rectangular grid.
#[derive(Debug, Clone, PartialEq)]
pub struct Floor {
    /// Rising positions along x, at least two.
    pub x: Vec<Length>,
    /// Rising positions along y, at least two.
    pub y: Vec<Length>,
    /// Height of the floor at every pair: `z[i * y.len() + j]` at `x[i]`, `y[j]`.
    pub z: Vec<Length>,
    /// Height of the flat top, above all of the floor.
    pub top: Length,
}

fn m(length: Length) -> f64 {
    length.get::<meter>()
}

fn all_m(lengths: &[Length]) -> Vec<f64> {
    lengths.iter().map(|l| m(*l)).collect()
}

impl Sump {
    /// A box with sloping sides (an obelisk): rectangular floor and top, given as (length, width), both centred on the
    /// z axis. The origin is the middle of the floor. Full volume by the prismoidal rule: `h (A1 + 4 Am + A2) / 6`.
    pub fn tapered(floor: (Length, Length), top: (Length, Length), height: Length) -> Result<Self, GeometryError> {
        tapered::tapered([m(floor.0), m(floor.1)], [m(top.0), m(top.1)], m(height)).map(Self::from_mesh)
    }

    /// A shallow tray with a deep well. The origin is on the well's floor, at the middle of the tray's length and width.
    pub fn stepped(s: Stepped) -> Result<Self, GeometryError> {
        let inner = stepped::Stepped {
            length: m(s.length),
            width: m(s.width),
            tray_height: m(s.tray_height),
            well_length: m(s.well_length),
            well_depth: m(s.well_depth),
            well_from_rear: m(s.well_from_rear),
        };
        stepped::stepped(inner).map(Self::from_mesh)
    }

    /// A cylinder, upright or lying, with flat, conical, spherical, ellipsoidal or torispherical ends. Curved walls are
    /// facets of equal area; [`Sump::face_count`](Sump::face_count) says how many. Upright, the origin is on the axis
    /// at the low end of the barrel; lying, on the axis at its middle.
    pub fn cylinder(c: &Cylinder) -> Result<Self, GeometryError> {
        cylinder::cylinder(c).map(Self::from_mesh)
    }

    /// A sump through cross-sections at rising stations along x: flat ends, straight lines between matching points.
    /// Twisted sides are ruled surfaces, kept by four triangles around the middle of each.
    pub fn from_sections(sections: &[Section]) -> Result<Self, GeometryError> {
        let inner: Vec<(f64, Vec<[f64; 2]>)> =
            sections.iter().map(|s| (m(s.at), s.outline.iter().map(|(y, z)| [m(*y), m(*z)]).collect())).collect();
        loft::from_sections(&inner).map(Self::from_mesh)
    }

    /// A sump whose floor is measured on a grid: floor bilinear between points, upright walls, flat top.
    pub fn from_floor(floor: &Floor) -> Result<Self, GeometryError> {
        let (x, y, z) = (all_m(&floor.x), all_m(&floor.y), all_m(&floor.z));
        floor::from_floor(floor::Floor { x: &x, y: &y, z: &z, top: m(floor.top) }).map(Self::from_mesh)
    }
}
