//! Fluids for Python.

use pyo3::exceptions::{PyTypeError, PyValueError};
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use uom::si::dynamic_viscosity::pascal_second;
use uom::si::f64::{KinematicViscosity, MassDensity, ThermodynamicTemperature};
use uom::si::kinematic_viscosity::square_meter_per_second;
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::degree_celsius;

use super::arrays::{FloatOrArray, Values};
use super::errors;
use super::quantity::{Scalar, shortest};
use super::rebuild::reduce;
use super::unit::{DegreeCelsius, KilogramPerCubicMetre, MillipascalSecond, One, SquareMillimetrePerSecond, Unit};
use crate::fluid::{DensityLaw, Edition, Fluid};

/// A fluid: what it weighs and how thick it is at a temperature. Immutable.
///
/// Made with `Fluid.oil`.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
/// >>> round(4.5 * oil.volume_correction(temperature_c=20.0) / oil.volume_correction(temperature_c=90.0), 3)
/// 4.745
#[pyclass(frozen, eq, name = "Fluid", module = "fillmark")]
#[derive(Clone, PartialEq)]
pub(super) struct PyFluid(Fluid);

#[pymethods]
impl PyFluid {
    /// Lubricating oil, from its data sheet or from its grade alone.
    ///
    /// Give density and both viscosities, or a grade: then each is the middle of what the grade leaves open.
    ///
    /// Parameters
    /// ----------
    /// density_15c_kg_m3 : quantity
    ///     Density at 15 °C [kg/m3]; 800.9 to 1163.5 at 60 °F.
    /// kv40_mm2_s, kv100_mm2_s : quantity
    ///     Kinematic viscosity at 40 °C and 100 °C [mm2/s]; the second is the smaller.
    /// grade : str
    ///     Label such as ``"10W-40"`` (SAE J300), ``"80W-90"`` (SAE J306) or ``"ISO VG 46"`` (ISO 3448).
    /// edition : {"2004", "1980"}
    ///     Edition of API MPMS 11.1, the volume correction.
    ///
    /// Raises
    /// ------
    /// FluidError
    ///     If a value is outside what the relations cover, the oil would be thicker hot than cold, or the grade is
    ///     unknown.
    /// TypeError
    ///     If neither a grade nor all three numbers are given, or both.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
    /// Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
    /// >>> round(fm.Fluid.oil(grade="10W-40").kv100_mm2_s, 6)
    /// 14.4
    #[staticmethod]
    #[pyo3(signature = (*, density_15c_kg_m3=None, kv40_mm2_s=None, kv100_mm2_s=None, grade=None, edition="2004"))]
    fn oil(
        density_15c_kg_m3: Option<Scalar<'_, KilogramPerCubicMetre>>,
        kv40_mm2_s: Option<Scalar<'_, SquareMillimetrePerSecond>>,
        kv100_mm2_s: Option<Scalar<'_, SquareMillimetrePerSecond>>,
        grade: Option<&str>,
        edition: &str,
    ) -> PyResult<Self> {
        let edition = read_edition(edition)?;
        let fluid = match (density_15c_kg_m3, kv40_mm2_s, kv100_mm2_s, grade) {
            (Some(density), Some(kv40), Some(kv100), None) => Fluid::oil(
                MassDensity::new::<kilogram_per_cubic_meter>(density.si("density_15c_kg_m3")?),
                KinematicViscosity::new::<square_meter_per_second>(kv40.si("kv40_mm2_s")?),
                KinematicViscosity::new::<square_meter_per_second>(kv100.si("kv100_mm2_s")?),
            ),
            (None, None, None, Some(grade)) => Fluid::from_grade(grade),
            _ => {
                return Err(PyTypeError::new_err(
                    "Fluid.oil takes density_15c_kg_m3, kv40_mm2_s and kv100_mm2_s together, or grade alone",
                ));
            }
        };
        Ok(Self(fluid.map_err(errors::to_py)?.with_edition(edition)))
    }

    /// Density at 15 °C [kg/m3].
    #[getter]
    fn density_15c_kg_m3(&self) -> f64 {
        let density = match self.0.density_law() {
            DensityLaw::Oil(law) => law.density_15c(), // as given, not through the correction
            _ => self.0.density_15c(),
        };
        density.get::<kilogram_per_cubic_meter>()
    }

    /// Kinematic viscosity at 40 °C [mm2/s]; None for a fluid without viscosity.
    #[getter]
    fn kv40_mm2_s(&self) -> Option<f64> {
        self.0.kv40().map(|nu| shortest::<SquareMillimetrePerSecond>(nu.get::<square_meter_per_second>()))
    }

    /// Kinematic viscosity at 100 °C [mm2/s]; None for a fluid without viscosity.
    #[getter]
    fn kv100_mm2_s(&self) -> Option<f64> {
        self.0.kv100().map(|nu| shortest::<SquareMillimetrePerSecond>(nu.get::<square_meter_per_second>()))
    }

    /// Viscosity index of ASTM D2270, not rounded [1].
    ///
    /// The standard reports the nearest whole number. A `FluidError` if the viscosity at 100 °C is below 2 mm2/s.
    #[getter]
    fn viscosity_index(&self) -> PyResult<f64> {
        self.0.viscosity_index().map_err(errors::to_py)
    }

