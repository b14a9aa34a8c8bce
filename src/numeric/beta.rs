//! The regularised incomplete beta function and its inverse.

/// Where the continued fraction has converged.
const CLOSE: f64 = 1e-16;
/// Steps of the continued fraction: enough for parameters up to 1e5.
const STEPS: u32 = 20_000;
/// Steps of the inverse: Halley's method takes three or four, halving the bracket at most a hundred.
const TRIES: u32 = 200;

/// Above this the remainder of Stirling's formula is summed from its series.
const LARGE: f64 = 10.0;
/// ln(2 pi) / 2.
const HALF_LN_2PI: f64 = 0.918_938_533_204_672_8;

/// Natural logarithm of the beta function, `ln Γ(a) + ln Γ(b) - ln Γ(a + b)`, for `a, b > 0`.
///
/// Where a parameter is large its gamma functions go by Stirling's formula (NIST Digital Library of Mathematical Functions,
/// 5.11.1), whose large terms cancel on paper, so that they cannot cancel digits.
pub fn ln_beta(a: f64, b: f64) -> f64 {
    let (small, large) = (a.min(b), a.max(b));
    if large < LARGE {
        return libm::lgamma(a) + libm::lgamma(b) - libm::lgamma(a + b);
    }
    let sum = a + b;
    let shared = remainder(large) - remainder(sum) - (large - 0.5) * (small / large).ln_1p();
    if small < LARGE {
        libm::lgamma(small) + shared - small * sum.ln() + small
    } else {
        HALF_LN_2PI + remainder(small) + shared + small * (small / sum).ln() - 0.5 * small.ln()
    }
}

/// `ln Γ(x) - (x - 1/2) ln x + x - ln(2 pi)/2` for `x >= 10`.
fn remainder(x: f64) -> f64 {
    let square = 1.0 / (x * x);
    let series = [1.0 / 156.0, -691.0 / 360_360.0, 1.0 / 1188.0, -1.0 / 1680.0, 1.0 / 1260.0, -1.0 / 360.0, 1.0 / 12.0];
    series.iter().fold(0.0, |sum, term| sum * square + term) / x
}

/// The regularised incomplete beta function `I_x(a, b)`, for `x` in [0, 1] and `a, b > 0`.
///
/// By its continued fraction (NIST Digital Library of Mathematical Functions, 8.17.22) with Lentz's algorithm, on the side
/// where it converges fast (8.17.4).
///
/// ```
/// let p = fillmark::numeric::beta::regularised(0.5, 2.0, 3.0); // 11/16 exactly
/// assert!((p - 0.6875).abs() < 1e-15);
/// ```
pub fn regularised(x: f64, a: f64, b: f64) -> f64 {
    both(x, 1.0 - x, a, b, ln_beta(a, b)).0
}

/// `I_x(a, b)` and `1 - I_x(a, b)`, each without loss of digits, given `x` and `y = 1 - x`.
fn both(x: f64, y: f64, a: f64, b: f64, ln_beta: f64) -> (f64, f64) {
    if x <= 0.0 {
        return (0.0, 1.0);
    }
    if y <= 0.0 {
        return (1.0, 0.0);
    }
    // ln of the smaller of the two by `ln_1p` of the other, so that neither loses digits.
    let (ln_x, ln_y) = if x < y { (x.ln(), (-x).ln_1p()) } else { ((-y).ln_1p(), y.ln()) };
    let front = (a * ln_x + b * ln_y - ln_beta).exp();
    if x < (a + 1.0) / (a + b + 2.0) {
        let p = front / a * fraction(x, a, b);
        (p, 1.0 - p)
    } else {
        let q = front / b * fraction(y, b, a);
        (1.0 - q, q)
    }
}

/// The continued fraction by the modified algorithm of Lentz.
fn fraction(x: f64, a: f64, b: f64) -> f64 {
    let away = |v: f64| if v.abs() < f64::MIN_POSITIVE { f64::MIN_POSITIVE } else { v };
    let mut c = 1.0;
    let mut d = 1.0 / away(1.0 - (a + b) * x / (a + 1.0));
    let mut h = d;
    for m in 1..STEPS {
        let m = f64::from(m);
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        d = 1.0 / away(1.0 + even * d);
        c = away(1.0 + even / c);
        h *= d * c;
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        d = 1.0 / away(1.0 + odd * d);
        c = away(1.0 + odd / c);
        h *= d * c;
        if (d * c - 1.0).abs() < CLOSE {
            break;
        }
    }
    h
}

