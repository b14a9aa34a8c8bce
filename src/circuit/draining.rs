//! A sump that empties through its plug or through a suction tube: the laws of outflow on the sump's own level curve.
//!
//! All liquid counts as one pool with one level. Where ribs part it, what stands behind them does not reach the outlet,
//! and the time is that of a sump without them.

use std::sync::Arc;

use uom::si::f64::{Length, ThermodynamicTemperature, Time, Volume};
use uom::si::length::meter;
use uom::si::time::second;
use uom::si::volume::cubic_meter;

use super::CircuitError;
use crate::Error;
use crate::fluid::Fluid;
use crate::fluid::outflow::{Axis, DrainRow, LossModel, Outflow, Vessel};
use crate::fluid::suction::SuctionTube;
use crate::geometry::{Attitude, LevelCurve, Plug, Point, Sump};

/// A sump seen from an outlet: head is the height of the free surface over it, along *up*.
#[derive(Debug, Clone)]
pub struct Outlet {
    curve: Arc<LevelCurve>,
    /// Level of the outlet, in metres.
    level: f64,
    /// Heads at which the free surface has a kink or jumps, in metres.
    knots: Vec<f64>,
}

/// How far outside the liquid space's bounding box an outlet may lie and still count as at its wall, in metres.
const WALL: f64 = 0.05;

impl Outlet {
    /// An outlet at a point of the body frame.
    ///
    /// # Errors
    /// [`CircuitError::OutletMissesSump`] more than 50 mm outside the sump's bounding box; geometry errors for a sump that
    /// has no plan form and is not level.
    pub fn at_point(sump: &Sump, what: &str, point: Point, attitude: Attitude) -> Result<Self, Error> {
        if let Some(bounds) = sump.bounds() {
            let (low, at, high) = (bounds.low.si(), point.si(), bounds.high.si());
            if (0..3).any(|k| at[k] < low[k] - WALL || at[k] > high[k] + WALL) {
                let [at_mm, low_mm, high_mm] = [at, low, high].map(|p| p.map(|c| (c * 1e6).round() / 1e3));
                return Err(CircuitError::OutletMissesSump { what: what.into(), at_mm, low_mm, high_mm }.into());
            }
        }
        let height = crate::geometry::vector::dot(point.si(), attitude.up_si());
        Self::at_height(sump, height, attitude)
    }

    /// The outlet of a plug: the lowest point of its rim for a bore that points down (within 45 degrees), else the centre
    /// of the bore.
    ///
    /// # Errors
    /// As [`Outlet::at_point`].
    pub fn of_plug(sump: &Sump, plug: &Plug, attitude: Attitude) -> Result<Self, Error> {
        let centre = Self::at_point(sump, "plug", plug.at(), attitude)?;
        match axis_of(plug, attitude) {
            Axis::Down => Self::at_height(sump, plug.rim_si(attitude.up_si())[0], attitude),
            Axis::Side => Ok(centre),
        }
    }

    fn at_height(sump: &Sump, height: f64, attitude: Attitude) -> Result<Self, Error> {
        let curve = sump.curve(attitude)?;
        let level = height - curve.datum_si();
        let knots = curve.knots().iter().map(|z| z - level).filter(|h| *h > 0.0).collect();
        Ok(Self { curve, level, knots })
    }

    /// Height of the free surface over the outlet when the sump holds a volume; zero when it stands below.
    ///
    /// # Errors
    /// A geometry error for a volume outside 0 to the capacity.
    pub fn head(&self, volume: Volume) -> Result<Length, Error> {
        let level = self.curve.level_si(volume.get::<cubic_meter>())?;
        Ok(Length::new::<meter>((level - self.level).max(0.0)))
    }

    /// Level of the free surface at a head.
    pub fn level_at(&self, head: Length) -> Length {
        Length::new::<meter>((self.level + head.get::<meter>()).max(0.0))
    }

