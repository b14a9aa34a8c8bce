//! The kinds of quantity the crate knows, as a value ([`DimensionId`]) and as types ([`Dimension`]).

use std::fmt::Debug;

use serde::{Deserialize, Serialize};

/// A kind of quantity, where it is only known at run time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum DimensionId {
    /// Volume, m3.
    Volume,
    /// Length, m.
    Length,
    /// Mass, kg.
    Mass,
    /// Temperature on a scale with a zero point, degrees Celsius (the one exception to SI inside the crate).
    Temperature,
    /// Difference of two temperatures, K.
    TemperatureDifference,
    /// Pressure, Pa.
    Pressure,
    /// Torque, N.m.
    Torque,
    /// Time, s.
    Time,
    /// Angle, rad.
    Angle,
    /// Density, kg/m3.
    Density,
    /// Kinematic viscosity, m2/s.
    KinematicViscosity,
    /// Dynamic viscosity, Pa.s.
    DynamicViscosity,
    /// Volume flow, m3/s.
    VolumeFlow,
    /// Area, m2.
    Area,
    /// Surface tension, N/m.
    SurfaceTension,
    /// Linear thermal expansion, 1/K.
    Expansion,
    /// Acceleration, m/s2.
    Acceleration,
    /// Ratio without unit, 1.
    Ratio,
}

impl DimensionId {
    /// Every kind of quantity.
    pub const ALL: [Self; 18] = [
        Self::Volume,
        Self::Length,
        Self::Mass,
        Self::Temperature,
        Self::TemperatureDifference,
        Self::Pressure,
        Self::Torque,
        Self::Time,
        Self::Angle,
        Self::Density,
        Self::KinematicViscosity,
        Self::DynamicViscosity,
        Self::VolumeFlow,
        Self::Area,
        Self::SurfaceTension,
        Self::Expansion,
        Self::Acceleration,
        Self::Ratio,
    ];

    /// Its name in messages, such as `kinematic viscosity`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Volume => "volume",
            Self::Length => "length",
            Self::Mass => "mass",
            Self::Temperature => "temperature",
            Self::TemperatureDifference => "temperature difference",
            Self::Pressure => "pressure",
            Self::Torque => "torque",
            Self::Time => "time",
            Self::Angle => "angle",
            Self::Density => "density",
            Self::KinematicViscosity => "kinematic viscosity",
            Self::DynamicViscosity => "dynamic viscosity",
            Self::VolumeFlow => "volume flow",
            Self::Area => "area",
            Self::SurfaceTension => "surface tension",
            Self::Expansion => "thermal expansion",
            Self::Acceleration => "acceleration",
            Self::Ratio => "ratio",
        }
    }

    /// Unit of text that the crate writes itself, such as `L`.
    pub fn default_unit(self) -> &'static str {
        match self {
            Self::Volume => "L",
            Self::Length => "mm",
            Self::Mass => "kg",
            Self::Temperature => "degC",
            Self::TemperatureDifference => "K",
            Self::Pressure => "Pa",
            Self::Torque => "N.m",
            Self::Time => "s",
            Self::Angle => "deg",
            Self::Density => "kg/m3",
            Self::KinematicViscosity => "mm2/s",
            Self::DynamicViscosity => "mPa.s",
            Self::VolumeFlow => "L/min",
            Self::Area => "mm2",
            Self::SurfaceTension => "N/m",
            Self::Expansion => "ppm/K",
            Self::Acceleration => "m/s2",
            Self::Ratio => "1",
        }
    }

    /// Unit of the stored number: the SI unit, and degC for a temperature.
    pub fn stored_unit(self) -> &'static str {
        match self {
            Self::Volume => "m3",
            Self::Length => "m",
            Self::Angle => "rad",
            Self::KinematicViscosity => "m2/s",
            Self::DynamicViscosity => "Pa.s",
            Self::VolumeFlow => "m3/s",
            Self::Area => "m2",
            Self::Expansion => "/K",
            other => other.default_unit(),
        }
    }
}

mod sealed {
    pub trait Sealed {}
}

/// A kind of quantity as a type, so that a volume cannot be passed for a length. Sealed: the set is fixed.
pub trait Dimension: sealed::Sealed + Debug + Copy + PartialEq + Eq + Send + Sync + 'static {
    /// The same kind of quantity as a value.
    const ID: DimensionId;
}

macro_rules! dimensions {
    ($($name:ident),* $(,)?) => {$(
        #[doc = concat!("Marker of the kind of quantity [`DimensionId::", stringify!($name), "`].")]
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum $name {}
        impl sealed::Sealed for $name {}
        impl Dimension for $name {
            const ID: DimensionId = DimensionId::$name;
        }
    )*};
}

dimensions!(
    Volume,
    Length,
    Mass,
    Temperature,
    TemperatureDifference,
    Pressure,
    Torque,
    Time,
    Angle,
    Density,
    KinematicViscosity,
    DynamicViscosity,
    VolumeFlow,
    Area,
    SurfaceTension,
    Expansion,
    Acceleration,
    Ratio,
);
