//! Height of the free surface over one body point, as smooth patches over volume and attitude: for questions that are
//! repeated by the hundred thousand at small uncertain attitudes.
//!
//! The height is taken at a body point (a stick's tip), along *up*, not above the sump's lowest point, whose place
//! jumps with the attitude and would put kinks into every patch. The domain, a box of volume, nose-up and right-down
//! angle, is halved again and again until on each part a polynomial (degree four in each of the three) meets
//! exact heights at points that were not used to fit it. Parts that do not get there, where the surface passes a
//! nearly level floor or a sill, are answered by the exact kernel, as is everything outside the domain. Each polynomial
//! is then left with the lowest degree along each of the three that the same points allow: over an upright wall the
//! height is straight in the volume and all but a parabola in the angles, without a product of nose-up and the square of
//! right-down. The sum for such walls stands where it is asked for; others are called.

use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::attitude::Attitude;
use super::curve::LevelCurve;
use super::error::GeometryError;
use super::parts::Parts;
use super::patch::Line;
use super::point::Point;
use super::response_build::Builder;
use super::sump::Sump;
use super::vector::{Vec3, dot};
use crate::numeric::check;
use crate::numeric::lanes::{Eight, Lanes};

/// Where a [`Response`] is to hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Domain {
    /// Least and greatest volume; at least half a millilitre apart and within the capacity.
    pub volume: (Volume, Volume),
    /// Least and greatest nose-up angle \[deg\]; may be equal.
    pub nose_up_deg: (f64, f64),
    /// Least and greatest right-down angle \[deg\]; may be equal.
    pub right_down_deg: (f64, f64),
}

/// How closely to fit and what that may cost.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct ResponseOptions {
    /// Largest accepted error at held-out points (default 0.02 mm).
    pub tolerance: Length,
    /// Most curves to prepare; what is not settled by then is left to the exact kernel (default 1000).
    pub curves: usize,
}

impl ResponseOptions {
    /// The same with another tolerance.
    #[must_use]
    pub fn tolerance(self, tolerance: Length) -> Self {
        Self { tolerance, ..self }
    }

    /// The same with another number of curves.
    #[must_use]
    pub fn curves(self, curves: usize) -> Self {
        Self { curves, ..self }
    }
}

impl Default for ResponseOptions {
    fn default() -> Self {
        Self { tolerance: Length::new::<meter>(2e-5), curves: 1000 }
    }
}

/// What building a [`Response`] found.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
#[non_exhaustive]
pub struct ResponseQuality {
    /// Largest error at the held-out points of the accepted patches \[mm\].
    pub worst_error_mm: f64,
    /// How many held-out points that is.
    pub held_out_points: usize,
    /// How many patches there are.
    pub patches: usize,
    /// How many terms their polynomials have together, at most 125 each.
    pub terms: usize,
    /// Share of the domain that is left to the exact kernel, 0 to 1.
    pub exact_share: f64,
    /// How many level curves were prepared.
    pub curves: usize,
}

/// Height of the free surface over a body point for any volume and attitude: fast inside a domain, exact outside it.
#[derive(Debug, Clone)]
pub struct Response {
    sump: Sump,
    point: Vec3,
    low: Vec3,
    high: Vec3,
    parts: Parts,
    quality: ResponseQuality,
}

impl Response {
    /// Builds the response of `sump` at `point` over `domain`.
    pub fn build(sump: &Sump, point: Point, domain: Domain, options: ResponseOptions) -> Result<Self, GeometryError> {
        Self::build_while(sump, point, domain, options, &|| true)
    }

    /// [`Response::build`] for as long as `go_on` says so; what is not settled by then is left to the exact kernel.
    pub fn build_while(
        sump: &Sump,
        point: Point,
        domain: Domain,
        options: ResponseOptions,
        go_on: &dyn Fn() -> bool,
    ) -> Result<Self, GeometryError> {
        let (low, high) = accept(sump, domain)?;
        sump.prepare(Attitude::from_degrees(low[1], low[2])?)?;
        let tolerance = check::in_range("tolerance", options.tolerance.get::<meter>() * 1e3, 1e-6, 10.0, "mm")? / 1e3;
        let (parts, quality) = Builder::new(sump, point.si(), low, high).build(tolerance, options.curves, go_on)?;
        Ok(Self { sump: sump.clone(), point: point.si(), low, high, parts, quality })
    }

    /// Height of the free surface above the point, along *up* (negative when the point is dry).
    pub fn height(&self, volume: Volume, attitude: Attitude) -> Result<Length, GeometryError> {
        self.height_si(volume.get::<cubic_meter>(), attitude).map(Length::new::<meter>)
    }

    /// [`Response::height`] in cubic metres and metres. No allocation inside the fitted part of the domain.
    #[inline(always)]
    #[allow(clippy::inline_always)] // a call would cost more than the sum
    pub fn height_si(&self, volume: f64, attitude: Attitude) -> Result<f64, GeometryError> {
        self.height_at_si([volume, attitude.nose_up_deg(), attitude.right_down_deg()])
    }

    /// [`Response::height_si`] at a volume, a nose-up and a right-down angle \[deg\], from which no attitude is made where a
    /// patch answers. Angles are refused as by [`Attitude::from_degrees`].
    #[inline(always)]
    #[allow(clippy::inline_always)] // a call would cost more than the sum
    pub fn height_at_si(&self, at: [f64; 3]) -> Result<f64, GeometryError> {
        if let Parts::Upright(patch) = &self.parts
            && let Some(height) = patch.upright_value(at)
        {
            return Ok(height);
        }
        self.elsewhere(at[0], at[1], at[2])
    }

