//! Reading and writing one number of the grammar: `4.2`, `.5`, `1e-3`, `1/2`, `5 1/2`, `0.35(5)`.

/// A number at the start of a text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scanned<'a> {
    /// Its value.
    pub value: f64,
    /// The standard uncertainty in parentheses, where there is one.
    pub sd: Option<f64>,
    /// What follows it.
    pub rest: &'a str,
}

/// Why no number could be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Flaw {
    /// There is none.
    Missing,
    /// A comma follows or divides the digits.
    Comma,
    /// It is written as, or too large for, a finite number.
    NotFinite,
}

/// Reads the number at the start of `text`; leading blanks are skipped.
pub(super) fn scan(text: &str) -> Result<Scanned<'_>, Flaw> {
    let text = text.trim_start();
    let (negative, body) = sign(text);
    if is_not_finite(body) {
        return Err(Flaw::NotFinite);
    }
    let mantissa = mantissa_len(body);
    let (digits, after) = body.split_at(mantissa);
    if !digits.contains(|c: char| c.is_ascii_digit()) {
        return Err(if body.starts_with(',') { Flaw::Comma } else { Flaw::Missing });
    }
    if comma_in_number(after) {
        return Err(Flaw::Comma);
    }
    let whole = !digits.contains('.');
    let mut scanned = match fraction(digits, after).filter(|_| whole) {
        Some(scanned) => scanned,
        None => decimal(digits, after)?,
    };
    if !scanned.value.is_finite() || scanned.sd.is_some_and(|sd| !sd.is_finite()) {
        return Err(Flaw::NotFinite);
    }
    if negative {
        scanned.value = -scanned.value;
    }
    Ok(scanned)
}

/// Reads a number that fills `text`; `None` as the flaw means that something follows it.
pub(super) fn scan_all(text: &str) -> Result<f64, Option<Flaw>> {
    let scanned = scan(text).map_err(Some)?;
    if scanned.rest.trim().is_empty() && scanned.sd.is_none() { Ok(scanned.value) } else { Err(None) }
}

/// A leading sign, which may be a true minus; blanks may follow it.
fn sign(text: &str) -> (bool, &str) {
    for (mark, negative) in [("-", true), ("\u{2212}", true), ("+", false)] {
        if let Some(rest) = text.strip_prefix(mark) {
            return (negative, rest.trim_start());
        }
    }
    (false, text)
}

fn is_not_finite(body: &str) -> bool {
    let word: String = body.chars().take_while(|c| c.is_alphabetic()).collect();
    ["inf", "infinity", "nan"].iter().any(|w| word.eq_ignore_ascii_case(w)) || body.starts_with('∞')
}

/// Length of digits with at most one point. A second point in a row (a range) ends it before the first.
fn mantissa_len(body: &str) -> usize {
    let bytes = body.as_bytes();
    let mut point = false;
    let mut i = 0;
    while let Some(&b) = bytes.get(i) {
        match b {
            b'0'..=b'9' => {}
            b'.' if !point && bytes.get(i + 1) != Some(&b'.') => point = true,
            _ => break,
        }
        i += 1;
    }
    i
}

fn comma_in_number(after: &str) -> bool {
    after.strip_prefix(',').is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
}

/// Length of leading ASCII digits.
fn digits_len(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

/// `1/2` or `5 1/2`; `None` if `after` holds neither, or if the integers are not exact as `f64`.
fn fraction<'a>(digits: &str, after: &'a str) -> Option<Scanned<'a>> {
    let (whole, top, after) = if after.starts_with('/') { ("0", digits, after) } else { mixed(digits, after)? };
    let bottom = after.strip_prefix('/')?;
    let n = digits_len(bottom);
    let (bottom, rest) = (bottom.get(..n)?, bottom.get(n..)?);
    let [whole, top, bottom] = [whole, top, bottom].map(|s| s.parse::<u64>().ok().filter(|v| *v < 1 << 53));
    let (whole, top, bottom) = (whole?, top?, bottom?);
    let numerator = whole.checked_mul(bottom)?.checked_add(top)?;
    if bottom == 0 || numerator >= 1 << 53 {
        return None;
    }
    Some(Scanned { value: numerator as f64 / bottom as f64, sd: None, rest })
}

/// The whole part and the numerator of `5 1/2`, and what follows.
fn mixed<'a, 'd>(digits: &'d str, after: &'a str) -> Option<(&'d str, &'a str, &'a str)>
where
    'a: 'd,
{
    let gap = after.trim_start();
    let n = digits_len(gap);
    (gap.len() < after.len() && n > 0).then(|| (digits, &gap[..n], &gap[n..]))
}

/// A decimal number with an optional uncertainty in parentheses and an optional exponent.
fn decimal<'a>(digits: &str, after: &'a str) -> Result<Scanned<'a>, Flaw> {
    let (inner, after) = match parenthesis(after) {
        Some((inner, rest)) => (Some(inner), rest),
        None => (None, after),
    };
    let (exponent, rest) = exponent(after);
    let value = format!("{digits}e{exponent}").parse().map_err(|_| Flaw::Missing)?;
    let sd = inner.map(|inner| last_digits(digits, inner, exponent)).transpose()?;
    Ok(Scanned { value, sd, rest })
}

/// The digits of `(12)` or `(0.05)` and what follows.
fn parenthesis(after: &str) -> Option<(&str, &str)> {
    let (inner, rest) = after.strip_prefix('(')?.split_once(')')?;
    let fits = inner.bytes().all(|b| b.is_ascii_digit() || b == b'.') && inner.bytes().any(|b| b.is_ascii_digit());
    fits.then_some((inner, rest))
}

/// The uncertainty of `0.350(12)` (in the last digits) or `0.350(0.012)` (in full), GUM 7.2.2.
fn last_digits(digits: &str, inner: &str, exponent: i32) -> Result<f64, Flaw> {
    let decimals = digits.split_once('.').map_or(0, |(_, d)| d.len());
    let shift = if inner.contains('.') { 0 } else { i32::try_from(decimals).map_err(|_| Flaw::Missing)? };
    format!("{inner}e{}", exponent.saturating_sub(shift)).parse().map_err(|_| Flaw::Missing)
}

/// `e-3` at the start of `after` and what follows; 0 if there is none.
fn exponent(after: &str) -> (i32, &str) {
    let Some(rest) = after.strip_prefix(['e', 'E']) else {
        return (0, after);
    };
    let (negative, body) = match rest.strip_prefix('-') {
        Some(body) => (true, body),
        None => (false, rest.strip_prefix('+').unwrap_or(rest)),
    };
    let n = digits_len(body);
    if n == 0 {
        return (0, after);
    }
    let size = body[..n].parse::<i32>().unwrap_or(1_000_000).min(1_000_000);
    (if negative { -size } else { size }, &body[n..])
}

/// The shortest text that reads back as the same `f64`; with an exponent when it would be long.
pub(super) fn shortest(x: f64) -> String {
    if x == 0.0 || (1e-5..1e16).contains(&x.abs()) || !x.is_finite() { format!("{x}") } else { format!("{x:e}") }
}
