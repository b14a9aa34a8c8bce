//! What a drain left, from what was in and what was weighed out.

use std::fmt;

use serde_json::Value as Json;
use uom::si::f64::Mass;
use uom::si::mass::kilogram;

use super::draws::{Numbers, cumulate, pick};
use super::{Band, LearnError};
use crate::Error;
use crate::numeric::check;
use crate::units::{self, Distribution, Value};

/// Most services.
const MOST: usize = 500;
/// Most that can be drained beyond what was in before it counts as a contradiction, in standard uncertainties.
const BEYOND: f64 = 3.0;
/// Median of the scatter of residues from service to service, as a share of what was held, and standard deviation of its
/// logarithm, where nothing is said: 95 % from 0.25 to 4 % (judgement).
const SERVICE_SCATTER: (f64, f64) = (0.01, 0.7);
/// Equally probable values of that scatter.
const NODES: u32 = 400;
/// Least standard deviation of a service (m3), so that exact numbers have a likelihood.
const LEAST: f64 = 1e-9;

/// What is known besides the drained masses.
#[derive(Debug, Clone, PartialEq)]
pub struct WeighedOptions {
    /// In the circuit before each drain, the filter's content included; its error is shared by all services.
    pub held: Value<units::Volume>,
    /// Standard uncertainty of that for each single service, such as of the reading before (m3).
    pub held_scatter: f64,
    /// Density of the old oil at the temperature for which `held` is meant; its error is shared.
    pub density: Value<units::Density>,
    /// True mass over what the scale shows; shared.
    pub scale: Value<units::Ratio>,
    /// Standard deviation of the residue from service to service: temperature, time, how it stood.
    pub service_scatter: Value<units::Volume>,
    /// Standard uncertainty of a single weighing, tare included (kg).
    pub weighing: f64,
    /// What went away inside the filter; shared.
    pub filter: Value<units::Volume>,
    /// Coverage probability of the bands.
    pub coverage: f64,
    /// Draws.
    pub draws: usize,
    /// Seed.
    pub seed: u64,
}

impl WeighedOptions {
    /// With these two: readings before it without scatter, residues that scatter lognormally with median 1 % of what was held and 0.7 as
    /// standard deviation of the logarithm (judgement), an exact scale, 5 g for a weighing (judgement), no filter taken off,
    /// 95 %, 10 000 draws, seed 1.
    pub fn new(held: Value<units::Volume>, density: Value<units::Density>) -> Self {
        let (median, sigma) = (SERVICE_SCATTER.0 * held.nominal(), SERVICE_SCATTER.1);
        let service_scatter = Distribution::log_normal("service_scatter", median, sigma)
            .map_or_else(|_| Value::constant(0.0), Value::from_distribution);
        Self {
            service_scatter,
            held,
            held_scatter: 0.0,
            density,
            scale: Value::constant(1.0),
            weighing: 5e-3,
            filter: Value::constant(0.0),
            coverage: 0.95,
            draws: 10_000,
            seed: 1,
        }
    }
}

