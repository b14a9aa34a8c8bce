//! The errors that Python cannot make, each made here. All others are made by `tests/python/messages.py`, which lists these as
//! `NONE`; together they are every variant of every error enum.

use std::collections::BTreeSet;
use std::sync::atomic::AtomicBool;

use fillmark::Error;
use fillmark::circuit::Circuit;
use fillmark::estimate::{Inputs, PlanOptions, PredictOptions, plan_refill, predict};
use fillmark::fluid::{FluidError, GlycolWater};
use fillmark::geometry::{Attitude, GeometryError, Point, Section, Sump};
use fillmark::infer::explain::{DiagnoseOptions, ExplainError, Record, diagnose};
use fillmark::infer::learn::{CalibrateOptions, calibrate};
use fillmark::service::{Action, ServiceError};
use fillmark::units::Distribution;
use uom::si::f64::{Length, Volume};
use uom::si::length::millimeter;
use uom::si::volume::liter;

/// The variant's code, an error of that variant, and the code it tells: its own, or that of the error it carries.
type Row = (&'static str, fn() -> Error, &'static str);

fn bus() -> Circuit {
    Circuit::demo("shuttle-bus").unwrap()
}

fn stopped_prediction() -> Error {
    let stop = AtomicBool::new(true);
    let mut options = PredictOptions::default().draws(100);
    options.stop = Some(&stop);
    predict(&bus(), &[Action::read().into()], &options).unwrap_err()
}

fn stopped_diagnosis() -> Error {
    let text = "format = 1\ncomplaint = \"reads_over\"\nevents = [\"drain 10 min\", \"change filter\", \"pour 7 L\", \
                \"run 1 min\", \"rest 15 min\"]\nreadings = [{ mm = \"119 mm\" }]";
    let stop = AtomicBool::new(true);
    let mut options = DiagnoseOptions::default();
    options.smc.stop = Some(&stop);
    let error = diagnose(&bus(), &Record::loads(text).unwrap(), &options).unwrap_err();
    assert!(matches!(error, Error::Explain(ExplainError::Stopped)), "{error}");
    error
}

fn element_of_an_array() -> Error {
    let mm = Length::new::<millimeter>;
    let curve = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap().curve(Attitude::LEVEL).unwrap();
    curve.volumes_si(&[0.01, 0.2]).unwrap_err().into()
}

fn section_mismatch() -> Error {
    let mm = Length::new::<millimeter>;
    let outline = |corners: &[[f64; 2]]| corners.iter().map(|[x, y]| (mm(*x), mm(*y))).collect::<Vec<_>>();
    let square = [[0.0, 0.0], [100.0, 0.0], [100.0, 100.0], [0.0, 100.0]];
    let sections = [(0.0, &square[..]), (100.0, &square[..3])];
    let sections = sections.map(|(at, corners)| Section { at: mm(at), outline: outline(corners) });
    Sump::from_sections(&sections).unwrap_err().into()
}

fn no_marks() -> Error {
    let added: Vec<_> = [0.0, 0.5, 0.5].map(Volume::new::<liter>).to_vec();
    let read: Vec<_> = [20.0, 30.0, 40.0].map(Length::new::<millimeter>).to_vec();
    calibrate(&added, &read, &CalibrateOptions::default()).unwrap().span().unwrap_err()
}

fn in_a_list_of_a_plan() -> Error {
    let error = plan_refill(&bus(), &[Action::ClosePlug { plug: None }.into()], &[], &PlanOptions::default());
    let error = error.unwrap_err();
    assert!(matches!(error, Error::Service(ServiceError::InList { .. })), "{error}");
    error
}

fn quantity_of_geometry() -> Error {
    let error = Point::from_mm([0.0, f64::NAN, 0.0]).unwrap_err();
    assert!(matches!(error, GeometryError::Quantity(_)), "{error}");
    error.into()
}

fn quantity_of_a_fluid() -> Error {
    let error = GlycolWater::new(f64::NAN, fillmark::fluid::Basis::Mass).unwrap_err();
    assert!(matches!(error, FluidError::Quantity(_)), "{error}");
    error.into()
}

fn repeated_input() -> Error {
    let one = || Distribution::Exact(1.0);
    Inputs::new([("a", one()), ("a", one())]).unwrap_err().into()
}

const MADE_HERE: [Row; 10] = [
    ("estimate.stopped", stopped_prediction, "estimate.stopped"),
    ("explain.stopped", stopped_diagnosis, "explain.stopped"),
    ("estimate.repeated_input", repeated_input, "estimate.repeated_input"),
    ("fluid.not_a_percentage", || GlycolWater::parse("some % mass").unwrap_err().into(), "fluid.not_a_percentage"),
    ("fluid.quantity", quantity_of_a_fluid, "quantity.not_finite"),
    ("geometry.element", element_of_an_array, "geometry.element"),
    ("geometry.quantity", quantity_of_geometry, "quantity.not_finite"),
    ("geometry.section_mismatch", section_mismatch, "geometry.section_mismatch"),
    ("learn.no_marks", no_marks, "learn.no_marks"),
    ("service.in_list", in_a_list_of_a_plan, "service.impossible"),
];
/// Made in `service::tests::errors`, from inside.
const MADE_ELSEWHERE: [&str; 1] = ["service.pools"];

#[test]
fn each_is_made_with_its_code() {
    for (variant, make, code) in MADE_HERE {
        let error = make();
        assert_eq!(error.code(), code, "{variant}: {error}");
        assert!(!error.to_string().is_empty() && error.fields().len() < 10, "{variant}");
    }
}

#[test]
fn they_are_those_that_python_does_not_make() {
    let listed = include_str!("../../tests/python/messages.py");
    let (_, listed) = listed.split_once("\nNONE = {\n").unwrap();
    let (listed, _) = listed.split_once("\n}").unwrap();
    let listed: BTreeSet<&str> = listed.lines().filter_map(|line| line.split('"').nth(1)).collect();
    let made = MADE_HERE.iter().map(|row| row.0).chain(MADE_ELSEWHERE);
    assert_eq!(listed, made.collect());
}
