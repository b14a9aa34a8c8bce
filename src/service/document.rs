//! A service as a document: its events with a name, as TOML, JSON or text.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::event::Event;
use super::phrase;
use crate::Error;
use crate::circuit::spec::FORMAT;
use crate::circuit::{CircuitError, read_formatted};

/// Events in order, with the name of the service and of the circuit it is meant for.
///
/// TOML and JSON keep values and units as written; the text form too, but for uncertain values given as a table, which it
/// says in the functional form.
///
/// ```
/// use fillmark::service::Service;
/// let text = "\
/// name: Monday
/// circuit: shuttle-bus
///
/// drain 10 min at 60 degC    # warm
/// change filter
/// pour 6.9 L with jug
/// read \"first dip\"
/// ";
/// let service = Service::loads(text)?;
/// assert_eq!(service.events.len(), 4);
/// assert_eq!(Service::loads(&service.to_toml()?)?, service);
/// assert_eq!(service.to_string().lines().nth(4), Some("change filter"));
/// # Ok::<(), fillmark::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Service {
    /// Short name; may be empty.
    pub name: String,
    /// Remark in plain words.
    pub note: Option<String>,
    /// The circuit it is meant for: a demo's name, or a file that stands beside this one. Finding it is left to the caller.
    pub circuit: Option<String>,
    /// What is done, in order.
    pub events: Vec<Event>,
}

/// A service as its file says it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(rename = "Service"))]
pub(crate) struct ServiceFile {
    /// Version of the file format: 1.
    #[cfg_attr(test, schemars(extend("const" = FORMAT)))]
    format: u32,
    /// Short name.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    name: String,
    /// Remark in plain words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    note: Option<String>,
    /// The circuit it is meant for: a demo's name, or a file that stands beside this one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    circuit: Option<String>,
    /// What is done, in order.
    events: Vec<Event>,
}

impl Service {
    /// Reads a service from TOML, JSON or its text form, whichever it is.
    ///
    /// Text that starts with a brace is JSON, text whose first line that says something is a table or `key = value` is TOML,
    /// all else is the text form.
    pub fn loads(text: &str) -> Result<Self, Error> {
        if is_text_form(text) {
            return Ok(phrase::service(text)?);
        }
        let ServiceFile { name, note, circuit, events, .. } = read_formatted(text)?;
        Ok(Self { name, note, circuit, events })
    }

    fn file(&self) -> ServiceFile {
        let Self { name, note, circuit, events } = self.clone();
        ServiceFile { format: FORMAT, name, note, circuit, events }
    }

    /// The service as JSON, values and units as written.
    pub fn to_json(&self) -> String {
        serde_json::to_string(&self.file()).unwrap_or_default()
    }

    /// The service as TOML, values and units as written: one table an event, what is done in one line.
    pub fn to_toml(&self) -> Result<String, CircuitError> {
        let unwritable =
            |e: toml::ser::Error| CircuitError::BadValue { path: String::new(), line: 0, message: e.to_string() };
        let whole = toml::Table::try_from(self.file()).map_err(unwritable)?;
        let parts = whole.iter().map(|(key, value)| match value {
            toml::Value::Array(events) if !events.is_empty() => {
                let tables = events.iter().filter_map(toml::Value::as_table);
                tables.map(|event| format!("\n[[{key}]]\n{}", lines(event))).collect::<Vec<_>>().concat()
            }
            value => format!("{key} = {value}\n"),
        });
        Ok(parts.collect())
    }
}

/// A line for every key.
fn lines(table: &toml::Table) -> String {
    table.iter().map(|(key, value)| format!("{key} = {value}\n")).collect::<Vec<_>>().concat()
}

/// The text form, as [`Service::loads`] reads it.
impl fmt::Display for Service {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        phrase::write_service(f, self)
    }
}

fn is_text_form(text: &str) -> bool {
    let first = text.lines().map(str::trim_start).find(|line| !line.is_empty() && !line.starts_with('#'));
    let Some(first) = first else { return true };
    if first.starts_with(['{', '[']) {
        return false;
    }
    let key = first.find(|c: char| !(c.is_alphanumeric() || "_-.\"'".contains(c))).unwrap_or(first.len());
    !first[key..].trim_start().starts_with('=')
}
