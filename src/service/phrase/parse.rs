//! Reading an event from its line.

use super::super::ServiceError;
use super::super::event::{Action, Amount, Event, Face, Foreign, HowRead, When, nothing};
use super::lex::{Kind, Token, column, tokens};
use super::options::{Options, Turned};
use super::{ATTITUDES, CLAUSES, COMPONENTS, Clause, OF_ALL, VERBS, Verb};
use crate::circuit::spec::AttitudeSpec;
use crate::units::{Angle, Dimension, QuantityError, Time, Value};

type Result<T> = std::result::Result<T, ServiceError>;

/// Reads the event on a line of this number.
pub(super) fn event(text: &str, number: usize) -> Result<Event> {
    let mut line = Line { text, number, tokens: tokens(text, number)?, at: 0 };
    let (verb, own) = line.verb()?;
    line.rest_of(verb, own)
}

/// Reads an attitude, of one line.
pub(super) fn attitude(text: &str) -> Result<AttitudeSpec> {
    let mut line = Line { text, number: 1, tokens: tokens(text, 1)?, at: 0 };
    match line.tilt()? {
        Event { action: Action::Tilt { attitude }, label: None, attitude: None } => Ok(attitude),
        _ => Err(line.bad(line.tokens[0], "an attitude alone is wanted here, such as nose up 2.0(5) deg")),
    }
}

struct Line<'a> {
    text: &'a str,
    number: usize,
    tokens: Vec<Token<'a>>,
    at: usize,
}

impl<'a> Line<'a> {
    // Tokens and errors.

