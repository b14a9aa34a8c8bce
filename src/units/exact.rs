//! A unit and its exact conversion to the stored unit.
//!
//! Factors are integer fractions; a conversion rounds once (to within 2^-52 relative), so text read and written back
//! in one unit stays as it was. The stored unit is SI, except for a temperature: degrees Celsius.

use super::dimension::DimensionId;
use super::error::QuantityError;
use super::table::{AMBIGUOUS, UNITS};

/// How a number in a unit becomes the stored number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Scale {
    /// `x * num / den`; both integers are exact as `f64`.
    Fraction(u64, u64),
    /// `(x - zero) * num / den`, a temperature scale with its zero point.
    Offset(f64, u64, u64),
    /// Degrees of arc: `x * pi / 180`.
    Degree,
    /// Slope in per cent: `atan(x / 100)`, the one conversion that is not linear.
    SlopePercent,
}

/// A unit of the table: its symbol, the kind of quantity it measures and its exact conversion.
#[derive(Debug, Clone, PartialEq)]
pub struct Unit {
    pub(super) symbol: &'static str,
    pub(super) aliases: &'static [&'static str],
    pub(super) dimension: DimensionId,
    pub(super) scale: Scale,
}

impl Unit {
    /// The symbol the crate writes.
    pub fn symbol(&self) -> &'static str {
        self.symbol
    }

    /// Other spellings that are read.
    pub fn aliases(&self) -> &'static [&'static str] {
        self.aliases
    }

    /// The kind of quantity it measures.
    pub fn dimension(&self) -> DimensionId {
        self.dimension
    }

    /// Exact factor to the stored unit as numerator and denominator; `None` for degrees of arc and slope.
    pub fn factor(&self) -> Option<(u64, u64)> {
        match self.scale {
            Scale::Fraction(num, den) | Scale::Offset(_, num, den) => Some((num, den)),
            Scale::Degree | Scale::SlopePercent => None,
        }
    }

    /// The stored (SI) number of `x` in this unit.
    pub fn to_si(&self, x: f64) -> f64 {
        match self.scale {
            Scale::Fraction(num, den) => scaled(x, num, den),
            Scale::Offset(zero, num, den) => scaled(x - zero, num, den),
            Scale::Degree => x * (std::f64::consts::PI / 180.0),
            Scale::SlopePercent => (x / 100.0).atan(),
        }
    }

    /// The number in this unit of a stored (SI) number.
    pub fn from_si(&self, si: f64) -> f64 {
        match self.scale {
            Scale::Fraction(num, den) => scaled(si, den, num),
            Scale::Offset(zero, num, den) => scaled(si, den, num) + zero,
            Scale::Degree => si * (180.0 / std::f64::consts::PI),
            Scale::SlopePercent => si.tan() * 100.0,
        }
    }

    /// The stored size of a small difference `dx` at `x`: zero points drop out; a slope uses its derivative there.
    pub fn difference_to_si(&self, dx: f64, x: f64) -> f64 {
        match self.scale {
            Scale::Fraction(num, den) | Scale::Offset(_, num, den) => scaled(dx, num, den),
            Scale::Degree => self.to_si(dx),
            Scale::SlopePercent => dx / 100.0 / (1.0 + (x / 100.0) * (x / 100.0)),
        }
    }

    /// The inverse of [`Unit::difference_to_si`]; `si` is the stored number the difference lies at.
    pub fn difference_from_si(&self, d_si: f64, si: f64) -> f64 {
        match self.scale {
            Scale::Fraction(num, den) | Scale::Offset(_, num, den) => scaled(d_si, den, num),
            Scale::Degree => self.from_si(d_si),
            Scale::SlopePercent => d_si * 100.0 * (1.0 + si.tan() * si.tan()),
        }
    }

    /// Whether a stored number is the number itself.
    pub(super) fn is_stored(&self) -> bool {
        matches!(self.scale, Scale::Fraction(1, 1)) || matches!(self.scale, Scale::Offset(z, 1, 1) if z == 0.0)
    }

    /// Whether a stored number is a constant times the number.
    pub(super) fn is_proportional(&self) -> bool {
        matches!(self.scale, Scale::Fraction(..) | Scale::Degree)
    }

    /// Whether the unit has this spelling.
    fn spelt(&self, symbol: &str) -> bool {
        self.symbol == symbol || self.aliases.contains(&symbol)
    }
}

/// `x * num / den`, rounded once: the product and the division carry their remainders (exact by fused multiply-add).
fn scaled(x: f64, num: u64, den: u64) -> f64 {
    if num == den {
        return x;
    }
    let (n, d) = (num as f64, den as f64);
    let product = x * n;
    let quotient = product / d;
    if !product.is_finite() || quotient == 0.0 {
        return x / d * n;
    }
    let product_rest = x.mul_add(n, -product);
    let quotient_rest = (-quotient).mul_add(d, product);
    quotient + (quotient_rest + product_rest) / d
}

/// A unit's spelling as the table has it: superscripts, `^`, dots and spaces in their plain form.
pub(super) fn plain(symbol: &str) -> String {
    let mut out = String::with_capacity(symbol.len());
    for c in symbol.trim().chars() {
        match c {
            '²' => out.push('2'),
            '³' => out.push('3'),
            '^' => {}
            '·' | '⋅' | '∙' | '*' => out.push('.'),
            'µ' | 'μ' => out.push('u'),
            'º' => out.push('°'),
            '℃' => out.push_str("degC"),
            '℉' => out.push_str("degF"),
            'ℓ' => out.push('L'),
            c if c.is_whitespace() => {
                if !out.ends_with(' ') {
                    out.push(' ');
                }
            }
            c => out.push(c),
        }
    }
    out
}

