//! Student's t-distribution: distribution function and quantile.

use super::beta;

/// Probability that a variable with Student's t-distribution of `dof` degrees of freedom is at most `t`, for `dof > 0`.
///
/// `I_x(dof/2, 1/2)/2` with `x = dof/(dof + t²)` in the tail (Abramowitz and Stegun, 26.7.1 and 26.5.27).
///
/// ```
/// assert!((fillmark::numeric::student::cdf(1.0, 1.0) - 0.75).abs() < 1e-15); // Cauchy: 1/2 + atan(1)/pi
/// ```
pub fn cdf(t: f64, dof: f64) -> f64 {
    let square = t * t;
    // From the side on which the argument is the smaller one, so that it keeps its digits.
    let tail = if square > dof {
        0.5 * beta::regularised(dof / (dof + square), 0.5 * dof, 0.5)
    } else {
        0.5 - 0.5 * beta::regularised(square / (dof + square), 0.5, 0.5 * dof)
    };
    if t > 0.0 { 1.0 - tail } else { tail }
}

/// The `t` below which a variable with Student's t-distribution of `dof` degrees of freedom falls with probability `p`.
///
/// `-inf` at 0, `inf` at 1, NaN outside.
///
/// ```
/// // The two-sided 99 % factor of 16 degrees of freedom, 2.92 in Table G.2 of JCGM 100:2008.
/// let k = fillmark::numeric::student::quantile(0.995, 16.0);
/// assert!((k - 2.920_781_622_425).abs() < 1e-11);
/// ```
pub fn quantile(p: f64, dof: f64) -> f64 {
    if !(0.0..=1.0).contains(&p) {
        return f64::NAN;
    }
    let tail = p.min(1.0 - p);
    let size = if tail < 0.25 {
        let (x, rest) = beta::inverse(2.0 * tail, 0.5 * dof, 0.5);
        if x == 0.0 { f64::INFINITY } else { (dof * rest / x).sqrt() }
    } else {
        let (y, rest) = beta::inverse(1.0 - 2.0 * tail, 0.5, 0.5 * dof);
        (dof * y / rest).sqrt()
    };
    if p < 0.5 { -size } else { size }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    /// Two-sided factors of Table G.2 of JCGM 100:2008 (from memory), which prints two decimals.
    #[test]
    fn as_the_guide_s_table() {
        let table = [
            (1.0, 0.9545, "13.97"),
            (2.0, 0.95, "4.30"),
            (5.0, 0.95, "2.57"),
            (10.0, 0.99, "3.17"),
            (16.0, 0.99, "2.92"),
            (50.0, 0.95, "2.01"),
            (100.0, 0.99, "2.63"),
        ];
        for (dof, p, printed) in table {
            assert_eq!(format!("{:.2}", quantile(f64::midpoint(1.0, p), dof)), printed, "{dof} {p}");
        }
    }

    /// `scipy.stats.t` of scipy 1.17.1.
    #[test]
    fn as_scipy() {
        for (dof, p, t) in CASES {
            assert_relative_eq!(quantile(p, dof), t, max_relative = 2e-12);
            assert_relative_eq!(cdf(t, dof), p, max_relative = 2e-12);
        }
    }

    #[test]
    fn middle_and_ends() {
        assert_eq!(quantile(0.5, 3.0), 0.0);
        assert_eq!((quantile(0.0, 3.0), quantile(1.0, 3.0)), (f64::NEG_INFINITY, f64::INFINITY));
        assert!(quantile(-0.1, 3.0).is_nan());
        // Near the middle it keeps its digits: p - 1/2 = t * density(0), and the density of one degree is 1/pi.
        assert_relative_eq!(quantile(0.5 + 1e-10, 1.0), 1e-10 * std::f64::consts::PI, max_relative = 1e-6);
    }

    const CASES: [(f64, f64, f64); 28] = [
        (1.0, 1e-09, -318309886.1837907),
        (1.0, 0.025, -12.706204736174705),
        (1.0, 0.3, -0.7265425280053609),
        (1.0, 0.49, -0.03142626604335125),
        (2.0, 1e-09, -22360.679741456875),
        (2.0, 0.025, -4.302652729749464),
        (2.0, 0.3, -0.6172133998483678),
        (2.0, 0.49, -0.028289929799333573),
        (2.5, 1e-09, -3489.583395369981),
        (2.5, 0.025, -3.5746548420036834),
        (2.5, 0.3, -0.597307738252318),
        (2.5, 0.49, -0.02764384133184011),
        (5.0, 1e-09, -98.93722464836996),
        (5.0, 0.025, -2.5705818356363155),
        (5.0, 0.3, -0.5594296444693604),
        (5.0, 0.49, -0.026346712342273235),
        (18.0, 1e-09, -11.007224077510065),
        (18.0, 0.025, -2.1009220402410387),
        (18.0, 0.3, -0.5338157505289779),
        (18.0, 0.49, -0.025419562778025154),
        (50.0, 1e-09, -7.305270603258703),
        (50.0, 0.025, -2.008559112100761),
        (50.0, 0.3, -0.5277604527065978),
        (50.0, 0.49, -0.025194638118957557),
        (1000.0, 1e-09, -6.053690272079834),
        (1000.0, 0.025, -1.9623390808264085),
        (1000.0, 0.3, -0.524567707309227),
        (1000.0, 0.49, -0.025075180209466443),
    ];
}
