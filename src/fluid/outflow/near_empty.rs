//! Near empty: the rim as a weir, a bore that is not covered.

use uom::si::f64::Length;
use uom::si::length::meter;

use super::{Axis, LowHead, Outflow};
use crate::fluid::STANDARD_GRAVITY;
use crate::numeric::lanes::Lanes;

/// Discharge coefficient of the rim as a weir: 0.6, that of a sharp-crested weir (from memory), on the rim's
/// circumference (judgement).
const WEIR: f64 = 0.6;

impl Outflow {
    /// The head at which nothing flows any more: zero, and for a bore that points sideways, if it is followed to the end
    /// ([`LowHead::Weir`]), half a bore below its centre.
    pub fn lowest_head(&self) -> Length {
        Length::new::<meter>(self.lowest_si())
    }

    pub(super) fn lowest_si(&self) -> f64 {
        if self.axis == Axis::Side && self.low_head == LowHead::Weir { -0.5 * self.bore } else { 0.0 }
    }

    /// Whether the surface stands below the top of a bore that points sideways and is followed to the end.
    pub(super) fn partly_covered(&self, head: f64) -> bool {
        self.axis == Axis::Side && self.low_head == LowHead::Weir && head < 0.5 * self.bore
    }

    /// Depth of the centre of area of the wetted part of the bore, and its share of the bore's section. The wetted part is
    /// taken to flow with the velocity that the loss model has at that depth (judgement; at most 7.4 % more than Torricelli's
    /// law integrated over the part).
    ///
    /// Segment of a circle of radius r up to the height h over its centre, half its angle `t = acos(-h/r)`: area
    /// `r^2 (t - sin t cos t)`, centre of area `(2/3) r^3 sin^3 t / area` below the circle's centre.
    pub(super) fn wetted_si(&self, head: f64) -> (f64, f64) {
        if !self.partly_covered(head) {
            return (head, 1.0);
        }
        let radius = 0.5 * self.bore;
        let half = (-head / radius).clamp(-1.0, 1.0).acos();
        let segment = half - half.sin() * half.cos();
        if segment <= 0.0 {
            return (0.0, 0.0);
        }
        let below = 2.0 / 3.0 * radius * half.sin().powi(3) / segment;
        ((head + below).max(0.0), segment / std::f64::consts::PI)
    }

    /// Most that can pass the rim of a hole that points down: a sharp weir as long as the rim,
    /// `(2/3) 0.6 sqrt(2 g) pi d h^(3/2)`, and for thick oil a sheet sliding over the edge at a slope of one,
    /// `pi d g h^3/(3 nu)` (judgement).
    pub(super) fn rim_si(&self, head: f64) -> f64 {
        self.rim_of(head, self.nu)
    }

    /// The same with other viscosities.
    #[inline]
    pub(super) fn rim_of<X: Lanes>(&self, head: f64, nu: X) -> X {
        if self.low_head == LowHead::Ignore || self.axis == Axis::Side {
            return X::splat(f64::INFINITY);
        }
        let rim = std::f64::consts::PI * self.bore;
        let weir = 2.0 / 3.0 * WEIR * (2.0 * STANDARD_GRAVITY).sqrt() * rim * head.powf(1.5);
        let sheet = rim * STANDARD_GRAVITY * head.powi(3);
        nu.map(|nu| weir.min(sheet / (3.0 * nu)))
    }

    /// Whether the rim limits the flow: as a weir, or because it is not covered.
    pub(super) fn rim_limits(&self, head: f64) -> bool {
        self.rim_limits_at(head, self.nu)
    }

    fn rim_limits_at(&self, head: f64, nu: f64) -> bool {
        self.partly_covered(head) || self.rim_of(head, nu) < self.vented_of(head, nu)
    }

    /// The head in metres between `low` and `high` at which the rim takes over with this viscosity, if there is one: the flow has
    /// a kink.
    pub(super) fn knee_of(&self, low: f64, high: f64, nu: f64) -> Option<f64> {
        if high <= low || self.rim_limits_at(high, nu) || !self.rim_limits_at(low.max(self.lowest_si() + 1e-12), nu) {
            return None;
        }
        let (mut below, mut above) = (low, high);
        for _ in 0..60 {
            let middle = 0.5 * (below + above);
            if self.rim_limits_at(middle, nu) {
                below = middle;
            } else {
                above = middle;
            }
        }
        Some(above)
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use uom::si::time::second;

    use super::super::{LossModel, Prism, Regime};
    use super::*;
    use crate::fluid::STANDARD_GRAVITY;
    use crate::numeric::quadrature::integrate_root_ends;

    fn side(cd: f64) -> Outflow {
        Outflow::unchecked_si(0.014, 0.0, Axis::Side, LossModel::ConstantCd { cd }, 1e-6, 870.0)
    }

    /// Torricelli's law over the wetted part, `Cd integral w(z) sqrt(2 g (h - z)) dz` by quadrature: at most 7.4 % over it
    /// (a thin segment is a parabola: `(2/3) sqrt(2/5) / (pi/8)`), and exact once the bore is well covered.
    #[test]
    fn wetted_part_of_a_bore() {
        let (hole, r) = (side(0.62), 0.007);
        for (head, tolerance) in [(-0.0069, 0.075), (-0.004, 0.07), (0.0, 0.07), (0.005, 0.06), (0.1, 1e-3)] {
            let strip = |z: f64| 2.0 * (r * r - z * z).max(0.0).sqrt() * (2.0 * STANDARD_GRAVITY * (head - z)).sqrt();
            let exact = 0.62 * integrate_root_ends(strip, -r, head.min(r), 1e-10);
            assert_relative_eq!(hole.flow_si(head), exact, max_relative = tolerance);
            assert!(hole.flow_si(head) >= exact);
        }
        assert_relative_eq!(hole.flow_si(r - 1e-12), hole.flow_si(r), max_relative = 1e-6);
        assert_eq!(hole.flow_si(-r), 0.0);
    }

    /// A bore in a wall drains below its centre, down to a trickle at the lowest point of its rim; more head, more flow.
    #[test]
    fn a_bore_in_a_wall_drains_below_its_centre() {
        let hole = side(0.62);
        let flows: Vec<f64> = (0..400).map(|i| hole.flow_si(-0.007 + 1e-4 * f64::from(i))).collect();
        assert!(flows.windows(2).all(|w| w[1] > w[0]));
        let pan = Prism::new(uom::si::f64::Area::new::<uom::si::area::square_meter>(0.05));
        let from = Length::new::<meter>(0.08);
        let rows = hole.drain_curve(&pan, from, 50).unwrap();
        let last = rows.last().unwrap();
        assert!(last.head.value < -0.0058 && last.head > hole.lowest_head());
        assert_eq!((rows[0].regime, rows[48].regime), (Regime::Gush, Regime::Stream));
        let whole = hole.emptying_time(&pan, from).unwrap().get::<second>();
        assert_relative_eq!(whole, last.time.get::<second>(), max_relative = 1e-7);
        assert!(hole.time_between(&pan, from, hole.lowest_head()).is_err());
    }
}
