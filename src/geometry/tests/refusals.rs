//! Every error of the geometry, each from an input that has just that fault.

use proptest::prelude::*;
use uom::si::f64::{Length, Volume};
use uom::si::length::millimeter;
use uom::si::volume::liter;

use super::super::{Attitude, ClosedMesh, Flaw, GeometryError, Point, Span, Sump, inspect};
use super::support::{at, box_faces, box_vertices};
use crate::error::Coded;

fn refused(vertices: Vec<[f64; 3]>, faces: Vec<[u32; 3]>) -> GeometryError {
    ClosedMesh::try_new(vertices, faces).unwrap_err()
}

fn mm(x: f64) -> Length {
    Length::new::<millimeter>(x)
}

fn l(x: f64) -> Volume {
    Volume::new::<liter>(x)
}

#[test]
fn a_good_box_is_accepted() {
    let mesh = ClosedMesh::try_new(box_vertices(), box_faces()).unwrap();
    assert_eq!((mesh.face_count(), mesh.vertex_count()), (12, 8));
    assert!((mesh.volume_si() - 0.006).abs() < 1e-17);
}

#[test]
fn says_which_coordinate_is_not_finite() {
    let mut vertices = box_vertices();
    vertices[3][1] = f64::NAN;
    vertices[6][0] = f64::INFINITY;
    let e = refused(vertices, box_faces());
    assert_eq!(e.code(), "geometry.vertex_not_finite");
    assert_eq!((e.fields()["first_index"].clone(), e.fields()["count"].clone()), (3.into(), 2.into()));
}

#[test]
fn says_which_face_is_wrong() {
    let mut faces = box_faces();
    faces[5][2] = 8;
    assert!(matches!(
        refused(box_vertices(), faces),
        GeometryError::FaceIndexOutOfRange { face: 5, vertex: 8, vertices: 8 }
    ));
    let mut faces = box_faces();
    faces[7] = [1, 1, 2];
    assert!(matches!(refused(box_vertices(), faces), GeometryError::DegenerateFaces { first_face: 7, count: 1, .. }));
    assert!(matches!(refused(box_vertices(), vec![]), GeometryError::FaceCount { faces: 0, .. }));
}

#[test]
fn says_where_the_surface_is_open() {
    let mut faces = box_faces();
    faces.pop();
    let e = refused(box_vertices(), faces);
    assert!(matches!(e, GeometryError::OpenMesh { count: 3, .. }), "{e}");
    assert!(e.to_string().contains("150.000"), "{e}");
}

#[test]
fn says_where_too_many_faces_meet() {
    // A second box on the first one's edge 1-5 (front right), sharing its two vertices.
    let (mut vertices, mut faces) = (box_vertices(), box_faces());
    let shift = [0.30, -0.20, 0.0];
    let number: Vec<u32> = (0..8u32)
        .map(|i| {
            let [x, y, z] = vertices[i as usize];
            let moved = [x + shift[0], y + shift[1], z + shift[2]];
            let same = (0..8).find(|j| (0..3).all(|c| (vertices[*j][c] - moved[c]).abs() < 1e-9));
            same.map_or_else(
                || {
                    vertices.push(moved);
                    vertices.len() as u32 - 1
                },
                |j| j as u32,
            )
        })
        .collect();
    faces.extend(box_faces().into_iter().map(|f| f.map(|v| number[v as usize])));
    assert_eq!(vertices.len(), 14);
    let e = refused(vertices, faces);
    assert!(matches!(e, GeometryError::NonManifoldMesh { faces: 4, count: 1, .. }), "{e}");
}

#[test]
fn says_which_faces_turn_the_wrong_way() {
    let mut faces = box_faces();
    faces[2].swap(0, 1);
    let e = refused(box_vertices(), faces);
    assert!(matches!(e, GeometryError::InconsistentFaces { count: 3, .. }), "{e}");
    let flipped = box_faces().into_iter().map(|[a, b, c]| [a, c, b]).collect();
    let e = refused(box_vertices(), flipped);
    assert!(matches!(e, GeometryError::InsideOut { volume_l } if (volume_l + 6.0).abs() < 1e-12), "{e}");
}

#[test]
fn a_flat_surface_holds_nothing() {
    let vertices = box_vertices().into_iter().map(|[x, y, z]| [x, y, x + 0.3 * y + 0.0 * z]).collect();
    assert_eq!(refused(vertices, box_faces()).code(), "geometry.no_volume");
}

#[test]
fn suspects_the_unit_of_absurd_sizes() {
    for factor in [1e3, 1e-3] {
        let vertices = box_vertices().into_iter().map(|v| v.map(|c| factor * c)).collect();
        let e = refused(vertices, box_faces());
        assert_eq!(e.code(), "geometry.absurd_size");
        assert!(e.to_string().contains("inches or metres"), "{e}");
    }
}

#[test]
fn spare_vertices_are_dropped() {
    let mut vertices = box_vertices();
    vertices.insert(0, [0.0, 0.0, -9.0]);
    let faces = box_faces().into_iter().map(|f| f.map(|v| v + 1)).collect();
    let mesh = ClosedMesh::try_new(vertices, faces).unwrap();
    assert_eq!(mesh, ClosedMesh::try_new(box_vertices(), box_faces()).unwrap());
}

