//! The scalars of a circuit, flat: what a program is driven by, each with its stable path.

use super::spec::{CircuitSpec, StoreSpec};
use crate::units::{Dimension, DimensionId, Distribution, Value};

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
pub(crate) fn flatten(spec: &CircuitSpec) -> (Layout, Vec<Scalar>) {
    let mut flat = Flat(Vec::new());
    let layout = Layout {
        volume_scale: flat.push("geometry.volume_scale", &spec.geometry.volume_scale),
        datum: flat.push("geometry.datum", &spec.geometry.datum),
        min: flat.push("dipstick.min", &spec.dipstick.min),
        max: flat.push("dipstick.max", &spec.dipstick.max),
        scatter: flat.push("dipstick.scatter", &spec.dipstick.scatter),
        seat_offset: flat.push("dipstick.seat_offset", &spec.dipstick.seat_offset),
        density_15c: flat.push("fluid.density_15c", &spec.fluid.density_15c),
        kv40: flat.push("fluid.kv40", &spec.fluid.kv40),
        kv100: flat.push("fluid.kv100", &spec.fluid.kv100),
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
