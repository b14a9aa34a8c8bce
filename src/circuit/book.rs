//! From a service sheet to a circuit: the figures a workshop has when it has no drawing.

use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::spec::{
    BookSpec, CircuitSpec, DipstickSpec, FORMAT, FilterSpec, FluidSpec, GeometrySpec, InstrumentSpec, PlugSpec,
    ReferenceSpec, SumpSpec,
};
use super::{Circuit, CircuitError};
use crate::Error;
use crate::numeric::check;
use crate::units::{Distribution, Value};

/// MIN to MAX as a share of the sump's volume at MAX: 0.17 to 0.25 in six published cases; default 0.21.
const SPAN_SHARE: f64 = 0.21;
/// Residue as a share of the service capacity with filter (judgement: median of what dry and service figures differ by).
const RESIDUE_SHARE: f64 = 0.09;
/// Standard uncertainty of one drain's residue about the nominal one (judgement).
const RESIDUE_SCATTER_M3: f64 = 1e-4;
/// Liquid space drawn above MAX, as a share of the volume at MAX (judgement; it only bounds what can be poured).
const HEADROOM: f64 = 0.5;

/// Figures of a service sheet, from which a circuit without plan form is built: it serves level ground only.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Book {
    /// Name of the circuit.
    pub name: String,
    /// Refill after a drain with filter change.
    pub service_with_filter: Volume,
    /// Refill after a drain, filter kept; the difference is the filter's net volume.
    pub service_without_filter: Volume,
    /// MIN to MAX; 0.21 of the sump's volume at MAX where the sheet does not say.
    pub span: Option<Volume>,
    /// Distance between the marks along an upright stick.
    pub span_length: Length,
    /// Volume one drain leaves; 0.09 of the service capacity with filter where not known (judgement).
    pub residue: Option<Volume>,
}

impl Book {
    /// A sheet with the two service capacities; marks 25 mm apart (judgement), the rest by default.
    pub fn new(name: &str, service_with_filter: Volume, service_without_filter: Volume) -> Self {
        Self {
            name: name.into(),
            service_with_filter,
            service_without_filter,
            span: None,
            span_length: Length::new::<meter>(0.025),
            residue: None,
        }
    }

    /// Builds the circuit: a sump of constant area `span / span_length` whose volume at MAX is
    /// `service with filter − filter + residue`, read by an upright stick standing on its floor.
    ///
    /// ```
    /// use fillmark::circuit::Book;
    /// use fillmark::uom::si::{f64::Volume, volume::liter};
    /// let book = Book::new("workshop sheet", Volume::new::<liter>(5.4), Volume::new::<liter>(5.0));
    /// let circuit = book.circuit()?;
    /// assert_eq!(circuit.spec().filter.as_ref().and_then(|f| f.net_volume.as_ref()).map(ToString::to_string), Some("0.4 L".into()));
    /// # Ok::<(), fillmark::Error>(())
    /// ```
    pub fn circuit(&self) -> Result<Circuit, Error> {
        let with = litres("service_with_filter", self.service_with_filter)?;
        let without = litres("service_without_filter", self.service_without_filter)?;
        if without > with {
            return Err(contradiction(&format!(
                "service capacity without filter = {without} L exceeds the one with filter = {with} L"
            )));
        }
        let filter = round_ml(with - without);
        let residue = self.residue.map_or(Ok(RESIDUE_SHARE * with), |v| litres("residue", v))?;
        let at_max = with - filter + residue;
        let span = self.span.map_or(Ok(SPAN_SHARE * at_max), |v| litres("span", v))?;
        if span >= at_max {
            return Err(contradiction(&format!("span = {span} L is not less than the {at_max} L held at MAX")));
        }
        let span_mm = check::in_range("span_length", self.span_length.get::<meter>() * 1e3, 1.0, 1000.0, "mm")?;
        let max_mm = at_max * span_mm / span;
        Circuit::from_spec(
            self.spec(&Figures { with, without, filter, residue, at_max, span, span_mm, max_mm }),
            &no_files,
        )
    }

    fn spec(&self, f: &Figures) -> CircuitSpec {
        let top_mm = f.max_mm * (1.0 + HEADROOM);
        let residue =
            Distribution::truncated_normal("residue", f.residue * 1e-3, RESIDUE_SCATTER_M3, 0.0, f.at_max * 1e-3);
        CircuitSpec {
            format: FORMAT,
            name: self.name.clone(),
            note: Some("Built from book figures: constant area, level ground only, one plug.".into()),
            sump: SumpSpec::Table { level_mm: vec![0.0, top_mm], volume_l: vec![0.0, f.at_max * (1.0 + HEADROOM)] },
            geometry: GeometrySpec::default(),
            dipstick: DipstickSpec {
                path_mm: vec![[0.0, 0.0, 0.0], [0.0, 0.0, top_mm]],
                ..DipstickSpec::plain(Value::constant((f.max_mm - f.span_mm) * 1e-3), Value::constant(f.max_mm * 1e-3))
            },
            plugs: [(
                "main".to_string(),
                PlugSpec {
                    at_mm: [0.0; 3],
                    bore: Value::constant(0.014),
                    boss: Value::constant(0.010),
                    axis: [0.0, 0.0, -1.0],
                    lip: Value::constant(0.0),
                    heel: Some(residue.map_or_else(|_| Value::constant(f.residue * 1e-3), Value::from_distribution)),
                },
            )]
            .into(),
            filter: (f.filter > 0.0).then(|| FilterSpec::holding(Value::constant(f.filter * 1e-3))),
            stores: std::collections::BTreeMap::new(),
            filler: None,
            sticks: std::collections::BTreeMap::new(),
            cooling: None,
            crank: None,
            pickup: None,
            pump: None,
            judgement: Vec::new(),
            fluid: FluidSpec {
                density_15c: Value::constant(868.0),
                kv40: Value::constant(95e-6),
                kv100: Value::constant(14.3e-6),
                fuel: super::spec::FuelSpec::default(),
            },
            book: Some(BookSpec {
                service_with_filter: Some(Value::constant(f.with * 1e-3)),
                service_without_filter: Some(Value::constant(f.without * 1e-3)),
                dry: None,
                residue: None,
                span: Some(Value::constant(f.span * 1e-3)),
            }),
            reference: ReferenceSpec::default(),
            instruments: [("jug".to_string(), InstrumentSpec::default())].into(),
        }
    }
}

/// The sheet's figures in litres and millimetres, checked.
struct Figures {
    with: f64,
    without: f64,
    filter: f64,
    residue: f64,
    at_max: f64,
    span: f64,
    span_mm: f64,
    max_mm: f64,
}

fn litres(what: &str, volume: Volume) -> Result<f64, Error> {
    Ok(check::in_range(what, volume.get::<cubic_meter>() * 1e3, 0.05, 1000.0, "L")?)
}

/// A difference of two printed figures, cleared of the rounding that binary subtraction leaves.
fn round_ml(litres: f64) -> f64 {
    (litres * 1e6).round() / 1e6
}

fn contradiction(message: &str) -> Error {
    CircuitError::BookContradicts { message: message.into() }.into()
}

fn no_files(_: &str) -> Result<Vec<u8>, String> {
    Err("book figures name no files".into())
}
