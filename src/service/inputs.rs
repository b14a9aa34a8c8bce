//! The inputs of a program and the ranges their nominal values must keep.

use super::ServiceError;
use crate::circuit::Scalar;
use crate::units::{Dimension, DimensionId, Distribution, Value};

/// An input of a program that is no scalar of its circuit.
#[derive(Debug, Clone, PartialEq)]
pub enum Input {
    /// A field of the circuit's reference condition that is no scalar of the circuit: an angle of its attitude.
    Reference {
        /// Name of the field.
        field: &'static str,
        /// What is known of its value (SI).
        distribution: Distribution,
        /// Whether the circuit's file marks it as judgement.
        judgement: bool,
    },
    /// A field of an event.
    Event {
        /// Index of the event.
        event: usize,
        /// Name of the field.
        field: &'static str,
        /// What is known of its value (SI).
        distribution: Distribution,
    },
}

impl Input {
    /// What is known of its value (SI).
    pub fn distribution(&self) -> &Distribution {
        match self {
            Self::Reference { distribution, .. } | Self::Event { distribution, .. } => distribution,
        }
    }

    /// The kind of quantity.
    fn dimension(&self) -> DimensionId {
        let field = match self {
            Self::Reference { .. } => return DimensionId::Angle,
            Self::Event { field, .. } => *field,
        };
        match field {
            "attitude.nose_up" | "attitude.right_down" => DimensionId::Angle,
            "mass" => DimensionId::Mass,
            "temperature" => DimensionId::Temperature,
            "duration" => DimensionId::Time,
            "smear" | "seat_offset" => DimensionId::Length,
            "tube_pressure" => DimensionId::Pressure,
            "rate" => DimensionId::VolumeFlow,
            "noise" => DimensionId::Ratio,
            _ => DimensionId::Volume,
        }
    }
}

/// An input seen from outside: its path and what is known of it.
#[derive(Debug, Clone, Copy)]
pub enum InputView<'a> {
    /// A scalar of the circuit.
    Circuit(&'a Scalar),
    /// Any other.
    Own(&'a Input),
}

impl InputView<'_> {
    /// Stable path, such as `filter.net_volume` or `events[2].volume`.
    pub fn path(&self) -> String {
        match self {
            Self::Circuit(scalar) => scalar.path.clone(),
            Self::Own(Input::Reference { field, .. }) => format!("reference.{field}"),
            Self::Own(Input::Event { event, field, .. }) => format!("events[{event}].{field}"),
        }
    }

    /// What is known of its value (SI).
    pub fn distribution(&self) -> &Distribution {
        match self {
            Self::Circuit(scalar) => &scalar.distribution,
            Self::Own(input) => input.distribution(),
        }
    }

    /// The kind of quantity.
    pub fn dimension(&self) -> DimensionId {
        match self {
            Self::Circuit(scalar) => scalar.dimension,
            Self::Own(input) => input.dimension(),
        }
    }

    /// Whether it rests on judgement: a default of the circuit that nobody stated, or marked so in its file. What an event
    /// states is stated.
    pub fn judgement(&self) -> bool {
        match self {
            Self::Circuit(scalar) => scalar.judgement,
            Self::Own(Input::Reference { judgement, .. }) => *judgement,
            Self::Own(Input::Event { .. }) => false,
        }
    }
}

/// Accepted range of an event's quantity, in the unit that words the message.
pub(super) struct Range {
    pub(super) low: f64,
    pub(super) high: f64,
    pub(super) unit: &'static str,
    pub(super) per_si: f64,
}

pub(super) const LITRES: Range = Range { low: 0.0, high: 1000.0, unit: "L", per_si: 1e3 };
pub(super) const KILOGRAMS: Range = Range { low: 0.0, high: 1000.0, unit: "kg", per_si: 1.0 };
pub(super) const SECONDS: Range = Range { low: 0.0, high: 1e8, unit: "s", per_si: 1.0 };
/// An engine that runs must run for some time.
pub(super) const RUNNING: Range = Range { low: 1e-3, high: 1e8, unit: "s", per_si: 1.0 };
pub(super) const SHIFT: Range = Range { low: -200.0, high: 200.0, unit: "mm", per_si: 1e3 };
pub(super) const TUBE: Range = Range { low: -1e4, high: 1e4, unit: "Pa", per_si: 1.0 };
pub(super) const FLOW: Range = Range { low: 0.0, high: 1000.0, unit: "L/min", per_si: 60_000.0 };
pub(super) const CELSIUS: Range = Range { low: -50.0, high: 150.0, unit: "degC", per_si: 1.0 };

/// Checks the nominal value of an event's quantity.
pub(super) fn check<D: Dimension>(
    event: usize,
    field: &str,
    value: &Value<D>,
    range: &Range,
) -> Result<(), ServiceError> {
    let shown = value.nominal() * range.per_si;
    if (range.low..=range.high).contains(&shown) {
        return Ok(());
    }
    Err(ServiceError::OutOfRange {
        event,
        field: field.into(),
        value: shown,
        low: range.low,
        high: range.high,
        unit: range.unit.into(),
    })
}