/// Residue of drained and weighed services. Made by [`weighed_residue`].
#[derive(Debug, Clone, PartialEq)]
pub struct WeighedResidue {
    /// Residue of each service (m3).
    pub services: Vec<Band>,
    /// Mean residue of such drains (m3).
    pub mean: Band,
    /// Residue of the next such drain (m3).
    pub next: Band,
    /// Standard deviation from service to service (m3); None of one service.
    pub spread: Option<f64>,
    /// Shares of the variance of the mean, by input, to first order.
    pub shares: Vec<(&'static str, f64)>,
}

/// Finds the residue of drains whose oil was weighed.
///
/// `R_i = V_i - c m_i/ρ - F`: before each drain the circuit held `V`, the scale showed `m_i`, the filter took `F` away. Mass needs no temperature: with `ρ` at the temperature for
/// which `V` is meant, so is `R`. The errors of `V`, `ρ`, `c` and `F` are shared by all services and do not shrink with their number. What differs from service to service is
/// normal: the residue itself with `service_scatter`, whose prior the scatter of the masses sharpens (a hierarchical model: Gelman et al., Bayesian Data Analysis, 3rd ed., 5.4), the
/// weighing and the reading before it with their stated uncertainties. With a flat prior of the scatter's logarithm it would be Student's t of type A (JCGM 100 4.2),
/// which of two services knows next to nothing. Distributions are propagated by Monte Carlo (JCGM 101). At most 500 services.
///
/// ```
/// use fillmark::infer::learn::{WeighedOptions, weighed_residue};
/// use fillmark::units::Value;
/// use fillmark::uom::si::{f64::Mass, mass::kilogram};
/// let options = WeighedOptions::new(Value::parse("held", "7.9 L")?, Value::parse("density", "868 kg/m3")?);
/// let found = weighed_residue(&[Mass::new::<kilogram>(6.076)], &options)?;
/// assert!((found.mean.median - 0.9e-3).abs() < 1e-5);
/// # Ok::<(), fillmark::Error>(())
/// ```
pub fn weighed_residue(drained: &[Mass], options: &WeighedOptions) -> Result<WeighedResidue, Error> {
    let masses = checked(drained, options)?;
    let o = options;
    let (held, density, scale, filter) = (o.held.nominal(), o.density.nominal(), o.scale.nominal(), o.filter.nominal());
    let n = masses.len() as f64;
    let average = masses.iter().sum::<f64>() / n;
    let factor = scale / density;
    let single = o.held_scatter.hypot(factor * o.weighing);
    let spread = (masses.len() > 1)
        .then(|| (masses.iter().map(|m| (m - average).powi(2)).sum::<f64>() / (n - 1.0)).sqrt() * factor);
    let scatter = Scatter::of(o, spread, n, single);
    let shares = shares(o, average, scatter.variance() / n);
    let nominal = held - factor * average - filter;
    let u = shares.iter().map(|s| s.1).sum::<f64>().sqrt();
    if nominal < -BEYOND * u {
        let (drained, held) = (factor * average + filter, held);
        return Err(LearnError::MoreThanHeld { drained_l: drained * 1e3, held_l: held * 1e3, u_l: u * 1e3 }.into());
    }
    let mut numbers = Numbers::new(o.seed, "weighed");
    let mut columns = vec![Vec::with_capacity(o.draws); masses.len() + 2];
    for _ in 0..o.draws {
        let mut of = |d: &units::Distribution| d.at_score(numbers.normal());
        let (held, density, scale) =
            (of(o.held.distribution()), of(o.density.distribution()), of(o.scale.distribution()));
        let filter = of(o.filter.distribution());
        let residue = |m: f64| held - scale * m / density - filter;
        for (column, m) in columns.iter_mut().zip(&masses) {
            column.push(residue(*m) + single * numbers.normal());
        }
        let own = scatter.draw(&mut numbers);
        let mean = residue(average) + own.hypot(single) / n.sqrt() * numbers.normal();
        let next = mean + own * numbers.normal();
        columns[masses.len()].push(mean);
        columns[masses.len() + 1].push(next);
    }
    let mut bands: Vec<Band> = columns.iter_mut().map(|c| Band::of(c, o.coverage)).collect();
    let (next, mean) = (bands.remove(masses.len() + 1), bands.remove(masses.len()));
    let total = u * u;
    let shares = shares.into_iter().map(|(name, v)| (name, if total > 0.0 { v / total } else { 0.0 })).collect();
    Ok(WeighedResidue { services: bands, mean, next, spread, shares })
}

/// The scatter of the residue from service to service, as the masses leave it.
struct Scatter {
    /// Its values (m3), and what a service scatters by besides.
    values: Vec<f64>,
    single: f64,
    cumulative: Vec<f64>,
}

impl Scatter {
    /// Of `n` services the marginal likelihood of a scatter `σ`, with a flat prior of the mean, is proportional to
    /// `τ^(1-n) exp(-(n-1) s²/2τ²)`, `τ² = σ² + single²`.
    fn of(o: &WeighedOptions, spread: Option<f64>, n: f64, single: f64) -> Self {
        let prior = o.service_scatter.distribution();
        let count = if o.service_scatter.is_exact() { 1 } else { NODES };
        let value = |k: u32| prior.quantile((f64::from(k) + 0.5) / f64::from(count)).max(0.0);
        let values: Vec<f64> = (0..count).map(value).collect();
        let ln = |own: &f64| {
            let both = own.hypot(single).max(LEAST);
            spread.map_or(0.0, |s| (1.0 - n) * (both.ln() + 0.5 * (s / both).powi(2)))
        };
        let cumulative = cumulate(&values.iter().map(ln).collect::<Vec<_>>());
        Self { values, single, cumulative }
    }

