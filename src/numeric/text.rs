//! Numbers in messages.

/// A computed number as a person would write it: what rounding left behind (beyond 12 digits, or a minus before zero) is
/// not shown.
pub(crate) fn text_number(x: f64) -> String {
    let rounded: f64 = format!("{x:.11e}").parse().unwrap_or(x);
    as_given(rounded + 0.0)
}

/// A number with all its digits; with a power of ten where nothing but noughts would follow or lead them.
pub(crate) fn as_given(x: f64) -> String {
    let size = x.abs();
    if x.is_finite() && (size >= 1e16 || (size > 0.0 && size < 1e-12)) { format!("{x:e}") } else { x.to_string() }
}

/// `, the first of 3 such edges`; nothing where there is no other.
pub(crate) fn first_of(count: usize, such: &str) -> String {
    if count == 1 { String::new() } else { format!(", the first of {count} {such}") }
}

/// A number with its sign to so many decimals; what rounds to nothing has a plus.
pub(crate) fn signed(x: f64, decimals: usize) -> String {
    let text = format!("{x:+.decimals$}");
    if text.bytes().any(|b| (b'1'..=b'9').contains(&b)) { text } else { format!("{:+.decimals$}", 0.0) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_rounding_left_is_not_shown() {
        let shown = [6.000_000_000_000_001, -0.0, 0.1 + 0.2, 1234.5, f64::INFINITY].map(text_number);
        assert_eq!(shown, ["6", "0", "0.3", "1234.5", "inf"]);
    }

    #[test]
    fn a_row_of_noughts_is_not_written_out() {
        let shown = [1e300, -2.5e16, 1e15, 1e-9, 1e-13, 0.0, f64::NEG_INFINITY].map(as_given);
        assert_eq!(shown, ["1e300", "-2.5e16", "1000000000000000", "0.000000001", "1e-13", "0", "-inf"]);
        assert_eq!(text_number(f64::MAX), "1.79769313486e308");
    }

    #[test]
    fn nothing_has_a_plus() {
        assert_eq!([signed(-1e-9, 3), signed(-0.0, 2), signed(-0.0006, 3)], ["+0.000", "+0.00", "-0.001"]);
    }
}
