//! Everything that can be wrong with a number or with the text of a quantity.

use serde::Serialize;

use super::dimension::DimensionId;
use crate::error::Coded;
use crate::numeric::text::{as_given, first_of};

/// What is wrong with a number or a quantity. `what` is the argument's name or the input's path, `text` the text as
/// given.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
#[non_exhaustive]
pub enum QuantityError {
    /// A value is NaN or infinite. For an array: the first bad index and how many are bad.
    #[error("{what} must be finite: {}", not_finite(value, *first_index, *count))]
    NotFinite {
        /// Name of the argument or path of the input.
        what: String,
        /// The offending value as text (`NaN`, `inf`).
        value: String,
        /// Index of the first offending element; `None` for a scalar.
        first_index: Option<usize>,
        /// How many elements are not finite.
        count: usize,
    },
    /// A value lies outside its accepted range.
    #[error(
        "{what} = {}{} is outside {} to {}{}",
        as_given(*value), after(unit), as_given(*low), as_given(*high), after(unit)
    )]
    OutOfRange {
        /// Name of the argument or path of the input.
        what: String,
        /// The value given, in `unit`.
        value: f64,
        /// Lowest accepted value, in `unit`.
        low: f64,
        /// Highest accepted value, in `unit`.
        high: f64,
        /// Unit of the three numbers.
        unit: String,
    },
    /// The text holds no number where one is needed.
    #[error("{what}: \"{text}\" has no number at \"{part}\"; a number is written 4.2, .5, 1e-3, 1/2 or 5 1/2")]
    NotANumber {
        /// Name of the argument or path of the input.
        what: String,
        /// The text as given.
        text: String,
        /// The part where a number was wanted.
        part: String,
    },
    /// A comma stands inside a number.
    #[error(
        "{what}: \"{text}\" has a comma in a number; write {} (decimal point, nothing between thousands)",
        or(write)
    )]
    DecimalComma {
        /// Name of the argument or path of the input.
        what: String,
        /// The text as given.
        text: String,
        /// What it may have meant, written as accepted.
        write: Box<[String]>,
    },
    /// A number of a quantity that needs a unit came without one.
    #[error("{what}: \"{text}\" has no unit; {} is wanted, such as {}", article(*wanted), or(examples))]
    MissingUnit {
        /// Name of the argument or path of the input.
        what: String,
        /// The text as given.
        text: String,
        /// The kind of quantity wanted.
        wanted: DimensionId,
        /// The same number with units that are accepted.
        examples: Box<[String]>,
    },
    /// A unit that means different amounts to different readers: bare qt, gal, pt, oz.
    #[error("{what}: \"{text}\": \"{unit}\" is not one unit; say {}", or(alternatives))]
    AmbiguousUnit {
        /// Name of the argument or path of the input.
        what: String,
        /// The text as given.
        text: String,
        /// The unit as given.
        unit: String,
        /// The units it may have meant, each with its value in litres.
        alternatives: Box<[String]>,
    },
    /// A unit of another kind of quantity.
    #[error("{what}: \"{text}\": {unit} is {}, {} is wanted: {}", article(*found), article(*wanted), list(accepted))]
    WrongDimension {
        /// Name of the argument or path of the input.
        what: String,
        /// The text as given.
        text: String,
        /// The unit as given.
        unit: String,
        /// The kind of quantity the unit measures.
        found: DimensionId,
        /// The kind of quantity wanted.
        wanted: DimensionId,
        /// Units that are accepted.
        accepted: Box<[String]>,
    },
    /// A unit that is not in the table.
    #[error(
        "{what}: \"{text}\": unknown unit \"{unit}\"{}; {} is wanted: {}",
        perhaps(nearest),
        article(*wanted),
        list(accepted)
    )]
    UnknownUnit {
        /// Name of the argument or path of the input.
        what: String,
        /// The text as given.
        text: String,
        /// The unit as given.
        unit: String,
        /// Accepted units that look like it, nearest first; may be empty.
        nearest: Box<[String]>,
        /// The kind of quantity wanted.
        wanted: DimensionId,
        /// Units that are accepted.
        accepted: Box<[String]>,
    },
    /// A `±` without its coverage factor.
    #[error(
        "{what}: \"{text}\" has ± without k. In a workshop ± is a tolerance, in a certificate k standard uncertainties; \
         write {as_uncertainty} if it is an expanded uncertainty with k = 2, or the limits {as_limits} if it is a tolerance"
    )]
    MissingCoverageFactor {
        /// Name of the argument or path of the input.
        what: String,
        /// The text as given.
        text: String,
        /// The text with a coverage factor added.
        as_uncertainty: String,
        /// The text written as limits.
        as_limits: String,
    },
    /// The text of an uncertain value follows none of the accepted forms.
    #[error("{what}: \"{text}\": {reason}; accepted: {}", FORMS)]
    UnknownForm {
        /// Name of the argument or path of the input.
        what: String,
        /// The text as given.
        text: String,
        /// What does not fit.
        reason: String,
    },
    /// The parameters of a distribution contradict each other or its definition.
    #[error("{what}: {text}: {reason}")]
    InvalidDistribution {
        /// Name of the argument or path of the input.
        what: String,
        /// The distribution as text, in the numbers given.
        text: String,
        /// Which rule is broken.
        reason: String,
    },
}

impl Coded for QuantityError {
    const DOMAIN: &'static str = "quantity";
}

/// The accepted forms of an uncertain value, for messages.
const FORMS: &str = "4.2 L, 0.35(5) L, 0.35 ± 0.10 L k=2, 0.30 .. 0.40 L, normal(mean, sd) L, rectangular(low, high) L, \
                     triangular(low, mode, high) L, lognormal(median, sigma) L, truncated(mean, sd, low, high) L, \
                     arcsine(low, high) L, pert(low, mode, high) L, beta(low, high, alpha, beta) L, t(estimate, u, dof) L, \
                     samples(x1, x2, ...) L";

/// A unit with the space before it; nothing for a pure number.
fn after(unit: &str) -> String {
    if unit.is_empty() { String::new() } else { format!(" {unit}") }
}

fn not_finite(value: &str, first_index: Option<usize>, count: usize) -> String {
    match first_index {
        None => format!("it is {value}"),
        Some(i) => format!("element {i} is {value}{}", first_of(count, "such")),
    }
}

/// `a volume`, `an angle`.
fn article(dimension: DimensionId) -> String {
    let noun = dimension.name();
    let vowel = noun.starts_with(['a', 'e', 'i', 'o', 'u']);
    format!("{} {noun}", if vowel { "an" } else { "a" })
}

/// `a`, `a or b`, `a, b or c`.
fn or(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [head @ .., last] => format!("{} or {last}", head.join(", ")),
    }
}

/// The whole list with commas.
fn list(items: &[String]) -> String {
    items.join(", ")
}

fn perhaps(nearest: &[String]) -> String {
    if nearest.is_empty() { String::new() } else { format!(" (did you mean {}?)", or(nearest)) }
}
