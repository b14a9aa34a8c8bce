//! The Python face: convert, call, convert back. Nothing is computed here.
//!
//! One file per idea: [`errors`] (every error of the crate to its Python class), [`detach`] (leaving the interpreter),
//! [`arrays`] and [`quantity`] (arguments and results with units), then one file per domain folder with its classes.

// Arguments arrive by value: that is how PyO3 hands them over.
#![allow(clippy::needless_pass_by_value)]
// Documentation here is Python's: it is shown by Python's help, not by rustdoc.
#![allow(clippy::doc_link_with_quotes)]

mod arrays;
mod assess;
mod basins;
mod book;
mod circuit;
mod detach;
mod emptying;
mod errors;
mod estimate;
mod events;
mod explain;
mod film;
mod first_order;
mod fluid;
mod geometry;
mod grades;
mod inspection;
mod learn;
mod levels;
mod model;
mod outflow;
mod outlets;
mod plan;
mod plug;
mod pools;
mod propagate;
mod quantity;
mod rates;
mod reads;
mod rebuild;
mod recipe;
mod reduced_time;
mod residue;
mod response;
mod row_pool;
mod scale;
mod sensitivity;
mod service;
mod service_file;
mod shapes;
mod suction;
mod sump;
mod text;
mod tornado;
mod unit;
mod value;
mod wait;
mod worth;

use pyo3::prelude::*;

/// Says how the compiled part was built.
///
/// Returns
/// -------
/// dict
///     ``version`` (of the crate), ``profile`` (``"release"`` or ``"debug"``) and ``features`` (of the crate).
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> fm.build_info()["version"] == fm.__version__
/// True
#[pyfunction]
fn build_info(py: Python<'_>) -> PyResult<Bound<'_, pyo3::types::PyDict>> {
    let info = pyo3::types::PyDict::new(py);
    info.set_item("version", env!("CARGO_PKG_VERSION"))?;
    info.set_item("profile", if cfg!(debug_assertions) { "debug" } else { "release" })?;
    let known = [
        ("abi3", cfg!(feature = "abi3")),
        ("parallel", cfg!(feature = "parallel")),
        ("stubs", cfg!(feature = "stubs")),
    ];
    let features: Vec<&str> = known.iter().filter(|(_, on)| *on).map(|(name, _)| *name).collect();
    info.set_item("features", features)?;
    Ok(info)
}

/// Does nothing with a number and an object: what a call itself costs, to compare timings with.
///
/// Parameters
/// ----------
/// level_mm : float
///     Any number.
/// attitude : object
///     Anything.
///
/// Returns
/// -------
/// float
///     The number.
#[pyfunction(name = "_nothing")]
#[pyo3(signature = (*, level_mm, attitude = None))]
fn nothing(level_mm: f64, attitude: Option<Bound<'_, PyAny>>) -> f64 {
    let _ = attitude;
    level_mm
}

/// Compiled part of fillmark.
#[pymodule(gil_used = false)]
mod _core {
    #[pymodule_export]
    use super::assess::{Assessment, assess};
    #[pymodule_export]
    use super::basins::{AirLock, Basin, Basins};
    #[pymodule_export]
    use super::book::{Reconciliation, reconcile};
    #[pymodule_export]
    use super::build_info;
    #[pymodule_export]
    use super::circuit::{Circuit, demos};
    #[pymodule_export]
    use super::emptying::{EmptyingTime, emptying_seconds, emptying_time};
    #[pymodule_export]
    use super::estimate::{Draws, PredictedReading, Prediction, predict};
    #[pymodule_export]
    use super::events::{
        ChangeFilter, ClosePlug, Drain, Event, FitFilter, OpenPlug, Pour, RemoveFilter, Rest, Run, Tilt, Withdraw,
    };
    #[pymodule_export]
    use super::explain::{Cause, Check, Hypothesis, Record, Unknown, Verdict, cause_priors, diagnose, diagnose_many};
    #[pymodule_export]
    use super::film::{FloorFilm, WallFilm, capillary_length_mm, withdrawal_film_um};
    #[pymodule_export]
    use super::first_order::FirstOrder;
    #[pymodule_export]
    use super::fluid::PyFluid;
    #[pymodule_export]
    use super::geometry::Attitude;
    #[pymodule_export]
    use super::grades::{
        blend_viscosity_mm2_s, capacity_ratio, classify_iso_vg, classify_kv100, conformity_probability, grades,
    };
    #[pymodule_export]
    use super::inspection::{Finding, Inspection, Shell, inspect_mesh, inspect_stl, inspect_stl_bytes};
    #[pymodule_export]
    use super::learn::band::Band;
    #[pymodule_export]
    use super::learn::calibrate::{Calibration, calibrate};
    #[pymodule_export]
    use super::learn::dips::{DipStudy, dip_study};
    #[pymodule_export]
    use super::learn::trend::{Trend, trend};
    #[pymodule_export]
    use super::learn::weighed::{WeighedResidue, weighed_residue};
    #[pymodule_export]
    use super::levels::{Strapping, Surface, WettedArea};
    #[pymodule_export]
    use super::nothing;
    #[pymodule_export]
    use super::outflow::{DrainCurve, DrainFlow, drain_curve, drain_flow};
    #[pymodule_export]
    use super::outlets::HeelMap;
    #[pymodule_export]
    use super::plan::{Correction, Plan, plan_refill, plan_withdraw};
    #[pymodule_export]
    use super::plug::Plug;
    #[pymodule_export]
    use super::pools::{Hysteresis, Pool, Pools};
    #[pymodule_export]
    use super::propagate::{PropagatedResult, Propagation, propagate};
    #[pymodule_export]
    use super::rates::{Ingress, Leak, Stop, Use};
    #[pymodule_export]
    use super::reads::{Read, Wipe};
    #[pymodule_export]
    use super::reduced_time::ReducedTime;
    #[pymodule_export]
    use super::residue::{OldOil, Residue, old_oil};
    #[pymodule_export]
    use super::response::Response;
    #[pymodule_export]
    use super::row_pool::RowPool;
    #[pymodule_export]
    use super::scale::{LitreScale, PressureDelay};
    #[pymodule_export]
    use super::sensitivity::{Sensitivity, sensitivity};
    #[pymodule_export]
    use super::service::{Ledger, Reading, Row, State, Timeline, simulate};
    #[pymodule_export]
    use super::service_file::Service;
    #[pymodule_export]
    use super::shapes::End;
    #[pymodule_export]
    use super::suction::SuctionTube;
    #[pymodule_export]
    use super::sump::Sump;
    #[pymodule_export]
    use super::tornado::{Tornado, tornado};
    #[pymodule_export]
    use super::value::Uncertain;
    #[pymodule_export]
    use super::wait::{WaitAdvice, wait_advice};
    #[pymodule_export]
    use super::worth::{WorthMeasuring, worth_measuring};
}
