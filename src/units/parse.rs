//! The grammar of a quantity: a number or an uncertain number, then a unit.

use super::dimension::DimensionId;
use super::distribution::Distribution;
use super::error::QuantityError;
use super::exact::{Unit, find_unit, units_of};
use super::number::{Flaw, scan, scan_all, shortest};

/// Names of the functional forms.
const NAMES: [&str; 10] =
    ["normal", "rectangular", "triangular", "lognormal", "truncated", "arcsine", "pert", "beta", "t", "samples"];

/// A text with the name under which it was given, for messages.
#[derive(Clone, Copy)]
struct Input<'a> {
    what: &'a str,
    text: &'a str,
    dimension: DimensionId,
}

/// Reads the text of a quantity of the given kind. The result is in the stored unit (SI; degC for a temperature).
///
/// `what` names the argument or the path in messages. The grammar is in the documentation of [`crate::units`].
///
/// ```
/// use fillmark::units::{DimensionId, Distribution, parse_si};
/// let fill = parse_si("fill", "0.30 .. 0.40 L", DimensionId::Volume).unwrap();
/// assert!(matches!(fill, Distribution::Rectangular { low, high, .. } if low == 0.3e-3 && high == 0.4e-3));
/// ```
pub fn parse_si(what: &str, text: &str, dimension: DimensionId) -> Result<Distribution, QuantityError> {
    let input = Input { what, text, dimension };
    let (form, unit) = input.form()?;
    form.to_stored(what, unit)
}

/// As [`parse_si`], for a quantity of any kind: the first kind, in the order of [`DimensionId::ALL`], whose units include
/// that of the text. Also gives the unit.
pub fn parse_any(what: &str, text: &str) -> Result<(Distribution, &'static Unit), QuantityError> {
    any_kind(what, text).map(|(_, stored, unit)| (stored, unit))
}

/// As [`parse_any`], in the numbers of the text instead of the stored unit: `0.35(5) L` is about 0.35.
pub fn parse_as_written(what: &str, text: &str) -> Result<(Distribution, &'static Unit), QuantityError> {
    any_kind(what, text).map(|(written, _, unit)| (written, unit))
}

/// The distribution in the numbers of the text and in the stored unit, and the unit.
fn any_kind(what: &str, text: &str) -> Result<(Distribution, Distribution, &'static Unit), QuantityError> {
    let read = |dimension| {
        let (form, unit) = Input { what, text, dimension }.form()?;
        let stored = form.to_stored(what, unit)?;
        Ok((form, stored, unit))
    };
    let first_kind = read(DimensionId::Volume);
    match first_kind {
        Err(QuantityError::WrongDimension { .. }) => {}
        other => return other,
    }
    DimensionId::ALL.into_iter().find_map(|dimension| read(dimension).ok()).map_or(first_kind, Ok)
}

