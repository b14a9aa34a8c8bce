//! SAE J306, viscosity classification of automotive gear lubricants: the limits of February 2019.
//!
//! Source: a public chart headed "J306 effective February 2019". The 2005 edition differs for 70W, 75W (4.1), 80W and 80
//! (7.0) and has no 65, 70 and 75.

use serde::Serialize;

/// The edition of the limits.
pub const EDITION: &str = "J306_201902";

/// One grade: with a W a lower limit only, without it a window of kinematic viscosity at 100 degC.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct GearGrade {
    /// Designation, such as `90` or `75W`.
    pub name: &'static str,
    /// Highest temperature in deg C at which the viscosity (ASTM D2983) reaches 150 000 mPa.s; W grades only.
    pub thick_below_c: Option<f64>,
    /// Lowest kinematic viscosity at 100 degC in mm2/s.
    pub kv100_min: f64,
    /// Kinematic viscosity at 100 degC that must stay below this, in mm2/s; none for W grades and 250.
    pub kv100_below: Option<f64>,
}

const fn winter(name: &'static str, thick_below_c: f64, kv100_min: f64) -> GearGrade {
    GearGrade { name, thick_below_c: Some(thick_below_c), kv100_min, kv100_below: None }
}

const fn window(name: &'static str, kv100_min: f64, kv100_below: f64) -> GearGrade {
    GearGrade { name, thick_below_c: None, kv100_min, kv100_below: Some(kv100_below) }
}

/// The four grades with a W.
pub const WINTER: [GearGrade; 4] =
    [winter("70W", -55.0, 3.8), winter("75W", -40.0, 3.8), winter("80W", -26.0, 8.5), winter("85W", -12.0, 11.0)];

/// The ten grades without a W.
pub const SUMMER: [GearGrade; 10] = [
    window("65", 3.8, 5.0),
    window("70", 5.0, 6.5),
    window("75", 6.5, 8.5),
    window("80", 8.5, 11.0),
    window("85", 11.0, 13.5),
    window("90", 13.5, 18.5),
    window("110", 18.5, 24.0),
    window("140", 24.0, 32.5),
    window("190", 32.5, 41.0),
    GearGrade { name: "250", thick_below_c: None, kv100_min: 41.0, kv100_below: None },
];

#[cfg(test)]
mod tests {
    use super::*;

    /// The windows follow one another without gap or overlap (unlike J300).
    #[test]
    fn windows_join() {
        for pair in SUMMER.windows(2) {
            assert_eq!(pair[0].kv100_below, Some(pair[1].kv100_min), "{}", pair[0].name);
        }
    }
}