#[test]
fn says_how_far_a_level_or_volume_is_out() {
    let sump = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
    let e = sump.level(l(7.0), Attitude::LEVEL).unwrap_err();
    assert!(matches!(e, GeometryError::VolumeAboveCapacity { excess_l, .. } if (excess_l - 1.0).abs() < 1e-12));
    assert_eq!(sump.level(l(-0.1), Attitude::LEVEL).unwrap_err().code(), "geometry.volume_below");
    let e = sump.volume(mm(100.1), Attitude::LEVEL).unwrap_err();
    assert!(matches!(e, GeometryError::LevelOutside { height_mm, .. } if (height_mm - 100.0).abs() < 1e-9));
    assert_eq!(sump.volume(mm(-1.0), Attitude::LEVEL).unwrap_err().code(), "geometry.level_outside");
    assert_eq!(sump.volume(mm(f64::NAN), Attitude::LEVEL).unwrap_err().code(), "quantity.not_finite");
    assert_eq!(Sump::cuboid(mm(300.0), mm(-2.0), mm(1.0)).unwrap_err().code(), "quantity.out_of_range");
    assert_eq!(Point::from_mm([0.0, f64::NAN, 0.0]).unwrap_err().code(), "quantity.not_finite");
}

#[test]
fn tables_serve_level_ground_only() {
    let rows = [(mm(0.0), l(0.0)), (mm(10.0), l(0.5)), (mm(30.0), l(2.5))];
    let sump = Sump::from_table(&rows).unwrap();
    assert!((sump.volume(mm(20.0), Attitude::LEVEL).unwrap().get::<liter>() - 1.5).abs() < 1e-12);
    assert!((sump.level(l(1.0), Attitude::LEVEL).unwrap().get::<millimeter>() - 15.0).abs() < 1e-12);
    assert_eq!(sump.volume(mm(20.0), at(1.0, 0.0)).unwrap_err().code(), "geometry.needs_plan_form");
    assert_eq!(sump, Sump::from_table(&rows).unwrap());
    assert_eq!(Sump::from_table(&rows[..1]).unwrap_err().code(), "geometry.table_too_short");
    let e = Sump::from_table(&[rows[0], rows[2], rows[1]]).unwrap_err();
    assert!(matches!(e, GeometryError::TableNotRising { row: 2, .. }));
    // A table may start above the bottom, with liquid the stick cannot reach.
    let high = Sump::from_table(&rows[1..]).unwrap();
    assert_eq!(high.level(l(0.2), Attitude::LEVEL).unwrap_err().code(), "geometry.volume_below");
    assert_eq!(high.volume(mm(5.0), Attitude::LEVEL).unwrap_err().code(), "geometry.level_outside");
}

#[test]
fn a_span_gives_its_own_slope() {
    let span = Span { volume: l(1.5), length: mm(30.0), volume_at_max: l(6.0), capacity: None };
    let sump = Sump::from_span(span).unwrap();
    let max = sump.level(l(6.0), Attitude::LEVEL).unwrap();
    let min = sump.level(l(4.5), Attitude::LEVEL).unwrap();
    assert!(((max - min).get::<millimeter>() - 30.0).abs() < 1e-12);
    assert!((sump.capacity().get::<liter>() - 7.5).abs() < 1e-12);
    let small = Span { volume_at_max: l(1.0), ..span };
    assert_eq!(Sump::from_span(small).unwrap_err().code(), "quantity.out_of_range");
}

proptest! {
    #[test]
    fn arbitrary_arrays_never_panic(
        vertices in prop::collection::vec(prop::array::uniform3(prop::num::f64::ANY), 0..12),
        faces in prop::collection::vec(prop::array::uniform3(0u32..12), 0..16),
    ) {
        let report = inspect(&vertices, &faces);
        if let Ok(mesh) = ClosedMesh::try_new(vertices, faces) {
            prop_assert!(report.findings.iter().all(|f| !f.is_fatal() || f.flaw == Flaw::ShellsTouch), "{report:?}");
            let curve = Sump::from_mesh(mesh).prepare(at(1.0, 2.0)).unwrap();
            prop_assert!(curve.capacity_si() > 0.0);
        }
    }

    /// Coordinates in the accepted range and index triples that are often closed: doubled faces of a tetrahedron.
    #[test]
    fn crumpled_tetrahedra_never_panic(
        vertices in prop::collection::vec(prop::array::uniform3(-0.1..0.1f64), 4),
        tilt in (-80.0..80.0f64, -80.0..80.0f64),
        flat in 0usize..4,
    ) {
        let mut vertices = vertices;
        vertices[flat] = vertices[(flat + 1) % 4];
        vertices[flat][2] += 1e-17 * vertices[flat][0];
        let faces = vec![[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]];
        if let Ok(mesh) = ClosedMesh::try_new(vertices, faces) {
            let curve = Sump::from_mesh(mesh).prepare(at(tilt.0, tilt.1)).unwrap();
            let half = curve.level_si(curve.capacity_si() / 2.0).unwrap();
            prop_assert!(half >= 0.0 && half <= curve.height_si(), "{half} of {}", curve.height_si());
        }
    }
}
