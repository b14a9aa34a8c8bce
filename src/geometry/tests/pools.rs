//! Liquid as poured: against closed forms of boxes with ribs, and what must hold in any pan.

use approx::assert_relative_eq;
use proptest::prelude::*;
use uom::si::f64::{Length, Volume};
use uom::si::length::millimeter;
use uom::si::volume::{cubic_meter, liter};

use super::super::{Attitude, GeometryError, Plug, Point, Pools, Sump};
use super::pans::{extruded, pan, ribbed};
use super::support::{at, twin_well};

const LEVEL: Attitude = Attitude::LEVEL;

fn l(x: f64) -> Volume {
    Volume::new::<liter>(x)
}

fn point(mm: [f64; 3]) -> Point {
    Point::from_mm(mm).unwrap()
}

/// Litres in each pool, by basin.
fn litres(pools: &Pools) -> Vec<(usize, f64)> {
    let mut list: Vec<_> = pools.list().unwrap().iter().map(|p| (p.basin, p.volume.get::<liter>())).collect();
    list.sort_by_key(|p| p.0);
    list
}

/// The basin on one side of the rib at 150 mm.
fn side(sump: &Sump, attitude: Attitude, front: bool) -> usize {
    let basins = sump.basins(attitude).unwrap();
    basins.iter().position(|b| b.children.is_empty() && (b.lowest_point.to_mm()[0] > 150.0) == front).unwrap()
}

fn close(got: &[(usize, f64)], want: &[(usize, f64)]) {
    assert_eq!(got.len(), want.len(), "{got:?} {want:?}");
    for (g, w) in got.iter().zip(want) {
        assert_eq!(g.0, w.0, "{got:?} {want:?}");
        assert_relative_eq!(g.1, w.1, max_relative = 1e-9);
    }
}

const REAR: [f64; 3] = [50.0, 80.0, 90.0];
const FRONT: [f64; 3] = [250.0, 120.0, 90.0];

#[test]
fn fill_spill_and_merge() {
    let sump = ribbed(0.004, 0.010);
    let (rear, front) = (side(&sump, LEVEL, false), side(&sump, LEVEL, true));
    let full = 0.148 * 0.2 * 0.010 * 1e3;
    let mut pools = Pools::empty(&sump, LEVEL).unwrap();
    pools.pour(point(REAR), l(0.2)).unwrap();
    assert_eq!(litres(&pools), [(rear, 0.2)]);
    assert_relative_eq!(pools.list().unwrap()[0].level.get::<millimeter>(), 0.2 / (0.148 * 0.2), max_relative = 1e-12);
    // 0.096 L more than fits: over the rib to the front.
    pools.pour(point(REAR), l(0.192)).unwrap();
    let mut want = [(rear, full), (front, 0.392 - full)];
    want.sort_by_key(|p| p.0);
    close(&litres(&pools), &want);
    // Past the ridge: one pool, at the level of the whole.
    pools.pour(point(FRONT), l(1.0)).unwrap();
    let list = pools.list().unwrap();
    assert_eq!((list.len(), list[0].basin), (1, 2));
    assert_relative_eq!(
        list[0].level.get::<millimeter>(),
        sump.level(l(1.392), LEVEL).unwrap().get::<millimeter>(),
        max_relative = 1e-12
    );
    // Too much is refused, and changes nothing.
    let before = litres(&pools);
    let refused = pools.pour(point(FRONT), l(9.0)).unwrap_err();
    assert!(matches!(refused, GeometryError::VolumeAboveCapacity { .. }), "{refused}");
    assert!(matches!(pools.pour(point(FRONT), l(-1.0)), Err(GeometryError::Quantity(_))));
    assert!(matches!(pools.pour(point([900.0, 0.0, 0.0]), l(0.1)), Err(GeometryError::OutsideLiquid { .. })));
    assert_eq!(litres(&pools), before);
}

