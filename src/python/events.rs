//! Events of a service. One base class carries the core's event; every kind of event is a constructor for it.

use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyIterator, PyString};

use super::errors;
use super::geometry::Attitude;
use super::quantity::shown;
use super::rates::{Ingress, Leak, Stop, Use};
use super::reads::{Read, Wipe};
use super::text::Text;
use super::unit::{DegreeCelsius, Hour, Kilogram, Litre, Minute, Second};
use super::value::Input;
use crate::circuit::spec::AttitudeSpec;
use crate::service::{Action, Amount, Event as CoreEvent, Face, When};
use crate::units::{Mass, Time, Value, Volume};

/// One step of a service: what is done, with an optional label and an attitude that holds for this event only.
///
/// Made by its kinds, such as `Drain`, `Pour` or `Read`; immutable, compared by value.
#[pyclass(frozen, eq, subclass, module = "fillmark")]
#[derive(Clone, PartialEq)]
pub(super) struct Event {
    pub(super) inner: CoreEvent,
}

#[pymethods]
impl Event {
    /// The label, if any.
    #[getter]
    fn label(&self) -> Option<&str> {
        self.inner.label.as_deref()
    }

    /// The event as JSON text.
    ///
    /// Returns
    /// -------
    /// str
    ///     Values and units as written.
    fn to_json(&self) -> PyResult<String> {
        serde_json::to_string(&self.inner).map_err(|e| errors::internal(&e.to_string()))
    }

    /// An event from its JSON text, as `to_json` gives it.
    ///
    /// Parameters
    /// ----------
    /// text : str
    ///     One event.
    ///
    /// Returns
    /// -------
    /// Event
    ///     Of the kind that the text says.
    ///
    /// Raises
    /// ------
    /// CircuitError
    ///     With the line, the key and the nearest known key.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> fm.Event.from_json(fm.Read(label="first dip").to_json())
    /// Read(label='first dip')
    #[staticmethod]
    #[allow(clippy::needless_pass_by_value)] // as an argument comes
    fn from_json(py: Python<'_>, text: Text) -> PyResult<Py<Event>> {
        let inner: CoreEvent = crate::circuit::read_text(&text).map_err(errors::to_py)?;
        wrap(py, inner)
    }

    /// An event from its line of text, as ``str`` gives it.
    ///
    /// Parameters
    /// ----------
    /// text : str
    ///     One line; `Service` says how events are written.
    ///
    /// Returns
    /// -------
    /// Event
    ///     Of the kind that the line begins with.
    ///
    /// Raises
    /// ------
    /// ServiceError
    ///     With line and column, the word, what is accepted there and the nearest of it.
    ///
    /// Examples
    /// --------
    /// >>> import fillmark as fm
    /// >>> fm.Event.from_text("pour 6.9 L with jug")
    /// Pour('6.9 L', measured_with='jug')
    /// >>> print(fm.Drain(minutes=10, temperature_c=60))
    /// drain 10 min at 60 degC
    #[staticmethod]
    #[allow(clippy::needless_pass_by_value)] // as an argument comes
    fn from_text(py: Python<'_>, text: Text) -> PyResult<Py<Event>> {
        wrap(py, CoreEvent::parse(&text).map_err(errors::to_py)?)
    }

    fn __str__(&self) -> String {
        self.inner.to_string()
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        Written(&self.inner).call(py)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, (String,))> {
        Ok((py.get_type::<Self>().getattr("from_json")?, (self.to_json()?,)))
    }
}

