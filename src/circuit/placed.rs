//! Reads a type from a tree, and knows the place of what does not fit. It is the only reader of the file types, so that each
//! of them is compiled once.

use std::cell::RefCell;
use std::fmt;
use std::vec;

use serde::de::value::Error;
use serde::de::{
    DeserializeOwned, DeserializeSeed, Deserializer, EnumAccess, Error as _, MapAccess, SeqAccess, Unexpected,
    VariantAccess, Visitor,
};
use serde::forward_to_deserialize_any;
use toml::{Table, Value};

/// One step of the way to a place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Step {
    /// Into a table, by a key or the name of a variant.
    Key(String),
    /// Into a list.
    Nth(usize),
}

/// The way to a place from the root, such as `stores[0].volume`.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Place(pub(super) Vec<Step>);

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, step) in self.0.iter().enumerate() {
            match step {
                Step::Nth(nth) => write!(f, "[{nth}]")?,
                Step::Key(key) if i == 0 => f.write_str(key)?,
                Step::Key(key) => write!(f, ".{key}")?,
            }
        }
        Ok(())
    }
}

/// What does not fit, and where.
#[derive(Debug)]
pub(super) struct Misplaced {
    pub(super) place: Place,
    pub(super) message: String,
}

/// Reads any type of the file format from a tree.
pub(super) fn read<T: DeserializeOwned>(tree: Value) -> Result<T, Misplaced> {
    let trail = Trail::default();
    let read = T::deserialize(Node { value: tree, trail: &trail });
    read.map_err(|e| Misplaced { place: trail.failed.take().unwrap_or_default(), message: e.to_string() })
}

/// The place that is being read, and the one at which the first error arose: the innermost, as it is noted first.
#[derive(Default)]
struct Trail {
    here: RefCell<Vec<Step>>,
    failed: RefCell<Option<Place>>,
}

impl Trail {
    fn within<T>(&self, step: Step, read: impl FnOnce() -> Result<T, Error>) -> Result<T, Error> {
        self.here.borrow_mut().push(step);
        let read = read();
        if read.is_err() {
            self.failed.borrow_mut().get_or_insert_with(|| Place(self.here.borrow().clone()));
        }
        self.here.borrow_mut().pop();
        read
    }
}

/// A value of the tree, to be read as some type.
struct Node<'t> {
    value: Value,
    trail: &'t Trail,
}

impl<'de> Deserializer<'de> for Node<'_> {
    type Error = Error;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.value {
            Value::Boolean(yes) => visitor.visit_bool(yes),
            Value::Integer(number) => visitor.visit_i64(number),
            Value::Float(number) => visitor.visit_f64(number),
            Value::String(text) => visitor.visit_string(text),
            Value::Datetime(moment) => visitor.visit_string(moment.to_string()),
            Value::Array(all) => {
                let count = all.len();
                let mut list = List { rest: all.into_iter(), nth: 0, trail: self.trail };
                let read = visitor.visit_seq(&mut list)?;
                if list.rest.len() == 0 { Ok(read) } else { Err(too_long(count, "fewer elements in array")) }
            }
            Value::Table(all) => {
                let count = all.len();
                let mut entries = Entries { rest: all.into_iter(), open: None, trail: self.trail };
                let read = visitor.visit_map(&mut entries)?;
                if entries.rest.len() == 0 { Ok(read) } else { Err(too_long(count, "fewer elements in map")) }
            }
        }
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _name: &'static str,
        _variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        let trail = self.trail;
        match self.value {
            Value::String(name) => visitor.visit_enum(Choice { name, value: None, trail }),
            Value::Table(table) => {
                let mut all = table.into_iter();
                match (all.next(), all.next()) {
                    (Some((name, value)), None) => visitor.visit_enum(Choice { name, value: Some(value), trail }),
                    (None, _) => Err(Error::custom("wanted exactly 1 element, found 0 elements")),
                    _ => Err(Error::custom("wanted exactly 1 element, more than 1 element")),
                }
            }
            _ => Err(Error::invalid_type(Unexpected::UnitVariant, &"string only")),
        }
    }

    // What is not there is left out of a tree.
    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_some(self)
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(self, _name: &'static str, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_newtype_struct(self)
    }

    forward_to_deserialize_any! {
        bool u8 u16 u32 u64 i8 i16 i32 i64 f32 f64 char str string unit seq bytes byte_buf map struct unit_struct
        tuple_struct tuple ignored_any identifier
    }
}

fn too_long(count: usize, wanted: &str) -> Error {
    Error::invalid_length(count, &wanted)
}

struct List<'t> {
    rest: vec::IntoIter<Value>,
    nth: usize,
    trail: &'t Trail,
}

impl<'de> SeqAccess<'de> for List<'_> {
    type Error = Error;

    fn next_element_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<Option<T::Value>, Error> {
        let Some(value) = self.rest.next() else { return Ok(None) };
        let step = Step::Nth(self.nth);
        self.nth += 1;
        self.trail.within(step, || seed.deserialize(Node { value, trail: self.trail })).map(Some)
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.rest.len())
    }
}

struct Entries<'t> {
    rest: <Table as IntoIterator>::IntoIter,
    /// The value whose key was read last.
    open: Option<(String, Value)>,
    trail: &'t Trail,
}

