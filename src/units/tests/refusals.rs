//! What is refused, and that the message says what to write.

use crate::error::Coded;
use crate::units::{DimensionId, Distribution, QuantityError, Value, Volume, parse_si};

fn refusal(text: &str) -> QuantityError {
    parse_si("fill", text, DimensionId::Volume).unwrap_err()
}

fn of(text: &str, dimension: DimensionId) -> QuantityError {
    parse_si("value", text, dimension).unwrap_err()
}

#[test]
fn bare_customary_units_are_refused_with_both_meanings() {
    let message = refusal("4.2 qt").to_string();
    assert_eq!(message, "fill: \"4.2 qt\": \"qt\" is not one unit; say US qt (0.946352946 L) or imp qt (1.1365225 L)");
    for bare in ["gal", "pt", "oz", "fl oz", "quarts", "Gallon"] {
        let error = refusal(&format!("5 1/2 {bare}"));
        assert_eq!(error.code(), "quantity.ambiguous_unit", "{bare}");
        assert!(error.to_string().contains("or imp "), "{error}");
    }
    let flow = of("2 gpm", DimensionId::VolumeFlow).to_string();
    assert!(flow.contains("US gal/min (3.785411784 L/min) or imp gal/min (4.54609 L/min)"), "{flow}");
}

#[test]
fn commas_are_refused() {
    assert_eq!(
        refusal("4,2 L").to_string(),
        "fill: \"4,2 L\" has a comma in a number; write 4.2 L (decimal point, nothing between thousands)"
    );
    assert!(refusal("1,000 mL").to_string().contains("write 1.000 mL or 1000 mL"));
    assert!(refusal("1,000,000 mL").to_string().contains("write 1000000 mL ("));
    assert!(refusal("1,234.5 L").to_string().contains("write 1234.5 L ("));
    for text in ["0,35 ± 0,10 L k=2", "0,30 .. 0,40 L", ",5 L", "0,35(5) L"] {
        assert_eq!(refusal(text).code(), "quantity.decimal_comma", "{text}");
    }
}

#[test]
fn a_missing_unit_is_refused_with_examples() {
    assert_eq!(
        refusal("4.2").to_string(),
        "fill: \"4.2\" has no unit; a volume is wanted, such as 4.2 L, 4.2 mL or 4.2 US qt"
    );
    assert_eq!(refusal("0.30 .. 0.40").code(), "quantity.missing_unit");
    assert_eq!(refusal("normal(1, 2)").code(), "quantity.missing_unit");
}

#[test]
fn a_unit_of_another_kind_is_named() {
    let message = refusal("4.2 mm").to_string();
    assert!(message.starts_with("fill: \"4.2 mm\": mm is a length, a volume is wanted: L, mL, US qt, "), "{message}");
    let angle = of("60 L", DimensionId::Angle).to_string();
    assert!(angle.contains("L is a volume, an angle is wanted: deg, rad, %"), "{angle}");
    // A bare customary name of a volume, where a length is wanted, is first of all no length.
    assert_eq!(of("4 qt", DimensionId::Length).code(), "quantity.wrong_dimension");
}

#[test]
fn an_unknown_unit_gets_the_nearest() {
    let message = refusal("4.2 US quat").to_string();
    assert!(message.starts_with("fill: \"4.2 US quat\": unknown unit \"US quat\" (did you mean US qt?)"), "{message}");
    assert!(refusal("4 ML").to_string().contains("did you mean mL?"));
    assert!(of("4 MM", DimensionId::Length).to_string().contains("did you mean mm?"));
    assert!(of("4 M", DimensionId::Length).to_string().contains("did you mean m?"));
    assert!(!refusal("4 firkins").to_string().contains("did you mean"));
    assert_eq!(of("4 oz", DimensionId::Mass).code(), "quantity.unknown_unit");
}

#[test]
fn plus_minus_without_a_factor_is_a_tolerance() {
    let message = refusal("0.35 ± 0.05 L").to_string();
    assert!(message.contains("write 0.35 ± 0.05 L k=2 if"), "{message}");
    assert!(message.contains("0.3 .. 0.4 L if it is a tolerance"), "{message}");
    assert_eq!(refusal("0.35 +- 0.05 L").code(), "quantity.missing_coverage_factor");
}

#[test]
fn what_is_no_number_is_shown() {
    for text in ["", "   ", "L", "about 4 L", "- L", "4 2 L", "1/0 L", "4.2.1 L", ".. 4 L", "± 2 L k=2"] {
        assert_eq!(refusal(text).code(), "quantity.not_a_number", "{text}");
    }
    assert_eq!(
        refusal("1/0 L").to_string(),
        "fill: \"1/0 L\" has no number at \"/0 L\"; a number is written 4.2, .5, 1e-3, 1/2 or 5 1/2"
    );
}

