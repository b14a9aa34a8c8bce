//! A service asked as a model: shares, worth of measuring, one input at a time and first order, against closed forms of a sum
//! `H + k V` with independent terms (shares of variance are `u_i²/u²`; half the uncertainty removes three quarters of it).

use fillmark::estimate::{
    Correlation, EstimateError, FINAL_LITRES, PropagateOptions, SensitivityOptions, ServiceModel, propagate,
    sensitivity, tornado, worth_measuring,
};
use fillmark::service::Event;

use super::support::{AREA, circuit, filled, pour, reading};

const HEEL: &str = "plugs.main.heel";
const JUG: &str = "instruments.jug.scale";

/// A linear model needs few draws.
fn options() -> SensitivityOptions<'static> {
    let mut options = SensitivityOptions::default();
    options.draws = 512;
    options
}

fn model(of: &str) -> ServiceModel {
    ServiceModel::new(&circuit("0.20(5) L", "1.00(2)"), &filled("2.0 L")).unwrap().of(of).unwrap()
}

/// `u(H) = 0.05 L`, `u(k V) = 0.04 L`.
fn exact() -> [f64; 2] {
    let (h, j) = (0.05_f64 * 0.05, 0.04 * 0.04);
    [h / (h + j), j / (h + j)]
}

#[test]
fn shares_of_a_service() {
    for of in ["final fraction", FINAL_LITRES, "dip", "dip mm", "dip fraction", "dip litres_from_max"] {
        let model = model(of);
        let found = sensitivity(&model, model.inputs(), &options()).unwrap();
        assert_eq!(found.len(), 1);
        for (name, share) in [HEEL, JUG].into_iter().zip(exact()) {
            let of_input = found[0].shares.iter().find(|s| s.inputs == [name]).unwrap();
            for index in [of_input.first, of_input.total] {
                assert!((index.value - share).abs() < 2e-3, "{of}, {name}: {} not {share}", index.value);
                assert!(index.half_width < 0.01);
            }
        }
    }
}

/// Two pours with one jug are one input; correlated inputs are one group.
#[test]
fn what_hangs_together_is_one_row() {
    let events = [filled("1.0 L"), vec![pour("1.0 L"), Event::parse("read").unwrap()]].concat();
    let model = ServiceModel::new(&circuit("0.20(5) L", "1.00(2)"), &events).unwrap().of(FINAL_LITRES).unwrap();
    let names: Vec<_> = model.inputs().groups().map(|g| g.join(" + ")).collect();
    assert_eq!(names, [HEEL, JUG, "events[2].noise", "events[4].noise"]);
    let found = sensitivity(&model, model.inputs(), &options()).unwrap();
    assert!((found[0].shares[1].total.value - exact()[1]).abs() < 2e-3);
    let tied = model.correlated(&[Correlation::of_scores(HEEL, JUG, 0.5)]).unwrap();
    let found = sensitivity(&tied, tied.inputs(), &options()).unwrap();
    assert_eq!(found[0].shares[0].inputs, [HEEL, JUG]);
    assert!((found[0].shares[0].first.value - 1.0).abs() < 2e-3);
}

#[test]
fn worth_of_measuring() {
    let model = model(FINAL_LITRES);
    let found = worth_measuring(&model, model.inputs(), &options()).unwrap();
    assert!((found[0].standard_uncertainty - 0.05_f64.hypot(0.04)).abs() < 1e-4);
    for (row, (name, share)) in [HEEL, JUG].into_iter().zip(exact()).enumerate() {
        let worth = &found[0].worth[row];
        assert_eq!(worth.inputs, [name]);
        assert!((worth.known.value - share).abs() < 2e-3, "{} not {share}", worth.known.value);
        assert!((worth.halved.value - 0.75 * share).abs() < 2e-3, "{} not {}", worth.halved.value, 0.75 * share);
        assert!(worth.halved.half_width < 0.01);
    }
}

/// A measurement of a product `x y` about zero helps nothing when `x` alone is known, and three quarters of the variance goes
/// when its uncertainty is halved (closed form: `V = u² v²`).
#[test]
fn an_interaction_is_worth_nothing_alone() {
    use fillmark::estimate::{Inputs, per_row};
    use fillmark::units::Distribution;
    let normal = |name| (name, Distribution::normal("x", 0.0, 2.0).unwrap());
    let inputs = Inputs::new([normal("x"), normal("y")]).unwrap();
    let product = per_row(["p"], |x: &[f64], p: &mut [f64]| p[0] = x[0] * x[1]);
    let found = worth_measuring(&product, &inputs, &options()).unwrap();
    for worth in &found[0].worth {
        assert!(worth.known.value.abs() < 0.01 && (worth.halved.value - 0.75).abs() < 1e-12);
    }
}

#[test]
fn one_input_at_a_time() {
    let model = model("dip");
    let found = &tornado(&model, model.inputs(), 0.95).unwrap()[0];
    assert!((found.nominal - 1e3 * reading(2.2)).abs() < 1e-9);
    assert_eq!([&found.bars[0].input, &found.bars[1].input], [HEEL, JUG]);
    let swing = 2.0 * 1.959_963_984_540_054 * 0.05 / AREA;
    assert!((found.bars[0].swing() - swing).abs() < 1e-9, "{} not {swing}", found.bars[0].swing());
}

/// First order is exact for a linear model, and draws agree with it.
#[test]
fn first_order_beside_draws() {
    let model = model("dip");
    let found = propagate(&model, model.inputs(), &PropagateOptions::default()).unwrap();
    let dip = &found.results()[0];
    let u = 0.05_f64.hypot(0.04) / AREA;
    assert!(
        (dip.first_order.standard_uncertainty - u).abs() < 1e-9
            && (dip.first_order.estimate - 1e3 * reading(2.2)).abs() < 1e-9
    );
    assert!(dip.first_order.validity(&dip.draws, 0.95, 1).is_valid());
}

/// The model's draws are those of a prediction.
#[test]
fn one_sampler_for_both() {
    use fillmark::estimate::{PredictOptions, predict};
    let service = circuit("0.20(5) L", "1.00(2)");
    let p = predict(&service, &filled("2.0 L"), &PredictOptions::default().draws(1000).seed(9)).unwrap();
    let model = ServiceModel::new(&service, &filled("2.0 L")).unwrap();
    let found = propagate(&model, model.inputs(), &PropagateOptions::default().draws(1000).seed(9)).unwrap();
    assert_eq!(found.result("dip fraction").unwrap().draws.values(), p.readings()[0].fraction.values());
}

#[test]
fn results_by_name() {
    let service = circuit("0.20(5) L", "1.00(2)");
    let twice = [filled("1.0 L"), filled("1.0 L")[2..].to_vec(), vec![Event::parse("read").unwrap()]].concat();
    let error = ServiceModel::new(&service, &twice).unwrap().of("second").unwrap_err();
    let EstimateError::UnknownResult { known, .. } = error else { panic!("another error") };
    let labels = ["0 mm", "1 mm", "2 mm"];
    assert!(labels.iter().all(|label| known.iter().any(|name| name == label)), "{known:?}");
}
