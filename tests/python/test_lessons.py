"""The numbers of the lessons and exercises, each against a calculation that owes nothing to the core.

"By hand" is the formula of the source named, worked out here with the circuit's stated figures.
"""

import json
import math
import re
from itertools import pairwise
from pathlib import Path

import fillmark as fm
import numpy as np
import pytest
from fillmark import lessons
from fillmark.lessons import QUESTIONS, ExerciseBook
from scipy.integrate import quad
from scipy.optimize import brentq

ROOT = Path(__file__).resolve().parents[2]
NOTEBOOKS = ROOT / "notebooks"
README = (NOTEBOOKS / "README.md").read_text(encoding="utf-8")

G = 9.80665
QUART_ML = 946.352946  # 231 cubic inches of 2.54 cm over 4, exact (NIST Handbook 44, appendix C)
GENERATOR_ML_PER_MM = 320.0 * 220.0 / 1e3  # length times width of the drawing, upright stick
BUS_POOLS = ((0.33, 12.0), (0.10, 90.0))  # L, s: head (running less film) and cooler of the circuit's file
BUS_FILM = 0.12  # L


def walther(t, kv40=95.0, kv100=14.3):
    """Kinematic viscosity [mm2/s] by ASTM D341: log10 log10(nu + 0.7) is a straight line over log10 T."""
    w = [math.log10(math.log10(nu + 0.7)) for nu in (kv40, kv100)]
    x = [math.log10(273.15 + at) for at in (40.0, 100.0)]
    slope = (w[1] - w[0]) / (x[1] - x[0])
    return 10.0 ** (10.0 ** (w[0] + slope * (math.log10(273.15 + t) - x[0]))) - 0.7


def vcf(t, density_15c):
    """Volume correction for lubricating oils (API MPMS 11.1, from 15 degC; alpha_15 = 0.6278 / rho_15 per degC)."""
    a_dt = 0.6278 / density_15c * (t - 15.0)
    return math.exp(-a_dt * (1.0 + 0.8 * a_dt))


def on_its_way_l(seconds, ended_c):
    """Litres of the bus's hold-up still aloft so long after a run (docs/model.md, written out anew).

    Pools leave through holes with a time 1 s + tau nu/(100 mm2/s), a film thins as one over the root of reduced time in
    units of 60 s nu/(100 mm2/s); the bus comes to 20 degC with a time constant of 40 min.
    """

    def thick(t):
        return walther(20.0 + (ended_c - 20.0) * math.exp(-t / 2400.0)) / 100.0

    def total(rate):
        edges = np.concatenate([[0.0], np.geomspace(1.0, max(seconds, 2.0), 12)])
        return sum(quad(rate, a, b)[0] for a, b in pairwise(edges) if b <= max(seconds, 2.0) + 1e-9)

    pools = sum(v * math.exp(-total(lambda t, tau=tau: 1.0 / (1.0 + tau * thick(t)))) for v, tau in BUS_POOLS)
    return pools + BUS_FILM / math.sqrt(1.0 + total(lambda t: 1.0 / (60.0 * thick(t))))


def bus_mm(litres):
    """Millimetres of the bus's leaning stick for a few litres near MAX: 15.6 mm of span are 1.49 L."""
    return litres * 15.6 / 1.4908


def overnight_mm(minutes, temperature_c):
    # What comes down, less what the oil shrinks or swells by on its way to 20 degC; 7 L in the sump.
    comes = on_its_way_l(60.0 * minutes, temperature_c) - on_its_way_l(43200.0, temperature_c)
    at_reading = 20.0 + (temperature_c - 20.0) * math.exp(-minutes / 40.0)
    swells = 7.0 * (vcf(at_reading, 868.0) / vcf(20.0, 868.0) - 1.0)
    return (comes + swells) * 1e3 / 97.3  # mL per mm between the readings, Green's theorem in lesson 05: 99 upright


def wait_minutes(temperature_c):
    def more_than_a_millimetre(seconds):
        return on_its_way_l(seconds, temperature_c) - 0.097

    return brentq(more_than_a_millimetre, 2.0, 86400.0, xtol=0.1) / 60.0


def generator_film_l(*stages):
    """What is left of the generator's film of 0.08 L after stages of seconds at a temperature (docs/model.md)."""
    age = sum(seconds / (60.0 * walther(t, 104.0, 14.1) / 100.0) for seconds, t in stages)
    return 0.08 / math.sqrt(1.0 + age)


NIGHT_FILM_L = generator_film_l((43200.0, 20.0))


def first_run_l(filter_l):
    # Before the run the film had drained for the 10 min of the marks and 10 min of draining; after it, for a night.
    return filter_l + NIGHT_FILM_L - generator_film_l((600.0, 20.0), (600.0, 60.0))


