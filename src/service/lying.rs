//! Where the liquid of a sump lies when its basins hold it apart: a pool in each, followed by mass.
//!
//! The pool under the stick's tip is the place `sump`; all others together are the place `sump.apart`. A program whose sump
//! has but one basin at every attitude never comes here.

use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::apart::Apart;
use super::oil::Oil;
use super::program::Program;
use super::start::Scratch;
use super::state::{ApartPool, Contents};
use crate::circuit::Circuit;
use crate::geometry::{Attitude, Flow, GeometryError, Hole, Plug, Point, Pools};
use crate::numeric::lanes::Lanes;

/// What a stance says where its liquid may lie apart.
#[derive(Debug, Clone)]
pub struct Basins {
    /// The smallest basin that liquid comes to under the stick's tip.
    under_tip: usize,
    /// The basin that the tip is in.
    tip: usize,
    /// For each of the smallest basins, its bottom.
    bottoms: Vec<(usize, Hole)>,
}

impl Basins {
    /// `None` for a sump without plan form, or that has one basin at this attitude.
    pub(crate) fn of(circuit: &Circuit, attitude: Attitude) -> Result<Option<Self>, GeometryError> {
        let sump = circuit.sump();
        if sump.mesh().is_none() || sump.basin_tree(attitude)?.nodes.len() < 2 {
            return Ok(None);
        }
        let pools = Pools::empty(sump, attitude)?;
        let tip = Point::from_si(circuit.stick().point_at(0.0));
        let bottoms = sump
            .basins(attitude)?
            .iter()
            .enumerate()
            .filter(|(_, b)| b.children.is_empty())
            .map(|(n, b)| Ok((n, pools.tube(b.lowest_point)?)))
            .collect::<Result<Vec<_>, GeometryError>>()?;
        Ok(Some(Self { under_tip: pools.landing(tip)?, tip: pools.basin_of(tip)?, bottoms }))
    }
}

/// The one basin of a stance that has no other.
const ONLY: usize = 0;

/// Liquid of a running program as it lies, by volume in the drawing's sump and by mass.
#[derive(Debug, Clone)]
pub struct Lying {
    pools: Pools,
    /// Contents of every pool but the one under the tip, by basin.
    by: Vec<Contents>,
    /// The pool under the tip.
    main: usize,
    flows: Vec<Flow>,
}

/// What a sump's volumes are measured with.
#[derive(Debug, Clone, Copy)]
pub struct Measure<'a, X: Lanes = f64> {
    pub(super) oil: &'a Oil<X>,
    /// The true sump holds this times what its drawing holds.
    pub(super) scale: X,
}

impl Measure<'_> {
    /// Volume in the drawing's sump.
    fn volume(&self, contents: &Contents) -> f64 {
        self.oil.volume(contents) / self.scale
    }
}

impl Apart<f64> for Lying {
    fn at_start(program: &Program, inputs: &[f64], scratch: &mut Scratch) -> Result<Option<Self>, GeometryError> {
        if scratch.pools() { Self::start(program, inputs, scratch).map(Some) } else { Ok(None) }
    }

    fn apart(&self) -> Contents {
        let mut all: Option<Contents> = None;
        for contents in self.by.iter().filter(|c| !c.is_empty()) {
            all = Some(all.map_or(*contents, |mut sum: Contents| {
                sum.receive(*contents);
                sum
            }));
        }
        all.unwrap_or(Contents::empty(0.0))
    }

    fn each_temperature(&mut self, of: impl Fn(f64) -> f64) {
        for contents in &mut self.by {
            contents.temperature_c = of(contents.temperature_c);
        }
    }

    fn level(&self, basins: Option<&Basins>) -> Option<f64> {
        let tip = basins.map_or(ONLY, |b| b.tip);
        self.pools.pool_over(tip).ok().flatten().map(|pool| pool.level.get::<meter>())
    }

    fn pool_at(&self, basin: usize) -> Option<(f64, f64)> {
        let pool = self.pools.pool_over(basin).ok().flatten()?;
        Some((pool.level.get::<meter>(), pool.volume.get::<cubic_meter>()))
    }

