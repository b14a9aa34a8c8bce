//! Readings over use: the rate at which oil is lost or gained, where it changed, and when a mark is reached.

mod fit;
mod result;
mod series;
#[cfg(test)]
mod tests;

use uom::si::f64::{Length, Volume};

pub use result::{Mark, Reach, Trend};

use super::draws::Numbers;
use super::noise::{self, reading_noise};
use crate::Error;
use crate::numeric::check;
use crate::units::{self, Value};
use fit::Posterior;
use series::Series;

/// What is known besides the readings.
#[derive(Debug, Clone, PartialEq)]
pub struct TrendOptions {
    /// Volume per length of blade (1 m2 is 1000 mL per mm).
    pub per_blade: Value<units::Area>,
    /// MIN and MAX, from the tip along the blade; both or neither.
    pub marks: Option<[Value<units::Length>; 2]>,
    /// True volume = this times what the jug says of an addition; all additions share its error.
    pub jug_scale: Value<units::Ratio>,
    /// Standard deviation of one reading.
    pub scatter: Value<units::Length>,
    /// Standard deviation of the priors of what is lost or gained over the whole record, of its change, and of a jump (m3).
    pub prior_change: f64,
    /// Prior probability that the rate changes once.
    pub probability_change: f64,
    /// Prior probability of one jump that nobody recorded.
    pub probability_jump: f64,
    /// Coverage probability of every band.
    pub coverage: f64,
    /// Draws.
    pub draws: usize,
    /// Seed.
    pub seed: u64,
}

impl TrendOptions {
    /// With this volume per length of blade: no marks, an exact jug, [`reading_noise`], priors of 2 L, 20 % for a changed
    /// rate and 10 % for a jump (judgement), 95 %, 10 000 draws, seed 1.
    pub fn new(per_blade: Value<units::Area>) -> Self {
        Self {
            per_blade,
            marks: None,
            jug_scale: Value::constant(1.0),
            scatter: reading_noise(),
            prior_change: 2e-3,
            probability_change: 0.2,
            probability_jump: 0.1,
            coverage: 0.95,
            draws: 10_000,
            seed: 1,
        }
    }
}

/// Fits readings over use.
///
/// With `t` the use since the first reading as a share of the record and `A_i` what had been added before reading `i`,
///
/// `s_i = s_0 + κ A_i + ρ t_i + e_i`, or `+ δ max(0, t_i - τ)` (the rate changes once), or `+ J [t_i > τ]` (a jump nobody recorded),
///
/// `κ = c/m` with `m` the volume per length of blade and `c` the jug's scale. All coefficients have normal priors, so that for a given
/// `τ` and scatter the posterior and the marginal likelihood are exact (Bayesian linear regression: Gelman et al., Bayesian Data Analysis, 3rd ed., 14.8);
/// `τ` (uniform over the record; for a jump only the gap between readings counts), the scatter and the three models are summed over:
/// the single change point of Smith, Biometrika 62 (1975) 407-416. `per_blade` and `jug_scale` count by mean and standard uncertainty.
///
/// An addition at the place of a reading was made after that reading. At most 500 readings and 500 additions.
pub fn trend(
    over: &[f64],
    reading: &[Length],
    added: &[(f64, Volume)],
    options: &TrendOptions,
) -> Result<Trend, Error> {
    checked(options)?;
    let series = Series::new(over, reading, added)?;
    let nodes = noise::nodes(&options.scatter);
    let posterior = Posterior::new(&series, &nodes, options)?;
    let draws = posterior.draw(&mut Numbers::new(options.seed, "trend"));
    Ok(Trend::new(series, draws, options))
}

fn checked(options: &TrendOptions) -> Result<(), Error> {
    check::in_range("ml_per_mm", options.per_blade.nominal() * 1e3, 0.01, 1e5, "mL/mm")?;
    options.jug_scale.check("jug_scale", 0.5, 2.0, "1")?;
    options.scatter.check("scatter_mm", 0.0, 100.0, "mm")?;
    check::in_range("scatter_mm", options.scatter.nominal() * 1e3, 1e-3, 100.0, "mm")?;
    check::in_range("prior_change_l", options.prior_change * 1e3, 1e-3, 1e4, "L")?;
    check::in_range("probability_change", options.probability_change, 0.0, 1.0, "1")?;
    let most = 1.0 - options.probability_change;
    check::in_range("probability_jump", options.probability_jump, 0.0, most, "1")?;
    check::in_range("coverage", options.coverage, 0.5, 0.999, "1")?;
    check::in_range("draws", options.draws as f64, 100.0, 1e6, "1")?;
    if let Some([min, max]) = &options.marks {
        let (low, high) = (min.nominal(), max.nominal());
        if low >= high {
            let reason = format!("min_mm = {} mm is not below max_mm = {} mm", low * 1e3, high * 1e3);
            return Err(super::LearnError::Marks { reason }.into());
        }
    }
    Ok(())
}
