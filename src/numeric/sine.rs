//! Sine and cosine of one angle or of several side by side, with the same bits for each.

#![allow(clippy::inline_always)] // a call for each draw is what it is there to save

use super::exponential::polynomial;
use super::lanes::Lanes;

/// `(-1)^k/(2k + 1)!` for k from 10 down to 1; the next term at a right angle is 1.3e-18.
const SINE: [f64; 10] = [
    1.0 / 51_090_942_171_709_440_000.0,
    -1.0 / 121_645_100_408_832_000.0,
    1.0 / 355_687_428_096_000.0,
    -1.0 / 1_307_674_368_000.0,
    1.0 / 6_227_020_800.0,
    -1.0 / 39_916_800.0,
    1.0 / 362_880.0,
    -1.0 / 5_040.0,
    1.0 / 120.0,
    -1.0 / 6.0,
];
/// `(-1)^k/(2k)!` for k from 10 down to 1; the next term at a right angle is 1.8e-17.
const COSINE: [f64; 10] = [
    1.0 / 2_432_902_008_176_640_000.0,
    -1.0 / 6_402_373_705_728_000.0,
    1.0 / 20_922_789_888_000.0,
    -1.0 / 87_178_291_200.0,
    1.0 / 479_001_600.0,
    -1.0 / 3_628_800.0,
    1.0 / 40_320.0,
    -1.0 / 720.0,
    1.0 / 24.0,
    -1.0 / 2.0,
];

/// Sine and cosine of every draw's angle (rad), within a right angle either way, right to 3e-16.
///
/// ```text
/// sin x = x + x Σ (-1)^k x^(2k)/(2k + 1)!,   cos x = 1 + Σ (-1)^k x^(2k)/(2k)!,   k = 1 to 10
/// ```
///
/// The series are those of DLMF 4.19.1 and 4.19.2 (cited from memory, and tested).
#[inline(always)]
pub(crate) fn sin_cos<X: Lanes>(x: X) -> [X; 2] {
    let square = x * x;
    let sine = x + x * (square * polynomial(&SINE, square));
    let cosine = X::splat(1.0) + square * polynomial(&COSINE, square);
    [sine, cosine]
}

#[cfg(test)]
mod tests {
    use super::super::lanes::Eight;
    use super::*;

    /// Against `libm`'s port of musl's functions (below 1 ulp by their own account), from one right angle to the other.
    #[test]
    fn are_those_of_a_library() {
        let all = (-100_000..=100_000).map(|i| f64::from(i) * 1e-5 * std::f64::consts::FRAC_PI_2);
        for x in all.chain([-0.0, 1e-300, -1e-9]) {
            let [sine, cosine] = sin_cos(x);
            let (off_sine, off_cosine) = (sine - libm::sin(x), cosine - libm::cos(x));
            assert!(off_sine.abs() <= 3e-16, "sin {x} = {sine:e}, off by {off_sine:e}");
            assert!(off_cosine.abs() <= 3e-16, "cos {x} = {cosine:e}, off by {off_cosine:e}");
        }
        assert_eq!(sin_cos(0.0), [0.0, 1.0]);
    }

    #[test]
    fn every_draw_has_the_bits_of_one() {
        let x = Eight::from_lanes(|i| -1.4 + 0.37 * i as f64);
        let all = sin_cos(x);
        (0..8).for_each(|i| assert_eq!(all.map(|x| x.lane(i).to_bits()), sin_cos(x.lane(i)).map(f64::to_bits)));
    }
}
