"""Pools of the sump in a service.

A pan of 300 x 200 x 100 mm has a rib of 4 x 30 mm across its middle, so 148 x 200 x 30 mm = 0.888 L lie on either side
below the rib's edge; the plug is on the near side, the stick stands on the far one.
"""

import json

import fillmark as fm
import pytest

HALF = 0.888
OUTLINE = [(0, 0), (148, 0), (148, 30), (152, 30), (152, 0), (300, 0), (300, 100), (0, 100)]
SIDE = [(0, 1, 2), (0, 2, 7), (7, 2, 3), (7, 3, 6), (3, 5, 6), (3, 4, 5)]


def ribbed(**more):
    faces = [[a, b, c] for a, b, c in SIDE] + [[a + 8, c + 8, b + 8] for a, b, c in SIDE]
    for i in range(8):
        j = (i + 1) % 8
        faces += [[i, j + 8, j], [i, i + 8, j + 8]]
    mesh = {"vertices_mm": [[x, y, z] for y in (0, 200) for x, z in OUTLINE], "faces": faces}
    circuit = {
        "format": 1,
        "name": "ribbed pan",
        "sump": {"mesh": mesh},
        "dipstick": {"path_mm": [[250, 100, 2], [250, 100, 97]], "min": "20 mm", "max": "58 mm"},
        "plugs": {"main": {"at_mm": [20, 100, 0], "bore": "12 mm"}},
        "fluid": {"density_15c": "868 kg/m3", "kv40": "95 mm2/s", "kv100": "14.3 mm2/s"},
        **more,
    }
    return fm.Circuit.loads(json.dumps(circuit))


EVENTS = [
    fm.Drain(hours=24),
    fm.Read(label="after"),
    fm.Pour(0.5, temperature_c=20),
    fm.Read(label="spilled"),
    fm.Pour(HALF - 0.5 + 1.0, temperature_c=20),
    fm.Read(label="joined"),
]


def test_what_lies_behind_a_rib_is_told():
    """Hand calculation: the near side empties, the far one stays full to the rib; 0.5 L spill over; then both rise."""
    line = fm.simulate(ribbed(), EVENTS)
    drained, spilled, joined = (line.rows[i].pools for i in (1, 3, 5))
    assert [pool.volume_l for pool in drained] == pytest.approx([HALF], abs=1e-9)
    assert [pool.volume_l for pool in spilled] == pytest.approx([HALF, 0.5], abs=1e-9)
    assert [pool.level_mm for pool in spilled] == pytest.approx([30.0, 500.0 / 29.6], abs=1e-9)
    assert [pool.under_tip for pool in spilled] == [True, False]
    assert spilled[1].bottom_mm[0] <= 148 < 152 <= spilled[0].bottom_mm[0]
    assert [pool.volume_l for pool in joined] == pytest.approx([2 * HALF + 1.0], abs=1e-9)
    assert [line.reading(label).apart for label in ("after", "spilled", "joined")] == [False, True, False]
    assert line.reading("spilled").mm == pytest.approx(28.0, abs=1e-9)
    assert "lies apart" in repr(line.reading("spilled"))
    assert "under the stick" in repr(spilled[0])


def test_a_prediction_keeps_the_pools_apart():
    """What is poured on the near side does not show: the far one stays full to the rib, 28 mm from the tip."""
    events = [fm.Drain(hours=24), fm.Pour("0.500(1) L", temperature_c=20), fm.Read(label="spilled")]
    mm = fm.predict(ribbed(), events, draws=2048).reading("spilled").mm
    assert mm.mean == pytest.approx(28.0, abs=4.0 * mm.standard_uncertainty / 2048**0.5)


def test_pools_hold_what_the_ledger_counts():
    line = fm.simulate(ribbed(), EVENTS)
    for row, of_row in zip(line.rows, [row.state.columns() for row in line.rows], strict=True):
        mass = sum(pool.mass_kg for pool in row.pools)
        volume = sum(pool.volume_l for pool in row.pools)
        assert volume == pytest.approx(row.sump_l, rel=1e-12)
        own = sum(of_row[f"{name}_kg"][0] for name in ("old_oil", "new_oil"))
        seen = sum(pool.mass_kg for pool in row.pools if pool.under_tip)
        assert own == pytest.approx(seen, rel=1e-12)
        assert mass >= seen


def test_a_sump_of_one_pool_names_none():
    row = fm.simulate(fm.Circuit.demo("deck-generator"), [fm.Drain(minutes=10)]).rows[-1]
    assert row.pools == []
