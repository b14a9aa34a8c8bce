//! How far the drawing is from the service sheet, and which single quantity would close the gap.

use std::fmt;

use super::predict_options::PredictOptions;
use super::run::{Collect, run_draws};
use super::summary::Draws;
use crate::Error;
use crate::circuit::{Circuit, CircuitError, Ix, NOMINAL_DRAIN_C, NOMINAL_DRAIN_S};
use crate::numeric::lanes::{Eight, Lanes};
use crate::service::{Action, Bend, Event, Misfit, Program, Recorder, Side, View};
use crate::units::{DimensionId, Temperature, Time, Value};

/// Figures of a service sheet, in the order of every array here.
pub const FIGURES: [&str; 4] = ["service_with_filter", "service_without_filter", "dry", "span"];

/// The nominal drain by which the drawing is turned into service capacities.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct ReconcileOptions<'a> {
    /// Plug that is opened; the lowest where not stated.
    pub plug: Option<String>,
    /// How long.
    pub duration: Value<Time>,
    /// Temperature of the oil then.
    pub temperature: Option<Value<Temperature>>,
    /// How the draws are made.
    pub predict: PredictOptions<'a>,
}

impl Default for ReconcileOptions<'_> {
    /// 10 min at 60 °C (common practice, no source), 10 000 draws.
    fn default() -> Self {
        Self {
            plug: None,
            duration: Value::constant(NOMINAL_DRAIN_S),
            temperature: Some(Value::constant(NOMINAL_DRAIN_C)),
            predict: PredictOptions::default().draws(10_000),
        }
    }
}

/// One figure by the drawing and by the book (m3).
#[derive(Debug, Clone, PartialEq)]
pub struct Compared {
    /// Which, one of [`FIGURES`].
    pub figure: &'static str,
    /// By the drawing, at nominal values.
    pub geometry: f64,
    /// Its standard uncertainty.
    pub geometry_u: f64,
    /// By the book, where it says.
    pub book: Option<f64>,
    /// Its standard uncertainty.
    pub book_u: f64,
}

impl Compared {
    /// Drawing less book, where the book says (m3).
    pub fn gap(&self) -> Option<f64> {
        self.book.map(|b| self.geometry - b)
    }

    /// Standard uncertainty of the gap (m3), drawing and book being independent.
    pub fn gap_u(&self) -> f64 {
        self.geometry_u.hypot(self.book_u)
    }
}

/// What one quantity would have to be to close the gap of one figure by itself (SI).
#[derive(Debug, Clone, PartialEq)]
pub struct Closing {
    /// Which figure.
    pub figure: &'static str,
    /// Path of the quantity.
    pub path: String,
    /// Its dimension.
    pub dimension: DimensionId,
    /// Its nominal value.
    pub now: f64,
    /// What it would have to be.
    pub needed: f64,
    /// Its stated standard uncertainty.
    pub u: f64,
    /// Whether it can be that at all: a volume not below zero, a mark on the blade, a scale between 0.5 and 2.
    pub possible: bool,
}

/// How far a drawing is from its service sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Reconciliation {
    circuit: Circuit,
    figures: Vec<Compared>,
    closings: Vec<Closing>,
}

