//! Discharge coefficients, each with its source.

use uom::si::f64::Length;
use uom::si::length::{foot, inch};

use crate::fluid::error::{FluidError, within};

/// Sharp-edged round hole in a thin plate at high Reynolds number: 0.62 (Encyclopaedia Britannica, 11th ed.,
/// "Hydraulics", section 17: contraction 0.64, velocity 0.97).
pub const SHARP_EDGED: f64 = 0.62;
/// Short cylindrical mouthpiece: 0.82 by experiment (same source; theory gives 0.87).
pub const SHORT_CYLINDER: f64 = 0.82;
/// Well-rounded entry: 0.98 (documentation of a public thermal-hydraulics library).
pub const ROUNDED: f64 = 0.98;
/// Borda's re-entrant tube: 0.51 (same; momentum theory gives exactly 0.5).
pub const RE_ENTRANT: f64 = 0.51;

/// Discharge coefficient of a full bore with loss coefficient K: `1/sqrt(1 + K)`.
///
/// # Errors
/// [`FluidError::Quantity`] outside 0 to 1000.
pub fn from_loss(k: f64) -> Result<f64, FluidError> {
    crate::numeric::check::in_range("loss coefficient", k, 0.0, 1000.0, "(dimensionless)")?;
    Ok(1.0 / (1.0 + k).sqrt())
}

/// Sharp-edged round hole, W. C. Unwin's fit to Mair's measurements: `0.6075 + 0.0098/sqrt(h) - 0.0037 d`, h the head in
/// feet, d the diameter in inches (Encyclopaedia Britannica, 11th ed., "Hydraulics"). For 1 to 3 inches and water.
///
/// # Errors
/// [`FluidError::OutsideRelation`] for a diameter outside 1 to 3 in or a head outside 0.75 to 10 ft (the heads of the
/// experiments, from memory).
pub fn unwin(head: Length, diameter: Length) -> Result<f64, FluidError> {
    let name = "Unwin's fit to Mair's sharp-edged holes";
    let h = within("head", head.get::<foot>(), 0.75, 10.0, "ft", name)?;
    let d = within("diameter", diameter.get::<inch>(), 1.0 - 1e-9, 3.0 + 1e-9, "in", name)?;
    Ok(0.6075 + 0.0098 / h.sqrt() - 0.0037 * d)
}

/// Short tube with a sharp entry (A. Lichtarowicz, R. K. Duggins and E. Markland, J. Mech. Eng. Sci. 7 (1965) 210;
/// the formula as in two unrelated public programs):
///
/// ```text
/// 1/Cd = 1/Cdu + (20/Re)(1 + 2.25 L/d) - 0.005 (L/d) / {1 + 7.5 [log10(0.00015 Re)]^2}
/// Cdu  = 0.827 - 0.0085 L/d
/// ```
///
/// Re is that of the *ideal* velocity, `sqrt(2 dp/rho) d/nu`; with the Reynolds number of the bore's mean velocity the
/// result is far too high for thick oil.
///
/// # Errors
/// [`FluidError::OutsideRelation`] outside 2 <= L/d <= 10 and 10 <= Re <= 20000.
pub fn short_tube(length_over_bore: f64, ideal_reynolds: f64) -> Result<f64, FluidError> {
    let name = "Lichtarowicz, Duggins and Markland 1965";
    within("L/d", length_over_bore, LENGTH_RATIO[0], LENGTH_RATIO[1], "(dimensionless)", name)?;
    within("ideal Reynolds number", ideal_reynolds, REYNOLDS[0], REYNOLDS[1], "(dimensionless)", name)?;
    Ok(short_tube_si(length_over_bore, ideal_reynolds))
}

/// L/d of the short-tube formula.
pub(super) const LENGTH_RATIO: [f64; 2] = [2.0, 10.0];
/// Ideal Reynolds numbers of the short-tube formula.
pub(super) const REYNOLDS: [f64; 2] = [10.0, 2e4];

