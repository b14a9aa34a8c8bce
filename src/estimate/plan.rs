//! How much to pour now: the largest whole number of jug steps that keeps the risk of ending over MAX.

use std::fmt;

use super::EstimateError;
use super::cautions::CAUTIONS;
use super::predict::{Collect, PredictOptions, Prediction, predict, run_draws};
use super::summary::Draws;
use crate::Error;
use crate::circuit::Circuit;
use crate::service::{Action, Amount, Bend, Event, Misfit, Program, Recorder, View, is_read};
use crate::units::{Temperature, Value};

/// How a refill is planned.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct PlanOptions<'a> {
    /// Accepted probability of ending over MAX, 0.0001 to 0.5.
    pub risk_over_max: f64,
    /// Smallest amount the jug measures out (m3).
    pub jug_step: f64,
    /// Instrument the oil is measured with; `jug` where the circuit has one of that name.
    pub measured_with: Option<String>,
    /// Temperature of the oil poured; the reference temperature where not stated.
    pub temperature: Option<Value<Temperature>>,
    /// How the draws are made.
    pub predict: PredictOptions<'a>,
}

impl Default for PlanOptions<'_> {
    fn default() -> Self {
        Self {
            risk_over_max: 0.05,
            jug_step: 1e-4,
            measured_with: None,
            temperature: None,
            predict: PredictOptions::default(),
        }
    }
}

/// A first pour with what to expect of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    circuit: Circuit,
    first_pour: f64,
    jug_step: f64,
    risk_over_max: f64,
    prediction: Prediction,
    residue: Draws,
    per_blade: f64,
}

/// No more than this is tried; the range of a pour.
const MOST_POURED_M3: f64 = 1.0;

/// Label of the reading taken right after the pour, before the first start.
pub const BEFORE_START: &str = "before start";
/// Label of the reading at the end where `then` takes none.
pub const AFTER: &str = "after";

/// Plans a refill: `done` is what was done so far (drain, filter), `then` what will be done after pouring (run, rest, readings).
///
/// The first pour is the largest whole number of jug steps whose probability of ending over MAX, over all draws, is at most
/// the stated risk. In every draw a larger pour ends higher, so the probability rises with the pour and bisection finds the
/// step exactly.
pub fn plan_refill(
    circuit: &Circuit,
    done: &[Event],
    then: &[Event],
    options: &PlanOptions<'_>,
) -> Result<Plan, Error> {
    check(options)?;
    for (list, events) in [("done", done), ("then", then)] {
        if let Some(event) = events.iter().position(|e| matches!(e.action, Action::Pour { .. })) {
            return Err(EstimateError::PourInPlan { list: list.into(), event }.into());
        }
    }
    let service = Service { circuit, done, then, options };
    let planned = service.largest_pour().and_then(|steps| service.plan(steps));
    planned.map_err(|error| service.by_list(error))
}

fn check(options: &PlanOptions<'_>) -> Result<(), EstimateError> {
    let within = |option: &str, value: f64, low: f64, high: f64| {
        if (low..=high).contains(&value) {
            return Ok(());
        }
        Err(EstimateError::OptionOutOfRange { option: option.into(), value, low, high })
    };
    within("risk_over_max", options.risk_over_max, 1e-4, 0.5)?;
    within("jug_step_l", options.jug_step * 1e3, 1e-3, 20.0)
}

struct Service<'a> {
    circuit: &'a Circuit,
    done: &'a [Event],
    then: &'a [Event],
    options: &'a PlanOptions<'a>,
}

