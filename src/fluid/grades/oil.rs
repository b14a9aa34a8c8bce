//! The oil that a grade describes, with the uncertainty the label leaves.

use serde::Serialize;
use uom::si::f64::{KinematicViscosity, MassDensity};
use uom::si::kinematic_viscosity::square_millimeter_per_second;
use uom::si::mass_density::kilogram_per_cubic_meter;

use super::{Label, Standard, iso3448, j300, j306};
use crate::fluid::error::{FluidError, within};
use crate::fluid::viscosity_index::{kv40_mm2_s, kv100_mm2_s};
use crate::fluid::{Fluid, OilModel};
use crate::numeric::check;

/// Where the limits of a window come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Source {
    /// Both limits are the standard's.
    Standard,
    /// At least one limit is a judgement.
    Judgement,
}

/// Limits between which a value may lie, all values alike (a rectangular distribution).
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Window {
    /// Lower limit.
    pub low: f64,
    /// Upper limit.
    pub high: f64,
    /// Where the limits come from.
    pub source: Source,
}

impl Window {
    const fn judged(low: f64, high: f64) -> Self {
        Self { low, high, source: Source::Judgement }
    }

    /// Middle of the window: the nominal value.
    pub fn middle(&self) -> f64 {
        0.5 * (self.low + self.high)
    }

    /// Standard uncertainty of a rectangular distribution, `(high - low)/sqrt(12)` (JCGM 100, 4.3.7).
    pub fn standard_uncertainty(&self) -> f64 {
        (self.high - self.low) / 12f64.sqrt()
    }

    /// The value at a share of the way from the lower (0) to the upper limit (1).
    pub fn at(&self, share: f64) -> f64 {
        self.low + share * (self.high - self.low)
    }
}

/// The oil of a grade: three independent windows.
///
/// The label fixes a window of one viscosity. The index and the density, which it does not fix, are judged: the index
/// from what each winter grade needs (a 5W-30 about 163, a 10W-40 148, a 15W-40 137, a 20W-50 122, single grades 98), the
/// density of fresh oils of the kind. An end that a standard leaves open is judged as well. Every window tells which.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct GradeOil {
    /// The grade.
    pub label: Label,
    /// Edition of its standard.
    pub edition: &'static str,
    /// Density at 15 degC, in kg/m3: a judgement.
    pub density_15c: Window,
    /// Temperature of the viscosity window, in deg C: 100 (SAE) or 40 (ISO).
    pub temperature_c: f64,
    /// Kinematic viscosity at that temperature, in mm2/s.
    pub viscosity: Window,
    /// Viscosity index: a judgement.
    pub viscosity_index: Window,
}

impl GradeOil {
    /// The oil of a grade as people write it (see [`Label::parse`]).
    ///
    /// # Errors
    /// [`FluidError::UnknownGrade`] with near designations; [`FluidError::OutsideRelation`] for a class so thin that the
    /// viscosity index is not defined (ISO VG 2 and 3).
    pub fn parse(text: &str) -> Result<Self, FluidError> {
        Self::of(Label::parse(text)?)
    }

    /// The oil of a grade.
    ///
    /// # Errors
    /// [`FluidError::OutsideRelation`] as above.
    pub fn of(label: Label) -> Result<Self, FluidError> {
        let (temperature_c, viscosity) = viscosity_window(&label);
        let (density_15c, viscosity_index) = judged(&label);
        let oil =
            Self { edition: label.standard.edition(), label, density_15c, temperature_c, viscosity, viscosity_index };
        let (_, kv100) = oil.viscosities_mm2_s(0.0, 0.0);
        within("kv100", kv100, 2.0, f64::MAX, "mm2/s", "ASTM D2270, which joins the two viscosities of a grade")?;
        Ok(oil)
    }

    /// The middle of all windows as a fluid.
    ///
    /// # Errors
    /// Those of [`Fluid::oil`]; the windows of this crate cause none.
    pub fn nominal(&self) -> Result<Fluid, FluidError> {
        self.at(0.5, 0.5, 0.5)
    }

