"""Shapes, surfaces, attitudes, responses and inspections through the Python face."""

import math
import os
import pickle
import signal
import threading
import time

import fillmark as fm
import numpy as np
import pytest

PAN = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
HERE = fm.Attitude(nose_up_deg=2.0, right_down_deg=-1.0)
CUBE = [(x, y, z) for z in (0, 100) for y in (0, 100) for x in (0, 100)]
SIDES = [
    (0, 2, 3), (0, 3, 1), (4, 5, 7), (4, 7, 6), (0, 1, 5), (0, 5, 4),
    (2, 6, 7), (2, 7, 3), (0, 4, 6), (0, 6, 2), (1, 3, 7), (1, 7, 5),
]  # fmt: skip


def test_ullage_is_what_is_left():
    levels = np.linspace(0.0, PAN.height_mm(attitude=HERE), 7)
    total = PAN.volume_l(level_mm=levels, attitude=HERE) + PAN.ullage_l(level_mm=levels, attitude=HERE)
    assert total == pytest.approx(np.full(7, PAN.capacity_l), rel=1e-15)


def test_depth_and_surface_are_the_same_plane():
    # A box half full: the surface passes through its middle at every such attitude (symmetry).
    level = PAN.level_mm(volume_l=3.0, attitude=HERE)
    assert PAN.depth_mm((0.0, 0.0, 50.0), level_mm=level, attitude=HERE) == pytest.approx(0.0, abs=1e-9)
    surface = PAN.surface(level_mm=level, attitude=HERE)
    assert surface.centroid_mm == pytest.approx((0.0, 0.0, 50.0), abs=1e-9)
    assert surface.up == HERE.up
    for point in [(10.0, 20.0, 30.0), (-150.0, 0.0, 0.0)]:
        depth = PAN.depth_mm(point, level_mm=[level, level + 1.0], attitude=HERE)
        assert depth == pytest.approx([surface.depth_mm(point), surface.depth_mm(point) + 1.0], rel=1e-12)
    # A plane over a rectangle has the rectangle's area divided by the cosine of the tilt.
    assert surface.area_mm2 == pytest.approx(60_000.0 / HERE.up[2], rel=1e-12)
    assert PAN.surface(level_mm=100.0).centroid_mm is None


def test_wetted_area_splits_by_slope():
    wet = PAN.wetted(level_mm=np.array([[0.0, 50.0], [99.0, 100.0]]))
    assert wet.walls_mm2 == pytest.approx(np.array([[0.0, 50.0], [99.0, 100.0]]) * 1000.0, abs=1e-6)
    assert wet.floor_mm2 == pytest.approx(np.full((2, 2), 60_000.0))
    assert wet.ceiling_mm2 == pytest.approx(np.array([[0.0, 0.0], [0.0, 60_000.0]]))
    steep = PAN.wetted(level_mm=50.0, attitude=fm.Attitude(nose_up_deg=12.0), floor_slope_deg=10.0)
    assert steep.floor_mm2 == 0.0
    assert steep.total_mm2 == pytest.approx(steep.walls_mm2)


def test_wetted_wall_of_a_hoof():
    # Half hoof in an upright cylinder (Bronshtein): lateral area 2 r h; r = 100 mm, h = 50 mm.
    tank = fm.Sump.cylinder(diameter_mm=200.0, length_mm=200.0)
    up = fm.Attitude(nose_up_deg=math.degrees(math.atan2(50.0, 100.0)))
    # The surface passes through the middle of the floor and falls 50 mm over the radius: the hoof's height. The floor,
    # inclined by 27 degrees, counts as wall here unless the slope is raised.
    wet = tank.wetted(level_mm=100.0 * up.up[0], attitude=up, floor_slope_deg=45.0)
    assert wet.walls_mm2 == pytest.approx(2 * 100.0 * 50.0, rel=1e-4)


def test_strapping_is_the_curve():
    table = PAN.strapping(step_mm=9.0, attitude=HERE)
    columns = table.columns()
    assert set(columns) == {"level_mm", "volume_l", "free_surface_mm2", "ml_per_mm"}
    assert len({len(c) for c in columns.values()}) == 1
    assert len(table) == len(columns["level_mm"])
    assert columns["level_mm"][-1] == pytest.approx(PAN.height_mm(attitude=HERE))
    assert columns["volume_l"] == pytest.approx(PAN.volume_l(level_mm=columns["level_mm"], attitude=HERE))
    assert columns["ml_per_mm"] == pytest.approx(columns["free_surface_mm2"] / 1000.0)


