//! A litre scale for the circuit's own stick, and where its marks belong at another attitude.

use std::sync::Arc;

use uom::si::area::square_meter;
use uom::si::f64::{Area, Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::dipstick::{StickHeights, Wetting};
use super::{Circuit, CircuitError};
use crate::Error;
use crate::geometry::{Attitude, LevelCurve};
use crate::numeric::check;

/// Most rows of a litre scale.
const ROWS: f64 = 10_000.0;

/// A mark of the stick.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// The lower one.
    Min,
    /// The upper one.
    Max,
}

/// One line of a litre scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScaleLine {
    /// Distance from the tip along the blade (m).
    pub along: f64,
    /// Volume in the sump when the stick reads this (m3).
    pub volume: f64,
    /// The same, less the volume at MAX in the reference condition (m3).
    pub from_max: f64,
    /// The same, less the volume at MIN in the reference condition (m3).
    pub from_min: f64,
    /// Volume per length of blade there, just below (m2).
    pub per_blade: f64,
}

/// Where MIN and MAX belong on the blade at an attitude (m from the tip).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MarksAt {
    /// Where the sump holds what it holds at MIN in the reference condition.
    pub min: f64,
    /// Where the sump holds what it holds at MAX in the reference condition.
    pub max: f64,
}

/// The circuit's stick and sump at one attitude, at the nominal volume scale and datum.
struct Dip {
    curve: Arc<LevelCurve>,
    stick: StickHeights,
    scale: f64,
    datum: f64,
    attitude: Attitude,
}

impl Dip {
    fn new(circuit: &Circuit, attitude: Attitude) -> Result<Self, Error> {
        let (l, nominal) = (circuit.layout(), circuit.nominals());
        let scale = l.volume_scale_at(nominal, nominal[l.reference_temperature]);
        let datum = nominal[l.datum];
        let curve = circuit.sump().curve(attitude)?;
        Ok(Self { curve, stick: circuit.stick().heights(attitude.up()), scale, datum, attitude })
    }

    /// Level, in the drawing's sump, of the blade's point at `along`.
    fn level(&self, along: f64) -> f64 {
        self.stick.height_at(along) - self.datum - self.curve.datum_si()
    }

    /// Volume below the plane through the blade's point at `along`: `k V(H - d - z_low)`.
    fn volume(&self, along: f64) -> f64 {
        self.scale * self.curve.volume_at(self.level(along))
    }

    /// Free surface times the rise of the blade, `k A dh/ds`: nothing outside the liquid space.
    fn per_blade(&self, along: f64) -> f64 {
        let area = self.curve.free_surface_si(self.level(along)).unwrap_or(0.0);
        self.scale * area * self.stick.rise_at(along)
    }

    /// Where the stick reads when the sump holds `volume`.
    fn along(&self, volume: f64, what: &str) -> Result<f64, CircuitError> {
        let surface = self.curve.datum_si() + self.curve.level_at(volume / self.scale) + self.datum;
        match self.stick.reading(surface) {
            (along, Wetting::OnBlade) => Ok(along),
            (_, off) => Err(CircuitError::OffBlade {
                what: what.into(),
                volume_l: volume * 1e3,
                side: if off == Wetting::BelowTip { "below the tip" } else { "above the top" }.into(),
                nose_up_deg: self.attitude.nose_up_deg(),
                right_down_deg: self.attitude.right_down_deg(),
            }),
        }
    }
}

