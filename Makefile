# Few words: run, test, test-all, check, docs, bench. Everything else is a detail below them.
PYTHON ?= python3
VENV ?= .venv
BIN := $(VENV)/bin
PORT ?= 8321

.PHONY: run test test-all browser check docs bench lock

$(VENV)/run.stamp: requirements/run.txt pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --disable-pip-version-check -q --require-hashes -r requirements/run.txt
	$(BIN)/python -m pip install --disable-pip-version-check -q --no-deps --no-build-isolation -e . 
	@touch $@

$(VENV)/dev.stamp: requirements/dev.txt pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --disable-pip-version-check -q --require-hashes -r requirements/dev.txt
	$(BIN)/python -m pip install --disable-pip-version-check -q --no-deps --no-build-isolation -e .
	@touch $@ $(VENV)/run.stamp

run: $(VENV)/run.stamp
	$(BIN)/setwright demo out
	$(BIN)/setwright serve --demo out --port $(PORT)

# The pages are tried in a real browser; Debian's is installed where there is none.
browser:
	command -v chromium >/dev/null || (apt-get update -q && apt-get install -y -q --no-install-recommends chromium)

# The server of the tests makes a user of its own where it runs as root: its tools lie in sbin.
export PATH := $(PATH):/usr/sbin:/sbin

# Records and pages are tried on both data bases: SQLite with everything else, PostgreSQL by a server of the run's own.
ON_BOTH := tests/records tests/web
# What is about words and forms alone meets the second data base in test-all only.
WORDS := $(addprefix --ignore=tests/web/,test_forms.py test_catalogue.py test_printing.py test_writing.py)

test: $(VENV)/dev.stamp check browser
	$(BIN)/python -m pytest -n 2 --dist loadfile -m "not long"
	SETWRIGHT_TEST_POSTGRESQL=1 $(BIN)/python -m pytest -n 2 --dist loadfile -m "not long" $(ON_BOTH) $(WORDS)

test-all: $(VENV)/dev.stamp check browser
	$(BIN)/python -m pytest -n 2 --dist loadfile
	SETWRIGHT_TEST_POSTGRESQL=1 $(BIN)/python -m pytest -n 2 --dist loadfile $(ON_BOTH)

check: $(VENV)/dev.stamp
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports

docs: $(VENV)/dev.stamp
	$(BIN)/python -m pytest tests/docs

bench: $(VENV)/dev.stamp
	$(BIN)/python benchmarks/design_time.py
	$(BIN)/python benchmarks/search_proof.py
	$(BIN)/python benchmarks/reshape.py
	$(BIN)/python benchmarks/set_updates.py
	$(BIN)/python benchmarks/calibration.py
	$(BIN)/python benchmarks/levers.py
	$(BIN)/python benchmarks/fit_many.py
	$(BIN)/python benchmarks/rosters.py
	$(BIN)/python benchmarks/floor.py
	$(BIN)/python benchmarks/phones.py
	$(BIN)/python benchmarks/roster_pages.py
	$(BIN)/python benchmarks/next_meet.py tests/data/open_powerlifting_fixture_600.csv.gz

lock:
	uv pip compile pyproject.toml requirements/build.in --universal --generate-hashes --no-emit-index-url --no-header -q -o requirements/run.txt
	uv pip compile pyproject.toml requirements/build.in --extra dev --universal --generate-hashes --no-emit-index-url --no-header -q -o requirements/dev.txt
