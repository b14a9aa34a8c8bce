//! A sump at one attitude that is asked a few things only: a prepared curve would cost more than the answers.

use super::attitude::Attitude;
use super::curve::LevelCurve;
use super::error::GeometryError;
use super::sump::Sump;
use super::vector::{Vec3, dot};
use crate::numeric::root::rising;

/// Part of the capacity to which a level is found.
const EXACT: f64 = 1e-15;

/// The exact volume below any level at one attitude, and back: of a sump of many faces by the blocks that a level cuts, of others
/// by a curve.
#[derive(Debug, Clone)]
pub(crate) enum Glance {
    /// Its faces in blocks.
    Blocks {
        up: Vec3,
        /// Height of the middle of the blocks (m).
        middle: f64,
        /// Lowest and highest point over it (m).
        ends: [f64; 2],
    },
    /// Prepared.
    Curve(LevelCurve),
}

impl Glance {
    /// Refused where a sump without plan form has no curve.
    pub(crate) fn of(sump: &Sump, attitude: Attitude) -> Result<Self, GeometryError> {
        let Some((mesh, blocks)) = sump.blocks() else { return sump.prepare(attitude).map(Self::Curve) };
        let up = attitude.up_si();
        let ends = [blocks.lowest(mesh, up), -blocks.lowest(mesh, up.map(|c| -c))];
        Ok(Self::Blocks { up, middle: dot(blocks.centre(), up), ends })
    }

    /// Height of the lowest point along *up* (m).
    pub(crate) fn datum(&self) -> f64 {
        match self {
            Self::Blocks { middle, ends, .. } => middle + ends[0],
            Self::Curve(curve) => curve.datum_si(),
        }
    }

    /// Volume below a height along *up* (m3); of others than the sump's the nearest end's.
    pub(crate) fn volume_below(&self, sump: &Sump, height: f64) -> f64 {
        match (self, sump.blocks()) {
            (Self::Curve(curve), _) => curve.volume_at(height - curve.datum_si()),
            (Self::Blocks { up, middle, ends: [low, high] }, Some((mesh, blocks))) => {
                let over = height - middle;
                if over >= *high { sump.capacity_si() } else { blocks.below(mesh, *up, over.max(*low)) }
            }
            (Self::Blocks { .. }, None) => f64::NAN,
        }
    }

    /// Level of a volume over the lowest point (m), looked for `near` one; of others than the sump holds the nearest end.
    pub(crate) fn level(&self, sump: &Sump, volume: f64, near: f64) -> f64 {
        match self {
            Self::Curve(curve) => curve.level_at(volume),
            // A top that is a point is a level that rounding of the volume does not tell.
            Self::Blocks { ends: [low, high], .. } if volume >= sump.capacity_si() => high - low,
            Self::Blocks { middle, ends: [low, high], .. } => {
                let below = |level: f64| self.volume_below(sump, middle + low + level);
                rising(below, [0.0, high - low], volume, near, EXACT * sump.capacity_si())
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::circuit::Circuit;

    /// Against the prepared curve, at attitudes and volumes of all kinds; a box has a curve anyway.
    #[test]
    fn says_what_a_curve_says() {
        for name in ["shuttle-bus", "winch-gearbox"] {
            let circuit = Circuit::demo(name).unwrap();
            let (sump, capacity) = (circuit.sump(), circuit.sump().capacity_si());
            for (nose_up, right_down) in [(0.0, 0.0), (2.3, -0.7), (-14.0, 31.0)] {
                let attitude = Attitude::from_degrees(nose_up, right_down).unwrap();
                let (glance, curve) = (Glance::of(sump, attitude).unwrap(), sump.prepare(attitude).unwrap());
                assert_eq!(matches!(glance, Glance::Blocks { .. }), name == "shuttle-bus");
                assert!((glance.datum() - curve.datum_si()).abs() < 1e-12);
                for share in [-0.1, 0.0, 1e-6, 0.03, 0.4, 0.75, 0.999_999, 1.0, 1.2] {
                    let (volume, near) = (share * capacity, 0.3 * curve.height_si());
                    let level = glance.level(sump, volume, near);
                    assert!((level - curve.level_at(volume)).abs() < 1e-9, "{name} {nose_up} {share}: {level}");
                    let below = glance.volume_below(sump, curve.datum_si() + share * curve.height_si());
                    let told = curve.volume_at(share * curve.height_si());
                    assert!((below - told).abs() < 1e-12 * capacity, "{name} {nose_up} {share}: {below} {told}");
                }
            }
        }
    }
}
