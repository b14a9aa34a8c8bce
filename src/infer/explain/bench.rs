//! A model at work: the likelihood of what was seen, and what else is asked about a run.

use super::model::{
    Amounts, MISTAKEN, MOST_SLOPE_DEG, Model, NONE_SCATTER, Observed, SLOPE_NODE_DEG, SeenAs, SeenValue,
};
use super::record::Says;
use super::run::{Run, Simulated};
use super::sign::Sign;
use super::smc::Target;
use crate::Error;
use crate::circuit::{Ix, Wetting};
use crate::numeric::lanes::{Eight, Lanes};
use crate::numeric::normal;
use crate::service::{Parting, Seen};

/// Working memory of a model. What is asked about a run is answered for the last one.
pub(crate) struct Bench<'a> {
    model: &'a Model,
    one: Run<'a, f64>,
    /// Several side by side, where the model allows.
    many: Option<Run<'a, Eight>>,
    pub parting: Parting,
}

impl Target for Bench<'_> {
    fn log_likelihood(&mut self, scores: &[f64]) -> Result<f64, Error> {
        self.run(scores)?;
        Ok(self.of_last_run())
    }

    fn log_likelihoods(&mut self, scores: &[f64], found: &mut [f64]) -> Result<(), Error> {
        self.each(scores, found.len(), |i, bench| found[i] = bench.of_last_run())
    }
}

impl<'a> Bench<'a> {
    pub(crate) fn new(model: &'a Model) -> Result<Self, Error> {
        let many = if model.abreast { Some(Run::new(model)?) } else { None };
        Ok(Self { model, one: Run::new(model)?, many, parting: Parting::default() })
    }

    /// Runs the program at these scores.
    pub(crate) fn run(&mut self, scores: &[f64]) -> Result<(), Error> {
        self.one.carry_out(scores).map(|_| ())
    }

    /// Runs the program at several points, whose scores follow one another: many side by side, where they take the same steps.
    /// `after` is told the place of each, in order, and the bench with it as the last run.
    pub(crate) fn each(
        &mut self,
        scores: &[f64],
        count: usize,
        mut after: impl FnMut(usize, &Self),
    ) -> Result<(), Error> {
        let dimensions = self.model.dimensions();
        for first in (0..count).step_by(Eight::COUNT) {
            let places = first..count.min(first + Eight::COUNT);
            let abreast = self.side_by_side(&scores[places.start * dimensions..places.end * dimensions], places.len());
            for place in places {
                match self.many.as_ref().filter(|_| abreast) {
                    Some(many) => self.one.take(many, place - first),
                    None => self.run(&scores[place * dimensions..(place + 1) * dimensions])?,
                }
                after(place, self);
            }
        }
        Ok(())
    }

    /// Runs the program at as many points as go side by side; whether it could be done.
    fn side_by_side(&mut self, scores: &[f64], count: usize) -> bool {
        let Some(many) = self.many.as_mut().filter(|_| count == Eight::COUNT && self.parting.pays()) else {
            return false;
        };
        // What goes wrong in one of several goes wrong when it runs alone, and is told then.
        let ran = many.carry_out(scores).unwrap_or(false);
        self.parting.note(ran);
        ran
    }

    /// Logarithm of the likelihood of the last run.
    fn of_last_run(&self) -> f64 {
        (0..self.model.observed.len()).map(|i| self.log_term(i)).sum()
    }

    /// Value of an unknown in the last run (SI).
    pub(crate) fn unknown(&self, which: usize) -> f64 {
        self.one.values[self.model.unknowns[which].1]
    }

    /// State of the last run at the end of the story, where checks were appended.
    pub(crate) fn seen(&self) -> Option<Seen> {
        self.one.sheet.seen[0]
    }

    /// Pitch and roll of the ground in the last run (deg).
    pub(crate) fn slope(&self) -> [f64; 2] {
        self.model.slope.map_or([0.0; 2], |s| s.map(|c| self.one.values[c].clamp(-MOST_SLOPE_DEG, MOST_SLOPE_DEG)))
    }

    /// Whether the hypothesis has pressure in the tube.
    pub(crate) fn has_pressure(&self) -> bool {
        self.model.unknowns.iter().any(|(u, _)| u.unit == "Pa")
    }

