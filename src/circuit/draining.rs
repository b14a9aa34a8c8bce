//! A sump that empties through its plug: the laws of outflow on the level curve of what the plug reaches.
//!
//! In the beginning all liquid stands at one common level. From there on only the part falls that is joined to the outlet:
//! where the level reaches a sill, what is behind it stays.

use std::sync::Arc;

use uom::si::f64::{Length, ThermodynamicTemperature, Time, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::CircuitError;
use crate::Error;
use crate::fluid::Fluid;
use crate::fluid::outflow::{Axis, DrainRow, LossModel, Outflow, TimesByModel, Vessel};
use crate::geometry::{Attitude, LevelCurve, Plug, Point, Reach, SuctionTip, Sump, WALL};

/// A sump seen from an outlet: head is the height of the free surface over the outlet's centre (for a bore that points down:
/// over the lowest point of its rim), along *up*.
#[derive(Debug, Clone)]
pub struct Outlet {
    /// The whole sump.
    curve: Arc<LevelCurve>,
    /// The part of it that the outlet lies in.
    reach: Reach,
    /// Level at which the head is zero, in metres.
    level: f64,
    /// Heads at which the free surface has a kink or jumps, in metres.
    knots: Vec<f64>,
}

impl Outlet {
    /// The outlet of a plug: the lowest point of its rim for a bore that points down (within 45 degrees), else the centre
    /// of the bore.
    ///
    /// # Errors
    /// [`CircuitError::OutletMissesSump`] more than 50 mm outside the sump's bounding box; geometry errors for one that is
    /// more than 50 mm outside the liquid space, and for a sump that has no plan form and is not level.
    pub fn of_plug(sump: &Sump, plug: &Plug, attitude: Attitude) -> Result<Self, Error> {
        at_wall(sump, "plug", plug.at())?;
        let up = attitude.up_si();
        let height = match axis_of(plug, attitude) {
            Axis::Down => plug.rim_si(up)[0],
            Axis::Side => plug.centre_si(up),
        };
        Self::at_height(sump, height, sump.reach_of_plug(plug, attitude)?, attitude)
    }

    /// The tip of a suction tube; head counts from its centre.
    ///
    /// # Errors
    /// As [`Outlet::of_plug`].
    pub fn of_tip(sump: &Sump, tip: &SuctionTip, attitude: Attitude) -> Result<Self, Error> {
        at_wall(sump, "tip", tip.at)?;
        let height = crate::geometry::vector::dot(tip.at.si(), attitude.up_si());
        Self::at_height(sump, height, sump.reach_of_tip(tip, attitude)?, attitude)
    }

    fn at_height(sump: &Sump, height: f64, reach: Reach, attitude: Attitude) -> Result<Self, Error> {
        let curve = sump.curve(attitude)?;
        let level = height - curve.datum_si();
        let knots = reach.knots().iter().map(|z| z - level).collect();
        Ok(Self { curve, reach, level, knots })
    }

    /// Height of the free surface over the outlet when the sump holds a volume at one common level; where that stands below
    /// the outlet, its lowest point.
    ///
    /// # Errors
    /// A geometry error for a volume outside 0 to the capacity.
    pub fn head(&self, volume: Volume) -> Result<Length, Error> {
        let level = self.curve.level_si(volume.get::<cubic_meter>())?;
        Ok(Length::new::<meter>((level - self.level).max(self.lowest())))
    }

    /// The lowest point of the outlet over where its head is zero: zero or less, in metres.
    fn lowest(&self) -> f64 {
        self.reach.outlet().get::<meter>() - self.level
    }

    /// [`Outlet::lowest`] as a length.
    pub(crate) fn lowest_head(&self) -> Length {
        Length::new::<meter>(self.lowest())
    }

    /// How far its zero of head stands above that of another outlet of the same sump at the same attitude.
    pub(crate) fn rises_above(&self, other: &Self) -> Length {
        Length::new::<meter>(self.level - other.level)
    }

    /// Level of the free surface at a head, in the part that the outlet lies in.
    pub fn level_at(&self, head: Length) -> Length {
        Length::new::<meter>((self.level + head.get::<meter>()).max(0.0))
    }

    /// Volume that is left in the sump when a volume that stood at one common level has fallen to a head: below that head,
    /// and behind sills.
    ///
    /// # Errors
    /// As [`Outlet::head`].
    pub fn left(&self, volume: Volume, head: Length) -> Result<Volume, Error> {
        let (from, to) = (self.head(volume)?, self.level_at(head));
        let out = self.reach.volume(self.level_at(from)) - self.reach.volume(to);
        Ok(volume - if out > Volume::default() { out } else { Volume::default() })
    }

    /// Volume that is left of a volume when everything has gone that can: the heel of the sump, if the volume filled it.
    ///
    /// # Errors
    /// As [`Outlet::head`].
    pub fn heel(&self, volume: Volume) -> Result<Volume, Error> {
        self.left(volume, Length::new::<meter>(self.lowest()))
    }
}

impl Vessel for Outlet {
    fn area(&self, head: f64) -> f64 {
        self.reach.free_surface_si(self.level + head)
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

/// Refuses an outlet far outside the sump's bounding box.
fn at_wall(sump: &Sump, what: &str, point: Point) -> Result<(), Error> {
    let Some(bounds) = sump.bounds() else { return Ok(()) };
    let (low, at, high) = (bounds.low.si(), point.si(), bounds.high.si());
    if (0..3).all(|k| at[k] >= low[k] - WALL && at[k] <= high[k] + WALL) {
        return Ok(());
    }
    let [at_mm, low_mm, high_mm] = [at, low, high].map(|p| p.map(|c| (c * 1e6).round() / 1e3));
    Err(CircuitError::OutletMissesSump { what: what.into(), at_mm, low_mm, high_mm }.into())
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

    /// Head when the plug is opened on a volume.
    fn start(&self, volume: Volume) -> Result<Length, Error> {
        let (head, lowest) = (self.outlet.head(volume)?, self.hole.lowest_head());
        Ok(if head > lowest { head } else { lowest })
    }

    /// Time from opening the plug on a volume (at the fluid's temperature) until only drops fall.
    ///
    /// # Errors
    /// A geometry error for a volume outside 0 to the capacity.
    pub fn emptying_time(&self, volume: Volume) -> Result<Time, Error> {
        Ok(self.hole.emptying_time(&self.outlet, self.start(volume)?)?)
    }

    /// [`PlugDrain::emptying_time`] by each of the three loss models.
    ///
    /// # Errors
    /// As [`PlugDrain::emptying_time`].
    pub fn emptying_times(&self, volume: Volume) -> Result<TimesByModel, Error> {
        Ok(self.hole.emptying_times(&self.outlet, self.start(volume)?)?)
    }

    /// Rows from opening the plug on a volume to the end of the stream, or to a stated head over the outlet.
    ///
    /// # Errors
    /// As [`PlugDrain::emptying_time`]; those of [`Outflow::drain_curve_to`].
    pub fn curve(&self, volume: Volume, to: Option<Length>, steps: usize) -> Result<Vec<DrainRow>, Error> {
        let from = self.start(volume)?;
        Ok(match to {
            Some(to) => self.hole.drain_curve_to(&self.outlet, from, to, steps)?,
            None => self.hole.drain_curve(&self.outlet, from, steps)?,
        })
    }

    /// The times of the rows of a curve by each of the three loss models.
    ///
    /// # Errors
    /// Those of [`Outflow::times_to`].
    pub fn curve_times(&self, rows: &[DrainRow]) -> Result<Vec<TimesByModel>, Error> {
        let heads: Vec<Length> = rows.iter().map(|r| r.head).collect();
        Ok(self.hole.times_to(&self.outlet, &heads)?)
    }
}

#[cfg(test)]
pub(super) mod tests {
    use approx::{assert_abs_diff_eq, assert_relative_eq};
    use uom::si::kinematic_viscosity::square_millimeter_per_second;
    use uom::si::length::millimeter;
    use uom::si::mass_density::kilogram_per_cubic_meter;
    use uom::si::thermodynamic_temperature::degree_celsius;
    use uom::si::time::second;
    use uom::si::volume::liter;

    use super::*;
    use crate::error::Coded;
    use crate::fluid::outflow::{LowHead, Regime};
    use crate::geometry::{Cylinder, End};

    fn mm(v: f64) -> Length {
        Length::new::<millimeter>(v)
    }

    /// A box 300 x 200 x 100 mm (x and y from 0) with a rib of 4 mm across the middle of its floor, `height` metres high.
    fn rib(height: f64) -> Sump {
        let outline = [
            [0.0, 0.0],
            [0.148, 0.0],
            [0.148, height],
            [0.152, height],
            [0.152, 0.0],
            [0.3, 0.0],
            [0.3, 0.1],
            [0.0, 0.1],
        ];
        let mut vertices: Vec<[f64; 3]> = outline.iter().map(|p| [p[0], 0.0, p[1]]).collect();
        vertices.extend(outline.iter().map(|p| [p[0], 0.2, p[1]]));
        let near = [[0, 1, 2], [0, 2, 7], [7, 2, 3], [7, 3, 6], [3, 5, 6], [3, 4, 5]];
        let mut faces: Vec<[u32; 3]> = near.to_vec();
        faces.extend(near.map(|[a, b, c]| [a + 8, c + 8, b + 8]));
        for a in 0..8u32 {
            let b = (a + 1) % 8;
            faces.extend([[a, a + 8, b + 8], [a, b + 8, b]]);
        }
        Sump::from_mesh(crate::geometry::ClosedMesh::try_new(vertices, faces).unwrap())
    }

    /// [`rib`] of 30 mm.
    pub(in super::super) fn ribbed() -> Sump {
        rib(0.03)
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
        let spec = Cylinder { diameter, length, axis: crate::geometry::Axis::AlongX, ends, facet_tolerance: 1e-6 };
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
        let left = d.outlet().left(Volume::new::<liter>(6.0), mm(0.0)).unwrap();
        assert_abs_diff_eq!(left.get::<liter>(), 1.2, epsilon = 1e-12);
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
            let left = d.outlet().left(full, row.head).unwrap().get::<liter>();
            assert_abs_diff_eq!(left + row.volume_out.get::<liter>(), 5.0, epsilon = 1e-9);
        }
        let e = d.curve(full, Some(mm(0.0)), 10).unwrap_err();
        assert_eq!(e.code(), "fluid.never_empties");
    }

    /// Closed form: a rib of 4 x 30 mm across a floor of 300 x 200 mm. Through the front bay 4 L leave as from the whole
    /// sump down to the rib's top and from 148 x 200 mm below; the rear bay stays full to the rib.
    #[test]
    fn a_rib_keeps_what_is_behind_it() {
        let pan = ribbed();
        let d = drain(&pan, [250.0, 100.0, 0.0], 12.0, 0.0, Plug::DOWN, LossModel::ConstantCd { cd: 0.61 });
        let (bay, whole, rib) = (0.148 * 0.2, 0.3 * 0.2, 0.03);
        let from = rib + (4e-3 - 2.0 * bay * rib) / whole;
        let fall = |area: f64, high: f64, low: f64| {
            let hole = std::f64::consts::FRAC_PI_4 * 0.012f64.powi(2);
            2.0 * area * (high.sqrt() - low.sqrt()) / (0.61 * hole * (2.0 * 9.80665f64).sqrt())
        };
        let exact = fall(whole, from, rib) + fall(bay, rib, 0.0);
        let t = d.emptying_time(Volume::new::<liter>(4.0)).unwrap().get::<second>();
        assert_relative_eq!(t, exact, max_relative = 1e-8);
        let heel = d.outlet().heel(Volume::new::<liter>(4.0)).unwrap().get::<liter>();
        assert_abs_diff_eq!(heel, bay * rib * 1e3, epsilon = 1e-9);
        // Both bays hold 20 mm from the beginning: they are apart.
        let low = Volume::new::<liter>(2.0 * bay * 20.0);
        let t = d.emptying_time(low).unwrap().get::<second>();
        assert_relative_eq!(t, fall(bay, 0.02, 0.0), max_relative = 1e-8);
        assert_abs_diff_eq!(d.outlet().heel(low).unwrap().get::<liter>(), bay * 20.0, epsilon = 1e-9);
    }

    /// A plug in a wall, the lowest point of its rim 25 mm up, over a rib of 10 mm: 25 mm stay on both sides, less the rib. The
    /// stream ends in drops with less than 2 mm over it.
    #[test]
    fn a_plug_over_a_rib_leaves_both_sides() {
        let pan = rib(0.010);
        let plug = Plug::new(point([300.0, 100.0, 31.0]), mm(12.0), mm(10.0), [1.0, 0.0, 0.0]).unwrap();
        let d = PlugDrain::new(&pan, Attitude::LEVEL, &plug, &oil(65.0), warm(), LossModel::energy_balance()).unwrap();
        let full = Volume::new::<liter>(5.0);
        let heel = d.outlet().heel(full).unwrap().get::<liter>();
        assert_abs_diff_eq!(heel, 1.5 - 0.004 * 0.010 * 0.2 * 1e3, epsilon = 1e-9);
        let end = d.curve(full, None, 100).unwrap()[100].head;
        let left = d.outlet().left(full, end).unwrap().get::<liter>();
        assert!(left > heel && left < heel + 0.10, "{left} {heel}");
    }

    /// At any attitude the heel that the drain leaves of a full sump is the sump's own.
    #[test]
    fn heels_are_those_of_the_geometry() {
        for (pan, at, axis) in
            [(ribbed(), [250.0, 100.0, 0.0], Plug::DOWN), (rib(0.01), [300.0, 90.0, 31.0], [1.0, 0.0, 0.0])]
        {
            let plug = Plug::new(point(at), mm(12.0), mm(10.0), axis).unwrap();
            for (p, r) in [(0.0, 0.0), (3.0, 0.0), (-4.0, 2.0), (1.0, -5.0), (12.0, 7.0)] {
                let attitude = Attitude::from_degrees(p, r).unwrap();
                let outlet = Outlet::of_plug(&pan, &plug, attitude).unwrap();
                let want = pan.heel(&[plug], attitude).unwrap().get::<liter>();
                assert_abs_diff_eq!(outlet.heel(pan.capacity()).unwrap().get::<liter>(), want, epsilon = 1e-9);
            }
        }
    }

    /// Each model on its own, and the interval between them.
    #[test]
    fn times_between_the_models() {
        let pan = Sump::cuboid(mm(250.0), mm(200.0), mm(100.0)).unwrap();
        let full = Volume::new::<liter>(4.0);
        let plug = Plug::new(point([0.0; 3]), mm(12.0), mm(24.0), Plug::DOWN).unwrap();
        let of = |model| PlugDrain::new(&pan, Attitude::LEVEL, &plug, &oil(163.0), warm(), model).unwrap();
        let each = [LossModel::energy_balance(), LossModel::ConstantCd { cd: 0.62 }, LossModel::ShortTube]
            .map(|m| of(m).emptying_time(full).unwrap().get::<second>());
        let got = of(LossModel::ShortTube).emptying_times(full).unwrap();
        assert_eq!(got.times().map(|t| t.get::<second>()), each);
        let (low, high) = each.iter().fold((f64::MAX, 0.0f64), |(l, h), t| (l.min(*t), h.max(*t)));
        assert_eq!(got.interval().map(|t| t.get::<second>()), [low, high]);
        assert_relative_eq!(got.standard_uncertainty().value, (high - low) / 12f64.sqrt(), max_relative = 1e-12);
        let d = of(LossModel::energy_balance());
        let rows = d.curve(full, None, 40).unwrap();
        let times = d.curve_times(&rows).unwrap();
        for (row, by) in rows.iter().zip(&times) {
            assert_relative_eq!(by.times()[0].value, row.time.value, max_relative = 1e-9);
        }
    }

    #[test]
    fn an_outlet_elsewhere_is_refused() {
        let pan = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
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
