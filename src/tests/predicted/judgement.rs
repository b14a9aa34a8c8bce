//! The share of variance that rests on judgement: in a linear model `u_J²/u²` (variances of independent terms add).

use fillmark::estimate::{PredictOptions, judgement_share};

use super::support::{circuit, filled};

#[test]
fn the_share_of_a_judged_heel() {
    let (heel, jug) = (0.05_f64, 0.02 * 3.0);
    let found =
        judgement_share(&circuit("0.20(5) L", "1.00(2)"), &filled("3.0 L"), &PredictOptions::default()).unwrap();
    let exact = heel * heel / (heel * heel + jug * jug);
    assert_eq!(found.inputs, ["plugs.main.heel"]);
    // The standard error stated is 0.02; three of it.
    assert!((found.final_fraction - exact).abs() < 0.06, "{}, not {exact}", found.final_fraction);
    assert!((found.readings[0] - exact).abs() < 0.06, "{}, not {exact}", found.readings[0]);
}

#[test]
fn all_or_nothing() {
    let share = |heel, jug| judgement_share(&circuit(heel, jug), &filled("3.0 L"), &PredictOptions::default()).unwrap();
    let all = share("0.20(5) L", "1");
    assert_eq!((all.final_fraction, all.readings.as_slice()), (1.0, [1.0].as_slice()));
    let none = share("0.20 L", "1.00(2)");
    assert_eq!((none.final_fraction, none.readings.as_slice(), none.inputs.len()), (0.0, [0.0].as_slice(), 0));
}
