//! A hypothesis compiled: one program, the scores that drive its inputs, and the likelihood of what was seen.

use std::sync::Arc;

use super::ExplainError;
use super::bench::Bench;
use super::causes::Facts;
use super::draft::{At, Draft, How, Unknown};
use super::record::{Record, Says, SeenReading, is_read};
use super::sign::Sign;
use crate::Error;
use crate::circuit::{Ix, StickHeights};
use crate::geometry::{Attitude, LevelCurve};
use crate::numeric::share::share;
use crate::service::{Action, Event, HowRead, Program, Touched, Watch};
use crate::units::{Distribution, Ready, Value};

/// Probability that an observation is simply wrong: a slip of the pen, another vehicle's reading (judgement). It keeps one
/// odd number from deciding everything.
pub const MISTAKEN: f64 = 0.02;
/// Relative standard uncertainty of an amount that states none (judgement).
const AMOUNT_UNCERTAINTY: f64 = 0.03;
/// Nodes of the ground's slope in each direction (deg); the reading between is a parabola through three.
pub(super) const SLOPE_NODE_DEG: f64 = 4.0;
/// Slopes beyond this are taken as this.
pub(super) const MOST_SLOPE_DEG: f64 = 7.0;
/// Own scatter of a reading under "none of these", in spans.
pub(super) const NONE_SCATTER: f64 = 0.25;

/// One thing that was seen, with the law that makes its probability.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Observed {
    /// A reading of the stick.
    Reading(SeenAs),
    /// What came out, or was poured (m3), and its standard uncertainty.
    Amount { what: Amounts, value: f64, sd: f64 },
    /// A sign that was there or not.
    Sign { sign: Sign, there: bool },
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Amounts {
    Drained,
    Poured,
}

/// A reading as it was seen.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SeenAs {
    /// Which of the record's readings.
    pub reading: usize,
    pub value: SeenValue,
    /// Standard uncertainty along the blade beside the stick's scatter (m).
    pub extra: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum SeenValue {
    Along(f64),
    Fraction(f64),
    FromMax(f64),
    Says(Says),
}

impl SeenAs {
    fn of(reading: usize, seen: &SeenReading) -> Self {
        let source = seen.noise.as_ref().map_or(seen.source.standard_uncertainty(), Value::nominal);
        let (value, own) = match (&seen.mm, &seen.fraction, &seen.from_max, seen.says) {
            (Some(mm), ..) => (SeenValue::Along(mm.nominal()), mm.standard_uncertainty()),
            // Their own uncertainties are turned into lengths where the circuit is known.
            (_, Some(f), ..) => (SeenValue::Fraction(f.nominal()), 0.0),
            (_, _, Some(v), _) => (SeenValue::FromMax(v.nominal()), 0.0),
            (.., says) => (SeenValue::Says(says.unwrap_or(Says::Between)), 0.0),
        };
        Self { reading, value, extra: source.hypot(own) }
    }
}

/// What a record has seen, in a fixed order: readings, amounts, signs.
pub(crate) fn observations(record: &Record) -> Vec<Observed> {
    let readings = record.readings.iter().enumerate().map(|(i, r)| Observed::Reading(SeenAs::of(i, r)));
    let amounts = [(Amounts::Drained, &record.measured.drained), (Amounts::Poured, &record.measured.poured)];
    let amounts = amounts.into_iter().filter_map(|(what, value)| {
        let value = value.as_ref()?;
        let stated = value.standard_uncertainty();
        let sd = if stated > 0.0 { stated } else { AMOUNT_UNCERTAINTY * value.nominal().max(1e-4) };
        Some(Observed::Amount { what, value: value.nominal(), sd })
    });
    let signs = record.signs.iter().map(|(sign, there)| Observed::Sign { sign: *sign, there: *there });
    readings.chain(amounts).chain(signs).collect()
}

/// What drives a group of inputs: one score.
#[derive(Debug, Clone)]
pub(super) struct Coordinate {
    pub inputs: Vec<Ix>,
    pub ready: Ready,
}

#[derive(Debug, Clone, Copy)]
pub(super) struct Change {
    pub input: Ix,
    pub how: How,
    pub coordinate: usize,
    pub factor: f64,
}