impl<'de> MapAccess<'de> for Entries<'_> {
    type Error = Error;

    fn next_key_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<Option<T::Value>, Error> {
        let Some((key, value)) = self.rest.next() else { return Ok(None) };
        let node = Node { value: Value::String(key.clone()), trail: self.trail };
        self.open = Some((key.clone(), value));
        self.trail.within(Step::Key(key), || seed.deserialize(node)).map(Some)
    }

    fn next_value_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<T::Value, Error> {
        let (key, value) = self.open.take().ok_or_else(|| Error::custom("value is missing"))?;
        self.trail.within(Step::Key(key), || seed.deserialize(Node { value, trail: self.trail }))
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.rest.len())
    }
}

/// A variant: its name alone, or with what it holds.
struct Choice<'t> {
    name: String,
    value: Option<Value>,
    trail: &'t Trail,
}

impl<'t> Choice<'t> {
    fn hold<T>(self, wanted: &str, read: impl FnOnce(Node<'t>) -> Result<T, Error>) -> Result<T, Error> {
        let trail = self.trail;
        trail.within(Step::Key(self.name), || match self.value {
            Some(value) => read(Node { value, trail }),
            None => Err(Error::invalid_type(Unexpected::UnitVariant, &wanted)),
        })
    }
}

impl<'de> EnumAccess<'de> for Choice<'_> {
    type Error = Error;
    type Variant = Self;

    fn variant_seed<V: DeserializeSeed<'de>>(self, seed: V) -> Result<(V::Value, Self), Error> {
        let name = Node { value: Value::String(self.name.clone()), trail: self.trail };
        Ok((seed.deserialize(name)?, self))
    }
}

impl<'de> VariantAccess<'de> for Choice<'_> {
    type Error = Error;

    fn unit_variant(self) -> Result<(), Error> {
        self.trail.within(Step::Key(self.name), || match self.value {
            None => Ok(()),
            Some(Value::Array(all)) if all.is_empty() => Ok(()),
            Some(Value::Table(all)) if all.is_empty() => Ok(()),
            Some(Value::Array(_)) => Err(Error::custom("expected empty array")),
            Some(Value::Table(_)) => Err(Error::custom("expected empty table")),
            Some(other) => Err(Error::custom(format!("expected table, found {}", other.type_str()))),
        })
    }

    fn newtype_variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Result<T::Value, Error> {
        self.hold("newtype variant", |node| seed.deserialize(node))
    }

    fn tuple_variant<V: Visitor<'de>>(self, _len: usize, visitor: V) -> Result<V::Value, Error> {
        self.hold("tuple variant", |node| node.deserialize_any(visitor))
    }

    fn struct_variant<V: Visitor<'de>>(self, _fields: &'static [&'static str], visitor: V) -> Result<V::Value, Error> {
        self.hold("struct variant", |node| node.deserialize_any(visitor))
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;

    #[derive(Debug, serde::Deserialize, PartialEq)]
    #[serde(deny_unknown_fields)]
    struct Whole {
        parts: Vec<Part>,
        kind: Option<Kind>,
        #[serde(default)]
        more: BTreeMap<String, u8>,
    }

    #[derive(Debug, serde::Deserialize, PartialEq)]
    struct Part {
        size: f64,
    }

    #[derive(Debug, serde::Deserialize, PartialEq)]
    #[serde(rename_all = "snake_case")]
    enum Kind {
        Plain,
        Deep { by: f64 },
        Held(Part),
    }

    fn read_text(text: &str) -> Result<Whole, Misplaced> {
        read(Value::Table(text.parse().unwrap()))
    }

    #[test]
    fn what_fits_is_read() {
        let whole = read_text("parts = [{ size = 1 }]\nkind = { held = { size = 2.5 } }\nmore = { a = 7 }").unwrap();
        let more = BTreeMap::from([("a".into(), 7)]);
        assert_eq!(whole, Whole { parts: vec![Part { size: 1.0 }], kind: Some(Kind::Held(Part { size: 2.5 })), more });
        assert_eq!(read_text("parts = []\nkind = \"plain\"").unwrap().kind, Some(Kind::Plain));
        assert_eq!(read_text("parts = []\nkind = { deep = { by = 1.0 } }").unwrap().kind, Some(Kind::Deep { by: 1.0 }));
    }

    #[test]
    fn an_error_has_its_innermost_place() {
        for (text, place, message) in [
            ("parts = [{ size = 1 }, { size = \"x\" }]", "parts[1].size", "invalid type: string \"x\", expected f64"),
            ("parts = [{ }]", "parts[0]", "missing field `size`"),
            ("parts = []\nmore = { a = 300 }", "more.a", "invalid value: integer `300`, expected u8"),
            ("other = 1", "other", "unknown field `other`, expected one of `parts`, `kind`, `more`"),
            ("kind = \"plain\"", "", "missing field `parts`"),
            ("kind = \"odd\"", "kind", "unknown variant `odd`, expected one of `plain`, `deep`, `held`"),
            ("kind = \"deep\"", "kind.deep", "invalid type: unit variant, expected struct variant"),
            ("kind = { deep = { by = true } }", "kind.deep.by", "invalid type: boolean `true`, expected f64"),
            ("kind = { plain = 1 }", "kind.plain", "expected table, found integer"),
            ("kind = 1", "kind", "invalid type: unit variant, expected string only"),
        ] {
            let wrong = read_text(text).unwrap_err();
            assert_eq!((wrong.place.to_string().as_str(), wrong.message.as_str()), (place, message), "{text}");
        }
    }
}
