//! ISO 3448 (= ASTM D2422), viscosity classes of industrial liquid lubricants: twenty classes, midpoint +- 10 % at 40 degC.
//!
//! Source: ISO 3448:1992; the limits of 2 to 1500 as in public tables, those of 2200 and 3200 by the rule.

/// The edition of the limits.
pub const EDITION: &str = "ISO 3448:1992";

/// Class number and midpoint kinematic viscosity at 40 degC in mm2/s. For 2, 3, 5 and 7 the number is not the midpoint.
pub const CLASSES: [(u16, f64); 20] = [
    (2, 2.2),
    (3, 3.2),
    (5, 4.6),
    (7, 6.8),
    (10, 10.0),
    (15, 15.0),
    (22, 22.0),
    (32, 32.0),
    (46, 46.0),
    (68, 68.0),
    (100, 100.0),
    (150, 150.0),
    (220, 220.0),
    (320, 320.0),
    (460, 460.0),
    (680, 680.0),
    (1000, 1000.0),
    (1500, 1500.0),
    (2200, 2200.0),
    (3200, 3200.0),
];

/// Class numbers as written, in the order of [`CLASSES`].
pub(super) const NAMES: [&str; 20] = [
    "2", "3", "5", "7", "10", "15", "22", "32", "46", "68", "100", "150", "220", "320", "460", "680", "1000", "1500",
    "2200", "3200",
];

/// Half width of a class as a share of its midpoint.
pub const HALF_WIDTH: f64 = 0.1;

#[cfg(test)]
mod tests {
    use super::*;

    /// Limits as in two public tables (mm2/s at 40 degC); those of 3200 by the rule.
    #[test]
    fn limits() {
        for (class, low, high) in [
            (2, 1.98, 2.42),
            (3, 2.88, 3.52),
            (5, 4.14, 5.06),
            (7, 6.12, 7.48),
            (32, 28.8, 35.2),
            (46, 41.4, 50.6),
            (320, 288.0, 352.0),
            (1500, 1350.0, 1650.0),
            (3200, 2880.0, 3520.0),
        ] {
            let mid = CLASSES.iter().find(|c| c.0 == class).unwrap().1;
            approx::assert_abs_diff_eq!(mid * (1.0 - HALF_WIDTH), low, epsilon = 1e-9);
            approx::assert_abs_diff_eq!(mid * (1.0 + HALF_WIDTH), high, epsilon = 1e-9);
        }
    }

    #[test]
    fn names_match_numbers() {
        assert!(CLASSES.iter().zip(NAMES).all(|((class, _), name)| class.to_string() == name));
    }

    /// Each midpoint is about half as much again as the one before: the series of six per decade.
    #[test]
    fn six_classes_per_decade() {
        for pair in CLASSES.windows(2) {
            let step = pair[1].1 / pair[0].1;
            assert!((1.4..1.55).contains(&step), "{step}");
        }
    }
}
