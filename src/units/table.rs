//! The table of units. Factors are exact: 1 in = 25.4 mm, 1 lb = 0.453 592 37 kg, g = 9.806 65 m/s2 (NIST SP 811,
//! Appendix B), 1 US gal = 231 in3 (NIST Handbook 44, Appendix C), 1 imp gal = 4.546 09 L (NIST SP 811, Appendix B).

use super::dimension::DimensionId::{
<<<<<<< HEAD
    self, Angle, Area, Density, DynamicViscosity, Expansion, KinematicViscosity, Length, Mass, Pressure, Ratio,
=======
    self, Acceleration, Angle, Area, Density, DynamicViscosity, KinematicViscosity, Length, Mass, Pressure, Ratio,
>>>>>>> 53cc031 (All shapes, surfaces, wetted areas, strapping, responses and inspections in Python; a suspicious unit is reported; corners of facets count against their tolerance)
    SurfaceTension, Temperature, TemperatureDifference, Time, Torque, Volume, VolumeFlow,
};
use super::exact::{Scale, Unit};

const fn linear(
    dimension: DimensionId,
    symbol: &'static str,
    aliases: &'static [&'static str],
    num: u64,
    den: u64,
) -> Unit {
    Unit { symbol, aliases, dimension, scale: Scale::Fraction(num, den) }
}

