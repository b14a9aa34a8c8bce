//! Working memory of a run and the start of a service.

#![allow(clippy::inline_always)] // so that a run is compiled for the widest instructions

use super::ServiceError;
use super::apart::{Apart, Side};
use super::clock::{self, Fall, Falls, PoolClock};
use super::leaning::Leans;
use super::machine::{Bench, Machine, lies_badly};
use super::oil::Oil;
use super::program::{ActiveRate, Program, Touched, is_wait};
use super::recorder::Recorder;
use super::state::{COMPONENTS, Contents, OILS, OLD_OIL};
use super::view::Reference;
use crate::circuit::SUMP;
use crate::circuit::spec::FuelSpec;
use crate::fluid::{FluidError, FuelExpansion};
use crate::numeric::lanes::Lanes;

/// Working memory of a run, reused from draw to draw.
#[derive(Debug, Clone)]
pub struct Scratch<X: Lanes = f64> {
    contents: Vec<Contents<X>>,
    oil: Oil<X>,
    reference: Reference<X>,
    start: Vec<Contents<X>>,
    rates: Vec<ActiveRate>,
    /// What was where when a rest began in which rates act.
    at_first: Vec<Contents<X>>,
    leans: Leans<X>,
    /// How the oil thickens in the wait of the reference condition, then in every run and rest.
    falls: Vec<Fall<X>>,
    /// Whether anything but oil may get in.
    foreign: bool,
    /// Whether liquid may lie apart.
    pools: bool,
}

impl<X: Lanes> Scratch<X> {
    /// The liquids in force.
    pub(super) fn oil(&self) -> &Oil<X> {
        &self.oil
    }

    /// Whether liquid may lie apart.
    pub(super) fn pools(&self) -> bool {
        self.pools
    }

    /// Volume below MAX in the reference condition.
    pub(super) fn at_max(&self) -> X {
        self.reference.at_max
    }

    /// What the sump holds, and the liquids in force.
    pub(super) fn sump(&mut self) -> (&mut Contents<X>, &Oil<X>) {
        (&mut self.contents[SUMP], &self.oil)
    }
}

impl Program {
    /// Working memory for this program, with everything derived from `inputs`.
    pub fn scratch(&self, inputs: &[f64]) -> Result<Scratch, FluidError> {
        self.scratch_abreast(inputs)
    }

    /// As [`Program::scratch`], for one draw or for several side by side that have the oil of the first.
    pub fn scratch_abreast<X: Lanes>(&self, inputs: &[X]) -> Result<Scratch<X>, FluidError> {
        let l = self.circuit.layout();
        let oil = self.circuit.oil(l.oil().map(|ix| inputs[ix].lane(0)))?;
        let fuel = match self.circuit.spec().fluid.fuel {
            FuelSpec::Diesel => FuelExpansion::diesel(),
            FuelSpec::Petrol => FuelExpansion::petrol(),
        };
        let places = self.places.names.len();
        let mut leans = self.upright_leans();
        self.turn_leans(inputs, &mut leans);
        let (zero, one) = (X::splat(0.0), X::splat(1.0));
        let mut scratch = Scratch {
            contents: vec![Contents::empty(zero); places],
            oil: Oil::new(oil, fuel),
            reference: Reference { at_max: self.at_max(inputs, &leans), elsewhere: zero, filter_full: one },
            start: vec![Contents::empty(zero); places],
            rates: Vec::with_capacity(self.rate_count),
            at_first: vec![Contents::empty(zero); if self.rate_count > 0 { places } else { 0 }],
            leans,
            falls: vec![Fall::unknown(); 1 + self.ops.iter().filter(|op| is_wait(op)).count()],
            foreign: self.has_foreign(),
            pools: self.has_pools(),
        };
        self.fill_start(inputs, &mut scratch);
        Ok(scratch)
    }

    /// Derives again what depends on inputs that change from draw to draw; see [`Program::touches`].
    pub(crate) fn refresh<X: Lanes>(&self, inputs: &[X], touched: Touched, scratch: &mut Scratch<X>) {
        X::widely(
            #[inline(always)]
            || self.refresh_in_line(inputs, touched, scratch),
        );
    }