/// A hypothesis compiled.
#[derive(Debug, Clone)]
pub(crate) struct Model {
    pub program: Program,
    pub(super) coordinates: Vec<Coordinate>,
    pub(super) changes: Vec<Change>,
    /// Coordinates of the geometry's volume scale and datum where the two are correlated, and how.
    pub(super) tie: Option<(usize, usize, f64)>,
    /// Inputs that change from point to point.
    pub(super) driven: Vec<Ix>,
    pub(super) touched: Touched,
    /// Whether points may go side by side: not where liquid may lie apart.
    pub(super) abreast: bool,
    /// Place of each of the record's readings among the program's.
    pub(super) readings: Vec<usize>,
    /// What the ground's slope does to each, where the hypothesis has one.
    pub(super) slopes: Vec<Option<Slopes>>,
    pub(super) second_dip: Option<usize>,
    /// Coordinates of pitch and roll of the ground.
    pub(super) slope: Option<[usize; 2]>,
    pub(super) shift: Option<usize>,
    /// Sizes that the hypothesis leaves open, with their coordinates.
    pub unknowns: Vec<(Unknown, usize)>,
    pub(super) observed: Vec<Observed>,
    /// Whether any reading was told by volume.
    pub(super) by_volume: bool,
    pub(super) stated_pours: Vec<(Ix, bool)>,
    /// Volume per length of blade at MAX (m2), span along the blade and blade (m).
    pub(super) area: f64,
    pub(super) span_length: f64,
    pub blade: f64,
    /// Event after which the record's story ends.
    pub(super) last_told: usize,
    /// Readings of checks that were appended, in order.
    pub appended: Vec<usize>,
    pub(super) watch: Option<Watch>,
}

/// Refuses an attitude with an uncertainty.
fn uncertain_attitude(path: String) -> crate::estimate::EstimateError {
    let reason = "explanations take attitudes as exact; state it without an uncertainty".into();
    crate::estimate::EstimateError::UncertainAttitude { path, reason }
}

/// Label under which the second dip is put in.
const SECOND_DIP: &str = "\u{0}second dip";

impl Model {
    /// Compiles a draft; `appended` events come after the story, for checks that are yet to be made.
    pub(crate) fn new(draft: &Draft, record: &Record, appended: &[Event]) -> Result<Self, Error> {
        if let Some(event) = draft.uncertain_attitude() {
            let path = format!("events[{event}].attitude");
            return Err(uncertain_attitude(path).into());
        }
        let mut events: Vec<(Option<usize>, Event)> =
            draft.events.iter().map(|(mark, e)| (Some(*mark), e.clone())).collect();
        let observed = observations(record);
        if needs_second_dip(&observed) || !appended.is_empty() {
            put_second_dip_in(&mut events, draft);
        }
        let slopes = if draft.slope.is_some() { slopes_of(draft, &events)? } else { vec![None; draft.labels.len()] };
        let last_told = events.len().saturating_sub(1);
        events.extend(appended.iter().map(|e| (None, e.clone())));
        let plain: Vec<Event> = events.iter().map(|(_, e)| e.clone()).collect();
        let mut program = Program::compile(&draft.circuit, &plain)?;
        if program.leans(0) {
            return Err(uncertain_attitude("reference.attitude".into()).into());
        }
        let watch = if appended.is_empty() { None } else { Some(Watch::prepare(&mut program, &[], 90.0, None, 0.0)?) };
        let labels: Vec<Option<String>> = program.readings.iter().map(|r| r.label.clone()).collect();
        let nth = |label: &str| labels.iter().position(|l| l.as_deref() == Some(label));
        let readings = draft.labels.iter().map(|label| reading_at(label, &nth)).collect::<Result<Vec<_>, Error>>()?;
        let second_dip = nth(SECOND_DIP);
        let appended =
            program.readings.iter().enumerate().filter(|(_, r)| r.event > last_told).map(|(n, _)| n).collect();
        let mut model = Self {
            coordinates: Vec::new(),
            changes: Vec::new(),
            tie: None,
            driven: Vec::new(),
            touched: Touched::default(),
            abreast: !program.has_pools(),
            readings,
            slopes,
            second_dip,
            slope: None,
            shift: None,
            unknowns: Vec::new(),
            by_volume: observed.iter().any(told_by_volume),
            observed,
            stated_pours: stated_pours(&program),
            area: draft.circuit.volume_per_blade()?,
            span_length: span_length(&program),
            blade: Facts::of(&draft.circuit)?.blade,
            last_told,
            appended,
            watch,
            program,
        };
        model.drive(draft, &events)?;
        Ok(model)
    }

