//! What must not matter, and what must always hold.

use proptest::prelude::*;
use uom::si::angle::radian;
use uom::si::f64::Angle;

use super::super::{Attitude, ClosedMesh, Point, Side, Sump};
use super::support::{at, box_faces, twin_well};

/// A skewed hexahedron with flat or twisted sides: never a special case.
fn lump(corners: &[[f64; 3]]) -> Option<Sump> {
    let base = |i: usize, bit: usize| if i & bit == 0 { -1.0 } else { 1.0 };
    let vertices = (0..8).map(|i| [0, 1, 2].map(|k| 0.1 * base(i, 1 << k) + 0.045 * corners[i][k])).collect();
    ClosedMesh::try_new(vertices, box_faces()).ok().map(Sump::from_mesh)
}

fn lumps() -> impl Strategy<Value = Sump> {
    prop::collection::vec(prop::array::uniform3(-1.0..1.0f64), 8)
        .prop_filter_map("not closed", |corners| lump(&corners))
}

fn tilts() -> impl Strategy<Value = Attitude> {
    (-85.0..85.0f64, -85.0..85.0f64).prop_map(|(p, r)| at(p, r))
}

/// The volume below the plane through a body point.
fn below(sump: &Sump, point: [f64; 3], attitude: Attitude) -> f64 {
    let curve = sump.curve(attitude).unwrap();
    let level = sump.level_of_point_si(point, attitude).unwrap().clamp(0.0, curve.height_si());
    curve.volume_si(level).unwrap()
}

fn same(a: f64, b: f64, capacity: f64) -> Result<(), TestCaseError> {
    prop_assert!((a - b).abs() <= 1e-12 * capacity, "{a} against {b}");
    Ok(())
}

