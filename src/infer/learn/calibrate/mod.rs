//! A stick from step pours: volume along the blade, volume of the span, zero, and the pour that would teach most.

mod against;
mod curve;
mod next;
mod pours;
mod result;
#[cfg(test)]
mod tests;

use uom::si::f64::{Length, Volume};

pub use against::ScaleFit;
pub use next::NextPour;
pub use result::Calibration;

use super::LearnError;
use super::draws::Numbers;
use super::noise::{self, reading_noise};
use crate::Error;
use crate::numeric::check;
use crate::units::{self, Value};
use curve::Posterior;
use pours::Pours;
use result::Draw;

/// Most draws.
const MOST_DRAWS: f64 = 100_000.0;

/// What is known besides the pours and readings.
#[derive(Debug, Clone, PartialEq)]
pub struct CalibrateOptions {
    /// MIN and MAX, from the tip along the blade; both or neither.
    pub marks: Option<[Value<units::Length>; 2]>,
    /// In the sump before the first pour.
    pub start: Option<Value<units::Volume>>,
    /// True volume = this times what the jug says; all pours share its error.
    pub jug_scale: Value<units::Ratio>,
    /// Standard uncertainty of one pour besides that, its own for every pour.
    pub pour_scatter: f64,
    /// Standard deviation of one reading.
    pub scatter: Value<units::Length>,
    /// Coverage probability of every band.
    pub coverage: f64,
    /// Draws.
    pub draws: usize,
    /// Seed.
    pub seed: u64,
}

impl Default for CalibrateOptions {
    /// No marks, an unknown start, an exact jug, [`reading_noise`], 95 %, 4000 draws, seed 1.
    fn default() -> Self {
        Self {
            marks: None,
            start: None,
            jug_scale: Value::constant(1.0),
            pour_scatter: 0.0,
            scatter: reading_noise(),
            coverage: 0.95,
            draws: 4000,
            seed: 1,
        }
    }
}

/// Learns a stick from step pours.
///
/// `added[i]` was poured just before `reading[i]`; nothing (0) for a reading that repeats one. What stood before the
/// first reading counts as the start, whatever `added[0]` says. The reading is a rising function `g` of the true volume
/// poured by then,
///
/// `s_i = g(V_i) + e_i`, `V_i = c Σ a_j + Σ d_j`,
///
/// with the jug's scale `c` shared by all pours, `d_j` independent errors of the pours (to first order) and `e_i` those of
/// the readings. `g` is a straight line with a flat prior and, one third each (judgement), nothing else, a parabola (sides that
/// lean evenly) or an integrated Brownian motion (Wahba 1978), restricted to rising curves; kind, scatter and wander are
/// summed over, not fixed. Then mL per mm is `1/g'` times the scale. Bands are quantiles of the draws. At least three
/// different volumes, at most 500 readings.
///
/// ```
/// use fillmark::infer::learn::{CalibrateOptions, calibrate};
/// use fillmark::uom::si::f64::{Length, Volume};
/// use fillmark::uom::si::{length::millimeter, volume::liter};
/// let added: Vec<_> = [0.0, 0.5, 0.5, 0.5, 0.5].map(Volume::new::<liter>).into();
/// let reading: Vec<_> = [20.0, 31.5, 42.0, 53.5, 64.0].map(Length::new::<millimeter>).into();
/// let fit = calibrate(&added, &reading, &CalibrateOptions::default())?;
/// assert!((fit.per_blade_mean().median * 1e3 - 45.4).abs() < 2.0); // mL per mm
/// # Ok::<(), fillmark::Error>(())
/// ```
pub fn calibrate(added: &[Volume], reading: &[Length], options: &CalibrateOptions) -> Result<Calibration, Error> {
    let pours = Pours::new(added, reading)?;
    checked(options)?;
    let marks = marks_within(&pours, options)?;
    let nodes = noise::nodes(&options.scatter);
    let posterior = Posterior::new(&pours, &nodes, options.pour_scatter / pours.total)?;
    let drawn = posterior.draw(options.draws, &mut Numbers::new(options.seed, "calibrate.curve"))?;
    let mut rest = Numbers::new(options.seed, "calibrate.rest");
    let draws = drawn
        .into_iter()
        .map(|drawn| Draw {
            path: drawn.path,
            scatter: drawn.scatter,
            off: drawn.off,
            pour: drawn.pour,
            scale: options.jug_scale.distribution().at_score(rest.normal()),
            start: options.start.as_ref().map_or(0.0, |v| v.distribution().at_score(rest.normal())),
            marks: marks.as_ref().map(|m| [0, 1].map(|k| m[k].distribution().at_score(rest.normal()))),
        })
        .collect();
    let places = posterior.places;
    Ok(Calibration::new(pours, places, draws, options))
}

fn checked(options: &CalibrateOptions) -> Result<(), Error> {
    options.jug_scale.check("jug_scale", 0.5, 2.0, "1")?;
    options.scatter.check("scatter_mm", 0.0, 100.0, "mm")?;
    check::in_range("scatter_mm", options.scatter.nominal() * 1e3, 1e-3, 100.0, "mm")?;
    check::in_range("pour_scatter_l", options.pour_scatter * 1e3, 0.0, 1e3, "L")?;
    check::in_range("coverage", options.coverage, 0.5, 0.999, "1")?;
    check::in_range("draws", options.draws as f64, 100.0, MOST_DRAWS, "1")?;
    if let Some(start) = &options.start {
        start.check("start_l", 0.0, 1e6, "L")?;
    }
    Ok(())
}

/// The marks, refused where they do not rise or lie outside what the pours reach.
fn marks_within(pours: &Pours, options: &CalibrateOptions) -> Result<Option<[Value<units::Length>; 2]>, Error> {
    let Some(marks) = &options.marks else { return Ok(None) };
    let (low, high) = pours.range();
    let beyond = curve::BEYOND * (high - low);
    let [min, max] = [marks[0].nominal(), marks[1].nominal()];
    if min >= max {
        let reason = format!("min_mm = {} mm is not below max_mm = {} mm", min * 1e3, max * 1e3);
        return Err(LearnError::Marks { reason }.into());
    }
    for (name, value) in [("min_mm", min), ("max_mm", max)] {
        check::finite(name, value)?;
        if value < low - beyond || value > high + beyond {
            return Err(LearnError::MarkOutsidePours {
                mark: name.into(),
                value_mm: value * 1e3,
                low_mm: (low - beyond).max(0.0) * 1e3,
                high_mm: (high + beyond) * 1e3,
            }
            .into());
        }
    }
    Ok(Some(marks.clone()))
}
