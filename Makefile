# Everything a person or CI does. Each target sets up what it needs.

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
SEED ?= 1
COUNT ?= 20000
JOB ?= notebooks/jobs/fernhollow-lot-14.toml

# The tests start hundreds of processes: each would compile the program anew.
unexport PYTHONDONTWRITEBYTECODE

.PHONY: packet test notebook-tests check practice fuzz browser bench mutants notebooks lab site clean

packet: $(VENV)/.packet
	$(BIN)/studbay packet $(JOB) --out reports

test: $(VENV)/.test
	$(BIN)/ruff check .
	$(BIN)/ruff format --check calc tests
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/python -m pytest -n 2 --nbval notebooks tests --ignore tests/browser
	$(MAKE) --no-print-directory browser

notebook-tests: $(VENV)/.test
	$(BIN)/python -m pytest -n 2 --nbval notebooks

check: $(VENV)/.test
	$(BIN)/python -m tests.published

SEEDS ?= 1000

practice: $(VENV)/.test
	$(BIN)/python -m tests.practice.seeds $(SEEDS)

browser: $(VENV)/.test
	$(BIN)/python -m pytest -n 2 tests/browser

MUTANTS ?= 300

mutants: $(VENV)/.test
	$(BIN)/python -m tests.mutants.data
	for layer in work codebook families packet; do $(BIN)/python -m tests.mutants.code $$layer --count $(MUTANTS) --seed $(SEED) || exit 1; done

fuzz: $(VENV)/.test
	$(BIN)/python -m tests.fuzz --seed $(SEED) --count $(COUNT)
	$(BIN)/python -m pytest -n 2 -m "hypothesis or drawn" --hypothesis-profile anew tests --ignore tests/browser

bench: $(VENV)/.test
	$(BIN)/python -m tests.benchmarks.packets
	$(BIN)/python -m tests.benchmarks.editing
	$(BIN)/python -m tests.benchmarks.parts
	$(BIN)/python -m tests.benchmarks.memory

notebooks: $(VENV)/.packet
	$(BIN)/jupyter nbconvert --log-level WARN --to notebook --execute --inplace --ExecutePreprocessor.record_timing=False \
		--ExecutePreprocessor.store_widget_state=False notebooks/*.ipynb

lab: $(VENV)/.packet
	$(BIN)/studbay open

site: $(VENV)/.docs
	$(BIN)/python -m calc.site reports/site

$(VENV)/.packet: pyproject.toml
	test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	$(BIN)/pip install --quiet --disable-pip-version-check --editable .
	$(BIN)/python -m compileall -q calc  # an editable install leaves it to the first command, and to each one where none may
	touch $@

$(VENV)/.test: $(VENV)/.packet
	$(BIN)/pip install --quiet --disable-pip-version-check --editable '.[dev]'
	touch $@

$(VENV)/.docs: $(VENV)/.packet
	$(BIN)/pip install --quiet --disable-pip-version-check --editable '.[docs]'
	touch $@

clean:
	rm -rf $(VENV) .mypy_cache .ruff_cache .pytest_cache .hypothesis build dist
