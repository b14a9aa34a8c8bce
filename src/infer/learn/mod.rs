//! Learning: a stick from step pours, use or ingress from readings over time.
//!
//! Results are summaries of draws from a posterior distribution. Every draw is a function of the seed, so the same
//! build gives the same bits.

mod band;
mod calibrate;
mod dips;
mod draws;
mod error;
mod linear;
mod noise;
mod trend;
mod weighed;

pub use band::Band;
pub use calibrate::{CalibrateOptions, Calibration, NextPour, ScaleFit, calibrate};
pub use dips::{Check, Dip, DipLevel, DipOptions, DipStudy, Finding, Reader, TraineeRow, dip_study};
pub use error::LearnError;
pub use noise::reading_noise;
pub use trend::{Mark, Reach, Trend, TrendOptions, trend};
pub use weighed::{WeighedOptions, WeighedResidue, weighed_residue};
