//! Does the circuit fit together? Ranges of single values, then the parts against each other.

use super::oil::OilValues;
use super::spec::{AttitudeSpec, BookSpec, CircuitSpec, FilterSpec, OtherStickSpec, PlugSpec, ReferenceSpec, SumpSpec};
use super::{CircuitError, Scalar, StickPath, nearest, possible, replace};
use crate::Error;
use crate::fluid::OilModel;
use crate::geometry::{Attitude, Plug, Point, Sump};
use crate::numeric::check;
use crate::units::{Dimension, Length, QuantityError, Time, Value, unit};

/// Accepted range of a value, in SI, with the unit and factor that word the message.
struct Range {
    low: f64,
    high: f64,
    unit: &'static str,
    per_si: f64,
}

const LITRES: Range = Range { low: 0.0, high: 1.0, unit: "L", per_si: 1e3 };
const SIDE: Range = Range { low: 1e-3, high: 20.0, unit: "mm", per_si: 1e3 };
const BLADE: Range = Range { low: 0.0, high: 5.0, unit: "mm", per_si: 1e3 };
const SHIFT: Range = Range { low: -0.1, high: 0.1, unit: "mm", per_si: 1e3 };
const SCATTER: Range = Range { low: 0.0, high: 0.1, unit: "mm", per_si: 1e3 };
const SECONDS: Range = Range { low: 0.0, high: 1e7, unit: "s", per_si: 1.0 };
const SCALE: Range = Range { low: 0.5, high: 2.0, unit: "", per_si: 1.0 };
const BORE: Range = Range { low: 1e-3, high: 0.2, unit: "mm", per_si: 1e3 };
const DENSITY: Range = Range { low: 801.0, high: 1163.0, unit: "kg/m3", per_si: 1.0 };
const VISCOSITY: Range = Range { low: 0.21e-6, high: 0.1, unit: "mm2/s", per_si: 1e6 };
const TUBE: Range = Range { low: -1e4, high: 1e4, unit: "Pa", per_si: 1.0 };
const BOSS: Range = Range { low: 0.0, high: 0.5, unit: "mm", per_si: 1e3 };
const CAN: Range = Range { low: 0.02, high: 1.0, unit: "mm", per_si: 1e3 };
const SHARE: Range = Range { low: 0.0, high: 1.0, unit: "", per_si: 1.0 };
const LONGER: Range = Range { low: -1.0, high: 1.0, unit: "mm", per_si: 1e3 };
const COOLING: Range = Range { low: 1.0, high: 1e7, unit: "s", per_si: 1.0 };
const DISPLACEMENT: Range = Range { low: 1e-8, high: 1e-3, unit: "mL", per_si: 1e6 };
const IDLE: Range = Range { low: 50.0, high: 3000.0, unit: "", per_si: 1.0 };
const EXPANSION: Range = Range { low: 0.0, high: 5e-4, unit: "ppm/K", per_si: 1e6 };
/// Nearest to 1 that two inputs may be correlated: at 1 they are one input.
const MOST_TIED: f64 = 0.9999;
const CELSIUS: Range = Range { low: -50.0, high: 150.0, unit: "degC", per_si: 1.0 };

