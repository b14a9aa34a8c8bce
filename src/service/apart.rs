//! What a program can be carried out for: one draw, or several side by side. Where liquid may lie apart, draws go one by
//! one, as each may spill and join otherwise.

use super::lying::{Basins, Lying, Measure};
use super::program::Program;
use super::start::Scratch;
use super::state::Contents;
use crate::geometry::{Attitude, GeometryError, Plug};
use crate::numeric::lanes::{Eight, Lanes};

/// Draws that a program can be carried out for: one, or several side by side.
pub trait Side: Lanes {
    /// Liquid that lies apart.
    type Lying: Apart<Self>;
}

impl Side for f64 {
    type Lying = Lying;
}

impl Side for Eight {
    type Lying = Nowhere;
}

/// How often draws side by side were tried, and how often they were given up as they would have gone different ways.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Parting {
    pub tried: usize,
    pub parted: usize,
}

impl Parting {
    /// Whether draws side by side mostly take the same steps.
    pub(crate) fn pays(&self) -> bool {
        self.parted < 8 || 2 * self.parted < self.tried
    }

    /// Counts one more try.
    pub(crate) fn note(&mut self, ran: bool) {
        self.tried += 1;
        self.parted += usize::from(!ran);
    }
}

/// Liquid of a sump whose basins hold it apart, as the machine asks for it.
pub trait Apart<X: Lanes>: Clone + std::fmt::Debug {
    /// How it lies at the start, where it may lie apart; what is not under the tip leaves the sump's place.
    fn at_start(program: &Program, inputs: &[X], scratch: &mut Scratch<X>) -> Result<Option<Self>, GeometryError>
    where
        X: Side<Lying = Self>;

    /// All contents outside the pool under the tip.
    fn apart(&self) -> Contents<X>;

    /// Every temperature outside the pool under the tip through a function.
    fn each_temperature(&mut self, of: impl Fn(X) -> X);

    /// Level of the pool that the stick's tip stands in (drawing, m); `None` where the tip hangs over liquid.
    fn level(&self, basins: Option<&Basins>) -> Option<X>;

    /// Level and volume of the pool that a basin is part of (drawing, m and m3); `None` where smaller pools lie below it.
    fn pool_at(&self, basin: usize) -> Option<(X, X)>;

    /// Turns the sump to another stance.
    fn turn(
        &mut self,
        to: Attitude,
        basins: Option<&Basins>,
        main: &mut Contents<X>,
        measure: Measure<'_, X>,
    ) -> Result<(), GeometryError>;

    /// Lets the pools lie as their masses say: what an event, warming or cooling has changed spills, joins or parts.
    fn settle(
        &mut self,
        basins: Option<&Basins>,
        main: &mut Contents<X>,
        measure: Measure<'_, X>,
    ) -> Result<(), GeometryError>;

    /// What the plugs can let out now (true volume, m3).
    fn reachable(&self, plugs: &[Plug], measure: Measure<'_, X>) -> Result<X, GeometryError>;

    /// Lets out of the plugs all that can leave, or a volume through the lowest; what came.
    fn let_out(
        &mut self,
        plugs: &[Plug],
        lowest: usize,
        volume: Option<X>,
        main: &mut Contents<X>,
        measure: Measure<'_, X>,
    ) -> Result<Contents<X>, GeometryError>;
}

/// No liquid lies apart: where it may, draws are not run side by side.
#[derive(Debug, Clone, Copy)]
pub enum Nowhere {}

impl<X: Lanes> Apart<X> for Nowhere {
    fn at_start(_: &Program, _: &[X], _: &mut Scratch<X>) -> Result<Option<Self>, GeometryError>
    where
        X: Side<Lying = Self>,
    {
        Ok(None)
    }

    fn apart(&self) -> Contents<X> {
        match *self {}
    }

    fn each_temperature(&mut self, _: impl Fn(X) -> X) {
        match *self {}
    }

    fn level(&self, _: Option<&Basins>) -> Option<X> {
        match *self {}
    }

    fn pool_at(&self, _: usize) -> Option<(X, X)> {
        match *self {}
    }

    fn turn(
        &mut self,
        _: Attitude,
        _: Option<&Basins>,
        _: &mut Contents<X>,
        _: Measure<'_, X>,
    ) -> Result<(), GeometryError> {
        match *self {}
    }

    fn settle(&mut self, _: Option<&Basins>, _: &mut Contents<X>, _: Measure<'_, X>) -> Result<(), GeometryError> {
        match *self {}
    }

    fn reachable(&self, _: &[Plug], _: Measure<'_, X>) -> Result<X, GeometryError> {
        match *self {}
    }

    fn let_out(
        &mut self,
        _: &[Plug],
        _: usize,
        _: Option<X>,
        _: &mut Contents<X>,
        _: Measure<'_, X>,
    ) -> Result<Contents<X>, GeometryError> {
        match *self {}
    }
}