def test_attitudes_from_a_workshop():
    truth = fm.Attitude(nose_up_deg=3.0, right_down_deg=-2.0)
    along, across, zero = truth.nose_up_deg, truth.transverse_deg, 0.4
    read, zeros = fm.Attitude.from_turned_inclinometer(
        along_deg=(along + zero, zero - along), across_deg=(across + zero, zero - across)
    )
    assert (read.nose_up_deg, read.right_down_deg) == pytest.approx((3.0, -2.0), abs=1e-10)
    assert zeros == pytest.approx((zero, zero), abs=1e-12)
    # tan = a / g (plane of a liquid at rest in a steadily accelerating body).
    braked = fm.Attitude().accelerated(forward_m_s2="-3 m/s2")
    assert braked.nose_up_deg == pytest.approx(-math.degrees(math.atan(3.0 / 9.80665)), rel=1e-12)
    with pytest.raises(fm.GeometryError):
        fm.Attitude().accelerated(up_m_s2=-9.80665)
    with pytest.raises(fm.QuantityError, match=r"along\[0\]"):
        fm.Attitude.from_turned_inclinometer(along_deg=(100.0, 0.0))


@pytest.mark.parametrize(
    "sump",
    [
        fm.Sump.from_table(level_mm=[0.0, 40.0], volume_l=[0.0, 2.0]),
        fm.Sump.from_span(span_l=1.5, span_mm=25.0, at_max_l=6.0),
    ],
)
def test_without_a_plan_form_only_level_ground(sump):
    # Nothing says where its liquid goes when it tilts: refused, not guessed.
    for ask in (
        lambda: sump.volume_l(level_mm=10.0, attitude=HERE),
        lambda: sump.level_mm(volume_l=1.0, attitude=HERE),
        lambda: sump.free_surface_mm2(level_mm=10.0, attitude=HERE),
        lambda: sump.depth_mm((0.0, 0.0, 0.0), level_mm=10.0, attitude=HERE),
        lambda: sump.strapping(step_mm=1.0, attitude=HERE),
        lambda: sump.surface(level_mm=10.0),
        lambda: sump.wetted(level_mm=10.0),
        sump.inspect,
        lambda: sump.translated((0.0, 0.0, 1.0)),
        lambda: sump.with_displacer(PAN),
    ):
        with pytest.raises(fm.GeometryError, match="plan form"):
            ask()


@pytest.mark.parametrize("centroid", [(20.0, -15.0), [[20.0, -15.0]], np.full((3, 2), (20.0, -15.0))])
def test_a_table_with_its_centroid_serves_small_tilts(centroid):
    # Between upright walls the liquid is a truncated prism: volume = area times height over the centroid of the plan
    # (for a triangle A (a + b + c) / 3: CRC Standard Mathematical Tables, from memory): the plane passes 50 mm over it.
    pan = fm.Sump.from_table(level_mm=[0.0, 40.0, 100.0], volume_l=[0.0, 2.4, 6.0], centroid_mm=centroid)
    here = fm.Attitude(nose_up_deg=4.0, right_down_deg=-3.0)
    level = pan.level_mm(volume_l=3.0, attitude=here)
    assert abs(pan.depth_mm((20.0, -15.0, 50.0), level_mm=level, attitude=here)) < 1e-9
    tip = (100.0, 20.0, 10.0)
    drawn = PAN.translated((20.0, -15.0, 0.0))
    deep = drawn.depth_mm(tip, level_mm=drawn.level_mm(volume_l=3.0, attitude=here), attitude=here)
    assert abs(pan.depth_mm(tip, level_mm=level, attitude=here) - deep) < 1e-9
    assert eval(repr(pan), {"Sump": fm.Sump}) == pickle.loads(pickle.dumps(pan)) == pan
    span = fm.Sump.from_span(span_l=1.5, span_mm=25.0, at_max_l=4.0, centroid_mm=(20.0, -15.0))
    at_span = span.depth_mm(tip, level_mm=span.level_mm(volume_l=3.0, attitude=here), attitude=here)
    assert abs(at_span - deep) < 1e-9
    with pytest.raises(ValueError, match=r"centroid_mm has shape \[3\]; it must be \(2,\) or \(rows, 2\)"):
        fm.Sump.from_table(level_mm=[0.0, 40.0], volume_l=[0.0, 2.0], centroid_mm=[1.0, 2.0, 3.0])
    with pytest.raises(ValueError, match="one is wanted"):
        fm.Sump.from_span(span_l=1.5, span_mm=25.0, at_max_l=4.0, centroid_mm=[(20.0, 0.0), (21.0, 0.0)])


