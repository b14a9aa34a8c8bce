//! A drain plug as a round bore through the wall of a sump.

use uom::si::f64::Length;
use uom::si::length::meter;

use super::error::GeometryError;
use super::point::Point;
use super::vector::{Vec3, add, dot, norm, scale, sub};
use crate::numeric::check;

/// A round bore through the wall of a sump, closed by a plug.
///
/// `at` is the centre of its rim on the inner side of the wall, `axis` the direction in which it leaves the sump, `boss` the
/// length of the bore along it.
///
/// ```
/// use fillmark::geometry::{Plug, Point};
/// use fillmark::uom::si::{f64::Length, length::millimeter};
///
/// let mm = Length::new::<millimeter>;
/// let plug = Plug::new(Point::from_mm([95.0, 0.0, -110.0])?, mm(14.0), mm(10.0), [0.0, 0.0, -1.0])?;
/// assert_eq!(plug.bore(), mm(14.0));
/// # Ok::<(), fillmark::geometry::GeometryError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plug {
    at: Vec3,
    bore: f64,
    boss: f64,
    axis: Vec3,
}

impl Plug {
    /// The direction of a bore that leaves straight down through the floor.
    pub const DOWN: [f64; 3] = [0.0, 0.0, -1.0];

    /// A bore of diameter `bore` and length `boss` (0 for a thin wall), leaving the sump along `axis` (body frame, any
    /// length).
    ///
    /// # Errors
    /// [`GeometryError::Quantity`] for a coordinate that is not finite or outside -20 to 20 m, a bore outside 1 to 200 mm, a
    /// boss outside 0 to 500 mm, or an axis without a direction.
    pub fn new(at: Point, bore: Length, boss: Length, axis: [f64; 3]) -> Result<Self, GeometryError> {
        let at = at.si();
        for (name, c) in ["at.x", "at.y", "at.z"].into_iter().zip(at) {
            check::in_range(name, c * 1e3, -20e3, 20e3, "mm")?;
        }
        check::in_range("bore", bore.get::<meter>() * 1e3, 1.0, 200.0, "mm")?;
        check::in_range("boss", boss.get::<meter>() * 1e3, 0.0, 500.0, "mm")?;
        check::all_finite("axis", &axis)?;
        let length = check::in_range("length of axis", dot(axis, axis).sqrt(), 1e-9, 1e9, "(dimensionless)")?;
        let axis = axis.map(|c| c / length);
        Ok(Self { at, bore: bore.get::<meter>(), boss: boss.get::<meter>(), axis })
    }

    /// Centre of the rim on the inner side of the wall, body frame.
    pub fn at(&self) -> Point {
        Point::from_si(self.at)
    }

    /// Diameter of the bore.
    pub fn bore(&self) -> Length {
        Length::new::<meter>(self.bore)
    }

    /// Length of the bore.
    pub fn boss(&self) -> Length {
        Length::new::<meter>(self.boss)
    }

    /// Direction in which the bore leaves the sump, a unit vector in the body frame.
    pub fn axis(&self) -> [f64; 3] {
        self.axis
    }

    /// Cosine of the angle between the bore and straight down where `up` points up: 1 for a bore through a level floor,
    /// 0 for one through an upright wall.
    pub(crate) fn downness(&self, up: Vec3) -> f64 {
        -dot(self.axis, up)
    }

    /// Height of the rim's centre along `up`, in metres.
    pub(crate) fn centre_si(&self, up: Vec3) -> f64 {
        dot(self.at, up)
    }

    /// The rim's lowest and highest point where `up` points up, body frame, in metres.
    pub(crate) fn rim_points_si(&self, up: Vec3) -> [Vec3; 2] {
        let rise = sub(up, scale(self.axis, dot(self.axis, up)));
        let length = norm(rise);
        // A rim that lies level is as high everywhere.
        let reach = if length > 1e-12 { scale(rise, 0.5 * self.bore / length) } else { [0.0; 3] };
        [sub(self.at, reach), add(self.at, reach)]
    }

    /// Heights of the rim's lowest and highest point along `up`, in metres: a circle of diameter d leans over by
    /// `(d/2) sqrt(1 - (axis . up)^2)`.
    pub(crate) fn rim_si(&self, up: Vec3) -> [f64; 2] {
        let lean = 0.5 * self.bore * (1.0 - dot(self.axis, up).powi(2)).max(0.0).sqrt();
        let centre = self.centre_si(up);
        [centre - lean, centre + lean]
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;

    use super::*;
    use crate::error::Coded;
    use crate::geometry::Attitude;

    fn plug(axis: [f64; 3]) -> Plug {
        let m = Length::new::<meter>;
        Plug::new(Point::from_mm([100.0, 50.0, -110.0]).unwrap(), m(0.014), m(0.01), axis).unwrap()
    }

    #[test]
    fn rim_of_a_bore_through_floor_and_wall() {
        let level = Attitude::LEVEL.up_si();
        let floor = plug(Plug::DOWN);
        assert_eq!(floor.rim_si(level), [-0.11, -0.11]);
        assert_abs_diff_eq!(floor.downness(level), 1.0);
        let wall = plug([3.0, 0.0, 0.0]);
        assert_eq!(wall.axis(), [1.0, 0.0, 0.0]);
        assert_abs_diff_eq!(wall.rim_si(level)[0], -0.117, epsilon = 1e-15);
        assert_abs_diff_eq!(wall.rim_si(level)[1], -0.103, epsilon = 1e-15);
        assert_abs_diff_eq!(wall.downness(level), 0.0);
    }

    /// The rim of a floor bore is a circle: its lowest point, searched round the circle, is the one given.
    #[test]
    fn rim_of_a_leaning_bore_by_search() {
        let up = Attitude::from_degrees(7.0, -4.0).unwrap().up_si();
        let p = plug(Plug::DOWN);
        let height = |a: f64| dot([0.1 + 0.007 * a.cos(), 0.05 + 0.007 * a.sin(), -0.11], up);
        let heights = (0..3600).map(|i| height(f64::from(i).to_radians() / 10.0));
        let (low, high) = heights.fold((f64::MAX, f64::MIN), |(l, h), z| (l.min(z), h.max(z)));
        assert_abs_diff_eq!(p.rim_si(up)[0], low, epsilon = 1e-8);
        assert_abs_diff_eq!(p.rim_si(up)[1], high, epsilon = 1e-8);
    }

    #[test]
    fn nonsense_is_refused() {
        let mm = |v: f64| Length::new::<meter>(v / 1e3);
        let at = Point::from_mm([0.0; 3]).unwrap();
        for (result, what) in [
            (Plug::new(at, mm(0.0), mm(10.0), Plug::DOWN), "bore"),
            (Plug::new(at, mm(14.0), mm(-1.0), Plug::DOWN), "boss"),
            (Plug::new(at, mm(14.0), mm(10.0), [0.0; 3]), "length of axis"),
            (Plug::new(Point::from_mm([0.0, 0.0, 1e6]).unwrap(), mm(14.0), mm(10.0), Plug::DOWN), "at.z"),
        ] {
            let e = result.unwrap_err();
            assert_eq!((e.code().as_str(), e.fields()["what"].as_str()), ("quantity.out_of_range", Some(what)));
        }
        let e = Plug::new(at, mm(14.0), mm(10.0), [f64::NAN, 0.0, 0.0]).unwrap_err();
        assert_eq!(e.code(), "quantity.not_finite");
    }
}
