//! Estimation: predictions with their uncertainty and the refill plan.

mod cautions;
mod error;
mod plan;
mod predict;
mod sort;
mod summary;

pub use cautions::CAUTIONS;
pub use error::EstimateError;
pub use plan::{AFTER, BEFORE_START, Plan, PlanOptions, plan_refill};
pub use predict::{PredictOptions, PredictedReading, Prediction, predict};
pub use summary::Draws;
