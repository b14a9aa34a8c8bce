//! A hypothesis compiled: one program, the scores that drive its inputs, and the likelihood of what was seen.

use std::sync::Arc;

use super::ExplainError;
use super::causes::Facts;
use super::draft::{At, Draft, How, Unknown};
use super::record::{Record, Says, SeenReading, is_read};
use super::sign::Sign;
use super::smc::Target;
use crate::Error;
use crate::circuit::{Ix, SUMP, StickHeights, Wetting};
use crate::geometry::{Attitude, LevelCurve};
use crate::numeric::normal;
use crate::service::{
    Action, Bend, Event, HowRead, Misfit, Program, Reading, Recorder, Scratch, Seen, Taken, Touched, View, Watch,
};
use crate::units::{Distribution, Value};

/// Probability that an observation is simply wrong: a slip of the pen, another vehicle's reading (judgement). It keeps one
/// odd number from deciding everything.
pub const MISTAKEN: f64 = 0.02;
/// Relative standard uncertainty of an amount that states none (judgement).
const AMOUNT_UNCERTAINTY: f64 = 0.03;
/// Nodes of the ground's slope in each direction (deg); the reading between is a parabola through three.
const SLOPE_NODE_DEG: f64 = 4.0;
/// Slopes beyond this are taken as this.
const MOST_SLOPE_DEG: f64 = 7.0;
/// Own scatter of a reading under "none of these", in spans.
const NONE_SCATTER: f64 = 0.25;
/// Density of the coolant that went missing (kg/m3).
const COOLANT_DENSITY: f64 = 1065.0;

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
struct Coordinate {
    inputs: Vec<Ix>,
    prior: Distribution,
}

#[derive(Debug, Clone, Copy)]
struct Change {
    input: Ix,
    how: How,
    coordinate: usize,
    factor: f64,
}

/// A hypothesis compiled.
#[derive(Debug, Clone)]
pub(crate) struct Model {
    pub program: Program,
    coordinates: Vec<Coordinate>,
    changes: Vec<Change>,
    /// Coordinates of the geometry's volume scale and datum where the two are correlated, and how.
    tie: Option<(usize, usize, f64)>,
    touched: Touched,
    /// Place of each of the record's readings among the program's.
    readings: Vec<usize>,
    /// What the ground's slope does to each, where the hypothesis has one.
    slopes: Vec<Option<Slopes>>,
    second_dip: Option<usize>,
    /// Coordinates of pitch and roll of the ground.
    slope: Option<[usize; 2]>,
    shift: Option<usize>,
    /// Sizes that the hypothesis leaves open, with their coordinates.
    pub unknowns: Vec<(Unknown, usize)>,
    observed: Vec<Observed>,
    stated_pours: Vec<(Ix, bool)>,
    /// Volume per length of blade at MAX (m2), span along the blade and blade (m).
    area: f64,
    span_length: f64,
    pub blade: f64,
    /// Event after which the record's story ends.
    last_told: usize,
    /// Readings of checks that were appended, in order.
    pub appended: Vec<usize>,
    watch: Option<Watch>,
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
            touched: Touched::default(),
            readings,
            slopes,
            second_dip,
            slope: None,
            shift: None,
            unknowns: Vec::new(),
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
            self.coordinates.push(Coordinate { inputs: vec![ix], prior: prior.clone() });
            if let Some((name, (unit, per_si))) = name {
                by_name.push((name.clone(), coordinate));
                let unknown = Unknown { name: name.clone(), prior, unit, per_si: *per_si };
                self.unknowns.push((unknown, coordinate));
            }
        }
        let first = self.coordinates.len();
        for unknown in &draft.unknowns {
            self.unknowns.push((unknown.clone(), self.coordinates.len()));
            self.coordinates.push(Coordinate { inputs: Vec::new(), prior: unknown.prior.clone() });
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
        let driven: Vec<Ix> = driven.chain(self.changes.iter().map(|c| c.input)).collect();
        self.touched = self.program.touches(&driven);
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
        let inputs = self.program.nominals().to_vec();
        let scratch = self.program.scratch(&inputs)?;
        let readings = Vec::with_capacity(self.program.reading_count());
        let shifts = vec![[0.0; 9]; self.readings.len()];
        let sheet = Sheet { model: self, readings, shifts, end: End::default(), seen: None };
        Ok(Bench { model: self, inputs, scratch, values: vec![0.0; self.coordinates.len()], sheet })
    }
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
struct Slopes {
    /// Event that reads.
    event: usize,
    nodes: Vec<(Arc<LevelCurve>, StickHeights)>,
}

