//! Basins and pools against priority-flood, closed forms and the whole sump's own volume.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use approx::assert_relative_eq;
use proptest::prelude::*;

use super::super::basins::Tree;
use super::super::{Attitude, ClosedMesh, GeometryError, Point, Sump};
use super::pans::{extruded, neighbours, pan, ribbed};
use super::support::{at, box_vertices, twin_well};
use uom::si::f64::Length;
use uom::si::length::{meter, millimeter};
use uom::si::volume::{cubic_meter, liter};

const LEVEL: Attitude = Attitude::LEVEL;

/// Level at which each grid point is joined to `seed`: the lowest highest point of any path between them over
/// neighbours (priority-flood: Barnes, Lehman, Mulla 2014, Computers & Geosciences 62:117; cited from memory).
fn flood(nx: u32, ny: u32, heights: &[f64], seed: u32) -> Vec<f64> {
    let mut level = vec![f64::INFINITY; (nx * ny) as usize];
    let mut queue = BinaryHeap::new();
    level[seed as usize] = heights[seed as usize];
    // Heights are not negative, so their bits sort as they do.
    queue.push(Reverse((heights[seed as usize].to_bits(), seed)));
    while let Some(Reverse((bits, p))) = queue.pop() {
        for n in neighbours(nx, ny, p) {
            let reached = f64::from_bits(bits).max(heights[n as usize]);
            if reached < level[n as usize] {
                level[n as usize] = reached;
                queue.push(Reverse((reached.to_bits(), n)));
            }
        }
    }
    level
}

/// The same from the tree: the base of the smallest basin that holds both, or the height of the point itself.
fn joined(tree: &Tree, a: u32, b: u32) -> f64 {
    let chain = |v: u32| {
        let first = tree.node_of[v as usize] as usize;
        std::iter::successors(Some(first), |n| tree.nodes[*n].end.map(|e| e.parent)).collect::<Vec<_>>()
    };
    let other = chain(b);
    let common = *chain(a).iter().find(|n| other.contains(n)).unwrap();
    [a, b].iter().map(|v| tree.heights[*v as usize]).fold(tree.nodes[common].base, f64::max)
}

fn agrees_with_flood(nx: u32, ny: u32, z: &[f64], attitude: Attitude) {
    let sump = Sump::from_mesh(pan(nx, ny, z, 0.4));
    let tree = sump.basin_tree(attitude).unwrap();
    for node in tree.nodes.iter().filter(|n| n.children.is_empty()) {
        let level = flood(nx, ny, &tree.heights, node.lowest);
        for p in 0..nx * ny {
            assert_eq!(joined(&tree, p, node.lowest), level[p as usize], "point {p}, basin at {}", node.lowest);
        }
    }
    parts_add_up(&sump, attitude);
}

