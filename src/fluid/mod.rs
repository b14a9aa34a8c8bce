//! Fluids: what expands and what flows.
