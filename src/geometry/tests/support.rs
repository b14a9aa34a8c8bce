//! Shapes and helpers shared by the tests.

use std::path::Path;

use super::super::{Attitude, LengthUnit, Sump};

/// A reference file of the project.
pub(super) fn data(path: &str) -> Vec<u8> {
    std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap()
}

pub(in crate::geometry) fn stepped_bus() -> Sump {
    Sump::from_stl_bytes(&data("python/fillmark/demo/stepped_bus.stl"), LengthUnit::Millimetre).unwrap()
}

pub(super) fn twin_well() -> Sump {
    Sump::from_stl_bytes(&data("tests/data/twin_well.stl"), LengthUnit::Millimetre).unwrap()
}

pub(in crate::geometry) fn at(nose_up_deg: f64, right_down_deg: f64) -> Attitude {
    Attitude::from_degrees(nose_up_deg, right_down_deg).unwrap()
}

/// Corners of a box 0.30 x 0.20 x 0.10 m, floor centred on the origin, numbered by bits: 1 front, 2 left, 4 high.
pub(super) fn box_vertices() -> Vec<[f64; 3]> {
    let pick = |i: u32, bit: u32, low: f64, high: f64| if i & bit == 0 { low } else { high };
    (0..8).map(|i| [pick(i, 1, -0.15, 0.15), pick(i, 2, -0.1, 0.1), pick(i, 4, 0.0, 0.1)]).collect()
}

/// Its twelve faces, outward.
pub(super) fn box_faces() -> Vec<[u32; 3]> {
    super::super::shapes::HEXAHEDRON.to_vec()
}
