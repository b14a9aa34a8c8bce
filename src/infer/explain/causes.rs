//! The causes of a wrong level as edits of the events as told, with priors on their sizes.
//!
//! Every size below is judgement: nobody has published how much goes wrong in a workshop. Sizes scale with the circuit's
//! charge and span, so that they hold for a gearbox and a ship's engine alike.

use super::draft::{At, Draft, How, Unfit};
use crate::circuit::Circuit;
use crate::circuit::spec::ValveSpec;
use crate::service::{Action, Amount, Event, Foreign, When};
use crate::units::{Distribution, Value};

/// What sizes scale with.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Facts {
    /// Charge at MAX, filter included (m3).
    pub charge: f64,
    /// MIN to MAX (m3).
    pub span: f64,
    /// Length of the blade (m).
    pub blade: f64,
}

impl Facts {
    pub(crate) fn of(circuit: &Circuit) -> Result<Self, crate::Error> {
        let [min, max] = circuit.volumes_at_marks()?;
        let filter = circuit.layout().filter.map_or(0.0, |f| circuit.nominals()[f.net_volume]);
        Ok(Self { charge: max + filter, span: max - min, blade: circuit.stick().length() })
    }
}

/// One cause.
pub(crate) struct Cause {
    pub name: &'static str,
    /// What it means, in a sentence.
    pub words: &'static str,
    pub build: fn(&mut Draft, Facts) -> Result<(), Unfit>,
}

pub(crate) const SCATTER: &str = "ordinary scatter";
pub(crate) const NONE: &str = "none of these";
pub(crate) const AS_TOLD: &str = "the events as told";

macro_rules! causes {
    ($($name:literal, $build:ident, $words:literal;)*) => {
        /// Every cause, in a fixed order.
        pub(crate) const CAUSES: &[Cause] = &[$(Cause { name: $name, words: $words, build: $build }),*];
    };
}

causes! {
    "ordinary scatter", nothing, "All was done as told; reading and amounts scatter as usual.";
    "poor drain", poor_drain, "The drain left more than it nominally does: cold, short, or with the plug at the high end.";
    "read early, then topped up", topped_up, "It was read before the oil had come down, looked low, and was topped up.";
    "dry capacity poured", dry_capacity, "The capacity of the empty engine was poured, though a residue had stayed in.";
    "figure of another variant poured", variant, "The figure of a variant with a larger sump was poured.";
    "read on a slope", slope, "The vehicle stood on a slope when it was read.";
    "filter kept", filter_kept, "The amount with filter was poured, but the old filter stayed on, full.";
    "prefill counted twice", prefill, "The new filter was filled beforehand and the whole amount poured all the same.";
    "stick not wiped", not_wiped, "The stick carried a smear and read high.";
    "stick not seated", not_seated, "The stick stood proud of its seat and read low.";
    "unit slip", unit_slip, "A figure in one unit was poured in another, larger one: US qt, imp qt, L.";
    "unit slip down", unit_slip_down, "A figure in one unit was poured in another, smaller one: US qt, imp qt, L.";
    "not drained", not_drained, "The old oil was never drained.";
    "filled twice", filled_twice, "Two people filled it, or one did so twice.";
    "dispenser out", dispenser, "The dispenser or jug gives another amount than it says.";
    "wrong stick or tube", wrong_stick, "The stick or its tube is not the one that belongs to this engine: every reading is off alike.";
    "fuel in the oil", fuel, "Fuel gets into the oil while it runs.";
    "coolant in the oil", coolant, "Coolant gets into the oil.";
    "pressure in the tube", pressure, "The crankcase stood above the stick's tube in pressure when the stick was drawn.";
    "leak", leak, "Oil leaks: a loose plug, two gaskets stacked.";
    "oil used", used, "The engine uses oil.";
    "someone added oil", added, "Somebody added oil and did not say so.";
    "filter valve leaking", valve, "The filter's valve lets its oil run back when it stands.";
    "read too soon", too_soon, "It was read sooner after the run than told, with oil still aloft.";
    "short pour", short_pour, "Less was poured than told.";
    "read late with a tank", tank, "The tank drains down into the engine as it stands, and was read late.";
    "none of these", none_of_these, "Something that is not in this list: every reading is shifted by anything, alike.";
}

