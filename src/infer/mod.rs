//! What readings teach: a stick from pours, precision from repeated dips, rates from readings over use.

pub mod learn;
