//! Clocks of return on reduced time: how much of a pool or a film is left after a rest, while everything cools.

#![allow(clippy::inline_always)] // so that it is compiled for the widest instructions

use super::oil::Oil;
use crate::circuit::{STATED_VISCOSITY, StorePlaces};
use crate::numeric::exponential::exp;
use crate::numeric::lanes::Lanes;

/// Newton's cooling: `T(t) = T_a + (T(0) - T_a) exp(-t/time)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Cooling<X = f64> {
    pub time: X,
    pub ambient: X,
}

impl<X: Lanes> Cooling<X> {
    /// What is left of an excess over the ambient after a time: `exp(-t/time)`.
    pub(super) fn left(self, t: X) -> X {
        X::widely(
            #[inline(always)]
            || exp(-t / self.time),
        )
    }

    /// Temperature when that much of the excess is left.
    #[inline(always)]
    pub(super) fn at(self, temperature_c: X, left: X) -> X {
        self.ambient + (temperature_c - self.ambient) * left
    }

    /// Temperature after a time.
    #[cfg(test)]
    fn after(self, temperature_c: X, t: X) -> X {
        self.at(temperature_c, self.left(t))
    }

    fn lane(self, i: usize) -> Cooling {
        Cooling { time: self.time.lane(i), ambient: self.ambient.lane(i) }
    }
}

/// Share of a pool left after a rest: `exp(-∫ dt / (inertia_time + pool_time ν/ν0))`; without inertia that is
/// `exp(-∫ dt/ν / (pool_time/ν0))`.
#[inline(always)]
pub(super) fn pool_left<X: Lanes>(clock: PoolClock<X>, fall: &Fall<X>) -> X {
    let prompt = |inertia: f64| inertia == 0.0;
    let parts = if clock.inertia_time.all(prompt) {
        promptly(clock, fall)
    } else if clock.inertia_time.any(prompt) {
        let (prompt, slow) = (promptly(clock, fall), slowly(clock, fall));
        X::from_lanes(|i| if clock.inertia_time.lane(i) == 0.0 { prompt.lane(i) } else { slow.lane(i) })
    } else {
        slowly(clock, fall)
    };
    exp(-parts)
}

/// `∫ dt/ν / (pool_time/ν0)`.
#[inline(always)]
fn promptly<X: Lanes>(clock: PoolClock<X>, fall: &Fall<X>) -> X {
    fall.per_nu / (clock.pool_time / STATED_VISCOSITY).at_least(f64::MIN_POSITIVE)
}

/// `∫ dt / (inertia_time + pool_time ν/ν0)`.
#[inline(always)]
fn slowly<X: Lanes>(clock: PoolClock<X>, fall: &Fall<X>) -> X {
    let (inertia, per_nu) =
        (clock.inertia_time.at_least(f64::MIN_POSITIVE), clock.pool_time.at_least(0.0) / STATED_VISCOSITY);
    fall.known().iter().fold(X::splat(0.0), |sum, (nu, weight)| sum + *weight / (inertia + per_nu * *nu))
}

/// Least time of a film, so that its age stays a number (s).
const LEAST_FILM_TIME: f64 = 1e-12;

/// Age that a film gains in a rest: `∫ dt / (film_time ν/ν0) = ∫ dt/ν / (film_time/ν0)`.
#[inline(always)]
pub(super) fn aged<X: Lanes>(film_time: X, fall: &Fall<X>) -> X {
    fall.per_nu / (film_time.at_least(LEAST_FILM_TIME) / STATED_VISCOSITY)
}

/// Share of a film left when its age grows: `√((1 + before) / (1 + after))`, the `s^(-1/2)` of a draining wall
/// (Jeffreys 1930) started from a finite film.
#[inline(always)]
pub(super) fn film_left<X: Lanes>(before: X, after: X) -> X {
    let one = X::splat(1.0);
    ((one + before) / (one + after)).map(f64::sqrt)
}

/// Time scales of a pool's return.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PoolClock<X = f64> {
    pub inertia_time: X,
    pub pool_time: X,
}

impl<X: Lanes> PoolClock<X> {
    pub(super) fn of(store: &StorePlaces, inputs: &[X]) -> Self {
        Self { inertia_time: inputs[store.inputs.inertia_time], pool_time: inputs[store.inputs.pool_time] }
    }
}

