//! Viscosity index of ASTM D2270 (= ISO 2909), and its inverse.

use uom::si::f64::KinematicViscosity;
use uom::si::kinematic_viscosity::square_millimeter_per_second;

use super::error::{FluidError, tidy, within};

mod table;

use table::ROWS;

/// Last viscosity at 100 degC of the table, in mm2/s; above it the standard gives formulas.
const TABLE_END: f64 = 70.0;

/// Viscosity index of an oil from its kinematic viscosities at 40 and 100 degC, not rounded.
///
/// With U the viscosity at 40 degC and Y that at 100 degC in mm2/s, L and H the basic values for Y (table to Y = 70, then
/// `L = 0.8353 Y^2 + 14.67 Y - 216` and `H = 0.1684 Y^2 + 11.85 Y - 97`):
///
/// ```text
/// procedure A (U > H):   VI = 100 (L - U)/(L - H)
/// procedure B (U <= H):  VI = 100 + (10^N - 1)/0.00715,   N = (log H - log U)/log Y
/// ```
///
/// The standard reports the nearest whole number, ties to even (`f64::round_ties_even`). Table and formula meet at Y = 70
/// with a step of 1.1 in L.
///
/// # Errors
/// [`FluidError::OutsideRelation`] when `kv100` is below 2 mm2/s, where the index is not defined;
/// [`FluidError::ViscosityNotFalling`] when `kv100` is not below `kv40`.
///
/// ```
/// use fillmark::fluid::viscosity_index::viscosity_index;
/// use fillmark::uom::si::{f64::KinematicViscosity, kinematic_viscosity::square_millimeter_per_second as mm2_s};
///
/// // First worked example of ASTM D2270: 92.
/// let nu = KinematicViscosity::new::<mm2_s>;
/// assert_eq!(viscosity_index(nu(73.30), nu(8.86))?.round_ties_even(), 92.0);
/// # Ok::<(), fillmark::fluid::FluidError>(())
/// ```
pub fn viscosity_index(kv40: KinematicViscosity, kv100: KinematicViscosity) -> Result<f64, FluidError> {
    let (u, y) = (kv40.get::<square_millimeter_per_second>(), kv100.get::<square_millimeter_per_second>());
    within("kv100", y, 2.0, f64::MAX, "mm2/s", "ASTM D2270")?;
    within("kv40", u, 0.0, f64::MAX, "mm2/s", "ASTM D2270")?;
    if u <= y {
        return Err(FluidError::ViscosityNotFalling {
            cold_c: 40.0,
            cold_mm2_s: tidy(u),
            hot_c: 100.0,
            hot_mm2_s: tidy(y),
        });
    }
    Ok(index_mm2_s(u, y))
}

/// Kinematic viscosity at 40 degC of an oil from that at 100 degC and its viscosity index: the inverse of
/// [`viscosity_index`].
///
/// # Errors
/// [`FluidError::OutsideRelation`] when `kv100` is below 2 mm2/s or the index outside -60 to 400.
pub fn kv40_from_index(kv100: KinematicViscosity, index: f64) -> Result<KinematicViscosity, FluidError> {
    let y = within("kv100", kv100.get::<square_millimeter_per_second>(), 2.0, f64::MAX, "mm2/s", "ASTM D2270")?;
    within("viscosity index", index, -60.0, 400.0, "points", "ASTM D2270")?;
    Ok(KinematicViscosity::new::<square_millimeter_per_second>(kv40_mm2_s(y, index)))
}

/// Unchecked: viscosities at 40 (`u`) and 100 degC (`y`) in mm2/s.
fn index_mm2_s(u: f64, y: f64) -> f64 {
    let (l, h) = basic_values(y);
    if u > h {
        return 100.0 * (l - u) / (l - h);
    }
    let n = (h / u).ln() / y.ln();
    100.0 + (10f64.powf(n) - 1.0) / 0.00715
}

/// Unchecked twin of [`kv40_from_index`] in mm2/s, for inner loops.
pub(crate) fn kv40_mm2_s(y: f64, index: f64) -> f64 {
    let (l, h) = basic_values(y);
    if index < 100.0 {
        return l - index * (l - h) / 100.0;
    }
    let n = (1.0 + 0.00715 * (index - 100.0)).log10();
    h / y.powf(n)
}

