//! A service as a model: its uncertain inputs by path, its end and its readings as results.

use super::EstimateError;
use super::draw::Block;
use super::inputs::{Correlation, Inputs};
use super::model::Model;
use super::run::{Varying, with_own};
use crate::Error;
use crate::circuit::Circuit;
use crate::numeric::lanes::{Eight, Lanes};
use crate::service::{Bend, Event, Misfit, Program, Recorder, Side, Taken, View};
use crate::units::{DimensionId, unit_of};

/// The first result of a service: true level at the end, drained back, in the reference condition; 0 at MIN, 1 at MAX.
pub const FINAL_FRACTION: &str = "final fraction";
/// The second result: volume of the sump at the end, drained back, in the reference condition (L).
pub const FINAL_LITRES: &str = "final litres";
/// What is told of a reading, after its label.
const OF_READING: [&str; 3] = ["mm", "fraction", "litres_from_max"];

/// A service with its uncertain inputs, ready for every question that a [`Model`] can be asked.
///
/// Inputs go by their paths, in SI units. Results, by name:
///
/// * `final fraction` and `final litres`: true level at the end, drained back, filter full, in the reference condition;
/// * for every reading `LABEL mm`, `LABEL fraction` and `LABEL litres_from_max` (its number in place of a label that is missing
///   or used twice).
///
/// An amount that does not fit in a draw is bent, as in `predict`.
///
/// ```
/// use fillmark::circuit::Circuit;
/// use fillmark::estimate::{PropagateOptions, ServiceModel, propagate};
/// use fillmark::service::{Action, Event};
/// let bus = Circuit::demo("shuttle-bus")?;
/// let model = ServiceModel::new(&bus, &[Event::from(Action::read()).labelled("dip")])?.of("dip fraction")?;
/// let found = propagate(&model, model.inputs(), &PropagateOptions::default().draws(1000))?;
/// assert!((found.results()[0].draws.mean() - 1.0).abs() < 0.1); // a circuit starts at MAX
/// # Ok::<(), fillmark::Error>(())
/// ```
#[derive(Debug, Clone)]
pub struct ServiceModel {
    program: Program,
    varying: Varying,
    dimensions: Vec<DimensionId>,
    judgement: Vec<bool>,
    names: Vec<String>,
    /// Which of all results are asked for.
    kept: Vec<usize>,
}

impl ServiceModel {
    /// A service of a circuit; refused where it cannot be carried out at nominal values.
    pub fn new(circuit: &Circuit, events: &[Event]) -> Result<Self, Error> {
        Self::of_program(Program::compile(circuit, events)?)
    }

    /// A compiled service.
    pub fn of_program(program: Program) -> Result<Self, Error> {
        Self::stoppable(program, &|| None)
    }

    /// A compiled service; `stopped` ends the preparation of its attitudes with its error.
    pub(super) fn stoppable(program: Program, stopped: &dyn Fn() -> Option<EstimateError>) -> Result<Self, Error> {
        let varying = Varying::of(&program, &[], stopped)?;
        let inputs: Vec<_> = program.inputs().collect();
        let dimensions = varying.places.iter().map(|ix| inputs[*ix].dimension()).collect();
        let judgement = varying.places.iter().map(|ix| inputs[*ix].judgement()).collect();
        let names = names(&program);
        let kept = (0..names.len()).collect();
        Ok(Self { program, varying, dimensions, judgement, names, kept })
    }

    /// The same service with correlations between its inputs, by path, in place of any there were but the circuit's own
    /// `geometry.correlation`, which holds unless another is stated of the two.
    pub fn correlated(self, correlations: &[Correlation]) -> Result<Self, EstimateError> {
        let all = with_own(&self.program, &self.varying.inputs, correlations);
        let inputs = self.varying.inputs.correlated(&all)?;
        Ok(Self { varying: Varying { inputs, ..self.varying }, ..self })
    }

