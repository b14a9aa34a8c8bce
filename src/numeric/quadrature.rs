//! Integrals of smooth functions, and of functions with a square-root end.
//!
//! Of one function, or of several side by side that are asked at the same places: the bits of each are those of it alone.
#![allow(clippy::excessive_precision)] // the nodes and weights are kept digit for digit

use super::lanes::Lanes;

/// Nodes of the 15-point Kronrod rule on [-1, 1], from the end inwards (QUADPACK, Piessens et al. 1983); every second one
/// from index 1 is a node of the 7-point Gauss rule.
const NODES: [f64; 8] = [
    0.991455371120812639206854697526329,
    0.949107912342758524526189684047851,
    0.864864423359769072789712788640926,
    0.741531185599394439863864773280788,
    0.586087235467691130294144691258,
    0.405845151377397166906606412076961,
    0.207784955007898467600689403773245,
    0.0,
];
/// Weights of the Kronrod rule.
const KRONROD: [f64; 8] = [
    0.022935322010529224963732008058970,
    0.063092092629978553290700663189204,
    0.104790010322250183839876322541518,
    0.140653259715525918745189590510238,
    0.169004726639267902826583426598550,
    0.190350578064785409913256402421014,
    0.204432940075298892414161999234649,
    0.209482141084727828012999174891714,
];
/// Weights of the Gauss rule, for nodes 1, 3, 5 and 7.
const GAUSS: [f64; 4] = [
    0.129484966168869693270611432679082,
    0.279705391489276667901467771423780,
    0.381830050505118944950369775488975,
    0.417959183673469387755102040816327,
];

/// How often an interval may be halved.
const DEEPEST: u32 = 40;

/// Integral of `f` from `a` to `b` by halving intervals until the 7-point Gauss and 15-point Kronrod rules agree to
/// `tolerance` of the whole (relative).
///
/// The order of evaluation is fixed, so the result is the same bits every time. A function that is infinite at an end
/// is never evaluated there.
pub fn integrate<X: Lanes>(f: impl Fn(f64) -> X, a: f64, b: f64, tolerance: f64) -> X {
    let (whole, error) = rule(&f, a, b);
    refine(&f, [a, b], whole, error, whole.map(|w| tolerance * w.abs()), DEEPEST)
}

/// As [`integrate`], for a function that behaves like a square root, or like its reciprocal, at either end.
pub fn integrate_root_ends<X: Lanes>(f: impl Fn(f64) -> X, a: f64, b: f64, tolerance: f64) -> X {
    integrate_pieces(f, &[a, b], tolerance)
}

/// The sum of integrals from each cut to the next, of a function that behaves like a square root, or like its reciprocal, at
/// either end of every piece: the substitution `x = a + (b - a)(3 u^2 - 2 u^3)` makes it smooth.
///
/// A piece is halved until it is right to `tolerance` of itself or of the sum over the number of pieces: in one so narrow that the
/// function is nothing but rounding there no halving would help, and none is needed.
pub fn integrate_pieces<X: Lanes>(f: impl Fn(f64) -> X, cuts: &[f64], tolerance: f64) -> X {
    let smooth = |a: f64, b: f64| {
        let (f, width) = (&f, b - a);
        move |u: f64| f(a + width * u * u * (3.0 - 2.0 * u)) * (width * 6.0 * u * (1.0 - u))
    };
    let pieces = || cuts.windows(2).map(|cut| smooth(cut[0], cut[1]));
    let first: Vec<(X, X)> = pieces().map(|piece| rule(&piece, 0.0, 1.0)).collect();
    let all = first.iter().fold(X::splat(0.0), |all, (whole, _)| all + whole.map(f64::abs));
    let least = all * (tolerance / first.len().max(1) as f64);
    pieces().zip(&first).fold(X::splat(0.0), |sum, (piece, (whole, error))| {
        let allowed = whole.with(least, |whole, least| f64::max(tolerance * whole.abs(), least));
        sum + refine(&piece, [0.0, 1.0], *whole, *error, allowed, DEEPEST)
    })
}

