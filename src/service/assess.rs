//! What a state means: level against the marks, gap to the crank's path, depth of the pickup.

use super::apart::{Apart, Side};
use super::event::Action;
use super::program::Program;
use super::state::{COMPONENTS, COOLANT, Contents, FUEL, WATER};
use super::view::View;
use crate::Error;
use crate::circuit::SUMP;
use crate::circuit::spec::FuelSpec;
use crate::geometry::{Attitude, Point, Pools};
use crate::numeric::lanes::Lanes;

/// Band of the true level, drained back, in the reference condition, in spans (0 MIN, 1 MAX). Common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Band {
    /// Below MIN.
    BelowMin,
    /// At MIN, up to 0.1 span above it, which is within reading error.
    AtMin,
    /// Between the marks.
    Between,
    /// Above MAX by up to 0.1 span, which is within reading error.
    AtMax,
    /// Above MAX by 0.1 to 0.5 span.
    Over,
    /// Above MAX by more than 0.5 span.
    FarOver,
}

impl Band {
    /// Every band, from below.
    pub const ALL: [Self; 6] = [Self::BelowMin, Self::AtMin, Self::Between, Self::AtMax, Self::Over, Self::FarOver];

    /// The band of a level in spans.
    pub fn of(spans: f64) -> Self {
        match spans {
            s if s < 0.0 => Self::BelowMin,
            s if s <= 0.1 => Self::AtMin,
            s if s <= 1.0 => Self::Between,
            s if s <= 1.1 => Self::AtMax,
            s if s <= 1.5 => Self::Over,
            _ => Self::FarOver,
        }
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::BelowMin => "below MIN",
            Self::AtMin => "at MIN",
            Self::Between => "between the marks",
            Self::AtMax => "at MAX, within reading error",
            Self::Over => "over MAX",
            Self::FarOver => "far over MAX",
        }
    }

    /// What the trade does about it. Common practice, no source.
    pub fn practice(self) -> &'static str {
        match self {
            Self::BelowMin => "do not run until topped up",
            Self::AtMin => "add oil",
            Self::Between => "serviceable",
            Self::AtMax => "within reading error of MAX",
            Self::Over => "correct soon: withdraw and weigh",
            Self::FarOver => "withdraw before anything else",
        }
    }
}

/// Share of fuel in the oil, by mass, above which the oil counts as diluted (published limits: 2.4 % petrol, 3.4 % diesel).
pub(crate) fn dilution_limit(fuel: FuelSpec) -> f64 {
    match fuel {
        FuelSpec::Petrol => 0.024,
        FuelSpec::Diesel => 0.034,
    }
}

/// What is looked at besides the level, prepared for a program: where, and which stances it needs.
#[derive(Debug, Clone)]
pub(crate) struct Watch {
    hot_c: f64,
    /// Stance of the static hot level.
    crank: Option<usize>,
    runs: Vec<Running>,
}

/// An event that runs the engine.
#[derive(Debug, Clone)]
struct Running {
    event: usize,
    stance: usize,
    /// The basin that the pickup is in, where the sump has several at this stance.
    basin: Option<usize>,
    /// Stances of a surge.
    surges: Vec<usize>,
}

impl Watch {
    /// Prepares what to look at; `attitude` is that of the static hot level, `surge_deg` a tilt in four directions on top of every run's own
    /// attitude.
    pub(crate) fn prepare(
        program: &mut Program,
        actions: &[&Action],
        hot_c: f64,
        attitude: Option<Attitude>,
        surge_deg: f64,
    ) -> Result<Self, Error> {
        let circuit = program.circuit.clone();
        let crank = match &circuit.spec().crank {
            Some(_) => Some(attitude.map_or(Ok(0), |a| program.stance_at(a))?),
            None => None,
        };
        let mut runs = Vec::new();
        if let Some(pickup) = &circuit.spec().pickup {
            for (event, _) in actions.iter().enumerate().filter(|(_, a)| matches!(a, Action::Run { .. })) {
                let (stance, attitude) = (program.stance_of(event), program.attitude_of(event));
                if surge_deg > 0.0 && program.leans(stance) {
                    let reason = "a surge tilts a run on top of it; assess without a surge, or at exact attitudes";
                    program.uncover(stance, reason.into());
                }
                if program.leans(stance) {
                    program.watched_runs.push(event);
                }
                let basin = if program.has_pools_at(stance) {
                    Some(Pools::empty(circuit.sump(), attitude)?.basin_of(Point::from_mm(pickup.at_mm)?)?)
                } else {
                    None
                };
                let surges = surges(attitude, surge_deg)?;
                let surges = surges.into_iter().map(|a| program.stance_at(a)).collect::<Result<_, _>>()?;
                runs.push(Running { event, stance, basin, surges });
            }
        }
        Ok(Self { hot_c, crank, runs })
    }

