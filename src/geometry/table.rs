//! Sumps known by measured pairs only: a strapping table, or the volume between two marks; off level with the centroid of the
//! free surface.
//!
//! Off level the free surface turns about its centroid: of all planes with a given small tilt, the one through the centroid of
//! the level surface keeps the volume to first order, because what it adds on one side it takes on the other (hydrostatics of
//! floating bodies knows this as Euler's theorem on equivolume planes; W. Muckle, Muckle's Naval Architecture, from memory).
//! What is left grows with the square of the tilt: a plane through the centroid that is tilted by t about an axis holds
//! `tan(t)^2 / 2 * dI/dz` too much, where I is the second moment of the free surface about that axis. Between upright walls I
//! does not change and the plane is exact, until it meets the floor or the lid.

use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::attitude::Attitude;
use super::curve::LevelCurve;
use super::error::GeometryError;
use crate::numeric::check;

/// Largest angle between *up* and the body's z axis at which a table with a centroid answers \[deg\] (judgement: its error
/// grows with the square).
pub(crate) const MOST_TILT_DEG: f64 = 10.0;

/// A sump without plan form.
#[derive(Debug, PartialEq)]
pub(crate) struct Table {
    kind: &'static str,
    levels: Vec<f64>,
    volumes: Vec<f64>,
    /// Centroid of the free surface in the body's x and y, for every row; empty where it is not known.
    centroid: Vec<[f64; 2]>,
}

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

impl Table {
    /// Rows of level and volume, straight between them.
    pub(crate) fn from_rows(rows: &[(Length, Volume)]) -> Result<Self, GeometryError> {
        let levels: Vec<f64> = rows.iter().map(|(level, _)| level.get::<meter>()).collect();
        let volumes: Vec<f64> = rows.iter().map(|(_, volume)| volume.get::<cubic_meter>()).collect();
        if rows.len() < 2 {
            return Err(GeometryError::TableTooShort { rows: rows.len() });
        }
        check::all_finite("level", &levels)?;
        check::all_finite("volume", &volumes)?;
        check::in_range("level[0]", levels[0] * 1e3, 0.0, 20_000.0, "mm")?;
        check::in_range("volume[0]", volumes[0] * 1e3, 0.0, 1e6, "L")?;
        rises(&levels, "level", "mm")?;
        rises(&volumes, "volume", "L")?;
        let last = rows.len() - 1;
        check::in_range(&format!("level[{last}]"), levels[last] * 1e3, 0.0, 20_000.0, "mm")?;
        check::in_range(&format!("volume[{last}]"), volumes[last] * 1e3, 0.0, 1e6, "L")?;
        Ok(Self { kind: "strapping table", levels, volumes, centroid: Vec::new() })
    }

    /// A straight-sided sump with the free surface that the span implies. Level 0 is where such a sump would be empty, so MAX
    /// is at `volume_at_max * length / volume`.
    pub(crate) fn from_span(span: Span) -> Result<Self, GeometryError> {
        let litres = |v: Volume| v.get::<cubic_meter>() * 1e3;
        let volume = check::in_range("span.volume", litres(span.volume), 1e-3, 1e6, "L")?;
        let length = check::in_range("span.length", span.length.get::<meter>() * 1e3, 1e-2, 20_000.0, "mm")?;
        let at_max = check::in_range("span.volume_at_max", litres(span.volume_at_max), volume, 1e6, "L")?;
        let capacity = match span.capacity {
            None => at_max + volume,
            Some(v) => check::in_range("span.capacity", litres(v), at_max, 1e6, "L")?,
        };
        let height = capacity * length / volume;
        let (levels, volumes) = (vec![0.0, height / 1e3], vec![0.0, capacity / 1e3]);
        Ok(Self { kind: "span", levels, volumes, centroid: Vec::new() })
    }

