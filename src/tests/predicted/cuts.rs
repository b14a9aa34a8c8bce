//! Neither threads nor chunks change a bit, whatever the draws come from; work reports how far it is and stops when told to.

use std::sync::Mutex;
use std::sync::atomic::AtomicBool;

use fillmark::Error;
use fillmark::estimate::{Correlation, EstimateError, Method, PredictOptions, Prediction, predict};

use super::support::{circuit, filled};

const DRAWS: usize = 16 * 256;

fn bits(p: &Prediction) -> Vec<u64> {
    let dip = &p.readings()[0];
    let columns = [&dip.s, &dip.fraction, &dip.from_max, p.drained_back()];
    let values = columns.into_iter().flat_map(fillmark::estimate::Draws::values).copied();
    let shares = [p.judgement().unwrap().final_fraction, p.judgement().unwrap().readings[0], p.covariance()[0][0]];
    let flags = p.over_max().iter().chain(p.under_min()).map(|f| f64::from(u8::from(*f)));
    values.chain(shares).chain(flags).map(f64::to_bits).collect()
}

fn ways(ties: &[Correlation]) -> Vec<PredictOptions<'_>> {
    let plain = PredictOptions::default().draws(DRAWS).seed(5);
    vec![
        plain,
        plain.correlations(ties),
        plain.method(Method::SOBOL),
        plain.method(Method::SOBOL).correlations(ties),
        plain.digits(1, 100_000),
        plain.method(Method::SOBOL).digits(1, 200_000),
    ]
}

#[test]
fn threads_and_chunks_change_no_bit() {
    let ties = [Correlation::of_ranks("plugs.main.heel", "instruments.jug.scale", 0.5)];
    let service = circuit("0.20 .. 0.40 L", "1.00(2)").replace(&[("dipstick.scatter", "1.5 mm")]).unwrap();
    for way in ways(&ties) {
        let run = |threads: usize, chunk: usize| {
            let mut options = way;
            options.chunk = chunk;
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
            pool.install(|| bits(&predict(&service, &filled("2.9(1) L"), &options).unwrap()))
        };
        let one = run(1, 4096);
        // A draw a chunk is slow: the adaptive runs of some 100,000 draws take a few more.
        let least = if way.digits.is_some() { 100 } else { 1 };
        for (threads, chunk) in [(1, least), (2, 4096), (7, 4096), (7, least)] {
            assert!(run(threads, chunk) == one, "{way:?}: {threads} threads, chunks of {chunk}");
        }
    }
}

#[test]
fn progress_rises_to_all_that_was_asked() {
    let told = Mutex::new(Vec::new());
    let report = |done: usize, asked: usize| told.lock().unwrap().push((done, asked));
    let mut options = PredictOptions::default().draws(10_000);
    options.progress = Some(&report);
    predict(&circuit("0.20(5) L", "1"), &filled("2.5 L"), &options).unwrap();
    let told = told.into_inner().unwrap();
    assert_eq!(told.iter().map(|(done, _)| *done).max(), Some(10_000));
    assert!(told.iter().all(|(_, asked)| *asked == 10_000) && told.len() == 10);
}

#[test]
fn stops_when_it_is_told_to() {
    let stop = AtomicBool::new(true);
    let mut options = PredictOptions::default();
    options.stop = Some(&stop);
    let error = predict(&circuit("0.20(5) L", "1"), &filled("2.5 L"), &options).unwrap_err();
    assert!(matches!(error, Error::Estimate(EstimateError::Stopped { done: 0, asked: 100_000 })), "{error}");
}
