# Every job of the project. Needs rustup's stable toolchain and CPython >= 3.10 with venv; the rest is installed here.
SHELL := bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
.NOTPARALLEL:

PYTHON ?= python3
JOBS ?= 2
VENV := .venv
BIN := $(VENV)/bin
CARGO_FLAGS := --locked -j$(JOBS)
# What the bindings are built as. `ci` (Cargo.toml) is compiled faster, and the stubs are read from the same build.
PROFILE ?= release
BUILD_FLAGS := $(CARGO_FLAGS) --quiet --profile $(PROFILE) $(if $(filter ci,$(PROFILE)),--features stubs)
STUBS_PROFILE := $(if $(filter ci,$(PROFILE)),ci,stubs)
# One interpreter for every build of the bindings: with a changing one Cargo would build pyo3 again and again.
export PYO3_PYTHON := $(CURDIR)/$(BIN)/python
export PIP_DISABLE_PIP_VERSION_CHECK := 1

# Stamps: what is newer than its stamp is done again, nothing else.
DEPS := $(VENV)/.deps
BUILT := $(VENV)/.built-$(PROFILE)
STUBS := target/stubs-out/_core.pyi
RUST := $(shell find src -name '*.rs' -o -name '*.toml' -o -name '*.stl' -o -name '*.csv') $(wildcard python/fillmark/demo/*)
MANIFESTS := Cargo.toml Cargo.lock pyproject.toml

.PHONY: help
help: ## list the jobs
	@grep -hE '^[a-z-]+:.*## ' $(MAKEFILE_LIST) | sed -E 's/:.*## /|/' | awk -F'|' '{ printf "  make %-12s %s\n", $$1, $$2 }'

$(DEPS): requirements-dev.txt
	$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 10) and "fillmark needs Python 3.10 or newer")'
	test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --no-compile $$(grep '^uv==' requirements-dev.txt)
	$(BIN)/uv pip install --quiet --python $(BIN)/python --requirement requirements-dev.txt
	@touch $@

$(BUILT): $(DEPS) $(RUST) $(MANIFESTS) README.md
	@rm -f $(VENV)/.built-*
	$(BIN)/maturin develop $(BUILD_FLAGS) | grep -v ^Ignoring
	@touch $@

.PHONY: setup build
setup: $(DEPS) ## make .venv with pinned tools
build: $(BUILT) ## build the extension (release) and install it in .venv, editable

.PHONY: demo
demo: $(BUILT) ## run the main job on the embedded circuits
	$(BIN)/python -m fillmark

.PHONY: test test-rust test-units test-examples test-python
test: test-rust test-python ## every test: Rust, documentation examples, Python, README
test-rust: test-units test-examples ## Rust tests and documentation examples
test-units:
	cargo test $(CARGO_FLAGS) --tests
# The examples take seconds on a library without optimisation, which takes a minute less to compile.
test-examples:
	CARGO_PROFILE_DEV_OPT_LEVEL=0 cargo test $(CARGO_FLAGS) --doc
test-python: $(BUILT) ## Python tests, with the examples of every docstring and of the README
	$(BIN)/python -m pytest -n $(JOBS) --dist loadfile

.PHONY: check check-rust check-schema check-python check-stubs check-wheel
check: check-rust check-schema check-python check-stubs check-wheel ## format, lints, types, schemas, stubs, documentation, wheel
# Lints and documentation with the same features, or Cargo would check uom and what depends on it once for each.
check-rust: $(DEPS)
	cargo fmt --check
	cargo clippy $(CARGO_FLAGS) --all-targets --features abi3 -- -D warnings
	RUSTDOCFLAGS='-D warnings' cargo doc $(CARGO_FLAGS) --no-deps --lib --features abi3
check-schema: # schema/ is what the types that read the files say
	cargo test $(CARGO_FLAGS) --quiet --lib schema::
check-python: $(DEPS)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
check-stubs: $(STUBS) $(BUILT)
	diff -u python/fillmark/_core.pyi $(STUBS) || { echo 'python/fillmark/_core.pyi is out of date: run `make stubs`'; exit 1; }
	$(BIN)/python -m mypy.stubtest fillmark --mypy-config-file pyproject.toml --allowlist tools/stubtest-allow.txt
check-wheel: $(DEPS) $(BUILT)
	rm -rf dist
	$(BIN)/maturin build $(BUILD_FLAGS) --out dist
	$(BIN)/python tools/check_wheel.py dist

.PHONY: test-package
test-package: $(DEPS) $(BUILT) ## install wheel and sdist in empty environments on every Python here; type checkers
	rm -rf dist
	$(BIN)/maturin build --release $(CARGO_FLAGS) --quiet --out dist
	$(BIN)/maturin sdist --out dist
	$(BIN)/python tools/check_package.py dist

# The library is only read, never run: where no build carries the stubs, it is built without optimisation (profile `stubs`).
$(STUBS): $(DEPS) $(wildcard src/python/*.rs src/python/*/*.rs) $(MANIFESTS) tools/stubs.py
	$(BIN)/maturin generate-stubs $(CARGO_FLAGS) --quiet --profile $(STUBS_PROFILE) --features stubs --out target/stubs-raw
	$(BIN)/python tools/stubs.py target/stubs-raw/fillmark/_core.pyi $@
