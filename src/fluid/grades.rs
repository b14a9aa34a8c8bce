//! Grades of oil as data, each standard with its edition: what a label says about viscosity, and what it leaves open.

use serde::{Deserialize, Serialize};
use uom::si::f64::KinematicViscosity;
use uom::si::kinematic_viscosity::square_millimeter_per_second;

use super::error::{FluidError, within};

mod conformity;
pub mod iso3448;
pub mod j300;
pub mod j306;
mod label;
mod oil;
mod spread;

pub use label::Label;
pub use oil::{GradeOil, Source, Window};
pub use spread::Spread;
#[cfg(feature = "python")]
pub(crate) use spread::{middle_and_corners, nodes};

/// A viscosity classification.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Standard {
    /// SAE J300, engine oils.
    SaeJ300,
    /// SAE J306, automotive gear lubricants.
    SaeJ306,
    /// ISO 3448, industrial lubricants.
    Iso3448,
}

impl Standard {
    /// The edition whose limits are used.
    pub fn edition(self) -> &'static str {
        match self {
            Self::SaeJ300 => j300::EDITION,
            Self::SaeJ306 => j306::EDITION,
            Self::Iso3448 => iso3448::EDITION,
        }
    }
}

/// Upper end of a viscosity window, in mm2/s.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Upper {
    /// No upper limit.
    Open,
    /// The viscosity must stay below this (SAE).
    Below(f64),
    /// The viscosity may reach this (ISO).
    UpTo(f64),
}

/// One grade of one standard: its window of kinematic viscosity.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Grade {
    /// The standard.
    pub standard: Standard,
    /// Edition of the standard.
    pub edition: &'static str,
    /// Designation, such as `10W`, `40` or `ISO VG 46`.
    pub name: String,
    /// Temperature of the window in deg C: 100 for SAE, 40 for ISO.
    pub temperature_c: f64,
    /// Lowest kinematic viscosity in mm2/s.
    pub low_mm2_s: f64,
    /// Upper end of the window.
    pub high_mm2_s: Upper,
}

impl Grade {
    /// Whether a kinematic viscosity in mm2/s at the grade's temperature is within the window.
    pub fn contains_mm2_s(&self, nu: f64) -> bool {
        nu >= self.low_mm2_s
            && match self.high_mm2_s {
                Upper::Open => true,
                Upper::Below(high) => nu < high,
                Upper::UpTo(high) => nu <= high,
            }
    }
}

/// Every single grade of every standard: 14 of J300, 14 of J306, 20 of ISO 3448.
pub fn grades() -> Vec<Grade> {
    let sae = |standard: Standard, name: &str, low: f64, high: Option<f64>| Grade {
        standard,
        edition: standard.edition(),
        name: name.into(),
        temperature_c: 100.0,
        low_mm2_s: low,
        high_mm2_s: high.map_or(Upper::Open, Upper::Below),
    };
    let engine = j300::WINTER
        .iter()
        .map(|g| sae(Standard::SaeJ300, g.name, g.kv100_min, None))
        .chain(j300::SUMMER.iter().map(|g| sae(Standard::SaeJ300, g.name, g.kv100_min, Some(g.kv100_below))));
    let gear =
        j306::WINTER.iter().chain(&j306::SUMMER).map(|g| sae(Standard::SaeJ306, g.name, g.kv100_min, g.kv100_below));
    let iso = iso3448::CLASSES.iter().map(|(class, mid)| Grade {
        standard: Standard::Iso3448,
        edition: iso3448::EDITION,
        name: format!("ISO VG {class}"),
        temperature_c: 40.0,
        low_mm2_s: mid * (1.0 - iso3448::HALF_WIDTH),
        high_mm2_s: Upper::UpTo(mid * (1.0 + iso3448::HALF_WIDTH)),
    });
    engine.chain(gear).chain(iso).collect()
}

/// The window of one designation: that of its grade, and of a multigrade (`10W-40`) what both parts allow.
///
/// # Errors
/// [`FluidError::UnknownGrade`] with near designations.
///
/// ```
/// use fillmark::fluid::grades::grade;
/// assert_eq!(grade("25W-30")?.low_mm2_s, 9.3);
/// assert_eq!(grade("SAE 10W-40")?.name, "10W-40");
/// # Ok::<(), fillmark::fluid::FluidError>(())
/// ```
pub fn grade(designation: &str) -> Result<Grade, FluidError> {
    let label = Label::parse(designation)?;
    let all = grades();
    let single = |part: &str| {
        let same = |g: &&Grade| g.standard == label.standard && g.name.trim_start_matches("ISO VG ") == part;
        all.iter().find(same).cloned()
    };
    let (winter, summer) = (label.winter.and_then(single), label.summer.and_then(single));
    let found = match (winter, summer) {
        (Some(w), Some(s)) => Some(Grade { name: label.to_string(), low_mm2_s: s.low_mm2_s.max(w.low_mm2_s), ..s }),
        (w, s) => w.or(s),
    };
    found.ok_or_else(|| FluidError::UnknownGrade { text: designation.trim().into(), near: Vec::new() })
}

