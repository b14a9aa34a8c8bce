//! What a dip study says.

use std::fmt;

use serde_json::Value as Json;

use super::checks::{Check, cochran_critical, grubbs_critical};
use super::{Cells, DipOptions};
use crate::circuit::Circuit;
use crate::infer::learn::draws::Numbers;
use crate::infer::learn::{Band, LearnError};

/// Who reads in a circuit that takes the study's precision over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reader {
    /// Anyone, another one each time: a reading scatters by `s_R`.
    Anyone,
    /// One and the same trainee: a reading scatters by `s_r`, and all share what sets this one apart, `s_L`.
    Same,
}

/// One trainee at one level.
#[derive(Debug, Clone, PartialEq)]
pub struct TraineeRow {
    /// Who.
    pub trainee: String,
    /// How many readings.
    pub count: usize,
    /// Mean (m).
    pub mean: f64,
    /// Standard deviation (m); NaN of one reading.
    pub deviation: f64,
    /// Mandel's h: how far the mean lies from the mean of means, in their standard deviation (ISO 5725-2, 7.3.1).
    pub h: f64,
    /// Mandel's k: the standard deviation over that of all (ISO 5725-2, 7.3.1).
    pub k: f64,
}

/// The readings of one level.
#[derive(Debug, Clone, PartialEq)]
pub struct DipLevel {
    /// Its name.
    pub level: String,
    /// General mean (m).
    pub mean: f64,
    /// Every trainee.
    pub rows: Vec<TraineeRow>,
    /// Cochran's test, and Grubbs' two where there are three trainees.
    pub checks: Vec<Check>,
    squares: Squares,
}

/// Sums of squares with their degrees of freedom.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Squares {
    within: f64,
    within_dof: f64,
    between: f64,
    between_dof: f64,
    /// Readings of a trainee, as ISO 5725-2 counts them where they differ.
    each: f64,
}

impl Squares {
    fn repeatability(&self) -> f64 {
        self.within / self.within_dof
    }

    fn between_trainees(&self) -> f64 {
        ((self.between / self.between_dof - self.repeatability()) / self.each).max(0.0)
    }
}

impl DipLevel {
    pub(super) fn new(level: String, cells: Cells) -> Result<Self, LearnError> {
        let p = cells.len();
        if p < 2 {
            return Err(LearnError::TooFew { what: format!("trainees at level {level:?}"), found: p, needed: 2 });
        }
        let total: f64 = cells.values().map(|c| c.len() as f64).sum();
        let within_dof = total - p as f64;
        if within_dof < 1.0 {
            let what = format!("repeated readings at level {level:?}");
            return Err(LearnError::TooFew { what, found: 0, needed: 1 });
        }
        let mean = cells.values().flatten().sum::<f64>() / total;
        let mut rows: Vec<TraineeRow> = cells.into_iter().map(|(name, cell)| row(name, &cell)).collect();
        let count = |r: &TraineeRow| r.count as f64;
        let squares = Squares {
            within: rows.iter().filter(|r| r.count > 1).map(|r| (count(r) - 1.0) * r.deviation.powi(2)).sum(),
            within_dof,
            between: rows.iter().map(|r| count(r) * (r.mean - mean).powi(2)).sum(),
            between_dof: p as f64 - 1.0,
            each: (total - rows.iter().map(|r| count(r).powi(2)).sum::<f64>() / total) / (p as f64 - 1.0),
        };
        let middle = rows.iter().map(|r| r.mean).sum::<f64>() / p as f64;
        let spread = (rows.iter().map(|r| (r.mean - middle).powi(2)).sum::<f64>() / (p as f64 - 1.0)).sqrt();
        let within = squares.repeatability().sqrt();
        for r in &mut rows {
            (r.h, r.k) = ((r.mean - middle) / spread, r.deviation / within);
        }
        let checks = checks(&rows, middle, spread);
        Ok(Self { level, mean, rows, checks, squares })
    }

    /// Repeatability standard deviation (m).
    pub fn s_r(&self) -> f64 {
        self.squares.repeatability().sqrt()
    }

    /// Standard deviation between trainees (m).
    pub fn s_l(&self) -> f64 {
        self.squares.between_trainees().sqrt()
    }

    /// Reproducibility standard deviation (m).
    pub fn s_big_r(&self) -> f64 {
        (self.squares.repeatability() + self.squares.between_trainees()).sqrt()
    }
}

