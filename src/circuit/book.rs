//! From a service sheet to a circuit: the figures a workshop has when it has no drawing.

use std::collections::BTreeMap;

use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::spec::{
    BookSpec, CircuitSpec, DipstickSpec, FORMAT, FilterSpec, FluidSpec, FuelSpec, GeometrySpec, InstrumentSpec,
    PlugSpec, ReferenceSpec, StoreKind, StoreSpec, SumpSpec,
};
use super::{Circuit, CircuitError};
use crate::Error;
use crate::numeric::check;
use crate::units::{self, Distribution, Value};

/// MIN to MAX as a share of the sump's volume at MAX: limits of six published cases; the middle is 0.21.
pub const SPAN_SHARE: [f64; 2] = [0.17, 0.25];
/// Residue as a share of the dry capacity, median and standard deviation of the logarithm (judgement: dry and service capacities differ by 3 to
/// 26 % of the dry one in nine cases of ten).
pub const RESIDUE_SHARE: (f64, f64) = (0.09, 0.66);
/// Filter as a share of the service capacity, limits (judgement).
pub const FILTER_SHARE: [f64; 2] = [0.03, 0.10];
/// How long the nominal drain of a sheet lasts, s: common practice, no source.
pub const NOMINAL_DRAIN_S: f64 = 600.0;
/// Temperature of the oil then, °C: common practice, no source.
pub const NOMINAL_DRAIN_C: f64 = 60.0;
/// Standard uncertainty of one drain's heel about the nominal one (judgement).
const DRAIN_SCATTER_M3: f64 = 1e-4;
/// Liquid space drawn above MAX, as a share of the volume at MAX (judgement; it only bounds what can be poured).
const HEADROOM: f64 = 0.5;

/// Figures of a service sheet, from which a circuit without plan form is built: it serves level ground only.
///
/// At least one of the three capacities is needed; the others follow from it, from what else is stated, or from a default that is marked as
/// judgement and carries its uncertainty:
///
/// * the filter is the difference of the two service capacities, else as stated, else 3 to 10 % of the service capacity;
/// * the residue is `dry - service with filter`, else as stated, else lognormal with the median 9 % of the dry capacity and 0.66 for the logarithm;
/// * the span is 17 to 25 % of the sump's volume at MAX (published cases).
///
/// The figures are exact; uncertainty goes into the circuit made of them, such as `("book.dry", "8.1(1) L")` in
/// [`Circuit::replace`](super::Circuit::replace). Oil, place of MAX and jug are made up on every sheet: exact, and marked as judgement too.
///
/// What one *drain* leaves scatters about that nominal residue by 0.1 L (judgement). The nominal residue itself moves the volume at MAX along
/// with it, so it does not blur a refill; it stands in `book.residue`.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Book {
    /// Name of the circuit.
    pub name: String,
    /// Refill after a drain with filter change.
    pub service_with_filter: Option<Volume>,
    /// Refill after a drain, filter kept.
    pub service_without_filter: Option<Volume>,
    /// Empty engine to MAX.
    pub dry: Option<Volume>,
    /// What the filter holds; zero for a circuit without one.
    pub filter: Option<Volume>,
    /// MIN to MAX.
    pub span: Option<Volume>,
    /// Distance between the marks along an upright stick.
    pub span_length: Length,
    /// What one drain nominally leaves, filter taken off, at the reference temperature.
    pub residue: Option<Volume>,
    /// Stores of the circuit, by kind, each with the defaults of its kind.
    pub stores: Vec<StoreKind>,
}

impl Book {
    /// A sheet without figures yet; marks 25 mm apart (judgement).
    pub fn new(name: &str) -> Self {
        Self {
            name: name.into(),
            service_with_filter: None,
            service_without_filter: None,
            dry: None,
            filter: None,
            span: None,
            span_length: Length::new::<meter>(0.025),
            residue: None,
            stores: Vec::new(),
        }
    }

