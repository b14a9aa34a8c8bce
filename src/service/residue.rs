//! What a drain leaves in the circuit, against what the service capacity allows for.

use super::ServiceError;
use super::event::Action;
use super::ledger::fits_filter;
use super::simulate::Timeline;
use super::state::Contents;
use crate::circuit::SUMP;

/// Why liquid stays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Part {
    /// In the sump, where the drain does not reach.
    Heel,
    /// On walls, of stores and of the filler path.
    Film,
    /// In stores, for good.
    Kept,
    /// In stores, not yet back.
    Pool,
    /// In the filter that was not changed.
    Filter,
}

impl Part {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Heel => "heel",
            Self::Film => "film",
            Self::Kept => "kept",
            Self::Pool => "pool",
            Self::Filter => "filter",
        }
    }
}

/// What stays at one place.
#[derive(Debug, Clone, PartialEq)]
pub struct Stays {
    /// Path of the place.
    pub place: String,
    /// Why it stays.
    pub part: Part,
    /// Mass (kg).
    pub mass: f64,
    /// Volume at the place's own temperature (m3).
    pub volume: f64,
    /// Volume at the reference temperature (m3).
    pub volume_reference: f64,
}

/// The residue that the service capacity already contains (m3), by the ways it can be known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NominalResidue {
    /// Dry capacity less service capacity; else `book.residue`.
    pub by_book: Option<f64>,
    /// By the drawing: `V_MAX + filter and stores in the reference condition - service capacity`.
    pub by_geometry: Option<f64>,
}

/// What a drain leaves, and what it nominally leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct Residue {
    /// Row of the timeline it is taken at.
    pub row: usize,
    /// Whether the old filter stays on, and so belongs to it.
    pub with_filter: bool,
    /// What stays where; places that hold nothing are left out.
    pub places: Vec<Stays>,
    /// What nominally stays.
    pub nominal: NominalResidue,
}

impl Residue {
    /// Total mass (kg).
    pub fn mass(&self) -> f64 {
        self.places.iter().map(|p| p.mass).sum()
    }

    /// Total volume at the reference temperature (m3).
    pub fn volume_reference(&self) -> f64 {
        self.places.iter().map(|p| p.volume_reference).sum()
    }

    /// Volume of one part at the reference temperature (m3).
    pub fn part(&self, part: Part) -> f64 {
        self.places.iter().filter(|p| p.part == part).map(|p| p.volume_reference).sum()
    }

    /// Residue less the nominal one (m3), by the book where it says, else by the drawing: above zero, this drain was the worse one and the
    /// service capacity overfills by as much.
    pub fn beyond_nominal(&self) -> Option<f64> {
        let nominal = self.nominal.by_book.or(self.nominal.by_geometry)?;
        Some(self.volume_reference() - nominal)
    }
}

