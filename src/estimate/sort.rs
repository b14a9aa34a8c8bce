//! Sorting draws so that the work can be stopped: by blocks, then merged.

/// Draws handled before looking whether to stop: a few milliseconds of work.
const BLOCK: usize = 1 << 16;

/// The values in rising order (`f64::total_cmp`); `None` when told to stop.
pub(super) fn sorted(values: &[f64], stopped: &dyn Fn() -> bool) -> Option<Vec<f64>> {
    let mut from = values.to_vec();
    for block in from.chunks_mut(BLOCK) {
        going(stopped)?;
        block.sort_unstable_by(f64::total_cmp);
    }
    let (mut to, mut width) = (vec![0.0; from.len()], BLOCK);
    while width < from.len() {
        for (pair, out) in from.chunks(2 * width).zip(to.chunks_mut(2 * width)) {
            let (left, right) = pair.split_at(width.min(pair.len()));
            merge(left, right, out, stopped)?;
        }
        std::mem::swap(&mut from, &mut to);
        width *= 2;
    }
    Some(from)
}

/// Merges two sorted runs into `out`, which is as long as both.
fn merge(left: &[f64], right: &[f64], out: &mut [f64], stopped: &dyn Fn() -> bool) -> Option<()> {
    let (mut i, mut j) = (0, 0);
    for block in out.chunks_mut(BLOCK) {
        going(stopped)?;
        for slot in block {
            let from_right = j < right.len() && (i == left.len() || right[j].total_cmp(&left[i]).is_lt());
            let (run, next) = if from_right { (right, &mut j) } else { (left, &mut i) };
            *slot = run[*next];
            *next += 1;
        }
    }
    Some(())
}

fn going(stopped: &dyn Fn() -> bool) -> Option<()> {
    (!stopped()).then_some(())
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use super::*;
    use crate::numeric::streams;

    /// Against the standard library's sort, at lengths about the ends of blocks and pairs of blocks.
    #[test]
    fn as_the_standard_library_sorts() {
        for length in [0, 1, 2, BLOCK - 1, BLOCK, BLOCK + 1, 2 * BLOCK, 3 * BLOCK, 5 * BLOCK + 7] {
            let mut values = vec![0.0; length];
            streams::fill(1, "sort", 0, &mut values);
            // Equal values and both zeros too.
            values.iter_mut().for_each(|v| *v = ((*v - 0.5) * 1e4).round());
            let mut expected = values.clone();
            expected.sort_by(f64::total_cmp);
            let bits = |list: &[f64]| list.iter().map(|v| v.to_bits()).collect::<Vec<_>>();
            assert_eq!(bits(&sorted(&values, &|| false).unwrap()), bits(&expected), "{length} values");
        }
    }

    #[test]
    fn stops_when_told_to() {
        let values = vec![1.0; 4 * BLOCK];
        let calls = Cell::new(0);
        let count = || {
            calls.set(calls.get() + 1);
            false
        };
        assert!(sorted(&values, &count).is_some());
        let all = calls.replace(0);
        assert_eq!(all, 4 + 2 * 4); // four blocks sorted, then twice merged
        for after in 0..all {
            calls.set(0);
            let stopped = || calls.replace(calls.get() + 1) == after;
            assert!(sorted(&values, &stopped).is_none());
        }
    }
}
