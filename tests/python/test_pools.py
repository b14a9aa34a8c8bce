"""Basins, heel and liquid as poured, against closed forms of boxes and volumes from a CAD kernel."""

import importlib.resources
import json
import math
import pathlib

import fillmark as fm
import numpy as np
import pytest
from pans import ribbed

DATA = pathlib.Path(__file__).parents[1] / "data"
DEMO = importlib.resources.files("fillmark") / "demo"
RIBBED = ribbed()
TWIN = fm.Sump.from_stl(DATA / "twin_well.stl")
REAR, FRONT = (50.0, 80.0, 90.0), (250.0, 120.0, 90.0)
# Each side of the rib to its top: 148 x 200 x 10 mm.
SIDE_L = 0.296


def up(degrees: float, right_down: float = 0.0) -> fm.Attitude:
    return fm.Attitude(nose_up_deg=degrees, right_down_deg=right_down)


def plug(at_mm: tuple[float, float, float], axis: tuple[float, float, float] = (0.0, 0.0, -1.0)) -> fm.Plug:
    return fm.Plug(at_mm=at_mm, bore_mm=12.0, axis=axis)


@pytest.mark.parametrize(("name", "apart"), [("stepped_bus", 2), ("twin_well", 16)])
def test_separate_pools_of_every_row_of_the_cad_kernel(name, apart):
    # Booleans of exact solids (OpenCASCADE), see tests/data/README.md; tolerance: the STL's own tessellation.
    rows = json.loads((DATA / f"{name}.json").read_text(encoding="utf-8"))["rows"]
    stl = DATA / f"{name}.stl"
    sump = fm.Sump.from_stl(stl if stl.exists() else DEMO / f"{name}.stl")
    several = 0
    for row in rows:
        here = up(row["nose_up_deg"], row["right_down_deg"])
        # The row's plane is given by its height along up; the level counts from the drawing's own lowest corner.
        level = row["height_mm"] - (sump.vertices_mm @ here.up).min()
        pools = sump.pools_l(level_mm=level, attitude=here)
        assert pools == pytest.approx(sorted(row["separate_pools_l"], reverse=True), abs=3e-5 * sump.capacity_l)
        several += len(pools) > 1
    assert several == apart


def test_basins_of_a_ribbed_box():
    basins = RIBBED.basins()
    assert [b.parent for b in basins] == [2, 2, None]
    assert basins[2].children == [0, 1]
    for basin in basins.rows[:2]:
        assert (basin.lowest_mm, basin.base_mm) == (0.0, 0.0)
        assert basin.sill_mm == pytest.approx(10.0, rel=1e-12)
        assert basin.sill_point_mm[2] == 10.0
        assert basin.volume_l == pytest.approx(SIDE_L, rel=1e-12)
        assert basin.volume_below_l(level_mm=[0.0, 4.0]) == pytest.approx([0.0, 0.1184], rel=1e-12)
        assert basin.level_mm(volume_l=0.1184) == pytest.approx(4.0, rel=1e-12)
    whole = basins[2]
    assert (whole.sill_mm, whole.sill_point_mm) == (None, None)
    assert whole.base_mm == pytest.approx(10.0, rel=1e-12)
    assert whole.volume_l == pytest.approx(6.0 - 0.008, rel=1e-12)
    with pytest.raises(fm.GeometryError, match=r"level"):
        whole.volume_below_l(level_mm=9.0)
    with pytest.raises(IndexError, match=r"no basin 3: there are 3 \(0 to 2\)"):
        basins[3]
    columns = basins.columns()
    assert columns["parent"].tolist() == [2, 2, -1]
    assert np.isnan(columns["sill_mm"]).tolist() == [False, False, True]
    assert columns["volume_l"].tolist() == [b.volume_l for b in basins]
    assert str(basins).count("\n") == 2