impl Timeline {
    /// What the circuit holds after a row: heel, films, what stores keep or have not yet given back, and the filter unless it was changed or
    /// taken off.
    ///
    /// Without a row it is the one where the last drain has ended: before the first pour that follows it, at the end where none does; before
    /// the first pour of all where nothing is drained. Where some of what is drained or withdrawn leaves the circuit under MIN, drained back,
    /// only that counts as a drain: what is taken out to correct a refill is none.
    ///
    /// The nominal residue is the one that the service capacity allows for (that without filter change, where the filter stays; where
    /// only one of the two is in the book, the circuit's filter makes up the difference).
    pub fn residue(&self, row: Option<usize>) -> Result<Residue, ServiceError> {
        let row = row.unwrap_or_else(|| self.drained_row());
        if row >= self.rows().len() {
            return Err(ServiceError::NoSuchRow {
                row: i64::try_from(row).unwrap_or(i64::MAX),
                rows: self.rows().len(),
            });
        }
        let recorded = self.contents(row);
        let places = self.circuit().places();
        let done = &self.events()[..row];
        let with_filter = places.filter.is_some()
            && !done.iter().any(|e| fits_filter(&e.action) || matches!(e.action, Action::RemoveFilter));
        let mut stays = Vec::new();
        let mut add = |place: usize, part: Part| {
            let contents = &recorded[place];
            if contents.total() > 0.0 {
                stays.push(Stays {
                    place: self.places()[place].clone(),
                    part,
                    mass: contents.total(),
                    volume: self.volume_of(contents),
                    volume_reference: self.volume_of(&Contents { temperature_c: self.reference_c(), ..*contents }),
                });
            }
        };
        add(SUMP, Part::Heel);
        // Pools of the sump that lie apart.
        if let Some(apart) = self.places().iter().position(|p| p == "sump.apart") {
            add(apart, Part::Heel);
        }
        for store in &places.stores {
            add(store.pool, Part::Pool);
            add(store.film, Part::Film);
            add(store.kept, Part::Kept);
        }
        if let Some(filler) = places.filler {
            add(filler.place, Part::Film);
        }
        if let Some(filter) = places.filter.filter(|_| with_filter) {
            add(filter.place, Part::Filter);
            if let Some((pool, _)) = filter.pool {
                add(pool, Part::Filter);
            }
        }
        Ok(Residue { row, with_filter, places: stays, nominal: self.nominal_residue(with_filter) })
    }

    /// The row where the last drain has ended.
    fn drained_row(&self) -> usize {
        let (events, last) = (self.events(), self.rows().len() - 1);
        let before_pour = |from: usize| {
            let next = events[from..].iter().position(|e| matches!(e.action, Action::Pour { .. }));
            next.map_or(last, |n| from + n)
        };
        let ends: Vec<usize> = (0..events.len()).filter(|i| takes_out(&events[*i].action)).map(before_pour).collect();
        let emptied = ends.iter().rev().find(|row| self.is_under_min(**row));
        let followed = || ends.iter().rev().find(|row| **row < last);
        emptied.or_else(followed).or(ends.last()).copied().unwrap_or_else(|| before_pour(0))
    }

    /// Whether all that is in the circuit after a row, drained back, stands under MIN in the reference condition.
    fn is_under_min(&self, row: usize) -> bool {
        let places = self.circuit().places();
        let contents = self.contents(row);
        let apart = contents.iter().skip(places.names.len());
        let at_reference = |c: &Contents| self.volume_of(&Contents { temperature_c: self.reference_c(), ..*c });
        let all: f64 = contents[..places.in_circuit()].iter().chain(apart).map(at_reference).sum();
        self.circuit().volumes_at_marks().is_ok_and(|[at_min, _]| all - self.elsewhere_m3() < at_min)
    }

    /// The residue that the service capacity contains.
    fn nominal_residue(&self, with_filter: bool) -> NominalResidue {
        let circuit = self.circuit();
        let book = circuit.spec().book.clone().unwrap_or_default();
        let net = circuit.layout().filter.map_or(0.0, |f| circuit.nominals()[f.net_volume]);
        let [with, without] = [&book.service_with_filter, &book.service_without_filter]
            .map(|v| v.as_ref().map(crate::units::Value::nominal));
        let service = if with_filter { without.or(with.map(|v| v - net)) } else { with.or(without.map(|v| v + net)) };
        let filter = if with_filter { net } else { 0.0 };
        let dry = book.dry.as_ref().map(crate::units::Value::nominal);
        let by_book = match (dry, service) {
            (Some(dry), Some(service)) => Some(dry - service),
            _ => book.residue.as_ref().map(|r| r.nominal() + filter),
        };
        let all_at_max = self.at_max_m3() + self.elsewhere_m3();
        NominalResidue { by_book, by_geometry: service.map(|s| all_at_max - s) }
    }
}

/// Whether liquid leaves by this event, or has left when it comes.
fn takes_out(action: &Action) -> bool {
    matches!(
        action,
        Action::Drain { .. } | Action::OpenPlug { .. } | Action::ClosePlug { .. } | Action::Withdraw { .. }
    )
}
