//! What a store holds and how it returns where its file does not say: defaults by kind, each a judgement.

use super::spec::{StoreKind, StoreSpec};
use crate::units::{Distribution, Temperature, Time, Value, Volume};

/// Every quantity of a store, stated or by default.
#[derive(Debug, Clone, PartialEq)]
pub struct StoreValues {
    /// Volume that never returns.
    pub kept: Value<Volume>,
    /// Volume held beyond `kept` while the engine runs.
    pub running: Value<Volume>,
    /// The part of `running` that returns as a film.
    pub film: Value<Volume>,
    /// Time scale of the pool's return at 100 mm2/s.
    pub pool_time: Value<Time>,
    /// Time scale of the pool's return when the oil is very thin.
    pub inertia_time: Value<Time>,
    /// Time scale of the film's return at 100 mm2/s.
    pub film_time: Value<Time>,
    /// Temperature at which a thermostat opens.
    pub opens_at: Option<Value<Temperature>>,
}

/// Defaults of a kind: volumes as shares of the charge, times in s, the thermostat in °C.
struct Defaults {
    kept: f64,
    running: f64,
    film: f64,
    pool_time: f64,
    opens_at: Option<f64>,
}

/// Relative standard uncertainty of a default volume (judgement).
const RELATIVE: f64 = 0.35;

/// Viscosity at which the time scales of a store are stated: 100 mm2/s.
pub(crate) const STATED_VISCOSITY: f64 = 100e-6;

/// Time scale of a pool when the oil is very thin, s: return holes empty in about a second (judgement).
const INERTIA_TIME: f64 = 1.0;

/// Time scale of a film at 100 mm2/s, s (judgement): at 5 min about 40 % of it is left, as on 0.3 m of wall.
const FILM_TIME: f64 = 60.0;

/// Oil aloft is 5 to 10 % of the charge at idle (from memory); how it is shared out is a judgement. Return holes of a head
/// empty in seconds when thin and in tens of seconds when cold; a cooler empties slowly through its lines.
const fn defaults(kind: Option<StoreKind>) -> Defaults {
    match kind {
        None => Defaults { kept: 0.0, running: 0.0, film: 0.0, pool_time: 20.0, opens_at: None },
        Some(StoreKind::Head) => Defaults { kept: 0.01, running: 0.05, film: 0.015, pool_time: 12.0, opens_at: None },
        Some(StoreKind::Galleries) => {
            Defaults { kept: 0.01, running: 0.01, film: 0.0, pool_time: 20.0, opens_at: None }
        }
        Some(StoreKind::Cooler) => {
            Defaults { kept: 0.02, running: 0.015, film: 0.0, pool_time: 90.0, opens_at: Some(80.0) }
        }
        Some(StoreKind::Lines) => Defaults { kept: 0.01, running: 0.0, film: 0.0, pool_time: 20.0, opens_at: None },
        Some(StoreKind::Crankcase) => {
            Defaults { kept: 0.0, running: 0.025, film: 0.02, pool_time: 5.0, opens_at: None }
        }
    }
}

impl StoreValues {
    /// What of `running` is still aloft (m3) a time (s) after stopping, at nominal values and one viscosity (m2/s): of pool and
    /// film what a rest leaves.
    pub(crate) fn aloft(&self, wait: f64, nu: f64) -> f64 {
        let thick = nu / STATED_VISCOSITY;
        let running = self.running.nominal();
        let film = self.film.nominal().clamp(0.0, running);
        let clock = self.inertia_time.nominal() + self.pool_time.nominal() * thick;
        let age = wait / (self.film_time.nominal() * thick).max(f64::MIN_POSITIVE);
        (running - film) * (-wait / clock.max(f64::MIN_POSITIVE)).exp() + film / (1.0 + age).sqrt()
    }
}

impl StoreSpec {
    /// Every quantity: as stated, else the default of its kind for a circuit of this charge (m3).
    pub fn values(&self, charge: f64) -> StoreValues {
        let d = defaults(self.kind);
        let volume =
            |stated: &Option<Value<Volume>>, share: f64| stated.clone().unwrap_or_else(|| judged(share * charge));
        let time = |stated: &Option<Value<Time>>, s: f64| stated.clone().unwrap_or_else(|| Value::constant(s));
        let running = volume(&self.running, d.running);
        let film = self.film.clone().unwrap_or_else(|| judged((d.film * charge).min(running.nominal())));
        StoreValues {
            kept: volume(&self.kept, d.kept),
            running,
            film,
            pool_time: time(&self.pool_time, d.pool_time),
            inertia_time: time(&self.inertia_time, INERTIA_TIME),
            film_time: time(&self.film_time, FILM_TIME),
            opens_at: self.opens_at.clone().or_else(|| d.opens_at.map(Value::constant)),
        }
    }
}

/// A default volume (m3): normal, cut at nothing and at twice its value.
fn judged(volume: f64) -> Value<Volume> {
    if volume <= 0.0 {
        return Value::constant(0.0);
    }
    Distribution::truncated_normal("volume", volume, RELATIVE * volume, 0.0, 2.0 * volume)
        .map_or_else(|_| Value::constant(volume), Value::from_distribution)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The defaults together keep 5 to 12 % of the charge aloft at idle (5 to 10 %: from memory).
    #[test]
    fn default_stores_hold_a_tenth_of_the_charge_aloft() {
        let aloft: f64 = [StoreKind::Head, StoreKind::Galleries, StoreKind::Cooler, StoreKind::Crankcase]
            .into_iter()
            .map(|kind| StoreSpec { kind: Some(kind), ..StoreSpec::default() }.values(7e-3).running.nominal())
            .sum();
        assert!((0.05..=0.12).contains(&(aloft / 7e-3)), "{aloft}");
    }

    #[test]
    fn what_is_stated_goes_before_the_default() {
        let running = Value::parse("running", "0.2 L").unwrap();
        let spec = StoreSpec { kind: Some(StoreKind::Head), running: Some(running.clone()), ..StoreSpec::default() };
        let values = spec.values(7e-3);
        assert_eq!(values.running, running);
        assert!(!values.kept.is_exact() && values.opens_at.is_none());
        let bare = StoreSpec::default().values(7e-3);
        assert!(bare.kept.nominal() == 0.0 && bare.pool_time.nominal() == 20.0);
    }
}