    /// The sheet's figures, completed and checked against each other (L).
    pub(crate) fn figures(&self) -> Result<Figures, Error> {
        let stated_residue = self.residue.map(|v| litres("residue", v, 0.05)).transpose()?;
        let Capacities { with, dry, filter, filter_given } = self.capacities(stated_residue)?;
        let between = dry.filter(|_| self.states_service()).map(|d| rounded(d - with));
        let known = between.or(stated_residue);
        let share = RESIDUE_SHARE.0;
        let residue = known.unwrap_or_else(|| dry.map_or(with * share / (1.0 - share), |d| d - with));
        Ok(Figures {
            with,
            filter,
            filter_given,
            residue,
            residue_given: known.is_some(),
            span: self.span.map(|v| litres("span", v, 0.05)).transpose()?,
            span_mm: check::in_range("span_length", self.span_length.get::<meter>() * 1e3, 1.0, 1000.0, "mm")?,
            sized_by_service: self.service_with_filter.is_some(),
        })
    }

    /// The circuit whose sump holds `at_max` at MAX and whose drain leaves `heel` in it (L).
    pub(crate) fn drawn(&self, figures: &Figures, at_max: f64, heel: f64) -> Result<Circuit, Error> {
        let span = figures.span.unwrap_or(f64::midpoint(SPAN_SHARE[0], SPAN_SHARE[1]) * at_max);
        if span >= at_max {
            let message = format!("span = {span} L is not less than the {} L held at MAX", shown(at_max));
            return Err(contradiction(&message));
        }
        let drawn = Drawn { figures, heel, at_max, span, max_mm: at_max * figures.span_mm / span };
        Circuit::from_spec(self.spec(&drawn), &no_files)
    }

    /// The capacities and the filter, completed and checked against each other (L).
    fn capacities(&self, residue: Option<f64>) -> Result<Capacities, Error> {
        let read = |what: &str, v: Option<Volume>| v.map(|v| litres(what, v, 0.05)).transpose();
        let with = read("service_with_filter", self.service_with_filter)?;
        let without = read("service_without_filter", self.service_without_filter)?;
        let dry = read("dry", self.dry)?;
        let stated = self.filter.map(|v| litres("filter", v, 0.0)).transpose()?;
        let mut between = None;
        if let (Some(with), Some(without)) = (with, without) {
            not_more("service capacity without filter", without, "the one with filter", with)?;
            let differ = rounded(with - without);
            if let Some(stated) = stated.filter(|s| (s - differ).abs() > AGREE_L) {
                let message = format!("filter = {stated} L, but the service capacities differ by {differ} L");
                return Err(contradiction(&message));
            }
            between = Some(differ);
        }
        let Some(rough) = with.or(without).or(dry) else {
            return Err(contradiction(
                "no capacity is stated; service_with_filter, service_without_filter or dry is wanted",
            ));
        };
        let known = between.or(stated);
        let filter = known.unwrap_or_else(|| rounded(rough * f64::midpoint(FILTER_SHARE[0], FILTER_SHARE[1])));
        let by_dry = |dry: f64| dry - residue.unwrap_or(RESIDUE_SHARE.0 * dry);
        let with = with.or(without.map(|w| rounded(w + filter))).unwrap_or_else(|| rounded(by_dry(rough)));
        not_more("filter", filter, "service capacity with filter", with)?;
        if let Some(dry) = dry {
            if dry <= with {
                let message = format!("dry = {dry} L must exceed the service capacity with filter = {with} L");
                return Err(contradiction(&message));
            }
            if let Some(stated) = residue.filter(|r| (dry - with - r).abs() > AGREE_L) {
                let differ = rounded(dry - with);
                return Err(contradiction(&format!(
                    "residue = {stated} L, but dry less service capacity is {differ} L"
                )));
            }
        }
        Ok(Capacities { with, dry, filter, filter_given: known.is_some() })
    }

    fn states_service(&self) -> bool {
        self.service_with_filter.is_some() || self.service_without_filter.is_some()
    }

    /// The stores by the word of their kind, numbered where a kind comes twice.
    fn stores(&self) -> BTreeMap<String, StoreSpec> {
        let mut stores = BTreeMap::new();
        for kind in &self.stores {
            let first = word(*kind).to_string();
            let named = (2..).map(|n| format!("{first}{n}"));
            let name = std::iter::once(first.clone()).chain(named).find(|n| !stores.contains_key(n)).unwrap_or(first);
            stores.insert(name, StoreSpec { kind: Some(*kind), ..StoreSpec::default() });
        }
        stores
    }

