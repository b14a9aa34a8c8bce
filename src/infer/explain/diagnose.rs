//! The diagnosis: every hypothesis weighed by its evidence.

use std::collections::BTreeMap;
use std::fmt;

use super::ExplainError;
use super::causes::{self, AS_TOLD, Facts};
use super::checks::{self, Base, KINDS, OUTCOMES};
use super::draft::Draft;
use super::hypothesis::Hypothesis;
use super::model::{Amounts, Model, Observed, SeenValue};
use super::posterior::{Posterior, posterior};
use super::priors::{self, TANK_WEIGHT};
use super::record::{Complaint, Record, Says};
use super::smc::{self, Replicate, SmcOptions};
use super::verdict::{CauseFound, Check, Outcome, Verdict};
use crate::Error;
use crate::circuit::{Circuit, nearest};
use crate::estimate::{Progress, Work};
use crate::numeric::share::share;
use crate::service::{Action, Event, Program, Undone};

/// How a diagnosis is made.
#[derive(Clone, Default)]
#[non_exhaustive]
pub struct DiagnoseOptions<'a> {
    /// How evidence is computed.
    pub smc: SmcOptions<'a>,
    /// Weights of causes in place of those of the complaint's table and of the record.
    pub priors: BTreeMap<String, f64>,
    /// Hypotheses besides the causes of the complaint.
    pub hypotheses: Vec<Hypothesis>,
    /// Leaves pairs of causes out.
    pub single: bool,
    /// Told about every replicate, and at the end about every cause, that is done.
    pub progress: Option<Progress<'a>>,
}

impl fmt::Debug for DiagnoseOptions<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("DiagnoseOptions")
            .field("smc", &self.smc)
            .field("priors", &self.priors)
            .field("hypotheses", &self.hypotheses)
            .field("single", &self.single)
            .finish_non_exhaustive()
    }
}

/// One hypothesis that is weighed.
pub(super) struct Entry {
    pub name: String,
    words: String,
    parts: Vec<String>,
    told: bool,
    weight: f64,
    pub draft: Draft,
    pub model: Model,
}

/// Replicates after which a hypothesis gets no more, and the probability below which that is so: its numerical error can
/// then move nothing that is read off the result.
const ROUNDS: [(usize, f64); 2] = [(2, 2e-4), (4, 0.01)];

/// Finds the causes of a record by their probabilities.
///
/// ```
/// use fillmark::circuit::Circuit;
/// use fillmark::infer::explain::{DiagnoseOptions, Record, diagnose};
/// let record = Record::loads(r#"
/// format = 1
/// complaint = "reads_over"
/// events = ["drain 10 min at 60 degC", "change filter", "pour 7.4 L with jug", "run 2 min", "rest 20 min"]
/// readings = [{ mm = "112 mm" }]
/// "#)?;
/// let verdict = diagnose(&Circuit::demo("shuttle-bus")?, &record, &DiagnoseOptions::default())?;
/// let all: f64 = verdict.causes().iter().map(|c| c.probability).sum();
/// assert!((all - 1.0).abs() < 1e-12);
/// # Ok::<(), fillmark::Error>(())
/// ```
pub fn diagnose(circuit: &Circuit, record: &Record, options: &DiagnoseOptions<'_>) -> Result<Verdict, Error> {
    options.smc.check()?;
    record.check()?;
    options.hypotheses.iter().try_for_each(Hypothesis::check)?;
    check_against(circuit, record)?;
    let undone = check_events(circuit, record)?;
    let (entries, not_applicable) = entries(circuit, record, options)?;
    let work = Work::new(entries.len() * (options.smc.replicates + 1), None, options.progress);
    let runs = run_all(&entries, &options.smc, &work)?;
    let wide = entries.iter().map(|e| extended(&e.draft, record)).collect::<Result<Vec<_>, _>>()?;
    let base = base(circuit, &entries[0].draft, &wide[0])?;
    let posteriors = posteriors(&entries, &wide, &runs, base, &options.smc, &work)?;
    let total: f64 = entries.iter().map(|e| e.weight).sum();
    let probabilities = probabilities(&entries, &runs);
    let mut do_not_start = undone.reasons();
    do_not_start.extend(forbidden(circuit, record, &probabilities, &posteriors));
    let checks = next_checks(record, &wide[0], &entries, &probabilities, &posteriors, &do_not_start);
    let evaluations = posteriors.iter().map(|p| p.evaluations).sum();
    let mut causes: Vec<CauseFound> = (entries.into_iter().zip(posteriors).zip(&runs))
        .zip(&probabilities)
        .map(|(((entry, posterior), runs), probability)| CauseFound {
            name: entry.name,
            words: entry.words,
            parts: entry.parts,
            told: entry.told,
            prior: entry.weight / total,
            probability: *probability,
            evidence: smc::pool(runs),
            bayes_factor_against: 1.0,
            prior_factor: 1.0,
            sizes: posterior.sizes,
            observations: posterior.observations,
            fit: posterior.fit,
            spans: posterior.spans,
            over_max: posterior.over_max,
        })
        .collect();
    rank(&mut causes);
    Ok(Verdict {
        circuit: circuit.clone(),
        record: record.clone(),
        causes,
        not_applicable,
        checks,
        do_not_start,
        evaluations,
        particles: options.smc.particles,
        replicates: options.smc.replicates,
        seed: options.smc.seed,
    })
}