/// How the oil thickens in a rest, for everything that starts at one temperature.
///
/// With `u = exp(-t'/τ)` an integral over the rest is `∫ rate(ν(T(t'))) dt' = rate(ν(T_a)) t + τ ∫ (rate(ν(T)) -
/// rate(ν(T_a)))/u du` from `exp(-t/τ)` to 1, whose integrand is smooth: Gauss-Legendre with 4, 8 or 24 points for a fall of
/// at most 4 K, at most 30 K or more, each right to 1e-11 (test `reduced_time_for_every_fall`). In a short rest it is
/// `τ ∫ rate(ν(T))/u du` itself, where the two terms would nearly cancel. Without cooling, or at ambient temperature,
/// nothing is integrated.
#[derive(Debug, Clone)]
pub(super) struct Fall<X = f64> {
    from: X,
    time: X,
    cooling: Option<Cooling<X>>,
    /// What is left of an excess over the ambient in the end, where it cools.
    left: X,
    /// `∫ dt/ν(T(t))` (s2/m2).
    per_nu: X,
    /// Viscosity in the end, then at each point, and what it weighs (s); beyond those of a draw it weighs nothing.
    points: [(X, X); 25],
    /// How many of them.
    count: usize,
}

impl<X: Lanes> Fall<X> {
    /// One that is not known.
    pub(super) fn unknown() -> Self {
        let (zero, nothing) = (X::splat(0.0), X::splat(f64::NAN));
        let points = [(X::splat(1.0), zero); 25];
        Self { from: nothing, time: zero, cooling: None, left: X::splat(1.0), per_nu: zero, points, count: 1 }
    }

    /// It is not known any more, as the oil has changed.
    pub(super) fn forget(&mut self) {
        self.from = X::splat(f64::NAN);
    }

    #[cfg(test)]
    fn new(oil: &Oil<X>, from: X, time: X, cooling: Option<Cooling<X>>) -> Self {
        let mut fall = Self::unknown();
        Falls::new(oil, time, cooling, &mut fall).from(from);
        fall
    }

    /// It is of a rest of this time from now on, and known only where it was before.
    fn last(&mut self, time: X, cooling: Option<Cooling<X>>) {
        if self.time == time && self.cooling == cooling {
            return;
        }
        self.forget();
        self.left = cooling.map_or(X::splat(1.0), |cooling| cooling.left(time));
        (self.time, self.cooling) = (time, cooling);
    }

    /// Works it out for a temperature at the start. Where nothing cools that is soon done.
    #[inline(always)]
    fn look_at(&mut self, oil: &Oil<X>, from: X) {
        if self.cooling.is_some_and(|cooling| cooling.ambient != from) {
            return self.work_out(oil, from);
        }
        (self.from, self.count) = (from, 1);
        let (nu, weight) = (oil.nu(from), self.time.at_least(0.0));
        self.points[0] = (nu, weight);
        self.per_nu = X::splat(0.0) + weight / nu;
    }

    #[inline(never)] // seldom, and long
    fn work_out(&mut self, oil: &Oil<X>, from: X) {
        (self.from, self.count) = (from, 1);
        self.weigh(oil, from);
        X::widely(
            #[inline(always)]
            || self.per_nu = self.known().iter().fold(X::splat(0.0), |sum, (nu, weight)| sum + *weight / *nu),
        );
    }

    /// The points and what they weigh.
    fn weigh(&mut self, oil: &Oil<X>, from: X) {
        let time = self.time;
        let Some(cooling) = self.cooling.filter(|c| c.ambient != from && time.any(|t| t > 0.0)) else {
            self.points[0] = (oil.nu(from), time.at_least(0.0));
            return;
        };
        if self.cool_together(oil, cooling) {
            return;
        }
        self.points.iter_mut().for_each(|point| point.1 = X::splat(0.0));
        (0..X::COUNT).for_each(|i| self.cool(oil, cooling.lane(i), i));
    }

    /// The points of all draws, where all cool and one rule serves them: with the bits of [`Fall::cool`].
    fn cool_together(&mut self, oil: &Oil<X>, cooling: Cooling<X>) -> bool {
        let (excess, low) = (self.from - cooling.ambient, self.left);
        let falls = excess * (X::splat(1.0) - low);
        let rule = rule_for(falls.lane(0).abs());
        let one_rule = falls.all(|fall| rule_for(fall.abs()).len() == rule.len());
        if !one_rule || excess.any(|excess| excess == 0.0) || self.time.any(|time| time <= 0.0) {
            return false;
        }
        let (middle, half) = ((X::splat(1.0) + low) * 0.5, (X::splat(1.0) - low) * 0.5);
        let mut all = X::splat(0.0);
        for (pair, (x, w)) in self.points[1..].chunks_exact_mut(2).zip(rule) {
            for (point, u) in pair.iter_mut().zip([middle - half * *x, middle + half * *x]) {
                let weight = cooling.time * half * *w / u;
                *point = (cooling.ambient + excess * u, weight);
                all += weight;
            }
        }
        self.count = 1 + 2 * rule.len();
        oil.thicken(&mut self.points[1..self.count]);
        let rest = (self.time - all).with(low, |rest, low| if low < SHORT { rest } else { 0.0 });
        self.points[0] = (oil.nu(cooling.ambient), rest);
        true
    }

