//! What a service leaves behind, judged: bands against the marks, gap to the crank, depth of the pickup, with probabilities.

use super::EstimateError;
use super::judgement::judgement_share;
use super::predict_options::PredictOptions;
use super::run::{Collect, run_draws};
use super::summary::Draws;
use super::verdict::{self, Caution, Verdict};
use crate::Error;
use crate::circuit::Circuit;
use crate::geometry::Attitude;
use crate::numeric::check;
use crate::numeric::lanes::{Eight, Lanes};
use crate::service::{
    Action, Band, Bend, Event, Misfit, Program, Recorder, Seen, Side, Timeline, Undone, View, Watch, dilution_limit,
};

/// How a service is assessed.
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
pub struct AssessOptions<'a> {
    /// Temperature at which the static hot level is taken against the crank's path (°C), 20 to 150.
    pub hot_c: f64,
    /// How the vehicle stands then; the reference attitude where not stated.
    pub attitude: Option<Attitude>,
    /// Tilt in any of four directions, on top of the attitude of a run, that surge amounts to (deg), 0 to 45.
    pub surge_deg: f64,
    /// How the draws are made.
    pub predict: PredictOptions<'a>,
}

impl Default for AssessOptions<'_> {
    fn default() -> Self {
        Self { hot_c: 90.0, attitude: None, surge_deg: 0.0, predict: PredictOptions::default() }
    }
}

/// Distance in every draw, with the share of the draws in which it is used up.
#[derive(Debug, Clone, PartialEq)]
pub struct Clearance {
    /// The distance (m); below zero it is used up.
    pub distance: Draws,
    /// Share of the draws in which it is.
    pub used_up: f64,
}

/// What a service leaves behind, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Assessment {
    pub(super) circuit: Circuit,
    pub(super) draws: usize,
    pub(super) seed: u64,
    pub(super) hot_c: f64,
    pub(super) surge_deg: f64,
    pub(super) spans: Draws,
    pub(super) over_max: f64,
    pub(super) judgement: f64,
    pub(super) bands: [f64; 6],
    pub(super) crank: Option<Clearance>,
    pub(super) pickup: Option<Clearance>,
    /// Nominal shares of fuel and of coolant with water, by mass.
    pub(super) foreign: [f64; 2],
    /// Shares of the draws with fuel above its limit, and with any coolant or water.
    pub(super) foreign_draws: [f64; 2],
    /// Share of the draws in which the sump holds more than its drawing does.
    pub(super) past_top: f64,
    /// Share of the draws in which nothing is left in the sump, drained back.
    pub(super) sump_empty: f64,
    /// What is left undone at the end.
    pub(super) undone: Undone,
    pub(super) verdict: Verdict,
    pub(super) reasons: Vec<String>,
    pub(super) cautions: Vec<Caution>,
}

/// Assesses the end of a service over all draws.
///
/// * **bands**: true level, drained back, filter full, in the reference condition, in spans;
/// * **crank gap**: from the static hot level (stopped, drained back, at `hot_c`) up to the lowest point of the crank's path;
/// * **pickup**: depth under the surface right after every run, at its attitude and tilted by the surge, less `pickup.margin`; the least of
///   all runs counts.
///
/// What the circuit does not state is reported as unknown, never as in order. Whatever the level, an end with a plug open, with no filter
/// fitted where there is one, or with a leak or an ingress going on forbids a start. So does a sump that holds more than its drawing, as an
/// ingress or a given start may leave it; its level goes on above the drawing's top by volume, as between the marks.
///
/// ```
/// use fillmark::circuit::Circuit;
/// use fillmark::estimate::{AssessOptions, Verdict, assess};
/// use fillmark::service::{Action, Band};
/// let bus = Circuit::demo("shuttle-bus")?;
/// let mut options = AssessOptions::default();
/// options.predict.draws = 1000;
/// let at_max = assess(&bus, &[Action::read().into()], &options)?;
/// assert!(at_max.probability(Band::FarOver) < 0.01);
/// # Ok::<(), fillmark::Error>(())
/// ```
pub fn assess(circuit: &Circuit, events: &[Event], options: &AssessOptions<'_>) -> Result<Assessment, Error> {
    let mut program = options.predict.compile(circuit, events)?;
    let watch = watch(&mut program, events, options)?;
    let nominal = nominal(&program, &watch)?;
    let sight = run_draws(&program, &options.predict, &|_, n| Sight::new(&watch, n, Bend::Bend))?;
    let assessed =
        sight.judged(&program, events, &nominal, options)?.ok_or_else(|| options.predict.stopped_at_end())?;
    let judgement = judgement_share(circuit, events, &options.predict)?.final_fraction;
    Ok(Assessment { judgement, ..assessed })
}