/// Finds the causes of many records, each with its own options, on as many threads as there are; in order.
///
/// The first record, in order, that cannot be diagnosed is the error. `progress` is told about every record that is done.
pub fn diagnose_many(
    circuit: &Circuit,
    jobs: &[(Record, DiagnoseOptions<'_>)],
    progress: Option<Progress<'_>>,
) -> Result<Vec<Verdict>, Error> {
    let work = Work::new(jobs.len(), None, progress);
    let one = |i: usize| -> Result<Verdict, Error> {
        let found = diagnose(circuit, &jobs[i].0, &jobs[i].1)?;
        work.finished(1);
        Ok(found)
    };
    // The first goes ahead, on all threads: it prepares what the others need of the circuit, which each would prepare for itself.
    let first = jobs.first().map(|_| one(0)).transpose()?;
    let rest = share((1..jobs.len()).collect(), one);
    first.map(Ok).into_iter().chain(rest).collect()
}

/// Prior weight times evidence, over their sum.
fn probabilities(entries: &[Entry], runs: &[Vec<Replicate>]) -> Vec<f64> {
    let ln: Vec<f64> = runs.iter().map(|r| smc::pool(r).ln).collect();
    let highest = ln.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let joint: Vec<f64> = entries.iter().zip(&ln).map(|(e, l)| e.weight * (l - highest).exp()).collect();
    let sum: f64 = joint.iter().sum();
    joint.iter().map(|j| j / sum).collect()
}

fn rank(causes: &mut [CauseFound]) {
    causes.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    let Some((lead, leading)) = causes.first().map(|c| (c.evidence.ln, c.probability)) else { return };
    let next = causes.get(1).map_or(0.0, |c| c.probability);
    for (i, cause) in causes.iter_mut().enumerate() {
        cause.bayes_factor_against = (lead - cause.evidence.ln).exp();
        cause.prior_factor = leading / if i == 0 { next } else { cause.probability }.max(f64::MIN_POSITIVE);
    }
}

/// Refuses a record that cannot be of this circuit, or whose readings deny its complaint.
fn check_against(circuit: &Circuit, record: &Record) -> Result<(), Error> {
    let stick = circuit.layout().stick;
    let marks = [circuit.nominals()[stick.min], circuit.nominals()[stick.max]];
    let area = circuit.volume_per_blade()?;
    let blade = circuit.stick().length();
    let mut fractions = Vec::new();
    for (i, observed) in super::model::observations(record).iter().enumerate() {
        let Observed::Reading(seen) = observed else { continue };
        let fraction = match seen.value {
            SeenValue::Says(Says::Dry | Says::Under) => -1.0,
            SeenValue::Says(Says::Between) => 0.5,
            SeenValue::Says(Says::Over | Says::AboveBlade) => 2.0,
            value => {
                let along = Base::along_of(value, marks, area).unwrap_or(0.0);
                // The longest of the circuit's sticks may have been in.
                let longer = circuit.layout().sticks.iter().map(|(_, s)| circuit.nominals()[s.longer]);
                let longest = blade + longer.fold(0.0, f64::max);
                if along < -1e-3 || along > longest + 1e-3 {
                    let problem = format!(
                        "lies at {:.1} mm from the tip, off the blade of {:.1} mm; say says = \"dry\" or \"above_blade\"",
                        along * 1e3,
                        blade * 1e3
                    );
                    return Err(ExplainError::BadReading { reading: i, problem }.into());
                }
                (along - marks[0]) / (marks[1] - marks[0])
            }
        };
        fractions.push(fraction);
    }
    let denied = match record.complaint {
        Complaint::ReadsOver => fractions.iter().all(|f| *f <= 1.0).then_some("no reading lies above MAX"),
        Complaint::ReadsUnder => fractions.iter().all(|f| *f >= 1.0).then_some("no reading lies below MAX"),
        Complaint::Differs
            if record.readings.len() < 2 && !record.signs.contains_key(&super::Sign::SecondDipDiffers) =>
        {
            Some("there is one reading and no sign `second_dip_differs`")
        }
        _ => None,
    };
    match denied {
        Some(why) => {
            let problem = format!("it says that it {}, but {why}", record.complaint.words());
            Err(ExplainError::Contradiction { problem }.into())
        }
        None => Ok(()),
    }
}

/// The events as told must be possible; what they leave undone.
fn check_events(circuit: &Circuit, record: &Record) -> Result<Undone, Error> {
    let impossible = |e: Error| match e {
        Error::Service(e) => ExplainError::ImpossibleEvents { problem: e.to_string() }.into(),
        other => other,
    };
    let program = Program::compile(circuit, &record.events).map_err(impossible)?;
    let mut scratch = program.scratch(program.nominals())?;
    program.run(program.nominals(), &mut scratch, &mut Strict).map_err(|e| impossible(e.into()))?;
    Ok(program.undone(&record.events))
}

struct Strict;

impl crate::service::Recorder for Strict {
    fn misfit(&mut self, _misfit: crate::service::Misfit) -> crate::service::Bend {
        crate::service::Bend::Refuse
    }
}

pub(super) type Listed = (Vec<Entry>, Vec<(String, String)>);

/// Every hypothesis that applies, the events as told first; and those that do not, with why.
pub(super) fn entries(circuit: &Circuit, record: &Record, options: &DiagnoseOptions<'_>) -> Result<Listed, Error> {
    let facts = Facts::of(circuit)?;
    let told = record.told();
    let plain = Draft::new(circuit, &told);
    let mut weights: Vec<(&str, f64)> = priors::priors(record.complaint).to_vec();
    if record.tanked {
        weights.insert(weights.len() - 1, ("read late with a tank", TANK_WEIGHT));
    }
    let own: Vec<&Hypothesis> = (options.hypotheses.iter())
        .filter(|h| h.complaints.is_empty() || h.complaints.contains(&record.complaint))
        .collect();
    for (name, weight) in record.priors.iter().chain(&options.priors) {
        reweigh(&mut weights, &own, name, *weight)?;
    }
    let already = told_cause(record, &plain)?;
    let mut entries: Vec<Entry> = Vec::new();
    let mut unfit: Vec<(String, String)> = Vec::new();
    for (name, weight) in &weights {
        let Some(cause) = causes::find(name) else { continue };
        if already.is_some_and(|a| a == cause.name) {
            entries[0].weight += weight;
            continue;
        }
        let mut draft = plain.clone();
        let built = (cause.build)(&mut draft, facts).and_then(|()| fits(&draft, record));
        match built {
            Err(why) => unfit.push((cause.name.into(), why)),
            Ok(model) => entries.push(Entry {
                name: cause.name.into(),
                words: cause.words.into(),
                parts: vec![cause.name.into()],
                told: false,
                weight: *weight,
                draft,
                model,
            }),
        }
    }
    if let (Some(already), Some(first)) = (already, entries.first_mut()) {
        let words = causes::find(already).map_or("What was told leaves the level there by itself.", |c| c.words);
        first.name = already.into();
        first.parts = vec![already.into()];
        first.words = format!("{words} The events as told say so already.");
        first.told = true;
    }
    let own_weights = record.priors.iter().chain(&options.priors);
    for hypothesis in own {
        let mut draft = plain.clone();
        hypothesis.apply(&mut draft)?;
        let model = fits(&draft, record)
            .map_err(|problem| ExplainError::BadHypothesis { hypothesis: hypothesis.name.clone(), problem })?;
        let replaced = own_weights.clone().rfind(|(name, _)| **name == hypothesis.name);
        entries.push(Entry {
            name: hypothesis.name.clone(),
            words: hypothesis.note.clone(),
            parts: vec![hypothesis.name.clone()],
            told: false,
            weight: replaced.map_or(hypothesis.weight, |(_, w)| *w),
            draft,
            model,
        });
    }
    if !options.single {
        add_pairs(record, facts, &plain, &mut entries);
    }
    if entries.iter().all(|e| e.weight <= 0.0) {
        return Err(ExplainError::BadPrior { cause: "every cause".into(), value: 0.0 }.into());
    }
    // Ordinary scatter stays where it is, as what the others are compared with; of the others only those that may be.
    let first = entries.remove(0);
    entries.retain(|e| e.weight > 0.0);
    entries.insert(0, first);
    Ok((entries, unfit))
}

/// The edited events compiled, or why they cannot be carried out.
fn fits(draft: &Draft, record: &Record) -> Result<Model, String> {
    Model::new(draft, record, &[]).map_err(|e| e.to_string())
}

fn reweigh(weights: &mut Vec<(&str, f64)>, own: &[&Hypothesis], name: &str, weight: f64) -> Result<(), ExplainError> {
    if !weight.is_finite() || weight < 0.0 {
        return Err(ExplainError::BadPrior { cause: name.into(), value: weight });
    }
    if let Some(known) = weights.iter_mut().find(|(n, _)| *n == name) {
        known.1 = weight;
        return Ok(());
    }
    if let Some(cause) = causes::find(name) {
        weights.insert(weights.len() - 1, (cause.name, weight));
        return Ok(());
    }
    if own.iter().any(|h| h.name == name) {
        return Ok(());
    }
    let names = || causes::CAUSES.iter().map(|c| c.name).chain(own.iter().map(|h| h.name.as_str()));
    Err(ExplainError::UnknownCause {
        name: name.into(),
        nearest: nearest(name, names()),
        accepted: names().collect::<Vec<_>>().join(", "),
    })
}

/// Pairs of causes that both apply, as if they met by chance.
fn add_pairs(record: &Record, facts: Facts, plain: &Draft, entries: &mut Vec<Entry>) {
    let total: f64 = entries.iter().map(|e| e.weight).sum();
    for (a, b) in priors::pairs(record.complaint) {
        let weight = |name: &str| entries.iter().find(|e| e.name == *name && !e.told).map(|e| e.weight);
        let (Some(wa), Some(wb)) = (weight(a), weight(b)) else { continue };
        let (Some(one), Some(other)) = (causes::find(a), causes::find(b)) else { continue };
        let mut draft = plain.clone();
        let built = (one.build)(&mut draft, facts).and_then(|()| (other.build)(&mut draft, facts));
        if let Ok(model) = built.and_then(|()| fits(&draft, record)) {
            entries.push(Entry {
                name: format!("{a} + {b}"),
                words: format!("{} {}", one.words, other.words),
                parts: vec![(*a).into(), (*b).into()],
                told: false,
                weight: wa * wb / total.max(1e-12),
                draft,
                model,
            });
        }
    }
}

/// What a reading or level must be off by, in spans, for the events as told to count as its cause.
const OFF: f64 = 0.15;

/// The cause that the events as told are already, if they leave the level or the reading off by themselves.
fn told_cause(record: &Record, plain: &Draft) -> Result<Option<&'static str>, Error> {
    let model = extended(plain, record)?;
    let mut bench = model.bench()?;
    bench.run(&vec![0.0; model.dimensions()])?;
    let level = bench.seen().map_or(1.0, |s| s.spans);
    let readings: Vec<f64> = (0..record.readings.len()).map(|i| bench.reading(i, 1.0).fraction).collect();
    let sloping = |e: &Event| e.attitude.is_some();
    let sloped = plain.events.iter().any(|(_, e)| super::record::is_read(e) && sloping(e));
    let found = match record.complaint {
        Complaint::ReadsOver if level > 1.0 + OFF => Some(poured_over(plain)),
        Complaint::ReadsOver if sloped && readings.iter().any(|f| *f > level + OFF) => Some("read on a slope"),
        Complaint::ReadsUnder if level < 1.0 - 2.0 * OFF => Some(AS_TOLD),
        Complaint::ReadsUnder if readings.iter().any(|f| *f < level - OFF) => {
            Some(if sloped { "read on a slope" } else { "read too soon" })
        }
        Complaint::Rises | Complaint::Falls if (level - 1.0).abs() > 2.0 * OFF => Some(AS_TOLD),
        Complaint::Differs => {
            let (low, high) = readings.iter().fold((f64::MAX, f64::MIN), |(l, h), f| (l.min(*f), h.max(*f)));
            (high - low > OFF).then_some(if sloped { "read on a slope" } else { "read too soon" })
        }
        _ => None,
    };
    Ok(found)
}

/// Which cause it is that more was poured than fits, by what is told.
fn poured_over(plain: &Draft) -> &'static str {
    let read = plain.find(|a| matches!(a, Action::Read(_))).unwrap_or(usize::MAX);
    let later = plain.events.iter().skip(read.saturating_add(1)).any(|(_, e)| matches!(e.action, Action::Pour { .. }));
    let drained = plain.find(|a| matches!(a, Action::Drain { .. } | Action::OpenPlug { .. } | Action::Withdraw { .. }));
    let primed = plain.find(|a| match a {
        Action::ChangeFilter { primed, .. } | Action::FitFilter { primed, .. } => primed.nominal() > 0.0,
        _ => false,
    });
    let changed = plain.find(|a| matches!(a, Action::ChangeFilter { .. } | Action::FitFilter { .. }));
    if later {
        "read early, then topped up"
    } else if drained.is_none() {
        "not drained"
    } else if primed.is_some() {
        "prefill counted twice"
    } else if changed.is_none() && plain.circuit.layout().filter.is_some() {
        "filter kept"
    } else {
        AS_TOLD
    }
}