    /// Finds what drives every input.
    fn drive(&mut self, draft: &Draft, events: &[(Option<usize>, Event)]) -> Result<(), Error> {
        let named = named_inputs(events);
        let paths: Vec<String> = self.program.inputs().map(|i| i.path()).collect();
        let varying: Vec<(Ix, Distribution)> = (self.program.inputs().enumerate())
            .filter(|(ix, input)| !input.distribution().is_exact() && !paths[*ix].ends_with("].noise"))
            .map(|(ix, input)| (ix, input.distribution().clone()))
            .collect();
        let mut by_name: Vec<(String, usize)> = Vec::new();
        for (ix, prior) in varying {
            let name = named.iter().find(|(path, ..)| *path == paths[ix]).map(|(_, name, unit)| (name, unit));
            let known = name.and_then(|(n, _)| by_name.iter().find(|(known, _)| known == n));
            if let Some((_, coordinate)) = known {
                self.coordinates[*coordinate].inputs.push(ix);
                continue;
            }
            let coordinate = self.coordinates.len();
            self.coordinates.push(Coordinate { inputs: vec![ix], ready: Ready::of(&prior) });
            if let Some((name, (unit, per_si))) = name {
                by_name.push((name.clone(), coordinate));
                let unknown = Unknown { name: name.clone(), prior, unit, per_si: *per_si };
                self.unknowns.push((unknown, coordinate));
            }
        }
        let first = self.coordinates.len();
        for unknown in &draft.unknowns {
            self.unknowns.push((unknown.clone(), self.coordinates.len()));
            self.coordinates.push(Coordinate { inputs: Vec::new(), ready: Ready::of(&unknown.prior) });
        }
        self.slope = draft.slope.map(|s| s.map(|u| first + u));
        self.shift = draft.shift.map(|u| first + u);
        for edit in &draft.edits {
            let path = match &edit.at {
                At::Circuit(path) => path.clone(),
                At::Event(mark, field) => {
                    let event = events.iter().position(|(m, _)| *m == Some(*mark));
                    format!("events[{}].{field}", event.unwrap_or(usize::MAX))
                }
            };
            let input = paths.iter().position(|p| *p == path).ok_or_else(|| ExplainError::BadHypothesis {
                hypothesis: String::new(),
                problem: format!("there is no input `{path}`"),
            })?;
            self.changes.push(Change { input, how: edit.how, coordinate: first + edit.unknown, factor: edit.factor });
        }
        self.tie = self.tie_of_geometry();
        let driven = self.coordinates.iter().flat_map(|c| c.inputs.iter().copied());
        self.driven = driven.chain(self.changes.iter().map(|c| c.input)).collect();
        self.touched = self.program.touches(&self.driven);
        Ok(())
    }

    fn tie_of_geometry(&self) -> Option<(usize, usize, f64)> {
        let circuit = &self.program.circuit;
        let of = |input: Ix| self.coordinates.iter().position(|c| c.inputs.contains(&input));
        let (scale, datum) = (of(circuit.layout().volume_scale)?, of(circuit.layout().datum)?);
        Some((scale, datum, circuit.spec().geometry.correlation)).filter(|(.., r)| *r != 0.0)
    }

    pub(crate) fn dimensions(&self) -> usize {
        self.coordinates.len()
    }

    pub(crate) fn observed(&self) -> &[Observed] {
        &self.observed
    }

    /// Working memory.
    pub(crate) fn bench(&self) -> Result<Bench<'_>, Error> {
        Bench::new(self)
    }
}

fn told_by_volume(observed: &Observed) -> bool {
    matches!(observed, Observed::Reading(SeenAs { value: SeenValue::FromMax(_), .. }))
}

fn needs_second_dip(observed: &[Observed]) -> bool {
    observed.iter().any(|o| matches!(o, Observed::Sign { sign: Sign::SecondDipDiffers, .. }))
}

/// A wiped, seated dip right after the first reading, with the pressure gone.
fn put_second_dip_in(events: &mut Vec<(Option<usize>, Event)>, draft: &Draft) {
    let Some(place) = draft.first_reading() else { return };
    let attitude = events[place].1.attitude.clone();
    let stick = match &events[place].1.action {
        Action::Read(how) => how.stick.clone(),
        _ => None,
    };
    let how = HowRead {
        smear: Some(Value::constant(0.0)),
        tube_pressure: Some(Value::constant(0.0)),
        stick,
        ..HowRead::default()
    };
    let read = Event { action: Action::Read(how), label: Some(SECOND_DIP.into()), attitude };
    events.insert(place + 1, (None, read));
}

/// How a reading changes with the ground's slope: the sump and the stick at nine attitudes, by pitch then roll.
#[derive(Debug, Clone)]
pub(super) struct Slopes {
    /// Event that reads.
    pub event: usize,
    nodes: Vec<(Arc<LevelCurve>, StickHeights)>,
}

