//! A fluid as the rest of the crate sees it: density and viscosity at a temperature.

use uom::si::dynamic_viscosity::pascal_second;
use uom::si::f64::{DynamicViscosity, KinematicViscosity, MassDensity, Ratio, ThermodynamicTemperature, Volume};
use uom::si::kinematic_viscosity::square_meter_per_second;
use uom::si::mass_density::kilogram_per_cubic_meter;

use super::density::DensityLaw;
use super::error::FluidError;
use super::expansion::{Edition, LubeExpansion};
use super::grades::GradeOil;
use super::viscosity::ViscosityLine;

/// A lubricating oil in SI numbers, small enough to copy and quick enough to build once per draw.
///
/// Made of density at 15 degC (kg/m3) and kinematic viscosity at 40 and 100 degC (m2/s).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OilModel {
    expansion: LubeExpansion,
    line: ViscosityLine,
}

impl OilModel {
    /// Checked: density in the range of the volume correction, `kv40 > kv100`, both in the range of D341.
    pub fn new(density_15c: f64, kv40: f64, kv100: f64) -> Result<Self, FluidError> {
        Ok(Self {
            expansion: LubeExpansion::checked_si(density_15c, Edition::V2004, 1.0)?,
            line: ViscosityLine::checked_si((40.0, kv40), (100.0, kv100))?,
        })
    }

    /// Unchecked twin of [`OilModel::new`]; `k1_scale` multiplies the expansion coefficient K1 (1 for the standard).
    pub fn unchecked(density_15c: f64, kv40: f64, kv100: f64, k1_scale: f64) -> Self {
        Self {
            expansion: LubeExpansion::unchecked_si(density_15c, Edition::V2004, k1_scale),
            line: ViscosityLine::unchecked_si((40.0, kv40), (100.0, kv100)),
        }
    }

    /// The same viscosity with another density at 15 degC, unchecked, by the standard K1.
    pub(crate) fn with_density(self, density_15c: f64) -> Self {
        Self { expansion: LubeExpansion::unchecked_si(density_15c, self.expansion.edition(), 1.0), ..self }
    }

    /// The same expansion with another viscosity line.
    pub(crate) fn with_line(self, line: ViscosityLine) -> Self {
        Self { line, ..self }
    }

    /// The same oil by another edition of the volume correction.
    #[must_use]
    pub fn with_edition(self, edition: Edition) -> Self {
        let density_15c = self.expansion.density_15c().get::<kilogram_per_cubic_meter>();
        Self { expansion: LubeExpansion::unchecked_si(density_15c, edition, 1.0), ..self }
    }

    /// Volume at 15 degC over volume at `temperature_c` (deg C). Not checked against -50 to 150 degC.
    #[inline]
    pub fn vcf(&self, temperature_c: f64) -> f64 {
        self.expansion.vcf(temperature_c)
    }

    /// Density in kg/m3 at `temperature_c` (deg C). Not checked against -50 to 150 degC.
    #[inline]
    pub fn density(&self, temperature_c: f64) -> f64 {
        self.expansion.density_si(temperature_c)
    }

    /// Kinematic viscosity in m2/s at `temperature_c` (deg C). Not checked against the range of D341.
    #[inline]
    pub fn nu(&self, temperature_c: f64) -> f64 {
        self.line.nu(temperature_c)
    }

    /// The prepared volume correction.
    #[inline]
    pub fn expansion(&self) -> &LubeExpansion {
        &self.expansion
    }

    /// The prepared viscosity line.
    #[inline]
    pub fn line(&self) -> &ViscosityLine {
        &self.line
    }
}

/// A fluid: immutable, cheap to clone, asked at a temperature.
#[derive(Debug, Clone, PartialEq)]
pub struct Fluid {
    density: DensityLaw,
    viscosity: Option<Viscosity>,
}

/// The viscosities an oil was given, and the line through them.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Viscosity {
    kv40: f64,
    kv100: f64,
    line: ViscosityLine,
}

