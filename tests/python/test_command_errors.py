"""Every error that a file or an option can produce, through ``python -m fillmark``: no traceback, code 2, the words.

The rows of `test_bad_input` that are a circuit's or a service's text are written to files and put to the program; rows
here add what only a file or an option can do. The last test reads the variants of the error enums from the sources and
fails for one that is neither reached here nor listed with the reason.
"""

# ruff: noqa: E501 (messages are kept whole)

import json
import struct

import error_table
import fillmark as fm
import pytest
from fillmark import __main__ as program
from services import BOX, edited
from test_bad_input import CORNERS, FACES, NO_HEEL, NO_PLUG, SHAPE, TABLE, TRUNCATED, UNCERTAIN, Reading, Serving, Text


def mesh(faces=FACES, corners=CORNERS):
    """The box circuit with its sump as a mesh."""
    listed = f"vertices_mm = {json.dumps(corners)}\nfaces = {json.dumps(faces)}".replace("NaN", "nan")
    return edited((SHAPE, f"[sump.mesh]\n{listed}"))


def turned(face):
    return FACES[face][::-1]


def table(level, volume, centroid=()):
    """The box circuit with its sump as a strapping table."""
    centroid = f"\ncentroid_mm = {centroid}" if centroid else ""
    return edited((SHAPE, f"[sump.table]\nlevel_mm = {level}\nvolume_l = {volume}{centroid}"))


def stl(faces):
    """A binary STL."""
    data = b"".join(struct.pack("<12fH", 0, 0, 0, *corners, 0) for corners in faces)
    return bytes(80) + struct.pack("<I", len(faces)) + data


def fluid(lines):
    """The box circuit with other lines about its oil."""
    oil = 'density_15c = "868 kg/m3"\nkv40 = "95 mm2/s"\nkv100 = "14.3 mm2/s"'
    return edited((oil, lines))


def pool(line):
    """A service with one event."""
    return f"circuit: box.toml\n{line}\n"


