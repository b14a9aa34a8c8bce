//! Air-locked spaces against closed forms of boxes.

use approx::assert_relative_eq;
use uom::si::length::millimeter;
use uom::si::volume::{cubic_meter, liter};

use super::super::{Attitude, GeometryError, Point, Sump, Vents};
use super::pans::{extruded, ribbed};
use super::support::{at, stepped_bus};

/// 300 x 200 mm; roof at 100 mm over the rear third, a baffle down to 50 mm at x = 100 to 110 mm, roof at 80 mm before it.
fn pocket() -> Sump {
    let outline =
        [[0.0, 0.0], [0.3, 0.0], [0.3, 0.08], [0.11, 0.08], [0.11, 0.05], [0.1, 0.05], [0.1, 0.1], [0.0, 0.1]];
    extruded(&outline, &[[0, 1, 4], [0, 4, 5], [1, 2, 4], [2, 3, 4], [0, 5, 7], [7, 5, 6]], 0.2)
}

fn vent(mm: [f64; 3]) -> Vents {
    Vents::At(vec![Point::from_mm(mm).unwrap()])
}

#[test]
fn a_pocket_behind_a_baffle_keeps_its_air() {
    let sump = pocket();
    let locks = sump.air_locks(&Vents::default(), Attitude::LEVEL).unwrap();
    assert_eq!(locks.len(), 1);
    assert_relative_eq!(locks[0].volume.get::<cubic_meter>(), 0.19 * 0.2 * 0.03, max_relative = 1e-12);
    assert_relative_eq!(locks[0].level.get::<millimeter>(), 50.0, max_relative = 1e-12);
    assert_relative_eq!(locks[0].highest_point.to_mm()[2], 80.0, max_relative = 1e-12);
    // A vent in the pocket's roof instead: then the rear third is the pocket.
    let rear = sump.air_locks(&vent([200.0, 100.0, 80.0]), Attitude::LEVEL).unwrap();
    assert_eq!(rear.len(), 1);
    assert_relative_eq!(rear[0].volume.get::<liter>(), 100.0 * 0.2 * 0.05, max_relative = 1e-12);
    // One in each: none. One in the pocket's front wall at 60 mm: 20 mm stay above it.
    let (a, b) = (Point::from_mm([200.0, 100.0, 80.0]).unwrap(), Point::from_mm([50.0, 100.0, 100.0]).unwrap());
    assert!(sump.air_locks(&Vents::At(vec![a, b]), Attitude::LEVEL).unwrap().is_empty());
    let low = Point::from_mm([300.0, 100.0, 60.0]).unwrap();
    let above = sump.air_locks(&Vents::At(vec![low, b]), Attitude::LEVEL).unwrap();
    assert_relative_eq!(above[0].volume.get::<cubic_meter>(), 0.19 * 0.2 * 0.02, max_relative = 1e-12);
    assert_relative_eq!(above[0].level.get::<millimeter>(), 60.0, max_relative = 1e-12);
    // Without any vent all of it is locked, from the start.
    let all = sump.air_locks(&Vents::At(vec![]), Attitude::LEVEL).unwrap();
    assert_relative_eq!(all[0].volume.get::<cubic_meter>(), sump.capacity_si(), max_relative = 1e-12);
    assert_eq!(all[0].level.get::<millimeter>(), 0.0);
}

#[test]
fn an_open_top_lets_air_out() {
    for attitude in [Attitude::LEVEL, at(8.0, 0.0), at(-20.0, 13.0)] {
        let locks = ribbed(0.004, 0.01).air_locks(&Vents::Top, attitude).unwrap();
        assert!(locks.is_empty(), "{attitude}: {locks:?}");
    }
    // The reference sump too, near level; leaning far, a thimble of air stays under a corner of its ceiling at 5 mm.
    let bus = stepped_bus();
    assert!(bus.air_locks(&Vents::Top, at(8.0, 0.0)).unwrap().is_empty());
    let leaning = bus.air_locks(&Vents::Top, at(-20.0, 13.0)).unwrap();
    assert_eq!(leaning.len(), 1);
    assert!(leaning[0].volume.get::<liter>() < 1e-4 && (leaning[0].highest_point.to_mm()[2] - 5.0).abs() < 1e-3);
    let far = pocket().air_locks(&vent([0.0, 0.0, 500.0]), Attitude::LEVEL);
    assert!(matches!(far, Err(GeometryError::OutsideLiquid { .. })));
}
