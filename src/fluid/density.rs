//! One face for every density law: oil, fuel, water, coolant, or a table of the user's.

use std::sync::Arc;

use serde::Serialize;
use uom::si::f64::{MassDensity, Ratio, ThermodynamicTemperature, Volume};
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::ratio::ratio;
use uom::si::volume::cubic_meter;

use super::coolant::GlycolWater;
use super::error::{FluidError, within};
use super::expansion::{self, LubeExpansion};
use super::fuel::{self, FuelExpansion};
use super::{celsius, water};

/// Density against temperature.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum DensityLaw {
    /// A lubricating oil, by API MPMS 11.1.
    Oil(LubeExpansion),
    /// Petrol or diesel fuel, by API MPMS 11.1 refined products.
    Fuel(FuelExpansion),
    /// Water, 0 to 100 degC: the CIPM equation (Tanaka et al., Metrologia 38 (2001) 301) to 40 degC and G. S. Kell's
    /// (J. Chem. Eng. Data 20 (1975) 97) above.
    Water,
    /// Ethylene glycol in water.
    Coolant(GlycolWater),
    /// Rows of the user's own.
    Table(DensityTable),
}

impl DensityLaw {
    /// What the law is called in messages.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Oil(_) => "oil",
            Self::Fuel(_) => "fuel",
            Self::Water => "water",
            Self::Coolant(_) => "coolant",
            Self::Table(_) => "density table",
        }
    }

    /// Density in kg/m3 at `temperature_c` (deg C). Not checked: outside the law's range it extrapolates.
    pub fn density_si(&self, temperature_c: f64) -> f64 {
        match self {
            Self::Oil(oil) => oil.density_si(temperature_c),
            Self::Fuel(fuel) => fuel.density(temperature_c),
            Self::Water => water::density(temperature_c),
            Self::Coolant(mixture) => mixture.density(temperature_c),
            Self::Table(table) => table.density(temperature_c),
        }
    }

    /// Temperatures that the law covers, in deg C.
    pub fn range_c(&self) -> [f64; 2] {
        match self {
            Self::Oil(_) => expansion::TEMPERATURE_RANGE_C,
            Self::Fuel(_) => fuel::TEMPERATURE_RANGE_C,
            Self::Water => water::TEMPERATURE_RANGE_C,
            Self::Coolant(mixture) => mixture.range_c(),
            Self::Table(table) => table.range_c(),
        }
    }

    /// Deg C of a temperature that the law covers.
    pub(crate) fn checked_c(&self, temperature: ThermodynamicTemperature) -> Result<f64, FluidError> {
        let [low, high] = self.range_c();
        // A limit given in deg C comes back from kelvin with a rounding error, so the limits themselves are kept in.
        let t = celsius(temperature);
        let t = [low, high].into_iter().find(|limit| (t - limit).abs() < 1e-9).unwrap_or(t);
        within("temperature", t, low, high, "degC", &format!("the density law of {}", self.name()))
    }

    /// Density at `temperature`.
    ///
    /// # Errors
    /// [`FluidError::OutsideRelation`] outside the law's temperatures.
    pub fn density(&self, temperature: ThermodynamicTemperature) -> Result<MassDensity, FluidError> {
        Ok(MassDensity::new::<kilogram_per_cubic_meter>(self.density_si(self.checked_c(temperature)?)))
    }

    /// Volume at 15 degC over volume at `temperature`: below 1 when warmer.
    ///
    /// # Errors
    /// [`FluidError::OutsideRelation`] outside the law's temperatures, or when the law does not reach 15 degC.
    pub fn volume_correction(&self, temperature: ThermodynamicTemperature) -> Result<Ratio, FluidError> {
        let t = self.checked_c(temperature)?;
        if let Self::Oil(oil) = self {
            return Ok(Ratio::new::<ratio>(oil.vcf(t)));
        }
        let [low, high] = self.range_c();
        within("base temperature", 15.0, low, high, "degC", &format!("the density law of {}", self.name()))?;
        Ok(Ratio::new::<ratio>(self.density_si(t) / self.density_si(15.0)))
    }

    /// The volume that `volume_15c` at 15 degC fills at `temperature`.
    ///
    /// # Errors
    /// As [`DensityLaw::volume_correction`], and [`FluidError::Quantity`] for a volume that is not finite.
    pub fn volume_at(&self, volume_15c: Volume, temperature: ThermodynamicTemperature) -> Result<Volume, FluidError> {
        let v = crate::numeric::check::finite("volume_15c", volume_15c.get::<cubic_meter>())?;
        Ok(Volume::new::<cubic_meter>(v / self.volume_correction(temperature)?.value))
    }

    /// Standard relative uncertainty of the expansion (not of the density at 15 degC): how far two liquids that this
    /// law cannot tell apart may differ.
    ///
    /// Oil: [`expansion::K1_RELATIVE_UNCERTAINTY`]; fuel 3 %, coolant 2 %, water 0 %, a user's table 0 %: judgement.
    pub fn expansion_relative_uncertainty(&self) -> f64 {
        match self {
            Self::Oil(_) => expansion::K1_RELATIVE_UNCERTAINTY,
            Self::Fuel(_) => 0.03,
            Self::Coolant(_) => 0.02,
            Self::Water | Self::Table(_) => 0.0,
        }
    }
}

/// Density rows of the user's own, straight lines between them.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DensityTable {
    /// (deg C, kg/m3), temperatures increasing.
    rows: Arc<[(f64, f64)]>,
}

