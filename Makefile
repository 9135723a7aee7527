# Everything a person or CI does. Each target sets up what it needs.

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
# Faults that are known and open: a space sign that a problem's text repeats; Ctrl-C of a batch on a busy machine.
OPEN := tests/job/test_read.py::test_any_data_is_a_job_or_a_printable_message tests/batch/test_batch.py::test_a_run_that_is_ended_is_carried_on
SLOW := tests/families/test_words.py tests/codebook/test_rules_used.py tests/practice/test_lessons.py
JOB ?= notebooks/jobs/fernhollow-lot-14.toml

.PHONY: packet test check slow browser bench notebooks lab clean

packet: $(VENV)/.packet
	$(BIN)/studbay packet $(JOB) --out reports

test: $(VENV)/.test
	$(BIN)/ruff check .
	$(BIN)/ruff format --check calc tests
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/python -m pytest -n 2 tests --ignore tests/browser $(SLOW:%=--ignore %) $(OPEN:%=--deselect %)
	$(BIN)/python -m pytest --nbval notebooks

check: $(VENV)/.test
	$(BIN)/python -m tests.published

# What takes longer than the rest together, or is not finished: see DEVELOPERS.md.
slow: $(VENV)/.test
	$(BIN)/python -m pytest -n 2 $(SLOW) $(OPEN)

browser: $(VENV)/.test
	$(BIN)/python -m pytest -n 0 tests/browser

bench: $(VENV)/.test
	$(BIN)/python -m tests.benchmarks.packets

notebooks: $(VENV)/.packet
	$(BIN)/jupyter execute --inplace --NotebookClient.record_timing=False notebooks/*.ipynb

lab: $(VENV)/.packet
	$(BIN)/studbay open

$(VENV)/.packet: pyproject.toml
	test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	$(BIN)/pip install --quiet --disable-pip-version-check --editable .
	touch $@

$(VENV)/.test: $(VENV)/.packet
	$(BIN)/pip install --quiet --disable-pip-version-check --editable '.[dev]'
	touch $@

clean:
	rm -rf $(VENV) .mypy_cache .ruff_cache .pytest_cache .hypothesis build dist