    fn draw(&self, numbers: &mut Numbers) -> f64 {
        self.values[pick(&self.cumulative, numbers.uniform())]
    }

    /// Mean variance of a single service (m6).
    fn variance(&self) -> f64 {
        let (mut below, mut sum) = (0.0, 0.0);
        for (value, upto) in self.values.iter().zip(&self.cumulative) {
            sum += (upto - below) * (value * value + self.single * self.single);
            below = *upto;
        }
        sum / below
    }
}

/// Variances of the mean residue by input, to first order (JCGM 100, 5.1.2).
fn shares(o: &WeighedOptions, mass: f64, independent: f64) -> Vec<(&'static str, f64)> {
    let volume = o.scale.nominal() * mass / o.density.nominal();
    let parts = [
        ("held", o.held.standard_uncertainty()),
        ("density", volume * o.density.standard_uncertainty() / o.density.nominal()),
        ("scale", volume * o.scale.standard_uncertainty() / o.scale.nominal()),
        ("filter", o.filter.standard_uncertainty()),
        ("single services", independent.sqrt()),
    ];
    parts.into_iter().map(|(name, u)| (name, u * u)).collect()
}

fn checked(drained: &[Mass], o: &WeighedOptions) -> Result<Vec<f64>, Error> {
    if drained.is_empty() {
        return Err(LearnError::TooFew { what: "drained masses".into(), found: 0, needed: 1 }.into());
    }
    if drained.len() > MOST {
        return Err(LearnError::TooMany { what: "drained masses".into(), found: drained.len(), most: MOST }.into());
    }
    o.held.check("held_l", 0.0, 1e6, "L")?;
    o.density.check("density_kg_m3", 500.0, 1500.0, "kg/m3")?;
    o.scale.check("scale", 0.5, 2.0, "1")?;
    o.filter.check("filter_l", 0.0, 1e4, "L")?;
    check::in_range("held_scatter_l", o.held_scatter * 1e3, 0.0, 1e4, "L")?;
    o.service_scatter.check("service_scatter_l", 0.0, 1e4, "L")?;
    check::in_range("weighing_kg", o.weighing, 0.0, 1e4, "kg")?;
    check::in_range("coverage", o.coverage, 0.5, 0.999, "1")?;
    check::in_range("draws", o.draws as f64, 100.0, 1e6, "1")?;
    let one =
        |(i, m): (usize, &Mass)| Ok(check::in_range(&format!("drained_kg[{i}]"), m.get::<kilogram>(), 0.0, 1e6, "kg")?);
    drained.iter().enumerate().map(one).collect()
}

impl WeighedResidue {
    /// What of a circuit changes when the residue is put in, for [`Circuit::replace_json`](crate::circuit::Circuit::replace_json): `book.residue`.
    ///
    /// Where the book gives a dry capacity, that less the service capacity goes before it.
    pub fn changes(&self) -> Vec<(&'static str, Json)> {
        let (mean, u) = (self.mean.mean.max(0.0) * 1e3, self.mean.standard_uncertainty * 1e3);
        let text = if u > 0.0 { format!("truncated({mean:.5}, {u:.5}, 0, inf) L") } else { format!("{mean:.5} L") };
        vec![("book.residue", Json::from(text))]
    }
}

impl fmt::Display for WeighedResidue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = |b: &Band| format!("{:>7.3} L ({:.3} to {:.3})", b.median * 1e3, b.low * 1e3, b.high * 1e3);
        writeln!(f, "Residue of {} weighed drains", self.services.len())?;
        writeln!(f, "such drains, mean    {}", text(&self.mean))?;
        writeln!(f, "the next such drain  {}", text(&self.next))?;
        if let Some(s) = self.spread {
            writeln!(f, "scatter of services  {:>7.3} L", s * 1e3)?;
        }
        let shares = self.shares.iter().map(|(name, s)| format!("{name} {:.0} %", s * 100.0));
        write!(f, "variance of the mean: {}", shares.collect::<Vec<_>>().join(", "))
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    fn kg(v: &[f64]) -> Vec<Mass> {
        v.iter().map(|m| Mass::new::<kilogram>(*m)).collect()
    }

