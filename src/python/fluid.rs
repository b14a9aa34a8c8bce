//! Fluids for Python.

use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use uom::si::dynamic_viscosity::pascal_second;
use uom::si::f64::{KinematicViscosity, MassDensity, ThermodynamicTemperature, Volume};
use uom::si::kinematic_viscosity::square_meter_per_second;
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::degree_celsius;
use uom::si::volume::cubic_meter;

use super::arrays::{FloatOrArray, Values, refuse_masked};
use super::errors;
use super::quantity::{Scalar, shortest};
use super::recipe::Recipe;
use super::unit::{
    DegreeCelsius, KilogramPerCubicMetre, Litre, MillipascalSecond, One, SquareMillimetrePerSecond, Unit,
};
use super::value::{Uncertain, made};
use crate::fluid::grades::{Spread, middle_and_corners, nodes};
use crate::fluid::{
    Basis, DensityLaw, DensityTable, Edition, Fluid, FluidError, FuelExpansion, GlycolWater, GradeOil, LubeExpansion,
    ViscosityLine,
};

/// A fluid: what it weighs and how thick it is at a temperature. Immutable.
///
/// Made with `Fluid.oil`, `Fluid.of_grade`, `Fluid.water`, `Fluid.coolant`, `Fluid.fuel` or `Fluid.table`.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
/// >>> round(4.5 * oil.volume_correction(temperature_c=20.0) / oil.volume_correction(temperature_c=90.0), 3)
/// 4.745
#[pyclass(frozen, eq, name = "Fluid", module = "fillmark")]
pub(super) struct PyFluid {
    pub(super) inner: Fluid,
    pub(super) grade: Option<GradeOil>,
    recipe: Recipe,
}

impl PartialEq for PyFluid {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner && self.grade == other.grade
    }
}

/// Two pairs of temperature and viscosity, as Python hands them over.
type Points = ((f64, f64), (f64, f64));

