//! What a circuit file says: plain data, values and units kept as written.
//!
//! TOML is for people, JSON for exchange; both read into and write from these types. Nothing here is checked beyond
//! its own text: a [`Circuit`](super::Circuit) is made from it and refuses what does not fit together.

use std::collections::BTreeMap;
use std::fmt;

use serde::{Deserialize, Serialize};

use crate::fluid::Metal;
use crate::geometry::LengthUnit;
use crate::units::{
    Angle, Density, Expansion, KinematicViscosity, Length, Pressure, Ratio, Temperature, Time, Value, Volume,
};

/// Version of the file format written and read.
pub const FORMAT: u32 = 1;

/// A circuit as its file says it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(rename = "Circuit"))]
#[serde(deny_unknown_fields)]
pub struct CircuitSpec {
    /// Version of the file format: 1.
    #[cfg_attr(test, schemars(extend("const" = FORMAT)))]
    pub format: u32,
    /// Short name.
    pub name: String,
    /// Remark in plain words, such as where the figures come from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// Shape of the liquid space.
    pub sump: SumpSpec,
    /// How far the true sump may differ from its drawing.
    #[serde(default, skip_serializing_if = "GeometrySpec::is_default")]
    pub geometry: GeometrySpec,
    /// The stick and its marks.
    pub dipstick: DipstickSpec,
    /// Drain plugs by name.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub plugs: BTreeMap<String, PlugSpec>,
    /// The filter, where there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub filter: Option<FilterSpec>,
    /// Anywhere else oil sits, by name.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub stores: BTreeMap<String, StoreSpec>,
    /// What a pour wets on its way to the sump.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub filler: Option<FillerSpec>,
    /// Other sticks that may be put into the tube, by name.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub sticks: BTreeMap<String, OtherStickSpec>,
    /// How the circuit cools at rest; without it nothing cools.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cooling: Option<CoolingSpec>,
    /// The crank's path, which the liquid must not reach.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub crank: Option<CrankSpec>,
    /// The pump's pickup, which must stay under.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pickup: Option<PickupSpec>,
    /// The pump.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pump: Option<PumpSpec>,
    /// The oil.
    pub fluid: FluidSpec,
    /// Figures of the service sheet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub book: Option<BookSpec>,
    /// The condition in which the marks are true.
    #[serde(default)]
    pub reference: ReferenceSpec,
    /// Paths of inputs, or beginnings of paths such as `stores`, that rest on judgement rather than on a measurement.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub judgement: Vec<String>,
    /// Measuring instruments by name, such as `jug`.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub instruments: BTreeMap<String, InstrumentSpec>,
}

/// Shape of the liquid space of the sump; exactly one table, such as `[sump.box]`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
#[non_exhaustive]
pub enum SumpSpec {
    /// A rectangular box, centred in x and y, floor at z = 0.
    Box {
        /// Inside length along x.
        length: Value<Length>,
        /// Inside width along y.
        width: Value<Length>,
        /// Inside height along z.
        height: Value<Length>,
    },
    /// A closed triangle mesh written out.
    Mesh {
        /// Corners, in mm.
        vertices_mm: Vec<[f64; 3]>,
        /// Triangles, counter-clockwise seen from outside.
        faces: Vec<[u32; 3]>,
    },
    /// A closed triangle mesh in an STL file.
    Stl {
        /// File, found beside the circuit file.
        file: String,
        /// Length unit of the file's numbers: `mm`, `cm`, `m` or `in`.
        #[serde(default)]
        unit: LengthUnit,
    },
    /// Measured strapping pairs; serves level ground only, or tilts up to 10 deg with the centroid of the free surface.
    Table {
        /// Levels above the lowest point, rising, starting at 0, in mm.
        level_mm: Vec<f64>,
        /// Volume at each level, in L.
        volume_l: Vec<f64>,
        /// Centroid of the free surface, x and y in mm, for all levels or for each; the body's z = 0 is then level 0.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        centroid_mm: Vec<[f64; 2]>,
    },
}

