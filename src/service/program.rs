//! A service compiled for a circuit: flat operations over flat inputs.
//!
//! `simulate`, `predict` and `plan_refill` all run the same [`Program`]; they differ only in the inputs they put in and in
//! the recorder that listens. Orders that can never be carried out are refused here; those that depend on amounts are
//! refused while running.

use std::sync::Arc;

use super::event::{Action, Amount, Event};
use super::{ServiceError, inputs};
use crate::Error;
use crate::circuit::spec::AttitudeSpec;
use crate::circuit::{Circuit, Ix, Places, StickHeights};
use crate::geometry::{Attitude, LevelCurve};
use crate::units::{Dimension, Distribution, Value};

pub use inputs::Input;

/// What the sump and the stick look like at one attitude; the first of a program is the reference attitude.
#[derive(Debug, Clone)]
pub(crate) struct Stance {
    pub attitude: Attitude,
    pub curve: Arc<LevelCurve>,
    pub stick: StickHeights,
}

/// One flat operation. Indices point into the inputs.
#[derive(Debug, Clone)]
pub(crate) enum Op {
    SetTemperature(Ix),
    OpenPlug { heel: Ix },
    ClosePlug,
    RemoveFilter,
    FitFilter { primed: Ix, temperature: Ix },
    Pour { amount: AmountIx, temperature: Ix },
    Withdraw { amount: AmountIx },
    Run { temperature: Option<Ix> },
    Rest { duration: Ix },
    Read { noise: Ix },
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
    uncertain_attitude: Option<AttitudeAt>,
    inputs: Vec<Input>,
    nominals: Vec<f64>,
}

/// Where an attitude is stated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum AttitudeAt {
    Reference,
    Event(usize),
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

    /// Every input, circuit first, then the events in order.
    pub fn inputs(&self) -> impl ExactSizeIterator<Item = InputView<'_>> {
        let scalars = self.circuit.scalars();
        self.inputs.iter().map(move |input| InputView { input, scalars })
    }

    /// Number of inputs.
    pub fn input_count(&self) -> usize {
        self.inputs.len()
    }

    /// The nominal value of every input (SI).
    pub fn nominals(&self) -> &[f64] {
        &self.nominals
    }

    /// Number of readings taken.
    pub fn reading_count(&self) -> usize {
        self.readings.len()
    }

    /// Path of the first attitude that is stated with an uncertainty, if any.
    pub(crate) fn uncertain_attitude(&self) -> Option<String> {
        self.uncertain_attitude.map(|at| match at {
            AttitudeAt::Reference => "reference.attitude".to_string(),
            AttitudeAt::Event(i) => format!("events[{i}].attitude"),
        })
    }

    /// Whether changing these inputs changes the oil's laws (`.0`) or the marks and the start (`.1`).
    pub(crate) fn touches(&self, inputs: &[Ix]) -> (bool, bool) {
        let l = self.circuit.layout();
        let fluid = inputs.iter().any(|i| [l.density_15c, l.kv40, l.kv100].contains(i));
        let spared = [l.scatter, l.seat_offset, l.min];
        let circuit = inputs.iter().any(|i| *i < self.circuit.scalars().len() && !spared.contains(i));
        (fluid, circuit)
    }
}

/// An input seen from outside: its path and what is known of it.
#[derive(Debug, Clone, Copy)]
pub struct InputView<'a> {
    input: &'a Input,
    scalars: &'a [crate::circuit::Scalar],
}

impl InputView<'_> {
    /// Stable path, such as `filter.net_volume` or `events[2].volume`.
    pub fn path(&self) -> String {
        match self.input {
            Input::Circuit(i) => self.scalars[*i].path.clone(),
            Input::Event { event, field, .. } => format!("events[{event}].{field}"),
        }
    }

    /// What is known of its value (SI).
    pub fn distribution(&self) -> &Distribution {
        match self.input {
            Input::Circuit(i) => &self.scalars[*i].distribution,
            Input::Event { distribution, .. } => distribution,
        }
    }
}

struct Compiler<'a> {
    program: Program,
    circuit: &'a Circuit,
    /// Heel of the plug that is open.
    plug_open: Option<Ix>,
    filter_fitted: bool,
    standing: usize,
}

