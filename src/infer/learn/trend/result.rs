//! What a record of readings says.

use std::fmt;

use super::TrendOptions;
use super::fit::{Draw, Extra};
use super::series::Series;
use crate::Error;
use crate::infer::learn::{Band, LearnError};

/// Places of the fitted line.
const ROWS: u32 = 61;
/// How far the line is continued, as a share of the record.
const AHEAD: f64 = 0.5;

/// A mark of the stick.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// The lower one.
    Min,
    /// The upper one.
    Max,
}

/// When a mark is reached if nothing is added and the present rate goes on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reach {
    /// Use at which it is reached; infinite for draws whose rate leads away from it, the end of the record for those beyond it already.
    pub over: Band,
    /// Probability that the present rate leads there at all, or that it is reached already.
    pub probability: f64,
}

/// A rate from readings over use. Made by [`trend`](super::trend).
#[derive(Debug, Clone, PartialEq)]
pub struct Trend {
    series: Series,
    draws: Vec<Draw>,
    options: TrendOptions,
}

impl Trend {
    pub(super) fn new(series: Series, draws: Vec<Draw>, options: &TrendOptions) -> Self {
        Self { series, draws, options: options.clone() }
    }

    /// What was known besides the readings.
    pub fn options(&self) -> &TrendOptions {
        &self.options
    }

    /// First and last use of the record.
    pub fn record(&self) -> (f64, f64) {
        let (first, length) = self.series.record();
        (first, first + length)
    }

    fn band(&self, of: impl FnMut(&Draw) -> f64) -> Band {
        Band::of(&mut self.draws.iter().map(of).collect::<Vec<_>>(), self.options.coverage)
    }

    fn share(&self, of: impl Fn(&Draw) -> bool) -> f64 {
        self.draws.iter().filter(|d| of(d)).count() as f64 / self.draws.len() as f64
    }

    /// Net gain at the end of the record (m3 per unit of use): what comes in less what is used; below zero where oil is lost.
    pub fn rate(&self) -> Band {
        let length = self.series.record().1;
        self.band(|d| d.drift_now() * d.per_blade / length)
    }

    /// Net gain at the beginning of the record.
    pub fn rate_before(&self) -> Band {
        let length = self.series.record().1;
        self.band(|d| d.drift * d.per_blade / length)
    }

    /// Probability that the rate changed.
    pub fn probability_change(&self) -> f64 {
        self.share(|d| matches!(d.at, Extra::Change(_)))
    }

    /// Probability of a jump that nobody recorded.
    pub fn probability_jump(&self) -> f64 {
        self.share(|d| matches!(d.at, Extra::Jump(..)))
    }

    /// Where the rate changed, if it did; None where no draw has a change.
    pub fn change_over(&self) -> Option<Band> {
        let (first, length) = self.series.record();
        self.among(|d| match d.at {
            Extra::Change(at) => Some(first + at * length),
            _ => None,
        })
    }

    /// Where the jump was, if there was one: the middle of the gap between two readings.
    pub fn jump_over(&self) -> Option<Band> {
        let (first, length) = self.series.record();
        self.among(|d| match d.at {
            Extra::Jump(from, to) => Some(first + f64::midpoint(from, to) * length),
            _ => None,
        })
    }

    /// Volume of the jump, if there was one (m3).
    pub fn jump(&self) -> Option<Band> {
        self.among(|d| matches!(d.at, Extra::Jump(..)).then_some(d.extra * d.per_blade))
    }

    fn among(&self, of: impl FnMut(&Draw) -> Option<f64>) -> Option<Band> {
        let mut some: Vec<f64> = self.draws.iter().filter_map(of).collect();
        (!some.is_empty()).then(|| Band::of(&mut some, self.options.coverage))
    }

    /// Scatter of a reading as the readings leave it (m).
    pub fn scatter(&self) -> Band {
        self.band(|d| d.scatter)
    }

    /// The true reading at the end of the record, additions there included (m).
    pub fn reading_now(&self) -> Band {
        let all = self.series.added_by(f64::INFINITY);
        self.band(|d| d.reading(1.0, all))
    }