    pub(crate) fn shift(&self) -> f64 {
        self.model.shift.map_or(0.0, |c| self.one.values[c])
    }

    /// A reading of the record in the last run, on ground turned by `turn` (1 as it stood, -1 turned round).
    pub(crate) fn reading(&self, which: usize, turn: f64) -> Simulated {
        let mut of = self.simulated(self.model.readings[which]);
        let shift = self.shift() + self.sloped(which, turn);
        if shift != 0.0 {
            of.along += shift;
            of.fraction += shift / self.model.span_length;
            of.from_max += shift * self.model.area;
        }
        of
    }

    /// What the ground's slope adds to a reading along the blade (m): a parabola through the nodes, both ways.
    fn sloped(&self, which: usize, turn: f64) -> f64 {
        if self.model.slope.is_none() {
            return 0.0;
        }
        let [wp, wr] = self.slope().map(|angle| {
            let t = angle * turn / SLOPE_NODE_DEG;
            [0.5 * t * (t - 1.0), 1.0 - t * t, 0.5 * t * (t + 1.0)]
        });
        self.one.sheet.shifts[which].iter().enumerate().map(|(k, shift)| wp[k / 3] * wr[k % 3] * shift).sum()
    }

    /// What the ground or an unknown shift adds to a reading along the blade (m).
    pub(crate) fn on_ground(&self, which: usize) -> f64 {
        self.reading(which, 1.0).along - self.simulated(self.model.readings[which]).along
    }

    /// A reading of what was appended, along the blade (m).
    pub(crate) fn appended(&self, which: usize) -> f64 {
        self.model.appended.get(which).map_or(0.0, |nth| self.simulated(*nth).along)
    }

    /// A reading of the program, in order.
    pub(crate) fn simulated(&self, nth: usize) -> Simulated {
        self.one.sheet.readings.get(nth).copied().unwrap_or(Simulated::NOTHING)
    }

    /// Standard uncertainty of a reading along the blade (m).
    pub(crate) fn scatter(&self, extra: f64) -> f64 {
        let own = self.one.inputs[self.model.program.circuit.layout().stick.scatter].abs().max(1e-4);
        let wide = if self.model.shift.is_some() { NONE_SCATTER * self.model.span_length } else { 0.0 };
        own.hypot(extra).hypot(wide)
    }

    /// What an observation's number is in the last run, with its standard uncertainty, in the unit of the observation.
    pub(crate) fn predicted(&self, i: usize) -> (f64, f64) {
        match &self.model.observed[i] {
            Observed::Reading(seen) => {
                let at = self.reading(seen.reading, 1.0);
                let sd = self.scatter(seen.extra);
                match seen.value {
                    SeenValue::Fraction(_) => (at.fraction, sd / self.model.span_length),
                    SeenValue::FromMax(_) => (at.from_max, sd * self.model.area),
                    _ => (at.along, sd),
                }
            }
            Observed::Amount { what, sd, .. } => (self.amount(*what), *sd),
            Observed::Sign { sign, .. } => (self.sign(*sign), 0.0),
        }
    }

    /// The number that was seen, in the unit of `predicted`; none for words and signs.
    pub(crate) fn number_seen(&self, i: usize) -> Option<f64> {
        match &self.model.observed[i] {
            Observed::Reading(seen) => match seen.value {
                SeenValue::Along(v) | SeenValue::Fraction(v) | SeenValue::FromMax(v) => Some(v),
                SeenValue::Says(_) => None,
            },
            Observed::Amount { value, .. } => Some(*value),
            Observed::Sign { .. } => None,
        }
    }

    /// For words and signs: whether it was so, and the probability that it is, in the last run.
    pub(crate) fn said(&self, i: usize) -> (bool, f64) {
        match &self.model.observed[i] {
            Observed::Sign { sign, there } => (*there, if self.model.shift.is_some() { 0.5 } else { self.sign(*sign) }),
            _ => (true, self.log_term(i).exp()),
        }
    }

