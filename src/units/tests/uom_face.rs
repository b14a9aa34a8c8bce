//! Values to `uom` quantities and back, read in units of `uom`'s own table.

use uom::si::f64 as q;
use uom::si::{
    acceleration, angle, area, dynamic_viscosity, kinematic_viscosity, length, mass, mass_density, pressure, ratio,
    surface_tension, temperature_coefficient, temperature_interval, thermodynamic_temperature, time, torque, volume,
    volume_rate,
};

use crate::error::Coded;
use crate::units::{
    Acceleration, Angle, Area, Density, DynamicViscosity, Expansion, KinematicViscosity, Length, Mass, Pressure, Ratio,
    SurfaceTension, Temperature, TemperatureDifference, Time, Torque, Value, Volume, VolumeFlow,
};

/// The text, read, as a number in a unit of `uom`; and the value back from the quantity.
macro_rules! assert_agrees {
    ($marker:ident, $text:literal, $unit:path, $wanted:expr) => {{
        let value = Value::<$marker>::parse("value", $text).unwrap();
        let quantity = value.to_uom();
        let got = quantity.get::<$unit>();
        assert!((got - $wanted).abs() <= 4e-16 * f64::from($wanted).abs(), "{}: {got:?}", $text);
        let back = Value::<$marker>::try_from(quantity).unwrap();
        assert_eq!(back.nominal(), value.nominal(), "{}", $text);
    }};
}

#[test]
fn every_dimension_agrees_with_uom() {
    assert_agrees!(Volume, "6.9 L", volume::liter, 6.9);
    assert_agrees!(Length, "43.2 mm", length::millimeter, 43.2);
    assert_agrees!(Mass, "250 g", mass::gram, 250.0);
    assert_agrees!(Temperature, "20 degC", thermodynamic_temperature::kelvin, 293.15);
    assert_agrees!(Temperature, "212 degF", thermodynamic_temperature::degree_celsius, 100.0);
    assert_agrees!(TemperatureDifference, "9 degF", temperature_interval::kelvin, 5.0);
    assert_agrees!(Pressure, "1.5 bar", pressure::kilopascal, 150.0);
    assert_agrees!(Torque, "35 N.m", torque::newton_meter, 35.0);
    assert_agrees!(Time, "10 min", time::second, 600.0);
    assert_agrees!(Angle, "8 deg", angle::degree, 8.0);
    assert_agrees!(Density, "0.868 kg/L", mass_density::kilogram_per_cubic_meter, 868.0);
    assert_agrees!(KinematicViscosity, "95 cSt", kinematic_viscosity::centistokes, 95.0);
    assert_agrees!(DynamicViscosity, "80 cP", dynamic_viscosity::millipascal_second, 80.0);
    assert_agrees!(VolumeFlow, "12 L/min", volume_rate::liter_per_minute, 12.0);
    assert_agrees!(Area, "150 mm2", area::square_millimeter, 150.0);
    assert_agrees!(SurfaceTension, "30 mN/m", surface_tension::newton_per_meter, 0.03);
    assert_agrees!(Expansion, "22 ppm/K", temperature_coefficient::per_kelvin, 22e-6);
    assert_agrees!(Expansion, "12.2 ppm/degF", temperature_coefficient::per_kelvin, 21.96e-6);
    assert_agrees!(Acceleration, "2.5 m/s2", acceleration::meter_per_second_squared, 2.5);
    assert_agrees!(Ratio, "102 %", ratio::ratio, 1.02);
}

#[test]
fn a_quantity_that_is_not_finite_is_refused() {
    let error = Value::<Volume>::try_from(q::Volume::new::<volume::liter>(f64::NAN)).unwrap_err();
    assert_eq!(error.code(), "quantity.not_finite");
    assert_eq!(error.to_string(), "volume must be finite: it is NaN");
}
