//! The fast response: exact outside its domain, right for a box, and what it refuses. Its error on the demo circuits is
//! measured in `tests/responses.rs`.

use uom::si::f64::{Length, Volume};
use uom::si::length::millimeter;
use uom::si::volume::liter;

use super::super::{Domain, Point, Response, ResponseOptions, Sump};
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
