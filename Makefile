# Each target makes or reuses .venv; nothing else than python3 (3.11 to 3.13) and make is needed.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
STAMP := $(VENV)/installed
PIP := $(BIN)/python -m pip --disable-pip-version-check
# What is installed beside the program; CI adds spark, whose tests skip without it.
EXTRAS ?= test,check

.PHONY: demo test check audit bench clean

$(STAMP): pyproject.toml constraints.txt
	test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	$(PIP) install --quiet --constraint constraints.txt --editable '.[$(EXTRAS)]'
	touch $(STAMP)

demo: $(STAMP)
	$(BIN)/dunnage demo

test: $(STAMP)
	$(BIN)/python -m pytest --numprocesses=auto --dist=loadfile

check: $(STAMP)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

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
