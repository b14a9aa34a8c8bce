//! The one way out of the interpreter. Every binding that computes goes through here, so none decides for itself.

use std::any::Any;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;

use pyo3::prelude::*;

use super::arrays::numpy_ready;
use super::errors::{self, Failure};
use crate::estimate::Progress;

/// How often a long job looks for Ctrl-C.
const SIGNAL_CHECK: Duration = Duration::from_millis(50);

/// Runs `work` with other Python threads free to run, and turns its error into the Python class.
///
/// `work` must own its inputs: a slice borrowed from a NumPy array could be written by another thread meanwhile.
/// A defect that panics arrives as `InternalError`, never as an exception that `except Exception` misses.
pub(super) fn run_detached<T, E, F>(py: Python<'_>, work: F) -> PyResult<T>
where
    T: Send,
    E: Send + Into<Failure>,
    F: Send + FnOnce() -> Result<T, E>,
{
    match py.detach(|| catch_unwind(AssertUnwindSafe(work))) {
        Ok(done) => done.map_err(errors::to_py),
        Err(payload) => Err(errors::internal(&panic_text(payload.as_ref()))),
    }
}

/// Runs a long job on a thread of its own while this one keeps looking for signals, at least every 0.1 s.
///
/// `work` gets a flag that becomes true when the user interrupts; it should look at it between pieces of at most
/// 0.1 s and then return anything at all: its result is dropped and the interruption is raised instead.
pub(super) fn run_interruptible<T, E, F>(py: Python<'_>, work: F) -> PyResult<T>
where
    T: Send,
    E: Send + Into<Failure>,
    F: Send + FnOnce(&AtomicBool) -> Result<T, E>,
{
    run_watched(py, |_| Ok(()), work)
}

/// As [`run_interruptible`], and tells a Python function how far the work is: on this thread, at least every 0.1 s while
/// something was done since, and at the end. `work` also gets what to report to. An exception of the function stops the work.
pub(super) fn run_reporting<T, E, F>(py: Python<'_>, progress: Option<&Bound<'_, PyAny>>, work: F) -> PyResult<T>
where
    T: Send,
    E: Send + Into<Failure>,
    F: Send + FnOnce(&AtomicBool, Progress<'_>) -> Result<T, E>,
{
    let (done, asked, told) = (AtomicUsize::new(0), AtomicUsize::new(0), AtomicUsize::new(0));
    let progress = progress.map(|p| p.clone().unbind());
    let tell = |py: Python<'_>| {
        let so_far = (done.load(Ordering::Relaxed), asked.load(Ordering::Relaxed));
        match &progress {
            Some(progress) if told.swap(so_far.0, Ordering::Relaxed) != so_far.0 => {
                progress.bind(py).call1(so_far).map(|_| ())
            }
            _ => Ok(()),
        }
    };
    let report = |now: usize, all: usize| {
        done.fetch_max(now, Ordering::Relaxed);
        asked.store(all, Ordering::Relaxed);
    };
    let found = run_watched(py, tell, |stop| work(stop, &report))?;
    tell(py)?;
    Ok(found)
}

/// Runs a long job on a thread of its own; this one looks for signals and calls `tick` meanwhile.
fn run_watched<T, E, F>(py: Python<'_>, tick: impl Fn(Python<'_>) -> PyResult<()> + Sync, work: F) -> PyResult<T>
where
    T: Send,
    E: Send + Into<Failure>,
    F: Send + FnOnce(&AtomicBool) -> Result<T, E>,
{
    // Now, where Ctrl-C is an exception like any other, and not when the first array of the job is made.
    numpy_ready(py)?;
    let (mut work, mut outcome) = (Some(work), None);
    let mut job = |stop: &AtomicBool| outcome = work.take().map(|work| work(stop));
    py.detach(|| watch(&tick, &mut job))?;
    match outcome {
        Some(done) => done.map_err(errors::to_py),
        None => Err(errors::internal("the job ended without a result")),
    }
}

/// A job, given the flag to look at; what it finds it keeps.
type Job<'a> = &'a mut (dyn FnMut(&AtomicBool) + Send);

/// As [`run_watched`], compiled once for all jobs.
fn watch(tick: &(dyn Fn(Python<'_>) -> PyResult<()> + Sync), job: Job<'_>) -> PyResult<()> {
    let stop = AtomicBool::new(false);
    std::thread::scope(|scope| {
        let (sender, receiver) = channel();
        let stop = &stop;
        let body = move || {
            // The receiver outlives this thread, so sending cannot fail.
            let _ = sender.send(catch_unwind(AssertUnwindSafe(|| job(stop))));
        };
        std::thread::Builder::new().name("fillmark".into()).spawn_scoped(scope, body)?;
        loop {
            match receiver.recv_timeout(SIGNAL_CHECK) {
                Ok(Ok(())) => return Ok(()),
                Ok(Err(payload)) => return Err(errors::internal(&panic_text(payload.as_ref()))),
                Err(RecvTimeoutError::Disconnected) => {
                    return Err(errors::internal("the job ended without a result"));
                }
                Err(RecvTimeoutError::Timeout) => {
                    if let Err(raised) = Python::attach(|py| py.check_signals().and_then(|()| tick(py))) {
                        stop.store(true, Ordering::Relaxed);
                        return Err(raised);
                    }
                }
            }
        }
    })
}

/// The text of a panic, where it has one.
fn panic_text(payload: &(dyn Any + Send)) -> String {
    let text = payload.downcast_ref::<&str>().map(ToString::to_string);
    text.or_else(|| payload.downcast_ref::<String>().cloned()).unwrap_or_else(|| "no message".into())
}
