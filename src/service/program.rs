//! A service compiled for a circuit: flat operations over flat inputs.
//!
//! `simulate`, `predict` and `plan_refill` all run the same [`Program`]; they differ only in the inputs they put in and in
//! the recorder that listens. Orders that can never be carried out are refused here; those that depend on amounts are
//! refused while running.

use std::sync::{Arc, OnceLock};

use super::event::{Action, Amount, Event, Face, Foreign, HowRead, When};
use super::leaning::{AttitudeAt, Leaning};
use super::lying::Basins;
use super::state::{COOLANT, Contents, FUEL, State, WATER};
use super::{ServiceError, inputs};
use crate::Error;
use crate::circuit::spec::AttitudeSpec;
use crate::circuit::{Circuit, Emptying, Ix, Places, StickHeights};
use crate::geometry::{Attitude, LevelCurve};
use crate::units::{Dimension, Distribution, Value};

pub use inputs::{Input, InputView};

/// What the sump and the stick look like at one attitude; the first of a program is the reference attitude.
#[derive(Debug, Clone)]
pub(crate) struct Stance {
    pub attitude: Attitude,
    pub curve: Arc<LevelCurve>,
    pub stick: StickHeights,
    /// Where liquid may lie apart.
    pub basins: Option<Basins>,
    /// Which of the program's leaning stances it is; none where its attitude is exact.
    pub leaning: Option<usize>,
}

/// One flat operation. Indices point into the inputs.
#[derive(Debug, Clone)]
pub(crate) enum Op {
    SetTemperature(Ix),
    /// From now on this set of plugs is open.
    Plugs {
        set: Option<usize>,
    },
    RemoveFilter,
    FitFilter(FitIx),
    Pour {
        amount: AmountIx,
        temperature: Ix,
    },
    Withdraw {
        amount: AmountIx,
    },
    Run {
        duration: Ix,
        temperature: Option<Ix>,
    },
    Rest {
        duration: Ix,
    },
    Begin(ActiveRate),
    Stop {
        id: usize,
    },
    Wipe,
    Read(HowIx),
}

/// Whether an operation pours.
pub(crate) fn is_pour(op: &Op) -> bool {
    matches!(op, Op::Pour { .. })
}

/// Whether liquid returns while an operation lasts.
pub(super) fn is_wait(op: &Op) -> bool {
    matches!(op, Op::Run { .. } | Op::Rest { .. })
}

/// A filter that is fitted.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FitIx {
    pub primed: Ix,
    pub net_volume: Option<Ix>,
    pub temperature: Ix,
}

/// How the stick is read.
#[derive(Debug, Clone, Copy)]
pub(crate) struct HowIx {
    pub noise: Ix,
    pub smear: Option<Ix>,
    pub seat_offset: Option<Ix>,
    pub tube_pressure: Option<Ix>,
    pub face: Face,
    /// Which of the circuit's other sticks.
    pub stick: Option<usize>,
}

/// A rate that is active.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ActiveRate {
    pub id: usize,
    pub kind: RateKind,
    pub rate: Ix,
    pub when: When,
}

/// What a rate does.
#[derive(Debug, Clone, Copy)]
pub(crate) enum RateKind {
    Leak,
    Use,
    /// Of this component.
    Ingress(usize),
}

/// Plugs that are open together.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PlugSet {
    /// Which of the circuit's plugs.
    pub plugs: Vec<usize>,
    /// Stated heels among them; where there is none the geometry says it.
    pub heels: Vec<Ix>,
    /// What stays besides the geometry's heel, plug by plug; that of the lowest counts.
    pub lips: Vec<Ix>,
}

/// An amount, by volume times an instrument's scale, or by mass.
#[derive(Debug, Clone, Copy)]
pub(crate) enum AmountIx {
    Volume { stated: Ix, scale: Option<Ix> },
    Mass { stated: Ix },
}