impl Slopes {
    fn of(draft: &Draft, event: usize, standing: Attitude) -> Result<Self, Error> {
        let node = |node: usize| -> Result<_, Error> {
            let (p, r) = slope_of(node);
            let on = standing.on_ground(Attitude::from_degrees(p, r)?)?;
            Ok((draft.circuit.sump().curve(on)?, draft.circuit.stick().heights(on.up())))
        };
        // Preparing a sump's curve is most of it.
        Ok(Self { event, nodes: share((0..9).collect(), node).into_iter().collect::<Result<_, _>>()? })
    }

    /// What the slope adds at each node to the reading on level ground, along the blade (m). The sump's liquid is taken as one
    /// pool at a common level.
    pub(super) fn shifts(&self, volume: f64, datum: f64) -> [f64; 9] {
        let along = |(curve, stick): &(Arc<LevelCurve>, StickHeights)| {
            stick.reading(curve.datum_si() + curve.level_at(volume) + datum).0
        };
        let level = self.nodes.get(4).map_or(0.0, along);
        std::array::from_fn(|k| self.nodes.get(k).map_or(0.0, along) - level)
    }
}

/// The slopes under every reading of the record whose attitude is not stated.
fn slopes_of(draft: &Draft, events: &[(Option<usize>, Event)]) -> Result<Vec<Option<Slopes>>, Error> {
    let mut standing = draft.circuit.reference_attitude();
    let mut found = vec![None; draft.labels.len()];
    for (i, (_, event)) in events.iter().enumerate() {
        if let Action::Tilt { attitude } = &event.action {
            standing = attitude.nominal()?;
        }
        let which = draft.labels.iter().position(|l| is_read(event) && event.label.as_ref() == Some(l));
        if let Some(which) = which.filter(|_| event.attitude.is_none()) {
            found[which] = Some(Slopes::of(draft, i, standing)?);
        }
    }
    Ok(found)
}

/// Pitch and roll of a node (deg).
fn slope_of(node: usize) -> (f64, f64) {
    let step = |k: usize| [-SLOPE_NODE_DEG, 0.0, SLOPE_NODE_DEG][k];
    (step(node / 3), step(node % 3))
}

fn reading_at(label: &str, nth: &dyn Fn(&str) -> Option<usize>) -> Result<usize, Error> {
    let missing = || ExplainError::BadHypothesis {
        hypothesis: String::new(),
        problem: format!("its events lack the Read labelled `{label}`, which the record has a reading of"),
    };
    Ok(nth(label).ok_or_else(missing)?)
}

/// The inputs that hold the stated amounts of pours, and whether they are masses.
///
/// Oil put into a new filter beforehand is poured, too.
fn stated_pours(program: &Program) -> Vec<(Ix, bool)> {
    let pour = |path: &str| program.inputs().position(|i| i.path() == path);
    let mut found = Vec::new();
    for (event, _) in program.steps.iter().enumerate() {
        let is_pour = program.ops[program.steps[event].ops.clone()].iter().any(crate::service::is_pour);
        found.extend(pour(&format!("events[{event}].primed")).map(|ix| (ix, false)));
        if is_pour {
            found.extend(pour(&format!("events[{event}].volume")).map(|ix| (ix, false)));
            found.extend(pour(&format!("events[{event}].mass")).map(|ix| (ix, true)));
        }
    }
    found
}

fn span_length(program: &Program) -> f64 {
    let stick = program.circuit.layout().stick;
    program.nominals()[stick.max] - program.nominals()[stick.min]
}

type Named = (String, String, (&'static str, f64));

/// Paths of event fields that stand for a named unknown, with its name and the unit to show it in.
fn named_inputs(events: &[(Option<usize>, Event)]) -> Vec<Named> {
    let mut named = Vec::new();
    for (i, (_, event)) in events.iter().enumerate() {
        let Ok(json) = serde_json::to_value(event) else { continue };
        let Some(fields) = json.as_object().and_then(|o| o.values().next()).and_then(|v| v.as_object()) else {
            continue;
        };
        for (field, value) in fields {
            let name = value.get("unknown").and_then(|u| u.get("name")).and_then(|n| n.as_str());
            if let Some(name) = name {
                named.push((format!("events[{i}].{field}"), name.to_owned(), unit_of(field)));
            }
        }
    }
    named
}

/// Unit in which a field of an event is shown.
fn unit_of(field: &str) -> (&'static str, f64) {
    match field {
        "volume" | "primed" | "net_volume" => ("L", 1e3),
        "mass" => ("kg", 1.0),
        "duration" => ("min", 1.0 / 60.0),
        "rate" => ("L/min", 6e4),
        "temperature" => ("degC", 1.0),
        "tube_pressure" => ("Pa", 1.0),
        _ => ("mm", 1e3),
    }
}
