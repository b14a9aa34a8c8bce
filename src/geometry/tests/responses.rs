//! The fast response: exact outside its domain, right for a box, and what it refuses. Its error on the demo circuits is
//! measured in `src/tests/responses.rs`.

use proptest::strategy::{Strategy, ValueTree};
use uom::si::f64::{Length, Volume};
use uom::si::length::millimeter;
use uom::si::volume::liter;

use super::super::{Attitude, ClosedMesh, Domain, Point, Response, ResponseOptions, Sump};
use super::support::at;
use crate::error::Coded;

fn domain(litres: (f64, f64), nose_up_deg: (f64, f64), right_down_deg: (f64, f64)) -> Domain {
    let l = Volume::new::<liter>;
    Domain { volume: (l(litres.0), l(litres.1)), nose_up_deg, right_down_deg }
}

#[test]
fn outside_the_domain_it_is_exact() {
    let mm = Length::new::<millimeter>;
    let sump = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
    let tip = Point::from_mm([100.0, 0.0, 10.0]).unwrap();
    let d = domain((2.0, 4.0), (-3.0, 3.0), (0.0, 0.0));
    let response = Response::build(&sump, tip, d, ResponseOptions::default()).unwrap();
    assert_eq!(response.quality().exact_share, 0.0);
    let volume = Volume::new::<liter>(3.0);
    for attitude in [at(5.0, 0.0), at(0.0, 1.0)] {
        assert!(!response.is_fitted(volume, attitude));
        assert_eq!(response.height_si(0.003, attitude).unwrap(), response.exact_si(0.003, attitude).unwrap());
    }
    // A box half full: the surface passes through the middle (0, 0, 50 mm); the tip is 100 mm ahead, 10 mm up.
    for p in [-3.0, -1.0, 0.5, 2.0f64] {
        let (sin, cos) = p.to_radians().sin_cos();
        let want = 0.040 * cos - 0.100 * sin;
        assert!((response.height(volume, at(p, 0.0)).unwrap().value - want).abs() < 2e-5);
    }
}

/// Over upright walls, away from floor and lid, the liquid is a truncated prism: its volume is the area A of the plan times
/// the height over the plan's centroid c (for a triangle, from which it follows for any plan, `A (a + b + c) / 3`: CRC Standard
/// Mathematical Tables, mensuration, from memory). So the plane of any tilt passes through `(c, f + V / A)`, f the mean height
/// of the floor, and its height over a tip t is `(c - t) . up`: straight in the volume, and in the angles sines and cosines, whose
/// remainders beyond the square are below 0.003 mm at 4 deg and levers of 0.1 m.
#[test]
fn over_upright_walls_few_terms_are_kept() {
    // 320 x 220 mm with a floor that falls from 15 mm to 0 and a lid at 120 mm.
    let corners =
        |z: [f64; 2]| [[-160.0, -110.0, z[0]], [160.0, -110.0, z[1]], [160.0, 110.0, z[1]], [-160.0, 110.0, z[0]]];
    let vertices = [corners([0.0, 15.0]), corners([120.0; 2])].concat().iter().map(|v| v.map(|c| c / 1e3)).collect();
    let quads = [[0, 3, 2, 1], [4, 5, 6, 7], [0, 1, 5, 4], [1, 2, 6, 5], [2, 3, 7, 6], [3, 0, 4, 7]];
    let faces = quads.iter().flat_map(|q| [[q[0], q[1], q[2]], [q[0], q[2], q[3]]]).collect();
    let sump = Sump::from_mesh(ClosedMesh::try_new(vertices, faces).unwrap());
    let tip = [-0.100, 0.050, 0.010];
    let d = domain((2.96, 4.56), (-4.0, 4.0), (-4.0, 4.0));
    let response = Response::build(&sump, Point::from_si(tip), d, ResponseOptions::default()).unwrap();
    let quality = response.quality();
    assert_eq!((quality.patches, quality.terms, quality.exact_share), (1, 2 * (3 + 2 + 2), 0.0));
    assert!(quality.worst_error_mm <= 0.005, "{quality:?}");
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let points = (2.96..=4.56, -4.0..=4.0, -4.0..=4.0);
    let mut worst = 0.0_f64;
    for _ in 0..2000 {
        let (litres, p, r): (f64, f64, f64) = points.new_tree(&mut runner).unwrap().current();
        let [x, y, z] = at(p, r).up();
        let middle = 0.0075 + litres / 1e3 / (0.320 * 0.220);
        let want = (0.0 - tip[0]) * x + (0.0 - tip[1]) * y + (middle - tip[2]) * z;
        worst = worst.max((response.height_si(litres / 1e3, at(p, r)).unwrap() - want).abs());
        assert_eq!(
            response.height_at_si([litres / 1e3, p, r]).unwrap(),
            response.height_si(litres / 1e3, at(p, r)).unwrap()
        );
    }
    // Not only at the held-out points: everywhere, with room for what lies between them.
    assert!(worst <= 2e-5 / 4.0, "{worst} m off");
}