#[test]
fn the_order_of_pours_does_not_matter_where_they_do_not_meet() {
    let twin = twin_well();
    for attitude in [LEVEL, at(1.5, 0.0), at(-3.0, 1.0)] {
        let basins = twin.basins(attitude).unwrap();
        let lows: Vec<_> = basins.iter().filter(|b| b.children.is_empty()).map(|b| b.lowest_point).collect();
        let pours = [(lows[0], 0.05), (lows[1], 0.03), (lows[0], 0.01)];
        let poured = |order: [usize; 3]| {
            let mut pools = Pools::empty(&twin, attitude).unwrap();
            order.iter().for_each(|i| pools.pour(pours[*i].0, l(pours[*i].1)).unwrap());
            litres(&pools)
        };
        let first = poured([0, 1, 2]);
        assert_eq!(first.len(), 2);
        for order in [[2, 1, 0], [1, 0, 2], [0, 2, 1]] {
            close(&poured(order), &first);
        }
        // What fills both wells past the ridge stands at the level of the whole, wherever it is poured.
        for low in &lows {
            let mut pools = Pools::empty(&twin, attitude).unwrap();
            pools.pour(*low, l(5.0)).unwrap();
            let list = pools.list().unwrap();
            let level = twin.level(l(5.0), attitude).unwrap();
            assert_eq!(list.len(), 1);
            assert_relative_eq!(list[0].level.value, level.value, max_relative = 1e-9);
        }
    }
}

#[test]
fn a_tube_takes_what_it_reaches() {
    let sump = ribbed(0.004, 0.010);
    let (rear, front) = (side(&sump, LEVEL, false), side(&sump, LEVEL, true));
    let full = 0.148 * 0.2 * 0.010 * 1e3;
    let mut pools = Pools::at_level(&sump, Length::new::<millimeter>(20.0), LEVEL).unwrap();
    let all = pools.volume().get::<liter>();
    // With its end 3 mm over the front floor: all of it down to there, but behind the rib only to the rib.
    let tube = point([250.0, 100.0, 3.0]);
    let reach = all - full - 0.148 * 0.2 * 3.0;
    let refused = pools.withdraw(tube, l(reach + 0.01)).unwrap_err();
    let GeometryError::BeyondReach { reach_l, .. } = refused else { panic!("{refused}") };
    assert_relative_eq!(reach_l, reach, max_relative = 1e-9);
    assert_relative_eq!(pools.volume().get::<liter>(), all);
    pools.withdraw(tube, l(reach)).unwrap();
    let mut want = [(rear, full), (front, 0.148 * 0.2 * 3.0)];
    want.sort_by_key(|p| p.0);
    close(&litres(&pools), &want);
    // Where a stick would stand: its own pool, or none above two that are apart.
    assert_eq!(pools.pool_at(point([50.0, 100.0, 1.0])).unwrap().unwrap().basin, rear);
    assert_eq!(pools.pool_at(point([250.0, 100.0, 9.0])).unwrap().unwrap().basin, front);
    assert!(pools.pool_at(point([250.0, 100.0, 30.0])).unwrap().is_none());
}

#[test]
fn draining_a_full_sump_leaves_the_heel() {
    let plug = |mm: [f64; 3]| Plug::new(point(mm), Length::new::<millimeter>(12.0), Length::default(), Plug::DOWN);
    let sump = ribbed(0.004, 0.010);
    for attitude in [LEVEL, at(1.0, 0.0), at(-4.0, 3.0)] {
        for plugs in [vec![[250.0, 100.0, 0.0]], vec![[50.0, 20.0, 0.0], [250.0, 100.0, 0.0]], vec![]] {
            let plugs: Vec<Plug> = plugs.into_iter().map(|mm| plug(mm).unwrap()).collect();
            let top = sump.curve(attitude).unwrap().height();
            let mut pools = Pools::at_level(&sump, top, attitude).unwrap();
            let left = pools.drain(&plugs).unwrap();
            let heel = sump.heel(&plugs, attitude).unwrap();
            assert_relative_eq!(pools.volume().get::<liter>(), heel.get::<liter>(), epsilon = 1e-12);
            assert_relative_eq!((left + heel).get::<cubic_meter>(), sump.capacity_si(), max_relative = 1e-12);
        }
    }
}

#[test]
fn liquid_runs_down_the_side_it_falls_on() {
    // A ridge like a roof: apex at x = 150 mm, 30 mm high.
    let outline = [[0.0, 0.0], [0.12, 0.0], [0.15, 0.03], [0.18, 0.0], [0.3, 0.0], [0.3, 0.1], [0.0, 0.1]];
    let roof = extruded(&outline, &[[0, 1, 6], [1, 2, 6], [2, 5, 6], [2, 3, 5], [3, 4, 5]], 0.2);
    for (attitude, ridge) in [(LEVEL, 0.0), (at(3.0, 5.0), 0.0), (at(-6.0, 1.0), 0.0)] {
        for (x, front) in [(149.9, false), (150.1, true), (121.0, false), (10.0, false), (179.0, true), (290.0, true)] {
            // Straight above the floor there, as the liquid falls.
            let up = attitude.up();
            let foot = [x, 100.0, (30.0 - (x - 150.0_f64).abs()).max(0.0) + ridge];
            let from = [0, 1, 2].map(|i| foot[i] + 40.0 * up[i]);
            let mut pools = Pools::empty(&roof, attitude).unwrap();
            pools.pour(point(from), l(0.001)).unwrap();
            assert_eq!(litres(&pools)[0].0, side(&roof, attitude, front), "{attitude}, x = {x}");
        }
    }
}

