//! The state of a running program, as a recorder sees it.

use super::leaning::{Lean, Standing};
use super::lying::{Lying, Measure, PoolRow};
use super::oil::Oil;
use super::program::Program;
use super::state::Contents;
use crate::circuit::{Ix, SUMP};

/// Relative rounding of a sum of masses turned into a volume.
const ROUNDING: f64 = 1e-12;

/// Volumes in the reference condition of the marks (m3).
#[derive(Debug, Clone, Copy)]
pub(super) struct Reference {
    /// In the sump, below MAX.
    pub at_max: f64,
    /// In the filter and the stores, after the reference wait, with the circuit's own filter.
    pub elsewhere: f64,
    /// Share of the filter's volume that is in it after the reference wait: all, with a sound valve.
    pub filter_full: f64,
}

/// The state of a running program, as a recorder sees it.
pub struct View<'a> {
    pub(super) program: &'a Program,
    pub(super) inputs: &'a [f64],
    pub(super) contents: &'a [Contents],
    pub(super) oil: &'a Oil,
    pub(super) reference: Reference,
    pub(super) supplied: [f64; 5],
    /// The stance that the sump is in.
    pub(super) stance: usize,
    /// The program's leaning stances in this draw.
    pub(super) leans: &'a [Lean],
    /// What the fitted filter holds when full (m3).
    pub(super) filter_net: f64,
    /// Where liquid lies apart.
    pub(super) lying: Option<&'a Lying>,
}