/// The cause of this name.
pub(crate) fn find(name: &str) -> Option<&'static Cause> {
    CAUSES.iter().find(|c| c.name == name)
}

const LITRE: (&str, f64) = ("L", 1e3);
const MM: (&str, f64) = ("mm", 1e3);
const RATIO: (&str, f64) = ("", 1.0);

fn lognormal(median: f64, sigma: f64) -> Result<Distribution, crate::units::QuantityError> {
    Distribution::log_normal("prior", median, sigma)
}

fn add(draft: &mut Draft, name: &str, median: f64, sigma: f64, unit: (&'static str, f64)) -> Result<usize, Unfit> {
    draft.unknown(name, lognormal(median, sigma), unit.0, unit.1)
}

#[allow(clippy::unnecessary_wraps)] // as every builder
fn nothing(_: &mut Draft, _: Facts) -> Result<(), Unfit> {
    Ok(())
}

fn none_of_these(draft: &mut Draft, facts: Facts) -> Result<(), Unfit> {
    let wide = Distribution::rectangular("shift", -facts.blade, facts.blade);
    let shift = draft.unknown("shift of every reading", wide, MM.0, MM.1)?;
    draft.shift = Some(shift);
    Ok(())
}

fn poor_drain(draft: &mut Draft, facts: Facts) -> Result<(), Unfit> {
    let drains = |a: &Action| matches!(a, Action::Drain { .. } | Action::OpenPlug { .. });
    let Some(place) = draft.find(drains) else {
        let Some(withdraw) = draft.find(|a| matches!(a, Action::Withdraw { .. })) else {
            return Err("nothing was drained".into());
        };
        return sucked_less(draft, withdraw);
    };
    let plug = match &draft.events[place].1.action {
        Action::Drain { plug, .. } | Action::OpenPlug { plug, .. } => plug.clone(),
        _ => None,
    };
    let plugs = &draft.circuit.layout().plugs;
    let (name, layout) = match plug {
        Some(plug) => plugs.iter().find(|(n, _)| *n == plug).ok_or("the plug is not the circuit's")?,
        None => plugs.first().ok_or("the circuit has no plug")?,
    };
    let field = if layout.heel.is_some() { "heel" } else { "lip" };
    let path = format!("plugs.{name}.{field}");
    let left = add(draft, "left in beyond the nominal", 0.06 * facts.charge, 0.7, LITRE)?;
    draft.edit(At::Circuit(path), How::Add, left, 1.0);
    Ok(())
}

/// Where the oil was sucked out: less came out than told.
fn sucked_less(draft: &mut Draft, place: usize) -> Result<(), Unfit> {
    let (mark, event) = &draft.events[place];
    let (mark, field) = (*mark, amount_field(event));
    let share =
        draft.unknown("share that came out", Distribution::rectangular("prior", 0.7, 0.98), RATIO.0, RATIO.1)?;
    draft.edit(At::Event(mark, field), How::Scale, share, 1.0);
    Ok(())
}

fn amount_field(event: &Event) -> &'static str {
    match &event.action {
        Action::Pour { amount: Amount::Mass(_), .. } | Action::Withdraw { amount: Amount::Mass(_), .. } => "mass",
        _ => "volume",
    }
}

fn pour(volume: f64) -> Action {
    Action::Pour { amount: Amount::Volume(Value::constant(volume)), temperature: None, measured_with: None }
}

fn topped_up(draft: &mut Draft, facts: Facts) -> Result<(), Unfit> {
    if draft.find(|a| matches!(a, Action::Run { .. })).is_none() {
        return Err("the engine was not run, so nothing was aloft".into());
    }
    extra_pour(draft, facts, "top-up not told", 0.25)
}

fn added(draft: &mut Draft, facts: Facts) -> Result<(), Unfit> {
    extra_pour(draft, facts, "added", 0.35)
}

fn extra_pour(draft: &mut Draft, facts: Facts, name: &str, spans: f64) -> Result<(), Unfit> {
    let reading = draft.first_reading().ok_or("there is no reading")?;
    // After the last run before the reading, so that nothing is mixed anew.
    let after_run = |e: &(usize, Event)| matches!(e.1.action, Action::Run { .. });
    let place = draft.events[..reading].iter().rposition(after_run).map_or(reading, |run| run + 1);
    let median = spans * facts.span;
    let mark = draft.insert(place, pour(median));
    let size = add(draft, name, median, 0.6, LITRE)?;
    draft.edit(At::Event(mark, "volume"), How::Set, size, 1.0);
    Ok(())
}

