//! Wiping and reading the stick.

use pyo3::prelude::*;

use super::errors;
use super::events::{Event, Stands, event};
use super::text::Text;
use super::unit::{Millimetre, Pascal};
use super::value::Input;
use crate::service::{Action, Face, HowRead};

/// Wipes the stick: a pour or a run leaves it smeared.
///
/// Parameters
/// ----------
/// label : str, optional
///     Name under which its row is found again.
/// attitude : Attitude or str, optional
///     How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.Wipe()
/// Wipe()
#[pyclass(frozen, extends = Event, module = "fillmark")]
pub(super) struct Wipe;

#[pymethods]
impl Wipe {
    #[new]
    #[pyo3(signature = (*, label=None, attitude=None))]
    fn new(label: Option<Text>, attitude: Option<Stands<'_>>) -> PyResult<PyClassInitializer<Self>> {
        Ok(event(Action::Wipe, label, attitude)?.add_subclass(Self))
    }
}

/// Reads the stick.
///
/// What is stated here holds for this reading only, where it departs from the circuit's stick in order.
///
/// Parameters
/// ----------
/// label : str, optional
///     Name under which the reading is found again.
/// attitude : Attitude or str, optional
///     How the vehicle stands for this reading only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.
/// smear_mm : quantity, optional
///     Height of the smear left on the blade [mm], counted whether it was wiped or not; else ``dipstick.smear`` on a stick that
///     was not wiped since the last pour or run.
/// seat_offset_mm : quantity, optional
///     How far the stick stands proud of its seat [mm], on top of the circuit's own; it then reads low.
/// tube_pressure_pa : quantity, optional
///     Pressure in the crankcase less that in the tube [Pa], in place of the circuit's; positive reads high.
/// face : {"lower", "higher"}, optional
///     Side of the blade that is read; the lower one is right.
/// stick : str, optional
///     Another stick of the circuit, by name.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.Read(label="first dip")
/// Read(label='first dip')
/// >>> fm.Read(seat_offset_mm="5 mm")
/// Read(seat_offset_mm='5 mm')
#[pyclass(frozen, extends = Event, module = "fillmark")]
pub(super) struct Read;

#[pymethods]
impl Read {
    #[new]
    #[allow(clippy::too_many_arguments)] // as many as Python's keywords
    #[pyo3(signature = (*, label=None, attitude=None, smear_mm=None, seat_offset_mm=None, tube_pressure_pa=None, face="lower", stick=None))]
    fn new(
        label: Option<Text>,
        attitude: Option<Stands<'_>>,
        smear_mm: Option<Input<'_, Millimetre>>,
        seat_offset_mm: Option<Input<'_, Millimetre>>,
        tube_pressure_pa: Option<Input<'_, Pascal>>,
        face: &str,
        stick: Option<String>,
    ) -> PyResult<PyClassInitializer<Self>> {
        let face = match face {
            "lower" => Face::Lower,
            "higher" => Face::Higher,
            other => {
                return Err(errors::quantity(
                    format!("face = {other:?}: \"lower\" or \"higher\" is wanted"),
                    "quantity.unknown_word",
                ));
            }
        };
        let how = HowRead {
            smear: smear_mm.map(|v| v.value("smear_mm")).transpose()?,
            seat_offset: seat_offset_mm.map(|v| v.value("seat_offset_mm")).transpose()?,
            tube_pressure: tube_pressure_pa.map(|v| v.value("tube_pressure_pa")).transpose()?,
            face,
            stick,
        };
        Ok(event(Action::Read(how), label, attitude)?.add_subclass(Self))
    }
}
