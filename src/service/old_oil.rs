//! How much old oil is left after several changes.

use super::event::Event;
use super::simulate::{Timeline, simulate, simulate_from};
use super::state::{NEW_OIL, OLD_OIL, State};
use crate::Error;
use crate::circuit::Circuit;
use crate::numeric::check;

/// Most changes that are followed.
const MOST: usize = 1000;

/// Shares of old oil at the end of one of several equal services, by mass of all that is in the circuit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OldOil {
    /// How many services were done, 1 the first.
    pub change: usize,
    /// Oil that was in before the first of them.
    pub original: f64,
    /// Oil from before this one, its own fill being new: what was new counts as old at the next change.
    pub previous: f64,
    /// All that is in the circuit (kg).
    pub mass: f64,
}

/// Carries the same service out `changes` times (1 to 1000), each from the state in which the last one ended, and follows the old oil.
///
/// The service must end with all plugs closed and the filter fitted. It starts from the default start.
///
/// ```
/// use fillmark::circuit::Circuit;
/// use fillmark::service::{Event, old_oil};
/// let events: Vec<Event> = serde_json::from_str(
///     r#"[{"do": {"drain": {"duration": "10 min"}}}, {"do": {"change_filter": {"primed": "0 L"}}},
///         {"do": {"pour": {"amount": {"volume": "7 L"}}}}, {"do": {"run": {"duration": "10 min"}}}]"#,
/// )?;
/// let rows = old_oil(&Circuit::demo("shuttle-bus")?, &events, 3)?;
/// assert!(rows[1].original < rows[0].original && rows[0].original < 0.2);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn old_oil(circuit: &Circuit, events: &[Event], changes: usize) -> Result<Vec<OldOil>, Error> {
    check::in_range("changes", changes as f64, 1.0, MOST as f64, "")?;
    let mut line = simulate(circuit, events)?;
    let mut rows: Vec<OldOil> = Vec::with_capacity(changes);
    for change in 1..=changes {
        let Some(end) = outside_emptied(circuit, &line) else { break };
        let (original, mass) = shares(circuit, &end);
        // The same service once more, with all that was in it at its start counted as old.
        let previous = match outside_emptied_at(circuit, &line, 0) {
            Some(start) if change > 1 => {
                let again = simulate_from(circuit, events, &all_old(&start))?;
                outside_emptied(circuit, &again).map_or(original, |end| shares(circuit, &end).0)
            }
            _ => original,
        };
        rows.push(OldOil { change, original, previous, mass });
        if change < changes {
            line = simulate_from(circuit, events, &end)?;
        }
    }
    Ok(rows)
}

/// The first of these changes after which the share of the original oil is below `share`.
pub fn changes_below(rows: &[OldOil], share: f64) -> Option<usize> {
    rows.iter().find(|r| r.original < share).map(|r| r.change)
}

/// Share of the old oil in the circuit, and all that is in it (kg).
fn shares(circuit: &Circuit, state: &State) -> (f64, f64) {
    let apart = state.apart.iter().map(|pool| &pool.contents);
    let inside = || state.contents[..circuit.places().in_circuit()].iter().chain(apart.clone());
    let total: f64 = inside().map(super::state::Contents::total).sum();
    let old: f64 = inside().map(|c| c.mass[OLD_OIL]).sum();
    (if total > 0.0 { old / total } else { 0.0 }, total)
}

/// The end of a timeline with pan, floor and the like emptied.
fn outside_emptied(circuit: &Circuit, line: &Timeline) -> Option<State> {
    outside_emptied_at(circuit, line, line.rows().len() - 1)
}

fn outside_emptied_at(circuit: &Circuit, line: &Timeline, row: usize) -> Option<State> {
    let mut state = line.state(row)?;
    for place in &mut state.contents[circuit.places().in_circuit()..] {
        place.mass = [0.0; 5];
    }
    Some(state)
}

/// What was new counts as old.
fn all_old(state: &State) -> State {
    let mut aged = state.clone();
    for place in aged.contents.iter_mut().chain(aged.apart.iter_mut().map(|pool| &mut pool.contents)) {
        place.mass[OLD_OIL] += place.mass[NEW_OIL];
        place.mass[NEW_OIL] = 0.0;
    }
    aged
}
