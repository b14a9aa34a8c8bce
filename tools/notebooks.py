"""Execute every notebook of a folder; any failing cell fails the run.

Run as ``python tools/notebooks.py notebooks --out out/notebooks``. The notebooks are left as they are; executed copies
go to the folder given with ``--out``, and a notebook that printed something else than it holds is named. With
``--write`` what was printed and drawn goes into the notebooks themselves.
"""

import argparse
import os
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import nbformat
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError, CellTimeoutError, DeadKernelError


def printed(notebook: nbformat.NotebookNode) -> list[str]:
    """Return the text that stands in the outputs, cell by cell."""
    cells = (cell for cell in notebook.cells if cell.cell_type == "code")
    return ["".join(output.get("text", "") for output in cell.outputs) for cell in cells]


def execute(path: Path, out: Path, seconds: int, write: bool) -> str | None:
    """Run one notebook in its own folder; return what went wrong, if anything."""
    notebook = nbformat.read(path, as_version=4)  # type: ignore[no-untyped-call]
    held = printed(notebook)
    client = NotebookClient(
        notebook,
        timeout=seconds,
        kernel_name="python3",
        resources={"metadata": {"path": str(path.parent)}},
        record_timing=False,
    )
    began = time.monotonic()
    try:
        client.execute()
    except (CellExecutionError, CellTimeoutError, DeadKernelError) as error:
        return f"{path}: {error}"
    finally:
        nbformat.write(notebook, out / path.name)  # type: ignore[no-untyped-call]
    news = "" if printed(notebook) == held else "; printed something else than it holds"
    print(f"{path}: passed in {time.monotonic() - began:.1f} s{news}", flush=True)
    if write:
        notebook.metadata.pop("widgets", None)  # their state is of use only to a running kernel
        for cell in notebook.cells:
            cell.metadata.pop("execution", None)
        nbformat.write(notebook, path)  # type: ignore[no-untyped-call]
    return None


def main() -> int:
    """Execute the notebooks named on the command line."""
    parser = argparse.ArgumentParser(description="Execute every notebook of a folder.")
    parser.add_argument("folder", type=Path)
    parser.add_argument("--out", type=Path, required=True, help="where the executed copies go")
    parser.add_argument("--write", action="store_true", help="put what was printed and drawn into the notebooks")
    parser.add_argument("--seconds", type=int, default=120, help="longest time for one cell")
    parser.add_argument("--jobs", type=int, default=2)
    arguments = parser.parse_args()

    notebooks = sorted(p for p in arguments.folder.rglob("*.ipynb") if ".ipynb_checkpoints" not in p.parts)
    arguments.out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as private:
        # No settings of the user, no history, and each run the same.
        for name in ("IPYTHONDIR", "JUPYTER_CONFIG_DIR", "JUPYTER_DATA_DIR", "JUPYTER_RUNTIME_DIR", "MPLCONFIGDIR"):
            os.environ[name] = str(Path(private) / name.lower())
        with ThreadPoolExecutor(arguments.jobs) as pool:
            found = list(pool.map(lambda p: execute(p, arguments.out, arguments.seconds, arguments.write), notebooks))
    failures = [f for f in found if f is not None]
    for failure in failures:
        print(failure, file=sys.stderr)
    print(f"{len(notebooks) - len(failures)} passed, {len(failures)} failed")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
