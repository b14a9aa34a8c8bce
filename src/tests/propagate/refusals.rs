//! Every error of inputs, correlations and options, with what its message says.

use fillmark::Error;
use fillmark::estimate::{
    Block, Correlation, Inputs, Method, Model, PropagateOptions, SensitivityOptions, Stopping, per_row, propagate,
    sensitivity, tornado,
};

use super::support::{exact, flat, inputs, model, normal};

fn assert_refused(error: impl Into<Error>, code: &str, says: &str) {
    let error = error.into();
    assert_eq!(error.code(), format!("estimate.{code}"), "{error}");
    assert!(error.to_string().contains(says), "{error}");
}

#[test]
fn inputs_that_cannot_be() {
    let none: [(&str, fillmark::units::Distribution); 0] = [];
    assert_refused(Inputs::new(none).unwrap_err(), "no_inputs", "at least one is needed");
    let twice = Inputs::new([("jug", flat(0.0, 1.0)), ("jug", flat(0.0, 1.0))]);
    assert_refused(twice.unwrap_err(), "repeated_input", "jug is given twice");
    assert_refused(inputs([flat(0.0, 1.0)]).index("y").unwrap_err(), "unknown_input", "no input y; the inputs are x0");
}

#[test]
fn correlations_that_cannot_be() {
    let set = inputs([normal(0.0, 1.0), normal(0.0, 1.0), normal(0.0, 1.0), exact(1.0)]);
    let refuse = |list: &[(&str, &str, f64)]| {
        let list: Vec<_> = list.iter().map(|(a, b, r)| Correlation::of_scores(a, b, *r)).collect();
        set.correlated(&list).unwrap_err()
    };
    for r in [1.0, -1.0, 1.5, f64::NAN] {
        assert_refused(refuse(&[("x0", "x1", r)]), "correlation_out_of_range", "are one input");
    }
    assert_refused(refuse(&[("x0", "x0", 0.5)]), "correlation_out_of_range", "two different inputs");
    assert_refused(refuse(&[("x0", "z", 0.5)]), "unknown_input", "z");
    assert_refused(refuse(&[("x0", "x3", 0.5)]), "correlation_of_exact", "x3 is exact");
    assert_refused(refuse(&[("x0", "x1", 0.5), ("x1", "x0", 0.4)]), "repeated_correlation", "x1 and x0 is given twice");
    // Three inputs cannot all be opposed to each other.
    let opposed = [("x0", "x1", -0.9), ("x1", "x2", -0.9), ("x0", "x2", -0.9)];
    assert_refused(refuse(&opposed), "impossible_correlations", "x0, x1, x2 contradict each other");
}

#[test]
fn options_out_of_range() {
    let set = inputs([flat(0.0, 1.0)]);
    let refuse = |options: PropagateOptions<'_>| propagate(&model(|x| x[0]), &set, &options).unwrap_err();
    let base = PropagateOptions::default();
    assert_refused(refuse(base.draws(1)), "option_out_of_range", "draws = 1 is outside 2");
    assert_refused(refuse(base.digits(0)), "option_out_of_range", "digits = 0");
    assert_refused(refuse(base.digits(5)), "option_out_of_range", "digits = 5");
    let mut options = base;
    options.chunk = 0;
    assert_refused(refuse(options), "option_out_of_range", "chunk = 0");
    let mut options = base;
    options.coverage = 1.0;
    assert_refused(refuse(options), "option_out_of_range", "coverage = 1");
    let mut options = base;
    options.stopping = Stopping::Digits { digits: 1, most: 0 };
    assert_refused(refuse(options), "option_out_of_range", "most = 0");
    let few = base.method(Method::Sobol { scrambles: 1 });
    assert_refused(refuse(few), "option_out_of_range", "scrambles = 1");
    let odd = base.method(Method::Sobol { scrambles: 16 }).draws(100_000);
    assert_refused(refuse(odd), "draws_not_balanced", "take 65536 or 131072");
    let tiny = base.method(Method::Sobol { scrambles: 16 }).draws(10);
    assert_refused(refuse(tiny), "draws_not_balanced", "take 16 or 16");
}

