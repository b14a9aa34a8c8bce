//! The state of a running program, as a recorder sees it.

#![allow(clippy::inline_always)] // so that it is compiled for the widest instructions

use super::apart::{Apart, Side};
use super::leaning::{Leans, Standing};
use super::lying::{Lying, Measure, PoolRow};
use super::oil::Oil;
use super::program::Program;
use super::state::{Contents, OILS};
use crate::circuit::{Ix, SUMP};

/// Relative rounding of a sum of masses turned into a volume.
const ROUNDING: f64 = 1e-12;

/// Volumes in the reference condition of the marks (m3).
#[derive(Debug, Clone, Copy)]
pub(super) struct Reference<X = f64> {
    /// In the sump, below MAX.
    pub at_max: X,
    /// In the filter and the stores, after the reference wait, with the circuit's own filter.
    pub elsewhere: X,
    /// Share of the filter's volume that is in it after the reference wait: all, with a sound valve.
    pub filter_full: X,
}

/// The state of a running program, as a recorder sees it: of one draw, or of several side by side.
pub struct View<'a, X: Side = f64> {
    pub(super) program: &'a Program,
    pub(super) inputs: &'a [X],
    pub(super) contents: &'a [Contents<X>],
    pub(super) oil: &'a Oil<X>,
    pub(super) reference: &'a Reference<X>,
    pub(super) supplied: &'a [X; 5],
    /// The first so many components are all that can be there.
    pub(super) components: usize,
    /// The stance that the sump is in.
    pub(super) stance: usize,
    /// The program's leaning stances, each in every draw.
    pub(super) leans: &'a Leans<X>,
    /// What the fitted filter holds when full (m3).
    pub(super) filter_net: X,
    /// Where liquid lies apart.
    pub(super) lying: Option<&'a X::Lying>,
}