@pytest.mark.parametrize(
    ("degrees", "point_l", "bore_l"), [(1.0, 0.173, 0.159), (3.0, 0.519, 0.478), (5.0, 0.866, 0.798)]
)
def test_heel_of_a_flat_floor(degrees, point_l, bore_l):
    # A wedge of length b on a floor w wide: w b^2 tan(angle) / 2 (elementary geometry).
    pan = fm.Sump.box(length_mm=300.0, width_mm=220.0, height_mm=100.0)
    wedge = [0.22 * b * b * math.tan(math.radians(degrees)) / 2.0 * 1e-3 for b in (300.0, 288.0)]
    # The lowest point of the first one's rim is at the wall itself.
    point = pan.heel_l(fm.Plug(at_mm=(150.5, 0.0, 0.0), bore_mm=1.0), attitude=up(degrees))
    bore = pan.heel_l(plug((144.0, 0.0, 0.0)), attitude=up(degrees))
    assert [point, bore] == pytest.approx(wedge, rel=1e-9)
    assert [point, bore] == pytest.approx([point_l, bore_l], abs=5e-4)
    assert pan.heel_l(plug((-144.0, 0.0, 0.0)), attitude=up(degrees)) == pytest.approx(0.0, abs=1e-9)


def test_heel_on_both_sides_of_a_rib():
    # Lowest rim point of the side plug 25 mm up, above the rib: 300 x 200 x 25 mm less the rib's own 0.008 L.
    assert RIBBED.heel_l(plug((300.0, 100.0, 31.0), (1.0, 0.0, 0.0))) == pytest.approx(1.5 - 0.008, rel=1e-9)
    front, rear = plug((250.0, 100.0, 0.0)), plug((50.0, 100.0, 0.0))
    assert RIBBED.heel_l(front) == pytest.approx(SIDE_L, rel=1e-9)
    assert RIBBED.heel_l([front, rear]) == pytest.approx(0.0, abs=1e-9)
    assert RIBBED.heel_l([]) == pytest.approx(RIBBED.capacity_l, rel=1e-12)


def test_heel_of_a_suction_tube():
    # Air comes in half a bore (3 mm) above the tip's rim: to 7 mm where it stands, to the rib's top behind it.
    tube = fm.SuctionTube(tip_mm=(250.0, 100.0, 4.0), bore_mm=6.0, length_mm=1500.0, rise_mm=900.0, vacuum_kpa=70.0)
    assert RIBBED.heel_l(tube) == pytest.approx(SIDE_L + 0.148 * 0.2 * 7.0, rel=1e-9)
    box = fm.Sump.box(length_mm=600.0, width_mm=400.0, height_mm=100.0)
    assert box.heel_l(tube) == pytest.approx(tube.left_l(box), rel=1e-9)


def test_which_end_up():
    wells = [b for b in TWIN.basins() if not b.children]
    through = fm.Plug(at_mm=wells[0].lowest_point_mm, bore_mm=14.0)
    pitch, roll = np.array([-6.0, 0.0, 6.0]), np.array([-2.0, 0.0])
    ends = TWIN.heel_map(through, nose_up_deg=pitch, right_down_deg=roll)
    assert ends.heel_l.shape == (3, 2)
    for i, p in enumerate(pitch):
        for j, r in enumerate(roll):
            assert ends.heel_l[i, j] == TWIN.heel_l(through, attitude=up(p, r))
    best = ends.least
    assert TWIN.heel_l(through, attitude=best) == ends.heel_l.min()
    # On level ground the other well stays at the ridge.
    assert ends.heel_l[1, 1] == pytest.approx(wells[1].volume_l, rel=1e-9)
    columns = ends.columns()
    assert columns["heel_l"].tolist() == ends.heel_l.ravel().tolist()
    assert columns["nose_up_deg"].tolist() == [-6.0, -6.0, 0.0, 0.0, 6.0, 6.0]
    assert columns["right_down_deg"].tolist() == [-2.0, 0.0] * 3


