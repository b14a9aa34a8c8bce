//! Diagnoses for Python.

use std::collections::BTreeMap;
use std::sync::Arc;

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

use super::super::arrays::{Column, ToArray, texts};
use super::super::circuit::Circuit;
use super::super::detach::run_reporting;
use super::super::errors;
use super::super::estimate::counts;
use super::super::model::Progress;
use super::super::rebuild::{reduce_call, reduce_part};
use super::super::text::FilePath;
use super::hypothesis::Hypothesis;
use super::record::{Record, known_complaint};
use crate::Error;
use crate::infer::explain::{
    CauseFound, Check as CoreCheck, DiagnoseOptions, ExplainError, Verdict as Core,
    diagnose_many as core_diagnose_many, priors,
};

/// Finds the causes of a record by their probabilities.
///
/// Every cause is an edit of the events as told, with a prior on its size, compiled into one program; its evidence comes from
/// tempered sequential Monte Carlo, its error from independent replicates. Ordinary scatter and none of these always compete. The
/// same seed gives the same bits for any number of threads.
///
/// Parameters
/// ----------
/// circuit : Circuit
///     What the record is about.
/// record : Record
///     What is known.
/// priors : dict, optional
///     Weights of causes in place of those of `cause_priors`, which sum to 100.
/// hypotheses : sequence of Hypothesis, optional
///     Causes of one's own, besides those of the complaint.
/// pairs : bool
///     Whether plausible pairs of causes compete as well.
/// particles : int
///     Particles of a replicate, 16 to 1 million.
/// replicates : int
///     Independent replicates, 2 to 10 000. A cause whose probability is below 0.0002 after two of them, or below 0.01 after four, gets no more: its
///     numerical error can move nothing then.
/// seed : int
///     Seed of every stream, 0 to 2**64 - 1.
/// progress : callable, optional
///     Is called with the number of replicates done, of all causes, and how many there are; `ProgressLine` shows them.
///
/// Returns
/// -------
/// Verdict
///     Causes, what speaks for them, what to check next. It assigns causes, never fault.
///
/// Raises
/// ------
/// ExplainError
///     If the record contradicts itself, its circuit or its complaint; if the events as told cannot be; if a weight, a hypothesis or an
///     option is none.
/// EstimateError
///     If an attitude is stated with an uncertainty.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> service = [fm.Drain(minutes=10), fm.ChangeFilter(), fm.Pour(7.4), fm.Run(minutes=1), fm.Rest(minutes=20)]
/// >>> record = fm.Record(service, [119.0], complaint="reads_over", drained_l="6.2(1) L")
/// >>> verdict = fm.diagnose(fm.Circuit.demo("shuttle-bus"), record)
/// >>> verdict.causes[0].name
/// 'poor drain'
#[pyfunction]
#[pyo3(signature = (circuit, record, *, priors=None, hypotheses=None, pairs=true, particles=128, replicates=8, seed=1, progress=None))]
#[allow(clippy::too_many_arguments)] // keyword-only in Python
pub(in super::super) fn diagnose(
    py: Python<'_>,
    circuit: &Bound<'_, Circuit>,
    record: &Bound<'_, Record>,
    priors: Option<BTreeMap<String, f64>>,
    hypotheses: Option<Vec<Py<Hypothesis>>>,
    pairs: bool,
    particles: i64,
    replicates: i64,
    seed: i128,
    progress: Option<Progress<'_>>,
) -> PyResult<Verdict> {
    let wanted = Wanted { priors: priors.unwrap_or_default(), hypotheses, pairs, particles, replicates, seed };
    let mut found = run(py, circuit, std::slice::from_ref(record), &wanted, Told::Replicates(progress.as_ref()))?;
    found.pop().ok_or_else(|| errors::internal("one record gave no verdict"))
}

