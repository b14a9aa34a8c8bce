//! Working memory of a run and the start of a service.

use super::ServiceError;
use super::clock::{self, Fall, Falls, PoolClock};
use super::leaning::Lean;
use super::lying::{Lying, Measure};
use super::machine::{Bench, Machine, lies_badly};
use super::oil::Oil;
use super::program::{ActiveRate, Program, Touched, is_wait};
use super::recorder::Recorder;
use super::state::{COMPONENTS, Contents, OILS, OLD_OIL};
use super::view::Reference;
use crate::circuit::SUMP;
use crate::circuit::spec::FuelSpec;
use crate::fluid::{FluidError, FuelExpansion, OilModel};
use crate::geometry::GeometryError;

/// Working memory of a run, reused from draw to draw.
#[derive(Debug, Clone)]
pub struct Scratch {
    contents: Vec<Contents>,
    oil: Oil,
    reference: Reference,
    start: Vec<Contents>,
    rates: Vec<ActiveRate>,
    leans: Vec<Lean>,
    /// How the oil thickens in the wait of the reference condition, and in every run and rest.
    wait: Fall,
    falls: Vec<Fall>,
    /// Whether anything but oil may get in.
    foreign: bool,
    /// Whether liquid may lie apart.
    pools: bool,
}

impl Scratch {
    /// The liquids in force.
    pub(super) fn oil(&self) -> &Oil {
        &self.oil
    }
}

impl Program {
    /// Working memory for this program, with everything derived from `inputs`.
    pub fn scratch(&self, inputs: &[f64]) -> Result<Scratch, FluidError> {
        let l = self.circuit.layout();
        let oil = OilModel::new(inputs[l.density_15c], inputs[l.kv40], inputs[l.kv100])?;
        let fuel = match self.circuit.spec().fluid.fuel {
            FuelSpec::Diesel => FuelExpansion::diesel(),
            FuelSpec::Petrol => FuelExpansion::petrol(),
        };
        let places = self.places.names.len();
        let mut leans = self.upright_leans();
        self.turn_leans(inputs, &mut leans);
        let mut scratch = Scratch {
            contents: Vec::with_capacity(places),
            oil: Oil::new(oil, fuel),
            reference: Reference { at_max: self.at_max(inputs, &leans), elsewhere: 0.0, filter_full: 1.0 },
            start: Vec::with_capacity(places),
            rates: Vec::with_capacity(self.rate_count),
            leans,
            wait: Fall::unknown(),
            falls: vec![Fall::unknown(); self.ops.iter().filter(|op| is_wait(op)).count()],
            foreign: self.has_foreign(),
            pools: self.has_pools(),
        };
        self.fill_start(inputs, &mut scratch);
        Ok(scratch)
    }

    /// Derives again what depends on inputs that change from draw to draw; see [`Program::touches`].
    pub(crate) fn refresh(&self, inputs: &[f64], touched: Touched, scratch: &mut Scratch) {
        let l = self.circuit.layout();
        self.turn_leans(inputs, &mut scratch.leans);
        if touched.density {
            scratch.oil.set_density(inputs[l.density_15c]);
        }
        if touched.viscosity {
            scratch.oil.set_viscosity(inputs[l.kv40], inputs[l.kv100]);
            scratch.wait.forget();
            scratch.falls.iter_mut().for_each(Fall::forget);
        }
        if touched.marks {
            scratch.reference.at_max = self.at_max(inputs, &scratch.leans);
        }
        if touched.start {
            self.fill_start(inputs, scratch);
        }
    }

    /// Carries the service out. `inputs` are those the scratch was last derived from, in the order of [`Program::inputs`].
    pub fn run<R: Recorder>(
        &self,
        inputs: &[f64],
        scratch: &mut Scratch,
        recorder: &mut R,
    ) -> Result<(), ServiceError> {
        if scratch.foreign {
            self.run_of::<{ COMPONENTS.len() }, R>(inputs, scratch, recorder)
        } else {
            self.run_of::<OILS, R>(inputs, scratch, recorder)
        }
    }

