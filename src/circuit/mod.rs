//! The circuit: what is bolted together, its book figures and its file format.
//!
//! A [`Circuit`] is made from a [`spec::CircuitSpec`] (usually from TOML or JSON text), checked as a whole, and immutable;
//! [`Circuit::replace`] makes a changed copy.

mod book;
mod check;
mod demo;
mod dipstick;
mod draining;
mod emptying;
mod error;
mod filter;
mod lines;
mod load;
mod oil;
mod places;
mod possible;
mod pressure;
mod replace;
mod scalars;
mod scale;
mod shape;
pub mod spec;
mod store;
mod sucking;
mod surfaces;
mod tree;

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

pub use book::{Book, FILTER_SHARE, NOMINAL_DRAIN_C, NOMINAL_DRAIN_S, RESIDUE_SHARE, SPAN_SHARE};
pub(crate) use book::{Figures, contradiction, shown};
pub use demo::demos;
pub use dipstick::Wetting;
pub(crate) use dipstick::{StickHeights, StickPath};
pub use draining::{Outlet, PlugDrain};
pub(crate) use emptying::Emptying;
pub use error::CircuitError;
pub use filter::NET_OF_CAN;
pub use load::Notation;
#[cfg(any(test, feature = "python"))]
pub(crate) use load::read as read_text;
pub(crate) use load::{nearest, read_formatted, wrong_content};
pub(crate) use places::{FilterPlace, Places, SUMP, StorePlaces};
pub use pressure::{PressureDelay, STOP_LIMIT_S};
pub use scalars::Scalar;
pub(crate) use scalars::{Ix, Layout};
pub use scale::{Mark, MarksAt, ScaleLine};
pub(crate) use store::STATED_VISCOSITY;
pub use store::StoreValues;
pub use sucking::{SuctionRow, TubeDrain};
pub(crate) use surfaces::{Surfaces, in_sixteenths};

use uom::si::f64::{Ratio, ThermodynamicTemperature};
use uom::si::ratio::ratio;

use crate::Error;
use crate::fluid::{FluidError, OilModel};
use crate::geometry::{Attitude, Domain, Point, Sump};
use spec::CircuitSpec;

/// Fetches a file that a circuit names, such as its STL; the message says why it could not be read.
pub type Resolver<'a> = &'a dyn Fn(&str) -> Result<Vec<u8>, String>;

/// A sump with its dipstick, plugs, filter, stores, fluid, book figures and the marks' reference condition.
///
/// Immutable and cheap to clone. Two circuits are equal when their files would be.
///
/// ```
/// let bus = fillmark::circuit::Circuit::demo("shuttle-bus")?;
/// let thin = bus.replace(&[("fluid.kv40", "60 mm2/s"), ("filter.net_volume", "0.40(5) L")])?;
/// assert_ne!(bus, thin);
/// # Ok::<(), fillmark::Error>(())
/// ```
#[derive(Debug, Clone)]
pub struct Circuit(Arc<Parts>);

#[derive(Debug)]
struct Parts {
    spec: CircuitSpec,
    files: BTreeMap<String, Arc<[u8]>>,
    sump: Sump,
    stick: StickPath,
    reference_attitude: Attitude,
    layout: Layout,
    scalars: Vec<Scalar>,
    nominals: Vec<f64>,
    oil: OilModel,
    places: Arc<Places>,
    prepared: Arc<Prepared>,
}

/// What was prepared of a sump at the first question, and is kept: for every circuit made of another by changing what is not
/// the sump.
#[derive(Debug, Default)]
struct Prepared {
    /// Emptying through sets of plugs at attitudes.
    emptyings: Mutex<Vec<(Attitude, Arc<Emptying>)>>,
    /// Surfaces over ranges of attitudes, with the tip of the blade that they are for.
    surfaces: Mutex<Vec<(Domain, Point, Arc<Surfaces>)>>,
}

/// No more prepared emptyings are kept; the oldest goes first.
const MOST_KEPT: usize = 32;
/// Nor more surfaces, which are larger.
const MOST_SURFACES: usize = 4;

impl PartialEq for Circuit {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0) || (self.0.spec == other.0.spec && self.0.files == other.0.files)
    }
}

impl Circuit {
    /// Builds a circuit from its specification; `resolver` fetches the files it names.
    pub fn from_spec(spec: CircuitSpec, resolver: Resolver<'_>) -> Result<Self, Error> {
        let mut files = BTreeMap::new();
        if let Some(file) = spec.sump.file() {
            let bytes =
                resolver(file).map_err(|message| CircuitError::FileUnreadable { file: file.into(), message })?;
            files.insert(file.to_string(), Arc::from(bytes));
        }
        Self::assemble(spec, files, None)
    }

