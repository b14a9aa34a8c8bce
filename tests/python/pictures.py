"""Every picture once, drawn from invented circuits: what the tests of pictures share."""

import functools
from pathlib import Path

import fillmark as fm
import numpy as np
from fillmark import plot
from matplotlib import pyplot
from matplotlib.figure import Figure
from services import box

DONE = [fm.Drain(minutes=10, temperature_c=60), fm.ChangeFilter(primed_l=0.0)]
THEN = [fm.Run(minutes=1), fm.Rest(minutes=5), fm.Read(label="first dip")]
CAUSES = {  # invented
    "poor drain: cold, short or tilted": (0.47, 0.33, 0.60, 0.20),
    "read early, then topped up": (0.21, 0.10, 0.34, 0.16),
    "ordinary scatter": (0.17, 0.06, 0.25, 0.15),
    "dry capacity poured": (0.08, 0.02, 0.18, 0.12),
    "none of these": (0.07, 0.01, 0.10, 0.05),
}
CRANK = ((-150.0, 0.0, 95.0), (150.0, 0.0, 95.0))


@functools.cache
def generator() -> fm.Circuit:
    return fm.Circuit.load(Path(__file__).with_name("pictures.toml"))


@functools.cache
def line() -> fm.Timeline:
    return fm.simulate(generator(), [*DONE, fm.Pour(4.1, temperature_c=20), *THEN])


def two_wells() -> fm.Sump:
    """A sump 40 mm wide whose two wells, 100 mm long, are parted by a rib 50 mm high; 100 mm high in all."""
    outline = np.array([(0, 0), (100, 0), (100, 50), (150, 50), (150, 0), (250, 0), (250, 100), (0, 100)], dtype=float)
    cap = np.array([(0, 1, 2), (0, 2, 7), (2, 3, 7), (3, 6, 7), (3, 5, 6), (3, 4, 5)])
    near, far = (np.column_stack([outline[:, 0], np.full(8, y), outline[:, 1]]) for y in (-20.0, 20.0))
    walls = [f for i in range(8) for f in ((i, 8 + (i + 1) % 8, (i + 1) % 8), (i, 8 + i, 8 + (i + 1) % 8))]
    return fm.Sump.from_mesh(vertices_mm=np.vstack([near, far]), faces=np.vstack([cap, cap[:, ::-1] + 8, walls]))


def wells_circuit() -> fm.Circuit:
    """The box circuit with that sump: stick in the first well, plug in the floor of the second."""
    sump = two_wells()
    mesh = f"[sump.mesh]\nvertices_mm = {sump.vertices_mm.tolist()}\nfaces = {sump.faces.tolist()}\n\n"
    return box(
        ('[sump.box]\nlength = "300 mm"\nwidth = "200 mm"\nheight = "100 mm"\n\n', mesh),
        ("[[0, 0, 5], [0, 0, 105]]", "[[50, 0, 5], [50, 0, 105]]"),
        ("at_mm = [100, 0, 0]", "at_mm = [200, 0, 0]"),
        ('heel = "0.2 L"', 'heel = "0.0 L"'),
    )


def pools() -> fm.Pools:
    """160 mL in the first well, 40 mL in the second: 40 mm and 10 mm deep."""
    return fm.Pools(two_wells()).pour(0.16, at_mm=(50.0, 0.0, 90.0)).pour(0.04, at_mm=(200.0, 0.0, 90.0))


SHARES = {  # invented
    "input": ["dipstick.scatter", "plugs.main.heel", "geometry.datum", "filter.net_volume"],
    "first": [0.50, 0.25, 0.11, 0.05],
    "total": [0.52, 0.30, 0.12, 0.06],
    "total_half_width": [0.03, 0.03, 0.02, 0.01],
}


def distances():
    found = plot.level_over_distance(
        generator(), np.linspace(0.0, 9000.0, 19), use_l_per_1000km=0.08, fuel_l_per_1000km=0.02
    )
    seen = np.full(19, np.nan)
    seen[::6] = found["mm"][::6] + [0.3, -0.4, 0.5, -0.2]  # invented
    return {**found, "low_mm": found["mm"] - 1.0, "high_mm": found["mm"] + 1.0, "seen_mm": seen}


def expected():
    return fm.predict(generator(), [*DONE, fm.Pour(4.1), *THEN], draws=400, seed=1)


PICTURES = {
    "section": lambda: plot.section(
        generator(),
        reading_mm=50.0,
        band_mm=(47.0, 53.0),
        attitude=fm.Attitude(nose_up_deg=-4.0),
        pickup_mm=(0.0, 0.0, 18.0),
        crank_path_mm=CRANK,
    ),
    "section_pools": lambda: plot.section(wells_circuit(), pools=pools()),
    "tilted": lambda: plot.tilted(generator()),
    "level_volume": lambda: plot.level_volume(generator()),
    "stick": lambda: plot.stick(generator(), reading_mm=50.0, band_mm=(47.0, 53.0)),
    "blade": lambda: plot.blade(generator(), expected().readings),
    "reading_over_wait": lambda: plot.reading_over_wait(generator()),
    "whereabouts": lambda: plot.whereabouts(generator()),
    "waterfall": lambda: plot.waterfall(line()),
    "slope_map": lambda: plot.slope_map(generator()),
    "fill_sequence": lambda: plot.fill_sequence(line()),
    "cause_ranking": lambda: plot.cause_ranking(CAUSES, most=4),
    "tornado": lambda: plot.tornado(plot.one_at_a_time(generator(), line().events, "first dip")),
    "variance_shares": lambda: plot.variance_shares(SHARES),
    "over_distance": lambda: plot.over_distance(distances(), circuit=generator()),
    "incident": lambda: plot.incident(line(), seen_mm=61.0, expected=expected().reading("first dip"), causes=CAUSES),
}


def drawn(name: str) -> Figure:
    """Draw a picture in its own figure."""
    PICTURES[name]()
    return pyplot.gcf()
