//! Oil that clings: films on walls, on near-level floors, and on a stick.
//!
//! All films drain in **reduced time** `s = integral dt / nu(T(t))` since the surface was uncovered. With a current
//! viscosity in its place a film would grow when the oil cools.

use uom::si::f64::{Angle, Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::STANDARD_GRAVITY;
use super::error::FluidError;
use crate::numeric::check;

mod floor;
mod reduced_time;
mod withdrawal;

pub use floor::{DEFAULT_LIP, FloorFilm};
pub use reduced_time::ReducedTime;
pub use withdrawal::{OIL_SURFACE_TENSION, capillary_length, withdrawal_film};

/// The film on a plane wall that was uncovered all at once.
///
/// H. Jeffreys, The draining of a vertical plate, Proc. Cambridge Phil. Soc. 26 (1930) 204; Bird, Stewart and Lightfoot,
/// Transport Phenomena, 2nd ed., problem 2D.2. At a distance z down the wall from its upper edge
///
/// ```text
/// h = sqrt(z / (g sin(beta) s)),   V = (2/3) W H^(3/2) / sqrt(g sin(beta) s)
/// ```
///
/// for a wall of width W and length H along the slope, beta its slope against the horizontal. Where that exceeds the
/// thickness the film started with, the film still has the latter (the exact solution from a uniform film). Valid while the
/// film is thin against H and inertia is small: `s >> h^2/nu^2`, which holds after a second for any oil.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WallFilm {
    length: f64,
    width: f64,
    sin_slope: f64,
    start: f64,
}

impl WallFilm {
    /// A wall of `length` along its slope and `width` across, at `slope` against the horizontal (90 degrees: vertical).
    ///
    /// # Errors
    /// [`FluidError::Quantity`] for a length or width that is not 1e-6 to 100 m, or a slope outside 0.1 to 90 degrees
    /// (nearer to level use [`FloorFilm`]).
    pub fn new(length: Length, width: Length, slope: Angle) -> Result<Self, FluidError> {
        let length = check::in_range("length", length.get::<meter>(), 1e-6, 100.0, "m")?;
        let width = check::in_range("width", width.get::<meter>(), 1e-6, 100.0, "m")?;
        let degrees = slope.get::<uom::si::angle::degree>();
        check::in_range("slope", degrees, 0.1, 90.0 + 1e-9, "deg")?;
        Ok(Self::unchecked_si(length, width, degrees.to_radians().sin()))
    }

    /// Unchecked, metres.
    pub(crate) fn unchecked_si(length: f64, width: f64, sin_slope: f64) -> Self {
        Self { length, width, sin_slope, start: f64::INFINITY }
    }

    /// The same wall, its film starting with a uniform thickness instead of an unlimited one.
    ///
    /// # Errors
    /// [`FluidError::Quantity`] for a thickness outside 1e-9 to 0.1 m.
    pub fn starting_with(self, thickness: Length) -> Result<Self, FluidError> {
        let start = check::in_range("thickness", thickness.get::<meter>(), 1e-9, 0.1, "m")?;
        Ok(Self { start, ..self })
    }

    /// Thickness at a distance `z` down the wall from its upper edge.
    pub fn thickness(&self, z: Length, since: ReducedTime) -> Length {
        Length::new::<meter>(self.thickness_si(z.get::<meter>(), since.si()))
    }

    /// Volume on the wall.
    ///
    /// ```
    /// use fillmark::fluid::film::{ReducedTime, WallFilm};
    /// use fillmark::uom::si::{angle::degree, f64::*, kinematic_viscosity::square_millimeter_per_second as mm2_s};
    /// use fillmark::uom::si::{length::meter, time::minute, volume::milliliter};
    ///
    /// // 2 m2 of vertical walls 0.3 m high, five minutes after hot oil of 14 mm2/s left them: 50 mL.
    /// let walls = WallFilm::new(Length::new::<meter>(0.3), Length::new::<meter>(2.0 / 0.3), Angle::new::<degree>(90.0))?;
    /// let s = ReducedTime::default().after(Time::new::<minute>(5.0), KinematicViscosity::new::<mm2_s>(14.0))?;
    /// assert!((walls.volume(s).get::<milliliter>() - 50.4).abs() < 0.1);
    /// # Ok::<(), fillmark::fluid::FluidError>(())
    /// ```
    pub fn volume(&self, since: ReducedTime) -> Volume {
        Volume::new::<cubic_meter>(self.volume_si(since.si()))
    }

    /// Mean thickness: volume over area.
    pub fn mean_thickness(&self, since: ReducedTime) -> Length {
        Length::new::<meter>(self.volume_si(since.si()) / (self.length * self.width))
    }

    /// Thickness in metres; `s` in s2/m2.
    pub(crate) fn thickness_si(&self, z: f64, s: f64) -> f64 {
        (z / (STANDARD_GRAVITY * self.sin_slope * s)).sqrt().min(self.start)
    }

    /// Volume in m3; `s` in s2/m2.
    pub(crate) fn volume_si(&self, s: f64) -> f64 {
        // Down to `reach` the film has thinned; below it is as it started.
        let reach = STANDARD_GRAVITY * self.sin_slope * s * self.start * self.start;
        let thinned = reach.min(self.length);
        let mean = 2.0 / 3.0 * self.thickness_si(thinned, s);
        let rest = self.length - thinned;
        let untouched = if rest > 0.0 { rest * self.start } else { 0.0 };
        self.width * (thinned * mean + untouched)
    }
}

#[cfg(test)]
mod tests;