/// Pools add up to the volume below the level; curves of basins end at their volumes.
fn parts_add_up(sump: &Sump, attitude: Attitude) {
    let curve = sump.curve(attitude).unwrap();
    for share in [0.03, 0.2, 0.5, 0.9, 1.0] {
        let level = share * curve.height_si();
        let sum: f64 = sump.pools_si(level, attitude).unwrap().iter().sum();
        assert_relative_eq!(sum, curve.volume_si(level).unwrap(), epsilon = 1e-12 * sump.capacity_si());
    }
    let (tree, mesh) = (sump.basin_tree(attitude).unwrap(), sump.mesh().unwrap());
    for (n, node) in tree.nodes.iter().enumerate() {
        let curve = tree.curve(mesh, n, attitude);
        assert_relative_eq!(curve.capacity_si(), node.volume);
        let low = curve.volume_at(node.base);
        assert_relative_eq!(low, tree.volume_at_base(n), epsilon = 1e-12 * sump.capacity_si());
        let middle = f64::midpoint(node.base, tree.sill(n).min(tree.top()));
        let direct = tree.volume_below(mesh, n, middle);
        assert_relative_eq!(curve.volume_at(middle), direct, epsilon = 1e-12 * sump.capacity_si());
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn sills_of_random_pans_equal_priority_flood(
        z in prop::collection::vec(0.0..0.05f64, 12 * 9), p in -25.0..25.0f64, r in -25.0..25.0f64,
    ) {
        agrees_with_flood(12, 9, &z, at(p, r));
    }

    #[test]
    fn sills_of_pans_full_of_ties_equal_priority_flood(z in prop::collection::vec(0..4u8, 11 * 8)) {
        let z: Vec<f64> = z.iter().map(|k| f64::from(*k) / 128.0).collect();
        agrees_with_flood(11, 8, &z, LEVEL);
    }
}

#[test]
fn a_flat_floor_is_one_basin_and_rounding_makes_none() {
    let flat = Sump::from_mesh(pan(20, 15, &[0.0; 300], 0.1));
    for attitude in [LEVEL, at(3.0, 0.0), at(0.0, -2.0), at(1e-7, 1e-7), at(11.0, 7.0)] {
        assert_eq!(flat.basins(attitude).unwrap().len(), 1, "{attitude}");
    }
    // Coordinates in single precision: the floor is rough by 1e-8 m.
    let rough: Vec<f64> = (0..300).map(|i| f64::from(i * 7919 % 301) / 301.0 * 3e-8).collect();
    assert_eq!(Sump::from_mesh(pan(20, 15, &rough, 0.1)).basins(LEVEL).unwrap().len(), 1);
}

#[test]
fn a_rib_cut_out_of_the_drawing_makes_two_basins() {
    let sump = ribbed(0.004, 0.010);
    let basins = sump.basins(LEVEL).unwrap();
    assert_eq!(basins.len(), 3);
    for side in &basins[..2] {
        // 148 mm of floor on each side, 200 mm wide, to 10 mm.
        assert_relative_eq!(side.volume.get::<liter>(), 0.148 * 0.2 * 0.010 * 1e3, max_relative = 1e-12);
        let sill = side.sill.unwrap();
        assert_relative_eq!(sill.level.get::<millimeter>(), 10.0, max_relative = 1e-12);
        assert_eq!(sill.parent, 2);
        assert!((sill.point.to_mm()[0] - 150.0).abs() <= 2.0 + 1e-9 && (sill.point.to_mm()[2] - 10.0).abs() < 1e-9);
    }
    assert!(basins[2].sill.is_none() && basins[2].children == [0, 1]);
    assert_relative_eq!(basins[2].volume.get::<cubic_meter>(), sump.capacity_si());
    let litres = |h: f64| sump.pools_si(h, LEVEL).unwrap().iter().map(|v| v * 1e3).collect::<Vec<_>>();
    assert_eq!(litres(0.0), [0.0; 0]);
    assert_eq!(litres(0.005).len(), 2);
    assert_eq!((litres(0.010).len(), litres(0.0101).len()), (2, 1));
    // The curve of one side, half full.
    let curve = sump.basin_curve(0, LEVEL).unwrap();
    assert_relative_eq!(curve.level_si(0.148 * 0.2 * 0.005).unwrap(), 0.005, max_relative = 1e-12);
    assert!(matches!(sump.basin_curve(3, LEVEL), Err(GeometryError::NoSuchBasin { basin: 3, basins: 3 })));
    // Nose up by 1 deg: the rib's sill rises with the rear; both sides still hold liquid, the front one less.
    let tilted = sump.basins(at(1.0, 0.0)).unwrap();
    assert_eq!(tilted.len(), 3);
    parts_add_up(&sump, at(1.0, 0.0));
}

#[test]
fn a_rib_given_as_a_touching_body_is_refused() {
    let mm = Length::new::<millimeter>;
    let rib = Sump::cuboid(mm(4.0), mm(200.0), mm(10.0)).unwrap();
    let hull = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
    let refused = hull.with_displacer(rib.mesh().unwrap()).unwrap_err();
    assert!(matches!(refused, GeometryError::DisplacerTouches { .. }), "{refused}");
}

#[test]
fn what_hangs_in_liquid_is_no_basin() {
    // A body inside: its lowest corner hangs at any attitude. Its top holds nothing, its flat underside neither.
    let mm = Length::new::<millimeter>;
    let body = Sump::cuboid(mm(60.0), mm(40.0), mm(20.0)).unwrap();
    let body = body.translated(Point::from_mm([0.0, 0.0, 30.0]).unwrap()).unwrap();
    let hull = Sump::cuboid(mm(300.0), mm(200.0), mm(100.0)).unwrap();
    let sump = hull.with_displacer(body.mesh().unwrap()).unwrap();
    for attitude in [LEVEL, at(5.0, 0.0), at(0.0, 30.0), at(-20.0, 13.0)] {
        assert_eq!(sump.basins(attitude).unwrap().len(), 1, "{attitude}");
        parts_add_up(&sump, attitude);
    }
    // The reference sump with a hanging strainer, over many attitudes: parts always add up.
    let twin = twin_well();
    for (p, r) in [(0.0, 0.0), (1.5, 0.0), (-3.0, 1.0), (2.5, -15.0), (40.0, 10.0), (-60.0, 50.0)] {
        parts_add_up(&twin, at(p, r));
    }
}

#[test]
fn a_wall_that_hangs_from_above_joins_below() {
    // A baffle from the top down to 20 mm above the floor: one basin; with its foot in a trough of liquid still one.
    let outline =
        [[0.0, 0.0], [0.3, 0.0], [0.3, 0.1], [0.155, 0.1], [0.155, 0.02], [0.145, 0.02], [0.145, 0.1], [0.0, 0.1]];
    let sump = extruded(&outline, &[[0, 1, 4], [0, 4, 5], [1, 2, 4], [2, 3, 4], [0, 5, 7], [7, 5, 6]], 0.2);
    for attitude in [LEVEL, at(2.0, 1.0), at(-10.0, 0.0)] {
        assert_eq!(sump.basins(attitude).unwrap().len(), 1, "{attitude}");
        parts_add_up(&sump, attitude);
    }
    // Nose up so far that the front floor is above the baffle's foot: still one, all of it drains to the rear.
    assert_eq!(sump.basins(at(20.0, 0.0)).unwrap().len(), 1);
}

#[test]
fn separate_spaces_never_join() {
    let mut vertices = box_vertices();
    let mut faces = super::support::box_faces();
    vertices.extend(box_vertices().iter().map(|[x, y, z]| [x + 1.0, *y, z + 0.05]));
    faces.extend(super::support::box_faces().iter().map(|f| f.map(|v| v + 8)));
    let sump = Sump::from_mesh(ClosedMesh::try_new(vertices, faces).unwrap());
    let basins = sump.basins(LEVEL).unwrap();
    assert_eq!(basins.len(), 2);
    assert!(basins.iter().all(|b| b.sill.is_none()));
    assert_relative_eq!(basins[1].lowest_level.get::<meter>(), 0.05, max_relative = 1e-12);
    let pools = sump.pools_si(0.06, LEVEL).unwrap();
    assert_relative_eq!(pools[0], 0.06 * 0.06, max_relative = 1e-12);
    assert_relative_eq!(pools[1], 0.06 * 0.01, max_relative = 1e-11);
}

#[test]
fn boxes_that_share_one_corner_join_there() {
    // The second box begins where the first ends, in one vertex; nose down its floor falls away from that.
    let [mut vertices, second] = [0.0, 0.1].map(|shift| {
        let unit = [0, 1].map(|i| f64::from(i) * 0.1 + shift);
        let corner = |i: usize| [unit[i & 1], unit[i >> 1 & 1], unit[i >> 2]];
        (0..8).map(corner).collect::<Vec<_>>()
    });
    // Corners by their bits: x, y, z.
    let mut faces: Vec<[u32; 3]> = [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]]
        .iter()
        .flat_map(|[a, b, c, d]| [[*a, *b, *c], [*a, *c, *d]])
        .collect();
    // Corner 7 of the first is corner 0 of the second.
    let shared = faces.clone();
    faces.extend(shared.iter().map(|f| f.map(|v| v + 7)));
    vertices.extend(&second[1..]);
    let sump = Sump::from_mesh(ClosedMesh::try_new(vertices, faces).unwrap());
    let basins = sump.basins(at(-5.0, 0.0)).unwrap();
    assert_eq!(basins.len(), 3);
    for side in &basins[..2] {
        let point = side.sill.unwrap().point.to_mm();
        assert!(point.iter().all(|c| (c - 100.0).abs() < 1e-9), "{point:?}");
    }
    // A wedge from the shared edge to the front: 100 mm long, 100 wide.
    let wedge = 0.5 * 0.1 * 0.1 * 0.1 * 5f64.to_radians().tan();
    assert_relative_eq!(basins[1].volume.get::<cubic_meter>(), wedge, max_relative = 1e-12);
    parts_add_up(&sump, at(-5.0, 0.0));
}

