//! The natural logarithm of one number or of several side by side, with the same bits for each.

#![allow(clippy::inline_always)] // a call for each draw is what it is there to save

use super::exponential::{LN_2, polynomial};
use super::lanes::Lanes;

/// The bits of `√½`, from which the mantissa is counted.
const LEAST_BITS: u64 = 0x3fe6_a09e_667f_3bcd;
/// The exponent of 1, where a double has it.
const ONE_BITS: u64 = 1023 << 52;
/// The bits of 2^52: with a whole number in its lowest bits it is that number more.
const WHOLE_BITS: u64 = 0x4330_0000_0000_0000;
/// 2^52 and the exponent of 1.
const WHOLE: f64 = 4_503_599_627_370_496.0 + 1023.0;
/// `2/(2n + 1)` for the odd n from 9 down to 1.
const ODD: [f64; 5] = [2.0 / 19.0, 2.0 / 15.0, 2.0 / 11.0, 2.0 / 7.0, 2.0 / 3.0];
/// `2/(2n + 1)` for the even n from 10 down to 2; the next term, of n = 11, is below 1e-18 of the sum.
const EVEN: [f64; 5] = [2.0 / 21.0, 2.0 / 17.0, 2.0 / 13.0, 2.0 / 9.0, 2.0 / 5.0];

/// The natural logarithm of every draw's number, right to 4e-16 of itself; of what is not positive, not normal or not finite, not
/// a number.
///
/// ```text
/// ln x = k ln 2 + ln(1 + f),   x = 2^k (1 + f),   √½ <= 1 + f < √2,   s = f/(2 + f)
/// ln(1 + f) = f - (f²/2 - s (f²/2 + R)),   R = Σ 2/(2n + 1) s^(2n),  n = 1 to 10
/// ```
///
/// The series is that of DLMF 4.6.4, the way it is summed that of FreeBSD's `e_log.c` (both cited from memory, and tested),
/// odd and even terms apart as there.
#[inline(always)]
pub(crate) fn ln<X: Lanes>(x: X) -> X {
    let exponent = |x: f64| x.to_bits().wrapping_sub(LEAST_BITS).wrapping_add(ONE_BITS) >> 52;
    let k = x.map(|x| f64::from_bits(exponent(x) | WHOLE_BITS)) - X::splat(WHOLE);
    let mantissa = x.map(|x| f64::from_bits(x.to_bits().wrapping_sub(exponent(x) << 52).wrapping_add(ONE_BITS)));
    let f = mantissa - X::splat(1.0);
    let s = f / (f + X::splat(2.0));
    let (z, half) = (s * s, f * 0.5 * f);
    let square = z * z;
    let others = polynomial(&ODD, square) * z + polynomial(&EVEN, square) * square;
    let sum = k * LN_2[0] - ((half - (s * (half + others) + k * LN_2[1])) - f);
    sum.with(x, |y, x| if (f64::MIN_POSITIVE..=f64::MAX).contains(&x) { y } else { f64::NAN })
}

#[cfg(test)]
mod tests {
    use super::super::lanes::Eight;
    use super::*;

    /// Against `libm`'s port of musl's function (below 1 ulp by its own account), over the whole range, near 1 and where k changes.
    #[test]
    fn is_that_of_a_library() {
        let powers = (-1022..1024).flat_map(|k| (0..100).map(move |i| 2f64.powi(k) * (1.0 + f64::from(i) / 100.0)));
        let edges =
            (-1021..1023).flat_map(|k| [-1e-12, 0.0, 1e-12].map(|off| 2f64.powi(k) * (std::f64::consts::SQRT_2 + off)));
        let near = (-100_000..100_000).map(|i| 1.0 + f64::from(i) * 1e-6);
        for x in powers.chain(edges).chain(near).filter(|x| x.is_finite()) {
            let (own, library) = (ln(x), libm::log(x));
            assert!((own - library).abs() <= 4.5e-16 * library.abs(), "ln {x:e} = {own:e}, not {library:e}");
        }
    }

    #[test]
    fn of_what_has_none() {
        assert_eq!(ln(1.0), 0.0);
        for x in [0.0, -0.0, -1.0, f64::MIN_POSITIVE / 2.0, f64::INFINITY, f64::NAN, f64::NEG_INFINITY] {
            assert!(ln(x).is_nan(), "ln {x}");
        }
    }

    #[test]
    fn every_draw_has_the_bits_of_one() {
        let x = Eight::from_lanes(|i| 0.03 * 7.3f64.powi(i32::try_from(i).unwrap()));
        (0..8).for_each(|i| assert_eq!(ln(x).lane(i).to_bits(), ln(x.lane(i)).to_bits()));
    }
}
