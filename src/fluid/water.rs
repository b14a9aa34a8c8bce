//! Density of air-free water at atmospheric pressure.

use super::expansion::ipts68_c;

/// Temperatures that the density of water covers, in deg C.
pub const TEMPERATURE_RANGE_C: [f64; 2] = [0.0, 100.0];

/// Constants a1 to a5 of the CIPM recommended equation (M. Tanaka et al., Metrologia 38 (2001) 301; from memory, and
/// checked against IAPWS-95).
const TANAKA: [f64; 5] = [-3.983035, 301.797, 522528.9, 69.34881, 999.974950];

/// Numerator of G. S. Kell, J. Chem. Eng. Data 20 (1975) 97, lowest power first, in kg/m3 and deg C on IPTS-68 (from
/// memory, and checked against IAPWS-95).
const KELL: [f64; 6] = [999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12];
/// Denominator coefficient of the same equation.
const KELL_DENOMINATOR: f64 = 16.879850e-3;

/// Where the two equations meet, in deg C. Kell's is 0.0034 kg/m3 lower there: his densities rest on a maximum of
/// 999.972 kg/m3, today's on 999.975.
const HAND_OVER_C: f64 = 40.0;

/// Density of water in kg/m3 at `temperature_c` (deg C), 0 to 100, unchecked.
///
/// To 40 degC the CIPM equation of Tanaka et al. (2001), uncertainty below 0.001 kg/m3:
///
/// ```text
/// rho = a5 {1 - (t + a1)^2 (t + a2) / [a3 (t + a4)]}
/// ```
///
/// Above it Kell (1975), with the temperature taken to IPTS-68:
///
/// ```text
/// rho = (999.83952 + 16.945176 t - 7.9870401e-3 t^2 - 46.170461e-6 t^3 + 105.56302e-9 t^4 - 280.54253e-12 t^5)
///       / (1 + 16.879850e-3 t)
/// ```
///
/// shifted by its difference from the first at 40 degC, so that the density has no step there. Together they are within
/// 0.003 kg/m3 of IAPWS-95.
pub(crate) fn density(temperature_c: f64) -> f64 {
    if temperature_c <= HAND_OVER_C {
        tanaka(temperature_c)
    } else {
        kell(temperature_c) + (tanaka(HAND_OVER_C) - kell(HAND_OVER_C))
    }
}

fn tanaka(t: f64) -> f64 {
    let [a1, a2, a3, a4, a5] = TANAKA;
    a5 * (1.0 - (t + a1) * (t + a1) * (t + a2) / (a3 * (t + a4)))
}

fn kell(t90_c: f64) -> f64 {
    let t = ipts68_c(t90_c);
    KELL.iter().rev().fold(0.0, |sum, c| sum * t + c) / (1.0 + KELL_DENOMINATOR * t)
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;

    use super::*;

    /// Tanaka et al. (2001) and IAPWS-95, both computed with independent libraries (chemicals 1.5.2, CoolProp 8.0.0).
    #[test]
    fn against_iapws_95() {
        for (t, cipm) in [
            (4.0, 999.974947704),
            (15.0, 999.102571718),
            (15.555555555555555, 999.016991476),
            (20.0, 998.206745560),
            (40.0, 992.215209132),
        ] {
            assert_abs_diff_eq!(density(t), cipm, epsilon = 1e-8);
        }
        for (t, iapws) in [
            (4.0, 999.974869139),
            (15.0, 999.102621467),
            (20.0, 998.207150468),
            (40.0, 992.216352873),
            (60.0, 983.195824227),
            (80.0, 971.790398097),
            (95.0, 961.8879166406),
        ] {
            assert_abs_diff_eq!(density(t), iapws, epsilon = if t > 40.0 { 0.003 } else { 0.0012 });
        }
    }

    /// MPMS 11.1 (2004) takes 999.016 kg/m3 for water at 60 degF.
    #[test]
    fn api_water() {
        assert_abs_diff_eq!(density((60.0 - 32.0) / 1.8), 999.016, epsilon = 0.0011);
    }

    #[test]
    fn equations_meet() {
        assert_abs_diff_eq!(tanaka(HAND_OVER_C) - kell(HAND_OVER_C), 0.0034, epsilon = 1e-4);
        assert_abs_diff_eq!(density(HAND_OVER_C), density(HAND_OVER_C + 1e-9), epsilon = 1e-8);
    }
}