#[test]
fn liquid_drips_off_what_hangs() {
    // A body over the front floor, its top at 50 mm; another over the rib, nearer to its rear edge.
    let mm = Length::new::<millimeter>;
    let body = |x: f64| {
        let body = Sump::cuboid(mm(40.0), mm(40.0), mm(20.0)).unwrap();
        body.translated(point([x, 100.0, 30.0])).unwrap()
    };
    let sump = ribbed(0.004, 0.010).with_displacer(body(200.0).mesh().unwrap()).unwrap();
    for attitude in [LEVEL, at(5.0, 0.0), at(-2.0, 7.0)] {
        let mut pools = Pools::empty(&sump, attitude).unwrap();
        pools.pour(point([200.0, 100.0, 80.0]), l(0.01)).unwrap();
        assert_eq!(litres(&pools)[0].0, side(&sump, attitude, true), "{attitude}");
    }
    // Nose down by 2 deg, liquid on the second body leaves it at its front edge, x = 165 mm: before the rib.
    let sump = ribbed(0.004, 0.010).with_displacer(body(145.0).mesh().unwrap()).unwrap();
    for (p, front) in [(-2.0, true), (2.0, false)] {
        let mut pools = Pools::empty(&sump, at(p, 0.0)).unwrap();
        pools.pour(point([145.0, 100.0, 80.0]), l(0.01)).unwrap();
        assert_eq!(litres(&pools)[0].0, side(&sump, at(p, 0.0), front), "{p}");
    }
}

#[test]
fn turning_there_and_back() {
    // A plain box: always one pool at the level of the whole.
    let cuboid = Sump::cuboid(
        Length::new::<millimeter>(300.0),
        Length::new::<millimeter>(200.0),
        Length::new::<millimeter>(100.0),
    );
    let cuboid = cuboid.unwrap();
    let mut pools = Pools::empty(&cuboid, LEVEL).unwrap();
    pools.pour(point([0.0, 0.0, 90.0]), l(1.0)).unwrap();
    pools.turn(at(12.0, -7.0)).unwrap();
    assert_relative_eq!(
        pools.list().unwrap()[0].level.value,
        cuboid.level(l(1.0), at(12.0, -7.0)).unwrap().value,
        max_relative = 1e-9
    );
    pools.turn(LEVEL).unwrap();
    close(&litres(&pools), &[(0, 1.0)]);
    // 0.1 L before the rib; nose up by 10 deg it holds h^2 / (2 tan 10 deg) x 200 mm (closed form), the rest runs over.
    let sump = ribbed(0.004, 0.010);
    let mut pools = Pools::empty(&sump, LEVEL).unwrap();
    pools.pour(point(FRONT), l(0.1)).unwrap();
    let turn = pools.turn(at(10.0, 0.0)).unwrap();
    assert_eq!(turn.unsettled, Volume::default());
    let stays = 0.010 * 0.010 / (2.0 * f64::to_radians(10.0).tan()) * 0.2 * 1e3;
    let up = at(10.0, 0.0);
    let mut want = [(side(&sump, up, true), stays), (side(&sump, up, false), 0.1 - stays)];
    want.sort_by_key(|p| p.0);
    close(&litres(&pools), &want);
    // Back on level ground it does not run back: hysteresis that is real.
    pools.turn(LEVEL).unwrap();
    let mut want = [(side(&sump, LEVEL, true), stays), (side(&sump, LEVEL, false), 0.1 - stays)];
    want.sort_by_key(|p| p.0);
    close(&litres(&pools), &want);
}

#[test]
fn a_pool_that_a_turn_parts() {
    // One pool of 0.7 L over the rib; nose up by 20 deg the front keeps what its side holds, the rear has the rest.
    let sump = ribbed(0.004, 0.010);
    let mut pools = Pools::empty(&sump, LEVEL).unwrap();
    pools.pour(point(FRONT), l(0.7)).unwrap();
    assert_eq!(litres(&pools).len(), 1);
    let up = at(20.0, 0.0);
    pools.turn(up).unwrap();
    let stays = 0.010 * 0.010 / (2.0 * f64::to_radians(20.0).tan()) * 0.2 * 1e3;
    let mut want = [(side(&sump, up, true), stays), (side(&sump, up, false), 0.7 - stays)];
    want.sort_by_key(|p| p.0);
    close(&litres(&pools), &want);
}