    /// Whether the circuit states a crank path.
    pub(crate) fn knows_crank(&self) -> bool {
        self.crank.is_some()
    }

    /// Whether the engine runs and the circuit states a pickup.
    pub(crate) fn knows_pickup(&self) -> bool {
        !self.runs.is_empty()
    }

    /// After an event: the least depth of the pickup under the surface, as it stands and over the surges, less the margin it wants
    /// (m). Where liquid lies apart, only the pool over the pickup counts.
    pub(crate) fn pickup_spare<X: Side>(&self, event: usize, view: &View<'_, X>) -> Option<X> {
        let run = self.runs.iter().find(|run| run.event == event)?;
        let pickup = view.program.circuit.spec().pickup.as_ref()?;
        let t = view.contents()[SUMP].temperature_c;
        let of_pickup = |stance| X::from_lanes(|i| height(view.standing_at(stance, i).attitude(), pickup.at_mm));
        let at = |stance: usize| of_pickup(stance) + view.pickup_margin();
        let apart = run.basin.filter(|_| !view.apart().is_empty_everywhere());
        let (own, held) = apart.and_then(|basin| view.pool_at(basin)).unwrap_or_else(|| {
            let held = view.volume_sump();
            (view.surface_at(held, run.stance, t), held)
        });
        let spare = |stance: &usize| view.surface_at(held, *stance, t) - at(*stance);
        Some(run.surges.iter().map(spare).fold(own - at(run.stance), Lanes::smaller))
    }

    /// At the end: what the state means, draw by draw.
    pub(crate) fn end<X: Side>(&self, view: &View<'_, X>) -> impl Iterator<Item = Seen> + use<X> {
        let (hot, hot_c) = (view.drained_back_at(X::splat(self.hot_c)), X::splat(self.hot_c));
        let spans = view.spans();
        let back = view.drained_back();
        let (over_max, past_top) = (view.are_over_max(back), view.are_past_top(back));
        let gap = |stance| view.lowest_of_crank(stance) - view.surface_at(hot, stance, hot_c);
        let (crank_gap, foreign) = (self.crank.map(gap), view.foreign_shares());
        (0..X::COUNT).map(move |i| Seen {
            spans: spans.lane(i),
            over_max: over_max.as_ref()[i],
            past_top: past_top.as_ref()[i],
            sump_empty: back.lane(i) <= 0.0,
            crank_gap: crank_gap.map(|gap| gap.lane(i)),
            foreign: foreign.map(|share| share.lane(i)),
        })
    }
}

/// The end of one run of the program.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Seen {
    /// True level, drained back, in the reference condition, 0 at MIN, 1 at MAX.
    pub spans: f64,
    pub over_max: bool,
    /// Whether the sump, as it is or drained back, holds more than its drawing.
    pub past_top: bool,
    /// Whether nothing is left in the sump when filter and stores hold what is theirs.
    pub sump_empty: bool,
    /// From the static hot surface up to the crank's path (m); below zero it reaches it.
    pub crank_gap: Option<f64>,
    /// Shares of fuel and of coolant with water in all that is in the circuit, by mass.
    pub foreign: [f64; 2],
}

/// Height along *up* of a point (mm, body frame) at an attitude (m).
fn height(attitude: Attitude, point_mm: [f64; 3]) -> f64 {
    let up = attitude.up();
    (0..3).map(|k| point_mm[k] * 1e-3 * up[k]).sum()
}

/// The four attitudes that a surge makes of one; none without a surge.
fn surges(own: Attitude, surge_deg: f64) -> Result<Vec<Attitude>, Error> {
    let mut all = Vec::new();
    if surge_deg > 0.0 {
        for (p, r) in [(surge_deg, 0.0), (-surge_deg, 0.0), (0.0, surge_deg), (0.0, -surge_deg)] {
            all.push(own.on_ground(Attitude::from_degrees(p, r)?)?);
        }
    }
    Ok(all)
}

