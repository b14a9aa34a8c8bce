//! A learnt stick against the drawing of a circuit, and put into it.

use serde_json::Value as Json;
use uom::si::f64::Length;
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::result::{Calibration, Draw};
use crate::Error;
use crate::circuit::Circuit;
use crate::infer::learn::draws::Numbers;
use crate::infer::learn::linear::{Root, dot};
use crate::infer::learn::{Band, LearnError};

/// Places of the table of the circuit's own volume along its blade.
const ROWS: u32 = 400;
/// What the volume of a reading may differ by though scale and datum are right (m3, judgement).
const MISFIT: f64 = 5e-6;
/// Prior standard uncertainties (m, for the datum) where a circuit states scale and datum exactly (judgement).
const SCALE: f64 = 0.02;
const DATUM: f64 = 2e-3;
/// Degrees of freedom of the prior (judgement): what a drawing states is far off more often than a normal law has it.
const DEGREES: f64 = 4.0;
/// Standard uncertainty of the level of volume where the start is not known (m3).
const OFFSET: f64 = 1e-2;
/// Draws that the sampler of the prior's own scale starts with and throws away.
const STARTING: usize = 50;
/// Nearest to 1 that a circuit takes the correlation.
const MOST_TIED: f64 = 0.9999;
/// Steps of Gauss-Newton, the farthest of them along the blade (m), and the step of a difference (m).
const STEPS: u32 = 8;
const FARTHEST: f64 = 5e-3;
const NEAR: f64 = 2.5e-4;

/// How a circuit's geometry would have to be for its stick to read as the pours showed.
#[derive(Debug, Clone, PartialEq)]
pub struct ScaleFit {
    /// `geometry.volume_scale`: what the sump holds over what its drawing holds.
    pub volume_scale: Band,
    /// `geometry.datum` (m): how much higher, along *up*, liquid stands than the drawing says; None where the start is not known.
    pub datum: Option<Band>,
    /// Correlation of the two over the draws.
    pub correlation: Option<f64>,
    /// Largest distance (m3), over the readings' range, of the circuit so changed from the median of the pours.
    pub left_over: f64,
}

/// The circuit's own volume along its blade, at a volume scale of 1.
struct Own {
    along: Vec<f64>,
    volume: Vec<f64>,
}

impl Own {
    fn of(circuit: &Circuit) -> Result<Self, Error> {
        let attitude = circuit.reference_attitude();
        let scale = circuit.nominals()[circuit.layout().volume_scale];
        let at_max = circuit.volumes_at_marks()?[1];
        let length = circuit.stick().length();
        let (mut along, mut volume) = (Vec::new(), Vec::new());
        for k in 0..=ROWS {
            let s = length * (f64::from(k) / f64::from(ROWS));
            let v = circuit.volume_from_max(Length::new::<meter>(s), attitude)?.get::<cubic_meter>();
            along.push(s);
            volume.push((v + at_max) / scale);
        }
        Ok(Self { along, volume })
    }

    fn at(&self, along: f64) -> f64 {
        straight(&self.along, &self.volume, along)
    }
}

/// Straight between rows, and on along the last piece that rises beyond them.
fn straight(x: &[f64], y: &[f64], at: f64) -> f64 {
    let last = x.len() - 1;
    let mut k = x.partition_point(|v| *v < at).clamp(1, last);
    while k < last && x[k] <= x[k - 1] {
        k += 1;
    }
    while k > 1 && x[k] <= x[k - 1] {
        k -= 1;
    }
    let rise = x[k] - x[k - 1];
    if rise > 0.0 { y[k - 1] + (at - x[k - 1]) / rise * (y[k] - y[k - 1]) } else { y[k] }
}

/// What a circuit states of one number: Student's t of four degrees of freedom with the stated mean and standard uncertainty.
#[derive(Debug, Clone, Copy)]
struct Prior {
    mean: f64,
    width: f64,
}

