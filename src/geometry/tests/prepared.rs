//! The prepared curve against the direct sum over the triangles, which shares no arithmetic with it but the areas.

use super::super::kernel::{Side, View};
use super::super::{Interval, LevelCurve, Sump};
use super::support::{at, stepped_bus, twin_well};

/// Nose-up angles at which the curve is held against the direct sum; tiny ones make the coefficients enormous.
const ANGLES: [f64; 7] = [0.0, 1e-9, 1e-6, 1e-3, 0.1, 1.5, 7.0];
const LEVELS: u32 = 1000;
/// Part of the mean free surface by which the prepared one may differ.
const SURFACE: f64 = 1e-6;
/// Every so manyth level the free surface is held against the direct sum as well, on either side.
const SURFACES: u32 = 50;

fn hold_against_direct(sump: &Sump, nose_up: f64, right_down: f64, levels: u32) {
    let attitude = at(nose_up, right_down);
    let mesh = sump.mesh().unwrap();
    let view = View::new(mesh, attitude.up_si());
    let curve = LevelCurve::of_mesh(mesh, attitude);
    let capacity = sump.capacity_si();
    let (mut worst_volume, mut worst_level) = (0.0f64, 0.0f64);
    for i in 0..=levels {
        let h = curve.height_si() * f64::from(i) / f64::from(levels);
        let direct = view.volume(h);
        worst_volume = worst_volume.max((curve.volume_si(h).unwrap() - direct).abs() / capacity);
        let back = curve.level_si(curve.volume_si(h).unwrap()).unwrap();
        let surfaces = [Side::Below, Side::Above].map(|side| curve.free_surface_on_si(h, side).unwrap());
        let allowed = (1e-12_f64).max(1e-12 * capacity / surfaces[0].max(surfaces[1]).max(0.0));
        worst_level = worst_level.max((back - h).abs() / allowed);
        if i % SURFACES == 0 {
            for (told, side) in surfaces.into_iter().zip([Side::Below, Side::Above]) {
                let off = (told - view.free_surface(h, side)).abs() * curve.height_si() / capacity;
                assert!(off < SURFACE, "{attitude}: free surfaces at {h} m differ by {off:e} of the mean one");
            }
        }
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
    ANGLES.iter().for_each(|p| hold_against_direct(&sump, *p, 0.0, LEVELS));
    ANGLES.iter().for_each(|r| hold_against_direct(&sump, 0.0, -r, LEVELS / 10));
}

#[test]
fn twin_well_prepared_equals_direct() {
    let sump = twin_well();
    ANGLES.iter().for_each(|p| hold_against_direct(&sump, *p, 0.3 * p, LEVELS));
    ANGLES.iter().for_each(|r| hold_against_direct(&sump, 0.0, *r, LEVELS));
}
