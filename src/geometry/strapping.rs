//! Strapping tables and calls over arrays.

use uom::si::f64::Length;
use uom::si::length::meter;

use super::curve::{Interval, LevelCurve};
use super::error::GeometryError;
use crate::numeric::check;

/// Most rows of a strapping table.
const ROWS: f64 = 1e6;

/// Level, volume and free surface at equal steps of level, as columns of equal length.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Strapping {
    /// Level \[m\].
    pub level_m: Vec<f64>,
    /// Volume below it \[m3\].
    pub volume_m3: Vec<f64>,
    /// Free surface there, just above \[m2\]; 1 m2 is 1000 mL per mm.
    pub free_surface_m2: Vec<f64>,
}

impl LevelCurve {
    /// The strapping table at steps of `step` from the lowest level on; the last row is the highest level, whatever the
    /// step. At most a million rows.
    pub fn strapping(&self, step: Length) -> Result<Strapping, GeometryError> {
        let low = self.knots()[0];
        let range = self.height_si() - low;
        let step = check::in_range("step", step.get::<meter>() * 1e3, range / ROWS * 1e3, 20_000.0, "mm")? / 1e3;
        // A last step that is a rounding short of the top is the top.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // at most ROWS
        let whole = (range / step * (1.0 - 1e-12)).ceil() as u32;
        let levels: Vec<f64> = (0..whole).map(|i| low + f64::from(i) * step).chain([self.height_si()]).collect();
        let surface = levels.iter().map(|h| self.free_surface_si(*h)).collect::<Result<_, _>>()?;
        Ok(Strapping { volume_m3: self.volumes_si(&levels)?, free_surface_m2: surface, level_m: levels })
    }

    /// [`LevelCurve::volume_si`] of every element. Refused as a whole when one is out of range: the error names the
    /// first and counts them.
    pub fn volumes_si(&self, levels: &[f64]) -> Result<Vec<f64>, GeometryError> {
        check::all_finite("level", levels)?;
        let mut last = Interval::default();
        each(levels, |h| self.volume_near_si(h, &mut last), "level")
    }

    /// [`LevelCurve::level_si`] of every element, likewise.
    pub fn levels_si(&self, volumes: &[f64]) -> Result<Vec<f64>, GeometryError> {
        check::all_finite("volume", volumes)?;
        each(volumes, |v| self.level_si(v), "volume")
    }
}

fn each(
    values: &[f64],
    mut one: impl FnMut(f64) -> Result<f64, GeometryError>,
    what: &str,
) -> Result<Vec<f64>, GeometryError> {
    let mut out = Vec::with_capacity(values.len());
    for (index, value) in values.iter().enumerate() {
        match one(*value) {
            Ok(result) => out.push(result),
            Err(first) => {
                let count = values[index..].iter().filter(|v| one(**v).is_err()).count();
                let (what, first) = (what.into(), Box::new(first));
                return Err(GeometryError::Element { what, index, count, first });
            }
        }
    }
    Ok(out)
}