/// Finds the causes of many records, as `diagnose` does of one.
///
/// Parameters
/// ----------
/// circuit : Circuit
///     What the records are about.
/// records : sequence of Record, or dict of str to sequence
///     Records, or the columns of a table as `Record.from_table` takes them.
/// priors : dict of str to float, optional
///     As in `diagnose`.
/// hypotheses : sequence of Hypothesis, optional
///     As in `diagnose`.
/// pairs : bool, default True
///     As in `diagnose`.
/// particles, replicates : int
///     As in `diagnose`.
/// seed : int
///     As in `diagnose`; every record gets the same.
/// progress : callable, optional
///     Is called with the number of records done and their number; `ProgressLine` shows them.
///
/// Returns
/// -------
/// list of Verdict
///     One for each record.
///
/// Raises
/// ------
/// ExplainError
///     As `diagnose`.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> table = {
/// ...     "record": ["A", "A", "B", "B"],
/// ...     "complaint": ["reads_over"] * 4,
/// ...     "event": ["drain 10 min", "pour 7.4 L", "drain 10 min", "pour 7.4 L"],
/// ...     "reading_mm": [None, 122.0, None, 113.0],
/// ... }
/// >>> len(fm.diagnose_many(fm.Circuit.demo("shuttle-bus"), table, particles=32, replicates=2))
/// 2
#[pyfunction]
#[pyo3(signature = (circuit, records, *, priors=None, hypotheses=None, pairs=true, particles=128, replicates=8, seed=1, progress=None))]
#[allow(clippy::too_many_arguments)] // keyword-only in Python
pub(in super::super) fn diagnose_many(
    py: Python<'_>,
    circuit: &Bound<'_, Circuit>,
    records: Bound<'_, PyAny>,
    priors: Option<BTreeMap<String, f64>>,
    hypotheses: Option<Vec<Py<Hypothesis>>>,
    pairs: bool,
    particles: i64,
    replicates: i64,
    seed: i128,
    progress: Option<Progress<'_>>,
) -> PyResult<Vec<Verdict>> {
    let wanted = Wanted { priors: priors.unwrap_or_default(), hypotheses, pairs, particles, replicates, seed };
    let records: Vec<Bound<'_, Record>> = if records.is_instance_of::<PyDict>() {
        let made = py.get_type::<Record>().call_method1("from_table", (records,))?;
        made.try_iter()?.map(|r| Ok(r?.cast_into::<Record>()?)).collect::<PyResult<_>>()?
    } else {
        records.try_iter()?.map(|r| Ok(r?.cast_into::<Record>()?)).collect::<PyResult<_>>()?
    };
    run(py, circuit, &records, &wanted, Told::Records(progress.as_ref()))
}

struct Wanted {
    priors: BTreeMap<String, f64>,
    hypotheses: Option<Vec<Py<Hypothesis>>>,
    pairs: bool,
    particles: i64,
    replicates: i64,
    seed: i128,
}

impl Wanted {
    /// The keywords that make the same diagnosis again.
    fn keywords<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let keywords = PyDict::new(py);
        keywords.set_item("priors", &self.priors)?;
        keywords.set_item(
            "hypotheses",
            self.hypotheses.as_ref().map(|h| h.iter().map(|h| h.clone_ref(py)).collect::<Vec<_>>()),
        )?;
        keywords.set_item("pairs", self.pairs)?;
        keywords.set_item("particles", self.particles)?;
        keywords.set_item("replicates", self.replicates)?;
        keywords.set_item("seed", self.seed)?;
        Ok(keywords)
    }
}

/// Who is told how far the work is, and what is counted.
#[derive(Clone, Copy)]
enum Told<'a, 'py> {
    /// Replicates of causes, and at the end causes.
    Replicates(Option<&'a Progress<'py>>),
    /// Records.
    Records(Option<&'a Progress<'py>>),
}

