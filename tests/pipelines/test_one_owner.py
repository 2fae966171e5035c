"""Waiting for another writer, and the calendar of a letter's attempts, each stand in one place; the rest asks there."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
# What is named -> who may name it: its owner and those who keep or show what the owner said.
OWNERS = {
    # The lock of the warehouse and how long to wait for it; the schedule says that its runs wait.
    "PATIENCE": {"pipelines/shop/waiting.py", "pipelines/shop/run_log.py"},
    "WarehouseBusyError": {"pipelines/shop/waiting.py", "pipelines/shop/warehouse.py", "models/errors.py"},
    # A letter's next attempt.
    "wait_after": {"models/delivery_attempts.py"},
    "MOST_ATTEMPTS": {"models/delivery_attempts.py"},
    "next_due": {"pipelines/delivery/outbox/letters.py", "pipelines/delivery/outbox/__init__.py"},
}
# Words by which the orchestrator would wait or try again by itself, and by which a flow would take the schedule's part.
FORBIDDEN_IN_FLOWS = {"retries", "retry_delay_seconds", "retry_condition_fn", "sleep", "patiently", "timeout_seconds"}


def names(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Name):
            yield node.id
        elif isinstance(node, ast.Attribute):
            yield node.attr
        elif isinstance(node, ast.keyword) and node.arg:
            yield node.arg
        elif isinstance(node, ast.alias):
            yield node.name


def test_each_stands_in_one_place() -> None:
    files = [*(ROOT / "pipelines").rglob("*.py"), ROOT / "models/delivery_attempts.py", ROOT / "models/errors.py"]
    users = {path.relative_to(ROOT).as_posix(): set(names(path)) for path in files}
    wrong = {
        f"{path} names {name}"
        for path, named in users.items()
        for name, owners in OWNERS.items()
        if name in named and path not in owners
    }
    assert wrong == set()


def test_no_flow_waits_or_tries_again() -> None:
    assert FORBIDDEN_IN_FLOWS.isdisjoint(names(ROOT / "pipelines/flows.py"))


def test_only_one_place_locks_the_warehouse() -> None:
    users = [path.name for path in (ROOT / "pipelines").rglob("*.py") if "FileLock" in names(path)]
    # A kind of run, the sender of letters and the writer of the warehouse have one lock each, held in one way.
    assert users == ["waiting.py"]