    fn turn(
        &mut self,
        to: Attitude,
        basins: Option<&Basins>,
        main: &mut Contents,
        measure: Measure<'_>,
    ) -> Result<(), GeometryError> {
        if self.pools.attitude() == to {
            return Ok(());
        }
        self.by[self.main] = *main;
        let mut flows = std::mem::take(&mut self.flows);
        flows.clear();
        self.pools.turn_with(to, &mut |flow| flows.push(flow))?;
        // What every pool of a step still has to give, and how much of it (by the pools' own volumes) is still to be carried.
        let mut before: Vec<(Contents, f64)> = Vec::new();
        for (i, flow) in flows.iter().enumerate() {
            match *flow {
                Flow::Step => {
                    before = self.by.iter().map(|c| (*c, 0.0)).collect();
                    for flow in flows[i + 1..].iter().take_while(|flow| !matches!(flow, Flow::Step)) {
                        if let Flow::Carry { from, volume, .. } = flow {
                            before[*from].1 += volume;
                        }
                    }
                    self.by.iter_mut().for_each(|c| *c = Contents::empty(c.temperature_c));
                }
                Flow::Carry { from, to, volume } => {
                    self.reach(to);
                    // A pool may hold more than the sump has room for. The last share takes what is left: nothing is lost.
                    let (left, carried) = &mut before[from];
                    let moved = left.take(if *carried > volume { volume / *carried } else { 1.0 });
                    *carried -= volume;
                    self.by[to].receive(moved);
                }
                other => self.follow(other, measure),
            }
        }
        self.flows = flows;
        self.by.truncate(self.pools.basin_total());
        self.reach(self.pools.basin_total() - 1);
        self.hand_over(basins, main);
        Ok(())
    }

    fn settle(
        &mut self,
        basins: Option<&Basins>,
        main: &mut Contents,
        measure: Measure<'_>,
    ) -> Result<(), GeometryError> {
        self.by[self.main] = *main;
        for n in 0..self.by.len() {
            let Some(held) = self.held(n) else { continue };
            let off = measure.volume(&self.by[n]) - held;
            if off < -ROUNDING * held {
                self.lower(n, basins, held, measure)?;
            } else if off > ROUNDING * held {
                self.pour(self.leaf_in(n, basins), off, measure)?;
            }
        }
        self.hand_over(basins, main);
        Ok(())
    }

    fn reachable(&self, plugs: &[Plug], measure: Measure<'_>) -> Result<f64, GeometryError> {
        let mut pools = self.pools.clone();
        let holes = pools.holes(plugs)?;
        Ok(pools.drain_through(&holes, &mut |_| {}) * measure.scale)
    }

    fn let_out(
        &mut self,
        plugs: &[Plug],
        lowest: usize,
        volume: Option<f64>,
        main: &mut Contents,
        measure: Measure<'_>,
    ) -> Result<Contents, GeometryError> {
        self.by[self.main] = *main;
        let holes = self.pools.holes(plugs)?;
        let mut flows = std::mem::take(&mut self.flows);
        flows.clear();
        match volume {
            None => self.pools.drain_through(&holes, &mut |flow| flows.push(flow)),
            Some(v) => self.pools.withdraw_through(&holes[lowest], v / measure.scale, &mut |flow| flows.push(flow)),
        };
        let mut out = Contents::empty(main.temperature_c);
        for flow in &flows {
            match *flow {
                Flow::Out { basin, volume } => out.receive(self.take(basin, volume, measure)),
                other => self.follow(other, measure),
            }
        }
        self.flows = flows;
        *main = std::mem::replace(&mut self.by[self.main], Contents::empty(main.temperature_c));
        Ok(out)
    }
}

impl Lying {
    /// How the sump's liquid lies at the start; what is not under the tip leaves the sump's place.
    fn start(program: &Program, inputs: &[f64], scratch: &mut Scratch) -> Result<Self, GeometryError> {
        let at_max = scratch.at_max();
        let (sump, oil) = scratch.sump();
        let scale = program.circuit.layout().volume_scale_at(inputs, sump.temperature_c);
        let measure = Measure { oil, scale };
        if let Some(start) = &program.given_start {
            return Self::poured(program, &start.apart, sump, measure);
        }
        Self::at_level(program, program.stances[0].curve.level_at(at_max / scale), sump, measure)
    }

