//! The JSON Schema of a quantity in a file: text whose end is a unit of the right kind, or a table.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde_json::{Map, Value as Json, json};

use super::dimension::{Dimension, DimensionId};
use super::exact::{Unit, units_of};
use super::table_form::{FORMS, SAMPLES, UNIT, VALUES};
use super::value::Value;

impl<D: Dimension> JsonSchema for Value<D> {
    fn schema_name() -> Cow<'static, str> {
        D::ID.name().replace(' ', "_").into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let example = format!("4.2 {}", D::ID.default_unit());
        let text = json!({ "type": "string", "pattern": pattern(D::ID) });
        let table = generator.subschema_for::<Table>();
        let mut ways = vec![text, table.to_value()];
        if D::ID == DimensionId::Ratio {
            ways.push(json!({ "type": "number" }));
        }
        json_schema!({
            "description": format!("A {}, exact or uncertain, with its unit, such as {example:?}.", D::ID.name()),
            "anyOf": ways,
        })
    }
}

/// An uncertain value as a table.
struct Table;

impl JsonSchema for Table {
    fn schema_name() -> Cow<'static, str> {
        "uncertain".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let number = json!({ "type": "number" });
        let mut forms: Vec<Json> = Vec::new();
        for (tag, fields) in FORMS {
            let named = fields.iter().map(|(name, _)| ((*name).to_string(), number.clone()));
            let needed = fields.iter().filter(|(_, default)| default.is_none()).map(|(name, _)| *name);
            forms.push(form(tag, named.collect(), &needed.collect::<Vec<_>>()));
        }
        let values = json!({ "type": "array", "items": number, "minItems": 1 });
        forms.push(form(SAMPLES, Map::from_iter([(VALUES.to_string(), values)]), &[VALUES]));
        json_schema!({
            "description": "An uncertain value: one key, the distribution's name, over its numbers and their unit.",
            "oneOf": forms,
        })
    }
}

fn form(tag: &str, mut fields: Map<String, Json>, needed: &[&str]) -> Json {
    fields.insert(UNIT.into(), json!({ "type": "string" }));
    json!({
        "type": "object",
        "properties": { tag: {
            "type": "object",
            "properties": fields,
            "required": needed,
            "additionalProperties": false,
        } },
        "required": [tag],
        "additionalProperties": false,
    })
}

/// Text that ends in a unit of this kind, after a number or a closing parenthesis; a coverage factor may follow.
fn pattern(dimension: DimensionId) -> String {
    let spellings = |u: &'static Unit| std::iter::once(u.symbol()).chain(u.aliases().iter().copied());
    let mut units: Vec<String> = units_of(dimension).flat_map(spellings).map(spelt).collect();
    units.sort_by_key(|u| std::cmp::Reverse(u.len()));
    units.dedup();
    let optional = if dimension == DimensionId::Ratio { "?" } else { "" };
    format!(r"^.*[0-9.)]\s*(?:{}){optional}(?:\s*,?\s*\(?k\s*=\s*[0-9./ ]+\)?)?\s*$", units.join("|"))
}

/// A unit's spelling as a pattern, with the spellings that are read as the same.
fn spelt(symbol: &str) -> String {
    match symbol {
        "degC" => return "degC|℃".into(),
        "degF" => return "degF|℉".into(),
        _ => {}
    }
    let one = |c: char| match c {
        '2' => r"\^?[2²]".into(),
        '3' => r"\^?[3³]".into(),
        '.' => "[.·⋅∙*]".into(),
        'u' => "[uµμ]".into(),
        '°' => "[°º]".into(),
        'L' => "[Lℓ]".into(),
        ' ' => r"\s+".into(),
        c if c.is_alphanumeric() || "/%-".contains(c) => c.to_string(),
        c => format!(r"\{c}"),
    };
    symbol.chars().map(one).collect()
}