/// The model with the readings of later checks appended; without the run where the engine cannot be run.
pub(super) fn extended(draft: &Draft, record: &Record) -> Result<Model, Error> {
    let wait = draft.circuit.nominals()[draft.circuit.layout().reference_wait];
    let build = |with_run| Model::new(draft, record, &checks::appended(wait, with_run));
    build(true).or_else(|_| build(false))
}

/// Replicates of every hypothesis, all that are asked for of those that they may matter for; judged after fixed rounds, so
/// that threads change nothing. One that is not needed counts as done.
fn run_all(entries: &[Entry], options: &SmcOptions<'_>, work: &Work<'_>) -> Result<Vec<Vec<Replicate>>, Error> {
    let one = |(m, r): (usize, usize)| -> Result<Replicate, Error> {
        options.check_stopped()?;
        let model = &entries[m].model;
        let mut bench = model.bench()?;
        let replicate = smc::replicate(&mut bench, model.dimensions(), &entries[m].name, r, options)?;
        work.finished(1);
        Ok(replicate)
    };
    let mut done: Vec<Vec<Replicate>> = entries.iter().map(|_| Vec::new()).collect();
    let mut wanted: Vec<usize> = (0..entries.len()).collect();
    let rounds = ROUNDS.into_iter().filter(|(upto, _)| *upto < options.replicates);
    for (upto, least) in rounds.chain([(options.replicates, 0.0)]) {
        let tasks: Vec<(usize, usize)> =
            wanted.iter().flat_map(|m| (done[*m].len()..upto).map(move |r| (*m, r))).collect();
        for ((m, _), run) in tasks.iter().zip(share(tasks.clone(), one)) {
            done[*m].push(run?);
        }
        let probabilities = probabilities(entries, &done);
        // Where nothing is possible yet there is no number to judge by.
        wanted.retain(|m| {
            let dropped = probabilities[*m] < least;
            if dropped {
                work.finished(options.replicates - done[*m].len());
            }
            !dropped
        });
    }
    Ok(done)
}

