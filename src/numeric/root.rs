//! Where a rising function reaches a value.

/// Steps after which the best place so far is taken; a bracket of doubles is halved away in fewer than 80.
const MOST_STEPS: usize = 100;

/// The place between `low` and `high` at which `of`, which never falls, reaches `aim`, begun `near` it: to `tolerance` of the
/// function, or as near as two neighbouring numbers come. An end where it is not reached between them.
///
/// Secants through the last two places (regula falsi with both ends free), kept within what is known to enclose the place and replaced
/// by its middle where they leave it or do not halve what is left (after Dekker 1969).
pub(crate) fn rising(of: impl Fn(f64) -> f64, [low, high]: [f64; 2], aim: f64, near: f64, tolerance: f64) -> f64 {
    let (mut below, mut above) = (low, high);
    let (mut last, mut off_last) = (low, of(low) - aim);
    if off_last >= 0.0 {
        return low;
    }
    let mut at = near.clamp(low, high);
    for _ in 0..MOST_STEPS {
        let off = of(at) - aim;
        if off.abs() <= tolerance {
            return at;
        }
        *(if off < 0.0 { &mut below } else { &mut above }) = at;
        let middle = f64::midpoint(below, above);
        if middle <= below || middle >= above {
            return above;
        }
        let secant = at - off * (at - last) / (off - off_last);
        let halves = off.abs() <= 0.5 * off_last.abs();
        (last, off_last) = (at, off);
        at = if halves && below < secant && secant < above { secant } else { middle };
    }
    at
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use super::*;

    /// Closed forms: roots of smooth, kinked and stepped functions, from any beginning; few steps where it is smooth.
    #[test]
    fn closed_forms() {
        type Rising = fn(f64) -> f64;
        let cases: [(Rising, f64, f64, usize); 4] = [
            (|x| x * x * x, 0.3, 0.3_f64.cbrt(), 14),
            (|x| if x < 0.4 { 0.1 * x } else { 0.04 + 3.0 * (x - 0.4) }, 0.5, 0.4 + 0.46 / 3.0, 14),
            (f64::exp, 1.5, 1.5_f64.ln(), 12),
            (|x| if x < 0.25 { 0.0 } else { 1.0 }, 0.5, 0.25, 60),
        ];
        for (of, aim, root, most) in cases {
            for near in [0.0, 0.1, root, 0.9, 1.0, 7.0] {
                let asked = Cell::new(0);
                let counted = |x: f64| {
                    asked.set(asked.get() + 1);
                    of(x)
                };
                let found = rising(counted, [0.0, 1.0], aim, near, 1e-15);
                assert!(
                    (found - root).abs() < 1e-14 && asked.get() <= most,
                    "{found} for {root}, {} steps",
                    asked.get()
                );
            }
        }
    }

    #[test]
    fn what_is_not_reached_is_an_end() {
        assert_eq!(rising(|x| x, [2.0, 3.0], 1.0, 2.5, 0.0), 2.0);
        assert_eq!(rising(|x| x, [2.0, 3.0], 9.0, 2.5, 0.0), 3.0);
    }
}
