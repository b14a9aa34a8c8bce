//! What a sump has prepared lately.

use std::sync::{Arc, Mutex, PoisonError};

use super::attitude::Attitude;

/// How many attitudes are kept. A curve takes about 70 bytes a vertex, a merge tree 12.
const KEPT: usize = 16;

/// Things made for one attitude each, those used most recently, newest last.
#[derive(Debug)]
pub(crate) struct Cache<T> {
    made: Mutex<Vec<(Attitude, Arc<T>)>>,
}

impl<T> Default for Cache<T> {
    fn default() -> Self {
        Self { made: Mutex::default() }
    }
}

impl<T> Cache<T> {
    /// What belongs to an attitude, prepared by `make` if it is not kept. Two threads that miss at once both prepare it.
    pub(crate) fn get(&self, attitude: Attitude, make: impl FnOnce() -> T) -> Arc<T> {
        if let Some(made) = self.find(attitude) {
            return made;
        }
        let made = Arc::new(make());
        let mut kept = self.made.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() >= KEPT {
            kept.remove(0);
        }
        kept.push((attitude, Arc::clone(&made)));
        made
    }

    fn find(&self, attitude: Attitude) -> Option<Arc<T>> {
        let mut kept = self.made.lock().unwrap_or_else(PoisonError::into_inner);
        let i = kept.iter().rposition(|(a, _)| *a == attitude)?;
        if i + 1 != kept.len() {
            let made = kept.remove(i);
            kept.push(made);
        }
        kept.last().map(|(_, made)| Arc::clone(made))
    }
}