fn posteriors(
    entries: &[Entry],
    models: &[Model],
    runs: &[Vec<Replicate>],
    base: Base,
    options: &SmcOptions<'_>,
    work: &Work<'_>,
) -> Result<Vec<Posterior>, Error> {
    let one = |m: usize| -> Result<Posterior, Error> {
        let found = posterior(&models[m], &runs[m], &entries[m].name, base, options)?;
        work.finished(1);
        Ok(found)
    };
    share((0..models.len()).collect(), one).into_iter().collect()
}

/// What the outcomes of checks are judged against: the last reading, and what came out and went in as told.
pub(super) fn base(circuit: &Circuit, plain: &Draft, model: &Model) -> Result<Base, Error> {
    let stick = circuit.layout().stick;
    let marks = [circuit.nominals()[stick.min], circuit.nominals()[stick.max]];
    let last = plain.last_reading().and_then(|place| plain.events[place].1.label.clone());
    let reading = plain.labels.iter().position(|l| Some(l) == last.as_ref()).unwrap_or(0);
    let area = circuit.volume_per_blade()?;
    let along = match model.observed().get(reading) {
        Some(Observed::Reading(seen)) => Base::along_of(seen.value, marks, area),
        _ => None,
    };
    let mut bench = model.bench()?;
    bench.run(&vec![0.0; model.dimensions()])?;
    let told = [Amounts::Drained, Amounts::Poured].map(|what| bench.amount(what));
    Ok(Base { reading, along, span: marks[1] - marks[0], span_volume: Facts::of(circuit)?.span, told })
}