/// One event's operations and stance.
#[derive(Debug, Clone)]
pub(crate) struct Step {
    pub ops: std::ops::Range<usize>,
    pub stance: usize,
}

/// A service compiled for a circuit.
///
/// `Program::run` (in the machine) carries it out without allocating; the inputs are one flat slice in the order of
/// [`Program::inputs`].
#[derive(Debug, Clone)]
pub struct Program {
    pub(crate) circuit: Circuit,
    pub(crate) places: Arc<Places>,
    pub(crate) ops: Vec<Op>,
    pub(crate) steps: Vec<Step>,
    pub(crate) stances: Vec<Stance>,
    pub(crate) readings: Vec<ReadingPoint>,
    pub(crate) plug_sets: Vec<PlugSet>,
    /// Emptying by set of plugs and stance, where the geometry rules.
    emptyings: Vec<(usize, usize, Arc<Emptying>)>,
    /// Rates that are ever begun.
    pub(crate) rate_count: usize,
    /// A start other than the default one.
    pub(crate) given_start: Option<State>,
    /// Stances whose attitudes are uncertain.
    pub(crate) leanings: Vec<Leaning>,
    /// Events that run the engine and whose surface is asked for as a reading's is: of the pickup.
    pub(crate) watched_runs: Vec<usize>,
    /// The first uncertain attitude of which a draw is not covered, and why.
    uncovered: Option<(AttitudeAt, String)>,
    /// Inputs besides the scalars of the circuit, which come first.
    own_inputs: Vec<Input>,
    nominals: Vec<f64>,
}

/// Where a reading is taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ReadingPoint {
    pub event: usize,
    pub label: Option<String>,
}

impl Program {
    /// Compiles a service for a circuit; refuses orders that can never be carried out, naming the event.
    pub fn compile(circuit: &Circuit, events: &[Event]) -> Result<Self, Error> {
        let mut compiler = Compiler::new(circuit, events.len())?;
        for (i, event) in events.iter().enumerate() {
            compiler.event(i, event)?;
        }
        Ok(compiler.program)
    }

    /// As [`Program::compile`], starting from a state of this circuit: all plugs closed, the filter fitted, the stick wiped.
    pub fn compile_from(circuit: &Circuit, events: &[Event], start: &State) -> Result<Self, Error> {
        let mut program = Self::compile(circuit, events)?;
        check_start(start, &program.places)?;
        program.given_start = Some(start.clone());
        Ok(program)
    }

    /// Whether liquid may lie apart at any attitude of this service.
    pub(crate) fn has_pools(&self) -> bool {
        self.stances.iter().any(|s| s.basins.is_some())
            || self.given_start.as_ref().is_some_and(|s| !s.apart.is_empty())
    }

    /// Whether liquid may lie apart at a stance.
    pub(crate) fn has_pools_at(&self, stance: usize) -> bool {
        self.stances[stance].basins.is_some()
    }

    /// Names of the places of a row: the circuit's, and `sump.apart` where liquid may lie apart.
    pub(crate) fn place_names(&self) -> Arc<[String]> {
        if !self.has_pools() {
            return Arc::clone(&self.places.names);
        }
        self.places.names.iter().cloned().chain([APART.to_string()]).collect()
    }

    /// How the sump empties through a set of plugs at a stance, where the geometry says it.
    pub(crate) fn emptying(&self, set: usize, stance: usize) -> Option<&Emptying> {
        self.emptyings.iter().find(|(s, at, _)| (*s, *at) == (set, stance)).map(|(.., e)| &**e)
    }

    /// A stance at exactly this attitude, made where there is none yet.
    pub(crate) fn stance_at(&mut self, attitude: Attitude) -> Result<usize, Error> {
        if let Some(known) = self.stances.iter().position(|s| s.leaning.is_none() && s.attitude == attitude) {
            return Ok(known);
        }
        self.stances.push(stance(&self.circuit, attitude)?);
        Ok(self.stances.len() - 1)
    }

