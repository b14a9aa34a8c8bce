//! Rates: what leaks, is used up or gets in over time, until it is stopped.

use pyo3::prelude::*;

use super::errors;
use super::events::{Event, Stands, event};
use super::text::Text;
use super::unit::LitrePerMinute;
use super::value::Input;
use crate::service::{Action, Foreign, When};

fn when_of(word: &str) -> PyResult<When> {
    match word {
        "running" => Ok(When::Running),
        "always" => Ok(When::Always),
        other => Err(errors::quantity(
            format!("when = {other:?}: \"running\" or \"always\" is wanted"),
            "quantity.unknown_word",
        )),
    }
}

fn component_of(word: &str) -> PyResult<Foreign> {
    match word {
        "fuel" => Ok(Foreign::Fuel),
        "coolant" => Ok(Foreign::Coolant),
        "water" => Ok(Foreign::Water),
        other => Err(errors::quantity(
            format!("component = {other:?}: \"fuel\", \"coolant\" or \"water\" is wanted"),
            "quantity.unknown_word",
        )),
    }
}

/// Name of what gets in.
pub(super) fn component_word(component: Foreign) -> &'static str {
    match component {
        Foreign::Fuel => "fuel",
        Foreign::Coolant => "coolant",
        Foreign::Water => "water",
    }
}

/// Lets liquid leak out of the sump onto the floor, from now on until `Stop`.
///
/// Parameters
/// ----------
/// rate_l_min : quantity
///     Volume at 15 °C per time [L/min]; text such as ``"0.2 L/h"`` is taken as well.
/// when : {"always", "running"}, optional
///     When it acts.
/// label : str, optional
///     Name by which `Stop` ends it.
/// attitude : Attitude or str, optional
///     How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.Leak("7 L/min", when="running", label="two gaskets")
/// Leak(rate_l_min='7 L/min', when='running', label='two gaskets')
#[pyclass(frozen, extends = Event, module = "fillmark")]
pub(super) struct Leak;

#[pymethods]
impl Leak {
    #[new]
    #[pyo3(signature = (rate_l_min, *, when="always", label=None, attitude=None))]
    fn new(
        rate_l_min: Input<'_, LitrePerMinute>,
        when: &str,
        label: Option<Text>,
        attitude: Option<Stands<'_>>,
    ) -> PyResult<PyClassInitializer<Self>> {
        let action = Action::Leak { rate: rate_l_min.value("rate_l_min")?, when: when_of(when)? };
        Ok(event(action, label, attitude)?.add_subclass(Self))
    }
}

/// Lets the engine use oil up, from now on until `Stop`.
///
/// Parameters
/// ----------
/// rate_l_min : quantity
///     Volume at 15 °C per time [L/min]; text such as ``"0.2 L/h"`` is taken as well.
/// when : {"always", "running"}, optional
///     When it acts.
/// label : str, optional
///     Name by which `Stop` ends it.
/// attitude : Attitude or str, optional
///     How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.Use("0.03 L/h")
/// Use(rate_l_min='0.03 L/h')
#[pyclass(frozen, extends = Event, module = "fillmark")]
pub(super) struct Use;

#[pymethods]
impl Use {
    #[new]
    #[pyo3(signature = (rate_l_min, *, when="running", label=None, attitude=None))]
    fn new(
        rate_l_min: Input<'_, LitrePerMinute>,
        when: &str,
        label: Option<Text>,
        attitude: Option<Stands<'_>>,
    ) -> PyResult<PyClassInitializer<Self>> {
        let action = Action::Use { rate: rate_l_min.value("rate_l_min")?, when: when_of(when)? };
        Ok(event(action, label, attitude)?.add_subclass(Self))
    }
}

/// Lets something get into the sump, from now on until `Stop`.
///
/// Parameters
/// ----------
/// component : {"fuel", "coolant", "water"}
///     What gets in.
/// rate_l_min : quantity
///     Volume at 15 °C per time [L/min]; text such as ``"0.2 L/h"`` is taken as well.
/// when : {"always", "running"}, optional
///     When it acts.
/// label : str, optional
///     Name by which `Stop` ends it.
/// attitude : Attitude or str, optional
///     How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.Ingress("fuel", "20 mL/min", label="stuck injector")
/// Ingress('fuel', rate_l_min='20 mL/min', label='stuck injector')
#[pyclass(frozen, extends = Event, module = "fillmark")]
pub(super) struct Ingress;

#[pymethods]
impl Ingress {
    #[new]
    #[pyo3(signature = (component, rate_l_min, *, when="running", label=None, attitude=None))]
    fn new(
        component: &str,
        rate_l_min: Input<'_, LitrePerMinute>,
        when: &str,
        label: Option<Text>,
        attitude: Option<Stands<'_>>,
    ) -> PyResult<PyClassInitializer<Self>> {
        let component = component_of(component)?;
        let action = Action::Ingress { component, rate: rate_l_min.value("rate_l_min")?, when: when_of(when)? };
        Ok(event(action, label, attitude)?.add_subclass(Self))
    }
}

/// Ends the rate that was begun under a label.
///
/// Parameters
/// ----------
/// rate : str
///     Label of the `Leak`, `Use` or `Ingress`.
/// label : str, optional
///     Name under which its row is found again.
/// attitude : Attitude or str, optional
///     How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.Stop("two gaskets")
/// Stop('two gaskets')
#[pyclass(frozen, extends = Event, module = "fillmark")]
pub(super) struct Stop;

#[pymethods]
impl Stop {
    #[new]
    #[pyo3(signature = (rate, *, label=None, attitude=None))]
    fn new(rate: String, label: Option<Text>, attitude: Option<Stands<'_>>) -> PyResult<PyClassInitializer<Self>> {
        Ok(event(Action::Stop { rate }, label, attitude)?.add_subclass(Self))
    }
}
