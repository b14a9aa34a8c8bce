//! A dip study: how well trainees read one stick, by themselves and among each other.

mod checks;
mod result;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use uom::si::f64::Length;
use uom::si::length::meter;

pub use checks::{Check, Finding};
pub use result::{DipLevel, DipStudy, Reader, TraineeRow};

use super::LearnError;
use super::draws::Numbers;
use crate::Error;
use crate::numeric::check;

/// Most readings of one study.
const MOST: usize = 2000;

/// One reading of a study.
#[derive(Debug, Clone, PartialEq)]
pub struct Dip {
    /// Who read.
    pub trainee: String,
    /// Which level was read; the same text for the same level.
    pub level: String,
    /// The reading.
    pub reading: Length,
}

/// Options of a study.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DipOptions {
    /// Coverage probability of the bands.
    pub coverage: f64,
    /// Draws.
    pub draws: usize,
    /// Seed.
    pub seed: u64,
}

impl Default for DipOptions {
    /// 95 %, 4000 draws, seed 1.
    fn default() -> Self {
        Self { coverage: 0.95, draws: 4000, seed: 1 }
    }
}

/// The readings (m) of each trainee at one level.
pub(super) type Cells = BTreeMap<String, Vec<f64>>;

/// Repeatability and reproducibility of dips by ISO 5725-2: trainees in place of laboratories, levels in place of materials.
///
/// At each level, with `n_i` readings of trainee `i`, mean `m_i` and standard deviation `s_i`, and `p` trainees (ISO 5725-2, 7.4):
///
/// `s_r² = Σ (n_i-1) s_i² / Σ (n_i-1)`, `s_d² = Σ n_i (m_i-m)² / (p-1)`, `n = (Σ n_i - Σ n_i²/Σ n_i) / (p-1)`,
/// `s_L² = max(0, (s_d² - s_r²)/n)`, `s_R² = s_r² + s_L²`.
///
/// Over levels the variances are pooled by their degrees of freedom, which holds where precision does not depend on the level. Bands are generalised confidence
/// intervals (Weerahandi, J. Am. Statist. Assoc. 88 (1993) 899-905): the sums of squares divided by draws of chi-squared. Cochran's and Grubbs' tests name stragglers
/// (5 %) and outliers (1 %) and remove nothing. At least two trainees at each level, one of them with two readings.
pub fn dip_study(dips: &[Dip], options: &DipOptions) -> Result<DipStudy, Error> {
    check::in_range("coverage", options.coverage, 0.5, 0.999, "1")?;
    check::in_range("draws", options.draws as f64, 100.0, 1e5, "1")?;
    if dips.len() > MOST {
        return Err(LearnError::TooMany { what: "readings".into(), found: dips.len(), most: MOST }.into());
    }
    if dips.is_empty() {
        return Err(LearnError::TooFew { what: "readings".into(), found: 0, needed: 3 }.into());
    }
    let mut levels: Vec<(String, Cells)> = Vec::new();
    for (i, dip) in dips.iter().enumerate() {
        let mm = dip.reading.get::<meter>() * 1e3;
        let reading = check::in_range(&format!("reading_mm[{i}]"), mm, 0.0, 20_000.0, "mm")? / 1e3;
        let found = levels.iter().position(|(name, _)| *name == dip.level);
        let at = found.unwrap_or_else(|| {
            levels.push((dip.level.clone(), Cells::new()));
            levels.len() - 1
        });
        levels[at].1.entry(dip.trainee.clone()).or_default().push(reading);
    }
    let levels = levels.into_iter().map(|(name, cells)| DipLevel::new(name, cells)).collect::<Result<Vec<_>, _>>()?;
    Ok(DipStudy::new(levels, *options, &mut Numbers::new(options.seed, "dips")))
}
