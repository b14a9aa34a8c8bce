//! What a service leaves undone at its end.

use super::event::{Action, Event, Foreign, When};
use super::program::{Op, Program};
use crate::units::{Value, VolumeFlow};

/// What forbids a start whatever the level: nothing of it is part of a finished service.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Undone {
    /// Names of the plugs that are open.
    pub open: Vec<String>,
    /// Whether the circuit has a filter and none is fitted.
    pub no_filter: bool,
    /// Leaks and ingresses that nothing has stopped, in words.
    pub going_on: Vec<String>,
}

impl Undone {
    /// Every reason not to start, in words.
    pub(crate) fn reasons(&self) -> Vec<String> {
        let open = self.open.iter().map(|plug| format!("the plug `{plug}` is open at the end"));
        let filter = self.no_filter.then(|| "no filter is fitted at the end".to_string());
        let going_on = self.going_on.iter().map(|what| format!("{what}, and nothing has stopped it"));
        open.chain(filter).chain(going_on).collect()
    }
}

impl Program {
    /// What is undone at the end of the program, compiled from these events.
    pub(crate) fn undone(&self, events: &[Event]) -> Undone {
        self.undone_after(events, self.steps.len())
    }

    /// What is undone once the first `done` of these events, of which the program was compiled, are done.
    pub(crate) fn undone_after(&self, events: &[Event], done: usize) -> Undone {
        let mut set = None;
        let mut no_filter = false;
        let mut active: Vec<(usize, usize)> = Vec::new();
        for (event, step) in self.steps.iter().take(done).enumerate() {
            for op in &self.ops[step.ops.clone()] {
                match op {
                    Op::Plugs { set: now } => set = *now,
                    Op::RemoveFilter => no_filter = true,
                    Op::FitFilter(_) => no_filter = false,
                    Op::Begin(rate) => active.push((rate.id, event)),
                    Op::Stop { id } => active.retain(|(begun, _)| begun != id),
                    _ => {}
                }
            }
        }
        let plugs = &self.circuit.layout().plugs;
        let open = set.map_or(&[][..], |set| &self.plug_sets[set].plugs);
        Undone {
            open: open.iter().map(|plug| plugs[*plug].0.clone()).collect(),
            no_filter,
            going_on: active.iter().filter_map(|(_, event)| going_on(events.get(*event)?)).collect(),
        }
    }
}

/// A leak or an ingress in words; oil use is none, nor is a rate of exactly nothing.
fn going_on(event: &Event) -> Option<String> {
    let (what, rate, when): (_, &Value<VolumeFlow>, _) = match &event.action {
        Action::Leak { rate, when } => ("oil leaks out", rate, when),
        Action::Ingress { component: Foreign::Fuel, rate, when } => ("fuel gets in", rate, when),
        Action::Ingress { component: Foreign::Coolant, rate, when } => ("coolant gets in", rate, when),
        Action::Ingress { component: Foreign::Water, rate, when } => ("water gets in", rate, when),
        _ => return None,
    };
    if rate.is_exact() && rate.nominal() == 0.0 {
        return None;
    }
    let when = if *when == When::Running { " while the engine runs" } else { "" };
    let label = event.label.as_ref().map_or_else(String::new, |label| format!(" ({label})"));
    Some(format!("{what} at {}{when}{label}", rate.written().replace(['\n', '\r'], " ")))
}
