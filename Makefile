# Two commands do all: `make demo` and `make test`. Each makes what it needs and says what it is doing.
PYTHON ?= python3
BIN := .venv/bin
READY := .venv/.ready

.PHONY: help setup demo test check bench browser database screenshots
help:      ## list these targets
	@grep -E '^[a-z]+: .*##' $(MAKEFILE_LIST) | sed 's/:.*##/\t/'

setup: $(READY)  ## make the virtual environment with the locked dependencies

$(READY): requirements/dev.lock pyproject.toml
	@echo "Making the virtual environment and installing the locked dependencies (about a minute) ..."
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "Rillbed needs Python 3.11 or newer")'
	@$(PYTHON) -m venv .venv
	@$(BIN)/pip install --quiet --disable-pip-version-check --require-hashes -r requirements/dev.lock
	@$(BIN)/pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
	@touch $@

demo: $(READY)  ## open an invented loop in the browser
	@$(BIN)/rillbed demo

browser:
	@sh tests/find_browser.sh

database:
	@sh tests/find_postgres.sh

test: $(READY) browser database  ## run all tests
	@echo "Running the tests, a quarter of an hour on two cores ..."
	@$(BIN)/lint-imports --no-cache
	@sh tests/run.sh $(BIN)

check: $(READY) browser database  ## format, lint, types, layer contract, tests
	@$(BIN)/ruff format --check .
	@$(BIN)/ruff check .
	@$(BIN)/mypy
	@$(BIN)/lint-imports --no-cache
	@sh tests/run.sh $(BIN)

screenshots: $(READY) browser  ## take a picture of every page, phone and desk, light and dark
	@echo "Taking pictures of every page (some minutes) ..."
	@$(BIN)/python tools/screenshots.py

bench: $(READY)  ## measure speed and memory
	@$(BIN)/python benchmarks/engine.py
	@$(BIN)/python -m benchmarks.peers
	@$(BIN)/python -m benchmarks.limits
	@$(BIN)/python -m benchmarks.today
