# Two targets do all the set-up on a fresh machine: `make plan` runs the main job, `make test` passes the tests.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
OUT := out
PAGE := src/slabwright/web/dist/index.html
PAGE_SOURCES := $(shell find frontend -type f -not -path '*/node_modules/*')

export COLUMNS := 100

export OPENBLAS_NUM_THREADS := 1
export OMP_NUM_THREADS := 1

.DEFAULT_GOAL := help
.PHONY: help plan serve frontend setup test test-fast test-long lint types layers format docs lock bench clean

help:  ## list the targets
	@grep -E '^[a-z-]+:.*##' $(MAKEFILE_LIST) | sed -E 's/:.*## /\t/' | expand -t 14

plan: $(VENV)/.run  ## install, then write the pour book of the first example
	@test -e $(OUT)/store/job.toml || $(BIN)/slabwright new $(OUT)/store --example store
	@$(BIN)/slabwright plan $(OUT)/store/job.toml -o $(OUT)/store

serve: $(VENV)/.run $(PAGE)  ## open the desk on the first example
	@test -e $(OUT)/store/job.toml || $(BIN)/slabwright new $(OUT)/store --example store
	@$(BIN)/slabwright serve $(OUT)

frontend: $(PAGE)  ## build the page of the desk

setup: $(VENV)/.test  ## install everything the tests need

test: $(VENV)/.test $(PAGE) lint types layers  ## install what the tests need, then run every check
	$(BIN)/python -m pytest -n 2 --dist loadfile

test-fast: $(VENV)/.test $(PAGE)  ## the tests alone, stopping at the first failure
	$(BIN)/python -m pytest -x

test-long: $(VENV)/.test $(PAGE)  ## the tests with the long checks
	sh tools/install_package.sh postgresql 'The long tests of the store' postgres '/usr/lib/postgresql/*/bin/postgres'
	$(BIN)/python -m pytest -n 2 --dist loadfile --long

lint: $(VENV)/.test  ## formatter and linter
	$(BIN)/ruff format --check src tests benchmarks docs
	$(BIN)/ruff check src tests benchmarks docs

types: $(VENV)/.test  ## static types
	$(BIN)/mypy

layers: $(VENV)/.test  ## who may import whom
	$(BIN)/lint-imports

format: $(VENV)/.test  ## format the sources
	$(BIN)/ruff format src tests benchmarks docs
	$(BIN)/ruff check --fix src tests benchmarks docs

docs: $(VENV)/.test  ## write the generated pages under docs/
	$(BIN)/python -m docs.generate

bench: $(VENV)/.test $(PAGE)  ## every headline figure of speed
	for file in benchmarks/bench_*.py; do echo "== $$file"; $(BIN)/python $$file || exit 1; done

lock: $(VENV)/.test  ## resolve the dependencies anew, with hashes
	$(BIN)/python -m pip install --quiet uv
	$(BIN)/uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-annotate \
		--no-header pyproject.toml --group build -o requirements/run.txt
	$(BIN)/uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-annotate \
		--no-header pyproject.toml --group build --group dev -o requirements/test.txt

$(VENV)/.python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { echo "slabwright needs Python 3.11 or newer; say which with: make PYTHON=python3.12 plan"; exit 1; }
	$(PYTHON) -m venv $(VENV)
	@touch $@

$(VENV)/.run: $(VENV)/.python requirements/run.txt pyproject.toml
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements/run.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
	$(BIN)/python -m compileall -q src  # else compiled anew at every run where Python is told to write no byte code
	@touch $@

$(VENV)/.test: $(VENV)/.run requirements/test.txt tools/install_package.sh
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements/test.txt
	sh tools/install_package.sh chromium 'The tests of the web page' chromium chromium-browser google-chrome
	@touch $@

$(PAGE): $(VENV)/.python tools/build_page.sh $(PAGE_SOURCES)
	sh tools/build_page.sh $(BIN)/python
	@touch $@

clean:  ## remove what was built and written here
	rm -rf $(OUT) dist build .mypy_cache .ruff_cache .hypothesis