# Circuit text, service text, further arguments, code, words of the message.
OWN = [
    (BOX, None, [], "circuit.file_unreadable", ["cannot read service.txt"]),
    (None, pool("read"), [], "circuit.file_unreadable", ["cannot read box.toml"]),
    (BOX, "read", [], "command.no_circuit", ["service.txt does not say which circuit", "--circuit", "shuttle-bus"]),
    (BOX, BOX, [], "command.circuit_given", ["service.txt is a circuit"]),
    (BOX, pool("read"), ["--circuit", "bus"], "circuit.unknown_demo", ["no demo circuit `bus`", "shuttle-bus"]),
    (BOX, pool("read"), ["--draws", "0"], "estimate.option_out_of_range", ["draws = 0", "1 to 100000000"]),
    (BOX, pool("read"), ["--seed", "-1"], "estimate.option_out_of_range", ["seed = -1"]),
    (fluid('grade = "10Q-40"'), pool("read"), [], "fluid.unknown_grade", ["10Q-40"]),
    (fluid('density_15c = "700 kg/m3"\nkv40 = "95 mm2/s"\nkv100 = "14.3 mm2/s"'), pool("read"), [], "quantity.out_of_range", ["fluid.density_15c = 700 kg/m3"]),
    (fluid('density_15c = "868 kg/m3"\nkv40 = "9.5 mm2/s"\nkv100 = "14.3 mm2/s"'), pool("read"), [], "fluid.viscosity_not_falling", ["exchanged?"]),
    (fluid('density_15c = "801 kg/m3"\nkv40 = "95 mm2/s"\nkv100 = "14.3 mm2/s"'), pool("read"), [], "fluid.outside_relation", ["API MPMS 11.1, lubricating oils"]),
    (mesh(corners=[(float("nan"), 0, 0), *CORNERS[1:]]), pool("read"), [], "geometry.vertex_not_finite", ["vertex 0 is (NaN, 0, 0)"]),
    (mesh([*FACES[:-1], (1, 7, 8)]), pool("read"), [], "geometry.face_index_out_of_range", ["face 11 names vertex 8"]),
    (mesh(FACES[:3]), pool("read"), [], "geometry.face_count", ["give 4 to"]),
    (mesh([*FACES, (0, 0, 1)]), pool("read"), [], "geometry.degenerate_faces", ["face 12 at (0.000, 0.000, 0.000) mm uses one vertex twice"]),
    (mesh([*FACES, (0, 1, 7), (0, 7, 1)]), pool("read"), [], "geometry.non_manifold_mesh", ["faces meet at the edge"]),
    (mesh([turned(0), *FACES[1:]]), pool("read"), [], "geometry.inconsistent_faces", ["turn opposite ways"]),
    (mesh([(0, 1, 2), (0, 2, 1), (4, 5, 6), (4, 6, 5)]), pool("read"), [], "geometry.no_volume", ["it is flat"]),
    (mesh([*FACES, *((a + 8, b + 8, c + 8) for a, b, c in FACES)], [*CORNERS, *((x / 3 + 100, y / 3 + 60, z / 3 + 30) for x, y, z in CORNERS)]), pool("read"), [], "geometry.shell_inverted", ["flip its faces"]),
    (mesh(corners=[(1000 * x, 1000 * y, 1000 * z) for x, y, z in CORNERS]), pool("read"), [], "geometry.absurd_size", ["check the unit of the drawing"]),
    (table([0, 50, 40], [0, 3, 6]), pool("read"), [], "geometry.table_not_rising", ["row 2: level = 40 mm"]),
    (table([0], [0]), pool("read"), [], "geometry.table_too_short", ["1 given"]),
    (table([0, 100], [0, 6]), pool("tilt nose up 2 deg\nread"), [], "geometry.needs_plan_form", ["only serves level ground"]),
    (table([0, 100], [0, 6], [[0, 0]]), pool("tilt nose up 12 deg\nread"), [], "geometry.tilt_beyond_table", ["up to 10 deg: this is 12 deg"]),
    (table([0, 50, 100], [0, 3, 6], [[0, 0], [0, 0]]), pool("read"), [], "geometry.centroid_rows", ["3 rows; 2 given"]),
    (table([0, 100], [0, 6], [[0, 0], [900, 0]]), pool("tilt nose down 8 deg\nread"), [], "geometry.centroid_shifts", ["row 1", "moves 900 mm"]),
    (BOX, pool("tilt nose up 95 deg"), [], "geometry.tilt_too_large", ["95 deg"]),
    (edited(("[100, 0, 0]", "[900, 0, 0]"), NO_HEEL), pool("drain 1 min"), [], "geometry.outside_liquid", ["line 15: the plug `main` at (900.000, 0.000, 0.000) mm is 750.0 mm outside"]),
    (edited(UNCERTAIN, NO_HEEL), pool("drain 10 min\nread"), [], "estimate.uncertain_attitude", ["reference.attitude", "plugs.main.heel"]),
    (mesh(FACES[:-1]), pool("read"), [], "geometry.open_mesh", ["the surface is open"]),
    (mesh([f[::-1] for f in FACES]), pool("read"), [], "geometry.inside_out", ["inside out"]),
    (edited(('"0.2 L"', '"0.2 litters"')), pool("read"), [], "circuit.bad_value", ["unknown unit", "plugs.main.heel"]),
    (BOX, pool("pour 1 qt"), [], "service.bad_text", ["US qt", "line 2"]),
    (BOX, pool("pour 6,9 L"), [], "service.bad_text", ["comma", "6.9 L"]),
    (BOX, pool("drian 10 min"), [], "service.unknown_word", ["did you mean `drain`?"]),
    (edited(NO_PLUG), pool("drain 10 min"), [], "service.impossible", ["event 1 of 1: drain 10 min"]),
    (BOX, pool("drain 10 min\npour 9 L"), [], "service.pour_beyond_ullage", ["more than the ullage", "event 2 of 2: pour 9 L"]),
]  # fmt: skip
# What an STL file holds beside its circuit, code, words of the message.
DRAWINGS = [
    (TRUNCATED, "geometry.stl_length", ["12 faces, which takes 684 bytes, but there are 159"]),
    (b"PK", "geometry.stl_unrecognised", ["not an STL: 2 bytes"]),
    (
        b"solid pan\nfacet normal 0 0 1\nouter lop\n",
        "geometry.stl_syntax",
        ['text STL, line 3: expected `loop`, found "lop"'],
    ),
    (stl([(float("inf"), 0, 0, 1, 0, 0, 0, 1, 0)] * 4), "geometry.stl_coordinate", ["corner 0 of face 0", "inf"]),
]
PLANS = [
    (BOX, pool("drain 10 min\npour 1 L\nrun 1 min\npour 1 L"), [], "estimate.pour_in_plan", ["event 4 of 4: pour 1 L"]),
    (
        BOX,
        pool("drain 10 min\npour 1 L\nclose plug"),
        [],
        "service.impossible",
        ["then[0]", "event 3 of 3: close plug"],
    ),
    (BOX, pool("open plug\nrest 5 min\npour 1 L"), [], "estimate.plug_open_in_plan", ["ClosePlug first"]),
    (BOX, pool("close plug\npour 1 L"), [], "service.impossible", ["done[0]", "event 1 of 2: close plug"]),
    (BOX, pool("pour 1 L, standing nose up 3 deg"), [], "command.attitude_of_pour", ["say `tilt` before it"]),
    (BOX, pool("pour 1 L"), ["--jug-step", "0.1"], "quantity.missing_unit", ["0.1 L"]),
    (BOX, pool("pour 1 L"), ["--jug-step", "0,1 L"], "quantity.decimal_comma", ["write 0.1 L"]),
    (BOX, pool("pour 1 L"), ["--jug-step", "1 qt"], "quantity.ambiguous_unit", ["US qt", "imp qt"]),
    (BOX, pool("pour 1 L"), ["--jug-step", "1 kg"], "quantity.wrong_dimension", ["a volume is wanted"]),
    (BOX, pool("pour 1 L"), ["--jug-step", "1 litter"], "quantity.unknown_unit", ["unknown unit"]),
    (BOX, pool("pour 1 L"), ["--jug-step", "some L"], "quantity.not_a_number", ["no number"]),
    (BOX, pool("pour 1 L"), ["--jug-step", "0 L"], "estimate.option_out_of_range", ["jug_step_l = 0"]),
    (BOX, pool("pour 1 L"), ["--jug-step", "nan L"], "quantity.not_finite", ["jug_step_l must be finite"]),
    (edited(('"0.2 L"', '"0.2 ± 0.1 L"')), pool("read"), [], "circuit.bad_value", ["± without k"]),
    (edited(('"0.2 L"', '"normal(0.2) L"')), pool("read"), [], "circuit.bad_value", ["accepted: 4.2 L, 0.35(5) L"]),
    (edited(('"0.2 L"', '"0.4 .. 0.2 L"')), pool("read"), [], "circuit.bad_value", ["plugs.main.heel"]),
    (BOX, pool("pour 1 L"), ["--risk-over-max", "0.9"], "estimate.option_out_of_range", ["0.0001 to 0.5"]),
    (
        edited(('name = "box"', 'name = "box"\njudgement = ["plugs"]'), ('"0.2 L"', '"0.20(5) L"')),
        pool("drain 10 min\npour 1 L"),
        ["--risk-over-max", "0.005"],
        "estimate.risk_rests_on_judgement",
        ["measure plugs.main.heel"],
    ),
    (BOX, pool("pour 1 L"), ["--risk-over-max", "nan"], "estimate.option_out_of_range", ["risk_over_max = NaN"]),
    (BOX, pool("pour 1 L"), ["--draws", "199"], "estimate.too_few_draws", ["accepted: 200 draws or more"]),
]
RECORD = """\
format = 1
circuit = "box.toml"
complaint = "reads_over"
events = ["drain 10 min", "change filter", "pour 3.4 L with jug", "run 2 min", "rest 20 min"]

[[readings]]
mm = "58 mm"
"""
SEEN = '[[readings]]\nmm = "58 mm"\n'