/// An event of the right kind around the core's event.
pub(super) fn wrap(py: Python<'_>, inner: CoreEvent) -> PyResult<Py<Event>> {
    macro_rules! of_kind {
        ($kind:ident) => {
            Py::new(py, PyClassInitializer::from(Event { inner }).add_subclass($kind))?
                .into_bound(py)
                .into_super()
                .unbind()
        };
    }
    Ok(match inner.action {
        Action::OpenPlug { .. } => of_kind!(OpenPlug),
        Action::ClosePlug { .. } => of_kind!(ClosePlug),
        Action::RemoveFilter => of_kind!(RemoveFilter),
        Action::FitFilter { .. } => of_kind!(FitFilter),
        Action::Drain { .. } => of_kind!(Drain),
        Action::ChangeFilter { .. } => of_kind!(ChangeFilter),
        Action::Pour { .. } => of_kind!(Pour),
        Action::Withdraw { .. } => of_kind!(Withdraw),
        Action::Run { .. } => of_kind!(Run),
        Action::Rest { .. } => of_kind!(Rest),
        Action::Tilt { .. } => of_kind!(Tilt),
        Action::Leak { .. } => of_kind!(Leak),
        Action::Use { .. } => of_kind!(Use),
        Action::Ingress { .. } => of_kind!(Ingress),
        Action::Stop { .. } => of_kind!(Stop),
        Action::Wipe => of_kind!(Wipe),
        Action::Read(_) => of_kind!(Read),
    })
}

/// Events in order, as a Python iterable.
pub(super) struct Events<'py>(pub(super) Bound<'py, PyAny>);

impl<'py> FromPyObject<'_, 'py> for Events<'py> {
    type Error = PyErr;
    #[cfg(feature = "stubs")]
    const INPUT_TYPE: pyo3::inspect::PyStaticExpr = pyo3::type_hint_identifier!("fillmark._types", "Events");

    fn extract(object: Borrowed<'_, 'py, PyAny>) -> PyResult<Self> {
        Ok(Self(object.to_owned()))
    }
}

/// Iterates over events, for Python.
pub(super) struct EventIterator<'py>(pub(super) Bound<'py, PyIterator>);

impl<'py> IntoPyObject<'py> for EventIterator<'py> {
    type Target = PyAny;
    type Output = Bound<'py, PyAny>;
    type Error = PyErr;
    #[cfg(feature = "stubs")]
    const OUTPUT_TYPE: pyo3::inspect::PyStaticExpr = pyo3::type_hint_identifier!("fillmark._types", "EventIterator");

    fn into_pyobject(self, _: Python<'py>) -> PyResult<Self::Output> {
        Ok(self.0.into_any())
    }
}

impl Events<'_> {
    /// The core's events; `name` is the argument's.
    pub(super) fn read(&self, name: &str) -> PyResult<Vec<CoreEvent>> {
        let iterator = self.0.try_iter().map_err(|_| refused(name, &self.0))?;
        let mut read = Vec::with_capacity(self.0.len().unwrap_or(0));
        for (i, event) in iterator.enumerate() {
            let event = event?;
            let known = event.cast::<Event>().map_err(|_| refused(&format!("{name}[{i}]"), &event))?;
            read.push(known.get().inner.clone());
        }
        Ok(read)
    }
}

fn refused(place: &str, object: &Bound<'_, PyAny>) -> PyErr {
    let kind = object.get_type().name().map_or_else(|_| "object".into(), |n| n.to_string());
    PyTypeError::new_err(format!("{place} is of type {kind}; a list of events such as Drain, Pour, Read is wanted"))
}

/// Writes the constructor call of an event.
struct Written<'a>(&'a CoreEvent);

