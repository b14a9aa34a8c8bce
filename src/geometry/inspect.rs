//! A report on any set of triangles: what keeps it from being a sump, where, and what to do.

use serde::Serialize;

use super::distance::{Triangle, between, near_pairs};
use super::mesh::{LARGEST, SMALLEST, area_vector, bounds};
use super::shells::{Part, Shell, ShellKind, describe, parts};
use super::topology::{Found, PLACES, edge_ends, edge_flaws};
use super::vector::{Vec3, add, mm, norm, scale, sub};

/// Kinds of flaws that a surface can have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Flaw {
    /// Vertices with a coordinate that is not finite.
    VertexNotFinite,
    /// Faces that name a vertex that does not exist.
    MissingVertex,
    /// Faces that use one vertex twice.
    RepeatedVertex,
    /// Faces with three different vertices but no area. Harmless: they hold nothing.
    ZeroArea,
    /// Edges with a face on one side only.
    OpenEdge,
    /// Edges where more than two faces meet.
    NonManifoldEdge,
    /// Edges whose two faces turn opposite ways.
    OppositeFaces,
    /// Separate parts that look the wrong way for where they lie.
    InvertedShell,
    /// Liquid spaces apart from the largest one. No flaw in itself: liquid cannot pass between them.
    SeparateSpace,
    /// Separate parts that touch or cut each other.
    ShellsTouch,
    /// A size that no sump has: the unit is wrong.
    SuspiciousSize,
    /// A longest side that few sumps have, and that another unit would explain. No flaw in itself.
    SuspiciousUnit,
}

/// One kind of flaw: how often, where, and what to do.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// The kind.
    pub flaw: Flaw,
    /// How often it occurs (at least this often for parts that touch).
    pub count: usize,
    /// The first places, at most eight \[mm\].
    pub places_mm: Vec<[f64; 3]>,
    /// What to do about it.
    pub advice: String,
}

impl Finding {
    /// Whether the surface cannot serve as a sump because of it.
    pub fn is_fatal(&self) -> bool {
        !matches!(self.flaw, Flaw::ZeroArea | Flaw::SeparateSpace | Flaw::SuspiciousUnit)
    }
}

/// The whole report.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Inspection {
    /// Number of faces.
    pub faces: usize,
    /// Number of vertices.
    pub vertices: usize,
    /// Sides of the bounding box along x, y, z \[mm\].
    pub size_mm: [f64; 3],
    /// What was found, the most basic first.
    pub findings: Vec<Finding>,
    /// The separate parts; empty while edges are open or faces unusable.
    pub shells: Vec<Shell>,
}

impl Inspection {
    /// Whether the surface can serve as a sump.
    pub fn is_usable(&self) -> bool {
        self.faces > 0 && !self.findings.iter().any(Finding::is_fatal)
    }
}

/// Looks for everything that could be wrong with a set of triangles (vertices in metres).
pub fn inspect(vertices: &[[f64; 3]], faces: &[[u32; 3]]) -> Inspection {
    let mut report = Inspection {
        faces: faces.len(),
        vertices: vertices.len(),
        size_mm: [0.0; 3],
        findings: Vec::new(),
        shells: vec![],
    };
    if unusable(vertices, faces, &mut report.findings) || faces.is_empty() {
        return report;
    }
    let (low, high) = bounds(vertices);
    report.size_mm = mm(sub(high, low));
    size(&report.size_mm.clone(), low, &mut report.findings);
    zero_area(vertices, faces, &mut report.findings);
    if edges(vertices, faces, &mut report.findings) {
        let parts = parts(vertices, faces);
        report.shells = describe(vertices, &parts);
        shells(vertices, &parts, &report.shells, &mut report.findings);
    }
    report
}

/// Notes one kind of flaw if there is any.
fn note(findings: &mut Vec<Finding>, flaw: Flaw, places: Vec<Vec3>, count: usize, advice: impl Into<String>) {
    if count > 0 {
        let places_mm = places.into_iter().take(PLACES).map(mm).collect();
        findings.push(Finding { flaw, count, places_mm, advice: advice.into() });
    }
}

/// Vertices and faces that nothing can be done with; true if there are any.
fn unusable(vertices: &[Vec3], faces: &[[u32; 3]], findings: &mut Vec<Finding>) -> bool {
    let finite = |v: &&Vec3| v.iter().all(|c| c.is_finite());
    let bad = vertices.len() - vertices.iter().filter(finite).count();
    note(findings, Flaw::VertexNotFinite, vec![], bad, "export again: a coordinate is not a number");
    let exists = |v: &u32| (*v as usize) < vertices.len();
    let missing: Vec<_> = faces.iter().filter(|f| !f.iter().all(exists)).collect();
    note(findings, Flaw::MissingVertex, vec![], missing.len(), "check the face list: vertices count from 0");
    if bad > 0 || !missing.is_empty() {
        return true;
    }
    let repeated = |f: &&[u32; 3]| f[0] == f[1] || f[1] == f[2] || f[2] == f[0];
    let places: Vec<Vec3> = faces.iter().filter(repeated).map(|f| vertices[f[0] as usize]).collect();
    let count = places.len();
    note(findings, Flaw::RepeatedVertex, places, count, "remove these faces: they use one vertex twice");
    count > 0
}

