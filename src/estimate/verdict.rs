//! Verdict and cautions of an assessment. In doubt nobody is told to start anything.

use std::fmt;

use super::assess::Assessment;
use super::cautions::{MILKY, OVERFULL, has_pressure, runaway};
use crate::circuit::spec::FuelSpec;
use crate::service::{Action, Band, Event, dilution_limit};

/// A risk above this counts: reaching the crank's path, running below MIN, drawing air.
const RISK: f64 = 0.01;
/// Probability above which a band counts as possible.
const POSSIBLE: f64 = 0.05;
/// Temperature from which oil is called hot (°C; judgement).
const HOT_C: f64 = 45.0;

/// The verdict, from the gravest down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Verdict {
    /// Something forbids a start.
    DoNotStart,
    /// Too little oil, or the pickup may draw air.
    DoNotRun,
    /// Over MAX by more than reading error.
    Correct,
    /// At MIN.
    AddOil,
    /// The estimate cannot tell.
    ReadAgain,
    /// Within the marks, or within reading error of MAX.
    Within,
}

impl Verdict {
    /// What it says.
    pub fn words(self) -> &'static str {
        match self {
            Self::DoNotStart => "Do not start. Have it put right first; where it holds too much, withdraw and weigh.",
            Self::DoNotRun => "Do not run until it is topped up and read again.",
            Self::Correct => {
                "Over MAX: correct it soon. Withdraw and weigh, then read again in the reference condition."
            }
            Self::AddOil => "At MIN: add oil in small steps, reading in between.",
            Self::ReadAgain => "In doubt: do not start. Wait, read again in the reference condition, then decide.",
            Self::Within => {
                "Within the marks by this estimate. The maker's instructions and a qualified technician decide."
            }
        }
    }

    /// Short name.
    pub fn name(self) -> &'static str {
        match self {
            Self::DoNotStart => "do not start",
            Self::DoNotRun => "do not run",
            Self::Correct => "correct",
            Self::AddOil => "add oil",
            Self::ReadAgain => "read again",
            Self::Within => "within",
        }
    }
}

/// A caution with the reason why it applies.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Caution {
    /// What to heed.
    pub text: &'static str,
    /// Why it applies here.
    pub why: String,
}

/// The verdict with its reasons; the gravest that applies.
pub(super) fn of(a: &Assessment) -> (Verdict, Vec<String>) {
    let percent = |p: f64| format!("{:.1} %", p * 1e2);
    let mut forbidden = a.undone.reasons();
    forbidden.extend(spoilt(a.foreign, a.circuit.spec().fluid.fuel));
    forbidden.extend(perhaps_spoilt(a));
    if a.past_top > RISK {
        let capacity = a.circuit.sump().capacity_si() * 1e3;
        let share = percent(a.past_top);
        forbidden.push(format!("overfull: more than the sump's drawing holds ({capacity:.2} L) in {share} of draws"));
    }
    let mut found: Vec<(Verdict, String)> = forbidden.into_iter().map(|why| (Verdict::DoNotStart, why)).collect();
    let far = a.probability(Band::FarOver);
    match &a.crank {
        Some(gap) if gap.used_up > RISK => {
            let why = format!(
                "the static level at {:.0} degC reaches the crank's path in {} of draws",
                a.hot_c,
                percent(gap.used_up)
            );
            found.push((Verdict::DoNotStart, why));
        }
        Some(_) if far > 0.5 => {
            let why =
                format!("more than 0.5 span over MAX in {} of draws: withdraw before anything else", percent(far));
            found.push((Verdict::DoNotStart, why));
        }
        None if far > RISK => {
            let unknown = if has_pressure(&a.circuit) { ", and the gap to the crank is unknown" } else { "" };
            found.push((
                Verdict::DoNotStart,
                format!("more than 0.5 span over MAX in {} of draws{unknown}", percent(far)),
            ));
        }
        _ => {}
    }
    let low = a.probability(Band::BelowMin);
    if low > RISK {
        found.push((Verdict::DoNotRun, format!("below MIN in {} of draws", percent(low))));
    }
    if a.sump_empty > RISK {
        let why = format!("nothing is left in the sump in {} of draws, drained back: it is dry", percent(a.sump_empty));
        found.push((Verdict::DoNotRun, why));
    }
    if let Some(pickup) = a.pickup.as_ref().filter(|p| p.used_up > RISK) {
        let why = format!("the pickup lacks its depth right after a run in {} of draws", percent(pickup.used_up));
        found.push((Verdict::DoNotRun, why));
    }
    let over = a.probability(Band::Over) + far;
    if over > 0.5 {
        found.push((Verdict::Correct, format!("over MAX by more than 0.1 span in {} of draws", percent(over))));
    } else if over > POSSIBLE {
        found.push((Verdict::ReadAgain, format!("over MAX by more than 0.1 span in {} of draws", percent(over))));
    }
    let at_min = a.probability(Band::AtMin);
    if at_min > 0.5 {
        found.push((Verdict::AddOil, format!("at MIN in {} of draws", percent(at_min))));
    }
    let verdict = found.iter().map(|(v, _)| *v).min_by_key(|v| *v as u8).unwrap_or(Verdict::Within);
    let mut reasons: Vec<String> = found.into_iter().map(|(_, why)| why).collect();
    if a.circuit.spec().reference.is_running() {
        reasons.push(
            "the marks hold with the engine running: read while it is stopped, it stands high against them".into(),
        );
    }
    // A machine that no pump feeds has neither.
    let pumped = has_pressure(&a.circuit);
    if a.crank.is_none() && pumped {
        reasons.push("unknown: the gap to the crank ([crank] is not stated)".into());
    }
    if a.pickup.is_none() && pumped {
        reasons
            .push("unknown: the depth of the pickup ([pickup] is not stated, or the engine does not run here)".into());
    }
    (verdict, reasons)
}

