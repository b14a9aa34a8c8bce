//! The places of a circuit in their fixed order.

use std::sync::Arc;

use super::scalars::{FillerLayout, FilterLayout, FilterLeak, Layout, StoreLayout};

/// Index of a place.
pub(crate) type PlaceIx = usize;

/// The sump's pool comes first.
pub(crate) const SUMP: PlaceIx = 0;

/// Places of one store, with the inputs that govern it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct StorePlaces {
    pub pool: PlaceIx,
    pub film: PlaceIx,
    pub kept: PlaceIx,
    pub inputs: StoreLayout,
}

/// The filter's place and the inputs that govern it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FilterPlace {
    pub place: PlaceIx,
    /// What a leaking valve lets go.
    pub pool: Option<(PlaceIx, FilterLeak)>,
    pub inputs: FilterLayout,
}

/// The filler path and the inputs that govern it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FillerPlace {
    pub place: PlaceIx,
    pub inputs: FillerLayout,
}

/// Every place of a circuit: sump, stores by name (pool, film, kept), filter, filler, removed filter, catch pan, floor, burnt.
#[derive(Debug, Clone)]
pub(crate) struct Places {
    pub names: Arc<[String]>,
    pub stores: Vec<StorePlaces>,
    pub filter: Option<FilterPlace>,
    pub filler: Option<FillerPlace>,
    pub old_filter: PlaceIx,
    pub pan: PlaceIx,
    pub floor: PlaceIx,
    pub burnt: PlaceIx,
}

impl Places {
    pub(crate) fn of(layout: &Layout) -> Self {
        let mut names = vec!["sump".to_string()];
        let mut add = |name: String| {
            names.push(name);
            names.len() - 1
        };
        let stores = layout
            .stores
            .iter()
            .map(|(name, inputs)| StorePlaces {
                pool: add(format!("stores.{name}.pool")),
                film: add(format!("stores.{name}.film")),
                kept: add(format!("stores.{name}.kept")),
                inputs: *inputs,
            })
            .collect();
        let filter = layout.filter.map(|inputs| FilterPlace {
            place: add("filter".into()),
            pool: inputs.leak.map(|leak| (add("filter.pool".into()), leak)),
            inputs,
        });
        let filler = layout.filler.map(|inputs| FillerPlace { place: add("filler".into()), inputs });
        let old_filter = add("old filter".into());
        let pan = add("pan".into());
        let floor = add("floor".into());
        let burnt = add("burnt".into());
        Self { names: names.into(), stores, filter, filler, old_filter, pan, floor, burnt }
    }

    /// Whether anything ever returns to the sump: from stores, a leaking filter or the filler path.
    pub(crate) fn any_return(&self) -> bool {
        !self.stores.is_empty() || self.filler.is_some() || self.filter.is_some_and(|f| f.pool.is_some())
    }

    /// Places that belong to the circuit (sump, stores, filter, filler) come before this index.
    pub(crate) fn in_circuit(&self) -> PlaceIx {
        self.old_filter
    }
}
