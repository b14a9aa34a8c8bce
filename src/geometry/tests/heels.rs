//! The heel against closed forms of boxes: wedges on a tilted floor, both sides of a rib.

use approx::assert_relative_eq;
use uom::si::f64::Length;
use uom::si::length::millimeter;
use uom::si::volume::{cubic_meter, liter};

use super::super::{Attitude, GeometryError, Plug, Point, SuctionTip, Sump};
use super::pans::ribbed;
use super::support::{at, stepped_bus, twin_well};

fn mm(x: f64) -> Length {
    Length::new::<millimeter>(x)
}

fn plug(at_mm: [f64; 3], bore: f64, axis: [f64; 3]) -> Plug {
    Plug::new(Point::from_mm(at_mm).unwrap(), mm(bore), mm(5.0), axis).unwrap()
}

fn heel_l(sump: &Sump, plugs: &[Plug], attitude: Attitude) -> f64 {
    sump.heel(plugs, attitude).unwrap().get::<liter>()
}

#[test]
fn a_plug_at_the_high_end_of_a_flat_floor_leaves_a_wedge() {
    // Floor 300 x 220 mm; a wedge of length b holds w b^2 tan(angle) / 2 (closed form).
    let sump = Sump::cuboid(mm(300.0), mm(220.0), mm(100.0)).unwrap();
    for (deg, point_l, bore_l) in [(1.0, 0.173, 0.159), (3.0, 0.519, 0.478), (5.0, 0.866, 0.798)] {
        let wedge = |b: f64| 0.22 * b * b * f64::to_radians(deg).tan() / 2.0 * 1e3;
        // As near to a point as a plug may be: 1 mm. Its rim still reaches 1 mm down the slope.
        let small = heel_l(&sump, &[plug([149.5, 0.0, 0.0], 1.0, Plug::DOWN)], at(deg, 0.0));
        assert_relative_eq!(small, wedge(0.299), max_relative = 1e-10);
        // The point itself: the rim's lowest point at the wall.
        let point = heel_l(&sump, &[plug([150.5, 0.0, 0.0], 1.0, Plug::DOWN)], at(deg, 0.0));
        assert_relative_eq!(point, wedge(0.3), max_relative = 1e-10);
        assert!((point - point_l).abs() < 5e-4);
        let wide = heel_l(&sump, &[plug([144.0, 0.0, 0.0], 12.0, Plug::DOWN)], at(deg, 0.0));
        assert_relative_eq!(wide, wedge(0.288), max_relative = 1e-10);
        assert!((wide - bore_l).abs() < 5e-4);
        // At the low end nothing stays: the rim reaches to the low edge.
        assert!(heel_l(&sump, &[plug([-144.0, 0.0, 0.0], 12.0, Plug::DOWN)], at(deg, 0.0)) < 1e-12);
    }
    // Level: a bore through the floor leaves nothing.
    assert_eq!(heel_l(&sump, &[plug([144.0, 0.0, 0.0], 12.0, Plug::DOWN)], Attitude::LEVEL), 0.0);
}

#[test]
fn a_rib_keeps_what_is_behind_it() {
    let sump = ribbed(0.004, 0.010);
    let rib_l = 0.004 * 0.010 * 0.2 * 1e3;
    // Side plug in the front wall, lowest rim point 25 mm up, above the rib: 300 x 200 x 25 mm on both sides.
    let front = |low: f64| plug([300.0, 100.0, low + 6.0], 12.0, [1.0, 0.0, 0.0]);
    assert_relative_eq!(heel_l(&sump, &[front(25.0)], Attitude::LEVEL), 1.5 - rib_l, max_relative = 1e-10);
    // Below the rib's top the rear side stays at the rib.
    let side = |h: f64| 0.148 * 0.2 * h * 1e3;
    assert_relative_eq!(heel_l(&sump, &[front(4.0)], Attitude::LEVEL), side(0.010) + side(0.004), max_relative = 1e-10);
    // Through the floor in front: only the rear side stays; with one on each side nothing; without any all.
    let floor = |x: f64| plug([x, 100.0, 0.0], 12.0, Plug::DOWN);
    assert_relative_eq!(heel_l(&sump, &[floor(250.0)], Attitude::LEVEL), side(0.010), max_relative = 1e-10);
    assert!(heel_l(&sump, &[floor(250.0), floor(50.0)], Attitude::LEVEL) < 1e-12);
    assert_relative_eq!(heel_l(&sump, &[], Attitude::LEVEL), sump.capacity_si() * 1e3, max_relative = 1e-12);
    // A second, higher plug on the side that is already drained changes nothing; on the other side it does.
    let rear_high = plug([0.0, 100.0, 12.0], 12.0, [-1.0, 0.0, 0.0]);
    let both = heel_l(&sump, &[floor(250.0), rear_high], Attitude::LEVEL);
    assert_relative_eq!(both, side(0.006), max_relative = 1e-10);
    assert_relative_eq!(heel_l(&sump, &[floor(250.0), front(4.0)], Attitude::LEVEL), side(0.010), max_relative = 1e-10);
    // Nose up 1 deg, plug in front: rear side full to the rib's rear edge, as the sill there; front a wedge to the rim.
    let tan = f64::to_radians(1.0).tan();
    let rear = 0.2 * 0.148 * (0.010 + 0.148 * tan / 2.0) * 1e3;
    let got = heel_l(&sump, &[floor(250.0)], at(1.0, 0.0));
    let wedge = 0.2 * (0.244 - 0.152) * (0.244 - 0.152) * tan / 2.0 * 1e3;
    // Up to the far edge of the rib's top liquid stands over the rear side and the rib.
    let over = 0.2 * 0.148 * 0.004 * tan * 1e3 + 0.2 * 0.004 * 0.004 * tan / 2.0 * 1e3;
    assert_relative_eq!(got, rear + over + wedge, max_relative = 1e-9);
}