def test_a_repr_counts_facets():
    tank = fm.Sump.cylinder(diameter_mm=200.0, length_mm=300.0)
    assert repr(tank).endswith(f"  # {tank.face_count} faces")
    assert tank.face_count > 32
    assert "#" not in repr(PAN)
    # Inside another repr it would hide what follows.
    assert "#" not in repr(tank.surface(level_mm=50.0))


def test_shapes_refuse_what_is_none():
    with pytest.raises(fm.QuantityError, match="diameter"):
        fm.Sump.cylinder(diameter_mm=0.0, length_mm=100.0)
    with pytest.raises(ValueError, match='axis = "w"'):
        fm.Sump.cylinder(diameter_mm=100.0, length_mm=100.0, axis="w")
    with pytest.raises(TypeError, match="ends = 'flat'"):
        fm.Sump.cylinder(diameter_mm=100.0, length_mm=100.0, ends="flat")
    with pytest.raises(fm.QuantityError, match="depth"):
        fm.Sump.cylinder(diameter_mm=100.0, length_mm=100.0, ends=fm.End.spherical(depth_mm=51.0))
    with pytest.raises(ValueError, match="outlines_mm has shape"):
        fm.Sump.from_sections(at_mm=[0.0, 1.0], outlines_mm=[[(0.0, 0.0), (1.0, 1.0)]])
    with pytest.raises(ValueError, match="z_mm has shape"):
        fm.Sump.from_floor(x_mm=[0.0, 1.0], y_mm=[0.0, 1.0], z_mm=[0.0, 1.0], top_mm=2.0)


def test_a_displacer_that_touches_is_refused_with_its_place():
    standing = fm.Sump.box(length_mm=60.0, width_mm=40.0, height_mm=20.0)
    with pytest.raises(fm.GeometryError, match="touch") as caught:
        PAN.with_displacer(standing)
    assert caught.value.fields["point_mm"][2] == pytest.approx(0.0, abs=1e-6)
    with pytest.raises(fm.GeometryError):
        PAN.with_displacer(standing.translated((500.0, 0.0, 20.0)))


def test_inspection_says_what_where_and_what_to_do():
    report = fm.inspect_mesh(vertices_mm=CUBE, faces=SIDES[:-1])
    assert not report.usable
    (finding,) = report.findings
    assert (finding.flaw, finding.count, finding.fatal) == ("open_edge", 3, True)
    assert (100.0, 50.0, 0.0) in finding.places_mm or (100.0, 0.0, 50.0) in finding.places_mm
    assert "close the hole" in finding.advice
    flipped = [SIDES[0][::-1], *SIDES[1:]]
    assert [f.flaw for f in fm.inspect_mesh(vertices_mm=CUBE, faces=flipped).findings] == ["opposite_faces"]
    double = [*SIDES, SIDES[0], SIDES[0][::-1]]
    assert "non_manifold_edge" in [f.flaw for f in fm.inspect_mesh(vertices_mm=CUBE, faces=double).findings]
    inside_out = [f[::-1] for f in SIDES]
    assert [f.flaw for f in fm.inspect_mesh(vertices_mm=CUBE, faces=inside_out).findings] == ["inverted_shell"]


def test_inspection_of_several_shells():
    body = fm.Sump.box(length_mm=60.0, width_mm=40.0, height_mm=20.0).translated((0.0, 0.0, 30.0))
    report = PAN.with_displacer(body).inspect()
    assert report.usable
    assert [(s.kind, s.depth) for s in report.shells] == [("hull", 0), ("cavity", 1)]
    assert report.shells[1].volume_l == pytest.approx(-0.048)
    apart = np.vstack([PAN.vertices_mm, PAN.vertices_mm + (500.0, 0.0, 0.0)])
    two = fm.Sump.from_mesh(vertices_mm=apart, faces=np.vstack([PAN.faces, PAN.faces + 8])).inspect()
    assert [f.flaw for f in two.findings] == ["separate_space"]
    assert {s.kind for s in two.shells} == {"hull", "island"}
    crossing = np.vstack([PAN.vertices_mm, PAN.vertices_mm + (50.0, 0.0, 0.0)])
    cut = fm.inspect_mesh(vertices_mm=crossing, faces=np.vstack([PAN.faces, PAN.faces + 8]))
    assert "shells_touch" in [f.flaw for f in cut.findings]