impl<'a, X: Side> View<'a, X> {
    /// One of the program's stances as it is in a draw.
    pub(super) fn standing_at(&self, stance: usize, draw: usize) -> Standing<'a> {
        self.program.standing::<X>(stance, self.leans, draw)
    }

    /// How the sump stands in a draw.
    pub(super) fn standing(&self, draw: usize) -> Standing<'a> {
        self.standing_at(self.stance, draw)
    }

    /// Contents of every place.
    pub fn contents(&self) -> &'a [Contents<X>] {
        self.contents
    }

    /// Mass of each component brought in from outside since the start (kg).
    pub fn supplied(&self) -> [X; 5] {
        *self.supplied
    }

    /// Volume of a place at its own temperature (m3).
    #[inline(always)]
    pub fn volume(&self, place: usize) -> X {
        let contents = &self.contents[place];
        if self.components == OILS { self.oil.volume_of::<OILS>(contents) } else { self.oil.volume(contents) }
    }

    /// Volume of all the sump's pools as its drawing holds it (m3): over the volume scale.
    #[inline(always)]
    pub(crate) fn volume_of_drawing(&self) -> X {
        self.volume_sump() / self.scale()
    }

    /// How much higher the liquid stands than the drawing says (m).
    pub(crate) fn datum(&self) -> X {
        self.inputs[self.program.circuit.layout().datum]
    }

    /// What the true sump holds over what its drawing holds, at the temperature of what is in it.
    #[inline(always)]
    pub(super) fn scale(&self) -> X {
        self.program.circuit.layout().volume_scale_at(self.inputs, self.contents[SUMP].temperature_c)
    }

    /// What lies in the sump outside the pool under the stick's tip.
    pub fn apart(&self) -> Contents<X> {
        self.lying.map_or(Contents::empty(X::splat(0.0)), Apart::apart)
    }

    /// Volume of all the sump's pools at their own temperatures (m3).
    #[inline(always)]
    pub fn volume_sump(&self) -> X {
        let own = self.volume(SUMP);
        if self.lying.is_some() { own + self.oil.volume(&self.apart()) } else { own }
    }

    /// Height of the free surface along *up* in the body frame, as the stick sees it (m); `None` where the tip hangs over
    /// pools that lie apart below it.
    #[inline(always)]
    pub(super) fn surface(&self) -> Option<X> {
        let surface = match self.lying {
            Some(lying) if !self.standing(0).is_drawn() => {
                let stance = self.standing(0).stance();
                lying.level(stance.basins.as_ref())? + X::splat(stance.curve.datum_si())
            }
            _ => self.program.surface(self.stance, self.leans, self.volume_of_drawing()),
        };
        Some(surface + self.datum())
    }

    /// Mass over volume of what the sump holds; the oil's density at its temperature where it is empty (kg/m3).
    pub(super) fn sump_density(&self) -> X {
        self.oil.mean_density(&self.contents[SUMP])
    }

    /// Volume between the planes through two of the blade's points, at these distances from the tip (m3).
    #[inline(always)]
    pub(super) fn volume_between(&self, low: X, high: X) -> X {
        let [low, high] = self.below(self.stance, [low, high]);
        self.scale() * high - self.scale() * low
    }

    /// Volumes of the drawing's sump below the planes through the blade's points at these distances from the tip at a stance (m3).
    #[inline(always)]
    fn below<const N: usize>(&self, stance: usize, s: [X; N]) -> [X; N] {
        let mut heights = s;
        for height in &mut heights {
            *height = self.program.height_on_blade(stance, self.leans, *height) - self.datum();
        }
        self.program.volumes_below(stance, self.leans, heights)
    }

    /// Volume below a mark in the reference attitude (m3).
    #[inline(always)]
    fn volume_at_mark(&self, mark: Ix) -> X {
        let [below] = self.below(0, [self.inputs[mark]]);
        self.reference_scale() * below
    }

    /// What the true sump holds over what its drawing holds, at the temperature of the reference condition.
    pub(super) fn reference_scale(&self) -> X {
        self.program.circuit.layout().volume_scale_at(self.inputs, self.reference_c())
    }

    /// Volume the sump would hold in the reference condition, drained back and filter full (m3): all that is in the circuit at
    /// the reference temperature, less what filter and stores hold in that condition, `Σ M_c / ρ_c(T_ref) - V_elsewhere`.
    pub fn drained_back(&self) -> X {
        self.drained_back_at(self.reference_c())
    }

    /// As [`View::drained_back`], with everything at another temperature (°C).
    pub fn drained_back_at(&self, t: X) -> X {
        X::widely(
            #[inline(always)]
            || self.drained_back_in_line(t),
        )
    }

    #[inline(always)]
    fn drained_back_in_line(&self, t: X) -> X {
        let mut all = Contents::empty(t);
        for place in &self.contents[..self.program.places.in_circuit()] {
            for (sum, m) in all.mass[..self.components].iter_mut().zip(place.mass) {
                *sum += m;
            }
        }
        if self.lying.is_some() {
            for (sum, m) in all.mass.iter_mut().zip(self.apart().mass) {
                *sum += m;
            }
        }
        self.oil.volume(&all) - self.elsewhere()
    }

    /// Volumes below MIN and MAX in the reference attitude (m3).
    pub fn volumes_at_marks(&self) -> [X; 2] {
        let l = self.program.circuit.layout();
        X::widely(
            #[inline(always)]
            || [self.volume_at_mark(l.stick.min), self.volume_at_mark(l.stick.max)],
        )
    }

    /// Volume below MAX in the reference condition (m3).
    pub fn volume_at_max(&self) -> X {
        self.reference.at_max
    }

    /// Volume of everything in the circuit, each place at its own temperature (m3).
    pub fn volume_in_circuit(&self) -> X {
        let others = (1..self.program.places.in_circuit()).map(|place| self.volume(place));
        others.fold(X::splat(0.0), |sum, v| sum + v) + self.volume_sump()
    }

    /// What filter and stores hold in the reference condition, after its wait, with the circuit's own filter (m3).
    pub fn volume_elsewhere(&self) -> X {
        self.reference.elsewhere
    }

    /// Temperature of the reference condition (°C).
    pub fn reference_c(&self) -> X {
        self.inputs[self.program.circuit.layout().reference_temperature]
    }

    /// What filter and stores hold in the reference condition, the filter being the one now fitted (m3).
    fn elsewhere(&self) -> X {
        let own = |f: crate::circuit::FilterPlace| self.inputs[f.inputs.net_volume].at_least(0.0);
        let own = self.program.places.filter.map_or(X::splat(0.0), own);
        self.reference.elsewhere + (self.filter_net - own) * self.reference.filter_full
    }

    /// Whether a volume that is drained back is over MAX, as [`View::over_max`] says, draw by draw.
    pub(crate) fn are_over_max(&self, drained_back: X) -> X::Each<bool> {
        X::each(|i| drained_back.lane(i) > self.reference.at_max.lane(i) * (1.0 + ROUNDING))
    }

    /// Whether the sump holds more than its drawing does, as it is or drained back, by more than rounding, draw by draw: an ingress, a given
    /// start, and what returns or warms may fill it so.
    pub(crate) fn are_past_top(&self, drained_back: X) -> X::Each<bool> {
        let capacity = self.program.circuit.sump().capacity_si() * (1.0 + ROUNDING);
        let (now, back) = (self.volume_of_drawing(), drained_back / self.reference_scale());
        X::each(|i| now.lane(i) > capacity || back.lane(i) > capacity)
    }

    /// Whether a volume that is drained back is under MIN, draw by draw.
    pub(crate) fn are_under_min(&self, drained_back: X) -> X::Each<bool> {
        X::widely(
            #[inline(always)]
            || {
                let min = self.volume_at_mark(self.program.circuit.layout().stick.min);
                X::each(|i| drained_back.lane(i) < min.lane(i) * (1.0 - ROUNDING))
            },
        )
    }
}