/// Checks every single value against its accepted range.
pub(super) fn ranges(spec: &CircuitSpec, oil: &OilValues) -> Result<(), Error> {
    possible::coordinates(spec)?;
    if let SumpSpec::Box { length, width, height } = &spec.sump {
        for (side, value) in [("length", length), ("width", width), ("height", height)] {
            drawn(&format!("sump.box.{side}"), value)?;
            within(&format!("sump.box.{side}"), value, &SIDE)?;
        }
    }
    within("geometry.volume_scale", &spec.geometry.volume_scale, &SCALE)?;
    within("geometry.datum", &spec.geometry.datum, &SHIFT)?;
    if let Some(expansion) = &spec.geometry.metal_expansion {
        within("geometry.metal_expansion", expansion, &EXPANSION)?;
    }
    within("geometry.drawn_at", &spec.geometry.drawn_at, &CELSIUS)?;
    check::in_range("geometry.correlation", spec.geometry.correlation, -MOST_TIED, MOST_TIED, "")?;
    within("dipstick.min", &spec.dipstick.min, &BLADE)?;
    within("dipstick.max", &spec.dipstick.max, &BLADE)?;
    within("dipstick.scatter", &spec.dipstick.scatter, &SCATTER)?;
    within("dipstick.seat_offset", &spec.dipstick.seat_offset, &SHIFT)?;
    within("dipstick.meniscus", &spec.dipstick.meniscus, &SHIFT)?;
    within("dipstick.smear", &spec.dipstick.smear, &SHIFT)?;
    within("dipstick.faces", &spec.dipstick.faces, &SHIFT)?;
    within("dipstick.tube_pressure", &spec.dipstick.tube_pressure, &TUBE)?;
    for (name, stick) in &spec.sticks {
        other_stick(name, stick)?;
    }
    for (name, plug) in &spec.plugs {
        within(&format!("plugs.{name}.bore"), &plug.bore, &BORE)?;
        within(&format!("plugs.{name}.boss"), &plug.boss, &BOSS)?;
        optional(&format!("plugs.{name}.heel"), plug.heel.as_ref(), &LITRES)?;
        within(&format!("plugs.{name}.lip"), &plug.lip, &LITRES)?;
    }
    spec.filter.as_ref().map_or(Ok(()), filter)?;
    for (name, store) in &spec.stores {
        let path = |field: &str| format!("stores.{name}.{field}");
        optional(&path("kept"), store.kept.as_ref(), &LITRES)?;
        optional(&path("running"), store.running.as_ref(), &LITRES)?;
        optional(&path("film"), store.film.as_ref(), &LITRES)?;
        optional(&path("pool_time"), store.pool_time.as_ref(), &SECONDS)?;
        optional(&path("inertia_time"), store.inertia_time.as_ref(), &SECONDS)?;
        optional(&path("film_time"), store.film_time.as_ref(), &SECONDS)?;
        optional(&path("opens_at"), store.opens_at.as_ref(), &CELSIUS)?;
    }
    if let Some(filler) = &spec.filler {
        within("filler.wetted", &filler.wetted, &LITRES)?;
        within("filler.film_time", &filler.film_time, &SECONDS)?;
    }
    if let Some(cooling) = &spec.cooling {
        within("cooling.time", &cooling.time, &COOLING)?;
        optional("cooling.ambient", cooling.ambient.as_ref(), &CELSIUS)?;
    }
    if let Some(pickup) = &spec.pickup {
        within("pickup.margin", &pickup.margin, &SCATTER)?;
    }
    if let Some(pump) = &spec.pump {
        within("pump.displacement", &pump.displacement, &DISPLACEMENT)?;
        within("pump.idle_rpm", &pump.idle_rpm, &IDLE)?;
    }
    within("fluid.density_15c", &oil.density_15c, &DENSITY)?;
    within("fluid.kv40", &oil.kv40, &VISCOSITY)?;
    within("fluid.kv100", &oil.kv100, &VISCOSITY)?;
    OilModel::new(oil.density_15c.nominal(), oil.kv40.nominal(), oil.kv100.nominal())?;
    within("reference.temperature", &spec.reference.temperature, &CELSIUS)?;
    optional("reference.wait", spec.reference.wait.as_ref(), &SECONDS)?;
    no_wait_while_running(&spec.reference)?;
    for (name, instrument) in &spec.instruments {
        within(&format!("instruments.{name}.scale"), &instrument.scale, &SCALE)?;
    }
    Ok(())
}

/// Refuses a wait where the marks hold with the engine running.
fn no_wait_while_running(reference: &ReferenceSpec) -> Result<(), Error> {
    let waits = |wait: &&Value<Time>| !wait.is_exact() || wait.nominal() != 0.0;
    match reference.wait.as_ref().filter(waits) {
        Some(wait) if reference.is_running() => {
            let written = wait.written();
            let message = format!(
                "{written} is a wait after stopping, but with engine = \"running\" the marks hold with the engine running; accepted: no \
                 wait, or 0 s"
            );
            Err(CircuitError::BadValue { path: "reference.wait".into(), line: 0, message }.into())
        }
        _ => Ok(()),
    }
}

/// Checks the filter's values.
fn filter(filter: &FilterSpec) -> Result<(), Error> {
    optional("filter.net_volume", filter.net_volume.as_ref(), &LITRES)?;
    if let Some(can) = &filter.can {
        within("filter.can.diameter", &can.diameter, &CAN)?;
        within("filter.can.length", &can.length, &CAN)?;
    }
    optional("filter.drains", filter.drains.as_ref(), &SHARE)?;
    within("filter.drain_time", &filter.drain_time, &SECONDS)?;
    optional("filter.spill", filter.spill.as_ref(), &SHARE)?;
    Ok(())
}