impl Service<'_> {
    /// The error with its event named by the list that the caller gave.
    fn by_list(&self, error: Error) -> Error {
        match error {
            Error::Service(error) => error.in_list(|event| self.place(event)).into(),
            Error::Estimate(EstimateError::UncertainAttitude { path }) => {
                let event = path.strip_prefix("events[").and_then(|rest| rest.split_once(']'));
                let place = event.and_then(|(i, rest)| Some((self.place(i.parse().ok()?)?, rest)));
                let path = place.map_or_else(|| path.clone(), |((list, i), rest)| format!("{list}[{i}]{rest}"));
                EstimateError::UncertainAttitude { path }.into()
            }
            other => other,
        }
    }

    /// The list that an event of the joined service came from, and its index there; none for the pour and the readings
    /// that planning puts in.
    fn place(&self, event: usize) -> Option<(&'static str, usize)> {
        let pour_and_reading = self.done.len() + 2;
        match event.checked_sub(pour_and_reading) {
            None => (event < self.done.len()).then_some(("done", event)),
            Some(event) => (event < self.then.len()).then_some(("then", event)),
        }
    }

    /// The service with a pour of `steps` jug steps.
    fn events(&self, steps: u32) -> Vec<Event> {
        let mut events = self.done.to_vec();
        events.push(self.pour(steps));
        events.push(Event::from(Action::read()).labelled(BEFORE_START));
        events.extend_from_slice(self.then);
        if !self.then.iter().any(is_read) {
            events.push(Event::from(Action::read()).labelled(AFTER));
        }
        events
    }

    fn pour(&self, steps: u32) -> Event {
        let jug = || self.circuit.spec().instruments.contains_key("jug").then(|| "jug".to_string());
        Event::from(Action::Pour {
            amount: Amount::Volume(Value::constant(self.volume(steps))),
            temperature: self.options.temperature.clone(),
            measured_with: self.options.measured_with.clone().or_else(jug),
        })
    }

    fn volume(&self, steps: u32) -> f64 {
        // Rounded to a microlitre, in litres, so that 69 steps of 0.1 L are what a person calls 6.9 L.
        (f64::from(steps) * self.options.jug_step * 1e9).round() / 1e6 / 1e3
    }

    /// Probability of ending over MAX with a pour of `steps`, over all draws.
    fn risk(&self, steps: u32) -> Result<f64, Error> {
        let program = Program::compile(self.circuit, &self.events(steps))?;
        let count: OverMax = run_draws(&program, &self.options.predict, &|_, _| OverMax::default())?;
        Ok(count.over as f64 / self.options.predict.draws as f64)
    }

    /// The largest number of steps within the risk and within the room the sump has.
    fn largest_pour(&self) -> Result<u32, Error> {
        let (mut within, mut beyond) = (0, 1);
        while self.acceptable(beyond)? {
            within = beyond;
            beyond *= 2;
        }
        while beyond - within > 1 {
            let middle = u32::midpoint(within, beyond);
            if self.acceptable(middle)? {
                within = middle;
            } else {
                beyond = middle;
            }
        }
        Ok(within)
    }

    fn acceptable(&self, steps: u32) -> Result<bool, Error> {
        // No sump holds so much; a pour of more would be refused as out of range.
        if self.volume(steps) > MOST_POURED_M3 {
            return Ok(false);
        }
        match self.risk(steps) {
            Ok(risk) => Ok(risk <= self.options.risk_over_max),
            Err(Error::Service(e)) if e.is_beyond_ullage() => Ok(false),
            Err(e) => Err(e),
        }
    }

    fn plan(&self, steps: u32) -> Result<Plan, Error> {
        let events = self.events(steps);
        let prediction = predict(self.circuit, &events, &self.options.predict)?;
        let program = Program::compile(self.circuit, &events)?;
        let after = self.done.len();
        let residue: Residue =
            run_draws(&program, &self.options.predict, &|_, n| Residue { after, values: Vec::with_capacity(n) })?;
        let options = &self.options.predict;
        let residue = Draws::unless(&|| options.is_stopped(), residue.values);
        Ok(Plan {
            circuit: self.circuit.clone(),
            first_pour: self.volume(steps),
            jug_step: self.options.jug_step,
            risk_over_max: self.options.risk_over_max,
            prediction,
            residue: residue.ok_or_else(|| options.stopped_at_end())?,
            per_blade: self.circuit.volume_per_blade()?,
        })
    }
}

