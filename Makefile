# `make demo` shows the main job, `make test` runs the tests that are quick, `make test-all` runs every test, and
# `make check` runs what reads the code.
# Each needs nothing but Python 3.11 or later and pip's usual way to packages; the second time it starts at once.

SHELL := /bin/bash
VENV := .venv
BIN := $(VENV)/bin
FIND_PYTHON := for p in python3.11 python3.12 python3.13 python3 python; do \
	$$p -c 'import sys; sys.exit(not (3, 11) <= sys.version_info < (3, 14))' 2>/dev/null && { echo $$p; break; }; done
PYTHON ?= $(shell $(FIND_PYTHON))

PIP := $(BIN)/python -m pip install --quiet --disable-pip-version-check
# What `make lock` reads the pins with; the locks themselves are read by plain pip.
UV := uv==0.13.9
PIN := $(BIN)/uv pip compile --quiet --universal --python-version 3.11 --generate-hashes \
	--custom-compile-command 'make lock' $(if $(NEWEST),--upgrade) pyproject.toml

.PHONY: demo test test-all check format lock clean

demo: $(VENV)/.runs
	$(BIN)/tallystick plan fixtures/market_stalls.toml

TESTS := $(BIN)/python -m pytest --numprocesses 2 --dist worksteal

test: $(VENV)/.tests
	$(TESTS) -m "not slow"

test-all: $(VENV)/.tests
	$(TESTS)

check: $(VENV)/.tests
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports

format: $(VENV)/.tests
	$(BIN)/ruff check --fix .
	$(BIN)/ruff format .

$(BIN)/python:
	@test -n "$(PYTHON)" || { echo "Python 3.11, 3.12 or 3.13 is needed: install it, or name it with PYTHON=..." >&2; exit 1; }
	$(PYTHON) -m venv $(VENV)

$(VENV)/.runs: pyproject.toml requirements.lock | $(BIN)/python
	$(PIP) --require-hashes --requirement requirements.lock
	$(PIP) --no-deps --no-build-isolation --editable .
	touch $@

$(VENV)/.tests: pyproject.toml requirements.lock requirements-dev.lock | $(BIN)/python
	$(PIP) --require-hashes --requirement requirements.lock --requirement requirements-dev.lock
	$(PIP) --no-deps --no-build-isolation --editable .
	touch $@ $(VENV)/.runs

# Pins what pyproject.toml asks for, keeping the pins that still fit; `make lock NEWEST=1` takes the newest of all.
lock: | $(BIN)/python
	$(PIP) '$(UV)'
	$(BIN)/python -c 'import tomllib; print(*tomllib.load(open("pyproject.toml", "rb"))["build-system"]["requires"])' \
		| $(PIN) - --output-file requirements.lock
	$(PIN) --extra dev --constraint requirements.lock --output-file requirements-dev.lock \
		$$(sed -n 's/^\([a-z0-9-]*\)==.*/--no-emit-package \1/p' requirements.lock)

clean:
	rm -rf $(VENV) .mypy_cache .pytest_cache .ruff_cache .hypothesis build dist *.egg-info
