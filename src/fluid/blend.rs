//! Viscosity of a blend, such as fuel in oil, by a named rule.

use serde::{Deserialize, Serialize};
use uom::si::f64::{KinematicViscosity, Ratio};
use uom::si::kinematic_viscosity::square_millimeter_per_second;
use uom::si::ratio::ratio;

use super::error::{FluidError, within};
use super::viscosity;

/// How the viscosities of the parts are averaged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum BlendRule {
    /// ASTM D7152: *volume* fractions average the Walther function `ln ln Z`, Z as in ASTM D341 (from memory).
    D7152,
    /// C. Refutas: *mass* fractions average the blending number `14.534 ln ln (nu + 0.8) + 10.975` (from memory).
    Refutas,
}

/// Kinematic viscosity of a blend, all parts and the result at one temperature.
///
/// `parts` are (fraction, kinematic viscosity): volume fractions for [`BlendRule::D7152`], mass fractions for
/// [`BlendRule::Refutas`], adding up to 1. The two rules agree within some 10 % for fuel in oil; both are good to about 5 %
/// for base oils of one kind and 15 % for a light fuel in a finished oil (judgement).
///
/// # Errors
/// [`FluidError::FractionsNotOne`], [`FluidError::OutsideRelation`] for a viscosity outside 0.21 to 2e7 mm2/s or a
/// fraction outside 0 to 1.
///
/// ```
/// use fillmark::fluid::blend::{BlendRule, blend};
/// use fillmark::uom::si::{f64::*, kinematic_viscosity::square_millimeter_per_second as mm2_s, ratio::percent};
///
/// // 5 % of diesel fuel in an engine oil, at 100 degC.
/// let part = |share, nu| (Ratio::new::<percent>(share), KinematicViscosity::new::<mm2_s>(nu));
/// let thin = blend(BlendRule::D7152, &[part(95.0, 14.3), part(5.0, 1.2)])?;
/// assert!(thin.get::<mm2_s>() < 12.5, "no longer SAE 40");
/// # Ok::<(), fillmark::fluid::FluidError>(())
/// ```
pub fn blend(rule: BlendRule, parts: &[(Ratio, KinematicViscosity)]) -> Result<KinematicViscosity, FluidError> {
    let [low, high] = viscosity::NU_RANGE.map(|v| v * 1e6);
    let mut sum = 0.0;
    for (i, (fraction, nu)) in parts.iter().enumerate() {
        let name = match rule {
            BlendRule::D7152 => "ASTM D7152",
            BlendRule::Refutas => "Refutas' rule",
        };
        sum += within(&format!("parts[{i}].fraction"), fraction.get::<ratio>(), 0.0, 1.0, "of the blend", name)?;
        let nu = nu.get::<square_millimeter_per_second>();
        within(&format!("parts[{i}].viscosity"), nu, low, high, "mm2/s", name)?;
    }
    if (sum - 1.0).abs() > 1e-9 {
        return Err(FluidError::FractionsNotOne { sum });
    }
    let si = parts.iter().map(|(f, nu)| (f.get::<ratio>(), nu.get::<square_millimeter_per_second>()));
    Ok(KinematicViscosity::new::<square_millimeter_per_second>(blend_mm2_s(rule, si)))
}

/// Unchecked twin of [`blend`]: (fraction, mm2/s) in, mm2/s out.
pub(crate) fn blend_mm2_s(rule: BlendRule, parts: impl Iterator<Item = (f64, f64)>) -> f64 {
    match rule {
        BlendRule::D7152 => viscosity::from_walther(parts.map(|(f, nu)| f * viscosity::walther(nu)).sum::<f64>()),
        // The constants 14.534 and 10.975 cancel when fractions add up to 1.
        BlendRule::Refutas => {
            let mean: f64 = parts.map(|(f, nu)| f * (nu + 0.8).ln().ln()).sum();
            mean.exp().exp() - 0.8
        }
    }
}

/// Refutas' blending number of a viscosity in mm2/s.
#[cfg(test)]
fn blending_number(nu: f64) -> f64 {
    14.534 * (nu + 0.8).ln().ln() + 10.975
}

#[cfg(test)]
mod tests {
    use approx::{assert_abs_diff_eq, assert_relative_eq};

    use super::*;
    use crate::error::Coded;

    fn parts(of: &[(f64, f64)]) -> Vec<(Ratio, KinematicViscosity)> {
        of.iter()
            .map(|(f, nu)| (Ratio::new::<ratio>(*f), KinematicViscosity::new::<square_millimeter_per_second>(*nu)))
            .collect()
    }

    fn mix(rule: BlendRule, of: &[(f64, f64)]) -> f64 {
        blend(rule, &parts(of)).unwrap().get::<square_millimeter_per_second>()
    }

    #[test]
    fn an_oil_blended_with_itself_is_itself() {
        for rule in [BlendRule::D7152, BlendRule::Refutas] {
            assert_relative_eq!(mix(rule, &[(0.3, 46.0), (0.7, 46.0)]), 46.0, max_relative = 1e-12);
            let order = mix(rule, &[(0.3, 14.0), (0.7, 2.0)]) - mix(rule, &[(0.7, 2.0), (0.3, 14.0)]);
            assert_abs_diff_eq!(order, 0.0, epsilon = 1e-12);
        }
    }

    /// The blending numbers written out with Refutas' constants must average by mass fraction.
    #[test]
    fn refutas_numbers_average() {
        let both = mix(BlendRule::Refutas, &[(0.25, 2.5), (0.75, 95.0)]);
        let mean = 0.25 * blending_number(2.5) + 0.75 * blending_number(95.0);
        assert_relative_eq!(blending_number(both), mean, max_relative = 1e-12);
    }

    /// Common practice, no source: some 5 % of diesel fuel takes an engine oil down about one SAE grade.
    #[test]
    fn fuel_thins_oil_by_a_grade() {
        for rule in [BlendRule::D7152, BlendRule::Refutas] {
            let thin = mix(rule, &[(0.95, 14.4), (0.05, 1.2)]);
            assert!((9.3..12.5).contains(&thin), "{rule:?}: {thin}");
        }
    }

    /// The two rules agree within 10 % for up to 10 % of diesel fuel or 5 % of petrol in oil, at 40 degC.
    #[test]
    fn rules_agree() {
        for (share, fuel) in [(0.02, 3.0), (0.1, 3.0), (0.05, 0.6)] {
            let of = [(1.0 - share, 95.0), (share, fuel)];
            let (a, b) = (mix(BlendRule::D7152, &of), mix(BlendRule::Refutas, &of));
            assert_relative_eq!(a, b, max_relative = 0.10);
        }
    }

    #[test]
    fn bad_parts_are_refused() {
        let short = blend(BlendRule::D7152, &parts(&[(0.9, 95.0), (0.05, 3.0)])).unwrap_err();
        assert_eq!(short.code(), "fluid.fractions_not_one");
        let none = blend(BlendRule::D7152, &[]).unwrap_err();
        assert_eq!(none.code(), "fluid.fractions_not_one");
        let thin = blend(BlendRule::Refutas, &parts(&[(0.9, 95.0), (0.1, 0.1)])).unwrap_err();
        assert_eq!(
            (thin.code().as_str(), thin.fields()["what"].as_str()),
            ("fluid.outside_relation", Some("parts[1].viscosity"))
        );
        let negative = blend(BlendRule::Refutas, &parts(&[(1.1, 95.0), (-0.1, 3.0)])).unwrap_err();
        assert_eq!(negative.fields()["what"], "parts[0].fraction");
    }
}
