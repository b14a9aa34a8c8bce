//! One service at nominal values: the state after every event, the readings and the ledger.

use std::fmt;
use std::sync::Arc;

use super::event::Event;
use super::ledger::Ledger;
use super::lying::PoolRow;
use super::oil::{Laws, Oil};
use super::program::Program;
use super::reading::{Reading, Taken, Wetting};
use super::recorder::{Bend, Misfit, Recorder};
use super::state::{ApartPool, Contents, State};
use super::view::View;
use super::{ServiceError, event::Action};
use crate::Error;
use crate::circuit::{Circuit, SUMP};
use crate::numeric::text::signed;

/// Carries a service out once, every input at its nominal value.
///
/// The start is the default one: at MAX in the reference condition, old oil.
///
/// ```
/// use fillmark::circuit::Circuit;
/// use fillmark::service::{Action, Amount, simulate};
/// use fillmark::units::Value;
/// let bus = Circuit::demo("shuttle-bus")?;
/// let events = [
///     Action::Drain { plug: None, duration: Value::parse("duration", "10 min")?, temperature: None }.into(),
///     Action::Pour {
///         amount: Amount::Volume(Value::parse("volume", "6.5 L")?),
///         temperature: None,
///         measured_with: None,
///     }
///     .into(),
/// ];
/// let line = simulate(&bus, &events)?;
/// assert!(line.rows()[1].volume_sump_m3 < line.rows()[2].volume_sump_m3);
/// # Ok::<(), fillmark::Error>(())
/// ```
pub fn simulate(circuit: &Circuit, events: &[Event]) -> Result<Timeline, Error> {
    carry_out(Program::compile(circuit, events)?, events)
}

/// As [`simulate`], starting from a state of this circuit, such as the end of an earlier service: all plugs closed, the
/// filter fitted.
pub fn simulate_from(circuit: &Circuit, events: &[Event], start: &State) -> Result<Timeline, Error> {
    carry_out(Program::compile_from(circuit, events, start)?, events)
}

fn carry_out(program: Program, events: &[Event]) -> Result<Timeline, Error> {
    let inputs = program.nominals();
    let mut scratch = program.scratch(inputs)?;
    let mut tape = Tape::for_program(&program, scratch.oil().laws());
    program.run(inputs, &mut scratch, &mut tape)?;
    Ok(tape.into_timeline(program, events))
}

/// The state after one event.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Index of the event; `None` for the start.
    pub event: Option<usize>,
    /// Mass of each component brought in since the start (kg).
    pub supplied: [f64; 5],
    /// Level of the sump above its lowest point at the attitude of the event (m).
    pub level_m: f64,
    /// Volume in the sump, all its pools, at its own temperature (m3).
    pub volume_sump_m3: f64,
    /// The pools of the sump, largest first, where it may hold several at this service's attitudes; else empty.
    pub pools: Vec<PoolRow>,
}

/// A reading with the event and the label it was taken under.
#[derive(Debug, Clone, PartialEq)]
pub struct TakenReading {
    /// Index of the event.
    pub event: usize,
    /// Label of the event.
    pub label: Option<String>,
    /// What the stick said.
    pub reading: Reading,
}

/// What happened in a service, row by row.
#[derive(Debug, Clone)]
pub struct Timeline {
    circuit: Circuit,
    places: Arc<[String]>,
    events: Arc<[Event]>,
    rows: Vec<Row>,
    /// Contents of every place, row by row.
    contents: Vec<Contents>,
    readings: Vec<TakenReading>,
    oil: Laws,
    at_max_m3: f64,
    elsewhere_m3: f64,
    reference_c: f64,
    drained_back_m3: f64,
}

impl PartialEq for Timeline {
    fn eq(&self, other: &Self) -> bool {
        self.circuit == other.circuit
            && self.events == other.events
            && self.rows == other.rows
            && self.contents == other.contents
    }
}

impl Timeline {
    /// The circuit served.
    pub fn circuit(&self) -> &Circuit {
        &self.circuit
    }

    /// The events carried out.
    pub fn events(&self) -> &[Event] {
        &self.events
    }

    /// The start, then one row per event.
    pub fn rows(&self) -> &[Row] {
        &self.rows
    }

    /// Contents of every place after a row (row 0 is the start), in the order of [`Timeline::places`]; none where there is no
    /// such row.
    pub fn contents(&self, row: usize) -> &[Contents] {
        let places = self.places.len();
        self.contents.get(row * places..(row + 1) * places).unwrap_or_default()
    }

    /// The readings in order.
    pub fn readings(&self) -> &[TakenReading] {
        &self.readings
    }

    /// The one reading of this label.
    pub fn reading(&self, label: &str) -> Result<&TakenReading, ServiceError> {
        find_reading(&self.readings, |r| r.label.as_deref(), label)
    }