    /// Reads a circuit from TOML or JSON text; `resolver` fetches the files it names. An error of a value says on which line it stands.
    pub fn loads(text: &str, resolver: Resolver<'_>) -> Result<Self, Error> {
        Self::from_spec(load::read_spec(text)?, resolver).map_err(|e| lines::with_line(text, e))
    }

    /// One of the invented demo circuits; [`demos`] lists them.
    pub fn demo(name: &str) -> Result<Self, Error> {
        demo::load(name)
    }

    /// `known` is the sump where it is drawn already, with what was prepared of it so far.
    fn assemble(
        spec: CircuitSpec,
        files: BTreeMap<String, Arc<[u8]>>,
        known: Option<(Sump, Arc<Prepared>)>,
    ) -> Result<Self, Error> {
        let values = spec.fluid.oil()?;
        check::ranges(&spec, &values)?;
        let build = || Ok::<_, Error>((spec.sump.build(&files)?, Arc::default()));
        let (sump, prepared) = known.map_or_else(build, Ok)?;
        let stick = StickPath::from_mm(&spec.dipstick.path_mm)?;
        let reference_attitude = spec.reference.attitude.nominal()?;
        let charge = charge(&spec, &sump, &stick, reference_attitude)?;
        check::fits(&spec, &sump, &stick, reference_attitude, charge)?;
        let (layout, scalars) = scalars::flatten(&spec, &values, charge)?;
        check::judgement(&spec, &scalars)?;
        let nominals: Vec<f64> = scalars.iter().map(|s| s.distribution.nominal()).collect();
        let law = layout.oil().map(|ix| nominals[ix]);
        let oil = OilModel::new(law[0], law[1], law[2])?;
        let at = (&sump, &stick, reference_attitude);
        possible::AtMax::new(at, (&layout, &nominals), &oil, charge)?.suffices(&spec)?;
        let places = Arc::new(Places::of(&layout));
        let parts =
            Parts { spec, files, sump, stick, reference_attitude, layout, scalars, nominals, oil, places, prepared };
        Ok(Self(Arc::new(parts)))
    }

    /// A copy with some inputs changed, each by its path and the new value's text, such as
    /// `("filter.net_volume", "0.40(5) L")`.
    pub fn replace(&self, changes: &[(&str, &str)]) -> Result<Self, Error> {
        let changes: Vec<_> = changes.iter().map(|(p, v)| (*p, serde_json::Value::from(*v))).collect();
        self.replace_json(&changes)
    }

    /// As [`Circuit::replace`], with values of any shape the file format knows.
    pub fn replace_json(&self, changes: &[(&str, serde_json::Value)]) -> Result<Self, Error> {
        let spec = replace::edit(&self.0.spec, &self.0.scalars, changes)?;
        let same = (spec.sump == self.0.spec.sump).then(|| (self.0.sump.clone(), Arc::clone(&self.0.prepared)));
        Self::assemble(spec, self.0.files.clone(), same)
    }

    /// The error for a path that names nothing in this circuit, with the nearest that does.
    #[cfg(feature = "python")]
    pub(crate) fn unknown_path(&self, path: &str) -> CircuitError {
        replace::unknown_path(&self.0.spec, &self.0.scalars, path)
    }

    /// Name of the circuit.
    pub fn name(&self) -> &str {
        &self.0.spec.name
    }

    /// The specification, values and units as written.
    pub fn spec(&self) -> &CircuitSpec {
        &self.0.spec
    }

    /// Files the circuit names, by name.
    pub fn files(&self) -> &BTreeMap<String, Arc<[u8]>> {
        &self.0.files
    }

    /// The sump.
    pub fn sump(&self) -> &Sump {
        &self.0.sump
    }

    /// The attitude at which the marks are true.
    pub fn reference_attitude(&self) -> Attitude {
        self.0.reference_attitude
    }

    /// Every scalar input with its path, in a fixed order.
    pub fn scalars(&self) -> &[Scalar] {
        &self.0.scalars
    }

    pub(crate) fn stick(&self) -> &StickPath {
        &self.0.stick
    }

    pub(crate) fn layout(&self) -> &Layout {
        &self.0.layout
    }

    pub(crate) fn places(&self) -> Arc<Places> {
        Arc::clone(&self.0.places)
    }

    pub(crate) fn nominals(&self) -> &[f64] {
        &self.0.nominals
    }

    /// The oil with these inputs: density at 15 °C (kg/m3), viscosities at 40 and 100 °C (m2/s).
    pub(crate) fn oil(&self, inputs: [f64; 3]) -> Result<OilModel, FluidError> {
        let nominal = self.0.layout.oil().map(|ix| self.0.nominals[ix]);
        if inputs == nominal { Ok(self.0.oil) } else { OilModel::new(inputs[0], inputs[1], inputs[2]) }
    }