def told(*changes):
    """The record with passages replaced."""
    text = RECORD
    for old, new in changes:
        assert text.count(old) == 1
        text = text.replace(old, new)
    return text


EXPLAINS = [
    (BOX, None, [], "circuit.file_unreadable", ["cannot read service.txt"]),
    (BOX, told(('circuit = "box.toml"\n', "")), [], "command.no_circuit", ["does not say which circuit"]),
    (BOX, told(("complaint", "complain")), [], "circuit.unknown_key", ["did you mean `complaint`?"]),
    (BOX, told((SEEN, "")), [], "explain.nothing_seen", ["at least one"]),
    (BOX, told(('mm = "58 mm"', 'mm = "58 mm"\nfraction = 1')), [], "explain.bad_reading", ["readings[0]"]),
    (BOX, told((SEEN, f'{SEEN}[measured]\ndrained = "-1 L"\n')), [], "explain.bad_observation", ["-1"]),
    (BOX, told(('"58 mm"', '"40 mm"')), [], "explain.contradiction", ["no reading lies above MAX"]),
    (BOX, told(("run 2 min", "fit filter")), [], "explain.impossible_events", ["events[3] FitFilter", "RemoveFilter first"]),
    (BOX, told((SEEN, f"{SEEN}[priors]\nscater = 1\n")), [], "explain.unknown_cause", ["scater", "the causes are"]),
    (BOX, told((SEEN, f'{SEEN}[priors]\n"poor drain" = -1\n')), [], "explain.bad_prior", ["finite weight"]),
    (BOX, RECORD, ["--particles", "1"], "explain.option_out_of_range", ["particles = 1"]),
    (BOX, RECORD, ["--replicates", "1"], "explain.option_out_of_range", ["replicates = 1"]),
    (BOX, RECORD, ["--card", "no folder/card.html", "--particles", "16", "--replicates", "2"], "command.card_unwritable", ["cannot write"]),
]  # fmt: skip
FROM_TABLE = [
    (call, code, message) for call, _, code, _, message in TABLE if isinstance(call, Reading | Serving | Text)
]

