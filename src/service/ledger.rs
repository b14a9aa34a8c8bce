//! Who holds what: masses and volumes by row, place and component.

use std::fmt;

use super::event::Action;
use super::simulate::Timeline;
use super::state::{COMPONENTS, Contents, NEW_OIL};

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
    /// Volume of each component at that temperature (m3).
    pub volumes_m3: [f64; 5],
    /// Volume of each component at 15 °C (m3).
    pub volumes_15c_m3: [f64; 5],
    /// Volume at that temperature (m3).
    pub volume_m3: f64,
    /// Volume at 15 °C (m3).
    pub volume_15c_m3: f64,
}

/// What came out against what went in, by mass (kg), each by component, over a whole service.
///
/// A drained mass short of the poured one points to a poor drain of that day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// Drained or withdrawn: what the catch pan gained.
    pub drained: [f64; 5],
    /// Went away inside filters that were taken off.
    pub old_filter: [f64; 5],
    /// Spilled or leaked onto the floor.
    pub floor: [f64; 5],
    /// New oil poured, and put into filters beforehand.
    pub poured: [f64; 5],
}

impl Balance {
    /// Poured, less what was drained and what went away inside filters: what a scale in the workshop shows. By component, so that the
    /// new oil shows what was poured and stayed, the old oil (negative) what was taken out.
    pub fn difference(&self) -> [f64; 5] {
        std::array::from_fn(|c| self.poured[c] - self.drained[c] - self.old_filter[c])
    }
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
        (0..timeline.rows().len()).flat_map(move |row| {
            timeline.places().iter().zip(timeline.contents(row)).map(move |(place, contents)| {
                let at_15c = Contents { temperature_c: 15.0, ..*contents };
                Entry {
                    row,
                    place,
                    mass: contents.mass,
                    temperature_c: contents.temperature_c,
                    volumes_m3: timeline.volumes_of(contents),
                    volumes_15c_m3: timeline.volumes_of(&at_15c),
                    volume_m3: timeline.volume_of(contents),
                    volume_15c_m3: timeline.volume_of(&at_15c),
                }
            })
        })
    }

    /// What came out against what went in, from the start to the end.
    pub fn balance(self) -> Balance {
        let (rows, places) = (self.0.rows(), self.0.circuit().places());
        let Some(last) = rows.last() else {
            return Balance { drained: [0.0; 5], old_filter: [0.0; 5], floor: [0.0; 5], poured: [0.0; 5] };
        };
        let (start, end) = (self.0.contents(0), self.0.contents(rows.len() - 1));
        let gained = |place: usize| std::array::from_fn(|c| end[place].mass[c] - start[place].mass[c]);
        // New oil comes only from pours and primes; what else is brought in (fuel, coolant, water) was not poured.
        let mut poured = [0.0; 5];
        poured[NEW_OIL] = last.supplied[NEW_OIL];
        Balance {
            drained: gained(places.pan),
            old_filter: gained(places.old_filter),
            floor: gained(places.floor),
            poured,
        }
    }

    /// The largest imbalance over all rows and components, as a share of the charge (all that was ever in): what the
    /// places hold, less the start, less what was brought in. Nothing in it is computed by difference.
    pub fn imbalance(self) -> f64 {
        let start = self.0.contents(0);
        let total = |contents: &[Contents], c: usize| contents.iter().map(|p| p.mass[c]).sum::<f64>();
        let mut worst = 0.0_f64;
        for (i, row) in self.0.rows().iter().enumerate() {
            let charge: f64 = (0..5).map(|c| total(start, c) + row.supplied[c]).sum();
            for c in 0..5 {
                let off = total(self.0.contents(i), c) - total(start, c) - row.supplied[c];
                worst = worst.max(off.abs() / charge.max(f64::MIN_POSITIVE));
            }
        }
        worst
    }
}

/// Of every row the places that hold something: the mass of each component that is ever there, temperature and volume.
impl fmt::Display for Ledger<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let entries: Vec<Entry<'_>> = self.entries().filter(|e| e.mass.iter().any(|m| *m != 0.0)).collect();
        let there = |c: &usize| entries.iter().any(|e| e.mass[*c] != 0.0);
        let components: Vec<usize> = (0..COMPONENTS.len()).filter(there).collect();
        let width = entries.iter().map(|e| e.place.chars().count()).max().unwrap_or(0);
        for (i, row) in self.0.rows().iter().enumerate() {
            writeln!(f, "{}", self.0.name_of(row))?;
            write!(f, "  {:<width$}", "")?;
            components
                .iter()
                .try_for_each(|c| write!(f, " {:>11}", format!("{} kg", COMPONENTS[*c].replace('_', " "))))?;
            writeln!(f, " {:>7} {:>8} {:>10}", "degC", "L", "L at 15 C")?;
            for e in entries.iter().filter(|e| e.row == i) {
                write!(f, "  {:<width$}", e.place)?;
                components.iter().try_for_each(|c| write!(f, " {:>11.4}", e.mass[*c]))?;
                writeln!(f, " {:>7.1} {:>8.3} {:>10.3}", e.temperature_c, e.volume_m3 * 1e3, e.volume_15c_m3 * 1e3)?;
            }
        }
        writeln!(f, "largest imbalance {:.1e} of all that was ever in", self.imbalance())
    }
}

/// Whether an event puts another filter on.
pub(super) fn fits_filter(action: &Action) -> bool {
    matches!(action, Action::FitFilter { .. } | Action::ChangeFilter { .. })
}
