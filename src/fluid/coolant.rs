//! Density of ethylene glycol in water, by mass or by volume: two bases that must be named.

use serde::{Deserialize, Serialize};

use super::error::{FluidError, within};

/// What the percentage of glycol counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// Percent by mass, of pure ethylene glycol.
    Mass,
    /// Percent by volume, of inhibited ethylene glycol (as sold for cooling systems).
    Volume,
}

/// A mixture of ethylene glycol and water.
///
/// *By mass*: pure glycol, the polynomial of Å. Melinder, Properties of Secondary Working Fluids for Indirect Systems,
/// 2nd ed., International Institute of Refrigeration 2010, for 0 to 60 % and up to 100 degC:
///
/// ```text
/// rho = sum c_ij (w - 30.8462)^i (t - 31.728)^j,   w in percent, t in deg C
/// ```
///
/// *By volume*: inhibited glycol, a polynomial fitted here to the 10 to 90 % by 5 K table of ASHRAE Handbook -
/// Fundamentals, chapter on secondary coolants (274 values); it meets every value within 0.07 kg/m3.
///
/// The bases differ by about 0.8 % of density at 50 %, and inhibited from pure glycol by another 0.5 %. Valid down to
/// -35 degC while the mixture is liquid; the freezing point is not checked. Standard relative uncertainty 0.1 %
/// (judgement, from the 0.11 % between two printings of the ASHRAE table).
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct GlycolWater {
    percent: f64,
    basis: Basis,
}

/// Base point of the polynomial by mass: percent and deg C.
const MELINDER_BASE: (f64, f64) = (30.8462, 31.728);
/// Melinder's density coefficients: `MELINDER[i][j]` belongs to `(w - w0)^i (t - t0)^j`. Read from the open library
/// SecondaryCoolantProps 1.5.
const MELINDER: [[f64; 4]; 6] = [
    [1.0340e3, -4.7810e-1, -2.6920e-3, 4.7250e-6],
    [1.3110, -6.8760e-3, 4.8050e-5, 1.6900e-8],
    [7.4900e-5, 7.8550e-5, -3.9950e-7, 4.9820e-9],
    [-1.0620e-4, 1.2290e-6, -1.1530e-8, 0.0],
    [-9.6230e-7, -7.2110e-8, 0.0, 0.0],
    [4.8910e-8, 0.0, 0.0, 0.0],
];
/// Fit to the ASHRAE table: `VOLUME[i][j]` belongs to `(phi - 0.5)^i ((t - 40)/100)^j`, phi a fraction, t in deg C.
const VOLUME: [[f64; 4]; 4] = [
    [1063.679288, -53.268957, -24.326572, 0.008291],
    [126.438091, -31.257232, 0.004060, 0.0],
    [-38.958300, -4.874716, 0.0, 0.0],
    [13.633091, 0.0, 0.0, 0.0],
];

impl GlycolWater {
    /// Half glycol by mass: what a cooling system usually holds, near enough.
    pub(crate) const HALF_BY_MASS: Self = Self { percent: 50.0, basis: Basis::Mass };

    /// A mixture of `percent` glycol on the named basis: 0 to 60 by mass, 10 to 90 by volume.
    ///
    /// # Errors
    /// [`FluidError::OutsideRelation`] outside those limits.
    pub fn new(percent: f64, basis: Basis) -> Result<Self, FluidError> {
        let (low, high, relation) = match basis {
            Basis::Mass => (0.0, 60.0, "Melinder 2010, ethylene glycol by mass"),
            Basis::Volume => (10.0, 90.0, "ASHRAE Fundamentals, ethylene glycol by volume"),
        };
        within("glycol", percent, low, high, "%", relation)?;
        Ok(Self { percent, basis })
    }

    /// Reads such text as `50 % mass`, `33 vol %`, `40 % v/v`.
    ///
    /// # Errors
    /// [`FluidError::BasisNotNamed`] for a bare percentage, [`FluidError::NotAPercentage`] when no number is found, and
    /// those of [`GlycolWater::new`].
    ///
    /// ```
    /// use fillmark::fluid::GlycolWater;
    /// assert!(GlycolWater::parse("50 % mass").is_ok());
    /// assert_eq!(GlycolWater::parse("50 %").unwrap_err().to_string(),
    ///     "\"50 %\" does not say percent of what: write \"% mass\" or \"% volume\" (they differ by about 0.8 % of density)");
    /// ```
    pub fn parse(text: &str) -> Result<Self, FluidError> {
        let lower = text.to_lowercase();
        let digits: String =
            lower.chars().skip_while(|c| !c.is_ascii_digit()).take_while(|c| c.is_ascii_digit() || *c == '.').collect();
        let percent: f64 = digits.parse().map_err(|_| FluidError::NotAPercentage { text: text.into() })?;
        let names = |words: &[&str]| words.iter().any(|w| lower.contains(w));
        match (names(&["mass", "m/m", "w/w", "weight", "wt"]), names(&["vol", "v/v"])) {
            (true, false) => Self::new(percent, Basis::Mass),
            (false, true) => Self::new(percent, Basis::Volume),
            _ => Err(FluidError::BasisNotNamed { text: text.into() }),
        }
    }

