//! Centroid of the free surface, wetted area, strapping tables, calls over arrays.

use approx::assert_relative_eq;
use uom::si::angle::degree;
use uom::si::area::square_meter;
use uom::si::f64::{Angle, Length};
use uom::si::length::{meter, millimeter};

use super::super::{Attitude, Axis, Cylinder, End, GeometryError, Sump};
use super::support::{at, stepped_bus, twin_well};
use crate::error::Coded;

fn mm(x: f64) -> Length {
    Length::new::<millimeter>(x)
}

fn upright() -> Sump {
    let ends = [End::Flat; 2];
    let c = Cylinder { diameter: mm(200.0), length: mm(200.0), axis: Axis::Upright, ends, facet_tolerance: 1e-6 };
    Sump::cylinder(&c).unwrap()
}

/// Lateral area of the cylindrical ungula, S = (2 r h / b) ((b - r) phi + a), cos phi = (r - b) / r, a = sqrt(2 r b - b^2)
/// (Bronshtein and Semendyayev, Handbook of Mathematics; values computed).
#[test]
fn wetted_wall_of_an_ungula() {
    let sump = upright();
    for (b, h, want) in [
        (0.10f64, 0.05f64, 1.0000000000e-02),
        (0.05, 0.02, 2.7394130255e-03),
        (0.15, 0.06, 1.5305783640e-02),
        (0.20, 0.08, 2.5132741229e-02),
    ] {
        let attitude = at(-(h / b).atan().to_degrees(), 0.0);
        let level = sump.level_of_point_si([0.10 - b, 0.0, 0.0], attitude).unwrap();
        let wetted = sump.wetted(attitude, Angle::new::<degree>(45.0)).unwrap().at_si(level);
        // The equal-area polygon's perimeter is longer than the circle's by about (pi / n)^2 / 6.
        assert_relative_eq!(wetted[1], want, max_relative = 1e-3);
    }
}

#[test]
fn wetted_area_of_a_box() {
    let sump = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
    let curve = sump.wetted(Attitude::LEVEL, Angle::new::<degree>(10.0)).unwrap();
    let area = curve.at(mm(40.0)).unwrap();
    assert_relative_eq!(area.floor.get::<square_meter>(), 0.06, max_relative = 1e-12);
    assert_relative_eq!(area.walls.get::<square_meter>(), 1.0 * 0.04, max_relative = 1e-12);
    assert_eq!(area.ceiling.get::<square_meter>(), 0.0);
    assert_relative_eq!(curve.at(mm(100.0)).unwrap().ceiling.get::<square_meter>(), 0.06, max_relative = 1e-12);
    assert_eq!(curve.at_si(-0.001), [0.0; 3]);
    // Tilted beyond the floor slope, the floor is a wall.
    let tilted = sump.wetted(at(12.0, 0.0), Angle::new::<degree>(10.0)).unwrap();
    assert_eq!(tilted.at_si(0.02)[0], 0.0);
    let e = sump.wetted(Attitude::LEVEL, Angle::new::<degree>(91.0)).unwrap_err();
    assert_eq!(e.code(), "quantity.out_of_range");
}

/// The prepared wetted area is the direct sum of the parts of the faces below the plane, found by clipping each triangle.
#[test]
fn wetted_area_equals_clipped_triangles() {
    let sump = twin_well();
    let mesh = sump.mesh().unwrap();
    let attitude = at(2.0, -1.0);
    let (heights, _) = mesh.heights(attitude.up());
    let curve = sump.wetted(attitude, Angle::new::<degree>(30.0)).unwrap();
    for h in [0.003, 0.02, 0.05, 0.1, 0.13] {
        let direct: f64 = (0..mesh.face_count())
            .map(|i| {
                let corners: Vec<([f64; 3], f64)> =
                    mesh.faces[i].map(|v| (mesh.vertex(v), heights[v as usize])).into_iter().collect();
                clipped_area(&corners, h)
            })
            .sum();
        let [floor, walls, ceiling] = curve.at_si(h);
        assert_relative_eq!(floor + walls + ceiling, direct, max_relative = 1e-11);
    }
}

