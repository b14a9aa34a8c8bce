"""``python -m fillmark``: the page, the JSON and the picture say what the plan says."""

import json
import struct
import subprocess
import sys

import fillmark as fm
import pytest
from fillmark import __main__ as program
from fillmark import _first_refill

PICTURE = ("out", "first-refill.png")


@pytest.fixture(scope="module")
def found():
    return _first_refill.refills()


@pytest.fixture
def run(tmp_path, monkeypatch, capsys, found):
    """Run the program in an empty folder; the plans are made once for all tests."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(_first_refill, "refills", lambda: found)

    def call(*argv):
        code = program.main(list(argv))
        said = capsys.readouterr()
        return code, said.out, said.err

    return call


def test_every_demo_that_drains_and_has_a_book_figure_is_served(found):
    assert [refill.name for refill in found] == [n for n in fm.demos() if n != "winch-gearbox"]


def test_the_page_holds_every_number(run, found):
    code, page, _ = run()
    assert code == 0
    assert max(map(len, page.splitlines())) <= 100
    assert "if the stated uncertainties are right" in page
    for refill in found:
        plan = refill.plan
        section = page.split(f"{refill.name}: invented for teaching")[1].split("\n\n")[0]
        assert f"{refill.book_l:.2f} L" in section
        assert f"{plan.first_pour_l:.2f} L" in section
        assert f"{plan.residue_l.mean:.2f} L" in section
        assert f"{100.0 * plan.probability_over_max:.1f} % of draws" in section
        assert f"{plan.ml_per_mm:.0f} mL per mm" in section
        for reading, label in zip(
            plan.readings, ("before start", _first_refill.EARLY, _first_refill.LATE), strict=True
        ):
            (line,) = [line for line in section.splitlines() if line.strip().startswith(label)]
            low, high = reading.mm.interval(0.95)
            assert [f"{x:.1f}" for x in (reading.mm.mean, low, high)] == line[len(label) + 4 :].replace(
                "to", ""
            ).split()[:3]


def test_cautions_come_once_and_last(run, found):
    _, page, _ = run()
    cautions = page.split("Cautions\n")[1].split("\n\n")[0]
    assert cautions.count("Hot oil burns") == page.count("Hot oil burns") == 1
    for caution in found[0].plan.cautions:
        assert caution in " ".join(cautions.split())


def test_what_the_trade_knows(found):
    # Common practice, no source: some oil always stays; the new filter fills from the sump at the first run, so the
    # stick then reads lower by about its volume and more by what is still aloft; later it reads higher again.
    for refill in found:
        before, early, late = (reading.mm.mean for reading in refill.plan.readings)
        filter_l = fm.Uncertain(refill.plan.circuit["filter.net_volume"]).nominal
        assert refill.plan.residue_l.quantile(0.0) > 0.0
        assert (before - early) * refill.plan.ml_per_mm / 1e3 > filter_l
        assert early < late < before
        assert refill.plan.probability_over_max <= 0.05 < refill.book_over_max


def test_json_holds_the_same_numbers(run, found):
    code, text, said = run("--json")
    told = json.loads(text)
    assert code == 0
    assert told["picture"] == "/".join(PICTURE)
    assert "first-refill.png" in said
    for numbers, refill in zip(told["circuits"], found, strict=True):
        plan = refill.plan
        assert numbers["name"] == refill.name
        assert numbers["invented"] is True
        assert numbers["first_pour_l"] == pytest.approx(plan.first_pour_l, abs=1e-9)
        assert numbers["book_service_with_filter_l"] == refill.book_l
        assert numbers["probability_over_max"] == plan.probability_over_max
        assert numbers["residue_l"]["interval_95"] == list(plan.residue_l.interval(0.95))
        for said, reading in zip(numbers["readings"], plan.readings, strict=True):
            assert said["label"] == reading.label
            assert said["mm"]["mean"] == reading.mm.mean
            assert said["mm"]["interval_95"] == list(reading.mm.interval(0.95))
            assert said["fraction"]["standard_uncertainty"] == reading.fraction.standard_uncertainty
    assert told["cautions"] == found[0].plan.cautions


def test_the_picture_is_a_png_wide_enough_to_read(run, tmp_path):
    pytest.importorskip("matplotlib")
    _, page, _ = run()
    assert page.endswith("Picture: out/first-refill.png\n")
    data = tmp_path.joinpath(*PICTURE).read_bytes()
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    width, height = struct.unpack(">II", data[16:24])  # the header chunk of ISO/IEC 15948
    assert width == 1200
    assert 600 <= height <= 3000
    assert 30_000 < len(data) < 1_000_000


def test_without_matplotlib_the_numbers_still_come(run, tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    code, page, _ = run()
    assert code == 0
    assert "first pour" in page
    assert "No picture: pictures need matplotlib; install it with: python -m pip install 'matplotlib>=3.7'" in page
    assert not (tmp_path / "out").exists()


def test_a_picture_that_cannot_be_written_is_an_error(run, tmp_path):
    pytest.importorskip("matplotlib")
    (tmp_path / "out").write_text("a file where the folder should be")
    code, page, said = run()
    assert code == 1
    assert "first pour" in page
    assert "out/first-refill.png cannot be written" in said


def test_an_unknown_argument_leaves_with_2(run, capsys):
    with pytest.raises(SystemExit) as left:
        run("--jsno")
    assert left.value.code == 2
    assert "unrecognized arguments: --jsno" in capsys.readouterr().err


def test_as_a_program():
    done = subprocess.run([sys.executable, "-m", "fillmark", "--help"], capture_output=True, text=True, timeout=60)
    assert done.returncode == 0
    assert "--json" in done.stdout


def test_a_picture_that_breaks_off_leaves_the_one_before(found, tmp_path, monkeypatch):
    figure = pytest.importorskip("matplotlib.figure").Figure

    def break_off(self, path, **_):
        path.write_bytes(b"half")
        raise OSError("no space left")

    picture = tmp_path / "first.png"
    picture.write_bytes(b"before")
    monkeypatch.setattr(figure, "savefig", break_off)
    with pytest.raises(OSError, match="no space left"):
        _first_refill.draw(found, picture)
    assert [(p.name, p.read_bytes()) for p in tmp_path.iterdir()] == [("first.png", b"before")]