impl Input<'_> {
    /// The distribution in the numbers of the text, and the unit of the text.
    fn form(self) -> Result<(Distribution, &'static Unit), QuantityError> {
        let body = self.text.trim();
        if let Some(call) = call(body) {
            return self.function(call);
        }
        for mark in ["±", "+/-", "+-"] {
            if let Some((left, right)) = body.split_once(mark) {
                return self.expanded(left, right);
            }
        }
        match body.split_once("..") {
            Some((low, high)) => self.limits(low, high.trim_start_matches('.')),
            None => self.single(body),
        }
    }

    /// `4.2 L`, `0.35(5) L`.
    fn single(self, body: &str) -> Result<(Distribution, &'static Unit), QuantityError> {
        let number = scan(body).map_err(|flaw| self.flaw(flaw, body))?;
        let unit = self.unit(number.rest)?;
        let form = match number.sd {
            None => Distribution::exact(self.what, number.value)?,
            Some(sd) => Distribution::normal(self.what, number.value, sd)?,
        };
        Ok((form, unit))
    }

    /// `0.35 ± 0.10 L k=2`, also `(0.35 ± 0.10) L, k=2`.
    fn expanded(self, left: &str, right: &str) -> Result<(Distribution, &'static Unit), QuantityError> {
        let (left, closing) = match left.trim().strip_prefix('(') {
            Some(inner) => (inner, true),
            None => (left, false),
        };
        let mean = scan(left).map_err(|flaw| self.flaw(flaw, left))?;
        let half = scan(right).map_err(|flaw| self.flaw(flaw, right))?;
        if mean.sd.is_some() || half.sd.is_some() {
            return Err(self.unknown("two uncertainties for one value"));
        }
        let mut tail = half.rest.trim_start();
        if closing {
            tail = tail.strip_prefix(')').ok_or_else(|| self.unknown("a parenthesis is not closed"))?;
        }
        let (unit_text, factor) = coverage(tail);
        let unit = self.shared_unit(mean.rest, unit_text)?;
        let Some(factor) = factor else {
            return Err(self.without_factor(mean.value, half.value, unit));
        };
        let k = scan_all(factor).ok().filter(|k| *k > 0.0);
        let k = k.ok_or_else(|| self.unknown("the coverage factor is a number above 0, such as k=2"))?;
        Ok((Distribution::normal(self.what, mean.value, half.value / k)?, unit))
    }

    /// `0.30 .. 0.40 L`.
    fn limits(self, left: &str, right: &str) -> Result<(Distribution, &'static Unit), QuantityError> {
        let low = scan(left).map_err(|flaw| self.flaw(flaw, left))?;
        let high = scan(right).map_err(|flaw| self.flaw(flaw, right))?;
        if low.sd.is_some() || high.sd.is_some() {
            return Err(self.unknown("limits carry no uncertainty of their own"));
        }
        let unit = self.shared_unit(low.rest, high.rest)?;
        Ok((Distribution::rectangular(self.what, low.value, high.value)?, unit))
    }

    /// `normal(0.35, 0.05) L` and the other functional forms.
    fn function(
        self,
        (name, arguments, rest): (&str, &str, &str),
    ) -> Result<(Distribution, &'static Unit), QuantityError> {
        let list: Vec<&str> = arguments.split(',').collect();
        let form = self.distribution(name, &list)?;
        Ok((form, self.unit(rest)?))
    }

    /// The distribution of this name with these arguments.
    fn distribution(self, name: &str, list: &[&str]) -> Result<Distribution, QuantityError> {
        let number = |text: &&str| self.argument(text);
        let what = self.what;
        match (name, list) {
            ("normal", [mean, sd]) => Distribution::normal(what, number(mean)?, number(sd)?),
            ("rectangular", [low, high]) => Distribution::rectangular(what, number(low)?, number(high)?),
            ("rectangular", [low, high, within]) => {
                Distribution::inexact_limits(what, number(low)?, number(high)?, number(within)?)
            }
            ("triangular", [low, mode, high]) => {
                Distribution::triangular(what, number(low)?, number(mode)?, number(high)?)
            }
            ("lognormal", [median, sigma]) => Distribution::log_normal(what, number(median)?, number(sigma)?),
            ("truncated", [mean, sd, low, high]) => {
                let (mean, sd) = (number(mean)?, number(sd)?);
                Distribution::truncated_normal(what, mean, sd, self.limit(low)?, self.limit(high)?)
            }
            ("arcsine", [low, high]) => Distribution::arcsine(what, number(low)?, number(high)?),
            ("pert", [low, mode, high]) => Distribution::pert(what, number(low)?, number(mode)?, number(high)?),
            ("beta", [low, high, alpha, beta]) => {
                Distribution::beta(what, number(low)?, number(high)?, number(alpha)?, number(beta)?)
            }
            ("t", [estimate, u, dof]) => Distribution::student(what, number(estimate)?, number(u)?, number(dof)?),
            ("samples", values) => {
                let values = values.iter().map(number).collect::<Result<Vec<_>, _>>()?;
                Distribution::samples(what, &values)
            }
            (name, _) if NAMES.contains(&name) => {
                let reason = format!("{name} does not take {} numbers (a comma divides two numbers)", list.len());
                Err(self.unknown(&reason))
            }
            _ => Err(self.unknown(&format!("no distribution is called \"{name}\""))),
        }
    }

    /// A number that fills the place of an argument.
    fn argument(self, text: &str) -> Result<f64, QuantityError> {
        scan_all(text).map_err(|flaw| match flaw {
            Some(flaw) => self.flaw(flaw, text),
            None => {
                self.unknown(&format!("\"{}\" is not a number alone; the unit follows the parenthesis", text.trim()))
            }
        })
    }

    /// A limit of a truncation, which may be `inf` or `-inf`.
    fn limit(self, text: &str) -> Result<f64, QuantityError> {
        match text.trim() {
            "inf" | "+inf" => Ok(f64::INFINITY),
            "-inf" => Ok(f64::NEG_INFINITY),
            other => self.argument(other),
        }
    }

    /// The unit after a number.
    fn unit(self, symbol: &str) -> Result<&'static Unit, QuantityError> {
        let symbol = symbol.trim();
        if symbol.is_empty() {
            return self.bare();
        }
        let digits = symbol.starts_with(|c: char| c.is_ascii_digit() || c == '.' || c == '/');
        if digits && symbol != "1" {
            return Err(self.flaw(Flaw::Missing, symbol));
        }
        find_unit(self.what, self.text, symbol, self.dimension)
    }

    /// The unit of two numbers, given after the second and, if it is the same, also after the first.
    fn shared_unit(self, first: &str, second: &str) -> Result<&'static Unit, QuantityError> {
        let unit = self.unit(second)?;
        if !first.trim().is_empty() && self.unit(first)? != unit {
            return Err(self.unknown("the two numbers have different units"));
        }
        Ok(unit)
    }

    /// No unit: right for a ratio only.
    fn bare(self) -> Result<&'static Unit, QuantityError> {
        if self.dimension == DimensionId::Ratio {
            return find_unit(self.what, self.text, "1", self.dimension);
        }
        Err(missing_unit(self.what, self.text, self.dimension))
    }

    fn flaw(self, flaw: Flaw, part: &str) -> QuantityError {
        let (what, text) = (self.what.to_owned(), self.text.to_owned());
        match flaw {
            Flaw::Missing => QuantityError::NotANumber { what, text, part: part.trim().to_owned() },
            Flaw::Comma => QuantityError::DecimalComma { what, text, write: without_comma(self.text) },
            Flaw::NotFinite => QuantityError::NotFinite { what, value: text, first_index: None, count: 1 },
        }
    }

    fn unknown(self, reason: &str) -> QuantityError {
        let (what, text) = (self.what.to_owned(), self.text.to_owned());
        QuantityError::UnknownForm { what, text, reason: reason.to_owned() }
    }

    fn without_factor(self, mean: f64, half: f64, unit: &Unit) -> QuantityError {
        let (low, high) = (decimal_sum(mean, -half), decimal_sum(mean, half));
        QuantityError::MissingCoverageFactor {
            what: self.what.to_owned(),
            text: self.text.to_owned(),
            as_uncertainty: format!("{} ± {} {} k=2", shortest(mean), shortest(half), unit.symbol()),
            as_limits: format!("{low} .. {high} {}", unit.symbol()),
        }
    }
}