    /// Such drains do not differ, and the scale shows grams exactly.
    fn options(held: &str) -> WeighedOptions {
        let density = Value::parse("density", "900 kg/m3").unwrap();
        WeighedOptions {
            weighing: 0.0,
            service_scatter: Value::constant(0.0),
            ..WeighedOptions::new(Value::parse("held", held).unwrap(), density)
        }
    }

    /// The law of propagation of uncertainty (JCGM 100, 5.1.2): 6.3 kg at 900 kg/m3 are 7 L.
    #[test]
    fn one_service_by_hand() {
        let options = WeighedOptions {
            scale: Value::parse("scale", "1.000(2)").unwrap(),
            held_scatter: 0.04e-3,
            ..options("7.80(3) L")
        };
        let found = weighed_residue(&kg(&[6.3]), &options).unwrap();
        let u = f64::hypot(0.03, 0.04).hypot(7.0 * 0.002) * 1e-3;
        assert_relative_eq!(found.mean.mean, 0.8e-3, max_relative = 0.003);
        assert_relative_eq!(found.mean.standard_uncertainty, u, max_relative = 0.03);
        assert_relative_eq!(found.shares.iter().map(|s| s.1).sum::<f64>(), 1.0, max_relative = 1e-12);
    }

    /// Exact inputs, three services and a scatter of which nothing is known (a lognormal prior as good as flat): mean and
    /// Student interval (JCGM 100, 4.2.3 and G.3.2), t(0.975, 2) = 4.303.
    #[test]
    fn services_scatter() {
        let service_scatter = Value::parse("scatter", "lognormal(0.1, 12) L").unwrap();
        let options = WeighedOptions { draws: 200_000, service_scatter, ..options("7.8 L") };
        let found = weighed_residue(&kg(&[6.21, 6.30, 6.39]), &options).unwrap();
        let s = 0.1e-3;
        assert_relative_eq!(found.spread.unwrap(), s, max_relative = 1e-9);
        let half = 4.303 * s / 3f64.sqrt();
        assert_relative_eq!(0.5 * (found.mean.high - found.mean.low), half, max_relative = 0.02);
        assert_relative_eq!(0.5 * (found.next.high - found.next.low), 2.0 * half, max_relative = 0.02);
    }

    #[test]
    fn what_is_refused() {
        let code = |m: &[f64]| weighed_residue(&kg(m), &options("7.8 L")).unwrap_err().code();
        assert_eq!(code(&[]), "learn.too_few");
        assert_eq!(code(&[1.0; 501]), "learn.too_many");
        assert_eq!(code(&[8.0]), "learn.more_than_held");
        assert_eq!(code(&[-1.0]), "quantity.out_of_range");
    }
}