def test_air_that_cannot_leave():
    # A vent at the front end, 60 mm up: what is above stays air; nose up by 5 deg its highest corner is at the front.
    pan = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
    (lock,) = pan.air_locks(vents_mm=[(150.0, 0.0, 60.0)])
    assert (lock.level_mm, lock.volume_l) == pytest.approx((60.0, 2.4), rel=1e-12)
    (tilted,) = pan.air_locks(vents_mm=[(150.0, 0.0, 60.0)], attitude=up(5.0))
    assert tilted.highest_point_mm[0] == 150.0
    # Above a plane through the vent: 40 mm at the front, less by 300 mm tan 5 deg at the rear.
    behind = 40.0 - 300.0 * math.tan(math.radians(5.0))
    assert tilted.volume_l == pytest.approx(0.2 * 300.0 * (40.0 + behind) / 2.0 * 1e-3, rel=1e-9)
    # The top is open along its whole edge.
    assert pan.air_locks(attitude=up(5.0)) == []


def test_fill_spill_and_merge():
    pools = fm.Pools(RIBBED).pour(0.2, at_mm=REAR)
    assert pools.level_mm(at_mm=(50.0, 80.0, 1.0)) == pytest.approx(0.2 / (0.148 * 0.2), rel=1e-12)
    assert pools.level_mm(at_mm=(250.0, 80.0, 1.0)) is None
    spilt = pools.pour("0.192 L", at_mm=REAR)
    assert sorted(spilt.volumes_l.values()) == pytest.approx([0.392 - SIDE_L, SIDE_L], rel=1e-9)
    # Past the ridge: one pool at the level of the whole, whichever side it comes from.
    for side in (REAR, FRONT):
        one = spilt.pour(1.0, at_mm=side)
        (pool,) = one.pools
        assert pool.level_mm == pytest.approx(RIBBED.level_mm(volume_l=1.392), rel=1e-12)
        assert one.pool_at(at_mm=side) == pool
    # Each change gave new pools.
    assert pools.volume_l == 0.2
    with pytest.raises(fm.GeometryError, match="more than the sump holds"):
        spilt.pour(9.0, at_mm=REAR)
    with pytest.raises(fm.GeometryError, match="outside the liquid space"):
        spilt.pour(0.1, at_mm=(900.0, 0.0, 0.0))
    with pytest.raises(fm.QuantityError):
        spilt.pour(-0.1, at_mm=REAR)


@pytest.mark.parametrize("here", [up(0.0), up(1.5), up(-3.0, 1.0)])
def test_order_of_pours_and_ridge_of_two_wells(here):
    lows = [b.lowest_point_mm for b in TWIN.basins(attitude=here) if not b.children]
    pours = [(0.05, lows[0]), (0.03, lows[1]), (0.01, lows[0])]
    results = []
    for order in ([0, 1, 2], [2, 1, 0], [1, 0, 2]):
        pools = fm.Pools(TWIN, attitude=here)
        for i in order:
            pools = pools.pour(pours[i][0], at_mm=pours[i][1])
        results.append(pools.volumes_l)
    assert len(results[0]) == 2
    assert results[1] == pytest.approx(results[0], rel=1e-12)
    assert results[2] == pytest.approx(results[0], rel=1e-12)
    for low in lows:
        (pool,) = fm.Pools(TWIN, attitude=here).pour(5.0, at_mm=low).pools
        assert pool.level_mm == pytest.approx(TWIN.level_mm(volume_l=5.0, attitude=here), rel=1e-9)


def test_withdraw_and_drain():
    pools = fm.Pools.at_level(RIBBED, level_mm=20.0)
    assert pools.volume_l == pytest.approx(RIBBED.volume_l(level_mm=20.0), rel=1e-12)
    # A tube 3 mm over the front floor: all down to there, behind the rib only to its top.
    tube = (250.0, 100.0, 3.0)
    reach = pools.volume_l - SIDE_L - 0.148 * 0.2 * 3.0
    with pytest.raises(fm.GeometryError, match=r"reaches") as caught:
        pools.withdraw(reach + 0.01, at_mm=tube)
    assert caught.value.fields["reach_l"] == pytest.approx(reach, rel=1e-9)
    assert sorted(pools.withdraw(reach, at_mm=tube).volumes_l.values()) == pytest.approx([0.0888, SIDE_L], rel=1e-9)
    drained = pools.drain(plug((250.0, 100.0, 0.0)))
    assert drained.volume_l == pytest.approx(SIDE_L, rel=1e-9)
    assert pools.drain([plug((250.0, 100.0, 0.0)), plug((50.0, 100.0, 0.0))]).volume_l == pytest.approx(0.0, abs=1e-12)
    # Of a full sump the heel stays, at any attitude.
    for here in (up(1.0), up(-4.0, 3.0)):
        through = plug((250.0, 100.0, 0.0))
        full = fm.Pools.at_level(RIBBED, level_mm=RIBBED.height_mm(attitude=here), attitude=here)
        assert full.drain(through).volume_l == pytest.approx(RIBBED.heel_l(through, attitude=here), rel=1e-9)