/// How far the true sump may differ from its drawing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct GeometrySpec {
    /// The true sump holds this times what its drawing holds.
    pub volume_scale: Value<Ratio>,
    /// Liquid stands this much higher, as the stick sees it, than the drawing says.
    pub datum: Value<Length>,
    /// What the sump is made of: with one it expands, by the metal's coefficient.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub metal: Option<Metal>,
    /// Linear thermal expansion of the sump, in place of the metal's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub metal_expansion: Option<Value<Expansion>>,
    /// Temperature at which the drawing holds; of use only where the sump expands.
    #[serde(skip_serializing_if = "is_drawn_at_20")]
    pub drawn_at: Value<Temperature>,
    /// Correlation of `volume_scale` and `datum` (of their normal scores), as a stick learnt from pours leaves them; of use
    /// only where both are uncertain.
    #[serde(skip_serializing_if = "is_nothing")]
    pub correlation: f64,
}

#[allow(clippy::trivially_copy_pass_by_ref)] // as serde calls it
fn is_nothing(value: &f64) -> bool {
    *value == 0.0
}

/// 20 °C: the standard reference temperature for lengths (ISO 1, from memory).
fn drawn_at_20() -> Value<Temperature> {
    Value::constant(20.0)
}

fn is_drawn_at_20(value: &Value<Temperature>) -> bool {
    *value == drawn_at_20()
}

impl GeometrySpec {
    fn is_default(&self) -> bool {
        *self == Self::default()
    }
}

/// The stick and its marks.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct DipstickSpec {
    /// Points of the blade's path in the body frame, tip first, in mm.
    pub path_mm: Vec<[f64; 3]>,
    /// Lower mark, along the blade from the tip.
    pub min: Value<Length>,
    /// Upper mark, along the blade from the tip.
    pub max: Value<Length>,
    /// Standard deviation of one reading's noise.
    #[serde(default = "scatter")]
    pub scatter: Value<Length>,
    /// How far the stick stands proud of its seat; it then reads low by as much.
    #[serde(default = "no_length", skip_serializing_if = "is_no_length")]
    pub seat_offset: Value<Length>,
    /// How far liquid creeps up the blade.
    #[serde(default = "no_length", skip_serializing_if = "is_no_length")]
    pub meniscus: Value<Length>,
    /// How much higher a stick reads that was not wiped since the last pour or run.
    #[serde(default = "no_length", skip_serializing_if = "is_no_length")]
    pub smear: Value<Length>,
    /// How much the higher of the two sides reads above the lower.
    #[serde(default = "no_length", skip_serializing_if = "is_no_length")]
    pub faces: Value<Length>,
    /// Pressure in the crankcase less that in the stick's tube; positive reads high.
    #[serde(default = "no_pressure", skip_serializing_if = "is_no_pressure")]
    pub tube_pressure: Value<Pressure>,
}

impl DipstickSpec {
    /// A stick with these marks, in order, its path still to be given.
    pub(crate) fn plain(min: Value<Length>, max: Value<Length>) -> Self {
        Self {
            path_mm: Vec::new(),
            min,
            max,
            scatter: scatter(),
            seat_offset: no_length(),
            meniscus: no_length(),
            smear: no_length(),
            faces: no_length(),
            tube_pressure: no_pressure(),
        }
    }
}

/// A stick that belongs elsewhere, in this circuit's tube.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct OtherStickSpec {
    /// Its lower mark, from its own tip.
    pub min: Value<Length>,
    /// Its upper mark, from its own tip.
    pub max: Value<Length>,
    /// How much lower its tip hangs than that of the circuit's own stick.
    #[serde(default = "no_length", skip_serializing_if = "is_no_length")]
    pub longer: Value<Length>,
}

/// What a pour wets on its way to the sump.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct FillerSpec {
    /// Volume of a pour that stays there at first.
    pub wetted: Value<Volume>,
    /// Time scale of its return at 100 mm2/s.
    #[serde(default = "film_time")]
    pub film_time: Value<Time>,
}

