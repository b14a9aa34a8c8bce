//! Shapes against closed forms and published outputs. Polyhedra: 1e-9 relative. Curved walls: 1e-5 of capacity, the
//! default facet tolerance. "Computed" means evaluated from the formula named, not printed there.

#![allow(clippy::approx_constant)] // published volumes of unit-like shapes happen to be fractions of pi

use approx::assert_relative_eq;
use uom::si::f64::{Angle, Length, Volume};
use uom::si::length::{inch, meter, millimeter};
use uom::si::volume::liter;

use super::super::{Attitude, Axis, Cylinder, End, Floor, Point, Section, Stepped, Sump};
use super::support::at;
use crate::error::Coded;

const CURVED: f64 = 1e-5;

fn mm(x: f64) -> Length {
    Length::new::<millimeter>(x)
}

/// Volume (L) below the plane through a body point (m).
fn below(sump: &Sump, point: [f64; 3], attitude: Attitude) -> f64 {
    let level = sump.level_of_point_si(point, attitude).unwrap();
    sump.volume_si(level, attitude).unwrap() * 1e3
}

fn cylinder(diameter: Length, length: Length, axis: Axis, ends: [End; 2]) -> Sump {
    Sump::cylinder(&Cylinder { diameter, length, axis, ends, facet_tolerance: CURVED }).unwrap()
}

fn upright() -> Sump {
    cylinder(mm(200.0), mm(200.0), Axis::Upright, [End::Flat; 2])
}

#[track_caller]
fn close(sump: &Sump, got_l: f64, want_l: f64) {
    let miss = (got_l - want_l).abs() / (sump.capacity_si() * 1e3);
    assert!(miss <= CURVED, "{got_l} L against {want_l} L: off by {miss:e} of capacity");
}

/// Tilted box 0.30 x 0.20 x 0.10 m, level at the centre: prism of the clipped rectangle (computed by hand clipping).
#[test]
fn tilted_box() {
    let sump = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
    let cases = [
        (0.05, 0.0, 3.0),
        (0.05, 5.0, 3.0),
        (0.05, 30.0, 3.0),
        (0.02, 10.0, 1.223586979),
        (0.02, 15.0, 1.352167715),
        (0.08, 15.0, 4.647832285),
    ];
    for (h, tilt, want) in cases {
        // The printed values have ten digits.
        assert_relative_eq!(below(&sump, [0.0, 0.0, h], at(tilt, 0.0)), want, max_relative = 1e-9);
        assert_relative_eq!(below(&sump, [0.0, 0.0, h], at(-tilt, 0.0)), want, max_relative = 1e-9);
    }
    // Surface from floor to wall: a wedge of volume w h^2 / (2 tan t) for the depth h at the low end.
    let (h, t) = (0.03f64, 8f64.to_radians());
    let wedge = 0.2 * h * h / (2.0 * t.tan()) * 1e3;
    assert_relative_eq!(below(&sump, [-0.15, 0.0, h], at(8.0, 0.0)), wedge, max_relative = 1e-12);
}

/// Stepped sump: well x in [-0.15, -0.03] m, 0.06 m deep, shelf to x = 0.15, 0.05 m above it, 0.20 m wide (computed by
/// clipping the outline). Heights here are above the shelf.
#[test]
fn stepped() {
    let sump = Sump::stepped(Stepped {
        length: mm(300.0),
        width: mm(200.0),
        tray_height: mm(50.0),
        well_length: mm(120.0),
        well_depth: mm(60.0),
        well_from_rear: mm(0.0),
    })
    .unwrap();
    let cases = [
        (0.03, 0.0, 3.24),
        (0.03, 10.0, 3.216413021),
        (0.03, -10.0, 3.216413021),
        (0.02, 15.0, 2.601229744),
        (0.02, -15.0, 2.753397460),
        (0.0, 0.0, 1.44),
        (-0.02, 0.0, 0.96),
    ];
    for (h, tilt, want) in cases {
        // Nose-up lowers the rear, where the well is; the source counts the angle the other way.
        let got = below(&sump, [0.0, 0.0, 0.06 + h], at(-tilt, 0.0));
        assert_relative_eq!(got, want, max_relative = 1e-9);
    }
    // The free surface jumps at the shelf: 0.12 x 0.20 below, 0.30 x 0.20 above.
    let curve = sump.curve(Attitude::LEVEL).unwrap();
    use super::super::Side;
    assert_relative_eq!(curve.free_surface_on_si(0.06, Side::Below).unwrap(), 0.024, max_relative = 1e-12);
    assert_relative_eq!(curve.free_surface_on_si(0.06, Side::Above).unwrap(), 0.060, max_relative = 1e-12);
}