/// Checks another stick's values.
fn other_stick(name: &str, stick: &OtherStickSpec) -> Result<(), Error> {
    within(&format!("sticks.{name}.min"), &stick.min, &BLADE)?;
    within(&format!("sticks.{name}.max"), &stick.max, &BLADE)?;
    within(&format!("sticks.{name}.longer"), &stick.longer, &LONGER)?;
    let (min, max) = (stick.min.nominal(), stick.max.nominal());
    if max <= min {
        return Err(wrong_order(&format!("sticks.{name}"), min, max).into());
    }
    Ok(())
}

fn wrong_order(stick: &str, min: f64, max: f64) -> CircuitError {
    CircuitError::MarksInWrongOrder { stick: stick.into(), min_mm: millimetres(min), max_mm: millimetres(max) }
}

/// What is marked as judgement must be an input, or a table or the beginning of a path that may hold some.
pub(super) fn judgement(spec: &CircuitSpec, scalars: &[Scalar]) -> Result<(), CircuitError> {
    let begins = |path: &str, with: &str| path.strip_prefix(with).is_some_and(|r| r.is_empty() || r.starts_with('.'));
    for marked in &spec.judgement {
        let among = |paths: &[String]| paths.iter().any(|path| begins(path, marked));
        if TABLES.contains(&marked.as_str()) || scalars.iter().any(|s| begins(&s.path, marked)) {
            continue;
        }
        let paths = replace::paths(spec, scalars);
        if among(&paths) || REFERENCE.contains(&marked.as_str()) {
            continue;
        }
        let known = TABLES.into_iter().chain(paths.iter().map(String::as_str));
        let nearest = match nearest(marked, known).as_str() {
            "" => String::new(),
            near => format!("; did you mean `{near}`?"),
        };
        let message = format!("no input is `{marked}` or begins with it{nearest}");
        return Err(CircuitError::BadValue { path: "judgement".into(), line: 0, message });
    }
    Ok(())
}

/// Tables that hold inputs, whether or not a circuit has them.
const TABLES: [&str; 15] = [
    "sump",
    "geometry",
    "dipstick",
    "plugs",
    "filter",
    "stores",
    "filler",
    "sticks",
    "cooling",
    "crank",
    "pickup",
    "pump",
    "fluid",
    "book",
    "instruments",
];
/// Inputs of a service that no table need state.
const REFERENCE: [&str; 4] =
    ["reference", "reference.attitude", "reference.attitude.nose_up", "reference.attitude.right_down"];

/// A length of the drawing must be exact.
fn drawn(path: &str, value: &Value<Length>) -> Result<(), CircuitError> {
    if value.is_exact() {
        return Ok(());
    }
    let message = format!(
        "\"{}\" is uncertain, but a drawing is exact; state how far the sump may differ from it as \
         geometry.volume_scale and geometry.datum",
        value.written()
    );
    Err(CircuitError::BadValue { path: path.into(), line: 0, message })
}

fn within<D: Dimension>(path: &str, value: &Value<D>, range: &Range) -> Result<(), QuantityError> {
    let shown = |si: f64| si * range.per_si;
    check::in_range(path, shown(value.nominal()), shown(range.low), shown(range.high), range.unit)?;
    Ok(())
}

fn optional<D: Dimension>(path: &str, value: Option<&Value<D>>, range: &Range) -> Result<(), QuantityError> {
    value.map_or(Ok(()), |v| within(path, v, range))
}

/// Checks the parts against each other: stick and marks against the sump, volumes against what must contain them.
pub(super) fn fits(
    spec: &CircuitSpec,
    sump: &Sump,
    stick: &StickPath,
    attitude: Attitude,
    charge: f64,
) -> Result<(), Error> {
    let (min, max) = (spec.dipstick.min.nominal(), spec.dipstick.max.nominal());
    if max <= min {
        return Err(wrong_order("dipstick", min, max).into());
    }
    spec.book.as_ref().map_or(Ok(()), agrees)?;
    for (mark, s) in [("MIN", min), ("MAX", max)] {
        mark_in_sump(mark, s, sump, stick, attitude)?;
    }
    possible::places(spec, sump, stick, attitude)?;
    for (name, plug) in &spec.plugs {
        let Some(heel) = &plug.heel else { continue };
        fits_in(&format!("plugs.{name}.heel"), heel.nominal(), "the sump's capacity", sump.capacity_si())?;
    }
    for (name, store) in &spec.stores {
        let container = format!("stores.{name}.running");
        let values = store.values(charge);
        fits_in(&format!("stores.{name}.film"), values.film.nominal(), &container, values.running.nominal())?;
    }
    Ok(())
}