/// The grades without a W (J300, J306) or the classes (ISO 3448) whose window holds a viscosity; for ISO at 40 degC, else
/// at 100 degC.
///
/// The windows of J300 grades 8, 12, 16 and 20 overlap, so there may be two; section 6 of J300 says how to choose. None
/// when the viscosity falls outside or between classes.
///
/// # Errors
/// [`FluidError::OutsideRelation`] for a viscosity that is not positive.
///
/// ```
/// use fillmark::fluid::grades::{Standard, classify};
/// use fillmark::uom::si::{f64::KinematicViscosity, kinematic_viscosity::square_millimeter_per_second};
///
/// let nu = KinematicViscosity::new::<square_millimeter_per_second>(7.0);
/// let names: Vec<_> = classify(Standard::SaeJ300, nu)?.into_iter().map(|g| g.name).collect();
/// assert_eq!(names, ["12", "16", "20"]);
/// # Ok::<(), fillmark::fluid::FluidError>(())
/// ```
pub fn classify(standard: Standard, nu: KinematicViscosity) -> Result<Vec<Grade>, FluidError> {
    // A limit such as 12.5 mm2/s comes back from m2/s with a rounding error, which must not change its grade.
    let nu = (nu.get::<square_millimeter_per_second>() * 1e9).round() / 1e9;
    within("kinematic viscosity", nu, f64::MIN_POSITIVE, f64::MAX, "mm2/s", standard.edition())?;
    Ok(grades()
        .into_iter()
        .filter(|g| g.standard == standard && !g.name.ends_with('W') && g.contains_mm2_s(nu))
        .collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::error::Coded;

    fn names(standard: Standard, nu: f64) -> Vec<String> {
        let nu = KinematicViscosity::new::<square_millimeter_per_second>(nu);
        classify(standard, nu).unwrap().into_iter().map(|g| g.name).collect()
    }

    #[test]
    fn counts() {
        let all = grades();
        for (standard, count) in [(Standard::SaeJ300, 14), (Standard::SaeJ306, 14), (Standard::Iso3448, 20)] {
            assert_eq!(all.iter().filter(|g| g.standard == standard).count(), count);
        }
    }

    /// Upper bounds of J300 are strict: 12.5 is a 40, not a 30. Two measured oils sold as 20W-40 and 15W-40 (records
    /// AD02232 and AD02545 of the NOAA oil database, commit ca22bdb) are of grade 40.
    #[test]
    fn engine_oils() {
        assert_eq!(names(Standard::SaeJ300, 12.5), ["40"]);
        assert_eq!(names(Standard::SaeJ300, 12.499999), ["30"]);
        assert_eq!(names(Standard::SaeJ300, 14.0), ["40"]);
        assert_eq!(names(Standard::SaeJ300, 15.0), ["40"]);
        assert_eq!(names(Standard::SaeJ300, 6.1), ["12", "16"]);
        assert!(names(Standard::SaeJ300, 26.1).is_empty());
    }

    #[test]
    fn gear_and_industrial_oils() {
        assert_eq!(names(Standard::SaeJ306, 15.0), ["90"]);
        assert_eq!(names(Standard::SaeJ306, 50.0), ["250"]);
        assert_eq!(names(Standard::Iso3448, 46.0), ["ISO VG 46"]);
        assert!(names(Standard::Iso3448, 27.0).is_empty());
    }

    /// Every designation has a window, and that of a multigrade lies in both of its parts.
    #[test]
    fn every_designation_has_a_window() {
        for label in label::known() {
            let found = grade(&label.to_string()).unwrap();
            assert_eq!((found.standard, found.name.as_str()), (label.standard, label.to_string().as_str()));
            for part in [label.winter, label.summer].into_iter().flatten() {
                let part = if label.standard == Standard::Iso3448 { format!("VG {part}") } else { part.into() };
                assert!(grade(&part).unwrap().contains_mm2_s(found.low_mm2_s), "{label}: {part}");
            }
        }
        assert_eq!(grade("10W-45").unwrap_err().code(), "fluid.unknown_grade");
    }

    #[test]
    fn nonsense_is_refused() {
        let zero = KinematicViscosity::new::<square_millimeter_per_second>(0.0);
        assert_eq!(classify(Standard::SaeJ300, zero).unwrap_err().code(), "fluid.outside_relation");
    }
}