/// Counts the draws that end over MAX.
#[derive(Default)]
struct OverMax {
    over: usize,
}

impl Recorder for OverMax {
    fn end(&mut self, view: &View<'_>) {
        self.over += usize::from(view.over_max());
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        Bend::Bend
    }
}

impl Collect for OverMax {
    fn join(&mut self, next: Self) {
        self.over += next.over;
    }
}

/// Records what the circuit holds once the first `after` events are done.
struct Residue {
    after: usize,
    values: Vec<f64>,
}

impl Recorder for Residue {
    fn start(&mut self, view: &View<'_>) {
        if self.after == 0 {
            self.values.push(view.volume_in_circuit());
        }
    }

    fn row(&mut self, event: usize, view: &View<'_>) {
        if event + 1 == self.after {
            self.values.push(view.volume_in_circuit());
        }
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        Bend::Bend
    }
}

impl Collect for Residue {
    fn join(&mut self, next: Self) {
        self.values.extend(next.values);
    }
}

impl Plan {
    /// The circuit planned for.
    pub fn circuit(&self) -> &Circuit {
        &self.circuit
    }

    /// How much to pour first (m3), as the instrument says.
    pub fn first_pour_m3(&self) -> f64 {
        self.first_pour
    }

    /// What the jug steps in (m3).
    pub fn jug_step_m3(&self) -> f64 {
        self.jug_step
    }

    /// The risk accepted.
    pub fn risk_over_max(&self) -> f64 {
        self.risk_over_max
    }

    /// What to expect of the first pour: reading [`BEFORE_START`], those of `then`, and [`AFTER`] where it takes none.
    pub fn prediction(&self) -> &Prediction {
        &self.prediction
    }

    /// What the circuit held before the pour (m3): heel, film and what stays in stores, and the filter if it was kept.
    pub fn residue(&self) -> &Draws {
        &self.residue
    }

    /// Volume per length of blade at MAX (m2).
    pub fn volume_per_blade_m2(&self) -> f64 {
        self.per_blade
    }

    /// Cautions to print with the plan.
    pub fn cautions(&self) -> &'static [&'static str] {
        CAUTIONS
    }
}

impl fmt::Display for Plan {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (low, high) = self.residue.interval(0.95);
        writeln!(f, "Refill of {}", self.circuit.name())?;
        writeln!(
            f,
            "  stays in        {:.2} L (95 %: {:.2} to {:.2} L)",
            self.residue.mean() * 1e3,
            low * 1e3,
            high * 1e3
        )?;
        writeln!(f, "  first pour      {:.2} L (in steps of {:.2} L)", self.first_pour * 1e3, self.jug_step * 1e3)?;
        writeln!(
            f,
            "  over MAX        {:.1} % of draws (accepted: {:.1} %)",
            self.prediction.probability_over_max() * 1e2,
            self.risk_over_max * 1e2
        )?;
        if self.first_pour == 0.0 && self.prediction.probability_over_max() > self.risk_over_max {
            writeln!(f, "                  even without a pour the risk is higher: add nothing")?;
        }
        writeln!(f, "  stick at MAX    {:.0} mL per mm of blade", self.per_blade * 1e3)?;
        writeln!(f, "  expected readings, 95 % intervals, if the stated uncertainties are right:")?;
        for reading in self.prediction.readings() {
            let label = reading.label.as_deref().unwrap_or("reading");
            let (low, high) = reading.s.interval(0.95);
            let (dry, full) = reading.fraction.interval(0.95);
            writeln!(
                f,
                "    {label:<28} {:5.1} mm ({:.1} to {:.1}), {:.2} of the span ({:.2} to {:.2})",
                reading.s.mean() * 1e3,
                low * 1e3,
                high * 1e3,
                reading.fraction.mean(),
                dry,
                full
            )?;
        }
        writeln!(f, "  cautions:")?;
        for caution in self.cautions() {
            writeln!(f, "    - {caution}")?;
        }
        Ok(())
    }
}
