//! Carrying a model out over many rows: on threads, or where calls must come one after another.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use super::EstimateError;
use super::draw::Block;
use super::model::Model;
use crate::Error;
use crate::numeric::share::share;

/// Is told how many rows are done and how many there will be at most. Called from any thread.
pub type Progress<'a> = &'a (dyn Fn(usize, usize) + Sync);

/// How far the work is, and whether to go on.
pub(crate) struct Work<'a> {
    done: AtomicUsize,
    asked: usize,
    stop: Option<&'a AtomicBool>,
    progress: Option<Progress<'a>>,
    quiet: bool,
}

impl<'a> Work<'a> {
    pub(crate) fn new(asked: usize, stop: Option<&'a AtomicBool>, progress: Option<Progress<'a>>) -> Self {
        Self { done: AtomicUsize::new(0), asked, stop, progress, quiet: false }
    }

    /// Work of a moment, which is not reported.
    pub(crate) fn quiet(asked: usize, stop: Option<&'a AtomicBool>) -> Self {
        Self { quiet: true, ..Self::new(asked, stop, None) }
    }

    /// Whether the caller wants the work stopped.
    pub(crate) fn is_stopped(&self) -> bool {
        self.stop.is_some_and(|stop| stop.load(Ordering::Relaxed))
    }

    /// The error of stopped work.
    pub(crate) fn stopped(&self) -> EstimateError {
        EstimateError::Stopped { done: self.done.load(Ordering::Relaxed), asked: self.asked }
    }

    /// Rows done so far and rows asked for; `None` for work that is not reported.
    #[cfg(feature = "python")]
    pub(crate) fn so_far(&self) -> Option<(usize, usize)> {
        (!self.quiet).then(|| (self.done.load(Ordering::Relaxed), self.asked))
    }

    /// Counts rows as done.
    pub(crate) fn finished(&self, rows: usize) {
        let done = self.done.fetch_add(rows, Ordering::Relaxed) + rows;
        if let Some(progress) = self.progress.filter(|_| !self.quiet) {
            progress(done, self.asked);
        }
    }
}

/// Columns of zeros, each taken from the system untouched: a copy of one would write all of it.
pub(super) fn zeros(columns: usize, rows: usize) -> Vec<Vec<f64>> {
    (0..columns).map(|_| vec![0.0; rows]).collect()
}

/// Fills a block with the rows from this one on.
pub(crate) type Fill<'a> = &'a (dyn Fn(usize, &mut Block) + Sync);

/// A way of carrying a model out.
pub(crate) trait Evaluator {
    /// What may go wrong.
    type Error: From<Error>;

    /// Names of the results.
    fn results(&self) -> &[String];

    /// Computes the results of rows `0..out[0].len()`: blocks like `pattern` are filled and handed to the model.
    fn evaluate(
        &mut self,
        work: &Work<'_>,
        pattern: &dyn Fn(usize) -> Block,
        fill: Fill<'_>,
        out: &mut [Vec<f64>],
    ) -> Result<(), Self::Error>;
}

/// Carries a model out on as many threads as the pool has, in chunks that cannot change a result.
pub(super) struct Threads<'a, M> {
    model: &'a M,
    results: Vec<String>,
    chunk: usize,
}

impl<'a, M: Model> Threads<'a, M> {
    pub(super) fn new(model: &'a M, chunk: usize) -> Result<Self, EstimateError> {
        let results = model.results();
        if results.is_empty() {
            return Err(EstimateError::NoResults);
        }
        Ok(Self { model, results, chunk })
    }
}

impl<M: Model> Evaluator for Threads<'_, M> {
    type Error = Error;

    fn results(&self) -> &[String] {
        &self.results
    }

    fn evaluate(
        &mut self,
        work: &Work<'_>,
        pattern: &dyn Fn(usize) -> Block,
        fill: Fill<'_>,
        out: &mut [Vec<f64>],
    ) -> Result<(), Error> {
        let rows = out.first().map_or(0, Vec::len);
        let empty = pattern(self.chunk.min(rows));
        let one = |first: usize, mut out: Vec<&mut [f64]>| -> Result<(), Error> {
            if work.is_stopped() {
                return Err(work.stopped().into());
            }
            let rows = out.first().map_or(0, |column| column.len());
            let mut block = empty.shortened(rows);
            fill(first, &mut block);
            self.model.evaluate(&block, &mut out)?;
            for (name, column) in self.results.iter().zip(&out) {
                finite(name, first, column)?;
            }
            work.finished(rows);
            Ok(())
        };
        in_chunks(out, self.chunk, one)
    }
}

/// Refuses a result that is no number.
pub(crate) fn finite(result: &str, first: usize, values: &[f64]) -> Result<(), EstimateError> {
    match values.iter().position(|v| !v.is_finite()) {
        None => Ok(()),
        Some(at) => Err(EstimateError::ResultNotFinite {
            result: result.into(),
            row: first + at,
            value: values[at].to_string(),
            count: values.iter().filter(|v| !v.is_finite()).count(),
        }),
    }
}

/// One task for every chunk of rows, with the slices it writes; the error of the first chunk that has one.
fn in_chunks(
    out: &mut [Vec<f64>],
    chunk: usize,
    one: impl Fn(usize, Vec<&mut [f64]>) -> Result<(), Error> + Sync,
) -> Result<(), Error> {
    let mut columns: Vec<_> = out.iter_mut().map(|column| column.chunks_mut(chunk)).collect();
    let mut tasks: Vec<(usize, Vec<&mut [f64]>)> = Vec::new();
    loop {
        let slices: Vec<&mut [f64]> = columns.iter_mut().filter_map(Iterator::next).collect();
        if slices.is_empty() {
            break;
        }
        tasks.push((tasks.len() * chunk, slices));
    }
    share(tasks, |(first, task)| one(first, task)).into_iter().collect()
}
