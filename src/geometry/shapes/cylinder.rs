//! Cylinders, upright or lying, with the usual kinds of ends.

use std::f64::consts::FRAC_PI_2;

use uom::si::f64::Length;
use uom::si::length::meter;

use super::super::error::GeometryError;
use super::super::mesh::ClosedMesh;
use super::super::vector::Vec3;
use super::cuboid::side;
use super::revolve::{Arc, Facets, Profile, revolve};
use crate::numeric::check;

/// Where a cylinder's axis points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Axis {
    /// Along z: standing.
    Upright,
    /// Along x: lying, from rear to front.
    AlongX,
    /// Along y: lying, from right to left.
    AlongY,
}

/// How a cylinder ends. Depths are measured outwards from the edge of the barrel.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum End {
    /// A flat disc.
    Flat,
    /// A cone of this depth.
    Conical {
        /// Depth at the axis.
        depth: Length,
    },
    /// A spherical cap of this depth, at most the radius (then a hemisphere).
    Spherical {
        /// Depth at the axis.
        depth: Length,
    },
    /// Half an ellipsoid of this depth; the usual 2:1 end has half the radius.
    Ellipsoidal {
        /// Depth at the axis.
        depth: Length,
    },
    /// A shallow sphere joined to the barrel by a torus.
    Torispherical {
        /// Radius of the sphere as a fraction of the diameter (common 1.0); more than one half.
        crown: f64,
        /// Radius of the torus as a fraction of the diameter (common 0.06 or 0.1); above 0 and below one half.
        knuckle: f64,
    },
}

impl End {
    /// The end as arcs, for a barrel of this radius.
    fn profile(self, what: &str, radius: f64) -> Result<Profile, GeometryError> {
        let deep = |depth: Length, most: f64| {
            let what = format!("{what}.depth");
            check::in_range(&what, depth.get::<meter>() * 1e3, 0.01, most * 1e3, "mm").map(|mm| mm / 1e3)
        };
        Ok(match self {
            Self::Flat => Profile::Flat,
            Self::Conical { depth } => Profile::Cone(deep(depth, 20.0)?),
            Self::Spherical { depth } => {
                let d = deep(depth, radius)?;
                let sphere = (radius * radius + d * d) / (2.0 * d);
                let to = (radius / sphere).min(1.0).asin();
                Profile::Arcs(vec![Arc { u0: d - sphere, a: sphere, r0: 0.0, b: sphere, from: 0.0, to }])
            }
            Self::Ellipsoidal { depth } => {
                let a = deep(depth, 20.0)?;
                Profile::Arcs(vec![Arc { u0: 0.0, a, r0: 0.0, b: radius, from: 0.0, to: FRAC_PI_2 }])
            }
            Self::Torispherical { crown, knuckle } => torispherical(what, radius, crown, knuckle)?,
        })
    }
}

fn torispherical(what: &str, radius: f64, crown: f64, knuckle: f64) -> Result<Profile, GeometryError> {
    check::in_range(&format!("{what}.crown"), crown, 0.5 + 1e-6, 20.0, "diameters")?;
    check::in_range(&format!("{what}.knuckle"), knuckle, 1e-4, 0.5 - 1e-6, "diameters")?;
    let (sphere, torus) = (2.0 * radius * crown, 2.0 * radius * knuckle);
    let reach = radius - torus;
    // Where sphere and torus touch they share the normal, which passes through both centres.
    let meet = (reach / (sphere - torus)).asin();
    let behind = (sphere - torus) * meet.cos();
    Ok(Profile::Arcs(vec![
        Arc { u0: -behind, a: sphere, r0: 0.0, b: sphere, from: 0.0, to: meet },
        Arc { u0: 0.0, a: torus, r0: reach, b: torus, from: meet, to: FRAC_PI_2 },
    ]))
}

/// A cylinder: barrel, direction and ends (first the low, rear or right one).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cylinder {
    /// Inner diameter.
    pub diameter: Length,
    /// Length of the straight barrel, without the ends.
    pub length: Length,
    /// Direction of the axis.
    pub axis: Axis,
    /// The low, rear or right end, then the high, front or left end.
    pub ends: [End; 2],
    /// Largest volume error of the facets, as a fraction of the capacity, below any plane at any attitude. Levels count from the
    /// lowest point of the true shape, not of its facets, so the same holds below any level. (The facets alone, written as a
    /// mesh and read again, know no true shape: there a level may be off by a ten-thousandth of the radius.) 1e-5 serves
    /// every purpose; accepted 1e-6 to 1e-2.
    pub facet_tolerance: f64,
}

/// Builds the mesh. Upright, the origin is on the axis at the low end of the barrel; lying, on the axis at its middle.
pub(crate) fn cylinder(c: &Cylinder) -> Result<ClosedMesh, GeometryError> {
    let diameter = side("diameter", c.diameter.get::<meter>())?;
    let length = side("length", c.length.get::<meter>())?;
    check::in_range("facet_tolerance", c.facet_tolerance, 1e-6, 1e-2, "of capacity")?;
    let radius = diameter / 2.0;
    let low = c.ends[0].profile("ends[0]", radius)?;
    let high = c.ends[1].profile("ends[1]", radius)?;
    let place = |[a, b, s]: Vec3| match c.axis {
        Axis::Upright => [a, b, s],
        Axis::AlongX => [s - length / 2.0, a, b],
        Axis::AlongY => [b, s - length / 2.0, a],
    };
    revolve(radius, length, [&low, &high], Facets::for_tolerance(c.facet_tolerance), place)
}
