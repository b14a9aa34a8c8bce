//! One place for work shared between threads: pieces that do not depend on how many there are.

/// What `work` makes of each piece, in the order of the pieces. A single piece is worked here; several are shared out if threads
/// were compiled in.
#[cfg(feature = "parallel")]
pub(crate) fn share<T: Send, R: Send>(pieces: Vec<T>, work: impl Fn(T) -> R + Sync + Send) -> Vec<R> {
    use rayon::prelude::*;
    if pieces.len() < 2 {
        return pieces.into_iter().map(work).collect();
    }
    pieces.into_par_iter().map(work).collect()
}

/// What `work` makes of each piece, in the order of the pieces.
#[cfg(not(feature = "parallel"))]
pub(crate) fn share<T: Send, R: Send>(pieces: Vec<T>, work: impl Fn(T) -> R + Sync + Send) -> Vec<R> {
    pieces.into_iter().map(work).collect()
}
