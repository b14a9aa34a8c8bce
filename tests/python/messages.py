"""One example of every error message, by its code: made by raising it.

Most come from the tables of other tests. `MORE` makes those that no table has, `NONE` lists those that Python cannot make.
"""

# ruff: noqa: E501 (messages are kept whole)

from collections.abc import Callable

import fillmark as fm
import test_bad_input
import test_command_errors
import test_errors
import test_explain
import test_fluid_bad_input
import test_learn_calibrate
import test_learn_dips
import test_learn_trend
import test_learn_weighed
from pans import ribbed

PAN = fm.Sump.box(length_mm=300.0, width_mm=200.0, height_mm=100.0)
ONE = {"a": fm.Uncertain.normal(0, 1)}
THREE = {name: fm.Uncertain.normal(0, 1) for name in "abc"}
SQUARE = [(0, 0), (100, 0), (100, 100), (0, 100)]
BUS = fm.Circuit.demo("shuttle-bus")


def spread(model=lambda a: a, inputs=ONE, **options):
    return fm.propagate(model, inputs, draws=options.pop("draws", 128), **options)


def correlated(correlations, inputs=THREE):
    return spread(lambda **values: values["a"], inputs, correlations=correlations)


def floor(x=(0, 100), heights=((0, 0), (0, 0)), top=50):
    return fm.Sump.from_floor(x_mm=x, y_mm=[0, 100], z_mm=heights, top_mm=top)


def sections(*outlines, at=(0, 100)):
    return fm.Sump.from_sections(at_mm=at, outlines_mm=list(outlines))


def displaced(low, size=20.0):
    body = fm.Sump.box(length_mm=size, width_mm=size, height_mm=size)
    return PAN.translated((0.0, 0.0, 0.0)).with_displacer(body.translated(low))


def plug_outside():
    far = fm.Plug(at_mm=(900.0, 0.0, 0.0), bore_mm=12.0)
    return PAN.heel_l(far)


def from_state():
    state = fm.simulate(BUS, []).rows[0].state
    return fm.simulate(fm.Circuit.demo("deck-generator"), [], start=state)


MORE: tuple[Callable[[], object], ...] = (
    lambda: spread(inputs={}),
    lambda: spread(lambda **values: {}),
    lambda: spread(lambda a: a / 0.0 if False else a * float("nan")),
    lambda: spread(method="sobol", draws=100_000),
    lambda: spread(lambda **v: v["x0"], {f"x{i}": fm.Uncertain.normal(0, 1) for i in range(513)}, method="sobol"),
    lambda: spread().result("b"),
    lambda: fm.sensitivity(lambda a: a, ONE, result="b"),
    lambda: fm.sensitivity(lambda a: 0 * a, ONE),
    lambda: correlated({("a", "b"): 1.0}),
    lambda: correlated({("a", "b"): 0.5, ("b", "a"): 0.4}),
    lambda: correlated({("a", "z"): 0.5}),
    lambda: correlated({("a", "b"): 0.5}, {**THREE, "b": 1.0}),
    lambda: correlated({("a", "b"): -0.9, ("b", "c"): -0.9, ("a", "c"): -0.9}),
    lambda: fm.Pools.at_level(PAN, level_mm=50.0).withdraw(5.0, at_mm=(0.0, 0.0, 5.0)),
    lambda: displaced((500.0, 0.0, 40.0)),
    lambda: displaced((0.0, 0.0, -5.0)),
    lambda: floor(heights=((0, 60), (0, 0))),
    lambda: floor(x=(0,), heights=((0, 0),)),
    lambda: floor(x=(100, 100)),
    lambda: fm.Pools(PAN, {3: 1.0}),
    lambda: fm.Pools(PAN, {0: 99.0}),
    lambda: fm.Pools(ribbed(), {0: 0.1, 2: 1.0}),
    lambda: fm.Attitude.from_up((1.0, 0.0, 0.0)),
    lambda: sections([(0, 0), (100, 100), (100, 0), (0, 100)], SQUARE),
    lambda: sections(SQUARE, SQUARE[::-1]),
    lambda: sections(SQUARE, at=(0,)),
    lambda: PAN.level_mm(volume_l=-1.0),
    lambda: PAN.level_mm(volume_l=[1.0, -1.0]),
    lambda: fm.Uncertain("0.35 ± 0.10 L"),
    lambda: fm.Uncertain("normal(1) L"),
    lambda: fm.Uncertain("0.4 .. 0.2 L"),
    from_state,
    *(lambda text=text: PAN.level_mm(volume_l=text) for text in ("1 qt", "0,5 L", "2", "some L", "1 litter", "2 kg")),
)

# Code: why there is no example.
NONE = {
    "estimate.stopped": "only another thread can stop an estimate",
    "explain.stopped": "only another thread can stop a diagnosis",
    "estimate.repeated_input": "a mapping has every name once",
    "fluid.not_a_percentage": "only Rust reads a percentage from text",
    "geometry.section_mismatch": "an array has as many points in every section",
    "fluid.quantity": "has the code of the error it carries",
    "geometry.element": "only Rust asks a level curve about an array at once",
    "geometry.quantity": "has the code of the error it carries",
    "learn.no_marks": "in Python what needs the marks is None without them",
    "service.in_list": "has the code of the error it carries",
    "service.pools": "no circuit is known to cause it",
}


def calls():
    """Everything that raises."""
    for table in (test_bad_input.TABLE, test_fluid_bad_input.TABLE):
        yield from (row[0] for row in table)
    yield from (row[1] for row in test_errors.RAISED)
    yield from (call for _, call in test_explain.REFUSED)
    yield from MORE
    yield from (row[0] for row in test_learn_calibrate.REFUSED)
    yield from (lambda row=row: fm.trend(**{**test_learn_trend.THREE, **row[0]}) for row in test_learn_trend.REFUSED)
    yield from (lambda row=row: fm.dip_study(*row[0]) for row in test_learn_dips.REFUSED)
    yield from (
        lambda row=row: fm.weighed_residue(**{**test_learn_weighed.KNOWN, **row[0]})
        for row in test_learn_weighed.REFUSED
    )
    yield from (lambda text=row[0]: fm.Circuit.loads(text) for row in test_command_errors.OWN if row[0])
    yield from (lambda data=row[0]: fm.Sump.from_stl_bytes(data) for row in test_command_errors.DRAWINGS)
    yield plug_outside


def examples() -> dict[str, tuple[str, str]]:
    """The class and the message of the first example of every code."""
    found: dict[str, tuple[str, str]] = {}
    for call in calls():
        try:
            call()
        except fm.FillmarkError as error:
            found.setdefault(error.code, (type(error).__name__, str(error)))
        except (TypeError, ValueError):
            continue
    return found
