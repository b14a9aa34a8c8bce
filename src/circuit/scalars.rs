//! The scalars of a circuit, flat: what a program is driven by, each with its stable path.

use super::CircuitError;
use super::oil::OilValues;
use super::spec::{CircuitSpec, FilterSpec, GeometrySpec};
use super::store::StoreValues;
use crate::fluid::metal;
use crate::numeric::lanes::Lanes;
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
    /// Whether it rests on judgement: a default that nobody stated, or marked so in the file.
    pub judgement: bool,
}

/// Where each scalar of a circuit stands in the flat list.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Layout {
    pub volume_scale: Ix,
    pub datum: Ix,
    pub expansion: Option<ExpansionLayout>,
    pub stick: StickLayout,
    pub density_15c: Ix,
    pub kv40: Ix,
    pub kv100: Ix,
    pub reference_temperature: Ix,
    pub reference_wait: Ix,
    pub filter: Option<FilterLayout>,
    pub filler: Option<FillerLayout>,
    pub cooling: Option<CoolingLayout>,
    pub pickup_margin: Option<Ix>,
    pub plugs: Vec<(String, PlugLayout)>,
    pub stores: Vec<(String, StoreLayout)>,
    pub instruments: Vec<(String, Ix)>,
    pub sticks: Vec<(String, OtherStickLayout)>,
}

/// Where the scalars of the circuit's own stick stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct StickLayout {
    pub min: Ix,
    pub max: Ix,
    pub scatter: Ix,
    pub seat_offset: Ix,
    pub meniscus: Ix,
    pub smear: Ix,
    pub faces: Ix,
    pub tube_pressure: Ix,
}

/// Where the scalars of another stick stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct OtherStickLayout {
    pub min: Ix,
    pub max: Ix,
    pub longer: Ix,
}

/// Where the scalars of one plug stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PlugLayout {
    /// Only where it is stated.
    pub heel: Option<Ix>,
    /// Only where the geometry says the heel.
    pub lip: Option<Ix>,
}

/// Where the scalars of the filter stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct FilterLayout {
    pub net_volume: Ix,
    pub spill: Ix,
    /// Only with a leaking valve.
    pub leak: Option<FilterLeak>,
}

/// Where the scalars of a leaking filter valve stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct FilterLeak {
    pub drains: Ix,
    pub drain_time: Ix,
}

/// Where the scalars of the filler path stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct FillerLayout {
    pub wetted: Ix,
    pub film_time: Ix,
}

/// Where the scalars of cooling stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct CoolingLayout {
    pub time: Ix,
    pub ambient: Ix,
}

/// Where the scalars of a sump that expands stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ExpansionLayout {
    pub linear: Ix,
    pub drawn_at: Ix,
}

impl Layout {
    /// Density at 15 °C and viscosities at 40 and 100 °C.
    pub(crate) fn oil(&self) -> [Ix; 3] {
        [self.density_15c, self.kv40, self.kv100]
    }

