//! What is heard of moving liquid is enough to follow it: a mirror that mixes masses agrees with the pools throughout.

use std::collections::BTreeMap;

use proptest::prelude::*;
use uom::si::f64::{Length, Volume};
use uom::si::length::millimeter;
use uom::si::volume::liter;

use super::super::{Attitude, Flow, GeometryError, Plug, Point, Pools, Sump};
use super::pans::{pan, ribbed};
use super::support::{at, twin_well};

const LEVEL: Attitude = Attitude::LEVEL;

/// Volumes of two liquids in every pool.
struct Mirror {
    sump: Sump,
    pools: BTreeMap<usize, [f64; 2]>,
    before: BTreeMap<usize, ([f64; 2], f64)>,
    /// What comes in next, and what has gone.
    coming: usize,
    gone: [f64; 2],
}

fn sum(v: [f64; 2]) -> f64 {
    v[0] + v[1]
}

impl Mirror {
    fn take(&mut self, from: usize, volume: f64) -> [f64; 2] {
        let held = self.pools.get_mut(&from).unwrap();
        // Rounding may leave less than nothing to share out.
        let share = if sum(*held) > 0.0 { volume / sum(*held) } else { 0.0 };
        let out = held.map(|v| v * share);
        *held = [held[0] - out[0], held[1] - out[1]];
        out
    }

    fn put(&mut self, to: usize, what: [f64; 2]) {
        let held = self.pools.entry(to).or_default();
        *held = [held[0] + what[0], held[1] + what[1]];
    }

    fn hear(&mut self, flow: Flow) {
        match flow {
            Flow::In { basin, volume } => {
                let mut what = [0.0; 2];
                what[self.coming] = volume;
                self.put(basin, what);
            }
            Flow::Out { basin, volume } => {
                let out = self.take(basin, volume);
                self.gone = [self.gone[0] + out[0], self.gone[1] + out[1]];
            }
            Flow::Spill { from, to, volume } | Flow::Join { from, to, volume } | Flow::Part { from, to, volume } => {
                let what = self.take(from, volume);
                self.put(to, what);
            }
            Flow::Step => {
                let pools = std::mem::take(&mut self.pools);
                self.before = pools.into_iter().map(|(n, v)| (n, (v, sum(v)))).collect();
            }
            Flow::Carry { from, to, volume } => {
                let (what, all) = self.before[&from];
                self.put(to, what.map(|v| v * (volume / all)));
            }
        }
    }

