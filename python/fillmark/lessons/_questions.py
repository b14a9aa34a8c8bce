"""The twenty-five questions as exercises: a text with figures, and the core's answer to them.

The keywords of an exercise are its figures: first that of the lesson, then the lowest and the highest that a trainee
may get, and the step between. No answer stands here; the core computes it when it is asked for.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from random import Random
from typing import TypeAlias

import fillmark._core as fm

__all__ = ["QUESTIONS", "Question"]

Figures: TypeAlias = dict[str, float]
Range: TypeAlias = tuple[float, float, float, float]


@dataclass(frozen=True)
class Question:
    """One of the twenty-five questions, with an exercise.

    Attributes
    ----------
    number : int
        1 to 25.
    lesson : str
        Letter of the lesson that answers it, A to G.
    title : str
        As people ask it.
    unit : str
        Of the answer.
    within : float
        How far an answer may be off and still be right, as a share of the true one.
    decimals : int
        With how many the answer is written.
    ranges : dict of str to tuple of float
        For each figure that of the lesson, the lowest, the highest, the step.
    """

    number: int
    lesson: str
    title: str
    unit: str
    within: float
    decimals: int
    ranges: dict[str, Range]
    _text: str
    _answer: Callable[..., float]

    def figures(self, trainee: int = 0) -> Figures:
        """Choose the figures of a trainee: those of the lesson for trainee 0 and for nobody else."""
        usual = {name: chosen[0] for name, chosen in self.ranges.items()}
        drawn = Random(f"fillmark {self.number} {trainee}")
        found = usual
        while trainee != 0 and found == usual:
            found = {
                name: round(low + drawn.randint(0, round((high - low) / step)) * step, 6)
                for name, (_, low, high, step) in self.ranges.items()
            }
        return found

    def text(self, figures: Figures) -> str:
        """Write the exercise with its figures."""
        return self._text.format(**{name: f"{value:g}" for name, value in figures.items()})

    def answer(self, figures: Figures) -> float:
        """Let the core compute the answer."""
        return float(self._answer(**figures))


QUESTIONS: dict[int, Question] = {}
"""The twenty-five questions by their number, 1 to 25."""


def _question(
    number: int,
    lesson: str,
    title: str,
    unit: str,
    text: str,
    *,
    within: float = 0.03,
    decimals: int = 2,
    **ranges: Range,
) -> Callable[[Callable[..., float]], Callable[..., float]]:
    def keep(answer: Callable[..., float]) -> Callable[..., float]:
        QUESTIONS[number] = Question(number, lesson, title, unit, within, decimals, ranges, text, answer)
        return answer

    return keep


@cache
def _demo(name: str) -> fm.Circuit:
    return fm.Circuit.demo(name)


def _bus() -> fm.Circuit:
    return _demo("shuttle-bus")


def _generator() -> fm.Circuit:
    return _demo("deck-generator")


_WARM = fm.Drain(minutes=10, temperature_c=60)
_NIGHT = fm.Rest(hours=12)


def _from_max_l(circuit: fm.Circuit, events: list[fm.Event]) -> float:
    line = fm.simulate(circuit, events)
    return line.v_drained_l - line.v_max_l


def _mm(circuit: fm.Circuit, *before: fm.Event, read: fm.Read | None = None) -> float:
    return fm.simulate(circuit, [*before, fm.Wipe(), read or fm.Read()]).readings[-1].mm


@_question(
    1,
    "A",
    "I poured the stated capacity, why is it over?",
    "L",
    "The sheet of the shuttle bus gives 7.4 L for a service with filter and {dry_l} L for the dry engine. It "
    "is drained warm, the filter is changed, and somebody pours the dry figure. How far over MAX does it end, "
    "drained back?",
    within=0.12,
    dry_l=(7.9, 7.7, 8.6, 0.05),
)
def _dry_capacity(dry_l: float) -> float:
    return _from_max_l(_bus(), [_WARM, fm.ChangeFilter(), fm.Pour(dry_l), fm.Run(minutes=1), _NIGHT])


@_question(
    2,
    "A",
    "I poured it and after a minute's run it is low: a leak?",
    "L",
    "The deck generator gets a new filter, put on empty, that takes {filter_l} L. 4 L are poured, it runs for "
    "a minute and stands overnight. How much less is in its sump then than right after the pour?",
    within=0.15,
    filter_l=(0.3, 0.2, 0.6, 0.01),
)
def _first_run(filter_l: float) -> float:
    circuit = _generator().replace({"filter.net_volume": f"{filter_l} L"})
    rows = fm.simulate(
        circuit, [_WARM, fm.ChangeFilter(), fm.Pour(4.0), fm.Run(minutes=1, temperature_c=20), _NIGHT]
    ).rows
    return rows[-3].sump_l - rows[-1].sump_l


@_question(
    3,
    "A",
    "The sheet lists two or three capacities: which?",
    "L",
    "A sheet gives {service_l} L for a service with filter; the filter takes {filter_l} L. This time the old "
    "filter stays on. How much is poured after a good drain, to stand at MAX?",
    within=0.01,
    service_l=(7.4, 5.0, 9.0, 0.2),
    filter_l=(0.45, 0.3, 0.8, 0.05),
)
def _which_capacity(service_l: float, filter_l: float) -> float:
    circuit = fm.Circuit.from_book(service_with_filter_l=service_l, filter_l=filter_l)
    poured = service_l / 2.0
    return poured - _from_max_l(circuit, [_WARM, fm.Pour(poured), fm.Run(minutes=1), _NIGHT])


@_question(
    4,
    "A",
    "Fine last night, over this morning?",
    "mm",
    "The shuttle bus was run for a minute, up to {temperature_c} degC, and read {minutes} min later. How much "
    "higher does the stick read the next morning, nothing added?",
    within=0.05,
    decimals=1,
    minutes=(1.0, 1.0, 5.0, 1.0),
    temperature_c=(20.0, 0.0, 30.0, 5.0),
)
def _overnight(minutes: float, temperature_c: float) -> float:
    run = fm.Run(minutes=1, temperature_c=temperature_c)
    return _mm(_bus(), run, _NIGHT) - _mm(_bus(), run, fm.Rest(minutes=minutes))


@_question(
    5,
    "A",
    "Over by about a quart: what now?",
    "mm",
    "The deck generator holds {quarts} US qt more than at MAX. How many mm above MAX does its stick read, and "
    "how does that compare with the 11.4 mm of its span?",
    decimals=1,
    quarts=(1.0, 0.4, 1.4, 0.05),
)
def _quart(quarts: float) -> float:
    return _mm(_generator(), fm.Pour(f"{quarts} US qt", temperature_c=20)) - _generator().max_mm


@_question(
    6,
    "A",
    "How do I take a little out, and how much is 6 mm?",
    "L",
    "The stick of the deck generator reads {over_mm} mm over MAX, on level ground, after the wait, twice. How "
    "much is withdrawn to stand at MAX?",
    decimals=3,
    over_mm=(6.0, 2.0, 12.0, 0.5),
)
def _take_out(over_mm: float) -> float:
    return float(_generator().litres_from_max(mm=_generator().max_mm + over_mm))


@_question(
    7,
    "B",
    "How much from MIN to MAX on my stick?",
    "L",
    "The sump of the deck generator is 320 mm long and 220 mm wide, its stick upright. Had it marks {apart_mm} "
    "mm apart, MAX where it is, how much would lie between them?",
    apart_mm=(11.4, 8.0, 20.0, 0.5),
)
def _span(apart_mm: float) -> float:
    return -float(_generator().litres_from_max(mm=_generator().max_mm - apart_mm))


_BOX = """
format = 1
name = "box"
[sump.box]
length = "300 mm"
width = "150 mm"
height = "200 mm"
[dipstick]
path_mm = [[0.0, 0.0, 10.0], [{x}, 0.0, {z}]]
min = "60 mm"
max = "80 mm"
[plugs.main]
at_mm = [140.0, 0.0, 0.0]
bore = "12 mm"
[fluid]
density_15c = "868 kg/m3"
kv40 = "95 mm2/s"
kv100 = "14.3 mm2/s"
"""


@_question(
    8,
    "B",
    "How many mL per mm; can I make a litre scale?",
    "mL/mm",
    "The free surface of a box sump is 300 mm by 150 mm. Its stick leans by {lean_deg} deg from the vertical. "
    "How many mL is one mm along the blade?",
    decimals=1,
    lean_deg=(30.0, 10.0, 40.0, 1.0),
)
def _ml_per_mm(lean_deg: float) -> float:
    out, up = (120.0 * part for part in _sin_cos(lean_deg))
    return float(fm.Circuit.loads(_BOX.format(x=out, z=10.0 + up)).ml_per_mm)


def _sin_cos(deg: float) -> tuple[float, float]:
    up = fm.Attitude(nose_up_deg=deg).up
    return up[0], up[2]


@_question(
    9,
    "B",
    "Half-way: add now or wait?",
    "L",
    "The shuttle bus (7.4 L with filter) was drained warm and got a new filter and {poured_l} L. After a "
    "minute's run and a minute's wait the stick stands half-way. How much can truly be added to stand at MAX, "
    "once all has come down?",
    within=0.1,
    poured_l=(6.9, 6.4, 7.1, 0.05),
)
def _room(poured_l: float) -> float:
    return -_from_max_l(_bus(), [_WARM, fm.ChangeFilter(), fm.Pour(poured_l), fm.Run(minutes=1), _NIGHT])


@_question(
    10,
    "B",
    "It uses 0.5 L/1000 km: when does it reach MIN?",
    "km",
    "The shuttle bus stands at MAX and uses {use_l} L in 1000 km. After how many km does it read MIN?",
    decimals=0,
    use_l=(0.5, 0.2, 1.2, 0.05),
)
def _reaches_min(use_l: float) -> float:
    return -float(_bus().litres_from_max(mm=_bus().min_mm)) / use_l * 1000.0


@_question(
    11,
    "C",
    "Wait 2, 5, 10, 20 or 60 min?",
    "min",
    "The shuttle bus was run for a minute, up to {temperature_c} degC. After how many minutes is less on its "
    "way back than one millimetre of the stick?",
    within=0.1,
    decimals=0,
    temperature_c=(20.0, -10.0, 90.0, 5.0),
)
def _wait(temperature_c: float) -> float:
    advice = fm.wait_advice(_bus(), [fm.Run(minutes=1, temperature_c=temperature_c)], draws=2)
    return float(advice.seconds or float("nan")) / 60.0


@_question(
    12,
    "C",
    "Hot or cold, which reads higher?",
    "L",
    "{volume_l} L of oil of 868 kg/m3 (at 15 degC) stand in a sump at 20 degC. How much larger is their volume "
    "at {hot_c} degC?",
    decimals=3,
    volume_l=(4.5, 3.0, 12.0, 0.5),
    hot_c=(90.0, 60.0, 110.0, 5.0),
)
def _expansion(volume_l: float, hot_c: float) -> float:
    oil = _oil()
    cold, hot = (oil.volume_correction(temperature_c=t) for t in (20.0, hot_c))
    return volume_l * (float(cold) / float(hot) - 1.0)


def _oil() -> fm.Fluid:
    return fm.Fluid.oil(density_15c_kg_m3=868.0, kv40_mm2_s=95.0, kv100_mm2_s=14.3)


@_question(
    13,
    "C",
    "Does -10 degC change the wait?",
    "times",
    "Oil with 95 mm2/s at 40 degC and 14.3 mm2/s at 100 degC drains back through the holes of a head. How many "
    "times as long does that take at {cold_c} degC as at 40 degC?",
    within=0.05,
    decimals=1,
    cold_c=(-10.0, -20.0, 10.0, 1.0),
)
def _cold_wait(cold_c: float) -> float:
    cold, usual = (float(_oil().kinematic_viscosity_mm2_s(temperature_c=t)) for t in (cold_c, 40.0))
    return cold / usual


@_question(
    14,
    "C",
    "Why not while running?",
    "L",
    "The head of the deck generator holds {aloft_l} L more while the engine runs. The engine runs cold (20 "
    "degC) for a minute, and stands overnight. How much more is in the sump then than while it ran?",
    within=0.08,
    aloft_l=(0.25, 0.2, 0.6, 0.01),
)
def _running(aloft_l: float) -> float:
    circuit = _generator().replace({"stores.head.running": f"{aloft_l} L"})
    rows = fm.simulate(circuit, [fm.Run(minutes=1, temperature_c=20), _NIGHT]).rows
    return rows[-1].sump_l - rows[-2].sump_l


@_question(
    15,
    "D",
    "The drive slopes 3 deg: how wrong?",
    "mm",
    "The stick of the deck generator stands upright, 100 mm behind the middle of its free surface. Nose "
    "{slope_deg} deg up, how much too high does it read?",
    decimals=1,
    slope_deg=(3.0, 1.0, 5.0, 0.1),
)
def _slope(slope_deg: float) -> float:
    some = fm.Withdraw(0.4)
    tilted = fm.Read(attitude=fm.Attitude(nose_up_deg=slope_deg))
    return _mm(_generator(), some, read=tilted) - _mm(_generator(), some)


@_question(
    16,
    "D",
    "On stands at one end: how much stays in, and which end up?",
    "L",
    "A pan has a flat floor 320 mm by 220 mm. The lower rim of its plug hole is 300 mm from the far wall. The "
    "pan stands {slope_deg} deg off level, with the plug at the high end. How much stays in?",
    slope_deg=(3.0, 1.0, 6.0, 0.1),
)
def _stands(slope_deg: float) -> float:
    pan = fm.Sump.box(length_mm=320.0, width_mm=220.0, height_mm=120.0)  # about x = y = 0, its floor at z = 0
    plug = fm.Plug(at_mm=(147.0, 0.0, 0.0), bore_mm=14.0)
    return float(pan.heel_l(plug, attitude=fm.Attitude(nose_up_deg=slope_deg)))


@_question(
    17,
    "D",
    "Engine installed at 8 deg: is the upright stick valid?",
    "mm",
    "The deck generator, whose stick stands 100 mm behind the middle of the free surface, is built in "
    "{installed_deg} deg nose-up. How much above its MAX mark would the oil stand that belongs at MAX?",
    decimals=1,
    installed_deg=(8.0, 4.0, 10.0, 0.1),
)
def _installed(installed_deg: float) -> float:
    return _generator().marks_at(fm.Attitude(nose_up_deg=installed_deg))[1] - _generator().max_mm


@_question(
    18,
    "E",
    "How much always stays, and how many changes to get old oil under 1 %?",
    "changes",
    "In the deck generator {lip_l} L stay under the lip of the plug at every drain, and a little in the head. "
    "The filter is changed, it is poured up to MAX and run. After how many changes is under 1 % of the first oil "
    "left?",
    within=0.0,
    decimals=0,
    lip_l=(0.16, 0.1, 0.9, 0.05),
)
def _changes(lip_l: float) -> float:
    circuit = _generator().replace({"plugs.main.lip": f"{lip_l} L"})
    poured = 4.3 - (lip_l - 0.16)
    events = [_WARM, fm.ChangeFilter(), fm.Pour(poured), fm.Run(minutes=10), fm.Rest(minutes=15)]
    return float(fm.old_oil(circuit, events, changes=20).changes_below(0.01) or 21)


@_question(
    19,
    "E",
    "Does suction get more out?",
    "L",
    "A tube of 6 mm bore hangs {gap_mm} mm over the flat floor, 300 mm by 220 mm, of a level pan. It draws air "
    "once the oil stands half a bore above its tip. How much stays in?",
    gap_mm=(3.0, 1.0, 8.0, 0.1),
)
def _suction(gap_mm: float) -> float:
    pan = fm.Sump.box(length_mm=300.0, width_mm=220.0, height_mm=120.0)
    tube = fm.SuctionTube(tip_mm=(0.0, 0.0, gap_mm), bore_mm=6.0, length_mm=1500.0, rise_mm=900.0, vacuum_kpa=70.0)
    return float(tube.left_l(pan))


@_question(
    20,
    "E",
    "Warm or cold, 5 min or overnight?",
    "mL",
    "2 m2 of upright walls, 300 mm high, have just been wetted with oil of {kv_mm2_s} mm2/s. How much clings "
    "to them {minutes} min later?",
    decimals=0,
    kv_mm2_s=(127.0, 14.0, 300.0, 1.0),
    minutes=(5.0, 1.0, 60.0, 1.0),
)
def _film(kv_mm2_s: float, minutes: float) -> float:
    walls = fm.WallFilm(length_mm=300.0, width_mm=2e6 / 300.0)
    clock = fm.ReducedTime().after(minutes=minutes, kinematic_viscosity_mm2_s=kv_mm2_s)
    return float(walls.volume_l(clock)) * 1e3


@_question(
    21,
    "F",
    "Prefill or not, and do I deduct it?",
    "L",
    "The new filter of the deck generator is filled with {primed_l} L before it goes on, and all of the book's "
    "figure is poured besides. How much higher does that end than the same job with the prime deducted?",
    primed_l=(0.3, 0.1, 0.3, 0.01),
)
def _prime(primed_l: float) -> float:
    end = [fm.Run(minutes=1), _NIGHT]
    primed = [_WARM, fm.ChangeFilter(primed_l=primed_l)]
    twice = _from_max_l(_generator(), [*primed, fm.Pour(4.3), *end])
    return twice - _from_max_l(_generator(), [*primed, fm.Pour(4.3 - primed_l), *end])


@_question(
    22,
    "F",
    "Bigger can: how much more?",
    "L",
    "A filter 93 mm in diameter and 95 mm long is replaced by one {longer_mm} mm long. About two thirds (0.65) "
    "of the outer cylinder is oil. How much more is poured?",
    within=0.05,
    longer_mm=(142.0, 110.0, 200.0, 1.0),
)
def _can(longer_mm: float) -> float:
    short, long = (_can_l(length) for length in (95.0, longer_mm))
    return long - short


def _can_l(length_mm: float) -> float:
    filter_ = f'[filter]\ncan = {{ diameter = "93 mm", length = "{length_mm} mm" }}\n'
    columns = fm.Circuit.loads(_BOX.format(x=0.0, z=130.0) + filter_).columns()
    at = [str(path).startswith("filter.") for path in columns["path"]].index(True)
    return float(columns["nominal"][at]) * 1e3


@_question(
    23,
    "F",
    "Filter kept: how much less? Stacked gaskets: how fast does it empty?",
    "s",
    "Two gaskets are stacked under a filter, and all the pump moves at idle, {pump_l_min} L/min, runs out. "
    "After how many seconds have {litres} L gone?",
    decimals=0,
    pump_l_min=(9.0, 6.0, 10.0, 0.5),
    litres=(4.0, 3.0, 4.2, 0.1),
)
def _gaskets(pump_l_min: float, litres: float) -> float:
    line = fm.simulate(_generator(), [fm.Leak(f"{pump_l_min} L/min", when="running"), fm.Run(seconds=6)])
    ledger = line.ledger.columns()
    last = ledger["row"] == ledger["row"].max()
    lost = float(ledger["volume_15c_l"][last & (ledger["place"] == "floor")].sum())
    return 6.0 * litres / lost


@_question(
    24,
    "G",
    "Two sides differ, clear oil, is it the right stick?",
    "mm",
    "The crankcase of the deck generator (oil of 876 kg/m3 at 15 degC) stands {pa} Pa above the tube of its "
    "upright stick. How much too high does the stick read, at 20 degC?",
    decimals=1,
    pa=(100.0, 40.0, 200.0, 5.0),
)
def _pressure(pa: float) -> float:
    return _mm(_generator(), read=fm.Read(tube_pressure_pa=pa)) - _mm(_generator())


@_question(
    25,
    "G",
    "The level rises between services: fuel, coolant or me?",
    "mm",
    "Since its service {fuel_l} L of fuel got into the deck generator's oil (70.4 mL per mm), and none was "
    "used. By how much does the stick rise?",
    within=0.05,
    decimals=1,
    fuel_l=(0.15, 0.05, 0.4, 0.01),
)
def _fuel(fuel_l: float) -> float:
    fuel = fm.Ingress("fuel", f"{fuel_l / 10.0} L/min", label="fuel")
    run = [fuel, fm.Run(minutes=10, temperature_c=20), fm.Stop("fuel"), _NIGHT]
    return _mm(_generator(), *run) - _mm(_generator(), fm.Run(minutes=10, temperature_c=20), _NIGHT)
