//! What a service with uncertain attitudes needs before it is drawn: free surfaces over the attitudes and volumes to expect.

use super::EstimateError;
use super::draw::{Drawer, Points};
use super::inputs::Inputs;
use super::sampler::Sampler;
use crate::Error;
use crate::circuit::{Ix, in_sixteenths};
use crate::geometry::{Domain, ResponseQuality};
use crate::service::{Bend, Leaning, Misfit, Program, Recorder, View};

/// Draws, at nominal angles, that say which volumes to expect.
const ROWS: usize = 256;
/// Their seed: the surfaces do not depend on that of the prediction.
const SEED: u64 = 0;
/// Normal score whose quantiles bound the angles; draws beyond, 6 in ten million of a normal angle, are told by the exact kernel.
const SCORE: f64 = 5.0;
/// Angles further from upright than this are too uncertain to be any use (deg).
const WIDEST: f64 = 60.0;

/// How well the free surfaces at an uncertain attitude are known.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct AttitudeFit {
    /// Path of the attitude.
    pub path: String,
    /// Least and greatest nose-up angle covered \[deg\].
    pub nose_up_deg: (f64, f64),
    /// Least and greatest right-down angle covered \[deg\].
    pub right_down_deg: (f64, f64),
    /// Errors at held-out points, and what is left to the exact kernel.
    pub quality: ResponseQuality,
}

/// Prepares every leaning stance of a program whose uncertain inputs have these places; refuses what is not covered. `stopped`
/// ends it with its error.
pub(super) fn prepare(
    program: &Program,
    inputs: &Inputs,
    places: &[Ix],
    stopped: &dyn Fn() -> Option<EstimateError>,
) -> Result<(), Error> {
    if program.leanings.iter().all(|leaning| leaning.surfaces.get().is_some()) {
        return Ok(());
    }
    let seen = volumes(program, inputs, places)?;
    for (leaning, seen) in program.leanings.iter().zip(&seen) {
        let domain = domain(program, leaning, inputs, places, &seen.all)?;
        let Some(surfaces) = program.circuit.surfaces(domain, &|| stopped().is_none())? else {
            return stopped().map_or(Ok(()), |error| Err(error.into()));
        };
        if let Some(volume) = seen.asked.iter().find(|volume| surfaces.may_lie_apart(**volume)) {
            return Err(refused(
                leaning,
                format!(
                    "with {:.3} L in the sump liquid may lie in several pools there; read it with more in the sump, or predict at \
                 several exact attitudes",
                    volume * 1e3
                ),
            ));
        }
        leaning.surfaces.get_or_init(|| surfaces);
    }
    Ok(())
}

/// What was prepared.
pub(super) fn fits(program: &Program) -> Vec<AttitudeFit> {
    let fit = |leaning: &Leaning| {
        let response = &leaning.surfaces.get()?.response;
        let Domain { nose_up_deg, right_down_deg, .. } = response.domain();
        Some(AttitudeFit { path: leaning.at.path(), nose_up_deg, right_down_deg, quality: response.quality() })
    };
    program.leanings.iter().filter_map(fit).collect()
}

fn refused(leaning: &Leaning, reason: String) -> Error {
    EstimateError::UncertainAttitude { path: leaning.at.path(), reason }.into()
}

/// Volumes and angles that draws are to be expected at.
fn domain(program: &Program, leaning: &Leaning, inputs: &Inputs, places: &[Ix], seen: &[f64]) -> Result<Domain, Error> {
    let stance = &program.stances[leaning.stance];
    let own = [stance.attitude.nose_up_deg(), stance.attitude.right_down_deg()];
    let range = |i: usize| -> (f64, f64) {
        let place = leaning.angles[i].and_then(|ix| places.iter().position(|p| *p == ix));
        place.map_or((own[i], own[i]), |at| {
            let sampler = Sampler::of(&inputs.distributions()[at]);
            (sampler.at_score(-SCORE).to_degrees(), sampler.at_score(SCORE).to_degrees())
        })
    };
    let (nose_up_deg, right_down_deg) = (range(0), range(1));
    for (low, high) in [nose_up_deg, right_down_deg] {
        if low < -WIDEST || high > WIDEST {
            let reason =
                format!("its draws reach from {low:.1} to {high:.1} deg; accepted: within {WIDEST} deg of upright");
            return Err(refused(leaning, reason));
        }
    }
    // The marks are asked for too, with half a span around them; a quarter of what was seen for the draws beyond.
    let l = program.circuit.layout().stick;
    let [min, max] = [l.min, l.max].map(|mark| {
        let height = stance.stick.height_at(program.nominals()[mark]);
        stance.curve.volume_at(height - stance.curve.datum_si())
    });
    let half = 0.5 * (max - min);
    let low = seen.iter().copied().fold(f64::INFINITY, f64::min);
    let high = seen.iter().copied().fold(0.0, f64::max);
    let more = 0.25 * (high - low).max(0.0);
    let volumes = [(low - more).min(min - half), (high + more).max(max + half)];
    Ok(Domain { volume: in_sixteenths(program.circuit.sump(), volumes), nose_up_deg, right_down_deg })
}

/// For every leaning stance the volumes of the drawing that the sump held where its surface is asked for (at every event where its liquid
/// may lie apart at other stances), angles at their nominal values.
fn volumes(program: &Program, inputs: &Inputs, places: &[Ix]) -> Result<Vec<Volumes>, Error> {
    let drawer = Drawer::new(inputs, Points::PseudoRandom, SEED);
    let mut block = drawer.block(ROWS);
    drawer.draw(0, &mut block);
    let still = |place: &Ix| program.leanings.iter().any(|leaning| leaning.angles.contains(&Some(*place)));
    let mut values = program.nominals().to_vec();
    let mut scratch = program.scratch(&values)?;
    let touched = program.touches(places);
    let mut seen = Seen { program, at: vec![Volumes::default(); program.leanings.len()] };
    for row in 0..=ROWS {
        // The nominal values first, then the draws.
        if let Some(row) = row.checked_sub(1) {
            for (place, column) in places.iter().zip(block.columns()).filter(|(place, _)| !still(place)) {
                values[*place] = column[row];
            }
            program.refresh(&values, touched, &mut scratch);
        }
        program.run(&values, &mut scratch, &mut seen)?;
    }
    Ok(seen.at)
}

/// Volumes of the drawing seen at one leaning stance (m3).
#[derive(Debug, Clone, Default)]
struct Volumes {
    /// All that a surface is asked for.
    all: Vec<f64>,
    /// Those of them that lie there as they are.
    asked: Vec<f64>,
}

struct Seen<'a> {
    program: &'a Program,
    at: Vec<Volumes>,
}

impl Recorder for Seen<'_> {
    fn row(&mut self, event: usize, view: &View<'_>) {
        let Some(leaning) = self.program.stances[self.program.stance_of(event)].leaning else { return };
        if self.program.has_pools() || self.program.asks_surface(event) {
            self.at[leaning].all.push(view.volume_of_drawing());
            self.at[leaning].asked.push(view.volume_of_drawing());
        }
    }

    fn end(&mut self, view: &View<'_>) {
        // The marks are true in the reference condition, and the end is taken there.
        if let Some(leaning) = self.program.stances[0].leaning {
            let ([min, max], end) = view.volumes_of_reference();
            self.at[leaning].all.extend([min, max, end]);
            self.at[leaning].asked.extend([min, max]);
        }
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        Bend::Bend
    }
}

#[cfg(test)]
mod tests;