#[test]
fn a_suction_tip_leaves_what_it_cannot_reach() {
    let sump = Sump::cuboid(mm(300.0), mm(220.0), mm(100.0)).unwrap();
    let tip = |z: f64, axis: [f64; 3], margin: f64| SuctionTip {
        at: Point::from_mm([50.0, 20.0, z]).unwrap(),
        bore: mm(8.0),
        axis,
        margin: mm(margin),
    };
    let per_mm = 0.3 * 0.22;
    let level = sump.suction_heel(&tip(10.0, [0.0, 0.0, 1.0], 3.0), Attitude::LEVEL).unwrap();
    assert_relative_eq!(level.least.get::<liter>(), 10.0 * per_mm, max_relative = 1e-10);
    assert_relative_eq!(level.most.get::<liter>(), 13.0 * per_mm, max_relative = 1e-10);
    // Cut at 45 deg the rim leans over by its radius times sin 45 deg either way.
    let lean = 4.0 * f64::to_radians(45.0).sin();
    let cut = sump.suction_heel(&tip(10.0, [1.0, 0.0, 1.0], 0.0), Attitude::LEVEL).unwrap();
    assert_relative_eq!(cut.least.get::<liter>(), (10.0 - lean) * per_mm, max_relative = 1e-10);
    assert_relative_eq!(cut.most.get::<liter>(), (10.0 + lean) * per_mm, max_relative = 1e-10);
    // Far from walls and floor, and behind a rib: the other side stays at the rib.
    let high = sump.suction_heel(&tip(80.0, [0.0, 0.0, 1.0], 0.0), at(0.0, 0.0)).unwrap();
    assert_relative_eq!(high.least.get::<liter>(), 80.0 * per_mm, max_relative = 1e-10);
    let behind = ribbed(0.004, 0.010).suction_heel(&tip(2.0, [0.0, 0.0, 1.0], 0.0), Attitude::LEVEL).unwrap();
    assert_relative_eq!(behind.least.get::<liter>(), 0.148 * 0.2 * 12.0, max_relative = 1e-10);
}

#[test]
fn which_end_up() {
    let sump = stepped_bus();
    let low = sump.lowest_point(Attitude::LEVEL).unwrap();
    let plugs = [Plug::new(low, mm(14.0), mm(10.0), Plug::DOWN).unwrap()];
    let (p, r) = ([-4.0, 0.0, 4.0], [-2.0, 0.0]);
    let map = sump.heel_map(&plugs, &p, &r).unwrap();
    assert_eq!(map.len(), 6);
    for (i, p) in p.iter().enumerate() {
        for (j, r) in r.iter().enumerate() {
            assert_eq!(map[2 * i + j], sump.heel(&plugs, at(*p, *r)).unwrap());
        }
    }
    assert!(matches!(sump.heel_map(&plugs, &[0.0, 91.0], &r), Err(GeometryError::TiltTooLarge { .. })));
    // Two wells, the plug in one: the other stays at the ridge.
    let twin = twin_well();
    let basins = twin.basins(Attitude::LEVEL).unwrap();
    let wells: Vec<_> = basins.iter().filter(|b| b.children.is_empty()).collect();
    let in_one = Plug::new(wells[0].lowest_point, mm(14.0), mm(10.0), Plug::DOWN).unwrap();
    let heel = twin.heel(&[in_one], Attitude::LEVEL).unwrap().get::<cubic_meter>();
    let others: f64 = wells[1..].iter().map(|b| b.volume.get::<cubic_meter>()).sum();
    assert_relative_eq!(heel, others, max_relative = 1e-9);
}

#[test]
fn a_plug_far_from_the_sump_is_refused() {
    let sump = ribbed(0.004, 0.010);
    let e = sump.heel(&[plug([500.0, 100.0, 0.0], 12.0, Plug::DOWN)], Attitude::LEVEL).unwrap_err();
    let GeometryError::OutsideLiquid { ref what, distance_mm, .. } = e else { panic!("{e}") };
    assert_eq!(what, "plug");
    assert!((distance_mm - 200.0).abs() < 1e-6, "{distance_mm}");
    let e = sump.suction_heel(
        &SuctionTip { at: Point::default(), bore: mm(0.1), axis: [0.0, 0.0, 1.0], margin: mm(0.0) },
        Attitude::LEVEL,
    );
    assert!(matches!(e, Err(GeometryError::Quantity(_))));
}
