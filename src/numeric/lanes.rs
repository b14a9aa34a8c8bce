//! Numbers of several draws side by side: one instruction serves them all, and what steers the work is decided once.
//!
//! What is written for [`Lanes`] runs for one draw (`f64`) and for eight ([`Eight`]), with the same bits for each: every
//! lane goes through the same operations in the same order.

#![allow(clippy::inline_always)] // a call would cost more than what it does

use std::fmt::Debug;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// A number of one draw, or of several side by side.
pub trait Lanes:
    Copy
    + Debug
    + PartialEq
    + Send
    + Sync
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
    + AddAssign
    + SubAssign
    + Mul<f64, Output = Self>
    + Div<f64, Output = Self>
    + 'static
{
    /// How many draws.
    const COUNT: usize;

    /// Something kept for every draw.
    type Each<T: Copy + Debug>: Copy + Debug + AsRef<[T]> + AsMut<[T]>;

    /// The same number in every draw.
    fn splat(x: f64) -> Self;

    /// A number for every draw, the first first.
    fn from_lanes(of: impl FnMut(usize) -> f64) -> Self;

    /// Something for every draw, the first first.
    fn each<T: Copy + Debug>(of: impl FnMut(usize) -> T) -> Self::Each<T>;

    /// The number of a draw.
    fn lane(self, i: usize) -> f64;

    /// Puts the number of a draw.
    fn set_lane(&mut self, i: usize, x: f64);

    /// Whether it is so in every draw.
    fn all(self, is: impl Fn(f64) -> bool) -> bool;

    /// Does work on such numbers with the widest instructions that the processor has, found out while running; for one draw, with
    /// those that every one has.
    #[inline(always)]
    fn widely<R>(work: impl FnOnce() -> R) -> R {
        work()
    }

    /// A function of every draw's number.
    #[inline(always)]
    #[must_use]
    fn map(self, of: impl Fn(f64) -> f64) -> Self {
        Self::from_lanes(|i| of(self.lane(i)))
    }

    /// A function of every draw's number and another.
    #[inline(always)]
    #[must_use]
    fn with(self, other: Self, of: impl Fn(f64, f64) -> f64) -> Self {
        Self::from_lanes(|i| of(self.lane(i), other.lane(i)))
    }

    /// Whether it is so in any draw.
    #[inline(always)]
    fn any(self, is: impl Fn(f64) -> bool) -> bool {
        !self.all(|x| !is(x))
    }

    /// Whether it is so, where all draws agree.
    #[inline(always)]
    fn agreed(self, is: impl Fn(f64) -> bool) -> Option<bool> {
        let all = self.all(&is);
        (all || Self::COUNT == 1 || !self.any(is)).then_some(all)
    }

    /// The larger of each and a number, which also stands for what is not a number. Written as a comparison, as a processor has one
    /// instruction for that and `f64::max` takes five.
    #[inline(always)]
    #[must_use]
    fn at_least(self, low: f64) -> Self {
        self.map(|x| if x > low { x } else { low })
    }

    /// The smaller of each and a number.
    #[inline(always)]
    #[must_use]
    fn at_most(self, high: f64) -> Self {
        self.map(|x| if x < high { x } else { high })
    }

    /// The smaller of two, draw by draw.
    #[inline(always)]
    #[must_use]
    fn smaller(self, other: Self) -> Self {
        self.with(other, |a, b| if a < b { a } else { b })
    }
}

impl Lanes for f64 {
    const COUNT: usize = 1;
    type Each<T: Copy + Debug> = [T; 1];

    #[inline(always)]
    fn splat(x: f64) -> Self {
        x
    }

    #[inline(always)]
    fn from_lanes(mut of: impl FnMut(usize) -> f64) -> Self {
        of(0)
    }

    #[inline(always)]
    fn each<T: Copy + Debug>(mut of: impl FnMut(usize) -> T) -> [T; 1] {
        [of(0)]
    }

    #[inline(always)]
    fn lane(self, _i: usize) -> f64 {
        self
    }

    #[inline(always)]
    fn set_lane(&mut self, _i: usize, x: f64) {
        *self = x;
    }

    #[inline(always)]
    fn all(self, is: impl Fn(f64) -> bool) -> bool {
        is(self)
    }
}

/// Numbers of eight draws.
///
/// Every operation is a loop over them, which the compiler turns into instructions on two or more at a time.
#[derive(Debug, Clone, Copy)]
#[repr(align(64))]
pub struct Eight([f64; 8]);

