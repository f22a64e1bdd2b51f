# Two commands do everything: `make demo` and `make test`.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
STAMP := $(VENV)/.installed
# reproducible bytes, and no banner about the theme's next release
export SOURCE_DATE_EPOCH ?= 0
export NO_MKDOCS_2_WARNING := 1

.PHONY: demo test slow bench check build lint units clean

demo: $(STAMP)            ## check and build the demonstration shop, say where to open it
	$(BIN)/gaugeleaf check
	$(BIN)/gaugeleaf build
	@echo
	@echo "The demonstration shop is built. Open this file in a browser:"
	@echo "    $(CURDIR)/site/index.html"

test: $(STAMP) lint       ## everything that must hold, for people and for CI alike
	$(BIN)/python -m pytest -q -n 2
	$(BIN)/gaugeleaf check
	$(BIN)/mkdocs build --strict --quiet

lint: $(STAMP)            ## layout, lint and types
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy

check build: $(STAMP)
	$(BIN)/gaugeleaf $@

slow: $(STAMP)            ## the longer campaigns: random formulas, planted faults, killed writers
	$(BIN)/python -m pytest -q -n 2 -m slow

bench: $(STAMP)           ## print how fast formulas, verdicts, look-up, checks and the build are
	$(BIN)/python tests/bench/formula_speed.py
	$(BIN)/python tests/bench/lookup_speed.py
	$(BIN)/python tests/bench/jobs_speed.py
	$(BIN)/python tests/bench/checklist_speed.py
	$(BIN)/python tests/bench/storage_reloads.py
	$(BIN)/python tests/bench/check_speed.py
	$(BIN)/python tests/bench/build_speed.py

units: $(STAMP)           ## compare our unit factors with pint's
	$(BIN)/python -m builder.units

$(STAMP): pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --upgrade pip
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --editable '.[test]'
	@touch $@

clean:
	rm -rf site $(VENV) .cache