/// The unit of a symbol, whatever it measures. `K`, `degC` and `degF` give the temperature, `%` the ratio.
///
/// ```
/// let quart = fillmark::units::unit("US qt").unwrap();
/// assert_eq!(quart.to_si(1.0), 0.946_352_946e-3);
/// ```
pub fn unit(symbol: &str) -> Option<&'static Unit> {
    let symbol = plain(symbol);
    UNITS.iter().find(|u| u.spelt(&symbol))
}

/// The unit of a symbol among those of one kind of quantity.
pub fn unit_of(dimension: DimensionId, symbol: &str) -> Option<&'static Unit> {
    let symbol = plain(symbol);
    UNITS.iter().find(|u| u.dimension == dimension && u.spelt(&symbol))
}

/// All units of one kind of quantity, the commonest first.
pub fn units_of(dimension: DimensionId) -> impl Iterator<Item = &'static Unit> {
    UNITS.iter().filter(move |u| u.dimension == dimension)
}

/// The unit of a symbol of one kind of quantity, or the reason why there is none.
///
/// `what` and `text` only word the error.
pub fn find_unit(what: &str, text: &str, symbol: &str, dimension: DimensionId) -> Result<&'static Unit, QuantityError> {
    unit_of(dimension, symbol).ok_or_else(|| refuse(what, text, symbol, dimension))
}

fn refuse(what: &str, text: &str, symbol: &str, dimension: DimensionId) -> QuantityError {
    let (what, text, given) = (what.to_owned(), text.to_owned(), symbol.trim().to_owned());
    let spelling = plain(symbol);
    let wanted = dimension;
    let accepted = units_of(dimension).map(|u| u.symbol.to_owned()).collect();
    let meanings = ambiguous(&spelling);
    if let Some(units) = meanings.as_ref().filter(|units| units.iter().any(|u| u.dimension == dimension)) {
        let alternatives = units.iter().filter(|u| u.dimension == dimension).map(|u| in_litres(u)).collect();
        return QuantityError::AmbiguousUnit { what, text, unit: given, alternatives };
    }
    let mistaken = meanings.iter().flatten().next().copied();
    if let Some(other) = unit(symbol).or(mistaken.filter(|_| dimension != DimensionId::Mass)) {
        let found = other.dimension;
        return QuantityError::WrongDimension { what, text, unit: given, found, wanted, accepted };
    }
    let nearest = nearest(&spelling, dimension);
    QuantityError::UnknownUnit { what, text, unit: given, nearest, wanted, accepted }
}

/// The units a bare customary name may mean.
fn ambiguous(spelling: &str) -> Option<Vec<&'static Unit>> {
    let lower = spelling.to_lowercase();
    let (_, meanings) = AMBIGUOUS.iter().find(|(names, _)| names.contains(&lower.as_str()))?;
    Some(meanings.iter().filter_map(|symbol| unit(symbol)).collect())
}

/// A unit of volume or flow with its value, such as `US qt (0.946352946 L)`.
fn in_litres(unit: &Unit) -> String {
    let Some(litre) = unit_of(unit.dimension, unit.dimension.default_unit()) else {
        return unit.symbol.to_owned();
    };
    format!("{} ({} {})", unit.symbol, litre.shortest_from_si(unit.to_si(1.0)), litre.symbol)
}

/// Units that look like an unknown one: first those that differ in case only, else the nearest by edits.
fn nearest(spelling: &str, dimension: DimensionId) -> Box<[String]> {
    let lower = spelling.to_lowercase();
    let spellings = |u: &'static Unit| std::iter::once(u.symbol).chain(u.aliases.iter().copied());
    let mut close: Vec<(usize, &'static str)> = Vec::new();
    for unit in units_of(dimension) {
        let distance = spellings(unit)
            .map(|s| if s.to_lowercase() == lower { 0 } else { strsim::damerau_levenshtein(s, spelling).max(1) });
        close.push((distance.min().unwrap_or(usize::MAX), unit.symbol));
    }
    let best = close.iter().map(|c| c.0).min().unwrap_or(usize::MAX);
    if best > spelling.chars().count() / 2 {
        return Box::default();
    }
    close.iter().filter(|c| c.0 == best).map(|c| c.1.to_owned()).take(3).collect()
}

/// Converts a number between two units of one kind of quantity.
///
/// Units of temperature convert as temperatures (with their zero points) where both can; see [`convert_as`].
///
/// ```
/// use fillmark::units::convert;
/// assert_eq!(convert("fill", 4.0, "US qt", "US gal").unwrap(), 1.0);
/// assert_eq!(convert("oil temperature", 212.0, "degF", "degC").unwrap(), 100.0);
/// assert!(convert("fill", 4.0, "qt", "L").is_err());
/// ```
pub fn convert(what: &str, value: f64, from: &str, to: &str) -> Result<f64, QuantityError> {
    let shared = DimensionId::ALL.into_iter().find(|d| unit_of(*d, from).is_some() && unit_of(*d, to).is_some());
    let dimension = shared.or_else(|| unit(to).or_else(|| unit(from)).map(Unit::dimension));
    convert_as(dimension.unwrap_or(DimensionId::Volume), what, value, from, to)
}

/// Converts a number between two units of the given kind of quantity.
pub fn convert_as(dimension: DimensionId, what: &str, value: f64, from: &str, to: &str) -> Result<f64, QuantityError> {
    let text = format!("{value} {from}");
    let source = find_unit(what, &text, from, dimension)?;
    let target = find_unit(what, to, to, dimension)?;
    let value = crate::numeric::check::finite(what, value)?;
    if std::ptr::eq(source, target) {
        return Ok(value);
    }
    crate::numeric::check::finite(what, target.from_si(source.to_si(value)))
}