impl View<'_> {
    /// Contents of every place, and of all pools that lie apart where there may be some.
    pub(super) fn append_contents(&self, to: &mut Vec<Contents>) {
        to.extend_from_slice(self.contents);
        to.extend(self.lying.map(Apart::apart));
    }

    /// Volume of a place at 15 °C (m3).
    pub fn volume_15c(&self, place: usize) -> f64 {
        let contents = Contents { temperature_c: 15.0, ..self.contents[place] };
        self.oil.volume(&contents)
    }

    /// Level of the pool under the stick's tip above the sump's lowest point at the attitude of the event, in the drawing's
    /// sump (m): `level(V / k)`; 0 where the tip hangs over pools that lie apart below it.
    pub fn level(&self) -> f64 {
        self.level_of(self.volume_sump())
    }

    /// [`View::level`], where [`View::volume_sump`] is known.
    pub(super) fn level_of(&self, volume_sump: f64) -> f64 {
        match self.lying {
            Some(lying) if !self.standing(0).is_drawn() => {
                lying.level(self.standing(0).stance().basins.as_ref()).unwrap_or(0.0)
            }
            _ => self.standing(0).level(volume_sump / self.scale()),
        }
    }

    /// The pools of the sump where it may hold several at this service's attitudes, largest first.
    pub fn pools(&self) -> Vec<PoolRow> {
        let scale = self.scale();
        let measure = Measure { oil: self.oil, scale };
        self.lying.map_or_else(Vec::new, |lying: &Lying| lying.rows(&self.contents[SUMP], measure))
    }

    /// [`View::volumes_at_marks`] and [`View::drained_back`] as the drawing holds them (m3).
    pub(crate) fn volumes_of_reference(&self) -> ([f64; 2], f64) {
        let scale = self.reference_scale();
        (self.volumes_at_marks().map(|volume| volume / scale), self.drained_back() / scale)
    }

    /// Over MAX: true, noise-free, drained back, filter full, in the reference condition; by more than rounding, so that a
    /// circuit filled to MAX is not over it.
    pub fn over_max(&self) -> bool {
        self.are_over_max(self.drained_back())[0]
    }

    /// Under MIN in the same sense, by more than rounding.
    pub fn under_min(&self) -> bool {
        self.are_under_min(self.drained_back())[0]
    }
}
