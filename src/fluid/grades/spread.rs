//! What a grade leaves open, carried through to a result.

use serde::Serialize;

use super::GradeOil;
use crate::fluid::Fluid;
use crate::fluid::error::FluidError;

/// A result with the uncertainty that a grade leaves.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Spread {
    /// For the middle of all windows.
    pub nominal: f64,
    /// Lowest over the corners of the windows; the lowest of all for a result that rises or falls with each of them.
    pub low: f64,
    /// Highest over the corners.
    pub high: f64,
    /// Expectation, the windows being independent and rectangular.
    pub mean: f64,
    /// Standard deviation about it.
    pub standard_uncertainty: f64,
}

/// Shares of the way through a window and their weights: Gauss's rule of three points on 0 to 1, exact for a polynomial of
/// degree five (textbook).
const HALF: f64 = 0.387_298_334_620_741_7; // sqrt(3/5)/2
const NODES: [(f64, f64); 3] = [(0.5 - HALF, 5.0 / 18.0), (0.5, 8.0 / 18.0), (0.5 + HALF, 5.0 / 18.0)];

/// Shares of density, viscosity and index at which a result is asked for: the middle, the 8 corners, and 27 nodes with their
/// weights.
pub(crate) fn middle_and_corners() -> [[f64; 3]; 9] {
    let mut shares = [[0.5; 3]; 9];
    for (corner, share) in shares.iter_mut().skip(1).enumerate() {
        *share = [0, 1, 2].map(|axis| f64::from(u8::from(corner >> axis & 1 == 1)));
    }
    shares
}

/// The nodes of a rule over all three windows, with their weights.
pub(crate) fn nodes() -> impl Iterator<Item = ([f64; 3], f64)> {
    let each = || NODES.iter().copied();
    each().flat_map(move |(d, a)| each().flat_map(move |(v, b)| each().map(move |(i, c)| ([d, v, i], a * b * c))))
}

impl Spread {
    /// A result that nothing leaves open.
    #[cfg(feature = "python")]
    pub(crate) fn exact(value: f64) -> Self {
        Self { nominal: value, low: value, high: value, mean: value, standard_uncertainty: 0.0 }
    }

    /// Its numbers by name.
    #[cfg(feature = "python")]
    pub(crate) fn named(&self) -> [(&'static str, f64); 5] {
        [
            ("nominal", self.nominal),
            ("low", self.low),
            ("high", self.high),
            ("mean", self.mean),
            ("standard_uncertainty", self.standard_uncertainty),
        ]
    }

    /// From the results at [`middle_and_corners`] and at [`nodes`].
    pub(crate) fn of(ends: &[f64], inside: &[f64]) -> Self {
        let nominal = ends.first().copied().unwrap_or(f64::NAN);
        let all = ends.iter().chain(inside).copied();
        let (low, high) = all.fold((nominal, nominal), |(l, h), x| (l.min(x), h.max(x)));
        let weighted = || inside.iter().zip(nodes());
        let mean: f64 = weighted().map(|(x, (_, w))| w * x).sum();
        let variance: f64 = weighted().map(|(x, (_, w))| w * (x - mean) * (x - mean)).sum();
        Self { nominal, low, high, mean, standard_uncertainty: variance.sqrt() }
    }
}

impl GradeOil {
    /// Carries what the grade leaves open through a function of the oil: limits by the corners of the three windows, mean
    /// and standard uncertainty by Gauss's rule of 27 points over them (the propagation of distributions of JCGM 101, by
    /// quadrature in place of draws: nothing depends on a seed).
    ///
    /// The windows are those of [`GradeOil`]: independent, rectangular, some of them judged.
    ///
    /// # Errors
    /// Those of the function.
    ///
    /// ```
    /// use fillmark::fluid::GradeOil;
    /// use fillmark::uom::si::{f64::ThermodynamicTemperature, thermodynamic_temperature::degree_celsius};
    ///
    /// let grade = GradeOil::parse("10W-40")?;
    /// let at = ThermodynamicTemperature::new::<degree_celsius>(60.0);
    /// let nu = grade.spread(|oil| Ok::<_, fillmark::fluid::FluidError>(oil.kinematic_viscosity(at)?.value * 1e6))?;
    /// assert!(nu.low < 38.0 && nu.high > 52.0 && nu.standard_uncertainty > 2.0);
    /// # Ok::<(), fillmark::fluid::FluidError>(())
    /// ```
    pub fn spread<E: From<FluidError>>(&self, of: impl Fn(&Fluid) -> Result<f64, E>) -> Result<Spread, E> {
        let at = |[d, v, i]: [f64; 3]| of(&self.at(d, v, i)?);
        let ends = middle_and_corners().into_iter().map(at).collect::<Result<Vec<f64>, E>>()?;
        let inside = nodes().map(|(shares, _)| at(shares)).collect::<Result<Vec<f64>, E>>()?;
        Ok(Spread::of(&ends, &inside))
    }
}

#[cfg(test)]
mod tests {
    use approx::{assert_abs_diff_eq, assert_relative_eq};

    use super::*;

    /// Of a window itself the spread is the window: its ends, its middle, its width over sqrt 12 (JCGM 100, 4.3.7).
    #[test]
    fn of_a_window_itself() {
        let grade = GradeOil::parse("10W-40").unwrap();
        let s = grade.spread(|oil| Ok::<_, FluidError>(oil.kv100().map_or(0.0, |nu| nu.value * 1e6))).unwrap();
        assert_relative_eq!(s.low, 12.5, max_relative = 1e-12);
        assert_relative_eq!(s.high, 16.3, max_relative = 1e-12);
        assert_relative_eq!(s.nominal, 14.4, max_relative = 1e-12);
        assert_relative_eq!(s.mean, 14.4, max_relative = 1e-12);
        assert_relative_eq!(s.standard_uncertainty, 3.8 / 12f64.sqrt(), max_relative = 1e-12);
        assert_abs_diff_eq!(nodes().map(|(_, w)| w).sum::<f64>(), 1.0, epsilon = 1e-15);
    }

    /// Of the viscosity at 40 degC, which two windows enter, against 50 x 50 equal steps through them (JCGM
    /// 101). The table of ASTM D2270 has kinks at its rows, which Gauss's rule smooths by 1 in 10 000.
    #[test]
    fn agrees_with_drawing_from_the_windows() {
        let grade = GradeOil::parse("15W-40").unwrap();
        let nu = |oil: &Fluid| Ok::<_, FluidError>(oil.kv40().map_or(0.0, |nu| nu.value * 1e6));
        let s = grade.spread(nu).unwrap();
        let step = |i: u32| (f64::from(i) + 0.5) / 50.0;
        let all: Vec<f64> = (0..2500).map(|i| grade.draw(0.5, step(i / 50), step(i % 50)).nu(40.0) * 1e6).collect();
        let mean = all.iter().sum::<f64>() / 2500.0;
        let sd = (all.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 2500.0).sqrt();
        assert_relative_eq!(s.mean, mean, max_relative = 2e-4);
        assert_relative_eq!(s.standard_uncertainty, sd, max_relative = 1e-3);
        assert!(all.iter().all(|x| (s.low..=s.high).contains(x)));
    }
}