#[pymethods]
impl PyFluid {
    /// Lubricating oil, from its data sheet or from its grade alone.
    ///
    /// Give a density with two viscosities, or a grade: then each is the middle of what the grade leaves open, which
    /// `windows` tells.
    ///
    /// Parameters
    /// ----------
    /// density_15c_kg_m3 : quantity
    ///     Density at 15 °C [kg/m3]; 800.9 to 1163.5 at 60 °F.
    /// kv40_mm2_s, kv100_mm2_s : quantity
    ///     Kinematic viscosity at 40 °C and 100 °C [mm2/s]; the second is the smaller.
    /// viscosity_points : two pairs of float
    ///     In place of those, kinematic viscosity at any two temperatures: ``((t1_c, nu1_mm2_s), (t2_c, nu2_mm2_s))``.
    /// grade : str
    ///     Label such as ``"10W-40"`` (SAE J300), ``"80W-90"`` (SAE J306) or ``"ISO VG 46"`` (ISO 3448).
    /// edition : {"2004", "1980"}
    ///     Edition of API MPMS 11.1, the volume correction.
    ///
    /// Returns
    /// -------
    /// Fluid
    ///     Volume correction by API MPMS 11.1, lubricating-oil group; viscosity by ASTM D341 through the two points.
    ///
    /// Raises
    /// ------
    /// FluidError
    ///     If a value is outside what the relations cover, the oil would be thicker hot than cold, or the grade is
    ///     unknown.
    /// TypeError
    ///     If neither a grade nor a density with two viscosities is given, or both.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
    /// Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
    /// >>> round(fm.Fluid.oil(grade="10W-40").kv100_mm2_s, 6)
    /// 14.4
    /// >>> cold = fm.Fluid.oil(density_15c_kg_m3=868.0, viscosity_points=((0.0, 650.0), (60.0, 45.0)))
    /// >>> round(cold.kinematic_viscosity_mm2_s(temperature_c=0.0), 3)
    /// 650.0
    #[staticmethod]
    #[pyo3(signature = (*, density_15c_kg_m3=None, kv40_mm2_s=None, kv100_mm2_s=None, viscosity_points=None, grade=None,
        edition="2004"))]
    fn oil(
        py: Python<'_>,
        density_15c_kg_m3: Option<Scalar<'_, KilogramPerCubicMetre>>,
        kv40_mm2_s: Option<Scalar<'_, SquareMillimetrePerSecond>>,
        kv100_mm2_s: Option<Scalar<'_, SquareMillimetrePerSecond>>,
        viscosity_points: Option<Points>,
        grade: Option<&str>,
        edition: &str,
    ) -> PyResult<Self> {
        let mut recipe = Recipe::of("oil");
        let mut of_grade = None;
        let fluid = match (density_15c_kg_m3, kv40_mm2_s, kv100_mm2_s, viscosity_points, grade) {
            (Some(density), Some(kv40), Some(kv100), None, None) => {
                let density = density.number("density_15c_kg_m3")?;
                let (kv40, kv100) = (kv40.number("kv40_mm2_s")?, kv100.number("kv100_mm2_s")?);
                recipe = recipe.with(py, "density_15c_kg_m3", density)?;
                recipe = recipe.with(py, "kv40_mm2_s", kv40)?.with(py, "kv100_mm2_s", kv100)?;
                Fluid::oil(kg_m3(density), mm2_s(kv40), mm2_s(kv100))
            }
            (Some(density), None, None, Some(points), None) => {
                let density = density.number("density_15c_kg_m3")?;
                recipe = recipe.with(py, "density_15c_kg_m3", density)?.with(py, "viscosity_points", points)?;
                through(density, points)
            }
            (None, None, None, None, Some(text)) => {
                recipe = recipe.with(py, "grade", text)?;
                let oil = GradeOil::parse(text).map_err(errors::to_py)?;
                let nominal = oil.nominal();
                of_grade = Some(oil);
                nominal
            }
            _ => {
                return Err(PyTypeError::new_err(
                    "Fluid.oil takes density_15c_kg_m3 with kv40_mm2_s and kv100_mm2_s or with viscosity_points, or \
                     grade alone",
                ));
            }
        };
        if edition != "2004" {
            recipe = recipe.with(py, "edition", edition)?;
        }
        let inner = fluid.map_err(errors::to_py)?.with_edition(read_edition(edition)?);
        Ok(Self { inner, grade: of_grade, recipe })
    }

    /// One oil out of all that a grade leaves open.
    ///
    /// Parameters
    /// ----------
    /// grade : str
    ///     As for `Fluid.oil`.
    /// density, viscosity, index : float
    ///     How far through its window each stands: 0 the lower limit, 1 the upper.
    ///
    /// Returns
    /// -------
    /// Fluid
    ///     With the windows of the grade.
    ///
    /// Raises
    /// ------
    /// FluidError
    ///     If the grade is unknown.
    /// QuantityError
    ///     If a share is outside 0 to 1.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> thinnest = fm.Fluid.of_grade("10W-40", viscosity=0.0)
    /// >>> round(thinnest.kv100_mm2_s, 6)
    /// 12.5
    #[staticmethod]
    #[pyo3(signature = (grade, *, density=0.5, viscosity=0.5, index=0.5))]
    fn of_grade(py: Python<'_>, grade: &str, density: f64, viscosity: f64, index: f64) -> PyResult<Self> {
        let oil = GradeOil::parse(grade).map_err(errors::to_py)?;
        let inner = oil.at(density, viscosity, index).map_err(errors::to_py)?;
        let recipe = Recipe::of("of_grade").with(py, "grade", grade)?.with(py, "density", density)?;
        let recipe = recipe.with(py, "viscosity", viscosity)?.with(py, "index", index)?;
        Ok(Self { inner, grade: Some(oil), recipe })
    }

    /// Water, 0 to 100 °C; only its density is known.
    ///
    /// Density by the CIPM equation (Tanaka et al., Metrologia 38 (2001) 301) to 40 °C and by G. S. Kell (J. Chem. Eng.
    /// Data 20 (1975) 97) above.
    ///
    /// Returns
    /// -------
    /// Fluid
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> round(fm.Fluid.water().density_kg_m3(temperature_c=20.0), 2)
    /// 998.21
    #[staticmethod]
    fn water() -> Self {
        Self::plain(DensityLaw::Water, Recipe::of("water"))
    }

    /// Ethylene glycol in water; only its density is known.
    ///
    /// By mass: Å. Melinder, Properties of Secondary Working Fluids for Indirect Systems (2010), pure glycol, -35 to
    /// 100 °C. By volume: a fit to the table of the ASHRAE Handbook - Fundamentals, inhibited glycol, -35 to 125 °C.
    ///
    /// Parameters
    /// ----------
    /// percent : float
    ///     Share of glycol: 0 to 60 by mass, 10 to 90 by volume.
    /// basis : {"mass", "volume"}
    ///     What the percentage counts. It must be named: the two differ by about 0.8 % of density at 50 %.
    ///
    /// Returns
    /// -------
    /// Fluid
    ///
    /// Raises
    /// ------
    /// FluidError
    ///     If the basis is not named, or the share is outside the range of its relation.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> round(fm.Fluid.coolant(percent=50, basis="mass").density_kg_m3(temperature_c=20.0), 1)
    /// 1064.9
    #[staticmethod]
    #[pyo3(signature = (*, percent, basis=None))]
    fn coolant(py: Python<'_>, percent: f64, basis: Option<&str>) -> PyResult<Self> {
        let named = match basis {
            Some("mass") => Ok(Basis::Mass),
            Some("volume") => Ok(Basis::Volume),
            None => Err(errors::to_py(FluidError::BasisNotNamed { text: format!("{percent} %") })),
            Some(other) => Err(errors::quantity(
                format!("basis = {other:?}; accepted are \"mass\" and \"volume\""),
                "quantity.unknown_word",
            )),
        }?;
        let mixture = GlycolWater::new(percent, named).map_err(errors::to_py)?;
        let recipe = Recipe::of("coolant").with(py, "percent", percent)?.with(py, "basis", basis)?;
        Ok(Self::plain(DensityLaw::Coolant(mixture), recipe))
    }

    /// Petrol or diesel fuel; only its density is known.
    ///
    /// API MPMS 11.1 (1980), refined products, -50 to 150 °C. Usual densities are 720 to 775 kg/m3 for petrol and 820 to 845
    /// for diesel fuel (EN 228, EN 590, from memory).
    ///
    /// Parameters
    /// ----------
    /// density_15c_kg_m3 : quantity
    ///     Density at 15 °C [kg/m3], 653 to 1075.
    ///
    /// Returns
    /// -------
    /// Fluid
    ///
    /// Raises
    /// ------
    /// FluidError
    ///     If the density is outside the range.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> diesel = fm.Fluid.fuel(density_15c_kg_m3=835.0)
    /// >>> round(diesel.volume_l_at(volume_15c_l=10.0, temperature_c=35.0), 2)
    /// 10.17
    #[staticmethod]
    #[pyo3(signature = (*, density_15c_kg_m3))]
    fn fuel(py: Python<'_>, density_15c_kg_m3: Scalar<'_, KilogramPerCubicMetre>) -> PyResult<Self> {
        let density = density_15c_kg_m3.number("density_15c_kg_m3")?;
        let law = FuelExpansion::new(kg_m3(density)).map_err(errors::to_py)?;
        Ok(Self::plain(DensityLaw::Fuel(law), Recipe::of("fuel").with(py, "density_15c_kg_m3", density)?))
    }

    /// A fluid known by a table of densities, straight lines between its rows.
    ///
    /// Parameters
    /// ----------
    /// temperature_c : array
    ///     Temperatures, rising [°C].
    /// density_kg_m3 : array
    ///     Density at each [kg/m3], 100 to 3000.
    /// kv40_mm2_s, kv100_mm2_s : quantity
    ///     Kinematic viscosity at 40 °C and 100 °C, joined by ASTM D341 [mm2/s]; both or neither.
    ///
    /// Returns
    /// -------
    /// Fluid
    ///     Between the first and the last temperature. Volumes at 15 °C need a table that reaches there.
    ///
    /// Raises
    /// ------
    /// FluidError
    ///     If there are fewer than two rows or a temperature does not rise.
    /// ValueError
    ///     If the two columns have different lengths.
    /// TypeError
    ///     If only one viscosity is given.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> measured = fm.Fluid.table(temperature_c=[0.0, 15.0, 100.0], density_kg_m3=[878.0, 868.0, 813.0])
    /// >>> measured.density_kg_m3(temperature_c=7.5)
    /// 873.0
    #[staticmethod]
    #[pyo3(signature = (*, temperature_c, density_kg_m3, kv40_mm2_s=None, kv100_mm2_s=None))]
    fn table(
        py: Python<'_>,
        temperature_c: Values<'_, DegreeCelsius>,
        density_kg_m3: Values<'_, KilogramPerCubicMetre>,
        kv40_mm2_s: Option<Scalar<'_, SquareMillimetrePerSecond>>,
        kv100_mm2_s: Option<Scalar<'_, SquareMillimetrePerSecond>>,
    ) -> PyResult<Self> {
        let (t, rho) = (temperature_c.read("temperature_c")?.flat(), density_kg_m3.read("density_kg_m3")?.flat());
        if t.len() != rho.len() {
            let text = format!("temperature_c has {} values, density_kg_m3 has {}", t.len(), rho.len());
            return Err(errors::quantity(text, "quantity.wrong_length"));
        }
        let rows: Vec<_> = t.iter().zip(&rho).map(|(t, rho)| (degrees(*t), kg_m3(*rho))).collect();
        let table = DensityTable::new(&rows).map_err(errors::to_py)?;
        let recipe = Recipe::of("table").with(py, "temperature_c", PyTuple::new(py, t)?)?;
        let recipe = recipe.with(py, "density_kg_m3", PyTuple::new(py, rho)?)?;
        let plain = Self::plain(DensityLaw::Table(table), recipe);
        match (kv40_mm2_s, kv100_mm2_s) {
            (None, None) => Ok(plain),
            (Some(kv40), Some(kv100)) => {
                let (kv40, kv100) = (kv40.number("kv40_mm2_s")?, kv100.number("kv100_mm2_s")?);
                let inner = plain.inner.with_viscosity(mm2_s(kv40), mm2_s(kv100)).map_err(errors::to_py)?;
                let recipe = plain.recipe.with(py, "kv40_mm2_s", kv40)?.with(py, "kv100_mm2_s", kv100)?;
                Ok(Self { inner, grade: None, recipe })
            }
            _ => Err(PyTypeError::new_err("Fluid.table takes kv40_mm2_s and kv100_mm2_s together or not at all")),
        }
    }

    /// What a grade leaves open, by name; empty for a fluid that was not made from one.
    ///
    /// Each is a pair of limits with all values between them alike:
    /// ``density_15c``, ``viscosity_index``, and ``kv100`` (SAE) or ``kv40`` (ISO). The viscosity's limits are the standard's
    /// as far as it sets them; those of density and index are judgements. `judged` lists the names that rest on a judgement.
    #[getter]
    fn windows<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let windows = PyDict::new(py);
        for (name, window, unit) in self.grade_windows() {
            let limits = made(&format!("{} .. {} {unit}", window.low, window.high))?;
            windows.set_item(name, Py::<Uncertain>::new(py, limits)?)?;
        }
        Ok(windows)
    }

    /// Names of the `windows` of which at least one limit is a judgement.
    #[getter]
    fn judged<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        let judgement = |w: &crate::fluid::grades::Window| w.source == crate::fluid::grades::Source::Judgement;
        let named = self.grade_windows().into_iter().filter(|(_, w, _)| judgement(w)).map(|(name, _, _)| name);
        PyTuple::new(py, named.collect::<Vec<_>>())
    }

    /// Carries what a grade leaves open through any function of the oil.
    ///
    /// The function is called with oils of the grade: the middle and the 8 corners of the three `windows`, which give the
    /// nominal result and the limits (the extremes of a result that rises or falls with each of the three), and the 27
    /// points of Gauss's rule over them, which give mean and standard uncertainty (the propagation of distributions of JCGM
    /// 101, by quadrature in place of draws). Nothing depends on a seed. Without a grade nothing is open and the result is exact.
    ///
    /// Parameters
    /// ----------
    /// result : callable
    ///     Takes a `Fluid`, returns a float or an array, always of one shape.
    ///
    /// Returns
    /// -------
    /// dict of str to float or ndarray
    ///     ``nominal``, ``low``, ``high``, ``mean``, ``standard_uncertainty``, each of the result's shape.
    ///
    /// Raises
    /// ------
    /// ValueError
    ///     If the shape of the result changes.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> walls = fm.WallFilm(length_mm=300.0, width_mm=2e6 / 300.0)
    /// >>> oil = fm.Fluid.oil(grade="10W-40")
    /// >>> kept = oil.spread(lambda oil: walls.retained_l(minutes=5.0, fluid=oil, temperature_c=90.0))
    /// >>> round(kept["nominal"], 3), round(kept["low"], 3), round(kept["high"], 3)
    /// (0.058, 0.053, 0.062)
    fn spread<'py>(&self, py: Python<'py>, result: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyDict>> {
        let numpy = py.import("numpy")?;
        let shape_of = |array: &Bound<'py, PyAny>| array.getattr("shape")?.extract::<Vec<usize>>();
        let mut shape: Option<Vec<usize>> = None;
        let mut ask = |oil: Self| -> PyResult<Vec<f64>> {
            let returned = result.call1((oil,))?;
            refuse_masked(&returned, "the result")?;
            let array = numpy.call_method1("asarray", (returned, "float64"))?;
            let found = shape_of(&array)?;
            let first = shape.get_or_insert_with(|| found.clone());
            if *first != found {
                let text = format!("the result has shape {found:?} for one oil of the grade and {first:?} for another");
                return Err(errors::quantity(text, "quantity.wrong_shape"));
            }
            array.call_method0("ravel")?.call_method0("tolist")?.extract()
        };
        let nominal = ask(self.copied(py))?;
        let (mut ends, mut inside) = (vec![nominal], Vec::new());
        if let Some(grade) = &self.grade {
            for shares in middle_and_corners().into_iter().skip(1) {
                ends.push(ask(self.sibling(py, grade, shares)?)?);
            }
            for (shares, _) in nodes() {
                inside.push(ask(self.sibling(py, grade, shares)?)?);
            }
        }
        let at = |all: &[Vec<f64>], k: usize| all.iter().map(|values| values[k]).collect::<Vec<f64>>();
        let whole = (0..ends[0].len()).map(|k| match &self.grade {
            Some(_) => Spread::of(&at(&ends, k), &at(&inside, k)),
            None => Spread::exact(ends[0][k]),
        });
        let whole: Vec<Spread> = whole.collect();
        let shape = PyTuple::new(py, shape.unwrap_or_default())?;
        let dict = PyDict::new(py);
        for (i, (name, _)) in Spread::exact(0.0).named().into_iter().enumerate() {
            let values: Vec<f64> = whole.iter().map(|s| s.named()[i].1).collect();
            if shape.is_empty() {
                dict.set_item(name, values.first())?;
            } else {
                dict.set_item(name, numpy.call_method1("array", (values,))?.call_method1("reshape", (&shape,))?)?;
            }
        }
        Ok(dict)
    }

    /// Standard relative uncertainty of the expansion [1].
    ///
    /// How far two liquids that the volume correction cannot tell apart may differ.
    /// Oils of equal density do: by more than 30 % between oils of different origin in R. S. Jessup's measurements (NBS Research
    /// Paper 244, 1930). 5 % for a finished oil, 3 % for a fuel and 2 % for coolant are judgements; 0 for water and a table.
    #[getter]
    fn expansion_relative_uncertainty(&self) -> f64 {
        self.inner.density_law().expansion_relative_uncertainty()
    }

    /// The volume that a volume at 15 °C fills at a temperature: ``volume_15c_l / volume_correction``.
    ///
    /// Parameters
    /// ----------
    /// volume_15c_l : quantity
    ///     Volume at 15 °C [L].
    /// temperature_c : quantity or array
    ///     Temperature [°C]; for an oil -50 to 150.
    ///
    /// Returns
    /// -------
    /// float or ndarray
    ///     Volume of the temperature's shape [L].
    ///
    /// Raises
    /// ------
    /// FluidError
    ///     If a temperature is outside the range, or a table does not reach 15 °C.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> oil = fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)
    /// >>> oil.volume_l_at(volume_15c_l=7.0, temperature_c=[15.0, 90.0]).round(2)
    /// array([7.  , 7.41])
    #[pyo3(signature = (*, volume_15c_l, temperature_c))]
    fn volume_l_at(
        &self,
        py: Python<'_>,
        volume_15c_l: Scalar<'_, Litre>,
        temperature_c: Values<'_, DegreeCelsius>,
    ) -> PyResult<FloatOrArray> {
        let volume = Volume::new::<cubic_meter>(volume_15c_l.si("volume_15c_l")?);
        self.at::<Litre>(py, &temperature_c, move |fluid, t| Ok(fluid.volume_at(volume, t)?.get::<cubic_meter>()))
    }

    /// Density at 15 °C [kg/m3].
    #[getter]
    fn density_15c_kg_m3(&self) -> f64 {
        let density = match self.inner.density_law() {
            DensityLaw::Oil(law) => law.density_15c(), // as given, not through the correction
            _ => self.inner.density_15c(),
        };
        density.get::<kilogram_per_cubic_meter>()
    }

    /// Kinematic viscosity at 40 °C [mm2/s]; None for a fluid without viscosity.
    #[getter]
    fn kv40_mm2_s(&self) -> Option<f64> {
        self.inner.kv40().map(|nu| shortest::<SquareMillimetrePerSecond>(nu.get::<square_meter_per_second>()))
    }

    /// Kinematic viscosity at 100 °C [mm2/s]; None for a fluid without viscosity.
    #[getter]
    fn kv100_mm2_s(&self) -> Option<f64> {
        self.inner.kv100().map(|nu| shortest::<SquareMillimetrePerSecond>(nu.get::<square_meter_per_second>()))
    }

    /// Viscosity index of ASTM D2270, not rounded [1]; None for a fluid without viscosity.
    ///
    /// The standard reports the nearest whole number. A `FluidError` if the viscosity at 100 °C is below 2 mm2/s.
    #[getter]
    fn viscosity_index(&self) -> PyResult<Option<f64>> {
        self.inner.kv40().map(|_| self.inner.viscosity_index().map_err(errors::to_py)).transpose()
    }

    /// Edition of API MPMS 11.1 that the volume correction follows; None for a fluid that is no oil.
    #[getter]
    fn edition(&self) -> Option<&'static str> {
        match self.inner.density_law() {
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

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.recipe.repr(py, "Fluid")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.recipe.reduce::<Self>(py)
    }
}

