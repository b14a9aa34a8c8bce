"""Every example in a docstring of the package, and every Python block of the README, runs."""

import doctest
import inspect
import re
from pathlib import Path

import default_table
import fillmark as fm
import pytest
from fillmark import bench, lessons, plot

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def documented():
    """Yield name and docstring of the package, of what it exports and of their members."""
    yield "fillmark", fm.__doc__
    for name in fm.__all__:
        thing = getattr(fm, name)
        if isinstance(thing, str):
            continue
        yield name, inspect.getdoc(thing)
        if isinstance(thing, type):
            for member in sorted(vars(thing)):  # the order in which a compiled class lists them changes
                if not member.startswith("_") and hasattr(getattr(thing, member), "__doc__"):
                    yield f"{name}.{member}", inspect.getdoc(getattr(thing, member))


DOCS = dict(documented())


@pytest.mark.parametrize("name", DOCS)
def test_is_documented(name):
    if name.endswith((".code", ".fields")):
        return
    assert DOCS[name], f"{name} has no docstring"
    assert DOCS[name].split("\n")[0].rstrip().endswith((".", ":")), f"{name}: the first line is no sentence"


@pytest.mark.parametrize("name", [name for name, text in DOCS.items() if text and ">>>" in text])
def test_examples_run(name):
    example = doctest.DocTestParser().get_doctest(DOCS[name], {}, name, name, 0)
    said = []
    runner = doctest.DocTestRunner(optionflags=doctest.NORMALIZE_WHITESPACE | doctest.ELLIPSIS)
    runner.run(example, out=said.append)
    assert runner.summarize(verbose=False).failed == 0, "".join(said)


@pytest.mark.parametrize("name", [name for name, text in DOCS.items() if text and "Parameters\n---" in text])
def test_documented_parameters_are_the_signature(name):
    thing = fm
    for part in name.split("."):
        thing = getattr(thing, part)
    section = DOCS[name].split("Parameters\n----------\n")[1].split("\n\n")[0]
    given = [n.strip() for line in re.findall(r"^(\w[\w, ]*) :", section, re.M) for n in line.split(",")]
    assert given == [n for n in inspect.signature(thing).parameters if n not in {"self", "cls"}]


def test_readme_blocks_run_in_order():
    names = {}
    for block in re.findall(r"^```python\n(.*?)^```", README, re.M | re.S):
        exec(compile(block, "README.md", "exec"), names)


def test_readme_service_is_one():
    (text,) = re.findall(r"^```text\n(circuit: .*?)^```", README, re.M | re.S)
    service = fm.Service.loads(text)
    dip = fm.predict(fm.Circuit.demo(service.circuit), service, draws=500).reading("first dip")
    assert 0.0 < dip.fraction.mean < 1.0


def test_readme_tags_every_block():
    # An untagged block would be taken for Rust when the documentation tests run.
    opening = README.split("\n```")[1::2]
    assert all(re.match(r"\w", block) for block in opening)


CELL = re.compile(r"^```\{code-cell\}[^\n]*\n(?::[^\n]*\n)*\n*(.*?)^```", re.M | re.S)
PAGES = sorted((ROOT / "docs").rglob("*.md"))
TYPED = [page for page in PAGES if CELL.search(page.read_text(encoding="utf-8"))]


@pytest.mark.parametrize("page", TYPED, ids=[page.stem for page in TYPED])
def test_pages_run_in_order(page, tmp_path, monkeypatch):
    # `make docs` runs the pages in notebooks, shell commands and all; here only what is Python runs.
    pytest.importorskip("matplotlib").use("Agg")
    monkeypatch.chdir(tmp_path)
    names = {}
    for cell in CELL.findall(page.read_text(encoding="utf-8")):
        if not cell.startswith("!") and "IPython" not in cell and "_exit_code" not in cell:
            exec(compile(cell, page.name, "exec"), names)
    pyplot = pytest.importorskip("matplotlib.pyplot")
    pyplot.close("all")


@pytest.mark.parametrize("page", [*ROOT.glob("*.md"), *PAGES, *ROOT.glob("*/README.md")], ids=lambda page: page.name)
def test_links_inside_the_repository_lead_somewhere(page):
    text = re.sub(r"^```.*?^```", "", page.read_text(encoding="utf-8"), flags=re.M | re.S)
    for target in re.findall(r"\]\(([^)#:\s]+)(?:#[^)]*)?\)", text):
        if target.startswith("../lessons/") and page.parent.parent.name == "docs":  # copied there by `make docs`
            target = f"../../notebooks/{target.rpartition('/')[2]}"
        assert (page.parent / target).exists(), target


def test_the_reference_has_everything_that_is_exported():
    written = "".join(page.read_text(encoding="utf-8") for page in (ROOT / "docs" / "reference").glob("*.rst"))
    named = set(re.findall(r"^\.\. (?:auto\w+|py:data):: (\w+)$", written, re.M))
    assert {*fm.__all__, *plot.__all__, *bench.__all__, *lessons.__all__} <= named


def test_every_default_has_a_provenance():
    table = default_table.table()
    assert "| `reference.wait` | 600 s | judgement;" in table
    assert "| `head` | 0.033 (standard uncertainty 0.011) L |" in table  # 1 % of 3.3 L, 35 %