impl Written<'_> {
    fn call(&self, py: Python<'_>) -> PyResult<String> {
        let mut args: Vec<String> = Vec::new();
        let text = |s: &str| PyString::new(py, s).repr().map(|r| r.to_string());
        let named = |args: &mut Vec<String>, name: &str, written: Option<&str>| -> PyResult<()> {
            if let Some(written) = written {
                args.push(format!("{name}={}", text(written)?));
            }
            Ok(())
        };
        match &self.0.action {
            Action::OpenPlug { plug, temperature } => {
                named(&mut args, "plug", plug.as_deref())?;
                named(&mut args, "temperature_c", temperature.as_ref().map(Value::written))?;
            }
            Action::ClosePlug { plug } => named(&mut args, "plug", plug.as_deref())?,
            Action::RemoveFilter | Action::Wipe => {}
            Action::FitFilter { primed, net_volume, temperature }
            | Action::ChangeFilter { primed, net_volume, temperature } => {
                named(&mut args, "primed_l", Some(primed.written()))?;
                named(&mut args, "net_volume_l", net_volume.as_ref().map(Value::written))?;
                named(&mut args, "temperature_c", temperature.as_ref().map(Value::written))?;
            }
            Action::Drain { plug, duration, temperature } => {
                named(&mut args, "minutes", Some(duration.written()))?;
                named(&mut args, "temperature_c", temperature.as_ref().map(Value::written))?;
                named(&mut args, "plug", plug.as_deref())?;
            }
            Action::Pour { amount, temperature, measured_with } => {
                args.push(written_amount(amount, &text)?);
                named(&mut args, "temperature_c", temperature.as_ref().map(Value::written))?;
                named(&mut args, "measured_with", measured_with.as_deref())?;
            }
            Action::Withdraw { amount, measured_with } => {
                args.push(written_amount(amount, &text)?);
                named(&mut args, "measured_with", measured_with.as_deref())?;
            }
            Action::Run { duration, temperature } => {
                named(&mut args, "minutes", Some(duration.written()))?;
                named(&mut args, "temperature_c", temperature.as_ref().map(Value::written))?;
            }
            Action::Rest { duration } => named(&mut args, "minutes", Some(duration.written()))?,
            Action::Tilt { attitude } => args.push(written_attitude(attitude, &text)?),
            Action::Leak { rate, when } => {
                named(&mut args, "rate_l_min", Some(rate.written()))?;
                named(&mut args, "when", (*when == When::Running).then_some("running"))?;
            }
            Action::Use { rate, when } => {
                named(&mut args, "rate_l_min", Some(rate.written()))?;
                named(&mut args, "when", (*when == When::Always).then_some("always"))?;
            }
            Action::Ingress { component, rate, when } => {
                args.push(text(super::rates::component_word(*component))?);
                named(&mut args, "rate_l_min", Some(rate.written()))?;
                named(&mut args, "when", (*when == When::Always).then_some("always"))?;
            }
            Action::Stop { rate } => args.push(text(rate)?),
            Action::Read(how) => {
                named(&mut args, "smear_mm", how.smear.as_ref().map(Value::written))?;
                named(&mut args, "seat_offset_mm", how.seat_offset.as_ref().map(Value::written))?;
                named(&mut args, "tube_pressure_pa", how.tube_pressure.as_ref().map(Value::written))?;
                named(&mut args, "face", (how.face == Face::Higher).then_some("higher"))?;
                named(&mut args, "stick", how.stick.as_deref())?;
            }
        }
        named(&mut args, "label", self.0.label.as_deref())?;
        if let Some(attitude) = &self.0.attitude {
            args.push(format!("attitude={}", written_attitude(attitude, &text)?));
        }
        Ok(format!("{}({})", self.0.action.name(), args.join(", ")))
    }
}

fn written_amount(amount: &Amount, text: &dyn Fn(&str) -> PyResult<String>) -> PyResult<String> {
    match amount {
        Amount::Volume(v) => text(v.written()),
        Amount::Mass(m) => Ok(format!("mass_kg={}", text(m.written())?)),
    }
}

fn written_attitude(attitude: &AttitudeSpec, text: &dyn Fn(&str) -> PyResult<String>) -> PyResult<String> {
    if !attitude.is_exact() {
        return text(&attitude.to_string());
    }
    let inner = attitude.nominal().map_err(errors::to_py)?;
    Ok(Attitude { inner }.__repr__())
}

/// The attitude of an event, kept as the degrees given.
fn attitude_spec(attitude: &Attitude) -> PyResult<AttitudeSpec> {
    let degrees = |d: f64| Value::exact(d, "deg").map_err(errors::to_py);
    Ok(AttitudeSpec {
        nose_up: degrees(attitude.inner.nose_up_deg())?,
        right_down: degrees(attitude.inner.right_down_deg())?,
    })
}

/// How an event says that the vehicle stands.
pub(super) struct Stands<'py>(Stance<'py>);

#[derive(FromPyObject)]
enum Stance<'py> {
    /// Exactly.
    Attitude(Bound<'py, Attitude>),
    /// In words, such as `nose up 2.0(5) deg`.
    Words(String),
}