/// Viscosity at 100 degC in mm2/s from that at 40 degC (`u`) and the index, by bisection between 1e-3 and `u`; the index
/// rises with the viscosity at 100 degC. Below 2 mm2/s the basic values are carried on from the table's first rows, so that
/// the caller can tell the result is out of range.
pub(crate) fn kv100_mm2_s(u: f64, index: f64) -> f64 {
    let (mut low, mut high) = (1e-3, u);
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if kv40_mm2_s(middle, index) < u {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// L and H for a viscosity at 100 degC of at least 2 mm2/s, straight lines between the rows of the table.
fn basic_values(y: f64) -> (f64, f64) {
    if y > TABLE_END {
        return (0.8353 * y * y + 14.67 * y - 216.0, 0.1684 * y * y + 11.85 * y - 97.0);
    }
    let upper = ROWS.partition_point(|r| r[0] < y).clamp(1, ROWS.len() - 1);
    let ([y0, l0, h0], [y1, l1, h1]) = (ROWS[upper - 1], ROWS[upper]);
    let f = (y - y0) / (y1 - y0);
    (l0 + f * (l1 - l0), h0 + f * (h1 - h0))
}

#[cfg(test)]
mod tests {
    use approx::{assert_abs_diff_eq, assert_relative_eq};

    use super::*;
    use crate::error::Coded;

    fn nu(value: f64) -> KinematicViscosity {
        KinematicViscosity::new::<square_millimeter_per_second>(value)
    }

    /// Printed worked examples of ASTM D2270: 92, 156 and 111 (the printed 156.37 rests on an H rounded to 28.97).
    #[test]
    fn printed_examples() {
        for (u, y, printed) in [(73.30, 8.86, 92.0), (22.83, 5.05, 156.0), (53.47, 7.80, 111.0)] {
            let index = viscosity_index(nu(u), nu(y)).unwrap().round_ties_even();
            assert_abs_diff_eq!(index, printed, epsilon = 0.0);
        }
        let (l, h) = basic_values(8.86);
        assert_abs_diff_eq!(l, 119.94, epsilon = 0.005);
        assert_abs_diff_eq!(h, 69.48, epsilon = 0.005);
        assert_abs_diff_eq!(basic_values(7.80).1, 57.31, epsilon = 0.005);
    }

    /// Against `chemicals.viscosity.viscosity_index` (chemicals 1.5.2), not rounded.
    #[test]
    fn against_a_library() {
        for (u, y, index) in [
            (73.30, 8.86, 92.42964724534),
            (22.83, 5.05, 156.42348293258),
            (53.47, 7.80, 111.30701701381),
            (73.5, 8.86, 92.03329369798),
            (1000.0, 100.0, 192.99754280579),
            (32.0, 5.4, 102.21266298186),
            (46.0, 6.8, 101.60848321039),
            (100.0, 11.1, 95.57080474111),
            (150.0, 14.5, 94.46064139942),
            (220.0, 19.0, 96.92242833052),
        ] {
            assert_relative_eq!(viscosity_index(nu(u), nu(y)).unwrap(), index, max_relative = 1e-11);
        }
    }

    /// Measured oils of the NOAA oil database (noaa-oil-data, commit ca22bdb); indices computed.
    #[test]
    fn measured_oils() {
        for (u, y, index) in [(66.0, 10.0, 135.7), (123.0, 14.0, 112.2), (112.0, 15.0, 139.1)] {
            assert_abs_diff_eq!(viscosity_index(nu(u), nu(y)).unwrap(), index, epsilon = 0.05);
        }
    }

    /// Known rows of table 1, and the step of 1.13 to the formula at its end (computed).
    #[test]
    fn table_rows() {
        assert_eq!(ROWS.len(), 311);
        for (y, l, h) in [(2.0, 7.994, 6.394), (5.0, 40.23, 28.49), (8.8, 118.5, 68.79), (50.0, 2618.0, 919.6)] {
            assert_eq!(basic_values(y), (l, h));
        }
        assert!(ROWS.windows(2).all(|w| w[0].iter().zip(&w[1]).all(|(a, b)| a < b)));
        assert_eq!(basic_values(70.0), (4905.0, 1558.0));
        assert_abs_diff_eq!(basic_values(70.0 + 1e-9).0 - 4905.0, -1.13, epsilon = 0.005);
    }

    #[test]
    fn inverse_returns_the_viscosity() {
        for (u, y) in [(73.3, 8.86), (22.83, 5.05), (95.0, 14.3), (1000.0, 100.0), (26.0, 4.0)] {
            let back = kv40_from_index(nu(y), viscosity_index(nu(u), nu(y)).unwrap()).unwrap();
            assert_relative_eq!(back.get::<square_millimeter_per_second>(), u, max_relative = 1e-12);
        }
    }

    #[test]
    fn undefined_below_2() {
        assert_eq!(viscosity_index(nu(3.0), nu(1.5)).unwrap_err().code(), "fluid.outside_relation");
        assert_eq!(viscosity_index(nu(8.0), nu(9.0)).unwrap_err().code(), "fluid.viscosity_not_falling");
        assert_eq!(kv40_from_index(nu(1.9), 100.0).unwrap_err().code(), "fluid.outside_relation");
        assert_eq!(kv40_from_index(nu(10.0), 500.0).unwrap_err().code(), "fluid.outside_relation");
    }
}
