//! Attitudes with an uncertainty: in every draw the sump stands as drawn.
//!
//! At nominal angles a leaning stance is any other. At drawn ones the stick's heights are exact, and where a volume stands is
//! told by the circuit's prepared [`Surfaces`], or by the exact kernel where they do not reach.

#![allow(clippy::inline_always)] // so that it is compiled for the widest instructions

use std::cell::{Cell, OnceCell};
use std::sync::{Arc, OnceLock};

use super::ServiceError;
use super::program::{Program, Stance};
use crate::circuit::{Ix, Surfaces, Wetting};
use crate::geometry::{Attitude, Glance, LevelCurve, Line, Sump};
use crate::numeric::lanes::Lanes;
use crate::numeric::sine::sin_cos;

/// Where an attitude is stated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum AttitudeAt {
    /// As the circuit's reference attitude.
    Reference,
    /// With an event.
    Event(usize),
}

impl AttitudeAt {
    /// Its path.
    pub(crate) fn path(self) -> String {
        match self {
            Self::Reference => "reference.attitude".to_string(),
            Self::Event(i) => format!("events[{i}].attitude"),
        }
    }
}

/// A stance whose attitude is uncertain.
#[derive(Debug, Clone)]
pub(crate) struct Leaning {
    pub at: AttitudeAt,
    pub stance: usize,
    /// Inputs that are the nose-up and the right-down angle (rad); none where that angle is exact.
    pub angles: [Option<Ix>; 2],
    /// Height of the stick's tip along *up* at the nominal angles (m).
    pub nominal_tip: f64,
    pub surfaces: OnceLock<Arc<Surfaces>>,
}

/// Draws of an attitude are held within this of upright, either way (deg).
const MOST_TILT: f64 = 89.0;
/// Height within which a search counts as arrived; its last step is taken all the same, and cubes what is left (m).
const NEAR: f64 = 1e-6;
/// Steps that a search may take.
const MOST_STEPS: usize = 12;

impl Leaning {
    /// Nose-up and right-down angle for these inputs (deg).
    #[inline(always)]
    fn drawn<X: Lanes>(&self, stance: &Stance, inputs: &[X]) -> [X; 2] {
        let held = |angle: f64| angle.to_degrees().clamp(-MOST_TILT, MOST_TILT);
        let of = |ix: Option<Ix>, own: f64| ix.map_or(X::splat(own), |ix| inputs[ix].map(held));
        let [nose_up, right_down] = self.angles;
        [of(nose_up, stance.attitude.nose_up_deg()), of(right_down, stance.attitude.right_down_deg())]
    }

    /// 1 in every draw that has the nominal angles, else 0.
    #[inline(always)]
    fn is_nominal<X: Lanes>(&self, inputs: &[X], nominals: &[f64]) -> X {
        self.angles.iter().flatten().fold(X::splat(1.0), |is, ix| {
            is.with(inputs[*ix], |is, angle| if angle == nominals[*ix] { is } else { 0.0 })
        })
    }
}

/// *Up* in the body frame at these angles (deg), as [`Attitude::up`] says it, to rounding.
#[inline(always)]
fn up<X: Lanes>([nose_up, right_down]: [X; 2]) -> [X; 3] {
    let [sp, cp] = sin_cos(nose_up.map(f64::to_radians));
    let [sr, cr] = sin_cos(right_down.map(f64::to_radians));
    [sp, cp * sr, cp * cr]
}

/// The leaning stances of a program in one draw, or in several side by side.
#[derive(Debug, Clone)]
pub(super) struct Leans<X: Lanes = f64> {
    /// Every stance in every draw.
    each: Vec<Lean>,
    /// Every stance in all draws at once.
    abreast: Vec<Abreast<X>>,
}