/// Area of the part of a triangle below `h` (Sutherland and Hodgman 1974, then the shoelace in space).
fn clipped_area(corners: &[([f64; 3], f64)], h: f64) -> f64 {
    let mut kept: Vec<[f64; 3]> = Vec::new();
    for i in 0..3 {
        let ((p, hp), (q, hq)) = (corners[i], corners[(i + 1) % 3]);
        if hp <= h {
            kept.push(p);
        }
        if (hp <= h) != (hq <= h) {
            let t = (h - hp) / (hq - hp);
            kept.push([0, 1, 2].map(|k| p[k] + t * (q[k] - p[k])));
        }
    }
    let mut sum = [0.0; 3];
    for i in 1..kept.len().saturating_sub(1) {
        let (a, b) = ([0, 1, 2].map(|k| kept[i][k] - kept[0][k]), [0, 1, 2].map(|k| kept[i + 1][k] - kept[0][k]));
        let c = [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
        (0..3).for_each(|k| sum[k] += c[k] / 2.0);
    }
    sum.iter().map(|c| c * c).sum::<f64>().sqrt()
}

/// At constant volume a small tilt turns the surface about its centroid: dH = (centroid along the tilt) x angle.
#[test]
fn the_surface_turns_about_its_centroid() {
    let sump = stepped_bus();
    let (volume, tilt) = (0.006, 1e-4f64);
    for base in [at(0.0, 0.0), at(1.5, -2.0)] {
        let level = sump.level_si(volume, base).unwrap();
        let centroid = sump.free_surface_centroid(Length::new::<meter>(level), base).unwrap().unwrap();
        let c = centroid.to_mm().map(|x| x / 1e3);
        // The centroid lies in the surface.
        let of_centroid = sump.level_of_point_si(c, base).unwrap();
        assert_relative_eq!(of_centroid, level, max_relative = 1e-9);
        for step in [[tilt, 0.0], [0.0, tilt]] {
            let to = |s: f64| at(base.nose_up_deg() + s * step[0], base.right_down_deg() + s * step[1]);
            let height = |s: f64| sump.level_si(volume, to(s)).unwrap() - sump.level_of_point_si(c, to(s)).unwrap();
            // Over the centroid the height does not change, to second order in the tilt.
            assert!((height(1.0) - height(-1.0)).abs() < 1e-9, "{}", height(1.0) - height(-1.0));
        }
    }
    let cuboid = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
    let c = cuboid.free_surface_centroid(mm(30.0), at(3.0, 0.0)).unwrap().unwrap().to_mm();
    assert!(c[1].abs() < 1e-9);
    assert!(cuboid.free_surface_centroid(mm(100.0), Attitude::LEVEL).unwrap().is_none());
    let floor = cuboid.free_surface_centroid(mm(0.0), Attitude::LEVEL).unwrap().unwrap().to_mm();
    assert!(floor.iter().all(|c| c.abs() < 1e-9));
}

#[test]
fn strapping_and_arrays() {
    let sump = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
    let curve = sump.curve(Attitude::LEVEL).unwrap();
    let table = curve.strapping(mm(0.1)).unwrap();
    assert_eq!(table.level_m.len(), 1001);
    assert_relative_eq!(table.volume_m3[1000], 0.006, max_relative = 1e-12);
    assert_relative_eq!(table.free_surface_m2[500], 0.06, max_relative = 1e-12);
    assert_eq!(curve.strapping(mm(30.0)).unwrap().level_m.len(), 5);
    assert_eq!(curve.strapping(mm(1e-6)).unwrap_err().code(), "quantity.out_of_range");
    let back = curve.levels_si(&curve.volumes_si(&table.level_m).unwrap()).unwrap();
    back.iter().zip(&table.level_m).for_each(|(a, b)| assert!((a - b).abs() < 1e-12));
    let e = curve.volumes_si(&[0.01, 0.2, -1.0]).unwrap_err();
    assert!(matches!(e, GeometryError::Element { index: 1, count: 2, .. }), "{e}");
    assert_eq!(curve.volumes_si(&[0.01, f64::NAN]).unwrap_err().fields()["first_index"], 1);
}
