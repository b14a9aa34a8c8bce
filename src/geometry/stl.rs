//! Reading STL, binary or text, with errors that say where.
//!
//! An STL is a list of triangles that do not share corners. Corners with equal coordinates are joined. If the surface
//! is then still open, corners closer than four roundings of the file's single precision (about 5e-7 of the largest
//! coordinate) are joined as well, because exporters round the two sides of an edge separately. Triangles that
//! collapse thereby are dropped; they hold nothing. Memory is bounded by a small multiple of the file's length.

use std::collections::HashMap;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::error::GeometryError;
use super::inspect::{Inspection, inspect as inspect_mesh};
use super::mesh::ClosedMesh;
use super::topology::{FACE_LIMIT, edge_flaws};
use super::vector::Vec3;

/// Unit of the coordinates of a drawing.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub enum LengthUnit {
    /// Millimetre, the usual unit of an STL.
    #[default]
    #[serde(rename = "mm")]
    Millimetre,
    /// Centimetre.
    #[serde(rename = "cm")]
    Centimetre,
    /// Metre.
    #[serde(rename = "m")]
    Metre,
    /// International inch, 25.4 mm exactly.
    #[serde(rename = "in")]
    Inch,
}

impl LengthUnit {
    /// Length of one unit in units of 0.1 mm: whole numbers, so that conversion rounds once.
    fn tenths_of_mm(self) -> f64 {
        match self {
            Self::Millimetre => 10.0,
            Self::Centimetre => 100.0,
            Self::Metre => 10_000.0,
            Self::Inch => 254.0,
        }
    }

    /// A length in this unit, in metres.
    pub fn metres(self, length: f64) -> f64 {
        length * self.tenths_of_mm() / 10_000.0
    }
}

const HEADER: usize = 84;
const RECORD: usize = 50;
/// How many roundings of single precision two corners may differ by and still be one.
const WELD_ROUNDINGS: f32 = 4.0;

type Triangle = [[f32; 3]; 3];

/// Reads a closed mesh from the bytes of an STL file whose coordinates are in `unit`.
///
/// The file is binary when its length is exactly what the count in its header calls for, even if the header begins
/// with `solid` (as some exporters write); otherwise it is text if it begins with `solid`.
pub fn read(bytes: &[u8], unit: LengthUnit) -> Result<ClosedMesh, GeometryError> {
    let triangles = triangles(bytes)?;
    let closed = |tolerance: f32| {
        let (vertices, faces) = joined(&triangles, unit, tolerance);
        ClosedMesh::try_new(vertices, faces)
    };
    let exact = closed(0.0);
    match exact {
        Err(GeometryError::OpenMesh { .. }) => closed(rounding(&triangles)).or(exact),
        other => other,
    }
}

/// Reads the triangles of an STL whatever they enclose, and reports on them: for a file that [`read`] refuses.
pub fn inspect(bytes: &[u8], unit: LengthUnit) -> Result<Inspection, GeometryError> {
    let triangles = triangles(bytes)?;
    let (mut vertices, mut faces) = joined(&triangles, unit, 0.0);
    if !edge_flaws(&faces).open.first.is_empty() {
        let coarse = joined(&triangles, unit, rounding(&triangles));
        if edge_flaws(&coarse.1).open.first.is_empty() {
            (vertices, faces) = coarse;
        }
    }
    Ok(inspect_mesh(&vertices, &faces))
}

/// Distance within which corners are one when exact joining leaves the surface open.
fn rounding(triangles: &[Triangle]) -> f32 {
    let largest = triangles.iter().flatten().flatten().fold(0.0f32, |m, c| m.max(c.abs()));
    WELD_ROUNDINGS * f32::EPSILON * largest
}

/// All triangles of the file; as many as a mesh may have.
fn triangles(bytes: &[u8]) -> Result<Vec<Triangle>, GeometryError> {
    let triangles = any_triangles(bytes)?;
    if triangles.len() > FACE_LIMIT / 3 {
        let (faces, vertices) = (triangles.len(), 3 * triangles.len());
        return Err(GeometryError::FaceCount { faces, vertices, limit: FACE_LIMIT / 3 });
    }
    Ok(triangles)
}