impl PyFluid {
    /// An equal fluid.
    fn copied(&self, py: Python<'_>) -> Self {
        Self { inner: self.inner.clone(), grade: self.grade.clone(), recipe: self.recipe.copied(py) }
    }

    /// Another oil of the grade, by the same edition of the volume correction.
    fn sibling(&self, py: Python<'_>, grade: &GradeOil, shares: [f64; 3]) -> PyResult<Self> {
        let [density, viscosity, index] = shares;
        let label = grade.label.to_string();
        let mut oil = Self::of_grade(py, &label, density, viscosity, index)?;
        if let DensityLaw::Oil(law) = self.inner.density_law() {
            oil.inner = oil.inner.with_edition(law.edition());
        }
        Ok(oil)
    }

    /// A fluid of which only the density is known.
    fn plain(law: DensityLaw, recipe: Recipe) -> Self {
        Self { inner: Fluid::new(law), grade: None, recipe }
    }

    /// Name, window and unit of what the grade leaves open.
    fn grade_windows(&self) -> Vec<(&'static str, crate::fluid::grades::Window, &'static str)> {
        let Some(grade) = &self.grade else {
            return Vec::new();
        };
        let viscosity = if grade.temperature_c > 40.0 { "kv100" } else { "kv40" };
        vec![
            ("density_15c", grade.density_15c, "kg/m3"),
            (viscosity, grade.viscosity, "mm2/s"),
            ("viscosity_index", grade.viscosity_index, "1"),
        ]
    }

