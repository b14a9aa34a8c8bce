//! A quantity as it was written, with what it means.

use std::fmt;
use std::marker::PhantomData;
use std::sync::Arc;

use serde_json::{Map, Value as Json};

use super::dimension::Dimension;
use super::distribution::Distribution;
use super::error::QuantityError;
use super::exact::find_unit;
use super::number::shortest;
use super::parse::parse_si;
use super::table_form::{to_text, unknown_name};
use super::written::written_form;
use crate::numeric::check;

/// An exact or uncertain quantity of one kind, with the text it was written as. Immutable; a clone shares the text.
///
/// Two values are equal if both the text and the numbers are. One read from a table of a file keeps the table, and is
/// written to a file as that table again; its text is the functional form.
///
/// ```
/// use fillmark::units::{Value, Volume};
/// let filter = Value::<Volume>::parse("filter.net_volume", "0.35(5) L").unwrap();
/// assert_eq!(filter.nominal(), 0.35 / 1000.0);
/// assert_eq!(filter.standard_uncertainty(), 0.05 / 1000.0);
/// assert_eq!(filter.to_string(), "0.35(5) L");
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Value<D: Dimension> {
    distribution: Distribution,
    written: Arc<str>,
    table: Option<Arc<Map<String, Json>>>,
    dimension: PhantomData<D>,
}

impl<D: Dimension> Value<D> {
    /// Reads a text such as `4.2 US qt` or `0.35(5) L`; `what` names the argument or the path in messages.
    pub fn parse(what: &str, text: &str) -> Result<Self, QuantityError> {
        let distribution = parse_si(what, text, D::ID)?;
        Ok(Self { distribution, written: text.trim().into(), table: None, dimension: PhantomData })
    }

    /// Reads the table of a file, such as `{"normal": {"mean": 0.35, "standard_uncertainty": 0.05, "unit": "L"}}`: one key,
    /// the distribution's name as in the functional forms of [`crate::units`], over its named numbers and their unit.
    ///
    /// ```
    /// use fillmark::units::{Value, Volume};
    /// let table = r#"{"t": {"estimate": 0.35, "standard_uncertainty": 0.05, "degrees_of_freedom": 4, "unit": "L"}}"#;
    /// let filter: Value<Volume> = serde_json::from_str(table).unwrap();
    /// assert_eq!(filter.written(), "t(0.35, 0.05, 4) L");
    /// ```
    pub fn from_table(what: &str, table: Map<String, Json>) -> Result<Self, QuantityError> {
        let text = to_text(&table).map_err(|reason| {
            let text = Json::Object(table.clone()).to_string();
            QuantityError::UnknownForm { what: what.to_owned(), text, reason }
        })?;
        Ok(Self { table: Some(Arc::new(table)), ..Self::parse(what, &text)? })
    }

    /// The table it was read from, if it was.
    pub fn table(&self) -> Option<&Map<String, Json>> {
        self.table.as_deref()
    }

    /// Name of the unknown size it stands for, where its table says `{"unknown": {"name": ..., "prior": ...}}`: in the events of
    /// a hypothesis, where fields of one name are one unknown.
    pub fn unknown_name(&self) -> Option<&str> {
        unknown_name(self.table()?)
    }

    /// An exact number in a unit, written as such: `exact(6.9, "L")` is `6.9 L`.
    pub fn exact(number: f64, unit_symbol: &str) -> Result<Self, QuantityError> {
        let what = D::ID.name();
        check::finite(what, number)?;
        let text = format!("{} {}", shortest(number), unit_symbol.trim());
        let unit = find_unit(what, &text, unit_symbol, D::ID)?;
        let distribution = Distribution::exact(what, unit.to_si(number))?;
        Ok(Self { distribution, written: text.into(), table: None, dimension: PhantomData })
    }

    /// An exact number in the stored unit (SI; degC for a temperature), which must be finite.
    pub fn from_si(si: f64) -> Result<Self, QuantityError> {
        Ok(Self::from_distribution(Distribution::exact(D::ID.name(), si)?))
    }

    /// A finite constant of the program in the stored unit; a number that came from outside goes through
    /// [`Value::from_si`].
    pub(crate) fn constant(si: f64) -> Self {
        Self::from_distribution(Distribution::Exact(si))
    }

    /// A distribution in the stored unit. Its text is written in the kind's default unit if that reads back to the
    /// same bits and is not much longer, else in the stored unit.
    pub fn from_distribution(distribution: Distribution) -> Self {
        let written = written_form(D::ID, &distribution).into();
        Self { distribution, written, table: None, dimension: PhantomData }
    }

    /// The one number that stands for it, in the stored unit: mean, midpoint, median of a log-normal.
    pub fn nominal(&self) -> f64 {
        self.distribution.nominal()
    }

    /// Standard uncertainty in the stored unit, as stated where it comes with degrees of freedom; 0 if exact.
    pub fn standard_uncertainty(&self) -> f64 {
        self.distribution.standard_uncertainty()
    }

    /// Its distribution, in the stored unit.
    pub fn distribution(&self) -> &Distribution {
        &self.distribution
    }

    /// Whether it carries no uncertainty.
    pub fn is_exact(&self) -> bool {
        self.distribution.is_exact()
    }

    /// The text as written.
    pub fn written(&self) -> &str {
        &self.written
    }

    /// Accepts the value if its nominal number and the finite limits of its support lie within `[low, high]`, both in
    /// `unit_symbol`, which also words the message.
    pub fn check(&self, what: &str, low: f64, high: f64, unit_symbol: &str) -> Result<(), QuantityError> {
        let unit = find_unit(what, &self.written, unit_symbol, D::ID)?;
        let (least, greatest) = self.distribution.support();
        for si in [self.nominal(), least, greatest] {
            if si.is_infinite() || (unit.to_si(low)..=unit.to_si(high)).contains(&si) {
                continue;
            }
            let (value, unit) = (unit.shortest_from_si(si), unit.symbol().to_owned());
            return Err(QuantityError::OutOfRange { what: what.to_owned(), value, low, high, unit });
        }
        Ok(())
    }
}

impl<D: Dimension> fmt::Display for Value<D> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.written)
    }
}
