//! Signs that a person may have seen beside the reading, and how well they tell.
//!
//! A sign is said to be there with probability `low + (high - low) Φ((x - at)/spread)`, `x` what the simulated service leaves.
//! All four numbers are judgement: nobody has published how often a mechanic smells fuel.

use serde::{Deserialize, Serialize};

use crate::numeric::normal;

/// Something that was looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Sign {
    /// The oil on the stick is the old oil.
    OldColour,
    /// It smells of fuel, or is thin.
    FuelSmell,
    /// It looks milky.
    Milky,
    /// The coolant's level has fallen.
    CoolantFalls,
    /// There is oil under the vehicle.
    OilOnFloor,
    /// The plug or the filter's seal was found loose or doubled.
    LoosePlug,
    /// A second dip, wiped, seated, after 15 s out of the tube, says something else.
    SecondDipDiffers,
    /// The filter on the engine is the old one.
    OldFilter,
    /// The stick does not belong to this engine, or its length is not right.
    WrongStick,
}

/// How a sign depends on what it shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Curve {
    /// Where the sign is half way between its lowest and highest probability.
    pub at: f64,
    /// How far from there it is still doubtful.
    pub spread: f64,
    /// Probability where there is nothing to see.
    pub low: f64,
    /// Probability where there is plenty.
    pub high: f64,
}

impl Curve {
    /// Probability that the sign is said to be there.
    pub fn probability(self, x: f64) -> f64 {
        self.low + (self.high - self.low) * normal::cdf((x - self.at) / self.spread)
    }
}

impl Sign {
    /// Every sign.
    pub const ALL: [Self; 9] = [
        Self::OldColour,
        Self::FuelSmell,
        Self::Milky,
        Self::CoolantFalls,
        Self::OilOnFloor,
        Self::LoosePlug,
        Self::SecondDipDiffers,
        Self::OldFilter,
        Self::WrongStick,
    ];

    /// Its key in a file.
    pub fn key(self) -> &'static str {
        match self {
            Self::OldColour => "old_colour",
            Self::FuelSmell => "fuel_smell",
            Self::Milky => "milky",
            Self::CoolantFalls => "coolant_falls",
            Self::OilOnFloor => "oil_on_floor",
            Self::LoosePlug => "loose_plug",
            Self::SecondDipDiffers => "second_dip_differs",
            Self::OldFilter => "old_filter",
            Self::WrongStick => "wrong_stick",
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::OldColour => "old colour",
            Self::FuelSmell => "smell of fuel",
            Self::Milky => "milky",
            Self::CoolantFalls => "coolant falls",
            Self::OilOnFloor => "oil on the floor",
            Self::LoosePlug => "loose plug or doubled seal",
            Self::SecondDipDiffers => "second dip differs",
            Self::OldFilter => "old filter still on",
            Self::WrongStick => "stick does not belong",
        }
    }

    /// What the sign's probability depends on, in SI: shares by mass, volumes, lengths. Judgement.
    pub fn curve(self) -> Curve {
        let (at, spread, low, high) = match self {
            // Share of old oil in the sump.
            Self::OldColour => (0.45, 0.10, 0.03, 0.95),
            // Share of fuel.
            Self::FuelSmell => (0.02, 0.008, 0.03, 0.92),
            // Share of coolant and water.
            Self::Milky => (0.004, 0.0015, 0.01, 0.95),
            // Volume that got in (m3).
            Self::CoolantFalls => (0.10e-3, 0.05e-3, 0.05, 0.95),
            // Volume on the floor (m3).
            Self::OilOnFloor => (0.05e-3, 0.02e-3, 0.05, 0.95),
            Self::LoosePlug => (0.05e-3, 0.02e-3, 0.02, 0.60),
            // Difference of the two dips (m).
            Self::SecondDipDiffers => (3.0e-3, 1.0e-3, 0.05, 0.97),
            // 1 where no filter went away.
            Self::OldFilter => (0.5, 0.05, 0.02, 0.95),
            // Shift of every reading (m).
            Self::WrongStick => (3.0e-3, 1.0e-3, 0.02, 0.85),
        };
        Curve { at, spread, low, high }
    }
}
