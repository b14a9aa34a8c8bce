//! Checks that a person may do now, and what each would tell.
//!
//! A check has a few outcomes. What a cause says of them is averaged over its posterior; the information of a check is the
//! mutual information of cause and outcome, `I = H(C) - Σ_o P(o) H(C|o)` in bits (Lindley 1956, Annals of Mathematical
//! Statistics 27:986). Outcomes are coarse on purpose: they are what a person can tell apart.

use super::bench::Bench;
use super::model::{Amounts, Model, SeenValue};
use super::record::{Complaint, Record};
use super::sign::Sign;
use crate::numeric::normal;
use crate::service::{Action, Event, HowRead};
use crate::units::Value;

/// Most outcomes of a check.
pub(crate) const OUTCOMES: usize = 5;

/// What a check asks of the person who does it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Need {
    /// Looking, asking, reading or waiting: always allowed.
    Nothing,
    /// Oil is taken out; nothing is added.
    Withdraw,
    /// The vehicle is moved.
    Move,
    /// The engine is started.
    Start,
}

impl Need {
    /// What must hold before it, in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Nothing => "engine off",
            Self::Withdraw => "engine off, oil cool enough not to burn, a clean pan on a scale; nothing is added",
            Self::Move => "only while nothing forbids a start: brake off, one person guiding",
            Self::Start => "only while nothing forbids a start; stop if oil pressure does not come up",
        }
    }
}

/// A check in the list.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Kind {
    pub name: &'static str,
    pub words: &'static str,
    pub need: Need,
    pub outcomes: &'static [&'static str],
    pub ask: Ask,
}

/// How the outcomes of a check come out of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ask {
    SecondDip,
    /// One of the readings after the story, by its place.
    Later(usize),
    TurnRound,
    Slope,
    Sign(Sign),
    Amount(Amounts),
    DrainAll,
    /// A dip after 15 s out of the tube, not wiped.
    UnwipedDip,
    /// An answer that depends on the cause alone.
    Answer(Question),
}

/// What is asked of who did the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Question {
    Figure,
    Prefill,
    TopUp,
}

impl Question {
    /// Probabilities of the answers where these causes are at work (judgement).
    pub(crate) fn answers(self, parts: &[String]) -> [f64; OUTCOMES] {
        let is = |name: &str| parts.iter().any(|p| p == name);
        let two = |yes: f64| [1.0 - yes, yes, 0.0, 0.0, 0.0];
        match self {
            Self::Figure if is("dry capacity poured") => [0.10, 0.85, 0.05, 0.0, 0.0],
            Self::Figure if is("figure of another variant poured") => [0.10, 0.05, 0.85, 0.0, 0.0],
            Self::Figure => [0.94, 0.03, 0.03, 0.0, 0.0],
            Self::Prefill => two(if is("prefill counted twice") { 0.90 } else { 0.10 }),
            Self::TopUp => two(if is("read early, then topped up") || is("someone added oil") { 0.75 } else { 0.04 }),
        }
    }
}

const DIP: &[&str] = &["far lower", "lower", "the same", "higher", "far higher"];
const YES: &[&str] = &["no", "yes"];
const TOLD: &[&str] = &["less than told", "as told", "more than told"];
const LEVEL: &[&str] = &["level within 0.7 deg", "sloping by 0.7 to 2 deg", "sloping by more than 2 deg"];
const TRUE_LEVEL: &[&str] =
    &["below MIN", "between the marks", "at MAX within 0.1 span", "over MAX", "over MAX by more than 0.5 span"];

/// Differences of two dips that count as lower or higher, and as far, in spans.
const STEPS: [f64; 2] = [0.2, 0.5];

const fn sign(name: &'static str, words: &'static str, sign: Sign) -> Kind {
    Kind { name, words, need: Need::Nothing, outcomes: YES, ask: Ask::Sign(sign) }
}

