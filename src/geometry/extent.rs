//! The lowest and the highest of many numbers.

/// Numbers compared side by side: their comparisons do not wait for each other.
const LANES: usize = 8;

/// The lowest of the numbers; infinite of none.
pub(crate) fn lowest(numbers: &[f64]) -> f64 {
    fold(numbers, f64::INFINITY, |a, b| if b < a { b } else { a })
}

/// The highest of the numbers, at least 0.
pub(crate) fn highest(numbers: &[f64]) -> f64 {
    fold(numbers, 0.0, |a, b| if b > a { b } else { a })
}

#[inline]
fn fold(numbers: &[f64], start: f64, pick: impl Fn(f64, f64) -> f64) -> f64 {
    let mut lanes = [start; LANES];
    let runs = numbers.chunks_exact(LANES);
    let rest = runs.remainder();
    for run in runs {
        for (lane, x) in lanes.iter_mut().zip(run) {
            *lane = pick(*lane, *x);
        }
    }
    lanes.iter().chain(rest).fold(start, |a, b| pick(a, *b))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_place_is_looked_at() {
        for n in [1, 7, 8, 9, 40] {
            for at in 0..n {
                let mut numbers = vec![1.0; n];
                numbers[at] = 0.5;
                assert_eq!(lowest(&numbers), 0.5);
                numbers[at] = 2.0;
                assert_eq!(highest(&numbers), 2.0);
            }
        }
        assert_eq!((lowest(&[]), highest(&[])), (f64::INFINITY, 0.0));
    }
}