impl Prior {
    fn new(mean: f64, u: f64) -> Self {
        Self { mean, width: u * ((DEGREES - 2.0) / DEGREES).sqrt() }
    }

    /// Volume scale, and shift along the blade.
    fn of(circuit: &Circuit, rise: f64) -> [Self; 2] {
        let geometry = &circuit.spec().geometry;
        let or = |u: f64, judged: f64| if u > 0.0 { u } else { judged };
        let scale = geometry.volume_scale.distribution();
        let datum = geometry.datum.distribution().standard_deviation();
        [Self::new(scale.mean(), or(scale.standard_deviation(), SCALE)), Self::new(0.0, or(datum, DATUM) / rise)]
    }

    /// A draw of the precision, over that of `width`, of the normal law that the number is thought to come from, given the
    /// number (Student's t as a mixture of normal laws: Gelman et al., Bayesian Data Analysis, 3rd ed., 12.1).
    fn precision(self, value: f64, numbers: &mut Numbers) -> f64 {
        let z = (value - self.mean) / self.width;
        // Chi-squared of DEGREES + 1 degrees of freedom.
        let square: f64 = (0..5).map(|_| numbers.normal().powi(2)).sum();
        square / (DEGREES + z * z)
    }
}

/// A normal law: mean and standard deviation.
type Normal = (f64, f64);

/// The readings as the drawing is compared with them.
struct Comparison<'a> {
    own: &'a Own,
    along: &'a [f64],
    /// Root of the covariance of the volumes that they were taken at.
    root: Root,
    start_known: bool,
}

impl<'a> Comparison<'a> {
    /// `volumes` are draws of them, all errors included.
    fn new(own: &'a Own, along: &'a [f64], volumes: &[Vec<f64>], start_known: bool) -> Self {
        let (n, count) = (along.len(), volumes.len() as f64);
        let mean: Vec<f64> = (0..n).map(|i| volumes.iter().map(|v| v[i]).sum::<f64>() / count).collect();
        let mut matrix = vec![if start_known { 0.0 } else { OFFSET * OFFSET }; n * n];
        for i in 0..n {
            for j in 0..=i {
                let sum: f64 = volumes.iter().map(|v| (v[i] - mean[i]) * (v[j] - mean[j])).sum();
                matrix[i * n + j] += sum / (count - 1.0);
                matrix[j * n + i] = matrix[i * n + j];
            }
            // So that few draws of many readings do not leave it singular.
            matrix[i * n + i] += 0.01 * MISFIT * MISFIT;
        }
        // To rounding its diagonal remains.
        let root = Root::of(&matrix, n).unwrap_or_else(|| Root::diagonal((0..n).map(|i| matrix[i * n + i])));
        Self { own, along, root, start_known }
    }

    fn white(&self, column: impl Iterator<Item = f64>) -> Vec<f64> {
        let mut column: Vec<f64> = column.collect();
        self.root.forward(&mut column);
        column
    }

    /// Generalised least squares of `v = k D(s - δ)` by Gauss-Newton, drawn to `prior`; with `δ = 0` where the start is not known.
    fn fitted(&self, v: &[f64], [scale, shift]: [Normal; 2]) -> (f64, f64) {
        let own = self.own;
        let (mut k, mut d) = (scale.0, if self.start_known { shift.0 } else { 0.0 });
        for _ in 0..STEPS {
            let drawn: Vec<f64> = self.along.iter().map(|s| own.at(s - d)).collect();
            let area = |s: &f64| (own.at(s - d + NEAR) - own.at(s - d - NEAR)) / (2.0 * NEAR);
            let rest = self.white(v.iter().zip(&drawn).map(|(v, own)| v - k * own));
            let by_scale = self.white(drawn.iter().copied());
            let by_shift = self.white(self.along.iter().map(|s| if self.start_known { -k * area(s) } else { 0.0 }));
            let (in_scale, in_shift) = (scale.1.powi(-2), shift.1.powi(-2));
            let kk = in_scale + dot(&by_scale, &by_scale);
            let kd = dot(&by_scale, &by_shift);
            let dd = in_shift + dot(&by_shift, &by_shift);
            let gk = (scale.0 - k) * in_scale + dot(&by_scale, &rest);
            let gd = (shift.0 - d) * in_shift + dot(&by_shift, &rest);
            let determinant = kk * dd - kd * kd;
            k += (dd * gk - kd * gd) / determinant;
            if self.start_known {
                d += ((kk * gd - kd * gk) / determinant).clamp(-FARTHEST, FARTHEST);
            }
        }
        (k, d)
    }

