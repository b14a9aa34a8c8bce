//! Bodies inside a sump.

use approx::assert_relative_eq;
use uom::si::f64::Length;
use uom::si::length::millimeter;

use super::super::{Attitude, ClosedMesh, GeometryError, Point, Sump};
use super::support::at;
use crate::error::Coded;

fn cube(side_mm: f64, at_mm: [f64; 3]) -> ClosedMesh {
    let side = Length::new::<millimeter>(side_mm);
    let cube = Sump::cuboid(side, side, side).unwrap().translated(Point::from_mm(at_mm).unwrap()).unwrap();
    cube.mesh().unwrap().clone()
}

fn hull() -> Sump {
    let mm = Length::new::<millimeter>;
    Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap()
}

#[test]
fn a_body_takes_up_its_own_volume() {
    let body = cube(40.0, [20.0, 10.0, 30.0]);
    let with = hull().with_displacer(&body).unwrap();
    assert_relative_eq!(with.capacity_si(), 0.006 - 64e-6, max_relative = 1e-12);
    // Below it, half-way up it, above it: the box's volume less what of the body is below.
    for (h, less) in [(0.02, 0.0), (0.05, 32e-6), (0.09, 64e-6)] {
        assert_relative_eq!(with.volume_si(h, Attitude::LEVEL).unwrap(), 0.06 * h - less, max_relative = 1e-12);
    }
    // Tilted: whole minus body, each by itself, below the same plane.
    let attitude = at(11.0, -7.0);
    let alone = Sump::from_mesh(body);
    let point = [0.02, 0.01, 0.045];
    let below = |s: &Sump| s.volume_si(s.level_of_point_si(point, attitude).unwrap(), attitude).unwrap();
    assert_relative_eq!(below(&with), below(&hull()) - below(&alone), max_relative = 1e-12);
}

#[test]
fn two_bodies_and_bodies_that_meet() {
    let one = hull().with_displacer(&cube(40.0, [20.0, 10.0, 30.0])).unwrap();
    let two = one.with_displacer(&cube(20.0, [-60.0, 0.0, 30.0])).unwrap();
    assert_relative_eq!(two.capacity_si(), 0.006 - 72e-6, max_relative = 1e-12);
    // Touching the first body (side by side at x = 40 mm), inside it, standing on the floor, through a wall, outside.
    let e = one.with_displacer(&cube(20.0, [50.0, 10.0, 40.0])).unwrap_err();
    let GeometryError::DisplacerTouches { point_mm, .. } = e else { panic!("{e}") };
    assert!((point_mm[0] - 40.0).abs() < 1e-9, "{point_mm:?}");
    assert_eq!(one.with_displacer(&cube(20.0, [20.0, 10.0, 40.0])).unwrap_err().code(), "geometry.displacer_outside");
    for place in [[0.0, 60.0, 0.0], [150.0, 0.0, 30.0]] {
        let e = one.with_displacer(&cube(20.0, place)).unwrap_err();
        assert_eq!(e.code(), "geometry.displacer_touches");
        assert!(e.to_string().contains("subtract"), "{e}");
    }
    assert_eq!(one.with_displacer(&cube(20.0, [400.0, 0.0, 0.0])).unwrap_err().code(), "geometry.displacer_outside");
}