# By number: the hand calculation, its relative tolerance, its source.
BY_HAND = {
    1: (lambda dry_l: dry_l - 7.4, 0.09, "difference of the two figures of the sheet; the drain leaves 0.02 L less"),
    2: (first_run_l, 0.015, "the filter's stated volume; film by docs/model.md, but for its cooling (2 mL)"),
    3: (lambda service_l, filter_l: service_l - filter_l, 0.006, "less the filter (common practice, no source)"),
    4: (overnight_mm, 0.06, "docs/model.md by quadrature; ASTM D341; API MPMS 11.1"),
    5: (lambda quarts: quarts * QUART_ML / GENERATOR_ML_PER_MM, 1e-3, "US quart, exact, over length times width"),
    6: (lambda over_mm: over_mm * GENERATOR_ML_PER_MM / 1e3, 1e-6, "length times width"),
    7: (lambda apart_mm: apart_mm * GENERATOR_ML_PER_MM / 1e3, 1e-6, "length times width"),
    8: (lambda lean_deg: 45.0 * math.cos(math.radians(lean_deg)), 1e-6, "area times the cosine of the lean"),
    9: (lambda poured_l: 7.4 - poured_l, 0.09, "service capacity less the pour; the drain leaves 0.02 L less"),
    10: (lambda use_l: 1.5 / use_l * 1000.0, 0.015, "span of the sheet over the rate"),
    11: (wait_minutes, 0.03, "docs/model.md by quadrature; ASTM D341"),
    12: (lambda volume_l, hot_c: volume_l * (vcf(20.0, 868.0) / vcf(hot_c, 868.0) - 1.0), 2e-3, "API MPMS 11.1"),
    13: (lambda cold_c: walther(cold_c) / walther(40.0), 5e-3, "ASTM D341"),
    14: (lambda aloft_l: aloft_l - NIGHT_FILM_L, 1e-3, "the store's stated hold-up, less the night's film"),
    15: (lambda slope_deg: 100.0 * math.tan(math.radians(slope_deg)), 1e-6, "lever arm times the tangent"),
    16: (lambda slope_deg: 0.5 * 3.0**2 * 2.2 * math.tan(math.radians(slope_deg)), 1e-6, "wedge, triangle times width"),
    17: (lambda installed_deg: 100.0 * math.tan(math.radians(installed_deg)), 1e-6, "lever arm times the tangent"),
    19: (lambda gap_mm: 0.3 * 0.22 * (gap_mm + 3.0), 1e-6, "floor times the height at which it draws air"),
    20: (
        lambda kv_mm2_s, minutes: 2.0 * 2.0 / 3.0 * math.sqrt(kv_mm2_s * 1e-6 * 0.3 / (G * 60.0 * minutes)) * 1e6,
        1e-3,
        "Jeffreys 1930: h = sqrt(nu z / g t), mean two thirds of that at the lower edge",
    ),
    21: (lambda primed_l: primed_l, 1e-6, "a prime is part of the pour, never extra (common practice, no source)"),
    22: (lambda longer_mm: 0.65 * math.pi / 4.0 * 0.93**2 * (longer_mm - 95.0) / 100.0, 1e-6, "0.65 of the cylinder"),
    23: (lambda pump_l_min, litres: litres / pump_l_min * 60.0, 1e-6, "volume over flow"),
    24: (lambda pa: pa / (876.0 * vcf(20.0, 876.0) * G) * 1e3, 1e-3, "hydrostatics: p / rho g, upright stick"),
    25: (lambda fuel_l: fuel_l * 1e3 / GENERATOR_ML_PER_MM, 0.01, "volume over length times width"),
}  # fmt: skip


def by_hand_changes(lip_l):
    """18: each change leaves the same share, what stays over what is in (well mixed)."""
    stays = lip_l + 0.03 + 0.02  # lip, what the head keeps, about 20 mL of film
    held = 4.3 + 0.21  # after the service: the sheet's figure, and what a nominal drain leaves
    return math.log(0.01) / math.log(stays / held)


TRAINEES = (0, 1, 2, 17, 4711)


@pytest.mark.parametrize("number", sorted(BY_HAND))
def test_answers_are_those_worked_out_by_hand(number):
    formula, rtol, source = BY_HAND[number]
    question = QUESTIONS[number]
    for trainee in TRAINEES:
        figures = question.figures(trainee)
        answer, hand = question.answer(figures), formula(**figures)
        print(number, trainee, figures, answer, hand, source)
        np.testing.assert_allclose(answer, hand, rtol=rtol, atol=0.1 * 10.0**-question.decimals if number == 4 else 0.0)
        # Who works it out by hand is told so.
        assert ExerciseBook(trainee).check(number, hand).right


def test_number_of_changes_by_hand():
    question = QUESTIONS[18]
    for trainee in range(40):
        figures = question.figures(trainee)
        exact = by_hand_changes(**figures)
        if abs(exact - round(exact)) > 0.05:  # the 20 mL of film are rounded
            assert question.answer(figures) == math.ceil(exact), figures


def test_every_question_has_an_exercise_and_a_check():
    assert sorted(QUESTIONS) == list(range(1, 26))
    assert sorted([*BY_HAND, 18]) == list(range(1, 26))
    assert {q.lesson for q in QUESTIONS.values()} == set("ABCDEFG")