fn any_triangles(bytes: &[u8]) -> Result<Vec<Triangle>, GeometryError> {
    let counted = bytes.get(80..HEADER).and_then(|b| <[u8; 4]>::try_from(b).ok()).map(u32::from_le_bytes);
    let expected = |count: u32| HEADER as u64 + u64::from(count) * RECORD as u64;
    let actual_bytes = bytes.len() as u64;
    if counted.is_some_and(|count| expected(count) == actual_bytes) {
        return binary(bytes);
    }
    if bytes.trim_ascii_start().get(..5).is_some_and(|b| b.eq_ignore_ascii_case(b"solid")) {
        return text(bytes);
    }
    match counted {
        // Some exporters pad the file; less than announced is an error.
        Some(count) if expected(count) < actual_bytes && count > 0 => binary(bytes),
        Some(faces) => Err(GeometryError::StlLength { faces, expected_bytes: expected(faces), actual_bytes }),
        None => Err(GeometryError::StlUnrecognised { actual_bytes }),
    }
}

/// All whole records the header announces; the caller has checked that the file is long enough.
fn binary(bytes: &[u8]) -> Result<Vec<Triangle>, GeometryError> {
    let count = u32::from_le_bytes([bytes[80], bytes[81], bytes[82], bytes[83]]) as usize;
    let mut out = Vec::with_capacity(count);
    for (face, record) in bytes[HEADER..].chunks_exact(RECORD).take(count).enumerate() {
        let mut triangle = [[0.0; 3]; 3];
        for (i, raw) in record[12..48].chunks_exact(4).enumerate() {
            let value = f32::from_le_bytes([raw[0], raw[1], raw[2], raw[3]]);
            if !value.is_finite() {
                let byte = (HEADER + face * RECORD + 12 + 4 * i) as u64;
                return Err(GeometryError::StlCoordinate { byte, face, corner: i / 3, value: value.to_string() });
            }
            triangle[i / 3][i % 3] = value;
        }
        out.push(triangle);
    }
    Ok(out)
}

/// The lines of a text file that need not be UTF-8.
type Lines<'a> = std::slice::Split<'a, u8, fn(&u8) -> bool>;

/// The words of a text file with the line each stands on.
struct Words<'a> {
    lines: std::iter::Enumerate<Lines<'a>>,
    rest: &'a [u8],
    line: usize,
}

impl<'a> Words<'a> {
    fn new(bytes: &'a [u8]) -> Self {
        let split: Lines<'a> = bytes.split(|b| *b == b'\n');
        Self { lines: split.enumerate(), rest: &[], line: 0 }
    }

    /// Skips to the end of the line (the name after `solid`, which may be anything).
    fn skip_line(&mut self) {
        self.rest = &[];
    }

    fn next(&mut self) -> Option<&'a [u8]> {
        loop {
            self.rest = self.rest.trim_ascii_start();
            if !self.rest.is_empty() {
                let end = self.rest.iter().position(u8::is_ascii_whitespace).unwrap_or(self.rest.len());
                let (word, rest) = self.rest.split_at(end);
                self.rest = rest;
                return Some(word);
            }
            let (i, line) = self.lines.next()?;
            (self.line, self.rest) = (i + 1, line);
        }
    }

    fn wrong(&self, expected: &str, found: Option<&[u8]>) -> GeometryError {
        let found = match found {
            None => "the end of the file".into(),
            Some(word) => String::from_utf8_lossy(&word[..word.len().min(24)]).into_owned(),
        };
        GeometryError::StlSyntax { line: self.line, expected: expected.into(), found }
    }

    fn expect(&mut self, words: &[&str]) -> Result<(), GeometryError> {
        for expected in words {
            match self.next() {
                Some(word) if word.eq_ignore_ascii_case(expected.as_bytes()) => {}
                found => return Err(self.wrong(&format!("`{expected}`"), found)),
            }
        }
        Ok(())
    }

    fn number(&mut self) -> Result<f32, GeometryError> {
        let word = self.next();
        let value = word.and_then(|w| std::str::from_utf8(w).ok()).and_then(|w| f32::from_str(w).ok());
        value.filter(|v| v.is_finite()).ok_or_else(|| self.wrong("a finite number", word))
    }
}