fn scale_pour(
    draft: &mut Draft,
    name: &str,
    factor: Result<Distribution, crate::units::QuantityError>,
) -> Result<(), Unfit> {
    let (_, mark, field) = draft.main_pour().ok_or("nothing was poured")?;
    let factor = draft.unknown(name, factor, RATIO.0, RATIO.1)?;
    draft.edit(At::Event(mark, field), How::Scale, factor, 1.0);
    Ok(())
}

/// `1/(1 - r)` of the residue share r: log-normal with median 9 % of the dry capacity, sigma 0.66 (judgement).
fn dry_capacity(draft: &mut Draft, _: Facts) -> Result<(), Unfit> {
    let book = draft.circuit.spec().book.clone();
    let stated =
        book.and_then(|b| Some((b.dry?.nominal(), b.service_with_filter.or(b.service_without_filter)?.nominal())));
    let factor = if let Some((dry, service)) = stated {
        let ratio = dry / service;
        Distribution::normal("prior", ratio, 0.002 * ratio)
    } else {
        let (median, sigma) = crate::circuit::RESIDUE_SHARE;
        let share = lognormal(median, sigma).map_err(|e| e.to_string())?;
        let ratio = |i: i32| 1.0 / (1.0 - share.quantile((f64::from(i) + 0.5) / 256.0).min(0.6));
        Distribution::samples("prior", &(0..256).map(ratio).collect::<Vec<_>>())
    };
    scale_pour(draft, "dry over service capacity", factor)
}

fn variant(draft: &mut Draft, _: Facts) -> Result<(), Unfit> {
    scale_pour(draft, "poured over told", Distribution::triangular("prior", 1.03, 1.08, 1.5))
}

fn short_pour(draft: &mut Draft, _: Facts) -> Result<(), Unfit> {
    scale_pour(draft, "poured over told", Distribution::rectangular("prior", 0.7, 0.98))
}

/// US qt, imp qt and L: the ratios of their definitions.
const RATIOS: [f64; 3] = [1.0 / 0.946352946, 1.1365225, 1.1365225 / 0.946352946];

fn unit_slip(draft: &mut Draft, _: Facts) -> Result<(), Unfit> {
    scale_pour(draft, "ratio of the units", Distribution::samples("prior", &RATIOS))
}

fn unit_slip_down(draft: &mut Draft, _: Facts) -> Result<(), Unfit> {
    scale_pour(draft, "ratio of the units", Distribution::samples("prior", &RATIOS.map(|r| 1.0 / r)))
}

fn filled_twice(draft: &mut Draft, _: Facts) -> Result<(), Unfit> {
    scale_pour(draft, "poured over told", Distribution::rectangular("prior", 1.5, 2.0))
}

fn dispenser(draft: &mut Draft, _: Facts) -> Result<(), Unfit> {
    let (place, mark, field) = draft.main_pour().ok_or("nothing was poured")?;
    let instrument = match &draft.events[place].1.action {
        Action::Pour { measured_with: Some(name), amount: Amount::Volume(_), .. } => Some(name.clone()),
        _ => None,
    };
    let off = Distribution::normal("prior", 1.0, 0.08);
    let off = draft.unknown("given over said", off, RATIO.0, RATIO.1)?;
    let at = instrument.map_or(At::Event(mark, field), |name| At::Circuit(format!("instruments.{name}.scale")));
    draft.edit(at, How::Scale, off, 1.0);
    Ok(())
}

fn is_filter(a: &Action) -> bool {
    matches!(a, Action::ChangeFilter { .. } | Action::FitFilter { .. } | Action::RemoveFilter)
}

fn filter_kept(draft: &mut Draft, _: Facts) -> Result<(), Unfit> {
    match draft.remove(is_filter) {
        0 => Err("no filter was changed".into()),
        _ => Ok(()),
    }
}

