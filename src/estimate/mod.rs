//! Estimation: predictions with their uncertainty and the refill plan.