    /// Volume in the sump at a head.
    pub fn volume_at(&self, head: Length) -> Volume {
        Volume::new::<cubic_meter>(self.curve.volume_at(self.level + head.get::<meter>()))
    }
}

impl Vessel for Outlet {
    fn area(&self, head: f64) -> f64 {
        // Below the lowest and above the highest point there is no free surface.
        self.curve.free_surface_si(self.level + head).unwrap_or(0.0)
    }

    fn breakpoints(&self) -> &[f64] {
        &self.knots
    }
}

/// The hole of a plug with a fluid of this viscosity (m2/s) and density (kg/m3).
pub(crate) fn hole_si(
    plug: &Plug,
    attitude: Attitude,
    nu: f64,
    density: f64,
    model: LossModel,
) -> Result<Outflow, Error> {
    use uom::si::f64::{KinematicViscosity, MassDensity};
    let nu = KinematicViscosity::new::<uom::si::kinematic_viscosity::square_meter_per_second>(nu);
    let density = MassDensity::new::<uom::si::mass_density::kilogram_per_cubic_meter>(density);
    Ok(Outflow::new(plug.bore(), plug.boss(), axis_of(plug, attitude), model, nu, density)?)
}

/// Which way a bore points: down within 45 degrees of straight down.
fn axis_of(plug: &Plug, attitude: Attitude) -> Axis {
    if plug.downness(attitude.up_si()) >= std::f64::consts::FRAC_1_SQRT_2 { Axis::Down } else { Axis::Side }
}

/// A sump that empties through an open plug.
#[derive(Debug, Clone)]
pub struct PlugDrain {
    outlet: Outlet,
    /// The hole, to be treated otherwise by its own methods.
    pub hole: Outflow,
}

impl PlugDrain {
    /// A sump at an attitude, its plug out, with a fluid at one temperature; air comes in freely, and the rim works as a weir
    /// near empty. Set [`PlugDrain::hole`] for another vent.
    ///
    /// A bore that leans by less than 45 degrees has its whole length counted as driving head.
    ///
    /// # Errors
    /// Those of [`Outlet::of_plug`], of [`Outflow::new`], and of the fluid at that temperature
    /// ([`FluidError::NoViscosity`](crate::fluid::FluidError::NoViscosity) for a fluid without).
    ///
    /// ```
    /// use fillmark::circuit::PlugDrain;
    /// use fillmark::fluid::{Fluid, outflow::LossModel};
    /// use fillmark::geometry::{Attitude, Plug, Point, Sump};
    /// use fillmark::uom::si::{f64::*, length::millimeter, thermodynamic_temperature::degree_celsius};
    /// use fillmark::uom::si::{time::second, volume::liter};
    ///
    /// let mm = Length::new::<millimeter>;
    /// let pan = Sump::cuboid(mm(250.0), mm(200.0), mm(100.0))?;
    /// let plug = Plug::new(Point::from_mm([0.0, 0.0, 0.0])?, mm(12.0), mm(10.0), Plug::DOWN)?;
    /// let warm = ThermodynamicTemperature::new::<degree_celsius>(60.0);
    /// let drain = PlugDrain::new(
    ///     &pan, Attitude::LEVEL, &plug, &Fluid::from_grade("10W-40")?, warm, LossModel::energy_balance(),
    /// )?;
    /// let seconds = drain.emptying_time(Volume::new::<liter>(4.0))?.get::<second>();
    /// assert!(seconds > 58.0 && seconds < 120.0);
    /// # Ok::<(), fillmark::Error>(())
    /// ```
    pub fn new(
        sump: &Sump,
        attitude: Attitude,
        plug: &Plug,
        fluid: &Fluid,
        temperature: ThermodynamicTemperature,
        model: LossModel,
    ) -> Result<Self, Error> {
        let hole = Self::hole(plug, attitude, fluid, temperature, model)?;
        Ok(Self { outlet: Outlet::of_plug(sump, plug, attitude)?, hole })
    }

