//! A learnt stick against the drawing of a circuit, and put into it.

use serde_json::Value as Json;
use uom::si::f64::Length;
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::result::{Calibration, Draw};
use crate::Error;
use crate::circuit::Circuit;
use crate::infer::learn::{Band, LearnError};

/// Places of the table of the circuit's own volume along its blade.
const ROWS: u32 = 400;

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

    fn along(&self, volume: f64) -> f64 {
        straight(&self.volume, &self.along, volume)
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

impl Calibration {
    /// Compares the learnt stick with a circuit's own, at the reference attitude.
    ///
    /// `k = (V(b) - V(a)) / (D(b) - D(a))` with `V` the learnt and `D` the drawn volume and `a`, `b` the marks (or the lowest and highest
    /// reading); the zero is the `δ` for which `V(m) = k D(m - δ)` at the middle of the two, times the rise of the blade along *up*.
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
        let old = circuit.nominals()[circuit.layout().datum];
        let one = |d: &Draw| {
            let [a, b] = d.marks.unwrap_or([low, high]);
            let k = (self.volume(d, b) - self.volume(d, a)) / (own.at(b) - own.at(a));
            let middle = f64::midpoint(a, b);
            (k, old + (middle - own.along(self.volume(d, middle) / k)) * rise)
        };
        let pairs: Vec<(f64, f64)> = self.draws.iter().map(one).collect();
        let coverage = self.options().coverage;
        let (scales, zeros): (Vec<f64>, Vec<f64>) = pairs.into_iter().unzip();
        let known = self.options().start.is_some();
        let volume_scale = Band::of(&mut scales.clone(), coverage);
        let datum = known.then(|| Band::of(&mut zeros.clone(), coverage));
        let shift = datum.map_or(0.0, |d| (d.median - old) / rise);
        let miss = |s: f64| self.volume_at(s).median - volume_scale.median * own.at(s - shift);
        let misses: Vec<f64> = self.along().into_iter().map(miss).collect();
        // Where the start is not known only differences of volume compare.
        let level = if known { 0.0 } else { misses.iter().sum::<f64>() / misses.len() as f64 };
        let left_over = misses.iter().map(|m| (m - level).abs()).fold(0.0, f64::max);
        Ok(ScaleFit { volume_scale, datum, correlation: known.then(|| correlation(&scales, &zeros)), left_over })
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