fn run(
    py: Python<'_>,
    circuit: &Bound<'_, Circuit>,
    records: &[Bound<'_, Record>],
    wanted: &Wanted,
    told: Told<'_, '_>,
) -> PyResult<Vec<Verdict>> {
    let (particles, seed) = counts(wanted.particles, wanted.seed)?;
    let (replicates, _) = counts(wanted.replicates, wanted.seed)?;
    let mut jobs = Vec::with_capacity(records.len());
    for record in records {
        let record = record.get().inner.clone();
        let told = record.events_as_read();
        let own = wanted.hypotheses.iter().flatten().map(|h| h.get().made(py, &told)).collect::<PyResult<Vec<_>>>()?;
        jobs.push((record, own));
    }
    let core = circuit.get().inner.clone();
    let (weights, single) = (wanted.priors.clone(), !wanted.pairs);
    let (progress, by_record) = match told {
        Told::Replicates(progress) => (progress, false),
        Told::Records(progress) => (progress, true),
    };
    let found = run_reporting(py, progress.map(|p| &p.0), move |stop, report| -> Result<Vec<Core>, Error> {
        let jobs: Vec<_> = jobs
            .into_iter()
            .map(|(record, hypotheses)| {
                let mut options = DiagnoseOptions::default();
                options.smc = options.smc.particles(particles).replicates(replicates).seed(seed);
                options.smc.stop = Some(stop);
                options.progress = (!by_record).then_some(report);
                options.priors.clone_from(&weights);
                options.hypotheses = hypotheses;
                options.single = single;
                (record, options)
            })
            .collect();
        core_diagnose_many(&core, &jobs, by_record.then_some(report))
    })?;
    found
        .into_iter()
        .zip(records)
        .map(|(inner, record)| {
            let made = wanted.keywords(py)?;
            made.set_item("circuit", circuit)?;
            made.set_item("record", record)?;
            let (circuit, record) = (circuit.clone().unbind(), record.clone().unbind());
            Ok(Verdict { inner: Arc::new(inner), circuit, record, made: made.unbind() })
        })
        .collect()
}

/// Weights of the causes of a complaint before anything was read; judgement, for teaching.
///
/// Parameters
/// ----------
/// complaint : str
///     ``reads_over``, ``reads_under``, ``rises``, ``falls`` or ``differs``.
///
/// Returns
/// -------
/// dict of str to float
///     They sum to 100. No shares of causes are published: all of it is judgement, and may be replaced.
///
/// Raises
/// ------
/// ExplainError
///     If there is no such complaint.
///
/// Examples
/// --------
/// >>> import fillmark as fm
/// >>> sum(fm.cause_priors("reads_over").values())
/// 100.0
#[pyfunction]
pub(in super::super) fn cause_priors<'py>(py: Python<'py>, complaint: &str) -> PyResult<Bound<'py, PyDict>> {
    let known = known_complaint(complaint).map_err(|problem| {
        errors::to_py(ExplainError::BadObservation { field: "complaint".into(), value: complaint.into(), problem })
    })?;
    let table = PyDict::new(py);
    priors(known).iter().try_for_each(|(name, weight)| table.set_item(name, weight))?;
    Ok(table)
}

/// What a diagnosis found: causes by probability, what speaks for them, what to check next. Made by `diagnose`.
#[pyclass(frozen, eq, module = "fillmark")]
pub(in super::super) struct Verdict {
    inner: Arc<Core>,
    circuit: Py<Circuit>,
    record: Py<Record>,
    /// The keywords it was made with.
    made: Py<PyDict>,
}

impl PartialEq for Verdict {
    fn eq(&self, other: &Self) -> bool {
        self.inner == other.inner
    }
}

#[pymethods]
impl Verdict {
    /// The circuit.
    #[getter]
    fn circuit(&self, py: Python<'_>) -> Py<Circuit> {
        self.circuit.clone_ref(py)
    }

    /// The record.
    #[getter]
    fn record(&self, py: Python<'_>) -> Py<Record> {
        self.record.clone_ref(py)
    }

    /// Every cause that was weighed, the most probable first.
    #[getter]
    fn causes(slf: &Bound<'_, Self>) -> Vec<Cause> {
        let core = &slf.get().inner;
        (0..core.causes().len())
            .map(|index| Cause { owner: slf.clone().unbind(), inner: Arc::clone(core), index })
            .collect()
    }

    /// Probability that a cause is at work, alone or in a pair.
    ///
    /// Parameters
    /// ----------
    /// cause : str
    ///     Its name.
    ///
    /// Returns
    /// -------
    /// float
    ///     0 where it was not weighed.
    fn probability_of(&self, cause: &str) -> f64 {
        self.inner.probability_of(cause)
    }

    /// Checks that may be done now, the most telling first.
    #[getter]
    fn next_checks(slf: &Bound<'_, Self>) -> Vec<Check> {
        Check::all(slf, "next_checks", &slf.get().inner.next_checks())
    }

