//! Running a service over many draws: on threads, in chunks that cannot change a result, without allocating in a draw.

use super::EstimateError;
use super::draw::{Block, Drawer, Points};
use super::evaluate::Work;
use super::inputs::{Correlation, Inputs};
use super::leaning;
use super::predict_options::PredictOptions;
use crate::Error;
use crate::circuit::Ix;
use crate::numeric::lanes::{Eight, Lanes};
use crate::numeric::share::{beside, share};
use crate::service::{Bend, Misfit, Parting, Program, Recorder, Scratch, Side, Touched};

/// Rows that are worked on together, so that memory does not grow with the number of draws; meanwhile as many are joined.
const KEPT_ROWS: usize = 1 << 14;

/// The uncertain inputs of a service and where the program wants them.
#[derive(Debug, Clone)]
pub(super) struct Varying {
    /// Where each uncertain input stands among those of the program.
    pub(super) places: Vec<Ix>,
    /// The uncertain inputs by path.
    pub(super) inputs: Inputs,
    /// Which derived quantities change from draw to draw.
    pub(super) touched: Touched,
}

impl Varying {
    /// Those of a program, which must be possible at nominal values; `stopped` ends the work with its error.
    pub(super) fn of(
        program: &Program,
        correlations: &[Correlation],
        stopped: &dyn Fn() -> Option<EstimateError>,
    ) -> Result<Self, Error> {
        if let Some((path, reason)) = program.uncovered() {
            return Err(EstimateError::UncertainAttitude { path, reason: reason.into() }.into());
        }
        program.run(program.nominals(), &mut program.scratch(program.nominals())?, &mut Strict)?;
        let uncertain: Vec<_> =
            program.inputs().enumerate().filter(|(_, input)| !input.distribution().is_exact()).collect();
        let places: Vec<Ix> = uncertain.iter().map(|(ix, _)| *ix).collect();
        let names = uncertain.iter().map(|(_, input)| input.path()).collect();
        let distributions = uncertain.iter().map(|(_, input)| input.distribution().clone()).collect();
        let inputs = Inputs::of(names, distributions)?;
        leaning::prepare(program, &inputs, &places, stopped)?;
        let all = with_own(program, &inputs, correlations);
        let inputs = if all.is_empty() { inputs } else { inputs.correlated(&all)? };
        let touched = program.touches(&places);
        Ok(Self { places, inputs, touched })
    }

    /// Puts a row of a block where the program wants it.
    pub(super) fn put(&self, block: &Block, row: usize, inputs: &mut [f64]) {
        self.put_rows(block, row, inputs);
    }

    /// Puts as many rows of a block side by side where the program wants them.
    fn put_rows<X: Lanes>(&self, block: &Block, first: usize, inputs: &mut [X]) {
        for (place, column) in self.places.iter().zip(block.columns()) {
            let rows = &column[first..first + X::COUNT];
            inputs[*place] = X::from_lanes(|i| rows[i]);
        }
    }

    /// Runs the program once for every row of a block: many side by side, where they take the same steps.
    ///
    /// `after` is told the row, its place among those that ran side by side, and the recorder.
    pub(super) fn run<R: Recorder + Recorder<Eight>>(
        &self,
        program: &Program,
        block: &Block,
        recorder: &mut R,
        mut after: impl FnMut(usize, usize, &mut R),
    ) -> Result<(), Error> {
        let mut one = Bench::<f64>::new(self, program)?;
        let mut many = if block.rows() >= Eight::COUNT { Some(Bench::<Eight>::new(self, program)?) } else { None };
        let mut row = 0;
        while row < block.rows() {
            let left = block.rows() - row;
            let abreast = match many.as_mut().filter(|many| left >= Eight::COUNT && many.parting.pays()) {
                Some(many) => many.run(block, row, recorder)?,
                None => false,
            };
            let ran = if abreast { Eight::COUNT } else { usize::from(one.run(block, row, recorder)?) };
            (0..ran).for_each(|draw| after(row + draw, draw, recorder));
            row += ran;
        }
        Ok(())
    }
}

/// What rows of a block are run on: one, or several side by side.
struct Bench<'a, X: Side> {
    varying: &'a Varying,
    program: &'a Program,
    inputs: Vec<X>,
    scratch: Scratch<X>,
    parting: Parting,
    /// Rows before this are not tried again side by side.
    alone_until: usize,
}

impl<'a, X: Side> Bench<'a, X> {
    fn new(varying: &'a Varying, program: &'a Program) -> Result<Self, Error> {
        let inputs: Vec<X> = program.nominals().iter().map(|x| X::splat(*x)).collect();
        let scratch = program.scratch_abreast(&inputs)?;
        Ok(Self { varying, program, inputs, scratch, parting: Parting::default(), alone_until: 0 })
    }