    fn spec(&self, drawn: &Drawn<'_>) -> CircuitSpec {
        let (f, at_max, max_mm) = (drawn.figures, drawn.at_max, drawn.max_mm);
        let top_mm = max_mm * (1.0 + HEADROOM);
        // The oil, where MAX stands and the jug are made up on every sheet.
        let mut judgement: Vec<String> = ["plugs", "fluid", "dipstick.max", "instruments.jug"].map(Into::into).to_vec();
        let mut judged = |given: bool, path: &str| {
            if !given {
                judgement.push(path.to_string());
            }
        };
        judged(f.filter_given, "filter.net_volume");
        judged(f.span.is_some(), "dipstick.min");
        judged(f.residue_given, "book.residue");
        CircuitSpec {
            format: FORMAT,
            name: self.name.clone(),
            note: Some("Built from book figures: constant area, level ground only, one plug.".into()),
            sump: SumpSpec::Table {
                level_mm: vec![0.0, top_mm],
                volume_l: vec![0.0, at_max * (1.0 + HEADROOM)],
                centroid_mm: Vec::new(),
            },
            geometry: GeometrySpec::default(),
            dipstick: DipstickSpec {
                path_mm: vec![[0.0, 0.0, 0.0], [0.0, 0.0, top_mm]],
                ..DipstickSpec::plain(drawn.min(), Value::constant(max_mm * 1e-3))
            },
            plugs: [("main".to_string(), plug(drawn.heel()))].into(),
            filter: (f.filter > 0.0).then(|| FilterSpec::holding(f.filter_value())),
            stores: self.stores(),
            filler: None,
            sticks: BTreeMap::new(),
            cooling: None,
            crank: None,
            pickup: None,
            pump: None,
            judgement,
            fluid: FluidSpec {
                grade: None,
                density_15c: Some(Value::constant(868.0)),
                kv40: Some(Value::constant(95e-6)),
                kv100: Some(Value::constant(14.3e-6)),
                fuel: FuelSpec::default(),
            },
            book: Some(self.book(drawn)),
            reference: ReferenceSpec::default(),
            instruments: [("jug".to_string(), InstrumentSpec::default())].into(),
        }
    }

    /// What the sheet says, and what is assumed in place of what it does not say.
    fn book(&self, drawn: &Drawn<'_>) -> BookSpec {
        let f = drawn.figures;
        let said = |v: Option<Volume>| v.map(|v| Value::constant(v.get::<cubic_meter>()));
        let (median, sigma) = (f.residue * 1e-3, RESIDUE_SHARE.1);
        let assumed = || value(Distribution::log_normal("residue", median, sigma), f.residue);
        let span = SPAN_SHARE.map(|share| share * drawn.at_max * 1e-3);
        let span = || value(Distribution::rectangular("span", span[0], span[1]), drawn.span);
        BookSpec {
            service_with_filter: said(self.service_with_filter),
            service_without_filter: said(self.service_without_filter),
            dry: said(self.dry),
            residue: Some(if f.residue_given { Value::constant(f.residue * 1e-3) } else { assumed() }),
            span: Some(said(self.span).unwrap_or_else(span)),
        }
    }
}

/// Figures that are printed to the centilitre agree when they differ by no more (L).
const AGREE_L: f64 = 0.01;

/// The sheet's capacities in litres, completed.
struct Capacities {
    with: f64,
    dry: Option<f64>,
    filter: f64,
    filter_given: bool,
}

/// The sheet's figures in litres and millimetres, completed.
pub(crate) struct Figures {
    /// Service capacity with filter.
    pub(crate) with: f64,
    /// What the filter holds.
    pub(crate) filter: f64,
    filter_given: bool,
    /// Dry capacity less `with`.
    pub(crate) residue: f64,
    residue_given: bool,
    span: Option<f64>,
    span_mm: f64,
    /// Whether the stores are sized by the service capacity, not by what the sump holds at MAX.
    pub(crate) sized_by_service: bool,
}

/// What is drawn by the figures, in litres and millimetres.
struct Drawn<'a> {
    figures: &'a Figures,
    heel: f64,
    at_max: f64,
    span: f64,
    max_mm: f64,
}

