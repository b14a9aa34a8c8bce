//! The circuit: what is bolted together, its book figures and its file format.
