//! Grades, blends and the metal of a sump for Python.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use uom::si::f64::{KinematicViscosity, Ratio};
use uom::si::kinematic_viscosity::square_meter_per_second;
use uom::si::ratio::ratio;

use super::arrays::{FloatOrArray, ToArray, Values, texts};
use super::errors;
use super::fluid::degrees;
use super::quantity::Scalar;
use super::unit::{DegreeCelsius, One, SquareMillimetrePerSecond, Unit};
use crate::fluid::grades::{self as core, Grade, Standard, Upper, j300, j306};
use crate::fluid::{BlendRule, Metal, blend};

/// Every single grade of three viscosity classifications, as columns.
///
/// SAE J300 (edition 202405, 14 grades, engine oils), SAE J306 (edition 201902, 14 grades, gear lubricants), ISO 3448 (1992,
/// 20 classes, industrial lubricants): limits as in public reproductions of the standards. A multigrade such as
/// 10W-40 meets both of its grades.
///
/// Returns
/// -------
/// dict of str to numpy.ndarray
///     ``standard``, ``edition``, ``grade``; ``temperature_c`` of the kinematic viscosity; ``low_mm2_s`` (may be reached),
///     ``high_mm2_s`` (infinite where open) and ``high_may_be_reached`` (ISO yes, SAE no); ``hths_mpa_s``, the lowest
///     viscosity at 150 °C and high shear (for grade 40 that of the single grade, 15W, 20W and 25W; 0W-, 5W- and 10W-40
///     need 3.5); ``cold_mpa_s`` at ``cold_c``, the highest cold viscosity (J300 cranking, J306 Brookfield);
///     ``pumping_mpa_s`` at ``pumping_c``. NaN where a standard sets no limit.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> table = fm.grades()
/// >>> forty = table["grade"] == "40"
/// >>> table["low_mm2_s"][forty], table["high_mm2_s"][forty]
/// (array([12.5]), array([16.3]))
#[pyfunction]
pub(super) fn grades(py: Python<'_>) -> PyResult<Bound<'_, PyDict>> {
    let all = core::grades();
    let columns = PyDict::new(py);
    columns.set_item("standard", texts(py, all.iter().map(|g| standard_text(g.standard)).collect())?)?;
    columns.set_item("edition", texts(py, all.iter().map(|g| g.edition).collect())?)?;
    columns.set_item("grade", texts(py, all.iter().map(|g| g.name.as_str()).collect())?)?;
    let numbers = |name: &str, of: &dyn Fn(&Grade) -> f64| {
        columns.set_item(name, all.iter().map(of).collect::<Vec<_>>().array(py)?)
    };
    numbers("temperature_c", &|g| g.temperature_c)?;
    numbers("low_mm2_s", &|g| g.low_mm2_s)?;
    numbers("high_mm2_s", &|g| match g.high_mm2_s {
        Upper::Open => f64::INFINITY,
        Upper::Below(high) | Upper::UpTo(high) => high,
    })?;
    numbers("hths_mpa_s", &|g| j300_summer(g).map_or(f64::NAN, |s| s.hths_min))?;
    numbers("cold_mpa_s", &|g| cold(g).0)?;
    numbers("cold_c", &|g| cold(g).1)?;
    numbers("pumping_mpa_s", &|g| j300_winter(g).map_or(f64::NAN, |w| w.pumping_mpa_s))?;
    numbers("pumping_c", &|g| j300_winter(g).map_or(f64::NAN, |w| w.pumping_c))?;
    let reached: Vec<bool> = all.iter().map(|g| matches!(g.high_mm2_s, Upper::UpTo(_))).collect();
    columns.set_item("high_may_be_reached", reached.array(py)?)?;
    Ok(columns)
}

fn j300_winter(grade: &Grade) -> Option<&'static j300::WinterGrade> {
    j300::WINTER.iter().find(|w| grade.standard == Standard::SaeJ300 && w.name == grade.name)
}

fn j300_summer(grade: &Grade) -> Option<&'static j300::SummerGrade> {
    j300::SUMMER.iter().find(|s| grade.standard == Standard::SaeJ300 && s.name == grade.name)
}

/// Highest cold viscosity in mPa.s and its temperature in deg C; NaN where there is no limit.
fn cold(grade: &Grade) -> (f64, f64) {
    if let Some(w) = j300_winter(grade) {
        return (w.cranking_mpa_s, w.cranking_c);
    }
    let gear = j306::WINTER.iter().find(|w| grade.standard == Standard::SaeJ306 && w.name == grade.name);
    gear.and_then(|w| w.thick_below_c).map_or((f64::NAN, f64::NAN), |t| (150e3, t))
}