/// Obelisk 0.30 x 0.20 to 0.26 x 0.15 m, 0.09 m high: prismoidal rule h (A1 + 4 Am + A2) / 6, exactly 4.425 L.
#[test]
fn obelisk() {
    let sump = Sump::tapered((mm(260.0), mm(150.0)), (mm(300.0), mm(200.0)), mm(90.0)).unwrap();
    assert_relative_eq!(sump.capacity_si(), 0.004425, max_relative = 1e-12);
    // Half-way up, the lower half is an obelisk itself: h/2 (A1 + 4 A(h/4) + A(h/2)) / 6 (computed).
    let lower = 0.045 / 6.0 * (0.26 * 0.15 + 4.0 * 0.27 * 0.1625 + 0.28 * 0.175);
    assert_relative_eq!(sump.volume_si(0.045, Attitude::LEVEL).unwrap(), lower, max_relative = 1e-12);
}

/// A conical frustum R 0.12, r 0.08, h 0.10 m by sections is a polyhedron; its volume is the polygon's share of
/// pi h (R^2 + R r + r^2) / 3 (any text of solid geometry).
#[test]
fn sections_make_a_frustum() {
    let n = 48;
    let ring = |r: f64| -> Vec<(Length, Length)> {
        (0..n)
            .map(|i| std::f64::consts::TAU * f64::from(i) / f64::from(n))
            .map(|t| (Length::new::<meter>(r * t.cos()), Length::new::<meter>(r * t.sin())))
            .collect()
    };
    let sections = [Section { at: mm(0.0), outline: ring(0.12) }, Section { at: mm(100.0), outline: ring(0.08) }];
    let sump = Sump::from_sections(&sections).unwrap();
    let share = (std::f64::consts::TAU / f64::from(n)).sin() * f64::from(n) / std::f64::consts::TAU;
    assert_relative_eq!(sump.capacity_si(), 0.003183480555637657 * share, max_relative = 1e-12);
    let turned = Section { at: mm(100.0), outline: ring(0.08).into_iter().rev().collect() };
    let e = Sump::from_sections(&[sections[0].clone(), turned]).unwrap_err();
    assert_eq!(e.code(), "geometry.section_reversed");
}

/// Half-full lying prism by sections: same numbers as the box.
#[test]
fn sections_make_a_box() {
    let outline = |w: f64, h: f64| vec![(mm(-w), mm(0.0)), (mm(w), mm(0.0)), (mm(w), mm(h)), (mm(-w), mm(h))];
    let section = |x: f64, w: f64, h: f64| Section { at: mm(x), outline: outline(w, h) };
    let sump = Sump::from_sections(&[section(-150.0, 100.0, 100.0), section(150.0, 100.0, 100.0)]).unwrap();
    assert_relative_eq!(below(&sump, [0.0, 0.0, 0.02], at(10.0, 0.0)), 1.223586979, max_relative = 1e-9);
    let code = |s: &[Section]| Sump::from_sections(s).unwrap_err().code();
    assert_eq!(code(&[section(0.0, 1.0, 1.0)]), "geometry.too_few_sections");
    assert_eq!(code(&[section(0.0, 50.0, 50.0), section(0.0, 50.0, 50.0)]), "geometry.sections_not_rising");
    let three = Section { at: mm(50.0), outline: outline(50.0, 50.0)[..3].to_vec() };
    assert_eq!(code(&[section(0.0, 50.0, 50.0), three]), "geometry.section_mismatch");
    let mut tie = section(50.0, 50.0, 50.0);
    tie.outline.swap(1, 2);
    assert_eq!(code(&[section(0.0, 50.0, 50.0), tie]), "geometry.outline_crosses");
}

