//! A service as text: lines `name:`, `note:` and `circuit:`, then one event a line.

use std::fmt;

use super::super::{Service, ServiceError};
use super::lex::column;
use super::parse;
use super::print::quoted;

const HEADS: [&str; 3] = ["name", "note", "circuit"];

/// Reads a service from its text.
pub(in super::super) fn service(text: &str) -> Result<Service, ServiceError> {
    let mut service = Service::default();
    let mut name = None;
    for (number, line) in (1..).zip(text.lines()) {
        let said = line.trim();
        if said.is_empty() || said.starts_with('#') {
            continue;
        }
        let Some((head, value)) = head_of(said) else {
            service.events.push(parse::event(line, number)?);
            continue;
        };
        let bad = |message: String| ServiceError::BadText {
            line: number,
            column: column(line, line.len() - line.trim_start().len()),
            word: format!("{head}:"),
            message,
        };
        if !service.events.is_empty() {
            return Err(bad(format!("`{head}:` stands before the first event")));
        }
        let slot = match head {
            "name" => &mut name,
            "note" => &mut service.note,
            _ => &mut service.circuit,
        };
        let value = unquoted(value).ok_or_else(|| {
            bad(format!("what follows `{head}:` begins with a quotation mark, but is no text in quotes"))
        })?;
        if slot.replace(value).is_some() {
            return Err(bad(format!("`{head}:` is said twice")));
        }
    }
    service.name = name.unwrap_or_default();
    Ok(service)
}

/// A line such as `name: Monday`.
fn head_of(line: &str) -> Option<(&'static str, &str)> {
    let (head, value) = line.split_once(':')?;
    let head = HEADS.iter().find(|h| h.eq_ignore_ascii_case(head.trim_end()))?;
    Some((head, value.trim()))
}

fn unquoted(value: &str) -> Option<String> {
    if value.starts_with('"') { serde_json::from_str(value).ok() } else { Some(value.into()) }
}

/// Writes a service as the text that [`service`] reads.
pub(in super::super) fn write_service(f: &mut fmt::Formatter<'_>, service: &Service) -> fmt::Result {
    let name = Some(&service.name).filter(|name| !name.is_empty());
    let heads = [("name", name), ("note", service.note.as_ref()), ("circuit", service.circuit.as_ref())];
    let mut any = false;
    for (head, value) in heads.iter().filter_map(|(head, value)| value.map(|v| (head, v))) {
        writeln!(f, "{head}: {}", as_head(value))?;
        any = true;
    }
    if any && !service.events.is_empty() {
        writeln!(f)?;
    }
    service.events.iter().try_for_each(|event| writeln!(f, "{event}"))
}

fn as_head(value: &str) -> String {
    let plain =
        !value.is_empty() && value.trim() == value && !value.starts_with('"') && !value.contains(char::is_control);
    if plain { value.into() } else { quoted(value) }
}