    #[inline(always)]
    fn refresh_in_line<X: Lanes>(&self, inputs: &[X], touched: Touched, scratch: &mut Scratch<X>) {
        let l = self.circuit.layout();
        self.turn_leans(inputs, &mut scratch.leans);
        if touched.density {
            scratch.oil.set_density(inputs[l.density_15c]);
        }
        if touched.viscosity {
            scratch.oil.set_viscosity(inputs[l.kv40], inputs[l.kv100]);
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
    pub fn run(&self, inputs: &[f64], scratch: &mut Scratch, recorder: &mut dyn Recorder) -> Result<(), ServiceError> {
        self.run_abreast(inputs, scratch, recorder).map(|_| ())
    }

    /// As [`Program::run`], for one draw or for several side by side. Several are given up (`false`) where they would go
    /// different ways, where liquid may lie apart, or where one of them meets what the recorder is asked about; the recorder
    /// then hears no end.
    ///
    /// The recorder is called through a pointer, a few times a run, so that this is compiled once and not for every recorder.
    pub fn run_abreast<X: Side>(
        &self,
        inputs: &[X],
        scratch: &mut Scratch<X>,
        recorder: &mut dyn Recorder<X>,
    ) -> Result<bool, ServiceError> {
        if X::COUNT > 1 && scratch.pools {
            return Ok(false);
        }
        if scratch.foreign {
            self.run_of::<X, { COMPONENTS.len() }>(inputs, scratch, recorder)
        } else {
            self.run_of::<X, OILS>(inputs, scratch, recorder)
        }
    }

    /// As [`Program::run_abreast`], where none but the first `N` components can be there.
    fn run_of<X: Side, const N: usize>(
        &self,
        inputs: &[X],
        scratch: &mut Scratch<X>,
        recorder: &mut dyn Recorder<X>,
    ) -> Result<bool, ServiceError> {
        if let Some(given) = &self.given_start {
            let given = given.contents.iter().map(Contents::splat);
            scratch.contents.iter_mut().zip(given).for_each(|(place, given)| *place = given);
        } else {
            X::widely(
                #[inline(always)]
                || {
                    for (place, start) in scratch.contents.iter_mut().zip(&scratch.start) {
                        place.set::<N>(start);
                    }
                },
            );
        }
        scratch.rates.clear();
        let mut lying = None;
        if scratch.pools {
            lying = X::Lying::at_start(self, inputs, scratch).map_err(lies_badly)?;
        }
        let mut machine = Machine::<X, N>::new(
            self,
            inputs,
            Bench {
                contents: &mut scratch.contents,
                oil: &scratch.oil,
                reference: scratch.reference,
                rates: &mut scratch.rates,
                at_first: &mut scratch.at_first,
                falls: &mut scratch.falls[1..],
                leans: &scratch.leans,
            },
            &mut lying,
        );
        let rows = recorder.hears_rows();
        recorder.start(&machine.view(0));
        X::widely(
            #[inline(always)]
            || {
                for (event, step) in self.steps.iter().enumerate() {
                    machine.turn(step.stance)?;
                    for op in &self.ops[step.ops.clone()] {
                        machine.carry_out(event, op, step.stance, recorder)?;
                    }
                    if X::COUNT > 1 && machine.parted() {
                        return Ok(false);
                    }
                    if rows {
                        recorder.row(event, &machine.view(step.stance));
                    }
                }
                recorder.end(&machine.view(0));
                Ok(true)
            },
        )
    }

    /// Volume below MAX in the reference condition.
    #[inline(always)]
    fn at_max<X: Lanes>(&self, inputs: &[X], leans: &Leans<X>) -> X {
        let l = self.circuit.layout();
        let (max, datum) = (inputs[l.stick.max], inputs[l.datum]);
        let scale = l.volume_scale_at(inputs, inputs[l.reference_temperature]);
        let height = self.height_on_blade(0, leans, max);
        let [below] = self.volumes_below(0, leans, [height - datum]);
        scale * below
    }

    /// The default start: at MAX in the reference condition, all old oil.
    #[inline(always)]
    fn fill_start<X: Lanes>(&self, inputs: &[X], scratch: &mut Scratch<X>) {
        let l = self.circuit.layout();
        let (t, wait) = (inputs[l.reference_temperature], inputs[l.reference_wait]);
        let (oil, zero, one) = (&scratch.oil, X::splat(0.0), X::splat(1.0));
        let mut falls = Falls::new(oil, wait, None, &mut scratch.falls[0]);
        let (density, wait) = (oil.density(t), falls.from(t));
        // A draw below nothing counts as nothing.
        let of = |volume: X| volume.at_least(0.0) * density;
        let start = &mut scratch.start;
        // Places that are not filled below never held anything.
        for place in start.iter_mut() {
            place.temperature_c = t;
        }
        start[SUMP].mass[OLD_OIL] = of(scratch.reference.at_max);
        scratch.reference.filter_full = one;
        if let Some(filter) = self.places.filter {
            let net = inputs[filter.inputs.net_volume];
            start[filter.place].mass[OLD_OIL] = of(net);
            if let Some((pool, leak)) = filter.pool {
                let drains = inputs[leak.drains].map(|share| share.clamp(0.0, 1.0));
                let clock = PoolClock { inertia_time: zero, pool_time: inputs[leak.drain_time] };
                let left = clock::pool_left(clock, wait);
                start[filter.place].mass[OLD_OIL] = of((one - drains) * net);
                start[pool].mass[OLD_OIL] = of(drains * left * net);
                scratch.reference.filter_full = (one - drains) + drains * left;
            }
        }
        for store in &self.places.stores {
            let running = inputs[store.inputs.running].at_least(0.0);
            let film = inputs[store.inputs.film].with(running, |film, running| film.clamp(0.0, running));
            let left = clock::pool_left(PoolClock::of(store, inputs), wait);
            let age = clock::aged(inputs[store.inputs.film_time], wait);
            start[store.kept].mass[OLD_OIL] = of(inputs[store.inputs.kept]);
            start[store.pool].mass[OLD_OIL] = of((running - film) * left);
            start[store.film].mass[OLD_OIL] = of(film * clock::film_left(zero, age));
            start[store.film].age = age;
        }
        // All of it is oil at one temperature.
        let volume = |place: &Contents<X>| place.mass[OLD_OIL] / density;
        let elsewhere = start[SUMP + 1..self.places.in_circuit()].iter().map(volume);
        scratch.reference.elsewhere = elsewhere.fold(zero, |sum, v| sum + v);
    }
}