/// `solid NAME { facet normal x y z outer loop 3 x { vertex x y z } endloop endfacet } endsolid NAME`, any number of
/// times. The normals are read over: the order of the corners decides.
fn text(bytes: &[u8]) -> Result<Vec<Triangle>, GeometryError> {
    let mut words = Words::new(bytes);
    let mut out = Vec::new();
    while let Some(word) = words.next() {
        if !word.eq_ignore_ascii_case(b"solid") {
            return Err(words.wrong("`solid` or the end of the file", Some(word)));
        }
        words.skip_line();
        loop {
            match words.next() {
                Some(word) if word.eq_ignore_ascii_case(b"facet") => out.push(facet(&mut words)?),
                Some(word) if word.eq_ignore_ascii_case(b"endsolid") => break words.skip_line(),
                found => return Err(words.wrong("`facet` or `endsolid`", found)),
            }
        }
    }
    Ok(out)
}

fn facet(words: &mut Words<'_>) -> Result<Triangle, GeometryError> {
    words.expect(&["normal"])?;
    for _ in 0..3 {
        // Exporters write `nan` here for slivers; the normal is not used.
        if words.next().is_none() {
            return Err(words.wrong("a number", None));
        }
    }
    words.expect(&["outer", "loop"])?;
    let mut triangle = [[0.0; 3]; 3];
    for corner in &mut triangle {
        words.expect(&["vertex"])?;
        for c in corner {
            *c = words.number()?;
        }
    }
    words.expect(&["endloop", "endfacet"])?;
    Ok(triangle)
}

/// Joins corners within `tolerance` (in the file's unit) and drops collapsed triangles: vertices in metres, faces.
fn joined(triangles: &[Triangle], unit: LengthUnit, tolerance: f32) -> (Vec<Vec3>, Vec<[u32; 3]>) {
    let mut weld = Weld::new(3 * triangles.len(), tolerance);
    let faces: Vec<[u32; 3]> = (triangles.iter())
        .map(|t| t.map(|corner| weld.number(corner)))
        .filter(|f| f[0] != f[1] && f[1] != f[2] && f[2] != f[0])
        .collect();
    let metres = |p: &[f32; 3]| p.map(|c| unit.metres(f64::from(c)));
    (weld.points.iter().map(metres).collect(), faces)
}

/// Gives equal corners one number.
struct Weld {
    tolerance: f32,
    points: Vec<[f32; 3]>,
    /// Number of the first point in each cell (a cell is a point's bits when the tolerance is zero).
    cells: HashMap<[i64; 3], u32>,
}

impl Weld {
    fn new(corners: usize, tolerance: f32) -> Self {
        // A closed mesh has about six corners to a vertex.
        Self { tolerance, points: Vec::new(), cells: HashMap::with_capacity(corners / 5) }
    }

    fn number(&mut self, point: [f32; 3]) -> u32 {
        let point = point.map(|c| c + 0.0); // -0 becomes 0
        let cell = self.cell(point);
        if let Some(&n) = self.cells.get(&cell) {
            return n;
        }
        if let Some(n) = self.neighbour(point, cell) {
            return n;
        }
        #[allow(clippy::cast_possible_truncation)] // the caller bounds the corners by FACE_LIMIT
        let n = self.points.len() as u32;
        self.points.push(point);
        self.cells.insert(cell, n);
        n
    }

    #[allow(clippy::cast_possible_truncation)] // float to integer saturates
    fn cell(&self, point: [f32; 3]) -> [i64; 3] {
        if self.tolerance > 0.0 {
            return point.map(|c| (f64::from(c) / f64::from(self.tolerance)).floor() as i64);
        }
        point.map(|c| i64::from(c.to_bits()))
    }

    /// A point within the tolerance that fell into a cell next door.
    fn neighbour(&self, point: [f32; 3], cell: [i64; 3]) -> Option<u32> {
        if self.tolerance <= 0.0 {
            return None;
        }
        let offset = |i: i64| [i / 9 - 1, i / 3 % 3 - 1, i % 3 - 1];
        (0..27)
            .map(offset)
            .filter_map(|d| self.cells.get(&[0, 1, 2].map(|i| cell[i].saturating_add(d[i]))).copied())
            .find(|&n| {
                let other = self.points[n as usize];
                (0..3).all(|i| (other[i] - point[i]).abs() <= self.tolerance)
            })
    }
}
