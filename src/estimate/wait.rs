//! How long to wait before reading: until what still drains back is less than the stick shows.

use std::sync::atomic::{AtomicBool, Ordering};

use super::EstimateError;
use super::draw::Block;
use super::evaluate::Progress;
use super::model::Model;
use super::options::{PropagateOptions, in_range};
use super::propagate::propagate;
use super::run::Varying;
use super::summary::Draws;
use crate::Error;
use crate::circuit::spec::ReferenceSpec;
use crate::circuit::{Circuit, Ix};
use crate::service::{Action, Bend, Event, Misfit, Program, Recorder, Scratch, View};
use crate::units::Value;

/// Halvings of the longest wait: from a day to a tenth of a second.
const HALVINGS: u32 = 20;
/// Waits that are listed (s).
const LISTED: [f64; 15] =
    [0.0, 30.0, 60.0, 120.0, 180.0, 300.0, 600.0, 900.0, 1200.0, 1800.0, 2700.0, 3600.0, 5400.0, 7200.0, 14400.0];

/// How the wait is looked for.
#[derive(Clone, Copy)]
#[non_exhaustive]
pub struct WaitOptions<'a> {
    /// What the stick shows (m), 0.01 mm to 100 mm: less than this cannot be read. The scatter of one reading where not stated.
    pub shows: Option<f64>,
    /// No wait longer than this is looked for (s), 1 s to 30 days.
    pub longest: f64,
    /// Draws over which the wait is taken, 2 to 100 million.
    pub draws: usize,
    /// Seed of every stream.
    pub seed: u64,
    /// Set from another thread to stop the work early with an error.
    pub stop: Option<&'a AtomicBool>,
    /// Told about every chunk that is done.
    pub progress: Option<Progress<'a>>,
}

impl Default for WaitOptions<'_> {
    fn default() -> Self {
        Self { shows: None, longest: 86_400.0, draws: 2000, seed: 1, stop: None, progress: None }
    }
}

/// What a wait leaves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Waited {
    /// The wait (s).
    pub wait: f64,
    /// Volume still on its way back to the sump (m3).
    pub returning: f64,
    /// By how much it would raise the reading (m).
    pub on_stick: f64,
    /// Temperature of what the sump holds by then (°C).
    pub sump_c: f64,
}

/// How long to wait before reading.
#[derive(Debug, Clone, PartialEq)]
pub struct WaitAdvice {
    /// What the stick shows (m).
    pub shows: f64,
    /// The wait with every input at its nominal value (s); `None` where the longest is too short.
    pub nominal: Option<f64>,
    /// The wait over all draws (s), the longest where that is too short.
    pub wait: Draws,
    /// Share of the draws in which the longest wait is too short.
    pub beyond: f64,
    /// The longest wait looked for (s).
    pub longest: f64,
    /// The wait of the marks' own condition, which they allow for, at nominal values.
    pub reference: Waited,
    /// The marks' own condition as the circuit states it.
    pub condition: ReferenceSpec,
    /// Time constant of cooling (s) and the temperature it goes to (°C); `None` where nothing cools.
    pub cooling: Option<(f64, f64)>,
    /// Some waits at nominal values, up to the longest.
    pub rows: Vec<Waited>,
}

/// How long to rest after a service before reading: until all that is still on its way back to the sump would raise the reading by
/// less than the stick shows.
///
/// On its way back are the pools and films of the stores, what a leaking filter lets go and what hangs on the filler path, by
/// the laws of a rest in `docs/model.md`: thicker as it cools, where the circuit cools. It is turned into a reading by the
/// level of the sump at the attitude of the wait. What the marks allow for after the wait of their own condition
/// (`reference`) is not taken off: the advice is for a level that has come to rest. Where the marks hold with the engine running it is
/// read so, and not waited for: the wait then says when a stopped engine has come to rest, which reads high against them.
///
/// ```
/// use fillmark::circuit::Circuit;
/// use fillmark::estimate::{WaitOptions, wait_advice};
/// use fillmark::service::Event;
/// let bus = Circuit::demo("shuttle-bus")?;
/// let advice = wait_advice(&bus, &[Event::parse("run 1 min")?], &WaitOptions::default())?;
/// assert!(advice.nominal.is_some_and(|wait| wait > 60.0 && wait < 3600.0));
/// # Ok::<(), fillmark::Error>(())
/// ```
pub fn wait_advice(circuit: &Circuit, events: &[Event], options: &WaitOptions<'_>) -> Result<WaitAdvice, Error> {
    let finder = Finder::new(circuit, events, options)?;
    let program = &finder.program;
    let mut inputs = program.nominals().to_vec();
    let mut scratch = program.scratch(&inputs)?;
    let l = circuit.layout();
    let (reference_wait, cooling) = (inputs[l.reference_wait], l.cooling.map(|c| (inputs[c.time], inputs[c.ambient])));
    let nominal = finder.wait(&mut inputs, &mut scratch)?;
    let reference = finder.after(reference_wait, &mut inputs, &mut scratch)?;
    let listed = LISTED.into_iter().filter(|wait| *wait <= options.longest);
    let rows = listed.map(|wait| finder.after(wait, &mut inputs, &mut scratch)).collect::<Result<_, _>>()?;
    let mut propagation = PropagateOptions::default().draws(options.draws).seed(options.seed);
    (propagation.chunk, propagation.stop, propagation.progress) = (64, options.stop, options.progress);
    let wait = if finder.varying.inputs.uncertain() == 0 {
        Draws::new(vec![nominal.unwrap_or(options.longest); options.draws])
    } else {
        let found = propagate(&finder, &finder.varying.inputs, &propagation)?;
        found.results().first().map(|r| r.draws.clone()).ok_or(EstimateError::NoResults)?
    };
    let beyond = wait.values().iter().filter(|w| **w >= options.longest).count() as f64 / options.draws as f64;
    let (longest, condition) = (options.longest, circuit.spec().reference.clone());
    Ok(WaitAdvice { shows: finder.shows, nominal, wait, beyond, longest, reference, condition, cooling, rows })
}