/// What is known of a leaning stance in one draw, where draws are asked about one by one.
#[derive(Debug, Clone)]
struct Lean {
    /// The surfaces at this attitude, around the volume last asked for.
    line: Cell<Option<Line>>,
    /// The volume whose surface was last asked for.
    last: Cell<Option<f64>>,
    /// The exact sump, looked at for the questions that the surfaces do not answer.
    exact: OnceCell<Glance>,
}

/// A leaning stance in all draws at once.
#[derive(Debug, Clone)]
struct Abreast<X: Lanes> {
    /// Nose-up and right-down angle (deg).
    angles: [X; 2],
    /// 1 in every draw with the nominal angles, else 0.
    nominal: X,
    /// Heights of the stick's points along *up*, tip first (m).
    heights: Vec<X>,
    /// Whether draws were asked about one by one, so that there is something to forget of them.
    one_by_one: Cell<bool>,
    /// The surfaces at these attitudes, around the volumes first asked for; none where a draw has none.
    line: OnceCell<Option<Line<X>>>,
    /// The volumes whose surfaces were last asked for.
    last: Cell<Option<X>>,
}

impl Lean {
    fn forget(&mut self) {
        self.line.set(None);
        self.last.set(None);
        self.exact.take();
    }
}

impl<X: Lanes> Abreast<X> {
    /// The attitude of a draw; none where it has the nominal angles.
    fn attitude(&self, draw: usize) -> Option<Attitude> {
        let [nose_up, right_down] = self.angles;
        let drawn = || Attitude::of_accepted(nose_up.lane(draw), right_down.lane(draw));
        (self.nominal.lane(draw) == 0.0).then(drawn)
    }
}

impl Program {
    /// The leaning stances at nominal angles, each for every draw.
    pub(super) fn upright_leans<X: Lanes>(&self) -> Leans<X> {
        let lean = || Lean { line: Cell::new(None), last: Cell::new(None), exact: OnceCell::new() };
        let abreast = |leaning: &Leaning| {
            let stance = &self.stances[leaning.stance];
            Abreast {
                angles: [stance.attitude.nose_up_deg(), stance.attitude.right_down_deg()].map(X::splat),
                nominal: X::splat(1.0),
                heights: stance.stick.heights().iter().map(|h| X::splat(*h)).collect(),
                one_by_one: Cell::new(false),
                line: OnceCell::new(),
                last: Cell::new(None),
            }
        };
        let each = std::iter::repeat_with(lean).take(self.leanings.len() * X::COUNT).collect();
        Leans { each, abreast: self.leanings.iter().map(abreast).collect() }
    }

    /// Turns the leaning stances to the attitudes that these inputs say.
    #[inline(always)]
    pub(super) fn turn_leans<X: Lanes>(&self, inputs: &[X], leans: &mut Leans<X>) {
        let all = leans.abreast.iter_mut().zip(leans.each.chunks_exact_mut(X::COUNT));
        for (leaning, (abreast, each)) in self.leanings.iter().zip(all) {
            self.turn(leaning, inputs, abreast);
            abreast.line.take();
            abreast.last.set(None);
            if abreast.one_by_one.replace(false) {
                each.iter_mut().for_each(Lean::forget);
            }
        }
    }

    /// Turns a leaning stance in all draws at once.
    #[inline(always)]
    fn turn<X: Lanes>(&self, leaning: &Leaning, inputs: &[X], abreast: &mut Abreast<X>) {
        let stance = &self.stances[leaning.stance];
        abreast.angles = leaning.drawn(stance, inputs);
        abreast.nominal = leaning.is_nominal(inputs, self.nominals());
        self.circuit.stick().turn(up(abreast.angles), &mut abreast.heights);
        if abreast.nominal.any(|nominal| nominal > 0.0) {
            for (height, stated) in abreast.heights.iter_mut().zip(stance.stick.heights()) {
                *height = height.with(abreast.nominal, |drawn, nominal| if nominal > 0.0 { *stated } else { drawn });
            }
        }
    }

