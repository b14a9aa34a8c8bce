//! SAE J300, engine oil viscosity classification: the limits of edition J300_202405 (2024-05-09).
//!
//! Source: SAE abstracts of the editions and public reproductions of the table; the limits are those of 2015 and 2021,
//! the 2024 edition adds a test method. Well-known older values still in circulation are wrong today: 2.9 mPa.s for
//! 0W, 5W and 10W-40 (3.5 since J300_200711), 5.6 mm2/s as lower limit of grade 20 (6.9 since J300_201304).

use serde::Serialize;

/// The edition of the limits.
pub const EDITION: &str = "J300_202405";

/// A grade with a W: limits on cold cranking and pumping, and a lower limit on kinematic viscosity at 100 degC.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct WinterGrade {
    /// Designation, such as `10W`.
    pub name: &'static str,
    /// Highest cold-cranking viscosity in mPa.s (ASTM D5293).
    pub cranking_mpa_s: f64,
    /// Temperature of the cranking limit in deg C.
    pub cranking_c: f64,
    /// Highest pumping viscosity in mPa.s, with no yield stress (ASTM D4684).
    pub pumping_mpa_s: f64,
    /// Temperature of the pumping limit in deg C.
    pub pumping_c: f64,
    /// Lowest kinematic viscosity at 100 degC in mm2/s.
    pub kv100_min: f64,
}

/// A grade without a W: a window of kinematic viscosity at 100 degC and a lower limit on viscosity at high shear.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct SummerGrade {
    /// Designation, such as `40`.
    pub name: &'static str,
    /// Lowest kinematic viscosity at 100 degC in mm2/s.
    pub kv100_min: f64,
    /// Kinematic viscosity at 100 degC that must stay below this, in mm2/s.
    pub kv100_below: f64,
    /// Lowest viscosity at 150 degC and high shear rate in mPa.s.
    pub hths_min: f64,
}

const fn winter(name: &'static str, cranking: (f64, f64), pumping_c: f64, kv100_min: f64) -> WinterGrade {
    WinterGrade {
        name,
        cranking_mpa_s: cranking.0,
        cranking_c: cranking.1,
        pumping_mpa_s: 60_000.0,
        pumping_c,
        kv100_min,
    }
}

const fn summer(name: &'static str, kv100_min: f64, kv100_below: f64, hths_min: f64) -> SummerGrade {
    SummerGrade { name, kv100_min, kv100_below, hths_min }
}

/// The six winter grades.
pub const WINTER: [WinterGrade; 6] = [
    winter("0W", (6200.0, -35.0), -40.0, 3.8),
    winter("5W", (6600.0, -30.0), -35.0, 3.8),
    winter("10W", (7000.0, -25.0), -30.0, 4.1),
    winter("15W", (7000.0, -20.0), -25.0, 5.6),
    winter("20W", (9500.0, -15.0), -20.0, 5.6),
    winter("25W", (13_000.0, -10.0), -15.0, 9.3),
];

/// The eight grades without a W; for 40 see [`hths_min`].
pub const SUMMER: [SummerGrade; 8] = [
    summer("8", 4.0, 6.1, 1.7),
    summer("12", 5.0, 7.1, 2.0),
    summer("16", 6.1, 8.2, 2.3),
    summer("20", 6.9, 9.3, 2.6),
    summer("30", 9.3, 12.5, 2.9),
    summer("40", 12.5, 16.3, 3.7),
    summer("50", 16.3, 21.9, 3.7),
    summer("60", 21.9, 26.1, 3.7),
];

/// Lowest viscosity at 150 degC and high shear rate of a grade, in mPa.s: 3.5 for 0W-, 5W- and 10W-40, 3.7 for 40
/// alone and behind the other winter grades. `None` when the summer grade is unknown.
pub fn hths_min(winter: Option<&str>, summer: &str) -> Option<f64> {
    if summer == "40" && matches!(winter, Some("0W" | "5W" | "10W")) {
        return Some(3.5);
    }
    SUMMER.iter().find(|g| g.name == summer).map(|g| g.hths_min)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// SAE abstracts: 3.5 for 0W/5W/10W-40 came with J300_200711, 6.9 for grade 20 with J300_201304.
    #[test]
    fn not_the_superseded_limits() {
        assert_eq!(hths_min(Some("10W"), "40"), Some(3.5));
        assert_eq!(hths_min(Some("15W"), "40"), Some(3.7));
        assert_eq!(hths_min(None, "40"), Some(3.7));
        assert_eq!(hths_min(None, "45"), None);
        let twenty = SUMMER.iter().find(|g| g.name == "20").unwrap();
        approx::assert_abs_diff_eq!(twenty.kv100_min, 6.9, epsilon = 0.0);
        // The printed rationale of grades 16 and 20: 2.4 mPa.s over 6.9 mm2/s is 0.35.
        approx::assert_abs_diff_eq!(2.4 / twenty.kv100_min, 0.35, epsilon = 0.005);
    }

    #[test]
    fn pumping_is_tested_5_degrees_below_cranking() {
        for g in WINTER {
            approx::assert_abs_diff_eq!(g.cranking_c - g.pumping_c, 5.0, epsilon = 0.0);
        }
    }
}
