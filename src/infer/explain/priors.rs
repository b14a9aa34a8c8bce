//! Weights of the causes before anything was read. No shares of causes are published: all of it is judgement, for teaching.

use super::causes::{NONE, SCATTER};
use super::record::Complaint;

/// What every table of weights is marked with.
pub const JUDGEMENT: &str =
    "The prior weights and the priors on sizes are judgement for teaching; no shares of causes are published.";

/// Weights of the causes of a complaint (per cent), the first and the last being ordinary scatter and none of these.
pub fn priors(complaint: Complaint) -> &'static [(&'static str, f64)] {
    match complaint {
        Complaint::ReadsOver => &[
            (SCATTER, 15.0),
            ("poor drain", 20.0),
            ("read early, then topped up", 16.0),
            ("dry capacity poured", 6.0),
            ("figure of another variant poured", 6.0),
            ("read on a slope", 8.0),
            ("filter kept", 3.0),
            ("prefill counted twice", 3.0),
            ("stick not wiped", 5.0),
            ("pressure in the tube", 1.0),
            ("unit slip", 3.0),
            ("not drained", 2.0),
            ("filled twice", 1.0),
            ("dispenser out", 3.0),
            ("wrong stick or tube", 3.0),
            (NONE, 5.0),
        ],
        Complaint::ReadsUnder => &[
            (SCATTER, 20.0),
            ("read too soon", 30.0),
            ("unit slip down", 4.0),
            ("short pour", 6.0),
            ("read on a slope", 10.0),
            ("leak", 15.0),
            ("wrong stick or tube", 2.0),
            ("stick not seated", 3.0),
            (NONE, 10.0),
        ],
        Complaint::Rises => &[
            (SCATTER, 15.0),
            ("fuel in the oil", 40.0),
            ("someone added oil", 25.0),
            ("coolant in the oil", 10.0),
            ("filter valve leaking", 3.0),
            ("pressure in the tube", 2.0),
            (NONE, 5.0),
        ],
        Complaint::Falls => &[
            (SCATTER, 15.0),
            ("oil used", 35.0),
            ("leak", 25.0),
            ("read too soon", 10.0),
            ("read on a slope", 5.0),
            ("stick not seated", 2.0),
            (NONE, 8.0),
        ],
        Complaint::Differs => &[
            (SCATTER, 17.0),
            ("stick not wiped", 25.0),
            ("read too soon", 20.0),
            ("stick not seated", 12.0),
            ("read on a slope", 13.0),
            ("pressure in the tube", 8.0),
            (NONE, 5.0),
        ],
    }
}

/// Weight of a tank that drained down where the engine has one, on the scale of the tables.
pub const TANK_WEIGHT: f64 = 25.0;

/// Pairs of causes that plausibly meet; each has the product of its causes' probabilities, as if they came together by chance.
pub fn pairs(complaint: Complaint) -> &'static [(&'static str, &'static str)] {
    match complaint {
        Complaint::ReadsOver => &[
            ("poor drain", "read early, then topped up"),
            ("poor drain", "dry capacity poured"),
            ("poor drain", "prefill counted twice"),
            ("poor drain", "read on a slope"),
        ],
        Complaint::ReadsUnder => &[("read too soon", "leak"), ("read too soon", "short pour")],
        Complaint::Rises => &[("fuel in the oil", "someone added oil")],
        Complaint::Falls => &[("oil used", "leak")],
        Complaint::Differs => &[],
    }
}
