"""Write requirements-dev.txt: exact versions of everything the checks, tests and notebooks use.

Run as ``python tools/lock.py python3.10 python3.11``: each interpreter resolves the extra ``dev`` of pyproject.toml in
a fresh environment. A package whose version differs gets one line for each, with a marker.
"""

import json
import subprocess
import sys
import tempfile
from pathlib import Path

import tomllib

ROOT = Path(__file__).resolve().parent.parent
HEADER = "# Written by `make lock`. Exact versions for the development environment of the Makefile.\n"


def wanted() -> list[str]:
    """Return the requirements of the extra ``dev``, with references to other extras resolved."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras: dict[str, list[str]] = project["optional-dependencies"]

    def expand(requirement: str) -> set[str]:
        if not requirement.startswith("fillmark["):
            return {requirement}
        names = requirement.removeprefix("fillmark[").removesuffix("]").split(",")
        return {r for name in names for line in extras[name] for r in expand(line)}

    return sorted({*project["dependencies"], *expand("fillmark[dev]")})


def resolve(python: str) -> tuple[tuple[int, int], dict[str, str]]:
    """Let `python` resolve the requirements; return its version and the chosen versions by package name."""
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([python, "-m", "venv", folder], check=True)
        inside = f"{folder}/bin/python"
        subprocess.run([inside, "-m", "pip", "install", "--quiet", "--upgrade", "pip"], check=True)
        report = f"{folder}/report.json"
        subprocess.run(
            [inside, "-m", "pip", "install", "--quiet", "--dry-run", "--report", report, *wanted()], check=True
        )
        content = json.loads(Path(report).read_text(encoding="utf-8"))
    major, minor, *_ = content["environment"]["python_full_version"].split(".")
    found = {i["metadata"]["name"].lower().replace("_", "-"): i["metadata"]["version"] for i in content["install"]}
    return (int(major), int(minor)), found


def lines(old: dict[str, str], new: dict[str, str], split: tuple[int, int]) -> list[str]:
    """Merge two resolutions; `split` is the first Python version that takes the second."""
    at = f"{split[0]}.{split[1]}"
    out = []
    for name in sorted({*old, *new}):
        if old.get(name) == new.get(name):
            out.append(f"{name}=={new[name]}")
            continue
        if name in old:
            out.append(f'{name}=={old[name]} ; python_version < "{at}"')
        if name in new:
            out.append(f'{name}=={new[name]} ; python_version >= "{at}"')
    return out


def main() -> None:
    """Resolve with the two interpreters named on the command line and write the file."""
    (_, old), (split, new) = sorted((resolve(python) for python in sys.argv[1:3]), key=lambda pair: pair[0])
    text = HEADER + "\n".join(lines(old, new, split)) + "\n"
    (ROOT / "requirements-dev.txt").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
