//! Values: text kept, text written, files, range checks.

use proptest::prelude::*;
use serde::{Deserialize, Serialize};

use crate::error::Coded;
use crate::units::{
    Angle, DimensionId, Distribution, Length, Ratio, Temperature, Value, Volume, VolumeFlow, parse_si, units_of,
};

fn volume(text: &str) -> Value<Volume> {
    Value::parse("fill", text).unwrap()
}

#[test]
fn a_value_keeps_its_text() {
    let fill = volume(" 5 1/2 US qt ");
    assert_eq!(fill.written(), "5 1/2 US qt");
    assert_eq!(format!("[{fill:>12}]"), "[ 5 1/2 US qt]");
    assert!(fill.is_exact());
    assert_eq!(fill.standard_uncertainty(), 0.0);
    assert_ne!(volume("1 L"), volume("1.0 L"));
    assert_eq!(volume("1 L"), volume("1 L").clone());
}

#[test]
fn written_text_is_short() {
    assert_eq!(Value::<Volume>::from_si(6.9 / 1e3).unwrap().written(), "6.9 L");
    // No f64 in litres converts to exactly this one.
    assert_eq!(Value::<Volume>::from_si(6.9e-3).unwrap().written(), "0.0069 m3");
    assert_eq!(Value::<Volume>::exact(6.9, "L").unwrap().written(), "6.9 L");
    assert_eq!(Value::<Volume>::exact(5.5, "US qt").unwrap().written(), "5.5 US qt");
    assert_eq!(Value::<Length>::from_si(0.0432).unwrap().written(), "43.2 mm");
    assert_eq!(Value::<Temperature>::from_si(20.0).unwrap().written(), "20 degC");
    assert_eq!(Value::<Ratio>::from_si(1.02).unwrap().written(), "1.02");
    assert_eq!(Value::<Volume>::from_si(1e300).unwrap().written(), "1e303 L");
    let film = Distribution::log_normal("film", 0.3 / 1e3, 0.66).unwrap();
    assert_eq!(Value::<Volume>::from_distribution(film).written(), "lognormal(0.3, 0.66) L");
    let tail = Distribution::truncated_normal("x", 0.35 / 1e3, 0.05 / 1e3, 0.0, f64::INFINITY).unwrap();
    assert_eq!(Value::<Volume>::from_distribution(tail).written(), "truncated(0.35, 0.05, 0, inf) L");
}

#[test]
fn a_range_check_speaks_in_the_unit_asked_for() {
    let fill = volume("0.30 .. 0.40 L");
    assert!(fill.check("fill", 0.0, 500.0, "mL").is_ok());
    let error = fill.check("fill", 0.0, 350.0, "mL").unwrap_err();
    assert_eq!(error.to_string(), "fill = 400 mL is outside 0 to 350 mL");
    assert!(volume("-1 L").check("fill", 0.0, 350.0, "mL").is_err());
    // The tails of a normal have no limit to check.
    assert!(volume("0.10(9) L").check("fill", 0.0, 1.0, "L").is_ok());
    assert_eq!(fill.check("fill", 0.0, 1.0, "mm").unwrap_err().code(), "quantity.wrong_dimension");
}

#[derive(Debug, Serialize, Deserialize)]
struct File {
    fill: Value<Volume>,
    scale: Value<Ratio>,
}