impl<'py> FromPyObject<'_, 'py> for Stands<'py> {
    type Error = PyErr;
    #[cfg(feature = "stubs")]
    const INPUT_TYPE: pyo3::inspect::PyStaticExpr = <Stance<'py> as FromPyObject<'_, 'py>>::INPUT_TYPE;

    fn extract(object: Borrowed<'_, 'py, PyAny>) -> PyResult<Self> {
        object.extract().map(Self).map_err(|_| {
            let kind = object.get_type().name().map_or_else(|_| "object".into(), |n| n.to_string());
            PyTypeError::new_err(format!(
                "attitude = {} is of type {kind}; accepted are an Attitude, or words such as 'nose up 2.0(5) deg'",
                shown(&object)
            ))
        })
    }
}

impl Stands<'_> {
    fn read(&self) -> PyResult<AttitudeSpec> {
        match &self.0 {
            Stance::Attitude(attitude) => attitude_spec(attitude.get()),
            Stance::Words(words) => AttitudeSpec::parse(words).map_err(errors::to_py),
        }
    }
}

pub(super) fn event(
    action: Action,
    label: Option<Text>,
    attitude: Option<Stands<'_>>,
) -> PyResult<PyClassInitializer<Event>> {
    action.check().map_err(errors::to_py)?;
    let attitude = attitude.map(|a| a.read()).transpose()?;
    Ok(PyClassInitializer::from(Event { inner: CoreEvent { action, label: label.map(Into::into), attitude } }))
}

type Temperature<'py> = Option<Input<'py, DegreeCelsius>>;

fn temperature(given: &Temperature<'_>) -> PyResult<Option<Value<crate::units::Temperature>>> {
    given.as_ref().map(|t| t.value("temperature_c")).transpose()
}

/// A duration given in exactly one unit.
fn duration(
    minutes: Option<&Input<'_, Minute>>,
    seconds: Option<&Input<'_, Second>>,
    hours: Option<&Input<'_, Hour>>,
) -> PyResult<Value<Time>> {
    match (minutes, seconds, hours) {
        (Some(minutes), None, None) => minutes.value("minutes"),
        (None, Some(seconds), None) => seconds.value("seconds"),
        (None, None, Some(hours)) => hours.value("hours"),
        _ => Err(PyTypeError::new_err("give exactly one of minutes, seconds and hours")),
    }
}

/// An amount given by volume or by mass.
fn amount(volume_l: Option<&Input<'_, Litre>>, mass_kg: Option<&Input<'_, Kilogram>>) -> PyResult<Amount> {
    match (volume_l, mass_kg) {
        (Some(volume), None) => volume.value("volume_l").map(Amount::Volume).map_err(|e| {
            let is_mass = volume.value::<Mass>("volume_l").is_ok();
            if is_mass { errors::with_hint(volume.object().py(), e, "by weight it is mass_kg=") } else { e }
        }),
        (None, Some(mass)) => mass.value("mass_kg").map(Amount::Mass),
        _ => Err(PyTypeError::new_err("give exactly one of volume_l and mass_kg")),
    }
}

fn primed(given: Option<&Input<'_, Litre>>) -> PyResult<Value<Volume>> {
    given.map_or_else(|| Ok(Value::constant(0.0)), |p| p.value("primed_l"))
}

/// Takes a plug out, until `ClosePlug`: what stands above its heel leaves.
///
/// At once where the circuit states the heel, else over the rests that follow, along the curve of outflow.
///
/// Parameters
/// ----------
/// plug : str, optional
///     Name of the plug; needed only where the circuit has several.
/// temperature_c : quantity, optional
///     Temperature of everything in the circuit from now on [°C].
/// label : str, optional
///     Name under which its row is found again.
/// attitude : Attitude or str, optional
///     How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.OpenPlug(temperature_c=60)
/// OpenPlug(temperature_c='60 degC')
#[pyclass(frozen, extends = Event, module = "fillmark")]
pub(super) struct OpenPlug;

#[pymethods]
impl OpenPlug {
    #[new]
    #[pyo3(signature = (plug=None, *, temperature_c=None, label=None, attitude=None))]
    fn new(
        plug: Option<String>,
        temperature_c: Temperature<'_>,
        label: Option<Text>,
        attitude: Option<Stands<'_>>,
    ) -> PyResult<PyClassInitializer<Self>> {
        let action = Action::OpenPlug { plug, temperature: temperature(&temperature_c)? };
        Ok(event(action, label, attitude)?.add_subclass(Self))
    }
}