fn row(trainee: String, cell: &[f64]) -> TraineeRow {
    let n = cell.len() as f64;
    let mean = cell.iter().sum::<f64>() / n;
    let deviation = (cell.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt();
    TraineeRow { trainee, count: cell.len(), mean, deviation, h: f64::NAN, k: f64::NAN }
}

/// Cochran's test with the number of readings that most trainees took; Grubbs' tests of the highest and lowest mean.
fn checks(rows: &[TraineeRow], middle: f64, spread: f64) -> Vec<Check> {
    let mut found = Vec::new();
    let several: Vec<&TraineeRow> = rows.iter().filter(|r| r.count > 1).collect();
    let all: f64 = several.iter().map(|r| r.deviation.powi(2)).sum();
    let greatest = several.iter().max_by(|a, b| a.deviation.total_cmp(&b.deviation));
    if let (Some(greatest), true) = (greatest, several.len() > 1 && all > 0.0) {
        let most = |n: usize| several.iter().filter(|r| r.count == n).count();
        let n = several.iter().map(|r| r.count).max_by_key(|n| (most(*n), *n)).unwrap_or(2) as f64;
        let p = several.len() as f64;
        found.push(Check {
            name: "Cochran",
            trainee: greatest.trainee.clone(),
            statistic: greatest.deviation.powi(2) / all,
            critical_5: cochran_critical(0.05, p, n),
            critical_1: cochran_critical(0.01, p, n),
        });
    }
    if rows.len() > 2 && spread > 0.0 {
        let p = rows.len() as f64;
        let mut grubbs = |name: &'static str, of: Option<&TraineeRow>| {
            found.extend(of.map(|r| Check {
                name,
                trainee: r.trainee.clone(),
                statistic: (r.mean - middle).abs() / spread,
                critical_5: grubbs_critical(0.05, p),
                critical_1: grubbs_critical(0.01, p),
            }));
        };
        grubbs("Grubbs, highest", rows.iter().max_by(|a, b| a.mean.total_cmp(&b.mean)));
        grubbs("Grubbs, lowest", rows.iter().min_by(|a, b| a.mean.total_cmp(&b.mean)));
    }
    found
}

/// Precision of dips. Made by [`dip_study`](super::dip_study).
#[derive(Debug, Clone, PartialEq)]
pub struct DipStudy {
    /// Every level, in the order of the readings.
    pub levels: Vec<DipLevel>,
    /// Repeatability standard deviation, over all levels (m).
    pub s_r: f64,
    /// Standard deviation between trainees (m).
    pub s_l: f64,
    /// Reproducibility standard deviation (m).
    pub s_big_r: f64,
    /// Bands of the three (m).
    pub bands: [Band; 3],
    /// Options.
    pub options: DipOptions,
}

impl DipStudy {
    pub(super) fn new(levels: Vec<DipLevel>, options: DipOptions, numbers: &mut Numbers) -> Self {
        let mut columns = [Vec::new(), Vec::new(), Vec::new()];
        for _ in 0..options.draws {
            let drawn: Vec<Squares> = levels.iter().map(|l| divided(&l.squares, numbers)).collect();
            let (r, l) = pooled(&drawn, |s| ((s.between / s.between_dof - s.within / s.within_dof) / s.each).max(0.0));
            for (column, value) in columns.iter_mut().zip([r, l, r + l]) {
                column.push(value.sqrt());
            }
        }
        let all: Vec<Squares> = levels.iter().map(|l| l.squares).collect();
        let (r, l) = pooled(&all, Squares::between_trainees);
        let bands = columns.map(|mut c| Band::of(&mut c, options.coverage));
        Self { levels, s_r: r.sqrt(), s_l: l.sqrt(), s_big_r: (r + l).sqrt(), bands, options }
    }

    /// Standard uncertainty of `s_r` and of `s_R`: `u(s) = sqrt(var(s²))/(2 s)` with the variances `2 MS²/dof` of the mean squares (JCGM 100, E.4.3).
    fn uncertainties(&self) -> [f64; 2] {
        let (mut within, mut within_dof, mut both, mut weights) = (0.0, 0.0, 0.0, 0.0);
        for s in self.levels.iter().map(|l| l.squares) {
            within += s.within;
            within_dof += s.within_dof;
            weights += s.between_dof;
            let (a, b) = (s.between / s.between_dof, s.repeatability());
            let variance = 2.0 * a * a / s.between_dof / s.each.powi(2)
                + (1.0 - 1.0 / s.each).powi(2) * 2.0 * b * b / s.within_dof;
            both += s.between_dof.powi(2) * variance;
        }
        let of_r = 2.0 * (within / within_dof).powi(2) / within_dof;
        [of_r.sqrt() / (2.0 * self.s_r), (both / (weights * weights)).sqrt() / (2.0 * self.s_big_r)]
    }