    /// When a mark is reached, if nothing more is added and the present rate goes on.
    ///
    /// Draws that never reach it, or have reached it, heap up at either end of the band. Where such a heap holds more than its half of what
    /// the coverage leaves out, the band ends there and leaves the whole out on the other side (JCGM 101, 7.7: any interval of that probability).
    pub fn reaches(&self, mark: Mark) -> Result<Reach, Error> {
        if self.options.marks.is_none() {
            return Err(LearnError::NoMarks { question: "when a mark is reached".into() }.into());
        }
        let (first, length) = self.series.record();
        let all = self.series.added_by(f64::INFINITY);
        let side = usize::from(mark == Mark::Max);
        let when = |d: &Draw| {
            let target = d.marks.map_or(f64::NAN, |m| m[side]);
            let (now, drift) = (d.reading(1.0, all), d.drift_now());
            let beyond = if mark == Mark::Min { now <= target } else { now >= target };
            let towards = if mark == Mark::Min { drift < 0.0 } else { drift > 0.0 };
            match (beyond, towards) {
                (true, _) => first + length,
                (false, true) => first + length * (1.0 + (target - now) / drift),
                (false, false) => f64::INFINITY,
            }
        };
        let probability = self.share(|d| when(d).is_finite());
        let mut draws: Vec<f64> = self.draws.iter().map(when).collect();
        Ok(Reach { over: Band::heaped(&mut draws, self.options.coverage), probability })
    }

    /// The line through the record and half its length ahead: use, and the true reading there (m).
    pub fn line(&self) -> Vec<(f64, Band)> {
        let (first, length) = self.series.record();
        let at = |k: u32| {
            let t = (1.0 + AHEAD) * f64::from(k) / f64::from(ROWS - 1);
            let added = self.series.added_by(t);
            (first + t * length, self.band(|d| d.reading(t, added)))
        };
        (0..ROWS).map(at).collect()
    }

    /// Pairs of ingress and use (m3 per unit of use) that the readings cannot tell apart: use = ingress - net gain.
    ///
    /// The level shows only the difference. Every row explains the readings equally well, whatever the ingress; only another
    /// observation (viscosity, flash point, the fuel in a sample) or a stated ingress picks one. Ingress from 0 to `most`.
    pub fn ridge(&self, most: f64, rows: u32) -> Vec<(f64, Band)> {
        let net = self.rate();
        let rows = rows.max(2);
        let step = |k: u32| most * f64::from(k) / f64::from(rows - 1);
        let turned = |ingress: f64| Band {
            median: ingress - net.median,
            mean: ingress - net.mean,
            standard_uncertainty: net.standard_uncertainty,
            low: ingress - net.high,
            high: ingress - net.low,
        };
        (0..rows).map(|k| (step(k), turned(step(k)))).collect()
    }
}

impl fmt::Display for Trend {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (first, last) = self.record();
        let count = self.series.over.len();
        writeln!(f, "{count} readings from {first} to {last}; bands {} %", self.options.coverage * 100.0)?;
        let per = 1e6;
        let rate = |b: Band| format!("{:.3} mL per unit ({:.3} to {:.3})", b.median * per, b.low * per, b.high * per);
        writeln!(f, "net gain, at the end       {}", rate(self.rate()))?;
        writeln!(f, "net gain, at the beginning {}", rate(self.rate_before()))?;
        let change = self
            .change_over()
            .map_or(String::new(), |b| format!(", at {:.4} ({:.4} to {:.4}) if so", b.median, b.low, b.high));
        writeln!(f, "the rate changed           {:.1} %{change}", self.probability_change() * 100.0)?;
        writeln!(f, "a jump nobody recorded     {:.1} %", self.probability_jump() * 100.0)?;
        for (name, mark) in [("MIN", Mark::Min), ("MAX", Mark::Max)] {
            if let Ok(Reach { over, probability }) = self.reaches(mark) {
                let when = format!("{:.4} ({:.4} to {:.4})", over.median, over.low, over.high);
                writeln!(f, "{name} is reached             {:.1} %, at {when}", probability * 100.0)?;
            }
        }
        write!(f, "Only the net gain shows: use and ingress cannot be told apart by the level alone.")
    }
}