/// Puts the plug back.
///
/// Parameters
/// ----------
/// plug : str, optional
///     Name of the plug; all that are open where none is named.
/// label : str, optional
///     Name under which its row is found again.
/// attitude : Attitude or str, optional
///     How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.ClosePlug()
/// ClosePlug()
#[pyclass(frozen, extends = Event, module = "fillmark")]
pub(super) struct ClosePlug;

#[pymethods]
impl ClosePlug {
    #[new]
    #[pyo3(signature = (plug=None, *, label=None, attitude=None))]
    fn new(
        plug: Option<String>,
        label: Option<Text>,
        attitude: Option<Stands<'_>>,
    ) -> PyResult<PyClassInitializer<Self>> {
        Ok(event(Action::ClosePlug { plug }, label, attitude)?.add_subclass(Self))
    }
}

/// Opens the plug, waits, closes it.
///
/// Parameters
/// ----------
/// minutes, seconds, hours : quantity
///     How long it is left open; exactly one of the three.
/// temperature_c : quantity, optional
///     Temperature of everything in the circuit from now on [°C].
/// plug : str, optional
///     Name of the plug; needed only where the circuit has several.
/// label : str, optional
///     Name under which its row is found again.
/// attitude : Attitude or str, optional
///     How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.Drain(minutes=10, temperature_c=60)
/// Drain(minutes='10 min', temperature_c='60 degC')
#[pyclass(frozen, extends = Event, module = "fillmark")]
pub(super) struct Drain;

#[pymethods]
impl Drain {
    #[new]
    #[pyo3(signature = (minutes=None, *, seconds=None, hours=None, temperature_c=None, plug=None, label=None, attitude=None))]
    #[allow(clippy::too_many_arguments)] // keyword-only in Python
    fn new(
        minutes: Option<Input<'_, Minute>>,
        seconds: Option<Input<'_, Second>>,
        hours: Option<Input<'_, Hour>>,
        temperature_c: Temperature<'_>,
        plug: Option<String>,
        label: Option<Text>,
        attitude: Option<Stands<'_>>,
    ) -> PyResult<PyClassInitializer<Self>> {
        let duration = duration(minutes.as_ref(), seconds.as_ref(), hours.as_ref())?;
        let action = Action::Drain { plug, duration, temperature: temperature(&temperature_c)? };
        Ok(event(action, label, attitude)?.add_subclass(Self))
    }
}

/// Takes the filter off, with what it holds.
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
/// >>> fm.RemoveFilter()
/// RemoveFilter()
#[pyclass(frozen, extends = Event, module = "fillmark")]
pub(super) struct RemoveFilter;

#[pymethods]
impl RemoveFilter {
    #[new]
    #[pyo3(signature = (*, label=None, attitude=None))]
    fn new(label: Option<Text>, attitude: Option<Stands<'_>>) -> PyResult<PyClassInitializer<Self>> {
        Ok(event(Action::RemoveFilter, label, attitude)?.add_subclass(Self))
    }
}

/// Fits a new filter.
///
/// Parameters
/// ----------
/// primed_l : quantity, optional
///     New oil put into it beforehand [L]; it is part of the amount to pour, never extra.
/// net_volume_l : quantity, optional
///     What it holds when full [L]; as the circuit's filter where not stated.
/// temperature_c : quantity, optional
///     Temperature of that oil [°C]; the reference temperature where not stated.
/// label : str, optional
///     Name under which its row is found again.
/// attitude : Attitude or str, optional
///     How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.FitFilter(primed_l=0.2)
/// FitFilter(primed_l='0.2 L')
#[pyclass(frozen, extends = Event, module = "fillmark")]
pub(super) struct FitFilter;

