//! From readings back: what explains them (records, hypotheses, evidence), and what they teach (a stick from pours, precision
//! from repeated dips, rates from readings over use).

pub mod explain;
pub mod learn;