    /// The same with the centroid of its free surface: one point for all rows, or one for each.
    pub(crate) fn with_centroid(mut self, centroid: &[(Length, Length)]) -> Result<Self, GeometryError> {
        let given = centroid.len();
        let each: Vec<[f64; 2]> = centroid.iter().map(|(x, y)| [x.get::<meter>(), y.get::<meter>()]).collect();
        check::all_finite("centroid", each.as_flattened())?;
        self.centroid = match each[..] {
            [one] => vec![one; self.levels.len()],
            _ if given == self.levels.len() => each,
            _ => return Err(GeometryError::CentroidRows { given, rows: self.levels.len() }),
        };
        Ok(self)
    }

    /// The same with every length times `factor`.
    pub(crate) fn scaled(&self, factor: f64) -> Self {
        Self {
            kind: self.kind,
            levels: self.levels.iter().map(|z| z * factor).collect(),
            volumes: self.volumes.iter().map(|v| v * factor.powi(3)).collect(),
            centroid: self.centroid.iter().map(|c| c.map(|x| x * factor)).collect(),
        }
    }

    pub(crate) fn kind(&self) -> &'static str {
        self.kind
    }

    pub(crate) fn capacity_si(&self) -> f64 {
        self.volumes[self.volumes.len() - 1]
    }

    /// Whether it answers at an attitude.
    pub(crate) fn serves(&self, attitude: Attitude) -> Result<(), GeometryError> {
        let (nose_up_deg, right_down_deg) = (attitude.nose_up_deg(), attitude.right_down_deg());
        let source_kind = self.kind.into();
        if attitude.is_level() {
            return Ok(());
        }
        if self.centroid.is_empty() {
            return Err(GeometryError::NeedsPlanForm { source_kind, nose_up_deg, right_down_deg });
        }
        let [x, y, z] = attitude.up();
        let tilt_deg = x.hypot(y).atan2(z).to_degrees();
        if tilt_deg > MOST_TILT_DEG + 1e-9 {
            return Err(GeometryError::TiltBeyondTable { source_kind, tilt_deg, most_deg: MOST_TILT_DEG });
        }
        let falls = self.levels_at(attitude).windows(2).position(|level| level[1] <= level[0]);
        falls.map_or(Ok(()), |row| {
            let [[x, y], [next_x, next_y]] = [self.centroid[row], self.centroid[row + 1]];
            let (shift_mm, rise_mm) =
                ((next_x - x).hypot(next_y - y) * 1e3, (self.levels[row + 1] - self.levels[row]) * 1e3);
            Err(GeometryError::CentroidShifts { row: row + 1, shift_mm, rise_mm, nose_up_deg, right_down_deg })
        })
    }

    /// Levels of the rows at an attitude, from the point that its curve counts from.
    fn levels_at(&self, attitude: Attitude) -> Vec<f64> {
        let Some([x0, y0]) = self.centroid.first() else { return self.levels.clone() };
        let up = attitude.up();
        let level = |(z, [x, y]): (&f64, &[f64; 2])| up[0] * (x - x0) + up[1] * (y - y0) + up[2] * z;
        self.levels.iter().zip(&self.centroid).map(level).collect()
    }

    /// The curve at an attitude that it [serves](Table::serves). Level 0 is at the height of the body point `(x, y, 0)`, with the centroid of the first row.
    pub(crate) fn curve(&self, attitude: Attitude) -> LevelCurve {
        let up = attitude.up();
        let datum = self.centroid.first().map_or(0.0, |[x, y]| up[0] * x + up[1] * y);
        LevelCurve::of_pairs(attitude, datum, self.levels_at(attitude), &self.volumes)
    }
}

fn rises(values: &[f64], what: &str, unit: &str) -> Result<(), GeometryError> {
    let Some(i) = values.windows(2).position(|w| w[1] <= w[0]) else {
        return Ok(());
    };
    // Metres to mm and cubic metres to litres are both a thousand.
    let (value, previous) = (values[i + 1] * 1e3, values[i] * 1e3);
    Err(GeometryError::TableNotRising { row: i + 1, what: what.into(), value, previous, unit: unit.into() })
}