    /// Percentage of glycol.
    pub fn percent(&self) -> f64 {
        self.percent
    }

    /// What the percentage counts.
    pub fn basis(&self) -> Basis {
        self.basis
    }

    /// Temperatures covered, in deg C.
    pub(crate) fn range_c(&self) -> [f64; 2] {
        match self.basis {
            Basis::Mass => [-35.0, 100.0],
            Basis::Volume => [-35.0, 125.0],
        }
    }

    /// Density in kg/m3 at `temperature_c` (deg C), unchecked.
    pub(crate) fn density(&self, temperature_c: f64) -> f64 {
        match self.basis {
            Basis::Mass => polynomial(&MELINDER, self.percent - MELINDER_BASE.0, temperature_c - MELINDER_BASE.1),
            Basis::Volume => polynomial(&VOLUME, self.percent / 100.0 - 0.5, (temperature_c - 40.0) / 100.0),
        }
    }
}

/// `sum c_ij x^i y^j`.
fn polynomial<const N: usize>(c: &[[f64; 4]; N], x: f64, y: f64) -> f64 {
    c.iter().rev().fold(0.0, |sum, row| sum * x + row.iter().rev().fold(0.0, |s, k| s * y + k))
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;
    use crate::error::Coded;

    /// By mass: CoolProp 8.0.0 `INCOMP::MEG[0.5]`, computed (the same polynomial in other code). By volume: CoolProp
    /// `INCOMP::AEG[0.5]` and a reproduction of the I-P table of ASHRAE Fundamentals. Asked for: 0.2 %.
    #[test]
    fn half_and_half() {
        let mass = GlycolWater::new(50.0, Basis::Mass).unwrap();
        for (t, rho) in [
            (0.0, 1074.62361063),
            (4.444, 1072.64102748),
            (20.0, 1064.92866283),
            (37.778, 1054.79547791),
            (40.0, 1053.44076737),
            (80.0, 1026.40640914),
            (93.333, 1016.55101159),
            (100.0, 1011.52008423),
        ] {
            assert_relative_eq!(mass.density(t), rho, max_relative = 1e-6);
        }
        let volume = GlycolWater::new(50.0, Basis::Volume).unwrap();
        for (t, rho) in [
            (0.0, 1081.08480573),
            (20.0, 1073.34785899),
            (40.0, 1063.66379897),
            (80.0, 1038.46474378),
            (100.0, 1022.95495092),
        ] {
            assert_relative_eq!(volume.density(t), rho, max_relative = 1e-4);
        }
        for (t, rho) in [(4.444, 1080.7657), (37.778, 1066.0287), (93.333, 1029.5066)] {
            assert_relative_eq!(volume.density(t), rho, max_relative = 2e-3);
        }
    }

    /// A few values of the ASHRAE table away from the middle (kg/m3), to the 0.07 of the fit.
    #[test]
    fn corners_of_the_table() {
        for (percent, t, rho) in
            [(10.0, 0.0, 1018.73), (20.0, 60.0, 1011.99), (80.0, -35.0, 1132.11), (90.0, 125.0, 1034.74)]
        {
            let m = GlycolWater::new(percent, Basis::Volume).unwrap();
            approx::assert_abs_diff_eq!(m.density(t), rho, epsilon = 0.07);
        }
    }

    /// No glycol is water: Melinder's polynomial stays within 0.15 % of IAPWS-95 (computed) between 0 and 80 degC.
    #[test]
    fn no_glycol_is_water() {
        let m = GlycolWater::new(0.0, Basis::Mass).unwrap();
        for t in [5.0, 20.0, 40.0, 60.0, 80.0] {
            assert_relative_eq!(m.density(t), crate::fluid::water::density(t), max_relative = 1.5e-3);
        }
    }

    #[test]
    fn text_must_name_the_basis() {
        for text in ["50 % mass", "50% by weight", "50 wt%", "50 % m/m"] {
            assert_eq!(GlycolWater::parse(text).unwrap(), GlycolWater::new(50.0, Basis::Mass).unwrap());
        }
        for text in ["33.5 vol %", "33.5 % v/v", "33.5 % volume"] {
            assert_eq!(GlycolWater::parse(text).unwrap(), GlycolWater::new(33.5, Basis::Volume).unwrap());
        }
        assert_eq!(GlycolWater::parse("50 %").unwrap_err().code(), "fluid.basis_not_named");
        assert_eq!(GlycolWater::parse("half mass").unwrap_err().code(), "fluid.not_a_percentage");
        assert_eq!(GlycolWater::parse("95 % volume").unwrap_err().code(), "fluid.outside_relation");
        assert_eq!(GlycolWater::new(61.0, Basis::Mass).unwrap_err().code(), "fluid.outside_relation");
    }
}
