//! The text of a file as a tree, TOML and JSON alike, and the line on which a place of it stands.

use std::fmt;
use std::ops::Range;

use serde::de::{Deserialize, DeserializeSeed, Deserializer, Error, IgnoredAny, MapAccess, SeqAccess, Visitor};
use serde_path_to_error::{Path, Segment};
use toml::Value;

use super::CircuitError;
use super::load::{Notation, one_line};

/// The tree of a TOML text.
pub(super) fn of_toml(text: &str) -> Result<Value, CircuitError> {
    let parser = toml::de::Deserializer::parse(text);
    parser.and_then(Value::deserialize).map_err(|e| {
        let (line, column) = line_column(text, e.span());
        CircuitError::Syntax { format: "TOML".into(), line, column, message: one_line(e.message()) }
    })
}

/// The tree of a JSON text. What is `null` is as if it were not there; a key given twice is refused.
pub(super) fn of_json(text: &str) -> Result<Value, CircuitError> {
    let wrong = |line, column, message: &str| CircuitError::Syntax {
        format: "JSON".into(),
        line,
        column,
        message: message.into(),
    };
    let mut parser = serde_json::Deserializer::from_str(text);
    let tree = Tree::deserialize(&mut parser).map_err(|e| {
        let full = e.to_string();
        let message = full.rsplit_once(" at line ").map_or(full.as_str(), |(m, _)| m);
        wrong(e.line(), e.column(), message)
    })?;
    parser.end().map_err(|e| wrong(e.line(), e.column(), "text after the end of the document"))?;
    tree.0.ok_or_else(|| wrong(1, 1, "null is no document"))
}

/// The tree of what stands in memory as JSON.
pub(super) fn of_value(json: &serde_json::Value) -> Option<Value> {
    Tree::deserialize(json).ok().and_then(|tree| tree.0)
}

/// The line of a place by its path; that of the table it would stand in where there is none.
pub(super) fn line_of(text: &str, notation: Notation, path: &Path) -> usize {
    line_of_segments(text, notation, &path.iter().collect::<Vec<_>>())
}

/// The line of a place by its path as written, such as `filter.net_volume`; 0 where its table is not in the text.
pub(super) fn line_of_key(text: &str, notation: Notation, path: &str) -> usize {
    let tree = match notation {
        Notation::Toml => of_toml(text),
        Notation::Json => of_json(text),
    };
    let table = path.split('.').next().unwrap_or(path);
    if !tree.is_ok_and(|tree| tree.get(table).is_some()) {
        return 0;
    }
    let path: Vec<Segment> = path.split('.').map(|key| Segment::Map { key: key.into() }).collect();
    line_of_segments(text, notation, &path.iter().collect::<Vec<_>>())
}

fn line_of_segments(text: &str, notation: Notation, path: &[&Segment]) -> usize {
    if path.is_empty() {
        return 1;
    }
    match notation {
        Notation::Toml => {
            let parser = toml::de::Deserializer::parse(text);
            let found = parser.and_then(|parser| To(path).deserialize(parser)).err();
            found.map_or(0, |e| line_column(text, e.span()).0)
        }
        Notation::Json => {
            let found = To(path).deserialize(&mut serde_json::Deserializer::from_str(text)).err();
            found.map_or(0, |e| e.line())
        }
    }
}

fn line_column(text: &str, span: Option<Range<usize>>) -> (usize, usize) {
    let Some(span) = span else { return (0, 0) };
    let before = text.get(..span.start).unwrap_or(text);
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().map_or(0, |l| l.chars().count()) + 1;
    (line, column)
}

/// A tree of JSON; none for `null`.
struct Tree(Option<Value>);

impl<'de> Deserialize<'de> for Tree {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(Grow)
    }
}

struct Grow;

impl<'de> Visitor<'de> for Grow {
    type Value = Tree;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value")
    }

    fn visit_unit<E: Error>(self) -> Result<Tree, E> {
        Ok(Tree(None))
    }

    fn visit_bool<E: Error>(self, value: bool) -> Result<Tree, E> {
        Ok(Tree(Some(Value::Boolean(value))))
    }

    fn visit_i64<E: Error>(self, value: i64) -> Result<Tree, E> {
        Ok(Tree(Some(Value::Integer(value))))
    }

    fn visit_u64<E: Error>(self, value: u64) -> Result<Tree, E> {
        let value = i64::try_from(value).map_err(|_| E::custom(format!("the number {value} is too large")))?;
        self.visit_i64(value)
    }

    fn visit_f64<E: Error>(self, value: f64) -> Result<Tree, E> {
        Ok(Tree(Some(Value::Float(value))))
    }

    fn visit_str<E: Error>(self, value: &str) -> Result<Tree, E> {
        Ok(Tree(Some(Value::String(value.into()))))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Tree, A::Error> {
        let mut all = Vec::new();
        while let Some(Tree(value)) = seq.next_element()? {
            all.push(value.ok_or_else(|| A::Error::custom("null in a list is no value"))?);
        }
        Ok(Tree(Some(Value::Array(all))))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Tree, A::Error> {
        let mut table = toml::Table::new();
        while let Some(key) = map.next_key::<String>()? {
            if table.contains_key(&key) {
                return Err(A::Error::custom(format!("duplicate field `{key}`")));
            }
            if let Tree(Some(value)) = map.next_value()? {
                table.insert(key, value);
            }
        }
        Ok(Tree(Some(Value::Table(table))))
    }
}

/// Goes to a place by its path and fails there, so that the parser says where that is.
struct To<'a>(&'a [&'a Segment]);

impl<'de> DeserializeSeed<'de> for To<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for To<'_> {
    type Value = ();

    // What is neither list nor table fails by itself, with the place of that value.
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a list or a table")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<(), A::Error> {
        if let Some((Segment::Seq { index }, rest)) = self.0.split_first() {
            for _ in 0..*index {
                seq.next_element::<IgnoredAny>()?;
            }
            seq.next_element_seed(To(rest))?;
        }
        Err(A::Error::custom("no such place"))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        if let Some((Segment::Map { key: wanted } | Segment::Enum { variant: wanted }, rest)) = self.0.split_first() {
            while let Some(key) = map.next_key::<String>()? {
                if key == *wanted {
                    return map.next_value_seed(To(rest));
                }
                map.next_value::<IgnoredAny>()?;
            }
        }
        Err(A::Error::custom("no such place"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_notations_give_one_tree() {
        let toml = of_toml("a = 1\nb = [2.5, \"x\"]\n[c]\nd = true\n").unwrap();
        assert_eq!(of_json(r#"{"a": 1, "b": [2.5, "x"], "c": {"d": true, "e": null}}"#).unwrap(), toml);
    }

    #[test]
    fn a_key_given_twice_is_refused_in_both() {
        for refused in [of_json("{\"a\": 1,\n\"a\": 2}"), of_toml("a = 1\na = 2")] {
            let CircuitError::Syntax { line, message, .. } = refused.unwrap_err() else { panic!("no error of syntax") };
            assert!(line == 2 && message.contains("duplicate"), "{line}: {message}");
        }
        assert!(of_json("[1, null]").is_err() && of_json("null").is_err() && of_json("{} {}").is_err());
    }
}
