//! How far a plan is: it runs all its draws several times, and how often is known only once the first pour is found.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use super::super::evaluate::Progress;
use super::super::predict_options::PredictOptions;
use super::service::Aim;

/// Passes that follow the search of the first pour: the prediction, and the joint draws of the correction.
const AFTER_SEARCH: usize = 2;
/// Passes of a usual search: one to guess the step, one for the step, one for the step beyond.
const USUAL_SEARCH: usize = 3;

/// Counts what is done over all passes, a chunk at a time, and tells it as draws.
pub(super) struct Passes<'a> {
    told: Progress<'a>,
    draws: usize,
    chunk: usize,
    chunks: AtomicUsize,
    /// Passes that there will be in all, as far as is known.
    count: AtomicUsize,
    is_found: AtomicBool,
}

impl<'a> Passes<'a> {
    /// For a plan made with these options; none where nobody wants to know.
    pub(super) fn of(options: &PredictOptions<'a>, aim: Aim) -> Option<Self> {
        let search = if aim == Aim::Refill { USUAL_SEARCH } else { 0 };
        Some(Self {
            told: options.progress?,
            draws: options.draws,
            chunk: options.chunk.max(1),
            chunks: AtomicUsize::new(0),
            count: AtomicUsize::new(search + AFTER_SEARCH),
            is_found: AtomicBool::new(false),
        })
    }

    /// One more chunk is done. Chunks of all passes are alike but for the last of each.
    pub(super) fn chunk_done(&self) {
        let chunks = self.chunks.fetch_add(1, Ordering::Relaxed) + 1;
        let (whole, begun) = (chunks / self.per_pass(), chunks % self.per_pass());
        let least =
            whole + usize::from(begun > 0) + if self.is_found.load(Ordering::Relaxed) { 0 } else { AFTER_SEARCH };
        let passes = self.count.fetch_max(least, Ordering::Relaxed).max(least);
        (self.told)(whole * self.draws + (begun * self.chunk).min(self.draws), passes * self.draws);
    }

    /// The first pour is found: what follows is known.
    pub(super) fn found(&self) {
        let searched = self.chunks.load(Ordering::Relaxed).div_ceil(self.per_pass());
        self.chunks.store(searched * self.per_pass(), Ordering::Relaxed);
        self.is_found.store(true, Ordering::Relaxed);
        self.count.store(searched + AFTER_SEARCH, Ordering::Relaxed);
    }

    fn per_pass(&self) -> usize {
        self.draws.div_ceil(self.chunk).max(1)
    }
}