    /// Height along *up* of the blade's points at distances from the tip at a stance (m).
    #[inline(always)]
    pub(super) fn height_on_blade<X: Lanes>(&self, stance: usize, leans: &Leans<X>, s: X) -> X {
        let stance = &self.stances[stance];
        match stance.leaning.and_then(|i| leans.abreast.get(i)) {
            Some(abreast) => stance.stick.heights_at(s, |k| abreast.heights[k]),
            None => stance.stick.heights_at(s, |k| X::splat(stance.stick.heights()[k])),
        }
    }

    /// Where the surface of a draw meets the blade of a stick that hangs lower by `longer` at a stance, and whether it does.
    pub(super) fn reading<X: Lanes>(
        &self,
        stance: usize,
        leans: &Leans<X>,
        draw: usize,
        [surface, longer]: [f64; 2],
    ) -> (f64, Wetting) {
        let stance = &self.stances[stance];
        match stance.leaning.and_then(|i| leans.abreast.get(i)) {
            Some(abreast) => stance.stick.reading_from(surface, longer, |k| abreast.heights[k].lane(draw)),
            None => stance.stick.reading_from(surface, longer, |k| stance.stick.heights()[k]),
        }
    }

    /// Where surfaces meet the blade of a stick that hangs lower by `longer` at a stance, where all meet one piece of it.
    #[inline(always)]
    pub(super) fn on_blade<X: Lanes>(&self, stance: usize, leans: &Leans<X>, surface: X, longer: X) -> Option<X> {
        let stance = &self.stances[stance];
        match stance.leaning.and_then(|i| leans.abreast.get(i)) {
            Some(abreast) => stance.stick.readings_from(surface, longer, |k| abreast.heights[k]),
            None => stance.stick.readings_from(surface, longer, |k| X::splat(stance.stick.heights()[k])),
        }
    }

    /// What is prepared of a leaning stance, where liquid may lie in several pools at draws of it, at some volume.
    pub(super) fn splitting(&self, stance: usize) -> Option<&Surfaces> {
        let surfaces = self.stances[stance].leaning.and_then(|i| self.leanings[i].surfaces.get())?;
        surfaces.splits().then_some(surfaces)
    }

    /// A stance as it is in a draw.
    #[inline]
    pub(super) fn standing<'a, X: Lanes>(&'a self, stance: usize, leans: &'a Leans<X>, draw: usize) -> Standing<'a> {
        let stance = &self.stances[stance];
        let drawn = stance.leaning.and_then(|i| {
            let (abreast, lean) = (leans.abreast.get(i)?, leans.each.get(i * X::COUNT + draw)?);
            let (attitude, leaning) = (abreast.attitude(draw)?, &self.leanings[i]);
            abreast.one_by_one.set(true);
            let tip = abreast.heights[0].lane(draw);
            Some(Drawn { attitude, tip, lean, leaning, sump: self.circuit.sump(), nominal: &stance.curve })
        });
        Standing { stance, drawn }
    }

    /// Height of the free surface of a volume of the drawing's sump along *up* at a stance (m).
    #[inline(always)]
    pub(super) fn surface<X: Lanes>(&self, stance: usize, leans: &Leans<X>, volume: X) -> X {
        let Some(leaning) = self.stances[stance].leaning else {
            let curve = &self.stances[stance].curve;
            return X::splat(curve.datum_si()) + curve.levels_at(volume);
        };
        if X::COUNT > 1 {
            let abreast = &leans.abreast[leaning];
            if let Some(line) = self.lines(leaning, leans, volume)
                && line.holds(volume)
            {
                abreast.last.set(Some(volume));
                return line.value_and_slope(volume)[0] + abreast.heights[0];
            }
            abreast.last.set(None);
        }
        self.surface_one_by_one(stance, leans, volume)
    }

    #[inline(never)]
    fn surface_one_by_one<X: Lanes>(&self, stance: usize, leans: &Leans<X>, volume: X) -> X {
        X::from_lanes(|i| self.standing(stance, leans, i).surface(volume.lane(i)))
    }