    /// A property over temperatures; `property` gives SI, the result is in `U`.
    fn at<U: Unit>(
        &self,
        py: Python<'_>,
        temperature_c: &Values<'_, DegreeCelsius>,
        property: impl Fn(&Fluid, ThermodynamicTemperature) -> Result<f64, FluidError> + Send + Clone,
    ) -> PyResult<FloatOrArray> {
        let fluid = self.inner.clone();
        let temperatures = temperature_c.read("temperature_c")?;
        temperatures.map::<U, _, _>(py, move |t| property(&fluid, degrees(t)))
    }
}

/// An oil through two viscosity points in deg C and mm2/s.
fn through(density: f64, points: Points) -> Result<Fluid, FluidError> {
    let point = |(t, nu): (f64, f64)| (degrees(t), mm2_s(nu));
    let line = ViscosityLine::through(point(points.0), point(points.1))?;
    Ok(Fluid::new(DensityLaw::Oil(LubeExpansion::new(kg_m3(density))?)).with_line(line))
}

fn kg_m3(density: f64) -> MassDensity {
    MassDensity::new::<kilogram_per_cubic_meter>(density)
}

/// From the number in the unit of the suffix, by its exact factor.
fn mm2_s(nu: f64) -> KinematicViscosity {
    KinematicViscosity::new::<square_meter_per_second>(SquareMillimetrePerSecond::to_si(nu))
}

pub(super) fn degrees(celsius: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(celsius)
}

/// The edition that a word names.
fn read_edition(word: &str) -> PyResult<Edition> {
    match word {
        "2004" => Ok(Edition::V2004),
        "1980" => Ok(Edition::V1980),
        other => Err(errors::quantity(
            format!("edition = {other:?}; accepted are \"2004\" and \"1980\""),
            "quantity.unknown_word",
        )),
    }
}

/// The word of an edition.
fn edition_text(edition: Edition) -> &'static str {
    match edition {
        Edition::V2004 => "2004",
        Edition::V1980 => "1980",
    }
}
