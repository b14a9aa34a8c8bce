//! What a diagnosis found: causes by probability, what speaks for them, what to check next.

use std::fmt;

use super::checks::Need;
use super::priors::JUDGEMENT;
use super::record::Record;
use super::smc::Evidence;
use crate::circuit::Circuit;
use crate::estimate::cautions_of;

/// Bayes factors below this do not tell two causes apart.
const TELLING: f64 = 3.0;
/// A cause this improbable is not called a look-alike.
const NEGLIGIBLE: f64 = 0.05;
/// A predictive check below this says that a cause does not fit.
pub const MISFIT: f64 = 0.01;

/// Size that a cause leaves open, before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct Size {
    /// What it is called.
    pub name: String,
    /// Unit of the numbers.
    pub unit: &'static str,
    /// Posterior mean.
    pub mean: f64,
    /// Posterior standard deviation.
    pub standard_uncertainty: f64,
    /// Ends of the posterior 95 % interval.
    pub interval: (f64, f64),
    /// Posterior quantiles at 0.025, 0.050, ... 0.975.
    pub quantiles: Vec<f64>,
    /// Ends of the prior 95 % interval (judgement).
    pub prior_interval: (f64, f64),
}

/// What was seen beside what a cause predicts, all other observations being known.
#[derive(Debug, Clone, PartialEq)]
pub struct ObservationSeen {
    /// What was looked at.
    pub what: String,
    /// What was seen, as told.
    pub seen: String,
    /// The same as a number in `unit`; 1 or 0 for a sign; none for a reading in words.
    pub value: Option<f64>,
    /// What the cause predicts after the data, noise-free; the probability of a sign.
    pub predicted: f64,
    /// Standard uncertainty of that prediction, the reading's own scatter included; 0 for a sign.
    pub standard_uncertainty: f64,
    /// Unit of the numbers.
    pub unit: &'static str,
    /// Probability, after the data, of something at least as far out; for a sign, of what was seen.
    pub tail: f64,
    /// Logarithm of the probability (density) of what was seen, given all else that was seen.
    pub ln_predictive: f64,
}

/// One cause with its probability.
#[derive(Debug, Clone, PartialEq)]
pub struct CauseFound {
    /// What it is called; of a pair both names.
    pub name: String,
    /// What it means.
    pub words: String,
    /// Causes it consists of: one, or two.
    pub parts: Vec<String>,
    /// Whether the events as told are this cause already.
    pub told: bool,
    /// Probability before anything was read.
    pub prior: f64,
    /// Probability now, among these causes.
    pub probability: f64,
    /// Its evidence.
    pub evidence: Evidence,
    /// Bayes factor of the leading cause against this one.
    pub bayes_factor_against: f64,
    /// Factor by which the prior odds would have to move for this cause to lead; for the leading one, for it to lead no more.
    pub prior_factor: f64,
    /// Sizes it leaves open.
    pub sizes: Vec<Size>,
    /// Every observation beside what the cause predicts.
    pub observations: Vec<ObservationSeen>,
    /// Posterior predictive probability of data that fit at most as well; below 0.01 the cause does not explain them.
    pub fit: f64,
    /// True level in spans, drained back (0 MIN, 1 MAX): mean and standard deviation after the data.
    pub spans: (f64, f64),
    /// Probability of being over MAX if this is the cause.
    pub over_max: f64,
}

/// One outcome of a check.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// In words.
    pub words: &'static str,
    /// How probable it is.
    pub probability: f64,
    /// The cause that would lead then.
    pub cause: String,
    /// Its probability then.
    pub cause_probability: f64,
}

/// A check that a person may do.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Short name.
    pub name: &'static str,
    /// What to do.
    pub words: &'static str,
    /// What must hold before it.
    pub need: Need,
    /// Expected information about the cause (bits).
    pub bits: f64,
    /// What each outcome would mean.
    pub outcomes: Vec<Outcome>,
    /// Why it may not be done now, if it may not.
    pub blocked: Option<String>,
}