#[pymethods]
impl FitFilter {
    #[new]
    #[pyo3(signature = (primed_l=None, *, net_volume_l=None, temperature_c=None, label=None, attitude=None))]
    fn new(
        primed_l: Option<Input<'_, Litre>>,
        net_volume_l: Option<Input<'_, Litre>>,
        temperature_c: Temperature<'_>,
        label: Option<Text>,
        attitude: Option<Stands<'_>>,
    ) -> PyResult<PyClassInitializer<Self>> {
        let action = Action::FitFilter {
            primed: primed(primed_l.as_ref())?,
            net_volume: net_volume_l.as_ref().map(|v| v.value("net_volume_l")).transpose()?,
            temperature: temperature(&temperature_c)?,
        };
        Ok(event(action, label, attitude)?.add_subclass(Self))
    }
}

/// Takes the filter off and fits a new one.
///
/// Parameters
/// ----------
/// primed_l : quantity, optional
///     New oil put into the new one beforehand [L]; it is part of the amount to pour, never extra.
/// net_volume_l : quantity, optional
///     What it holds when full [L]; as the circuit's filter where not stated.
/// temperature_c : quantity, optional
///     Temperature of that oil [°C]; the reference temperature where not stated.
/// label : str, optional
///     Name under which its row is found again.
/// attitude : Attitude or str, optional
///     How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.ChangeFilter(primed_l="0.2 US qt")
/// ChangeFilter(primed_l='0.2 US qt')
#[pyclass(frozen, extends = Event, module = "fillmark")]
pub(super) struct ChangeFilter;

#[pymethods]
impl ChangeFilter {
    #[new]
    #[pyo3(signature = (primed_l=None, *, net_volume_l=None, temperature_c=None, label=None, attitude=None))]
    fn new(
        primed_l: Option<Input<'_, Litre>>,
        net_volume_l: Option<Input<'_, Litre>>,
        temperature_c: Temperature<'_>,
        label: Option<Text>,
        attitude: Option<Stands<'_>>,
    ) -> PyResult<PyClassInitializer<Self>> {
        let action = Action::ChangeFilter {
            primed: primed(primed_l.as_ref())?,
            net_volume: net_volume_l.as_ref().map(|v| v.value("net_volume_l")).transpose()?,
            temperature: temperature(&temperature_c)?,
        };
        Ok(event(action, label, attitude)?.add_subclass(Self))
    }
}

/// Pours new oil into the sump.
///
/// Parameters
/// ----------
/// volume_l : quantity, optional
///     How much, as the instrument says [L].
/// mass_kg : quantity, optional
///     How much by weight [kg], instead of a volume.
/// temperature_c : quantity, optional
///     Temperature of the oil [°C]; the reference temperature where not stated.
/// measured_with : str, optional
///     Instrument of the circuit it is measured with; pours that share one share its error.
/// label : str, optional
///     Name under which its row is found again.
/// attitude : Attitude or str, optional
///     How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.Pour(6.9, measured_with="jug")
/// Pour('6.9 L', measured_with='jug')
#[pyclass(frozen, extends = Event, module = "fillmark")]
pub(super) struct Pour;

#[pymethods]
impl Pour {
    #[new]
    #[pyo3(signature = (volume_l=None, *, mass_kg=None, temperature_c=None, measured_with=None, label=None, attitude=None))]
    fn new(
        volume_l: Option<Input<'_, Litre>>,
        mass_kg: Option<Input<'_, Kilogram>>,
        temperature_c: Temperature<'_>,
        measured_with: Option<String>,
        label: Option<Text>,
        attitude: Option<Stands<'_>>,
    ) -> PyResult<PyClassInitializer<Self>> {
        let amount = amount(volume_l.as_ref(), mass_kg.as_ref())?;
        let action = Action::Pour { amount, temperature: temperature(&temperature_c)?, measured_with };
        Ok(event(action, label, attitude)?.add_subclass(Self))
    }
}

/// Takes liquid out of the sump from above, into the pan.
///
/// Parameters
/// ----------
/// volume_l : quantity, optional
///     How much, as the instrument says [L].
/// mass_kg : quantity, optional
///     How much by weight [kg], instead of a volume.
/// measured_with : str, optional
///     Instrument of the circuit it is measured with.
/// label : str, optional
///     Name under which its row is found again.
/// attitude : Attitude or str, optional
///     How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.Withdraw(mass_kg=0.25)
/// Withdraw(mass_kg='0.25 kg')
#[pyclass(frozen, extends = Event, module = "fillmark")]
pub(super) struct Withdraw;

