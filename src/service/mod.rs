//! A service as a sequence of events: state, program, simulation, reading.