    /// One oil of the grade, at shares of the way (0 to 1) through the windows of density, viscosity and index.
    ///
    /// # Errors
    /// [`FluidError::Quantity`] for a share outside 0 to 1, and those of [`Fluid::oil`].
    pub fn at(&self, density: f64, viscosity: f64, index: f64) -> Result<Fluid, FluidError> {
        for (name, share) in [("density", density), ("viscosity", viscosity), ("index", index)] {
            check::in_range(&format!("share of {name}"), share, 0.0, 1.0, "(dimensionless)")?;
        }
        let (kv40, kv100) = self.viscosities_mm2_s(viscosity, index);
        let nu = KinematicViscosity::new::<square_millimeter_per_second>;
        let density = MassDensity::new::<kilogram_per_cubic_meter>(self.density_15c.at(density));
        Fluid::oil(density, nu(kv40), nu(kv100))
    }

    /// One oil of the grade, for a draw: the shares of the way (0 to 1) through the windows of density, viscosity and
    /// index. Not checked.
    pub fn draw(&self, density: f64, viscosity: f64, index: f64) -> OilModel {
        let (kv40, kv100) = self.viscosities_mm2_s(viscosity, index);
        OilModel::unchecked(self.density_15c.at(density), kv40 * 1e-6, kv100 * 1e-6, 1.0)
    }

    /// Kinematic viscosities at 40 and 100 degC in mm2/s, at shares of the way through the windows.
    fn viscosities_mm2_s(&self, viscosity: f64, index: f64) -> (f64, f64) {
        let (nu, index) = (self.viscosity.at(viscosity), self.viscosity_index.at(index));
        if self.label.standard == Standard::Iso3448 {
            (nu, kv100_mm2_s(nu, index))
        } else {
            (kv40_mm2_s(nu, index), nu)
        }
    }
}

/// Temperature in deg C and window in mm2/s that a label fixes.
fn viscosity_window(label: &Label) -> (f64, Window) {
    match label.standard {
        Standard::Iso3448 => {
            let class = iso3448::NAMES.iter().position(|n| Some(*n) == label.summer).unwrap_or(0);
            let mid = iso3448::CLASSES[class].1;
            let half = iso3448::HALF_WIDTH * mid;
            (40.0, Window { low: mid - half, high: mid + half, source: Source::Standard })
        }
        Standard::SaeJ300 => {
            let winter = j300::WINTER.iter().find(|g| Some(g.name) == label.winter).map(|g| g.kv100_min);
            let summer = j300::SUMMER.iter().find(|g| Some(g.name) == label.summer);
            (100.0, sae_window(winter, summer.map(|g| (g.kv100_min, Some(g.kv100_below)))))
        }
        Standard::SaeJ306 => {
            let winter = j306::WINTER.iter().find(|g| Some(g.name) == label.winter).map(|g| g.kv100_min);
            let summer = j306::SUMMER.iter().find(|g| Some(g.name) == label.summer);
            (100.0, sae_window(winter, summer.map(|g| (g.kv100_min, g.kv100_below))))
        }
    }
}

/// An oil whose window has no upper limit is taken to stay below this times its lower one (judgement).
const OPEN_END: f64 = 1.5;

/// The window of a winter grade, of a summer grade, or of both.
fn sae_window(winter: Option<f64>, summer: Option<(f64, Option<f64>)>) -> Window {
    let low = winter.unwrap_or(0.0).max(summer.map_or(0.0, |s| s.0));
    match summer.and_then(|s| s.1) {
        Some(high) => Window { low, high, source: Source::Standard },
        None => Window::judged(low, OPEN_END * low),
    }
}

/// Judged windows of density at 15 degC and viscosity index.
fn judged(label: &Label) -> (Window, Window) {
    let index = |mid: f64, half: f64| Window::judged(mid - half, mid + half);
    let multi = label.summer.and(label.winter);
    match label.standard {
        Standard::Iso3448 => (Window::judged(855.0, 900.0), index(100.0, 10.0)),
        Standard::SaeJ306 => {
            let middle = match multi {
                Some("70W" | "75W") => index(155.0, 20.0),
                Some(_) => index(103.0, 10.0),
                None => index(98.0, 8.0),
            };
            (Window::judged(860.0, 915.0), middle)
        }
        Standard::SaeJ300 => {
            let middle = match multi {
                Some("0W") => index(172.0, 15.0),
                Some("5W") => index(163.0, 15.0),
                Some("10W") => index(148.0, 14.0),
                Some("15W") => index(137.0, 10.0),
                Some("20W") => index(122.0, 10.0),
                Some(_) => index(112.0, 8.0),
                None => index(98.0, 8.0),
            };
            let density = match multi {
                Some("0W" | "5W") => Window::judged(838.0, 872.0),
                Some(_) => Window::judged(855.0, 888.0),
                None => Window::judged(870.0, 900.0),
            };
            (density, middle)
        }
    }
}

