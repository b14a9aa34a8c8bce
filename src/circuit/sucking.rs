//! A sump that is emptied by a suction tube: the laws of the tube on the level curve of what its tip reaches.

use uom::si::f64::{Length, Time, Volume, VolumeRate};
use uom::si::length::meter;
use uom::si::time::second;
use uom::si::volume_rate::cubic_meter_per_second;

use super::draining::Outlet;
use crate::Error;
use crate::fluid::suction::SuctionTube;
use crate::geometry::{Attitude, Point, SuctionHeel, SuctionTip, Sump};
use crate::numeric::check;

/// A sump that is emptied by a suction tube.
///
/// The tip draws from the part of the liquid that it lies in; what is behind a rib stays there. The suction breaks somewhere
/// between the lowest point of the tip's rim and the entrainment margin ([`SuctionTube::breaks_at`]) over the highest.
#[derive(Debug, Clone)]
pub struct TubeDrain {
    outlet: Outlet,
    tube: SuctionTube,
    /// Heads at which the suction breaks at the latest and at the earliest, in metres.
    breaks: [f64; 2],
}

/// One row of emptying by a tube.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct SuctionRow {
    /// Time since the pump was started.
    pub time: Time,
    /// Depth over the tip's centre.
    pub head: Length,
    /// Flow.
    pub rate: VolumeRate,
    /// Volume left in the sump, that behind ribs included.
    pub left: Volume,
}

impl TubeDrain {
    /// A sump at an attitude with the tip of a tube in it, which leads away from there along `axis` (body frame, any
    /// length; [`TubeDrain::UPRIGHT`] has its opening level).
    ///
    /// # Errors
    /// Those of [`Outlet::of_tip`].
    ///
    /// ```
    /// use fillmark::circuit::TubeDrain;
    /// use fillmark::fluid::suction::SuctionTube;
    /// use fillmark::geometry::{Attitude, Point, Sump};
    /// use fillmark::uom::si::f64::*;
    /// use fillmark::uom::si::{kinematic_viscosity::square_millimeter_per_second, length::millimeter, volume::liter};
    /// use fillmark::uom::si::{mass_density::kilogram_per_cubic_meter, pressure::bar};
    ///
    /// let mm = Length::new::<millimeter>;
    /// let tube = SuctionTube::new(
    ///     mm(6.0), mm(1500.0), mm(900.0), Pressure::new::<bar>(0.7),
    ///     KinematicViscosity::new::<square_millimeter_per_second>(30.0),
    ///     MassDensity::new::<kilogram_per_cubic_meter>(850.0),
    /// )?;
    /// let pan = Sump::cuboid(mm(250.0), mm(200.0), mm(100.0))?;
    /// let tip = Point::from_mm([80.0, 0.0, 3.0])?;
    /// let drain = TubeDrain::new(&pan, Attitude::LEVEL, tip, TubeDrain::UPRIGHT, tube)?;
    /// let left = drain.left(Volume::new::<liter>(4.0))?;
    /// assert!((left.least.get::<liter>() - 0.15).abs() < 1e-9 && (left.most.get::<liter>() - 0.30).abs() < 1e-9);
    /// # Ok::<(), fillmark::Error>(())
    /// ```
    pub fn new(sump: &Sump, attitude: Attitude, at: Point, axis: [f64; 3], tube: SuctionTube) -> Result<Self, Error> {
        let tip = SuctionTip { at, bore: tube.bore(), axis, margin: tube.breaks_at() };
        let outlet = Outlet::of_tip(sump, &tip, attitude)?;
        let rim = tip.rim()?;
        let up = attitude.up_si();
        let [low, high] = rim.rim_si(up).map(|height| height - rim.centre_si(up));
        Ok(Self { outlet, tube, breaks: [low, high + tube.breaks_at().get::<meter>()] })
    }