/// Every check.
pub(crate) const KINDS: &[Kind] = &[
    Kind {
        name: "second dip",
        words: "Draw the stick, wait 15 s, wipe it, seat it fully, read the lower edge again.",
        need: Need::Nothing,
        outcomes: DIP,
        ask: Ask::SecondDip,
    },
    Kind {
        name: "dip again unwiped",
        words: "Draw the stick, keep it out for 15 s without wiping it, dip again.",
        need: Need::Nothing,
        outcomes: DIP,
        ask: Ask::UnwipedDip,
    },
    Kind {
        name: "ask for the figure",
        words: "Ask which figure of the sheet was poured, and see which engine and which row it stands by.",
        need: Need::Nothing,
        outcomes: &["the service figure", "the dry figure", "that of another variant"],
        ask: Ask::Answer(Question::Figure),
    },
    Kind {
        name: "ask about the filter",
        words: "Ask whether the new filter was filled before it was fitted.",
        need: Need::Nothing,
        outcomes: YES,
        ask: Ask::Answer(Question::Prefill),
    },
    Kind {
        name: "ask about a top-up",
        words: "Ask everybody who had the bonnet open whether oil was added after the fill.",
        need: Need::Nothing,
        outcomes: YES,
        ask: Ask::Answer(Question::TopUp),
    },
    Kind {
        name: "wait 30 minutes",
        words: "Leave it standing for 30 minutes, then wipe, seat and read again.",
        need: Need::Nothing,
        outcomes: DIP,
        ask: Ask::Later(0),
    },
    Kind {
        name: "leave overnight",
        words: "Leave it standing for 8 hours and read before anything is started.",
        need: Need::Nothing,
        outcomes: DIP,
        ask: Ask::Later(1),
    },
    Kind {
        name: "spirit level",
        words: "Put a spirit level on the sump's flange, along and across.",
        need: Need::Nothing,
        outcomes: LEVEL,
        ask: Ask::Slope,
    },
    sign("look at the colour", "Wipe the stick on white paper: is it the old oil?", Sign::OldColour),
    sign("smell the oil", "Smell the stick and rub the oil: fuel, or thin?", Sign::FuelSmell),
    sign("look for milk", "Look at the stick and under the filler cap: milky?", Sign::Milky),
    sign(
        "check the coolant",
        "With the engine cold, compare the coolant with its mark: has it fallen?",
        Sign::CoolantFalls,
    ),
    sign("look underneath", "Look at the floor, the plug and the filter: is there oil?", Sign::OilOnFloor),
    sign("feel the plug and the seal", "Is the plug loose, or are two seals stacked?", Sign::LoosePlug),
    sign("look at the filter", "Is the filter on the engine the old one?", Sign::OldFilter),
    sign(
        "compare the stick",
        "Compare number and length of the stick and its tube with the parts list: wrong one?",
        Sign::WrongStick,
    ),
    Kind {
        name: "count the bottles",
        words: "Count the empty bottles or read the dispenser's tally: how much was really poured?",
        need: Need::Nothing,
        outcomes: TOLD,
        ask: Ask::Amount(Amounts::Poured),
    },
    Kind {
        name: "measure what was drained",
        words: "If the drained oil is still there, measure or weigh it.",
        need: Need::Nothing,
        outcomes: TOLD,
        ask: Ask::Amount(Amounts::Drained),
    },
    Kind {
        name: "drain and weigh",
        words: "Drain the sump completely into a weighed pan; the mass tells the true level without the stick.",
        need: Need::Withdraw,
        outcomes: TRUE_LEVEL,
        ask: Ask::DrainAll,
    },
    Kind {
        name: "turn it round",
        words: "Turn the vehicle round on the spot where it stood and read again.",
        need: Need::Move,
        outcomes: DIP,
        ask: Ask::TurnRound,
    },
    Kind {
        name: "run a minute and read",
        words: "Start, let it idle for 1 minute, stop, wait as the marks want it, read again.",
        need: Need::Start,
        outcomes: DIP,
        ask: Ask::Later(2),
    },
];

/// What is appended to the story for the readings of later checks.
pub(crate) fn appended(wait: f64, with_run: bool) -> Vec<Event> {
    let rest = |seconds: f64| Event::from(Action::Rest { duration: Value::constant(seconds) });
    let read = || {
        Event::from(Action::Read(HowRead {
            smear: Some(Value::constant(0.0)),
            tube_pressure: Some(Value::constant(0.0)),
            ..HowRead::default()
        }))
    };
    let mut events = vec![rest(1800.0), read(), rest(7.5 * 3600.0), read()];
    if with_run {
        let run = Action::Run { duration: Value::constant(60.0), temperature: None };
        events.extend([run.into(), rest(wait), read()]);
    }
    events
}

impl Kind {
    /// Whether it makes sense for this record and model: what was looked at already is not asked again.
    pub(crate) fn is_offered(&self, record: &Record, model: &Model) -> bool {
        let signs = |s: &Sign| record.signs.contains_key(s);
        match self.ask {
            Ask::SecondDip => !signs(&Sign::SecondDipDiffers) && record.readings.len() < 2,
            Ask::Answer(Question::Figure) => record.events.iter().any(|e| matches!(e.action, Action::Pour { .. })),
            Ask::Answer(Question::Prefill) => {
                let fits = |e: &Event| matches!(e.action, Action::ChangeFilter { .. } | Action::FitFilter { .. });
                record.events.iter().any(fits)
            }
            Ask::Later(which) => which < model.appended.len(),
            Ask::Amount(Amounts::Drained) => {
                let came = |e: &Event| {
                    matches!(e.action, Action::Drain { .. } | Action::OpenPlug { .. } | Action::Withdraw { .. })
                };
                record.measured.drained.is_none() && record.events.iter().any(came)
            }
            Ask::Amount(Amounts::Poured) => {
                record.measured.poured.is_none()
                    && record.events.iter().any(|e| matches!(e.action, Action::Pour { .. }))
            }
            Ask::TurnRound | Ask::Slope => record.readings.iter().any(|r| r.attitude.is_none()),
            Ask::Sign(Sign::OldFilter) => {
                let changed = |e: &Event| matches!(e.action, Action::ChangeFilter { .. } | Action::FitFilter { .. });
                !signs(&Sign::OldFilter) && record.events.iter().any(changed)
            }
            Ask::Sign(Sign::OldColour) => {
                let poured = record.events.iter().any(|e| matches!(e.action, Action::Pour { .. }));
                !signs(&Sign::OldColour) && poured && record.complaint != Complaint::Rises
            }
            Ask::Sign(sign) => !signs(&sign),
            Ask::DrainAll | Ask::UnwipedDip | Ask::Answer(Question::TopUp) => true,
        }
    }