impl Drawn<'_> {
    /// MIN: where the span is a default, its limits become those of the mark, so that litres per span carry them.
    fn min(&self) -> Value<units::Length> {
        let span_mm = self.figures.span_mm;
        let at = (self.max_mm - span_mm) * 1e-3;
        if self.figures.span.is_some() {
            return Value::constant(at);
        }
        let share = self.span / self.at_max;
        let [low, high] = SPAN_SHARE.map(|s| (self.max_mm - span_mm * s / share) * 1e-3);
        Distribution::rectangular("dipstick.min", high, low)
            .map_or_else(|_| Value::constant(at), Value::from_distribution)
    }

    /// The heel: normal about the nominal one, cut off at nothing and moved so that its mean is the nominal one; from nothing to
    /// twice as much where that is so little that no normal does it.
    fn heel(&self) -> Value<units::Volume> {
        let (heel, most) = (self.heel * 1e-3, self.at_max * 1e-3);
        let about = |centre: f64| Distribution::truncated_normal("heel", centre, DRAIN_SCATTER_M3, 0.0, most);
        let mean = |centre: f64| about(centre).map_or(0.0, |d| d.nominal());
        let (mut low, mut high) = (heel - FURTHEST * DRAIN_SCATTER_M3, heel + FURTHEST * DRAIN_SCATTER_M3);
        if mean(heel) == heel {
            return value(about(heel), self.heel);
        }
        if mean(low) > heel {
            return value(Distribution::rectangular("heel", 0.0, 2.0 * heel), self.heel);
        }
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            *(if mean(middle) > heel { &mut high } else { &mut low }) = middle;
        }
        value(about(f64::midpoint(low, high)), self.heel)
    }
}

/// How many standard deviations the normal of a heel is moved at most.
const FURTHEST: f64 = 30.0;

impl Figures {
    fn filter_value(&self) -> Value<units::Volume> {
        if self.filter_given {
            return Value::constant(self.filter * 1e-3);
        }
        let share = f64::midpoint(FILTER_SHARE[0], FILTER_SHARE[1]);
        let [low, high] = FILTER_SHARE.map(|s| self.filter * s / share * 1e-3);
        value(Distribution::rectangular("filter.net_volume", low, high), self.filter)
    }
}

/// The distribution, or the number alone (L) should it not be one.
fn value(of: Result<Distribution, units::QuantityError>, litres: f64) -> Value<units::Volume> {
    of.map_or_else(|_| Value::constant(litres * 1e-3), Value::from_distribution)
}

fn plug(heel: Value<units::Volume>) -> PlugSpec {
    PlugSpec {
        at_mm: [0.0; 3],
        bore: Value::constant(0.014),
        boss: Value::constant(0.010),
        axis: [0.0, 0.0, -1.0],
        lip: Value::constant(0.0),
        heel: Some(heel),
    }
}

fn word(kind: StoreKind) -> &'static str {
    match kind {
        StoreKind::Galleries => "galleries",
        StoreKind::Head => "head",
        StoreKind::Cooler => "cooler",
        StoreKind::Lines => "lines",
        StoreKind::Crankcase => "crankcase",
    }
}

impl StoreKind {
    /// The kind of this name.
    pub fn named(name: &str) -> Result<Self, CircuitError> {
        let all = [Self::Galleries, Self::Head, Self::Cooler, Self::Lines, Self::Crankcase];
        all.into_iter()
            .find(|k| word(*k) == name)
            .ok_or_else(|| CircuitError::UnknownStoreKind { name: name.into(), accepted: all.map(word).join(", ") })
    }
}

fn litres(what: &str, volume: Volume, least: f64) -> Result<f64, Error> {
    Ok(check::in_range(what, volume.get::<cubic_meter>() * 1e3, least, 1000.0, "L")?)
}

fn not_more(less: &str, small: f64, more: &str, large: f64) -> Result<(), Error> {
    if small <= large {
        return Ok(());
    }
    Err(contradiction(&format!("{less} = {small} L exceeds {more} = {large} L")))
}

/// A difference of two printed figures, to a nanolitre: cleared of the rounding that binary subtraction leaves.
fn rounded(litres: f64) -> f64 {
    (litres * 1e9).round() / 1e9
}

/// A volume to a microlitre, for messages.
pub(crate) fn shown(litres: f64) -> f64 {
    (litres * 1e6).round() / 1e6
}

pub(crate) fn contradiction(message: &str) -> Error {
    CircuitError::BookContradicts { message: message.into() }.into()
}

fn no_files(_: &str) -> Result<Vec<u8>, String> {
    Err("book figures name no files".into())
}
