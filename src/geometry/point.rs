//! Points in the body frame.

use uom::si::f64::Length;
use uom::si::length::meter;

use super::error::GeometryError;
use super::vector::Vec3;
use crate::numeric::check;

/// A point in the body frame: x forward, y left, z up.
///
/// ```
/// use fillmark::geometry::Point;
/// let plug = Point::from_mm([95.0, 0.0, -110.0])?;
/// assert_eq!(plug.to_mm(), [95.0, 0.0, -110.0]);
/// # Ok::<(), fillmark::geometry::GeometryError>(())
/// ```
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Point {
    /// Forward.
    pub x: Length,
    /// To the left.
    pub y: Length,
    /// Up when the body is level.
    pub z: Length,
}

impl Point {
    /// A point from three lengths.
    pub fn new(x: Length, y: Length, z: Length) -> Self {
        Self { x, y, z }
    }

    /// A point from coordinates in millimetres, which must be finite.
    pub fn from_mm(mm: [f64; 3]) -> Result<Self, GeometryError> {
        check::all_finite("point", &mm)?;
        Ok(Self::from_si(mm.map(|c| c / 1e3)))
    }

    /// Coordinates in millimetres.
    pub fn to_mm(self) -> [f64; 3] {
        self.si().map(|c| c * 1e3)
    }

    pub(crate) fn from_si(m: Vec3) -> Self {
        Self::new(Length::new::<meter>(m[0]), Length::new::<meter>(m[1]), Length::new::<meter>(m[2]))
    }

    pub(crate) fn si(self) -> Vec3 {
        [self.x.get::<meter>(), self.y.get::<meter>(), self.z.get::<meter>()]
    }
}

/// A box with sides along the body's axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Rear, right, low corner.
    pub low: Point,
    /// Front, left, high corner.
    pub high: Point,
}