/// What has got into the oil, as reasons not to start; shares of fuel and of coolant with water by mass.
pub(super) fn spoilt(foreign: [f64; 2], fuel: FuelSpec) -> Vec<String> {
    let percent = |p: f64| format!("{:.1} %", p * 1e2);
    let mut reasons = Vec::new();
    if foreign[1] > 0.0 {
        reasons.push(format!("coolant or water makes up {} of the oil: it will look milky", percent(foreign[1])));
    }
    let limit = dilution_limit(fuel);
    if foreign[0] > limit {
        let (share, limit) = (percent(foreign[0]), percent(limit));
        reasons.push(format!("fuel makes up {share} of the oil, above the limit of {limit}"));
    }
    reasons
}

/// What may have got into the oil though at nominal values it has not.
fn perhaps_spoilt(a: &Assessment) -> Vec<String> {
    let percent = |p: f64| format!("{:.1} %", p * 1e2);
    let limit = dilution_limit(a.circuit.spec().fluid.fuel);
    let mut reasons = Vec::new();
    if a.foreign[1] <= 0.0 && a.foreign_draws[1] > RISK {
        reasons.push(format!(
            "coolant or water is in the oil in {} of draws: it will look milky",
            percent(a.foreign_draws[1])
        ));
    }
    if a.foreign[0] <= limit && a.foreign_draws[0] > RISK {
        reasons.push(format!(
            "fuel is above the limit of {} in {} of draws",
            percent(limit),
            percent(a.foreign_draws[0])
        ));
    }
    reasons
}

/// Cautions that apply to a service and its end. Common practice, no source.
pub(super) fn cautions(a: &Assessment, events: &[Event]) -> Vec<Caution> {
    let mut all = Vec::new();
    let mut add = |text: &'static str, why: &str| all.push(Caution { text, why: why.into() });
    let any = |of: fn(&Action) -> bool| events.iter().any(|e| of(&e.action));
    add(
        "Engine off, brake on, wheels chocked; never rely on a jack alone.",
        "somebody reads, drains or pours at the vehicle",
    );
    let hot = hottest(a, events);
    let runs = any(|x| matches!(x, Action::Run { .. }));
    if hot >= HOT_C || runs {
        let why =
            if hot >= HOT_C { format!("the oil is at up to {hot:.0} degC") } else { "a run warms the oil".into() };
        add("Hot oil burns: keep it off skin and off hot exhaust.", &why);
    } else {
        add("Keep oil off skin and off hot exhaust.", "oil is handled");
    }
    if any(comes_out) {
        add("Used oil and filters go to a licensed collector, never to ground or drain.", "oil or a filter comes out");
    }
    if has_pressure(&a.circuit) && any(empties_the_pump) {
        add("If oil pressure does not come up within 15 s, stop.", "the pump must first fill what the service emptied");
    }
    if reads_before_run(events) {
        add(
            "A reading before the first run stands high by the filter's volume: take no oil out before it.",
            "the stick is read after a filter change and before a run",
        );
    }
    if any(primes) {
        add("Prefill on the inlet side only, and only where the maker allows.", "a filter is primed");
    }
    let got_in = a.foreign.iter().chain(&a.foreign_draws).any(|share| *share > 0.0);
    add(MILKY, if got_in { "fuel, coolant or water got into the oil" } else { "always: look and smell" });
    let over = (a.probability(Band::Over) + a.probability(Band::FarOver)).max(a.past_top);
    if over > POSSIBLE {
        add(OVERFULL, "the level may be over MAX by more than reading error");
        if let Some(caution) = runaway(&a.circuit) {
            add(caution, "the level may be over MAX and the fuel is diesel");
        }
    }
    add(
        "This is an estimate for teaching and analysis; it assigns causes, not fault. The maker's instructions, local codes and a qualified \
         technician decide.",
        "always",
    );
    all
}

