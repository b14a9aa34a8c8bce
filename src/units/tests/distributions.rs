//! Moments, quantiles and distribution functions against scipy 1.17.1 and mpmath 1.4.1 (40 digits).

use crate::units::Distribution;

fn assert_close(got: f64, wanted: f64, relative: f64) {
    assert!((got - wanted).abs() <= relative * wanted.abs(), "{got:?} is not {wanted:?}");
}

/// Mean, standard deviation, quantiles with their probabilities.
type Summary = (f64, f64, [(f64, f64); 5]);
const ARCSINE: Summary = (
    0.8500000000000001,
    1.308147545195113,
    [
        (0.001, -0.9999908706234376),
        (0.1, -0.9094545551460341),
        (0.5, 0.8499999999999996),
        (0.8, 2.3466814395936524),
        (0.999, 2.6999908706234375),
    ],
);
const BETA: Summary = (
    0.44999999999999996,
    0.08660254037844387,
    [
        (0.001, 0.30315698708392347),
        (0.1, 0.3449510652296208),
        (0.5, 0.43833612969625946),
        (0.8, 0.5251293069078726),
        (0.999, 0.7287757843693392),
    ],
);
const T: Summary = (
    2.0,
    1.0606601717798212,
    [
        (0.001, -3.3798866648367314),
        (0.1, 0.8500952944557922),
        (0.5, 2.0),
        (0.8, 2.705723432926386),
        (0.999, 7.3798866648367305),
    ],
);

/// Parameters; mean and standard deviation; quantiles at 0.1, 0.5 and 0.9.
type Case = ([f64; 4], [f64; 2], [f64; 3]);

/// Computed with mpmath from the definitions, where `scipy.stats.truncnorm` agrees to at least six digits.
#[test]
fn truncated_moments_and_quantiles() {
    let inf = f64::INFINITY;
    let cases: [Case; 6] = [
        (
            [0.35, 0.05, 0.0, 0.5],
            [0.34977810804835074, 0.04966555114952148],
            [0.2858839437525542, 0.34991540764537593, 0.4137329709279684],
        ),
        (
            [1.0, 2.0, 0.0, inf],
            [2.018320867674067, 1.394525633606449],
            [0.37686061341657234, 1.793742350179089, 3.9643593568818143],
        ),
        (
            [0.0, 1.0, 5.0, 7.0],
            [5.186495256276276, 0.18077473207564737],
            [5.020275925677291, 5.132017491916841, 5.4269268282998295],
        ),
        (
            [0.0, 1.0, 30.0, inf],
            [30.033259667433676, 0.033223056931746826],
            [30.00350792324418, 30.02307046782731, 30.076570337034944],
        ),
        (
            [0.0, 1.0, 1.0, 1.001],
            [1.0004999166250041, 0.00028867512255943256],
            [1.000099954995509, 1.000499874937513, 1.0008999549594848],
        ),
        (
            [-3.0, 0.5, -4.0, -2.5],
            [-3.1148185895456644, 0.3604727934295229],
            [-3.6278576820751076, -3.085581959008912, -2.6476760894526272],
        ),
    ];
    for ([mean, sd, low, high], [m, s], quantiles) in cases {
        let d = Distribution::truncated_normal("x", mean, sd, low, high).unwrap();
        assert_close(d.mean(), m, 2e-15);
        assert_close(d.standard_deviation(), s, 1e-14);
        assert_close(d.nominal(), m, 2e-15);
        for (p, x) in [0.1, 0.5, 0.9].into_iter().zip(quantiles) {
            assert_close(d.quantile(p), x, 4e-15);
            // A quantile is a rounded f64, so its probability is known to about density * x * 2^-53.
            assert_close(d.cdf(x), p, 3e-12);
        }
        assert_eq!((d.cdf(low), d.cdf(high)), (0.0, 1.0));
    }
}

/// `scipy.stats.lognorm(0.66, scale=0.3)` and `scipy.stats.triang(1/3, loc=0.3, scale=0.15)`.
#[test]
fn log_normal_and_triangular_match_scipy() {
    let film = Distribution::log_normal("film", 0.3, 0.66).unwrap();
    assert_eq!(film.nominal(), 0.3);
    assert_close(film.mean(), 0.37300151252268643, 1e-15);
    assert_close(film.standard_deviation(), 0.27558989382570676, 1e-15);
    assert_close(film.quantile(0.9), 0.698969080895445, 1e-15);
    assert_close(film.cdf(0.5), 0.7805281637582715, 1e-15);
    assert_eq!(film.cdf(-1.0), 0.0);
    let d = Distribution::triangular("x", 0.3, 0.35, 0.45).unwrap();
    assert_close(d.mean(), 0.36666666666666664, 1e-15);
    assert_close(d.standard_deviation(), 0.03118047822311618, 1e-14);
    for (p, x) in [(0.1, 0.3273861278752583), (0.5, 0.3633974596215561), (0.9, 0.4112701665379258)] {
        assert_close(d.quantile(p), x, 1e-15);
        assert_close(d.cdf(x), p, 1e-14);
    }
}