impl Fluid {
    /// A lubricating oil from its density at 15 degC and its kinematic viscosities at 40 and 100 degC.
    ///
    /// Density follows API MPMS 11.1 (2004), viscosity ASTM D341.
    ///
    /// # Errors
    /// [`FluidError::OutsideRelation`] when the density at 60 degF is outside 800.9 to 1163.5 kg/m3 or a viscosity
    /// outside 0.21 to 2e7 mm2/s, [`FluidError::ViscosityNotFalling`] when `kv100` is not below `kv40`,
    /// [`FluidError::Quantity`] when a number is not finite.
    ///
    /// ```
    /// use fillmark::fluid::Fluid;
    /// use fillmark::uom::si::{f64::*, kinematic_viscosity::square_millimeter_per_second as mm2_s};
    /// use fillmark::uom::si::{mass_density::kilogram_per_cubic_meter, ratio::ratio};
    /// use fillmark::uom::si::thermodynamic_temperature::degree_celsius;
    ///
    /// let oil = Fluid::oil(
    ///     MassDensity::new::<kilogram_per_cubic_meter>(868.0),
    ///     KinematicViscosity::new::<mm2_s>(95.0),
    ///     KinematicViscosity::new::<mm2_s>(14.3),
    /// )?;
    /// let hot = ThermodynamicTemperature::new::<degree_celsius>(90.0);
    /// assert!((oil.volume_correction(hot)?.get::<ratio>() - 0.945).abs() < 1e-3);
    /// # Ok::<(), fillmark::fluid::FluidError>(())
    /// ```
    pub fn oil(
        density_15c: MassDensity,
        kv40: KinematicViscosity,
        kv100: KinematicViscosity,
    ) -> Result<Self, FluidError> {
        Self::new(DensityLaw::Oil(LubeExpansion::new(density_15c)?)).with_viscosity(kv40, kv100)
    }

    /// The middle of what a grade such as `10W-40` or `ISO VG 46` leaves open: short for [`GradeOil::parse`] and
    /// [`GradeOil::nominal`]. Use [`GradeOil`] for the windows about it.
    ///
    /// # Errors
    /// Those of [`GradeOil::parse`].
    ///
    /// ```
    /// use fillmark::fluid::Fluid;
    /// use fillmark::uom::si::kinematic_viscosity::square_millimeter_per_second;
    ///
    /// let oil = Fluid::from_grade("10W-40")?;
    /// let kv100 = oil.kv100().map(|v| v.get::<square_millimeter_per_second>());
    /// assert!((kv100.unwrap_or_default() - 14.4).abs() < 1e-9);
    /// # Ok::<(), fillmark::fluid::FluidError>(())
    /// ```
    pub fn from_grade(grade: &str) -> Result<Self, FluidError> {
        GradeOil::parse(grade)?.nominal()
    }

    /// A fluid of which only the density law is known.
    pub fn new(density: DensityLaw) -> Self {
        Self { density, viscosity: None }
    }

    /// The same fluid with kinematic viscosities at 40 and 100 degC, which ASTM D341 joins.
    ///
    /// # Errors
    /// Those of [`ViscosityLine::through`].
    pub fn with_viscosity(self, kv40: KinematicViscosity, kv100: KinematicViscosity) -> Result<Self, FluidError> {
        let (kv40, kv100) = (kv40.get::<square_meter_per_second>(), kv100.get::<square_meter_per_second>());
        let line = ViscosityLine::checked_si((40.0, kv40), (100.0, kv100))?;
        Ok(Self { viscosity: Some(Viscosity { kv40, kv100, line }), ..self })
    }

    /// The same fluid with the viscosity of a line through any two points; the values at 40 and 100 degC are the line's.
    #[must_use]
    pub fn with_line(self, line: ViscosityLine) -> Self {
        Self { viscosity: Some(Viscosity { kv40: line.nu(40.0), kv100: line.nu(100.0), line }), ..self }
    }

