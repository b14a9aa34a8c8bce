//! The widest instructions of the processor at hand, found out while running.

/// Does work with them: compiled once for AVX-512, once for AVX2 and once for what every processor of its kind has, as far as all of it
/// stands in line. Every operation is that of IEEE 754 in any of them, and none are fused, so the results are the same bits.
#[inline]
pub(crate) fn widely<R>(work: impl FnOnce() -> R) -> R {
    #[cfg(target_arch = "x86_64")]
    {
        use fearless_simd::{Level, Simd};
        match Level::new() {
            Level::Avx512(simd) => return simd.vectorize(work),
            Level::Avx2(simd) => return simd.vectorize(work),
            _ => {}
        }
    }
    work()
}

#[cfg(test)]
#[allow(clippy::inline_always)] // as what is compiled for the widest instructions
mod tests {
    use super::*;
    use crate::numeric::exponential::exp;
    use crate::numeric::lanes::{Eight, Lanes};
    use crate::numeric::logarithm::ln;

    #[inline(always)]
    fn formula(x: Eight) -> Eight {
        (x * x + x / Eight::splat(3.0)).with(exp(-x) - ln(x), |a, b| a * b + b)
    }

    /// A fused product and sum would not round in between.
    #[test]
    fn the_same_bits_as_without() {
        for k in 1..1000 {
            let x = Eight::from_lanes(|i| f64::from(k) * 0.017 + 0.1 * i as f64);
            let (wide, plain) = (widely(|| formula(x)), std::hint::black_box(formula(x)));
            (0..8).for_each(|i| assert_eq!(wide.lane(i).to_bits(), plain.lane(i).to_bits(), "{k}, {i}"));
        }
    }
}