    /// The points of one draw.
    fn cool(&mut self, oil: &Oil<X>, cooling: Cooling, i: usize) {
        let (from, time) = (self.from.lane(i), self.time.lane(i));
        let excess = from - cooling.ambient;
        if excess == 0.0 || time <= 0.0 {
            self.set_end(i, oil.nu_of(i, from), time.max(0.0));
            return;
        }
        let low = self.left.lane(i);
        let (middle, half) = (0.5 * (1.0 + low), 0.5 * (1.0 - low));
        let rule = rule_for((excess * (1.0 - low)).abs());
        let mut all = 0.0;
        for (pair, (x, w)) in self.points[1..].chunks_exact_mut(2).zip(rule) {
            for (point, u) in pair.iter_mut().zip([middle - half * x, middle + half * x]) {
                let weight = cooling.time * half * w / u;
                point.0.set_lane(i, oil.line(i).nu(cooling.ambient + excess * u));
                point.1.set_lane(i, weight);
                all += weight;
            }
        }
        self.count = self.count.max(1 + 2 * rule.len());
        self.set_end(i, oil.nu_of(i, cooling.ambient), if low < SHORT { time - all } else { 0.0 });
    }

    fn set_end(&mut self, i: usize, nu: f64, weight: f64) {
        self.points[0].0.set_lane(i, nu);
        self.points[0].1.set_lane(i, weight);
    }

    /// Viscosities that are known, with what they weigh.
    #[inline]
    fn known(&self) -> &[(X, X)] {
        &self.points[..self.count]
    }
}

/// A rest is short while more than this is left of the excess over the ambient.
const SHORT: f64 = 0.95;

/// The falls of one rest; most places start it at one temperature, so only the latest is kept.
#[derive(Debug)]
pub(super) struct Falls<'a, X: Lanes = f64> {
    oil: &'a Oil<X>,
    latest: &'a mut Fall<X>,
}

impl<'a, X: Lanes> Falls<'a, X> {
    /// `latest` is that of the same rest in an earlier run, or unknown.
    pub(super) fn new(oil: &'a Oil<X>, time: X, cooling: Option<Cooling<X>>, latest: &'a mut Fall<X>) -> Self {
        latest.last(time, cooling);
        Self { oil, latest }
    }

    /// The fall from a temperature (°C).
    #[inline(always)]
    pub(super) fn from(&mut self, temperature_c: X) -> &Fall<X> {
        if self.latest.from != temperature_c {
            self.latest.look_at(self.oil, temperature_c);
        }
        self.latest
    }

    /// What is left of an excess over the ambient in the end.
    pub(super) fn left(&self) -> X {
        self.latest.left
    }
}

/// Which rule a fall (K) needs.
fn rule_for(fall: f64) -> &'static [(f64, f64)] {
    match fall {
        f if f <= 4.0 => &FOUR,
        f if f <= 30.0 => &EIGHT,
        _ => &TWENTY_FOUR,
    }
}

