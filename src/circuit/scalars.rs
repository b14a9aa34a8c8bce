//! The scalars of a circuit, flat: what a program is driven by, each with its stable path.

use super::oil::OilValues;
use super::spec::{CircuitSpec, GeometrySpec, StoreSpec};
use crate::fluid::metal;
use crate::units::{Dimension, DimensionId, Distribution, Expansion, Value};

/// Index of a scalar.
pub(crate) type Ix = usize;

/// One scalar input: its stable path and what is known of its value.
#[derive(Debug, Clone, PartialEq)]
pub struct Scalar {
    /// Stable path, such as `filter.net_volume`.
    pub path: String,
    /// What is known of it, in SI units.
    pub distribution: Distribution,
    /// The kind of quantity.
    pub dimension: DimensionId,
}

/// Where each scalar of a circuit stands in the flat list.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Layout {
    pub volume_scale: Ix,
    pub datum: Ix,
    pub expansion: Option<ExpansionLayout>,
    pub min: Ix,
    pub max: Ix,
    pub scatter: Ix,
    pub seat_offset: Ix,
    pub density_15c: Ix,
    pub kv40: Ix,
    pub kv100: Ix,
    pub reference_temperature: Ix,
    pub reference_wait: Ix,
    pub filter: Option<Ix>,
    pub plugs: Vec<(String, Ix)>,
    pub stores: Vec<(String, StoreLayout)>,
    pub instruments: Vec<(String, Ix)>,
}

/// Where the scalars of a sump that expands stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ExpansionLayout {
    pub linear: Ix,
    pub drawn_at: Ix,
}

impl Layout {
    /// What the true sump holds at a temperature in deg C over what its drawing holds, for the values of all scalars: the volume
    /// scale, times `1 + 3 alpha (t - t_drawn)` where it expands.
    pub(crate) fn volume_scale_at(&self, inputs: &[f64], temperature_c: f64) -> f64 {
        let expanded =
            |e: ExpansionLayout| metal::capacity_ratio_si(inputs[e.linear], temperature_c, inputs[e.drawn_at]);
        inputs[self.volume_scale] * self.expansion.map_or(1.0, expanded)
    }
}

/// Where the scalars of one store stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct StoreLayout {
    pub kept: Ix,
    pub running: Ix,
    pub film: Ix,
    pub pool_time: Ix,
    pub inertia_time: Ix,
    pub film_time: Ix,
}

/// Lays the scalars of a circuit out flat.
pub(crate) fn flatten(spec: &CircuitSpec, oil: &OilValues) -> (Layout, Vec<Scalar>) {
    let mut flat = Flat(Vec::new());
    let layout = Layout {
        volume_scale: flat.push("geometry.volume_scale", &spec.geometry.volume_scale),
        datum: flat.push("geometry.datum", &spec.geometry.datum),
        expansion: spec.geometry.expansion().map(|linear| ExpansionLayout {
            linear: flat.push("geometry.metal_expansion", &linear),
            drawn_at: flat.push("geometry.drawn_at", &spec.geometry.drawn_at),
        }),
        min: flat.push("dipstick.min", &spec.dipstick.min),
        max: flat.push("dipstick.max", &spec.dipstick.max),
        scatter: flat.push("dipstick.scatter", &spec.dipstick.scatter),
        seat_offset: flat.push("dipstick.seat_offset", &spec.dipstick.seat_offset),
        density_15c: flat.push("fluid.density_15c", &oil.density_15c),
        kv40: flat.push("fluid.kv40", &oil.kv40),
        kv100: flat.push("fluid.kv100", &oil.kv100),
        reference_temperature: flat.push("reference.temperature", &spec.reference.temperature),
        reference_wait: flat.push("reference.wait", &spec.reference.wait),
        filter: spec.filter.as_ref().map(|f| flat.push("filter.net_volume", &f.net_volume)),
        plugs: spec
            .plugs
            .iter()
            .map(|(name, p)| (name.clone(), flat.push(&format!("plugs.{name}.heel"), &p.heel)))
            .collect(),
        stores: spec.stores.iter().map(|(name, s)| (name.clone(), flat.push_store(name, s))).collect(),
        instruments: spec
            .instruments
            .iter()
            .map(|(name, i)| (name.clone(), flat.push(&format!("instruments.{name}.scale"), &i.scale)))
            .collect(),
    };
    (layout, flat.0)
}

impl GeometrySpec {
    /// Linear expansion of the sump: the one given, or the metal's with its standard uncertainty of 5 % (judgement).
    fn expansion(&self) -> Option<Value<Expansion>> {
        let of_metal = || {
            let mean = self.metal?.linear_expansion();
            let normal = Distribution::normal("geometry.metal", mean, metal::RELATIVE_UNCERTAINTY * mean);
            normal.ok().map(Value::from_distribution)
        };
        self.metal_expansion.clone().or_else(of_metal)
    }
}

struct Flat(Vec<Scalar>);

impl Flat {
    fn push<D: Dimension>(&mut self, path: &str, value: &Value<D>) -> Ix {
        self.0.push(Scalar { path: path.into(), distribution: value.distribution().clone(), dimension: D::ID });
        self.0.len() - 1
    }

    fn push_store(&mut self, name: &str, store: &StoreSpec) -> StoreLayout {
        let path = |field: &str| format!("stores.{name}.{field}");
        StoreLayout {
            kept: self.push(&path("kept"), &store.kept),
            running: self.push(&path("running"), &store.running),
            film: self.push(&path("film"), &store.film),
            pool_time: self.push(&path("pool_time"), &store.pool_time),
            inertia_time: self.push(&path("inertia_time"), &store.inertia_time),
            film_time: self.push(&path("film_time"), &store.film_time),
        }
    }
}
