//! Values and `uom` quantities: the base units of both are SI, so the numbers pass unchanged; a temperature moves by
//! 273.15 K.

use uom::si::f64 as q;

use super::dimension::{
    Acceleration, Angle, Area, Density, DynamicViscosity, Expansion, KinematicViscosity, Length, Mass, Pressure, Ratio,
    SurfaceTension, Temperature, TemperatureDifference, Time, Torque, Volume, VolumeFlow,
};
use super::error::QuantityError;
use super::value::Value;

/// 0 degC in kelvin.
const ICE_POINT_K: f64 = 273.15;

macro_rules! uom_face {
    ($($marker:ident, $quantity:ident, $base:path, $offset:expr);* $(;)?) => {$(
        impl TryFrom<q::$quantity> for Value<$marker> {
            type Error = QuantityError;

            /// An exact value; refuses a quantity that is not finite.
            fn try_from(quantity: q::$quantity) -> Result<Self, QuantityError> {
                Self::from_si(quantity.value - $offset)
            }
        }

        impl Value<$marker> {
            /// The nominal value as a `uom` quantity.
            pub fn to_uom(&self) -> q::$quantity {
                q::$quantity::new::<$base>(self.nominal() + $offset)
            }
        }
    )*};
}

uom_face! {
    Volume, Volume, uom::si::volume::cubic_meter, 0.0;
    Length, Length, uom::si::length::meter, 0.0;
    Mass, Mass, uom::si::mass::kilogram, 0.0;
    Temperature, ThermodynamicTemperature, uom::si::thermodynamic_temperature::kelvin, ICE_POINT_K;
    TemperatureDifference, TemperatureInterval, uom::si::temperature_interval::kelvin, 0.0;
    Pressure, Pressure, uom::si::pressure::pascal, 0.0;
    Torque, Torque, uom::si::torque::newton_meter, 0.0;
    Time, Time, uom::si::time::second, 0.0;
    Angle, Angle, uom::si::angle::radian, 0.0;
    Density, MassDensity, uom::si::mass_density::kilogram_per_cubic_meter, 0.0;
    KinematicViscosity, KinematicViscosity, uom::si::kinematic_viscosity::square_meter_per_second, 0.0;
    DynamicViscosity, DynamicViscosity, uom::si::dynamic_viscosity::pascal_second, 0.0;
    VolumeFlow, VolumeRate, uom::si::volume_rate::cubic_meter_per_second, 0.0;
    Area, Area, uom::si::area::square_meter, 0.0;
    SurfaceTension, SurfaceTension, uom::si::surface_tension::newton_per_meter, 0.0;
    Expansion, TemperatureCoefficient, uom::si::temperature_coefficient::per_kelvin, 0.0;
    Acceleration, Acceleration, uom::si::acceleration::meter_per_second_squared, 0.0;
    Ratio, Ratio, uom::si::ratio::ratio, 0.0;
}