/// Assesses the end of a timeline: one draw, every input at its nominal value, so that every probability is 0 or 1.
pub fn assess_line(line: &Timeline, options: &AssessOptions<'_>) -> Result<Assessment, Error> {
    let (circuit, events) = (line.circuit(), line.events());
    let mut program = match line.state(0) {
        Some(start) => Program::compile_from(circuit, events, &start)?,
        None => Program::compile(circuit, events)?,
    };
    let watch = watch(&mut program, events, options)?;
    let sight = nominal(&program, &watch)?;
    let options = AssessOptions { predict: PredictOptions { draws: 1, ..options.predict }, ..*options };
    let copy = sight.clone();
    sight.judged(&program, events, &copy, &options)?.ok_or_else(|| options.predict.stopped_at_end())
}

fn watch(program: &mut Program, events: &[Event], options: &AssessOptions<'_>) -> Result<Watch, Error> {
    let hot_c = check::in_range("hot_temperature", options.hot_c, 20.0, 150.0, "degC")?;
    let surge_deg = check::in_range("surge", options.surge_deg, 0.0, 45.0, "deg")?;
    let actions: Vec<&Action> = events.iter().map(|e| &e.action).collect();
    Watch::prepare(program, &actions, hot_c, options.attitude, surge_deg)
}

fn nominal<'a>(program: &Program, watch: &'a Watch) -> Result<Sight<'a>, Error> {
    let mut sight = Sight::new(watch, 1, Bend::Refuse);
    program.run(program.nominals(), &mut program.scratch(program.nominals())?, &mut sight)?;
    Ok(sight)
}

/// What is seen in every draw.
#[derive(Debug, Clone)]
struct Sight<'a> {
    watch: &'a Watch,
    misfit: Bend,
    seen: Vec<Seen>,
    spare: Vec<f64>,
    /// Of the draws that are running.
    spare_now: [f64; Eight::COUNT],
}

impl<'a> Sight<'a> {
    fn new(watch: &'a Watch, draws: usize, misfit: Bend) -> Self {
        let spare = if watch.knows_pickup() { draws } else { 0 };
        let seen = Vec::with_capacity(draws);
        Self { watch, misfit, seen, spare: Vec::with_capacity(spare), spare_now: [f64::INFINITY; Eight::COUNT] }
    }

    /// `None` when told to stop.
    fn judged(
        self,
        program: &Program,
        events: &[Event],
        nominal: &Sight<'_>,
        options: &AssessOptions<'_>,
    ) -> Result<Option<Assessment>, Error> {
        let Some(first) = nominal.seen.first() else {
            return Err(EstimateError::Stopped { done: 0, asked: options.predict.draws }.into());
        };
        let stopped = || options.predict.is_stopped();
        let n = self.seen.len() as f64;
        let share = |of: &dyn Fn(&Seen) -> bool| self.seen.iter().filter(|s| of(s)).count() as f64 / n;
        let bands = Band::ALL.map(|band| share(&|s| Band::of(s.spans) == band));
        let over_max = share(&|s| s.over_max);
        let limit = dilution_limit(program.circuit.spec().fluid.fuel);
        let Some(spans) = Draws::unless(&stopped, self.seen.iter().map(|s| s.spans).collect()) else {
            return Ok(None);
        };
        let gaps = self.seen.iter().filter_map(|s| s.crank_gap).collect();
        let crank = self.watch.knows_crank().then(|| clearance(&stopped, gaps));
        let pickup = self.watch.knows_pickup().then(|| clearance(&stopped, self.spare));
        let (Some(crank), Some(pickup)) = (turned(crank), turned(pickup)) else { return Ok(None) };
        let mut assessment = Assessment {
            circuit: program.circuit.clone(),
            draws: options.predict.draws,
            seed: options.predict.seed,
            hot_c: options.hot_c,
            surge_deg: options.surge_deg,
            spans,
            over_max,
            judgement: 0.0,
            bands,
            crank,
            pickup,
            foreign: first.foreign,
            foreign_draws: [share(&|s| s.foreign[0] > limit), share(&|s| s.foreign[1] > 0.0)],
            past_top: share(&|s| s.past_top),
            sump_empty: share(&|s| s.sump_empty),
            undone: program.undone(events),
            verdict: Verdict::ReadAgain,
            reasons: Vec::new(),
            cautions: Vec::new(),
        };
        (assessment.verdict, assessment.reasons) = verdict::of(&assessment);
        assessment.cautions = verdict::cautions(&assessment, events);
        Ok(Some(assessment))
    }
}

