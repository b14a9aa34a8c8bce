//! The same bits for any number of threads and any chunk; stopping; progress.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use fillmark::Error;
use fillmark::estimate::{
    Correlation, EstimateError, Inputs, Method, PropagateOptions, SensitivityOptions, Stopping, propagate, sensitivity,
};
use fillmark::units::Distribution;

use super::support::{flat, inputs, model, normal, t};

fn set() -> Inputs {
    let pert = Distribution::pert("x", 0.0, 0.2, 1.0).unwrap();
    let set = inputs([normal(0.0, 1.0), flat(0.0, 1.0), t(1.0, 0.1, 4.0), pert, normal(2.0, 1.0)]);
    set.correlated(&[Correlation::of_scores("x0", "x2", 0.4), Correlation::of_ranks("x2", "x4", -0.3)]).unwrap()
}

/// For the many draws of adaptive stopping: inputs that are drawn fast.
fn light() -> Inputs {
    let set = inputs([normal(0.0, 0.1), flat(0.0, 1.0), normal(1.0, 0.1), flat(0.1, 0.2), normal(2.0, 1.0)]);
    set.correlated(&[Correlation::of_scores("x0", "x2", 0.4)]).unwrap()
}

fn f(x: &[f64]) -> f64 {
    x[0].exp() + x[1] * x[2] - x[3].sqrt() + x[4]
}

fn bits(options: &PropagateOptions<'_>) -> Vec<u64> {
    let adaptive = matches!(options.stopping, Stopping::Digits { .. });
    let found = propagate(&model(f), &if adaptive { light() } else { set() }, options).unwrap();
    let y = &found.results()[0];
    let summary = [y.standard_error, y.first_order.standard_uncertainty, y.draws.mean()];
    y.draws.values().iter().chain(&summary).map(|v| v.to_bits()).collect()
}

fn every_way() -> [PropagateOptions<'static>; 4] {
    let base = PropagateOptions::default();
    let sobol = base.method(Method::Sobol { scrambles: 4 });
    [base.draws(5000), sobol.draws(4096), base.digits(1), sobol.digits(1)]
}

#[test]
fn the_size_of_a_chunk_changes_no_bit() {
    for mut options in every_way() {
        let whole = bits(&options);
        for chunk in [1, 7, 4096] {
            options.chunk = chunk;
            assert!(bits(&options) == whole, "chunks of {chunk}");
        }
    }
}

#[cfg(feature = "parallel")]
#[test]
fn the_number_of_threads_changes_no_bit() {
    for options in every_way() {
        let whole = bits(&options);
        for threads in [1, 2, 7] {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
            assert!(pool.install(|| bits(&options)) == whole, "{threads} threads");
        }
    }
}

#[cfg(feature = "parallel")]
#[test]
fn indices_do_not_depend_on_threads_and_chunks() {
    let found = |chunk: usize, threads: usize, method: Method| {
        let mut options = SensitivityOptions::default();
        (options.chunk, options.draws, options.method) = (chunk, 64, method);
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| sensitivity(&model(f), &set(), &options).unwrap())
    };
    for method in [Method::PseudoRandom, Method::SOBOL] {
        let whole = found(4096, 1, method);
        for (chunk, threads) in [(1, 2), (4096, 7), (100, 2)] {
            assert_eq!(found(chunk, threads, method), whole, "chunks of {chunk}, {threads} threads");
        }
    }
}

#[test]
fn seeds_and_methods_give_other_draws() {
    let [plain, scrambled, ..] = every_way();
    assert_ne!(bits(&plain), bits(&plain.seed(2)));
    assert_ne!(bits(&scrambled), bits(&scrambled.seed(2)));
    assert_ne!(bits(&plain.draws(4096)), bits(&scrambled));
}

/// A draw of an input depends on its name, not on the company it keeps: pseudo-random draws are those of `predict`.
#[test]
fn an_input_keeps_its_draws_in_other_company() {
    let alone = Inputs::new([("a", flat(0.0, 1.0))]).unwrap();
    let more = Inputs::new([("b", normal(0.0, 1.0)), ("a", flat(0.0, 1.0))]).unwrap();
    let options = PropagateOptions::default().draws(100);
    let first = propagate(&model(|x| x[0]), &alone, &options).unwrap();
    let second = propagate(&model(|x| x[1]), &more, &options).unwrap();
    assert_eq!(first.results()[0].draws.values(), second.results()[0].draws.values());
    let mut stream = vec![0.0; 100];
    fillmark::numeric::streams::fill(1, "a", 0, &mut stream);
    assert_eq!(first.results()[0].draws.values(), stream);
}

#[test]
fn a_set_flag_stops_the_work_with_an_error() {
    let stop = AtomicBool::new(true);
    let mut options = PropagateOptions::default().draws(5000);
    options.stop = Some(&stop);
    let error = propagate(&model(f), &set(), &options).unwrap_err();
    assert!(matches!(error, Error::Estimate(EstimateError::Stopped { done: 0, .. })), "{error}");
    let mut options = SensitivityOptions::default();
    options.stop = Some(&stop);
    assert_eq!(sensitivity(&model(f), &set(), &options).unwrap_err().code(), "estimate.stopped");
}

#[test]
fn progress_counts_every_row() {
    let (calls, last) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let tell = |done: usize, asked: usize| {
        assert_eq!(asked, 5000);
        calls.fetch_add(1, Ordering::Relaxed);
        last.fetch_max(done, Ordering::Relaxed);
    };
    let mut options = PropagateOptions::default().draws(5000);
    options.progress = Some(&tell);
    propagate(&model(f), &set(), &options).unwrap();
    assert_eq!((calls.into_inner(), last.into_inner()), (5, 5000));
}