/// A service that ends with a rest of any length.
struct Finder {
    program: Program,
    varying: Varying,
    /// The input that is the rest's length.
    duration: Ix,
    shows: f64,
    longest: f64,
}

impl Finder {
    fn new(circuit: &Circuit, events: &[Event], options: &WaitOptions<'_>) -> Result<Self, Error> {
        in_range("longest_s", options.longest, 1.0, 30.0 * 86_400.0)?;
        let plug = |e: &Event| matches!(e.action, Action::OpenPlug { .. } | Action::ClosePlug { .. });
        if let Some(event) = events.iter().rposition(plug)
            && matches!(events[event].action, Action::OpenPlug { .. })
        {
            return Err(EstimateError::PlugOpen { event }.into());
        }
        let rest = Event::from(Action::Rest { duration: Value::constant(1.0) });
        let program = Program::compile(circuit, &[events, &[rest]].concat())?;
        let stopped = || {
            let stop = options.stop.is_some_and(|stop| stop.load(Ordering::Relaxed));
            stop.then_some(EstimateError::Stopped { done: 0, asked: options.draws })
        };
        let varying = Varying::of(&program, &[], &stopped)?;
        let path = format!("events[{}].duration", events.len());
        let duration = program.inputs().position(|input| input.path() == path);
        let duration = duration.ok_or_else(|| EstimateError::UnknownInput { input: path, known: [].into() })?;
        let scatter = program.nominals()[circuit.layout().stick.scatter];
        let shows = options.shows.unwrap_or(scatter);
        in_range("shows_mm", shows * 1e3, 0.01, 100.0)?;
        Ok(Self { program, varying, duration, shows, longest: options.longest })
    }

    /// What a wait leaves, for inputs that the scratch was derived from.
    fn after(&self, wait: f64, inputs: &mut [f64], scratch: &mut Scratch) -> Result<Waited, Error> {
        inputs[self.duration] = wait;
        let mut end = End { waited: Waited { wait, returning: 0.0, on_stick: 0.0, sump_c: 0.0 } };
        self.program.run(inputs, scratch, &mut end)?;
        Ok(end.waited)
    }

    /// The shortest wait that leaves less than the stick shows; `None` beyond the longest. What is on its way back only falls.
    fn wait(&self, inputs: &mut [f64], scratch: &mut Scratch) -> Result<Option<f64>, Error> {
        let mut enough = |wait| Ok::<_, Error>(self.after(wait, inputs, scratch)?.on_stick < self.shows);
        if enough(0.0)? {
            return Ok(Some(0.0));
        }
        if !enough(self.longest)? {
            return Ok(None);
        }
        let (mut short, mut long) = (0.0, self.longest);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(short, long);
            if enough(middle)? { long = middle } else { short = middle }
        }
        Ok(Some(long))
    }
}

impl Model for Finder {
    fn results(&self) -> Vec<String> {
        vec!["wait".into()]
    }

    fn evaluate(&self, block: &Block, out: &mut [&mut [f64]]) -> Result<(), Error> {
        let mut inputs = self.program.nominals().to_vec();
        let mut scratch = self.program.scratch(&inputs)?;
        for (row, wait) in out.iter_mut().flat_map(|column| column.iter_mut().enumerate()) {
            self.varying.put(block, row, &mut inputs);
            self.program.refresh(&inputs, self.varying.touched, &mut scratch);
            *wait = self.wait(&mut inputs, &mut scratch)?.unwrap_or(self.longest);
        }
        Ok(())
    }
}

/// The end of the wait.
struct End {
    waited: Waited,
}

impl Recorder for End {
    fn row(&mut self, _event: usize, view: &View<'_>) {
        let returning = view.returning();
        let (on_stick, sump_c) = (view.rise_on_stick(returning), view.sump_c());
        self.waited = Waited { returning, on_stick, sump_c, ..self.waited };
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        Bend::Bend
    }
}
