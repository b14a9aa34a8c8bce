"""Check a built wheel: its name, what is in it, and that it works in an empty environment.

Run as ``python tools/check_wheel.py dist``. Packaging tools only warn where a wheel is built for one Python version by
mistake, or without its bindings; here that is an error.
"""

import re
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
NAME = re.compile(r"fillmark-[0-9.]+-cp310-abi3-\w+\.whl")
NEEDED = {
    "fillmark/__init__.py",
    "fillmark/_core.pyi",
    "fillmark/bench/widget.css",
    "fillmark/bench/widget.js",
    "fillmark/py.typed",
}
SMOKE = "import fillmark as fm; assert fm.build_info()['profile'] == 'release'; print(fm.__version__, fm.__file__)"


def problems(wheel: Path) -> list[str]:
    """Return what is wrong with the name and the contents."""
    found = [] if NAME.fullmatch(wheel.name) else [f"{wheel.name} is no abi3 wheel for CPython 3.10 and newer"]
    names = set(zipfile.ZipFile(wheel).namelist())
    found += [f"{name} is missing" for name in sorted(NEEDED - names)]
    if not any(re.fullmatch(r"fillmark/_core\.(abi3\.so|pyd)", name) for name in names):
        found.append("the compiled module fillmark/_core is missing or not abi3")
    found += [f"{name} does not belong into a wheel" for name in sorted(names) if not name.startswith("fillmark")]
    return found


def smoke(wheel: Path) -> None:
    """Install the wheel and its hard dependency alone, and import it."""
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([sys.executable, "-m", "venv", folder], check=True)
        python = f"{folder}/bin/python"
        pins = ROOT / "requirements-dev.txt"
        subprocess.run([python, "-m", "pip", "install", "--quiet", "-c", str(pins), str(wheel)], check=True)
        subprocess.run([python, "-W", "error", "-I", "-c", SMOKE], check=True, cwd=folder)


def main() -> int:
    """Check every wheel in the folder given on the command line."""
    wheels = sorted(Path(sys.argv[1]).resolve().glob("*.whl"))
    found = [] if wheels else [f"no wheel in {sys.argv[1]}"]
    for wheel in wheels:
        found += problems(wheel)
    for problem in found:
        print(problem, file=sys.stderr)
    if not found:
        for wheel in wheels:
            smoke(wheel)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