/// A diagnosis. It assigns causes, never fault.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    pub(super) circuit: Circuit,
    pub(super) record: Record,
    pub(super) causes: Vec<CauseFound>,
    pub(super) not_applicable: Vec<(String, String)>,
    pub(super) checks: Vec<Check>,
    pub(super) do_not_start: Vec<String>,
    pub(super) evaluations: usize,
    pub(super) particles: usize,
    pub(super) replicates: usize,
    pub(super) seed: u64,
}

impl Verdict {
    /// The circuit.
    pub fn circuit(&self) -> &Circuit {
        &self.circuit
    }

    /// The record.
    pub fn record(&self) -> &Record {
        &self.record
    }

    /// Every cause that was weighed, the most probable first.
    pub fn causes(&self) -> &[CauseFound] {
        &self.causes
    }

    /// Causes that cannot be for these events, with why; their weights went to the others in proportion.
    pub fn not_applicable(&self) -> &[(String, String)] {
        &self.not_applicable
    }

    /// Checks that may be done now, the most telling first.
    pub fn next_checks(&self) -> Vec<&Check> {
        self.checks.iter().filter(|c| c.blocked.is_none()).collect()
    }

    /// Checks that would tell something but may not be done now, with why.
    pub fn blocked_checks(&self) -> Vec<&Check> {
        self.checks.iter().filter(|c| c.blocked.is_some()).collect()
    }

    /// Why the engine must not be started and the vehicle not be moved; empty where nothing forbids it. First comes what the events as told
    /// leave undone (a plug open, no filter fitted, a leak or an ingress going on), in the words of an assessment.
    pub fn do_not_start(&self) -> &[String] {
        &self.do_not_start
    }

    /// Probability that a cause is at work, alone or in a pair.
    pub fn probability_of(&self, cause: &str) -> f64 {
        self.causes.iter().filter(|c| c.parts.iter().any(|p| p == cause)).map(|c| c.probability).sum()
    }

    /// Whether the data tell: the leading cause has at least half of the probability, three times that of the next, it fits, and
    /// every look-alike is a pair of which it is part.
    pub fn is_settled(&self) -> bool {
        let [first, rest @ ..] = self.causes.as_slice() else { return false };
        let next = rest.first().map_or(0.0, |c| c.probability);
        let leads = first.probability >= 0.5 && first.probability >= TELLING * next && first.fit >= MISFIT;
        leads && self.alike().all(|c| first.parts.iter().all(|part| c.parts.contains(part)))
    }

    fn alike(&self) -> impl Iterator<Item = &CauseFound> {
        self.causes.iter().skip(1).filter(|c| {
            let factor = c.bayes_factor_against;
            factor < TELLING && factor > 1.0 / TELLING && c.probability >= NEGLIGIBLE
        })
    }

    /// Causes that these data do not tell from the leading one: a Bayes factor below 3 either way.
    pub fn look_alikes(&self) -> Vec<&str> {
        self.alike().map(|c| c.name.as_str()).collect()
    }

    /// Logarithm of how much an observation spoke for the leading cause against another, by place among the causes.
    pub fn ln_factor(&self, observation: usize, against: usize) -> Option<f64> {
        let of = |cause: usize| Some(self.causes.get(cause)?.observations.get(observation)?.ln_predictive);
        Some(of(0)? - of(against)?)
    }