proptest! {
    #[test]
    fn place_does_not_matter(sump in lumps(), attitude in tilts(), by in prop::array::uniform3(-5.0..5.0f64)) {
        let moved = sump.translated(Point::from_mm(by.map(|c| c * 1e3)).unwrap()).unwrap();
        let by = moved.bounds().unwrap().low.to_mm().map(|c| c / 1e3)
            .iter().zip(sump.bounds().unwrap().low.to_mm()).map(|(a, b)| a - b / 1e3).collect::<Vec<_>>();
        let (a, b) = (below(&sump, [0.0; 3], attitude), below(&moved, [by[0], by[1], by[2]], attitude));
        // Coordinates of metres round at 1e-15 m; the surface is about 0.04 m2.
        prop_assert!((a - b).abs() <= 1e-11 * sump.capacity_si(), "{a} against {b}");
    }

    #[test]
    fn turning_body_and_gravity_together_does_not_matter(
        sump in lumps(), attitude in tilts(), axis in prop::array::uniform3(-1.0..1.0f64), angle in -0.3..0.3f64,
    ) {
        prop_assume!(axis.iter().map(|c| c * c).sum::<f64>() > 1e-3);
        let turned = sump.rotated(axis, Angle::new::<radian>(angle)).unwrap();
        let length = axis.iter().map(|c| c * c).sum::<f64>().sqrt();
        let k = axis.map(|c| c / length);
        let up = attitude.up();
        let (s, c) = angle.sin_cos();
        let kxu = [k[1] * up[2] - k[2] * up[1], k[2] * up[0] - k[0] * up[2], k[0] * up[1] - k[1] * up[0]];
        let ku: f64 = (0..3).map(|i| k[i] * up[i]).sum();
        let up = [0, 1, 2].map(|i| up[i] * c + kxu[i] * s + k[i] * ku * (1.0 - c));
        prop_assume!(up[2] > 0.02);
        let turned_attitude = Attitude::from_up(up).unwrap();
        same(below(&sump, [0.0; 3], attitude), below(&turned, [0.0; 3], turned_attitude), sump.capacity_si())?;
    }

    #[test]
    fn order_of_faces_and_corners_does_not_matter(sump in lumps(), attitude in tilts(), seed in 0usize..100) {
        let mesh = sump.mesh().unwrap();
        let mut faces: Vec<[u32; 3]> = mesh.faces().iter().rev().copied().collect();
        faces.rotate_left(seed % 12);
        for (i, f) in faces.iter_mut().enumerate() {
            f.rotate_left((i + seed) % 3);
        }
        let other = Sump::from_mesh(ClosedMesh::try_new(mesh.vertices(), faces).unwrap());
        same(below(&sump, [0.0; 3], attitude), below(&other, [0.0; 3], attitude), sump.capacity_si())?;
    }

    #[test]
    fn a_mirrored_sump_mirrors(sump in lumps(), p in -60.0..60.0f64, r in -60.0..60.0f64) {
        let mesh = sump.mesh().unwrap();
        let vertices = mesh.vertices().into_iter().map(|[x, y, z]| [x, -y, z]).collect();
        let faces = mesh.faces().iter().map(|[a, b, c]| [*a, *c, *b]).collect();
        let mirror = Sump::from_mesh(ClosedMesh::try_new(vertices, faces).unwrap());
        same(below(&sump, [0.0; 3], at(p, r)), below(&mirror, [0.0; 3], at(p, -r)), sump.capacity_si())?;
    }

    #[test]
    fn finer_faces_do_not_matter(sump in lumps(), attitude in tilts(), level in 0.0..1.0f64) {
        let mesh = sump.mesh().unwrap();
        let (mut vertices, mut faces) = (mesh.vertices(), Vec::new());
        for f in mesh.faces() {
            let middle = [0, 1, 2].map(|k| f.iter().map(|v| vertices[*v as usize][k]).sum::<f64>() / 3.0);
            let m = u32::try_from(vertices.len()).unwrap();
            vertices.push(middle);
            faces.extend([[f[0], f[1], m], [f[1], f[2], m], [f[2], f[0], m]]);
        }
        let fine = Sump::from_mesh(ClosedMesh::try_new(vertices, faces).unwrap());
        let (a, b) = (sump.curve(attitude).unwrap(), fine.curve(attitude).unwrap());
        let h = level * a.height_si().min(b.height_si());
        same(a.volume_si(h).unwrap(), b.volume_si(h).unwrap(), sump.capacity_si())?;
    }

    /// Turned upside down, what was liquid is air: V(h) + V'(H - h) = capacity.
    #[test]
    fn volume_and_ullage_make_the_capacity(sump in lumps(), attitude in tilts(), level in 0.0..1.0f64) {
        let over = sump.rotated([1.0, 0.0, 0.0], Angle::new::<radian>(std::f64::consts::PI)).unwrap();
        let [x, y, z] = attitude.up();
        // The half turn about x maps up to (x, -y, -z); seen from the turned body, down is (-x, y, z).
        let down = Attitude::from_up([-x, y, z]).unwrap();
        let curve = sump.curve(attitude).unwrap();
        let h = level * curve.height_si();
        let air_level = (curve.height_si() - h).min(over.curve(down).unwrap().height_si());
        let air = over.volume_si(air_level, down).unwrap();
        same(curve.volume_si(h).unwrap() + air, sump.capacity_si(), sump.capacity_si())?;
    }

    #[test]
    fn volume_rises_and_its_slope_is_the_surface(sump in lumps(), attitude in tilts(), level in 0.01..0.99f64) {
        let curve = sump.curve(attitude).unwrap();
        let step = 1e-6 * curve.height_si();
        let h = level * curve.height_si();
        let (below, above) = (curve.volume_si(h - step).unwrap(), curve.volume_si(h + step).unwrap());
        prop_assert!(above >= below);
        let slope = (above - below) / (2.0 * step);
        let [low, high] = [Side::Below, Side::Above].map(|s| {
            let at = if s == Side::Below { h - step } else { h + step };
            curve.free_surface_on_si(at, s).unwrap()
        });
        // The mean slope lies between the surfaces at the ends, or the surface has a peak in between.
        let slack = 1e-7 * low.max(high) + 1e-9;
        prop_assert!(slope <= low.max(high) + slack && slope >= low.min(high) - slack, "{low} {slope} {high}");
        let back = curve.level_si(curve.volume_si(h).unwrap()).unwrap();
        prop_assert!((back - h).abs() <= 1e-12_f64.max(1e-12 * sump.capacity_si() / low.min(high)));
    }
}

/// dV/dh on either side of every flat face of a real sump, by differences of the direct sum.
#[test]
fn slope_on_either_side_of_flat_faces() {
    let sump = twin_well();
    let curve = sump.curve(Attitude::LEVEL).unwrap();
    let mut jumps = 0;
    for h in curve.knots() {
        let surface = |side| curve.free_surface_on_si(*h, side).unwrap();
        let (below, above) = (surface(Side::Below), surface(Side::Above));
        if (above - below).abs() < 1e-5 || *h == 0.0 || *h == curve.height_si() {
            continue;
        }
        jumps += 1;
        let step = 1e-9;
        let volume = |h: f64| sump.direct_si(h, Attitude::LEVEL).unwrap().0;
        let slopes = [(volume(*h) - volume(h - step)) / step, (volume(h + step) - volume(*h)) / step];
        // A difference over 1 nm of 10 L carries 1e-18 / 1e-9 m2 of rounding.
        assert!((slopes[0] - below).abs() < 1e-6, "{} against {below} below {h}", slopes[0]);
        assert!((slopes[1] - above).abs() < 1e-6, "{} against {above} above {h}", slopes[1]);
    }
    assert!(jumps >= 2, "{jumps}");
}
