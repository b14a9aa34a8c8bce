//! Carrying a program out: liquid moves between places, nothing is computed by difference, nothing is allocated.

use super::ServiceError;
use super::oil::Oil;
use super::program::{AmountIx, Op, Program, Stance};
use super::reading::{self, Reading};
use super::state::{Contents, NEW_OIL, OLD_OIL};
use crate::circuit::{Ix, SUMP, StorePlaces};
use crate::fluid::{FluidError, OilModel};

/// Relative rounding of a sum of masses turned into a volume.
const ROUNDING: f64 = 1e-12;

/// Viscosity at which the time scales of a store are stated: 100 mm2/s.
const STATED_VISCOSITY: f64 = 100e-6;

/// Listens to a program as it runs. Every method has a default that ignores what it hears.
pub trait Recorder {
    /// The start, before any event.
    fn start(&mut self, _view: &View<'_>) {}

    /// The state after an event.
    fn row(&mut self, _event: usize, _view: &View<'_>) {}

    /// The `nth` reading of the service.
    fn reading(&mut self, _nth: usize, _reading: Reading) {}

    /// The end of the service.
    fn end(&mut self, _view: &View<'_>) {}

    /// An amount that does not fit. [`Bend::Bend`] lets the machine bend it (the excess goes to the floor, a withdrawal or
    /// a prime is cut to what there is); [`Bend::Refuse`] stops the service with the error.
    fn misfit(&mut self, misfit: Misfit) -> Bend;
}

/// What to do with an amount that does not fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bend {
    /// Carry out what can be.
    Bend,
    /// Stop with the error.
    Refuse,
}

/// An amount that does not fit (volumes in m3).
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Misfit {
    /// A pour beyond the room left in the sump.
    PourBeyondUllage {
        /// Index of the event.
        event: usize,
        /// Volume that enters.
        poured: f64,
        /// Room left above the liquid.
        ullage: f64,
        /// What does not fit.
        excess: f64,
    },
    /// A withdrawal of more than the sump holds.
    WithdrawBeyondHeld {
        /// Index of the event.
        event: usize,
        /// Volume asked for.
        asked: f64,
        /// Volume held.
        held: f64,
    },
    /// A filter primed with more than it holds.
    PrimedBeyondFilter {
        /// Index of the event.
        event: usize,
        /// Volume primed.
        primed: f64,
        /// What the filter holds.
        net_volume: f64,
    },
}

impl From<Misfit> for ServiceError {
    fn from(misfit: Misfit) -> Self {
        match misfit {
            Misfit::PourBeyondUllage { event, poured, ullage, excess } => {
                Self::PourBeyondUllage { event, poured_l: poured * 1e3, ullage_l: ullage * 1e3, excess_l: excess * 1e3 }
            }
            Misfit::WithdrawBeyondHeld { event, asked, held } => {
                Self::WithdrawBeyondHeld { event, asked_l: asked * 1e3, held_l: held * 1e3 }
            }
            Misfit::PrimedBeyondFilter { event, primed, net_volume } => {
                Self::PrimedBeyondFilter { event, primed_l: primed * 1e3, net_volume_l: net_volume * 1e3 }
            }
        }
    }
}

/// Asks the recorder about a misfit.
fn ask<R: Recorder>(recorder: &mut R, misfit: Misfit) -> Result<(), ServiceError> {
    match recorder.misfit(misfit) {
        Bend::Bend => Ok(()),
        Bend::Refuse => Err(misfit.into()),
    }
}

/// Working memory of a run, reused from draw to draw.
#[derive(Debug, Clone)]
pub struct Scratch {
    contents: Vec<Contents>,
    oil: Oil,
    reference: Reference,
    start: Vec<Contents>,
}

/// Volumes in the reference condition of the marks (m3).
#[derive(Debug, Clone, Copy)]
struct Reference {
    /// In the sump, below MAX.
    at_max: f64,
    /// In the filter and the stores, after the reference wait.
    elsewhere: f64,
}

impl Scratch {
    /// The laws of the oil in force.
    pub(super) fn oil(&self) -> OilModel {
        self.oil.model()
    }
}

/// The state of a running program, as a recorder sees it.
pub struct View<'a> {
    program: &'a Program,
    inputs: &'a [f64],
    contents: &'a [Contents],
    oil: &'a Oil,
    reference: Reference,
    supplied: [f64; 5],
    stance: &'a Stance,
}

impl Program {
    /// Working memory for this program, with everything derived from `inputs`.
    pub fn scratch(&self, inputs: &[f64]) -> Result<Scratch, FluidError> {
        let l = self.circuit.layout();
        let oil = OilModel::new(inputs[l.density_15c], inputs[l.kv40], inputs[l.kv100])?;
        let mut scratch = Scratch {
            contents: Vec::with_capacity(self.places.names.len()),
            oil: Oil::new(oil),
            reference: Reference { at_max: self.at_max(inputs), elsewhere: 0.0 },
            start: Vec::with_capacity(self.places.names.len()),
        };
        self.fill_start(inputs, &mut scratch);
        Ok(scratch)
    }

