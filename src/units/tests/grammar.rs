//! What the grammar accepts.

use crate::units::{DimensionId, Distribution, parse_si};

fn litres(text: &str) -> Distribution {
    parse_si("fill", text, DimensionId::Volume).unwrap()
}

fn stored(text: &str, dimension: DimensionId) -> Distribution {
    parse_si("value", text, dimension).unwrap()
}

fn exact(text: &str) -> f64 {
    match stored(text, DimensionId::Ratio) {
        Distribution::Exact(x) => x,
        other => panic!("{text} is {other:?}"),
    }
}

#[test]
fn numbers_are_decimals_fractions_and_mixed() {
    let cases = [
        ("4.2", 4.2),
        (".5", 0.5),
        ("5.", 5.0),
        ("1e-3", 1e-3),
        ("1E+3", 1e3),
        ("-4", -4.0),
        ("+ 4", 4.0),
        ("\u{2212}4", -4.0),
        ("1/2", 0.5),
        ("5 1/2", 5.5),
        ("-5 1/2", -5.5),
        ("0", 0.0),
        ("25 %", 0.25),
        ("25%", 0.25),
        ("7 1", 7.0),
    ];
    for (text, value) in cases {
        assert_eq!(exact(text), value, "{text}");
    }
}

#[test]
fn units_follow_with_or_without_a_blank() {
    assert_eq!(litres("4.2 L"), Distribution::Exact(4.2 / 1e3));
    assert_eq!(litres("  4.2l "), Distribution::Exact(4.2 / 1e3));
    assert_eq!(litres("5 1/2 US qt").nominal(), 5.5 * 473_176_473.0 / 5e11);
    assert_eq!(litres("1/2 imp gal").nominal(), 2.273_045e-3);
    assert_eq!(stored("212 °F", DimensionId::Temperature), Distribution::Exact(100.0));
    assert_eq!(stored("9 °F", DimensionId::TemperatureDifference), Distribution::Exact(5.0));
    assert_eq!(stored("2 %", DimensionId::Angle), Distribution::Exact(0.02f64.atan()));
}

/// JCGM 100:2008, 7.2.2: m = 100.02147(35) g and m = 100.02147(0.00035) g, each with u = 0.35 mg.
#[test]
fn parentheses_hold_the_standard_uncertainty() {
    for text in ["100.02147(35) g", "100.02147(0.00035) g"] {
        let mass = stored(text, DimensionId::Mass);
        assert_eq!(mass, Distribution::Normal { mean: 100.021_47 / 1e3, sd: 0.000_35 / 1e3 }, "{text}");
    }
    assert_eq!(stored("0.350(12)", DimensionId::Ratio), Distribution::Normal { mean: 0.35, sd: 0.012 });
    assert_eq!(stored("7.4(1)e-3", DimensionId::Ratio), Distribution::Normal { mean: 7.4e-3, sd: 1e-4 });
    assert_eq!(stored("12(3)", DimensionId::Ratio), Distribution::Normal { mean: 12.0, sd: 3.0 });
}

/// JCGM 100:2008, 6.2.1 and 7.2.4: U = k u.
#[test]
fn an_expanded_uncertainty_is_divided_by_its_factor() {
    for text in [
        "0.35 ± 0.10 L k=2",
        "0.35 +/- 0.10 L k=2",
        "0.35 +- 0.10 L (k=2)",
        "0.35±0.10L k = 2",
        "(0.35 ± 0.10) L, k=2",
        "0.35 L ± 0.10 L k=2.0",
    ] {
        assert_eq!(litres(text), Distribution::Normal { mean: 0.35 / 1e3, sd: 0.05 / 1e3 }, "{text}");
    }
    let third = stored("1 ± 0.3 k=2.5", DimensionId::Ratio);
    assert_eq!(third, Distribution::Normal { mean: 1.0, sd: 0.3 / 2.5 });
    // An uncertainty of a temperature is a difference: 3.6 degF is 2 K.
    let warm = stored("212 ± 3.6 degF k=2", DimensionId::Temperature);
    assert_eq!(warm, Distribution::Normal { mean: 100.0, sd: 1.0 });
}

#[test]
fn limits_are_rectangular() {
    for text in ["0.30 .. 0.40 L", "0.30..0.40 L", "0.30 L .. 0.40 L", "0.30 ... 0.40 L"] {
        assert_eq!(litres(text), Distribution::Rectangular { low: 0.3 / 1e3, high: 0.4 / 1e3 }, "{text}");
    }
    assert_eq!(stored("1/4 .. 1/2", DimensionId::Ratio), Distribution::Rectangular { low: 0.25, high: 0.5 });
}

#[test]
fn functional_forms_name_every_distribution() {
    assert_eq!(litres("normal(0.35, 0.05) L"), Distribution::Normal { mean: 0.35 / 1e3, sd: 0.05 / 1e3 });
    assert_eq!(litres("rectangular(0.30, 0.40) L"), Distribution::Rectangular { low: 0.3 / 1e3, high: 0.4 / 1e3 });
    let triangular = Distribution::Triangular { low: 0.3 / 1e3, mode: 0.35 / 1e3, high: 0.4 / 1e3 };
    assert_eq!(litres("triangular(0.30, 0.35, 0.40) L"), triangular);
    assert_eq!(litres("lognormal(0.30, 0.66) L"), Distribution::LogNormal { median: 0.3 / 1e3, sigma: 0.66 });
    let truncated = Distribution::TruncatedNormal { mean: 0.35 / 1e3, sd: 0.05 / 1e3, low: 0.0, high: 0.5 / 1e3 };
    assert_eq!(litres("truncated(0.35, 0.05, 0, 0.5) L"), truncated);
    let one_sided = Distribution::TruncatedNormal { mean: 1.0, sd: 2.0, low: 0.0, high: f64::INFINITY };
    assert_eq!(stored("truncated(1, 2, 0, inf)", DimensionId::Ratio), one_sided);
}

/// A slope is not linear; its uncertainty propagates by the derivative (JCGM 100, 5.1.2): 1 / (1 + s^2).
#[test]
fn an_uncertain_slope_propagates_to_first_order() {
    let slope = stored("2.0(5) %", DimensionId::Angle);
    assert_eq!(slope.nominal(), 0.02f64.atan());
    assert!((slope.standard_deviation() - 0.005 / 1.0004).abs() < 1e-17);
}