    /// How the vehicle stands during an event.
    pub(crate) fn attitude_of(&self, event: usize) -> Attitude {
        self.stances[self.steps[event].stance].attitude
    }

    /// The stance of an event.
    pub(crate) fn stance_of(&self, event: usize) -> usize {
        self.steps[event].stance
    }

    /// Whether a stance's attitude is uncertain.
    pub(crate) fn leans(&self, stance: usize) -> bool {
        self.stances[stance].leaning.is_some()
    }

    /// Whether the free surface after an event is asked for.
    pub(crate) fn asks_surface(&self, event: usize) -> bool {
        self.watched_runs.contains(&event) || self.readings.iter().any(|point| point.event == event)
    }

    /// Notes why draws of the attitude of a leaning stance are not covered.
    pub(crate) fn uncover(&mut self, stance: usize, reason: String) {
        if let Some(leaning) = self.stances[stance].leaning {
            self.uncovered.get_or_insert((self.leanings[leaning].at, reason));
        }
    }

    /// The path of an uncertain attitude of which a draw is not covered, and why.
    pub(crate) fn uncovered(&self) -> Option<(String, &str)> {
        self.uncovered.as_ref().map(|(at, reason)| (at.path(), reason.as_str()))
    }

    /// Every input, circuit first, then the events in order.
    pub fn inputs(&self) -> impl ExactSizeIterator<Item = InputView<'_>> {
        let scalars = self.circuit.scalars();
        (0..self.nominals.len()).map(move |i| match scalars.get(i) {
            Some(scalar) => InputView::Circuit(scalar),
            None => InputView::Own(&self.own_inputs[i - scalars.len()]),
        })
    }

    /// Number of inputs.
    pub fn input_count(&self) -> usize {
        self.nominals.len()
    }

    /// The nominal value of every input (SI).
    pub fn nominals(&self) -> &[f64] {
        &self.nominals
    }

    /// Number of readings taken.
    pub fn reading_count(&self) -> usize {
        self.readings.len()
    }

    /// What has to be derived again when these inputs change.
    pub(crate) fn touches(&self, inputs: &[Ix]) -> Touched {
        let l = self.circuit.layout();
        let any = |of: &[Ix]| inputs.iter().any(|i| of.contains(i));
        let expansion = l.expansion.is_some_and(|e| any(&[e.linear, e.drawn_at]));
        let leans =
            self.stances[0].leaning.is_some_and(|at| self.leanings[at].angles.iter().flatten().any(|ix| any(&[*ix])));
        let marks = any(&[l.volume_scale, l.datum, l.stick.max, l.reference_temperature]) || expansion || leans;
        let filter =
            l.filter.is_some_and(|f| any(&[f.net_volume]) || f.leak.is_some_and(|k| any(&[k.drains, k.drain_time])));
        let stores =
            l.stores.iter().any(|(_, s)| any(&[s.kept, s.running, s.film, s.pool_time, s.inertia_time, s.film_time]));
        let (density, viscosity) = (any(&[l.density_15c]), any(&[l.kv40, l.kv100]));
        let start = marks || filter || stores || density || viscosity || any(&[l.reference_wait]);
        Touched { density, viscosity, marks, start }
    }

    /// Whether anything but oil may ever be in the circuit.
    pub(crate) fn has_foreign(&self) -> bool {
        let enters = |op: &Op| matches!(op, Op::Begin(ActiveRate { kind: RateKind::Ingress(_), .. }));
        let held = |start: &State| {
            let apart = start.apart.iter().map(|pool| &pool.contents);
            start.contents.iter().chain(apart).any(Contents::has_foreign)
        };
        self.ops.iter().any(enters) || self.given_start.as_ref().is_some_and(held)
    }
}

/// What has to be derived again in a draw.
#[derive(Debug, Clone, Copy, Default)]
#[allow(clippy::struct_excessive_bools)] // each is derived by itself
pub(crate) struct Touched {
    /// The oil's density law.
    pub density: bool,
    /// Its viscosity line.
    pub viscosity: bool,
    /// The volume below MAX.
    pub marks: bool,
    /// What is where at the start, of which all of these are part.
    pub start: bool,
}

