//! Everything that can be wrong with a shape or with a question put to one. Points in messages and fields are in
//! millimetres, volumes in litres: the units in which a person would look them up.

use serde::Serialize;

use super::vector::text_mm;
use crate::error::{Coded, code_of, fields_of};
use crate::numeric::text::{as_given, first_of, text_number};
use crate::units::QuantityError;

/// What is wrong with a shape, or with a level, volume or attitude asked of it.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
#[non_exhaustive]
pub enum GeometryError {
    /// A number is not finite or not in its accepted range; the inner error carries the details and the code.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
    /// An attitude angle is not strictly between -90 and 90 degrees.
    #[error("{what} = {value_deg} deg must be greater than -90 and less than 90 deg")]
    TiltTooLarge {
        /// Name of the argument or path of the input.
        what: String,
        /// The angle given, in degrees.
        value_deg: f64,
    },
    /// A direction given as *up* would lay the body on its side or turn it over.
    #[error("up = ({}, {}, {}) would lay the body on its side or turn it over: its z component must be positive", up[0], up[1], up[2])]
    NotUpright {
        /// The direction given, in the body frame.
        up: [f64; 3],
    },
    /// Vertex coordinates are not finite.
    #[error(
        "vertex {first_index} is ({}, {}, {}), which must be finite{}",
        value[0], value[1], value[2], first_of(*count, "such vertices")
    )]
    VertexNotFinite {
        /// Index of the first such vertex.
        first_index: usize,
        /// Its coordinates as text.
        value: [String; 3],
        /// How many such vertices there are.
        count: usize,
    },
    /// A face names a vertex that does not exist.
    #[error("face {face} names vertex {vertex}, but there are {vertices} vertices (0 to {})", vertices.saturating_sub(1))]
    FaceIndexOutOfRange {
        /// The first such face.
        face: usize,
        /// The vertex it names.
        vertex: u32,
        /// How many vertices there are.
        vertices: usize,
    },
    /// A mesh has no faces at all, or more than can be indexed.
    #[error("a mesh of {faces} faces and {vertices} vertices cannot enclose liquid: give 4 to {limit} faces")]
    FaceCount {
        /// How many faces were given.
        faces: usize,
        /// How many vertices were given.
        vertices: usize,
        /// Most faces accepted.
        limit: usize,
    },
    /// Faces that use one vertex twice.
    #[error(
        "face {first_face} at {} uses one vertex twice{}; remove {}",
        text_mm(point_mm),
        first_of(*count, "such faces"),
        if *count == 1 { "it" } else { "them" }
    )]
    DegenerateFaces {
        /// The first such face.
        first_face: usize,
        /// One of its corners, in mm.
        point_mm: [f64; 3],
        /// How many such faces there are.
        count: usize,
    },
    /// Edges with a face on one side only: the surface has a hole.
    #[error(
        "the surface is open: the edge from {} to {} has a face on one side only{}; \
         close the hole (export the liquid space as a solid) and make sure that faces share their corners",
        text_mm(from_mm),
        text_mm(to_mm),
        first_of(*count, "such edges")
    )]
    OpenMesh {
        /// Start of the first open edge, in mm.
        from_mm: [f64; 3],
        /// End of the first open edge, in mm.
        to_mm: [f64; 3],
        /// How many edges are open.
        count: usize,
    },
    /// Edges where more than two faces meet.
    #[error(
        "{faces} faces meet at the edge from {} to {}, where two may{}; \
         remove inner sheets, and separate bodies that touch along an edge",
        text_mm(from_mm),
        text_mm(to_mm),
        first_of(*count, "such edges")
    )]
    NonManifoldMesh {
        /// Start of the first such edge, in mm.
        from_mm: [f64; 3],
        /// End of the first such edge, in mm.
        to_mm: [f64; 3],
        /// How many faces meet there.
        faces: usize,
        /// How many such edges there are.
        count: usize,
    },
    /// Neighbouring faces that turn opposite ways.
    #[error(
        "faces {face} and {other_face} turn opposite ways at the edge from {} to {}{}; \
         make the faces' orientation consistent (outward)",
        text_mm(from_mm),
        text_mm(to_mm),
        first_of(*count, "such edges")
    )]
    InconsistentFaces {
        /// One face at the first such edge.
        face: usize,
        /// The other face.
        other_face: usize,
        /// Start of the edge, in mm.
        from_mm: [f64; 3],
        /// End of the edge, in mm.
        to_mm: [f64; 3],
        /// How many such edges there are.
        count: usize,
    },
    /// The surface is closed but flat: it encloses nothing beyond rounding.
    #[error(
        "the mesh encloses {volume_l:e} L, no more than rounding of its coordinates; it is flat or its parts cancel"
    )]
    NoVolume {
        /// The signed volume, in litres.
        volume_l: f64,
    },
    /// The faces look inwards: the enclosed volume is negative.
    #[error("the mesh is inside out: it encloses {volume_l:.6} L; flip every face so that it looks outwards")]
    InsideOut {
        /// The signed volume, in litres.
        volume_l: f64,
    },
    /// A separate part of the surface looks the wrong way: a cavity drawn as a body, or a body drawn as a cavity.
    #[error(
        "the separate part of {faces} faces at {} encloses {volume_l:.6} L inside {depth} other {}: a part inside \
         liquid must look into its own inside (a cavity), a part in liquid's place outwards; flip its faces",
        text_mm(point_mm),
        if *depth == 1 { "part" } else { "parts" }
    )]
    ShellInverted {
        /// How many faces it has.
        faces: usize,
        /// One of its corners, in mm.
        point_mm: [f64; 3],
        /// Its signed volume, in litres.
        volume_l: f64,
        /// How many other parts enclose it.
        depth: usize,
    },
    /// The size is not that of any sump: most likely a unit mistake.
    #[error(
        "the largest dimension is {} mm, outside {low_mm} to {high_mm} mm: check the unit of the drawing (an STL carries \
         none: it may be in inches or metres)",
        text_number(*size_mm)
    )]
    AbsurdSize {
        /// Largest side of the bounding box, in mm.
        size_mm: f64,
        /// Smallest accepted, in mm.
        low_mm: f64,
        /// Largest accepted, in mm.
        high_mm: f64,
    },
    /// A binary STL whose length does not fit its face count.
    #[error(
        "binary STL: the count at byte 80 says {faces} faces, which takes {expected_bytes} bytes, but there are \
         {actual_bytes}; the file is truncated or not an STL"
    )]
    StlLength {
        /// Face count in the file.
        faces: u32,
        /// Length that count calls for.
        expected_bytes: u64,
        /// Length given.
        actual_bytes: u64,
    },
    /// Bytes that are no STL at all.
    #[error("not an STL: {actual_bytes} bytes, neither text starting with `solid` nor the 84 bytes of a binary header")]
    StlUnrecognised {
        /// Length given.
        actual_bytes: u64,
    },
    /// A text STL with something unexpected.
    #[error("text STL, line {line}: expected {expected}, found {found:?}")]
    StlSyntax {
        /// Line, counted from 1.
        line: usize,
        /// What was expected.
        expected: String,
        /// What was found (shortened).
        found: String,
    },
    /// A coordinate in a binary STL that is not finite.
    #[error("binary STL, byte {byte}: corner {corner} of face {face} has the coordinate {value}")]
    StlCoordinate {
        /// Offset of the coordinate in the file.
        byte: u64,
        /// The face, counted from 0.
        face: usize,
        /// The corner, 0 to 2.
        corner: usize,
        /// The coordinate as text.
        value: String,
    },
    /// A level outside the sump.
    #[error(
        "level = {} mm is outside {} mm to {} mm, the height of this sump at the attitude {nose_up_deg} deg nose-up, \
         {right_down_deg} deg right-down",
        as_given(*level_mm),
        text_number(*low_mm),
        text_number(*height_mm)
    )]
    LevelOutside {
        /// The level asked for, in mm above the lowest point.
        level_mm: f64,
        /// Lowest level the shape knows, in mm (0 unless it is a table that starts higher).
        low_mm: f64,
        /// Highest level, in mm.
        height_mm: f64,
        /// Nose-up angle, in degrees.
        nose_up_deg: f64,
        /// Right-down angle, in degrees.
        right_down_deg: f64,
    },
    /// More liquid than the sump holds.
    #[error(
        "volume = {} L is {} L more than the sump holds ({} L)",
        as_given(*volume_l),
        text_number(*excess_l),
        text_number(*capacity_l)
    )]
    VolumeAboveCapacity {
        /// The volume asked for, in litres.
        volume_l: f64,
        /// What the sump holds, in litres.
        capacity_l: f64,
        /// By how much the volume exceeds it, in litres.
        excess_l: f64,
    },
    /// A volume below what the shape can place: negative, or under the first pair of a table.
    #[error("volume = {} L is below {} L, the least this sump can place", as_given(*volume_l), text_number(*low_l))]
    VolumeBelow {
        /// The volume asked for, in litres.
        volume_l: f64,
        /// The least volume, in litres.
        low_l: f64,
    },
    /// A table or a span knows nothing about the plan form, so it cannot say what happens off level unless told the centroid of
    /// its free surface.
    #[error(
        "a sump known by its {source_kind} only serves level ground: {nose_up_deg} deg nose-up, {right_down_deg} deg \
         right-down needs its plan form (a mesh) or the centroid of its free surface (centroid_mm)"
    )]
    NeedsPlanForm {
        /// `strapping table` or `span`.
        source_kind: String,
        /// Nose-up angle asked for, in degrees.
        nose_up_deg: f64,
        /// Right-down angle asked for, in degrees.
        right_down_deg: f64,
    },
    /// A question about walls, floor or pools, of which a table or a span knows nothing.
    #[error(
        "a sump known by its {source_kind} has no plan form, which this question needs: give the shape of the liquid space \
         (a box, sections, a floor or a mesh)"
    )]
    NoPlanForm {
        /// `strapping table` or `span`.
        source_kind: String,
    },
    /// A tilt at which a table or a span with the centroid of its free surface is no longer close enough.
    #[error(
        "a sump known by its {source_kind} and the centroid of its free surface serves tilts up to {most_deg} deg: this is {} \
         deg; beyond, give the shape of the liquid space",
        text_number(*tilt_deg)
    )]
    TiltBeyondTable {
        /// `strapping table` or `span`.
        source_kind: String,
        /// Angle between *up* and the body's z axis, in degrees.
        tilt_deg: f64,
        /// The largest served, in degrees.
        most_deg: f64,
    },
    /// A centroid of the free surface given for some rows of a table only.
    #[error("the centroid of the free surface is one point, or one for each of the {rows} rows; {given} given")]
    CentroidRows {
        /// Points given.
        given: usize,
        /// Rows of the table.
        rows: usize,
    },
    /// A centroid of the free surface that moves so far from one row to the next that the tilted surface would not rise.
    #[error(
        "strapping table, row {row}: at {nose_up_deg} deg nose-up, {right_down_deg} deg right-down its tilted free surface is not \
         above that of the row before, because the centroid moves {} mm while the level rises {} mm; leave the rows between \
         out, or give the shape of the liquid space",
        text_number(*shift_mm),
        text_number(*rise_mm)
    )]
    CentroidShifts {
        /// The row, counted from 0.
        row: usize,
        /// Distance of its centroid from that of the row before, in mm.
        shift_mm: f64,
        /// Its level less that of the row before, in mm.
        rise_mm: f64,
        /// Nose-up angle asked for, in degrees.
        nose_up_deg: f64,
        /// Right-down angle asked for, in degrees.
        right_down_deg: f64,
    },
    /// A strapping table that does not rise.
    #[error(
        "strapping table, row {row}: {what} = {value} {unit} must be greater than {previous} {unit} of the row before"
    )]
    TableNotRising {
        /// The first row that does not rise, counted from 0.
        row: usize,
        /// `level` or `volume`.
        what: String,
        /// The value in that row.
        value: f64,
        /// The value in the row before.
        previous: f64,
        /// Unit of both.
        unit: String,
    },
    /// A strapping table with fewer than two rows.
    #[error("a strapping table needs at least 2 rows of level and volume; {rows} given")]
    TableTooShort {
        /// How many rows were given.
        rows: usize,
    },
    /// An outline that crosses or touches itself.
    #[error("{what}: sides {first} and {second} cross or touch near ({:.3}, {:.3}) mm; an outline must not", near_mm[0], near_mm[1])]
    OutlineCrosses {
        /// Which outline.
        what: String,
        /// One side, by the number of its first point.
        first: usize,
        /// The other side.
        second: usize,
        /// Start of the other side, in mm.
        near_mm: [f64; 2],
    },
    /// Too few cross-sections, or too few points in them.
    #[error("{sections} sections of {corners} points: at least 2 sections of at least 3 points are needed")]
    TooFewSections {
        /// How many sections were given.
        sections: usize,
        /// How many points the first has.
        corners: usize,
    },
    /// A cross-section with another number of points than the first.
    #[error("section {section} has {corners} points, the first one {expected}: give the same number in matching order")]
    SectionMismatch {
        /// The section, counted from 0.
        section: usize,
        /// Its number of points.
        corners: usize,
        /// The number in the first section.
        expected: usize,
    },
    /// A cross-section that runs round the other way than the one before.
    #[error("section {section} runs round the other way than the section before it; give its points in matching order")]
    SectionReversed {
        /// The section, counted from 0.
        section: usize,
    },
    /// Positions of sections or of a grid that do not rise.
    #[error("position {section} = {value} {unit} must be greater than {previous} {unit}, the position before it")]
    SectionsNotRising {
        /// The first position that does not rise, counted from 0.
        section: usize,
        /// Its value.
        value: f64,
        /// The value before it.
        previous: f64,
        /// Unit of both.
        unit: String,
    },
    /// A floor whose heights do not fit its grid.
    #[error("a floor of {along} by {across} positions (each at least 2) needs {} heights, {heights} given", along * across)]
    FloorShape {
        /// Positions along x.
        along: usize,
        /// Positions along y.
        across: usize,
        /// Heights given.
        heights: usize,
    },
    /// A floor that reaches the top.
    #[error("the floor at position {along}, {across} is at {floor_mm} mm, not below the top at {top_mm} mm")]
    FloorAboveTop {
        /// Position along x, counted from 0.
        along: usize,
        /// Position along y, counted from 0.
        across: usize,
        /// Height of the floor there, in mm.
        floor_mm: f64,
        /// Height of the top, in mm.
        top_mm: f64,
    },
    /// A displacer that touches or cuts the surface of the liquid space.
    #[error(
        "the displacer touches or cuts the sump's surface at {} (its face {body_face}, the sump's face {face}); \
         subtract it from the drawing of the liquid space instead",
        text_mm(point_mm)
    )]
    DisplacerTouches {
        /// Face of the sump.
        face: usize,
        /// Face of the displacer.
        body_face: usize,
        /// Where, in mm.
        point_mm: [f64; 3],
    },
    /// A displacer outside the liquid space, or inside another displacer.
    #[error(
        "the displacer lies outside the liquid space: its corner {} is not in liquid; check its place and unit",
        text_mm(point_mm)
    )]
    DisplacerOutside {
        /// One of its corners, in mm.
        point_mm: [f64; 3],
    },
    /// A basin that the sump does not have at that attitude.
    #[error("there is no basin {basin}: at this attitude there are {basins} (0 to {})", basins.saturating_sub(1))]
    NoSuchBasin {
        /// The basin asked for.
        basin: usize,
        /// How many there are.
        basins: usize,
    },
    /// A pool that its basin does not hold.
    #[error(
        "the pool in basin {basin} cannot hold {volume_l} L: it has {} L at its base and {} L at its sill",
        text_number(*low_l),
        text_number(*high_l)
    )]
    PoolOutside {
        /// The basin.
        basin: usize,
        /// The volume given, in litres.
        volume_l: f64,
        /// The volume at its base, in litres.
        low_l: f64,
        /// The volume at its sill, in litres.
        high_l: f64,
    },
    /// Two pools of which one lies in the other's basin.
    #[error("the pools in the basins {basin} and {other} overlap: one basin is the other or a part of it")]
    PoolsOverlap {
        /// One basin.
        basin: usize,
        /// The other.
        other: usize,
    },
    /// A place for liquid to enter or leave that is nowhere near the liquid space.
    #[error(
        "the {what} at {} is {distance_mm:.1} mm outside the liquid space, more than {limit_mm} mm: check its place",
        text_mm(point_mm)
    )]
    OutsideLiquid {
        /// What was placed there.
        what: String,
        /// Where, in mm.
        point_mm: [f64; 3],
        /// Distance to the nearest wall, in mm.
        distance_mm: f64,
        /// Most accepted, in mm.
        limit_mm: f64,
    },
    /// More liquid than a tube with its end at that place can take out.
    #[error(
        "a tube with its end at {} reaches {reach_l:.6} L of what lies in the sump, not {volume_l:.6} L",
        text_mm(at_mm)
    )]
    BeyondReach {
        /// Where the tube ends, in mm.
        at_mm: [f64; 3],
        /// The volume asked for, in litres.
        volume_l: f64,
        /// What it reaches, in litres.
        reach_l: f64,
    },
    /// Elements of an array that are refused.
    #[error("{what}, element {index}{}: {first}", first_of(*count, "refused"))]
    Element {
        /// The array.
        what: String,
        /// The first refused element.
        index: usize,
        /// How many are refused.
        count: usize,
        /// What is wrong with the first.
        first: Box<GeometryError>,
    },
}

impl Coded for GeometryError {
    const DOMAIN: &'static str = "geometry";

    fn code(&self) -> String {
        match self {
            Self::Quantity(e) => e.code(),
            other => code_of(other),
        }
    }

    fn fields(&self) -> serde_json::Map<String, serde_json::Value> {
        match self {
            Self::Quantity(e) => e.fields(),
            other => fields_of(other),
        }
    }
}