#[cfg(test)]
mod tests {
    use approx::{assert_abs_diff_eq, assert_relative_eq};

    use super::*;
    use crate::error::Coded;

    /// Measured oils of the NOAA oil database (noaa-oil-data, commit ca22bdb) must lie in the windows of their labels:
    /// AD02545 15W-40: 879 kg/m3, 112 and 15 mm2/s, index 139.1; AD02232 20W-40: 881, 123 and 14, 112.2.
    #[test]
    fn measured_oils_lie_in_their_windows() {
        let holds = |w: &Window, x: f64| (w.low..=w.high).contains(&x);
        for (grade, density, kv100, index) in [("15W-40", 879.0, 15.0, 139.1), ("20W-40", 881.0, 14.0, 112.2)] {
            let g = GradeOil::parse(grade).unwrap();
            assert!(holds(&g.density_15c, density) && holds(&g.viscosity, kv100), "{g:?}");
            assert!(holds(&g.viscosity_index, index), "{g:?}");
        }
    }

    #[test]
    fn windows_say_where_they_come_from() {
        let g = GradeOil::parse("10W-40").unwrap();
        assert_eq!((g.viscosity.low, g.viscosity.high, g.viscosity.source), (12.5, 16.3, Source::Standard));
        assert_eq!((g.viscosity_index.source, g.density_15c.source), (Source::Judgement, Source::Judgement));
        assert_abs_diff_eq!(g.viscosity.standard_uncertainty(), 1.09697, epsilon = 1e-5);
        assert_eq!(GradeOil::parse("10W").unwrap().viscosity.source, Source::Judgement);
        let vg = GradeOil::parse("VG 46").unwrap();
        assert_abs_diff_eq!(vg.viscosity.low, 41.4, epsilon = 1e-9);
        assert_abs_diff_eq!(vg.temperature_c, 40.0, epsilon = 0.0);
    }

    #[test]
    fn every_grade_gives_an_oil_or_says_why_not() {
        for label in super::super::label::known() {
            let name = label.to_string();
            match GradeOil::of(label) {
                Ok(oil) => {
                    let fluid = oil.nominal().unwrap();
                    assert!(fluid.kv40() > fluid.kv100(), "{name}");
                    assert!(oil.draw(0.0, 0.0, 0.0).nu(40.0) > 0.0, "{name}");
                }
                Err(e) => {
                    assert_eq!(e.code(), "fluid.outside_relation");
                    assert!(["ISO VG 2", "ISO VG 3", "ISO VG 5", "ISO VG 7"].contains(&name.as_str()), "{name}: {e}");
                }
            }
        }
    }

    #[test]
    fn corners_of_a_grade() {
        let g = GradeOil::parse("10W-40").unwrap();
        let kv100 = |share: f64| g.at(0.5, share, 0.5).unwrap().kv100().unwrap().value * 1e6;
        assert_abs_diff_eq!(kv100(0.0), 12.5, epsilon = 1e-12);
        assert_abs_diff_eq!(kv100(1.0), 16.3, epsilon = 1e-12);
        assert_eq!(g.at(0.5, 1.5, 0.5).unwrap_err().code(), "quantity.out_of_range");
    }

    /// The middle of a draw is the nominal oil, and the index comes back from its viscosities.
    #[test]
    fn nominal_is_the_middle_draw() {
        for grade in ["10W-40", "ISO VG 68", "75W-90"] {
            let g = GradeOil::parse(grade).unwrap();
            let fluid = g.nominal().unwrap();
            let middle = g.draw(0.5, 0.5, 0.5);
            assert_relative_eq!(middle.nu(60.0), fluid.model().unwrap().nu(60.0), max_relative = 1e-12);
            assert_relative_eq!(fluid.viscosity_index().unwrap(), g.viscosity_index.middle(), max_relative = 1e-9);
        }
    }
}