struct Compiler<'a> {
    program: Program,
    circuit: &'a Circuit,
    /// The circuit's plugs that are open.
    open: Vec<usize>,
    /// The set that they are, by its place in the program's list.
    open_set: Option<usize>,
    /// Rates that are active, with their labels.
    active: Vec<(usize, Option<String>)>,
    filter_fitted: bool,
    standing: usize,
    /// Stance of the event being compiled.
    at: usize,
}

impl<'a> Compiler<'a> {
    fn new(circuit: &'a Circuit, events: usize) -> Result<Self, Error> {
        let reference = stance(circuit, circuit.reference_attitude())?;
        let scalars = circuit.scalars().len();
        let mut nominals = Vec::with_capacity(scalars + 4 * events);
        nominals.extend_from_slice(circuit.nominals());
        let program = Program {
            circuit: circuit.clone(),
            places: circuit.places(),
            ops: Vec::with_capacity(events + 4),
            steps: Vec::with_capacity(events),
            stances: vec![reference],
            readings: Vec::new(),
            plug_sets: Vec::new(),
            emptyings: Vec::new(),
            rate_count: 0,
            given_start: None,
            leanings: Vec::new(),
            watched_runs: Vec::new(),
            uncovered: None,
            own_inputs: Vec::with_capacity(2 * events),
            nominals,
        };
        let filter_fitted = circuit.layout().filter.is_some();
        let (open, active) = (Vec::new(), Vec::new());
        let mut compiler = Self { program, circuit, open, open_set: None, active, filter_fitted, standing: 0, at: 0 };
        compiler.lean(AttitudeAt::Reference, 0, &circuit.spec().reference.attitude);
        Ok(compiler)
    }

    fn event(&mut self, i: usize, event: &Event) -> Result<(), Error> {
        if let Action::Tilt { attitude } = &event.action {
            self.standing = self.stance(i, attitude)?;
        }
        let stance = match &event.attitude {
            Some(own) => self.stance(i, own)?,
            None => self.standing,
        };
        let first = self.program.ops.len();
        self.at = stance;
        self.need_emptying()?;
        self.action(i, event)?;
        self.program.steps.push(Step { ops: first..self.program.ops.len(), stance });
        Ok(())
    }

    fn action(&mut self, i: usize, event: &Event) -> Result<(), Error> {
        match &event.action {
            Action::OpenPlug { plug, temperature } => {
                self.open_plug(i, "OpenPlug", plug.as_deref(), temperature.as_ref())
            }
            Action::ClosePlug { plug } => self.close_plug(i, plug.as_deref()),
            Action::Drain { plug, duration, temperature } => {
                self.open_plug(i, "Drain", plug.as_deref(), temperature.as_ref())?;
                self.rest(i, duration)?;
                let opened = self.open.last().copied();
                self.close(opened)
            }
            Action::RemoveFilter => self.remove_filter(i, "RemoveFilter"),
            Action::FitFilter { primed, net_volume, temperature } => {
                self.fit_filter(i, "FitFilter", primed, net_volume.as_ref(), temperature.as_ref())
            }
            Action::ChangeFilter { primed, net_volume, temperature } => {
                self.remove_filter(i, "ChangeFilter")?;
                self.fit_filter(i, "ChangeFilter", primed, net_volume.as_ref(), temperature.as_ref())
            }
            Action::Pour { amount, temperature, measured_with } => {
                let amount = self.amount(i, amount, measured_with.as_deref())?;
                let temperature = self.temperature(i, temperature.as_ref())?;
                self.push(Op::Pour { amount, temperature })
            }
            Action::Withdraw { amount, measured_with } => {
                let amount = self.amount(i, amount, measured_with.as_deref())?;
                self.push(Op::Withdraw { amount })
            }
            Action::Run { duration, temperature } => self.run(i, duration, temperature.as_ref()),
            Action::Rest { duration } => self.rest(i, duration),
            Action::Tilt { .. } => Ok(()),
            Action::Leak { rate, when } => self.begin(i, event, RateKind::Leak, rate, *when),
            Action::Use { rate, when } => self.begin(i, event, RateKind::Use, rate, *when),
            Action::Ingress { component, rate, when } => {
                let component = match component {
                    Foreign::Fuel => FUEL,
                    Foreign::Coolant => COOLANT,
                    Foreign::Water => WATER,
                };
                self.begin(i, event, RateKind::Ingress(component), rate, *when)
            }
            Action::Stop { rate } => self.stop(i, rate),
            Action::Wipe => self.push(Op::Wipe),
            Action::Read(how) => {
                let how = self.how(i, how)?;
                self.program.readings.push(ReadingPoint { event: i, label: event.label.clone() });
                self.push(Op::Read(how))
            }
        }
    }

