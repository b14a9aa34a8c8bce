//! The JSON Schemas of `schema/`, generated from the types that read the files.
//!
//! `make schema` writes them; without its variable the test compares.

use std::borrow::Cow;
use std::path::Path;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema, schema_for};
use serde_json::{Map, Value as Json, json};

use crate::circuit::spec::{AttitudeSpec, CircuitSpec};
use crate::service::{Action, Event, ServiceFile, State};

/// An event is a table with one key for what is done, as [`Action`] has them, beside `label` and `attitude`; or a line of text.
impl JsonSchema for Event {
    fn schema_name() -> Cow<'static, str> {
        "Event".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let attitude = generator.subschema_for::<AttitudeSpec>().to_value();
        let beside = Map::from_iter([
            ("label".to_string(), json!({ "type": "string", "description": "Name under which it is found again." })),
            ("attitude".to_string(), attitude),
        ]);
        let line = json!({ "type": "string", "description": "A line of text, such as \"pour 6.9 L with jug\"." });
        let said = json!({
            "type": "object",
            "properties": { "do": line },
            "required": ["do"],
            "additionalProperties": false,
        });
        let actions = Action::json_schema(generator).to_value();
        let mut ways = actions["oneOf"].as_array().cloned().unwrap_or_default();
        ways.push(said);
        for way in &mut ways {
            if let Some(Json::Object(properties)) = way.get_mut("properties") {
                properties.extend(beside.clone());
            }
        }
        ways.push(line);
        json_schema!({ "description": "One step of a service: a table, or a line of text.", "oneOf": ways })
    }
}

/// Variable that says to write instead of to compare.
const WRITE: &str = "FILLMARK_WRITE_SCHEMA";

fn committed(name: &str, schema: &Schema) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("schema").join(format!("{name}.schema.json"));
    let text = format!("{:#}\n", schema.as_value());
    if std::env::var_os(WRITE).is_some() {
        std::fs::write(&path, text).unwrap();
        return;
    }
    let found = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(found == text, "schema/{name}.schema.json is out of date: run `make schema`");
}

#[test]
fn circuit_schema_is_up_to_date() {
    committed("circuit", &schema_for!(CircuitSpec));
}

#[test]
fn service_schema_is_up_to_date() {
    committed("service", &schema_for!(ServiceFile));
}

#[test]
fn record_schema_is_up_to_date() {
    committed("record", &crate::infer::explain::record_schema());
}

#[test]
fn state_schema_is_up_to_date() {
    committed("state", &schema_for!(State));
}