    /// The sump's liquid (all of one kind) at one common level.
    pub(super) fn at_level(
        program: &Program,
        level: f64,
        all: &mut Contents,
        measure: Measure<'_>,
    ) -> Result<Self, GeometryError> {
        let stance = &program.stances[0];
        let pools = Pools::at_level(program.circuit.sump(), meters(level), stance.attitude)?;
        let mut lying = Self::of(pools);
        let total = measure.volume(all);
        let whole = *all;
        for (n, v) in lying.pools.volumes_si() {
            let mut share = whole;
            lying.by[n] = share.take(if total > 0.0 { (v / total).min(1.0) } else { 0.0 });
        }
        lying.main = lying.under(stance.basins.as_ref());
        *all = std::mem::replace(&mut lying.by[lying.main], Contents::empty(whole.temperature_c));
        Ok(lying)
    }

    /// Pools poured one after the other, each at a point; the one under the tip last.
    pub(super) fn poured(
        program: &Program,
        apart: &[ApartPool],
        main: &mut Contents,
        measure: Measure<'_>,
    ) -> Result<Self, GeometryError> {
        let stance = &program.stances[0];
        let mut lying = Self::of(Pools::empty(program.circuit.sump(), stance.attitude)?);
        for pool in apart {
            let leaf = lying.pools.landing(Point::from_mm(pool.bottom_mm)?)?;
            lying.add(leaf, pool.contents, measure)?;
        }
        lying.main = lying.under(stance.basins.as_ref());
        let own = std::mem::replace(main, Contents::empty(main.temperature_c));
        lying.add(stance.basins.as_ref().map_or(ONLY, |b| b.under_tip), own, measure)?;
        lying.main = lying.under(stance.basins.as_ref());
        *main = std::mem::replace(&mut lying.by[lying.main], Contents::empty(own.temperature_c));
        Ok(lying)
    }

    fn of(pools: Pools) -> Self {
        let basins = pools.basin_total();
        Self { pools, by: vec![Contents::empty(0.0); basins], main: ONLY, flows: Vec::new() }
    }

    /// Adds liquid to the pool of a smallest basin.
    fn add(&mut self, leaf: usize, contents: Contents, measure: Measure<'_>) -> Result<(), GeometryError> {
        let volume = measure.volume(&contents);
        let pool = self.pool_of(leaf);
        self.by[pool].receive(contents);
        self.pour(leaf, volume, measure)
    }

    /// The pools of a row, largest first.
    pub(super) fn rows(&self, main: &Contents, measure: Measure<'_>) -> Vec<PoolRow> {
        let sump = self.pools.sump();
        let (Ok(list), Ok(basins)) = (self.pools.list(), sump.basins(self.pools.attitude())) else { return Vec::new() };
        list.iter()
            .map(|pool| {
                let under_tip = pool.basin == self.main;
                let contents = if under_tip { *main } else { self.by[pool.basin] };
                PoolRow {
                    bottom: basins[pool.basin].lowest_point.si(),
                    contents,
                    volume_m3: measure.oil.volume(&contents),
                    level_m: pool.level.get::<meter>(),
                    under_tip,
                }
            })
            .collect()
    }

    /// A pool is lower than it was: what lay in it above sills falls apart.
    fn lower(
        &mut self,
        n: usize,
        basins: Option<&Basins>,
        held: f64,
        measure: Measure<'_>,
    ) -> Result<(), GeometryError> {
        let left = measure.volume(&self.by[n]);
        let end = self.bottom_in(n, basins)?;
        let mut flows = std::mem::take(&mut self.flows);
        flows.clear();
        self.pools.withdraw_through(&end, held - left, &mut |flow| flows.push(flow));
        if left > 0.0 {
            // As if it still were what it was, and now leaves.
            self.by[n].mass.iter_mut().for_each(|m| *m *= held / left);
            for flow in &flows {
                match *flow {
                    Flow::Out { basin, volume } => drop(self.take(basin, volume, measure)),
                    other => self.follow(other, measure),
                }
            }
        }
        self.flows = flows;
        Ok(())
    }