    /// Logarithm of the probability (density) of an observation in the last run.
    pub(crate) fn log_term(&self, i: usize) -> f64 {
        let broad = self.model.shift.is_some();
        match &self.model.observed[i] {
            Observed::Reading(seen) => self.log_reading(i, seen),
            Observed::Amount { value, sd, .. } => {
                let (at, _) = self.predicted(i);
                let sd = if broad { sd.hypot(0.3 * value) } else { *sd };
                let wide = 2.0 * value.max(at).max(1e-4);
                mixed(normal::density((value - at) / sd) / sd, 1.0 / wide).ln()
            }
            Observed::Sign { sign, there } => {
                let yes = if broad { 0.5 } else { self.sign(*sign) };
                (if *there { yes } else { 1.0 - yes }).ln()
            }
        }
    }

    fn log_reading(&self, i: usize, seen: &SeenAs) -> f64 {
        let (at, sd) = self.predicted(i);
        let (value, range) = match seen.value {
            SeenValue::Along(v) => (v, self.model.blade),
            SeenValue::Fraction(v) => (v, self.model.blade / self.model.span_length),
            SeenValue::FromMax(v) => (v, self.model.blade * self.model.area),
            SeenValue::Says(says) => return mixed(self.says(says, at, sd, seen.reading), 0.5).ln(),
        };
        mixed(normal::density((value - at) / sd) / sd, 1.0 / range).ln()
    }

    /// Probability that the stick says this, in words.
    fn says(&self, says: Says, at: f64, sd: f64, reading: usize) -> f64 {
        let stick = self.model.program.circuit.layout().stick;
        let (min, max) = (self.one.inputs[stick.min], self.one.inputs[stick.max]);
        let wetting = self.one.sheet.readings.get(self.model.readings[reading]).map(|r| r.wettings[0]);
        let at = match wetting {
            Some(Wetting::BelowTip) => at - 3.0 * sd,
            Some(Wetting::AboveBlade) => at + 3.0 * sd,
            _ => at,
        };
        let above = |mark: f64| normal::cdf((at - mark) / sd);
        match says {
            Says::Dry => 1.0 - above(0.0),
            Says::Under => 1.0 - above(min),
            Says::Between => (above(min) - above(max)).max(0.0),
            Says::Over => above(max),
            Says::AboveBlade => above(self.model.blade),
        }
    }

    /// An amount in the last run (m3).
    pub(crate) fn amount(&self, what: Amounts) -> f64 {
        match what {
            Amounts::Drained => self.one.sheet.end.drained,
            Amounts::Poured => {
                let density = self.one.inputs[self.model.program.circuit.layout().density_15c];
                let stated =
                    |(ix, mass): &(Ix, bool)| self.one.inputs[*ix].max(0.0) / if *mass { density } else { 1.0 };
                self.model.stated_pours.iter().map(stated).sum()
            }
        }
    }

    /// Probability that a sign is said to be there, in the last run.
    pub(crate) fn sign(&self, sign: Sign) -> f64 {
        let end = &self.one.sheet.end;
        let x = match sign {
            Sign::OldColour => end.shares[0],
            Sign::FuelSmell => end.shares[1],
            Sign::Milky => end.shares[2],
            Sign::CoolantFalls => end.coolant,
            Sign::OilOnFloor | Sign::LoosePlug => end.floor,
            Sign::SecondDipDiffers => self.second_dip_difference(),
            Sign::OldFilter => f64::from(u8::from(!end.filter_went[0])),
            Sign::WrongStick => {
                let seat = self.model.program.circuit.layout().stick.seat_offset;
                (self.one.inputs[seat] - self.model.program.nominals()[seat]).abs()
            }
        };
        sign.curve().probability(x)
    }

    /// The first reading less a second, wiped, seated dip (m); without sign.
    fn second_dip_difference(&self) -> f64 {
        let (Some(second), Some(first)) = (self.model.second_dip, self.model.readings.first()) else { return 0.0 };
        (self.simulated(*first).along - self.simulated(second).along).abs()
    }

    /// The second dip along the blade (m), on the slope if there is one.
    pub(crate) fn second_dip(&self) -> f64 {
        let Some(second) = self.model.second_dip else { return self.reading(0, 1.0).along };
        let Some(first) = self.model.readings.first() else { return 0.0 };
        self.reading(0, 1.0).along + self.simulated(second).along - self.simulated(*first).along
    }
}

/// A probability (density) with a small chance that the observation is mistaken.
fn mixed(p: f64, mistaken: f64) -> f64 {
    (1.0 - MISTAKEN) * p + MISTAKEN * mistaken
}
