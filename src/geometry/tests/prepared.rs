//! The prepared curve against the direct sum over the triangles, which shares no arithmetic with it but the areas.

use super::super::kernel::{Side, View};
use super::super::{Interval, LevelCurve, Sump};
use super::support::{at, stepped_bus, twin_well};

/// Nose-up angles at which the curve is held against the direct sum; tiny ones make the coefficients enormous.
const ANGLES: [f64; 7] = [0.0, 1e-9, 1e-6, 1e-3, 0.1, 1.5, 7.0];
const LEVELS: u32 = 1000;

fn hold_against_direct(sump: &Sump, nose_up: f64, right_down: f64) {
    let attitude = at(nose_up, right_down);
    let mesh = sump.mesh().unwrap();
    let view = View::new(mesh, attitude.up_si());
    let curve = LevelCurve::of_mesh(mesh, attitude);
    let capacity = sump.capacity_si();
    let (mut worst_volume, mut worst_level) = (0.0f64, 0.0f64);
    for i in 0..=LEVELS {
        let h = curve.height_si() * f64::from(i) / f64::from(LEVELS);
        let direct = view.volume(h);
        worst_volume = worst_volume.max((curve.volume_si(h).unwrap() - direct).abs() / capacity);
        let back = curve.level_si(curve.volume_si(h).unwrap()).unwrap();
        let surface = view.free_surface(h, Side::Below).max(view.free_surface(h, Side::Above));
        let allowed = (1e-12_f64).max(1e-12 * capacity / surface.max(0.0));
        worst_level = worst_level.max((back - h).abs() / allowed);
    }
    assert!(worst_volume < 1e-12, "{attitude}: prepared and direct differ by {worst_volume:e} of capacity");
    assert!(worst_level < 1.0, "{attitude}: level(volume(h)) misses h by {worst_level} times what is allowed");
}

/// Levels in any order read the same bits with and without the memory of the last interval.
#[test]
fn a_remembered_interval_changes_nothing() {
    let curve = LevelCurve::of_mesh(twin_well().mesh().unwrap(), at(1.5, -0.5));
    let mut last = Interval::default();
    let rising = (0..=LEVELS).chain((0..=LEVELS).rev()).chain((0..=LEVELS).map(|i| i * 389 % LEVELS));
    for i in rising {
        let h = curve.height_si() * f64::from(i) / f64::from(LEVELS);
        assert_eq!(curve.volume_near_si(h, &mut last).unwrap().to_bits(), curve.volume_si(h).unwrap().to_bits());
    }
    for h in curve.knots() {
        assert_eq!(curve.volume_near_si(*h, &mut last).unwrap().to_bits(), curve.volume_si(*h).unwrap().to_bits());
    }
    assert!(curve.volume_near_si(-1.0, &mut last).is_err());
}

#[test]
fn stepped_bus_prepared_equals_direct() {
    let sump = stepped_bus();
    ANGLES.iter().for_each(|p| hold_against_direct(&sump, *p, 0.0));
    ANGLES.iter().for_each(|r| hold_against_direct(&sump, 0.0, -r));
}

#[test]
fn twin_well_prepared_equals_direct() {
    let sump = twin_well();
    ANGLES.iter().for_each(|p| hold_against_direct(&sump, *p, 0.3 * p));
    ANGLES.iter().for_each(|r| hold_against_direct(&sump, 0.0, *r));
}