    /// The state after an event (row 0 is the start).
    pub fn state(&self, row: usize) -> Option<State> {
        let apart = self.rows.get(row)?.pools.iter().filter(|p| !p.under_tip);
        let apart = apart.map(|p| ApartPool { bottom_mm: p.bottom.map(|c| c * 1e3), contents: p.contents }).collect();
        let names = Arc::clone(&self.circuit.places().names);
        let contents = self.contents(row)[..names.len()].to_vec();
        Some(State { places: names, contents, apart })
    }

    /// Path of every place.
    pub fn places(&self) -> &[String] {
        &self.places
    }

    /// Masses and volumes by row, place and component.
    pub fn ledger(&self) -> Ledger<'_> {
        Ledger::new(self)
    }

    /// Volume below MAX in the reference condition (m3).
    pub fn at_max_m3(&self) -> f64 {
        self.at_max_m3
    }

    /// What filter and stores hold in the reference condition, after its wait (m3).
    pub fn elsewhere_m3(&self) -> f64 {
        self.elsewhere_m3
    }

    /// Temperature of the reference condition (°C).
    pub(super) fn reference_c(&self) -> f64 {
        self.reference_c
    }

    /// Volume the sump would hold at the end, drained back, filter full, in the reference condition (m3). Below zero the sump is dry, and
    /// filter and stores lack so much of what is theirs.
    pub fn drained_back_m3(&self) -> f64 {
        self.drained_back_m3
    }
}

/// The one element of this label; otherwise an error that lists the labels.
pub(crate) fn find_reading<'a, T>(
    all: &'a [T],
    label_of: impl Fn(&T) -> Option<&str>,
    label: &str,
) -> Result<&'a T, ServiceError> {
    let mut found = all.iter().filter(|r| label_of(r) == Some(label));
    match (found.next(), found.next()) {
        (Some(one), None) => Ok(one),
        _ => Err(ServiceError::UnknownLabel {
            label: label.into(),
            accepted: all.iter().filter_map(label_of).collect::<Vec<_>>().join(", "),
        }),
    }
}

/// A line for every event with what it leaves in the sump, then what went where.
impl fmt::Display for Timeline {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}: a service of {} events", self.circuit.name(), self.events.len())?;
        let names: Vec<String> = self.rows.iter().map(|r| self.name_of(r)).collect();
        let width = names.iter().map(|n| n.chars().count()).max().unwrap_or(0).max(24);
        writeln!(f, "{:<width$} {:>9} {:>9} {:>9}  reading", "event", "sump L", "level mm", "circuit L")?;
        for (i, (row, name)) in self.rows.iter().zip(&names).enumerate() {
            let circuit = self.volume_in_circuit(i);
            let (sump, level) = (row.volume_sump_m3 * 1e3, row.level_m * 1e3);
            write!(f, "{name:<width$} {sump:>9.3} {level:>9.2} {:>9.3}", circuit * 1e3)?;
            if let Some(taken) = row.event.and_then(|i| self.readings.iter().find(|r| r.event == i)) {
                write!(f, "  {}", Said(taken))?;
            }
            writeln!(f)?;
        }
        self.write_end(f)
    }
}

/// A reading in words.
struct Said<'a>(&'a TakenReading);

impl fmt::Display for Said<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let r = &self.0.reading;
        match r.wetting {
            Wetting::BelowTip => write!(f, "dry stick: below the tip")?,
            Wetting::AboveBlade => write!(f, "above the blade")?,
            Wetting::OnBlade => {
                let off = signed(r.from_max * 1e3, 2);
                write!(f, "{:.1} mm, {:.2} of the span, {off} L from MAX", r.s * 1e3, r.fraction)?;
            }
        }
        match &self.0.label {
            Some(label) => write!(f, " ({label})"),
            None => Ok(()),
        }
    }
}

impl Timeline {
    /// What a row is called: its event in words.
    pub(super) fn name_of(&self, row: &Row) -> String {
        row.event.map_or_else(|| "start".into(), |i| self.events[i].to_string())
    }

    /// Everything in the circuit after a row, pools that lie apart among it, each at its own temperature (m3); 0 where there is no
    /// such row.
    pub fn volume_in_circuit(&self, row: usize) -> f64 {
        let (places, contents) = (self.circuit.places(), self.contents(row));
        let apart = contents.iter().skip(places.names.len());
        contents.iter().take(places.in_circuit()).chain(apart).map(|c| self.volume_of(c)).sum()
    }

    /// What came out, what went in, and where the level would stand.
    fn write_end(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sum = |masses: [f64; 5]| masses.iter().sum::<f64>();
        let balance = self.ledger().balance();
        let outside = [
            ("drained or withdrawn", sum(balance.drained)),
            ("in old filters", sum(balance.old_filter)),
            ("on the floor", sum(balance.floor)),
            ("poured", sum(balance.poured)),
        ];
        let told: Vec<String> =
            outside.iter().filter(|(_, m)| *m > 0.0).map(|(what, m)| format!("{what} {m:.3} kg")).collect();
        if !told.is_empty() {
            writeln!(f, "by mass: {}", told.join(", "))?;
        }
        if let Some(most) = self.most_past_top() {
            let (most, capacity) = (most * 1e3, self.circuit.sump().capacity_si() * 1e3);
            writeln!(
                f,
                "overfull: up to {most:.3} L in a sump whose drawing holds {capacity:.3} L; its level is told as at the top, its \
                 readings are no more than that"
            )?;
        }
        let (drained, max) = (self.drained_back_m3 * 1e3, self.at_max_m3 * 1e3);
        write!(f, "drained back, filter full, in the reference condition: ")?;
        if drained > -5e-4 {
            write!(f, "{:.3} L in the sump", drained.max(0.0))?;
        } else {
            write!(f, "nothing in the sump, and filter and stores lack {:.3} L", -drained)?;
        }
        writeln!(f, ", {} L from MAX", signed(drained - max, 3))
    }

