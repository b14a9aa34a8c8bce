"""The package as installed."""

import importlib.resources
import subprocess
import sys

import fillmark as fm
import pytest


def test_all_is_sorted_and_real():
    assert sorted(fm.__all__) == fm.__all__
    assert all(hasattr(fm, name) for name in fm.__all__)


def test_everything_compiled_is_exported():
    # A name with an underscore is for timings only.
    assert {name for name in fm._core.__all__ if not name.startswith("_")} <= set(fm.__all__)


def test_build_info():
    info = fm.build_info()
    assert info["version"] == fm.__version__
    assert info["profile"] in {"release", "debug"}
    assert "abi3" in info["features"]


def test_is_typed():
    assert importlib.resources.files("fillmark").joinpath("py.typed").is_file()


def test_import_brings_in_no_optional_package():
    code = (
        "import sys, fillmark; "
        "heavy = {'matplotlib', 'pandas', 'polars', 'pyarrow', 'scipy', 'IPython', 'anywidget', 'pint'}; "
        "print(sorted(heavy & set(sys.modules)))"
    )
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert said.strip() == "[]"


@pytest.mark.skipif(fm.build_info()["profile"] == "debug", reason="a debug build warns, which is its own test")
def test_a_release_build_does_not_warn_at_import():
    subprocess.run([sys.executable, "-W", "error", "-c", "import fillmark"], check=True)