    /// Runs the rows from one on; `false` where they parted.
    fn run<R: Recorder<X>>(&mut self, block: &Block, row: usize, recorder: &mut R) -> Result<bool, Error> {
        if row < self.alone_until {
            return Ok(false);
        }
        self.varying.put_rows(block, row, &mut self.inputs);
        self.program.refresh(&self.inputs, self.varying.touched, &mut self.scratch);
        // What goes wrong in one of several goes wrong when it runs alone, and is told then.
        let ran = self.program.run_abreast(&self.inputs, &mut self.scratch, recorder);
        let ran = if X::COUNT == 1 { ran? } else { ran.unwrap_or(false) };
        self.parting.note(ran);
        if !ran {
            self.alone_until = row + X::COUNT;
        }
        Ok(ran)
    }
}

/// Correlations as stated, and that of scale and datum of the circuit's geometry where both are uncertain and nothing else
/// is stated of the two.
pub(super) fn with_own(program: &Program, inputs: &Inputs, stated: &[Correlation]) -> Vec<Correlation> {
    let mut all = stated.to_vec();
    let (pair, r) = (["geometry.volume_scale", "geometry.datum"], program.circuit.spec().geometry.correlation);
    let named = |c: &Correlation| pair.contains(&c.a.as_str()) && pair.contains(&c.b.as_str());
    if r != 0.0 && pair.iter().all(|path| inputs.index(path).is_ok()) && !stated.iter().any(named) {
        all.push(Correlation::of_scores(pair[0], pair[1], r));
    }
    all
}

/// Refuses what does not fit at nominal values, before any draw is made.
struct Strict;

impl Recorder for Strict {
    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        Bend::Refuse
    }
}

/// What a run over many draws collects; chunks are joined in order.
pub(super) trait Collect: Send + Recorder + Recorder<Eight> {
    /// Takes in the chunk that follows.
    fn join(&mut self, next: Self);
}

/// Runs the program over every draw, chunk by chunk, on as many threads as the pool has. `new(n)` makes an empty
/// collector for `n` draws.
pub(super) fn run_draws<C: Collect>(
    program: &Program,
    options: &PredictOptions<'_>,
    new: &(dyn Fn(&Program, usize) -> C + Sync),
) -> Result<C, Error> {
    let varying = Varying::of(program, options.correlations, &|| options.stopped_before())?;
    options.check(varying.inputs.uncertain())?;
    let job = Job::new(program, &varying, options, options.points());
    let mut whole = new(program, options.draws);
    job.run(0, options.draws, new, &mut whole)?;
    Ok(whole)
}

/// A service with its draws.
pub(super) struct Job<'a> {
    program: &'a Program,
    varying: &'a Varying,
    drawer: Drawer<'a>,
    chunk: usize,
    work: Work<'a>,
}

impl<'a> Job<'a> {
    pub(super) fn new(
        program: &'a Program,
        varying: &'a Varying,
        options: &PredictOptions<'a>,
        points: Points,
    ) -> Self {
        let drawer = Drawer::new(&varying.inputs, points, options.seed);
        let work = Work::new(options.draws, options.stop, options.progress);
        Self { program, varying, drawer, chunk: options.chunk, work }
    }

    /// Rows `first..first + rows`, joined to what is there.
    pub(super) fn run<C: Collect>(
        &self,
        first: usize,
        rows: usize,
        new: &(dyn Fn(&Program, usize) -> C + Sync),
        whole: &mut C,
    ) -> Result<(), Error> {
        let end = first + rows;
        let kept = self.chunk.saturating_mul((KEPT_ROWS / self.chunk).max(8));
        let mut before = Vec::new();
        for from in (first..end).step_by(kept) {
            let to = end.min(from + kept);
            let firsts: Vec<usize> = (from..to).step_by(self.chunk).collect();
            let work = || share(firsts, |at| self.one(at, self.chunk.min(to - at), new));
            let (now, joined) = beside(work, || join(before, whole));
            joined?;
            before = now;
        }
        join(before, whole)
    }

    fn one<C: Collect>(
        &self,
        first: usize,
        rows: usize,
        new: &(dyn Fn(&Program, usize) -> C + Sync),
    ) -> Result<C, Error> {
        if self.work.is_stopped() {
            return Err(self.work.stopped().into());
        }
        let mut block = self.drawer.block(rows);
        self.drawer.draw(first, &mut block);
        let mut collected = new(self.program, rows);
        self.varying.run(self.program, &block, &mut collected, |_, _, _| ())?;
        self.work.finished(rows);
        Ok(collected)
    }
}

/// Joins chunks in their order, up to the first that failed.
fn join<C: Collect>(chunks: Vec<Result<C, Error>>, whole: &mut C) -> Result<(), Error> {
    chunks.into_iter().try_for_each(|collected| {
        whole.join(collected?);
        Ok(())
    })
}

#[cfg(test)]
mod tests;
