//! The curves a sump has prepared lately.

use std::sync::{Arc, Mutex, PoisonError};

use super::attitude::Attitude;
use super::curve::LevelCurve;

/// How many attitudes are kept. A curve takes about 70 bytes a vertex.
const KEPT: usize = 16;

/// The curves used most recently, newest last.
#[derive(Debug, Default)]
pub(crate) struct CurveCache {
    curves: Mutex<Vec<Arc<LevelCurve>>>,
}

impl CurveCache {
    /// The curve of an attitude, prepared by `make` if it is not kept. Two threads that miss at once both prepare it.
    pub(crate) fn get(&self, attitude: Attitude, make: impl FnOnce() -> LevelCurve) -> Arc<LevelCurve> {
        if let Some(curve) = self.find(attitude) {
            return curve;
        }
        let curve = Arc::new(make());
        let mut kept = self.curves.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() >= KEPT {
            kept.remove(0);
        }
        kept.push(Arc::clone(&curve));
        curve
    }

    fn find(&self, attitude: Attitude) -> Option<Arc<LevelCurve>> {
        let mut kept = self.curves.lock().unwrap_or_else(PoisonError::into_inner);
        let i = kept.iter().rposition(|c| c.attitude() == attitude)?;
        if i + 1 != kept.len() {
            let curve = kept.remove(i);
            kept.push(curve);
        }
        kept.last().cloned()
    }
}