    /// What rests on judgement, and what the numbers are.
    pub fn judgement(&self) -> &'static str {
        JUDGEMENT
    }

    /// Cautions to print with it.
    pub fn cautions(&self) -> Vec<&'static str> {
        let own = [
            "Add nothing, start nothing and move nothing to test an overfull engine: withdraw and weigh.",
            "It assigns causes, not fault.",
        ];
        cautions_of(&self.circuit).into_iter().chain(own).collect()
    }

    /// Runs of the model.
    pub fn evaluations(&self) -> usize {
        self.evaluations
    }

    /// Particles of a replicate, replicates, seed.
    pub fn sampling(&self) -> (usize, usize, u64) {
        (self.particles, self.replicates, self.seed)
    }

    /// What the diagnosis comes to, in a sentence.
    pub fn conclusion(&self) -> String {
        let Some(first) = self.causes.first() else { return "nothing was weighed".into() };
        let alike = self.look_alikes();
        if first.fit < MISFIT {
            return format!(
                "no cause explains what was seen: even the leading one, {}, would seldom give data like these",
                first.name
            );
        }
        if self.is_settled() {
            return format!("{} ({:.0} %)", first.name, first.probability * 1e2);
        }
        if alike.is_empty() {
            return format!("not settled; {} leads with {:.0} %", first.name, first.probability * 1e2);
        }
        format!(
            "not settled; {} leads with {:.0} %, but these data do not tell it from {}",
            first.name,
            first.probability * 1e2,
            alike.join(", ")
        )
    }
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = if self.record.name.is_empty() { "record" } else { &self.record.name };
        writeln!(f, "{name}: {} {}", self.circuit.name(), self.record.complaint.words())?;
        writeln!(f, "{}", self.conclusion())?;
        for reason in &self.do_not_start {
            writeln!(f, "do not start: {reason}")?;
        }
        let width = self.causes.iter().map(|c| c.name.chars().count()).max().unwrap_or(0).max(5);
        writeln!(f, "\n{:<width$}  now %  before %  ln evidence", "cause")?;
        for cause in self.causes.iter().filter(|c| c.probability >= 5e-4) {
            let (now, before) = (cause.probability * 1e2, cause.prior * 1e2);
            let Evidence { ln, standard_error } = cause.evidence;
            writeln!(f, "{:<width$}  {now:>5.1}  {before:>8.1}  {ln:>8.2} ± {standard_error:.2}", cause.name)?;
        }
        if let Some(first) = self.causes.first() {
            write_leading(f, first)?;
        }
        self.write_checks(f)?;
        writeln!(f, "\n{}", self.judgement())?;
        writeln!(f, "cautions:")?;
        self.cautions().into_iter().try_for_each(|caution| writeln!(f, "  - {caution}"))
    }
}

fn write_leading(f: &mut fmt::Formatter<'_>, first: &CauseFound) -> fmt::Result {
    writeln!(f, "\nif it is {}:", first.name)?;
    for size in &first.sizes {
        let (low, high) = size.interval;
        writeln!(f, "  {}: {:.3} {} (95 %: {low:.3} to {high:.3})", size.name, size.mean, size.unit)?;
    }
    for seen in &first.observations {
        if seen.standard_uncertainty > 0.0 {
            let (at, sd) = (seen.predicted, seen.standard_uncertainty);
            writeln!(f, "  {}: seen {}, predicted {at:.2} ± {sd:.2} {}", seen.what, seen.seen, seen.unit)?;
        } else {
            writeln!(f, "  {}: seen {}, of probability {:.2}", seen.what, seen.seen, seen.tail)?;
        }
    }
    writeln!(f, "  priors would have to move by a factor of {:.1} to change the ranking", first.prior_factor)
}

impl Verdict {
    fn write_checks(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "\nnext checks:")?;
        for check in self.next_checks().iter().take(4) {
            writeln!(f, "  {:.2} bit  {}: {}", check.bits, check.name, check.words)?;
            for outcome in check.outcomes.iter().filter(|o| o.probability >= 0.02) {
                let (p, q) = (outcome.probability * 1e2, outcome.cause_probability * 1e2);
                writeln!(f, "            {} ({p:.0} %): {} {q:.0} %", outcome.words, outcome.cause)?;
            }
        }
        Ok(())
    }
}