impl PartialEq for Eight {
    #[inline(always)]
    #[allow(clippy::needless_bitwise_bool)] // all are looked at: eight comparisons without a jump
    fn eq(&self, other: &Self) -> bool {
        (0..8).fold(true, |all, i| all & (self.0[i] == other.0[i]))
    }
}

impl Lanes for Eight {
    const COUNT: usize = 8;
    type Each<T: Copy + Debug> = [T; 8];

    #[inline(always)]
    fn splat(x: f64) -> Self {
        Self([x; 8])
    }

    #[inline(always)]
    fn from_lanes(mut of: impl FnMut(usize) -> f64) -> Self {
        let mut out = [0.0; 8];
        for (i, x) in out.iter_mut().enumerate() {
            *x = of(i);
        }
        Self(out)
    }

    #[inline(always)]
    fn each<T: Copy + Debug>(of: impl FnMut(usize) -> T) -> [T; 8] {
        std::array::from_fn(of)
    }

    #[inline(always)]
    fn lane(self, i: usize) -> f64 {
        self.0[i]
    }

    #[inline(always)]
    fn set_lane(&mut self, i: usize, x: f64) {
        self.0[i] = x;
    }

    #[inline(always)]
    fn all(self, is: impl Fn(f64) -> bool) -> bool {
        self.0.iter().fold(true, |all, x| all & is(*x))
    }

    #[inline(always)]
    fn widely<R>(work: impl FnOnce() -> R) -> R {
        super::wide::widely(work)
    }

    #[inline(always)]
    fn map(mut self, of: impl Fn(f64) -> f64) -> Self {
        for x in &mut self.0 {
            *x = of(*x);
        }
        self
    }

    #[inline(always)]
    #[allow(clippy::needless_range_loop)] // two arrays by one index leave nothing behind that would have to be called
    fn with(mut self, other: Self, of: impl Fn(f64, f64) -> f64) -> Self {
        for i in 0..8 {
            self.0[i] = of(self.0[i], other.0[i]);
        }
        self
    }
}

/// An operator, lane by lane.
macro_rules! lane_by_lane {
    ($($of:ident, $op:ident, $sign:tt;)*) => {$(
        impl $of for Eight {
            type Output = Self;
            #[inline(always)]
            fn $op(self, other: Self) -> Self {
                self.with(other, |a, b| a $sign b)
            }
        }
    )*};
}

lane_by_lane! { Add, add, +; Sub, sub, -; Mul, mul, *; Div, div, /; }

impl Mul<f64> for Eight {
    type Output = Self;
    #[inline(always)]
    fn mul(self, other: f64) -> Self {
        self.map(|x| x * other)
    }
}

impl Div<f64> for Eight {
    type Output = Self;
    #[inline(always)]
    fn div(self, other: f64) -> Self {
        self.map(|x| x / other)
    }
}

impl Neg for Eight {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        self.map(|x| -x)
    }
}

impl AddAssign for Eight {
    #[inline(always)]
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl SubAssign for Eight {
    #[inline(always)]
    fn sub_assign(&mut self, other: Self) {
        *self = *self - other;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn formula<X: Lanes>(a: X, b: X) -> X {
        let mut sum = (a * b - a / b).at_least(0.0).smaller(b * 3.0) + X::splat(0.5) / 2.0;
        sum += -a;
        sum -= b.map(f64::exp).at_most(9.0);
        sum.with(a, |s, a| if s > a { s } else { a.sqrt() })
    }

    #[test]
    fn every_lane_has_the_bits_of_one_draw() {
        let (a, b) = (Eight::from_lanes(|i| 0.3 + i as f64), Eight::from_lanes(|i| 2.7 - 0.3 * i as f64));
        let all = formula(a, b);
        (0..8).for_each(|i| assert_eq!(all.lane(i).to_bits(), formula(a.lane(i), b.lane(i)).to_bits()));
    }

    #[test]
    fn draws_agree_or_do_not() {
        let x = Eight::from_lanes(|i| i as f64);
        assert_eq!(
            [x.agreed(|x| x >= 0.0), x.agreed(|x| x > 7.0), x.agreed(|x| x > 3.0)],
            [Some(true), Some(false), None]
        );
        assert_eq!([1.0.agreed(|x| x > 3.0), 4.0.agreed(|x| x > 3.0)], [Some(false), Some(true)]);
    }
}
