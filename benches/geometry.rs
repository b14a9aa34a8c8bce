//! Cost of preparing a level curve and of reading it. `cargo bench --bench geometry`
#![allow(missing_docs, clippy::unwrap_used, clippy::print_stdout)]

use std::f64::consts::TAU;
use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use fillmark::circuit::Circuit;
use fillmark::geometry::{
    Attitude, ClosedMesh, Domain, LengthUnit, Plug, Point, Pools, Response, ResponseOptions, Sump, Vents, stl,
};
use fillmark::uom::si::{
    f64::{Length, Volume},
    length::millimeter,
    volume::liter,
};

fn bytes() -> Vec<u8> {
    std::fs::read(concat!(env!("CARGO_MANIFEST_DIR"), "/python/fillmark/demo/stepped_bus.stl")).unwrap()
}

fn at(nose_up: f64, right_down: f64) -> Attitude {
    Attitude::from_degrees(nose_up, right_down).unwrap()
}

/// A sphere of 327,680 faces: `rings` circles of `around` vertices and two poles.
fn sphere(rings: u32, around: u32) -> ClosedMesh {
    let mut vertices = vec![[0.0, 0.0, -0.15]];
    for i in 1..=rings {
        let polar = std::f64::consts::PI * f64::from(i) / f64::from(rings + 1);
        for j in 0..around {
            let turn = TAU * (f64::from(j) + 0.5 * f64::from(i % 2)) / f64::from(around);
            vertices.push([polar.sin() * turn.cos(), polar.sin() * turn.sin(), -polar.cos()].map(|c| 0.15 * c));
        }
    }
    vertices.push([0.0, 0.0, 0.15]);
    let vertex = |i: u32, j: u32| 1 + i * around + j % around;
    let top = rings * around + 1;
    let mut faces = Vec::new();
    for j in 0..around {
        faces.push([0, vertex(0, j + 1), vertex(0, j)]);
        faces.push([top, vertex(rings - 1, j), vertex(rings - 1, j + 1)]);
        for i in 0..rings - 1 {
            let (a, b, c, d) = (vertex(i, j), vertex(i, j + 1), vertex(i + 1, j), vertex(i + 1, j + 1));
            faces.extend([[a, b, d], [a, d, c]]);
        }
    }
    ClosedMesh::try_new(vertices, faces).unwrap()
}

fn preparation(c: &mut Criterion) {
    let stl_bytes = bytes();
    c.bench_function("read STL, 44,684 faces", |b| {
        b.iter(|| stl::read(black_box(&stl_bytes), LengthUnit::Millimetre).unwrap());
    });
    let meshes = [("44,684", stl::read(&stl_bytes, LengthUnit::Millimetre).unwrap()), ("327,680", sphere(256, 640))];
    for (faces, mesh) in meshes {
        let sump = Sump::from_mesh(mesh);
        for (name, base) in [("level", 0.0), ("near level", 1e-3), ("tilted", 3.0)] {
            let mut step = 0.0;
            c.bench_function(&format!("prepare {faces} faces, {name}"), |b| {
                b.iter(|| {
                    // A new attitude every time, so that nothing is taken from the kept curves.
                    step += 1e-9;
                    let attitude = if base == 0.0 { Attitude::LEVEL } else { at(base + step, 0.7 * base) };
                    black_box(sump.prepare(attitude).unwrap())
                });
            });
        }
    }
}

/// Basins at a new attitude every time, against the first volume at one and against three passes over all faces (volume and both
/// free surfaces): one of them is what a first volume took before faces were put in blocks.
fn basins(c: &mut Criterion) {
    let mesh = stl::read(&bytes(), LengthUnit::Millimetre).unwrap();
    for (faces, mesh) in [("44,684", mesh), ("327,680", sphere(256, 640))] {
        let sump = Sump::from_mesh(mesh);
        for (name, base) in [("near level", 1e-3), ("tilted", 3.0)] {
            let mut step = 0.0;
            c.bench_function(&format!("basins of {faces} faces, {name}"), |b| {
                b.iter(|| {
                    step += 1e-9;
                    black_box(sump.basins(at(base + step, 0.7 * base)).unwrap())
                });
            });
            c.bench_function(&format!("first volume of {faces} faces, {name}"), |b| {
                b.iter(|| {
                    step += 1e-9;
                    black_box(sump.direct_volume_si(0.06, at(base + step, 0.7 * base)).unwrap())
                });
            });
            c.bench_function(&format!("three passes over {faces} faces, {name}"), |b| {
                b.iter(|| {
                    step += 1e-9;
                    black_box(sump.direct_si(0.06, at(base + step, 0.7 * base)).unwrap())
                });
            });
        }
    }
}

