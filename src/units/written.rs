//! Text that the crate writes itself: it reads back to the same bits.

use super::dimension::DimensionId;
use super::distribution::Distribution;
use super::error::QuantityError;
use super::exact::{Unit, find_unit, unit_of};
use super::number::shortest;

/// How many neighbours of a converted number are tried, on either side.
const NEIGHBOURS: u32 = 4;

/// How much longer than in the stored unit a text may be for the sake of the default unit.
const PATIENCE: usize = 6;

/// A stored number as text in a unit, with the shortest digits within rounding (see [`Unit::shortest_from_si`]).
///
/// ```
/// use fillmark::units::{DimensionId, format_in};
/// assert_eq!(format_in(DimensionId::Volume, 6.9e-3, "L").unwrap(), "6.9 L");
/// ```
pub fn format_in(dimension: DimensionId, si: f64, unit_symbol: &str) -> Result<String, QuantityError> {
    let unit = find_unit(dimension.name(), unit_symbol, unit_symbol, dimension)?;
    Ok(with_unit(&shortest(unit.shortest_from_si(si)), unit.symbol()))
}

impl Unit {
    /// The number in this unit of a stored number, within two units in the last place of [`Unit::from_si`] and with
    /// the fewest digits: a conversion there and back gives the number that was typed.
    ///
    /// ```
    /// let litre = fillmark::units::unit("L").unwrap();
    /// assert_eq!(litre.from_si(6.9e-3), 6.8999999999999995);
    /// assert_eq!(litre.shortest_from_si(6.9e-3), 6.9);
    /// ```
    pub fn shortest_from_si(&self, si: f64) -> f64 {
        let guess = self.from_si(si);
        shortest_near(guess, 2, |_| true).unwrap_or(guess)
    }
}

/// The text of a distribution in the default unit if that reads back to the same bits and is not much longer, else in
/// the stored unit.
pub(crate) fn written_form(dimension: DimensionId, distribution: &Distribution) -> String {
    let stored = with_unit(&distribution.in_numbers(), dimension.stored_unit());
    let nice = unit_of(dimension, dimension.default_unit())
        .and_then(|unit| Some(with_unit(&in_unit(unit, distribution)?.in_numbers(), unit.symbol())));
    nice.filter(|text| text.len() <= stored.len() + PATIENCE).unwrap_or(stored)
}

/// A ratio is written without its unit `1`.
fn with_unit(numbers: &str, symbol: &str) -> String {
    if symbol == "1" { numbers.to_owned() } else { format!("{numbers} {symbol}") }
}

/// The distribution in the numbers of a unit, if those convert back to the same bits.
fn in_unit(unit: &Unit, distribution: &Distribution) -> Option<Distribution> {
    let point = |si: f64| if si.is_infinite() { Some(si) } else { point_in(unit, si) };
    let size = |d_si: f64, si: f64| {
        let x = point(si)?;
        shortest_back(unit.difference_from_si(d_si, si), d_si, |dx| unit.difference_to_si(dx, x))
    };
    Some(match *distribution {
        Distribution::Exact(x) => Distribution::Exact(point(x)?),
        Distribution::Normal { mean, sd } => Distribution::Normal { mean: point(mean)?, sd: size(sd, mean)? },
        Distribution::Rectangular { low, high } => Distribution::Rectangular { low: point(low)?, high: point(high)? },
        Distribution::Triangular { low, mode, high } => {
            Distribution::Triangular { low: point(low)?, mode: point(mode)?, high: point(high)? }
        }
        Distribution::LogNormal { median, sigma } => Distribution::LogNormal { median: point(median)?, sigma },
        Distribution::TruncatedNormal { mean, sd, low, high } => Distribution::TruncatedNormal {
            mean: point(mean)?,
            sd: size(sd, mean)?,
            low: point(low)?,
            high: point(high)?,
        },
        Distribution::InexactLimits { low, high, within } => Distribution::InexactLimits {
            low: point(low)?,
            high: point(high)?,
            within: size(within, f64::midpoint(low, high))?,
        },
        Distribution::Arcsine { low, high } => Distribution::Arcsine { low: point(low)?, high: point(high)? },
        Distribution::Beta { low, high, alpha, beta } => {
            Distribution::Beta { low: point(low)?, high: point(high)?, alpha, beta }
        }
        Distribution::Student { estimate, scale, dof } => {
            Distribution::Student { estimate: point(estimate)?, scale: size(scale, estimate)?, dof }
        }
        Distribution::Samples(ref values) => {
            Distribution::Samples(values.iter().map(|x| point(*x)).collect::<Option<_>>()?)
        }
    })
}

fn point_in(unit: &Unit, si: f64) -> Option<f64> {
    shortest_back(unit.from_si(si), si, |x| unit.to_si(x))
}

/// Of the numbers next to `guess` that `convert` maps onto exactly `target`, the one with the shortest text.
fn shortest_back(guess: f64, target: f64, convert: impl Fn(f64) -> f64) -> Option<f64> {
    shortest_near(guess, NEIGHBOURS, |x| convert(x).to_bits() == target.to_bits())
}

/// Of the finite numbers within `reach` neighbours of `guess` that fit, the one with the shortest text, the nearest
/// first.
fn shortest_near(guess: f64, reach: u32, fits: impl Fn(f64) -> bool) -> Option<f64> {
    let (mut down, mut up) = (guess, guess);
    let mut best: Option<(usize, f64)> = None;
    for _ in 0..=reach {
        for x in [down, up] {
            let length = shortest(x).len();
            if x.is_finite() && best.is_none_or(|(least, _)| length < least) && fits(x) {
                best = Some((length, x));
            }
        }
        (down, up) = (down.next_down(), up.next_up());
    }
    best.map(|(_, x)| x)
}
