//! A line of text as words, quoted texts and commas.

use super::super::ServiceError;

/// What a token is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Word,
    Quoted,
    Comma,
}

/// A token and where it stands, in bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Token<'a> {
    pub(super) kind: Kind,
    pub(super) text: &'a str,
    pub(super) start: usize,
}

impl Token<'_> {
    pub(super) fn end(&self) -> usize {
        self.start + self.text.len()
    }
}

/// Column of a byte, counted from 1.
pub(super) fn column(line: &str, byte: usize) -> usize {
    line.get(..byte).unwrap_or(line).chars().count() + 1
}

/// The tokens of a line. A comma in parentheses belongs to its word, and so does one between two digits; `#` starts a remark.
pub(super) fn tokens(line: &str, number: usize) -> Result<Vec<Token<'_>>, ServiceError> {
    let mut found = Vec::new();
    let mut depth = 0_i32;
    let mut at = 0;
    while let Some(c) = line[at..].chars().next() {
        let (kind, length) = match c {
            '#' => break,
            '"' => (Kind::Quoted, quoted(&line[at..]).ok_or_else(|| not_closed(line, number, at))?),
            ',' if depth <= 0 => (Kind::Comma, 1),
            c if c.is_whitespace() => {
                at += c.len_utf8();
                continue;
            }
            _ => (Kind::Word, word(&line[at..], &mut depth)),
        };
        found.push(Token { kind, text: &line[at..at + length], start: at });
        at += length;
    }
    Ok(found)
}

fn not_closed(line: &str, number: usize, at: usize) -> ServiceError {
    ServiceError::BadText {
        line: number,
        column: column(line, at),
        word: line[at..].into(),
        message: "a quotation mark is not closed".into(),
    }
}

/// Length of a text in quotes, both marks included.
fn quoted(rest: &str) -> Option<usize> {
    let mut escaped = false;
    rest.char_indices().skip(1).find_map(|(i, c)| match c {
        _ if escaped => {
            escaped = false;
            None
        }
        '\\' => {
            escaped = true;
            None
        }
        '"' => Some(i + 1),
        _ => None,
    })
}

/// Length of a word; `depth` counts parentheses from word to word.
fn word(rest: &str, depth: &mut i32) -> usize {
    let mut before = ' ';
    for (i, c) in rest.char_indices() {
        let after = || rest[i + c.len_utf8()..].chars().next();
        let ends = match c {
            ',' => *depth <= 0 && !(before.is_ascii_digit() && after().is_some_and(|c| c.is_ascii_digit())),
            '#' | '"' => true,
            c => c.is_whitespace(),
        };
        if ends {
            return i;
        }
        *depth += i32::from(c == '(') - i32::from(c == ')');
        before = c;
    }
    rest.len()
}