JOBS = {"predict": OWN, "plan": PLANS, "explain": EXPLAINS}


@pytest.fixture
def put(tmp_path, monkeypatch, capsys):
    """Write the files, put them to the program; return exit code, error as JSON and what it said."""
    monkeypatch.chdir(tmp_path)

    def call(job, circuit, service, *argv):
        for name, text in (("box.toml", circuit), ("service.txt", service)):
            if text is not None:
                tmp_path.joinpath(name).write_text(text, encoding="utf-8")
        code = program.main([job, "service.txt", *argv, "--json"])
        said = capsys.readouterr()
        assert "Traceback" not in said.out + said.err
        return code, json.loads(said.out)["error"], said.err

    return call


@pytest.mark.parametrize(
    ("job", "case"), [(job, case) for job, cases in JOBS.items() for case in cases],
    ids=[f"{job}-{case[3]}-{i}" for job, cases in JOBS.items() for i, case in enumerate(cases)],
)  # fmt: skip
def test_refused(put, job, case):
    circuit, service, argv, code, words = case
    left, error, said = put(job, circuit, service, *argv)
    assert (left, error["code"]) == (2, code)
    assert said == f"fillmark: {error['message']}\n"
    assert all(word in said for word in words), said


@pytest.mark.parametrize(("data", "code", "words"), DRAWINGS, ids=[case[1] for case in DRAWINGS])
def test_a_drawing_is_refused(put, tmp_path, data, code, words):
    (tmp_path / "pan.stl").write_bytes(data)
    left, error, said = put("predict", edited((SHAPE, '[sump.stl]\nfile = "pan.stl"')), pool("read"))
    assert (left, error["code"]) == (2, code)
    assert all(word in said for word in ["fillmark: box.toml: ", *words]), said


