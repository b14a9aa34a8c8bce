//! A plan as a page: figures, numbered steps, the table, cautions; as plain text or as Markdown.

use std::fmt;

use super::policy::{Advice, PolicyRow};
use super::result::{Plan, percent};
use super::service::Aim;
use super::{AFTER, BEFORE_START};
use crate::circuit::spec::{ReferenceSpec, SeatSpec};
use crate::estimate::PredictedReading;
use crate::service::{Action, Event, is_read};
use crate::units::{DimensionId, Unit, unit_of};

impl Plan {
    /// A volume in litres, and in the other unit where there is one.
    pub fn amount(&self, volume: f64) -> String {
        let litres = self.litres(volume);
        match self.other() {
            Some(unit) => {
                let places = decimals(unit.to_si(1.0));
                format!("{litres} ({:.places$} {})", unit.from_si(volume), unit.symbol())
            }
            None => litres,
        }
    }

    fn other(&self) -> Option<&'static Unit> {
        unit_of(DimensionId::Volume, self.other_unit.as_deref()?)
    }

    fn litres(&self, volume: f64) -> String {
        // As many places as the jug has, two at least.
        let steps = self.jug_step * 1e5;
        let places = if (steps - steps.round()).abs() < 1e-6 { 2 } else { 3 };
        format!("{:.places$} L", volume * 1e3)
    }

    /// What to do, in order, up to the table.
    pub fn steps(&self) -> Vec<String> {
        let mut steps = Vec::new();
        if self.aim == Aim::Refill {
            steps.push(match self.first_pour {
                0.0 => "Pour nothing.".into(),
                poured => format!("Pour {}.", self.amount(poured)),
            });
            if let Ok(reading) = self.prediction.reading(BEFORE_START) {
                let high = " It stands high by what the filter still takes; take no oil out on it.";
                let high = if self.fills_filter { high } else { "" };
                let stopped = self.stopped_against_running();
                steps.push(format!("Read the stick before the start: expect {}.{high}{stopped}", expected(reading)));
            }
        }
        let last = self.prediction.readings().len() - self.then.iter().filter(|e| is_read(e)).count();
        let mut readings = self.prediction.readings()[last..].iter();
        for (i, event) in self.then.iter().enumerate() {
            match (&event.action, self.no_start()) {
                (Action::Run { .. }, Some(why)) => {
                    steps.push(format!("Do not start: {why}. {}", self.put_right()));
                    steps.push(format!("Only once that is done: {}.", line(event)));
                }
                _ if is_read(event) => steps.push(self.read(i, readings.next())),
                _ => steps.push(plain(event)),
            }
        }
        steps.push(format!(
            "By the last reading, taken to the nearest {:.1} mm, add or take out what the table says, once.",
            self.policy().reading_step_m() * 1e3
        ));
        steps
    }

    /// The marks' condition.
    fn reference(&self) -> &ReferenceSpec {
        &self.circuit.spec().reference
    }

    /// A reading of what follows, as an order: with the engine running where the marks hold so and nothing was waited for since it ran.
    fn read(&self, at: usize, reading: Option<&PredictedReading>) -> String {
        let label = self.then[at].label.as_deref().filter(|label| *label != AFTER);
        let label = label.map_or_else(String::new, |label| format!(" ({label})"));
        let expect = reading.map_or_else(String::new, |r| format!(": expect {}", expected(r)));
        let seat = match self.reference().stick {
            SeatSpec::Seated => "seat it",
            SeatSpec::Screwed => "screw it in",
        };
        let before =
            self.then[..at].iter().rev().find(|e| matches!(e.action, Action::Run { .. } | Action::Rest { .. }));
        let runs = before.is_some_and(|e| matches!(e.action, Action::Run { .. }));
        if self.reference().is_running() && runs {
            return format!(
                "Leave the engine running, at idle; keep clear of moving and hot parts. Wipe the stick, {seat}, read it{label}{expect}."
            );
        }
        format!("Wipe the stick, {seat}, read it{label}{expect}.{}", self.stopped_against_running())
    }

    /// What to know of a reading of the stopped engine where the marks hold with it running.
    fn stopped_against_running(&self) -> &'static str {
        if self.reference().is_running() {
            " The marks hold with the engine running: stopped, it stands high by what has come back."
        } else {
            ""
        }
    }

    /// What has to be done before a start that is forbidden.
    fn put_right(&self) -> String {
        let repair = self.forbidden.reasons().next().map(|_| "Have it put right first.");
        let level = self.off_level().map(|_| "Find out how much is in it first.");
        repair.into_iter().chain(level).collect::<Vec<_>>().join(" ")
    }

    /// What a row of the table asks for, in words.
    pub fn asked(&self, row: &PolicyRow) -> String {
        match row.advice {
            Advice::Add => format!("add {}", self.amount(row.change)),
            Advice::TakeOut => format!("take out {}", self.amount(-row.change)),
            Advice::Leave => "leave it".into(),
            Advice::FindOut => "not to be expected: add nothing, find out why".into(),
        }
    }

    /// Title of the page.
    pub fn title(&self) -> String {
        let what = match self.aim {
            Aim::Refill => "Refill",
            Aim::Withdraw => "Correction",
        };
        format!("{what} of {}", self.circuit.name())
    }

    /// Figures of the plan, each with its name.
    pub fn figures(&self) -> Vec<(&'static str, String)> {
        let (low, high) = self.residue.interval(0.95);
        let litres = |v: f64| format!("{:.2}", v * 1e3);
        let (mean, low, high) = (litres(self.residue.mean()), litres(low), litres(high));
        let mut figures = vec![(
            if self.aim == Aim::Refill { "stays in" } else { "is in" },
            format!("{mean} L (95 %: {low} to {high} L)"),
        )];
        if self.aim == Aim::Refill {
            let step = self.litres(self.jug_step);
            figures.push(("first pour", format!("{} (in steps of {step})", self.amount(self.first_pour))));
        }
        let accepted = percent(self.risk_over_max);
        let at_first = percent(self.prediction.probability_over_max());
        let after = if self.aim == Aim::Refill { "after the first pour" } else { "as it is" };
        figures.push(("over MAX", format!("{at_first} of draws {after} (accepted: {accepted})")));
        if self.first_pour == 0.0 && self.prediction.probability_over_max() > self.risk_over_max {
            figures.push(("", "even without a pour the risk is higher: add nothing before the reading".into()));
        }
        figures.push(("", format!("{} once the table is followed", percent(self.policy.probability_over_max()))));
        let under = percent(self.probability_under_min());
        figures.push(("under MIN", format!("{under} of draws once the filter has filled")));
        let (low, high) = self.end_fraction.interval(0.95);
        let mean = self.end_fraction.mean();
        figures.push(("ends at", format!("{mean:.2} of the span (95 %: {low:.2} to {high:.2})")));
        figures.push(("stick at MAX", format!("{:.0} mL per mm of blade", self.per_blade * 1e3)));
        figures.push(("marks hold at", self.reference().to_string()));
        figures
    }

    /// The plan as Markdown.
    pub fn to_markdown(&self) -> String {
        let mut page = format!("# {}\n\n", self.title());
        let mut say = |line: String| {
            page.push_str(&line);
            page.push('\n');
        };
        for (name, text) in self.figures() {
            say(if name.is_empty() { format!("  - {text}") } else { format!("- {name}: {text}") });
        }
        if let Some(why) = self.no_start() {
            say(format!("\n**Do not start: {why}.**"));
        }
        say(String::new());
        self.steps().iter().enumerate().for_each(|(i, step)| say(format!("{}. {step}", i + 1)));
        say("\n| reading | do | share of draws | over MAX afterwards | ends at, of the span |".into());
        say("|---|---|---:|---:|---:|".into());
        for row in self.policy.rows() {
            let ends = row.fraction.map_or_else(String::new, |f| format!("{f:.2}"));
            let (share, over) = (percent(row.probability), percent(row.over_max));
            say(format!("| {} | {} | {share} | {over} | {ends} |", span(row), self.asked(row)));
        }
        say(format!("\n{IF_RIGHT}\n"));
        self.cautions().iter().for_each(|caution| say(format!("- {caution}")));
        page
    }
}