    /// How the drawn sump empties through some of the plugs (in the order of their names) at an attitude: prepared once.
    pub(crate) fn emptying(&self, plugs: &[usize], attitude: Attitude) -> Result<Arc<Emptying>, Error> {
        let specs: Vec<_> = self.0.spec.plugs.values().collect();
        let bores = plugs.iter().map(|p| specs[*p].plug()).collect::<Result<Vec<_>, _>>()?;
        let kept = || self.0.prepared.emptyings.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, emptying)) = kept().iter().find(|(a, e)| e.bores() == bores && *a == attitude) {
            return Ok(Arc::clone(emptying));
        }
        // Without the lock: it is worked on several threads. Two that miss at once both prepare it.
        let emptying = Arc::new(Emptying::new(&self.0.sump, bores, attitude)?);
        let mut kept = kept();
        if kept.len() >= MOST_KEPT {
            kept.remove(0);
        }
        kept.push((attitude, Arc::clone(&emptying)));
        Ok(emptying)
    }

    /// The drawn sump's free surfaces over a range of volumes and attitudes: prepared once; `None` when `go_on` ends it.
    pub(crate) fn surfaces(&self, domain: Domain, go_on: &dyn Fn() -> bool) -> Result<Option<Arc<Surfaces>>, Error> {
        let tip = Point::from_si(self.0.stick.point_at(0.0));
        let kept = || self.0.prepared.surfaces.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((.., surfaces)) = kept().iter().find(|(d, t, _)| *d == domain && *t == tip) {
            return Ok(Some(Arc::clone(surfaces)));
        }
        let Some(surfaces) = Surfaces::new_while(&self.0.sump, tip, domain, go_on)? else { return Ok(None) };
        let surfaces = Arc::new(surfaces);
        let mut kept = kept();
        if kept.len() >= MOST_SURFACES {
            kept.remove(0);
        }
        kept.push((domain, tip, Arc::clone(&surfaces)));
        Ok(Some(surfaces))
    }

    /// What the true sump holds at a temperature over what its drawing holds, at nominal values: `geometry.volume_scale`, times
    /// `1 + 3 alpha (t - t_drawn)` where `geometry.metal` or `geometry.metal_expansion` says that it expands.
    ///
    /// # Errors
    /// [`FluidError::OutsideRelation`] for a temperature outside -60 to 200 degC.
    pub fn volume_scale(&self, temperature: ThermodynamicTemperature) -> Result<Ratio, Error> {
        let [t, _] = crate::fluid::metal::accepted(crate::fluid::celsius(temperature), 20.0)?;
        Ok(Ratio::new::<ratio>(self.0.layout.volume_scale_at(&self.0.nominals, t)))
    }

    /// Volume per length of blade at MAX, at the reference attitude (m2): free surface × rise of the blade per length,
    /// `A cos φ` for a straight blade at angle φ to *up*.
    pub fn volume_per_blade(&self) -> Result<f64, Error> {
        let curve = self.0.sump.curve(self.0.reference_attitude)?;
        let heights = self.0.stick.heights(self.0.reference_attitude.up());
        let t = self.0.nominals[self.0.layout.reference_temperature];
        let max = self.0.nominals[self.0.layout.stick.max];
        let level = heights.height_at(max) - self.0.nominals[self.0.layout.datum] - curve.datum_si();
        let area = curve.free_surface_si(level)? * self.0.layout.volume_scale_at(&self.0.nominals, t);
        Ok(area * heights.rise_at(max))
    }

    /// The circuit as TOML, values and units as written.
    pub fn to_toml(&self) -> String {
        toml::to_string(&self.0.spec).unwrap_or_default()
    }

    /// The circuit as JSON, values and units as written.
    pub fn to_json(&self) -> String {
        serde_json::to_string(&self.0.spec).unwrap_or_default()
    }
}

/// What the circuit's default stores are sized by (m3): the service capacity with filter where the book states it, else
/// what the drawn sump holds at MAX.
fn charge(spec: &CircuitSpec, sump: &Sump, stick: &StickPath, attitude: Attitude) -> Result<f64, Error> {
    if let Some(service) = spec.book.as_ref().and_then(|b| b.service_with_filter.as_ref()) {
        return Ok(service.nominal());
    }
    let curve = sump.curve(attitude)?;
    let height = stick.heights(attitude.up()).height_at(spec.dipstick.max.nominal());
    Ok(curve.volume_at(height - curve.datum_si()))
}