    /// More liquid (by volume; its mass is there already) in a smallest basin.
    fn pour(&mut self, leaf: usize, volume: f64, measure: Measure<'_>) -> Result<(), GeometryError> {
        let room = self.pools.sump().capacity_si() - self.pools.volumes_si().map(|(_, v)| v).sum::<f64>();
        let mut flows = std::mem::take(&mut self.flows);
        flows.clear();
        self.pools.pour_into(leaf, volume.min(room.max(0.0)), &mut |flow| flows.push(flow))?;
        for flow in &flows {
            self.follow(*flow, measure);
        }
        self.flows = flows;
        Ok(())
    }

    /// Masses go where volumes went.
    fn follow(&mut self, flow: Flow, measure: Measure<'_>) {
        match flow {
            Flow::Spill { from, to, volume } | Flow::Part { from, to, volume } => {
                self.reach(from.max(to));
                let moved = self.take(from, volume, measure);
                self.by[to].receive(moved);
            }
            Flow::Join { from, to, .. } => {
                self.reach(from.max(to));
                let moved = self.by[from].take_all();
                self.by[to].receive(moved);
            }
            _ => {}
        }
    }

    fn take(&mut self, from: usize, volume: f64, measure: Measure<'_>) -> Contents {
        let held = measure.volume(&self.by[from]);
        self.by[from].take(if held > 0.0 { (volume / held).min(1.0) } else { 0.0 })
    }

    /// The pool under the tip goes to its own place.
    fn hand_over(&mut self, basins: Option<&Basins>, main: &mut Contents) {
        self.main = self.under(basins);
        *main = std::mem::replace(&mut self.by[self.main], Contents::empty(main.temperature_c));
    }

    fn under(&self, basins: Option<&Basins>) -> usize {
        self.pool_of(basins.map_or(ONLY, |b| b.under_tip))
    }

    /// The pool that a smallest basin is part of: itself where nothing lies there yet.
    fn pool_of(&self, leaf: usize) -> usize {
        self.pools.pool_over(leaf).ok().flatten().map_or(leaf, |pool| pool.basin)
    }

    fn held(&self, n: usize) -> Option<f64> {
        let wet = self.pools.volumes_si().find(|(basin, _)| *basin == n).map(|(_, v)| v);
        wet.or_else(|| (!self.by[n].is_empty()).then_some(0.0))
    }

    /// A smallest basin of a pool, that under the tip where it is one.
    fn leaf_in(&self, n: usize, basins: Option<&Basins>) -> usize {
        let Some(b) = basins else { return ONLY };
        let inside = |leaf: usize| self.pool_of(leaf) == n;
        if inside(b.under_tip) {
            return b.under_tip;
        }
        b.bottoms.iter().map(|(leaf, _)| *leaf).find(|leaf| inside(*leaf)).unwrap_or(n)
    }

    fn bottom_in(&self, n: usize, basins: Option<&Basins>) -> Result<Hole, GeometryError> {
        let leaf = self.leaf_in(n, basins);
        let known = basins.and_then(|b| b.bottoms.iter().find(|(l, _)| *l == leaf).map(|(_, h)| *h));
        if let Some(hole) = known {
            return Ok(hole);
        }
        self.pools.tube(self.pools.sump().lowest_point(self.pools.attitude())?)
    }

    fn reach(&mut self, n: usize) {
        if self.by.len() <= n {
            self.by.resize(n + 1, Contents::empty(0.0));
        }
    }
}

/// Relative rounding below which a volume has not changed.
const ROUNDING: f64 = 1e-14;

fn meters(m: f64) -> uom::si::f64::Length {
    uom::si::f64::Length::new::<meter>(m)
}

/// One pool of a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PoolRow {
    /// A point at the bottom of its basin, body frame (m).
    pub bottom: [f64; 3],
    /// What it holds.
    pub contents: Contents,
    /// Its volume at its own temperature (m3).
    pub volume_m3: f64,
    /// Level of its surface above the sump's lowest point at the attitude, in the drawing's sump (m).
    pub level_m: f64,
    /// Whether the stick's tip stands in it, or over it.
    pub under_tip: bool,
}
