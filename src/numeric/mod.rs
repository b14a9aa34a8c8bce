//! Small numerical tools that every layer may use.

pub mod beta;
pub mod check;
pub mod cholesky;
pub(crate) mod exponential;
pub mod lanes;
pub(crate) mod logarithm;
pub mod normal;
pub mod quadrature;
pub(crate) mod root;
pub(crate) mod share;
pub(crate) mod sine;
pub mod sobol;
pub mod streams;
pub mod student;
pub(crate) mod text;
pub(crate) mod wide;
