//! Drawing oil out through a tube: flow and time for a pump's vacuum.

use serde::Serialize;
use uom::si::f64::{KinematicViscosity, Length, MassDensity, Pressure, Time, VolumeRate};
use uom::si::kinematic_viscosity::square_meter_per_second;
use uom::si::length::meter;
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::pressure::pascal;
use uom::si::time::second;
use uom::si::volume_rate::cubic_meter_per_second;

use super::STANDARD_GRAVITY;
use super::error::FluidError;
use super::outflow::{Vessel, integrate_over_levels};
use crate::numeric::check;

/// Loss of a sharp entry, in velocity heads (Idelchik; Crane TP-410; from memory).
const ENTRY_LOSS: f64 = 0.5;
/// Reynolds numbers between which a pipe is neither laminar nor turbulent.
const LAMINAR_TO: f64 = 2300.0;
const TURBULENT_FROM: f64 = 4000.0;

/// Depth over the tip, in bores, at which the tube begins to draw air (judgement: a slow draw goes lower, a fast one makes
/// a vortex earlier).
pub const ENTRAINMENT_MARGIN: f64 = 0.5;

/// Standard relative uncertainty of flow and time (judgement: coiled tubes, couplings and the pump's own curve).
pub const RELATIVE_UNCERTAINTY: f64 = 0.15;

/// How the tube flows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TubeRegime {
    /// Reynolds number up to 2300.
    Laminar,
    /// Between 2300 and 4000: the friction is interpolated.
    Transitional,
    /// From 4000.
    Turbulent,
}

/// Flow in a suction tube.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct SuctionFlow {
    /// Volume per time.
    pub rate: VolumeRate,
    /// Reynolds number in the tube.
    pub reynolds: f64,
    /// How the tube flows.
    pub regime: TubeRegime,
}

/// A suction tube in one oil.
///
/// Energy balance from the free surface in the sump to the pump's port, v the mean velocity in the tube:
///
/// ```text
/// vacuum = rho g (rise - head) + (rho v^2/2)(1 + 0.5 + f l/d)
/// f = 64/Re  (Re <= 2300, Poiseuille),   f = 0.3164 Re^(-1/4)  (Re >= 4000, Blasius, smooth, to Re = 1e5)
/// ```
///
/// and a straight line in Re between. `head` is the depth over the tip, `rise` the height of the pump's port over it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SuctionTube {
    bore: f64,
    length: f64,
    rise: f64,
    vacuum: f64,
    nu: f64,
    density: f64,
}

impl SuctionTube {
    /// A tube of inner diameter `bore` and `length`, its pump's port standing `rise` over the tip and holding `vacuum` below
    /// the air pressure over the oil.
    ///
    /// # Errors
    /// [`FluidError::Quantity`] for a bore outside 1e-3 to 0.1 m, a length outside 0.01 to 100 m, a rise outside -10 to 12
    /// m, a vacuum outside 1 to 101325 Pa, a viscosity outside 1e-8 to 1 m2/s or a density outside 100 to 3000 kg/m3.
    ///
    /// ```
    /// use fillmark::fluid::{outflow::Prism, suction::SuctionTube};
    /// use fillmark::uom::si::f64::*;
    /// use fillmark::uom::si::{area::square_meter, kinematic_viscosity::square_millimeter_per_second, length::millimeter};
    /// use fillmark::uom::si::{mass_density::kilogram_per_cubic_meter, pressure::bar, time::minute};
    ///
    /// // 4 L of warm oil (30 mm2/s) by a 6 mm tube of 1.5 m at 0.7 bar of vacuum: a few minutes.
    /// let mm = Length::new::<millimeter>;
    /// let tube = SuctionTube::new(
    ///     mm(6.0), mm(1500.0), mm(900.0), Pressure::new::<bar>(0.7),
    ///     KinematicViscosity::new::<square_millimeter_per_second>(30.0),
    ///     MassDensity::new::<kilogram_per_cubic_meter>(850.0),
    /// )?;
    /// let pan = Prism::new(Area::new::<square_meter>(0.05));
    /// let minutes = tube.time_between(&pan, mm(83.0), mm(3.0))?.get::<minute>();
    /// assert!(minutes > 0.5 && minutes < 5.0);
    /// # Ok::<(), fillmark::fluid::FluidError>(())
    /// ```
    pub fn new(
        bore: Length,
        length: Length,
        rise: Length,
        vacuum: Pressure,
        nu: KinematicViscosity,
        density: MassDensity,
    ) -> Result<Self, FluidError> {
        Ok(Self {
            bore: check::in_range("bore", bore.get::<meter>(), 1e-3, 0.1, "m")?,
            length: check::in_range("length", length.get::<meter>(), 0.01, 100.0, "m")?,
            rise: check::in_range("rise", rise.get::<meter>(), -10.0, 12.0, "m")?,
            vacuum: check::in_range("vacuum", vacuum.get::<pascal>(), 1.0, 101_325.0, "Pa")?,
            nu: check::in_range("kinematic viscosity", nu.get::<square_meter_per_second>(), 1e-8, 1.0, "m2/s")?,
            density: check::in_range("density", density.get::<kilogram_per_cubic_meter>(), 100.0, 3000.0, "kg/m3")?,
        })
    }

