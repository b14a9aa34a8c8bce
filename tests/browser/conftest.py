"""A JupyterLab that serves a notebook with the bench, and Debian's Chromium to look at it."""

import json
import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest

CHROMIUM = os.environ.get("CHROMIUM") or shutil.which("chromium") or ""
FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PICTURES = Path(os.environ.get("BROWSER_PICTURES", "out/browser"))
SECONDS = 120  # longest time until the server or a kernel answers


def pytest_collection_modifyitems(items):
    why = None
    if not CHROMIUM:
        why = "no Chromium: install Debian's package chromium, or name one in CHROMIUM"
    for name in ("playwright", "jupyterlab", "anywidget"):
        try:
            __import__(name)
        except ImportError:
            why = why or f"{name} is not installed: pip install -r tests/browser/requirements.txt"
    if why:
        for item in items:
            item.add_marker(pytest.mark.skip(reason=why))


def notebook(*cells):
    """A notebook as JSON."""
    made = [
        {"cell_type": "code", "id": f"cell-{i}", "metadata": {}, "execution_count": None, "outputs": [], "source": cell}
        for i, cell in enumerate(cells)
    ]
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    return json.dumps({"cells": made, "metadata": kernel, "nbformat": 4, "nbformat_minor": 5})


@pytest.fixture(scope="session")
def served(tmp_path_factory):
    """Address of a JupyterLab on this machine alone, and the folder it serves."""
    folder, private = tmp_path_factory.mktemp("served"), tmp_path_factory.mktemp("private")
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    settings = private / "s" / "@jupyterlab" / "apputils-extension" / "notification.jupyterlab-settings"
    settings.parent.mkdir(parents=True)
    settings.write_text('{"fetchNews": "false", "checkForUpdates": false}', encoding="utf-8")  # no box in the corner
    here = {f"JUPYTER_{name}_DIR": str(private / name.lower()) for name in ("CONFIG", "DATA", "RUNTIME")}
    paths = {"JUPYTERLAB_SETTINGS_DIR": str(private / "s"), "JUPYTERLAB_WORKSPACES_DIR": str(private / "w")}
    command = [
        *(sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root", "--ip=127.0.0.1", f"--port={port}"),
        *(f"--ServerApp.root_dir={folder}", "--IdentityProvider.token=", "--ServerApp.port_retries=0"),
        "--LabApp.extension_manager=readonly",
    ]
    with (private / "log.txt").open("w") as log:
        server = subprocess.Popen(
            command, env=os.environ | here | paths | {"IPYTHONDIR": str(private / "ipython")}, stdout=log, stderr=log
        )
        try:
            address = f"http://127.0.0.1:{port}"
            wait_for(address, server, private / "log.txt")
            yield address, folder
        finally:
            server.terminate()
            server.wait(20)


def wait_for(address, server, log):
    """Wait until the server answers."""
    for _ in range(2 * SECONDS):
        if server.poll() is not None:
            break
        try:
            with urllib.request.urlopen(f"{address}/api", timeout=5):
                return
        except (urllib.error.URLError, OSError):
            time.sleep(0.5)
    raise RuntimeError(f"JupyterLab did not answer at {address}:\n{log.read_text()[-3000:]}")


@pytest.fixture(scope="session")
def browser():
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield started
        started.close()


@pytest.fixture
def lab(served, browser):
    """Open a notebook of the given cells, run its first cell, and give the page with the bench on it."""
    address, folder = served
    pages = []

    def show(name, *cells, width=1400, height=1000):
        (folder / f"{name}.ipynb").write_text(notebook(*cells), encoding="utf-8")
        page = browser.new_page(viewport={"width": width, "height": height})
        pages.append(page)
        page.set_default_timeout(SECONDS * 1000)
        page.goto(f"{address}/lab/tree/{name}.ipynb?reset")
        page.locator(".jp-Notebook .jp-CodeCell").first.wait_for()
        page.locator(".jp-Notebook-ExecutionIndicator[data-status='idle']").first.wait_for(state="attached")
        page.locator(".jp-Notebook .jp-CodeCell .cm-content").first.click()
        page.keyboard.press("Control+Enter")
        page.locator(".fm-bench svg").first.wait_for()
        return page

    yield show
    for page in pages:
        page.close()


@pytest.fixture(scope="session")
def pictures():
    PICTURES.mkdir(parents=True, exist_ok=True)
    return PICTURES
