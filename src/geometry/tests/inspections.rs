//! The report on surfaces that are and are not sumps.

use super::super::{ClosedMesh, Flaw, GeometryError, Inspection, LengthUnit, ShellKind, inspect, stl};
use super::support::{box_faces, box_vertices, data};

/// A box with another one of `scale` times its size moved to `shift` (m), optionally looking inwards.
fn two_boxes(scale: f64, shift: [f64; 3], inwards: bool) -> (Vec<[f64; 3]>, Vec<[u32; 3]>) {
    let (mut vertices, mut faces) = (box_vertices(), box_faces());
    vertices.extend(box_vertices().into_iter().map(|v| [0, 1, 2].map(|k| scale * v[k] + shift[k])));
    let turn = |[a, b, c]: [u32; 3]| if inwards { [a, c, b] } else { [a, b, c] };
    faces.extend(box_faces().into_iter().map(|f| turn(f.map(|v| v + 8))));
    (vertices, faces)
}

fn kinds(report: &Inspection) -> Vec<(Flaw, usize)> {
    report.findings.iter().map(|f| (f.flaw, f.count)).collect()
}

#[test]
fn nothing_to_report() {
    let report = inspect(&box_vertices(), &box_faces());
    assert!(report.is_usable() && report.findings.is_empty());
    assert_eq!(report.shells.len(), 1);
    assert_eq!(report.shells[0].kind, ShellKind::Hull);
    let bus = stl::inspect(&data("python/fillmark/demo/stepped_bus.stl"), LengthUnit::Millimetre).unwrap();
    assert!(bus.is_usable(), "{:?}", bus.findings);
}

#[test]
fn edges_and_faces() {
    let mut faces = box_faces();
    faces.pop();
    let report = inspect(&box_vertices(), &faces);
    assert_eq!(kinds(&report), [(Flaw::OpenEdge, 3)]);
    assert_eq!(report.findings[0].places_mm.len(), 3);
    assert!(!report.is_usable());
    faces.push([0, 0, 1]);
    faces.push([0, 1, 9]);
    assert_eq!(kinds(&inspect(&box_vertices(), &faces)), [(Flaw::MissingVertex, 1)]);
    faces.pop();
    assert_eq!(kinds(&inspect(&box_vertices(), &faces)), [(Flaw::RepeatedVertex, 1)]);
    let mut faces = box_faces();
    faces[2].swap(0, 1);
    assert_eq!(kinds(&inspect(&box_vertices(), &faces)), [(Flaw::OppositeFaces, 3)]);
    let mut vertices = box_vertices();
    vertices[0][0] = f64::NAN;
    assert_eq!(kinds(&inspect(&vertices, &box_faces())), [(Flaw::VertexNotFinite, 1)]);
    faces = box_faces();
    faces.extend([[0, 1, 2], [0, 1, 2]]);
    assert!(kinds(&inspect(&box_vertices(), &faces)).contains(&(Flaw::NonManifoldEdge, 2)));
    let big: Vec<_> = box_vertices().into_iter().map(|v| v.map(|c| 1e3 * c)).collect();
    assert_eq!(kinds(&inspect(&big, &box_faces())), [(Flaw::SuspiciousSize, 1)]);
    assert!(!inspect(&[], &[]).is_usable());
}

/// A box of 300 mm drawn in inches, in metres, or in mm and read in another unit.
#[test]
fn suspects_the_unit() {
    let read_as = |factor: f64| {
        let vertices: Vec<_> = box_vertices().into_iter().map(|v| v.map(|c| factor * c)).collect();
        inspect(&vertices, &box_faces())
    };
    let inches = read_as(1.0 / 25.4);
    assert_eq!(kinds(&inches), [(Flaw::SuspiciousUnit, 1)]);
    assert!(inches.is_usable());
    assert!(inches.findings[0].advice.contains("inches read as mm, it would be 0.3000 m"), "{inches:?}");
    assert_eq!(inches.findings[0].places_mm.len(), 1);
    let millimetres = read_as(25.4);
    assert!(millimetres.findings[0].advice.contains("mm read as inches, it would be 0.3000 m"), "{millimetres:?}");
    let metres = read_as(1e-3);
    assert_eq!(kinds(&metres), [(Flaw::SuspiciousSize, 1)]);
    assert!(!metres.is_usable() && metres.findings[0].advice.contains("metres read as mm, it would be 0.3000 m"));
}

#[test]
fn separate_parts() {
    let inside = [0.0, 0.0, 0.03];
    let check = |(vertices, faces): (Vec<[f64; 3]>, Vec<[u32; 3]>)| {
        (inspect(&vertices, &faces), ClosedMesh::try_new(vertices, faces))
    };
    let (report, mesh) = check(two_boxes(0.2, inside, true));
    assert_eq!(report.shells[1].kind, ShellKind::Cavity);
    assert_eq!(report.shells[1].depth, 1);
    assert!((mesh.unwrap().volume_si() - 0.006 * (1.0 - 0.008)).abs() < 1e-15);
    let (report, mesh) = check(two_boxes(0.2, inside, false));
    assert_eq!(kinds(&report), [(Flaw::InvertedShell, 1)]);
    assert!(matches!(mesh.unwrap_err(), GeometryError::ShellInverted { depth: 1, faces: 12, .. }));
    let apart = [0.5, 0.0, 0.0];
    let (report, mesh) = check(two_boxes(0.2, apart, false));
    assert_eq!(kinds(&report), [(Flaw::SeparateSpace, 1)]);
    assert!(report.is_usable() && mesh.is_ok());
    let (report, mesh) = check(two_boxes(0.2, apart, true));
    assert_eq!(kinds(&report), [(Flaw::InvertedShell, 1)]);
    assert!(matches!(mesh.unwrap_err(), GeometryError::ShellInverted { depth: 0, .. }));
    let (report, _) = check(two_boxes(0.2, [0.0, 0.0, 0.0], true));
    // Standing on the floor.
    let touch = report.findings.iter().find(|f| f.flaw == Flaw::ShellsTouch).unwrap();
    assert!(touch.is_fatal() && touch.places_mm[0][2].abs() < 1e-9 && touch.places_mm[0][0].abs() <= 30.0 + 1e-9);
}

#[test]
fn slivers_are_harmless() {
    // The front right edge of the box gets a middle point on one side and a sliver on the other.
    let (mut vertices, mut faces) = (box_vertices(), box_faces());
    vertices.push([0.15, -0.1, 0.05]);
    let at = faces.iter().position(|f| *f == [0, 1, 5]).unwrap();
    faces[at] = [0, 1, 8];
    faces.extend([[0, 8, 5], [1, 5, 8]]);
    let report = inspect(&vertices, &faces);
    assert_eq!(kinds(&report), [(Flaw::ZeroArea, 1)]);
    assert!(report.is_usable());
    assert!((ClosedMesh::try_new(vertices, faces).unwrap().volume_si() - 0.006).abs() < 1e-15);
}