/// Risk above which nothing is started: the static hot level reaching the crank, or far over MAX with the gap unknown.
const RISK: f64 = 0.01;
/// Probability of standing over MAX above which nothing is started or moved for a check.
const OVERFULL_RISK: f64 = 0.05;
/// Probability of fuel or coolant in the oil above which nothing is started.
const FOREIGN_RISK: f64 = 0.05;

/// What signs and probabilities forbid a start.
fn forbidden(circuit: &Circuit, record: &Record, probabilities: &[f64], posteriors: &[Posterior]) -> Vec<String> {
    let mean = |of: &dyn Fn(&Posterior) -> f64| -> f64 {
        probabilities.iter().zip(posteriors).map(|(p, posterior)| p * of(posterior)).sum()
    };
    let percent = |p: f64| format!("{:.0} %", p * 1e2);
    let mut reasons = Vec::new();
    let seen = |sign| record.signs.get(&sign).copied().unwrap_or(false);
    if seen(super::Sign::Milky) {
        reasons.push("the oil looks milky".into());
    }
    if seen(super::Sign::FuelSmell) {
        reasons.push("the oil smells of fuel".into());
    }
    if seen(super::Sign::OilOnFloor) {
        reasons.push("oil is on the floor: find where it comes from first".into());
    }
    let crank = mean(&|p| p.reaches_crank);
    if crank > RISK {
        let what = match circuit.spec().crank {
            Some(_) => "the static hot level reaches the crank's path",
            None => "it stands more than 0.5 span over MAX, with no gap to a crank stated,",
        };
        reasons.push(format!("{what} with a probability of {}", percent(crank)));
    }
    let foreign = mean(&|p| p.foreign);
    if foreign > FOREIGN_RISK {
        reasons
            .push(format!("fuel beyond the limit or coolant is in the oil with a probability of {}", percent(foreign)));
    }
    let below = mean(&|p| p.below_min);
    if below > 0.05 {
        reasons.push(format!("the true level is below MIN with a probability of {}", percent(below)));
    }
    reasons
}

