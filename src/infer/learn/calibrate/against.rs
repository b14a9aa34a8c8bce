//! A learnt stick against the drawing of a circuit, and put into it.

use serde_json::Value as Json;
use uom::si::f64::Length;
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::result::{Calibration, Draw};
use crate::Error;
use crate::circuit::Circuit;
use crate::infer::learn::draws::Numbers;
use crate::infer::learn::{Band, LearnError};

/// Places of the table of the circuit's own volume along its blade.
const ROWS: u32 = 400;
/// Places between the marks at which learnt and drawn volume are compared.
const PLACES: u32 = 9;
/// What a volume may differ by at each of them though scale and datum are right (m3, judgement).
const MISFIT: f64 = 5e-6;
/// Prior standard uncertainties (m, for the datum) where a circuit states scale and datum exactly (judgement).
const SCALE: f64 = 0.02;
const DATUM: f64 = 2e-3;
/// Steps of Gauss-Newton, the farthest of them along the blade (m), and the step of a difference (m).
const STEPS: u32 = 8;
const FARTHEST: f64 = 5e-3;
const NEAR: f64 = 2.5e-4;

/// How a circuit's geometry would have to be for its stick to read as the pours showed.
#[derive(Debug, Clone, PartialEq)]
pub struct ScaleFit {
    /// `geometry.volume_scale`: what the sump holds between the marks (or the lowest and highest reading) over what its drawing holds.
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
        let nominal = circuit.nominals();
        let scale = circuit.layout().volume_scale_at(nominal, nominal[circuit.layout().reference_temperature]);
        let at_max = circuit.volumes_at_marks()?[1];
        let length = circuit.stick().length();
        let (mut along, mut volume) = (Vec::new(), Vec::new());
        for k in 0..=ROWS {
            let s = length * f64::from(k) / f64::from(ROWS);
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

/// Volume scale and shift along the blade that a draw is fitted by, about a draw of what the circuit states of the two.
struct Prior {
    scale: (f64, f64),
    shift: (f64, f64),
}

impl Prior {
    fn of(circuit: &Circuit, rise: f64) -> Self {
        let geometry = &circuit.spec().geometry;
        let or = |u: f64, judged: f64| if u > 0.0 { u } else { judged };
        let scale = geometry.volume_scale.distribution();
        let datum = geometry.datum.distribution().standard_deviation();
        Self { scale: (scale.mean(), or(scale.standard_deviation(), SCALE)), shift: (0.0, or(datum, DATUM) / rise) }
    }
}

/// Least squares of `v = k D(s - δ)` along the blade by Gauss-Newton, drawn to `prior`; with a free level, where the start is not
/// known, of differences of volume only and with `δ = 0`.
fn fitted(own: &Own, along: &[f64], v: &[f64], prior: [(f64, f64); 2], start_known: bool) -> (f64, f64) {
    let count = along.len() as f64;
    let centred = |column: Vec<f64>| {
        let mean = if start_known { 0.0 } else { column.iter().sum::<f64>() / count };
        column.into_iter().map(|x| x - mean).collect::<Vec<_>>()
    };
    let v = centred(v.to_vec());
    let [(k0, u_k), (d0, u_d)] = prior;
    let (mut k, mut d) = (k0, if start_known { d0 } else { 0.0 });
    let weight = 1.0 / (MISFIT * MISFIT);
    for _ in 0..STEPS {
        let drawn = centred(along.iter().map(|s| own.at(s - d)).collect());
        let area: Vec<f64> =
            along.iter().map(|s| (own.at(s - d + NEAR) - own.at(s - d - NEAR)) / (2.0 * NEAR)).collect();
        let (mut kk, mut kd, mut dd) = (1.0 / (u_k * u_k), 0.0, 1.0 / (u_d * u_d));
        let (mut gk, mut gd) = ((k0 - k) * kk, (d0 - d) * dd);
        for i in 0..along.len() {
            let (a, b) = (drawn[i], if start_known { -k * area[i] } else { 0.0 });
            let rest = v[i] - k * drawn[i];
            kk += weight * a * a;
            kd += weight * a * b;
            dd += weight * b * b;
            gk += weight * a * rest;
            gd += weight * b * rest;
        }
        let determinant = kk * dd - kd * kd;
        k += (dd * gk - kd * gd) / determinant;
        if start_known {
            d += ((kk * gd - kd * gk) / determinant).clamp(-FARTHEST, FARTHEST);
        }
    }
    (k, d)
}

impl Calibration {
    /// Compares the learnt stick with a circuit's own, at the reference attitude.
    ///
    /// `V(s) = k D(s - δ)` with `V` the learnt and `D` the drawn volume along the blade: least squares at nine places between the marks (or the lowest and highest
    /// reading), drawn to what the circuit states of `geometry.volume_scale` and `geometry.datum` (where it states them exactly, 2 % and 2 mm,
    /// judgement), because the two can hardly be told apart by a short piece of blade. Every draw of the pours is fitted about a draw of that prior (randomised maximum
    /// likelihood: Bardsley et al., SIAM J. Sci. Comput. 36 (2014) A1895), so that the draws hold what both leave open. The datum is `δ` times the rise of the blade along *up*.
    /// Without a start only differences of volume are compared, which say `k`.
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
        let one = |d: &Draw| {
            let [a, b] = d.marks.unwrap_or([low, high]);
            let along: Vec<f64> = (0..PLACES).map(|k| a + (b - a) * f64::from(k) / f64::from(PLACES - 1)).collect();
            let volumes: Vec<f64> = along.iter().map(|s| self.volume(d, *s)).collect();
            let mut about = |p: (f64, f64)| (p.0 + p.1 * numbers.normal(), p.1);
            fitted(&own, &along, &volumes, [about(prior.scale), about(prior.shift)], known)
        };
        let (scales, shifts): (Vec<f64>, Vec<f64>) = self.draws.iter().map(one).unzip();
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

    /// What of a circuit changes when the learnt stick is put in: `geometry.volume_scale` and, where the start is known, `geometry.datum`; the
    /// marks where they were given, and `dipstick.scatter`. For [`Circuit::replace_json`].
    ///
    /// Not possible in a circuit: the curve's own shape where it differs from the drawing's ([`ScaleFit::left_over`]), and the correlation
    /// of scale and datum; both inputs are normal and independent.
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
