//! What forbids a start whatever the level: something left undone, something that got into the oil.

use super::super::verdict::spoilt;
use super::service::Service;
use crate::Error;
use crate::service::{Action, Bend, Event, Misfit, Program, Recorder, Seen, View, Watch};

/// Reasons not to start, in the words of an assessment.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Forbidden {
    /// What has to be put right before the engine runs in what follows, or at the end where it does not.
    pub undone: Vec<String>,
    /// What is in the oil at the end, at nominal values.
    pub spoilt: Vec<String>,
}

impl Forbidden {
    pub(super) fn of(service: &Service<'_>, events: &[Event]) -> Result<Self, Error> {
        let (circuit, start) = (service.circuit, service.options.predict.start);
        let mut program = match start {
            Some(start) => Program::compile_from(circuit, events, start)?,
            None => Program::compile(circuit, events)?,
        };
        let first = events.len() - service.after_pour();
        let runs = (first..events.len()).filter(|i| matches!(events[*i].action, Action::Run { .. }));
        let mut undone: Vec<String> = Vec::new();
        for done in runs.chain([events.len()]) {
            for why in program.undone_after(events, done).reasons() {
                if !undone.contains(&why) {
                    undone.push(why);
                }
            }
        }
        let watch = Watch::prepare(&mut program, &[], 90.0, None, 0.0)?;
        let mut end = End { watch: &watch, seen: None };
        program.run(program.nominals(), &mut program.scratch(program.nominals())?, &mut end)?;
        let foreign = end.seen.map_or([0.0; 2], |seen| seen.foreign);
        Ok(Self { undone, spoilt: spoilt(foreign, circuit.spec().fluid.fuel) })
    }

    /// All of it.
    pub(super) fn reasons(&self) -> impl Iterator<Item = &String> {
        self.undone.iter().chain(&self.spoilt)
    }
}

/// What is seen at the end of a run.
struct End<'a> {
    watch: &'a Watch,
    seen: Option<Seen>,
}

impl Recorder for End<'_> {
    fn hears_rows(&self) -> bool {
        false
    }

    fn end(&mut self, view: &View<'_>) {
        self.seen = self.watch.end(view).next();
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        Bend::Bend
    }
}

#[cfg(test)]
mod tests {
    use crate::circuit::Circuit;
    use crate::estimate::{PlanOptions, plan_refill, plan_withdraw};
    use crate::service::Event;

    fn events(lines: &[&str]) -> Vec<Event> {
        lines.iter().map(|line| Event::parse(line).unwrap()).collect()
    }

    /// What stands undone or spoilt before a run, or at the end, forbids it, in the words of an assessment; what is put right does not.
    #[test]
    fn nobody_is_told_to_start_with_something_undone() {
        let circuit = Circuit::demo("deck-generator").unwrap();
        let mut options = PlanOptions::default();
        options.predict.draws = 200;
        let leak = "leak 0.01 L/min always, called \"gasket\"";
        let told = "oil leaks out at 0.01 L/min (gasket), and nothing has stopped it";
        let (drain, run) = ("drain 10 min at 60 degC", "run 1 min");
        let refilled =
            |done: &[&str], then: &[&str]| plan_refill(&circuit, &events(done), &events(then), &options).unwrap();
        for (done, then) in
            [(vec![drain, leak], vec![run, "rest 5 min"]), (vec![drain, leak], vec![run, "stop \"gasket\""])]
        {
            let plan = refilled(&done, &then);
            assert!(plan.no_start().is_some_and(|why| why.starts_with(told)), "{:?}", plan.no_start());
            let steps = plan.steps();
            let at = steps.iter().position(|step| step.starts_with("Do not start: ")).unwrap();
            assert!(steps[at].contains("Have it put right first."), "{steps:?}");
            assert_eq!(steps[at + 1], "Only once that is done: run 1 min.");
            assert!(!steps.iter().any(|step| step.starts_with("Run")), "{steps:?}");
            assert!(
                plan.to_markdown().contains("**Do not start: oil leaks out")
                    && plan.to_string().contains("do not start: ")
            );
        }
        let stopped = refilled(&[drain, leak, "stop \"gasket\""], &[run, "rest 5 min"]);
        assert_eq!(stopped.no_start(), None);
        assert!(stopped.steps().iter().any(|step| step == "Run 1 min."));
        let off = refilled(&[drain, "remove filter"], &["rest 5 min"]);
        assert!(
            off.no_start().is_some_and(|why| why.starts_with("no filter is fitted at the end")),
            "{:?}",
            off.no_start()
        );
    }

    #[test]
    fn oil_is_not_only_taken_out_where_something_is_in_it() {
        let circuit = Circuit::demo("deck-generator").unwrap();
        let mut options = PlanOptions::default();
        options.predict.draws = 200;
        let done = events(&[
            "ingress coolant 0.01 L/min always, called \"head gasket\"",
            "rest 10 min",
            "stop \"head gasket\"",
        ]);
        let plan = plan_withdraw(&circuit, &done, &events(&["rest 5 min"]), &options).unwrap();
        let why = plan.no_start().unwrap();
        assert!(why.starts_with("coolant or water makes up ") && why.contains("milky"), "{why}");
    }
}
