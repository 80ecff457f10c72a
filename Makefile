# `make demo` shows the main job, `make test` runs the tests that are quick, `make test-all` runs every test, and
# `make check` runs what reads the code.
# Each needs nothing but Python 3.11 or later and pip's usual way to packages; the second time it starts at once.

SHELL := /bin/bash
VENV := .venv
BIN := $(VENV)/bin
FIND_PYTHON := for p in python3.11 python3.12 python3.13 python3 python; do \
	$$p -c 'import sys; sys.exit(not (3, 11) <= sys.version_info < (3, 14))' 2>/dev/null && { echo $$p; break; }; done
PYTHON ?= $(shell $(FIND_PYTHON))

.PHONY: demo test test-all check format clean

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

$(VENV)/.runs: pyproject.toml | $(BIN)/python
	$(BIN)/python -m pip install --quiet --editable .
	touch $@

$(VENV)/.tests: pyproject.toml | $(BIN)/python
	$(BIN)/python -m pip install --quiet --editable '.[dev]'
	touch $@ $(VENV)/.runs

clean:
	rm -rf $(VENV) .mypy_cache .pytest_cache .ruff_cache .hypothesis build dist *.egg-info