.PHONY: stubs
stubs: $(STUBS) ## write python/fillmark/_core.pyi from the Rust sources
	cp $(STUBS) python/fillmark/_core.pyi

.PHONY: schema
schema: ## write schema/*.schema.json from the Rust types
	FILLMARK_WRITE_SCHEMA=1 cargo test $(CARGO_FLAGS) --quiet --lib schema::

.PHONY: notebooks
notebooks: $(BUILT) ## execute every notebook; a failing cell or check fails the job
	$(BIN)/python tools/notebooks.py notebooks --out out/notebooks

.PHONY: validate
validate: $(BUILT) ## the slow comparisons with references and other methods
	cargo test --release $(CARGO_FLAGS) --lib --tests -- --ignored
	$(BIN)/python -m pytest -m slow || test $$? -eq 5

# Pages are run as notebooks; a failing example, a broken link inside or any other warning fails the job.
DOCS_DEPS := $(VENV)/.docs-deps
$(DOCS_DEPS): $(DEPS) docs/requirements.txt
	$(BIN)/python -m pip install --quiet --requirement docs/requirements.txt
	@touch $@
.PHONY: docs
docs: $(DOCS_DEPS) $(BUILT) ## build the documentation in docs/_build/html, run every example in it
	PYTHONWARNINGS=ignore $(BIN)/python -m sphinx --fail-on-warning --keep-going --quiet -b html docs docs/_build/html
	@echo 'open docs/_build/html/index.html'

# The live bench in a served JupyterLab, seen by Debian's Chromium (CHROMIUM names another); no part of .ci/run.
BROWSER_DEPS := $(VENV)/.browser-deps
$(BROWSER_DEPS): $(DEPS) tests/browser/requirements.txt
	$(BIN)/python -m pip install --quiet --requirement tests/browser/requirements.txt
	@touch $@
.PHONY: test-browser
test-browser: $(BROWSER_DEPS) $(BUILT) ## the live bench in a browser; skipped, with the reason, where Chromium is absent
	$(BIN)/python -m pytest tests/browser

.PHONY: bench
bench: $(BUILT) ## time the kernels, the geometry beside general tools, the import
	cargo bench $(CARGO_FLAGS)
	$(BIN)/python benches/peers/peers.py
	$(BIN)/python benches/peers/predict.py
	$(BIN)/python benches/start.py
	$(BIN)/python benches/bench_widget.py

.PHONY: format lock clean
format: $(DEPS) ## format the Rust and Python sources
	cargo fmt
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .
lock: ## choose new exact versions: make lock OLD=python3.10 NEW=python3.11
	$(NEW) tools/lock.py $(OLD) $(NEW)
clean: ## remove everything that was built
	rm -rf target dist out docs/_build docs/lessons docs/_defaults.md $(VENV) python/fillmark/_core.*.so