const IF_RIGHT: &str = "Probabilities and 95 % intervals hold if the stated uncertainties are right.";

impl fmt::Display for Plan {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}", self.title())?;
        for (name, text) in self.figures() {
            writeln!(f, "  {name:<15} {text}")?;
        }
        if let Some(why) = self.no_start() {
            writeln!(f, "  do not start: {why}")?;
        }
        for (i, step) in self.steps().iter().enumerate() {
            writeln!(f, "  {}. {step}", i + 1)?;
        }
        for row in self.policy.rows() {
            writeln!(f, "       {:<20} {}", span(row), self.asked(row))?;
        }
        writeln!(f, "  {IF_RIGHT}")?;
        writeln!(f, "  cautions:")?;
        for caution in self.cautions() {
            writeln!(f, "    - {caution}")?;
        }
        Ok(())
    }
}

/// The readings of a row, in words.
fn span(row: &PolicyRow) -> String {
    let mm = |m: f64| format!("{:.1}", m * 1e3);
    match (row.from.map(mm), row.to.map(mm)) {
        (Some(from), Some(to)) if from == to => format!("{from} mm"),
        (Some(from), Some(to)) => format!("{from} to {to} mm"),
        (Some(from), None) => format!("{from} mm or more"),
        (None, Some(to)) => format!("{to} mm or less"),
        (None, None) => "any".into(),
    }
}

/// A reading with its 95 % interval.
fn expected(reading: &PredictedReading) -> String {
    let (low, high) = reading.s.interval(0.95);
    let (dry, full) = reading.fraction.interval(0.95);
    format!(
        "{:.1} mm ({:.1} to {:.1}), {:.2} of the span ({dry:.2} to {full:.2})",
        reading.s.mean() * 1e3,
        low * 1e3,
        high * 1e3,
        reading.fraction.mean()
    )
}

/// An event as its line; a rest is a wait.
fn line(event: &Event) -> String {
    let line = event.to_string();
    line.strip_prefix("rest ").map_or_else(|| line.clone(), |rest| format!("wait {rest}"))
}

/// An event as its line, as an order.
fn plain(event: &Event) -> String {
    let line = line(event);
    let mut letters = line.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string()).unwrap_or_default();
    format!("{first}{}.", letters.as_str())
}

/// Places that show about 10 mL in a unit of so many m3.
fn decimals(unit: f64) -> usize {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a handful, at least none
    let places = (unit / 1e-5).log10().ceil().clamp(0.0, 6.0) as usize;
    places
}