fn mark_in_sump(mark: &str, s: f64, sump: &Sump, stick: &StickPath, attitude: Attitude) -> Result<(), Error> {
    if s > stick.length() {
        return Err(CircuitError::MarkOffBlade {
            mark: mark.into(),
            mark_mm: millimetres(s),
            blade_mm: millimetres(stick.length()),
        }
        .into());
    }
    let at = stick.point_at(s);
    let level = sump.level_of_point_si(at, attitude)?;
    let within_height = level >= 0.0 && level <= sump.curve(attitude)?.height_si();
    if within_height && sump.mesh().is_none_or(|mesh| mesh.contains_si(at)) {
        return Ok(());
    }
    Err(possible::stick_misses(mark, at, sump, attitude)?.into())
}

/// Checks the figures of a service sheet against each other: what holds more must be the larger.
fn agrees(book: &BookSpec) -> Result<(), CircuitError> {
    let with = ("service_with_filter", &book.service_with_filter);
    let without = ("service_without_filter", &book.service_without_filter);
    let (dry, span) = (("dry", &book.dry), ("span", &book.span));
    for ((less, small), (more, large)) in [(without, with), (with, dry), (without, dry), (span, dry)] {
        let (Some(small), Some(large)) = (small, large) else { continue };
        if small.nominal() > large.nominal() {
            let message = format!("{less} = {} exceeds {more} = {}", small.written(), large.written());
            return Err(CircuitError::BookContradicts { message });
        }
    }
    Ok(())
}

pub(super) fn fits_in(what: &str, value: f64, container: &str, limit: f64) -> Result<(), CircuitError> {
    if value <= limit {
        return Ok(());
    }
    Err(CircuitError::TooMuch {
        what: what.into(),
        value_l: value * 1e3,
        container: container.into(),
        limit_l: limit * 1e3,
    })
}

/// Metres to millimetres, rounded to a nanometre so that messages read as the file does.
pub(super) fn millimetres(metres: f64) -> f64 {
    (metres * 1e9).round() / 1e6
}

impl PlugSpec {
    /// The plug as a bore through the wall.
    pub(crate) fn plug(&self) -> Result<Plug, Error> {
        let length = |v: &Value<Length>| uom::si::f64::Length::new::<uom::si::length::meter>(v.nominal());
        Ok(Plug::new(Point::from_mm(self.at_mm)?, length(&self.bore), length(&self.boss), self.axis)?)
    }
}

impl SumpSpec {
    /// The file the shape is read from, if any.
    pub(super) fn file(&self) -> Option<&str> {
        match self {
            Self::Stl { file, .. } => Some(file),
            _ => None,
        }
    }
}

impl AttitudeSpec {
    /// Whether both angles are exact.
    pub(crate) fn is_exact(&self) -> bool {
        self.nose_up.is_exact() && self.right_down.is_exact()
    }

    /// The attitude at the nominal angles.
    pub(crate) fn nominal(&self) -> Result<Attitude, Error> {
        // The fewest digits that read back, so that 1.5 deg stays 1.5 deg.
        let degrees = |si: f64| unit("deg").map_or_else(|| si.to_degrees(), |u| u.shortest_from_si(si));
        Ok(Attitude::from_degrees(degrees(self.nose_up.nominal()), degrees(self.right_down.nominal()))?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every table of a circuit's file is one of those that hold inputs, or listed here with the keys that hold none.
    #[test]
    fn the_tables_are_those_of_the_file() {
        let schema = schemars::schema_for!(CircuitSpec).to_value();
        let mut keys: Vec<&str> = schema["properties"].as_object().unwrap().keys().map(String::as_str).collect();
        let mut known = [&TABLES[..], &["format", "name", "note", "judgement", "reference"]].concat();
        assert!(REFERENCE.contains(&"reference"));
        keys.sort_unstable();
        known.sort_unstable();
        assert_eq!(keys, known);
    }
}