    /// Derives again what depends on inputs that change from draw to draw; see [`Program::touches`].
    pub(crate) fn refresh(&self, inputs: &[f64], touched: (bool, bool), scratch: &mut Scratch) {
        let (fluid, circuit) = touched;
        if fluid {
            let l = self.circuit.layout();
            let model = OilModel::unchecked(inputs[l.density_15c], inputs[l.kv40], inputs[l.kv100], 1.0);
            scratch.oil = Oil::new(model);
        }
        if fluid || circuit {
            scratch.reference.at_max = self.at_max(inputs);
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
        scratch.contents.clear();
        scratch.contents.extend_from_slice(&scratch.start);
        let (oil, reference) = (&scratch.oil, scratch.reference);
        let contents = scratch.contents.as_mut_slice();
        let mut machine =
            Machine { program: self, inputs, contents, oil, reference, supplied: [0.0; 5], heel: None, readings: 0 };
        recorder.start(&machine.view(0));
        for (event, step) in self.steps.iter().enumerate() {
            for op in &self.ops[step.ops.clone()] {
                machine.carry_out(event, op, step.stance, recorder)?;
            }
            recorder.row(event, &machine.view(step.stance));
        }
        recorder.end(&machine.view(0));
        Ok(())
    }

    /// Volume below MAX in the reference condition.
    fn at_max(&self, inputs: &[f64]) -> f64 {
        let l = self.circuit.layout();
        let stance = &self.stances[0];
        volume_below(inputs, l.volume_scale, l.datum, stance, stance.stick.height_at(inputs[l.max]))
    }

    /// The start: at MAX in the reference condition, all old oil.
    fn fill_start(&self, inputs: &[f64], scratch: &mut Scratch) {
        let l = self.circuit.layout();
        let t = inputs[l.reference_temperature];
        let oil = &scratch.oil;
        let density = oil.density(t);
        // A draw below nothing counts as nothing.
        let of = |volume: f64| Contents::of(OLD_OIL, volume.max(0.0) * density, t);
        let start = &mut scratch.start;
        start.clear();
        start.resize(self.places.names.len(), Contents::empty(t));
        start[SUMP] = of(scratch.reference.at_max);
        if let Some(filter) = self.places.filter {
            start[filter.place] = of(inputs[filter.net_volume]);
        }
        for store in &self.places.stores {
            let (running, film) =
                (inputs[store.inputs.running], inputs[store.inputs.film].min(inputs[store.inputs.running]));
            let wait = inputs[l.reference_wait];
            let (pool_left, age) = after_rest(inputs, store, oil.nu(t), wait);
            start[store.kept] = of(inputs[store.inputs.kept]);
            start[store.pool] = of((running - film) * pool_left);
            start[store.film] = of(film * film_left(0.0, age));
            start[store.film].age = age;
        }
        scratch.reference.elsewhere = start[SUMP + 1..self.places.in_circuit()].iter().map(|p| oil.volume(p)).sum();
    }
}

/// Share of a pool left after a rest, and the age a film gains:
/// `exp(-t / (inertia_time + pool_time nu/nu0))` and `t / (film_time nu/nu0)`.
fn after_rest(inputs: &[f64], store: &StorePlaces, nu: f64, t: f64) -> (f64, f64) {
    let thickness = nu / STATED_VISCOSITY;
    let pool = inputs[store.inputs.inertia_time] + inputs[store.inputs.pool_time] * thickness;
    let film = inputs[store.inputs.film_time] * thickness;
    let left = if t <= 0.0 { 1.0 } else { (-t / pool.max(f64::MIN_POSITIVE)).exp() };
    let age = if t <= 0.0 { 0.0 } else { t / film.max(1e-12) };
    (left, age)
}

/// Share of a film left when its age grows: `sqrt((1 + before) / (1 + after))`, the `s^(-1/2)` of a draining wall
/// (Jeffreys 1930) started from a finite film.
fn film_left(before: f64, after: f64) -> f64 {
    ((1.0 + before) / (1.0 + after)).sqrt()
}

/// Volume of the true sump below the plane at height `h` along *up*: `k V(h - d - z_low)`.
fn volume_below(inputs: &[f64], scale: Ix, datum: Ix, stance: &Stance, h: f64) -> f64 {
    inputs[scale] * stance.curve.volume_at(h - inputs[datum] - stance.curve.datum_si())
}

struct Machine<'a> {
    program: &'a Program,
    inputs: &'a [f64],
    contents: &'a mut [Contents],
    oil: &'a Oil,
    reference: Reference,
    /// Mass of each component brought in from outside.
    supplied: [f64; 5],
    /// Heel of the plug that is open.
    heel: Option<Ix>,
    readings: usize,
}

impl Machine<'_> {
    fn view(&self, stance: usize) -> View<'_> {
        View {
            program: self.program,
            inputs: self.inputs,
            contents: self.contents,
            oil: self.oil,
            reference: self.reference,
            supplied: self.supplied,
            stance: &self.program.stances[stance],
        }
    }

    fn carry_out<R: Recorder>(
        &mut self,
        event: usize,
        op: &Op,
        stance: usize,
        recorder: &mut R,
    ) -> Result<(), ServiceError> {
        match *op {
            Op::SetTemperature(t) => self.set_temperature(self.inputs[t]),
            Op::OpenPlug { heel } => self.heel = Some(heel),
            Op::ClosePlug => self.heel = None,
            Op::RemoveFilter => self.remove_filter(),
            Op::FitFilter { primed, temperature } => self.fit_filter(event, primed, temperature, recorder)?,
            Op::Pour { amount, temperature } => self.pour(event, amount, temperature, stance, recorder)?,
            Op::Withdraw { amount } => self.withdraw(event, amount, recorder)?,
            Op::Run { temperature } => self.run(temperature),
            Op::Rest { duration } => self.rest(self.inputs[duration]),
            Op::Read { noise } => {
                let reading = self.read(stance, self.inputs[noise]);
                recorder.reading(self.readings, reading);
                self.readings += 1;
            }
        }
        self.drain();
        Ok(())
    }

    /// Volume of a place at its own temperature: `V = Σ m_c / ρ_c(T)`.
    fn volume(&self, place: usize) -> f64 {
        self.oil.volume(&self.contents[place])
    }

    /// Moves a volume (at most all there is) from one place to another.
    fn move_volume(&mut self, from: usize, to: usize, volume: f64) {
        let held = self.volume(from);
        if volume <= 0.0 || held <= 0.0 {
            return;
        }
        let moved = self.contents[from].take((volume / held).min(1.0));
        self.contents[to].receive(moved);
    }

    /// An amount of liquid; a draw below nothing counts as nothing.
    fn amount(&self, ix: Ix) -> f64 {
        self.inputs[ix].max(0.0)
    }

    /// A volume as an instrument says it, times the instrument's scale.
    fn scaled(&self, stated: Ix, scale: Option<Ix>) -> f64 {
        self.amount(stated) * scale.map_or(1.0, |s| self.inputs[s])
    }

    /// Mass over volume of what the sump holds; the oil's density at its temperature where it is empty.
    fn sump_density(&self) -> f64 {
        let sump = &self.contents[SUMP];
        let volume = self.volume(SUMP);
        if volume > 0.0 { sump.total() / volume } else { self.oil.density(sump.temperature_c) }
    }

    fn move_all(&mut self, from: usize, to: usize) {
        let moved = self.contents[from].take_all();
        self.contents[to].receive(moved);
    }

    fn set_temperature(&mut self, t: f64) {
        for place in &mut self.contents[..self.program.places.in_circuit()] {
            place.temperature_c = t;
        }
    }

    /// Whatever stands above the heel of an open plug leaves for the pan.
    fn drain(&mut self) {
        if let Some(heel) = self.heel {
            let above = self.volume(SUMP) - self.inputs[heel];
            self.move_volume(SUMP, self.program.places.pan, above);
        }
    }

    fn remove_filter(&mut self) {
        if let Some(filter) = self.program.places.filter {
            self.move_all(filter.place, self.program.places.old_filter);
        }
    }

    fn fit_filter<R: Recorder>(
        &mut self,
        event: usize,
        primed: Ix,
        temperature: Ix,
        recorder: &mut R,
    ) -> Result<(), ServiceError> {
        let Some(filter) = self.program.places.filter else { return Ok(()) };
        let (mut primed, net) = (self.amount(primed), self.amount(filter.net_volume));
        if primed > net {
            ask(recorder, Misfit::PrimedBeyondFilter { event, primed, net_volume: net })?;
            primed = net;
        }
        let oil = self.new_oil(primed, self.inputs[temperature]);
        self.contents[filter.place] = Contents::empty(oil.temperature_c);
        self.supply(filter.place, oil);
        Ok(())
    }

    /// Brings liquid in from outside.
    fn supply(&mut self, to: usize, oil: Contents) {
        for (sum, m) in self.supplied.iter_mut().zip(oil.mass) {
            *sum += m;
        }
        self.contents[to].receive(oil);
    }

    fn new_oil(&self, volume: f64, t: f64) -> Contents {
        Contents::of(NEW_OIL, volume * self.oil.density(t), t)
    }

    fn pour<R: Recorder>(
        &mut self,
        event: usize,
        amount: AmountIx,
        temperature: Ix,
        stance: usize,
        recorder: &mut R,
    ) -> Result<(), ServiceError> {
        let t = self.inputs[temperature];
        let oil = match amount {
            AmountIx::Volume { stated, scale } => self.new_oil(self.scaled(stated, scale), t),
            AmountIx::Mass { stated } => Contents::of(NEW_OIL, self.amount(stated), t),
        };
        let before = self.volume(SUMP);
        self.supply(SUMP, oil);
        let capacity =
            self.inputs[self.program.circuit.layout().volume_scale] * self.program.stances[stance].curve.capacity_si();
        let excess = self.volume(SUMP) - capacity;
        if excess > 0.0 {
            let poured = self.oil.volume(&oil);
            ask(recorder, Misfit::PourBeyondUllage { event, poured, ullage: capacity - before, excess })?;
            self.move_volume(SUMP, self.program.places.floor, excess);
        }
        Ok(())
    }

    fn withdraw<R: Recorder>(&mut self, event: usize, amount: AmountIx, recorder: &mut R) -> Result<(), ServiceError> {
        let held = self.volume(SUMP);
        let asked = match amount {
            AmountIx::Volume { stated, scale } => self.scaled(stated, scale),
            // At the sump's own density; that of its temperature where it is empty.
            AmountIx::Mass { stated } => self.amount(stated) / self.sump_density(),
        };
        if asked > held {
            ask(recorder, Misfit::WithdrawBeyondHeld { event, asked, held })?;
        }
        self.move_volume(SUMP, self.program.places.pan, asked);
        Ok(())
    }

    /// Everything in the circuit mixes; then the filter fills and every store takes its hold-up.
    fn run(&mut self, temperature: Option<Ix>) {
        let program = self.program;
        let places = &program.places;
        if let Some(filter) = places.filter {
            self.move_all(filter.place, SUMP);
        }
        for store in &places.stores {
            for place in [store.pool, store.film, store.kept] {
                self.move_all(place, SUMP);
            }
        }
        let t = temperature.map_or(self.contents[SUMP].temperature_c, |ix| self.inputs[ix]);
        self.set_temperature(t);
        if let Some(filter) = places.filter {
            self.move_volume(SUMP, filter.place, self.inputs[filter.net_volume]);
        }
        for store in &places.stores {
            let running = self.inputs[store.inputs.running];
            let film = self.inputs[store.inputs.film].min(running);
            self.move_volume(SUMP, store.kept, self.inputs[store.inputs.kept]);
            self.move_volume(SUMP, store.pool, running - film);
            self.move_volume(SUMP, store.film, film);
            self.contents[store.film].age = 0.0;
        }
    }

    /// Stores return to the sump, each by its pool and its film clock.
    fn rest(&mut self, t: f64) {
        let program = self.program;
        for store in &program.places.stores {
            let nu = self.oil.nu(self.contents[store.pool].temperature_c);
            let (pool_left, _) = after_rest(self.inputs, store, nu, t);
            let moved = self.contents[store.pool].take(1.0 - pool_left);
            self.contents[SUMP].receive(moved);
            let film = self.contents[store.film];
            let (_, aged) = after_rest(self.inputs, store, self.oil.nu(film.temperature_c), t);
            let moved = self.contents[store.film].take(1.0 - film_left(film.age, film.age + aged));
            self.contents[store.film].age = film.age + aged;
            self.contents[SUMP].receive(moved);
        }
    }

    fn read(&self, stance: usize, noise: f64) -> Reading {
        let view = self.view(stance);
        reading::take(&view, noise)
    }
}