    fn open_plug(
        &mut self,
        i: usize,
        action: &str,
        plug: Option<&str>,
        at: Option<&Value<crate::units::Temperature>>,
    ) -> Result<(), Error> {
        let plug = self.plug(i, action, plug)?;
        if self.open.contains(&plug) {
            return Err(impossible(i, action, "this plug is open already; ClosePlug first"));
        }
        if let Some(at) = at {
            let at = self.temperature(i, Some(at))?;
            self.push(Op::SetTemperature(at))?;
        }
        self.open.push(plug);
        self.push_plugs()
    }

    fn close_plug(&mut self, i: usize, plug: Option<&str>) -> Result<(), Error> {
        if self.open.is_empty() {
            return Err(impossible(i, "ClosePlug", "no plug is open"));
        }
        let named = plug.map(|name| self.plug(i, "ClosePlug", Some(name))).transpose()?;
        if named.is_some_and(|n| !self.open.contains(&n)) {
            return Err(impossible(i, "ClosePlug", "that plug is not open"));
        }
        self.close(named)
    }

    /// Closes one plug, or all.
    fn close(&mut self, plug: Option<usize>) -> Result<(), Error> {
        self.open.retain(|p| plug.is_some_and(|closed| *p != closed));
        self.push_plugs()
    }

    /// The plugs now open, as an operation.
    fn push_plugs(&mut self) -> Result<(), Error> {
        self.open_set = self.set_of_open();
        self.need_emptying()?;
        self.push(Op::Plugs { set: self.open_set })
    }

    /// The set of plugs now open, by its place in the program's list.
    fn set_of_open(&mut self) -> Option<usize> {
        if self.open.is_empty() {
            return None;
        }
        let mut plugs = self.open.clone();
        plugs.sort_unstable();
        let known = self.program.plug_sets.iter().position(|s| s.plugs == plugs);
        known.or_else(|| {
            let all = &self.circuit.layout().plugs;
            let heels = plugs.iter().filter_map(|p| all[*p].1.heel).collect();
            let lips = plugs.iter().filter_map(|p| all[*p].1.lip).collect();
            self.program.plug_sets.push(PlugSet { plugs, heels, lips });
            Some(self.program.plug_sets.len() - 1)
        })
    }

    /// Prepares emptying through the plugs now open at the stance of the event, where the geometry says it.
    fn need_emptying(&mut self) -> Result<(), Error> {
        let Some(set) = self.open_set else { return Ok(()) };
        let PlugSet { plugs, heels, .. } = &self.program.plug_sets[set];
        if !heels.is_empty() || self.program.emptying(set, self.at).is_some() {
            return Ok(());
        }
        if self.program.leans(self.at) {
            let names = self.circuit.spec().plugs.keys().collect::<Vec<_>>();
            let heels = plugs.iter().map(|p| format!("plugs.{}.heel", names[*p])).collect::<Vec<_>>().join(" or ");
            let reason = format!(
                "what an open plug leaves there is told by the geometry at one attitude; state {heels}, or give the events \
                 that drain an exact attitude"
            );
            self.program.uncover(self.at, reason);
        }
        let PlugSet { plugs, .. } = &self.program.plug_sets[set];
        let emptying = self.circuit.emptying(plugs, self.program.stances[self.at].attitude)?;
        self.program.emptyings.push((set, self.at, emptying));
        Ok(())
    }