    /// Edition of API MPMS 11.1 that the volume correction follows; None for a fluid that is no oil.
    #[getter]
    fn edition(&self) -> Option<&'static str> {
        match self.0.density_law() {
            DensityLaw::Oil(law) => Some(edition_text(law.edition())),
            _ => None,
        }
    }

    /// Volume at 15 °C over volume at a temperature: below 1 when warmer.
    ///
    /// API MPMS 11.1 for the lubricating-oil group.
    ///
    /// Parameters
    /// ----------
    /// temperature_c : quantity or array
    ///     Temperature [°C], -50 to 150.
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     Factor of the argument's shape [1].
    ///
    /// Raises
    /// ------
    /// FluidError
    ///     If a temperature is outside the range.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
    /// >>> oil.volume_correction(temperature_c=[15.0, 90.0]).round(3)
    /// array([1.   , 0.945])
    #[pyo3(signature = (*, temperature_c))]
    fn volume_correction(&self, py: Python<'_>, temperature_c: Values<'_, DegreeCelsius>) -> PyResult<FloatOrArray> {
        self.at::<One>(py, &temperature_c, |fluid, t| Ok(fluid.volume_correction(t)?.get::<ratio>()))
    }

    /// Density at a temperature.
    ///
    /// Parameters
    /// ----------
    /// temperature_c : quantity or array
    ///     Temperature [°C], -50 to 150.
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     Density of the argument's shape [kg/m3].
    ///
    /// Raises
    /// ------
    /// FluidError
    ///     If a temperature is outside the range.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
    /// >>> round(oil.density_kg_m3(temperature_c=15.0), 6)
    /// 868.0
    #[pyo3(signature = (*, temperature_c))]
    fn density_kg_m3(&self, py: Python<'_>, temperature_c: Values<'_, DegreeCelsius>) -> PyResult<FloatOrArray> {
        let density = |fluid: &Fluid, t| Ok(fluid.density(t)?.get::<kilogram_per_cubic_meter>());
        self.at::<KilogramPerCubicMetre>(py, &temperature_c, density)
    }

    /// Kinematic viscosity at a temperature, by ASTM D341 through the values at 40 °C and 100 °C.
    ///
    /// Parameters
    /// ----------
    /// temperature_c : quantity or array
    ///     Temperature [°C], -70 to 370.
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     Kinematic viscosity of the argument's shape [mm2/s].
    ///
    /// Raises
    /// ------
    /// FluidError
    ///     If a temperature or the viscosity there is outside what ASTM D341 covers.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
    /// >>> round(oil.kinematic_viscosity_mm2_s(temperature_c=100.0), 6)
    /// 14.3
    #[pyo3(signature = (*, temperature_c))]
    fn kinematic_viscosity_mm2_s(
        &self,
        py: Python<'_>,
        temperature_c: Values<'_, DegreeCelsius>,
    ) -> PyResult<FloatOrArray> {
        let nu = |fluid: &Fluid, t| Ok(fluid.kinematic_viscosity(t)?.get::<square_meter_per_second>());
        self.at::<SquareMillimetrePerSecond>(py, &temperature_c, nu)
    }

    /// Dynamic viscosity at a temperature: kinematic viscosity times density.
    ///
    /// Parameters
    /// ----------
    /// temperature_c : quantity or array
    ///     Temperature [°C], -50 to 150.
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     Dynamic viscosity of the argument's shape [mPa.s].
    ///
    /// Raises
    /// ------
    /// FluidError
    ///     If a temperature is outside the range.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
    /// >>> round(oil.dynamic_viscosity_mpa_s(temperature_c=40.0), 1)
    /// 81.0
    #[pyo3(signature = (*, temperature_c))]
    fn dynamic_viscosity_mpa_s(
        &self,
        py: Python<'_>,
        temperature_c: Values<'_, DegreeCelsius>,
    ) -> PyResult<FloatOrArray> {
        let mu = |fluid: &Fluid, t| Ok(fluid.dynamic_viscosity(t)?.get::<pascal_second>());
        self.at::<MillipascalSecond>(py, &temperature_c, mu)
    }

    fn __repr__(&self) -> String {
        let (Some(edition), Some(kv40), Some(kv100)) = (self.edition(), self.kv40_mm2_s(), self.kv100_mm2_s()) else {
            return format!("<Fluid: {}>", self.0.density_law().name());
        };
        let edition = if edition == "2004" { String::new() } else { format!(", edition={edition:?}") };
        let density = self.density_15c_kg_m3();
        format!("Fluid.oil(density_15c_kg_m3={density:?}, kv40_mm2_s={kv40:?}, kv100_mm2_s={kv100:?}{edition})")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let keywords = PyDict::new(py);
        keywords.set_item("density_15c_kg_m3", self.density_15c_kg_m3())?;
        keywords.set_item("kv40_mm2_s", self.kv40_mm2_s())?;
        keywords.set_item("kv100_mm2_s", self.kv100_mm2_s())?;
        keywords.set_item("edition", self.edition())?;
        reduce::<Self>(py, "oil", keywords)
    }
}

impl PyFluid {
    /// A property over temperatures; `property` gives SI, the result is in `U`.
    fn at<U: Unit>(
        &self,
        py: Python<'_>,
        temperature_c: &Values<'_, DegreeCelsius>,
        property: impl Fn(&Fluid, ThermodynamicTemperature) -> Result<f64, crate::fluid::FluidError> + Send,
    ) -> PyResult<FloatOrArray> {
        let fluid = self.0.clone();
        let temperatures = temperature_c.read("temperature_c")?;
        temperatures.map::<U, _, _>(py, move |t| property(&fluid, ThermodynamicTemperature::new::<degree_celsius>(t)))
    }
}

/// The edition that a word names.
fn read_edition(word: &str) -> PyResult<Edition> {
    match word {
        "2004" => Ok(Edition::V2004),
        "1980" => Ok(Edition::V1980),
        other => Err(PyValueError::new_err(format!("edition = {other:?}; accepted are \"2004\" and \"1980\""))),
    }
}

/// The word of an edition.
fn edition_text(edition: Edition) -> &'static str {
    match edition {
        Edition::V2004 => "2004",
        Edition::V1980 => "1980",
    }
}
