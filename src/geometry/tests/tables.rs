//! Sumps known by a table and the centroid of its free surface, off level.

use uom::si::f64::{Length, Volume};
use uom::si::length::millimeter;
use uom::si::volume::liter;

use super::super::{Attitude, Domain, GeometryError, Point, Response, ResponseOptions, Span, Sump};
use super::support::{at, stepped_bus};
use crate::error::Coded;

fn mm(x: f64) -> Length {
    Length::new::<millimeter>(x)
}

fn l(x: f64) -> Volume {
    Volume::new::<liter>(x)
}

/// Height of the free surface along *up* in the body frame: what a stick meets.
fn surface(sump: &Sump, volume: f64, attitude: Attitude) -> f64 {
    let curve = sump.curve(attitude).unwrap();
    curve.level_si(volume).unwrap() + curve.datum_si()
}

/// Between upright walls the liquid is a truncated prism, whose volume is the area of the plan times the height over the plan's
/// centroid (for a triangle `A (a + b + c) / 3`: CRC Standard Mathematical Tables, mensuration, from memory): the plane is exact.
#[test]
fn between_upright_walls_it_is_exact() {
    let place = Point::from_mm([20.0, -15.0, 0.0]).unwrap();
    let drawn = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap().translated(place).unwrap();
    let rows = [(mm(0.0), l(0.0)), (mm(30.0), l(1.8)), (mm(100.0), l(6.0))];
    let span = Span { volume: l(1.5), length: mm(25.0), volume_at_max: l(4.0), capacity: Some(l(6.0)) };
    let known = [
        Sump::from_table_with_centroid(&rows, &[(mm(20.0), mm(-15.0))]).unwrap(),
        Sump::from_table_with_centroid(&rows, &[(mm(20.0), mm(-15.0)); 3]).unwrap(),
        Sump::from_span_with_centroid(span, (mm(20.0), mm(-15.0))).unwrap(),
    ];
    for attitude in [at(0.0, 0.0), at(10.0, 0.0), at(0.0, -10.0), at(-6.0, 5.0), at(1.0, 2.0)] {
        for volume in [2.6e-3, 3.0e-3, 3.4e-3] {
            // Clear of floor and lid: 43 mm is more than 150 sin 10 deg + 100 sin 10 deg of the attitudes above.
            let [x, y, z] = attitude.up();
            let closed = 0.020 * x - 0.015 * y + volume / 0.06 * z;
            assert!((surface(&drawn, volume, attitude) - closed).abs() < 1e-12);
            for sump in &known {
                assert!((surface(sump, volume, attitude) - closed).abs() < 1e-12);
                let curve = sump.curve(attitude).unwrap();
                let want = drawn.free_surface_si(drawn.level_si(volume, attitude).unwrap(), attitude).unwrap();
                let area = curve.free_surface_si(curve.level_si(volume).unwrap()).unwrap();
                assert!((area / want - 1.0).abs() < 1e-12);
                // Levels count from the body point at the centroid on the table's level 0.
                let zero = Point::from_mm([20.0, -15.0, 0.0]).unwrap();
                assert!(sump.level_of_point(zero, attitude).unwrap().value.abs() < 1e-15);
            }
        }
    }
}

