# Each target makes or reuses .venv; nothing else than python3 (3.11 to 3.13) and make is needed.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
STAMP := $(VENV)/installed
PIP := $(BIN)/python -m pip --disable-pip-version-check
# What is installed beside the program; CI adds spark, whose tests skip without it.
EXTRAS ?= test,check

.PHONY: demo test check bench clean

$(STAMP): pyproject.toml constraints.txt
	test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	$(PIP) install --quiet --constraint constraints.txt --editable '.[$(EXTRAS)]'
	touch $(STAMP)

demo: $(STAMP)
	$(BIN)/dunnage demo

test: $(STAMP)
	$(BIN)/python -m pytest

check: $(STAMP)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

bench: $(STAMP)
	$(BIN)/python -m tests.benchmarks

clean:
	rm -rf $(VENV) demo-shop