    /// Checks that would tell something but may not be done now.
    #[getter]
    fn blocked_checks(slf: &Bound<'_, Self>) -> Vec<Check> {
        Check::all(slf, "blocked_checks", &slf.get().inner.blocked_checks())
    }

    /// Why nothing may be started or moved; empty where nothing forbids it.
    ///
    /// What the record's events leave undone (a plug open, no filter fitted, a leak or an ingress going on) comes first, in the words of
    /// `assess`.
    #[getter]
    fn do_not_start(&self) -> Vec<String> {
        self.inner.do_not_start().to_vec()
    }

    /// Whether the data tell.
    ///
    /// They do where the leading cause has at least half of the probability, three times that of the next, it fits, and every
    /// look-alike is a pair of which it is part.
    #[getter]
    fn is_settled(&self) -> bool {
        self.inner.is_settled()
    }

    /// Causes that these data do not tell from the leading one: a Bayes factor below 3 either way, and 5 % or more of the probability.
    #[getter]
    fn look_alikes(&self) -> Vec<String> {
        self.inner.look_alikes().iter().map(ToString::to_string).collect()
    }

    /// What it comes to, in a sentence.
    #[getter]
    fn conclusion(&self) -> String {
        self.inner.conclusion()
    }

    /// Causes that cannot be for these events, with why; their weights went to the others in proportion.
    #[getter]
    fn not_applicable(&self) -> BTreeMap<String, String> {
        self.inner.not_applicable().iter().cloned().collect()
    }

    /// What rests on judgement.
    #[getter]
    fn judgement(&self) -> &'static str {
        self.inner.judgement()
    }

    /// Cautions to print with the verdict.
    #[getter]
    fn cautions(&self) -> Vec<&'static str> {
        self.inner.cautions()
    }

    /// Seed of the streams.
    #[getter]
    fn seed(&self) -> u64 {
        self.inner.sampling().2
    }

    /// Runs of the model that it took.
    #[getter]
    fn evaluations(&self) -> usize {
        self.inner.evaluations()
    }

    /// One entry per cause.
    ///
    /// Returns
    /// -------
    /// dict of str to numpy.ndarray
    ///     ``name``, ``probability``, ``prior``, ``ln_evidence``, ``standard_error``, ``bayes_factor_against`` (of the leading cause),
    ///     ``prior_factor`` (by which the priors' odds must move for the cause to lead), ``fit``, ``spans``, ``over_max``.
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let columns = PyDict::new(py);
        let causes = self.inner.causes();
        let names: Vec<&str> = causes.iter().map(|c| c.name.as_str()).collect();
        columns.set_item("name", texts(py, names)?)?;
        let put = |name: &str, of: &dyn Fn(&CauseFound) -> f64| {
            columns.set_item(name, causes.iter().map(of).collect::<Vec<_>>().array(py)?)
        };
        put("probability", &|c| c.probability)?;
        put("prior", &|c| c.prior)?;
        put("ln_evidence", &|c| c.evidence.ln)?;
        put("standard_error", &|c| c.evidence.standard_error)?;
        put("bayes_factor_against", &|c| c.bayes_factor_against)?;
        put("prior_factor", &|c| c.prior_factor)?;
        put("fit", &|c| c.fit)?;
        put("spans", &|c| c.spans.0)?;
        put("over_max", &|c| c.over_max)?;
        Ok(columns)
    }

    /// The verdict as one self-contained page of HTML, for screen and print, without scripts or a network.
    ///
    /// Returns
    /// -------
    /// str
    ///     Inputs, ledger, waterfall, causes, checks, cautions, what is judgement, version, hash of the inputs and seed.
    fn to_card(slf: &Bound<'_, Self>) -> PyResult<String> {
        slf.py().import("fillmark._card")?.call_method1("card", (slf,))?.extract()
    }

    /// Writes the page of `to_card` to a file.
    ///
    /// Parameters
    /// ----------
    /// path : path-like
    ///     The file, which is replaced.
    ///
    /// Raises
    /// ------
    /// OSError
    ///     If it cannot be written.
    fn save_card(slf: &Bound<'_, Self>, path: FilePath) -> PyResult<()> {
        Ok(std::fs::write(path.0, Self::to_card(slf)?)?)
    }

    fn __str__(&self) -> String {
        self.inner.to_string().trim_end().to_owned()
    }

    fn __repr__(&self) -> String {
        format!("<verdict on {:?}: {}>", self.inner.record().name, self.inner.conclusion())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        reduce_call(py, "diagnose", self.made.bind(py).copy()?)
    }
}

