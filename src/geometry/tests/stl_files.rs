//! STL: what is read, what is refused and where, and that no bytes at all make it panic.

use super::super::{ClosedMesh, GeometryError, LengthUnit, stl};
use super::support::{box_faces, box_vertices, data};
use crate::error::Coded;

const MM: LengthUnit = LengthUnit::Millimetre;

fn corners_mm() -> Vec<[[f32; 3]; 3]> {
    let vertices = box_vertices();
    #[allow(clippy::cast_possible_truncation)]
    let corner = |v: u32| vertices[v as usize].map(|c| (c * 1e3) as f32);
    box_faces().into_iter().map(|f| f.map(corner)).collect()
}

fn binary(triangles: &[[[f32; 3]; 3]], header: &[u8]) -> Vec<u8> {
    let mut out = header.to_vec();
    out.resize(80, b' ');
    out.extend(u32::try_from(triangles.len()).unwrap().to_le_bytes());
    for t in triangles {
        out.extend([0; 12]);
        t.iter().flatten().for_each(|c| out.extend(c.to_le_bytes()));
        out.extend([0; 2]);
    }
    out
}

fn text(triangles: &[[[f32; 3]; 3]]) -> String {
    let mut out = String::from("solid any name at all\r\n");
    for t in triangles {
        out += " facet normal nan 0 0\r\n  outer loop\r\n";
        t.iter().for_each(|[x, y, z]| out += &format!("   vertex {x:e} {y} {z}\r\n"));
        out += "  endloop\r\n endfacet\r\n";
    }
    out + "endsolid any name at all\r\n"
}

#[test]
fn binary_and_text_give_the_same_box() {
    let from_binary = stl::read(&binary(&corners_mm(), b"solid but binary"), MM).unwrap();
    let from_text = stl::read(text(&corners_mm()).as_bytes(), MM).unwrap();
    assert_eq!(from_binary, from_text);
    assert_eq!((from_text.vertex_count(), from_text.face_count()), (8, 12));
    assert!((from_text.volume_si() - 0.006).abs() < 1e-15);
}

#[test]
fn the_unit_scales() {
    let inch = stl::read(&binary(&corners_mm(), b""), LengthUnit::Inch).unwrap();
    assert!((inch.volume_si() - 0.006 * 25.4f64.powi(3)).abs() < 1e-10);
    // 0.3 m drawn in metres but read as millimetres.
    let metres: Vec<_> = corners_mm().into_iter().map(|t| t.map(|p| p.map(|c| c / 1e3))).collect();
    assert_eq!(stl::read(&binary(&metres, b""), MM).unwrap_err().code(), "geometry.absurd_size");
    let read = stl::read(&binary(&metres, b""), LengthUnit::Metre).unwrap();
    assert!((read.volume_si() - 0.006).abs() < 1e-9);
}

#[test]
fn corners_apart_by_rounding_are_joined() {
    let mut triangles = corners_mm();
    for (i, t) in triangles.iter_mut().enumerate() {
        if i % 2 == 0 {
            t.iter_mut().flatten().filter(|c| c.abs() > 120.0).for_each(|c| *c = f32::from_bits(c.to_bits() + 1));
        }
    }
    let mesh = stl::read(&binary(&triangles, b""), MM).unwrap();
    assert_eq!(mesh.vertex_count(), 8);
    // A tenth of a millimetre is no rounding.
    triangles[0][0][0] += 0.1;
    assert_eq!(stl::read(&binary(&triangles, b""), MM).unwrap_err().code(), "geometry.open_mesh");
}

#[test]
fn says_where_a_binary_file_is_wrong() {
    let whole = binary(&corners_mm(), b"");
    let e = stl::read(&whole[..whole.len() - 1], MM).unwrap_err();
    assert!(matches!(e, GeometryError::StlLength { faces: 12, expected_bytes: 684, actual_bytes: 683 }), "{e}");
    let mut bad = corners_mm();
    bad[3][1][2] = f32::INFINITY;
    let e = stl::read(&binary(&bad, b""), MM).unwrap_err();
    // 84 bytes of header, 50 a face, 12 of normal, 12 a corner, 4 a coordinate.
    assert!(matches!(e, GeometryError::StlCoordinate { byte: 266, face: 3, corner: 1, .. }), "{e}");
    assert_eq!(stl::read(b"", MM).unwrap_err().code(), "geometry.stl_unrecognised");
    // A count that would take 200 GB is refused before anything is allocated.
    let mut huge = vec![0; 84];
    huge[80..].copy_from_slice(&u32::MAX.to_le_bytes());
    assert_eq!(stl::read(&huge, MM).unwrap_err().code(), "geometry.stl_length");
    assert_eq!(stl::read(&binary(&[], b""), MM).unwrap_err().code(), "geometry.face_count");
}

#[test]
fn says_on_which_line_a_text_file_is_wrong() {
    let good = text(&corners_mm());
    let line = |text: &str| match stl::read(text.as_bytes(), MM).unwrap_err() {
        GeometryError::StlSyntax { line, expected, .. } => (line, expected),
        other => panic!("{other}"),
    };
    assert_eq!(line(&good.replacen("endloop", "loop", 1)), (7, "`endloop`".into()));
    assert_eq!(line(&good.replacen("   vertex ", "   vertex x", 1)), (4, "a finite number".into()));
    let cut = &good[..good.len() - 100];
    assert_eq!(line(cut).0, cut.lines().count());
}

#[test]
fn arbitrary_bytes_never_panic() {
    arbtest::arbtest(|u| {
        let mut bytes: Vec<u8> = u.arbitrary()?;
        match u.int_in_range(0..=3)? {
            0 => bytes.splice(0..0, *b"solid ").for_each(drop),
            1 if bytes.len() >= 84 => {
                let count = (bytes.len() - 84) / 50;
                bytes.truncate(84 + 50 * count);
                bytes[80..84].copy_from_slice(&u32::try_from(count).unwrap_or(0).to_le_bytes());
            }
            _ => {}
        }
        let _ = stl::read(&bytes, MM);
        let _ = stl::inspect(&bytes, MM);
        Ok(())
    });
}

#[test]
fn damaged_files_never_panic() {
    let good = [binary(&corners_mm(), b""), text(&corners_mm()).into_bytes()];
    arbtest::arbtest(|u| {
        let mut bytes = good[u.int_in_range(0..=1usize)?].clone();
        for _ in 0..u.int_in_range(1..=4)? {
            let i = u.choose_index(bytes.len())?;
            bytes[i] = u.arbitrary()?;
        }
        bytes.truncate(u.int_in_range(bytes.len() / 2..=bytes.len())?);
        if let Ok(mesh) = stl::read(&bytes, MM) {
            assert!(mesh.volume_si() > 0.0);
        }
        Ok(())
    });
}

#[test]
fn cad_files_are_closed_as_written() {
    // Face counts stated in tests/data/README.md.
    let count = |path: &str| stl::read(&data(path), MM).map(|m: ClosedMesh| m.face_count()).unwrap();
    assert_eq!(count("python/fillmark/demo/stepped_bus.stl"), 44_684);
    assert_eq!(count("tests/data/twin_well.stl"), 3_408);
}