#[test]
fn files_hold_the_text() {
    let file: File = toml::from_str("fill = \"0.35(5) L\"\nscale = 1.02\n").unwrap();
    assert_eq!(file.fill.written(), "0.35(5) L");
    assert_eq!(file.scale.distribution(), &Distribution::Exact(1.02));
    let json = serde_json::to_string(&file).unwrap();
    assert_eq!(json, r#"{"fill":"0.35(5) L","scale":"1.02"}"#);
    let whole: File = serde_json::from_str(r#"{"fill":"4 L","scale":1}"#).unwrap();
    assert_eq!(whole.scale.nominal(), 1.0);
}

#[test]
fn files_that_do_not_fit_say_why() {
    let cases = [
        ("fill = 4.2\nscale = 1", "volume: \"4.2\" has no unit; a volume is wanted, such as 4.2 L"),
        ("fill = \"4 qt\"\nscale = 1", "say US qt (0.946352946 L) or imp qt (1.1365225 L)"),
        ("fill = true\nscale = 1", "the text of a volume such as \"4.2 L\""),
    ];
    for (text, reason) in cases {
        let error = toml::from_str::<File>(text).unwrap_err().to_string();
        assert!(error.contains(reason) && error.contains("line 1"), "{error}");
    }
}

#[test]
fn files_may_hold_a_table() {
    let tables = [
        (r#"{"normal":{"mean":0.35,"standard_uncertainty":0.05,"unit":"L"}}"#, "normal(0.35, 0.05) L"),
        (r#"{"rectangular":{"low":0.3,"high":0.4,"unit":"L"}}"#, "rectangular(0.3, 0.4) L"),
        (r#"{"rectangular":{"low":0.3,"high":0.4,"limits_within":0.01,"unit":"L"}}"#, "rectangular(0.3, 0.4, 0.01) L"),
        (r#"{"triangular":{"low":0.3,"mode":0.3,"high":0.4,"unit":"L"}}"#, "triangular(0.3, 0.3, 0.4) L"),
        (r#"{"lognormal":{"median":0.3,"sigma":0.66,"unit":"US qt"}}"#, "lognormal(0.3, 0.66) US qt"),
        (r#"{"truncated":{"mean":1,"standard_uncertainty":2,"low":0,"unit":"L"}}"#, "truncated(1, 2, 0, inf) L"),
        (r#"{"arcsine":{"low":0.3,"high":0.4,"unit":"L"}}"#, "arcsine(0.3, 0.4) L"),
        (r#"{"pert":{"low":0.3,"mode":0.35,"high":0.4,"unit":"L"}}"#, "pert(0.3, 0.35, 0.4) L"),
        (r#"{"beta":{"low":0.3,"high":0.4,"alpha":2,"beta":3,"unit":"L"}}"#, "beta(0.3, 0.4, 2, 3) L"),
        (r#"{"t":{"estimate":0.3,"standard_uncertainty":0.1,"degrees_of_freedom":4,"unit":"L"}}"#, "t(0.3, 0.1, 4) L"),
        (r#"{"samples":{"values":[0.35,0.34,0.37],"unit":"L"}}"#, "samples(0.35, 0.34, 0.37) L"),
    ];
    for (table, text) in tables {
        let value: Value<Volume> = serde_json::from_str(table).unwrap();
        assert_eq!(value.written(), text);
        assert_eq!(value.distribution(), volume(text).distribution());
        assert_eq!(serde_json::to_string(&value).unwrap(), table, "kept as written");
    }
    let file: File = toml::from_str(
        "scale = { t = { estimate = 1, standard_uncertainty = 0.02, degrees_of_freedom = 3 } }\nfill = \"1 L\"",
    )
    .unwrap();
    assert_eq!(file.scale.written(), "t(1, 0.02, 3)");
    let again: File = toml::from_str(&toml::to_string(&file).unwrap()).unwrap();
    assert_eq!((again.scale, again.fill), (file.scale, file.fill));
}

#[test]
fn tables_that_do_not_fit_say_why() {
    let cases = [
        (r#"{"gaussian":{"mean":1,"unit":"L"}}"#, "no distribution is called \"gaussian\"; known are normal, "),
        (r#"{"normal":{"mean":1,"sd":1,"unit":"L"}}"#, "normal takes mean, standard_uncertainty and unit"),
        (r#"{"rectangular":{"low":1}}"#, "rectangular takes low, high, or low, high, limits_within and unit"),
        (r#"{"truncated":{"mean":1}}"#, "low (may be left out)"),
        (r#"{"normal":{"mean":"1","standard_uncertainty":1,"unit":"L"}}"#, "normal.mean = \"1\" must be a number"),
        (r#"{"normal":{"mean":1,"standard_uncertainty":1,"unit":2}}"#, "normal.unit = 2 must be text"),
        (r#"{"normal":{"mean":1,"standard_uncertainty":1}}"#, "has no unit; a volume is wanted"),
        (r#"{"normal":{"mean":1,"standard_uncertainty":-1,"unit":"L"}}"#, "must be above 0"),
        (r#"{"samples":{"unit":"L"}}"#, "samples takes values"),
        (r#"{"samples":{"values":[1,"2"],"unit":"L"}}"#, "samples.values[1] = \"2\" must be a number"),
        (r#"{"normal":{},"t":{}}"#, "a table with one key"),
        (r#"{"normal":3}"#, "a table with one key"),
    ];
    for (table, reason) in cases {
        let error = serde_json::from_str::<Value<Volume>>(table).unwrap_err().to_string();
        assert!(error.contains(reason), "{error}");
    }
}

fn finite() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>().prop_filter("finite", |x| x.is_finite()),
        -1e4..1e4f64,
        1e-9..1e-1f64,
        (0i32..100_000).prop_map(|n| f64::from(n) / 1e5),
    ]
}

fn assert_reads_back(dimension: DimensionId, distribution: &Distribution, text: &str) -> Result<(), TestCaseError> {
    let back = parse_si("back", text, dimension);
    prop_assert_eq!(back.as_ref().ok(), Some(distribution), "{}", text);
    Ok(())
}

proptest! {
    #[test]
    fn written_numbers_read_back_to_the_same_bits(x in finite()) {
        let texts = [
            (DimensionId::Volume, Value::<Volume>::from_si(x).unwrap().written().to_owned()),
            (DimensionId::Length, Value::<Length>::from_si(x).unwrap().written().to_owned()),
            (DimensionId::Temperature, Value::<Temperature>::from_si(x).unwrap().written().to_owned()),
            (DimensionId::Angle, Value::<Angle>::from_si(x).unwrap().written().to_owned()),
            (DimensionId::VolumeFlow, Value::<VolumeFlow>::from_si(x).unwrap().written().to_owned()),
            (DimensionId::Ratio, Value::<Ratio>::from_si(x).unwrap().written().to_owned()),
        ];
        for (dimension, text) in texts {
            match parse_si("back", &text, dimension) {
                Ok(Distribution::Exact(back)) => prop_assert_eq!(back.to_bits(), x.to_bits(), "{}", text),
                other => prop_assert!(false, "{} gives {:?}", text, other),
            }
        }
    }

    #[test]
    fn written_distributions_read_back_to_the_same_bits(a in -1.0..1.0f64, u in 1e-6..1.0f64, v in 1e-6..1.0f64) {
        let all = [
            Distribution::normal("x", a, u),
            Distribution::rectangular("x", a, a + u),
            Distribution::triangular("x", a, a + u, a + u + v),
            Distribution::log_normal("x", u, v),
            Distribution::truncated_normal("x", a, u, a - v, f64::INFINITY),
            Distribution::inexact_limits("x", a, a + u, 0.25 * u),
            Distribution::arcsine("x", a, a + u),
            Distribution::pert("x", a, a + u, a + u + v),
            Distribution::student("x", a, u, 1.0 + v),
            Distribution::samples("x", &[a, a + u, a + v]),
        ];
        for distribution in all {
            let distribution = distribution.unwrap();
            let text = Value::<Volume>::from_distribution(distribution.clone()).written().to_owned();
            assert_reads_back(DimensionId::Volume, &distribution, &text)?;
            let text = Value::<Angle>::from_distribution(distribution.clone()).written().to_owned();
            assert_reads_back(DimensionId::Angle, &distribution, &text)?;
            let text = Value::<Temperature>::from_distribution(distribution.clone()).written().to_owned();
            assert_reads_back(DimensionId::Temperature, &distribution, &text)?;
        }
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in any::<String>()) {
        for dimension in DimensionId::ALL {
            let _ = parse_si("any", &text, dimension);
        }
    }

    #[test]
    fn no_text_of_the_grammar_s_letters_makes_the_reader_panic(text in "[-+±0-9.,e()/k= LnormatugidX%°−²]{0,24}") {
        for dimension in DimensionId::ALL {
            let _ = parse_si("any", &text, dimension);
        }
    }

    #[test]
    fn conversions_invert_within_two_units_in_the_last_place(x in 1e-6..1e6f64, size in -250i32..250) {
        for unit in DimensionId::ALL.into_iter().flat_map(units_of) {
            let x = if unit.factor().is_some() { x * 10f64.powi(size) } else { x };
            if !unit.is_proportional() {
                continue;
            }
            let back = unit.from_si(unit.to_si(x));
            let apart = back.to_bits().abs_diff(x.to_bits());
            prop_assert!(apart <= 2, "{}: {:?} gives {:?}", unit.symbol(), x, back);
        }
    }
}
