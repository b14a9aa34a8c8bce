//! Sumps known by measured pairs only: a strapping table, or the volume between two marks.

use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::curve::LevelCurve;
use super::error::GeometryError;
use crate::numeric::check;

/// What is known of a sump from its marks: the volume between them and how far apart they are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Volume from MIN to MAX.
    pub volume: Volume,
    /// Height from MIN to MAX, along *up*.
    pub length: Length,
    /// Volume in the sump at MAX; at least the span volume.
    pub volume_at_max: Volume,
    /// What the sump holds to its brim; if not known, one span above MAX is assumed (judgement, no source).
    pub capacity: Option<Volume>,
}

/// The curve through rows of level and volume, straight between rows.
pub(crate) fn from_rows(rows: &[(Length, Volume)]) -> Result<LevelCurve, GeometryError> {
    let z: Vec<f64> = rows.iter().map(|(level, _)| level.get::<meter>()).collect();
    let v: Vec<f64> = rows.iter().map(|(_, volume)| volume.get::<cubic_meter>()).collect();
    if rows.len() < 2 {
        return Err(GeometryError::TableTooShort { rows: rows.len() });
    }
    check::all_finite("level", &z)?;
    check::all_finite("volume", &v)?;
    check::in_range("level[0]", z[0] * 1e3, 0.0, 20_000.0, "mm")?;
    check::in_range("volume[0]", v[0] * 1e3, 0.0, 1e6, "L")?;
    rises(&z, "level", "mm")?;
    rises(&v, "volume", "L")?;
    Ok(LevelCurve::of_pairs(z, &v))
}

fn rises(values: &[f64], what: &str, unit: &str) -> Result<(), GeometryError> {
    let Some(i) = values.windows(2).position(|w| w[1] <= w[0]) else {
        return Ok(());
    };
    // Metres to mm and cubic metres to litres are both a thousand.
    let (value, previous) = (values[i + 1] * 1e3, values[i] * 1e3);
    Err(GeometryError::TableNotRising { row: i + 1, what: what.into(), value, previous, unit: unit.into() })
}

/// The curve of a straight-sided sump with the free surface that the span implies. Level 0 is where such a sump would
/// be empty, so MAX is at `volume_at_max * length / volume`.
pub(crate) fn from_span(span: Span) -> Result<LevelCurve, GeometryError> {
    let litres = |v: Volume| v.get::<cubic_meter>() * 1e3;
    let volume = check::in_range("span.volume", litres(span.volume), 1e-3, 1e6, "L")?;
    let length = check::in_range("span.length", span.length.get::<meter>() * 1e3, 1e-2, 20_000.0, "mm")?;
    let at_max = check::in_range("span.volume_at_max", litres(span.volume_at_max), volume, 1e6, "L")?;
    let capacity = match span.capacity {
        None => at_max + volume,
        Some(v) => check::in_range("span.capacity", litres(v), at_max, 1e6, "L")?,
    };
    let height = capacity * length / volume;
    Ok(LevelCurve::of_pairs(vec![0.0, height / 1e3], &[0.0, capacity / 1e3]))
}
