//! What a circuit file says: plain data, values and units kept as written.
//!
//! TOML is for people, JSON for exchange; both read into and write from these types. Nothing here is checked beyond
//! its own text: a [`Circuit`](super::Circuit) is made from it and refuses what does not fit together.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::fluid::Metal;
use crate::geometry::LengthUnit;
use crate::units::{Angle, Density, Expansion, KinematicViscosity, Length, Ratio, Temperature, Time, Value, Volume};

/// Version of the file format written and read.
pub const FORMAT: u32 = 1;

/// A circuit as its file says it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CircuitSpec {
    /// Version of the file format: 1.
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
    /// The oil.
    pub fluid: FluidSpec,
    /// Figures of the service sheet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub book: Option<BookSpec>,
    /// The condition in which the marks are true.
    #[serde(default)]
    pub reference: ReferenceSpec,
    /// Measuring instruments by name, such as `jug`.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub instruments: BTreeMap<String, InstrumentSpec>,
}

/// Shape of the liquid space of the sump; exactly one table, such as `[sump.box]`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
    /// Measured strapping pairs; serves level ground only.
    Table {
        /// Levels above the lowest point, rising, starting at 0, in mm.
        level_mm: Vec<f64>,
        /// Volume at each level, in L.
        volume_l: Vec<f64>,
    },
}

/// How far the true sump may differ from its drawing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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

/// A drain plug.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlugSpec {
    /// Centre of the hole at the inner wall, body frame, in mm.
    pub at_mm: [f64; 3],
    /// Bore of the hole.
    pub bore: Value<Length>,
    /// Volume the plug leaves in the sump.
    pub heel: Value<Volume>,
}

/// The filter.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FilterSpec {
    /// Liquid the filter holds when full.
    pub net_volume: Value<Volume>,
}

/// Anywhere else oil sits: galleries, head, cooler, lines.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct StoreSpec {
    /// Volume that never returns to the sump.
    pub kept: Value<Volume>,
    /// Volume held beyond `kept` while the engine runs.
    pub running: Value<Volume>,
    /// The part of `running` that comes back as a film.
    pub film: Value<Volume>,
    /// Time scale of the pool's return at 100 mm2/s.
    pub pool_time: Value<Time>,
    /// Time scale of the pool's return when the oil is very thin.
    pub inertia_time: Value<Time>,
    /// Time scale of the film's return at 100 mm2/s.
    pub film_time: Value<Time>,
}

/// The oil: its data, or a grade that stands for what is not given of them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
}

/// Figures of the service sheet.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
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
    /// MIN to MAX.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub span: Option<Value<Volume>>,
}

/// The condition in which the marks are true: stopped, drained for `wait`, stick seated.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct ReferenceSpec {
    /// Temperature of the oil.
    pub temperature: Value<Temperature>,
    /// Wait after stopping.
    pub wait: Value<Time>,
    /// How the vehicle stands.
    #[serde(skip_serializing_if = "AttitudeSpec::is_level")]
    pub attitude: AttitudeSpec,
}

/// An attitude as written.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
        }
    }
}

impl Default for StoreSpec {
    /// Times are a judgement: head return holes empty in seconds when thin and in tens of seconds when cold.
    fn default() -> Self {
        Self {
            kept: Value::constant(0.0),
            running: Value::constant(0.0),
            film: Value::constant(0.0),
            pool_time: Value::constant(20.0),
            inertia_time: Value::constant(1.0),
            film_time: Value::constant(60.0),
        }
    }
}

impl Default for ReferenceSpec {
    /// 20 °C, 10 min after stopping, level: common practice, no source.
    fn default() -> Self {
        Self { temperature: Value::constant(20.0), wait: Value::constant(600.0), attitude: AttitudeSpec::default() }
    }
}

impl Default for InstrumentSpec {
    fn default() -> Self {
        Self { scale: Value::constant(1.0) }
    }
}
