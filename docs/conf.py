"""How `make docs` builds the documentation: Sphinx, pages in Markdown, every example run, warnings as errors."""

import logging
import os
import shutil
import sys
from pathlib import Path

import fillmark

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent / "tools")]

# `python` in a shell line of a page is the one that builds the pages.
os.environ["PATH"] = os.pathsep.join([str(Path(sys.executable).parent), os.environ.get("PATH", "")])

import default_table  # noqa: E402

logging.getLogger("traitlets").setLevel(logging.WARNING)  # a line for every page otherwise

project = "fillmark"
copyright = "the fillmark authors, MIT licence"  # noqa: A001 - Sphinx wants the name
version = release = fillmark.__version__

extensions = ["myst_nb", "sphinx.ext.autodoc", "sphinx.ext.napoleon", "mathml"]
exclude_patterns = ["_build", "_defaults.md"]
default_role = "py:obj"
nitpicky = False

# Pages: an example that fails, or a link inside the documentation that leads nowhere, is an error.
myst_enable_extensions = ["colon_fence", "deflist", "dollarmath"]
myst_heading_anchors = 4
nb_execution_mode = "force"
nb_execution_raise_on_error = True
nb_execution_timeout = 120
nb_merge_streams = True
nb_execution_in_temp = True
nb_ipywidgets_js = {}  # no page shows a widget, and none asks for a script from elsewhere
nb_execution_excludepatterns = ["lessons/*"]  # `make notebooks` runs them; what they printed is in them

autodoc_member_order = "groupwise"
autodoc_default_options = {"members": True, "undoc-members": False}
napoleon_google_docstring = False
napoleon_use_rtype = False
napoleon_use_ivar = True  # what a class docstring says of its attributes stands there, not beside each once more

html_math_renderer = "mathml"
html_theme = "furo"
html_static_path = ["static"]
html_css_files = ["pages.css"]
html_title = f"fillmark {version}"
html_copy_source = False
html_show_sphinx = False

# What is written elsewhere and belongs here: the lessons, and the table of defaults.
LESSONS = HERE / "lessons"
shutil.rmtree(LESSONS, ignore_errors=True)
LESSONS.mkdir()
for lesson in sorted((HERE.parent / "notebooks").glob("*.ipynb")):
    shutil.copy(lesson, LESSONS)
(HERE / "_defaults.md").write_text(default_table.table(), encoding="utf-8")


def setup(app):  # noqa: ANN001, ANN201, D103
    # Napoleon takes what stands before a colon in the docstring of an attribute for its type. Here it is a sentence.
    kept = {}

    def keep(app, what, name, obj, options, lines):  # noqa: ANN001, ANN202
        if what in {"attribute", "property"} and not any(line.startswith("---") for line in lines):
            kept[name] = list(lines)

    def restore(app, what, name, obj, options, lines):  # noqa: ANN001, ANN202
        if name in kept:
            lines[:] = kept.pop(name)

    app.connect("autodoc-process-docstring", keep, priority=100)
    app.connect("autodoc-process-docstring", restore, priority=900)
