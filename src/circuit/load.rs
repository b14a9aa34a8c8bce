//! Reading a circuit file: TOML for people, JSON for exchange. Errors name the line, the key and the nearest known key.

use serde::de::DeserializeOwned;

use super::spec::{CircuitSpec, FORMAT};
use super::{CircuitError, tree};

/// How a text writes a circuit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Notation {
    /// TOML, for people.
    Toml,
    /// JSON, for exchange.
    Json,
}

impl Notation {
    /// JSON starts with a brace; everything else is read as TOML.
    pub fn of(text: &str) -> Self {
        if text.trim_start().starts_with('{') { Self::Json } else { Self::Toml }
    }
}

/// Reads the specification of a circuit from its text.
pub fn read_spec(text: &str) -> Result<CircuitSpec, CircuitError> {
    read_formatted(text)
}

/// Reads a document that states its format.
pub(crate) fn read_formatted<T: DeserializeOwned>(text: &str) -> Result<T, CircuitError> {
    // First, as a later format will have keys that this one does not know.
    if let Ok(Head { format: found }) = read(text)
        && found != FORMAT
    {
        let line = tree::line_of_key(text, Notation::of(text), "format");
        return Err(CircuitError::UnknownFormat { found, expected: FORMAT, line });
    }
    read(text).map_err(|e| match e {
        CircuitError::BadValue { path, line, message } if message == "missing field `format`" => {
            CircuitError::BadValue { path, line, message: format!("{message}; this version reads format = {FORMAT}") }
        }
        other => other,
    })
}

/// What every format states.
#[derive(serde::Deserialize)]
struct Head {
    format: u32,
}

/// Reads any type of the file format from TOML or JSON text.
pub(crate) fn read<T: DeserializeOwned>(text: &str) -> Result<T, CircuitError> {
    let notation = Notation::of(text);
    let tree = match notation {
        Notation::Toml => tree::of_toml(text),
        Notation::Json => tree::of_json(text),
    }?;
    from_tree(tree).map_err(|e| {
        let line = tree::line_of(text, notation, e.path());
        wrong_content(&e.path().to_string(), line, e.inner().message())
    })
}

/// Reads any type of the file format from a tree, whichever text it comes from: so each type is compiled for one reader.
pub(crate) fn from_tree<T: DeserializeOwned>(
    tree: toml::Value,
) -> Result<T, serde_path_to_error::Error<toml::de::Error>> {
    serde_path_to_error::deserialize(tree)
}

/// Words an error of content: an unknown key with its nearest known one, or a value that does not fit.
pub(crate) fn wrong_content(path: &str, line: usize, message: &str) -> CircuitError {
    let path = if path == "." { "" } else { path };
    if let Some((key, accepted)) = unexpected_keys(message) {
        return unknown_key(path, key, line, &accepted);
    }
    let unknown = ["unknown field `", "unknown variant `"].iter().find_map(|p| message.strip_prefix(p));
    let Some((key, rest)) = unknown.and_then(|m| m.split_once('`')) else {
        return CircuitError::BadValue { path: path.into(), line, message: in_plain_words(message) };
    };
    let accepted: Vec<&str> = rest.split('`').skip(1).step_by(2).collect();
    let table = path.strip_suffix(key).map_or(path, |p| p.trim_end_matches('.'));
    unknown_key(table, key, line, &accepted)
}

/// The first unknown key and the known ones, as the TOML parser words them for a table such as `[sump.box]`.
fn unexpected_keys(message: &str) -> Option<(&str, Vec<&str>)> {
    let (keys, accepted) = message.strip_prefix("unexpected keys in table: ")?.split_once(", available keys: ")?;
    Some((keys.split(", ").next()?, accepted.split(", ").collect()))
}

fn unknown_key(table: &str, key: &str, line: usize, accepted: &[&str]) -> CircuitError {
    CircuitError::UnknownKey {
        path: table.into(),
        key: key.into(),
        line,
        nearest: nearest(key, accepted.iter().copied()),
        accepted: accepted.join(", "),
    }
}

/// The candidate that a misspelt word most resembles; empty where none comes near: it begins with the word, or has
/// half of its letters in their places.
pub(crate) fn nearest<'a>(word: &str, candidates: impl Iterator<Item = &'a str>) -> String {
    candidates
        .map(|c| (strsim::jaro_winkler(word, c), c))
        .filter(|(score, c)| *score > 0.75 && (c.starts_with(word) || is_alike(word, c)))
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map_or_else(String::new, |(_, c)| c.to_string())
}

fn is_alike(word: &str, candidate: &str) -> bool {
    strsim::normalized_damerau_levenshtein(word, candidate) >= 0.5
}

/// The message in one line; what the code calls a struct is a table to who wrote the file.
fn in_plain_words(message: &str) -> String {
    match message.split_once(", expected struct ") {
        Some((found, _)) => format!("{}; a table is wanted", one_line(found)),
        None => one_line(message),
    }
}

pub(super) fn one_line(message: &str) -> String {
    message.split_whitespace().collect::<Vec<_>>().join(" ")
}