#[pymethods]
impl Withdraw {
    #[new]
    #[pyo3(signature = (volume_l=None, *, mass_kg=None, measured_with=None, label=None, attitude=None))]
    fn new(
        volume_l: Option<Input<'_, Litre>>,
        mass_kg: Option<Input<'_, Kilogram>>,
        measured_with: Option<String>,
        label: Option<Text>,
        attitude: Option<Stands<'_>>,
    ) -> PyResult<PyClassInitializer<Self>> {
        let amount = amount(volume_l.as_ref(), mass_kg.as_ref())?;
        Ok(event(Action::Withdraw { amount, measured_with }, label, attitude)?.add_subclass(Self))
    }
}

/// Runs the engine, then stops it: everything mixes, the filter fills, the stores take their hold-up, however short the run.
///
/// Parameters
/// ----------
/// minutes, seconds, hours : quantity
///     How long; exactly one of the three.
/// temperature_c : quantity, optional
///     Temperature of everything in the circuit at the end [°C].
/// label : str, optional
///     Name under which its row is found again.
/// attitude : Attitude or str, optional
///     How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.Run(minutes=1)
/// Run(minutes='1 min')
#[pyclass(frozen, extends = Event, module = "fillmark")]
pub(super) struct Run;

#[pymethods]
impl Run {
    #[new]
    #[pyo3(signature = (minutes=None, *, seconds=None, hours=None, temperature_c=None, label=None, attitude=None))]
    fn new(
        minutes: Option<Input<'_, Minute>>,
        seconds: Option<Input<'_, Second>>,
        hours: Option<Input<'_, Hour>>,
        temperature_c: Temperature<'_>,
        label: Option<Text>,
        attitude: Option<Stands<'_>>,
    ) -> PyResult<PyClassInitializer<Self>> {
        let duration = duration(minutes.as_ref(), seconds.as_ref(), hours.as_ref())?;
        let action = Action::Run { duration, temperature: temperature(&temperature_c)? };
        Ok(event(action, label, attitude)?.add_subclass(Self))
    }
}

/// Waits with the engine stopped: the stores return to the sump.
///
/// Parameters
/// ----------
/// minutes, seconds, hours : quantity
///     How long; exactly one of the three.
/// label : str, optional
///     Name under which its row is found again.
/// attitude : Attitude or str, optional
///     How the vehicle stands for this event only; in words where it is uncertain, such as ``"nose up 2.0(5) deg"``.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.Rest(hours=12)
/// Rest(minutes='12 h')
#[pyclass(frozen, extends = Event, module = "fillmark")]
pub(super) struct Rest;

#[pymethods]
impl Rest {
    #[new]
    #[pyo3(signature = (minutes=None, *, seconds=None, hours=None, label=None, attitude=None))]
    fn new(
        minutes: Option<Input<'_, Minute>>,
        seconds: Option<Input<'_, Second>>,
        hours: Option<Input<'_, Hour>>,
        label: Option<Text>,
        attitude: Option<Stands<'_>>,
    ) -> PyResult<PyClassInitializer<Self>> {
        let duration = duration(minutes.as_ref(), seconds.as_ref(), hours.as_ref())?;
        Ok(event(Action::Rest { duration }, label, attitude)?.add_subclass(Self))
    }
}

/// Stands the vehicle so from now on.
///
/// Parameters
/// ----------
/// to : Attitude
///     The new attitude.
/// label : str, optional
///     Name under which its row is found again.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.Tilt(fm.Attitude(nose_up_deg=2.0))
/// Tilt(Attitude(nose_up_deg=2.0))
#[pyclass(frozen, extends = Event, module = "fillmark")]
pub(super) struct Tilt;

#[pymethods]
impl Tilt {
    #[new]
    #[pyo3(signature = (to, *, label=None))]
    fn new(to: Stands<'_>, label: Option<Text>) -> PyResult<PyClassInitializer<Self>> {
        let attitude = to.read()?;
        Ok(event(Action::Tilt { attitude }, label, None)?.add_subclass(Self))
    }
}