    /// The surfaces of all draws, around the volumes first asked for; `None` where one has none.
    #[inline(never)]
    fn lines<'a, X: Lanes>(&self, leaning: usize, leans: &'a Leans<X>, volume: X) -> Option<&'a Line<X>> {
        let all = || Line::abreast(|i| self.line(leaning, leans, i, volume.lane(i)));
        leans.abreast[leaning].line.get_or_init(all).as_ref()
    }

    /// The surfaces of a draw around a volume; `None` where they do not reach, or it has the nominal angles.
    #[inline]
    fn line<X: Lanes>(&self, leaning: usize, leans: &Leans<X>, draw: usize, volume: f64) -> Option<Line> {
        let attitude = leans.abreast[leaning].attitude(draw)?;
        self.leanings[leaning].surfaces.get()?.response.line(volume, attitude)
    }

    /// Volumes of the drawing's sump below planes at some heights along *up* at a stance (m3).
    #[inline(always)]
    pub(super) fn volumes_below<X: Lanes, const N: usize>(
        &self,
        stance: usize,
        leans: &Leans<X>,
        heights: [X; N],
    ) -> [X; N] {
        let mut volumes = heights;
        let Some(leaning) = self.stances[stance].leaning else {
            let curve = &self.stances[stance].curve;
            for volume in &mut volumes {
                *volume = curve.volumes_at(*volume - X::splat(curve.datum_si()));
            }
            return volumes;
        };
        let abreast = &leans.abreast[leaning];
        let (Some(Some(line)), Some(last)) = (abreast.line.get(), abreast.last.get()) else {
            for volume in &mut volumes {
                *volume = self.volume_below_one_by_one(stance, leans, *volume);
            }
            return volumes;
        };
        // One step of each at a time: none waits for the other.
        let mut searches = [Search::new(X::splat(0.0), last); N];
        for (search, height) in searches.iter_mut().zip(heights) {
            search.over_tip = height - abreast.heights[0];
        }
        let other = |i: usize, volume: f64| self.line(leaning, leans, i, volume);
        for _ in 0..MOST_STEPS {
            let mut underway = X::splat(0.0);
            for search in &mut searches {
                search.step(line, &other);
                underway += search.underway;
            }
            if underway.all(|underway| underway == 0.0) {
                break;
            }
        }
        for ((volume, height), search) in volumes.iter_mut().zip(heights).zip(&searches) {
            *volume = search.volume;
            let lost = search.lost + search.underway;
            if lost.any(|lost| lost != 0.0) {
                *volume = self.found_one_by_one(stance, leans, height, [search.volume, lost, last]);
            }
        }
        volumes
    }

    #[inline(never)]
    fn volume_below_one_by_one<X: Lanes>(&self, stance: usize, leans: &Leans<X>, height: X) -> X {
        X::from_lanes(|i| self.standing(stance, leans, i).volume_below(height.lane(i)))
    }

    /// What a search found, and in the draws in which it got lost the same one by one, from the volumes whose surfaces were
    /// last asked for.
    #[cold]
    fn found_one_by_one<X: Lanes>(
        &self,
        stance: usize,
        leans: &Leans<X>,
        height: X,
        [volume, lost, last]: [X; 3],
    ) -> X {
        let one = |i: usize| self.standing(stance, leans, i).volume_below_from(height.lane(i), last.lane(i));
        X::from_lanes(|i| if lost.lane(i) == 0.0 { volume.lane(i) } else { one(i) })
    }
}

/// One draw's search for the volume below a height, or that of several side by side; each stands still once it has arrived.
#[derive(Clone, Copy)]
struct Search<X> {
    over_tip: X,
    volume: X,
    /// 1 in every draw that has not arrived, else 0.
    underway: X,
    /// 1 in every draw in which it led out of the surfaces, else 0.
    lost: X,
    /// The lines of the volumes it came to, where it left those it began with.
    followed: Option<Line<X>>,
}

