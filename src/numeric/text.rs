//! Numbers in messages.

/// A computed number as a person would write it: what rounding left behind (beyond 12 digits, or a minus before zero) is
/// not shown.
pub(crate) fn text_number(x: f64) -> String {
    let rounded: f64 = format!("{x:.11e}").parse().unwrap_or(x);
    format!("{}", rounded + 0.0)
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
    fn nothing_has_a_plus() {
        assert_eq!([signed(-1e-9, 3), signed(-0.0, 2), signed(-0.0006, 3)], ["+0.000", "+0.00", "-0.001"]);
    }
}