    /// A tube that stands upright on its tip, which is cut square.
    pub const UPRIGHT: [f64; 3] = [0.0, 0.0, 1.0];

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
        self.time_to(volume, self.breaks[1])
    }

    /// [`TubeDrain::emptying_time`] if the suction breaks at the earliest, and if it holds to the last.
    ///
    /// # Errors
    /// As [`TubeDrain::emptying_time`].
    pub fn emptying_between(&self, volume: Volume) -> Result<[Time; 2], Error> {
        Ok([self.time_to(volume, self.breaks[1])?, self.time_to(volume, self.breaks[0])?])
    }

    fn time_to(&self, volume: Volume, head: f64) -> Result<Time, Error> {
        let (from, to) = (self.outlet.head(volume)?, Length::new::<meter>(head));
        if from <= to {
            return Ok(Time::new::<second>(0.0));
        }
        Ok(self.tube.time_between(&self.outlet, from, to)?)
    }

    /// What the tube leaves of a volume that stands at one common level: if the suction holds to the last, and if it breaks at
    /// the earliest. For a full sump these are the heels of [`Sump::suction_heel`].
    ///
    /// # Errors
    /// A geometry error for a volume outside 0 to the capacity.
    pub fn left(&self, volume: Volume) -> Result<SuctionHeel, Error> {
        let at = |head: f64| self.outlet.left(volume, Length::new::<meter>(head));
        Ok(SuctionHeel { least: at(self.breaks[0])?, most: at(self.breaks[1])? })
    }

    /// `steps` equal falls of the surface from starting the pump on a volume until the tip begins to draw air.
    ///
    /// # Errors
    /// As [`TubeDrain::emptying_time`]; [`FluidError::Quantity`](crate::fluid::FluidError::Quantity) for steps outside 1 to
    /// 100000.
    pub fn curve(&self, volume: Volume, steps: usize) -> Result<Vec<SuctionRow>, Error> {
        check::in_range("steps", steps as f64, 1.0, 1e5, "rows")?;
        let from = self.outlet.head(volume)?;
        let end = self.breaks[1].min(from.get::<meter>());
        let mut rows: Vec<SuctionRow> = Vec::with_capacity(steps + 1);
        for i in 0..=steps {
            let fallen = i as f64 / steps as f64;
            let head = Length::new::<meter>(from.get::<meter>() * (1.0 - fallen) + end * fallen);
            let passed = match rows.last() {
                Some(row) => row.time + self.tube.time_between(&self.outlet, row.head, head)?,
                None => Time::new::<second>(0.0),
            };
            let rate = VolumeRate::new::<cubic_meter_per_second>(self.tube.flow_si(head.get::<meter>()));
            rows.push(SuctionRow { time: passed, head, rate, left: self.outlet.left(volume, head)? });
        }
        Ok(rows)
    }
}

#[cfg(test)]
mod tests {
    use approx::{assert_abs_diff_eq, assert_relative_eq};
    use uom::si::f64::{KinematicViscosity, MassDensity, Pressure};
    use uom::si::kinematic_viscosity::square_millimeter_per_second;
    use uom::si::length::millimeter;
    use uom::si::mass_density::kilogram_per_cubic_meter;
    use uom::si::pressure::pascal;
    use uom::si::volume::liter;

    use super::*;

    fn mm(v: f64) -> Length {
        Length::new::<millimeter>(v)
    }

    fn litres(v: f64) -> Volume {
        Volume::new::<liter>(v)
    }

    fn tube() -> SuctionTube {
        let nu = KinematicViscosity::new::<square_millimeter_per_second>(65.0);
        let rho = MassDensity::new::<kilogram_per_cubic_meter>(855.0);
        SuctionTube::new(mm(6.0), mm(1500.0), mm(900.0), Pressure::new::<pascal>(7e4), nu, rho).unwrap()
    }

    fn in_sump(sump: &Sump, at: [f64; 3], axis: [f64; 3], attitude: Attitude) -> TubeDrain {
        TubeDrain::new(sump, attitude, Point::from_mm(at).unwrap(), axis, tube()).unwrap()
    }

