//! The one way out of the interpreter. Every binding that computes goes through here, so none decides for itself.

use std::any::Any;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;

use pyo3::prelude::*;

use super::errors::{self, Failure};

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
    let stop = AtomicBool::new(false);
    let outcome = py.detach(|| {
        std::thread::scope(|scope| {
            let (sender, receiver) = channel();
            let stop = &stop;
            let job = move || {
                // The receiver outlives this thread, so sending cannot fail.
                let _ = sender.send(catch_unwind(AssertUnwindSafe(|| work(stop))));
            };
            std::thread::Builder::new().name("fillmark".into()).spawn_scoped(scope, job)?;
            loop {
                match receiver.recv_timeout(SIGNAL_CHECK) {
                    Ok(Ok(done)) => return Ok(done),
                    Ok(Err(payload)) => return Err(errors::internal(&panic_text(payload.as_ref()))),
                    Err(RecvTimeoutError::Disconnected) => {
                        return Err(errors::internal("the job ended without a result"));
                    }
                    Err(RecvTimeoutError::Timeout) => {
                        if let Some(signal) = Python::attach(|py| py.check_signals().err()) {
                            stop.store(true, Ordering::Relaxed);
                            return Err(signal);
                        }
                    }
                }
            }
        })
    });
    outcome?.map_err(errors::to_py)
}

/// The text of a panic, where it has one.
fn panic_text(payload: &(dyn Any + Send)) -> String {
    let text = payload.downcast_ref::<&str>().map(ToString::to_string);
    text.or_else(|| payload.downcast_ref::<String>().cloned()).unwrap_or_else(|| "no message".into())
}
