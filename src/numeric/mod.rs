//! Small numerical tools that every layer may use.

pub mod check;
pub mod normal;
pub mod quadrature;
pub mod streams;