fn size(size_mm: &Vec3, low: Vec3, findings: &mut Vec<Finding>) {
    let largest = size_mm.iter().copied().fold(0.0, f64::max) / 1e3;
    let wrong = usize::from(!(SMALLEST..=LARGEST).contains(&largest));
    let advice = |rest: &str| format!("check the unit, an STL carries none: the longest side is {largest:.4} m{rest}");
    note(findings, Flaw::SuspiciousSize, vec![low], wrong, advice(&other_units(largest)));
    let doubtful = usize::from(wrong == 0 && !USUAL.contains(&largest));
    note(findings, Flaw::SuspiciousUnit, vec![low], doubtful, advice(&other_units(largest)));
}

/// Longest sides that sumps of vehicles, plant and boats have \[m\] (judgement).
const USUAL: std::ops::RangeInclusive<f64> = 0.06..=6.0;

/// What the longest side would be if the numbers had been meant in another unit, where a sump may have that size.
fn other_units(largest: f64) -> String {
    let mistakes = [
        ("inches read as mm", 25.4),
        ("centimetres read as mm", 10.0),
        ("metres read as mm", 1e3),
        ("mm read as inches", 1.0 / 25.4),
        ("mm read as centimetres", 0.1),
        ("mm read as metres", 1e-3),
    ];
    let usual = mistakes.iter().map(|(what, factor)| (what, factor * largest)).filter(|(_, side)| USUAL.contains(side));
    let texts: Vec<String> = usual.map(|(what, side)| format!("; {what}, it would be {side:.4} m")).collect();
    texts.concat()
}

fn zero_area(vertices: &[Vec3], faces: &[[u32; 3]], findings: &mut Vec<Finding>) {
    let flat = |f: &&[u32; 3]| {
        let side = norm(sub(vertices[f[1] as usize], vertices[f[0] as usize]))
            .max(norm(sub(vertices[f[2] as usize], vertices[f[0] as usize])));
        norm(area_vector(vertices, f)) <= 1e-12 * side * side
    };
    let places: Vec<Vec3> = faces.iter().filter(flat).map(|f| vertices[f[0] as usize]).collect();
    let count = places.len();
    note(findings, Flaw::ZeroArea, places, count, "nothing need be done: slivers hold nothing");
}

/// Flaws of edges; true if there are none.
fn edges(vertices: &[Vec3], faces: &[[u32; 3]], findings: &mut Vec<Finding>) -> bool {
    let flaws = edge_flaws(faces);
    let middle = |key: u64| {
        let [a, b] = edge_ends(key);
        scale(add(vertices[a], vertices[b]), 0.5)
    };
    let mut add_kind = |flaw: Flaw, found: &Found, advice| {
        let places = found.first.iter().map(|(key, ..)| middle(*key)).collect();
        note(findings, flaw, places, found.count, advice);
    };
    add_kind(
        Flaw::OpenEdge,
        &flaws.open,
        "close the hole: export the liquid space as a solid whose faces share corners",
    );
    add_kind(
        Flaw::NonManifoldEdge,
        &flaws.non_manifold,
        "remove inner sheets; separate bodies that touch along an edge",
    );
    add_kind(Flaw::OppositeFaces, &flaws.inconsistent, "make the faces' orientation consistent, outward");
    flaws.open.count + flaws.non_manifold.count + flaws.inconsistent.count == 0
}

fn shells(vertices: &[Vec3], parts: &[Part], shells: &[Shell], findings: &mut Vec<Finding>) {
    let of = |kind: ShellKind| -> Vec<Vec3> {
        let chosen = parts.iter().zip(shells).filter(|(_, s)| s.kind == kind);
        chosen.map(|(p, _)| vertices[p.faces[0][0] as usize]).collect()
    };
    let (inverted, islands) = (of(ShellKind::Inverted), of(ShellKind::Island));
    let (count, spaces) = (inverted.len(), islands.len());
    note(findings, Flaw::InvertedShell, inverted, count, "flip the faces of this part: outwards, a cavity inwards");
    note(
        findings,
        Flaw::SeparateSpace,
        islands,
        spaces,
        "liquid cannot pass between these spaces: join or remove them",
    );
    let touching = touching(vertices, parts);
    let count = touching.len();
    let advice = "subtract bodies that touch or cut a wall from the drawing of the liquid space";
    note(findings, Flaw::ShellsTouch, touching, count, advice);
}

/// The first place where each pair of parts touches (within 1 micrometre).
fn touching(vertices: &[Vec3], parts: &[Part]) -> Vec<Vec3> {
    const CLEARANCE: f64 = 1e-6;
    let lists: Vec<Vec<Triangle>> =
        parts.iter().map(|p| p.faces.iter().map(|f| f.map(|v| vertices[v as usize])).collect()).collect();
    let mut places = Vec::new();
    for (i, a) in lists.iter().enumerate() {
        for b in &lists[..i] {
            let meets = |(j, k): (usize, usize)| {
                let (distance, place) = between(&a[j], &b[k]);
                (distance <= CLEARANCE).then_some(place)
            };
            places.extend(near_pairs(a, b, CLEARANCE).into_iter().find_map(meets));
        }
    }
    places
}
