//! Everything that can be wrong with a fluid or with a question put to one.

use serde::Serialize;

use crate::error::Coded;
use crate::numeric::text::{as_given, text_number};
use crate::units::QuantityError;

/// What is wrong with a fluid's description, or with the conditions it is asked about.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
#[non_exhaustive]
pub enum FluidError {
    /// A number is not finite or not in its accepted range; the inner error carries the details and the code.
    #[error(transparent)]
    Quantity(Box<QuantityError>),
    /// A value lies outside what the published relation covers.
    #[error(
        "{what} = {} {unit} is outside {} to {} {unit}, the range of {relation}",
        as_given(*value), as_given(*low), as_given(*high)
    )]
    OutsideRelation {
        /// Name of the argument, or of the quantity derived from it.
        what: String,
        /// The value, in `unit`.
        value: f64,
        /// Lowest value covered, in `unit`.
        low: f64,
        /// Highest value covered, in `unit`.
        high: f64,
        /// Unit of the three numbers.
        unit: String,
        /// The relation and its source.
        relation: String,
    },
    /// The oil would be thicker hot than cold: the viscosity at the higher temperature is not the lower one.
    #[error(
        "kinematic viscosity {hot_mm2_s} mm2/s at {hot_c} degC must be below {cold_mm2_s} mm2/s at {cold_c} degC \
         (are the two values exchanged?)"
    )]
    ViscosityNotFalling {
        /// The lower temperature, in deg C.
        cold_c: f64,
        /// Kinematic viscosity at the lower temperature, in mm2/s.
        cold_mm2_s: f64,
        /// The higher temperature, in deg C.
        hot_c: f64,
        /// Kinematic viscosity at the higher temperature, in mm2/s.
        hot_mm2_s: f64,
    },
    /// Two viscosity points were given at one temperature, so no line passes through them.
    #[error("two viscosity points are both at {temperature_c} degC; give two different temperatures")]
    SameTemperature {
        /// The temperature of both points, in deg C.
        temperature_c: f64,
    },
    /// A percentage of glycol without saying whether it counts mass or volume.
    #[error(
        "\"{text}\" does not say percent of what: write \"% mass\" or \"% volume\" (they differ by about 0.8 % of \
         density)"
    )]
    BasisNotNamed {
        /// The text as given.
        text: String,
    },
    /// Text that should hold a percentage holds no number.
    #[error("\"{text}\" holds no percentage; write for example \"50 % volume\"")]
    NotAPercentage {
        /// The text as given.
        text: String,
    },
    /// A density table needs two rows.
    #[error("a density table needs at least 2 rows, it has {rows}")]
    TableTooShort {
        /// How many rows there are.
        rows: usize,
    },
    /// The temperatures of a density table must increase.
    #[error(
        "rows[{row}]: temperature {temperature_c} degC does not come above the {previous_c} degC of the row before"
    )]
    TableNotIncreasing {
        /// The offending row, counted from 0.
        row: usize,
        /// Temperature of the row before, in deg C.
        previous_c: f64,
        /// Temperature of the offending row, in deg C.
        temperature_c: f64,
    },
    /// The fluid carries no viscosity.
    #[error("the {fluid} was given no viscosity; only its density is known")]
    NoViscosity {
        /// Which fluid.
        fluid: String,
    },
    /// The fractions of a blend must add up to 1.
    #[error("the fractions of a blend add up to {}, they must add up to 1", text_number(*sum))]
    FractionsNotOne {
        /// Their sum.
        sum: f64,
    },
    /// The flow dies away before the stated end is reached.
    #[error("the level never falls to nothing: below {drips_below_mm:.2} mm only drops fall; state an end above that")]
    NeverEmpties {
        /// Head below which only drops fall, in mm.
        drips_below_mm: f64,
    },
    /// The vacuum does not lift oil to the pump.
    #[error("a vacuum of {vacuum_pa:.0} Pa does not lift the oil to the pump, which takes {needed_pa:.0} Pa")]
    PumpTooWeak {
        /// The vacuum, in Pa.
        vacuum_pa: f64,
        /// What the height of the pump over the surface takes, in Pa.
        needed_pa: f64,
    },
    /// No grade of that name.
    #[error("no grade \"{text}\"; near it: {}", near.join(", "))]
    UnknownGrade {
        /// The text as given.
        text: String,
        /// The nearest designations, nearest first.
        near: Vec<String>,
    },
    /// A lubricating oil is needed.
    #[error("a lubricating oil with its viscosities is needed here; this is a fluid of kind {fluid}")]
    NotAnOil {
        /// Which fluid.
        fluid: String,
    },
}

impl From<QuantityError> for FluidError {
    fn from(error: QuantityError) -> Self {
        Self::Quantity(Box::new(error))
    }
}

impl Coded for FluidError {
    const DOMAIN: &'static str = "fluid";

    fn code(&self) -> String {
        match self {
            Self::Quantity(e) => e.code(),
            other => crate::error::code_of(other),
        }
    }

    fn fields(&self) -> serde_json::Map<String, serde_json::Value> {
        match self {
            Self::Quantity(e) => e.fields(),
            other => crate::error::fields_of(other),
        }
    }
}

/// Accepts a finite value within `[low, high]`; otherwise names the relation that does not reach so far.
pub(crate) fn within(
    what: &str,
    value: f64,
    low: f64,
    high: f64,
    unit: &str,
    relation: &str,
) -> Result<f64, FluidError> {
    crate::numeric::check::finite(what, value)?;
    if (low..=high).contains(&value) {
        return Ok(value);
    }
    Err(FluidError::OutsideRelation {
        what: what.into(),
        value: tidy(value),
        low: tidy(low),
        high: tidy(high),
        unit: unit.into(),
        relation: relation.into(),
    })
}

/// Ten significant digits: takes away what a change of units left behind, so that 14.3 mm2/s reads 14.3 again.
pub(crate) fn tidy(value: f64) -> f64 {
    format!("{value:.9e}").parse().unwrap_or(value)
}