fn empties_the_pump(action: &Action) -> bool {
    matches!(
        action,
        Action::ChangeFilter { .. } | Action::FitFilter { .. } | Action::Drain { .. } | Action::OpenPlug { .. }
    )
}

fn comes_out(action: &Action) -> bool {
    matches!(
        action,
        Action::Drain { .. }
            | Action::OpenPlug { .. }
            | Action::Withdraw { .. }
            | Action::RemoveFilter
            | Action::ChangeFilter { .. }
            | Action::Leak { .. }
    )
}

fn primes(action: &Action) -> bool {
    matches!(action, Action::ChangeFilter { primed, .. } | Action::FitFilter { primed, .. } if primed.nominal() > 0.0)
}

/// Whether the stick is read after a filter change and before the engine runs.
fn reads_before_run(events: &[Event]) -> bool {
    let mut changed = false;
    for event in events {
        match event.action {
            Action::ChangeFilter { .. } | Action::FitFilter { .. } => changed = true,
            Action::Run { .. } => changed = false,
            Action::Read(_) if changed => return true,
            _ => {}
        }
    }
    false
}

/// The highest temperature that the events or the reference condition state (°C).
fn hottest(a: &Assessment, events: &[Event]) -> f64 {
    let stated = events.iter().filter_map(|e| match &e.action {
        Action::OpenPlug { temperature, .. }
        | Action::Drain { temperature, .. }
        | Action::Run { temperature, .. }
        | Action::Pour { temperature, .. }
        | Action::FitFilter { temperature, .. }
        | Action::ChangeFilter { temperature, .. } => temperature.as_ref().map(crate::units::Value::nominal),
        _ => None,
    });
    stated.fold(a.circuit.spec().reference.temperature.nominal(), f64::max)
}

impl fmt::Display for Assessment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "Assessment of {}", self.circuit.name())?;
        writeln!(f, "  {}", self.verdict.words())?;
        for reason in &self.reasons {
            writeln!(f, "    - {reason}")?;
        }
        let (low, high) = self.spans.interval(0.95);
        writeln!(
            f,
            "  true level, drained back, in the reference condition: {:.2} spans (95 %: {low:.2} to {high:.2}; 0 MIN, 1 MAX)",
            self.spans.mean()
        )?;
        if self.draws > 1 {
            writeln!(
                f,
                "    if the stated uncertainties are right; {:.0} % of the variance rests on judgement inputs",
                self.judgement * 1e2
            )?;
        }
        let pumped = has_pressure(&self.circuit);
        for (band, p) in Band::ALL.into_iter().zip(self.bands) {
            let unknown = band == Band::FarOver && self.crank.is_none() && pumped;
            let gap = if unknown { "; do not start while the gap to the crank is unknown" } else { "" };
            writeln!(f, "    {:<30} {:6.2} %   {}{gap}", band.name(), p * 1e2, band.practice())?;
        }
        for (what, clearance) in [
            (format!("gap from the static level at {:.0} degC to the crank", self.hot_c), &self.crank),
            (format!("depth to spare over the pickup after a run, surge {} deg", self.surge_deg), &self.pickup),
        ] {
            match clearance {
                Some(c) => {
                    let (low, high) = c.distance.interval(0.95);
                    let mean = c.distance.mean() * 1e3;
                    let (low, high, p) = (low * 1e3, high * 1e3, c.used_up * 1e2);
                    writeln!(f, "  {what}: {mean:.1} mm (95 %: {low:.1} to {high:.1}), used up in {p:.2} % of draws")?;
                }
                None if pumped => writeln!(f, "  {what}: unknown")?,
                None => {}
            }
        }
        writeln!(f, "  cautions:")?;
        for caution in &self.cautions {
            writeln!(f, "    - {} ({})", caution.text, caution.why)?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// In doubt nobody is told to start: the word stands only in a prohibition.
    #[test]
    fn no_verdict_tells_to_start() {
        use Verdict::{AddOil, Correct, DoNotRun, DoNotStart, ReadAgain, Within};
        for verdict in [DoNotStart, DoNotRun, Correct, AddOil, ReadAgain, Within] {
            let words = verdict.words().to_lowercase().replace("do not start", "").replace("do not run", "");
            assert!(!words.contains("start") && !words.contains("run"), "{words}");
            assert!(!verdict.name().is_empty());
        }
        assert!((DoNotStart as u8) < (Within as u8));
    }
}