/// Liquid as poured in the two wells of the reference sump.
fn pools(c: &mut Criterion) {
    let twin = std::fs::read(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/twin_well.stl")).unwrap();
    let sump = Sump::from_stl_bytes(&twin, LengthUnit::Millimetre).unwrap();
    let wells = sump.basins(Attitude::LEVEL).unwrap();
    let mut pools = Pools::empty(&sump, Attitude::LEVEL).unwrap();
    let plug =
        Plug::new(wells[0].lowest_point, Length::new::<millimeter>(14.0), Length::default(), Plug::DOWN).unwrap();
    let (landing, holes) = (pools.landing(wells[0].lowest_point).unwrap(), pools.holes(&[plug]).unwrap());
    c.bench_function("pools of twin_well: pour over the ridge, level at a stick, drain", |b| {
        b.iter(|| {
            pools.pour_into(landing, 4e-3, &mut |_| {}).unwrap();
            black_box(pools.pool_over(landing).unwrap());
            pools.drain_through(&holes, &mut |_| {})
        });
    });
    let mut poured = Pools::empty(&sump, Attitude::LEVEL).unwrap();
    poured.pour(wells[0].lowest_point, Volume::new::<liter>(0.4)).unwrap();
    poured.pour(wells[1].lowest_point, Volume::new::<liter>(0.1)).unwrap();
    let mut step = 0.0;
    c.bench_function("pools of twin_well: turn two pools by 5 deg", |b| {
        b.iter(|| {
            step += 1e-9;
            black_box(poured.clone().turn(at(5.0 + step, 0.0)).unwrap())
        });
    });
    let tilts: Vec<f64> = (0..21).map(|i| f64::from(i) - 10.0).collect();
    c.bench_function("heel map of twin_well, 441 attitudes", |b| {
        b.iter(|| black_box(sump.heel_map(&[plug], &tilts, &tilts).unwrap()));
    });
    let bus = Sump::from_stl_bytes(&bytes(), LengthUnit::Millimetre).unwrap();
    c.bench_function("air-locked spaces of 44,684 faces", |b| {
        b.iter(|| {
            step += 1e-9;
            black_box(bus.air_locks(&Vents::Top, at(3.0 + step, 1.0)).unwrap())
        });
    });
}

/// The least that any sum over faces does: for every face gather three heights, weigh and add. The same bytes as a first
/// volume reads (vertices to heights included), nothing else.
fn gather_sum(c: &mut Criterion) {
    let mesh = stl::read(&bytes(), LengthUnit::Millimetre).unwrap();
    for (faces, mesh) in [("44,684", mesh), ("327,680", sphere(256, 640))] {
        let (vertices, corners) = (mesh.vertices(), mesh.faces().to_vec());
        let axis = |k: usize| vertices.iter().map(|v| v[k]).collect::<Vec<f64>>();
        let (x, y, z) = (axis(0), axis(1), axis(2));
        let area: Vec<[f64; 3]> = corners.iter().map(|f| f.map(f64::from)).collect();
        let mut heights = vec![0.0; z.len()];
        c.bench_function(&format!("gather-sum of {faces} faces"), |b| {
            b.iter(|| {
                let up = black_box([0.03, 0.02, 0.99]);
                for (h, ((x, y), z)) in heights.iter_mut().zip(x.iter().zip(&y).zip(&z)) {
                    *h = x * up[0] + y * up[1] + z * up[2];
                }
                let mut sum = 0.0;
                for (f, a) in corners.iter().zip(&area) {
                    let [p, q, r] = f.map(|v| heights[v as usize]);
                    sum += (p + q + r) * (a[0] * up[0] + a[1] * up[1] + a[2] * up[2]);
                }
                sum
            });
        });
    }
}

fn reading(c: &mut Criterion) {
    let sump = Sump::from_stl_bytes(&bytes(), LengthUnit::Millimetre).unwrap();
    let curve = sump.curve(at(1.5, 0.5)).unwrap();
    let levels: Vec<f64> = (0..1024).map(|i| curve.height_si() * f64::from(i * 389 % 1024) / 1024.0).collect();
    let volumes: Vec<f64> = levels.iter().map(|h| curve.volume_si(*h).unwrap()).collect();
    let mut i = 0;
    c.bench_function("volume, one", |b| {
        b.iter(|| {
            i = (i + 1) % 1024;
            curve.volume_si(black_box(levels[i])).unwrap()
        });
    });
    c.bench_function("level, one", |b| {
        b.iter(|| {
            i = (i + 1) % 1024;
            curve.level_si(black_box(volumes[i])).unwrap()
        });
    });
    let mut out = vec![0.0; levels.len()];
    c.bench_function("the same array by linear interpolation between knots", |b| {
        let values: Vec<f64> = curve.knots().iter().map(|h| curve.volume_si(*h).unwrap()).collect();
        b.iter(|| {
            for (out, h) in out.iter_mut().zip(&levels) {
                let i = curve.knots().partition_point(|z| z <= h).clamp(1, values.len() - 1);
                let (z, v) = (&curve.knots()[i - 1..=i], &values[i - 1..=i]);
                *out = v[0] + (v[1] - v[0]) * (h - z[0]) / (z[1] - z[0]);
            }
            black_box(out[7])
        });
    });
    c.bench_function("volume through the sump's kept curves", |b| {
        b.iter(|| sump.volume_si(black_box(0.06), at(1.5, 0.5)).unwrap());
    });
    c.bench_function("volume, array of 1024", |b| {
        b.iter(|| curve.volumes_si(&levels).unwrap());
    });
}

/// The fast response against the exact kernel at the same points over the sticks' tips of the demo circuits, for many faces
/// and for few.
fn response(c: &mut Criterion) {
    for (name, tip, litres) in [
        ("shuttle-bus", [60.0, 40.0, -80.0], [4.96, 7.94]),
        ("deck-generator", [-100.0, 50.0, 10.0], [2.96, 4.56]),
        ("harbour-launch", [-200.0, 80.0, -150.0], [13.21, 19.19]),
        ("winch-gearbox", [-70.0, 40.0, 20.0], [2.18, 3.45]),
    ] {
        let circuit = Circuit::demo(name).unwrap();
        response_of(c, name, circuit.sump(), tip, litres);
    }
}

fn response_of(c: &mut Criterion, name: &str, sump: &Sump, tip: [f64; 3], litres: [f64; 2]) {
    let tilt = (-4.0, 4.0);
    let [low, high] = litres.map(Volume::new::<liter>);
    let domain = Domain { volume: (low, high), nose_up_deg: tilt, right_down_deg: tilt };
    let tip = Point::from_mm(tip).unwrap();
    let response = Response::build(sump, tip, domain, ResponseOptions::default()).unwrap();
    println!("{:?}", response.quality());
    let points: Vec<(f64, Attitude)> = (0..1024)
        .map(|i| {
            let turn = |k: i32| f64::from(i * k % 1024) / 1024.0;
            let volume = (litres[0] + (litres[1] - litres[0]) * turn(389)) / 1e3;
            (volume, at(8.0 * turn(577) - 4.0, 8.0 * turn(211) - 4.0))
        })
        .collect();
    let mut i = 0;
    c.bench_function(&format!("response of {name}, one"), |b| {
        b.iter(|| {
            i = (i + 1) % 1024;
            response.height_si(black_box(points[i].0), points[i].1).unwrap()
        });
    });
    let [volumes, nose_up, right_down] = [
        |p: &(f64, Attitude)| p.0,
        |p: &(f64, Attitude)| p.1.nose_up_deg(),
        |p: &(f64, Attitude)| p.1.right_down_deg(),
    ]
    .map(|part: fn(&(f64, Attitude)) -> f64| points.iter().map(part).collect::<Vec<f64>>());
    let mut heights = volumes.clone();
    // A call for each place, in a loop like a caller's: no place and no height goes through memory but the arrays.
    c.bench_function(&format!("response of {name}, 1,024 in turn"), |b| {
        b.iter(|| {
            for (height, (volume, attitude)) in heights.iter_mut().zip(black_box(&points)) {
                *height = response.height_si(*volume, *attitude).unwrap();
            }
            black_box(&mut heights);
        });
    });
    c.bench_function(&format!("response of {name}, all 1,024 at once"), |b| {
        b.iter(|| {
            heights.copy_from_slice(&volumes);
            response.heights_at_si(black_box(&mut heights), &nose_up, &right_down).unwrap();
        });
    });
    c.bench_function(&format!("response of {name}, the same exact"), |b| {
        b.iter(|| {
            i = (i + 1) % 1024;
            response.exact_si(black_box(points[i].0), points[i].1).unwrap()
        });
    });
}

criterion_group!(benches, gather_sum, preparation, basins, pools, reading, response);
criterion_main!(benches);