impl<'a> View<'a> {
    /// One of the program's stances as it is in this draw.
    pub(super) fn standing_at(&self, stance: usize) -> Standing<'a> {
        self.program.standing(stance, self.leans)
    }

    /// How the sump stands.
    pub(super) fn standing(&self) -> Standing<'a> {
        self.standing_at(self.stance)
    }

    /// Contents of every place.
    pub fn contents(&self) -> &'a [Contents] {
        self.contents
    }

    /// Contents of every place, and of all pools that lie apart where there may be some.
    pub(super) fn all_contents(&self) -> Vec<Contents> {
        self.contents.iter().copied().chain(self.lying.map(Lying::apart)).collect()
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

    /// Level of the pool under the stick's tip above the sump's lowest point at the attitude of the event, in the drawing's
    /// sump (m): `level(V / k)`; 0 where the tip hangs over pools that lie apart below it.
    pub fn level(&self) -> f64 {
        match self.lying {
            Some(lying) if !self.standing().is_drawn() => {
                lying.level(self.standing().stance().basins.as_ref()).unwrap_or(0.0)
            }
            _ => self.standing().level(self.volume_of_drawing()),
        }
    }

    /// Volume of all the sump's pools as its drawing holds it (m3): over the volume scale.
    pub(crate) fn volume_of_drawing(&self) -> f64 {
        self.volume_sump() / self.scale()
    }

    /// How much higher the liquid stands than the drawing says (m).
    pub(crate) fn datum(&self) -> f64 {
        self.inputs[self.program.circuit.layout().datum]
    }

    /// What the true sump holds over what its drawing holds, at the temperature of what is in it.
    pub(super) fn scale(&self) -> f64 {
        self.program.circuit.layout().volume_scale_at(self.inputs, self.contents[SUMP].temperature_c)
    }

    /// What lies in the sump outside the pool under the stick's tip.
    pub fn apart(&self) -> Contents {
        self.lying.map_or(Contents::empty(0.0), Lying::apart)
    }

    /// The pools of the sump where it may hold several at this service's attitudes, largest first.
    pub fn pools(&self) -> Vec<PoolRow> {
        let scale = self.scale();
        let measure = Measure { oil: self.oil, scale };
        self.lying.map_or_else(Vec::new, |lying| lying.rows(&self.contents[SUMP], measure))
    }

    /// Volume of all the sump's pools at their own temperatures (m3).
    pub fn volume_sump(&self) -> f64 {
        let own = self.volume(SUMP);
        if self.lying.is_some() { own + self.oil.volume(&self.apart()) } else { own }
    }

    /// Height of the free surface along *up* in the body frame, as the stick sees it (m); `None` where the tip hangs over
    /// pools that lie apart below it.
    pub(super) fn surface(&self) -> Option<f64> {
        let surface = match self.lying {
            Some(lying) if !self.standing().is_drawn() => {
                let stance = self.standing().stance();
                stance.curve.datum_si() + lying.level(stance.basins.as_ref())?
            }
            _ => self.standing().surface(self.volume_of_drawing()),
        };
        Some(surface + self.datum())
    }

    /// Mass over volume of what the sump holds; the oil's density at its temperature where it is empty (kg/m3).
    pub(super) fn sump_density(&self) -> f64 {
        self.oil.mean_density(&self.contents[SUMP])
    }

    /// Volume below the plane through the blade's point at distance `s` from the tip (m3).
    pub(super) fn volume_at(&self, s: f64) -> f64 {
        let l = self.program.circuit.layout();
        let height = self.standing().stick().height_at(s) - self.inputs[l.datum];
        self.scale() * self.standing().volume_below(height)
    }

    /// Volumes below MIN and MAX in the reference attitude (m3).
    pub fn volumes_at_marks(&self) -> [f64; 2] {
        let l = self.program.circuit.layout();
        [l.stick.min, l.stick.max].map(|mark| self.volume_at_mark(mark))
    }

    /// Volume below a mark in the reference attitude (m3).
    fn volume_at_mark(&self, mark: Ix) -> f64 {
        let l = self.program.circuit.layout();
        let standing = self.standing_at(0);
        let scale = l.volume_scale_at(self.inputs, self.inputs[l.reference_temperature]);
        scale * standing.volume_below(standing.stick().height_at(self.inputs[mark]) - self.inputs[l.datum])
    }

    /// [`View::volumes_at_marks`] and [`View::drained_back`] as the drawing holds them (m3).
    pub(crate) fn volumes_of_reference(&self) -> ([f64; 2], f64) {
        let l = self.program.circuit.layout();
        let scale = l.volume_scale_at(self.inputs, self.inputs[l.reference_temperature]);
        (self.volumes_at_marks().map(|volume| volume / scale), self.drained_back() / scale)
    }

    /// Volume of everything in the circuit, each place at its own temperature (m3).
    pub fn volume_in_circuit(&self) -> f64 {
        (1..self.program.places.in_circuit()).map(|place| self.volume(place)).sum::<f64>() + self.volume_sump()
    }

    /// Volume below MAX in the reference condition (m3).
    pub fn volume_at_max(&self) -> f64 {
        self.reference.at_max
    }

    /// Volume the sump would hold in the reference condition, drained back and filter full (m3): all that is in the circuit at
    /// the reference temperature, less what filter and stores hold in that condition, `Σ M_c / ρ_c(T_ref) - V_elsewhere`.
    pub fn drained_back(&self) -> f64 {
        self.drained_back_at(self.inputs[self.program.circuit.layout().reference_temperature])
    }

    /// As [`View::drained_back`], with everything at another temperature (°C).
    pub fn drained_back_at(&self, t: f64) -> f64 {
        let mut all = Contents::empty(t);
        for place in &self.contents[..self.program.places.in_circuit()] {
            for (sum, m) in all.mass.iter_mut().zip(place.mass) {
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

    /// What filter and stores hold in the reference condition, after its wait, with the circuit's own filter (m3).
    pub fn volume_elsewhere(&self) -> f64 {
        self.reference.elsewhere
    }

    /// Temperature of the reference condition (°C).
    pub fn reference_c(&self) -> f64 {
        self.inputs[self.program.circuit.layout().reference_temperature]
    }

    /// What filter and stores hold in the reference condition, the filter being the one now fitted (m3).
    fn elsewhere(&self) -> f64 {
        let own = self.program.places.filter.map_or(0.0, |f| self.inputs[f.inputs.net_volume].max(0.0));
        self.reference.elsewhere + (self.filter_net - own) * self.reference.filter_full
    }

    /// Over MAX: true, noise-free, drained back, filter full, in the reference condition; by more than rounding, so that a
    /// circuit filled to MAX is not over it.
    pub fn over_max(&self) -> bool {
        self.is_over_max(self.drained_back())
    }

    /// Under MIN in the same sense, by more than rounding.
    pub fn under_min(&self) -> bool {
        self.is_under_min(self.drained_back())
    }

    /// Whether a volume that is drained back is over MAX, as [`View::over_max`] says.
    pub(crate) fn is_over_max(&self, drained_back: f64) -> bool {
        drained_back > self.reference.at_max * (1.0 + ROUNDING)
    }

    /// Whether a volume that is drained back is under MIN.
    pub(crate) fn is_under_min(&self, drained_back: f64) -> bool {
        drained_back < self.volume_at_mark(self.program.circuit.layout().stick.min) * (1.0 - ROUNDING)
    }
}