/// Unchecked twin of [`short_tube`].
pub(super) fn short_tube_si(ratio: f64, re: f64) -> f64 {
    let turbulent = 0.827 - 0.0085 * ratio;
    let decade = (0.00015 * re).log10();
    let inverse = 1.0 / turbulent + 20.0 / re * (1.0 + 2.25 * ratio) - 0.005 * ratio / (1.0 + 7.5 * decade * decade);
    1.0 / inverse
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;

    use super::*;
    use crate::error::Coded;

    /// Computed from the formula elsewhere; at L/d = 2 the values for 100 and 20000 are doctests of a public library
    /// (0.4284155081876958, 0.8088165976866).
    #[test]
    fn short_tubes() {
        let reynolds = [10.0, 30.0, 100.0, 300.0, 1000.0, 3000.0, 10_000.0, 20_000.0];
        for (ratio, row) in [
            (2.0, [0.081737, 0.204040, 0.428416, 0.624785, 0.744643, 0.789904, 0.808110, 0.808817]),
            (4.0, [0.047035, 0.126148, 0.306724, 0.519122, 0.685988, 0.759195, 0.790634, 0.791360]),
            (5.0, [0.038798, 0.105924, 0.268548, 0.478549, 0.659808, 0.744480, 0.781913, 0.782648]),
            (10.0, [0.020684, 0.058778, 0.165405, 0.343530, 0.552639, 0.676550, 0.738474, 0.739240]),
        ] {
            for (re, cd) in reynolds.into_iter().zip(row) {
                assert_abs_diff_eq!(short_tube(ratio, re).unwrap(), cd, epsilon = 0.6e-6);
            }
        }
        assert_abs_diff_eq!(short_tube(2.0, 100.0).unwrap(), 0.4284155081876958, epsilon = 1e-14);
        assert_abs_diff_eq!(short_tube(2.0, 2e4).unwrap(), 0.8088165976866, epsilon = 1e-12);
    }

    /// A code that is given the bore's Reynolds number must iterate with Re/Cd (computed, L/d = 2).
    #[test]
    fn bore_reynolds_number_is_another_thing() {
        for (bore_re, cd) in [(10.0, 0.250582), (100.0, 0.545294), (1000.0, 0.759858), (10_000.0, 0.808428)] {
            let solved = (0..200).fold(0.5, |c: f64, _| 0.5 * (c + short_tube_si(2.0, bore_re / c)));
            assert_abs_diff_eq!(solved, cd, epsilon = 0.6e-6);
        }
    }

    /// Unwin's fit, 1 in at 1, 4 and 9 ft (computed from the printed formula).
    #[test]
    fn sharp_edged_holes() {
        for (h, cd) in [(1.0, 0.6136), (4.0, 0.6087), (9.0, 0.6071)] {
            let found = unwin(Length::new::<foot>(h), Length::new::<inch>(1.0)).unwrap();
            assert_abs_diff_eq!(found, cd, epsilon = 0.6e-4);
        }
        // Contraction of a slot by free-streamline theory (Kirchhoff): pi/(pi + 2); times Cv 0.97 to 1 it brackets 0.6.
        let slot = std::f64::consts::PI / (std::f64::consts::PI + 2.0);
        assert_abs_diff_eq!(slot, 0.6110154703516573, epsilon = 1e-15);
        assert!((SHARP_EDGED - slot).abs() < 0.01);
    }

    /// `fluids` 1.3.1: K = 0.5 (Idelchik, Crane, Blevins), 0.57 (Rennels), 0.50927 (Miller) for a sharp entry.
    #[test]
    fn from_loss_coefficients() {
        // Miller's K is known to five digits only, which is 1.4e-6 of the coefficient.
        for (k, cd, tolerance) in
            [(0.5, 0.8164965809, 1e-10), (0.57, 0.7980868845, 1e-10), (0.50927, 0.8139858693, 1.4e-6)]
        {
            assert_abs_diff_eq!(from_loss(k).unwrap(), cd, epsilon = tolerance);
        }
        // Borda-Carnot after a contraction of 0.64: 0.8716 (printed 0.87); experiment 0.82.
        let borda: f64 = (1.0 / 0.64 - 1.0) * (1.0 / 0.64 - 1.0);
        assert_abs_diff_eq!(from_loss(borda).unwrap(), 0.8716, epsilon = 0.6e-4);
    }

    #[test]
    fn outside_is_refused() {
        for e in
            [short_tube(1.0, 100.0), short_tube(2.0, 5.0), unwin(Length::new::<foot>(1.0), Length::new::<inch>(0.5))]
        {
            assert_eq!(e.unwrap_err().code(), "fluid.outside_relation");
        }
        assert_eq!(from_loss(-1.0).unwrap_err().code(), "quantity.out_of_range");
    }
}