/// The `x` with `I_x(a, b) = p`, and `1 - x`, for `p` in [0, 1]. Both keep their digits where they are small.
///
/// Halley's method from a first guess (Abramowitz and Stegun, 26.5.22, or the leading power where a parameter is below 1),
/// within a bracket that is halved where a step would leave it.
pub fn inverse(p: f64, a: f64, b: f64) -> (f64, f64) {
    if p <= 0.0 {
        return (0.0, 1.0);
    }
    if p >= 1.0 {
        return (1.0, 0.0);
    }
    let ln_beta = ln_beta(a, b);
    // Solved from the side on which the answer is the smaller number.
    let (at_half, _) = both(0.5, 0.5, a, b, ln_beta);
    if p <= at_half {
        let x = below_half(p, 1.0 - p, a, b, ln_beta);
        (x, 1.0 - x)
    } else {
        let y = below_half(1.0 - p, p, b, a, ln_beta);
        (1.0 - y, y)
    }
}

/// The `x` in (0, 1/2] with `I_x(a, b) = p`, where `q = 1 - p`.
fn below_half(p: f64, q: f64, a: f64, b: f64, ln_beta: f64) -> f64 {
    let (mut low, mut high) = (0.0, 0.5);
    let mut x = guess(p, a, b, ln_beta).clamp(f64::MIN_POSITIVE, 0.5);
    for _ in 0..TRIES {
        let (found_p, found_q) = both(x, 1.0 - x, a, b, ln_beta);
        let error = if p < 0.5 { found_p - p } else { q - found_q };
        if error > 0.0 {
            high = x;
        } else {
            low = x;
        }
        let density = ((a - 1.0) * x.ln() + (b - 1.0) * (-x).ln_1p() - ln_beta).exp();
        let step = error / density;
        let bend = 0.5 * step * ((a - 1.0) / x - (b - 1.0) / (1.0 - x));
        let step = step / (1.0 - bend.clamp(-1.0, 0.5));
        if step.abs() <= f64::EPSILON * x || high - low <= f64::EPSILON * low {
            break;
        }
        let next = x - step;
        x = if next > low && next < high { next } else { f64::midpoint(low, high) };
    }
    x
}

fn guess(p: f64, a: f64, b: f64, ln_beta: f64) -> f64 {
    if a < 1.0 || b < 1.0 {
        return ((p * a).ln() + ln_beta).min(700.0 * a).exp().powf(1.0 / a);
    }
    let z = -super::normal::quantile(p);
    let (u, v) = (1.0 / (2.0 * a - 1.0), 1.0 / (2.0 * b - 1.0));
    let lambda = (z * z - 3.0) / 6.0;
    let h = 2.0 / (u + v);
    let w = z * (h + lambda).max(0.0).sqrt() / h - (v - u) * (lambda + 5.0 / 6.0 - 2.0 / (3.0 * h));
    a / (a + b * (2.0 * w).exp())
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    /// `scipy.special.betainc` and `betaincinv` of scipy 1.17.1, which agree with mpmath to the digits asked for here.
    #[test]
    fn as_scipy() {
        let cases = CASES;
        for (x, a, b, p) in cases {
            assert_relative_eq!(regularised(x, a, b), p, max_relative = 2e-13);
            let (back, rest) = inverse(p, a, b);
            assert_relative_eq!(back, x, max_relative = 1e-12);
            assert_relative_eq!(rest, 1.0 - x, max_relative = 1e-12);
        }
    }

    #[test]
    fn ends() {
        assert_eq!((regularised(0.0, 2.0, 3.0), regularised(1.0, 2.0, 3.0)), (0.0, 1.0));
        assert_eq!((inverse(0.0, 2.0, 3.0), inverse(1.0, 2.0, 3.0)), ((0.0, 1.0), (1.0, 0.0)));
    }

    #[test]
    fn the_inverse_inverts() {
        for a in [0.2, 0.5, 1.0, 1.7, 5.0, 60.0, 3000.0] {
            for b in [0.2, 0.5, 1.0, 3.0, 40.0] {
                for i in 1..200 {
                    let p = f64::from(i) / 200.0;
                    let (x, y) = inverse(p, a, b);
                    let found = both(x, y, a, b, ln_beta(a, b));
                    // The answer is a rounded number: its probability is known to density times rounding.
                    let density = ((a - 1.0) * x.ln() + (b - 1.0) * y.ln() - ln_beta(a, b)).exp();
                    let allowed = 1e-12 + 4.0 * f64::EPSILON * density * x.min(y);
                    assert!((found.0 - p).abs() <= allowed, "{a} {b} {p}: {x} gives {}", found.0);
                }
            }
        }
    }

    const CASES: [(f64, f64, f64, f64); 10] = [
        (0.5, 2.0, 3.0, 0.6875),
        (0.3, 0.5, 0.5, 0.36901011956554536),
        (0.9, 9.0, 0.5, 0.17436348839887048),
        (0.25, 1.8, 4.2, 0.4427330931165403),
        (0.01, 1.8, 4.2, 0.0022706496407738468),
        (0.0001, 0.2, 0.7, 0.14210628846983855),
        (0.65, 60.0, 40.0, 0.846541877500826),
        (0.9995, 3000.0, 0.5, 0.08323881351659294),
        (0.2, 100.0, 200.0, 3.546007366567273e-08),
        (0.004, 0.5, 12.5, 0.24602086832904868),
    ];
}