impl Circuit {
    /// A litre scale for the circuit's own stick at an attitude: a line for every whole number of `step` from a mark, as far as the
    /// blade and the liquid reach, from the tip upwards.
    ///
    /// Zero is the volume that the sump holds at that mark *in the reference condition*; so at another attitude the lines stand where that
    /// volume reads there, and the scale tells the truth where the engraved marks do not. Nominal values; errors of a reading (seat,
    /// meniscus, smear) are not in it. At most 10 000 lines.
    ///
    /// ```
    /// use fillmark::circuit::{Circuit, Mark};
    /// use fillmark::uom::si::{f64::Volume, volume::liter};
    /// let bus = Circuit::demo("shuttle-bus")?;
    /// let scale = bus.litre_scale(Volume::new::<liter>(0.5), Mark::Max, bus.reference_attitude())?;
    /// assert!(scale.iter().any(|line| (line.along - 0.1114).abs() < 1e-9)); // 0 L from MAX stands at MAX
    /// # Ok::<(), fillmark::Error>(())
    /// ```
    pub fn litre_scale(&self, step: Volume, zero: Mark, attitude: Attitude) -> Result<Vec<ScaleLine>, Error> {
        let dip = Dip::new(self, attitude)?;
        let [at_min, at_max] = self.volumes_at_marks()?;
        let from = if zero == Mark::Max { at_max } else { at_min };
        let (low, high) = (dip.volume(0.0), dip.volume(dip.stick.length()));
        let least = ((high - low) / ROWS).max(1e-6) * 1e3;
        let step = check::in_range("step", step.get::<cubic_meter>() * 1e3, least, 1000.0, "L")? / 1e3;
        // A whole step that falls short of the end by rounding is still on the blade.
        let (first, last) = (((low - from) / step - 1e-9).ceil(), ((high - from) / step + 1e-9).floor());
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // at most ROWS
        let count = (last - first + 1.0).max(0.0) as u32;
        let lines = (0..count).filter_map(|i| {
            let volume = (from + (first + f64::from(i)) * step).clamp(low, high);
            let along = dip.along(volume, "line").ok()?;
            let (from_max, from_min) = (volume - at_max, volume - at_min);
            Some(ScaleLine { along, volume, from_max, from_min, per_blade: dip.per_blade(along) })
        });
        Ok(lines.collect())
    }

    /// Volume per length of blade at a distance from the tip (just below), at an attitude: free surface times the rise of the blade along
    /// *up*, `k A dh/ds`, which is `A cos φ` for a straight blade at angle φ to *up*. 1 m2 is 1000 mL per mm. Zero where the blade's
    /// point stands outside the liquid space.
    pub fn volume_per_blade_at(&self, along: Length, attitude: Attitude) -> Result<Area, Error> {
        let dip = Dip::new(self, attitude)?;
        Ok(Area::new::<square_meter>(dip.per_blade(self.on_blade(along)?)))
    }

    /// What the sump holds when the stick truly reads `along` at an attitude, less what it holds at MAX in the reference condition.
    ///
    /// [`Reading::from_max`](crate::service::Reading) takes MAX at the attitude of the reading instead, as one who does not know of the
    /// slope would; at the reference attitude the two agree.
    pub fn volume_from_max(&self, along: Length, attitude: Attitude) -> Result<Volume, Error> {
        let dip = Dip::new(self, attitude)?;
        let [_, at_max] = self.volumes_at_marks()?;
        Ok(Volume::new::<cubic_meter>(dip.volume(self.on_blade(along)?) - at_max))
    }

    /// Where MIN and MAX belong on the blade at another attitude, so that they hold there what they hold in the reference condition: a
    /// stick marked upright, translated to an installed angle. Refused where such a volume does not meet the blade.
    pub fn marks_at(&self, attitude: Attitude) -> Result<MarksAt, Error> {
        let dip = Dip::new(self, attitude)?;
        let [at_min, at_max] = self.volumes_at_marks()?;
        Ok(MarksAt { min: dip.along(at_min, "MIN")?, max: dip.along(at_max, "MAX")? })
    }

    /// What the sump holds at MIN and at MAX in the reference condition (m3).
    pub(crate) fn volumes_at_marks(&self) -> Result<[f64; 2], Error> {
        let dip = Dip::new(self, self.reference_attitude())?;
        let marks = self.layout().stick;
        Ok([marks.min, marks.max].map(|mark| dip.volume(self.nominals()[mark])))
    }

    /// A distance along the blade, in metres.
    fn on_blade(&self, along: Length) -> Result<f64, Error> {
        let length = self.stick().length() * 1e3;
        Ok(check::in_range("distance from the tip", along.get::<meter>() * 1e3, 0.0, length, "mm")? / 1e3)
    }
}