    /// What the true sump holds at a temperature in deg C over what its drawing holds, for the values of all scalars: the volume
    /// scale, times `1 + 3 alpha (t - t_drawn)` where it expands.
    #[inline(always)]
    #[allow(clippy::inline_always)] // so that it is compiled for the widest instructions
    pub(crate) fn volume_scale_at<X: Lanes>(&self, inputs: &[X], temperature_c: X) -> X {
        let Some(e) = self.expansion else { return inputs[self.volume_scale] };
        let (linear, drawn_at) = (inputs[e.linear], inputs[e.drawn_at]);
        let ratio = |i| metal::capacity_ratio_si(linear.lane(i), temperature_c.lane(i), drawn_at.lane(i));
        inputs[self.volume_scale] * X::from_lanes(ratio)
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
    /// Only where there is a thermostat.
    pub opens_at: Option<Ix>,
}

/// Lays the scalars of a circuit of this charge (m3) out flat.
pub(crate) fn flatten(spec: &CircuitSpec, oil: &OilValues, charge: f64) -> Result<(Layout, Vec<Scalar>), CircuitError> {
    let mut flat = Flat { scalars: Vec::new(), judged: &spec.judgement };
    let stick = &spec.dipstick;
    let layout = Layout {
        volume_scale: flat.push("geometry.volume_scale", &spec.geometry.volume_scale),
        datum: flat.push("geometry.datum", &spec.geometry.datum),
        expansion: spec.geometry.expansion().map(|linear| ExpansionLayout {
            linear: flat.push_as("geometry.metal_expansion", &linear, spec.geometry.metal_expansion.is_none()),
            drawn_at: flat.push("geometry.drawn_at", &spec.geometry.drawn_at),
        }),
        stick: StickLayout {
            min: flat.push("dipstick.min", &stick.min),
            max: flat.push("dipstick.max", &stick.max),
            scatter: flat.push("dipstick.scatter", &stick.scatter),
            seat_offset: flat.push("dipstick.seat_offset", &stick.seat_offset),
            meniscus: flat.push("dipstick.meniscus", &stick.meniscus),
            smear: flat.push("dipstick.smear", &stick.smear),
            faces: flat.push("dipstick.faces", &stick.faces),
            tube_pressure: flat.push("dipstick.tube_pressure", &stick.tube_pressure),
        },
        density_15c: flat.push_as("fluid.density_15c", &oil.density_15c, spec.fluid.density_15c.is_none()),
        kv40: flat.push_as("fluid.kv40", &oil.kv40, spec.fluid.kv40.is_none()),
        kv100: flat.push_as("fluid.kv100", &oil.kv100, spec.fluid.kv100.is_none()),
        reference_temperature: flat.push("reference.temperature", &spec.reference.temperature),
        reference_wait: flat.push("reference.wait", &spec.reference.waited()),
        filter: spec.filter.as_ref().map(|f| flat.push_filter(f)).transpose()?,
        filler: spec.filler.as_ref().map(|f| FillerLayout {
            wetted: flat.push("filler.wetted", &f.wetted),
            film_time: flat.push("filler.film_time", &f.film_time),
        }),
        cooling: spec.cooling.as_ref().map(|c| CoolingLayout {
            time: flat.push("cooling.time", &c.time),
            ambient: c.ambient.as_ref().map_or(usize::MAX, |t| flat.push("cooling.ambient", t)),
        }),
        pickup_margin: spec.pickup.as_ref().map(|p| flat.push("pickup.margin", &p.margin)),
        plugs: (spec.plugs.iter())
            .map(|(name, p)| {
                let heel = p.heel.as_ref().map(|heel| flat.push(&format!("plugs.{name}.heel"), heel));
                let lip = p.heel.is_none().then(|| flat.push(&format!("plugs.{name}.lip"), &p.lip));
                (name.clone(), PlugLayout { heel, lip })
            })
            .collect(),
        stores: (spec.stores.iter())
            .map(|(name, s)| (name.clone(), flat.push_store(name, s, &s.values(charge))))
            .collect(),
        instruments: (spec.instruments.iter())
            .map(|(name, i)| (name.clone(), flat.push(&format!("instruments.{name}.scale"), &i.scale)))
            .collect(),
        sticks: (spec.sticks.iter())
            .map(|(name, s)| {
                let path = |field: &str| format!("sticks.{name}.{field}");
                let layout = OtherStickLayout {
                    min: flat.push(&path("min"), &s.min),
                    max: flat.push(&path("max"), &s.max),
                    longer: flat.push(&path("longer"), &s.longer),
                };
                (name.clone(), layout)
            })
            .collect(),
    };
    // Where no ambient temperature is stated it is that of the reference condition: one input, not two.
    let ambient = |c: CoolingLayout| CoolingLayout {
        ambient: if c.ambient == usize::MAX { layout.reference_temperature } else { c.ambient },
        ..c
    };
    let cooling = layout.cooling.map(ambient);
    Ok((Layout { cooling, ..layout }, flat.scalars))
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

struct Flat<'a> {
    scalars: Vec<Scalar>,
    /// Paths, or beginnings of paths, that the file marks as judgement.
    judged: &'a [String],
}

impl Flat<'_> {
    fn push<D: Dimension>(&mut self, path: &str, value: &Value<D>) -> Ix {
        self.push_as(path, value, false)
    }

    fn push_as<D: Dimension>(&mut self, path: &str, value: &Value<D>, by_default: bool) -> Ix {
        let marked = |p: &String| path.strip_prefix(p.as_str()).is_some_and(|r| r.is_empty() || r.starts_with('.'));
        let judgement = by_default || self.judged.iter().any(marked);
        let distribution = value.distribution().clone();
        self.scalars.push(Scalar { path: path.into(), distribution, dimension: D::ID, judgement });
        self.scalars.len() - 1
    }

    fn push_filter(&mut self, filter: &FilterSpec) -> Result<FilterLayout, CircuitError> {
        let net = filter.net()?;
        Ok(FilterLayout {
            net_volume: self.push_as("filter.net_volume", &net, filter.net_volume.is_none()),
            spill: self.push_as("filter.spill", &filter.spill_share(), filter.spill.is_none()),
            leak: filter.drains_share().map(|drains| FilterLeak {
                drains: self.push_as("filter.drains", &drains, filter.drains.is_none()),
                drain_time: self.push("filter.drain_time", &filter.drain_time),
            }),
        })
    }

    fn push_store(&mut self, name: &str, spec: &super::spec::StoreSpec, store: &StoreValues) -> StoreLayout {
        let path = |field: &str| format!("stores.{name}.{field}");
        StoreLayout {
            kept: self.push_as(&path("kept"), &store.kept, spec.kept.is_none()),
            running: self.push_as(&path("running"), &store.running, spec.running.is_none()),
            film: self.push_as(&path("film"), &store.film, spec.film.is_none()),
            pool_time: self.push_as(&path("pool_time"), &store.pool_time, spec.pool_time.is_none()),
            inertia_time: self.push_as(&path("inertia_time"), &store.inertia_time, spec.inertia_time.is_none()),
            film_time: self.push_as(&path("film_time"), &store.film_time, spec.film_time.is_none()),
            opens_at: store.opens_at.as_ref().map(|t| self.push_as(&path("opens_at"), t, spec.opens_at.is_none())),
        }
    }
}