def test_a_wrong_unit_is_suspected(tmp_path):
    inches = PAN.vertices_mm / 25.4
    report = fm.inspect_mesh(vertices_mm=inches, faces=PAN.faces)
    assert [f.flaw for f in report.findings] == ["suspicious_unit"]
    assert "inches read as mm, it would be 0.3000 m" in report.findings[0].advice
    lines = ["solid pan"]
    for face in PAN.faces:
        corners = [f"vertex {x} {y} {z}" for x, y, z in PAN.vertices_mm[face] / 1000.0]
        lines += ["facet normal 0 0 0", "outer loop", *corners, "endloop", "endfacet"]
    (tmp_path / "metres.stl").write_text("\n".join([*lines, "endsolid pan\n"]))
    report = fm.inspect_stl(tmp_path / "metres.stl")
    assert not report.usable
    assert "metres read as mm, it would be 0.3000 m" in report.findings[0].advice
    assert fm.inspect_stl(tmp_path / "metres.stl", unit="m").findings == []


def test_a_response_is_within_its_tolerance():
    tip = fm.Response(
        PAN, at_mm=(100.0, 20.0, 10.0), volume_l=(2.0, 4.0), nose_up_deg=(-4.0, 4.0), right_down_deg=(-4.0, 4.0)
    )
    assert tip.worst_error_mm <= 0.02
    assert tip.held_out_points > 100
    assert tip.exact_share == 0.0
    rng = np.random.default_rng(5)
    ask = {
        "volume_l": rng.uniform(2.0, 4.0, (4, 1)),
        "nose_up_deg": rng.uniform(-4.0, 4.0, 5),
        "right_down_deg": rng.uniform(-4.0, 4.0),
    }
    fast, exact = tip.height_mm(**ask), tip.exact_mm(**ask)
    assert fast.shape == (4, 5)
    assert np.abs(fast - exact).max() <= 0.02
    outside = {"volume_l": 5.0, "nose_up_deg": 6.0, "right_down_deg": 0.0}
    assert tip.height_mm(**outside) == tip.exact_mm(**outside)
    with pytest.raises(ValueError, match="shapes that do not match"):
        tip.height_mm(volume_l=[2.0, 3.0, 4.0], nose_up_deg=[0.0, 1.0], right_down_deg=0.0)


def test_other_threads_run_during_a_long_call():
    levels = np.full(2_000_000, 50.0)
    ticks = []
    done = threading.Event()

    def tick():
        while not done.is_set():
            ticks.append(time.perf_counter())
            time.sleep(0.001)

    other = threading.Thread(target=tick)
    other.start()
    began = time.perf_counter()
    for _ in range(5):
        PAN.volume_l(level_mm=levels, attitude=HERE)
    ended = time.perf_counter()
    done.set()
    other.join()
    inside = [t for t in ticks if began < t < ended]
    # With the interpreter held for the whole of a call there would be about one tick a call.
    assert len(inside) > 10


@pytest.mark.skipif(os.name == "nt", reason="signals are sent another way there")
def test_ctrl_c_stops_a_long_array_of_exact_answers():
    bus = fm.Circuit.demo("shuttle-bus").sump
    tip = fm.Response(bus, at_mm=(60.0, 40.0, -80.0), volume_l=(6.0, 6.1), nose_up_deg=(0, 0), right_down_deg=(0, 0))
    ask = {"volume_l": np.full(20_000, 6.0), "nose_up_deg": 3.0, "right_down_deg": 1.0}
    timer = threading.Timer(0.3, os.kill, (os.getpid(), signal.SIGINT))
    began = time.perf_counter()
    timer.start()
    try:
        with pytest.raises(KeyboardInterrupt):
            tip.exact_mm(**ask)
    finally:
        timer.cancel()
    # All of it would take 20,000 preparations of some 8 ms.
    assert time.perf_counter() - began < 30.0


def test_one_pass_is_the_prepared_curve():
    bus = fm.Circuit.demo("shuttle-bus").sump
    for level in (1.0, 40.0, 90.0):
        once = bus.direct_volume_l(level_mm=level, attitude=HERE)
        assert once == pytest.approx(bus.volume_l(level_mm=level, attitude=HERE), abs=1e-12 * bus.capacity_l)
    with pytest.raises(fm.GeometryError):
        bus.direct_volume_l(level_mm=1e4, attitude=HERE)