/// `None` when told to stop.
fn clearance(stopped: &dyn Fn() -> bool, distance: Vec<f64>) -> Option<Clearance> {
    let used_up = distance.iter().filter(|d| **d <= 0.0).count() as f64 / distance.len().max(1) as f64;
    Some(Clearance { distance: Draws::unless(stopped, distance)?, used_up })
}

/// Not asked for is fine; told to stop is not.
#[allow(clippy::option_option)] // unknown, stopped, known
fn turned<T>(of: Option<Option<T>>) -> Option<Option<T>> {
    match of {
        None => Some(None),
        Some(None) => None,
        Some(known) => Some(known),
    }
}

impl<X: Side> Recorder<X> for Sight<'_> {
    fn start(&mut self, _view: &View<'_, X>) {
        self.spare_now = [f64::INFINITY; Eight::COUNT];
    }

    fn row(&mut self, event: usize, view: &View<'_, X>) {
        if let Some(spare) = self.watch.pickup_spare(event, view) {
            self.spare_now[..X::COUNT].iter_mut().enumerate().for_each(|(i, now)| *now = now.min(spare.lane(i)));
        }
    }

    fn end(&mut self, view: &View<'_, X>) {
        self.seen.extend(self.watch.end(view));
        if self.watch.knows_pickup() {
            self.spare.extend_from_slice(&self.spare_now[..X::COUNT]);
        }
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        self.misfit
    }
}

impl Collect for Sight<'_> {
    fn join(&mut self, next: Self) {
        self.seen.extend(next.seen);
        self.spare.extend(next.spare);
    }
}

impl Assessment {
    /// The circuit.
    pub fn circuit(&self) -> &Circuit {
        &self.circuit
    }

    /// Number of draws; 1 for a timeline.
    pub fn draws(&self) -> usize {
        self.draws
    }

    /// Seed of the streams.
    pub fn seed(&self) -> u64 {
        self.seed
    }

    /// Temperature of the static hot level (°C).
    pub fn hot_c(&self) -> f64 {
        self.hot_c
    }

    /// Tilt that surge amounts to (deg).
    pub fn surge_deg(&self) -> f64 {
        self.surge_deg
    }

    /// True level, drained back, filter full, in the reference condition: 0 at MIN, 1 at MAX. By height, so that it goes on where the
    /// blade ends.
    pub fn spans(&self) -> &Draws {
        &self.spans
    }

    /// Probability of a band.
    pub fn probability(&self, band: Band) -> f64 {
        Band::ALL.iter().zip(self.bands).find(|(b, _)| **b == band).map_or(0.0, |(_, p)| p)
    }

    /// Probability of ending over MAX.
    pub fn probability_over_max(&self) -> f64 {
        self.over_max
    }

    /// What share of the variance of the level rests on judgement inputs, 0 for a timeline; see [`judgement_share`].
    pub fn judgement_share(&self) -> f64 {
        self.judgement
    }

    /// From the static hot level up to the crank's path; `None` where the circuit does not state `[crank]`.
    pub fn crank_gap(&self) -> Option<&Clearance> {
        self.crank.as_ref()
    }

    /// Depth of the pickup right after a run less the margin it wants, the least of all runs; `None` where the circuit does not state
    /// `[pickup]` or the engine does not run.
    pub fn pickup(&self) -> Option<&Clearance> {
        self.pickup.as_ref()
    }

    /// Nominal shares of fuel and of coolant with water in all that is in the circuit, by mass.
    pub fn foreign(&self) -> [f64; 2] {
        self.foreign
    }

    /// The verdict.
    pub fn verdict(&self) -> Verdict {
        self.verdict
    }

    /// What the verdict rests on, and what is unknown.
    pub fn reasons(&self) -> &[String] {
        &self.reasons
    }

    /// Cautions that apply, with why.
    pub fn cautions(&self) -> &[Caution] {
        &self.cautions
    }
}
