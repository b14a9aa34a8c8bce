//! An uncertain value as a table of a file, tagged by its distribution: `{ normal = { mean = 0.35, ... } }`.
//!
//! A table says the same as the text of the functional form, with every number named, and is turned into that text: there is
//! one grammar.

use serde_json::{Map, Value as Json};

use super::number::shortest;

/// Fields in the order of the text's arguments. A field with a default may be left out.
pub(super) type Field = (&'static str, Option<f64>);

const REQUIRED: Option<f64> = None;

/// The name of each functional form, which is the tag, and its fields.
pub(super) const FORMS: &[(&str, &[Field])] = &[
    ("normal", &[("mean", REQUIRED), ("standard_uncertainty", REQUIRED)]),
    ("rectangular", &[("low", REQUIRED), ("high", REQUIRED)]),
    ("rectangular", &[("low", REQUIRED), ("high", REQUIRED), ("limits_within", REQUIRED)]),
    ("triangular", &[("low", REQUIRED), ("mode", REQUIRED), ("high", REQUIRED)]),
    ("lognormal", &[("median", REQUIRED), ("sigma", REQUIRED)]),
    (
        "truncated",
        &[
            ("mean", REQUIRED),
            ("standard_uncertainty", REQUIRED),
            ("low", Some(f64::NEG_INFINITY)),
            ("high", Some(f64::INFINITY)),
        ],
    ),
    ("arcsine", &[("low", REQUIRED), ("high", REQUIRED)]),
    ("pert", &[("low", REQUIRED), ("mode", REQUIRED), ("high", REQUIRED)]),
    ("beta", &[("low", REQUIRED), ("high", REQUIRED), ("alpha", REQUIRED), ("beta", REQUIRED)]),
    ("t", &[("estimate", REQUIRED), ("standard_uncertainty", REQUIRED), ("degrees_of_freedom", REQUIRED)]),
];
/// The one form whose numbers are a list.
pub(super) const SAMPLES: &str = "samples";
pub(super) const VALUES: &str = "values";
pub(super) const UNIT: &str = "unit";

/// The tag of an unknown size with its name and its prior: `{ unknown = { name = "left in", prior = "0.2 .. 0.6 L" } }`.
const UNKNOWN: &str = "unknown";

/// Name and prior of an unknown size, from the fields of its table.
fn unknown(fields: &Map<String, Json>) -> Result<(&str, &str), String> {
    match (fields.len(), fields.get("name"), fields.get("prior")) {
        (2, Some(Json::String(name)), Some(Json::String(prior))) if !name.trim().is_empty() => Ok((name, prior)),
        _ => Err("unknown needs `name` and `prior`, both text, the prior such as \"0.2 .. 0.6 L\"".into()),
    }
}

/// The name of the unknown size that a table says, if it says one.
pub(super) fn unknown_name(table: &Map<String, Json>) -> Option<&str> {
    unknown(table.get(UNKNOWN)?.as_object()?).ok().map(|(name, _)| name)
}

/// The text that a table means, or what does not fit.
pub(super) fn to_text(table: &Map<String, Json>) -> Result<String, String> {
    let mut entries = table.iter();
    let (Some((tag, Json::Object(fields))), None) = (entries.next(), entries.next()) else {
        return Err(format!(
            "an uncertain value is a table with one key, the distribution's name: {}",
            tags().join(", ")
        ));
    };
    if tag == UNKNOWN {
        return unknown(fields).map(|(_, prior)| prior.to_owned());
    }
    let unit = match fields.get(UNIT) {
        Some(Json::String(unit)) => unit.trim(),
        None => "",
        Some(other) => return Err(format!("{tag}.unit = {other} must be text such as \"L\"")),
    };
    let numbers = if tag == SAMPLES { list(fields)? } else { named(tag, fields)? };
    Ok(format!("{tag}({}) {unit}", numbers.join(", ")).trim_end().to_owned())
}

fn tags() -> Vec<&'static str> {
    let mut tags: Vec<_> = FORMS.iter().map(|(tag, ..)| *tag).collect();
    tags.dedup();
    tags.push(SAMPLES);
    tags
}

/// The arguments of a form with named numbers: of the forms of this tag the first whose names are those given.
fn named(tag: &str, given: &Map<String, Json>) -> Result<Vec<String>, String> {
    let forms: Vec<&[Field]> = FORMS.iter().filter(|(t, ..)| *t == tag).map(|(_, fields)| *fields).collect();
    if forms.is_empty() {
        return Err(format!("no distribution is called \"{tag}\"; known are {}", tags().join(", ")));
    }
    let fits = |fields: &&&[Field]| {
        let known = given.keys().all(|key| key == UNIT || fields.iter().any(|(name, _)| name == key));
        known && fields.iter().all(|(name, default)| default.is_some() || given.contains_key(*name))
    };
    let Some(fields) = forms.iter().find(fits) else {
        let ways: Vec<String> = forms.iter().map(|fields| names(fields)).collect();
        return Err(format!("{tag} takes {} and unit", ways.join(", or ")));
    };
    fields
        .iter()
        .map(|(name, default)| match (given.get(*name), default) {
            (None, Some(default)) => Ok(shortest(*default)),
            (value, _) => number(&format!("{tag}.{name}"), value),
        })
        .collect()
}

fn names(fields: &[Field]) -> String {
    let name = |(name, default): &Field| match default {
        None => (*name).to_owned(),
        Some(_) => format!("{name} (may be left out)"),
    };
    fields.iter().map(name).collect::<Vec<_>>().join(", ")
}

/// The arguments of a list of samples.
fn list(given: &Map<String, Json>) -> Result<Vec<String>, String> {
    match (given.get(VALUES), given.keys().find(|key| ![VALUES, UNIT].contains(&key.as_str()))) {
        (Some(Json::Array(values)), None) => {
            values.iter().enumerate().map(|(i, value)| number(&format!("samples.values[{i}]"), Some(value))).collect()
        }
        _ => Err("samples takes values (a list of numbers) and unit".into()),
    }
}

fn number(place: &str, value: Option<&Json>) -> Result<String, String> {
    match value {
        Some(Json::Number(n)) => Ok(n.as_f64().map_or_else(|| n.to_string(), shortest)),
        other => Err(format!("{place} = {} must be a number", other.unwrap_or(&Json::Null))),
    }
}
