//! Clocks of return on reduced time: how much of a pool or a film is left after a rest, while everything cools.

use super::oil::Oil;
use crate::circuit::StorePlaces;

/// Viscosity at which the time scales of a store are stated: 100 mm2/s.
pub(super) const STATED_VISCOSITY: f64 = 100e-6;

/// Newton's cooling: `T(t) = T_a + (T(0) - T_a) exp(-t/time)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Cooling {
    pub time: f64,
    pub ambient: f64,
}

impl Cooling {
    /// Temperature after a time.
    pub(super) fn after(self, temperature_c: f64, t: f64) -> f64 {
        self.ambient + (temperature_c - self.ambient) * (-t / self.time).exp()
    }
}

/// Share of a pool left after a rest: `exp(-∫ dt / (inertia_time + pool_time ν/ν0))`.
pub(super) fn pool_left(clock: PoolClock, oil: &Oil, temperature_c: f64, t: f64, cooling: Option<Cooling>) -> f64 {
    if t <= 0.0 {
        return 1.0;
    }
    let rate = |nu: f64| 1.0 / (clock.inertia_time + clock.pool_time * nu / STATED_VISCOSITY).max(f64::MIN_POSITIVE);
    (-over_rest(oil, rate, temperature_c, t, cooling)).exp()
}

/// Age that a film gains in a rest: `∫ dt / (film_time ν/ν0)`.
pub(super) fn aged(film_time: f64, oil: &Oil, temperature_c: f64, t: f64, cooling: Option<Cooling>) -> f64 {
    if t <= 0.0 {
        return 0.0;
    }
    let rate = |nu: f64| 1.0 / (film_time * nu / STATED_VISCOSITY).max(1e-12);
    over_rest(oil, rate, temperature_c, t, cooling)
}

/// Share of a film left when its age grows: `√((1 + before) / (1 + after))`, the `s^(-1/2)` of a draining wall
/// (Jeffreys 1930) started from a finite film.
pub(super) fn film_left(before: f64, after: f64) -> f64 {
    ((1.0 + before) / (1.0 + after)).sqrt()
}

/// Time scales of a pool's return.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PoolClock {
    pub inertia_time: f64,
    pub pool_time: f64,
}

impl PoolClock {
    pub(super) fn of(store: &StorePlaces, inputs: &[f64]) -> Self {
        Self { inertia_time: inputs[store.inputs.inertia_time], pool_time: inputs[store.inputs.pool_time] }
    }
}

/// `∫ rate(ν(T(t'))) dt'` over a rest of length `t`.
///
/// With `u = exp(-t'/τ)` it is `rate(ν(T_a)) t + τ ∫ (rate(ν(T)) - rate(ν(T_a)))/u du` from `exp(-t/τ)` to 1, whose
/// integrand is smooth; Gauss-Legendre with 24 points. Without cooling, or at ambient temperature, nothing is integrated.
fn over_rest(oil: &Oil, rate: impl Fn(f64) -> f64, temperature_c: f64, t: f64, cooling: Option<Cooling>) -> f64 {
    let Some(cooling) = cooling.filter(|c| c.ambient != temperature_c) else {
        return rate(oil.nu(temperature_c)) * t;
    };
    let in_the_end = rate(oil.nu(cooling.ambient));
    let excess = temperature_c - cooling.ambient;
    let low = (-t / cooling.time).exp();
    let (middle, half) = (0.5 * (1.0 + low), 0.5 * (1.0 - low));
    let quotient = |u: f64| (rate(oil.model().nu(cooling.ambient + excess * u)) - in_the_end) / u;
    let sum: f64 = (NODES.iter()).map(|(x, w)| w * (quotient(middle + half * x) + quotient(middle - half * x))).sum();
    in_the_end * t + cooling.time * half * sum
}

/// Positive nodes and weights of the Gauss-Legendre rule with 24 points (computed by `numpy.polynomial.legendre.leggauss`).
const NODES: [(f64, f64); 12] = [
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
                    dt / (60.0 * oil.model().nu(temperature) / STATED_VISCOSITY)
                })
                .sum();
            assert_relative_eq!(aged(60.0, &oil, t0, t, COOLING), sum, max_relative = 2e-8);
        }
    }

    /// Dividing a rest changes nothing.
    #[test]
    fn a_divided_rest() {
        let oil = oil();
        let clock = PoolClock { inertia_time: 1.0, pool_time: 90.0 };
        let whole = pool_left(clock, &oil, 90.0, 600.0, COOLING);
        let warm = COOLING.unwrap().after(90.0, 250.0);
        let parts = pool_left(clock, &oil, 90.0, 250.0, COOLING) * pool_left(clock, &oil, warm, 350.0, COOLING);
        assert_relative_eq!(whole, parts, max_relative = 1e-9);
        let film = aged(60.0, &oil, 90.0, 250.0, COOLING) + aged(60.0, &oil, warm, 350.0, COOLING);
        assert_relative_eq!(aged(60.0, &oil, 90.0, 600.0, COOLING), film, max_relative = 1e-9);
        assert_relative_eq!(pool_left(clock, &oil, 20.0, 600.0, COOLING), pool_left(clock, &oil, 20.0, 600.0, None));
    }
}