/// 60 s: a judgement.
fn film_time() -> Value<Time> {
    Value::constant(60.0)
}

/// How the circuit cools at rest: `T(t) = T_a + (T(0) - T_a) exp(-t/time)` (Newton).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CoolingSpec {
    /// Time constant.
    pub time: Value<Time>,
    /// Temperature in the end; that of the marks' reference condition where not stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ambient: Option<Value<Temperature>>,
}

/// The crank's path.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CrankSpec {
    /// Points that bound the crank's path below, body frame, in mm.
    pub path_mm: Vec<[f64; 3]>,
}

/// The pump's pickup.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PickupSpec {
    /// Its mouth, body frame, in mm.
    pub at_mm: [f64; 3],
    /// How deep it must stand under so that no air is drawn in, surge included.
    #[serde(default = "pickup_margin")]
    pub margin: Value<Length>,
}

/// 10 mm: a judgement.
fn pickup_margin() -> Value<Length> {
    Value::constant(0.010)
}

/// The pump at idle.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PumpSpec {
    /// Volume it moves per revolution of the engine.
    pub displacement: Value<Volume>,
    /// Revolutions per minute at idle.
    pub idle_rpm: Value<Ratio>,
}
/// 1 mm on dark oil: common practice, no source.
fn scatter() -> Value<Length> {
    Value::constant(1e-3)
}

fn no_length() -> Value<Length> {
    Value::constant(0.0)
}

fn is_no_length(value: &Value<Length>) -> bool {
    *value == no_length()
}

fn no_pressure() -> Value<Pressure> {
    Value::constant(0.0)
}

fn is_no_pressure(value: &Value<Pressure>) -> bool {
    *value == no_pressure()
}

/// A drain plug.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PlugSpec {
    /// Centre of the hole at the inner wall, body frame, in mm.
    pub at_mm: [f64; 3],
    /// Bore of the hole.
    pub bore: Value<Length>,
    /// Length of the bore.
    #[serde(default = "boss", skip_serializing_if = "is_boss")]
    pub boss: Value<Length>,
    /// Direction in which the bore leaves the sump, body frame.
    #[serde(default = "down", skip_serializing_if = "is_down")]
    pub axis: [f64; 3],
    /// Volume the plug leaves in the sump at any attitude, where it is known; otherwise the geometry says it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heel: Option<Value<Volume>>,
    /// Where the geometry says the heel: what stays besides, under a lip, behind ribs that the drawing lacks, as a film on the
    /// floor.
    #[serde(default = "no_volume", skip_serializing_if = "is_no_volume")]
    pub lip: Value<Volume>,
}

fn no_volume() -> Value<Volume> {
    Value::constant(0.0)
}

fn is_no_volume(value: &Value<Volume>) -> bool {
    *value == no_volume()
}

/// 10 mm: a judgement.
fn boss() -> Value<Length> {
    Value::constant(0.010)
}

fn is_boss(value: &Value<Length>) -> bool {
    *value == boss()
}

fn down() -> [f64; 3] {
    [0.0, 0.0, -1.0]
}

fn is_down(axis: &[f64; 3]) -> bool {
    *axis == down()
}

/// The filter.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct FilterSpec {
    /// Liquid the filter holds when full; needed unless the size of the can is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub net_volume: Option<Value<Volume>>,
    /// Outer size of the can, from which the net volume is estimated where it is not stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub can: Option<CanSpec>,
    /// Whether its anti-drain-back valve holds.
    #[serde(default, skip_serializing_if = "ValveSpec::is_sound")]
    pub valve: ValveSpec,
    /// How it hangs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub orientation: Option<Orientation>,
    /// Share that runs back through a leaking valve; by orientation where not stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drains: Option<Value<Ratio>>,
    /// Time scale of that at 100 mm2/s.
    #[serde(default = "film_time", skip_serializing_if = "is_film_time")]
    pub drain_time: Value<Time>,
    /// Share of what it holds that runs on the floor when it is taken off; by orientation where not stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spill: Option<Value<Ratio>>,
}

