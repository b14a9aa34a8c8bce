//! Factors against the standards, and conversions against exact integer arithmetic.

use crate::units::{DimensionId, convert, convert_as, unit, unit_of, units_of};

fn assert_close(got: f64, wanted: f64, relative: f64) {
    assert!((got - wanted).abs() <= relative * wanted.abs(), "{got:?} is not {wanted:?}");
}

/// NIST Handbook 44 Appendix C (US measures), NIST SP 811 Appendix B (imperial gallon, in3), exact values in litres.
#[test]
fn customary_volumes_match_the_handbooks() {
    let litres = [
        ("in3", 0.016_387_064),
        ("US gal", 3.785_411_784),
        ("US qt", 0.946_352_946),
        ("US pt", 0.473_176_473),
        ("US fl oz", 0.029_573_529_562_5),
        ("imp gal", 4.546_09),
        ("imp qt", 1.136_522_5),
        ("imp pt", 0.568_261_25),
        ("imp fl oz", 0.028_413_062_5),
    ];
    for (symbol, value) in litres {
        assert_close(convert("v", 1.0, symbol, "L").unwrap(), value, 1e-15);
    }
    // Ratio of the gallons and 42 US gal (one barrel): computed from the exact definitions.
    assert_close(convert("v", 1.0, "US gal", "imp gal").unwrap(), 0.832_674_184_628_988_9, 1e-15);
    assert_close(convert("v", 42.0, "US gal", "L").unwrap(), 158.987_294_928, 1e-15);
    assert_eq!(convert("v", 1.0, "US gal", "in3").unwrap(), 231.0);
    assert_eq!(convert("v", 160.0, "imp fl oz", "imp gal").unwrap(), 1.0);
}

/// Computed with exact fractions from 1 in = 25.4 mm, 1 lb = 0.453 592 37 kg, g = 9.806 65 m/s2 (NIST SP 811
/// Appendix B prints the same rounded to seven digits: 1.355 818, 0.112 984 8, 6.894 757 E+03).
#[test]
fn foot_pounds_and_psi_match_their_definitions() {
    assert_close(convert("m", 1.0, "ft.lbf", "N.m").unwrap(), 1.355_817_948_331_400_4, 1e-15);
    assert_close(convert("m", 1.0, "in.lbf", "N.m").unwrap(), 0.112_984_829_027_616_7, 1e-15);
    assert_close(convert("p", 1.0, "psi", "Pa").unwrap(), 6_894.757_293_168_361, 1e-15);
    assert_eq!(convert("m", 12.0, "in.lbf", "ft.lbf").unwrap(), 1.0);
}

/// ASTM D2270-10, 1.4.1: 1 cSt = 1 mm2/s = 1e-6 m2/s.
#[test]
fn centistokes_are_square_millimetres_a_second() {
    assert_eq!(convert("nu", 95.0, "cSt", "mm2/s").unwrap(), 95.0);
    assert_eq!(convert("nu", 1.0, "cSt", "m2/s").unwrap(), 1e-6);
}

/// Fixed points of the scales: ITS-90 zero of the Celsius scale 273.15 K; 32 degF and 212 degF by definition.
#[test]
fn temperatures_keep_their_zero_points_and_differences_do_not() {
    assert_eq!(convert("t", 212.0, "°F", "°C").unwrap(), 100.0);
    assert_eq!(convert("t", -40.0, "degF", "degC").unwrap(), -40.0);
    assert_eq!(convert("t", 293.15, "K", "degC").unwrap(), 20.0);
    assert_eq!(convert("t", 0.0, "degC", "K").unwrap(), 273.15);
    let difference = convert_as(DimensionId::TemperatureDifference, "dt", 9.0, "degF", "K");
    assert_eq!(difference.unwrap(), 5.0);
}