    /// As [`Program::run`], where none but the first `N` components can be there.
    fn run_of<const N: usize, R: Recorder>(
        &self,
        inputs: &[f64],
        scratch: &mut Scratch,
        recorder: &mut R,
    ) -> Result<(), ServiceError> {
        scratch.contents.clear();
        let start = self.given_start.as_ref().map_or(scratch.start.as_slice(), |s| s.contents.as_slice());
        scratch.contents.extend_from_slice(start);
        scratch.rates.clear();
        let lying = if scratch.pools { Some(self.lying(inputs, scratch).map_err(lies_badly)?) } else { None };
        let mut machine = Machine::<N>::new(
            self,
            inputs,
            Bench {
                contents: &mut scratch.contents,
                oil: &scratch.oil,
                reference: scratch.reference,
                rates: &mut scratch.rates,
                falls: &mut scratch.falls,
                leans: &scratch.leans,
            },
            lying,
        );
        recorder.start(&machine.view(0));
        for (event, step) in self.steps.iter().enumerate() {
            machine.turn(step.stance)?;
            for op in &self.ops[step.ops.clone()] {
                machine.carry_out(event, op, step.stance, recorder)?;
            }
            recorder.row(event, &machine.view(step.stance));
        }
        recorder.end(&machine.view(0));
        Ok(())
    }

    /// How the sump's liquid lies at the start, where it may lie apart; what is not under the tip leaves the sump's place.
    fn lying(&self, inputs: &[f64], scratch: &mut Scratch) -> Result<Lying, GeometryError> {
        let l = self.circuit.layout();
        let sump = &mut scratch.contents[SUMP];
        let measure = Measure { oil: &scratch.oil, scale: l.volume_scale_at(inputs, sump.temperature_c) };
        if let Some(start) = &self.given_start {
            return Lying::poured(self, &start.apart, sump, measure);
        }
        let level = self.stances[0].curve.level_at(scratch.reference.at_max / measure.scale);
        Lying::at_level(self, level, sump, measure)
    }

    /// Volume below MAX in the reference condition.
    fn at_max(&self, inputs: &[f64], leans: &[Lean]) -> f64 {
        let l = self.circuit.layout();
        let standing = self.standing(0, leans);
        let scale = l.volume_scale_at(inputs, inputs[l.reference_temperature]);
        scale * standing.volume_below(standing.stick().height_at(inputs[l.stick.max]) - inputs[l.datum])
    }

    /// The default start: at MAX in the reference condition, all old oil.
    fn fill_start(&self, inputs: &[f64], scratch: &mut Scratch) {
        let l = self.circuit.layout();
        let (t, wait) = (inputs[l.reference_temperature], inputs[l.reference_wait]);
        let oil = &scratch.oil;
        let mut falls = Falls::new(oil, wait, None, &mut scratch.wait);
        let (density, wait) = (oil.density(t), falls.from(t));
        // A draw below nothing counts as nothing.
        let of = |volume: f64| Contents::of(OLD_OIL, volume.max(0.0) * density, t);
        let start = &mut scratch.start;
        start.clear();
        start.resize(self.places.names.len(), Contents::empty(t));
        start[SUMP] = of(scratch.reference.at_max);
        scratch.reference.filter_full = 1.0;
        if let Some(filter) = self.places.filter {
            let net = inputs[filter.inputs.net_volume];
            start[filter.place] = of(net);
            if let Some((pool, leak)) = filter.pool {
                let drains = inputs[leak.drains].clamp(0.0, 1.0);
                let clock = PoolClock { inertia_time: 0.0, pool_time: inputs[leak.drain_time] };
                let left = clock::pool_left(clock, wait);
                start[filter.place] = of((1.0 - drains) * net);
                start[pool] = of(drains * left * net);
                scratch.reference.filter_full = (1.0 - drains) + drains * left;
            }
        }
        for store in &self.places.stores {
            let running = inputs[store.inputs.running].max(0.0);
            let film = inputs[store.inputs.film].clamp(0.0, running);
            let left = clock::pool_left(PoolClock::of(store, inputs), wait);
            let age = clock::aged(inputs[store.inputs.film_time], wait);
            start[store.kept] = of(inputs[store.inputs.kept]);
            start[store.pool] = of((running - film) * left);
            start[store.film] = of(film * clock::film_left(0.0, age));
            start[store.film].age = age;
        }
        // All of it is oil at one temperature.
        let volume = |place: &Contents| place.mass[OLD_OIL] / density;
        scratch.reference.elsewhere = start[SUMP + 1..self.places.in_circuit()].iter().map(volume).sum();
    }
}
