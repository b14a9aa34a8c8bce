//! Carrying a program out: liquid moves between places, nothing is computed by difference, nothing is allocated.

#![allow(clippy::inline_always)] // what only the loop over the operations calls: of a draw of the box it saves 6 % of the instructions

mod rates;

use super::ServiceError;
use super::apart::{Apart, Side};
use super::clock::{self, Cooling, Fall, Falls, PoolClock};
use super::leaning::Leans;
use super::lying::Measure;
use super::oil::Oil;
use super::program::{ActiveRate, AmountIx, FitIx, Op, Program, RateKind};
use super::reading;
use super::recorder::{Misfit, Recorder, ask};
use super::state::{COMPONENTS, Contents, NEW_OIL, OILS};
use super::view::{Reference, View};
use crate::circuit::{Emptying, FilterPlace, Ix, Places, SUMP, StorePlaces};
use crate::geometry::GeometryError;
use crate::numeric::lanes::Lanes;
use crate::service::When;
use rates::Stretch;

/// A program being carried out, for one draw or for several side by side.
///
/// It counts the first `N` components only: two where nothing but oil is there or gets in, else all. Draws side by side take
/// the same steps; where they would not, the machine notes that they have parted, and what it did does not count.
pub(super) struct Machine<'a, X: Side, const N: usize> {
    program: &'a Program,
    inputs: &'a [X],
    contents: &'a mut [Contents<X>],
    oil: &'a Oil<X>,
    reference: Reference<X>,
    /// How the oil thickens in the runs and rests that are still to come.
    falls: &'a mut [Fall<X>],
    /// Mass of each component brought in from outside.
    supplied: [X; 5],
    open: Option<Open<X>>,
    /// What the fitted filter holds when full.
    filter_net: X,
    rates: &'a mut Vec<ActiveRate>,
    /// The rest that goes on, where rates act in it.
    stretch: Option<Stretch<X>>,
    /// What was where at its beginning; empty where no rate ever acts.
    at_first: &'a mut [Contents<X>],
    /// What runs past the sump in a rest with a plug open.
    passing: Contents<X>,
    /// Where the sump's liquid lies, where it may lie apart; then the place `sump` is the pool under the stick's tip.
    lying: &'a mut Option<X::Lying>,
    /// Whether it may.
    pools: bool,
    /// The program's leaning stances in this draw.
    leans: &'a Leans<X>,
    /// Whether the stick is wet from a pour or a run.
    smeared: bool,
    readings: usize,
    /// Whether draws side by side would have gone different ways.
    parted: bool,
}

/// What a machine works with.
pub(super) struct Bench<'a, X: Side> {
    pub contents: &'a mut [Contents<X>],
    pub oil: &'a Oil<X>,
    pub reference: Reference<X>,
    pub rates: &'a mut Vec<ActiveRate>,
    pub at_first: &'a mut [Contents<X>],
    pub falls: &'a mut [Fall<X>],
    pub leans: &'a Leans<X>,
}

/// Plugs that are open.
#[derive(Debug, Clone, Copy)]
struct Open<X> {
    /// Which, by the program's list of sets.
    set: usize,
    /// Density in the sump when the first was opened or, since then, something was poured in last (kg/m3).
    density: X,
    /// Its temperature then (°C).
    temperature_c: X,
}

/// A geometry error of liquid that lies apart, as an error of the service.
#[allow(clippy::needless_pass_by_value)] // as `map_err` calls it
pub(super) fn lies_badly(error: GeometryError) -> ServiceError {
    ServiceError::Pools { message: error.to_string() }
}

/// Which share of what is held (at most all) an amount is; nothing where there is no amount. Where nothing is held any share is
/// nothing.
#[inline(always)]
fn share(amount: f64, held: f64) -> f64 {
    let share = amount / held;
    let share = if share > 0.0 { share } else { 0.0 };
    if share < 1.0 { share } else { 1.0 }
}

/// Where what returns goes.
#[derive(Debug, Clone, Copy)]
enum To {
    /// Into the sump.
    Sump,
    /// Past it, as a plug is open.
    Past,
}