    /// The most that the sump holds in a row, where that is more than its drawing holds there, by more than rounding (m3).
    fn most_past_top(&self) -> Option<f64> {
        let (layout, nominals) = (self.circuit.layout(), self.circuit.nominals());
        let capacity = self.circuit.sump().capacity_si() * (1.0 + 1e-12);
        let past = |(i, row): (usize, &Row)| {
            let scale = layout.volume_scale_at(nominals, self.contents(i).first()?.temperature_c);
            (row.volume_sump_m3 / scale > capacity).then_some(row.volume_sump_m3)
        };
        self.rows.iter().enumerate().filter_map(past).reduce(f64::max)
    }

    /// Volume of each component of a place's contents at their own temperature (m3).
    pub(super) fn volumes_of(&self, contents: &Contents) -> [f64; 5] {
        Oil::of(self.oil).volumes(contents)
    }

    /// Volume of a place's contents at their own temperature (m3).
    pub(super) fn volume_of(&self, contents: &Contents) -> f64 {
        Oil::of(self.oil).volume(contents)
    }
}

/// Records everything.
struct Tape {
    rows: Vec<Row>,
    contents: Vec<Contents>,
    readings: Vec<Reading>,
    oil: Laws,
    at_max_m3: f64,
    elsewhere_m3: f64,
    reference_c: f64,
    drained_back_m3: f64,
    /// Stance, volume and temperature of the sump in the latest row.
    latest: Option<(usize, f64, f64)>,
}

impl Tape {
    fn for_program(program: &Program, oil: Laws) -> Self {
        let rows = program.steps.len() + 1;
        let places = program.places.names.len() + usize::from(program.has_pools());
        Self {
            rows: Vec::with_capacity(rows),
            contents: Vec::with_capacity(rows * places),
            readings: Vec::with_capacity(program.reading_count()),
            oil,
            at_max_m3: 0.0,
            elsewhere_m3: 0.0,
            reference_c: 0.0,
            drained_back_m3: 0.0,
            latest: None,
        }
    }

    fn push(&mut self, event: Option<usize>, view: &View<'_>) {
        let volume_sump_m3 = view.volume_sump();
        let level_m = self.level(volume_sump_m3, view);
        view.append_contents(&mut self.contents);
        self.rows.push(Row { event, supplied: view.supplied(), level_m, volume_sump_m3, pools: view.pools() });
    }

    /// Many an event leaves the sump as it was: then its level is that of the row before.
    fn level(&mut self, volume_sump: f64, view: &View<'_>) -> f64 {
        let now = Some((view.stance, volume_sump, view.contents()[SUMP].temperature_c));
        let before = self.rows.last().filter(|_| self.latest == now && view.lying.is_none());
        self.latest = now;
        before.map_or_else(|| view.level_of(volume_sump), |row| row.level_m)
    }

    fn into_timeline(self, program: Program, events: &[Event]) -> Timeline {
        let readings = program
            .readings
            .iter()
            .zip(self.readings)
            .map(|(point, reading)| TakenReading { event: point.event, label: point.label.clone(), reading })
            .collect();
        Timeline {
            places: program.place_names(),
            circuit: program.circuit,
            events: events.into(),
            rows: self.rows,
            contents: self.contents,
            readings,
            oil: self.oil,
            at_max_m3: self.at_max_m3,
            elsewhere_m3: self.elsewhere_m3,
            reference_c: self.reference_c,
            drained_back_m3: self.drained_back_m3,
        }
    }
}

impl Recorder for Tape {
    fn start(&mut self, view: &View<'_>) {
        self.at_max_m3 = view.volume_at_max();
        self.elsewhere_m3 = view.volume_elsewhere();
        self.reference_c = view.reference_c();
        self.push(None, view);
    }

    fn row(&mut self, event: usize, view: &View<'_>) {
        self.push(Some(event), view);
    }

    fn reading(&mut self, _nth: usize, taken: &Taken<'_>) {
        self.readings.push(taken.all());
    }

    fn end(&mut self, view: &View<'_>) {
        self.drained_back_m3 = view.drained_back();
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        Bend::Refuse
    }
}

/// Whether an event reads the stick.
pub(crate) fn is_read(event: &Event) -> bool {
    matches!(event.action, Action::Read(_))
}