    /// [`Response::height_at_si`] at many places, with the same bits: eight at a time where one polynomial serves the whole
    /// domain. Volumes in, heights out; what has no partner in all three stays.
    pub fn heights_at_si(
        &self,
        volumes: &mut [f64],
        nose_up_deg: &[f64],
        right_down_deg: &[f64],
    ) -> Result<(), GeometryError> {
        let angles = nose_up_deg.chunks(Eight::COUNT).zip(right_down_deg.chunks(Eight::COUNT));
        for (heights, (nose_up, right_down)) in volumes.chunks_mut(Eight::COUNT).zip(angles) {
            let place = [&*heights, nose_up, right_down];
            let whole = place.iter().all(|part| part.len() == Eight::COUNT);
            let places = whole.then(|| place.map(|part| Eight::from_lanes(|i| part[i])));
            let known = places.and_then(|places| self.parts.values(places));
            if let Some(known) = known {
                heights.iter_mut().enumerate().for_each(|(i, height)| *height = known.lane(i));
                continue;
            }
            for ((height, nose_up), right_down) in heights.iter_mut().zip(nose_up).zip(right_down) {
                *height = self.height_at_si([*height, *nose_up, *right_down])?;
            }
        }
        Ok(())
    }

    /// Where the polynomial for upright walls does not answer. Takes three numbers, so that they need no place in memory
    /// where it does.
    #[inline(never)]
    fn elsewhere(&self, volume: f64, nose_up_deg: f64, right_down_deg: f64) -> Result<f64, GeometryError> {
        match self.parts.value(volume, nose_up_deg, right_down_deg) {
            Some(height) => Ok(height),
            None => self.exact_si(volume, Attitude::from_degrees(nose_up_deg, right_down_deg)?),
        }
    }

    /// Height of the free surface along *up* in the body frame: where a stick, straight or bent, meets it follows from
    /// that plane. In cubic metres and metres; no allocation inside the fitted part of the domain.
    #[inline]
    pub fn surface_si(&self, volume: f64, attitude: Attitude) -> Result<f64, GeometryError> {
        Ok(self.height_si(volume, attitude)? + dot(self.point, attitude.up_si()))
    }

    /// The polynomial in volume that holds for a volume at an attitude; `None` where the exact kernel answers.
    pub(crate) fn line(&self, volume: f64, attitude: Attitude) -> Option<Line> {
        let at = [volume, attitude.nose_up_deg(), attitude.right_down_deg()];
        if (0..3).any(|i| !(self.low[i]..=self.high[i]).contains(&at[i])) {
            return None;
        }
        let (patch, [low, high]) = self.parts.patch_and_range(at[0], at[1], at[2])?;
        Some(patch.at_attitude(at[1], at[2], [low.max(self.low[0]), high.min(self.high[0])]))
    }

    /// Where it holds without the exact kernel.
    pub fn domain(&self) -> Domain {
        let volume = [self.low[0], self.high[0]].map(Volume::new::<cubic_meter>);
        let [nose_up_deg, right_down_deg] = [1, 2].map(|i| (self.low[i], self.high[i]));
        Domain { volume: (volume[0], volume[1]), nose_up_deg, right_down_deg }
    }

    /// The body point over which heights are taken.
    pub fn point(&self) -> Point {
        Point::from_si(self.point)
    }

    /// The same height from the exact kernel, whatever the domain.
    pub fn exact_si(&self, volume: f64, attitude: Attitude) -> Result<f64, GeometryError> {
        exact(&self.sump.prepare(attitude)?, self.point, volume)
    }

    /// Whether a question would be answered by a patch.
    pub fn is_fitted(&self, volume: Volume, attitude: Attitude) -> bool {
        self.parts.value(volume.get::<cubic_meter>(), attitude.nose_up_deg(), attitude.right_down_deg()).is_some()
    }

    /// How good the fit is, measured at held-out points.
    pub fn quality(&self) -> ResponseQuality {
        self.quality
    }
}

pub(super) fn exact(curve: &LevelCurve, point: Vec3, volume: f64) -> Result<f64, GeometryError> {
    Ok(curve.level_si(volume)? + curve.datum_si() - dot(point, curve.attitude().up_si()))
}

fn accept(sump: &Sump, domain: Domain) -> Result<(Vec3, Vec3), GeometryError> {
    let litres = |v: Volume| v.get::<cubic_meter>() * 1e3;
    let capacity = sump.capacity_si() * 1e3;
    let (v0, v1) = (litres(domain.volume.0), litres(domain.volume.1));
    check::in_range("domain.volume[0]", v0, 0.0, capacity, "L")?;
    check::in_range("domain.volume[1]", v1, v0 + 5e-4, capacity, "L")?;
    for (what, (a, b)) in [("domain.nose_up", domain.nose_up_deg), ("domain.right_down", domain.right_down_deg)] {
        check::in_range(what, a, -89.0, 89.0, "deg")?;
        check::in_range(what, b, a, 89.0, "deg")?;
    }
    let (p, r) = (domain.nose_up_deg, domain.right_down_deg);
    Ok(([v0 / 1e3, p.0, r.0], [v1 / 1e3, p.1, r.1]))
}