#[test]
fn a_full_turn_of_the_reference_sump_keeps_its_liquid() {
    let sump = twin_well();
    let mut pools = Pools::empty(&sump, LEVEL).unwrap();
    let wells = sump.basins(LEVEL).unwrap();
    pools.pour(wells[0].lowest_point, l(0.4)).unwrap();
    pools.pour(wells[1].lowest_point, l(0.1)).unwrap();
    let before = litres(&pools);
    assert_eq!(before.len(), 2);
    // A little: nothing spills, and all comes back. Far over: one well empties into the other, and it does not.
    for (p, r, same) in [(1.0, 1.0, true), (-45.0, 0.0, false)] {
        for to in [at(p, r), LEVEL] {
            let turn = pools.turn(to).unwrap();
            assert!(turn.unsettled.get::<liter>() < 1e-3, "{turn:?}");
            assert_relative_eq!(pools.volume().get::<liter>(), 0.5, epsilon = 1e-12 * 12.4);
        }
        let after = litres(&pools);
        let moved: f64 = after.iter().zip(&before).map(|(a, b)| (a.1 - b.1).abs()).sum();
        assert_eq!(after.len() == 2 && moved < 1e-9, same, "{before:?} {after:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn liquid_is_kept_in_any_pan(
        z in prop::collection::vec(0.0..0.03f64, 7 * 6), steps in prop::bool::ANY,
        p in -15.0..15.0f64, r in -15.0..15.0f64,
        pours in prop::collection::vec((0.002..0.058f64, 0.002..0.048f64, 0.0..0.004f64), 1..12),
    ) {
        // Half of the pans have flats and ties: heights in steps of 1/128 m.
        let z: Vec<f64> = z.iter().map(|h| if steps { (h * 128.0).floor() / 128.0 } else { *h }).collect();
        let sump = Sump::from_mesh(pan(7, 6, &z, 0.12));
        let mut pools = Pools::empty(&sump, LEVEL).unwrap();
        let mut total = 0.0;
        let check = |pools: &Pools, total: f64| {
            let got = pools.volume().get::<liter>();
            prop_assert!((got - total).abs() <= 1e-12 * sump.capacity_si() * 1e3, "{got} {total}");
            let basins = sump.basins(pools.attitude()).unwrap();
            for pool in pools.list().unwrap() {
                let basin = &basins[pool.basin];
                prop_assert!(pool.volume <= basin.volume && pool.level >= basin.base);
                prop_assert!(basin.sill.is_none_or(|s| pool.level.value <= s.level.value + 1e-12));
            }
            Ok(())
        };
        for (x, y, v) in pours {
            pools.pour(point([x * 1e3, y * 1e3, 110.0]), l(v)).unwrap();
            total += v;
            check(&pools, total)?;
        }
        for to in [at(p, r), at(-p, 0.5 * r), LEVEL] {
            pools.turn(to).unwrap();
            check(&pools, total)?;
        }
        let low = sump.lowest_point(LEVEL).unwrap();
        let plug = Plug::new(low, Length::new::<millimeter>(2.0), Length::default(), Plug::DOWN).unwrap();
        let left = pools.drain(&[plug]).unwrap().get::<liter>();
        check(&pools, total - left)?;
    }

    #[test]
    fn a_full_pan_stands_at_one_level(z in prop::collection::vec(0.0..0.03f64, 7 * 6), x in 1.0..59.0f64, y in 1.0..49.0f64) {
        let sump = Sump::from_mesh(pan(7, 6, &z, 0.12));
        let mut pools = Pools::empty(&sump, LEVEL).unwrap();
        // More than the whole floor holds, in many small pours: each spills on until all is one pool.
        for _ in 0..100 {
            pools.pour(point([x, y, 110.0]), l(0.0012)).unwrap();
        }
        let list = pools.list().unwrap();
        let level = sump.level(l(0.12), LEVEL).unwrap();
        prop_assert!(level.get::<millimeter>() > 30.0);
        prop_assert_eq!(list.len(), 1);
        prop_assert!((list[0].level.value - level.value).abs() < 1e-12);
    }
}