/// Between walls that lean the plane is off by `tan(t)^2 / 2 * (dI/dz) / A` of height, t the tilt and I the second moment of
/// the free surface about the axis of the tilt. For a wedge of length b that opens to `2 k z` at height z, `I = b (2 k z)^3 / 12`,
/// so that this is `k^2 z tan(t)^2 / 2`. Exactly, the triangle between the sides and a plane tilted by t has the area
/// `s^2 k / (1 - k^2 tan(t)^2)` with s the plane's height in the middle (intersection of straight lines), against `k z^2`.
#[test]
fn between_leaning_walls_the_error_grows_with_the_square() {
    let (b, k) = (0.3_f64, 1.0_f64);
    let rows: Vec<_> = (0..=2000).map(|i| f64::from(i) * 0.05).map(|z| (mm(z), l(b * k * z * z / 1e3))).collect();
    let wedge = Sump::from_table_with_centroid(&rows, &[(mm(0.0), mm(0.0))]).unwrap();
    let z = 0.060_f64;
    for tilt in [1.0_f64, 4.0, 10.0] {
        let attitude = at(0.0, tilt);
        let tan = tilt.to_radians().tan();
        let exact = z * (1.0 - k * k * tan * tan).sqrt();
        let off = surface(&wedge, b * k * z * z, attitude) / attitude.up()[2] - exact;
        let stated = k * k * z * tan * tan / 2.0;
        // The next order is a quarter of tan^2 of it.
        assert!((off / stated - 1.0).abs() < 0.3 * tan * tan + 1e-4, "{tilt} deg: {off} m, stated {stated} m");
    }
}

/// The drawn sump of a demo, tabulated every 5 mm with its centroids, against itself at attitudes: a table knows nothing of the shelf,
/// so its rows leave out 105 to 115 mm, where the centroid jumps by 105 mm.
#[test]
fn a_drawn_sump_by_its_table() {
    let drawn = stepped_bus().translated(Point::from_mm([0.0, 0.0, 110.0]).unwrap()).unwrap();
    // Measured: 0.0052, 0.0875, 0.0043 and 0.0391 mm; of that the straight lines between rows are up to 0.006.
    let levels: Vec<Length> = (0..=40).map(|i| 5.0 * f64::from(i)).filter(|z| *z != 110.0).map(mm).collect();
    let volume = |z: Length| drawn.volume(z, Attitude::LEVEL).unwrap();
    let rows: Vec<_> = levels.iter().map(|z| (*z, volume(*z))).collect();
    let centroid = |z: &Length| drawn.free_surface_centroid(z.max(mm(0.5)), Attitude::LEVEL).unwrap().unwrap();
    let points: Vec<_> = levels.iter().map(centroid).map(|c| (c.x, c.y)).collect();
    let table = Sump::from_table_with_centroid(&rows, &points).unwrap();
    let worst = |tilt: f64, volumes: [f64; 2]| {
        let attitudes = [at(tilt, 0.0), at(-tilt, 0.0), at(0.0, tilt), at(0.0, -tilt)];
        let of = |attitude: Attitude| {
            let off = |i: i32| {
                let v = (volumes[0] + (volumes[1] - volumes[0]) * f64::from(i) / 40.0) / 1e3;
                (surface(&table, v, attitude) - surface(&drawn, v, attitude)).abs() * 1e3
            };
            (0..=40).map(off).fold(0.0, f64::max)
        };
        attitudes.map(of)
    };
    for (tilt, volumes, most_mm) in
        [(1.0, [6.5, 10.0], 0.006), (4.0, [6.5, 10.0], 0.09), (1.0, [1.5, 3.5], 0.006), (4.0, [1.5, 3.5], 0.09)]
    {
        let worst = worst(tilt, volumes).into_iter().fold(0.0, f64::max);
        assert!(worst <= most_mm, "{tilt} deg, {volumes:?} L: {worst} mm");
    }
    // Over the shelf, of which the table knows nothing: 5.0 mm.
    let over_shelf = worst(4.0, [3.5, 6.5]).into_iter().fold(0.0, f64::max);
    assert!((1.0..=5.1).contains(&over_shelf), "{over_shelf} mm");
    // At 10 deg nose-up the surface over the shelf would lie below that in the well.
    let shifts = [at(10.0, 0.0), at(-10.0, 0.0)].map(|a| table.curve(a).err());
    assert!(shifts.iter().flatten().all(|e| matches!(e, GeometryError::CentroidShifts { row: 22, .. })), "{shifts:?}");
    assert_eq!(shifts.iter().flatten().count(), 1);
}

