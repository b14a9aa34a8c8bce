//! How an event is written in a file: a table with one key for what is done, beside `label` and `attitude`.
//!
//! ```toml
//! [[events]]
//! pour = { volume = "6.9 L", measured_with = "jug" }
//!
//! [[events]]
//! read = {}
//! label = "first dip"
//! ```
//!
//! `do = "pour 6.9 L with jug"` says the same as a line of text, and so does such a line in place of the table. Read as well,
//! never written: `do` over a table of what is done, its amount under `amount`.

use std::fmt;

use serde::de::value::EnumAccessDeserializer;
use serde::de::{Deserialize, DeserializeSeed, Deserializer, EnumAccess, Error, MapAccess, VariantAccess, Visitor};
use serde::ser::{Serialize, Serializer};
use serde_json::Value as Json;

use super::event::{Action, Event};
use crate::circuit::spec::AttitudeSpec;

/// Every key of an event: what may be done, then what may be said of it.
const KEYS: &[&str] = &[
    "open_plug",
    "close_plug",
    "remove_filter",
    "fit_filter",
    "drain",
    "change_filter",
    "pour",
    "withdraw",
    "run",
    "rest",
    "tilt",
    "leak",
    "use",
    "ingress",
    "stop",
    "wipe",
    "read",
    "do",
    "label",
    "attitude",
];

impl Serialize for Event {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        #[derive(serde::Serialize)]
        struct Table<'a> {
            #[serde(flatten)]
            action: &'a Action,
            #[serde(skip_serializing_if = "Option::is_none")]
            label: Option<&'a str>,
            #[serde(skip_serializing_if = "Option::is_none")]
            attitude: Option<&'a AttitudeSpec>,
        }
        let table = Table { action: &self.action, label: self.label.as_deref(), attitude: self.attitude.as_ref() };
        table.serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for Event {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(TableOrLine)
    }
}

/// Reads an event from its table or its line.
struct TableOrLine;

impl<'de> Visitor<'de> for TableOrLine {
    type Value = Event;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an event: a table such as { rest = { duration = \"5 min\" } }, or text such as \"rest 5 min\"")
    }

    fn visit_str<E: Error>(self, line: &str) -> Result<Event, E> {
        Event::parse(line).map_err(E::custom)
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Event, A::Error> {
        let mut parts = Parts::default();
        while let Some(Key(key)) = map.next_key()? {
            match key {
                "label" => put(&mut parts.label, key, map.next_value()?)?,
                "attitude" => put(&mut parts.attitude, key, map.next_value()?)?,
                "do" => parts.said(map.next_value()?)?,
                tag => {
                    let tagged = EnumAccessDeserializer::new(Tagged { tag, map: &mut map });
                    parts.act(Action::deserialize(tagged)?)?;
                }
            }
        }
        let action = parts.action.ok_or_else(|| {
            A::Error::custom(format!("nothing is done; an event needs one of {}", KEYS[..KEYS.len() - 3].join(", ")))
        })?;
        Ok(Event { action, label: parts.label, attitude: parts.attitude })
    }
}

/// A key of an event's table.
struct Key(&'static str);

impl<'de> Deserialize<'de> for Key {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Known;
        impl Visitor<'_> for Known {
            type Value = Key;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a key of an event")
            }

            fn visit_str<E: Error>(self, key: &str) -> Result<Key, E> {
                KEYS.iter().find(|k| **k == key).map(|k| Key(k)).ok_or_else(|| E::unknown_field(key, KEYS))
            }
        }
        deserializer.deserialize_identifier(Known)
    }
}

/// What is known of an event so far.
#[derive(Default)]
struct Parts {
    action: Option<Action>,
    label: Option<String>,
    attitude: Option<AttitudeSpec>,
}

impl Parts {
    fn act<E: Error>(&mut self, action: Action) -> Result<(), E> {
        if let Some(first) = &self.action {
            let (first, second) = (first.name(), action.name());
            return Err(E::custom(format!("an event does one thing; here are {first} and {second}")));
        }
        self.action = Some(action);
        Ok(())
    }