    /// The same oil by another edition of the volume correction; any other fluid comes back unchanged.
    #[must_use]
    pub fn with_edition(&self, edition: Edition) -> Self {
        let mut out = self.clone();
        if let DensityLaw::Oil(oil) = &self.density {
            out.density = DensityLaw::Oil(LubeExpansion::unchecked_si(
                oil.density_15c().get::<kilogram_per_cubic_meter>(),
                edition,
                1.0,
            ));
        }
        out
    }

    /// The density law.
    pub fn density_law(&self) -> &DensityLaw {
        &self.density
    }

    /// Volume at 15 degC over volume at `temperature` (below 1 when warmer); for an oil -50 to 150 degC.
    pub fn volume_correction(&self, temperature: ThermodynamicTemperature) -> Result<Ratio, FluidError> {
        self.density.volume_correction(temperature)
    }

    /// The volume that `volume_15c` at 15 degC fills at `temperature`.
    pub fn volume_at(&self, volume_15c: Volume, temperature: ThermodynamicTemperature) -> Result<Volume, FluidError> {
        self.density.volume_at(volume_15c, temperature)
    }

    /// Density at `temperature`; for an oil -50 to 150 degC.
    pub fn density(&self, temperature: ThermodynamicTemperature) -> Result<MassDensity, FluidError> {
        self.density.density(temperature)
    }

    /// Kinematic viscosity at `temperature`, by ASTM D341.
    ///
    /// # Errors
    /// [`FluidError::NoViscosity`] for a fluid without, and those of [`ViscosityLine::kinematic_viscosity`].
    pub fn kinematic_viscosity(&self, temperature: ThermodynamicTemperature) -> Result<KinematicViscosity, FluidError> {
        self.viscosity()?.line.kinematic_viscosity(temperature)
    }

    /// Dynamic viscosity: kinematic viscosity times density, both at `temperature`.
    pub fn dynamic_viscosity(&self, temperature: ThermodynamicTemperature) -> Result<DynamicViscosity, FluidError> {
        let nu = self.kinematic_viscosity(temperature)?.get::<square_meter_per_second>();
        let density = self.density(temperature)?.get::<kilogram_per_cubic_meter>();
        Ok(DynamicViscosity::new::<pascal_second>(nu * density))
    }

    /// Viscosity index of ASTM D2270, not rounded (the standard reports the nearest whole number).
    ///
    /// # Errors
    /// [`FluidError::NoViscosity`] for a fluid without, [`FluidError::OutsideRelation`] below 2 mm2/s at 100 degC.
    pub fn viscosity_index(&self) -> Result<f64, FluidError> {
        let v = self.viscosity()?;
        let nu = KinematicViscosity::new::<square_meter_per_second>;
        super::viscosity_index::viscosity_index(nu(v.kv40), nu(v.kv100))
    }

    /// Density at 15 degC.
    pub fn density_15c(&self) -> MassDensity {
        MassDensity::new::<kilogram_per_cubic_meter>(self.density.density_si(15.0))
    }

    /// Kinematic viscosity at 40 degC, as given; `None` for a fluid without viscosity.
    pub fn kv40(&self) -> Option<KinematicViscosity> {
        self.viscosity.map(|v| KinematicViscosity::new::<square_meter_per_second>(v.kv40))
    }

    /// Kinematic viscosity at 100 degC, as given; `None` for a fluid without viscosity.
    pub fn kv100(&self) -> Option<KinematicViscosity> {
        self.viscosity.map(|v| KinematicViscosity::new::<square_meter_per_second>(v.kv100))
    }

    /// The oil in SI numbers, for loops.
    ///
    /// # Errors
    /// [`FluidError::NotAnOil`] for any other fluid or one without viscosity.
    pub fn model(&self) -> Result<OilModel, FluidError> {
        match (&self.density, self.viscosity) {
            (DensityLaw::Oil(expansion), Some(v)) => Ok(OilModel { expansion: *expansion, line: v.line }),
            (other, _) => Err(FluidError::NotAnOil { fluid: other.name().into() }),
        }
    }