// Positive nodes and weights of the Gauss-Legendre rules (computed by `numpy.polynomial.legendre.leggauss`).
const FOUR: [(f64, f64); 2] = [(0.33998104358485626, 0.6521451548625464), (0.8611363115940526, 0.34785484513745357)];
const EIGHT: [(f64, f64); 4] = [
    (0.18343464249564978, 0.36268378337836166),
    (0.525532409916329, 0.3137066458778869),
    (0.7966664774136267, 0.22238103445337443),
    (0.9602898564975362, 0.10122853629037706),
];
const TWENTY_FOUR: [(f64, f64); 12] = [
    (0.06405689286260563, 0.12793819534675202),
    (0.1911188674736163, 0.12583745634682825),
    (0.3150426796961634, 0.1216704729278033),
    (0.4337935076260451, 0.11550566805372552),
    (0.5454214713888396, 0.10744427011596556),
    (0.6480936519369755, 0.09761865210411393),
    (0.7401241915785544, 0.0861901615319532),
    (0.820001985973903, 0.07334648141108016),
    (0.8864155270044011, 0.05929858491543636),
    (0.9382745520027328, 0.04427743881741941),
    (0.9747285559713095, 0.02853138862893356),
    (0.9951872199970213, 0.01234122979998869),
];

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;
    use crate::fluid::{FuelExpansion, OilModel};

    fn oil() -> Oil {
        Oil::new(OilModel::new(868.0, 95e-6, 14.3e-6).unwrap(), FuelExpansion::diesel())
    }

    const COOLING: Option<Cooling> = Some(Cooling { time: 2400.0, ambient: 20.0 });

    /// Reference: composite midpoint rule in time, a million steps.
    #[test]
    fn reduced_time_while_cooling() {
        let oil = oil();
        for (t0, t) in [(90.0, 60.0), (90.0, 3600.0), (90.0, 86400.0), (-10.0, 1800.0), (120.0, 600.0)] {
            let n = 1_000_000;
            let dt = t / f64::from(n);
            let sum: f64 = (0..n)
                .map(|i| {
                    let temperature = COOLING.unwrap().after(t0, (f64::from(i) + 0.5) * dt);
                    dt / (60.0 * oil.line(0).nu(temperature) / STATED_VISCOSITY)
                })
                .sum();
            assert_relative_eq!(aged(60.0, &Fall::new(&oil, t0, t, COOLING)), sum, max_relative = 2e-8);
        }
    }

    /// The rule chosen for a fall against composite 24-point rules over a fortieth of the rest each, for thick and thin oils.
    #[test]
    fn reduced_time_for_every_fall() {
        for (kv40, kv100) in [(95e-6, 14.3e-6), (220e-6, 19e-6), (30e-6, 5.2e-6)] {
            let oil = Oil::new(OilModel::new(868.0, kv40, kv100).unwrap(), FuelExpansion::diesel());
            for (from, t) in [-20.0, 0.0, 22.0, 60.0, 90.0, 130.0]
                .into_iter()
                .flat_map(|from| [1.0, 30.0, 100.0, 115.0, 300.0, 900.0, 7200.0, 86400.0].map(|t| (from, t)))
            {
                let whole = aged(60.0, &Fall::new(&oil, from, t, COOLING));
                let part = |i: i32| all_points(&oil, COOLING.unwrap().after(from, f64::from(i) * t / 40.0), t / 40.0);
                let parts: f64 = (0..40).map(|i| aged(60.0, &part(i))).sum();
                assert_relative_eq!(whole, parts, max_relative = 1e-11);
            }
        }
    }

    /// A fall by 24 points of `τ ∫ rate(ν(T))/u du`, however small it is.
    fn all_points(oil: &Oil, from: f64, time: f64) -> Fall {
        let c = COOLING.unwrap();
        let low = (-time / c.time).exp();
        let (middle, half) = (0.5 * (1.0 + low), 0.5 * (1.0 - low));
        let at = |u: f64, w: f64| (oil.line(0).nu(c.ambient + (from - c.ambient) * u), c.time * half * w / u);
        let mut points = [(1.0, 0.0); 25];
        for (pair, (x, w)) in points[1..].chunks_exact_mut(2).zip(TWENTY_FOUR) {
            pair.copy_from_slice(&[at(middle - half * x, w), at(middle + half * x, w)]);
        }
        let mut fall = Fall { points, count: 25, ..Fall::unknown() };
        fall.per_nu = points.iter().map(|(nu, weight)| weight / nu).sum();
        fall
    }

    /// Dividing a rest changes nothing.
    #[test]
    fn a_divided_rest() {
        let oil = oil();
        let clock = PoolClock { inertia_time: 1.0, pool_time: 90.0 };
        let left = |from, t, cooling| pool_left(clock, &Fall::<f64>::new(&oil, from, t, cooling));
        let aged = |from, t| aged(60.0, &Fall::new(&oil, from, t, COOLING));
        let warm = COOLING.unwrap().after(90.0, 250.0);
        let parts = left(90.0, 250.0, COOLING) * left(warm, 350.0, COOLING);
        assert_relative_eq!(left(90.0, 600.0, COOLING), parts, max_relative = 1e-9);
        assert_relative_eq!(aged(90.0, 600.0), aged(90.0, 250.0) + aged(warm, 350.0), max_relative = 1e-9);
        assert_relative_eq!(left(20.0, 600.0, COOLING), left(20.0, 600.0, None));
    }
}