    fn said<E: Error>(&mut self, said: Said) -> Result<(), E> {
        let event = said.0;
        self.act(event.action)?;
        if let Some(label) = event.label {
            put(&mut self.label, "label", label)?;
        }
        if let Some(attitude) = event.attitude {
            put(&mut self.attitude, "attitude", attitude)?;
        }
        Ok(())
    }
}

fn put<T, E: Error>(slot: &mut Option<T>, key: &str, value: T) -> Result<(), E> {
    match slot.replace(value) {
        None => Ok(()),
        Some(_) => Err(E::custom(format!("`{key}` is given twice"))),
    }
}

/// The value of `do`: a line of text, or a table of what is done.
struct Said(Event);

impl<'de> Deserialize<'de> for Said {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let mut value = Json::deserialize(deserializer)?;
        if let Json::String(line) = &value {
            return Event::parse(line).map(Self).map_err(D::Error::custom);
        }
        if let Some(table) = value.as_object_mut().and_then(|t| t.values_mut().next()).and_then(Json::as_object_mut)
            && let Some(Json::Object(amount)) = table.remove("amount")
        {
            table.extend(amount);
        }
        Action::deserialize(value).map(|action| Self(action.into())).map_err(D::Error::custom)
    }
}

/// A key of a table with the value it stands over, as a variant.
struct Tagged<'a, A> {
    tag: &'static str,
    map: &'a mut A,
}

impl<'de, A: MapAccess<'de>> EnumAccess<'de> for Tagged<'_, A> {
    type Error = A::Error;
    type Variant = Self;

    fn variant_seed<V: DeserializeSeed<'de>>(self, seed: V) -> Result<(V::Value, Self), A::Error> {
        let tag = serde::de::value::StrDeserializer::new(self.tag);
        Ok((seed.deserialize(tag)?, self))
    }
}

impl<'de, A: MapAccess<'de>> VariantAccess<'de> for Tagged<'_, A> {
    type Error = A::Error;

    fn unit_variant(self) -> Result<(), A::Error> {
        self.map.next_value::<Nothing>().map(|_| ())
    }

    fn newtype_variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Result<T::Value, A::Error> {
        self.map.next_value_seed(seed)
    }

    fn tuple_variant<V: Visitor<'de>>(self, len: usize, visitor: V) -> Result<V::Value, A::Error> {
        self.map.next_value_seed(Fields { names: &[], len, visitor })
    }

    fn struct_variant<V: Visitor<'de>>(self, names: &'static [&'static str], visitor: V) -> Result<V::Value, A::Error> {
        self.map.next_value_seed(Fields { names, len: names.len(), visitor })
    }
}

/// The fields of a variant.
struct Fields<V> {
    names: &'static [&'static str],
    len: usize,
    visitor: V,
}

impl<'de, V: Visitor<'de>> DeserializeSeed<'de> for Fields<V> {
    type Value = V::Value;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<V::Value, D::Error> {
        if self.names.is_empty() && self.len > 0 {
            return deserializer.deserialize_tuple(self.len, self.visitor);
        }
        deserializer.deserialize_struct("event", self.names, self.visitor)
    }
}

/// A table without keys.
#[derive(serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct Nothing {}

/// An action that takes nothing: `wipe = {}`.
pub(super) mod empty {
    use super::{Deserialize, Deserializer, Nothing, Serialize, Serializer};

    pub(in super::super) fn serialize<S: Serializer>(serializer: S) -> Result<S::Ok, S::Error> {
        Nothing {}.serialize(serializer)
    }

    pub(in super::super) fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<(), D::Error> {
        Nothing::deserialize(deserializer).map(|_| ())
    }
}

/// An amount beside the other keys of its event: `pour = { volume = "6.9 L", measured_with = "jug" }`.
pub(super) mod pour {
    use super::super::event::Amount;
    use super::{Deserialize, Deserializer, Error, Serialize, Serializer};
    use crate::units::{Mass, Temperature, Value, Volume};

