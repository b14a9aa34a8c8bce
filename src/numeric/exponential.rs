//! The exponential function of one number or of several side by side, with the same bits for each.
//!
//! A library's function is called once for each of eight draws; this one has neither branch nor table, so that the compiler
//! turns it into instructions on two or more draws at a time.

#![allow(clippy::inline_always)] // a call for each draw is what it is there to save

use super::lanes::Lanes;

/// Below the first the result is 0, above the second it is as there: so neither it nor the power of two that it is scaled by is out
/// of range.
const RANGE: [f64; 2] = [-708.0, 709.0];
/// 1.5 2^52: what is added to it is rounded to a whole number, which the sum then has in its lowest bits.
const ROUNDER: f64 = 6_755_399_441_055_744.0;
/// ln 2 in two parts, of which the first has 32 bits, so that it times a whole number is exact (W. J. Cody and W. Waite, Software
/// Manual for the Elementary Functions, 1980; the digits are those of FreeBSD's `e_exp.c`, cited from memory, and tested).
pub(super) const LN_2: [f64; 2] = [6.931_471_803_691_238e-1, 1.908_214_929_270_587_7e-10];
/// `1/n!` for the odd n from 13 down to 1; the next term, 1/14!, is below 5e-18 of the sum.
const ODD: [f64; 7] =
    [1.0 / 6_227_020_800.0, 1.0 / 39_916_800.0, 1.0 / 362_880.0, 1.0 / 5_040.0, 1.0 / 120.0, 1.0 / 6.0, 1.0];
/// `1/n!` for the even n from 12 down to 2.
const EVEN: [f64; 6] = [1.0 / 479_001_600.0, 1.0 / 3_628_800.0, 1.0 / 40_320.0, 1.0 / 720.0, 1.0 / 24.0, 1.0 / 2.0];

/// The exponential of every draw's number, right to 4e-16 of itself from -708 to 709; smaller arguments give 0, larger ones the
/// value at 709, and what is not a number stays so.
///
/// ```text
/// exp(x) = 2^k exp(r),   k = round(x / ln 2),   r = x - k ln 2,   exp(r) = Σ r^n / n!,  n = 0 to 13
/// ```
///
/// The series is the one of DLMF 4.2.19, its odd and its even terms summed apart, each from its end: neither sum waits for the
/// other, and for eight draws at a time both fit the registers there are.
#[inline(always)]
pub(crate) fn exp<X: Lanes>(x: X) -> X {
    let [low, high] = RANGE;
    let x = x.map(|x| if x > high { high } else { x });
    let rounded = x * std::f64::consts::LOG2_E + X::splat(ROUNDER);
    let k = rounded - X::splat(ROUNDER);
    let r = (x - k * LN_2[0]) - k * LN_2[1];
    // The lowest bits of `rounded` are k; 1023 is the exponent of 1.
    let power = rounded.map(|rounded| f64::from_bits((rounded.to_bits() << 52).wrapping_add(1023 << 52)));
    let square = r * r;
    let sum = polynomial(&ODD, square) * r + polynomial(&EVEN, square) * square + X::splat(1.0);
    (sum * power).with(x, |y, x| if x < low { 0.0 } else { y })
}

/// A polynomial by Horner's scheme, the coefficient of the highest power first.
#[inline(always)]
pub(super) fn polynomial<X: Lanes>(coefficients: &[f64], x: X) -> X {
    let (first, others) = coefficients.split_at(1);
    others.iter().fold(X::splat(first[0]), |sum, c| sum * x + X::splat(*c))
}

#[cfg(test)]
mod tests {
    use super::super::lanes::Eight;
    use super::*;

    /// Against `libm`'s port of musl's function (below 1 ulp by its own account), over the whole range, near nothing and where k changes.
    #[test]
    fn is_that_of_a_library() {
        let span = |from: f64, to: f64| (0..=100_000).map(move |i| from + (to - from) * f64::from(i) / 1e5);
        let edges = (-1021..1023)
            .flat_map(|k| [-1e-9, 0.0, 1e-9].map(|off| (f64::from(k) + 0.5) * std::f64::consts::LN_2 + off));
        let all = span(-708.0, 709.0).chain(span(-20.0, 20.0)).chain(span(-1e-3, 1e-3)).chain(edges);
        for x in all.filter(|x| (-708.0..=709.0).contains(x)) {
            let (own, library) = (exp(x), libm::exp(x));
            assert!((own / library - 1.0).abs() <= 4.5e-16, "exp({x}) = {own:e}, not {library:e}");
        }
    }

    #[test]
    fn at_the_ends_and_at_nothing() {
        assert_eq!(exp(0.0), 1.0);
        assert_eq!(exp(-0.0), 1.0);
        assert_eq!([exp(-708.1), exp(-1e9), exp(-1e300), exp(f64::NEG_INFINITY)], [0.0; 4]);
        assert_eq!([exp(1e9), exp(f64::INFINITY)], [exp(709.0); 2]);
        assert!(exp(-708.0) < 1e-307 && exp(709.0) > 1e307);
        assert!(exp(f64::NAN).is_nan());
    }

    #[test]
    fn every_draw_has_the_bits_of_one() {
        let x = Eight::from_lanes(|i| -30.0 + 9.7 * i as f64);
        (0..8).for_each(|i| assert_eq!(exp(x).lane(i).to_bits(), exp(x.lane(i)).to_bits()));
    }
}