/// A floor z = x y on a grid: volume under the bilinear floor is the integral of top - x y, exactly.
#[test]
fn floor_on_a_grid() {
    let positions: Vec<Length> = [0.0, 50.0, 120.0, 200.0].map(mm).to_vec();
    let z = positions.iter().flat_map(|x| positions.iter().map(move |y| mm(x.value * y.value * 1e3))).collect();
    let mut floor = Floor { x: positions.clone(), y: positions, z, top: mm(60.0) };
    let sump = Sump::from_floor(&floor).unwrap();
    // integral of (0.06 - x y) over 0..0.2 squared
    assert_relative_eq!(sump.capacity_si(), 0.06 * 0.04 - 0.02 * 0.02, max_relative = 1e-12);
    let code = |f: &Floor| Sump::from_floor(f).unwrap_err().code();
    floor.top = mm(40.0);
    assert_eq!(code(&floor), "geometry.floor_above_top");
    floor.z.pop();
    assert_eq!(code(&floor), "geometry.floor_shape");
    floor.z.push(mm(0.0));
    floor.x.swap(0, 1);
    assert_eq!(code(&floor), "geometry.sections_not_rising");
}

/// Upright cylinder r = 0.10, H = 0.20 m, level on the axis, tilted (computed: ungula formula and pi r^2 h).
#[test]
fn tilted_upright_cylinder() {
    let sump = upright();
    assert_relative_eq!(sump.capacity_si(), std::f64::consts::PI * 0.002, max_relative = 1e-12);
    let cases = [
        (0.08, 0.0, 2.5132741229),
        (0.08, 10.0, 2.5132741229),
        (0.08, 30.0, 2.5132741229),
        (0.01, 10.0, 0.3297699775),
        (0.0, 20.0, 0.2426468228),
        (0.10, 60.0, 3.1415926536),
    ];
    for (h, tilt, want) in cases {
        for turn in [0.0, 31.0] {
            // Tilt about an axis that is turned by `turn`: pitch and roll with the same inclination.
            let (s, c) = f64::to_radians(tilt).sin_cos();
            let (st, ct) = f64::to_radians(turn).sin_cos();
            let attitude = Attitude::from_up([s * ct, s * st, c]).unwrap();
            close(&sump, below(&sump, [0.0, 0.0, h], attitude), want);
        }
    }
}

/// Cylindrical ungula (Bronshtein and Semendyayev, Handbook of Mathematics, "cylindrical hoof"; values computed):
/// base radius r, depth b of the wetted base segment, height h on the far generator.
#[test]
fn ungula() {
    let sump = upright();
    for (b, h, want) in [
        (0.10f64, 0.05f64, 3.333333333333e-04),
        (0.05, 0.02, 5.036811089601e-05),
        (0.15, 0.06, 6.786866416140e-04),
        (0.20, 0.08, 1.256637061436e-03),
    ] {
        let attitude = at(-(h / b).atan().to_degrees(), 0.0);
        close(&sump, below(&sump, [0.10 - b, 0.0, 0.0], attitude), want * 1e3);
    }
}

/// Lying cylinder r = 0.125, L = 0.30 m, axis pitched, depth at mid-length normal to the axis (computed, mpmath).
#[test]
fn pitched_lying_cylinder() {
    for axis in [Axis::AlongX, Axis::AlongY] {
        let sump = cylinder(mm(250.0), mm(300.0), axis, [End::Flat; 2]);
        for (depth, tilt, want) in [
            (0.08, 0.0, 4.0624950197586),
            (0.08, 5.0, 4.0691551343107),
            (0.03, 15.0, 1.2175768735928),
            (0.125, 20.0, 7.3631077818511),
        ] {
            let attitude = if axis == Axis::AlongX { at(tilt, 0.0) } else { at(0.0, tilt) };
            close(&sump, below(&sump, [0.0, 0.0, depth - 0.125], attitude), want);
        }
    }
}

/// Outputs of the open library `fluids` 1.3.1 (`V_horiz_*`, `V_vertical_*`, lengths in inches, gallons of 231 in3) and
/// `TANK`; not its code.
#[test]
fn ends_agree_with_fluids() {
    let i = Length::new::<inch>;
    let gallon_l = 231.0 * 0.0254f64.powi(3) * 1e3;
    let depth = i(42.0);
    let lying = [
        (End::Conical { depth }, 2041.1923581273443, 6180.540773905826),
        (End::Ellipsoidal { depth }, 2380.9565415578145, 7103.445235921378),
        (End::Spherical { depth }, 2303.961511698618, 6935.163365275476),
        (End::Torispherical { crown: 1.0, knuckle: 0.06 }, 2028.6266708421385, 5939.897910157919),
    ];
    for (end, at36, at84) in lying {
        let sump = cylinder(i(108.0), i(156.0), Axis::AlongX, [end; 2]);
        for (h, want) in [(36.0, at36), (84.0, at84)] {
            let got = below(&sump, [0.0, 0.0, (h - 54.0) * 0.0254], Attitude::LEVEL);
            close(&sump, got, want * gallon_l);
        }
    }
    let depth = i(33.0);
    let standing = [
        (End::Conical { depth }, 250.67461381371024, 2251.175535772343),
        (End::Ellipsoidal { depth }, 783.3581681678445, 2902.831611916969),
        (End::Spherical { depth }, 583.6018352850442, 2658.4605833627343),
        (End::Torispherical { crown: 1.0, knuckle: 0.06 }, 904.0688283793511, 3036.7614412163075),
    ];
    for (end, at24, at60) in standing {
        let sump = cylinder(i(132.0), i(80.0), Axis::Upright, [end, End::Flat]);
        for (h, want) in [(24.0, at24), (60.0, at60)] {
            let got = sump.volume_si(h * 0.0254, Attitude::LEVEL).unwrap() * 1e3;
            close(&sump, got, want * gallon_l);
        }
    }
}

