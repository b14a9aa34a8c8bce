//! Attitudes from what a workshop can measure, and from acceleration and ground slope.

use uom::si::acceleration::meter_per_second_squared;
use uom::si::f64::{Acceleration, Length};
use uom::si::length::meter;

use super::attitude::Attitude;
use super::error::GeometryError;
use super::vector::{Vec3, add, scale};
use crate::numeric::check;

/// Standard acceleration of gravity, exact by definition (3rd CGPM, 1901) \[m/s2\].
const STANDARD_GRAVITY: f64 = 9.80665;

/// What two pairs of inclinometer readings say: the attitude, and the instrument's zero error that cancelled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TurnedReadings {
    /// The attitude.
    pub attitude: Attitude,
    /// Zero error seen lengthwise: what the instrument shows on a level surface \[deg\].
    pub zero_along_deg: f64,
    /// The same seen crosswise \[deg\].
    pub zero_across_deg: f64,
}

impl Attitude {
    /// Nose-up attitude of a vehicle on level ground whose front axle is raised by `lift` (negative: lowered, or the
    /// rear raised), with `wheelbase` between the axles: `p = asin(lift / wheelbase)`.
    pub fn from_lift(lift: Length, wheelbase: Length) -> Result<Self, GeometryError> {
        let base = check::in_range("wheelbase", wheelbase.get::<meter>() * 1e3, 1.0, 1e5, "mm")?;
        let lift = check::in_range("lift", lift.get::<meter>() * 1e3, -base, base, "mm")?;
        Self::from_degrees((lift / base).asin().to_degrees(), 0.0)
    }

    /// Attitude of a vehicle on a slope: `along`, rise over run ahead (0.05 for 5 % uphill), and `across`, rise over run
    /// towards the left. The x axis then rises at `atan along`, the y axis at `atan across`. Refused when no plane has
    /// both (`sin2 + sin2` must be below 1).
    pub fn from_grade(along: f64, across: f64) -> Result<Self, GeometryError> {
        check::in_range("along", along, -10.0, 10.0, "rise over run")?;
        check::in_range("across", across, -10.0, 10.0, "rise over run")?;
        from_rises(along.atan().sin(), across.atan().sin())
    }

    /// Attitude from an inclinometer read in place and again turned round by 180 degrees, lengthwise and crosswise.
    /// Half the difference is the inclination, half the sum the instrument's zero error, which so cancels. The first
    /// readings count nose up and right side down as positive \[deg\].
    pub fn from_turned_inclinometer(
        along_deg: (f64, f64),
        across_deg: (f64, f64),
    ) -> Result<TurnedReadings, GeometryError> {
        for (what, value) in [
            ("along[0]", along_deg.0),
            ("along[1]", along_deg.1),
            ("across[0]", across_deg.0),
            ("across[1]", across_deg.1),
        ] {
            check::in_range(what, value, -90.0, 90.0, "deg")?;
        }
        let half = |(first, second): (f64, f64)| ((first - second) / 2.0, f64::midpoint(first, second));
        let ((nose_up, zero_along_deg), (transverse, zero_across_deg)) = (half(along_deg), half(across_deg));
        let attitude = from_rises(nose_up.to_radians().sin(), transverse.to_radians().sin())?;
        Ok(TurnedReadings { attitude, zero_along_deg, zero_across_deg })
    }

    /// The attitude whose level surfaces are those of liquid at rest in a body that stands like this and accelerates
    /// steadily (body frame: forward, left, up): `up' = g up + a`. Braking is a negative first component: the liquid
    /// goes forward, as if the nose were down. Refused when the body would be upside down or weightless.
    pub fn accelerated(self, acceleration: [Acceleration; 3]) -> Result<Self, GeometryError> {
        let a = acceleration.map(|a| a.get::<meter_per_second_squared>());
        check::all_finite("acceleration", &a)?;
        Self::from_up(add(scale(self.up_si(), STANDARD_GRAVITY), a))
    }

    /// Attitude of a body that is installed like this in a vehicle, when the vehicle itself stands at `ground`: the
    /// vehicle's *up* seen from the body, which is rotated against the vehicle by the installed pitch, then roll.
    pub fn on_ground(self, ground: Self) -> Result<Self, GeometryError> {
        if self.is_level() {
            return Ok(ground);
        }
        if ground.is_level() {
            return Ok(self);
        }
        let [x, y, z]: Vec3 = ground.up_si();
        let (sp, cp) = self.nose_up_deg().to_radians().sin_cos();
        let (sr, cr) = self.right_down_deg().to_radians().sin_cos();
        let (x, z) = (cp * x + sp * z, cp * z - sp * x);
        Self::from_up([x, cr * y + sr * z, cr * z - sr * y])
    }
}

