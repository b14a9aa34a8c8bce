//! Changing a circuit by path: the specification as a tree, edited, and read back.

use serde_json::Value as Json;

use super::load::from_tree;
use super::spec::CircuitSpec;
use super::{CircuitError, Scalar, nearest, tree, wrong_content};

/// The specification with the inputs at the given paths changed.
pub(super) fn edit(
    spec: &CircuitSpec,
    scalars: &[Scalar],
    changes: &[(&str, Json)],
) -> Result<CircuitSpec, CircuitError> {
    let mut tree = serde_json::to_value(spec).map_err(|e| wrong_content("", 0, &e.to_string()))?;
    for (path, value) in changes {
        let unknown = || unknown_path(spec, scalars, path);
        let known = scalars.iter().any(|s| s.path == *path);
        set(&mut tree, path, value.clone(), known).ok_or_else(unknown)?;
    }
    let tree = tree::of_value(&tree).ok_or_else(|| wrong_content("", 0, "null in a list is no value"))?;
    from_tree(tree).map_err(|e| wrong_content(&e.path().to_string(), 0, e.inner().message()))
}

/// The error for a path that names nothing, with the nearest of those that do.
pub(super) fn unknown_path(spec: &CircuitSpec, scalars: &[Scalar], path: &str) -> CircuitError {
    let nearest = nearest(path, paths(spec, scalars).iter().map(String::as_str));
    CircuitError::UnknownPath { path: path.into(), circuit: spec.name.clone(), nearest }
}

/// Every path that names something: of the inputs, and of what the file says.
pub(super) fn paths(spec: &CircuitSpec, scalars: &[Scalar]) -> Vec<String> {
    let mut paths: Vec<String> = scalars.iter().map(|s| s.path.clone()).collect();
    if let Ok(tree) = serde_json::to_value(spec) {
        add_paths("", &tree, &mut paths);
    }
    paths
}

/// Adds the path of every key below a place.
fn add_paths(place: &str, tree: &Json, to: &mut Vec<String>) {
    for (key, below) in tree.as_object().into_iter().flatten() {
        let path = if place.is_empty() { key.clone() } else { format!("{place}.{key}") };
        add_paths(&path, below, to);
        to.push(path);
    }
}

/// Sets the node at a path; `None` where there is none. A known scalar left at its default may be absent and is made.
fn set(tree: &mut Json, path: &str, value: Json, known: bool) -> Option<()> {
    let mut keys: Vec<&str> = path.split('.').collect();
    let last = keys.pop()?;
    let mut node = tree;
    for key in keys {
        let table = node.as_object_mut()?;
        if (known || (path.starts_with("geometry.") && is_optional(path))) && !table.contains_key(key) {
            table.insert(key.into(), Json::Object(serde_json::Map::new()));
        }
        node = table.get_mut(key)?;
    }
    let table = node.as_object_mut()?;
    if known || table.contains_key(last) || is_optional(path) {
        table.insert(last.into(), value);
        return Some(());
    }
    None
}

/// Keys that a file may leave out and that are no scalar inputs.
fn is_optional(path: &str) -> bool {
    matches!(path, "note" | "reference.attitude" | "fluid.grade" | "geometry.metal")
        || matches!(path, "reference.engine" | "reference.stick" | "reference.wait")
        || matches!(path, "geometry.metal_expansion" | "geometry.drawn_at" | "geometry.correlation")
        || matches!(path, "fluid.fuel" | "cooling.ambient" | "judgement" | "pickup.margin")
        || matches!(path, "filter.net_volume" | "filter.can" | "filter.valve" | "filter.orientation")
        || matches!(path, "filter.drains" | "filter.drain_time" | "filter.spill" | "filler.film_time")
        || of_named(path, "stores", &["kind", "opens_at"])
        || of_named(path, "plugs", &["heel", "lip", "boss", "axis"])
        || path.strip_prefix("book.").is_some_and(|k| !k.is_empty())
        || path.strip_prefix("reference.attitude.").is_some_and(|k| !k.is_empty())
}

/// Whether a path is `table.NAME.KEY` with one of the keys.
fn of_named(path: &str, table: &str, keys: &[&str]) -> bool {
    let rest = path.strip_prefix(table).and_then(|r| r.strip_prefix('.'));
    rest.and_then(|r| r.split_once('.')).is_some_and(|(name, key)| !name.is_empty() && keys.contains(&key))
}