impl<'a, X: Side, const N: usize> Machine<'a, X, N> {
    pub(super) fn new(
        program: &'a Program,
        inputs: &'a [X],
        bench: Bench<'a, X>,
        lying: &'a mut Option<X::Lying>,
    ) -> Self {
        let zero = X::splat(0.0);
        let filter_net = program.places.filter.map_or(zero, |f| inputs[f.inputs.net_volume].at_least(0.0));
        let Bench { contents, oil, reference, rates, at_first, falls, leans } = bench;
        Self {
            program,
            inputs,
            contents,
            oil,
            reference,
            falls,
            supplied: [zero; 5],
            open: None,
            filter_net,
            rates,
            stretch: None,
            at_first,
            passing: Contents::empty(zero),
            pools: lying.is_some(),
            lying,
            leans,
            smeared: false,
            readings: 0,
            parted: false,
        }
    }

    /// Whether draws side by side would have gone different ways: then nothing that was done counts.
    pub(super) fn parted(&self) -> bool {
        self.parted
    }

    /// Whether liquid may lie apart; asked after every operation.
    #[inline(always)]
    fn may_lie_apart(&self) -> bool {
        X::COUNT == 1 && self.pools
    }

    /// What all draws agree on; where they do not, they part.
    #[inline(always)]
    fn together(&mut self, agreed: Option<bool>) -> bool {
        self.parted |= agreed.is_none();
        agreed.unwrap_or(false)
    }

    /// An amount that does not fit: the recorder is asked about one draw at a time.
    #[cold]
    fn misfit<R: Recorder<X> + ?Sized>(
        &mut self,
        recorder: &mut R,
        misfit: impl FnOnce(&Self) -> Misfit,
    ) -> Result<(), ServiceError> {
        if X::COUNT > 1 {
            self.parted = true;
            return Ok(());
        }
        ask(recorder, misfit(self))
    }

    /// Refuses liquid that may lie in several pools at a drawn attitude.
    #[inline(always)]
    fn check_one_pool(&self, stance: usize) -> Result<(), ServiceError> {
        let Some(splitting) = self.program.splitting(stance) else { return Ok(()) };
        let volume = self.volume_sump() / self.scale();
        if splitting.may_lie_apart(volume) { self.check_one_pool_as_drawn(stance, volume) } else { Ok(()) }
    }

    #[cold]
    fn check_one_pool_as_drawn(&self, stance: usize, volume: X) -> Result<(), ServiceError> {
        let view = self.view(stance);
        (0..X::COUNT).try_for_each(|i| view.standing(i).check_one_pool(volume.lane(i)))
    }

