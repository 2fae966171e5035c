"""Names and streets in remarks, and remarks without any: what is missed and what is suspected wrongly."""

from __future__ import annotations

from models.persons import doubtful, without_repeated
from models.privacy import NAMES, STREETS
from tests.models.persons.corpus import HELD_OUT_CLEAN, HELD_OUT_PERSONS, clean, remarks

PERSONS, CLEAN = 2_000, 10_000


def run() -> list[tuple[str, float, float]]:
    """What was measured and its limit, as shares."""
    reported, others = remarks(PERSONS, 21), clean(CLEAN, 22)
    held = [without_repeated(each.text, {NAMES: [each.name], STREETS: [each.street]}) for each in reported]
    kept = sum(text == each.text for text, each in zip(held, reported, strict=True))
    return [
        ("names and streets of the row's own columns that stay in its remark", kept / PERSONS, 0.01),
        ("names and streets of no column that are not noticed", _unnoticed([each.text for each in reported]), 0.1),
        ("the same in remarks by another hand", _unnoticed(HELD_OUT_PERSONS), 0.2),
        (f"of {CLEAN} clean remarks wrongly suspected", 1 - _unnoticed(others), 0.02),
        ("the same in remarks by another hand", 1 - _unnoticed(HELD_OUT_CLEAN), 0.02),
    ]


def _unnoticed(texts: list[str] | tuple[str, ...]) -> float:
    return sum(not doubtful(text) for text in texts) / len(texts)