#[test]
fn what_a_table_with_a_centroid_refuses() {
    let rows = [(mm(0.0), l(0.0)), (mm(40.0), l(2.0)), (mm(90.0), l(6.0))];
    let here = (mm(20.0), mm(0.0));
    let table = Sump::from_table_with_centroid(&rows, &[here]).unwrap();
    assert_eq!(table, Sump::from_table_with_centroid(&rows, &[here; 3]).unwrap());
    assert_ne!(table, Sump::from_table(&rows).unwrap());
    // The tilt is that of up to the body's z axis, whatever its parts.
    assert!(table.curve(at(10.0, 0.0)).is_ok());
    let e = table.curve(at(8.0, 8.0)).unwrap_err();
    assert_eq!(e.code(), "geometry.tilt_beyond_table");
    assert!(e.to_string().contains("serves tilts up to 10 deg: this is 11.2"), "{e}");
    for given in [vec![], vec![here; 2], vec![here; 4]] {
        let e = Sump::from_table_with_centroid(&rows, &given).unwrap_err();
        assert!(matches!(e, GeometryError::CentroidRows { rows: 3, .. }));
    }
    assert_eq!(
        Sump::from_table_with_centroid(&rows, &[(mm(f64::NAN), mm(0.0))]).unwrap_err().code(),
        "quantity.not_finite"
    );
    // Where liquid stands it knows, of walls and pools it does not.
    assert_eq!(table.basins(at(1.0, 0.0)).unwrap_err().code(), "geometry.no_plan_form");
    let jump = [(mm(0.0), mm(0.0)), (mm(0.0), mm(0.0)), (mm(400.0), mm(0.0))];
    let shifting = Sump::from_table_with_centroid(&rows, &jump).unwrap();
    // 50 mm of rise over 400 mm: up to 7.1 deg nose-down, and any nose-up.
    assert!([7.0, -7.0, 10.0].iter().all(|p| shifting.curve(at(*p, 0.0)).is_ok()));
    assert!(matches!(shifting.curve(at(-8.0, 0.0)), Err(GeometryError::CentroidShifts { row: 2, .. })));
}

#[test]
fn a_response_serves_a_table_with_a_centroid() {
    let rows = [(mm(0.0), l(0.0)), (mm(100.0), l(6.0))];
    let table = Sump::from_table_with_centroid(&rows, &[(mm(20.0), mm(-15.0))]).unwrap();
    let tip = Point::from_mm([100.0, 0.0, 10.0]).unwrap();
    let tilt = (-4.0, 4.0);
    let domain = Domain { volume: (l(2.0), l(4.0)), nose_up_deg: tilt, right_down_deg: tilt };
    let response = Response::build(&table, tip, domain, ResponseOptions::default()).unwrap();
    let [x, y, z] = at(3.0, -2.0).up();
    let want = (0.020 - 0.100) * x - 0.015 * y + (3e-3 / 0.06 - 0.010) * z;
    assert!((response.height_si(3e-3, at(3.0, -2.0)).unwrap() - want).abs() < 2e-5);
    let wide = Domain { nose_up_deg: (-12.0, 4.0), ..domain };
    let e = Response::build(&table, tip, wide, ResponseOptions::default()).unwrap_err();
    assert_eq!(e.code(), "geometry.tilt_beyond_table");
}

/// A vessel that grows takes its centroid with it.
#[test]
fn a_centroid_grows_with_its_vessel() {
    let rows = [(mm(0.0), l(0.0)), (mm(100.0), l(6.0))];
    let warm = Sump::from_table_with_centroid(&rows, &[(mm(20.0), mm(-15.0))]).unwrap().scaled(1.1).unwrap();
    let [x, _, z] = at(5.0, 0.0).up();
    let want = 0.022 * x + 0.055 * z;
    assert!((surface(&warm, 3e-3 * 1.1f64.powi(3), at(5.0, 0.0)) - want).abs() < 1e-15);
}