    #[inline(always)]
    pub(super) fn view(&self, stance: usize) -> View<'_, X> {
        View {
            lying: self.lying.as_ref(),
            program: self.program,
            inputs: self.inputs,
            contents: self.contents,
            oil: self.oil,
            reference: &self.reference,
            supplied: &self.supplied,
            components: N,
            stance,
            leans: self.leans,
            filter_net: self.filter_net,
        }
    }

    #[inline(always)] // its only caller is the loop over the operations
    pub(super) fn carry_out<R: Recorder<X> + ?Sized>(
        &mut self,
        event: usize,
        op: &Op,
        stance: usize,
        recorder: &mut R,
    ) -> Result<(), ServiceError> {
        if self.stretch.is_some() && !matches!(op, Op::Rest { .. } | Op::Wipe | Op::Read(_)) {
            self.stretch = None;
        }
        match *op {
            Op::SetTemperature(t) => self.set_temperature(self.inputs[t]),
            Op::Plugs { set } => self.plugs(set),
            Op::RemoveFilter => self.remove_filter(),
            Op::FitFilter(fit) => self.fit_filter(event, fit, recorder)?,
            Op::Pour { amount, temperature } => self.pour(event, amount, temperature, stance, recorder)?,
            Op::Withdraw { amount } => self.withdraw(event, amount, recorder)?,
            Op::Run { duration, temperature } => {
                self.run(self.amount(duration), temperature);
                if !self.program.watched_runs.is_empty() && self.program.watched_runs.contains(&event) {
                    self.check_one_pool(stance)?;
                }
            }
            Op::Rest { duration } => self.rest(self.amount(duration), stance)?,
            Op::Begin(rate) => self.rates.push(rate),
            Op::Stop { id } => self.rates.retain(|r| r.id != id),
            Op::Wipe => self.smeared = false,
            Op::Read(ref how) => {
                self.check_one_pool(stance)?;
                recorder.reading(self.readings, &reading::take(&self.view(stance), how, self.smeared));
                self.readings += 1;
            }
        }
        self.settle_all(stance)
    }

    /// What an open plug with a stated heel lets out at once; then liquid that may lie apart.
    #[inline(always)]
    fn settle_all(&mut self, stance: usize) -> Result<(), ServiceError> {
        if let Some(open) = self.open {
            self.drain_at_once(open);
        }
        if self.may_lie_apart() { self.settle(stance) } else { Ok(()) }
    }

    /// What the true sump holds over what its drawing holds, at the temperature of what is in it.
    #[inline(always)]
    fn scale(&self) -> X {
        self.program.circuit.layout().volume_scale_at(self.inputs, self.contents[SUMP].temperature_c)
    }

    fn measure(&self) -> Measure<'a, X> {
        Measure { oil: self.oil, scale: self.scale() }
    }

    /// The sump is turned to the stance of an event before anything else happens.
    #[inline(always)]
    pub(super) fn turn(&mut self, stance: usize) -> Result<(), ServiceError> {
        if self.may_lie_apart() { self.turn_pools(stance) } else { Ok(()) }
    }

    #[inline(never)]
    fn turn_pools(&mut self, stance: usize) -> Result<(), ServiceError> {
        self.check_one_pool(stance)?;
        self.stretch = self.stretch.take().filter(|stretch| stretch.stance == stance);
        let (to, measure) = (&self.program.stances[stance], self.measure());
        let Some(lying) = self.lying.as_mut() else { return Ok(()) };
        lying.turn(to.attitude, to.basins.as_ref(), &mut self.contents[SUMP], measure).map_err(lies_badly)
    }

    /// What has changed in the sump spills, joins or falls apart.
    #[inline(never)]
    fn settle(&mut self, stance: usize) -> Result<(), ServiceError> {
        self.check_one_pool(stance)?;
        let (at, measure) = (&self.program.stances[stance], self.measure());
        let Some(lying) = self.lying.as_mut() else { return Ok(()) };
        lying.settle(at.basins.as_ref(), &mut self.contents[SUMP], measure).map_err(lies_badly)
    }

    /// What lies in the sump outside the pool under the tip.
    fn apart(&self) -> Contents<X> {
        self.lying.as_ref().map_or(Contents::empty(X::splat(0.0)), Apart::apart)
    }

    /// Volume of all the sump's pools; where there is but one, no other is asked for its density.
    #[inline(always)]
    fn volume_sump(&self) -> X {
        let own = self.volume(SUMP);
        if self.may_lie_apart() { own + self.oil.volume(&self.apart()) } else { own }
    }

    /// Volume of a place at its own temperature: `V = Σ m_c / ρ_c(T)`.
    #[inline(always)]
    fn volume(&self, place: usize) -> X {
        self.oil.volume_of::<N>(&self.contents[place])
    }

    /// Moves a volume (at most all there is) from one place to another.
    #[inline(always)]
    fn move_volume(&mut self, from: usize, to: usize, volume: X) {
        let density = self.density_of_oil(from);
        self.move_volume_of(density, from, to, volume);
    }

    /// The density of a place's oil, where nothing but oil is there.
    #[inline(always)]
    fn density_of_oil(&self, place: usize) -> Option<X> {
        (N == OILS).then(|| self.oil.density(self.contents[place].temperature_c))
    }

    /// As [`Machine::move_volume`], where the [`Machine::density_of_oil`] is known.
    #[inline(always)]
    fn move_volume_of(&mut self, density: Option<X>, from: usize, to: usize, volume: X) {
        if let Some(density) = density {
            self.move_mass(from, to, volume * density);
        } else if volume.any(|v| v > 0.0) {
            self.move_share(from, to, volume.with(self.volume(from), share));
        }
    }

    /// Moves a mass (at most all there is) from one place to another, every component alike.
    #[inline(always)]
    fn move_mass(&mut self, from: usize, to: usize, mass: X) {
        if mass.any(|m| m > 0.0) {
            self.move_share(from, to, mass.with(self.contents[from].total_of::<N>(), share));
        }
    }

    /// Moves a share of what there is from one place to another; nothing moves where it is 0.
    #[inline(always)]
    fn move_share(&mut self, from: usize, to: usize, share: X) {
        if let Ok([from, to]) = self.contents.get_disjoint_mut([from, to]) {
            from.pass::<N>(to, share);
        }
    }

    #[inline(always)]
    fn move_all(&mut self, from: usize, to: usize) {
        if let Ok([from, to]) = self.contents.get_disjoint_mut([from, to]) {
            from.pass_all::<N>(to);
        }
    }

    /// An amount of liquid; a draw below nothing counts as nothing.
    #[inline(always)]
    fn amount(&self, ix: Ix) -> X {
        self.inputs[ix].at_least(0.0)
    }

    /// A share; a draw outside 0 to 1 is held to it.
    #[inline(always)]
    fn share(&self, ix: Ix) -> X {
        self.inputs[ix].map(|share| share.clamp(0.0, 1.0))
    }

    /// A volume as an instrument says it, times the instrument's scale.
    #[inline(always)]
    fn scaled(&self, stated: Ix, scale: Option<Ix>) -> X {
        let amount = self.amount(stated);
        scale.map_or(amount, |s| amount * self.inputs[s])
    }

    #[inline(always)]
    fn set_temperature(&mut self, t: X) {
        for place in &mut self.contents[..self.program.places.in_circuit()] {
            place.temperature_c = t;
        }
        if let Some(lying) = self.lying.as_mut() {
            lying.each_temperature(|_| t);
        }
    }

    /// Other plugs are open from now on.
    #[inline(always)]
    fn plugs(&mut self, set: Option<usize>) {
        self.open = set.map(|set| Open { set, ..self.open.unwrap_or_else(|| self.noted(set)) });
    }

    /// What is noted of the sump's liquid when its first plug is opened, and again when liquid is poured in.
    #[inline(always)]
    fn noted(&self, set: usize) -> Open<X> {
        let density = self.density_of_oil(SUMP).unwrap_or_else(|| self.oil.mean_density(&self.contents[SUMP]));
        Open { set, density, temperature_c: self.contents[SUMP].temperature_c }
    }

    /// Mass that the open plugs leave in the sump: `m_h = ρ_open heel`.
    #[inline(always)]
    fn heel_mass(&self, open: Open<X>, stance: usize) -> X {
        open.density * self.stated_heel(open).unwrap_or_else(|| self.drawn_heel(open, stance))
    }

    /// The least of the heels stated for the open plugs, where one is; it holds at any attitude.
    #[inline(always)]
    fn stated_heel(&self, open: Open<X>) -> Option<X> {
        let heels = &self.program.plug_sets[open.set].heels;
        heels.iter().map(|h| self.amount(*h)).reduce(Lanes::smaller)
    }

    /// What the open plugs leave by the geometry.
    fn drawn_heel(&self, open: Open<X>, stance: usize) -> X {
        let emptying = self.program.emptying(open.set, stance);
        emptying.map_or(X::splat(f64::INFINITY), |e| self.scale() * e.heel() + self.lip(open, e))
    }

    /// What stays besides the geometry's heel: under the lip of the lowest plug.
    fn lip(&self, open: Open<X>, emptying: &Emptying) -> X {
        let lips = &self.program.plug_sets[open.set].lips;
        lips.get(emptying.lowest()).map_or(X::splat(0.0), |lip| self.amount(*lip))
    }

    /// Where a heel is stated, mass above it leaves for the pan at once.
    #[inline(always)]
    fn drain_at_once(&mut self, open: Open<X>) {
        let Some(heel) = self.stated_heel(open) else { return };
        let above = self.mass_sump() - open.density * heel;
        self.move_mass(SUMP, self.program.places.pan, above);
    }

    /// Mass of all the sump's pools.
    #[inline(always)]
    fn mass_sump(&self) -> X {
        let own = self.contents[SUMP].total_of::<N>();
        if self.may_lie_apart() { own + self.apart().total_of::<{ COMPONENTS.len() }>() } else { own }
    }

    /// Where the geometry says the heel, the sump empties along its curve for a time.
    fn empty_for(&mut self, t: X, stance: usize) -> Result<(), ServiceError> {
        let Some(open) = self.open.filter(|o| self.program.plug_sets[o.set].heels.is_empty()) else { return Ok(()) };
        let Some(emptying) = self.program.emptying(open.set, stance) else { return Ok(()) };
        if self.may_lie_apart() {
            return self.empty_pools_for(t, open, emptying, stance);
        }
        let scale = self.scale();
        let held = self.contents[SUMP].total_of::<N>();
        // A sump of k times the volume has k times the free surface at every level, so everything takes k times as long.
        let lip = self.lip(open, emptying);
        let free = (held / open.density - lip).at_least(0.0);
        let (drawn, nu, t) = (free / scale, self.oil.nu(open.temperature_c), t / scale);
        let after = emptying.volumes_after(drawn, nu, t) * scale;
        self.move_mass(SUMP, self.program.places.pan, (free - after) * open.density);
        Ok(())
    }

    /// The same where liquid lies apart: what the plugs reach leaves, no faster than from a sump at one common level that
    /// holds as much over the heel; the plug's lip keeps its own of it.
    #[inline(never)]
    fn empty_pools_for(&mut self, t: X, open: Open<X>, emptying: &Emptying, stance: usize) -> Result<(), ServiceError> {
        self.settle(stance)?;
        let (bores, measure, lip) = (emptying.bores(), self.measure(), self.lip(open, emptying));
        let Some(lying) = self.lying.as_mut() else { return Ok(()) };
        let reach = (lying.reachable(bores, measure).map_err(lies_badly)? - lip).at_least(0.0);
        let (from, t) = (X::splat(emptying.heel()) + reach / measure.scale, t / measure.scale);
        let nu = self.oil.nu(open.temperature_c);
        let after = emptying.volumes_after(from, nu, t);
        let out = (from - after) * measure.scale;
        let all = lip.all(|lip| lip == 0.0) && (out - reach * (1.0 - 1e-12)).all(|more| more >= 0.0);
        let volume = if all { None } else { Some(out) };
        let main = &mut self.contents[SUMP];
        let left = lying.let_out(bores, emptying.lowest(), volume, main, measure).map_err(lies_badly)?;
        self.contents[self.program.places.pan].receive(left);
        Ok(())
    }

    #[inline(always)]
    fn remove_filter(&mut self) {
        let (places, Some(filter)) = (&self.program.places, self.program.places.filter) else { return };
        let spill = self.share(filter.inputs.spill);
        self.remove(filter.place, spill, places);
        if let Some((pool, _)) = filter.pool {
            self.remove(pool, spill, places);
        }
    }

    /// What a place of the old filter holds spills or goes with it.
    #[inline(always)]
    fn remove(&mut self, place: usize, spill: X, places: &Places) {
        if spill.any(|share| share != 0.0) {
            self.move_share(place, places.floor, spill);
        }
        self.move_all(place, places.old_filter);
    }

    /// What the fitted filter keeps, and what a leaking valve lets go of it.
    #[inline(always)]
    fn filter_parts(&self, filter: &FilterPlace) -> [X; 2] {
        let drains = filter.pool.map_or(X::splat(0.0), |(_, leak)| self.share(leak.drains));
        [(X::splat(1.0) - drains) * self.filter_net, drains * self.filter_net]
    }

    #[inline(always)]
    fn fit_filter<R: Recorder<X> + ?Sized>(
        &mut self,
        event: usize,
        fit: FitIx,
        recorder: &mut R,
    ) -> Result<(), ServiceError> {
        let Some(filter) = self.program.places.filter else { return Ok(()) };
        let net = self.amount(fit.net_volume.unwrap_or(filter.inputs.net_volume));
        let mut primed = self.amount(fit.primed);
        if (primed - net).any(|more| more > 0.0) {
            let (primed_now, net_volume) = (primed.lane(0), net.lane(0));
            self.misfit(recorder, |_| Misfit::PrimedBeyondFilter { event, primed: primed_now, net_volume })?;
            primed = net;
        }
        self.filter_net = net;
        let t = self.inputs[fit.temperature];
        let [keeps, _] = self.filter_parts(&filter);
        let kept = primed.smaller(keeps);
        self.fill(filter.place, kept, t);
        if let Some((pool, _)) = filter.pool {
            self.fill(pool, primed - kept, t);
        }
        Ok(())
    }

    /// A place that is new holds a volume of new oil.
    #[inline(always)]
    fn fill(&mut self, place: usize, volume: X, t: X) {
        self.contents[place].clear::<N>(t);
        if volume.any(|volume| volume != 0.0) {
            self.supply(place, self.new_oil(volume, t));
        }
    }

    /// Brings liquid in from outside.
    #[inline(always)]
    fn supply(&mut self, to: usize, mut oil: Contents<X>) {
        self.count(&oil);
        oil.pass_all::<N>(&mut self.contents[to]);
    }

    #[inline(always)]
    fn count(&mut self, oil: &Contents<X>) {
        for (sum, m) in self.supplied[..N].iter_mut().zip(oil.mass) {
            *sum += m;
        }
    }

    #[inline(always)]
    fn new_oil(&self, volume: X, t: X) -> Contents<X> {
        Contents::of(NEW_OIL, volume * self.oil.density(t), t)
    }

    #[inline(always)]
    fn pour<R: Recorder<X> + ?Sized>(
        &mut self,
        event: usize,
        amount: AmountIx,
        temperature: Ix,
        stance: usize,
        recorder: &mut R,
    ) -> Result<(), ServiceError> {
        let t = self.inputs[temperature];
        let mass = match amount {
            AmountIx::Volume { stated, scale } => self.scaled(stated, scale) * self.oil.density(t),
            AmountIx::Mass { stated } => self.amount(stated),
        };
        self.smeared = true;
        self.supplied[NEW_OIL] += mass;
        let mut oil = Contents::of(NEW_OIL, mass, t);
        if let Some(filler) = self.program.places.filler {
            self.move_all(filler.place, SUMP);
            let (wets, poured) = (self.amount(filler.inputs.wetted), self.oil.volume_of::<N>(&oil));
            let stays = oil.take(wets.with(poured, |w, p| if p > 0.0 { (w / p).min(1.0) } else { 0.0 }));
            self.contents[filler.place] = stays;
        }
        // What a misfit is told with; of several draws none is told.
        let held = if X::COUNT == 1 { Some(self.contents[SUMP]) } else { None };
        oil.pass_all::<N>(&mut self.contents[SUMP]);
        let capacity = self.scale() * self.program.stances[stance].curve.capacity_si();
        let excess = self.volume_sump() - capacity;
        if excess.any(|e| e > 0.0) {
            self.misfit(recorder, |machine| {
                let volume = |oil: &Contents<X>| machine.oil.volume(oil).lane(0);
                let apart = machine.lying.as_ref().map_or(0.0, |l| volume(&l.apart()));
                let ullage = capacity.lane(0) - (held.as_ref().map_or(0.0, volume) + apart);
                let poured = volume(&Contents::of(NEW_OIL, mass, t));
                Misfit::PourBeyondUllage { event, poured, ullage, excess: excess.lane(0) }
            })?;
            self.move_volume(SUMP, self.program.places.floor, excess);
        }
        if let Some(open) = self.open {
            self.open = Some(self.noted(open.set));
        }
        Ok(())
    }

    fn withdraw<R: Recorder<X> + ?Sized>(
        &mut self,
        event: usize,
        amount: AmountIx,
        recorder: &mut R,
    ) -> Result<(), ServiceError> {
        let held = self.volume(SUMP);
        let asked = match amount {
            AmountIx::Volume { stated, scale } => self.scaled(stated, scale),
            // At the sump's own density; that of its temperature where it is empty.
            AmountIx::Mass { stated } => self.amount(stated) / self.oil.mean_density(&self.contents[SUMP]),
        };
        if (asked - held).any(|more| more > 0.0) {
            let (asked, held) = (asked.lane(0), held.lane(0));
            self.misfit(recorder, |_| Misfit::WithdrawBeyondHeld { event, asked, held })?;
        }
        self.move_volume(SUMP, self.program.places.pan, asked);
        Ok(())
    }

    /// Everything in the circuit mixes; rates act; then the filter fills and every store takes its hold-up.
    #[inline(always)]
    fn run(&mut self, t: X, temperature: Option<Ix>) {
        let program = self.program;
        let places = &program.places;
        self.smeared = true;
        if let (Some(fall), Some(_)) = (self.next_fall(), places.filler) {
            self.filler_returns(&mut Falls::new(self.oil, t, None, fall), To::Sump);
        }
        // Where it gathers is kept at hand, not in memory.
        let mut sump = self.contents[SUMP];
        if let Some(filter) = places.filter {
            self.contents[filter.place].pass_all::<N>(&mut sump);
            if let Some((pool, _)) = filter.pool {
                self.contents[pool].pass_all::<N>(&mut sump);
            }
        }
        for store in places.stores.iter().filter(|s| s.inputs.opens_at.is_none()) {
            self.gather(store, &mut sump);
        }
        self.contents[SUMP].set::<N>(&sump);
        let common = temperature.map_or(self.contents[SUMP].temperature_c, |ix| self.inputs[ix]);
        for store in places.stores.iter().filter(|s| s.inputs.opens_at.is_some()) {
            if !self.is_shut(store, common) {
                let mut sump = self.contents[SUMP];
                self.gather(store, &mut sump);
                self.contents[SUMP].set::<N>(&sump);
            }
        }
        if let Some(stated) = temperature {
            self.set_temperature(self.inputs[stated]);
        }
        self.act(t, When::Running);
        // What leaves the sump leaves the rest as warm as it was.
        let density = self.density_of_oil(SUMP);
        if let Some(filter) = places.filter {
            let [keeps, lets_go] = self.filter_parts(&filter);
            self.move_volume_of(density, SUMP, filter.place, keeps);
            if let Some((pool, _)) = filter.pool {
                self.move_volume_of(density, SUMP, pool, lets_go);
            }
        }
        for store in &places.stores {
            if !self.is_shut(store, common) {
                self.take_up(store, density);
            }
        }
    }

    /// Whether a store's thermostat is shut at a temperature.
    #[inline(always)]
    fn is_shut(&mut self, store: &StorePlaces, t: X) -> bool {
        let Some(opens_at) = store.inputs.opens_at else { return false };
        let colder = self.inputs[opens_at] - t;
        self.together(colder.agreed(|colder| colder > 0.0))
    }

    /// A store's liquid joins the sump's.
    #[inline(always)]
    fn gather(&mut self, store: &StorePlaces, sump: &mut Contents<X>) {
        for place in [store.pool, store.film, store.kept] {
            let place = &mut self.contents[place];
            place.pass_all::<N>(sump);
            place.temperature_c = sump.temperature_c;
        }
    }

    /// A store takes its hold-up from the sump.
    #[inline(always)]
    fn take_up(&mut self, store: &StorePlaces, density: Option<X>) {
        let running = self.amount(store.inputs.running);
        let film = self.amount(store.inputs.film).smaller(running);
        let volumes = [self.inputs[store.inputs.kept], running - film, film];
        for (place, volume) in [store.kept, store.pool, store.film].into_iter().zip(volumes) {
            self.move_volume_of(density, SUMP, place, volume);
        }
        self.contents[store.film].age = X::splat(0.0);
    }

    #[inline(always)]
    fn cooling(&self) -> Option<Cooling<X>> {
        let layout = self.program.circuit.layout().cooling?;
        Some(Cooling { time: self.inputs[layout.time].at_least(1e-3), ambient: self.inputs[layout.ambient] })
    }

    /// How the oil thickens in the run or rest that comes now; the scratch has one for each.
    #[inline(always)]
    fn next_fall(&mut self) -> Option<&'a mut Fall<X>> {
        let (now, later) = std::mem::take(&mut self.falls).split_first_mut()?;
        self.falls = later;
        Some(now)
    }

    #[inline(always)]
    fn rest(&mut self, t: X, stance: usize) -> Result<(), ServiceError> {
        if self.acts_at_rest() {
            return self.rest_with_rates(t, stance);
        }
        let cooling = self.cooling();
        let Some(fall) = self.next_fall() else { return Ok(()) };
        self.rest_for(t, stance, cooling, fall)
    }

    /// Stores return, rates act, an open sump empties, everything cools.
    #[inline(always)]
    fn rest_for(
        &mut self,
        t: X,
        stance: usize,
        cooling: Option<Cooling<X>>,
        fall: &mut Fall<X>,
    ) -> Result<(), ServiceError> {
        let mut falls = Falls::new(self.oil, t, cooling, fall);
        if self.program.places.any_return() {
            match self.open {
                Some(open) => self.returns_past_an_open_plug(open, &mut falls, stance),
                None => self.return_to(To::Sump, &mut falls),
            }
        }
        self.act(t, When::Always);
        self.empty_for(t, stance)?;
        if let Some(cooling) = cooling {
            self.cool(cooling, falls.left());
        }
        Ok(())
    }

    /// Every place cools until so much of its excess over the ambient is left.
    #[inline(always)]
    fn cool(&mut self, cooling: Cooling<X>, left: X) {
        // What is as warm as the ambient stays so, to the last bit.
        for place in self.contents.iter_mut().filter(|place| place.temperature_c != cooling.ambient) {
            place.temperature_c = cooling.at(place.temperature_c, left);
        }
        if let Some(lying) = self.lying.as_mut() {
            lying.each_temperature(|now| cooling.at(now, left));
        }
    }

    /// Stores return to a place, each by its pool and its film clock; then the filter's pool and the filler.
    #[inline(always)]
    fn return_to(&mut self, to: To, falls: &mut Falls<'_, X>) {
        let program = self.program;
        for store in &program.places.stores {
            self.pool_returns(store.pool, PoolClock::of(store, self.inputs), falls, to);
            self.film_returns(store.film, self.inputs[store.inputs.film_time], falls, to);
        }
        if let Some((pool, leak)) = program.places.filter.and_then(|f| f.pool) {
            let clock = PoolClock { inertia_time: X::splat(0.0), pool_time: self.inputs[leak.drain_time] };
            self.pool_returns(pool, clock, falls, to);
        }
        self.filler_returns(falls, to);
    }

    #[inline(always)]
    fn pool_returns(&mut self, pool: usize, clock: PoolClock<X>, falls: &mut Falls<'_, X>, to: To) {
        if self.contents[pool].total_of::<N>().all(|m| m == 0.0) {
            return;
        }
        let left = clock::pool_left(clock, falls.from(self.contents[pool].temperature_c));
        self.give_back(pool, to, X::splat(1.0) - left);
    }

    /// The age of a film where there is none means nothing.
    #[inline(always)]
    fn film_returns(&mut self, film: usize, film_time: X, falls: &mut Falls<'_, X>, to: To) {
        if self.contents[film].total_of::<N>().all(|m| m == 0.0) {
            return;
        }
        let Contents { age, temperature_c, .. } = self.contents[film];
        let aged = clock::aged(film_time, falls.from(temperature_c));
        self.give_back(film, to, X::splat(1.0) - clock::film_left(age, age + aged));
        self.contents[film].age = age + aged;
    }

    #[inline(always)]
    fn filler_returns(&mut self, falls: &mut Falls<'_, X>, to: To) {
        if let Some(filler) = self.program.places.filler {
            self.film_returns(filler.place, self.inputs[filler.inputs.film_time], falls, to);
        }
    }

    /// What returns while a plug is open fills the sump up to the heel and runs past it to the pan.
    #[inline(always)]
    fn returns_past_an_open_plug(&mut self, open: Open<X>, falls: &mut Falls<'_, X>, stance: usize) {
        self.passing.clear::<N>(self.contents[SUMP].temperature_c);
        self.return_to(To::Past, falls);
        let returned = self.passing.total_of::<N>();
        if returned.all(|m| m <= 0.0) {
            return;
        }
        let room = self.heel_mass(open, stance) - self.mass_sump();
        if room.any(|m| m > 0.0) {
            self.passing.pass::<N>(&mut self.contents[SUMP], room.with(returned, share));
        }
        self.passing.pass_all::<N>(&mut self.contents[self.program.places.pan]);
    }

    /// A share of a place returns.
    #[inline(always)]
    fn give_back(&mut self, from: usize, to: To, share: X) {
        match to {
            To::Sump => self.move_share(from, SUMP, share),
            To::Past => self.contents[from].pass::<N>(&mut self.passing, share),
        }
    }
}
