//! How the body stands: nose-up and right-down angles, and the direction of *up* that follows.

use std::hash::{Hash, Hasher};

use serde::{Deserialize, Serialize};
use uom::si::angle::radian;
use uom::si::f64::Angle;

use super::error::GeometryError;
use super::vector::Vec3;
use crate::numeric::check;

/// Attitude of the body: pitched by `p` (nose up positive), then rolled by `r` (right side down positive).
///
/// The body frame has x forward, y left, z up (axes of ISO 8855). In that frame *up* is
/// `(sin p, cos p sin r, cos p cos r)`: intrinsic order pitch then roll, `p = -(ISO pitch)`, `r = +(ISO roll)`.
/// Both angles lie strictly between -90 and 90 degrees. The default is level.
///
/// ```
/// use fillmark::geometry::Attitude;
/// let ramp = Attitude::from_degrees(2.0, 0.0)?;
/// assert_eq!(ramp.nose_up_deg(), 2.0);
/// assert_eq!(Attitude::default().up(), [0.0, 0.0, 1.0]);
/// # Ok::<(), fillmark::geometry::GeometryError>(())
/// ```
#[derive(Debug, Clone, Copy, Default, Serialize, Deserialize)]
#[serde(try_from = "Degrees", into = "Degrees")]
pub struct Attitude {
    nose_up_deg: f64,
    right_down_deg: f64,
}

/// The two angles as written in files.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Degrees {
    #[serde(default)]
    nose_up_deg: f64,
    #[serde(default)]
    right_down_deg: f64,
}

impl Attitude {
    /// Level ground: *up* is the body's z axis.
    pub const LEVEL: Self = Self { nose_up_deg: 0.0, right_down_deg: 0.0 };

    /// Attitude from two angles.
    pub fn new(nose_up: Angle, right_down: Angle) -> Result<Self, GeometryError> {
        Self::from_degrees(nose_up.get::<radian>().to_degrees(), right_down.get::<radian>().to_degrees())
    }

    /// Attitude from two angles in degrees; both must lie strictly between -90 and 90.
    pub fn from_degrees(nose_up_deg: f64, right_down_deg: f64) -> Result<Self, GeometryError> {
        Ok(Self {
            nose_up_deg: tilt("attitude.nose_up", nose_up_deg)?,
            right_down_deg: tilt("attitude.right_down", right_down_deg)?,
        })
    }

    /// [`Attitude::from_degrees`] of angles that are known to be accepted.
    pub(crate) fn of_accepted(nose_up_deg: f64, right_down_deg: f64) -> Self {
        Self { nose_up_deg: nose_up_deg + 0.0, right_down_deg: right_down_deg + 0.0 }
    }

    /// Nose-up angle (pitch, positive when the nose is higher) \[deg\].
    pub fn nose_up_deg(self) -> f64 {
        self.nose_up_deg
    }

    /// Right-down angle (roll, positive when the right side is lower) \[deg\].
    pub fn right_down_deg(self) -> f64 {
        self.right_down_deg
    }

    /// What an inclinometer lying across the body shows: `asin(cos p sin r)` \[deg\], positive right side down.
    pub fn transverse_deg(self) -> f64 {
        self.up()[1].clamp(-1.0, 1.0).asin().to_degrees()
    }

    /// Unit vector pointing up, in the body frame: `(sin p, cos p sin r, cos p cos r)`; exact at level.
    pub fn up(self) -> [f64; 3] {
        let (sp, cp) = self.nose_up_deg.to_radians().sin_cos();
        let (sr, cr) = self.right_down_deg.to_radians().sin_cos();
        [sp, cp * sr, cp * cr]
    }

    /// Attitude in which `up` (any length, z component positive) points up.
    ///
    /// The inverse of [`Attitude::up`]: `p = asin(up_x)`, `r = atan2(up_y, up_z)` for a unit vector. Refused when the
    /// body would lie on its side or upside down (`up_z <= 0`).
    pub fn from_up(up: [f64; 3]) -> Result<Self, GeometryError> {
        check::all_finite("up", &up)?;
        let [x, y, z] = up;
        if z <= 0.0 {
            return Err(GeometryError::NotUpright { up });
        }
        Self::from_degrees(x.atan2(y.hypot(z)).to_degrees(), y.atan2(z).to_degrees())
    }

    /// Whether both angles are zero.
    pub fn is_level(self) -> bool {
        self.nose_up_deg == 0.0 && self.right_down_deg == 0.0
    }