/// `fluids` 1.3.1 `TANK` of sump size, and its inverse.
#[test]
fn sump_size_tanks_agree_with_fluids() {
    let flat = cylinder(mm(250.0), mm(300.0), Axis::AlongX, [End::Flat; 2]);
    assert_relative_eq!(flat.capacity_si(), 0.014726215563702155, max_relative = 1e-12);
    for (h, want) in [(0.05, 2.0966963343825576), (0.10, 5.500683874602711), (0.20, 12.629519219319599)] {
        close(&flat, below(&flat, [0.0, 0.0, h - 0.125], Attitude::LEVEL), want);
    }
    let level = flat.level(Volume::new::<liter>(5.0), Attitude::LEVEL).unwrap();
    let depth = level + flat.curve(Attitude::LEVEL).unwrap().datum() + mm(125.0);
    assert!((depth.get::<millimeter>() - 93.14360006182139).abs() < 0.01);
    let round = cylinder(mm(250.0), mm(300.0), Axis::AlongX, [End::Ellipsoidal { depth: mm(62.5) }; 2]);
    assert_relative_eq!(round.capacity_si(), 0.018816830998063867, max_relative = 1e-12);
    for (h, want) in [(0.05, 2.5221203395561754), (0.125, 9.408415499031934), (0.20, 16.29471065850769)] {
        close(&round, below(&round, [0.0, 0.0, h - 0.125], Attitude::LEVEL), want);
    }
    let ball = [End::Spherical { depth: mm(150.0) }, End::Flat];
    let bowl = cylinder(mm(300.0), mm(100.0), Axis::Upright, ball);
    for (h, want) in [(0.05, 1.0471975511965978), (0.15, 7.068583470577034), (0.20, 10.602875205865551)] {
        close(&bowl, bowl.volume_si(h, Attitude::LEVEL).unwrap() * 1e3, want);
    }
}

/// A sphere (two hemispheres on a barrel of 1 mm): the cap pi h^2 (3 R - h) / 3 at any attitude.
#[test]
fn sphere_is_the_same_at_any_attitude() {
    let half = End::Spherical { depth: mm(150.0) };
    let sump = cylinder(mm(300.0), mm(1.0), Axis::Upright, [half; 2]);
    let barrel = std::f64::consts::PI * 0.15 * 0.15 * 1e-3;
    assert_relative_eq!(sump.capacity_si() - barrel, 0.014137166941154071, max_relative = 1e-9);
    for (p, r) in [(20.0, 0.0), (0.0, -35.0), (40.0, 30.0), (80.0, 5.0)] {
        // Through the middle: half, by symmetry.
        close(&sump, below(&sump, [0.0, 0.0, 0.0005], at(p, r)), sump.capacity_si() * 500.0);
    }
    // Caps of the lower hemisphere on level ground.
    for (h, want) in [(0.05, 1.0471975511965978), (0.10, 3.665191429188092)] {
        close(&sump, sump.volume_si(h, Attitude::LEVEL).unwrap() * 1e3, want);
    }
}

/// Perry's Chemical Engineers' Handbook, Section 10, partially filled horizontal cylinders (table from memory, six
/// decimals recomputed from the circular segment) and ends x^2 (3 - 2 x).
#[test]
fn perry_fractions() {
    let sump = cylinder(mm(200.0), mm(400.0), Axis::AlongX, [End::Flat; 2]);
    for (x, want) in [
        (0.01, 0.001693),
        (0.02, 0.004773),
        (0.05, 0.018693),
        (0.10, 0.052044),
        (0.15, 0.094060),
        (0.20, 0.142378),
        (0.25, 0.195501),
        (0.30, 0.252316),
        (0.35, 0.311919),
        (0.40, 0.373530),
        (0.45, 0.436444),
        (0.50, 0.5),
    ] {
        let got = below(&sump, [0.0, 0.0, 0.2 * x - 0.1], Attitude::LEVEL) / (sump.capacity_si() * 1e3);
        assert!((got - want).abs() < CURVED + 5e-7, "{x}: {got}");
    }
}