def test_trainees_get_other_figures():
    books = [tuple(str(QUESTIONS[n].figures(t)) for n in sorted(QUESTIONS)) for t in range(200)]
    assert len(set(books)) == 200
    for question in QUESTIONS.values():
        assert all(question.figures(t) != question.figures(0) for t in range(1, 50))
        for figures in (question.figures(t) for t in range(1, 50)):
            assert all(low <= figures[name] <= high for name, (_, low, high, _) in question.ranges.items())
    assert QUESTIONS[5].figures(17) == QUESTIONS[5].figures(17)


def test_the_book_tells_the_way_and_never_the_answer():
    book = ExerciseBook(3)
    true = QUESTIONS[6].answer(QUESTIONS[6].figures(3))
    said = [book.check(6, x).words for x in (..., true, true * 1.2, true * 0.8, true * 1e3, -true)]
    assert said == [
        "Still empty.",
        "Right.",
        "Not yet: too high.",
        "Not yet: too low.",
        "The digits are right: look at the unit, by a factor of 1000.",
        "The size is right, the sign is not.",
    ]
    digits = f"{true:.3f}"
    assert not any(digits in words for words in said)
    assert digits not in book.ask(6)
    assert book.score() == "0 right, 1 wrong, 24 open of 25"
    assert book.check(6, np.float64(true)).right
    assert book.score() == "1 right, 0 wrong, 24 open of 25"


def test_the_key_answers_every_book():
    columns = lessons.key([5, 6])
    assert len(columns["answer"]) == 50
    for trainee, number, answer in zip(columns["trainee"], columns["question"], columns["answer"], strict=True):
        assert ExerciseBook(trainee).check(number, float(answer)).right, (trainee, number, answer)


@pytest.mark.parametrize("trainee", [-1, 1.0, True, "7", 10**9 + 1])
def test_a_trainee_is_a_whole_number(trainee):
    with pytest.raises(fm.QuantityError, match="whole number"):
        ExerciseBook(trainee)


def test_refusals():
    book = ExerciseBook(1)
    for number in (0, 26, True, "1"):
        with pytest.raises(fm.QuantityError, match=r"question = .* is outside \[1, 25\]"):
            book.ask(number)
    for answer in ("0.4", float("nan"), True, [0.4]):
        with pytest.raises(fm.QuantityError, match=r"answer 6 = .* is no finite number"):
            book.check(6, answer)


def table():
    """Rows of the table of the twenty-five questions in notebooks/README.md, by number."""
    rows = re.findall(r"^\| (\d+) [^|]*\| \[([A-G])\]\(([^)]+)\) \| ([\d.]+) ([^ |]+)[^|]*\| ([^|]+) \|$", README, re.M)
    return {int(row[0]): row[1:] for row in rows}


def test_the_table_of_the_readme_is_what_the_core_says():
    rows = table()
    assert sorted(rows) == list(range(1, 26))
    for number, (letter, lesson, value, unit, _) in rows.items():
        question = QUESTIONS[number]
        assert (letter, unit) == (question.lesson, question.unit)
        assert (NOTEBOOKS / lesson).is_file()
        assert value == f"{question.answer(question.figures()):.{question.decimals}f}", number


def test_no_notebook_holds_an_answer_beside_a_blank():
    text = (NOTEBOOKS / "exercises.ipynb").read_text(encoding="utf-8")
    cells = ["".join(cell["source"]) for cell in json.loads(text)["cells"] if cell["cell_type"] == "code"]
    blanks = re.findall(r"^check\((\d+), \.\.\.\)$", "\n".join(cells), re.M)
    assert sorted(map(int, blanks)) == list(range(1, 26))


LESSONS = sorted({row[1] for row in table().values()})


@pytest.mark.parametrize("lesson", LESSONS)
def test_a_lesson_has_all_its_parts(lesson):
    cells = json.loads((NOTEBOOKS / lesson).read_text(encoding="utf-8"))["cells"]
    prose = "\n".join("".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown")
    for part in ("Guess first", "The number to take away", "What would break it", "Cautions"):
        assert f"## {part}" in prose, part
    code = [cell for cell in cells if cell["cell_type"] == "code"]
    assert any("assert" in "".join(cell["source"]) for cell in code)
    assert any("image/png" in output.get("data", {}) for cell in code for output in cell["outputs"])
    for number, row in table().items():
        if row[1] == lesson:
            assert re.search(rf"\b{number}\. ", prose), f"question {number} is not in {lesson}"


def test_ones_own_circuit_takes_under_thirty_lines():
    cells = json.loads((NOTEBOOKS / "10_your_own_circuit.ipynb").read_text(encoding="utf-8"))["cells"]
    code = "\n".join("".join(cell["source"]) for cell in cells if cell["cell_type"] == "code")
    lines = [line for line in code.split("\n") if line.strip()]
    assert "from_book" in code
    assert len(lines) < 30, len(lines)