fn prefill(draft: &mut Draft, _: Facts) -> Result<(), Unfit> {
    let fits = |a: &Action| matches!(a, Action::ChangeFilter { .. } | Action::FitFilter { .. });
    let place = draft.find(fits).ok_or("no filter was changed")?;
    let net =
        draft.circuit.layout().filter.map(|f| draft.circuit.nominals()[f.net_volume]).ok_or("there is no filter")?;
    let (mark, event) = &draft.events[place];
    let mark = *mark;
    if let Action::ChangeFilter { primed, .. } | Action::FitFilter { primed, .. } = &event.action
        && primed.nominal() > 0.0
    {
        return Err("the prefill is told".into());
    }
    let size = draft.unknown("prefill", Distribution::rectangular("prior", 0.5 * net, 0.98 * net), LITRE.0, LITRE.1)?;
    draft.edit(At::Event(mark, "primed"), How::Set, size, 1.0);
    Ok(())
}

/// Reads the first reading otherwise than told.
fn read_with(draft: &mut Draft, change: impl Fn(&mut crate::service::HowRead)) -> Result<usize, Unfit> {
    let place = draft.first_reading().ok_or("there is no reading")?;
    let (mark, event) = &mut draft.events[place];
    if let Action::Read(how) = &mut event.action {
        change(how);
    }
    Ok(*mark)
}

fn not_wiped(draft: &mut Draft, _: Facts) -> Result<(), Unfit> {
    let reading = draft.first_reading().ok_or("there is no reading")?;
    let wets = |a: &Action| matches!(a, Action::Pour { .. } | Action::Run { .. });
    let last = draft.events[..reading].iter().rev().find(|(_, e)| wets(&e.action) || matches!(e.action, Action::Wipe));
    if last.is_some_and(|(_, e)| matches!(e.action, Action::Wipe)) {
        return Err("it was wiped".into());
    }
    let mark = read_with(draft, |how| how.smear = Some(Value::constant(6e-3)))?;
    let size = add(draft, "smear", 6e-3, 0.7, MM)?;
    draft.edit(At::Event(mark, "smear"), How::Set, size, 1.0);
    Ok(())
}

fn not_seated(draft: &mut Draft, _: Facts) -> Result<(), Unfit> {
    let mark = read_with(draft, |how| how.seat_offset = Some(Value::constant(5e-3)))?;
    let size = add(draft, "proud of its seat", 5e-3, 0.6, MM)?;
    draft.edit(At::Event(mark, "seat_offset"), How::Set, size, 1.0);
    Ok(())
}

fn pressure(draft: &mut Draft, _: Facts) -> Result<(), Unfit> {
    let mark = read_with(draft, |how| how.tube_pressure = Some(Value::constant(80.0)))?;
    let size = add(draft, "pressure", 80.0, 0.7, ("Pa", 1.0))?;
    draft.edit(At::Event(mark, "tube_pressure"), How::Set, size, 1.0);
    Ok(())
}

fn wrong_stick(draft: &mut Draft, _: Facts) -> Result<(), Unfit> {
    let offset = draft.unknown("reads off by", Distribution::normal("prior", 0.0, 8e-3), MM.0, MM.1)?;
    draft.edit(At::Circuit("dipstick.seat_offset".into()), How::Add, offset, -1.0);
    Ok(())
}

fn slope(draft: &mut Draft, _: Facts) -> Result<(), Unfit> {
    let stated = |l: &String| draft.events.iter().any(|(_, e)| e.label.as_ref() == Some(l) && e.attitude.is_some());
    if draft.labels.iter().all(stated) {
        return Err("how it stood is stated for every reading".into());
    }
    let two = |draft: &mut Draft, name: &str| draft.unknown(name, Distribution::normal("prior", 0.0, 2.0), "deg", 1.0);
    draft.slope = Some([two(draft, "ground nose up")?, two(draft, "ground right down")?]);
    Ok(())
}

fn not_drained(draft: &mut Draft, _: Facts) -> Result<(), Unfit> {
    let drains = |a: &Action| matches!(a, Action::Drain { .. } | Action::OpenPlug { .. } | Action::ClosePlug { .. });
    match draft.remove(drains) {
        0 => Err("nothing was drained".into()),
        _ => Ok(()),
    }
}

fn ingress(component: Foreign, rate: f64, when: When) -> Action {
    Action::Ingress { component, rate: Value::constant(rate), when }
}

