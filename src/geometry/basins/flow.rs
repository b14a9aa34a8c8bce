//! What moves between pools, for those who keep more than volumes: masses, heat, old and new liquid.

/// One movement of liquid, in the order in which it happens. Pools are named by their basins, by their places in
/// [`Sump::basins`](super::super::sump::Sump::basins).
///
/// Whoever mirrors the pools with masses mixes at each: a pool is of one composition, and what leaves it has that. `Spill`,
/// `Join`, `Part` and `Carry` all take `volume` from one pool to another; after a `Step`, `from` of `Carry` is a pool before it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Flow {
    /// Liquid from outside comes to a pool \[m3\].
    In {
        /// The pool.
        basin: usize,
        /// How much.
        volume: f64,
    },
    /// Liquid leaves the sump from a pool \[m3\].
    Out {
        /// The pool.
        basin: usize,
        /// How much.
        volume: f64,
    },
    /// What is too much for a pool goes on to another \[m3\].
    Spill {
        /// The pool that is full.
        from: usize,
        /// The pool it spills into.
        to: usize,
        /// How much.
        volume: f64,
    },
    /// The parts of a basin are full to its base: all of the pool in one of them goes into the one pool that is now in
    /// the basin \[m3\]. Told for each part.
    Join {
        /// The pool in the part, which is no more.
        from: usize,
        /// The pool in the basin.
        to: usize,
        /// All of it.
        volume: f64,
    },
    /// A pool has fallen to the base of its basin: liquid of it becomes the pool in one of the parts, which is full
    /// \[m3\]. Told for each part; then the pool is no more.
    Part {
        /// The pool that is no more.
        from: usize,
        /// The pool in the part.
        to: usize,
        /// What that holds.
        volume: f64,
    },
    /// A step of a turn begins: from here on basins are those of the next attitude, and its pools are empty.
    Step,
    /// Liquid of a pool before the step comes to a pool after it \[m3\].
    Carry {
        /// The pool, by its basin at the attitude before the step.
        from: usize,
        /// The pool, by its basin at the attitude after it.
        to: usize,
        /// How much.
        volume: f64,
    },
}

/// Hears of every movement.
pub(super) type Listener<'a> = &'a mut dyn FnMut(Flow);