impl<X: Lanes> Search<X> {
    #[inline(always)]
    fn new(over_tip: X, from: X) -> Self {
        Self { over_tip, volume: from, underway: X::splat(1.0), lost: X::splat(0.0), followed: None }
    }

    /// The next step. `other` is the line of a draw around another volume.
    #[inline(always)]
    fn step(&mut self, line: &Line<X>, other: &impl Fn(usize, f64) -> Option<Line>) {
        let reaches = self.followed.as_ref().unwrap_or(line).reaches(self.volume);
        if (self.underway - reaches).any(|beyond| beyond > 0.0) {
            self.follow(line, reaches, other);
        }
        let line = self.followed.as_ref().unwrap_or(line);
        let [at, slope, bend] = line.value_slope_and_bend(self.volume);
        let off = at - self.over_tip;
        let goes = slope.map(|slope| if slope > 0.0 { 1.0 } else { 0.0 });
        self.lost += self.underway * (X::splat(1.0) - goes);
        self.underway = self.underway * goes;
        self.volume -=
            nearer(off, slope, bend).with(self.underway, |step, underway| if underway > 0.0 { step } else { 0.0 });
        self.underway = self.underway.with(off, |underway, off| if off.abs() < NEAR { 0.0 } else { underway });
    }

    /// Takes other lines in the draws that are underway beyond theirs.
    #[inline(never)] // seldom, and long
    fn follow(&mut self, line: &Line<X>, reaches: X, other: &impl Fn(usize, f64) -> Option<Line>) {
        let lines = self.followed.get_or_insert(*line);
        for i in (0..X::COUNT).filter(|i| self.underway.lane(*i) > reaches.lane(*i)) {
            if let Some(line) = other(i, self.volume.lane(i)) {
                lines.set(i, &line);
            } else {
                self.lost.set_lane(i, 1.0);
            }
        }
        self.underway -= self.lost.with(self.underway, |lost, underway| lost * underway);
    }
}

/// The step of Chebyshev's method from where a function is `off` what it should be, to be taken off: Newton's, and what the function bends
/// on the way, `x - (f/f') - (f/f')² (f''/2) / f'`. It cubes what is left (A. S. Householder, The Numerical Treatment of a Single Nonlinear
/// Equation, 1970, section 4.4; cited from memory).
#[inline(always)]
fn nearer<X: Lanes>(off: X, slope: X, bend: X) -> X {
    let inverse = X::splat(1.0) / slope;
    let step = off * inverse;
    step + step * step * (bend * inverse)
}

/// How the sump stands: as stated, or as drawn.
#[derive(Clone, Copy)]
pub(super) struct Standing<'a> {
    stance: &'a Stance,
    drawn: Option<Drawn<'a>>,
}

impl<'a> Standing<'a> {
    /// The stance at its nominal attitude.
    pub(super) fn stance(&self) -> &'a Stance {
        self.stance
    }

    /// Whether it stands otherwise than stated.
    pub(super) fn is_drawn(&self) -> bool {
        self.drawn.is_some()
    }

    /// The attitude.
    pub(super) fn attitude(&self) -> Attitude {
        self.drawn.map_or(self.stance.attitude, |d| d.attitude)
    }

    /// Level of a volume of the drawing's sump above its lowest point (m).
    pub(super) fn level(&self, volume: f64) -> f64 {
        self.drawn.map_or_else(|| self.stance.curve.level_at(volume), |d| d.exact_level(volume))
    }

    /// Height of the free surface of a volume of the drawing's sump along *up* (m).
    pub(super) fn surface(&self, volume: f64) -> f64 {
        match self.drawn {
            Some(d) => d.surface(volume),
            None => self.stance.curve.datum_si() + self.stance.curve.level_at(volume),
        }
    }

    /// Volume of the drawing's sump below a plane at a height along *up* (m3).
    pub(super) fn volume_below(&self, height: f64) -> f64 {
        match self.drawn {
            Some(d) => d.volume_below(height),
            None => self.stance.curve.volume_at(height - self.stance.curve.datum_si()),
        }
    }

    /// As [`Standing::volume_below`], from the volume whose surface was last asked for.
    fn volume_below_from(&self, height: f64, last: f64) -> f64 {
        if let Some(d) = self.drawn {
            d.remember(last);
        }
        self.volume_below(height)
    }

    /// Refuses a volume of the drawing that may lie in several pools at a drawn attitude.
    pub(super) fn check_one_pool(&self, volume: f64) -> Result<(), ServiceError> {
        let Some(d) = self.drawn else { return Ok(()) };
        if d.leaning.surfaces.get().is_some_and(|s| s.may_lie_apart(volume)) {
            let (at, litres) = (d.leaning.at.path(), volume * 1e3);
            let message = format!("in a draw of {at} it holds {litres:.3} L, which may lie in several pools there");
            return Err(ServiceError::Pools { message });
        }
        Ok(())
    }
}

