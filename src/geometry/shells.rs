//! The separate parts of a surface: the hull, cavities in it, other liquid spaces.

use serde::Serialize;

use super::error::GeometryError;
use super::mesh::{bounds, middle, signed_volume};
use super::vector::{Vec3, cross, dot, mm, norm, sub};

/// What a separate part of a surface is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum ShellKind {
    /// Bounds liquid: the hull.
    Hull,
    /// Bounds another liquid space, apart from the largest one.
    Island,
    /// Bounds a body inside liquid.
    Cavity,
    /// Looks the wrong way for where it lies.
    Inverted,
}

/// One separate part of a surface.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Shell {
    /// What it is.
    pub kind: ShellKind,
    /// How many faces it has.
    pub faces: usize,
    /// Its signed volume, negative when its faces look inwards \[L\].
    pub volume_l: f64,
    /// How many other parts enclose it.
    pub depth: usize,
    /// Low corner of its bounding box \[mm\].
    pub low_mm: [f64; 3],
    /// High corner of its bounding box \[mm\].
    pub high_mm: [f64; 3],
}

/// A part while it is examined.
pub(crate) struct Part {
    pub(crate) faces: Vec<[u32; 3]>,
    low: Vec3,
    high: Vec3,
    volume: f64,
}

/// Splits a surface into parts that share no vertex, in the order of their first faces.
pub(crate) fn parts(vertices: &[Vec3], faces: &[[u32; 3]]) -> Vec<Part> {
    let mut group: Vec<u32> = (0u32..).take(vertices.len()).collect();
    for [a, b, c] in faces {
        for v in [b, c] {
            let (x, y) = (root(&mut group, *a), root(&mut group, *v));
            group[x.max(y) as usize] = x.min(y);
        }
    }
    let mut place = std::collections::BTreeMap::new();
    let mut lists: Vec<Vec<[u32; 3]>> = Vec::new();
    for f in faces {
        let i = *place.entry(root(&mut group, f[0])).or_insert_with(|| {
            lists.push(Vec::new());
            lists.len() - 1
        });
        lists[i].push(*f);
    }
    lists.into_iter().map(|faces| part(vertices, faces)).collect()
}

fn root(group: &mut [u32], mut v: u32) -> u32 {
    while group[v as usize] != v {
        group[v as usize] = group[group[v as usize] as usize];
        v = group[v as usize];
    }
    v
}

fn part(vertices: &[Vec3], faces: Vec<[u32; 3]>) -> Part {
    let corners: Vec<Vec3> = faces.iter().flatten().map(|v| vertices[*v as usize]).collect();
    let (low, high) = bounds(&corners);
    let volume = signed_volume(vertices, &faces, middle(low, high));
    Part { faces, low, high, volume }
}

/// Describes every part: how deep it lies inside others and whether it looks the right way for that.
pub(crate) fn describe(vertices: &[Vec3], parts: &[Part]) -> Vec<Shell> {
    let hull = (0..parts.len()).max_by(|a, b| parts[*a].volume.total_cmp(&parts[*b].volume));
    (parts.iter().enumerate())
        .map(|(i, part)| {
            let point = vertices[part.faces[0][0] as usize];
            let around = |(j, other): &(usize, &Part)| *j != i && encloses(vertices, other, point);
            let depth = parts.iter().enumerate().filter(around).count();
            let kind = match (depth % 2 == 0, part.volume > 0.0) {
                (true, true) if Some(i) == hull => ShellKind::Hull,
                (true, true) => ShellKind::Island,
                (false, false) => ShellKind::Cavity,
                _ => ShellKind::Inverted,
            };
            let (low_mm, high_mm) = (mm(part.low), mm(part.high));
            Shell { kind, faces: part.faces.len(), volume_l: part.volume * 1e3, depth, low_mm, high_mm }
        })
        .collect()
}

/// Refuses a closed surface with a part that looks the wrong way.
pub(crate) fn check(vertices: &[Vec3], faces: &[[u32; 3]]) -> Result<(), GeometryError> {
    let parts = parts(vertices, faces);
    if parts.len() < 2 {
        return Ok(());
    }
    for (part, shell) in parts.iter().zip(describe(vertices, &parts)) {
        if shell.kind == ShellKind::Inverted {
            let point_mm = mm(vertices[part.faces[0][0] as usize]);
            let (faces, volume_l, depth) = (shell.faces, shell.volume_l, shell.depth);
            return Err(GeometryError::ShellInverted { faces, point_mm, volume_l, depth });
        }
    }
    Ok(())
}

/// Whether a closed part, whichever way it looks, has a point inside: by the solid angle it fills (Van Oosterom and
/// Strackee 1983, IEEE Trans. Biomed. Eng. 30:125).
fn encloses(vertices: &[Vec3], part: &Part, point: Vec3) -> bool {
    if !(0..3).all(|k| point[k] > part.low[k] && point[k] < part.high[k]) {
        return false;
    }
    let angle = |f: &[u32; 3]| {
        let [a, b, c] = f.map(|v| sub(vertices[v as usize], point));
        let (la, lb, lc) = (norm(a), norm(b), norm(c));
        2.0 * dot(a, cross(b, c)).atan2(la * lb * lc + dot(a, b) * lc + dot(b, c) * la + dot(c, a) * lb)
    };
    part.faces.iter().map(angle).sum::<f64>().abs() > std::f64::consts::TAU
}