    /// A draw of scale and shift for every draw of the volumes.
    fn draws(&self, volumes: &[Vec<f64>], prior: [Prior; 2], numbers: &mut Numbers) -> Vec<(f64, f64)> {
        let mut precision = [1.0; 2];
        let mut one = |v: &Vec<f64>| {
            let about = [0, 1].map(|i| {
                let width = prior[i].width / f64::sqrt(precision[i]);
                (prior[i].mean + width * numbers.normal(), width)
            });
            let (k, d) = self.fitted(v, about);
            precision = [prior[0].precision(k, numbers), prior[1].precision(d, numbers)];
            (k, d)
        };
        volumes.iter().take(STARTING).for_each(|v| {
            one(v);
        });
        volumes.iter().map(one).collect()
    }
}

impl Calibration {
    /// Compares the readings with a circuit's own stick, at the reference attitude.
    ///
    /// `V_i = k D(s_i - δ) + e_i` with `D` the drawn volume along the blade and `V_i` that poured by reading `s_i`, by generalised least squares: the errors are those
    /// of start, jug and pours, the scatter of the readings as the calibration leaves it (times the drawn area), and 5 mL of misfit (judgement). The learnt curve
    /// does not enter, so that steps of the drawing stay sharp. It is drawn to what the circuit states of `geometry.volume_scale` and `geometry.datum`
    /// (where it states them exactly, 2 % and 2 mm, judgement), because the two can hardly be told apart by a short piece of blade; as Student's t of four
    /// degrees of freedom with that standard uncertainty, so that a sump far from its drawing is not held back. It is fitted to draws of the errors about
    /// draws of that prior (randomised maximum likelihood: Bardsley et al., SIAM J. Sci. Comput. 36 (2014) A1895), so that the draws hold what both
    /// leave open. The datum is `δ` times the rise of the blade along *up*. Without a start only differences of volume are compared, which say `k`.
    pub fn against(&self, circuit: &Circuit) -> Result<ScaleFit, Error> {
        let (low, high) = self.range();
        let length = circuit.stick().length();
        if high > length + 1e-9 {
            return Err(LearnError::NotThisStick {
                circuit: circuit.name().into(),
                low_mm: low * 1e3,
                high_mm: high * 1e3,
                length_mm: length * 1e3,
            }
            .into());
        }
        let own = Own::of(circuit)?;
        let rise = circuit.stick().heights(circuit.reference_attitude().up()).rise_at(f64::midpoint(low, high));
        let (prior, known) = (Prior::of(circuit, rise), self.options().start.is_some());
        let mut numbers = Numbers::new(self.options().seed, "calibrate.against");
        let along = &self.pours.readings;
        let volumes = self.volumes_of_readings(&own, &mut numbers);
        let comparison = Comparison::new(&own, along, &volumes, known);
        let (scales, shifts): (Vec<f64>, Vec<f64>) =
            comparison.draws(&volumes, prior, &mut numbers).into_iter().unzip();
        let coverage = self.options().coverage;
        let old = circuit.spec().geometry.datum.distribution().mean();
        let volume_scale = Band::of(&mut scales.clone(), coverage);
        let shift = Band::of(&mut shifts.clone(), coverage).median;
        let datum = known.then(|| Band::of(&mut shifts.iter().map(|s| old + s * rise).collect::<Vec<_>>(), coverage));
        let miss = |s: f64| self.volume_at(s).median - volume_scale.median * own.at(s - shift);
        let misses: Vec<f64> = self.along().into_iter().map(miss).collect();
        // Where the start is not known only differences of volume compare.
        let level = if known { 0.0 } else { misses.iter().sum::<f64>() / misses.len() as f64 };
        let left_over = misses.iter().map(|m| (m - level).abs()).fold(0.0, f64::max);
        Ok(ScaleFit { volume_scale, datum, correlation: known.then(|| correlation(&scales, &shifts)), left_over })
    }

