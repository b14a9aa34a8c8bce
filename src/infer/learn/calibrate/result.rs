//! What a calibration says.

use std::fmt;

use super::CalibrateOptions;
use super::curve::Path;
use super::pours::Pours;
use crate::Error;
use crate::infer::learn::{Band, LearnError};

/// Places along the blade at which a calibration is tabled.
const ROWS: u32 = 41;

/// One draw of everything.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Draw {
    pub path: Path,
    /// Scatter of a reading (m).
    pub scatter: f64,
    /// What the pours so far were off by together, as the stick shows it (m).
    pub off: f64,
    /// Standard uncertainty of one more, as the stick shows it (m).
    pub pour: f64,
    /// True volume over stated.
    pub scale: f64,
    /// In the sump before the first pour (m3); 0 where it is not known.
    pub start: f64,
    /// MIN and MAX (m).
    pub marks: Option<[f64; 2]>,
}

/// A stick as step pours showed it. Made by [`calibrate`](super::calibrate).
#[derive(Debug, Clone, PartialEq)]
pub struct Calibration {
    places: Vec<f64>,
    pub(super) draws: Vec<Draw>,
    pub(super) pours: Pours,
    options: CalibrateOptions,
}

impl Calibration {
    pub(super) fn new(pours: Pours, places: Vec<f64>, draws: Vec<Draw>, options: &CalibrateOptions) -> Self {
        Self { places, draws, pours, options: options.clone() }
    }

    /// Lowest and highest reading (m from the tip).
    pub fn range(&self) -> (f64, f64) {
        self.pours.range()
    }

    /// How many readings it rests on.
    pub fn readings(&self) -> usize {
        self.pours.readings.len()
    }

    /// What was known besides the pours.
    pub fn options(&self) -> &CalibrateOptions {
        &self.options
    }

    /// Poured by label when the stick reads `along`, as a share of all that was poured.
    pub(super) fn poured(&self, draw: &Draw, along: f64) -> f64 {
        let reading = &draw.path.reading;
        let last = reading.len() - 1;
        let k = reading.partition_point(|r| *r < along).clamp(1, last);
        if along < reading[0] || along > reading[last] {
            let end = if along < reading[0] { 0 } else { last };
            return self.places[end] + (along - reading[end]) / draw.path.slope[end];
        }
        let part = (along - reading[k - 1]) / (reading[k] - reading[k - 1]);
        self.places[k - 1] + part * (self.places[k] - self.places[k - 1])
    }

    /// True volume above that before the first pour, with the start added where it is known (m3).
    pub(super) fn volume(&self, draw: &Draw, along: f64) -> f64 {
        draw.start + draw.scale * self.pours.total * self.poured(draw, along)
    }

    /// True volume per length of blade (m2).
    fn per_blade(&self, draw: &Draw, along: f64) -> f64 {
        let slope = &draw.path.slope;
        let x = self.poured(draw, along);
        let k = self.places.partition_point(|p| *p < x).clamp(1, slope.len() - 1);
        let part = ((x - self.places[k - 1]) / (self.places[k] - self.places[k - 1])).clamp(0.0, 1.0);
        draw.scale * self.pours.total / (slope[k - 1] + part * (slope[k] - slope[k - 1]))
    }

    /// The band of something over the draws.
    pub(super) fn band(&self, of: impl FnMut(&Draw) -> f64) -> Band {
        Band::of(&mut self.draws.iter().map(of).collect::<Vec<_>>(), self.options.coverage)
    }

    /// Volume per length of blade at `along` (m2; 1 m2 is 1000 mL per mm).
    pub fn per_blade_at(&self, along: f64) -> Band {
        self.band(|d| self.per_blade(d, along))
    }

    /// Mean volume per length of blade between the lowest and the highest reading (m2).
    pub fn per_blade_mean(&self) -> Band {
        let (low, high) = self.range();
        self.band(|d| (self.volume(d, high) - self.volume(d, low)) / (high - low))
    }

    /// Volume when the stick reads `along` (m3): in the sump where the start is known, else above that before the first pour.
    pub fn volume_at(&self, along: f64) -> Band {
        self.band(|d| self.volume(d, along))
    }

    /// Volume between two readings (m3).
    pub fn volume_between(&self, low: f64, high: f64) -> Band {
        self.band(|d| self.volume(d, high) - self.volume(d, low))
    }

    /// The span volume, MIN to MAX (m3).
    pub fn span(&self) -> Result<Band, Error> {
        if self.options.marks.is_none() {
            return Err(LearnError::NoMarks { question: "the span volume".into() }.into());
        }
        Ok(self.band(|d| d.marks.map_or(f64::NAN, |[min, max]| self.volume(d, max) - self.volume(d, min))))
    }

    /// The zero of the pours: what the stick reads, free of scatter, before the first pour (m).
    pub fn zero(&self) -> Band {
        let k = self.place(0.0);
        self.band(|d| d.path.reading[k])
    }

    /// The scatter of a reading as the readings leave it (m).
    pub fn scatter(&self) -> Band {
        self.band(|d| d.scatter)
    }

    /// The node of the grid nearest above a share of all that was poured.
    pub(super) fn place(&self, x: f64) -> usize {
        self.places.partition_point(|p| *p < x - 1e-9).min(self.places.len() - 1)
    }

    /// A share of all that was poured as a volume by label (m3).
    pub(super) fn added(&self, x: f64) -> f64 {
        x * self.pours.total
    }

    /// Evenly spaced places along the blade, from the lowest to the highest reading (m).
    pub fn along(&self) -> Vec<f64> {
        let (low, high) = self.range();
        (0..ROWS).map(|k| low + (high - low) * f64::from(k) / f64::from(ROWS - 1)).collect()
    }
}

impl fmt::Display for Calibration {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let percent = self.options.coverage * 100.0;
        let (low, high) = (self.range().0 * 1e3, self.range().1 * 1e3);
        writeln!(f, "Stick from {} readings, {low:.1} to {high:.1} mm; bands {percent} %", self.readings())?;
        let line = |f: &mut fmt::Formatter<'_>, name: &str, b: Band, digits: usize, unit: &str| {
            writeln!(f, "{name:<24}{:>9.digits$} {unit:<6} ({:.digits$} to {:.digits$})", b.median, b.low, b.high)
        };
        line(f, "volume per mm", self.per_blade_mean().times(1e3), 1, "mL/mm")?;
        if let Ok(span) = self.span() {
            line(f, "span, MIN to MAX", span.times(1e3), 3, "L")?;
        }
        line(f, "zero, before any pour", self.zero().times(1e3), 1, "mm")?;
        line(f, "scatter of a reading", self.scatter().times(1e3), 2, "mm")?;
        write!(f, "{:>8} {:>8} {:>17} {:>9} {:>19}", "mm", "mL/mm", "band", "L", "band")?;
        for s in self.along().iter().step_by(4) {
            let (slope, volume) = (self.per_blade_at(*s).times(1e3), self.volume_at(*s).times(1e3));
            let slopes = format!("{:.1} to {:.1}", slope.low, slope.high);
            let volumes = format!("{:.3} to {:.3}", volume.low, volume.high);
            write!(f, "\n{:>8.1} {:>8.1} {slopes:>17} {:>9.3} {volumes:>19}", s * 1e3, slope.median, volume.median)?;
        }
        Ok(())
    }
}