    /// What of a circuit changes when the study's precision is put in, for [`Circuit::replace_json`]: `dipstick.scatter` for anyone's
    /// reading; for one and the same trainee also `dipstick.seat_offset`, whose error all readings share, wider by `s_L`.
    pub fn changes(&self, circuit: &Circuit, reader: Reader) -> Vec<(&'static str, Json)> {
        let [u_r, u_big_r] = self.uncertainties();
        let text = |s: f64, u: f64| {
            let (s, u) = (s * 1e3, u * 1e3);
            let exact = u.is_nan() || u <= 0.0;
            Json::from(if exact { format!("{s:.4} mm") } else { format!("truncated({s:.4}, {u:.4}, 0, 100) mm") })
        };
        if reader == Reader::Anyone {
            return vec![("dipstick.scatter", text(self.s_big_r, u_big_r))];
        }
        let seat = &circuit.spec().dipstick.seat_offset;
        let (mean, u) =
            (seat.distribution().mean() * 1e3, seat.distribution().standard_deviation().hypot(self.s_l) * 1e3);
        let mut changes = vec![("dipstick.scatter", text(self.s_r, u_r))];
        if u > 0.0 {
            changes.push(("dipstick.seat_offset", Json::from(format!("normal({mean:.4}, {u:.4}) mm"))));
        }
        changes
    }
}

/// Variances of repetition and between trainees over all levels, weighted by degrees of freedom.
fn pooled(levels: &[Squares], between: impl Fn(&Squares) -> f64) -> (f64, f64) {
    let dof: f64 = levels.iter().map(|s| s.within_dof).sum();
    let weights: f64 = levels.iter().map(|s| s.between_dof).sum();
    let within: f64 = levels.iter().map(|s| s.within).sum();
    (within / dof, levels.iter().map(|s| s.between_dof * between(s)).sum::<f64>() / weights)
}

/// The sums of squares as a draw of the variances: each divided by chi-squared over its degrees of freedom.
fn divided(s: &Squares, numbers: &mut Numbers) -> Squares {
    let mut chi = |dof: f64| {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a count of readings
        let count = dof as usize;
        (0..count).map(|_| numbers.normal().powi(2)).sum::<f64>() / dof
    };
    let (within, between) = (s.within / chi(s.within_dof), s.between / chi(s.between_dof));
    Squares { within, between, ..*s }
}

impl fmt::Display for DipStudy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let percent = self.options.coverage * 100.0;
        writeln!(f, "Dip study by ISO 5725-2, {} levels; bands {percent} %", self.levels.len())?;
        let names = ["repeatability s_r", "between trainees s_L", "reproducibility s_R"];
        for ((name, s), b) in names.iter().zip([self.s_r, self.s_l, self.s_big_r]).zip(&self.bands) {
            writeln!(f, "{name:<22}{:>7.2} mm ({:.2} to {:.2})", s * 1e3, b.low * 1e3, b.high * 1e3)?;
        }
        write!(f, "{:<12} {:>8} {:>6} {:>6} {:>6}", "level", "mean mm", "s_r", "s_L", "s_R")?;
        for l in &self.levels {
            let (r, b, both) = (l.s_r() * 1e3, l.s_l() * 1e3, l.s_big_r() * 1e3);
            write!(f, "\n{:<12} {:>8.1} {r:>6.2} {b:>6.2} {both:>6.2}", l.level, l.mean * 1e3)?;
        }
        for (l, c) in self.levels.iter().flat_map(|l| l.checks.iter().map(move |c| (l, c))) {
            if !c.finding().word().is_empty() {
                let (word, value, critical) = (c.finding().word(), c.statistic, c.critical_5);
                write!(f, "\n{}: {}, {word} at level {} ({value:.3}, 5 %: {critical:.3})", c.name, c.trainee, l.level)?;
            }
        }
        Ok(())
    }
}