impl Slopes {
    fn of(draft: &Draft, event: usize, standing: Attitude) -> Result<Self, Error> {
        let node = |node: usize| -> Result<_, Error> {
            let (p, r) = slope_of(node);
            let on = standing.on_ground(Attitude::from_degrees(p, r)?)?;
            Ok((draft.circuit.sump().curve(on)?, draft.circuit.stick().heights(on.up())))
        };
        Ok(Self { event, nodes: (0..9).map(node).collect::<Result<_, _>>()? })
    }

    /// What the slope adds at each node to the reading on level ground, along the blade (m). The sump's liquid is taken as one
    /// pool at a common level.
    fn shifts(&self, volume: f64, datum: f64) -> [f64; 9] {
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

/// What a state shows beside the stick.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct End {
    shares: [f64; 3],
    coolant: f64,
    floor: f64,
    drained: f64,
    filter_went: bool,
}

/// Listens to one run.
struct Sheet<'a> {
    model: &'a Model,
    readings: Vec<Reading>,
    /// What the slope adds to each of the record's readings at the nodes (m).
    shifts: Vec<[f64; 9]>,
    end: End,
    seen: Option<Seen>,
}

impl Recorder for Sheet<'_> {
    fn start(&mut self, _view: &View<'_>) {
        self.readings.clear();
    }

    fn row(&mut self, event: usize, view: &View<'_>) {
        for (slopes, shifts) in self.model.slopes.iter().zip(&mut self.shifts) {
            if let Some(slopes) = slopes.as_ref().filter(|s| s.event == event) {
                *shifts = slopes.shifts(view.volume_of_drawing(), view.datum());
            }
        }
        if event != self.model.last_told {
            return;
        }
        let places = &self.model.program.places;
        let contents = view.contents();
        let sump = &contents[SUMP];
        let total = sump.total().max(1e-12);
        self.end = End {
            shares: [sump.mass[0] / total, sump.mass[2] / total, (sump.mass[3] + sump.mass[4]) / total],
            coolant: view.supplied()[3] / COOLANT_DENSITY,
            floor: view.volume(places.floor),
            drained: view.volume(places.pan),
            filter_went: contents[places.old_filter].total() > 0.0,
        };
        self.seen = self.model.watch.as_ref().and_then(|w| w.end(view).next());
    }

    fn reading(&mut self, _nth: usize, taken: &Taken<'_>) {
        self.readings.push(taken.all());
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        Bend::Bend
    }
}

/// Working memory of a model.
pub(crate) struct Bench<'a> {
    model: &'a Model,
    inputs: Vec<f64>,
    scratch: Scratch,
    values: Vec<f64>,
    sheet: Sheet<'a>,
}

/// A reading as the simulation has it, without noise: along the blade (m), fraction, from MAX (m3).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Simulated {
    pub along: f64,
    pub fraction: f64,
    pub from_max: f64,
}

impl Target for Bench<'_> {
    fn log_likelihood(&mut self, scores: &[f64]) -> Result<f64, Error> {
        self.run(scores)?;
        Ok((0..self.model.observed.len()).map(|i| self.log_term(i)).sum())
    }
}