    fn peek(&self) -> Option<Token<'a>> {
        self.tokens.get(self.at).copied()
    }

    /// The end of what was read.
    fn end(&self) -> Token<'a> {
        let start = self.tokens.last().map_or(self.text.len(), Token::end);
        Token { kind: Kind::Word, text: "", start }
    }

    fn here(&self) -> Token<'a> {
        self.peek().unwrap_or_else(|| self.end())
    }

    fn bad(&self, token: Token<'_>, message: impl Into<String>) -> ServiceError {
        let column = column(self.text, token.start);
        ServiceError::BadText { line: self.number, column, word: token.text.into(), message: message.into() }
    }

    fn unknown(&self, token: Token<'_>, accepted: &[&str]) -> ServiceError {
        ServiceError::UnknownWord {
            line: self.number,
            column: column(self.text, token.start),
            word: token.text.into(),
            nearest: self.nearest(token, accepted),
            accepted: accepted.join(", "),
        }
    }

    /// Of the accepted words those that the words from this one on most resemble.
    fn nearest(&self, token: Token<'_>, accepted: &[&str]) -> String {
        let from = self.tokens.iter().position(|t| t.start == token.start).unwrap_or(self.tokens.len());
        let written = |count: usize| {
            let words: Vec<&str> = self.tokens[from..].iter().take(count).map(|t| t.text).collect();
            words.join(" ").to_lowercase()
        };
        accepted
            .iter()
            .map(|phrase| (strsim::jaro_winkler(&written(phrase.split(' ').count()), phrase), *phrase))
            .filter(|(score, _)| *score > 0.75)
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map_or_else(String::new, |(_, phrase)| phrase.into())
    }

    /// Whether these words come next; underscores may stand for the spaces.
    fn comes(&self, phrase: &str) -> Option<usize> {
        let next = self.tokens.get(self.at..).unwrap_or_default();
        let words = || phrase.split(' ');
        let same = |token: &Token<'_>, word: &str| token.kind == Kind::Word && token.text.eq_ignore_ascii_case(word);
        if next.first().is_some_and(|token| same(token, &phrase.replace(' ', "_"))) {
            return Some(1);
        }
        let count = words().count();
        (next.len() >= count && words().zip(next).all(|(word, token)| same(token, word))).then_some(count)
    }

    // The parts of an event.

    fn verb(&mut self) -> Result<(Verb, &'static [Clause])> {
        for (verb, words, own) in VERBS {
            if let Some(count) = self.comes(words) {
                self.at += count;
                return Ok((verb, own));
            }
        }
        Err(self.unknown(self.here(), &VERBS.map(|(_, words, _)| words)))
    }

    fn rest_of(&mut self, verb: Verb, own: &'static [Clause]) -> Result<Event> {
        let action = match verb {
            Verb::OpenPlug | Verb::ClosePlug | Verb::Stop => {
                let name = self.leading_name(own)?;
                return self.named(verb, own, name);
            }
            Verb::Read => return self.read(own),
            Verb::Pour | Verb::Withdraw => return self.amounts(verb, own),
            Verb::Leak | Verb::Use | Verb::Ingress => return self.rates(verb, own),
            Verb::Drain | Verb::Run | Verb::Rest => {
                let duration = self.value("duration")?;
                return self.timed(verb, own, duration);
            }
            Verb::Tilt => return self.tilt(),
            Verb::Wipe => Action::Wipe,
            Verb::RemoveFilter => Action::RemoveFilter,
            Verb::FitFilter | Verb::ChangeFilter => return self.filter(verb, own),
        };
        let options = self.options(verb, own)?;
        Ok(finish(action, options))
    }

    fn named(&mut self, verb: Verb, own: &'static [Clause], name: Option<String>) -> Result<Event> {
        let missing = self.here();
        let mut options = self.options(verb, own)?;
        let action = match (verb, name) {
            (Verb::Stop, Some(rate)) => Action::Stop { rate },
            (Verb::Stop, None) => {
                return Err(self.bad(missing, "stop what? the label of a leak, use or ingress is wanted"));
            }
            (Verb::OpenPlug, plug) => Action::OpenPlug { plug, temperature: options.temperature.take() },
            (_, plug) => Action::ClosePlug { plug },
        };
        Ok(finish(action, options))
    }

    fn timed(&mut self, verb: Verb, own: &'static [Clause], duration: Value<Time>) -> Result<Event> {
        let mut options = self.options(verb, own)?;
        let temperature = options.temperature.take();
        let action = match verb {
            Verb::Drain => Action::Drain { plug: options.name.take(), duration, temperature },
            Verb::Run => Action::Run { duration, temperature },
            _ => Action::Rest { duration },
        };
        Ok(finish(action, options))
    }

    fn amounts(&mut self, verb: Verb, own: &'static [Clause]) -> Result<Event> {
        let start = self.at;
        let amount = self.value("volume").map(Amount::Volume).or_else(|refused| {
            self.at = start;
            self.value("mass").map(Amount::Mass).map_err(|_| refused)
        })?;
        let mut options = self.options(verb, own)?;
        let measured_with = options.name.take();
        let action = match verb {
            Verb::Pour => Action::Pour { amount, temperature: options.temperature.take(), measured_with },
            _ => Action::Withdraw { amount, measured_with },
        };
        Ok(finish(action, options))
    }

    fn filter(&mut self, verb: Verb, own: &'static [Clause]) -> Result<Event> {
        let mut options = self.options(verb, own)?;
        let primed = options.primed.take().unwrap_or_else(nothing);
        let (net_volume, temperature) = (options.holds.take(), options.temperature.take());
        let action = match verb {
            Verb::FitFilter => Action::FitFilter { primed, net_volume, temperature },
            _ => Action::ChangeFilter { primed, net_volume, temperature },
        };
        Ok(finish(action, options))
    }

    fn rates(&mut self, verb: Verb, own: &'static [Clause]) -> Result<Event> {
        let component = if verb == Verb::Ingress { Some(self.component()?) } else { None };
        let rate = self.value("rate")?;
        let options = self.options(verb, own)?;
        let when = |default| options.when.unwrap_or(default);
        let action = match (verb, component) {
            (_, Some(component)) => Action::Ingress { component, rate, when: when(When::Running) },
            (Verb::Use, _) => Action::Use { rate, when: when(When::Running) },
            _ => Action::Leak { rate, when: when(When::Always) },
        };
        Ok(finish(action, options))
    }

    fn component(&mut self) -> Result<Foreign> {
        let all = [Foreign::Fuel, Foreign::Coolant, Foreign::Water];
        let found = COMPONENTS.iter().zip(all).find(|(word, _)| self.comes(word).is_some());
        let Some((_, component)) = found else { return Err(self.unknown(self.here(), &COMPONENTS)) };
        self.at += 1;
        Ok(component)
    }

    fn tilt(&mut self) -> Result<Event> {
        let mut options = self.options(Verb::Tilt, &[])?;
        match std::mem::take(&mut options.tilt).attitude() {
            Some(attitude) => Ok(finish(Action::Tilt { attitude }, options)),
            None => Err(self.unknown(self.end(), &phrases(&ATTITUDES))),
        }
    }

    fn read(&mut self, own: &'static [Clause]) -> Result<Event> {
        let label = match self.peek() {
            Some(token) if token.kind == Kind::Quoted => Some(self.name("label")?),
            _ => None,
        };
        let mut options = Options { label, ..Options::default() };
        self.fill(&mut options, Verb::Read, own)?;
        let how = HowRead {
            smear: options.smear.take(),
            seat_offset: options.seat_offset.take(),
            tube_pressure: options.tube_pressure.take(),
            face: if options.higher.is_some() { Face::Higher } else { Face::Lower },
            stick: options.name.take(),
        };
        Ok(finish(Action::Read(how), options))
    }

    // Names and quantities.

    /// A name right after the verb, where there is one. One word that says an attitude elsewhere, such as `level`, is a name here.
    fn leading_name(&mut self, own: &'static [Clause]) -> Result<Option<String>> {
        let begins = |c: &Clause| self.comes(words(*c)).is_some_and(|count| count > 1 || !ATTITUDES.contains(c));
        let clause = own.iter().chain(&OF_ALL).any(begins);
        match self.peek() {
            Some(token) if token.kind != Kind::Comma && !clause => self.name("name").map(Some),
            _ => Ok(None),
        }
    }

    fn name(&mut self, what: &str) -> Result<String> {
        let token = self.here();
        self.at += 1;
        match token.kind {
            Kind::Word if !token.text.is_empty() => Ok(token.text.into()),
            Kind::Quoted => serde_json::from_str(token.text)
                .map_err(|_| self.bad(token, "in quotes only JSON's escapes are known: \\\" \\\\ \\n \\t \\u0000")),
            _ => Err(self.bad(token, format!("a {what} is missing here"))),
        }
    }

    /// A quantity: the words up to the next comma or clause; of these the most that make sense.
    fn value<D: Dimension>(&mut self, what: &str) -> Result<Value<D>> {
        let first = self.here();
        let length = self.quantity_length();
        if length == 0 {
            let (name, unit) = (D::ID.name(), D::ID.default_unit());
            return Err(self.bad(first, format!("a {name} such as 4.2 {unit} is missing here")));
        }
        let mut refused = None;
        for count in (1..=length).rev() {
            let last = self.tokens[self.at + count - 1];
            match Value::parse(what, &self.text[first.start..last.end()]) {
                Ok(value) => {
                    self.at += count;
                    return Ok(value);
                }
                Err(error) => refused = refused.or(Some(error)),
            }
        }
        Err(self.refused(first, refused))
    }

    fn refused(&self, first: Token<'_>, error: Option<QuantityError>) -> ServiceError {
        self.bad(first, error.map_or_else(String::new, |e| e.to_string()))
    }

    /// How many tokens may belong to the quantity that begins here.
    fn quantity_length(&self) -> usize {
        let rest = self.tokens.get(self.at..).unwrap_or_default();
        let is_factor = |i: usize| rest.get(i + 1).is_some_and(|t| t.text == "k" || t.text.starts_with("k="));
        let begins_clause = |i: usize| {
            let later = Line { text: self.text, number: self.number, tokens: rest[i..].to_vec(), at: 0 };
            CLAUSES.iter().any(|(_, words)| later.comes(words).is_some())
        };
        let ends = |i: usize| match rest[i].kind {
            Kind::Word => begins_clause(i),
            Kind::Comma => i == 0 || !is_factor(i),
            Kind::Quoted => true,
        };
        (0..rest.len()).find(|i| ends(*i)).unwrap_or(rest.len())
    }

    // Clauses.

    fn options(&mut self, verb: Verb, own: &'static [Clause]) -> Result<Options> {
        let mut options = Options::default();
        self.fill(&mut options, verb, own)?;
        Ok(options)
    }

    fn fill(&mut self, options: &mut Options, verb: Verb, own: &'static [Clause]) -> Result<()> {
        let accepted: Vec<Clause> = own.iter().chain(&OF_ALL).copied().collect();
        let mut is_own = verb != Verb::Tilt;
        loop {
            let comma = self.peek().is_some_and(|t| t.kind == Kind::Comma);
            self.at += usize::from(comma);
            let token = self.here();
            if token.text.is_empty() && !comma {
                return Ok(());
            }
            let found = accepted.iter().find_map(|c| self.comes(words(*c)).map(|count| (*c, count)));
            let Some((clause, count)) = found else { return Err(self.unknown(token, &phrases(&accepted))) };
            self.at += count;
            if clause == Clause::Standing {
                is_own = true;
                if !ATTITUDES.iter().any(|c| self.comes(words(*c)).is_some()) {
                    return Err(self.unknown(self.here(), &phrases(&ATTITUDES)));
                }
            } else if !self.clause(clause, options, is_own)? {
                return Err(self.bad(token, format!("`{}` is said twice", words(clause))));
            }
        }
    }

    /// Reads what a clause says; `false` if it was said before.
    fn clause(&mut self, clause: Clause, options: &mut Options, is_own: bool) -> Result<bool> {
        Ok(match clause {
            Clause::At | Clause::OilAt | Clause::To => put(&mut options.temperature, self.value("temperature")?),
            Clause::Through | Clause::With | Clause::Stick => put(&mut options.name, self.name("name")?),
            Clause::Primed => put(&mut options.primed, self.value("primed")?),
            Clause::Holds => put(&mut options.holds, self.value("net_volume")?),
            Clause::WhileRunning => put(&mut options.when, When::Running),
            Clause::Always => put(&mut options.when, When::Always),
            Clause::Smear => put(&mut options.smear, self.value("smear")?),
            Clause::SeatOffset => put(&mut options.seat_offset, self.value("seat_offset")?),
            Clause::TubePressure => put(&mut options.tube_pressure, self.value("tube_pressure")?),
            Clause::HigherFace => put(&mut options.higher, ()),
            Clause::Called => put(&mut options.label, self.name("label")?),
            Clause::Standing => true,
            turned => {
                let way = if is_own { &mut options.own } else { &mut options.tilt };
                self.turn(turned, way)?
            }
        })
    }

    fn turn(&mut self, clause: Clause, way: &mut Turned) -> Result<bool> {
        if way.level.is_some() {
            return Ok(false);
        }
        Ok(match clause {
            Clause::NoseUp => put(&mut way.nose_up, self.value("nose_up")?),
            Clause::NoseDown => put(&mut way.nose_up, self.negative("nose_up")?),
            Clause::RightDown => put(&mut way.right_down, self.value("right_down")?),
            Clause::RightUp => put(&mut way.right_down, self.negative("right_down")?),
            _ => way.nose_up.is_none() && way.right_down.is_none() && put(&mut way.level, ()),
        })
    }

    /// An angle the other way: the same text with a minus sign, where that means the same.
    fn negative(&mut self, what: &str) -> Result<Value<Angle>> {
        let first = self.here();
        let value: Value<Angle> = self.value(what)?;
        let text = value.written();
        let single = text.starts_with(|c: char| c.is_ascii_digit() || c == '.') && !text.contains("..");
        let turned = single.then(|| Value::parse(what, &format!("-{text}")).ok()).flatten();
        turned.ok_or_else(|| self.bad(first, "this way takes a plain angle; say the other way with a negative one"))
    }
}

/// Fills a slot that is still empty.
fn put<T>(slot: &mut Option<T>, value: T) -> bool {
    slot.replace(value).is_none()
}

fn words(clause: Clause) -> &'static str {
    CLAUSES.iter().find(|(c, _)| *c == clause).map_or("", |(_, words)| words)
}

fn phrases(clauses: &[Clause]) -> Vec<&'static str> {
    clauses.iter().map(|c| words(*c)).collect()
}

fn finish(action: Action, options: Options) -> Event {
    let attitude: Option<AttitudeSpec> = options.own.attitude();
    Event { action, label: options.label, attitude }
}