    fn begin(
        &mut self,
        i: usize,
        event: &Event,
        kind: RateKind,
        rate: &Value<crate::units::VolumeFlow>,
        when: When,
    ) -> Result<(), Error> {
        let rate = self.quantity(i, "rate", rate, &inputs::FLOW)?;
        let id = self.program.rate_count;
        self.program.rate_count += 1;
        self.active.push((id, event.label.clone()));
        self.push(Op::Begin(ActiveRate { id, kind, rate, when }))
    }

    fn stop(&mut self, i: usize, label: &str) -> Result<(), Error> {
        let stopped: Vec<usize> =
            self.active.iter().filter(|(_, l)| l.as_deref() == Some(label)).map(|(id, _)| *id).collect();
        if stopped.is_empty() {
            let active: Vec<&str> = self.active.iter().filter_map(|(_, l)| l.as_deref()).collect();
            let labels = match active.as_slice() {
                [] => "no rate with a label is active".to_string(),
                active => format!("labels of active rates: {}", active.join(", ")),
            };
            let reason = format!("no active rate is labelled `{label}`; {labels}");
            return Err(impossible(i, "Stop", &reason));
        }
        self.active.retain(|(id, _)| !stopped.contains(id));
        stopped.into_iter().try_for_each(|id| self.push(Op::Stop { id }))
    }

    fn how(&mut self, i: usize, how: &HowRead) -> Result<HowIx, Error> {
        let noise = self.input(i, "noise", Distribution::Normal { mean: 0.0, sd: 1.0 });
        let stick = how.stick.as_deref().map(|name| self.stick(i, name)).transpose()?;
        Ok(HowIx {
            noise,
            smear: self.optional(i, "smear", how.smear.as_ref(), &inputs::SHIFT)?,
            seat_offset: self.optional(i, "seat_offset", how.seat_offset.as_ref(), &inputs::SHIFT)?,
            tube_pressure: self.optional(i, "tube_pressure", how.tube_pressure.as_ref(), &inputs::TUBE)?,
            face: how.face,
            stick,
        })
    }

    fn stick(&self, i: usize, name: &str) -> Result<usize, Error> {
        let all = &self.circuit.layout().sticks;
        all.iter().position(|(n, _)| n == name).ok_or_else(|| {
            let accepted = all.iter().map(|(n, _)| n.as_str()).collect::<Vec<_>>().join(", ");
            ServiceError::UnknownName { event: i, kind: "stick".into(), name: name.into(), accepted }.into()
        })
    }

    fn remove_filter(&mut self, i: usize, action: &str) -> Result<(), Error> {
        if self.program.places.filter.is_none() {
            return Err(impossible(i, action, "the circuit has no filter"));
        }
        if !self.filter_fitted {
            return Err(impossible(i, action, "no filter is fitted; FitFilter first"));
        }
        self.filter_fitted = false;
        self.push(Op::RemoveFilter)
    }

    fn fit_filter(
        &mut self,
        i: usize,
        action: &str,
        primed: &Value<crate::units::Volume>,
        net_volume: Option<&Value<crate::units::Volume>>,
        temperature: Option<&Value<crate::units::Temperature>>,
    ) -> Result<(), Error> {
        if self.program.places.filter.is_none() {
            return Err(impossible(i, action, "the circuit has no filter"));
        }
        if self.filter_fitted {
            return Err(impossible(i, action, "a filter is fitted already; RemoveFilter first"));
        }
        let primed = self.quantity(i, "primed", primed, &inputs::LITRES)?;
        let net_volume = self.optional(i, "net_volume", net_volume, &inputs::LITRES)?;
        let temperature = self.temperature(i, temperature)?;
        self.filter_fitted = true;
        self.push(Op::FitFilter(FitIx { primed, net_volume, temperature }))
    }

