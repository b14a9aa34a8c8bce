//! The oil of a circuit: what its file gives, and what a grade leaves open of the rest.

use serde::Deserialize;

use super::spec::{FluidSpec, FuelSpec};
use crate::Error;
use crate::fluid::GradeOil;
use crate::units::{Density, Dimension, Distribution, KinematicViscosity, QuantityError, Value};

/// The table `[fluid]` as written.
#[derive(Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(rename = "FluidSpec"))]
#[cfg_attr(test, schemars(extend("anyOf" = [
    { "required": ["grade"] },
    { "required": ["density_15c", "kv40", "kv100"] },
])))]
#[serde(deny_unknown_fields)]
pub(super) struct FluidText {
    #[serde(default)]
    grade: Option<String>,
    #[serde(default)]
    density_15c: Option<Value<Density>>,
    #[serde(default)]
    kv40: Option<Value<KinematicViscosity>>,
    #[serde(default)]
    kv100: Option<Value<KinematicViscosity>>,
    #[serde(default)]
    fuel: FuelSpec,
}

impl TryFrom<FluidText> for FluidSpec {
    type Error = String;

    /// Refuses an oil that neither its data nor a grade tell.
    fn try_from(text: FluidText) -> Result<Self, String> {
        let FluidText { grade, density_15c, kv40, kv100, fuel } = text;
        if grade.is_none() {
            let given = [("density_15c", density_15c.is_some()), ("kv40", kv40.is_some()), ("kv100", kv100.is_some())];
            if let Some((name, _)) = given.iter().find(|(_, given)| !given) {
                return Err(format!("missing field `{name}`; without it give the oil's `grade`"));
            }
        }
        Ok(Self { grade, density_15c, kv40, kv100, fuel })
    }
}

/// The three inputs that make the oil.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct OilValues {
    pub(super) density_15c: Value<Density>,
    pub(super) kv40: Value<KinematicViscosity>,
    pub(super) kv100: Value<KinematicViscosity>,
}

impl FluidSpec {
    /// What is given, and in place of what is not, what the grade leaves open.
    ///
    /// The viscosity that the standard limits (at 100 °C, ISO 3448 at 40 °C) and the density are rectangular within their
    /// windows. The other viscosity follows from it and from the window of the viscosity index: a normal distribution cut off at the extremes
    /// of the two, with the middle oil as its mean and the standard uncertainty that the two windows give. The two are independent inputs: an oil drawn may have an index
    /// outside its window, and between 40 and 100 °C its viscosity is up to a third more certain than the grade leaves it.
    pub(super) fn oil(&self) -> Result<OilValues, Error> {
        let grade = self.grade.as_deref().map(GradeOil::parse).transpose()?;
        let of_grade = grade.as_ref().map(windows).transpose()?;
        let of_grade = of_grade.as_ref();
        // Without a grade all three are given: the reader of files sees to that, the check of ranges refuses the rest.
        Ok(OilValues {
            density_15c: either(self.density_15c.as_ref(), of_grade.map(|o| &o.density_15c)),
            kv40: either(self.kv40.as_ref(), of_grade.map(|o| &o.kv40)),
            kv100: either(self.kv100.as_ref(), of_grade.map(|o| &o.kv100)),
        })
    }
}

/// What is given, else what the grade leaves; not a number without either.
fn either<D: Dimension>(given: Option<&Value<D>>, of_grade: Option<&Value<D>>) -> Value<D> {
    given.or(of_grade).cloned().unwrap_or_else(|| Value::constant(f64::NAN))
}

/// Everything from the grade alone.
fn windows(grade: &GradeOil) -> Result<OilValues, Error> {
    let window = &grade.viscosity;
    let limited = Distribution::rectangular("grade", window.low / 1e6, window.high / 1e6)?;
    let (kv40, kv100) =
        if grade.temperature_c > 40.0 { (other(grade, 40.0)?, limited) } else { (limited, other(grade, 100.0)?) };
    let density = Distribution::rectangular("grade", grade.density_15c.low, grade.density_15c.high)?;
    Ok(OilValues {
        density_15c: Value::from_distribution(density),
        kv40: Value::from_distribution(kv40),
        kv100: Value::from_distribution(kv100),
    })
}