impl Bench<'_> {
    /// Runs the program at these scores.
    pub(crate) fn run(&mut self, scores: &[f64]) -> Result<(), Error> {
        let model = self.model;
        self.inputs.copy_from_slice(model.program.nominals());
        for (i, (value, coordinate)) in self.values.iter_mut().zip(&model.coordinates).enumerate() {
            let z = match model.tie {
                Some((scale, datum, r)) if datum == i => r * scores[scale] + (1.0 - r * r).sqrt() * scores[i],
                _ => scores[i],
            };
            *value = coordinate.prior.at_score(z);
            for ix in &coordinate.inputs {
                self.inputs[*ix] = *value;
            }
        }
        for change in &model.changes {
            let by = self.values[change.coordinate] * change.factor;
            let input = &mut self.inputs[change.input];
            match change.how {
                How::Set => *input = by,
                How::Add => *input += by,
                How::Scale => *input *= by,
            }
        }
        model.program.refresh(&self.inputs, model.touched, &mut self.scratch);
        model.program.run(&self.inputs, &mut self.scratch, &mut self.sheet)?;
        Ok(())
    }

    /// Value of an unknown in the last run (SI).
    pub(crate) fn unknown(&self, which: usize) -> f64 {
        self.values[self.model.unknowns[which].1]
    }

    /// State of the last run at the end of the story, where checks were appended.
    pub(crate) fn seen(&self) -> Option<Seen> {
        self.sheet.seen
    }

    /// Pitch and roll of the ground in the last run (deg).
    pub(crate) fn slope(&self) -> [f64; 2] {
        self.model.slope.map_or([0.0; 2], |s| s.map(|c| self.values[c].clamp(-MOST_SLOPE_DEG, MOST_SLOPE_DEG)))
    }

    /// Whether the hypothesis has pressure in the tube.
    pub(crate) fn has_pressure(&self) -> bool {
        self.model.unknowns.iter().any(|(u, _)| u.unit == "Pa")
    }

    pub(crate) fn shift(&self) -> f64 {
        self.model.shift.map_or(0.0, |c| self.values[c])
    }

    /// A reading of the record in the last run, on ground turned by `turn` (1 as it stood, -1 turned round).
    pub(crate) fn reading(&self, which: usize, turn: f64) -> Simulated {
        let mut of = self.simulated(self.model.readings[which]);
        let shift = self.shift() + self.sloped(which, turn);
        if shift != 0.0 {
            of.along += shift;
            of.fraction += shift / self.model.span_length;
            of.from_max += shift * self.model.area;
        }
        of
    }

    /// What the ground's slope adds to a reading along the blade (m): a parabola through the nodes, both ways.
    fn sloped(&self, which: usize, turn: f64) -> f64 {
        if self.model.slope.is_none() {
            return 0.0;
        }
        let [wp, wr] = self.slope().map(|angle| {
            let t = angle * turn / SLOPE_NODE_DEG;
            [0.5 * t * (t - 1.0), 1.0 - t * t, 0.5 * t * (t + 1.0)]
        });
        self.sheet.shifts[which].iter().enumerate().map(|(k, shift)| wp[k / 3] * wr[k % 3] * shift).sum()
    }

    /// What the ground or an unknown shift adds to a reading along the blade (m).
    pub(crate) fn on_ground(&self, which: usize) -> f64 {
        self.reading(which, 1.0).along - self.simulated(self.model.readings[which]).along
    }

    /// A reading of what was appended, along the blade (m).
    pub(crate) fn appended(&self, which: usize) -> f64 {
        self.model.appended.get(which).map_or(0.0, |nth| self.simulated(*nth).along)
    }

    /// A reading of the program, in order.
    pub(crate) fn simulated(&self, nth: usize) -> Simulated {
        let Some(r) = self.sheet.readings.get(nth) else {
            return Simulated { along: 0.0, fraction: 0.0, from_max: 0.0 };
        };
        Simulated { along: r.s, fraction: r.fraction, from_max: r.from_max }
    }

    /// Standard uncertainty of a reading along the blade (m).
    pub(crate) fn scatter(&self, extra: f64) -> f64 {
        let own = self.inputs[self.model.program.circuit.layout().stick.scatter].abs().max(1e-4);
        let wide = if self.model.shift.is_some() { NONE_SCATTER * self.model.span_length } else { 0.0 };
        own.hypot(extra).hypot(wide)
    }

    /// What an observation's number is in the last run, with its standard uncertainty, in the unit of the observation.
    pub(crate) fn predicted(&self, i: usize) -> (f64, f64) {
        match &self.model.observed[i] {
            Observed::Reading(seen) => {
                let at = self.reading(seen.reading, 1.0);
                let sd = self.scatter(seen.extra);
                match seen.value {
                    SeenValue::Fraction(_) => (at.fraction, sd / self.model.span_length),
                    SeenValue::FromMax(_) => (at.from_max, sd * self.model.area),
                    _ => (at.along, sd),
                }
            }
            Observed::Amount { what, sd, .. } => (self.amount(*what), *sd),
            Observed::Sign { sign, .. } => (self.sign(*sign), 0.0),
        }
    }

    /// The number that was seen, in the unit of `predicted`; none for words and signs.
    pub(crate) fn number_seen(&self, i: usize) -> Option<f64> {
        match &self.model.observed[i] {
            Observed::Reading(seen) => match seen.value {
                SeenValue::Along(v) | SeenValue::Fraction(v) | SeenValue::FromMax(v) => Some(v),
                SeenValue::Says(_) => None,
            },
            Observed::Amount { value, .. } => Some(*value),
            Observed::Sign { .. } => None,
        }
    }

    /// For words and signs: whether it was so, and the probability that it is, in the last run.
    pub(crate) fn said(&self, i: usize) -> (bool, f64) {
        match &self.model.observed[i] {
            Observed::Sign { sign, there } => (*there, if self.model.shift.is_some() { 0.5 } else { self.sign(*sign) }),
            _ => (true, self.log_term(i).exp()),
        }
    }

    /// Logarithm of the probability (density) of an observation in the last run.
    pub(crate) fn log_term(&self, i: usize) -> f64 {
        let broad = self.model.shift.is_some();
        match &self.model.observed[i] {
            Observed::Reading(seen) => self.log_reading(i, seen),
            Observed::Amount { value, sd, .. } => {
                let (at, _) = self.predicted(i);
                let sd = if broad { sd.hypot(0.3 * value) } else { *sd };
                let wide = 2.0 * value.max(at).max(1e-4);
                mixed(normal::density((value - at) / sd) / sd, 1.0 / wide).ln()
            }
            Observed::Sign { sign, there } => {
                let yes = if broad { 0.5 } else { self.sign(*sign) };
                (if *there { yes } else { 1.0 - yes }).ln()
            }
        }
    }

    fn log_reading(&self, i: usize, seen: &SeenAs) -> f64 {
        let (at, sd) = self.predicted(i);
        let (value, range) = match seen.value {
            SeenValue::Along(v) => (v, self.model.blade),
            SeenValue::Fraction(v) => (v, self.model.blade / self.model.span_length),
            SeenValue::FromMax(v) => (v, self.model.blade * self.model.area),
            SeenValue::Says(says) => return mixed(self.says(says, at, sd, seen.reading), 0.5).ln(),
        };
        mixed(normal::density((value - at) / sd) / sd, 1.0 / range).ln()
    }

    /// Probability that the stick says this, in words.
    fn says(&self, says: Says, at: f64, sd: f64, reading: usize) -> f64 {
        let stick = self.model.program.circuit.layout().stick;
        let (min, max) = (self.inputs[stick.min], self.inputs[stick.max]);
        let wetting = self.sheet.readings.get(self.model.readings[reading]).map(|r| r.wetting);
        let at = match wetting {
            Some(Wetting::BelowTip) => at - 3.0 * sd,
            Some(Wetting::AboveBlade) => at + 3.0 * sd,
            _ => at,
        };
        let above = |mark: f64| normal::cdf((at - mark) / sd);
        match says {
            Says::Dry => 1.0 - above(0.0),
            Says::Under => 1.0 - above(min),
            Says::Between => (above(min) - above(max)).max(0.0),
            Says::Over => above(max),
            Says::AboveBlade => above(self.model.blade),
        }
    }

    /// An amount in the last run (m3).
    pub(crate) fn amount(&self, what: Amounts) -> f64 {
        match what {
            Amounts::Drained => self.sheet.end.drained,
            Amounts::Poured => {
                let density = self.inputs[self.model.program.circuit.layout().density_15c];
                let stated = |(ix, mass): &(Ix, bool)| self.inputs[*ix].max(0.0) / if *mass { density } else { 1.0 };
                self.model.stated_pours.iter().map(stated).sum()
            }
        }
    }

    /// Probability that a sign is said to be there, in the last run.
    pub(crate) fn sign(&self, sign: Sign) -> f64 {
        let end = &self.sheet.end;
        let x = match sign {
            Sign::OldColour => end.shares[0],
            Sign::FuelSmell => end.shares[1],
            Sign::Milky => end.shares[2],
            Sign::CoolantFalls => end.coolant,
            Sign::OilOnFloor | Sign::LoosePlug => end.floor,
            Sign::SecondDipDiffers => self.second_dip_difference(),
            Sign::OldFilter => f64::from(u8::from(!end.filter_went)),
            Sign::WrongStick => {
                let seat = self.model.program.circuit.layout().stick.seat_offset;
                (self.inputs[seat] - self.model.program.nominals()[seat]).abs()
            }
        };
        sign.curve().probability(x)
    }

    /// The first reading less a second, wiped, seated dip (m); without sign.
    fn second_dip_difference(&self) -> f64 {
        let (Some(second), Some(first)) = (self.model.second_dip, self.model.readings.first()) else { return 0.0 };
        (self.simulated(*first).along - self.simulated(second).along).abs()
    }

    /// The second dip along the blade (m), on the slope if there is one.
    pub(crate) fn second_dip(&self) -> f64 {
        let Some(second) = self.model.second_dip else { return self.reading(0, 1.0).along };
        let Some(first) = self.model.readings.first() else { return 0.0 };
        self.reading(0, 1.0).along + self.simulated(second).along - self.simulated(*first).along
    }
}

/// A probability (density) with a small chance that the observation is mistaken.
fn mixed(p: f64, mistaken: f64) -> f64 {
    (1.0 - MISTAKEN) * p + MISTAKEN * mistaken
}