    fn viscosity(&self) -> Result<&Viscosity, FluidError> {
        self.viscosity.as_ref().ok_or_else(|| FluidError::NoViscosity { fluid: self.density.name().into() })
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;
    use uom::si::kinematic_viscosity::square_millimeter_per_second;
    use uom::si::thermodynamic_temperature::degree_celsius;

    use super::*;
    use crate::error::Coded;

    fn oil(density: f64, kv40: f64, kv100: f64) -> Result<Fluid, FluidError> {
        Fluid::oil(
            MassDensity::new::<kilogram_per_cubic_meter>(density),
            KinematicViscosity::new::<square_millimeter_per_second>(kv40),
            KinematicViscosity::new::<square_millimeter_per_second>(kv100),
        )
    }

    #[test]
    fn given_values_come_back() {
        let o = oil(868.0, 95.0, 14.3).unwrap();
        let t = ThermodynamicTemperature::new::<degree_celsius>;
        assert_abs_diff_eq!(o.density_15c().value, 868.0);
        assert_abs_diff_eq!(o.density(t(15.0)).unwrap().value, 868.0, epsilon = 1e-9);
        assert_abs_diff_eq!(o.kinematic_viscosity(t(40.0)).unwrap().value, 95e-6, epsilon = 1e-15);
        assert_abs_diff_eq!(o.kinematic_viscosity(t(100.0)).unwrap().value, 14.3e-6, epsilon = 1e-15);
        assert_abs_diff_eq!(o.kv40().unwrap().value, 95e-6, epsilon = 1e-18);
        let m = o.dynamic_viscosity(t(40.0)).unwrap().value;
        assert_abs_diff_eq!(m, 95e-6 * o.model().unwrap().density(40.0), epsilon = 1e-12);
    }

    /// Table of the trade (calculated): 4.5 L warmed from 20 to 90 degC grow by 0.250, 0.245 and 0.241 L.
    #[test]
    fn warming_a_filling() {
        for (density, growth) in [(850.0, 0.250), (868.0, 0.245), (880.0, 0.241)] {
            let m = OilModel::new(density, 95e-6, 14.3e-6).unwrap();
            assert_abs_diff_eq!(4.5 * (m.vcf(20.0) / m.vcf(90.0) - 1.0), growth, epsilon = 0.0006);
        }
    }

    #[test]
    fn errors_reach_the_face_with_their_codes() {
        assert_eq!(oil(868.0, 14.3, 95.0).unwrap_err().code(), "fluid.viscosity_not_falling");
        assert_eq!(oil(700.0, 95.0, 14.3).unwrap_err().code(), "fluid.outside_relation");
        let e = oil(f64::INFINITY, 95.0, 14.3).unwrap_err();
        assert_eq!(e.code(), "quantity.not_finite");
        assert_eq!(e.fields()["what"], "density_15c");
        assert_eq!(crate::Error::from(e).code(), "quantity.not_finite");
    }

    #[test]
    fn unchecked_twin_is_the_same_model() {
        assert_eq!(OilModel::new(868.0, 95e-6, 14.3e-6).unwrap(), OilModel::unchecked(868.0, 95e-6, 14.3e-6, 1.0));
    }

    #[test]
    fn a_fluid_without_viscosity_says_so() {
        let water = Fluid::new(DensityLaw::Water);
        let t = ThermodynamicTemperature::new::<degree_celsius>(20.0);
        assert_eq!(water.kinematic_viscosity(t).unwrap_err().code(), "fluid.no_viscosity");
        assert_eq!(water.model().unwrap_err().code(), "fluid.not_an_oil");
        assert_eq!(water.viscosity_index().unwrap_err().code(), "fluid.no_viscosity");
        // Second worked example of ASTM D2270.
        let index = oil(868.0, 22.83, 5.05).unwrap().viscosity_index().unwrap();
        assert_abs_diff_eq!(index, 156.42, epsilon = 0.01);
        assert!(water.kv40().is_none() && water.density(t).is_ok());
    }
}