    /// The hole of a plug with a fluid at one temperature flowing out.
    ///
    /// # Errors
    /// Those of [`Outflow::new`] and of the fluid.
    pub fn hole(
        plug: &Plug,
        attitude: Attitude,
        fluid: &Fluid,
        temperature: ThermodynamicTemperature,
        model: LossModel,
    ) -> Result<Outflow, Error> {
        let (nu, density) = (fluid.kinematic_viscosity(temperature)?, fluid.density(temperature)?);
        Ok(Outflow::new(plug.bore(), plug.boss(), axis_of(plug, attitude), model, nu, density)?)
    }

    /// The sump as the hole sees it.
    pub fn outlet(&self) -> &Outlet {
        &self.outlet
    }

    /// Time from opening the plug on a volume (at the fluid's temperature) until only drops fall.
    ///
    /// # Errors
    /// A geometry error for a volume outside 0 to the capacity.
    pub fn emptying_time(&self, volume: Volume) -> Result<Time, Error> {
        Ok(self.hole.emptying_time(&self.outlet, self.outlet.head(volume)?)?)
    }

    /// Rows from opening the plug on a volume to the end of the stream, or to a stated head over the outlet.
    ///
    /// # Errors
    /// As [`PlugDrain::emptying_time`]; those of [`Outflow::drain_curve_to`].
    pub fn curve(&self, volume: Volume, to: Option<Length>, steps: usize) -> Result<Vec<DrainRow>, Error> {
        let from = self.outlet.head(volume)?;
        Ok(match to {
            Some(to) => self.hole.drain_curve_to(&self.outlet, from, to, steps)?,
            None => self.hole.drain_curve(&self.outlet, from, steps)?,
        })
    }
}

/// A sump that is emptied by a suction tube.
#[derive(Debug, Clone)]
pub struct TubeDrain {
    outlet: Outlet,
    tube: SuctionTube,
}

impl TubeDrain {
    /// A sump at an attitude with the tip of a tube in it.
    ///
    /// # Errors
    /// Those of [`Outlet::at_point`].
    pub fn new(sump: &Sump, attitude: Attitude, tip: Point, tube: SuctionTube) -> Result<Self, Error> {
        Ok(Self { outlet: Outlet::at_point(sump, "tip", tip, attitude)?, tube })
    }

    /// The sump as the tip sees it.
    pub fn outlet(&self) -> &Outlet {
        &self.outlet
    }

    /// Time from starting the pump on a volume until the tip begins to draw air; none when it does so at once.
    ///
    /// # Errors
    /// A geometry error for a volume outside 0 to the capacity;
    /// [`FluidError::PumpTooWeak`](crate::fluid::FluidError::PumpTooWeak).
    pub fn emptying_time(&self, volume: Volume) -> Result<Time, Error> {
        let from = self.outlet.head(volume)?;
        if from <= self.tube.breaks_at() {
            return Ok(Time::new::<second>(0.0));
        }
        Ok(self.tube.time_between(&self.outlet, from, self.tube.breaks_at())?)
    }

    /// Volume that the tube cannot reach: what stands below the head at which the tip draws air.
    pub fn left(&self) -> Volume {
        self.outlet.volume_at(self.tube.breaks_at())
    }
}

#[cfg(test)]
mod tests {
    use approx::{assert_abs_diff_eq, assert_relative_eq};
    use uom::si::kinematic_viscosity::square_millimeter_per_second;
    use uom::si::length::millimeter;
    use uom::si::mass_density::kilogram_per_cubic_meter;
    use uom::si::pressure::pascal;
    use uom::si::thermodynamic_temperature::degree_celsius;
    use uom::si::volume::liter;

    use super::*;
    use crate::error::Coded;
    use crate::fluid::outflow::{LowHead, Regime};
    use crate::geometry::{Cylinder, End};

    fn mm(v: f64) -> Length {
        Length::new::<millimeter>(v)
    }