/// The SAE grades without a W whose window holds a kinematic viscosity at 100 °C.
///
/// The windows of J300 grades 8, 12, 16 and 20 overlap, so there may be several; section 6 of J300 says how to choose.
///
/// Parameters
/// ----------
/// kv100_mm2_s : quantity
///     Kinematic viscosity at 100 °C [mm2/s].
/// standard : {"SAE J300", "SAE J306"}
///     Engine oils or gear lubricants.
///
/// Returns
/// -------
/// tuple of str
///     Thinnest first; empty where no window holds it.
///
/// Raises
/// ------
/// FluidError
///     If the viscosity is not above 0.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.classify_kv100(kv100_mm2_s=12.5)
/// ('40',)
/// >>> fm.classify_kv100(kv100_mm2_s=7.0)
/// ('12', '16', '20')
#[pyfunction]
#[pyo3(signature = (*, kv100_mm2_s, standard = "SAE J300"))]
pub(super) fn classify_kv100<'py>(
    py: Python<'py>,
    kv100_mm2_s: Scalar<'_, SquareMillimetrePerSecond>,
    standard: &str,
) -> PyResult<Bound<'py, PyTuple>> {
    let standard = match standard {
        "SAE J300" => Standard::SaeJ300,
        "SAE J306" => Standard::SaeJ306,
        other => {
            let text = format!("standard = {other:?}; accepted are \"SAE J300\" and \"SAE J306\"");
            return Err(errors::quantity(text, "quantity.unknown_word"));
        }
    };
    classes(py, standard, kv100_mm2_s.si("kv100_mm2_s")?)
}

/// The ISO 3448 class whose window holds a kinematic viscosity at 40 °C.
///
/// Parameters
/// ----------
/// kv40_mm2_s : quantity
///     Kinematic viscosity at 40 °C [mm2/s].
///
/// Returns
/// -------
/// tuple of str
///     One class, or none between classes.
///
/// Raises
/// ------
/// FluidError
///     If the viscosity is not above 0.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.classify_iso_vg(kv40_mm2_s=44.0)
/// ('ISO VG 46',)
#[pyfunction]
#[pyo3(signature = (*, kv40_mm2_s))]
pub(super) fn classify_iso_vg<'py>(
    py: Python<'py>,
    kv40_mm2_s: Scalar<'_, SquareMillimetrePerSecond>,
) -> PyResult<Bound<'py, PyTuple>> {
    classes(py, Standard::Iso3448, kv40_mm2_s.si("kv40_mm2_s")?)
}