    fn run(
        &mut self,
        i: usize,
        duration: &Value<crate::units::Time>,
        temperature: Option<&Value<crate::units::Temperature>>,
    ) -> Result<(), Error> {
        if !self.open.is_empty() {
            return Err(impossible(i, "Run", "a plug is open; ClosePlug first"));
        }
        if self.program.places.filter.is_some() && !self.filter_fitted {
            return Err(impossible(i, "Run", "the filter is off; FitFilter first"));
        }
        let duration = self.quantity(i, "duration", duration, &inputs::RUNNING)?;
        let temperature = temperature.map(|t| self.temperature(i, Some(t))).transpose()?;
        self.push(Op::Run { duration, temperature })
    }

    fn rest(&mut self, i: usize, duration: &Value<crate::units::Time>) -> Result<(), Error> {
        let duration = self.quantity(i, "duration", duration, &inputs::SECONDS)?;
        self.push(Op::Rest { duration })
    }

    fn plug(&self, i: usize, action: &str, name: Option<&str>) -> Result<usize, Error> {
        let plugs = &self.circuit.layout().plugs;
        let accepted = || plugs.iter().map(|(n, _)| n.as_str()).collect::<Vec<_>>().join(", ");
        match (name, plugs.as_slice()) {
            (None, [_]) => Ok(0),
            (None, []) => Err(impossible(i, action, "the circuit has no plug")),
            (None, _) => Err(ServiceError::WhichPlug { event: i, accepted: accepted() }.into()),
            (Some(name), _) => plugs.iter().position(|(n, _)| n == name).ok_or_else(|| {
                ServiceError::UnknownName { event: i, kind: "plug".into(), name: name.into(), accepted: accepted() }
                    .into()
            }),
        }
    }

    fn amount(&mut self, i: usize, amount: &Amount, measured_with: Option<&str>) -> Result<AmountIx, Error> {
        let scale = measured_with.map(|name| self.instrument(i, name)).transpose()?;
        Ok(match amount {
            Amount::Volume(v) => AmountIx::Volume { stated: self.quantity(i, "volume", v, &inputs::LITRES)?, scale },
            Amount::Mass(m) => AmountIx::Mass { stated: self.quantity(i, "mass", m, &inputs::KILOGRAMS)? },
        })
    }

    fn instrument(&self, i: usize, name: &str) -> Result<Ix, Error> {
        let all = &self.circuit.layout().instruments;
        all.iter().find(|(n, _)| n == name).map(|(_, ix)| *ix).ok_or_else(|| {
            let accepted = all.iter().map(|(n, _)| n.as_str()).collect::<Vec<_>>().join(", ");
            ServiceError::UnknownName { event: i, kind: "instrument".into(), name: name.into(), accepted }.into()
        })
    }

    fn temperature(&mut self, i: usize, value: Option<&Value<crate::units::Temperature>>) -> Result<Ix, Error> {
        match value {
            Some(value) => self.quantity(i, "temperature", value, &inputs::CELSIUS),
            None => Ok(self.circuit.layout().reference_temperature),
        }
    }

    fn quantity<D: Dimension>(
        &mut self,
        i: usize,
        field: &'static str,
        value: &Value<D>,
        range: &inputs::Range,
    ) -> Result<Ix, Error> {
        inputs::check(i, field, value, range)?;
        Ok(self.input(i, field, value.distribution().clone()))
    }

    fn optional<D: Dimension>(
        &mut self,
        i: usize,
        field: &'static str,
        value: Option<&Value<D>>,
        range: &inputs::Range,
    ) -> Result<Option<Ix>, Error> {
        value.map(|v| self.quantity(i, field, v, range)).transpose()
    }