    fn agrees(&self, pools: &Pools) -> Result<(), TestCaseError> {
        let slack = 1e-12 * self.sump.capacity_si();
        let mut list: BTreeMap<usize, f64> = pools.volumes_si().collect();
        for (basin, held) in &self.pools {
            let pool = list.remove(basin).unwrap_or(0.0);
            prop_assert!((pool - sum(*held)).abs() <= slack, "{basin}: {pool} {held:?}");
        }
        prop_assert!(list.values().all(|v| *v <= slack), "{list:?}");
        Ok(())
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    #[test]
    fn a_mirror_of_masses_follows(
        z in prop::collection::vec(0.0..0.03f64, 7 * 6), p in -15.0..15.0f64, r in -15.0..15.0f64,
        pours in prop::collection::vec((0.002..0.058f64, 0.002..0.048f64, 0.0..0.006f64), 1..12),
    ) {
        let sump = Sump::from_mesh(pan(7, 6, &z, 0.12));
        let mut pools = Pools::empty(&sump, LEVEL).unwrap();
        let mut mirror = Mirror {
            sump: sump.clone(), pools: BTreeMap::new(), before: BTreeMap::new(), coming: 0, gone: [0.0; 2],
        };
        let mut total = [0.0; 2];
        for (x, y, litres) in pours {
            let point = Point::from_mm([x * 1e3, y * 1e3, 110.0]).unwrap();
            let basin = pools.landing(point).unwrap();
            pools.pour_into(basin, litres / 1e3, &mut |flow| mirror.hear(flow)).unwrap();
            total[mirror.coming] += litres / 1e3;
            mirror.coming = 1 - mirror.coming;
            mirror.agrees(&pools)?;
        }
        // Half of the low pool through a tube, then the rest through a plug there.
        let low = sump.lowest_point(LEVEL).unwrap();
        let tube = pools.tube(low).unwrap();
        let half = pools.reach(&tube) / 2.0;
        let came = pools.withdraw_through(&tube, half, &mut |flow| mirror.hear(flow));
        prop_assert!((came - half).abs() <= 1e-15);
        mirror.agrees(&pools)?;
        pools.turn_with(at(p, r), &mut |flow| mirror.hear(flow)).unwrap();
        mirror.agrees(&pools)?;
        let plug = Plug::new(low, Length::new::<millimeter>(2.0), Length::default(), Plug::DOWN).unwrap();
        let holes = pools.holes(&[plug]).unwrap();
        let left = pools.drain_through(&holes, &mut |flow| mirror.hear(flow));
        prop_assert!((left + came - sum(mirror.gone)).abs() <= 1e-12 * sump.capacity_si());
        mirror.agrees(&pools)?;
        for (k, total) in total.iter().enumerate() {
            let kept: f64 = mirror.pools.values().map(|v| v[k]).sum();
            prop_assert!((kept + mirror.gone[k] - total).abs() <= 1e-12 * sump.capacity_si());
        }
    }
}

#[test]
fn pools_from_their_volumes() {
    let twin = twin_well();
    let l = Volume::new::<liter>;
    let wells = twin.basins(LEVEL).unwrap();
    for poured in [[0.4, 0.1], [3.0, 0.0]] {
        let mut pools = Pools::empty(&twin, LEVEL).unwrap();
        for (well, litres) in wells.iter().zip(poured) {
            pools.pour(well.lowest_point, l(litres)).unwrap();
        }
        let pairs: Vec<_> = pools.list().unwrap().iter().map(|p| (p.basin, p.volume)).collect();
        assert_eq!(Pools::from_volumes(&twin, &pairs, LEVEL).unwrap(), pools);
        assert_ne!(Pools::empty(&twin, LEVEL).unwrap(), pools);
    }
    let sump = ribbed(0.004, 0.010);
    let refused = |pairs: &[(usize, f64)]| {
        let pairs: Vec<_> = pairs.iter().map(|(n, v)| (*n, l(*v))).collect();
        Pools::from_volumes(&sump, &pairs, LEVEL).unwrap_err()
    };
    assert!(matches!(refused(&[(3, 0.1)]), GeometryError::NoSuchBasin { basin: 3, basins: 3 }));
    assert!(matches!(refused(&[(0, 0.3)]), GeometryError::PoolOutside { basin: 0, .. }));
    assert!(matches!(refused(&[(2, 0.3)]), GeometryError::PoolOutside { basin: 2, .. }));
    assert!(matches!(refused(&[(0, 0.1), (2, 2.0)]), GeometryError::PoolsOverlap { basin: 2, other: 0 }));
    assert!(matches!(refused(&[(2, 2.0), (1, 0.1)]), GeometryError::PoolsOverlap { basin: 1, other: 2 }));
    assert!(matches!(refused(&[(0, f64::NAN)]), GeometryError::Quantity(_)));
    let mut pools = Pools::empty(&sump, LEVEL).unwrap();
    assert!(matches!(pools.pool_over(9), Err(GeometryError::NoSuchBasin { .. })));
    assert!(matches!(pools.pour_into(9, 0.0, &mut |_| {}), Err(GeometryError::NoSuchBasin { .. })));
}

/// 0.1 L before the rib: nose up by 10 deg some of it runs over (closed form) and does not come back; by 1 deg nothing does.
#[test]
fn hysteresis_is_reported_where_it_is_real() {
    let sump = ribbed(0.004, 0.010);
    let mut pools = Pools::empty(&sump, LEVEL).unwrap();
    pools.pour(Point::from_mm([250.0, 120.0, 90.0]).unwrap(), Volume::new::<liter>(0.1)).unwrap();
    let little = pools.hysteresis(at(1.0, 0.0)).unwrap();
    assert!(!little.real && little.moved.get::<liter>() < 1e-9, "{little:?}");
    let much = pools.hysteresis(at(10.0, 0.0)).unwrap();
    let stays = 0.010 * 0.010 / (2.0 * f64::to_radians(10.0).tan()) * 0.2 * 1e3;
    assert!(much.real && (much.moved.get::<liter>() - (0.1 - stays)).abs() < 1e-9, "{much:?}");
    assert_eq!(pools.attitude(), LEVEL);
    // Where one pool stands over the rib before and after, turning far enough to part it loses nothing in the end.
    pools.pour(Point::from_mm([250.0, 120.0, 90.0]).unwrap(), Volume::new::<liter>(1.5)).unwrap();
    let whole = pools.hysteresis(at(20.0, 0.0)).unwrap();
    assert!(!whole.real && whole.moved.get::<liter>() < 1e-9, "{whole:?}");
}