#[test]
fn angles_without_an_attitude_are_refused_as_with_one() {
    let mm = Length::new::<millimeter>;
    let sump = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
    let d = domain((2.0, 4.0), (-3.0, 3.0), (-3.0, 3.0));
    let response = Response::build(&sump, Point::default(), d, ResponseOptions::default()).unwrap();
    for (p, r) in [(90.0, 0.0), (0.0, f64::NAN), (0.0, -120.0)] {
        let refused = response.height_at_si([0.003, p, r]).unwrap_err();
        assert_eq!(refused.to_string(), Attitude::from_degrees(p, r).unwrap_err().to_string());
    }
    assert_eq!(response.height_at_si([f64::NAN, 0.0, 0.0]).unwrap_err().code(), "quantity.not_finite");
}

/// Many at once have the bits of one by one: whole eights, the rest, and those that the exact kernel answers.
#[test]
fn many_places_at_once() {
    let mm = Length::new::<millimeter>;
    let sump = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
    let d = domain((2.0, 4.0), (-3.0, 3.0), (-3.0, 3.0));
    let tip = Point::from_mm([100.0, 0.0, 10.0]).unwrap();
    let response = Response::build(&sump, tip, d, ResponseOptions::default()).unwrap();
    let turn = |i: usize, k: usize| (i * k % 101) as f64 / 101.0;
    let volumes: Vec<f64> = (0..45).map(|i| if i == 20 { 0.0045 } else { 0.002 + 0.002 * turn(i, 37) }).collect();
    let [nose_up, right_down] = [41, 73].map(|k| (0..45).map(|i| 6.0 * turn(i, k) - 3.0).collect::<Vec<f64>>());
    let mut heights = volumes.clone();
    response.heights_at_si(&mut heights, &nose_up, &right_down).unwrap();
    for (i, height) in heights.iter().enumerate() {
        let alone = response.height_at_si([volumes[i], nose_up[i], right_down[i]]).unwrap();
        assert_eq!(height.to_bits(), alone.to_bits(), "{i}");
    }
    // 7 L do not fit.
    assert_eq!(
        response.heights_at_si(&mut [0.007], &[0.0], &[0.0]).unwrap_err().code(),
        "geometry.volume_above_capacity"
    );
}

#[test]
fn refuses_a_domain_that_is_none() {
    let mm = Length::new::<millimeter>;
    let sump = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
    let build = |d| Response::build(&sump, Point::default(), d, ResponseOptions::default()).unwrap_err().code();
    assert_eq!(build(domain((2.0, 7.0), (0.0, 1.0), (0.0, 1.0))), "quantity.out_of_range");
    assert_eq!(build(domain((2.0, 1.0), (0.0, 1.0), (0.0, 1.0))), "quantity.out_of_range");
    assert_eq!(build(domain((2.0, 3.0), (1.0, 0.0), (0.0, 1.0))), "quantity.out_of_range");
    let rows = [(mm(0.0), Volume::new::<liter>(0.0)), (mm(10.0), Volume::new::<liter>(4.0))];
    let table = Sump::from_table(&rows).unwrap();
    let e = Response::build(
        &table,
        Point::default(),
        domain((1.0, 2.0), (0.0, 1.0), (0.0, 0.0)),
        ResponseOptions::default(),
    );
    assert_eq!(e.unwrap_err().code(), "geometry.needs_plan_form");
}
