"""Install the wheel and the source distribution where nothing else is, on every Python found, and use them.

Run as ``python tools/check_package.py dist``, where `dist` holds one wheel and one source distribution. For each
CPython from 3.10 on that this machine has, the wheel goes into an empty environment, where the package is imported,
asked and run as a program. The source distribution is built into a wheel by the oldest of them and installed in the
newest. A script that uses the package is then read by mypy and pyright, which see nothing but the installed wheel.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Sequence
from pathlib import Path

from check_wheel import problems

ROOT = Path(__file__).resolve().parent.parent
PINS = ROOT / "requirements-dev.txt"
CONSUMER = ROOT / "tests" / "python" / "typing" / "calls.py"
OLDEST = (3, 10)
USE = """
import pickle, sys
import fillmark as fm
assert fm.build_info()["profile"] == "release", fm.build_info()
assert not {"matplotlib", "pandas", "scipy"} & set(sys.modules)
bus = fm.Circuit.demo("shuttle-bus")
assert pickle.loads(pickle.dumps(bus)) == bus
plan = fm.plan_refill(bus, done=[fm.Drain(minutes=10), fm.ChangeFilter()], then=[fm.Run(minutes=1)], draws=500)
assert 5.0 < plan.first_pour_l < 8.0, plan
try:
    fm.Circuit.loads("format = 1\\nnam = 'x'")
except ValueError as error:
    assert "did you mean `name`?" in str(error), error
else:
    raise AssertionError("a wrong key was taken")
print(fm.__version__)
"""
SERVICE = "circuit: deck-generator\ndrain 10 min\nchange filter\npour 4 L\nrun 1 min\nread\n"


def pythons() -> list[tuple[tuple[int, int], str]]:
    """Return version and path of one CPython for each minor version that is here, the oldest first."""
    names = [sys.executable, *(shutil.which(f"python3.{minor}") or "" for minor in range(OLDEST[1], 30))]
    managed = Path(os.environ.get("PYENV_ROOT", "~/.pyenv")).expanduser()
    names += [str(path) for path in sorted(managed.glob("versions/3.*/bin/python"))]
    found: dict[tuple[int, int], str] = {}
    for name in filter(None, names):
        version = _version(name)
        if version is not None and version >= OLDEST:
            found.setdefault(version, name)
    return sorted(found.items())


def _version(python: str) -> tuple[int, int] | None:
    """Return the version of a CPython that can make environments and has a global lock; None for any other."""
    code = (
        "import sys, sysconfig, venv, ensurepip; "
        "print(sys.implementation.name, sysconfig.get_config_var('Py_GIL_DISABLED') or 0, *sys.version_info[:2])"
    )
    done = subprocess.run([python, "-I", "-c", code], capture_output=True, text=True, check=False)
    said = done.stdout.split()
    if done.returncode or said[:2] != ["cpython", "0"]:
        return None
    return int(said[2]), int(said[3])


def environment(python: str, folder: str, what: Path) -> str:
    """Make an empty environment, install one file and what it needs, return its interpreter."""
    subprocess.run([python, "-m", "venv", folder], check=True)
    inside = f"{folder}/bin/python"
    install = [inside, "-m", "pip", "--disable-pip-version-check", "install", "--quiet", "--only-binary", ":all:"]
    subprocess.run([*install, "-c", str(PINS), str(what)], check=True)
    return inside


def use(python: str, folder: str) -> None:
    """Import the installed package with warnings as errors, use it, and run its command."""
    subprocess.run([python, "-W", "error", "-I", "-c", USE], check=True, cwd=folder, stdout=subprocess.DEVNULL)
    Path(folder, "a.txt").write_text(SERVICE, encoding="utf-8")
    command = [python, "-I", "-m", "fillmark", "plan", "a.txt", "--draws", "500", "--json"]
    said = subprocess.run(command, check=True, cwd=folder, capture_output=True, text=True).stdout
    assert json.loads(said)["circuit"] == "deck-generator"


def read_by_type_checkers(python: str, folder: str) -> None:
    """Let mypy and pyright read a script that uses the installed package; both strict."""
    script = shutil.copy(CONSUMER, folder)
    Path(folder, "pyrightconfig.json").write_text(
        json.dumps({"typeCheckingMode": "strict", "reportUnnecessaryTypeIgnoreComment": "error"}), encoding="utf-8"
    )
    here = [sys.executable, "-m"]
    mypy = [*here, "mypy", "--strict", "--python-version", "3.11", "--python-executable", python, script]
    subprocess.run(mypy, check=True, cwd=folder)
    if subprocess.run([*here, "pyright", "--version"], check=False, capture_output=True, cwd=folder).returncode:
        print("SKIPPED: pyright is not here (python -m pip install pyright; it needs Node.js once)")
        return
    subprocess.run([*here, "pyright", "--project", folder, "--pythonpath", python, script], check=True, cwd=folder)


def one(found: Iterable[Path], what: str) -> Path:
    """Return the only file."""
    files = list(found)
    if len(files) != 1:
        sys.exit(f"wanted is one {what}, found are {len(files)}")
    return files[0]


def main(argv: Sequence[str]) -> int:
    """Check the two files in the folder given on the command line."""
    dist = Path(argv[1]).resolve()
    wheel, source = one(dist.glob("*.whl"), "wheel"), one(dist.glob("*.tar.gz"), "source distribution")
    here = pythons()
    print("CPython here:", ", ".join(f"{major}.{minor}" for (major, minor), _ in here))
    for (major, minor), python in here:
        with tempfile.TemporaryDirectory() as folder:
            use(environment(python, folder, wheel), folder)
        print(f"{wheel.name} installs and works on {major}.{minor}")
    oldest, newest = here[0][1], here[-1][1]
    with tempfile.TemporaryDirectory() as folder:
        read_by_type_checkers(environment(sys.executable, folder, wheel), folder)
    print("mypy --strict and pyright read a script that uses it")
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([oldest, "-m", "venv", f"{folder}/build"], check=True)
        build = [f"{folder}/build/bin/python", "-m", "pip", "--disable-pip-version-check", "wheel", "--quiet"]
        subprocess.run([*build, "--no-deps", "--wheel-dir", folder, str(source)], check=True)
        built = one(Path(folder).glob("*.whl"), "wheel")
        wrong = problems(built)
        if wrong or not re.search(r"-cp310-abi3-", built.name):
            sys.exit("\n".join(wrong))
        use(environment(newest, f"{folder}/used", built), f"{folder}/used")
    print(f"{source.name} builds on {'.'.join(map(str, here[0][0]))} and works on {'.'.join(map(str, here[-1][0]))}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv))