impl<'a> View<'a> {
    /// Contents of every place.
    pub fn contents(&self) -> &'a [Contents] {
        self.contents
    }

    /// Mass of each component brought in from outside since the start (kg).
    pub fn supplied(&self) -> [f64; 5] {
        self.supplied
    }

    /// Volume of a place at its own temperature (m3).
    pub fn volume(&self, place: usize) -> f64 {
        self.oil.volume(&self.contents[place])
    }

    /// Volume of a place at 15 °C (m3).
    pub fn volume_15c(&self, place: usize) -> f64 {
        let contents = Contents { temperature_c: 15.0, ..self.contents[place] };
        self.oil.volume(&contents)
    }

    /// Level of the sump above its lowest point at the attitude of the event, in the drawing's sump (m): `level(V / k)`.
    pub fn level(&self) -> f64 {
        let scale = self.inputs[self.program.circuit.layout().volume_scale];
        self.stance.curve.level_at(self.volume(SUMP) / scale)
    }

    /// Height of the free surface along *up* in the body frame, as the stick sees it (m).
    pub(super) fn surface(&self) -> f64 {
        self.stance.curve.datum_si() + self.level() + self.inputs[self.program.circuit.layout().datum]
    }

    /// Volume below the plane through the blade's point at distance `s` from the tip (m3).
    pub(super) fn volume_at(&self, s: f64) -> f64 {
        let l = self.program.circuit.layout();
        volume_below(self.inputs, l.volume_scale, l.datum, self.stance, self.stance.stick.height_at(s))
    }

    pub(super) fn stance(&self) -> &Stance {
        self.stance
    }

    pub(super) fn marks(&self) -> Marks {
        let l = self.program.circuit.layout();
        let [min, max, seat_offset, scatter] = [l.min, l.max, l.seat_offset, l.scatter].map(|i| self.inputs[i]);
        Marks { min, max, seat_offset, scatter }
    }

    /// Volume of everything in the circuit, each place at its own temperature (m3).
    pub fn volume_in_circuit(&self) -> f64 {
        (0..self.program.places.in_circuit()).map(|place| self.volume(place)).sum()
    }

    /// Volume below MAX in the reference condition (m3).
    pub fn volume_at_max(&self) -> f64 {
        self.reference.at_max
    }

    /// Volume the sump would hold in the reference condition, drained back and filter full (m3): all that is in the circuit at
    /// the reference temperature, less what filter and stores hold in that condition, `Σ M_c / ρ_c(T_ref) - V_elsewhere`.
    pub fn drained_back(&self) -> f64 {
        let t = self.inputs[self.program.circuit.layout().reference_temperature];
        let mut all = Contents::empty(t);
        for place in &self.contents[..self.program.places.in_circuit()] {
            for (sum, m) in all.mass.iter_mut().zip(place.mass) {
                *sum += m;
            }
        }
        self.oil.volume(&all) - self.reference.elsewhere
    }

    /// Over MAX: true, noise-free, drained back, filter full, in the reference condition; by more than rounding, so that a
    /// circuit filled to MAX is not over it.
    pub fn over_max(&self) -> bool {
        self.drained_back() > self.reference.at_max * (1.0 + ROUNDING)
    }
}

/// Marks and reading errors of the stick in force.
#[derive(Debug, Clone, Copy)]
pub(super) struct Marks {
    pub min: f64,
    pub max: f64,
    pub seat_offset: f64,
    pub scatter: f64,
}