/// Starts a rate at a place, so that an unknown volume passes until the last reading; running, or always where it never runs.
fn rate_from(
    draft: &mut Draft,
    place: usize,
    name: &str,
    size: (f64, f64),
    always: bool,
    event: &dyn Fn(f64, When) -> Action,
) -> Result<(), Unfit> {
    let [running, all] = draft.seconds_from(place);
    let (seconds, when) = if running > 0.0 && !always { (running, When::Running) } else { (all, When::Always) };
    if seconds <= 0.0 {
        return Err("no time passed between the service and the reading".into());
    }
    let mark = draft.insert(place, event(size.0 / seconds, when));
    let volume = add(draft, name, size.0, size.1, LITRE)?;
    draft.edit(At::Event(mark, "rate"), How::Set, volume, 1.0 / seconds);
    Ok(())
}

fn after_main_pour(draft: &Draft) -> usize {
    draft.main_pour().map_or(0, |(place, ..)| place + 1)
}

fn needs_run(draft: &Draft, place: usize) -> Result<(), Unfit> {
    if draft.seconds_from(place)[0] > 0.0 { Ok(()) } else { Err("the engine did not run before the reading".into()) }
}

fn fuel(draft: &mut Draft, facts: Facts) -> Result<(), Unfit> {
    let place = after_main_pour(draft);
    needs_run(draft, place)?;
    rate_from(draft, place, "fuel that got in", (0.3 * facts.span, 0.7), false, &|rate, when| {
        ingress(Foreign::Fuel, rate, when)
    })
}

fn coolant(draft: &mut Draft, facts: Facts) -> Result<(), Unfit> {
    let place = after_main_pour(draft);
    rate_from(draft, place, "coolant that got in", (0.2 * facts.span, 0.8), true, &|rate, when| {
        ingress(Foreign::Coolant, rate, when)
    })
}

fn leak(draft: &mut Draft, facts: Facts) -> Result<(), Unfit> {
    let place = after_main_pour(draft);
    let leak = |rate: f64, when| Action::Leak { rate: Value::constant(rate), when };
    rate_from(draft, place, "lost", (0.4 * facts.span, 0.9), false, &leak)
}

fn used(draft: &mut Draft, facts: Facts) -> Result<(), Unfit> {
    let place = after_main_pour(draft);
    needs_run(draft, place)?;
    let used = |rate: f64, when| Action::Use { rate: Value::constant(rate), when };
    rate_from(draft, place, "used", (0.4 * facts.span, 0.7), false, &used)
}

fn valve(draft: &mut Draft, _: Facts) -> Result<(), Unfit> {
    let filter = draft.circuit.spec().filter.as_ref().ok_or("there is no filter")?;
    if filter.valve != ValveSpec::Leaking {
        draft.circuit = draft.circuit.replace(&[("filter.valve", "leaking")]).map_err(|e| e.to_string())?;
    }
    let share = Distribution::rectangular("prior", 0.3, 1.0);
    let share = draft.unknown("share of the filter that runs back", share, RATIO.0, RATIO.1)?;
    draft.edit(At::Circuit("filter.drains".into()), How::Set, share, 1.0);
    Ok(())
}

fn too_soon(draft: &mut Draft, _: Facts) -> Result<(), Unfit> {
    let reading = draft.first_reading().ok_or("there is no reading")?;
    let runs = |e: &(usize, Event)| matches!(e.1.action, Action::Run { .. });
    let run = draft.events[..reading].iter().rposition(runs).ok_or("the engine was not run before the reading")?;
    let rests: Vec<usize> =
        (run + 1..reading).filter(|i| matches!(draft.events[*i].1.action, Action::Rest { .. })).collect();
    let (Some(first), rest) = (rests.first().copied(), &rests) else {
        return Err("no wait is told".into());
    };
    for place in rest.iter().skip(1).rev() {
        draft.events.remove(*place);
    }
    let mark = draft.events[first].0;
    let wait = add(draft, "waited", 60.0, 0.9, ("min", 1.0 / 60.0))?;
    draft.edit(At::Event(mark, "duration"), How::Set, wait, 1.0);
    Ok(())
}

fn tank(draft: &mut Draft, facts: Facts) -> Result<(), Unfit> {
    let reading = draft.first_reading().ok_or("there is no reading")?;
    let median = 0.4 * facts.span;
    let amount = Amount::Volume(Value::constant(median));
    let mark = draft.insert(reading, Action::Withdraw { amount, measured_with: None });
    let size = add(draft, "drained down into the engine", median, 0.7, LITRE)?;
    draft.edit(At::Event(mark, "volume"), How::Set, size, 1.0);
    Ok(())
}