/// What is good enough stays as it is, whatever the functions beside it need.
fn refine<X: Lanes>(f: &impl Fn(f64) -> X, [a, b]: [f64; 2], whole: X, error: X, allowed: X, depth: u32) -> X {
    // Below the rounding of the sum no halving helps.
    let done = |i: usize| {
        let (whole, error, allowed) = (whole.lane(i), error.lane(i), allowed.lane(i));
        error <= allowed.max(4.0 * f64::EPSILON * whole.abs()) || depth == 0 || !error.is_finite()
    };
    if (0..X::COUNT).all(done) {
        return whole;
    }
    let (middle, half) = (0.5 * (a + b), allowed * 0.5);
    let (left, left_error) = rule(f, a, middle);
    let (right, right_error) = rule(f, middle, b);
    let halves = refine(f, [a, middle], left, left_error, half, depth - 1)
        + refine(f, [middle, b], right, right_error, half, depth - 1);
    X::from_lanes(|i| if done(i) { whole.lane(i) } else { halves.lane(i) })
}

/// The Kronrod value and its difference from the Gauss value.
fn rule<X: Lanes>(f: &impl Fn(f64) -> X, a: f64, b: f64) -> (X, X) {
    let (centre, half) = (0.5 * (a + b), 0.5 * (b - a));
    let middle = f(centre);
    let mut kronrod = middle * KRONROD[7];
    let mut gauss = middle * GAUSS[3];
    for i in 0..7 {
        let pair = f(centre - half * NODES[i]) + f(centre + half * NODES[i]);
        kronrod += pair * KRONROD[i];
        if i % 2 == 1 {
            gauss += pair * GAUSS[i / 2];
        }
    }
    (kronrod * half, ((kronrod - gauss) * half).map(f64::abs))
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;
    use crate::numeric::lanes::Eight;

    /// Functions that need halving as often as not, each with its kink somewhere else.
    #[test]
    fn side_by_side_the_bits_of_each_alone() {
        let f = |x: f64, i: usize| if i.is_multiple_of(2) { (x - 0.1 * i as f64).abs() } else { (x * i as f64).exp() };
        let all = integrate_root_ends(|x| Eight::from_lanes(|i| f(x, i)), 0.0, 0.9, 1e-9);
        for i in 0..Eight::COUNT {
            let alone = integrate_root_ends(|x| f(x, i), 0.0, 0.9, 1e-9);
            assert_eq!(all.lane(i).to_bits(), alone.to_bits(), "{i}");
        }
    }

    /// Between cuts that nearly coincide a function may be nothing but rounding.
    #[test]
    fn a_narrow_piece_of_noise_is_not_halved_for_long() {
        let asked = std::cell::Cell::new(0);
        let f = |x: f64| {
            asked.set(asked.get() + 1);
            let noise = (x * 1e15).sin() * 0.5;
            if (0.5..0.5 + 1e-10).contains(&x) { 1.0 + noise } else { 1.0 }
        };
        assert_relative_eq!(integrate_pieces(f, &[0.0, 0.5, 0.5 + 1e-10, 1.0], 1e-9), 1.0, max_relative = 1e-9);
        assert!(asked.get() <= 3 * 15, "{}", asked.get());
    }

    /// The Kronrod rule is exact for polynomials of degree 22, the Gauss rule for degree 13: a mistyped digit shows.
    #[test]
    fn exact_for_polynomials() {
        for degree in [0, 2, 12, 22] {
            let exact = 2.0 / (f64::from(degree) + 1.0);
            let (kronrod, _) = rule(&|x: f64| x.powi(degree), -1.0, 1.0);
            assert_relative_eq!(kronrod, exact, max_relative = 1e-14);
        }
        let (_, difference) = rule(&|x: f64| x.powi(12), -1.0, 1.0);
        assert!(difference < 1e-15, "{difference}");
        let (_, difference) = rule(&|x: f64| x.powi(14), -1.0, 1.0);
        assert!(difference > 1e-6, "{difference}");
    }

    #[test]
    fn closed_forms() {
        assert_relative_eq!(integrate(f64::exp, 0.0, 3.0, 1e-12), 3f64.exp() - 1.0, max_relative = 1e-13);
        let kink = integrate(|x: f64| (x - 0.3).abs(), 0.0, 1.0, 1e-10);
        assert_relative_eq!(kink, 0.5 * (0.09 + 0.49), max_relative = 1e-9);
        let root = integrate_root_ends(|x: f64| 1.0 / x.sqrt(), 0.0, 4.0, 1e-12);
        assert_relative_eq!(root, 4.0, max_relative = 1e-13);
        let half_circle = integrate_root_ends(|x: f64| (1.0 - x * x).max(0.0).sqrt(), -1.0, 1.0, 1e-12);
        assert_relative_eq!(half_circle, std::f64::consts::FRAC_PI_2, max_relative = 1e-11);
    }
}