    /// Flow with the surface `head` above the tip.
    ///
    /// # Errors
    /// [`FluidError::PumpTooWeak`] when the vacuum does not lift oil to the pump; [`FluidError::Quantity`] for a head
    /// outside 0 to 10 m.
    pub fn flow(&self, head: Length) -> Result<SuctionFlow, FluidError> {
        let head = check::in_range("head", head.get::<meter>(), 0.0, 10.0, "m")?;
        self.lifts(head)?;
        let rate = self.flow_si(head);
        let reynolds = 4.0 * rate / (std::f64::consts::PI * self.bore * self.nu);
        let regime = if reynolds <= LAMINAR_TO {
            TubeRegime::Laminar
        } else if reynolds < TURBULENT_FROM {
            TubeRegime::Transitional
        } else {
            TubeRegime::Turbulent
        };
        Ok(SuctionFlow { rate: VolumeRate::new::<cubic_meter_per_second>(rate), reynolds, regime })
    }

    /// Inner diameter.
    pub fn bore(&self) -> Length {
        Length::new::<meter>(self.bore)
    }

    /// Depth over the tip's highest point at which the tube begins to draw air: half a bore (judgement).
    pub fn breaks_at(&self) -> Length {
        Length::new::<meter>(ENTRAINMENT_MARGIN * self.bore)
    }

    /// Time in which the surface falls from `from` to `to` above the tip: the integral of area over flow.
    ///
    /// # Errors
    /// [`FluidError::PumpTooWeak`] when the vacuum does not lift oil at `to`; [`FluidError::Quantity`] for a head above 10 m,
    /// one more than 0.1 m below the tip's centre, or `to` above `from`.
    pub fn time_between(&self, vessel: &impl Vessel, from: Length, to: Length) -> Result<Time, FluidError> {
        let from = check::in_range("from", from.get::<meter>(), -0.1, 10.0, "m")?;
        let to = check::in_range("to", to.get::<meter>(), -0.1, from, "m")?;
        self.lifts(to)?;
        Ok(Time::new::<second>(integrate_over_levels(vessel, None, to, from, |h| vessel.area(h) / self.flow_si(h))))
    }

    fn lifts(&self, head: f64) -> Result<(), FluidError> {
        let needed = self.density * STANDARD_GRAVITY * (self.rise - head);
        if self.vacuum > needed {
            return Ok(());
        }
        Err(FluidError::PumpTooWeak { vacuum_pa: self.vacuum, needed_pa: needed })
    }

    /// Flow in m3/s at a head in metres, unchecked; none when the vacuum is too weak.
    pub(crate) fn flow_si(&self, head: f64) -> f64 {
        let left = self.vacuum - self.density * STANDARD_GRAVITY * (self.rise - head);
        if left <= 0.0 {
            return 0.0;
        }
        // The loss rises with the velocity and has one kink-free branch below and above each limit: bisection is safe.
        let (mut low, mut high) = (0.0, (2.0 * left / self.density).sqrt());
        for _ in 0..55 {
            let v = 0.5 * (low + high);
            if self.loss(v) < left {
                low = v;
            } else {
                high = v;
            }
        }
        std::f64::consts::FRAC_PI_4 * self.bore * self.bore * 0.5 * (low + high)
    }

    /// Pressure in Pa that entry, friction and velocity head take at a velocity in m/s.
    fn loss(&self, v: f64) -> f64 {
        let dynamic = 0.5 * self.density * v * v;
        dynamic * (1.0 + ENTRY_LOSS) + dynamic * friction(v * self.bore / self.nu) * self.length / self.bore
    }
}

/// Darcy friction factor of a smooth tube.
fn friction(re: f64) -> f64 {
    let blasius = |re: f64| 0.3164 / re.sqrt().sqrt();
    if re <= LAMINAR_TO {
        64.0 / re
    } else if re >= TURBULENT_FROM {
        blasius(re)
    } else {
        let share = (re - LAMINAR_TO) / (TURBULENT_FROM - LAMINAR_TO);
        (1.0 - share) * 64.0 / LAMINAR_TO + share * blasius(TURBULENT_FROM)
    }
}

#[cfg(test)]
mod tests {
    use approx::{assert_abs_diff_eq, assert_relative_eq};
    use uom::si::area::square_meter;
    use uom::si::f64::Area;

    use super::super::outflow::Prism;
    use super::*;
    use crate::error::Coded;

    fn tube(nu: f64) -> SuctionTube {
        SuctionTube { bore: 0.006, length: 1.5, rise: 0.9, vacuum: 7e4, nu, density: 850.0 }
    }