/// Compares what the drawing says with the book.
///
/// By the drawing, with a nominal drain at the reference attitude: the service capacity is what would bring the sump from its end to MAX in
/// the reference condition, filter taken off or kept; the dry capacity is `V_MAX` and what filter and stores hold in that condition; the span
/// is the volume between the marks. The capacity with filter is left out where neither circuit nor book know of one.
///
/// For every figure from which the book is half a millilitre or more away, each of heel (or lip), `geometry.volume_scale`, `filter.net_volume`, MAX and MIN is solved for, alone. A
/// change many times its stated uncertainty is not what is wrong.
pub fn reconcile(circuit: &Circuit, options: &ReconcileOptions<'_>) -> Result<Reconciliation, Error> {
    let plug = match &options.plug {
        Some(plug) => plug.clone(),
        None => lowest_plug(circuit)?,
    };
    let drain = Action::Drain {
        plug: Some(plug.clone()),
        duration: options.duration.clone(),
        temperature: options.temperature.clone(),
    };
    let mut events: Vec<Event> = vec![drain.into()];
    if circuit.layout().filter.is_some() {
        events.push(Action::RemoveFilter.into());
    }
    let program = Program::compile(circuit, &events)?;
    let nominal = figures(&program, program.nominals())?;
    let sheets = run_draws(&program, &options.predict, &|_, n| Sheet::with_capacity(n))?;
    let book = circuit.spec().book.clone().unwrap_or_default();
    let said = [book.service_with_filter, book.service_without_filter, book.dry, book.span];
    let mut compared = Vec::with_capacity(FIGURES.len());
    for (i, drawn) in sheets.columns.into_iter().enumerate() {
        // Nothing comes off where there is no filter; a sheet may still say a figure with one.
        if i == WITH_FILTER && circuit.layout().filter.is_none() && said[i].is_none() {
            continue;
        }
        let Some(drawn) = Draws::unless(&|| options.predict.is_stopped(), drawn) else {
            return Err(options.predict.stopped_at_end());
        };
        compared.push(Compared {
            figure: FIGURES[i],
            geometry: nominal[i],
            geometry_u: drawn.standard_uncertainty(),
            book: said[i].as_ref().map(Value::nominal),
            book_u: said[i].as_ref().map_or(0.0, Value::standard_uncertainty),
        });
    }
    let mut closings = Vec::new();
    for (figure, gap) in compared.iter().filter_map(|c| Some((c, c.gap()?))) {
        if gap.abs() < NO_GAP_M3 {
            continue;
        }
        let place = FIGURES.iter().position(|f| *f == figure.figure).unwrap_or(WITH_FILTER);
        for candidate in candidates(circuit, &plug) {
            closings.extend(close(&program, place, figure.geometry - gap, &candidate)?);
        }
    }
    Ok(Reconciliation { circuit: circuit.clone(), figures: compared, closings })
}

fn lowest_plug(circuit: &Circuit) -> Result<String, Error> {
    let plugs = circuit.spec().plugs.iter();
    let lowest = plugs.min_by(|(_, a), (_, b)| a.at_mm[2].total_cmp(&b.at_mm[2]));
    let missing = || CircuitError::PartMissing { part: "plugs".into(), circuit: circuit.name().into() };
    Ok(lowest.map(|(name, _)| name.clone()).ok_or_else(missing)?)
}

/// A quantity that may be solved for: its place among the inputs and its accepted range (SI).
struct Candidate {
    ix: Ix,
    low: f64,
    high: f64,
}

fn candidates(circuit: &Circuit, plug: &str) -> Vec<Candidate> {
    let l = circuit.layout();
    let blade = circuit.stick().length();
    let drained = l.plugs.iter().find(|(name, _)| name == plug).and_then(|(_, p)| p.heel.or(p.lip));
    let volume = |ix: Ix| Candidate { ix, low: 0.0, high: 1.0 };
    let mark = |ix: Ix| Candidate { ix, low: 0.0, high: blade };
    let mut all: Vec<Candidate> = drained.into_iter().map(volume).collect();
    all.push(Candidate { ix: l.volume_scale, low: 0.5, high: 2.0 });
    all.extend(l.filter.map(|f| volume(f.net_volume)));
    all.extend([mark(l.stick.max), mark(l.stick.min)]);
    all
}

/// Solves for one quantity by the secant method; nothing where the figure does not depend on it.
fn close(program: &Program, figure: usize, target: f64, candidate: &Candidate) -> Result<Option<Closing>, Error> {
    let scalar = &program.circuit.scalars()[candidate.ix];
    let mut inputs = program.nominals().to_vec();
    let now = inputs[candidate.ix];
    let mut miss = |x: f64| -> Result<f64, Error> {
        inputs[candidate.ix] = x;
        Ok(figures(program, &inputs)?[figure] - target)
    };
    let closing = |needed: f64, possible: bool| Closing {
        figure: FIGURES[figure],
        path: scalar.path.clone(),
        dimension: scalar.dimension,
        now,
        needed,
        u: scalar.distribution.standard_deviation(),
        possible,
    };
    let step = 1e-3 * (candidate.high - candidate.low).min(1.0);
    let (mut x0, mut f0) = (now, miss(now)?);
    if f0.abs() < SOLVED_M3 {
        return Ok(Some(closing(now, true)));
    }
    let mut x1 = if now + step <= candidate.high { now + step } else { now - step };
    let mut f1 = miss(x1)?;
    for _ in 0..STEPS {
        let slope = (f1 - f0) / (x1 - x0);
        if !slope.is_finite() || slope.abs() < FLAT {
            return Ok(None);
        }
        let next = x1 - f1 / slope;
        if !(candidate.low..=candidate.high).contains(&next) {
            return Ok(Some(closing(next, false)));
        }
        (x0, f0, x1, f1) = (x1, f1, next, miss(next)?);
        if f1.abs() < SOLVED_M3 {
            return Ok(Some(closing(x1, true)));
        }
    }
    Ok(None)
}