/// JCGM 100:2008, 4.3.7 (rectangular: half-width over sqrt 3) and 4.3.9 (symmetric triangular: over sqrt 6).
#[test]
fn limits_give_the_uncertainty_of_the_guide() {
    let d = Distribution::rectangular("x", 96.0, 104.0).unwrap();
    assert_close(d.standard_deviation(), 4.0 / 3f64.sqrt(), 1e-15);
    assert_eq!((d.nominal(), d.quantile(0.0), d.quantile(1.0)), (100.0, 96.0, 104.0));
    // The guide's example prints 2.3 and 1.6 degrees Celsius.
    assert_eq!(format!("{:.1}", d.standard_deviation()), "2.3");
    let d = Distribution::triangular("x", 96.0, 100.0, 104.0).unwrap();
    assert_close(d.standard_deviation(), 4.0 / 6f64.sqrt(), 1e-15);
    assert_eq!(format!("{:.1}", d.standard_deviation()), "1.6");
}

#[test]
fn triangles_may_be_right_angled() {
    for mode in [0.0, 1.0] {
        let d = Distribution::triangular("x", 0.0, mode, 1.0).unwrap();
        for p in [0.0, 0.3, 1.0] {
            assert_close(d.cdf(d.quantile(p)), p, 1e-15);
        }
    }
}

#[test]
fn an_exact_number_is_a_step() {
    let d = Distribution::exact("x", 2.0).unwrap();
    assert_eq!((d.quantile(0.1), d.cdf(1.9), d.cdf(2.0), d.standard_deviation()), (2.0, 0.0, 1.0, 0.0));
    assert_eq!(d.support(), (2.0, 2.0));
    assert!(d.quantile(1.5).is_nan());
}

#[test]
fn affine_maps_move_and_flip() {
    let d = Distribution::triangular("x", 0.0, 1.0, 3.0).unwrap().map_affine(-2.0, 1.0).unwrap();
    assert_eq!(d, Distribution::Triangular { low: -5.0, mode: -1.0, high: 1.0 });
    let d = Distribution::normal("x", 3.0, 0.5).unwrap().map_affine(-2.0, 1.0).unwrap();
    assert_eq!(d, Distribution::Normal { mean: -5.0, sd: 1.0 });
    let d = Distribution::truncated_normal("x", 1.0, 2.0, 0.0, f64::INFINITY).unwrap().map_affine(-1.0, 0.0).unwrap();
    assert_eq!(d, Distribution::TruncatedNormal { mean: -1.0, sd: 2.0, low: f64::NEG_INFINITY, high: 0.0 });
    let d = Distribution::log_normal("x", 0.3, 0.66).unwrap().map_affine(2.0, 0.0).unwrap();
    assert_eq!(d, Distribution::LogNormal { median: 0.6, sigma: 0.66 });
}

/// JCGM 101:2008, 6.4.3: `(b - a)²/12 + d²/9`; its probabilities against the density of 6.4.3.2 integrated by quadrature.
#[test]
fn limits_known_within_an_interval() {
    let density = |x: f64| {
        let (w, d, y) = (1.0, 0.5, (x - 2.0_f64).abs());
        if y < w - d { ((w + d) / (w - d)).ln() / (4.0 * d) } else { ((w + d) / y).ln() / (4.0 * d) }
    };
    let d = Distribution::inexact_limits("x", 1.0, 3.0, 0.5).unwrap();
    assert_close(d.standard_deviation(), (4.0 / 12.0 + 0.25 / 9.0_f64).sqrt(), 1e-15);
    assert_close(d.standard_uncertainty(), 1.0 / 3f64.sqrt(), 1e-15);
    assert_close(d.degrees_of_freedom(), 2.0, 1e-15); // H.1 of JCGM 100 gives 2 for limits known within 50 %
    assert_eq!((d.mean(), d.nominal(), d.support()), (2.0, 2.0, (0.5, 3.5)));
    assert_eq!((d.quantile(0.0), d.quantile(1.0), d.cdf(0.4), d.cdf(3.6)), (0.5, 3.5, 0.0, 1.0));
    for x in [0.500001, 0.7, 1.2, 1.5, 1.9, 2.4, 2.6, 3.1, 3.499] {
        let below = crate::numeric::quadrature::integrate(density, 0.5, x, 1e-11);
        assert_close(d.cdf(x), below, 1e-9);
        assert_close(d.quantile(d.cdf(x)), x, 1e-14);
    }
    // As far in doubt as they are apart: the middle keeps its probability.
    let widest = Distribution::inexact_limits("x", -1.0, 1.0, 1.0).unwrap();
    assert_eq!((widest.quantile(0.5), widest.cdf(0.0)), (0.0, 0.5));
    for p in [1e-4, 0.01, 0.2, 0.4999, 0.7] {
        assert_close(widest.cdf(widest.quantile(p)), p, 1e-11);
    }
}

