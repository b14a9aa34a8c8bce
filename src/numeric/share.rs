//! One place for work shared between threads: pieces that do not depend on how many there are.

use std::sync::{Mutex, MutexGuard, PoisonError};

/// What `work` makes of each piece, in the order of the pieces. A single piece is worked here; several are shared out if threads
/// were compiled in.
pub(crate) fn share<T: Send, R: Send>(pieces: Vec<T>, work: impl Fn(T) -> R + Sync) -> Vec<R> {
    if pieces.len() < 2 {
        return pieces.into_iter().map(work).collect();
    }
    let pieces: Vec<_> = pieces.into_iter().map(|piece| Mutex::new(Some(piece))).collect();
    let made: Vec<_> = pieces.iter().map(|_| Mutex::new(None)).collect();
    each(pieces.len(), &|i| {
        let piece = locked(&pieces[i]).take();
        let done = piece.map(&work);
        *locked(&made[i]) = done;
    });
    made.into_iter().filter_map(|made| made.into_inner().unwrap_or_else(PoisonError::into_inner)).collect()
}

/// Two works side by side, if threads were compiled in.
#[cfg(feature = "parallel")]
pub(crate) fn beside<A: Send, B: Send>(a: impl FnOnce() -> A + Send, b: impl FnOnce() -> B + Send) -> (A, B) {
    rayon::join(a, b)
}

/// Two works, one after the other.
#[cfg(not(feature = "parallel"))]
pub(crate) fn beside<A, B>(a: impl FnOnce() -> A, b: impl FnOnce() -> B) -> (A, B) {
    (a(), b())
}

/// Each place is locked by the one thread that works on it, so nobody waits. (Where `work` panics, so does [`share`].)
fn locked<T>(place: &Mutex<T>) -> MutexGuard<'_, T> {
    place.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Does the work of every number below `n`. What shares it out is compiled once, not for every kind of piece.
#[cfg(feature = "parallel")]
fn each(n: usize, work: &(dyn Fn(usize) + Sync)) {
    use rayon::prelude::*;
    (0..n).into_par_iter().for_each(work);
}

/// Does the work of every number below `n`.
#[cfg(not(feature = "parallel"))]
fn each(n: usize, work: &(dyn Fn(usize) + Sync)) {
    (0..n).for_each(work);
}