/// Machinery's Handbook, 31st ed., p. 74: 1000 US gal in a horizontal tank 6 ft by 20 ft stands 20.61 in deep.
#[test]
fn machinerys_handbook_stick() {
    let foot = |x: f64| Length::new::<inch>(12.0 * x);
    let sump = cylinder(foot(6.0), foot(20.0), Axis::AlongX, [End::Flat; 2]);
    let volume = 231.0 * 0.0254f64.powi(3) * 1000.0;
    let curve = sump.curve(Attitude::LEVEL).unwrap();
    let depth = curve.level_si(volume).unwrap() + curve.datum_si() + 0.9144;
    assert!((depth / 0.0254 - 20.61).abs() < 0.005, "{} in", depth / 0.0254);
}

/// The facet tolerance is kept over levels and attitudes, measured against a finer mesh.
#[test]
fn facet_tolerance_is_kept() {
    let ends = [End::Torispherical { crown: 0.9, knuckle: 0.1 }, End::Ellipsoidal { depth: mm(60.0) }];
    let make = |facet_tolerance| {
        let c = Cylinder { diameter: mm(240.0), length: mm(200.0), axis: Axis::AlongX, ends, facet_tolerance };
        Sump::cylinder(&c).unwrap()
    };
    let fine = make(2e-6);
    for tolerance in [1e-3, 1e-4, 1e-5] {
        let coarse = make(tolerance);
        let mut worst = 0.0f64;
        for (p, r) in [(0.0, 0.0), (2.5, 0.0), (0.0, 3.0), (30.0, 10.0), (75.0, -20.0)] {
            for i in 1..40 {
                let (attitude, z) = (at(p, r), 0.16 * (f64::from(i) / 20.0 - 1.0));
                let point = attitude.up().map(|c| c * z);
                let level = coarse.level_of_point_si(point, attitude).unwrap();
                let (Ok(a), Ok(level)) = (coarse.volume_si(level, attitude), fine.level_of_point_si(point, attitude))
                else {
                    continue;
                };
                let Ok(b) = fine.volume_si(level, attitude) else { continue };
                worst = worst.max((a - b).abs() / fine.capacity_si());
            }
        }
        assert!(worst <= tolerance, "tolerance {tolerance:e}: worst {worst:e}");
    }
}

#[test]
fn cylinders_refuse_what_is_none() {
    let code = |ends: [End; 2], facet_tolerance: f64| {
        let c = Cylinder { diameter: mm(200.0), length: mm(200.0), axis: Axis::Upright, ends, facet_tolerance };
        Sump::cylinder(&c).unwrap_err().code()
    };
    assert_eq!(code([End::Spherical { depth: mm(101.0) }, End::Flat], CURVED), "quantity.out_of_range");
    assert_eq!(code([End::Torispherical { crown: 0.4, knuckle: 0.1 }, End::Flat], CURVED), "quantity.out_of_range");
    assert_eq!(code([End::Flat; 2], 0.5), "quantity.out_of_range");
}

#[test]
fn moving_and_scaling() {
    let sump = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
    let moved = sump.translated(Point::from_mm([1e3, -2e3, 3e3]).unwrap()).unwrap();
    assert_relative_eq!(below(&moved, [1.0, -2.0, 3.02], at(10.0, 0.0)), 1.223586979, max_relative = 1e-9);
    let big = sump.scaled(2.0).unwrap();
    assert_relative_eq!(big.capacity_si(), 0.048, max_relative = 1e-12);
    let quarter = Angle::new::<uom::si::angle::degree>(90.0);
    let turned = sump.rotated([0.0, 0.0, 1.0], quarter).unwrap();
    // What was pitch is roll now: the front (+x) has become the left (+y).
    assert_relative_eq!(below(&turned, [0.0, 0.0, 0.02], at(0.0, 10.0)), 1.223586979, max_relative = 1e-9);
    assert_eq!(sump.scaled(0.0).unwrap_err().code(), "quantity.out_of_range");
}