    #[test]
    fn a_tube_leaves_what_its_tip_does_not_reach() {
        let pan = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
        let d = in_sump(&pan, [100.0, 0.0, 5.0], TubeDrain::UPRIGHT, Attitude::LEVEL);
        // 5 mm of standing clear, and half a bore of margin: 5 and 8 mm of 600 cm2.
        let left = d.left(litres(5.0)).unwrap();
        assert_abs_diff_eq!(left.least.get::<liter>(), 0.30, epsilon = 1e-12);
        assert_abs_diff_eq!(left.most.get::<liter>(), 0.48, epsilon = 1e-12);
        let [early, late] = d.emptying_between(litres(5.0)).unwrap().map(|t| t.get::<second>());
        assert!(late > early && early > 60.0);
        assert_abs_diff_eq!(early, d.emptying_time(litres(5.0)).unwrap().get::<second>());
        assert_abs_diff_eq!(d.emptying_time(litres(0.4)).unwrap().get::<second>(), 0.0);
        assert_abs_diff_eq!(d.left(litres(0.4)).unwrap().most.get::<liter>(), 0.4, epsilon = 1e-12);
        assert_abs_diff_eq!(d.outlet().head(litres(0.9)).unwrap().get::<millimeter>(), 10.0, epsilon = 1e-9);
        // Lying along the floor its opening stands on edge: the rim reaches from 2 to 8 mm.
        let lying = in_sump(&pan, [100.0, 0.0, 5.0], [-1.0, 0.0, 0.0], Attitude::LEVEL).left(litres(5.0)).unwrap();
        assert_abs_diff_eq!(lying.least.get::<liter>(), 0.12, epsilon = 1e-12);
        assert_abs_diff_eq!(lying.most.get::<liter>(), 0.66, epsilon = 1e-12);
    }

    /// Closed form: a rib of 4 x 30 mm across 300 x 200 mm. The tip in the front bay reaches 148 x 200 mm below the rib's top;
    /// the other bay stays full to it.
    #[test]
    fn a_rib_blocks_the_tube() {
        let pan = super::super::draining::tests::ribbed();
        let d = in_sump(&pan, [250.0, 100.0, 5.0], TubeDrain::UPRIGHT, Attitude::LEVEL);
        let bay = 0.148 * 0.2;
        let left = d.left(litres(4.0)).unwrap();
        assert_abs_diff_eq!(left.least.get::<liter>(), bay * (30.0 + 5.0), epsilon = 1e-9);
        assert_abs_diff_eq!(left.most.get::<liter>(), bay * (30.0 + 8.0), epsilon = 1e-9);
        let heel = pan
            .suction_heel(
                &SuctionTip {
                    at: Point::from_mm([250.0, 100.0, 5.0]).unwrap(),
                    bore: mm(6.0),
                    axis: TubeDrain::UPRIGHT,
                    margin: mm(3.0),
                },
                Attitude::LEVEL,
            )
            .unwrap();
        let full = d.left(pan.capacity()).unwrap();
        assert_relative_eq!(full.most.get::<liter>(), heel.most.get::<liter>(), max_relative = 1e-12);
        assert_relative_eq!(full.least.get::<liter>(), heel.least.get::<liter>(), max_relative = 1e-12);
        // The curve ends there, loses what the time integral says, and takes less time than without the rib.
        let rows = d.curve(litres(4.0), 60).unwrap();
        let end = rows.last().unwrap();
        assert_abs_diff_eq!(end.left.get::<liter>(), left.most.get::<liter>(), epsilon = 1e-9);
        assert_relative_eq!(end.time.value, d.emptying_time(litres(4.0)).unwrap().value, max_relative = 1e-7);
        let plain = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
        let open = in_sump(&plain, [100.0, 0.0, 5.0], TubeDrain::UPRIGHT, Attitude::LEVEL);
        assert!(end.time < open.emptying_time(litres(4.0)).unwrap());
        // Both bays hold 20 mm only: the other bay's stays.
        let low = litres(bay * 40.0);
        assert_abs_diff_eq!(d.left(low).unwrap().most.get::<liter>(), bay * (20.0 + 8.0), epsilon = 1e-9);
    }

    #[test]
    fn a_tip_elsewhere_is_refused() {
        let pan = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
        let far = Point::from_mm([900.0, 0.0, 5.0]).unwrap();
        let e = TubeDrain::new(&pan, Attitude::LEVEL, far, TubeDrain::UPRIGHT, tube()).unwrap_err();
        assert_eq!((e.code().as_str(), e.fields()["what"].as_str()), ("circuit.outlet_misses_sump", Some("tip")));
        let d = in_sump(&pan, [100.0, 0.0, 5.0], TubeDrain::UPRIGHT, Attitude::LEVEL);
        assert_eq!(d.curve(litres(1.0), 0).unwrap_err().fields()["what"], "steps");
    }
}