impl DensityTable {
    /// A table of at least two rows, temperatures increasing, densities 100 to 3000 kg/m3.
    ///
    /// # Errors
    /// [`FluidError::TableTooShort`], [`FluidError::TableNotIncreasing`] with the row (counted from 0), and
    /// [`FluidError::Quantity`] for a number that is not finite or out of range.
    pub fn new(rows: &[(ThermodynamicTemperature, MassDensity)]) -> Result<Self, FluidError> {
        let rows: Vec<_> = rows.iter().map(|(t, rho)| (celsius(*t), rho.get::<kilogram_per_cubic_meter>())).collect();
        if rows.len() < 2 {
            return Err(FluidError::TableTooShort { rows: rows.len() });
        }
        for (i, (t, rho)) in rows.iter().enumerate() {
            crate::numeric::check::in_range(&format!("rows[{i}].temperature"), *t, -273.15, 1000.0, "degC")?;
            crate::numeric::check::in_range(&format!("rows[{i}].density"), *rho, 100.0, 3000.0, "kg/m3")?;
            if i > 0 && *t <= rows[i - 1].0 {
                return Err(FluidError::TableNotIncreasing { row: i, previous_c: rows[i - 1].0, temperature_c: *t });
            }
        }
        Ok(Self { rows: rows.into() })
    }

    fn range_c(&self) -> [f64; 2] {
        [self.rows[0].0, self.rows[self.rows.len() - 1].0]
    }

    fn density(&self, t: f64) -> f64 {
        let upper = self.rows.partition_point(|r| r.0 < t).clamp(1, self.rows.len() - 1);
        let ((t0, r0), (t1, r1)) = (self.rows[upper - 1], self.rows[upper]);
        r0 + (r1 - r0) * (t - t0) / (t1 - t0)
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;
    use uom::si::thermodynamic_temperature::degree_celsius;
    use uom::si::volume::liter;

    use super::super::coolant::Basis;
    use super::*;
    use crate::error::Coded;

    fn at(t: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<degree_celsius>(t)
    }

    fn rho(value: f64) -> MassDensity {
        MassDensity::new::<kilogram_per_cubic_meter>(value)
    }

    /// 100 L at 15 degC of an oil that weighs 954 kg/m3 at 150 degC shrink from 109.07 L there: 100 L hot are 91.69 L
    /// (question from a public page on ASTM D1250-04, answer computed).
    #[test]
    fn volume_at_temperature() {
        let law = DensityLaw::Oil(LubeExpansion::new(rho(1040.48)).unwrap());
        let hot = law.volume_at(Volume::new::<liter>(91.6885), at(150.0)).unwrap();
        assert_abs_diff_eq!(hot.get::<liter>(), 100.0, epsilon = 1e-3);
        let bad = law.volume_at(Volume::new::<liter>(f64::NAN), at(20.0)).unwrap_err();
        assert_eq!(bad.code(), "quantity.not_finite");
    }

    /// Every law: 1 at 15 degC, its own limits accepted, one degree beyond refused.
    #[test]
    fn laws_keep_their_limits() {
        let table = DensityTable::new(&[(at(0.0), rho(900.0)), (at(100.0), rho(840.0))]).unwrap();
        for law in [
            DensityLaw::Oil(LubeExpansion::new(rho(868.0)).unwrap()),
            DensityLaw::Fuel(FuelExpansion::diesel()),
            DensityLaw::Water,
            DensityLaw::Coolant(GlycolWater::new(50.0, Basis::Volume).unwrap()),
            DensityLaw::Table(table),
        ] {
            assert_abs_diff_eq!(law.volume_correction(at(15.0)).unwrap().value, 1.0, epsilon = 1e-15);
            let [low, high] = law.range_c();
            assert!(law.density(at(low)).is_ok() && law.density(at(high)).is_ok(), "{}", law.name());
            for outside in [low - 1.0, high + 1.0] {
                let e = law.density(at(outside)).unwrap_err();
                assert_eq!(e.code(), "fluid.outside_relation");
                assert!(e.to_string().contains(law.name()), "{e}");
            }
        }
    }

    #[test]
    fn table_between_rows() {
        let table = DensityTable::new(&[(at(0.0), rho(900.0)), (at(50.0), rho(870.0)), (at(100.0), rho(838.0))]);
        let law = DensityLaw::Table(table.unwrap());
        assert_abs_diff_eq!(law.density(at(25.0)).unwrap().value, 885.0, epsilon = 1e-9);
        assert_abs_diff_eq!(law.density(at(75.0)).unwrap().value, 854.0, epsilon = 1e-9);
    }

    #[test]
    fn bad_tables_are_refused() {
        let one = DensityTable::new(&[(at(15.0), rho(870.0))]).unwrap_err();
        assert_eq!(one.code(), "fluid.table_too_short");
        let back = DensityTable::new(&[(at(15.0), rho(870.0)), (at(10.0), rho(873.0))]).unwrap_err();
        assert_eq!((back.code().as_str(), &back.fields()["row"]), ("fluid.table_not_increasing", &1.into()));
        let zero = DensityTable::new(&[(at(15.0), rho(870.0)), (at(20.0), rho(0.0))]).unwrap_err();
        assert_eq!(zero.fields()["what"], "rows[1].density");
        let warm = DensityTable::new(&[(at(20.0), rho(870.0)), (at(40.0), rho(860.0))]).unwrap();
        let no_base = DensityLaw::Table(warm).volume_correction(at(30.0)).unwrap_err();
        assert_eq!(no_base.fields()["what"], "base temperature");
    }
}
