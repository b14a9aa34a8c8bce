//! Numbers in messages.

/// A computed number as a person would write it: what rounding left behind (beyond 12 digits, or a minus before zero) is
/// not shown.
pub(crate) fn text_number(x: f64) -> String {
    let rounded: f64 = format!("{x:.11e}").parse().unwrap_or(x);
    format!("{}", rounded + 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_rounding_left_is_not_shown() {
        let shown = [6.000_000_000_000_001, -0.0, 0.1 + 0.2, 1234.5, f64::INFINITY].map(text_number);
        assert_eq!(shown, ["6", "0", "0.3", "1234.5", "inf"]);
    }
}