const fn other(dimension: DimensionId, symbol: &'static str, aliases: &'static [&'static str], scale: Scale) -> Unit {
    Unit { symbol, aliases, dimension, scale }
}

/// Every unit, the commonest of each kind first.
pub(super) static UNITS: &[Unit] = &[
    linear(Volume, "L", &["l", "litre", "litres", "liter", "liters"], 1, 1_000),
    linear(Volume, "mL", &["ml"], 1, 1_000_000),
    linear(Volume, "US qt", &["us qt", "US quart", "US quarts", "US liq qt"], 473_176_473, 500_000_000_000),
    linear(Volume, "US gal", &["us gal", "US gallon", "US gallons"], 473_176_473, 125_000_000_000),
    linear(Volume, "US pt", &["us pt", "US pint", "US pints"], 473_176_473, 1_000_000_000_000),
    linear(Volume, "US fl oz", &["us fl oz"], 473_176_473, 16_000_000_000_000),
    linear(
        Volume,
        "imp qt",
        &["Imp qt", "imperial qt", "UK qt", "imp quart", "imp quarts", "imperial quart", "imperial quarts"],
        454_609,
        400_000_000,
    ),
    linear(
        Volume,
        "imp gal",
        &["Imp gal", "imperial gal", "UK gal", "imp gallon", "imp gallons", "imperial gallon", "imperial gallons"],
        454_609,
        100_000_000,
    ),
    linear(
        Volume,
        "imp pt",
        &["Imp pt", "imperial pt", "UK pt", "imp pint", "imp pints", "imperial pint", "imperial pints"],
        454_609,
        800_000_000,
    ),
    linear(Volume, "imp fl oz", &["Imp fl oz", "imperial fl oz", "UK fl oz"], 454_609, 16_000_000_000),
    linear(Volume, "dL", &["dl"], 1, 10_000),
    linear(Volume, "cL", &["cl"], 1, 100_000),
    linear(Volume, "uL", &["ul"], 1, 1_000_000_000),
    linear(Volume, "m3", &["cu m"], 1, 1),
    linear(Volume, "dm3", &[], 1, 1_000),
    linear(Volume, "cm3", &["cc", "ccm"], 1, 1_000_000),
    linear(Volume, "mm3", &[], 1, 1_000_000_000),
    linear(Volume, "in3", &["cu in", "cu. in."], 16_387_064, 1_000_000_000_000),
    linear(Length, "mm", &[], 1, 1_000),
    linear(Length, "cm", &[], 1, 100),
    linear(Length, "m", &[], 1, 1),
    linear(Length, "um", &[], 1, 1_000_000),
    linear(Length, "in", &["inch", "inches"], 254, 10_000),
    linear(Length, "ft", &["foot", "feet"], 3_048, 10_000),
    linear(Mass, "kg", &[], 1, 1),
    linear(Mass, "g", &[], 1, 1_000),
    linear(Mass, "mg", &[], 1, 1_000_000),
    linear(Mass, "t", &["tonne", "tonnes"], 1_000, 1),
    linear(Mass, "lb", &["lbs"], 45_359_237, 100_000_000),
    other(Temperature, "degC", &["°C", "C", "deg C", "° C"], Scale::Offset(0.0, 1, 1)),
    other(Temperature, "degF", &["°F", "F", "deg F", "° F"], Scale::Offset(32.0, 5, 9)),
    other(Temperature, "K", &["kelvin"], Scale::Offset(273.15, 1, 1)),
    linear(TemperatureDifference, "K", &["kelvin"], 1, 1),
    linear(TemperatureDifference, "degC", &["°C", "C", "deg C", "° C"], 1, 1),
    linear(TemperatureDifference, "degF", &["°F", "F", "deg F", "° F"], 5, 9),
    linear(Pressure, "Pa", &[], 1, 1),
    linear(Pressure, "hPa", &[], 100, 1),
    linear(Pressure, "kPa", &[], 1_000, 1),
    linear(Pressure, "MPa", &[], 1_000_000, 1),
    linear(Pressure, "mbar", &[], 100, 1),
    linear(Pressure, "bar", &[], 100_000, 1),
    linear(Pressure, "psi", &[], 44_482_216_152_605, 6_451_600_000),
    linear(Torque, "N.m", &["Nm", "N m", "N-m"], 1, 1),
    linear(
        Torque,
        "ft.lbf",
        &["lbf.ft", "ft-lbf", "lbf-ft", "ft lbf", "lbf ft", "ft.lb", "lb.ft", "ft-lb", "lb-ft", "ft lb", "lb ft"],
        3_389_544_870_828_501,
        2_500_000_000_000_000,
    ),
    linear(
        Torque,
        "in.lbf",
        &["lbf.in", "in-lbf", "lbf-in", "in lbf", "lbf in", "in.lb", "lb.in", "in-lb", "lb-in", "in lb", "lb in"],
        1_129_848_290_276_167,
        10_000_000_000_000_000,
    ),
    linear(Time, "s", &["sec", "second", "seconds"], 1, 1),
    linear(Time, "min", &["minute", "minutes"], 60, 1),
    linear(Time, "h", &["hr", "hour", "hours"], 3_600, 1),
    linear(Time, "d", &["day", "days"], 86_400, 1),
    linear(Ratio, "1", &[], 1, 1),
    linear(Ratio, "%", &["percent", "per cent"], 1, 100),
    other(Angle, "deg", &["°", "degree", "degrees"], Scale::Degree),
    linear(Angle, "rad", &[], 1, 1),
    other(Angle, "%", &[], Scale::SlopePercent),
    linear(Density, "kg/m3", &[], 1, 1),
    linear(Density, "g/cm3", &[], 1_000, 1),
    linear(Density, "kg/L", &["kg/l"], 1_000, 1),
    linear(Density, "g/mL", &["g/ml"], 1_000, 1),
    linear(Density, "kg/dm3", &[], 1_000, 1),
    linear(Density, "g/L", &["g/l"], 1, 1),
    linear(KinematicViscosity, "mm2/s", &[], 1, 1_000_000),
    linear(KinematicViscosity, "cSt", &[], 1, 1_000_000),
    linear(KinematicViscosity, "m2/s", &[], 1, 1),
    linear(DynamicViscosity, "mPa.s", &["mPas", "mPa s"], 1, 1_000),
    linear(DynamicViscosity, "cP", &[], 1, 1_000),
    linear(DynamicViscosity, "Pa.s", &["Pas", "Pa s"], 1, 1),
    linear(VolumeFlow, "L/min", &["l/min", "lpm"], 1, 60_000),
    linear(VolumeFlow, "L/s", &["l/s"], 1, 1_000),
    linear(VolumeFlow, "L/h", &["l/h"], 1, 3_600_000),
    linear(VolumeFlow, "mL/s", &["ml/s"], 1, 1_000_000),
    linear(VolumeFlow, "mL/min", &["ml/min"], 1, 60_000_000),
    linear(VolumeFlow, "m3/h", &[], 1, 3_600),
    linear(VolumeFlow, "m3/s", &[], 1, 1),
    linear(VolumeFlow, "US gal/min", &["us gal/min", "US gpm"], 473_176_473, 7_500_000_000_000),
    linear(VolumeFlow, "imp gal/min", &["Imp gal/min", "UK gal/min", "imp gpm"], 454_609, 6_000_000_000),
    linear(Area, "mm2", &[], 1, 1_000_000),
    linear(Area, "cm2", &[], 1, 10_000),
    linear(Area, "m2", &[], 1, 1),
    linear(SurfaceTension, "N/m", &[], 1, 1),
    linear(SurfaceTension, "mN/m", &[], 1, 1_000),
<<<<<<< HEAD
    linear(Expansion, "ppm/K", &["ppm/degC", "um/(m.K)", "um/m/K", "um/m K"], 1, 1_000_000),
    linear(Expansion, "/K", &["1/K", "/degC", "1/degC", "K-1"], 1, 1),
    linear(Expansion, "ppm/degF", &["uin/in/degF"], 9, 5_000_000),
=======
    linear(Acceleration, "m/s2", &[], 1, 1),
>>>>>>> 53cc031 (All shapes, surfaces, wetted areas, strapping, responses and inspections in Python; a suspicious unit is reported; corners of facets count against their tolerance)
];

/// Bare customary names (lower case) and the units each may mean.
pub(super) static AMBIGUOUS: &[(&[&str], &[&str])] = &[
    (&["qt", "qts", "qt.", "quart", "quarts"], &["US qt", "imp qt"]),
    (&["gal", "gals", "gal.", "gallon", "gallons"], &["US gal", "imp gal"]),
    (&["pt", "pts", "pt.", "pint", "pints"], &["US pt", "imp pt"]),
    (&["fl oz", "fl. oz.", "floz", "fluid ounce", "fluid ounces"], &["US fl oz", "imp fl oz"]),
    (&["oz", "oz.", "ounce", "ounces"], &["US fl oz", "imp fl oz"]),
    (&["gal/min", "gpm"], &["US gal/min", "imp gal/min"]),
];