#[test]
fn angles_convert_and_a_slope_is_an_arc_tangent() {
    assert_eq!(convert("a", 180.0, "deg", "rad").unwrap(), std::f64::consts::PI);
    assert_close(convert("a", 100.0, "%", "deg").unwrap(), 45.0, 1e-15);
    assert_close(unit_of(DimensionId::Angle, "%").unwrap().from_si((0.02f64).atan()), 2.0, 4e-16);
}

/// Every fraction of the table: `x * num / den` in `f64` against the same in integers.
#[test]
fn conversions_match_exact_integer_arithmetic() {
    let mut checked = 0;
    for unit in DimensionId::ALL.into_iter().flat_map(units_of) {
        let Some((num, den)) = unit.factor() else { continue };
        for integer in [num, den] {
            let exact = integer >> integer.trailing_zeros() < 1 << 53;
            assert!(exact, "{} is not exact as f64", unit.symbol());
        }
        for x in [1u32, 3, 7, 11, 97, 231, 641, 999] {
            let got = unit.difference_to_si(f64::from(x), 0.0);
            assert_within_half_unit(got, u128::from(x) * u128::from(num), u128::from(den), unit.symbol());
            checked += 1;
        }
    }
    assert!(checked > 500);
}

/// `|got - top / bottom| <= 0.5000001` units in the last place of `got`, in integers.
fn assert_within_half_unit(got: f64, top: u128, bottom: u128, symbol: &str) {
    let bits = got.to_bits();
    let exponent = i32::try_from(bits >> 52).unwrap() - 1075;
    let mantissa = u128::from((bits & ((1 << 52) - 1)) | (1 << 52));
    // got = mantissa * 2^exponent; compare mantissa * bottom with top * 2^-exponent.
    let (left, right) = if exponent <= 0 {
        (mantissa * bottom, top << exponent.unsigned_abs())
    } else {
        ((mantissa * bottom) << exponent, top)
    };
    assert!(left.abs_diff(right) as f64 <= 0.500_000_1 * bottom as f64, "{symbol}: {got:?}");
}

#[test]
fn spellings_lead_to_one_unit() {
    let same = [
        ("l", "L"),
        ("litres", "L"),
        ("ml", "mL"),
        ("cc", "cm3"),
        ("cm³", "cm3"),
        ("cm^3", "cm3"),
        ("m³", "m3"),
        ("cu in", "in3"),
        ("°C", "degC"),
        ("℃", "degC"),
        ("C", "degC"),
        ("°", "deg"),
        ("Nm", "N.m"),
        ("N·m", "N.m"),
        ("lbf.ft", "ft.lbf"),
        ("ft-lbf", "ft.lbf"),
        ("ft·lbf", "ft.lbf"),
        ("µm", "um"),
        ("μm", "um"),
        ("mm²/s", "mm2/s"),
        ("mm^2/s", "mm2/s"),
        ("mPa·s", "mPa.s"),
        ("US  quarts", "US qt"),
        ("imperial gallon", "imp gal"),
    ];
    for (spelling, symbol) in same {
        assert_eq!(unit(spelling).map(crate::units::Unit::symbol), Some(symbol), "{spelling}");
    }
    // Case decides between a metre, a milli and a mega: nothing is guessed.
    for unknown in ["M", "MM", "ML", "mpa", "KG", "S", "qt", "gal"] {
        assert!(unit(unknown).is_none(), "{unknown}");
    }
}

#[test]
fn no_spelling_is_given_twice_and_default_units_exist() {
    for dimension in DimensionId::ALL {
        let mut seen: Vec<&str> =
            units_of(dimension).flat_map(|u| std::iter::once(u.symbol()).chain(u.aliases().iter().copied())).collect();
        let all = seen.len();
        seen.sort_unstable();
        seen.dedup();
        assert_eq!(seen.len(), all, "{}", dimension.name());
        assert!(unit_of(dimension, dimension.default_unit()).is_some());
        assert!(unit_of(dimension, dimension.stored_unit()).is_some_and(crate::units::Unit::is_stored));
    }
}