impl FilterSpec {
    /// A filter with a sound valve that holds this and loses nothing.
    pub(crate) fn holding(net_volume: Value<Volume>) -> Self {
        Self {
            net_volume: Some(net_volume),
            can: None,
            valve: ValveSpec::Sound,
            orientation: None,
            drains: None,
            drain_time: film_time(),
            spill: None,
        }
    }
}

fn is_film_time(value: &Value<Time>) -> bool {
    *value == film_time()
}

/// Outer size of a filter's can.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CanSpec {
    /// Outer diameter.
    pub diameter: Value<Length>,
    /// Length.
    pub length: Value<Length>,
}

/// State of the filter's anti-drain-back valve.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum ValveSpec {
    /// It keeps the filter full.
    #[default]
    Sound,
    /// The filter runs back at rest.
    Leaking,
}

impl ValveSpec {
    #[allow(clippy::trivially_copy_pass_by_ref)] // as serde calls it
    fn is_sound(&self) -> bool {
        *self == Self::Sound
    }
}

/// How a filter hangs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Orientation {
    /// Its open end up.
    BaseUp,
    /// Lying.
    Sideways,
    /// Its open end down.
    BaseDown,
}

/// What a store is, for its defaults.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum StoreKind {
    /// Bored passages that stay partly full.
    Galleries,
    /// Cylinder head with its pools and return holes.
    Head,
    /// Cooler with its lines, behind a thermostat.
    Cooler,
    /// Pipes.
    Lines,
    /// Walls of the crankcase.
    Crankcase,
}

/// Anywhere else oil sits: galleries, head, cooler, lines. What is not stated follows from its kind, or is none.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct StoreSpec {
    /// What it is, for the defaults of all that follows.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kind: Option<StoreKind>,
    /// Volume that never returns to the sump.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kept: Option<Value<Volume>>,
    /// Volume held beyond `kept` while the engine runs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub running: Option<Value<Volume>>,
    /// The part of `running` that comes back as a film.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub film: Option<Value<Volume>>,
    /// Time scale of the pool's return at 100 mm2/s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pool_time: Option<Value<Time>>,
    /// Time scale of the pool's return when the oil is very thin.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub inertia_time: Option<Value<Time>>,
    /// Time scale of the film's return at 100 mm2/s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub film_time: Option<Value<Time>>,
    /// A thermostat shuts the store off in a run cooler than this.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub opens_at: Option<Value<Temperature>>,
}

/// The oil: its data, or a grade that stands for what is not given of them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(try_from = "super::oil::FluidText")]
pub struct FluidSpec {
    /// Label such as `10W-40`, `80W-90` or `ISO VG 46`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub grade: Option<String>,
    /// Density at 15 °C.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub density_15c: Option<Value<Density>>,
    /// Kinematic viscosity at 40 °C.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kv40: Option<Value<KinematicViscosity>>,
    /// Kinematic viscosity at 100 °C.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kv100: Option<Value<KinematicViscosity>>,
    /// The engine's fuel, should some get into the oil.
    #[serde(default, skip_serializing_if = "FuelSpec::is_diesel")]
    pub fuel: FuelSpec,
}

/// A motor fuel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum FuelSpec {
    /// Diesel fuel.
    #[default]
    Diesel,
    /// Petrol.
    Petrol,
}

impl FuelSpec {
    #[allow(clippy::trivially_copy_pass_by_ref)] // as serde calls it
    fn is_diesel(&self) -> bool {
        *self == Self::Diesel
    }
}

/// Figures of the service sheet.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BookSpec {
    /// Refill after a drain with filter change.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub service_with_filter: Option<Value<Volume>>,
    /// Refill after a drain, filter kept.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub service_without_filter: Option<Value<Volume>>,
    /// Empty engine to MAX.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dry: Option<Value<Volume>>,
    /// What one drain nominally leaves, which the service capacity contains; dry less service capacity where both are stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub residue: Option<Value<Volume>>,
    /// MIN to MAX.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub span: Option<Value<Volume>>,
}