    /// Hagen-Poiseuille: 870 kg/m3, 0.2 Pa.s, 12 mm, 0.5 m, 0.01 kg/s lose 2258.477978 Pa (closed form, and
    /// `fluids.one_phase_dP` of fluids 1.3.1).
    #[test]
    fn laminar_loss() {
        let t = SuctionTube { bore: 0.012, length: 0.5, nu: 0.2 / 870.0, density: 870.0, ..tube(1e-5) };
        let v = 0.01 / 870.0 / (std::f64::consts::FRAC_PI_4 * 0.012 * 0.012);
        let friction_only = t.loss(v) - 0.5 * 870.0 * v * v * (1.0 + ENTRY_LOSS);
        assert_relative_eq!(friction_only, 2258.477978, max_relative = 1e-9);
    }

    /// Blasius against the Prandtl-von Karman law of smooth pipes, `1/sqrt(f) = 2 log10(Re sqrt f) - 0.8`, within 3 %.
    #[test]
    fn turbulent_friction() {
        for re in [4e3, 1e4, 3e4, 1e5] {
            let law = (0..100).fold(0.03f64, |f, _| (2.0 * (re * f.sqrt()).log10() - 0.8).powi(-2));
            assert_relative_eq!(friction(re), law, max_relative = 0.03);
        }
        assert_relative_eq!(friction(2300.0), friction(2300.0001), max_relative = 1e-6);
        assert_relative_eq!(friction(3999.999), friction(4000.0), max_relative = 1e-6);
    }

    /// Thick oil, long tube: Poiseuille's law; thin oil, short tube: Torricelli's with the entry loss.
    #[test]
    fn limits() {
        let thick = tube(2e-3);
        let left = thick.vacuum - thick.density * STANDARD_GRAVITY * 0.8;
        let poiseuille = std::f64::consts::PI * 0.006f64.powi(4) * left / (128.0 * 2e-3 * 850.0 * 1.5);
        assert_relative_eq!(thick.flow_si(0.1), poiseuille, max_relative = 1e-3);
        let thin = SuctionTube { length: 1e-9, ..tube(1e-7) };
        let v = (2.0 * left / (850.0 * 1.5)).sqrt();
        assert_relative_eq!(thin.flow_si(0.1), std::f64::consts::FRAC_PI_4 * 0.006 * 0.006 * v, max_relative = 1e-6);
    }

    #[test]
    fn regimes_and_monotony() {
        let m = Length::new::<meter>;
        let regime = |nu: f64| tube(nu).flow(m(0.1)).unwrap().regime;
        assert_eq!(regime(1e-4), TubeRegime::Laminar);
        assert_eq!(regime(1e-6), TubeRegime::Turbulent);
        assert_eq!(regime(8e-6), TubeRegime::Transitional);
        // More head always gives more flow, across all regimes.
        let flows: Vec<f64> = (0..400).map(|i| tube(8e-6).flow_si(-2.0 + 0.02 * f64::from(i))).collect();
        assert!(flows.windows(2).all(|w| w[1] > w[0]));
    }

    /// With the rise so small that the head hardly matters, the time is volume over flow.
    #[test]
    fn time_is_volume_over_flow() {
        let m = Length::new::<meter>;
        let pan = Prism::new(Area::new::<square_meter>(0.05));
        let t = tube(3e-5);
        let seconds = t.time_between(&pan, m(0.083), m(0.003)).unwrap().get::<second>();
        let (slow, fast) = (0.004 / t.flow_si(0.003), 0.004 / t.flow_si(0.083));
        assert!(seconds < slow && seconds > fast, "{fast} {seconds} {slow}");
        assert_relative_eq!(seconds, 0.004 / t.flow_si(0.043), max_relative = 1e-4);
        assert_abs_diff_eq!(t.breaks_at().get::<meter>(), 0.003, epsilon = 1e-15);
    }

    #[test]
    fn a_weak_pump_and_nonsense_are_refused() {
        let m = Length::new::<meter>;
        let weak = SuctionTube { vacuum: 5e3, ..tube(3e-5) };
        let e = weak.flow(m(0.05)).unwrap_err();
        assert_eq!(e.code(), "fluid.pump_too_weak");
        assert_relative_eq!(e.fields()["needed_pa"].as_f64().unwrap(), 850.0 * STANDARD_GRAVITY * 0.85);
        assert_eq!(
            weak.time_between(&Prism::new(Area::new::<square_meter>(0.05)), m(0.08), m(0.01)).unwrap_err().code(),
            "fluid.pump_too_weak"
        );
        let nu = KinematicViscosity::new::<square_meter_per_second>(1e-5);
        let rho = MassDensity::new::<kilogram_per_cubic_meter>(870.0);
        let make = |vacuum: f64| SuctionTube::new(m(0.006), m(1.5), m(0.9), Pressure::new::<pascal>(vacuum), nu, rho);
        assert_eq!(make(2e5).unwrap_err().fields()["what"], "vacuum");
        assert!(make(7e4).is_ok());
    }
}