#[test]
fn numbers_that_are_not_finite_are_refused() {
    for text in ["nan L", "inf L", "-Infinity L", "1e999 L", "normal(1e400, 1) L", "truncated(1, 1, nan, 2) L"] {
        assert_eq!(refusal(text).code(), "quantity.not_finite", "{text}");
    }
    // Finite in tonnes, too large in kilograms.
    assert_eq!(of("1e308 t", DimensionId::Mass).code(), "quantity.not_finite");
    assert_eq!(Value::<Volume>::from_si(f64::NAN).unwrap_err().code(), "quantity.not_finite");
    assert_eq!(Value::<Volume>::exact(f64::INFINITY, "L").unwrap_err().code(), "quantity.not_finite");
}

#[test]
fn forms_that_do_not_fit_are_refused_with_the_accepted_ones() {
    let cases = [
        ("normal(0.35) L", "normal does not take 1 numbers"),
        ("normal(0,35, 0,05) L", "normal does not take 4 numbers (a comma divides two numbers)"),
        ("gamma(2, 3) L", "no distribution is called \"gamma\""),
        ("normal(0.35 L, 0.05 L)", "\"0.35 L\" is not a number alone; the unit follows the parenthesis"),
        ("0.35(5) ± 0.10 L k=2", "two uncertainties for one value"),
        ("0.30(1) .. 0.40 L", "limits carry no uncertainty of their own"),
        ("0.30 L .. 400 mL", "the two numbers have different units"),
        ("(0.35 ± 0.10 L k=2", "a parenthesis is not closed"),
        ("0.35 ± 0.10 L k=0", "the coverage factor is a number above 0"),
        ("0.35 ± 0.10 L k=two", "the coverage factor is a number above 0"),
    ];
    for (text, reason) in cases {
        let error = refusal(text);
        assert_eq!(error.code(), "quantity.unknown_form", "{text}");
        let message = error.to_string();
        assert!(message.contains(reason) && message.contains("accepted: 4.2 L, 0.35(5) L"), "{message}");
    }
}

#[test]
fn distributions_must_hold_together() {
    for text in [
        "normal(0.35, 0) L",
        "normal(0.35, -0.05) L",
        "0.35(0) L",
        "0.35 ± 0 L k=2",
        "0.40 .. 0.30 L",
        "triangular(0.3, 0.5, 0.4) L",
        "lognormal(-1, 0.5) L",
        "lognormal(1, 0) L",
        "truncated(0.35, 0.05, 0.5, 0) L",
        "truncated(0.35, 0, 0, 1) L",
        "truncated(0, 1, 40, 41) L",
    ] {
        assert_eq!(refusal(text).code(), "quantity.invalid_distribution", "{text}");
    }
    assert_eq!(
        refusal("0.40 .. 0.30 L").to_string(),
        "fill: rectangular(0.4, 0.3): the lower limit must lie below the upper limit"
    );
    assert_eq!(of("lognormal(100, 0.1) degF", DimensionId::Temperature).code(), "quantity.invalid_distribution");
    assert!(Distribution::log_normal("x", 1.0, 0.5).unwrap().map_affine(1.0, 2.0).is_err());
    assert!(Distribution::normal("x", 1.0, 0.5).unwrap().map_affine(0.0, 2.0).is_err());
}

#[test]
fn fields_are_data() {
    let fields = refusal("4.2 qt").fields();
    assert_eq!(fields["what"], "fill");
    assert_eq!(fields["text"], "4.2 qt");
    assert_eq!(fields["unit"], "qt");
    assert_eq!(fields["alternatives"][0], "US qt (0.946352946 L)");
}

#[test]
fn distributions_that_contradict_themselves_say_which_rule() {
    let cases = [
        ("rectangular(0.3, 0.4, 0.06) L", "at most half their distance"),
        ("rectangular(0.4, 0.3, 0.01) L", "the lower limit must lie below"),
        ("rectangular(0.3, 0.4, 0) L", "within more than 0"),
        ("arcsine(0.4, 0.3) L", "the lower limit must lie below"),
        ("pert(0.3, 0.5, 0.4) L", "the order must be low, mode, high"),
        ("beta(0.3, 0.4, 0, 1) L", "within 0.1 to 100000"),
        ("beta(0.4, 0.4, 1, 1) L", "the lower limit must lie below"),
        ("t(0.3, 0, 4) L", "the standard uncertainty must be above 0"),
        ("t(0.3, 0.1, 0.5) L", "the degrees of freedom must be 1 or more"),
        ("samples(0.3, 0.3) L", "two or more values, not all equal"),
        ("samples(0.3) L", "two or more values, not all equal"),
    ];
    for (text, reason) in cases {
        let error = refusal(text);
        assert_eq!(error.code(), "quantity.invalid_distribution", "{text}");
        assert!(error.to_string().contains(reason), "{error}");
    }
    assert!(refusal("arcsine(1, 2, 3) L").to_string().contains("arcsine does not take 3 numbers"));
    assert!(refusal("t(1, 2) L").to_string().contains("t does not take 2 numbers"));
}