    /// Probabilities of the outcomes in the last run of a bench.
    pub(crate) fn outcomes_of(&self, bench: &Bench<'_>, base: Base) -> [f64; OUTCOMES] {
        let mut p = [0.0; OUTCOMES];
        let n = self.outcomes.len();
        if bench.shift() != 0.0 {
            // None of these: it may be anything.
            p[..n].fill(1.0 / n as f64);
            return p;
        }
        match self.ask {
            Ask::SecondDip => dips(bench, base, bench.second_dip()),
            Ask::UnwipedDip if bench.has_pressure() => dips(bench, base, bench.second_dip()),
            Ask::UnwipedDip => dips(bench, base, bench.reading(base.reading, 1.0).along),
            // By the cause, not by the run.
            Ask::Answer(_) => p,
            Ask::TurnRound => {
                dips(bench, base, bench.second_dip() + bench.reading(0, -1.0).along - bench.reading(0, 1.0).along)
            }
            Ask::Later(which) => {
                let on_ground = bench.on_ground(base.reading);
                dips(bench, base, bench.appended(which) + on_ground)
            }
            Ask::Slope => {
                let [pitch, roll] = bench.slope();
                let slope = pitch.hypot(roll);
                edges(slope, 0.3, &[0.7, 2.0])
            }
            Ask::Sign(sign) => {
                let yes = bench.sign(sign);
                p[0] = 1.0 - yes;
                p[1] = yes;
                p
            }
            Ask::Amount(what) => {
                let told = base.told[usize::from(what == Amounts::Poured)];
                let near = 0.25 * base.span_volume;
                edges(bench.amount(what), 0.03 * told.max(1e-4), &[told - near, told + near])
            }
            Ask::DrainAll => {
                let spans = bench.seen().map_or(0.5, |s| s.spans);
                edges(spans, 0.06, &[0.0, 0.9, 1.1, 1.5])
            }
        }
    }
}

/// What outcomes are judged against.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Base {
    /// Which of the record's readings was the last.
    pub reading: usize,
    /// What it said along the blade (m), where it said a number.
    pub along: Option<f64>,
    /// Length of the span (m) and its volume (m3).
    pub span: f64,
    pub span_volume: f64,
    /// Drained and poured, as told (m3).
    pub told: [f64; 2],
}

impl Base {
    /// What the last reading said along the blade.
    pub(crate) fn along_of(value: SeenValue, [min, max]: [f64; 2], area: f64) -> Option<f64> {
        match value {
            SeenValue::Along(v) => Some(v),
            SeenValue::Fraction(f) => Some(min + f * (max - min)),
            SeenValue::FromMax(v) => Some(max + v / area),
            SeenValue::Says(_) => None,
        }
    }
}

fn dips(bench: &Bench<'_>, base: Base, along: f64) -> [f64; OUTCOMES] {
    let before = base.along.unwrap_or_else(|| bench.reading(base.reading, 1.0).along);
    let [near, far] = STEPS.map(|s| s * base.span);
    edges(along - before, bench.scatter(0.0), &[-far, -near, near, far])
}

/// Probabilities of lying between edges, of a normal about `x`.
fn edges(x: f64, sd: f64, edges: &[f64]) -> [f64; OUTCOMES] {
    let mut p = [0.0; OUTCOMES];
    let mut below = 0.0;
    for (i, edge) in edges.iter().enumerate() {
        let upto = normal::cdf((edge - x) / sd);
        p[i] = upto - below;
        below = upto;
    }
    p[edges.len()] = 1.0 - below;
    p
}

/// `I` in bits, from the causes' probabilities and their outcome probabilities.
pub(crate) fn information(causes: &[f64], outcomes: &[[f64; OUTCOMES]]) -> f64 {
    let entropy = |p: &[f64]| -p.iter().filter(|p| **p > 0.0).map(|p| p * p.log2()).sum::<f64>();
    let before = entropy(causes);
    let after: f64 = (0..OUTCOMES)
        .map(|o| {
            let joint: Vec<f64> = causes.iter().zip(outcomes).map(|(c, p)| c * p[o]).collect();
            let total: f64 = joint.iter().sum();
            if total <= 0.0 { 0.0 } else { total * entropy(&joint.iter().map(|j| j / total).collect::<Vec<_>>()) }
        })
        .sum();
    (before - after).max(0.0)
}
