//! Reading a grade as people write it: `10W-40`, `SAE 30`, `75w90`, `ISO VG 46`.

use serde::Serialize;

use super::{Standard, iso3448, j300, j306};
use crate::fluid::error::FluidError;

/// A grade, single or multi.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Label {
    /// The standard that defines it.
    pub standard: Standard,
    /// The grade with a W, such as `10W`.
    pub winter: Option<&'static str>,
    /// The grade without a W, such as `40`, or the ISO class number.
    pub summer: Option<&'static str>,
}

/// How many near designations an error offers.
const OFFERED: usize = 4;

impl Label {
    /// Reads a designation. `SAE` is optional; case, spaces and the sign between the two parts do not matter. An ISO class
    /// needs its `VG`, because a bare 100 or 220 says nothing of the standard. SAE numbers below 65 are engine oils.
    ///
    /// # Errors
    /// [`FluidError::UnknownGrade`] with the nearest designations.
    ///
    /// ```
    /// use fillmark::fluid::grades::Label;
    /// assert_eq!(Label::parse("sae 10w40")?.to_string(), "10W-40");
    /// assert!(Label::parse("10W-45").unwrap_err().to_string().contains("10W-40"));
    /// # Ok::<(), fillmark::fluid::FluidError>(())
    /// ```
    pub fn parse(text: &str) -> Result<Self, FluidError> {
        let key = key(text);
        known()
            .into_iter()
            .find(|l| self::key(&l.to_string()) == key)
            .ok_or_else(|| FluidError::UnknownGrade { text: text.trim().into(), near: near(text) })
    }
}

impl std::fmt::Display for Label {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match (self.standard, self.winter, self.summer) {
            (Standard::Iso3448, _, Some(class)) => write!(f, "ISO VG {class}"),
            (_, Some(w), Some(s)) => write!(f, "{w}-{s}"),
            (_, w, s) => f.write_str(w.or(s).unwrap_or_default()),
        }
    }
}

/// A designation reduced to what distinguishes it: `SAE 10W-40` and `10w40` give `10W40`.
fn key(text: &str) -> String {
    let plain: String = text.to_uppercase().chars().filter(char::is_ascii_alphanumeric).collect();
    plain.strip_prefix("SAE").or(plain.strip_prefix("ISO")).unwrap_or(&plain).into()
}

/// Every designation: single grades, and each winter grade with each thicker grade of the same standard.
pub(super) fn known() -> Vec<Label> {
    let pairs = |standard, winter: Vec<(&'static str, f64)>, summer: Vec<(&'static str, f64)>| {
        let mut out = Vec::new();
        for (w, low) in &winter {
            out.push(Label { standard, winter: Some(*w), summer: None });
            // A winter grade cannot stand before a grade whose whole window it excludes.
            for (s, _) in summer.iter().filter(|(_, high)| high > low) {
                out.push(Label { standard, winter: Some(*w), summer: Some(*s) });
            }
        }
        out.extend(summer.iter().map(|(s, _)| Label { standard, winter: None, summer: Some(*s) }));
        out
    };
    let engine = pairs(
        Standard::SaeJ300,
        j300::WINTER.iter().map(|g| (g.name, g.kv100_min)).collect(),
        j300::SUMMER.iter().map(|g| (g.name, g.kv100_below)).collect(),
    );
    let gear = pairs(
        Standard::SaeJ306,
        j306::WINTER.iter().map(|g| (g.name, g.kv100_min)).collect(),
        j306::SUMMER.iter().map(|g| (g.name, g.kv100_below.unwrap_or(f64::INFINITY))).collect(),
    );
    let iso = iso3448::NAMES.iter().map(|n| Label { standard: Standard::Iso3448, winter: None, summer: Some(*n) });
    engine.into_iter().chain(gear).chain(iso).collect()
}

/// The designations nearest to a text, nearest first.
fn near(text: &str) -> Vec<String> {
    let wanted = key(text);
    // A bare number may be meant as an ISO class.
    let distance = |name: &str| {
        let name = key(name);
        let plain = name.strip_prefix("VG").unwrap_or(&name);
        strsim::damerau_levenshtein(&wanted, &name).min(strsim::damerau_levenshtein(&wanted, plain))
    };
    let mut all: Vec<(usize, String)> = known().iter().map(|l| (distance(&l.to_string()), l.to_string())).collect();
    all.sort_by_key(|a| a.0);
    all.into_iter().take(OFFERED).map(|(_, name)| name).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::error::Coded;

    #[test]
    fn spellings() {
        for text in ["10W-40", "10w40", "SAE 10W-40", "sae 10 W / 40", " 10W–40 "] {
            assert_eq!(Label::parse(text).unwrap().to_string(), "10W-40", "{text}");
        }
        for text in ["ISO VG 46", "VG46", "iso-vg 46"] {
            assert_eq!(Label::parse(text).unwrap().standard, Standard::Iso3448, "{text}");
        }
        assert_eq!(Label::parse("75W-90").unwrap().standard, Standard::SaeJ306);
        assert_eq!(
            Label::parse("SAE 30").unwrap(),
            Label { standard: Standard::SaeJ300, winter: None, summer: Some("30") }
        );
    }

    #[test]
    fn every_designation_reads_back() {
        for label in known() {
            assert_eq!(Label::parse(&label.to_string()).unwrap(), label);
        }
    }

    #[test]
    fn unknown_grades_list_near_ones() {
        for (text, expected) in
            [("10W-45", "10W-40"), ("15W40W", "15W-40"), ("VG 45", "ISO VG 46"), ("46", "ISO VG 46")]
        {
            let e = Label::parse(text).unwrap_err();
            assert_eq!(e.code(), "fluid.unknown_grade");
            assert!(e.to_string().contains(text), "{e}");
            let FluidError::UnknownGrade { near, .. } = e else { panic!("{e}") };
            assert!(near.iter().any(|n| n == expected), "{text}: {near:?}");
        }
        // 25W demands 9.3 mm2/s at 100 degC, so nothing thinner than a 30 can follow it.
        assert!(Label::parse("25W-20").is_err());
    }
}