    /// Draws of what had been poured when each reading was taken (m3), with everything that it may be off by.
    fn volumes_of_readings(&self, own: &Own, numbers: &mut Numbers) -> Vec<Vec<f64>> {
        let (x, count) = (&self.pours.x, &self.pours.count);
        let area = |s: &f64| (own.at(s + NEAR) - own.at(s - NEAR)) / (2.0 * NEAR);
        let areas: Vec<f64> = self.pours.readings.iter().map(area).collect();
        let one = |d: &Draw| {
            let (mut off, mut before) = (0.0, 0.0);
            (0..x.len())
                .map(|i| {
                    off += f64::sqrt(count[i] - before) * self.options().pour_scatter * numbers.normal();
                    before = count[i];
                    let read = areas[i] * d.scatter * numbers.normal() + MISFIT * numbers.normal();
                    d.start + d.scale * self.added(x[i]) + off + read
                })
                .collect()
        };
        self.draws.iter().map(one).collect()
    }

    /// What of a circuit changes when the learnt stick is put in: `geometry.volume_scale` and, where the start is known, `geometry.datum`, both
    /// normal, with their `geometry.correlation`; the marks where they were given, and `dipstick.scatter`. For [`Circuit::replace_json`].
    ///
    /// Not possible in a circuit: the curve's own shape where it differs from the drawing's ([`ScaleFit::left_over`]).
    pub fn changes(&self, circuit: &Circuit) -> Result<Vec<(&'static str, Json)>, Error> {
        let fit = self.against(circuit)?;
        let normal = |b: Band, factor: f64, unit: &str| {
            let (mean, u) = (b.mean * factor, b.standard_uncertainty * factor);
            Json::from(format!("normal({mean:.6}, {u:.6}) {unit}").trim().to_owned())
        };
        let mut changes = vec![("geometry.volume_scale", normal(fit.volume_scale, 1.0, ""))];
        if let Some(datum) = fit.datum {
            changes.push(("geometry.datum", normal(datum, 1e3, "mm")));
        }
        changes.push(("geometry.correlation", Json::from(fit.correlation.unwrap_or(0.0).clamp(-MOST_TIED, MOST_TIED))));
        if let Some([min, max]) = &self.options().marks {
            changes.push(("dipstick.min", Json::from(min.written())));
            changes.push(("dipstick.max", Json::from(max.written())));
        }
        let scatter = self.scatter().times(1e3);
        let text = if self.options().scatter.is_exact() {
            self.options().scatter.written().to_owned()
        } else {
            format!("truncated({:.4}, {:.4}, 0, 100) mm", scatter.mean, scatter.standard_uncertainty)
        };
        changes.push(("dipstick.scatter", Json::from(text)));
        Ok(changes)
    }

    /// The circuit with the [`changes`](Self::changes) made.
    pub fn apply(&self, circuit: &Circuit) -> Result<Circuit, Error> {
        circuit.replace_json(&self.changes(circuit)?)
    }
}

fn correlation(a: &[f64], b: &[f64]) -> f64 {
    let n = a.len() as f64;
    let (ma, mb) = (a.iter().sum::<f64>() / n, b.iter().sum::<f64>() / n);
    let sum = |of: &dyn Fn(f64, f64) -> f64| a.iter().zip(b).map(|(x, y)| of(x - ma, y - mb)).sum::<f64>();
    sum(&|x, y| x * y) / (sum(&|x, _| x * x) * sum(&|_, y| y * y)).sqrt()
}