impl<X: Side> View<'_, X> {
    /// True level of the sump, drained back, filter full, in the reference condition, as the stick would show it: 0 at MIN, 1 at MAX. By
    /// heights along *up*, so that it goes on where the blade ends, and by volume where the sump's drawing ends.
    pub(crate) fn spans(&self) -> X {
        let [min, max] = self.heights_of_marks();
        (self.surface_at(self.drained_back(), 0, self.reference_c()) - min) / (max - min)
    }

    /// Height along *up* of the free surface of a volume in the sump at one of the program's stances, the sump being at a temperature (m).
    /// What the drawing has no room for stands above its top, as high as it would between the marks.
    fn surface_at(&self, volume: X, stance: usize, temperature_c: X) -> X {
        let l = self.program.circuit.layout();
        let volume = volume / l.volume_scale_at(self.inputs, temperature_c);
        let surface = X::from_lanes(|i| self.standing_at(stance, i).surface(volume.lane(i))) + self.inputs[l.datum];
        let beyond = (volume - X::splat(self.program.circuit.sump().capacity_si())).at_least(0.0);
        if beyond.all(|v| v <= 0.0) { surface } else { surface + beyond * self.height_per_volume() }
    }

    /// Height from MIN to MAX along *up* over the volume between them in the drawing's sump, in the reference attitude (1/m2).
    fn height_per_volume(&self) -> X {
        let ([min, max], [low, high]) = (self.heights_of_marks(), self.volumes_at_marks());
        (max - min) * self.reference_scale() / (high - low)
    }

    /// Heights of MIN and MAX along *up* in the reference attitude (m).
    fn heights_of_marks(&self) -> [X; 2] {
        let l = self.program.circuit.layout();
        [l.stick.min, l.stick.max].map(|mark| self.program.height_on_blade(0, self.leans, self.inputs[mark]))
    }

    /// Height along *up* of the lowest point of the crank's path at a stance (m); infinite where none is stated.
    fn lowest_of_crank(&self, stance: usize) -> X {
        let path = self.program.circuit.spec().crank.as_ref().map_or(&[][..], |crank| &crank.path_mm);
        X::from_lanes(|i| {
            let attitude = self.standing_at(stance, i).attitude();
            path.iter().map(|p| height(attitude, *p)).fold(f64::INFINITY, f64::min)
        })
    }

    /// The pool that a basin is part of where liquid lies apart: height of its surface along *up* and its volume (m, m3); `None`
    /// where smaller pools lie below the basin.
    fn pool_at(&self, basin: usize) -> Option<(X, X)> {
        let (level, volume) = self.lying?.pool_at(basin)?;
        let bottom = X::splat(self.standing(0).stance().curve.datum_si());
        Some((bottom + level + self.datum(), volume * self.scale()))
    }

    /// Depth that the pickup wants (m).
    fn pickup_margin(&self) -> X {
        self.program.circuit.layout().pickup_margin.map_or(X::splat(0.0), |ix| self.inputs[ix])
    }

    /// Shares of fuel and of coolant with water in all that is in the circuit, by mass.
    fn foreign_shares(&self) -> [X; 2] {
        let inside = &self.contents[..self.program.places.in_circuit()];
        let apart = self.apart();
        let zero = X::splat(0.0);
        let sum = |c: usize| inside.iter().fold(zero, |sum, p| sum + p.mass[c]) + apart.mass[c];
        let all = inside.iter().map(Contents::total_of::<{ COMPONENTS.len() }>).fold(zero, |sum, m| sum + m);
        let total = all + apart.total_of::<{ COMPONENTS.len() }>();
        let share = |m: X| m.with(total, |m, total| if total > 0.0 { m / total } else { 0.0 });
        [share(sum(FUEL)), share(sum(COOLANT) + sum(WATER))]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The bands above MAX in spans: 0 to 0.1, 0.1 to 0.5, over 0.5 (common practice, no source).
    #[test]
    fn bands_meet_at_the_marks() {
        let bands = [-1e-9, 0.0, 0.1, 0.11, 1.0, 1.000001, 1.1, 1.11, 1.5, 1.51].map(Band::of);
        use Band::{AtMax, AtMin, BelowMin, Between, FarOver, Over};
        assert_eq!(bands, [BelowMin, AtMin, AtMin, Between, Between, AtMax, AtMax, Over, Over, FarOver]);
        assert!(Band::ALL.iter().all(|b| !b.name().is_empty() && !b.practice().is_empty()));
    }
}
