//! Where liquid sits apart: basins, the sills between them, and what they hold at one attitude.
//!
//! The parts of the liquid space below a height are joined or apart. As the height rises, parts begin at low points and
//! join at sills: a **merge tree**. Every **basin** is one branch of it: it begins at a low point (or where two basins
//! have joined) and ends at its sill. Liquid below one common level forms one pool in each part.

mod adjacency;
mod air;
mod below;
mod descent;
mod flow;
mod heel;
mod locate;
mod order;
mod overlap;
mod pouring;
mod reach;
mod slopes;
mod split;
mod state;
mod sweep;
mod tip;
mod tree;
mod turn;
mod views;
mod volumes;

pub(crate) use adjacency::Adjacency;
pub use air::{AirLock, Vents};
pub use flow::Flow;
pub use heel::{Hole, Outlets, SuctionHeel, SuctionTip};
pub(crate) use locate::WALL;
pub use reach::Reach;
pub(crate) use split::joined;
pub use state::{Pool, Pools};
pub(crate) use tree::Tree;
pub use turn::{Hysteresis, Turn};
pub use views::{Basin, Sill};