    /// The same service with one result; the label of a reading alone means its `mm`.
    pub fn of(self, result: &str) -> Result<Self, EstimateError> {
        let found = self.names.iter().position(|name| name == result);
        let found = found.or_else(|| self.names.iter().position(|name| *name == format!("{result} mm")));
        match found {
            Some(at) => Ok(Self { kept: vec![at], ..self }),
            None => Err(EstimateError::UnknownResult { result: result.into(), known: self.names.into() }),
        }
    }

    /// Its uncertain inputs by path.
    pub fn inputs(&self) -> &Inputs {
        &self.varying.inputs
    }

    /// The kind of quantity of each uncertain input.
    pub fn dimensions(&self) -> &[DimensionId] {
        &self.dimensions
    }

    /// For each uncertain input, whether it rests on judgement: a default that nobody stated, or marked so in the file.
    pub fn judgement(&self) -> &[bool] {
        &self.judgement
    }

    /// A value of an uncertain input in the unit that the crate shows, such as L, with that unit.
    pub fn shown(&self, input: usize, value: f64) -> (f64, &'static str) {
        let dimension = self.dimensions[input];
        let symbol = dimension.default_unit();
        (unit_of(dimension, symbol).map_or(value, |unit| unit.from_si(value)), symbol)
    }

    /// For names of inputs, as a row of a table joins them, whether any rests on judgement.
    pub fn any_judgement(&self, names: &[String]) -> bool {
        names.iter().any(|name| self.inputs().index(name).is_ok_and(|i| self.judgement[i]))
    }

    /// The compiled service.
    pub fn program(&self) -> &Program {
        &self.program
    }

    pub(super) fn varying(&self) -> &Varying {
        &self.varying
    }
}

fn names(program: &Program) -> Vec<String> {
    let labels: Vec<Option<&str>> = program.readings.iter().map(|point| point.label.as_deref()).collect();
    let of_reading = labels.iter().enumerate().flat_map(|(nth, label)| {
        let alone = |l: &&str| labels.iter().filter(|other| **other == Some(*l)).count() == 1;
        let label = label.filter(|l| alone(l)).map_or_else(|| nth.to_string(), str::to_owned);
        OF_READING.map(|what| format!("{label} {what}"))
    });
    [FINAL_FRACTION, FINAL_LITRES].into_iter().map(str::to_owned).chain(of_reading).collect()
}

impl Model for ServiceModel {
    fn results(&self) -> Vec<String> {
        self.kept.iter().map(|at| self.names[*at].clone()).collect()
    }

    fn evaluate(&self, block: &Block, out: &mut [&mut [f64]]) -> Result<(), Error> {
        let mut rows = Rows { values: vec![0.0; self.names.len() * Eight::COUNT] };
        self.varying.run(&self.program, block, &mut rows, |at, draw, rows| {
            for (column, which) in out.iter_mut().zip(&self.kept) {
                column[at] = rows.values[which * Eight::COUNT + draw];
            }
        })
    }
}

/// Every result of the draws that run side by side, result by result.
struct Rows {
    values: Vec<f64>,
}

impl Rows {
    fn put<X: Lanes>(&mut self, which: usize, x: X) {
        let values = &mut self.values[which * Eight::COUNT..][..X::COUNT];
        values.iter_mut().enumerate().for_each(|(draw, value)| *value = x.lane(draw));
    }
}

impl<X: Side> Recorder<X> for Rows {
    fn hears_rows(&self) -> bool {
        false
    }

    fn reading(&mut self, nth: usize, taken: &Taken<'_, X>) {
        let told = [taken.s * 1e3, taken.fraction, taken.from_max() * 1e3];
        let at = 2 + OF_READING.len() * nth;
        told.into_iter().enumerate().for_each(|(i, x)| self.put(at + i, x));
    }

    fn end(&mut self, view: &View<'_, X>) {
        self.put(0, view.spans());
        self.put(1, view.drained_back() * 1e3);
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        Bend::Bend
    }
}
