"""Every example in a docstring of the package, and every Python block of the README, runs."""

import doctest
import inspect
import re
from pathlib import Path

import fillmark as fm
import pytest

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
            for member in vars(thing):
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


def test_readme_tags_every_block():
    # An untagged block would be taken for Rust when the documentation tests run.
    opening = README.split("\n```")[1::2]
    assert all(re.match(r"\w", block) for block in opening)