/// `scipy.stats.arcsine(loc=-1, scale=3.7)`, `scipy.stats.beta(1.8, 4.2, loc=0.3, scale=0.5)` and `scipy.stats.t(4, loc=2,
/// scale=0.75)` of scipy 1.17.1: mean, standard deviation, quantiles.
#[test]
fn arcsine_beta_and_t_match_scipy() {
    let cases = [
        (Distribution::arcsine("x", -1.0, 2.7).unwrap(), ARCSINE),
        (Distribution::beta("x", 0.3, 0.8, 1.8, 4.2).unwrap(), BETA),
        (Distribution::student("x", 2.0, 0.75, 4.0).unwrap(), T),
    ];
    for (d, (mean, sd, quantiles)) in cases {
        assert_close(d.mean(), mean, 1e-14);
        assert_close(d.standard_deviation(), sd, 1e-14);
        for (p, x) in quantiles {
            assert_close(d.quantile(p), x, 1e-13);
            assert_close(d.cdf(x), p, 1e-11);
        }
    }
}

/// The mean and standard deviation of PERT: `(low + 4 mode + high)/6`, and by scipy's beta distribution of its shapes.
#[test]
fn pert_is_a_beta_distribution() {
    let d = Distribution::pert("x", 0.3, 0.4, 0.8).unwrap();
    let Distribution::Beta { low, high, alpha, beta } = d else { panic!("{d:?}") };
    assert_eq!((low, high), (0.3, 0.8));
    assert_close(alpha, 1.8, 1e-15);
    assert_close(beta, 4.2, 1e-15);
    let d = Distribution::pert("x", 0.3, 0.4, 0.8).unwrap();
    assert_close(d.mean(), (0.3 + 1.6 + 0.8) / 6.0, 1e-15);
}

/// JCGM 101:2008, 6.4.9.4: expectation for dof > 1, variance `dof/(dof - 2)` scales squared for dof > 2.
#[test]
fn few_degrees_of_freedom_widen_the_distribution_not_the_statement() {
    let d = Distribution::student("x", 2.0, 0.5, 4.0).unwrap();
    assert_eq!((d.standard_uncertainty(), d.degrees_of_freedom()), (0.5, 4.0));
    assert_close(d.standard_deviation(), 0.5 * 2f64.sqrt(), 1e-15);
    let two = Distribution::student("x", 2.0, 0.5, 2.0).unwrap();
    assert_eq!((two.standard_deviation(), two.mean(), two.nominal()), (f64::INFINITY, 2.0, 2.0));
    assert_eq!(Distribution::normal("x", 0.0, 1.0).unwrap().degrees_of_freedom(), f64::INFINITY);
    assert_eq!(d.support(), (f64::NEG_INFINITY, f64::INFINITY));
}

/// The inverse of the empirical distribution function, as `numpy.quantile(..., method="inverted_cdf")` of numpy 2.4.
#[test]
fn samples_are_drawn_with_equal_probability() {
    let d = Distribution::samples("x", &[3.0, 1.0, 2.0, 2.0]).unwrap();
    let found: Vec<f64> = [0.0, 0.2, 0.25, 0.26, 0.75, 0.76, 1.0].map(|p| d.quantile(p)).to_vec();
    assert_eq!(found, [1.0, 1.0, 1.0, 2.0, 2.0, 3.0, 3.0]);
    assert_eq!((d.mean(), d.support(), d.cdf(0.9), d.cdf(2.0)), (2.0, (1.0, 3.0), 0.0, 0.75));
    assert_close(d.standard_deviation(), 0.5f64.sqrt(), 1e-15);
}

#[test]
fn a_normal_number_becomes_the_quantile_at_its_probability() {
    let all = [
        Distribution::normal("x", 1.0, 2.0),
        Distribution::log_normal("x", 1.0, 0.5),
        Distribution::arcsine("x", 1.0, 2.0),
        Distribution::pert("x", 1.0, 2.0, 4.0),
        Distribution::student("x", 1.0, 2.0, 5.0),
        Distribution::inexact_limits("x", 1.0, 2.0, 0.1),
    ];
    for d in all.map(Result::unwrap) {
        for p in [0.001, 0.3, 0.5, 0.9] {
            assert_close(d.at_score(crate::numeric::normal::quantile(p)), d.quantile(p), 1e-13);
        }
    }
}

#[test]
fn affine_maps_of_the_newer_distributions() {
    let flip = |d: Result<Distribution, _>| d.unwrap().map_affine(-2.0, 1.0).unwrap();
    assert_eq!(flip(Distribution::arcsine("x", 0.0, 1.0)), Distribution::Arcsine { low: -1.0, high: 1.0 });
    let d = flip(Distribution::beta("x", 0.0, 1.0, 2.0, 3.0));
    assert_eq!(d, Distribution::Beta { low: -1.0, high: 1.0, alpha: 3.0, beta: 2.0 });
    let d = flip(Distribution::student("x", 3.0, 0.5, 4.0));
    assert_eq!(d, Distribution::Student { estimate: -5.0, scale: 1.0, dof: 4.0 });
    let d = flip(Distribution::inexact_limits("x", 0.0, 1.0, 0.25));
    assert_eq!(d, Distribution::InexactLimits { low: -1.0, high: 1.0, within: 0.5 });
    assert_eq!(flip(Distribution::samples("x", &[0.0, 1.0])), Distribution::samples("x", &[1.0, -1.0]).unwrap());
}
