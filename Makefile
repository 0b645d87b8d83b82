# The same targets for a maker, a contributor and the build machine. `make` alone lists them.

SHELL := /bin/bash
.SHELLFLAGS := -eu -o pipefail -c
.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
MAKEFLAGS += --no-builtin-rules

# Without its byte code every start would compile everything anew.
unexport PYTHONDONTWRITEBYTECODE
export PIP_DISABLE_PIP_VERSION_CHECK := 1

VENV   := .venv
BIN    := $(VENV)/bin
PIP    := $(BIN)/python -m pip --quiet --no-input
DONE   := $(VENV)/done
PYTEST_ARGS ?=
# `make lock UPGRADE=--upgrade` moves every pin; without it only what must move does.
UPGRADE ?=

help:  ## list the targets
	@awk -F ':.*##' '/^[a-z-]+:.*##/ {printf "  make %-10s %s\n", $$1, $$2}' $(MAKEFILE_LIST)

demo: $(DONE)/project  ## open Rushlight in the browser on the demo workshop
	@$(BIN)/rushlight demo

test: lint types contracts docs check  ## everything the build machine checks

lint: $(DONE)/dev  ## style: ruff check and ruff format
	$(BIN)/ruff check
	$(BIN)/ruff format --check

types: $(DONE)/dev  ## types: mypy, strict, tests included
	$(BIN)/mypy

contracts: $(DONE)/dev  ## who may import whom
	$(BIN)/lint-imports

docs: $(DONE)/dev  ## build the documentation site into site/, warnings are errors
	NO_MKDOCS_2_WARNING=1 $(BIN)/mkdocs build --strict --quiet

check: $(DONE)/dev $(DONE)/chromium  ## the tests alone; PYTEST_ARGS="-m 'not browser and not slow'" for the fast ones
	$(BIN)/pytest $(PYTEST_ARGS)

bench: $(DONE)/dev  ## measure, and write the tables of docs/benchmarks.md
	$(BIN)/python -m benchmarks.run

lock: $(DONE)/dev  ## make requirements/*.txt anew from pyproject.toml
	./tools/lock $(BIN)/uv $(UPGRADE)

clean:  ## remove what the targets made, the virtual environment too
	rm -rf $(VENV) build dist site .mypy_cache .ruff_cache .pytest_cache .hypothesis .import_linter_cache
	find src tests benchmarks tools -name __pycache__ -prune -exec rm -rf {} +
	rm -rf src/*.egg-info

# Each step leaves a file in .venv/done, so it runs again only when what it read has changed.

$(DONE)/venv: tools/venv
	./tools/venv $(VENV)
	@mkdir -p $(DONE) && touch $@

$(DONE)/run: $(DONE)/venv requirements/run.txt requirements/build.txt
	@echo "Installing what Rushlight needs to run (half a minute) ..."
	@# Byte code is written at the first start, for what is used: compiling it all would take longer.
	$(PIP) install --no-compile --require-hashes -r requirements/build.txt -r requirements/run.txt
	@touch $@

$(DONE)/project: $(DONE)/run pyproject.toml
	$(PIP) install --no-build-isolation --no-deps --no-index --editable .
	@touch $@

$(DONE)/dev: $(DONE)/project requirements/dev.txt
	@echo "Installing what the tests and the documentation need ..."
	$(PIP) install --no-compile --require-hashes -r requirements/dev.txt
	@touch $@

$(DONE)/chromium: tools/chromium
	./tools/chromium
	@mkdir -p $(DONE) && touch $@

.PHONY: help demo test lint types contracts docs check bench lock clean