/// The condition in which the marks are true: stopped, drained for `wait`, stick seated, where nothing else is said.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct ReferenceSpec {
    /// Temperature of the oil.
    pub temperature: Value<Temperature>,
    /// Whether the marks hold with the engine stopped or running; running, stores hold all that they hold then, and nothing is
    /// waited for.
    #[serde(skip_serializing_if = "is_default")]
    pub engine: EngineSpec,
    /// Wait after stopping: 10 min where not stated. With the engine running none may be stated but 0 s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wait: Option<Value<Time>>,
    /// How the stick stands when it is read.
    #[serde(skip_serializing_if = "is_default")]
    pub stick: SeatSpec,
    /// How the vehicle stands.
    #[serde(skip_serializing_if = "AttitudeSpec::is_level")]
    pub attitude: AttitudeSpec,
}

/// What the engine does where the marks are true.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum EngineSpec {
    /// It is stopped, for as long as `wait` says.
    #[default]
    Stopped,
    /// It runs, at idle.
    Running,
}

/// How the stick stands when it is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum SeatSpec {
    /// Pushed home on its seat.
    #[default]
    Seated,
    /// Screwed in.
    Screwed,
}

fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

impl ReferenceSpec {
    /// Whether the marks hold with the engine running.
    pub fn is_running(&self) -> bool {
        self.engine == EngineSpec::Running
    }

    /// The wait after stopping: what is stated, else 10 min, or none with the engine running.
    pub fn waited(&self) -> Value<Time> {
        let usual = if self.is_running() { 0.0 } else { 600.0 };
        self.wait.clone().unwrap_or_else(|| Value::constant(usual))
    }
}

/// The condition in words: `20 degC, stopped for 10 min, level, stick seated`.
impl fmt::Display for ReferenceSpec {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, ", one_line(self.temperature.written()))?;
        match (self.engine, &self.wait) {
            (EngineSpec::Running, _) => write!(f, "engine running at idle")?,
            (EngineSpec::Stopped, Some(wait)) => write!(f, "stopped for {}", one_line(wait.written()))?,
            (EngineSpec::Stopped, None) => write!(f, "stopped for 10 min")?,
        }
        match self.attitude.nominal() {
            Ok(attitude) => write!(f, ", {attitude}, {}", self.stick)?,
            Err(_) => write!(f, ", {}", self.stick)?,
        }
        Ok(())
    }
}

/// How the stick stands, in words.
impl fmt::Display for SeatSpec {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Seated => "stick seated",
            Self::Screwed => "stick screwed in",
        })
    }
}

fn one_line(written: &str) -> String {
    written.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// An attitude as written.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct AttitudeSpec {
    /// Nose-up pitch.
    pub nose_up: Value<Angle>,
    /// Right-side-down roll.
    pub right_down: Value<Angle>,
}

impl AttitudeSpec {
    fn is_level(&self) -> bool {
        *self == Self::default()
    }
}

impl Default for AttitudeSpec {
    fn default() -> Self {
        Self { nose_up: Value::constant(0.0), right_down: Value::constant(0.0) }
    }
}

/// A measuring instrument.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct InstrumentSpec {
    /// True value = scale × stated value; every use of the instrument shares it.
    pub scale: Value<Ratio>,
}

impl Default for GeometrySpec {
    fn default() -> Self {
        Self {
            volume_scale: Value::constant(1.0),
            datum: no_length(),
            metal: None,
            metal_expansion: None,
            drawn_at: drawn_at_20(),
            correlation: 0.0,
        }
    }
}

impl Default for ReferenceSpec {
    /// 20 °C, 10 min after stopping, level: common practice, no source.
    fn default() -> Self {
        Self {
            temperature: Value::constant(20.0),
            engine: EngineSpec::Stopped,
            wait: None,
            stick: SeatSpec::Seated,
            attitude: AttitudeSpec::default(),
        }
    }
}

impl Default for InstrumentSpec {
    fn default() -> Self {
        Self { scale: Value::constant(1.0) }
    }
}