@pytest.mark.parametrize(("call", "code", "message"), FROM_TABLE, ids=[m[-1][:40] for m in FROM_TABLE])
def test_the_catalogue_reads_the_same_from_a_file(put, call, code, message):
    if isinstance(call, Reading):
        circuit, service = call.text, "circuit: box.toml"
    elif isinstance(call, Text):
        circuit, service = BOX, call.text
    else:
        events = fm.Service(call.events, circuit="box.toml")
        circuit, service = call.circuit, events.to_toml()
    left, error, said = put("predict", circuit, service)
    assert left == 2
    assert error["code"] == code
    assert message.partition(": it is not among `files`")[0] in said  # a file is looked for beside the circuit instead
    if isinstance(call, Reading):  # the file is named
        assert said.startswith("fillmark: box.toml: ")
    if isinstance(call, Text):
        assert said.startswith("fillmark: service.txt: ")
    if isinstance(call, Serving) and "event" in error["fields"]:
        event = call.events[error["fields"]["event"]]
        assert said.endswith(f": {event}\n")


# Domains that no job of the command asks.
NO_JOB = {"learn"}
# What no file that `plan` or `predict` reads can bring about, by the reason.
NOT_FROM_A_FILE = {
    "another function, or an argument that files do not have": """
        estimate.plug_open estimate.run_in_plan circuit.off_blade circuit.part_missing circuit.unknown_path
        circuit.unknown_store_kind service.no_such_row
        service.unknown_label service.wrong_start fluid.basis_not_named fluid.fractions_not_one fluid.never_empties
        fluid.no_viscosity fluid.not_a_percentage fluid.not_an_oil fluid.pump_too_weak fluid.same_temperature
        fluid.table_not_increasing fluid.table_too_short geometry.beyond_reach geometry.displacer_outside
        geometry.displacer_touches geometry.floor_above_top geometry.floor_shape geometry.level_outside
        geometry.element geometry.no_plan_form geometry.no_such_basin geometry.not_upright geometry.outline_crosses geometry.pool_outside
        geometry.pools_overlap geometry.section_mismatch geometry.section_reversed geometry.sections_not_rising
        geometry.too_few_sections geometry.volume_above_capacity geometry.volume_below
        """,
    "a model, a hypothesis or a table of one's own": """
        estimate.correlation_of_exact estimate.correlation_out_of_range estimate.draws_not_balanced
        estimate.impossible_correlations estimate.no_inputs estimate.no_results estimate.no_variance
        estimate.repeated_correlation estimate.repeated_input estimate.result_not_finite estimate.too_many_dimensions
        estimate.unknown_input estimate.unknown_result estimate.wrong_length explain.bad_hypothesis explain.bad_column
        """,
    "forwards to another error, with the code of that": "fluid.quantity geometry.quantity service.in_list",
    "a file's line and key go with it, as circuit.bad_value or service.bad_text": """
        quantity.invalid_distribution quantity.missing_coverage_factor quantity.unknown_form
        """,
    "Ctrl-C says `stopped`": "estimate.stopped explain.stopped",
    "liquid that lies apart and cannot be followed, which no circuit is known to cause": "service.pools",
}


def test_every_variant_is_reached_or_has_a_reason():
    reached = (
        {case[3] for cases in JOBS.values() for case in cases}
        | {case[1] for case in DRAWINGS}
        | {code for _, code, _ in FROM_TABLE}
    )
    sources = [(domain, source) for domain, source in error_table.domains() if domain not in NO_JOB]
    known = {v.code for domain, source in sources for v in error_table.variants(domain, source)}
    assert known - reached == {code for codes in NOT_FROM_A_FILE.values() for code in codes.split()}


def test_every_class_is_reached():
    reached = {case[3].partition(".")[0] for cases in JOBS.values() for case in cases}
    assert reached >= {"circuit", "service", "estimate", "quantity", "geometry", "fluid", "explain"}
