//! Moments, quantiles and distribution functions against scipy 1.17.1 and mpmath 1.4.1 (40 digits).

use crate::units::Distribution;

fn assert_close(got: f64, wanted: f64, relative: f64) {
    assert!((got - wanted).abs() <= relative * wanted.abs(), "{got:?} is not {wanted:?}");
}

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