/// A leaning stance at a drawn attitude.
#[derive(Clone, Copy)]
struct Drawn<'a> {
    attitude: Attitude,
    /// Height of the stick's tip along *up* (m).
    tip: f64,
    lean: &'a Lean,
    leaning: &'a Leaning,
    sump: &'a Sump,
    /// The curve at the nominal attitude.
    nominal: &'a LevelCurve,
}

impl<'a> Drawn<'a> {
    /// The exact sump. One without plan form that has no curve here is refused when the surfaces are prepared; of one that serves
    /// small tilts, only a draw beyond them and beyond the surfaces (6 in ten million) takes the nominal curve.
    fn exact(&self) -> &'a Glance {
        let look = || Glance::of(self.sump, self.attitude).unwrap_or_else(|_| Glance::Curve(self.nominal.clone()));
        self.lean.exact.get_or_init(look)
    }

    fn exact_level(&self, volume: f64) -> f64 {
        self.exact().level(self.sump, volume, self.nominal.level_at(volume))
    }

    /// The line that holds for a volume.
    fn line(&self, volume: f64) -> Option<Line> {
        if let Some(line) = self.lean.line.get().filter(|line| line.holds(volume)) {
            return Some(line);
        }
        let line = self.leaning.surfaces.get()?.response.line(volume, self.attitude)?;
        self.lean.line.set(Some(line));
        Some(line)
    }

    /// Notes the volume whose surface was asked for.
    fn remember(&self, volume: f64) {
        self.lean.last.set(Some(volume));
    }

    fn surface(&self, volume: f64) -> f64 {
        match self.line(volume) {
            Some(line) => {
                self.remember(volume);
                line.value_and_slope(volume)[0] + self.tip
            }
            None => self.exact().datum() + self.exact_level(volume),
        }
    }

    /// By a search on the surfaces, from the volume whose surface was last asked for; else, or where that leads out of
    /// them, from the volume at as much height over the tip at the nominal attitude.
    fn volume_below(&self, height: f64) -> f64 {
        let over_tip = height - self.tip;
        let nominal = || self.nominal.volume_at(over_tip + self.leaning.nominal_tip - self.nominal.datum_si());
        let near = self.lean.last.get().and_then(|last| self.search(over_tip, last));
        near.or_else(|| self.search(over_tip, nominal()))
            .unwrap_or_else(|| self.exact().volume_below(self.sump, height))
    }

    /// As [`Search`], with the same bits.
    fn search(&self, over_tip: f64, from: f64) -> Option<f64> {
        let mut volume = from;
        for _ in 0..MOST_STEPS {
            let [at, slope, bend] = self.line(volume)?.value_slope_and_bend(volume);
            let off = at - over_tip;
            if slope <= 0.0 {
                return None;
            }
            volume -= nearer(off, slope, bend);
            if off.abs() < NEAR {
                return Some(volume);
            }
        }
        None
    }
}