/// One cause with its probability. Made by `diagnose`.
#[pyclass(frozen, eq, module = "fillmark")]
pub(in super::super) struct Cause {
    owner: Py<Verdict>,
    inner: Arc<Core>,
    index: usize,
}

impl PartialEq for Cause {
    fn eq(&self, other: &Self) -> bool {
        self.core() == other.core()
    }
}

impl Cause {
    fn core(&self) -> &CauseFound {
        &self.inner.causes()[self.index]
    }
}

#[pymethods]
impl Cause {
    /// What it is called; of a pair both names.
    #[getter]
    fn name(&self) -> &str {
        &self.core().name
    }

    /// What it means.
    #[getter]
    fn words(&self) -> &str {
        &self.core().words
    }

    /// Causes it consists of: one, or two.
    #[getter]
    fn parts(&self) -> Vec<String> {
        self.core().parts.clone()
    }

    /// Whether the events as told are this cause already.
    #[getter]
    fn told(&self) -> bool {
        self.core().told
    }

    /// Probability before anything was read.
    #[getter]
    fn prior(&self) -> f64 {
        self.core().prior
    }

    /// Probability now, among these causes.
    #[getter]
    fn probability(&self) -> f64 {
        self.core().probability
    }

    /// Natural logarithm of its evidence.
    #[getter]
    fn ln_evidence(&self) -> f64 {
        self.core().evidence.ln
    }

    /// Numerical standard error of that logarithm.
    #[getter]
    fn standard_error(&self) -> f64 {
        self.core().evidence.standard_error
    }

    /// Bayes factor of the leading cause against this one.
    #[getter]
    fn bayes_factor_against(&self) -> f64 {
        self.core().bayes_factor_against
    }

    /// Factor by which the odds of the priors would have to move for this cause to lead; for the leading one, to lead no more.
    #[getter]
    fn prior_factor(&self) -> f64 {
        self.core().prior_factor
    }

    /// Posterior predictive probability of data that fit at most as well; below 0.01 the cause does not explain them.
    #[getter]
    fn fit(&self) -> f64 {
        self.core().fit
    }

    /// True level in spans, drained back (0 at MIN, 1 at MAX): mean and standard deviation.
    #[getter]
    fn spans(&self) -> (f64, f64) {
        self.core().spans
    }

    /// Probability of being over MAX if this is the cause.
    #[getter]
    fn over_max(&self) -> f64 {
        self.core().over_max
    }