fn classes(py: Python<'_>, standard: Standard, nu: f64) -> PyResult<Bound<'_, PyTuple>> {
    let nu = KinematicViscosity::new::<square_meter_per_second>(nu);
    PyTuple::new(py, core::classify(standard, nu).map_err(errors::to_py)?.into_iter().map(|g| g.name))
}

/// Probability that an oil conforms to a grade, from one measurement with its uncertainty.
///
/// ``Phi((T_U - y)/u) - Phi((T_L - y)/u)`` for a normal distribution without prior knowledge (JCGM 106:2012, clause 7).
///
/// Parameters
/// ----------
/// grade : str
///     Such as ``"40"``, ``"10W-40"`` (both parts must hold) or ``"ISO VG 46"``.
/// measured_mm2_s : quantity
///     Measured kinematic viscosity [mm2/s], at 100 °C for SAE grades and 40 °C for ISO classes.
/// standard_uncertainty_mm2_s : quantity
///     Its standard uncertainty [mm2/s], above 0.
///
/// Returns
/// -------
/// float
///     Probability that the true viscosity is within the grade's window [1].
///
/// Raises
/// ------
/// FluidError
///     If the grade is unknown; near ones are listed.
/// QuantityError
///     If a number is not above 0.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> round(fm.conformity_probability("SAE 40", measured_mm2_s=13.6, standard_uncertainty_mm2_s=1.8), 4)
/// 0.6626
#[pyfunction]
#[pyo3(signature = (grade, *, measured_mm2_s, standard_uncertainty_mm2_s))]
pub(super) fn conformity_probability(
    grade: &str,
    measured_mm2_s: Scalar<'_, SquareMillimetrePerSecond>,
    standard_uncertainty_mm2_s: Scalar<'_, SquareMillimetrePerSecond>,
) -> PyResult<f64> {
    let nu = KinematicViscosity::new::<square_meter_per_second>;
    let measured = nu(measured_mm2_s.si("measured_mm2_s")?);
    let uncertainty = nu(standard_uncertainty_mm2_s.si("standard_uncertainty_mm2_s")?);
    let grade = core::grade(grade).map_err(errors::to_py)?;
    grade.conformity(measured, uncertainty).map_err(errors::to_py)
}

/// Kinematic viscosity of a blend, such as fuel in oil, all parts and the result at one temperature.
///
/// ASTM D7152 averages ``ln ln Z`` (Z as in ASTM D341) by volume, Refutas' rule the blending number
/// ``14.534 ln ln (nu + 0.8) + 10.975`` by mass (both from memory). They agree within some 10 % for fuel in oil; good to
/// about 5 % for base oils of one kind and 15 % for a light fuel in a finished oil (judgement).
///
/// Parameters
/// ----------
/// rule : {"ASTM D7152", "Refutas"}
///     How the parts are averaged.
/// fractions : array
///     Share of each part, by volume (ASTM D7152) or by mass (Refutas) [1]; they add up to 1.
/// kinematic_viscosity_mm2_s : array
///     Kinematic viscosity of each part [mm2/s], 0.21 to 2e7.
///
/// Returns
/// -------
/// float
///     Kinematic viscosity of the blend [mm2/s].
///
/// Raises
/// ------
/// FluidError
///     If the fractions do not add up to 1 or a viscosity is outside the range.
/// ValueError
///     If the two have different lengths.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> round(fm.blend_viscosity_mm2_s("ASTM D7152", fractions=[0.95, 0.05], kinematic_viscosity_mm2_s=[14.3, 1.2]), 1)
/// 11.7
#[pyfunction]
#[pyo3(signature = (rule, *, fractions, kinematic_viscosity_mm2_s))]
pub(super) fn blend_viscosity_mm2_s(
    rule: &str,
    fractions: Values<'_, One>,
    kinematic_viscosity_mm2_s: Values<'_, SquareMillimetrePerSecond>,
) -> PyResult<f64> {
    let rule = match rule {
        "ASTM D7152" => BlendRule::D7152,
        "Refutas" => BlendRule::Refutas,
        other => {
            let text = format!("rule = {other:?}; accepted are \"ASTM D7152\" and \"Refutas\"");
            return Err(errors::quantity(text, "quantity.unknown_word"));
        }
    };
    let shares = fractions.read("fractions")?.flat();
    let nus = kinematic_viscosity_mm2_s.read("kinematic_viscosity_mm2_s")?.flat();
    if shares.len() != nus.len() {
        let text = format!("fractions has {} values, kinematic_viscosity_mm2_s has {}", shares.len(), nus.len());
        return Err(errors::quantity(text, "quantity.wrong_length"));
    }
    let nu = |v: f64| KinematicViscosity::new::<square_meter_per_second>(SquareMillimetrePerSecond::to_si(v));
    let parts: Vec<_> = shares.iter().zip(&nus).map(|(f, v)| (Ratio::new::<ratio>(*f), nu(*v))).collect();
    let mixed = blend::blend(rule, &parts).map_err(errors::to_py)?;
    Ok(SquareMillimetrePerSecond::from_si(mixed.get::<square_meter_per_second>()))
}

/// How much more a sump of a metal holds when it is warm: capacity over capacity at a reference temperature.
///
/// ``1 + beta (t - t_reference)`` with beta = 3.35e-5, 5.18e-5, 4.77e-5 (mild steel, stainless 304 and 316: API MPMS
/// 12.2, from memory) or 6.6e-5 per kelvin (cast aluminium: three times 22e-6; NADCA, table A-3-2, alloy 380).
///
/// Parameters
/// ----------
/// metal : {"mild steel", "stainless 304", "stainless 316", "cast aluminium"}
///     What the sump is made of.
/// temperature_c : quantity or array
///     Its temperature [°C], -60 to 200.
/// reference_c : quantity
///     Temperature at which its capacity is known [°C]; 20 where not given.
///
/// Returns
/// -------
/// float or ndarray
///     Ratio of the temperature's shape [1].
///
/// Raises
/// ------
/// FluidError
///     If a temperature is outside the range.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> round(fm.capacity_ratio("cast aluminium", temperature_c=90.0), 5)
/// 1.00462
#[pyfunction]
#[pyo3(signature = (metal, *, temperature_c, reference_c = None))]
pub(super) fn capacity_ratio(
    py: Python<'_>,
    metal: &str,
    temperature_c: Values<'_, DegreeCelsius>,
    reference_c: Option<Scalar<'_, DegreeCelsius>>,
) -> PyResult<FloatOrArray> {
    let metal = read_metal(metal)?;
    let reference = degrees(reference_c.map_or(Ok(20.0), |t| t.number("reference_c"))?);
    let temperatures = temperature_c.read("temperature_c")?;
    temperatures.map::<One, _, _>(py, move |t| {
        Ok::<_, crate::fluid::FluidError>(metal.capacity_ratio(degrees(t), reference)?.get::<ratio>())
    })
}

/// The metal that a word names.
pub(super) fn read_metal(word: &str) -> PyResult<Metal> {
    match word {
        "mild steel" => Ok(Metal::MildSteel),
        "stainless 304" => Ok(Metal::Stainless304),
        "stainless 316" => Ok(Metal::Stainless316),
        "cast aluminium" => Ok(Metal::CastAluminium),
        other => Err(errors::quantity(
            format!(
                "metal = {other:?}; accepted are \"mild steel\", \"stainless 304\", \"stainless 316\" and \"cast aluminium\""
            ),
            "quantity.unknown_word",
        )),
    }
}

/// How a standard is written.
fn standard_text(standard: Standard) -> &'static str {
    match standard {
        Standard::SaeJ300 => "SAE J300",
        Standard::SaeJ306 => "SAE J306",
        Standard::Iso3448 => "ISO 3448",
    }
}