/// The viscosity at the temperature in deg C at which the standard does not limit it.
fn other(grade: &GradeOil, at_c: f64) -> Result<Distribution, Error> {
    let nu = |oil: &crate::fluid::Fluid| {
        let nu = if at_c > 40.0 { oil.kv100() } else { oil.kv40() };
        Ok::<_, Error>(nu.map_or(0.0, |nu| nu.value))
    };
    let spread = grade.spread(nu)?;
    Ok(truncated(spread.nominal, spread.standard_uncertainty, spread.low, spread.high)?)
}

/// The normal distribution cut off at the limits that has this mean and standard deviation: Newton's steps for the mean of the
/// whole normal, halving for its standard deviation, which may be at most twenty times the width.
fn truncated(mean: f64, sd: f64, low: f64, high: f64) -> Result<Distribution, QuantityError> {
    let width = high - low;
    let whole = |spread: f64| {
        let mut centre = mean;
        let mut made = Distribution::truncated_normal("grade", centre, spread, low, high)?;
        for _ in 0..30 {
            let slope = (made.standard_deviation() / spread).powi(2);
            let step = ((mean - made.mean()) / slope).clamp(-width, width);
            if !step.is_finite() || step.abs() < 1e-15 * width {
                break;
            }
            centre += step;
            made = Distribution::truncated_normal("grade", centre, spread, low, high)?;
        }
        Ok::<_, QuantityError>(made)
    };
    let (mut narrow, mut wide) = (0.5 * sd, 20.0 * width);
    for _ in 0..60 {
        let middle = (narrow * wide).sqrt();
        if whole(middle)?.standard_deviation() < sd {
            narrow = middle;
        } else {
            wide = middle;
        }
    }
    whole(wide)
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;
    use crate::fluid::{Fluid, grades};

    fn of(grade: &str) -> FluidSpec {
        FluidSpec {
            grade: Some(grade.into()),
            density_15c: None,
            kv40: None,
            kv100: None,
            fuel: crate::circuit::spec::FuelSpec::default(),
        }
    }

    /// For every grade the nominal inputs are the middle oil, and limits and standard uncertainties those of the grade.
    #[test]
    fn the_inputs_of_a_grade() {
        for single in grades::grades() {
            let Ok(grade) = GradeOil::parse(&single.name) else { continue };
            let oil = of(&single.name).oil().unwrap();
            let middle = grade.nominal().unwrap();
            assert_relative_eq!(oil.kv40.nominal(), middle.kv40().unwrap().value, max_relative = 1e-9);
            assert_relative_eq!(oil.kv100.nominal(), middle.kv100().unwrap().value, max_relative = 1e-9);
            assert_relative_eq!(oil.density_15c.nominal(), grade.density_15c.middle(), max_relative = 1e-12);
            let nu = |oil: &Fluid| Ok::<_, Error>(oil.kv40().map_or(0.0, |nu| nu.value));
            let spread = grade.spread(nu).unwrap();
            let (low, high) = oil.kv40.distribution().support();
            assert_relative_eq!(low, spread.low, max_relative = 1e-12);
            assert_relative_eq!(high, spread.high, max_relative = 1e-12);
            assert_relative_eq!(oil.kv40.standard_uncertainty(), spread.standard_uncertainty, max_relative = 1e-6);
        }
        let oil = of("10W-40").oil().unwrap();
        assert_eq!(oil.kv100.distribution(), &Distribution::rectangular("", 12.5 / 1e6, 16.3 / 1e6).unwrap());
    }

    #[test]
    fn what_is_given_holds() {
        let given = Value::parse("kv40", "92(2) mm2/s").unwrap();
        let oil = FluidSpec { kv40: Some(given.clone()), ..of("10W-40") }.oil().unwrap();
        assert_eq!(oil.kv40, given);
        assert_relative_eq!(oil.kv100.nominal(), 14.4e-6, max_relative = 1e-12);
        assert_eq!(of("10W-45").oil().unwrap_err().code(), "fluid.unknown_grade");
    }
}