    /// Sizes it leaves open, a row for each.
    ///
    /// Columns ``name``, ``unit``, ``mean``, ``standard_uncertainty``, ``low``, ``high`` (95 %), ``prior_low``, ``prior_high``, and
    /// ``quantiles``, a list of each one's posterior quantiles at 0.025, 0.050, ... 0.975.
    #[getter]
    fn sizes<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let sizes = &self.core().sizes;
        let columns = PyDict::new(py);
        columns.set_item("name", texts(py, sizes.iter().map(|s| s.name.as_str()).collect())?)?;
        columns.set_item("unit", texts(py, sizes.iter().map(|s| s.unit).collect())?)?;
        let put = |name: &str, of: &dyn Fn(usize) -> f64| {
            columns.set_item(name, (0..sizes.len()).map(of).collect::<Vec<_>>().array(py)?)
        };
        put("mean", &|i| sizes[i].mean)?;
        put("standard_uncertainty", &|i| sizes[i].standard_uncertainty)?;
        put("low", &|i| sizes[i].interval.0)?;
        put("high", &|i| sizes[i].interval.1)?;
        put("prior_low", &|i| sizes[i].prior_interval.0)?;
        put("prior_high", &|i| sizes[i].prior_interval.1)?;
        let quantiles = sizes.iter().map(|s| Column(s.quantiles.clone())).collect::<Vec<_>>();
        columns.set_item("quantiles", quantiles)?;
        Ok(columns)
    }

    /// Every observation beside what the cause predicts, a row for each.
    ///
    /// Columns ``what``, ``seen``, ``unit``, ``value``, ``predicted``, ``standard_uncertainty``, ``tail`` (probability of
    /// something at least as far out, or of the sign that was seen), ``ln_factor_of_leading`` (how much it spoke for the
    /// leading cause against this one).
    #[getter]
    fn observations<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let seen = &self.core().observations;
        let columns = PyDict::new(py);
        columns.set_item("what", texts(py, seen.iter().map(|o| o.what.as_str()).collect())?)?;
        columns.set_item("seen", texts(py, seen.iter().map(|o| o.seen.as_str()).collect())?)?;
        columns.set_item("unit", texts(py, seen.iter().map(|o| o.unit).collect())?)?;
        let put = |name: &str, of: &dyn Fn(usize) -> f64| {
            columns.set_item(name, (0..seen.len()).map(of).collect::<Vec<_>>().array(py)?)
        };
        put("value", &|i| seen[i].value.unwrap_or(f64::NAN))?;
        put("predicted", &|i| seen[i].predicted)?;
        put("standard_uncertainty", &|i| seen[i].standard_uncertainty)?;
        put("tail", &|i| seen[i].tail)?;
        put("ln_factor_of_leading", &|i| self.inner.ln_factor(i, self.index).unwrap_or(0.0))?;
        Ok(columns)
    }

    fn __repr__(&self) -> String {
        format!("<cause {:?}: {:.1} %>", self.core().name, self.core().probability * 1e2)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        reduce_part(py, self.owner.bind(py).as_any(), "causes", Some(self.index))
    }
}

/// A check that a person may do, with what it would tell. Made by `diagnose`.
#[pyclass(frozen, eq, module = "fillmark")]
pub(in super::super) struct Check {
    owner: Py<Verdict>,
    list: &'static str,
    index: usize,
    core: CoreCheck,
}

impl PartialEq for Check {
    fn eq(&self, other: &Self) -> bool {
        self.core == other.core
    }
}

impl Check {
    fn all(owner: &Bound<'_, Verdict>, list: &'static str, checks: &[&CoreCheck]) -> Vec<Self> {
        let one = |(index, check): (usize, &&CoreCheck)| Self {
            owner: owner.clone().unbind(),
            list,
            index,
            core: (*check).clone(),
        };
        checks.iter().enumerate().map(one).collect()
    }
}

#[pymethods]
impl Check {
    /// Short name.
    #[getter]
    fn name(&self) -> &'static str {
        self.core.name
    }

    /// What to do.
    #[getter]
    fn words(&self) -> &'static str {
        self.core.words
    }

    /// What must hold before it.
    #[getter]
    fn precondition(&self) -> &'static str {
        self.core.need.words()
    }

    /// Whether it starts the engine or moves the vehicle.
    #[getter]
    fn starts_or_moves(&self) -> bool {
        use crate::infer::explain::Need;
        matches!(self.core.need, Need::Start | Need::Move)
    }

    /// Expected information about the cause [bit].
    #[getter]
    fn bits(&self) -> f64 {
        self.core.bits
    }

    /// Why it may not be done now, if it may not.
    #[getter]
    fn blocked(&self) -> Option<&str> {
        self.core.blocked.as_deref()
    }

    /// What each outcome would mean: columns ``outcome``, ``probability``, ``cause`` (that would lead then), ``cause_probability``.
    #[getter]
    fn outcomes<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let outcomes = &self.core.outcomes;
        let columns = PyDict::new(py);
        columns.set_item("outcome", texts(py, outcomes.iter().map(|o| o.words).collect())?)?;
        columns.set_item("probability", outcomes.iter().map(|o| o.probability).collect::<Vec<_>>().array(py)?)?;
        columns.set_item("cause", texts(py, outcomes.iter().map(|o| o.cause.as_str()).collect())?)?;
        let then = outcomes.iter().map(|o| o.cause_probability).collect::<Vec<_>>();
        columns.set_item("cause_probability", then.array(py)?)?;
        Ok(columns)
    }

    fn __repr__(&self) -> String {
        format!("<check {:?}: {:.2} bit>", self.core.name, self.core.bits)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        reduce_part(py, self.owner.bind(py).as_any(), self.list, Some(self.index))
    }
}
