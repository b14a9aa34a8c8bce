//! Estimation: uncertainty propagated through any model, what drives it, predictions and the refill plan.

mod adaptive;
mod assess;
mod cautions;
mod draw;
mod error;
mod evaluate;
mod first_order;
mod inputs;
mod judgement;
mod leaning;
mod model;
mod options;
mod plan;
mod predict;
mod predict_options;
mod propagate;
mod reconcile;
mod run;
mod sampler;
mod sensitivity;
mod service_model;
mod sort;
mod summary;
mod tornado;
mod verdict;
mod wait;
mod worth;

pub use assess::{AssessOptions, Assessment, Clearance, assess, assess_line};
pub use cautions::cautions_of;
pub use draw::Block;
pub use error::EstimateError;
pub use evaluate::Progress;
pub(crate) use evaluate::Work;
#[cfg(feature = "python")]
pub(crate) use evaluate::{Evaluator, Fill, finite};
pub use first_order::{Contribution, FirstOrder, Validity};
pub use inputs::{Correlation, CorrelationOf, Inputs};
pub use judgement::{JudgementShares, judgement_share};
pub use leaning::AttitudeFit;
pub use model::{Model, PerRow, per_row};
pub use options::{Method, PropagateOptions, Stopping};
pub use plan::{
    AFTER, Advice, BEFORE_START, MOST_JUDGEMENT, Plan, PlanOptions, Policy, PolicyRow, SMALL_RISK, UNDER_MIN_AT_START,
    plan_refill, plan_withdraw,
};
pub use predict::{PredictedReading, Prediction, predict};
pub use predict_options::PredictOptions;
#[cfg(feature = "python")]
pub(crate) use propagate::collect;
pub use propagate::{Propagated, Propagation, propagate};
pub use reconcile::{Closing, Compared, FIGURES, ReconcileOptions, Reconciliation, reconcile};
#[cfg(feature = "python")]
pub(crate) use sensitivity::sensitivity_by;
pub use sensitivity::{Index, Sensitivity, SensitivityOptions, Shares, sensitivity};
pub use service_model::{FINAL_FRACTION, FINAL_LITRES, ServiceModel};
pub use summary::Draws;
#[cfg(feature = "python")]
pub(crate) use tornado::tornado_by;
pub use tornado::{Bar, Tornado, tornado};
pub use verdict::{Caution, Verdict};
pub use wait::{WaitAdvice, WaitOptions, Waited, wait_advice};
#[cfg(feature = "python")]
pub(crate) use worth::worth_measuring_by;
pub use worth::{Worth, WorthMeasuring, worth_measuring};