impl<'a> Compiler<'a> {
    fn new(circuit: &'a Circuit, events: usize) -> Result<Self, Error> {
        let reference = stance(circuit, circuit.reference_attitude())?;
        let mut inputs = Vec::with_capacity(circuit.scalars().len() + 2 * events);
        inputs.extend((0..circuit.scalars().len()).map(Input::Circuit));
        let program = Program {
            circuit: circuit.clone(),
            places: circuit.places(),
            ops: Vec::with_capacity(events + 4),
            steps: Vec::with_capacity(events),
            stances: vec![reference],
            readings: Vec::new(),
            uncertain_attitude: (!circuit.spec().reference.attitude.is_exact()).then_some(AttitudeAt::Reference),
            inputs,
            nominals: circuit.nominals().to_vec(),
        };
        Ok(Self { program, circuit, plug_open: None, filter_fitted: circuit.layout().filter.is_some(), standing: 0 })
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
                self.close_plug(i, None)
            }
            Action::RemoveFilter => self.remove_filter(i, "RemoveFilter"),
            Action::FitFilter { primed, temperature } => self.fit_filter(i, "FitFilter", primed, temperature.as_ref()),
            Action::ChangeFilter { primed, temperature } => {
                self.remove_filter(i, "ChangeFilter")?;
                self.fit_filter(i, "ChangeFilter", primed, temperature.as_ref())
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
            Action::Read => {
                let noise = self.input(i, "noise", Distribution::Normal { mean: 0.0, sd: 1.0 });
                self.program.readings.push(ReadingPoint { event: i, label: event.label.clone() });
                self.push(Op::Read { noise })
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
        if self.plug_open.is_some() {
            return Err(impossible(i, action, "a plug is open already; ClosePlug first"));
        }
        let heel = self.plug(i, action, plug)?;
        if let Some(at) = at {
            let at = self.temperature(i, Some(at))?;
            self.push(Op::SetTemperature(at))?;
        }
        self.plug_open = Some(heel);
        self.push(Op::OpenPlug { heel })
    }

    fn close_plug(&mut self, i: usize, plug: Option<&str>) -> Result<(), Error> {
        let Some(open) = self.plug_open.take() else {
            return Err(impossible(i, "ClosePlug", "no plug is open"));
        };
        if plug.is_some() && self.plug(i, "ClosePlug", plug)? != open {
            return Err(impossible(i, "ClosePlug", "another plug is the open one"));
        }
        self.push(Op::ClosePlug)
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
        temperature: Option<&Value<crate::units::Temperature>>,
    ) -> Result<(), Error> {
        if self.program.places.filter.is_none() {
            return Err(impossible(i, action, "the circuit has no filter"));
        }
        if self.filter_fitted {
            return Err(impossible(i, action, "a filter is fitted already; RemoveFilter first"));
        }
        let primed = self.quantity(i, "primed", primed, &inputs::LITRES)?;
        let temperature = self.temperature(i, temperature)?;
        self.filter_fitted = true;
        self.push(Op::FitFilter { primed, temperature })
    }

    fn run(
        &mut self,
        i: usize,
        duration: &Value<crate::units::Time>,
        temperature: Option<&Value<crate::units::Temperature>>,
    ) -> Result<(), Error> {
        if self.plug_open.is_some() {
            return Err(impossible(i, "Run", "a plug is open; ClosePlug first"));
        }
        if self.program.places.filter.is_some() && !self.filter_fitted {
            return Err(impossible(i, "Run", "the filter is off; FitFilter first"));
        }
        inputs::check(i, "duration", duration, &inputs::RUNNING)?;
        let temperature = temperature.map(|t| self.temperature(i, Some(t))).transpose()?;
        self.push(Op::Run { temperature })
    }

    fn rest(&mut self, i: usize, duration: &Value<crate::units::Time>) -> Result<(), Error> {
        let duration = self.quantity(i, "duration", duration, &inputs::SECONDS)?;
        self.push(Op::Rest { duration })
    }

    fn plug(&self, i: usize, action: &str, name: Option<&str>) -> Result<Ix, Error> {
        let plugs = &self.circuit.layout().plugs;
        let accepted = || plugs.iter().map(|(n, _)| n.as_str()).collect::<Vec<_>>().join(", ");
        match (name, plugs.as_slice()) {
            (None, [(_, only)]) => Ok(*only),
            (None, []) => Err(impossible(i, action, "the circuit has no plug")),
            (None, _) => Err(ServiceError::WhichPlug { event: i, accepted: accepted() }.into()),
            (Some(name), _) => plugs.iter().find(|(n, _)| n == name).map(|(_, ix)| *ix).ok_or_else(|| {
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

    fn input(&mut self, event: usize, field: &'static str, distribution: Distribution) -> Ix {
        self.program.nominals.push(distribution.nominal());
        self.program.inputs.push(Input::Event { event, field, distribution });
        self.program.inputs.len() - 1
    }

    fn stance(&mut self, i: usize, written: &AttitudeSpec) -> Result<usize, Error> {
        if !written.is_exact() {
            self.program.uncertain_attitude.get_or_insert(AttitudeAt::Event(i));
        }
        let attitude = written.nominal()?;
        if let Some(known) = self.program.stances.iter().position(|s| s.attitude == attitude) {
            return Ok(known);
        }
        self.program.stances.push(stance(self.circuit, attitude)?);
        Ok(self.program.stances.len() - 1)
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
    Ok(Stance { attitude, curve, stick })
}

fn impossible(event: usize, action: &str, reason: &str) -> Error {
    ServiceError::Impossible { event, action: action.into(), reason: reason.into() }.into()
}