/// Every check with what it would tell, the most telling first; what forbids a start blocks what starts or moves.
fn next_checks(
    record: &Record,
    model: &Model,
    entries: &[Entry],
    probabilities: &[f64],
    posteriors: &[Posterior],
    do_not_start: &[String],
) -> Vec<Check> {
    let mut found: Vec<Check> = Vec::new();
    let overfull: f64 = probabilities.iter().zip(posteriors).map(|(p, posterior)| p * posterior.overfull).sum();
    let mut reasons = do_not_start.to_vec();
    if overfull > OVERFULL_RISK {
        let percent = format!("{:.0} %", overfull * 1e2);
        reasons.push(format!(
            "it stands over MAX with a probability of {percent}; nothing is started or moved to test an overfull engine"
        ));
    }
    for (k, kind) in KINDS.iter().enumerate().filter(|(_, kind)| kind.is_offered(record, model)) {
        let of = |(entry, posterior): (&Entry, &Posterior)| match kind.ask {
            checks::Ask::Answer(question) => question.answers(&entry.parts),
            _ => posterior.outcomes[k],
        };
        let outcomes: Vec<[f64; OUTCOMES]> = entries.iter().zip(posteriors).map(of).collect();
        let forbidden = matches!(kind.need, checks::Need::Move | checks::Need::Start);
        let blocked = (forbidden && !reasons.is_empty()).then(|| reasons.join("; "));
        let told = |o: usize| outcome(kind.outcomes[o], o, entries, probabilities, &outcomes);
        found.push(Check {
            name: kind.name,
            words: kind.words,
            need: kind.need,
            bits: checks::information(probabilities, &outcomes),
            outcomes: (0..kind.outcomes.len()).map(told).collect(),
            blocked,
        });
    }
    found.sort_by(|a, b| b.bits.total_cmp(&a.bits));
    found
}

fn outcome(
    words: &'static str,
    o: usize,
    entries: &[Entry],
    probabilities: &[f64],
    outcomes: &[[f64; OUTCOMES]],
) -> Outcome {
    let joint: Vec<f64> = probabilities.iter().zip(outcomes).map(|(p, of)| p * of[o]).collect();
    let probability: f64 = joint.iter().sum();
    let lead = (0..joint.len()).max_by(|a, b| joint[*a].total_cmp(&joint[*b])).unwrap_or(0);
    Outcome {
        words,
        probability,
        cause: entries[lead].name.clone(),
        cause_probability: if probability > 0.0 { joint[lead] / probability } else { 0.0 },
    }
}