def test_a_turn_and_back():
    # 0.1 L before the rib; nose up by 10 deg it holds h^2 / (2 tan 10 deg) x 200 mm (elementary geometry), the rest
    # runs over and does not come back.
    pools = fm.Pools(RIBBED).pour(0.1, at_mm=FRONT)
    stays = 0.2 * 10.0**2 / (2.0 * math.tan(math.radians(10.0))) * 1e-3
    there = pools.turn(up(10.0))
    assert sorted(there.volumes_l.values()) == pytest.approx(sorted([stays, 0.1 - stays]), rel=1e-9)
    back = there.turn(up(0.0))
    assert back.volume_l == pytest.approx(0.1, rel=1e-12)
    assert sorted(back.volumes_l.values()) == pytest.approx(sorted([stays, 0.1 - stays]), rel=1e-9)
    found = pools.hysteresis(up(10.0))
    assert found.real
    assert found.moved_l == pytest.approx(0.1 - stays, rel=1e-9)
    little = pools.hysteresis(up(1.0))
    assert not little.real
    assert little.moved_l == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("round_trip", [(30.0, 0.0), (-40.0, 20.0), (0.0, 45.0)])
def test_a_full_turn_of_two_wells_keeps_the_liquid(round_trip):
    wells = [b.lowest_point_mm for b in TWIN.basins() if not b.children]
    before = fm.Pools(TWIN).pour(0.4, at_mm=wells[0]).pour(0.1, at_mm=wells[1])
    there = before.turn(up(*round_trip))
    back = there.turn(up(0.0))
    for pools in (there, back):
        assert pools.volume_l == pytest.approx(0.5, abs=1e-12 * TWIN.capacity_l)
    moved = sum(abs(back.volumes_l.get(n, 0.0) - v) for n, v in before.volumes_l.items()) / 2.0
    found = before.hysteresis(up(*round_trip))
    assert found.moved_l == pytest.approx(moved, abs=1e-9)
    assert found.real == (moved > 1e-4)


def test_what_is_no_outlet_or_no_pool():
    with pytest.raises(TypeError, match=r"outlets = 3\.0 is no Plug and no sequence of them"):
        RIBBED.heel_l(3.0)
    with pytest.raises(TypeError, match=r"plugs = \['x'\] is no Plug"):
        fm.Pools(RIBBED).drain(["x"])
    with pytest.raises(fm.GeometryError, match="50 mm"):
        RIBBED.heel_l(plug((500.0, 100.0, 0.0)))
    with pytest.raises(fm.GeometryError, match="must be greater than -90"):
        RIBBED.heel_map(plug((250.0, 100.0, 0.0)), nose_up_deg=[0.0, 91.0], right_down_deg=0.0)
    with pytest.raises(TypeError, match="its keys are numbers of basins"):
        fm.Pools(RIBBED, {"rear": 0.1})
    with pytest.raises(TypeError, match=r"volumes_l = 0\.1 is no mapping"):
        fm.Pools(RIBBED, 0.1)
    with pytest.raises(fm.GeometryError, match="there is no basin 3"):
        fm.Pools(RIBBED, {3: 0.1})
    with pytest.raises(fm.GeometryError, match="cannot hold"):
        fm.Pools(RIBBED, {0: 0.3})
    with pytest.raises(fm.GeometryError, match="overlap"):
        fm.Pools(RIBBED, {0: 0.1, 2: 1.0})
    table = fm.Sump.from_table(level_mm=[0.0, 40.0, 90.0], volume_l=[0.0, 2.0, 6.0])
    with pytest.raises(fm.GeometryError, match="plan form"):
        table.basins()