/// Place of the first of [`FIGURES`].
const WITH_FILTER: usize = 0;
/// A gap below this prints as nothing, and nothing need close it.
const NO_GAP_M3: f64 = 0.5e-6;
/// Missing the book by less than a microlitre counts as solved.
const SOLVED_M3: f64 = 1e-9;
/// Steps of the secant.
const STEPS: usize = 60;
/// A figure that changes by less than this per SI unit does not depend on the quantity.
const FLAT: f64 = 1e-9;

/// The figures by the drawing for one set of inputs (m3).
fn figures(program: &Program, inputs: &[f64]) -> Result<[f64; 4], Error> {
    let mut sheet = Sheet::with_capacity(1);
    program.run(inputs, &mut program.scratch(inputs)?, &mut sheet)?;
    Ok(std::array::from_fn(|i| sheet.columns[i].first().copied().unwrap_or(f64::NAN)))
}

/// Collects the figures of every draw.
struct Sheet {
    columns: [Vec<f64>; 4],
    /// Of the draws that are running.
    now: [[f64; Eight::COUNT]; 4],
}

impl Sheet {
    fn hear<X: Lanes>(&mut self, figure: usize, x: X) {
        self.now[figure][..X::COUNT].iter_mut().enumerate().for_each(|(draw, now)| *now = x.lane(draw));
    }

    fn with_capacity(draws: usize) -> Self {
        Self { columns: std::array::from_fn(|_| Vec::with_capacity(draws)), now: [[0.0; Eight::COUNT]; 4] }
    }
}

impl<X: Side> Recorder<X> for Sheet {
    fn start(&mut self, view: &View<'_, X>) {
        let [min, max] = view.volumes_at_marks();
        self.hear(1, X::splat(0.0));
        self.hear(2, view.volume_at_max() + view.volume_elsewhere());
        self.hear(3, max - min);
    }

    fn row(&mut self, event: usize, view: &View<'_, X>) {
        // The drain first; where there is a filter it then comes off.
        if event == 0 {
            self.hear(1, view.volume_at_max() - view.drained_back());
        }
    }

    fn end(&mut self, view: &View<'_, X>) {
        self.hear(0, view.volume_at_max() - view.drained_back());
        for (column, figures) in self.columns.iter_mut().zip(&self.now) {
            column.extend_from_slice(&figures[..X::COUNT]);
        }
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        Bend::Bend
    }
}

impl Collect for Sheet {
    fn join(&mut self, next: Self) {
        for (column, more) in self.columns.iter_mut().zip(next.columns) {
            column.extend(more);
        }
    }
}

impl Reconciliation {
    /// The circuit.
    pub fn circuit(&self) -> &Circuit {
        &self.circuit
    }

    /// Every figure by the drawing and by the book.
    pub fn figures(&self) -> &[Compared] {
        &self.figures
    }

    /// What would close each gap alone.
    pub fn closings(&self) -> &[Closing] {
        &self.closings
    }
}

impl fmt::Display for Reconciliation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}: drawing against book, L (standard uncertainty)", self.circuit.name())?;
        let l = |v: f64| v * 1e3;
        for c in &self.figures {
            write!(f, "  {:<24} drawing {:8.3} ({:.3})", c.figure, l(c.geometry), l(c.geometry_u))?;
            match c.gap() {
                Some(gap) => writeln!(
                    f,
                    "  book {:8.3} ({:.3})  gap {:+.3} ({:.3})",
                    l(c.geometry - gap),
                    l(c.book_u),
                    l(gap),
                    l(c.gap_u())
                )?,
                None => writeln!(f, "  book -")?,
            }
        }
        if self.closings.is_empty() {
            return writeln!(f, "  no gap that a single quantity would close");
        }
        writeln!(f, "  what would close a gap alone:")?;
        for c in &self.closings {
            let shown = |v: f64| {
                let unit = c.dimension.default_unit();
                crate::units::format_in(c.dimension, round(v), unit).unwrap_or_else(|_| round(v).to_string())
            };
            let verdict = if c.possible { "" } else { "  (not possible)" };
            writeln!(f, "    {:<24} {:<24} {} -> {}{verdict}", c.figure, c.path, shown(c.now), shown(c.needed))?;
        }
        Ok(())
    }
}

/// To a microlitre or a micrometre, for print.
fn round(si: f64) -> f64 {
    (si * 1e7).round() / 1e7
}
