//! The fast response against the exact kernel, at points drawn over the whole domain and not only where it was checked
//! when built.

use proptest::test_runner::{Config, TestRunner};
use uom::si::f64::{Length, Volume};
use uom::si::length::millimeter;
use uom::si::volume::liter;

use super::super::{Domain, Point, Response, ResponseOptions, Sump};
use super::support::{at, stepped_bus};
use crate::error::Coded;

fn domain(litres: (f64, f64), nose_up_deg: (f64, f64), right_down_deg: (f64, f64)) -> Domain {
    let l = Volume::new::<liter>;
    Domain { volume: (l(litres.0), l(litres.1)), nose_up_deg, right_down_deg }
}

/// Largest difference from the exact height at `count` points of the domain, in mm, and how many were fitted.
fn worst(response: &Response, d: Domain, count: u32) -> (f64, u32) {
    let (mut worst, mut fitted) = (0.0f64, 0);
    let mut runner = TestRunner::new_with_rng(
        Config::with_cases(count),
        proptest::test_runner::TestRng::deterministic_rng(proptest::test_runner::RngAlgorithm::ChaCha),
    );
    let between = |(a, b): (f64, f64), u: f64| a + (b - a) * u;
    let worst_cell = std::cell::RefCell::new((&mut worst, &mut fitted));
    runner
        .run(&(0.0..1.0f64, 0.0..1.0f64, 0.0..1.0f64), |(u, v, w)| {
            let attitude = at(between(d.nose_up_deg, u), between(d.right_down_deg, v));
            let volume = between((d.volume.0.value, d.volume.1.value), w);
            let exact = response.exact_si(volume, attitude).unwrap();
            let fast = response.height_si(volume, attitude).unwrap();
            let mut cell = worst_cell.borrow_mut();
            *cell.0 = cell.0.max((exact - fast).abs() * 1e3);
            *cell.1 += u32::from(response.is_fitted(Volume::new::<liter>(volume * 1e3), attitude));
            Ok(())
        })
        .unwrap();
    (worst, fitted)
}

#[test]
fn stepped_bus_response_is_within_its_tolerance() {
    let sump = stepped_bus();
    let tip = Point::from_mm([-120.0, 40.0, -60.0]).unwrap();
    let d = domain((4.3, 7.5), (-4.0, 4.0), (-4.0, 4.0));
    let response = Response::build(&sump, tip, d, ResponseOptions::default()).unwrap();
    let quality = response.quality();
    assert!(quality.worst_error_mm <= 0.02);
    let (worst, fitted) = worst(&response, d, 200);
    assert!(worst <= 0.02, "{worst} mm off at a point that was not looked at in building");
    assert!(f64::from(fitted) >= 200.0 * (0.9 - quality.exact_share));
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