/// Attitude whose x and y axes rise by these sines.
fn from_rises(x: f64, y: f64) -> Result<Attitude, GeometryError> {
    let rest = 1.0 - x * x - y * y;
    if rest <= 0.0 {
        return Err(GeometryError::NotUpright { up: [x, y, 0.0] });
    }
    Attitude::from_up([x, y, rest.sqrt()])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::error::Coded;
    use approx::assert_relative_eq;

    fn at(p: f64, r: f64) -> Attitude {
        Attitude::from_degrees(p, r).unwrap()
    }

    #[track_caller]
    fn same(a: Attitude, b: Attitude) {
        assert_relative_eq!(a.nose_up_deg(), b.nose_up_deg(), epsilon = 1e-10);
        assert_relative_eq!(a.right_down_deg(), b.right_down_deg(), epsilon = 1e-10);
    }

    #[test]
    fn lifts_and_grades() {
        let m = Length::new::<meter>;
        // sin 30 deg = 1/2; tan 45 deg = 1.
        same(Attitude::from_lift(m(1.0), m(2.0)).unwrap(), at(30.0, 0.0));
        same(Attitude::from_grade(1.0, 0.0).unwrap(), at(45.0, 0.0));
        same(Attitude::from_grade(0.0, -1.0).unwrap(), at(0.0, -45.0));
        // A crosswise inclinometer shows the slope itself also on a hill.
        let both = Attitude::from_grade(0.3, 0.2).unwrap();
        assert_relative_eq!(both.transverse_deg(), 0.2f64.atan().to_degrees(), max_relative = 1e-12);
        assert_relative_eq!(both.nose_up_deg(), 0.3f64.atan().to_degrees(), max_relative = 1e-12);
        assert_eq!(Attitude::from_grade(5.0, 5.0).unwrap_err().code(), "geometry.not_upright");
        assert_eq!(Attitude::from_lift(m(3.0), m(2.0)).unwrap_err().code(), "quantity.out_of_range");
    }

    #[test]
    fn turning_the_inclinometer_cancels_its_zero() {
        let truth = at(3.0, -2.0);
        let (nose, across, zero) = (truth.nose_up_deg(), truth.transverse_deg(), 0.4);
        let read =
            Attitude::from_turned_inclinometer((nose + zero, zero - nose), (across + zero, zero - across)).unwrap();
        same(read.attitude, truth);
        assert_relative_eq!(read.zero_along_deg, zero, epsilon = 1e-12);
        assert_relative_eq!(read.zero_across_deg, zero, epsilon = 1e-12);
        assert!(Attitude::from_turned_inclinometer((100.0, 0.0), (0.0, 0.0)).is_err());
    }

    #[test]
    fn acceleration_tilts_the_surface() {
        let a = |x: f64, y: f64, z: f64| [x, y, z].map(Acceleration::new::<meter_per_second_squared>);
        // tan = a / g; braking by g is 45 deg nose down. Falling freely there is no surface.
        same(Attitude::LEVEL.accelerated(a(-STANDARD_GRAVITY, 0.0, 0.0)).unwrap(), at(-45.0, 0.0));
        same(at(10.0, 5.0).accelerated(a(0.0, 0.0, 0.0)).unwrap(), at(10.0, 5.0));
        let fall = Attitude::LEVEL.accelerated(a(0.0, 0.0, -STANDARD_GRAVITY)).unwrap_err();
        assert_eq!(fall.code(), "geometry.not_upright");
    }

    #[test]
    fn installed_on_a_slope() {
        same(at(8.0, 0.0).on_ground(at(-3.0, 0.0)).unwrap(), at(5.0, 0.0));
        same(at(8.0, 2.0).on_ground(Attitude::LEVEL).unwrap(), at(8.0, 2.0));
        same(Attitude::LEVEL.on_ground(at(1.0, 2.0)).unwrap(), at(1.0, 2.0));
        same(at(0.0, 8.0).on_ground(at(0.0, 4.0)).unwrap(), at(0.0, 12.0));
        // Installed on its right side by 30 deg, on a hill of 20 deg: the angle between the two ups is kept.
        let up = at(0.0, 30.0).on_ground(at(20.0, 0.0)).unwrap().up();
        assert_relative_eq!(up[0], 20f64.to_radians().sin(), max_relative = 1e-12);
    }
}
