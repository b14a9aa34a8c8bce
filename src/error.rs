//! The one error type of the crate: a thin sum of the domain enums.
//!
//! Every domain folder has one `#[non_exhaustive]` enum. Each variant carries its numbers as named fields and has a
//! stable code `domain.snake_case_variant`, so that a caller can act on it without reading the message.

use serde::Serialize;

use crate::circuit::CircuitError;
use crate::estimate::EstimateError;
use crate::fluid::FluidError;
use crate::geometry::GeometryError;
use crate::infer::explain::ExplainError;
use crate::infer::learn::LearnError;
use crate::service::ServiceError;
use crate::units::QuantityError;

/// A domain error: its stable code and its fields as data.
pub trait Coded: std::error::Error + Serialize {
    /// The domain the code starts with, such as `geometry`.
    const DOMAIN: &'static str;

    /// Stable code: the domain, a full stop and the variant in snake case, such as `geometry.open_mesh`.
    fn code(&self) -> String {
        code_of(self)
    }

    /// The named fields of the variant, as JSON values.
    fn fields(&self) -> serde_json::Map<String, serde_json::Value> {
        fields_of(self)
    }
}

/// The code of a variant by its own name: what [`Coded::code`] gives unless a variant forwards to an inner error.
pub(crate) fn code_of<E: Coded + ?Sized>(error: &E) -> String {
    let variant = match serde_json::to_value(error) {
        Ok(serde_json::Value::Object(map)) => map.into_iter().next().map(|(k, _)| k),
        Ok(serde_json::Value::String(s)) => Some(s),
        _ => None,
    };
    format!("{}.{}", E::DOMAIN, snake(&variant.unwrap_or_default()))
}

/// The fields of a variant: what [`Coded::fields`] gives unless a variant forwards to an inner error.
pub(crate) fn fields_of<E: Coded + ?Sized>(error: &E) -> serde_json::Map<String, serde_json::Value> {
    match serde_json::to_value(error) {
        Ok(serde_json::Value::Object(map)) => match map.into_iter().next() {
            Some((_, serde_json::Value::Object(fields))) => fields,
            _ => serde_json::Map::new(),
        },
        _ => serde_json::Map::new(),
    }
}

/// `OpenMesh` becomes `open_mesh`.
fn snake(variant: &str) -> String {
    let mut out = String::with_capacity(variant.len() + 4);
    for (i, c) in variant.chars().enumerate() {
        if c.is_ascii_uppercase() {
            if i > 0 {
                out.push('_');
            }
            out.push(c.to_ascii_lowercase());
        } else {
            out.push(c);
        }
    }
    out
}

/// Any error of the crate.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// A number or the text of a quantity.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
    /// A shape, or the level, volume or attitude asked of it.
    #[error(transparent)]
    Geometry(#[from] GeometryError),
    /// A fluid, or the conditions it is asked about.
    #[error(transparent)]
    Fluid(#[from] FluidError),
    /// A circuit or its file.
    #[error(transparent)]
    Circuit(#[from] CircuitError),
    /// An order that a service cannot carry out.
    #[error(transparent)]
    Service(#[from] ServiceError),
    /// An estimate.
    #[error(transparent)]
    Estimate(#[from] EstimateError),
    /// A study that something is to be learnt from.
    #[error(transparent)]
    Learn(#[from] LearnError),
    /// A record, a hypothesis or a diagnosis.
    #[error(transparent)]
    Explain(#[from] ExplainError),
    /// An error in a line of a file; its code is that of the error.
    #[error("line {line}: {error}")]
    AtLine {
        /// Line, counted from 1.
        line: usize,
        /// The error.
        error: Box<Self>,
    },
}

impl Error {
    /// Stable code such as `quantity.not_finite`.
    pub fn code(&self) -> String {
        match self {
            Self::Quantity(e) => e.code(),
            Self::Geometry(e) => e.code(),
            Self::Fluid(e) => e.code(),
            Self::Circuit(e) => e.code(),
            Self::Service(e) => e.code(),
            Self::Estimate(e) => e.code(),
            Self::Learn(e) => e.code(),
            Self::Explain(e) => e.code(),
            Self::AtLine { error, .. } => error.code(),
        }
    }

    /// The named fields of the error, as JSON values.
    pub fn fields(&self) -> serde_json::Map<String, serde_json::Value> {
        match self {
            Self::Quantity(e) => e.fields(),
            Self::Geometry(e) => e.fields(),
            Self::Fluid(e) => e.fields(),
            Self::Circuit(e) => e.fields(),
            Self::Service(e) => e.fields(),
            Self::Estimate(e) => e.fields(),
            Self::Learn(e) => e.fields(),
            Self::Explain(e) => e.fields(),
            Self::AtLine { line, error } => {
                let mut fields = error.fields();
                fields.insert("line".into(), (*line).into());
                fields
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn variants_become_snake_case() {
        assert_eq!(snake("OpenMesh"), "open_mesh");
        assert_eq!(snake("NotFinite"), "not_finite");
    }
}