    fn input(&mut self, event: usize, field: &'static str, distribution: Distribution) -> Ix {
        self.push_input(Input::Event { event, field, distribution })
    }

    fn push_input(&mut self, input: Input) -> Ix {
        self.program.nominals.push(input.distribution().nominal());
        self.program.own_inputs.push(input);
        self.program.nominals.len() - 1
    }

    fn stance(&mut self, i: usize, written: &AttitudeSpec) -> Result<usize, Error> {
        let attitude = written.nominal()?;
        if written.is_exact() {
            return self.program.stance_at(attitude);
        }
        // Two events at equal uncertain attitudes are not known to stand alike: each has its own.
        self.program.stances.push(stance(self.circuit, attitude)?);
        let at = self.program.stances.len() - 1;
        self.lean(AttitudeAt::Event(i), at, written);
        Ok(at)
    }

    /// Makes a stance a leaning one where its attitude is uncertain: the uncertain angles become inputs.
    fn lean(&mut self, at: AttitudeAt, stance: usize, written: &AttitudeSpec) {
        if written.is_exact() {
            return;
        }
        let marked = |p: &String| "reference.attitude".starts_with(p.as_str());
        let judgement = self.circuit.spec().judgement.iter().any(marked);
        let both = [("attitude.nose_up", &written.nose_up), ("attitude.right_down", &written.right_down)];
        let angles = both.map(|(field, angle)| {
            let distribution = angle.distribution().clone();
            (!angle.is_exact()).then(|| match at {
                AttitudeAt::Event(event) => self.input(event, field, distribution),
                AttitudeAt::Reference => self.push_input(Input::Reference { field, distribution, judgement }),
            })
        });
        let nominal_tip = self.program.stances[stance].stick.height_at(0.0);
        self.program.stances[stance].leaning = Some(self.program.leanings.len());
        self.program.leanings.push(Leaning { at, stance, angles, nominal_tip, surfaces: OnceLock::new() });
    }

    #[allow(clippy::unnecessary_wraps)] // so that every arm of `action` reads the same
    fn push(&mut self, op: Op) -> Result<(), Error> {
        self.program.ops.push(op);
        Ok(())
    }
}

fn stance(circuit: &Circuit, attitude: Attitude) -> Result<Stance, Error> {
    let curve = circuit.sump().curve(attitude)?;
    let stick = circuit.stick().heights(attitude.up());
    let basins = Basins::of(circuit, attitude)?;
    Ok(Stance { attitude, curve, stick, basins, leaning: None })
}

/// What liquid of the sump outside the pool under the tip is called.
const APART: &str = "sump.apart";

/// A start must be a state of the circuit, with masses that can be.
fn check_start(start: &State, places: &Places) -> Result<(), ServiceError> {
    let wrong = |message: String| Err(ServiceError::WrongStart { message });
    if *start.places != *places.names || start.contents.len() != places.names.len() {
        return wrong(format!(
            "its places are {}; this circuit's are {}",
            start.places.join(", "),
            places.names.join(", ")
        ));
    }
    let apart = start.apart.iter().map(|pool| (APART, &pool.contents));
    for (place, contents) in start.places.iter().map(String::as_str).zip(&start.contents).chain(apart) {
        let numbers = contents.mass.iter().copied().chain([contents.age]);
        if let Some(bad) = numbers.into_iter().find(|m| !m.is_finite() || *m < 0.0) {
            return wrong(format!("{place} holds {bad}; masses (kg) and ages must be finite and not negative"));
        }
        if !(-50.0..=150.0).contains(&contents.temperature_c) {
            return wrong(format!("{place} is at {} degC; accepted: -50 to 150 degC", contents.temperature_c));
        }
    }
    Ok(())
}

fn impossible(event: usize, action: &str, reason: &str) -> Error {
    ServiceError::Impossible { event, action: action.into(), reason: reason.into() }.into()
}
