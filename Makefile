# Each target makes or reuses .venv; nothing else than python3 (3.11 to 3.13) and make is needed.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
STAMP := $(VENV)/installed
PIP := $(BIN)/python -m pip --disable-pip-version-check
LOCK := constraints.txt
SPARK_LOCK := constraints-spark.txt
# CI sets it: the second engine is installed too, whose tests skip without it.
SPARK ?=
EXTRAS := --extra test --extra check

.PHONY: demo test busy check lock audit bench clean

# First what is locked, each file held to its hash, then the project itself without asking for anything else.
$(STAMP): pyproject.toml $(LOCK) $(SPARK_LOCK)
	test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	$(PIP) install --quiet --require-hashes --no-deps --requirement $(LOCK)
	test -z '$(SPARK)' || $(PIP) install --quiet --require-hashes --no-deps --no-build-isolation --requirement $(SPARK_LOCK)
	$(PIP) install --quiet --no-deps --no-build-isolation --editable .
	touch $(STAMP)

demo: $(STAMP)
	$(BIN)/dunnage demo

# Each process of the run, and each that a test starts, loads what another has compiled: without, 6 s are lost twice.
test busy: export PYTHONDONTWRITEBYTECODE :=
# A test's files are gone when it has passed, so all of them find room in memory where the machine has 8 GB of it to
# spare; there nothing waits for a disk.
IN_MEMORY := /dev/shm
test busy: export TMPDIR := $(shell test "$$(df -Pk $(IN_MEMORY) 2>/dev/null | awk 'END { print $$4 + 0 }')" -gt 8000000 \
	&& echo $(IN_MEMORY) || echo "$${TMPDIR:-/tmp}")
WORKERS := auto
TEST = $(BIN)/python -m pytest --numprocesses=$(WORKERS) --dist=loadfile --no-loadscope-reorder
test: $(STAMP)
	$(TEST)

# The suite, or what TESTS names, beside so many loops that do nothing: what waits for a clock and not for an event fails.
# As many processes of tests as loops get half of the machine between them; two would take hours.
LOOPS ?= 8
TESTS ?=
busy: WORKERS := $(LOOPS)
busy: $(STAMP)
	for each in $$(seq $(LOOPS)); do while :; do :; done & loops="$$loops $$!"; done; \
	trap "kill $$loops" EXIT INT TERM; $(TEST) $(TESTS)

check: $(STAMP)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

# Writes the locks anew after pyproject.toml has changed; versions that are locked stay. Name newer ones in `LOCKED`.
LOCKED ?=
COMPILE := $(VENV)/lock/bin/pip-compile --quiet --generate-hashes --allow-unsafe --strip-extras --no-header \
	--no-annotate --no-emit-index-url --no-emit-find-links $(foreach pin,$(LOCKED),--upgrade-package '$(pin)')
lock:
	test -x $(VENV)/lock/bin/pip-compile || $(PYTHON) -m venv $(VENV)/lock
	$(VENV)/lock/bin/python -m pip --disable-pip-version-check install --quiet 'pip-tools>=7.5'
	$(COMPILE) --all-build-deps $(EXTRAS) --output-file $(LOCK) pyproject.toml
	grep -o '"pyspark[>=][^"]*"' pyproject.toml | tr -d '"' | $(COMPILE) --output-file $(SPARK_LOCK) -

# Asks an advisory service on the network about each pinned version, so it is no part of `check`. A version that the
# service does not know fails too (--strict): an unanswered question is no good news.
AUDITED := constraints.txt
audit:
	test -x $(VENV)/audit/bin/pip-audit || $(PYTHON) -m venv $(VENV)/audit
	$(VENV)/audit/bin/python -m pip --disable-pip-version-check install --quiet 'pip-audit>=2.10'
	$(VENV)/audit/bin/pip-audit --strict --no-deps --disable-pip --requirement $(AUDITED)

bench: $(STAMP)
	$(BIN)/python -m tests.benchmarks

clean:
	rm -rf $(VENV) demo-shop