    fn point(at: [f64; 3]) -> Point {
        Point::from_mm(at).unwrap()
    }

    fn warm() -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<degree_celsius>(40.0)
    }

    fn oil(kv40: f64) -> Fluid {
        let nu = uom::si::f64::KinematicViscosity::new::<square_millimeter_per_second>;
        Fluid::oil(uom::si::f64::MassDensity::new::<kilogram_per_cubic_meter>(870.0), nu(kv40), nu(0.25 * kv40))
            .unwrap()
    }

    fn drain(sump: &Sump, plug: [f64; 3], bore: f64, boss: f64, axis: [f64; 3], model: LossModel) -> PlugDrain {
        let plug = Plug::new(point(plug), mm(bore), mm(boss), axis).unwrap();
        let mut drain = PlugDrain::new(sump, Attitude::LEVEL, &plug, &oil(65.0), warm(), model).unwrap();
        drain.hole = drain.hole.with_low_head(LowHead::Ignore);
        drain
    }

    /// Calculated: sump 300 x 200 x 80 mm, 12 mm hole in a thin floor, Cd 0.61: 111.08840 s, t = 2 A sqrt(h)/(Cd a sqrt(2 g)).
    #[test]
    fn a_box_empties_as_the_closed_form_says() {
        let pan = Sump::cuboid(mm(300.0), mm(200.0), mm(80.0)).unwrap();
        let d = drain(&pan, [0.0; 3], 12.0, 0.0, Plug::DOWN, LossModel::ConstantCd { cd: 0.61 });
        let t = d.emptying_time(Volume::new::<liter>(4.8)).unwrap().get::<second>();
        assert_relative_eq!(t, 111.08840, max_relative = 1e-6);
    }

    /// Closed form, full horizontal cylinder of radius R and length l drained at its bottom:
    /// `t = 4 l (2R)^1.5/(3 Cd a sqrt(2 g))`; the sump has facets of equal area, whose lowest edges lie
    /// a little under the circle.
    #[test]
    fn a_lying_cylinder_empties_as_the_closed_form_says() {
        let (diameter, length) = (mm(250.0), mm(300.0));
        let ends = [End::Flat; 2];
        let spec = Cylinder { diameter, length, axis: crate::geometry::Axis::AlongX, ends, facet_tolerance: 1e-8 };
        let pan = Sump::cylinder(&spec).unwrap();
        let low = pan.bounds().unwrap().low.to_mm()[2];
        let d = drain(&pan, [0.0, 0.0, low], 12.0, 0.0, Plug::DOWN, LossModel::ConstantCd { cd: 0.6 });
        let t = d.emptying_time(pan.capacity()).unwrap().get::<second>();
        let a = std::f64::consts::FRAC_PI_4 * 0.012f64.powi(2);
        let exact = 4.0 * 0.3 * 0.25f64.powf(1.5) / (3.0 * 0.6 * a * (2.0 * 9.80665f64).sqrt());
        assert_relative_eq!(t, exact, max_relative = 2e-5);
    }

    /// A plug in a wall empties to the centre of its bore, and its head counts from there.
    #[test]
    fn a_plug_in_a_wall() {
        let pan = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
        let d = drain(&pan, [150.0, 0.0, 20.0], 14.0, 10.0, [1.0, 0.0, 0.0], LossModel::energy_balance());
        let head = d.outlet().head(Volume::new::<liter>(6.0)).unwrap();
        assert_abs_diff_eq!(head.get::<millimeter>(), 80.0, epsilon = 1e-9);
        let rows = d.curve(Volume::new::<liter>(6.0), None, 10).unwrap();
        let out = rows.last().unwrap().volume_out.get::<liter>();
        assert_relative_eq!(out, 4.8, max_relative = 1e-3);
        assert_abs_diff_eq!(d.outlet().volume_at(mm(0.0)).get::<liter>(), 1.2, epsilon = 1e-12);
        assert_abs_diff_eq!(d.outlet().level_at(mm(5.0)).get::<millimeter>(), 25.0, epsilon = 1e-12);
        // Below the bore nothing flows.
        let low = Volume::new::<liter>(1.0);
        assert_abs_diff_eq!(d.emptying_time(low).unwrap().get::<second>(), 0.0);
    }

    /// A curve to a stated head below the end of the stream ends in drops; volume out is what the sump lost.
    #[test]
    fn drops_are_followed_on_request() {
        let pan = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
        let mut d = drain(&pan, [0.0; 3], 12.0, 10.0, Plug::DOWN, LossModel::energy_balance());
        d.hole = d.hole.with_low_head(LowHead::Weir);
        let full = Volume::new::<liter>(5.0);
        let rows = d.curve(full, Some(mm(0.2)), 200).unwrap();
        let kinds: Vec<Regime> = rows.iter().map(|r| r.regime).collect();
        assert_eq!((kinds[0], kinds[200]), (Regime::Gush, Regime::Drip));
        assert!(kinds.contains(&Regime::Stream));
        for row in rows {
            let left = d.outlet().volume_at(row.head).get::<liter>();
            assert_abs_diff_eq!(left + row.volume_out.get::<liter>(), 5.0, epsilon = 1e-9);
        }
        let e = d.curve(full, Some(mm(0.0)), 10).unwrap_err();
        assert_eq!(e.code(), "fluid.never_empties");
    }

    #[test]
    fn a_tube_leaves_what_its_tip_does_not_reach() {
        let pan = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
        let nu = oil(65.0).kinematic_viscosity(warm()).unwrap();
        let rho = oil(65.0).density(warm()).unwrap();
        let vacuum = uom::si::f64::Pressure::new::<pascal>(7e4);
        let tube = SuctionTube::new(mm(6.0), mm(1500.0), mm(900.0), vacuum, nu, rho).unwrap();
        let d = TubeDrain::new(&pan, Attitude::LEVEL, point([100.0, 0.0, 5.0]), tube).unwrap();
        // 5 mm of standing clear and half a bore of margin: 8 mm of 600 cm2.
        assert_abs_diff_eq!(d.left().get::<liter>(), 0.48, epsilon = 1e-12);
        assert!(d.emptying_time(Volume::new::<liter>(5.0)).unwrap().get::<second>() > 60.0);
        assert_abs_diff_eq!(d.emptying_time(Volume::new::<liter>(0.4)).unwrap().get::<second>(), 0.0);
        assert_abs_diff_eq!(
            d.outlet().head(Volume::new::<liter>(0.9)).unwrap().get::<millimeter>(),
            10.0,
            epsilon = 1e-9
        );
    }

    #[test]
    fn an_outlet_elsewhere_is_refused() {
        let pan = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
        let e = Outlet::at_point(&pan, "tip", point([900.0, 0.0, 5.0]), Attitude::LEVEL).unwrap_err();
        assert_eq!(e.code(), "circuit.outlet_misses_sump");
        let plug = Plug::new(point([0.0, 0.0, -200.0]), mm(14.0), mm(10.0), Plug::DOWN).unwrap();
        let e = Outlet::of_plug(&pan, &plug, Attitude::LEVEL).unwrap_err();
        assert_eq!(e.fields()["what"], "plug");
        let water = Fluid::new(crate::fluid::DensityLaw::Water);
        let plug = Plug::new(point([0.0; 3]), mm(14.0), mm(10.0), Plug::DOWN).unwrap();
        let model = LossModel::energy_balance();
        let e = PlugDrain::new(&pan, Attitude::LEVEL, &plug, &water, warm(), model).unwrap_err();
        assert_eq!(e.code(), "fluid.no_viscosity");
        let flaw =
            CircuitError::OutletMissesSump { what: "tip".into(), at_mm: [0.0; 3], low_mm: [0.0; 3], high_mm: [0.0; 3] };
        assert_eq!(flaw.code(), "circuit.outlet_misses_sump");
    }
}
