//! Who holds what: masses and volumes by row, place and component.

use super::simulate::Timeline;
use super::state::Contents;

/// One line of the ledger.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Entry<'a> {
    /// Index of the row: 0 the start, then one per event.
    pub row: usize,
    /// Path of the place.
    pub place: &'a str,
    /// Mass of each component (kg).
    pub mass: [f64; 5],
    /// Temperature (°C).
    pub temperature_c: f64,
    /// Volume at that temperature (m3).
    pub volume_m3: f64,
    /// Volume at 15 °C (m3).
    pub volume_15c_m3: f64,
}

/// The ledger of a timeline.
#[derive(Debug, Clone, Copy)]
pub struct Ledger<'a>(&'a Timeline);

impl<'a> Ledger<'a> {
    pub(super) fn new(timeline: &'a Timeline) -> Self {
        Self(timeline)
    }

    /// Every entry, row by row and place by place.
    pub fn entries(self) -> impl Iterator<Item = Entry<'a>> {
        let timeline = self.0;
        timeline.rows().iter().enumerate().flat_map(move |(row, recorded)| {
            timeline.places().iter().zip(&recorded.contents).map(move |(place, contents)| Entry {
                row,
                place,
                mass: contents.mass,
                temperature_c: contents.temperature_c,
                volume_m3: timeline.volume_of(contents),
                volume_15c_m3: timeline.volume_of(&Contents { temperature_c: 15.0, ..*contents }),
            })
        })
    }

    /// The largest imbalance over all rows and components, as a share of the charge (all that was ever in): what the
    /// places hold, less the start, less what was brought in. Nothing in it is computed by difference.
    pub fn imbalance(self) -> f64 {
        let rows = self.0.rows();
        let Some(start) = rows.first() else { return 0.0 };
        let total = |contents: &[Contents], c: usize| contents.iter().map(|p| p.mass[c]).sum::<f64>();
        let mut worst = 0.0_f64;
        for row in rows {
            let charge: f64 = (0..5).map(|c| total(&start.contents, c) + row.supplied[c]).sum();
            for c in 0..5 {
                let off = total(&row.contents, c) - total(&start.contents, c) - row.supplied[c];
                worst = worst.max(off.abs() / charge.max(f64::MIN_POSITIVE));
            }
        }
        worst
    }
}