/// The refusal of a number without unit, with examples in the commonest units.
pub(super) fn missing_unit(what: &str, text: &str, dimension: DimensionId) -> QuantityError {
    let number = text.trim();
    QuantityError::MissingUnit {
        what: what.to_owned(),
        text: text.to_owned(),
        wanted: dimension,
        examples: units_of(dimension).take(3).map(|u| format!("{number} {}", u.symbol())).collect(),
    }
}

/// `name(arguments) rest`.
fn call(body: &str) -> Option<(&str, &str, &str)> {
    let (name, after) = body.split_once('(')?;
    let name = name.trim_end();
    if name.is_empty() || !name.bytes().all(|b| b.is_ascii_alphabetic() || b == b'_') {
        return None;
    }
    let (arguments, rest) = after.split_once(')')?;
    Some((name, arguments, rest))
}

/// Splits `L k=2`, `L, k=2` or `L (k=2)` into the unit and the factor's text.
fn coverage(tail: &str) -> (&str, Option<&str>) {
    let Some((before, after)) = tail.rsplit_once('=') else {
        return (tail, None);
    };
    let Some(unit) = before.trim_end().strip_suffix('k') else {
        return (tail, None);
    };
    let unit = unit.trim_end();
    match unit.strip_suffix('(') {
        Some(unit) => (unit, after.trim_end().strip_suffix(')')),
        None => (unit.strip_suffix(',').unwrap_or(unit), Some(after)),
    }
}

/// A text with its commas as decimal points, and as marks between thousands where it can be read so.
fn without_comma(text: &str) -> Box<[String]> {
    let text = text.trim();
    let without = || text.replace(',', "");
    if text.contains('.') {
        return [without()].into();
    }
    let mut ways = vec![text.replace(',', ".")];
    let thousands = text.split(',').skip(1).all(|part| part.bytes().take_while(u8::is_ascii_digit).count() == 3);
    if thousands {
        ways.push(without());
    }
    if text.matches(',').count() > 1 && thousands {
        ways.remove(0);
    }
    ways.into()
}

/// A sum as short text: twelve significant digits hide the rounding of decimals.
fn decimal_sum(a: f64, b: f64) -> String {
    let sum = a + b;
    shortest(format!("{sum:.11e}").parse().unwrap_or(sum))
}