    /// The bits of the two angles; equal attitudes have equal keys.
    pub(crate) fn key(self) -> (u64, u64) {
        (self.nose_up_deg.to_bits(), self.right_down_deg.to_bits())
    }

    /// *Up* as a plain vector, for inner loops.
    pub(crate) fn up_si(self) -> Vec3 {
        self.up()
    }
}

/// Accepts an angle strictly between -90 and 90 degrees; a negative zero becomes zero so that equal means equal bits.
fn tilt(what: &str, value_deg: f64) -> Result<f64, GeometryError> {
    check::finite(what, value_deg)?;
    if value_deg.abs() < 90.0 {
        return Ok(value_deg + 0.0);
    }
    Err(GeometryError::TiltTooLarge { what: what.into(), value_deg })
}

impl PartialEq for Attitude {
    fn eq(&self, other: &Self) -> bool {
        self.key() == other.key()
    }
}

impl Eq for Attitude {}

impl Hash for Attitude {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.key().hash(state);
    }
}

impl TryFrom<Degrees> for Attitude {
    type Error = GeometryError;
    fn try_from(d: Degrees) -> Result<Self, GeometryError> {
        Self::from_degrees(d.nose_up_deg, d.right_down_deg)
    }
}

impl From<Attitude> for Degrees {
    fn from(a: Attitude) -> Self {
        Self { nose_up_deg: a.nose_up_deg, right_down_deg: a.right_down_deg }
    }
}

impl std::fmt::Display for Attitude {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.is_level() {
            return f.write_str("level");
        }
        write!(f, "{} deg nose-up, {} deg right-down", self.nose_up_deg, self.right_down_deg)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn at(p: f64, r: f64) -> Attitude {
        Attitude::from_degrees(p, r).unwrap()
    }

    #[test]
    fn up_is_exact_at_level_and_leans_the_stated_way() {
        assert_eq!(at(0.0, 0.0).up(), [0.0, 0.0, 1.0]);
        assert_eq!(at(-0.0, 0.0), Attitude::LEVEL);
        // Nose up by 30 deg: up leans towards the nose by sin 30 deg; right side down: towards the left (y).
        assert_relative_eq!(at(30.0, 0.0).up()[0], 0.5, max_relative = 1e-15);
        assert_relative_eq!(at(0.0, 30.0).up()[1], 0.5, max_relative = 1e-15);
    }

    #[test]
    fn up_equals_the_rotation_matrix() {
        // Rotate the world's up into a body pitched by -p about y, then rolled by r about its own x (ISO 8855 angles).
        let (p, r) = (12f64.to_radians(), 7f64.to_radians());
        // body = Rx(r)^T Ry(-p)^T world, written out.
        let pitched = [p.sin(), 0.0, p.cos()];
        let body =
            [pitched[0], r.cos() * pitched[1] + r.sin() * pitched[2], -r.sin() * pitched[1] + r.cos() * pitched[2]];
        for (got, want) in at(12.0, 7.0).up().iter().zip(body) {
            assert_relative_eq!(*got, want, max_relative = 1e-14);
        }
    }

    #[test]
    fn from_up_inverts_up() {
        for (p, r) in [(0.0, 0.0), (3.0, -5.0), (-40.0, 60.0), (89.0, -89.0)] {
            let back = Attitude::from_up(at(p, r).up().map(|c| 3.0 * c)).unwrap();
            assert_relative_eq!(back.nose_up_deg(), p, epsilon = 1e-12);
            assert_relative_eq!(back.right_down_deg(), r, epsilon = 1e-11);
        }
    }

    #[test]
    fn refuses_what_is_no_attitude() {
        let code = |e: GeometryError| crate::error::Coded::code(&e);
        assert_eq!(code(Attitude::from_degrees(90.0, 0.0).unwrap_err()), "geometry.tilt_too_large");
        assert_eq!(code(Attitude::from_degrees(0.0, f64::NAN).unwrap_err()), "quantity.not_finite");
        assert_eq!(code(Attitude::from_up([0.0, 1.0, 0.0]).unwrap_err()), "geometry.not_upright");
    }

    #[test]
    fn reads_and_writes_degrees() {
        let text = serde_json::to_string(&at(2.0, -1.0)).unwrap();
        assert_eq!(text, r#"{"nose_up_deg":2.0,"right_down_deg":-1.0}"#);
        assert_eq!(serde_json::from_str::<Attitude>(&text).unwrap(), at(2.0, -1.0));
        assert!(serde_json::from_str::<Attitude>(r#"{"nose_up_deg":120.0}"#).is_err());
    }
}