#[test]
fn triangles_without_area_change_nothing() {
    // Face 0 of the box is cut at a point on one of its edges; a flat triangle closes the gap to its neighbour.
    let (mut vertices, mut faces) = (box_vertices(), super::support::box_faces());
    let [a, b, c] = faces[0];
    let middle = [0, 1, 2].map(|k| f64::midpoint(vertices[a as usize][k], vertices[b as usize][k]));
    vertices.push(middle);
    faces[0] = [a, 8, c];
    faces.extend([[8, b, c], [a, b, 8]]);
    let sump = Sump::from_mesh(ClosedMesh::try_new(vertices, faces).unwrap());
    for attitude in [LEVEL, at(3.0, 0.0), at(4.0, -9.0)] {
        assert_eq!(sump.basins(attitude).unwrap().len(), 1, "{attitude}");
        parts_add_up(&sump, attitude);
    }
}

#[test]
fn levels_outside_are_refused() {
    let sump = ribbed(0.004, 0.010);
    assert!(matches!(sump.pools_si(0.11, LEVEL), Err(GeometryError::LevelOutside { .. })));
    assert!(matches!(sump.pools_si(f64::NAN, LEVEL), Err(GeometryError::Quantity(_))));
    let span = Sump::from_table(&[
        (Length::new::<millimeter>(0.0), uom::si::f64::Volume::new::<liter>(0.0)),
        (Length::new::<millimeter>(50.0), uom::si::f64::Volume::new::<liter>(5.0)),
    ]);
    assert!(matches!(span.unwrap().basins(LEVEL), Err(GeometryError::NoPlanForm { .. })));
}
