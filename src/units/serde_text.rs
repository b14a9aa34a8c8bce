//! A [`Value`] in files is its text, or the table it was read from.

use std::fmt;
use std::marker::PhantomData;

use serde::de::value::MapAccessDeserializer;
use serde::de::{Deserialize, Deserializer, Error, MapAccess, Visitor};
use serde::ser::{Serialize, Serializer};
use serde_json::Map;

use super::dimension::{Dimension, DimensionId};
use super::number::shortest;
use super::parse::missing_unit;
use super::value::Value;
use crate::numeric::check;

impl<D: Dimension> Serialize for Value<D> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self.table() {
            Some(table) => table.serialize(serializer),
            None => serializer.serialize_str(self.written()),
        }
    }
}

impl<'de, D: Dimension> Deserialize<'de> for Value<D> {
    fn deserialize<R: Deserializer<'de>>(deserializer: R) -> Result<Self, R::Error> {
        deserializer.deserialize_any(TextOrRatio(PhantomData))
    }
}

/// Reads text, and a bare number for a ratio.
struct TextOrRatio<D>(PhantomData<D>);

impl<D: Dimension> TextOrRatio<D> {
    fn number<E: Error>(text: &str) -> Result<Value<D>, E> {
        if D::ID == DimensionId::Ratio {
            return Value::parse(D::ID.name(), text).map_err(E::custom);
        }
        Err(E::custom(missing_unit(D::ID.name(), text, D::ID)))
    }
}

impl<'de, D: Dimension> Visitor<'de> for TextOrRatio<D> {
    type Value = Value<D>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the text of a {} such as \"4.2 {}\"", D::ID.name(), D::ID.default_unit())
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Self::Value, E> {
        Value::parse(D::ID.name(), text).map_err(E::custom)
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Self::Value, A::Error> {
        let table = Map::deserialize(MapAccessDeserializer::new(map))?;
        Value::from_table(D::ID.name(), table).map_err(A::Error::custom)
    }

    fn visit_f64<E: Error>(self, number: f64) -> Result<Self::Value, E> {
        check::finite(D::ID.name(), number).map_err(E::custom)?;
        Self::number(&shortest(number))
    }

    fn visit_i64<E: Error>(self, number: i64) -> Result<Self::Value, E> {
        Self::number(&number.to_string())
    }

    fn visit_u64<E: Error>(self, number: u64) -> Result<Self::Value, E> {
        Self::number(&number.to_string())
    }
}