#[test]
fn sensitivity_options_out_of_range() {
    let set = inputs([flat(0.0, 1.0)]);
    let refuse = |change: &dyn Fn(&mut SensitivityOptions<'_>)| {
        let mut options = SensitivityOptions::default();
        change(&mut options);
        sensitivity(&model(|x| x[0]), &set, &options).unwrap_err()
    };
    assert_refused(refuse(&|o| o.replicates = 3), "option_out_of_range", "replicates = 3");
    assert_refused(refuse(&|o| o.draws = 8), "option_out_of_range", "draws = 8");
    assert_refused(refuse(&|o| o.draws = 1000), "draws_not_balanced", "take 512 or 1024");
    assert_refused(refuse(&|o| o.coverage = 0.1), "option_out_of_range", "coverage = 0.1");
    assert_refused(refuse(&|o| o.chunk = 0), "option_out_of_range", "chunk = 0");
    let narrow = tornado(&model(|x| x[0]), &set, 0.0).unwrap_err();
    assert_refused(narrow, "option_out_of_range", "coverage = 0");
    let constant = sensitivity(&model(|_| 1.0), &set, &SensitivityOptions::default()).unwrap_err();
    assert_refused(constant, "no_variance", "y does not vary");
}

#[test]
fn more_inputs_than_coordinates() {
    let set = inputs((0..513).map(|_| flat(0.0, 1.0)));
    let options = PropagateOptions::default().method(Method::SOBOL);
    let error = propagate(&model(|x| x[0]), &set, &options).unwrap_err();
    assert_refused(error, "too_many_dimensions", "513 coordinates are needed and 512 are the most");
    // Indices need two sets of coordinates.
    let set = inputs((0..257).map(|_| flat(0.0, 1.0)));
    let error = sensitivity(&model(|x| x[0]), &set, &SensitivityOptions::default()).unwrap_err();
    assert_refused(error, "too_many_dimensions", "514");
    assert!(propagate(&model(|x| x[0]), &set, &options.draws(32)).is_ok());
}

#[test]
fn results_that_are_no_numbers() {
    let set = inputs([flat(-1.0, 1.0)]);
    let error = propagate(&model(|x| x[0].ln()), &set, &PropagateOptions::default()).unwrap_err();
    assert_refused(error, "result_not_finite", "y is ");
    let nothing = per_row([] as [&str; 0], |_: &[f64], _: &mut [f64]| {});
    let error = propagate(&nothing, &set, &PropagateOptions::default()).unwrap_err();
    assert_refused(error, "no_results", "at least one is needed");
    let found = propagate(&model(|x| x[0]), &set, &PropagateOptions::default().draws(10)).unwrap();
    assert_refused(found.result("z").unwrap_err(), "unknown_result", "no result \"z\"; the results are y");
    assert!(found.covariance("y", "z").is_err());
}

/// An error of the model's own comes out as it is.
#[test]
fn a_model_may_fail() {
    struct Failing;
    impl Model for Failing {
        fn results(&self) -> Vec<String> {
            vec!["y".into()]
        }
        fn evaluate(&self, inputs: &Block, _: &mut [&mut [f64]]) -> Result<(), Error> {
            assert_eq!(inputs.column(0).len(), inputs.rows());
            inputs
                .columns()
                .first()
                .map_or(Ok(()), |_| Err(Inputs::new([("", exact(1.0)), ("", exact(1.0))]).unwrap_err().into()))
        }
    }
    let error = propagate(&Failing, &inputs([flat(0.0, 1.0)]), &PropagateOptions::default()).unwrap_err();
    assert_refused(error, "repeated_input", "");
}

/// Inputs may all be exact: then nothing varies.
#[test]
fn nothing_need_be_uncertain() {
    let found =
        propagate(&model(|x| x[0] * x[1]), &inputs([exact(2.0), exact(3.0)]), &PropagateOptions::default()).unwrap();
    let y = &found.results()[0];
    assert_eq!((y.draws.mean(), y.draws.standard_uncertainty(), y.first_order.standard_uncertainty), (6.0, 0.0, 0.0));
    assert_eq!(y.first_order.interval(0.95), (6.0, 6.0));
}