    /// Pours new oil into the sump.
    #[derive(serde::Serialize, serde::Deserialize)]
    #[serde(deny_unknown_fields)]
    #[cfg_attr(test, derive(schemars::JsonSchema))]
    #[cfg_attr(test, schemars(extend("oneOf" = [{ "required": ["volume"] }, { "required": ["mass"] }])))]
    pub(in super::super) struct Pour {
        /// How much by volume, as the instrument says; this or `mass`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        volume: Option<Value<Volume>>,
        /// How much by mass.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        mass: Option<Value<Mass>>,
        /// Temperature of the oil.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        temperature: Option<Value<Temperature>>,
        /// Instrument it is measured with; pours that share one share its error.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        measured_with: Option<String>,
    }

    type Fields = (Amount, Option<Value<Temperature>>, Option<String>);

    #[allow(clippy::ref_option)] // as serde calls it
    pub(in super::super) fn serialize<S: Serializer>(
        amount: &Amount,
        temperature: &Option<Value<Temperature>>,
        measured_with: &Option<String>,
        serializer: S,
    ) -> Result<S::Ok, S::Error> {
        let (volume, mass) = apart(amount);
        let (temperature, measured_with) = (temperature.clone(), measured_with.clone());
        Pour { volume, mass, temperature, measured_with }.serialize(serializer)
    }

    pub(in super::super) fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Fields, D::Error> {
        let Pour { volume, mass, temperature, measured_with } = Pour::deserialize(deserializer)?;
        Ok((amount(volume, mass)?, temperature, measured_with))
    }

    type Apart = (Option<Value<Volume>>, Option<Value<Mass>>);

    pub(super) fn apart(amount: &Amount) -> Apart {
        match amount {
            Amount::Volume(volume) => (Some(volume.clone()), None),
            Amount::Mass(mass) => (None, Some(mass.clone())),
        }
    }

    pub(super) fn amount<E: Error>(volume: Option<Value<Volume>>, mass: Option<Value<Mass>>) -> Result<Amount, E> {
        match (volume, mass) {
            (Some(volume), None) => Ok(Amount::Volume(volume)),
            (None, Some(mass)) => Ok(Amount::Mass(mass)),
            _ => Err(E::custom("exactly one of `volume` and `mass` is needed")),
        }
    }
}

/// As [`pour`], for what is taken out.
pub(super) mod withdraw {
    use super::super::event::Amount;
    use super::pour::{amount, apart};
    use super::{Deserialize, Deserializer, Serialize, Serializer};
    use crate::units::{Mass, Value, Volume};

    /// Takes liquid out of the sump from above.
    #[derive(serde::Serialize, serde::Deserialize)]
    #[serde(deny_unknown_fields)]
    #[cfg_attr(test, derive(schemars::JsonSchema))]
    #[cfg_attr(test, schemars(extend("oneOf" = [{ "required": ["volume"] }, { "required": ["mass"] }])))]
    pub(in super::super) struct Withdraw {
        /// How much by volume, as the instrument says; this or `mass`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        volume: Option<Value<Volume>>,
        /// How much by mass.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        mass: Option<Value<Mass>>,
        /// Instrument it is measured with.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        measured_with: Option<String>,
    }

    #[allow(clippy::ref_option)] // as serde calls it
    pub(in super::super) fn serialize<S: Serializer>(
        amount: &Amount,
        measured_with: &Option<String>,
        serializer: S,
    ) -> Result<S::Ok, S::Error> {
        let (volume, mass) = apart(amount);
        Withdraw { volume, mass, measured_with: measured_with.clone() }.serialize(serializer)
    }

    pub(in super::super) fn deserialize<'de, D: Deserializer<'de>>(
        deserializer: D,
    ) -> Result<(Amount, Option<String>), D::Error> {
        let Withdraw { volume, mass, measured_with } = Withdraw::deserialize(deserializer)?;
        Ok((amount(volume, mass)?, measured_with))
    }
}
