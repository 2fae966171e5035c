"""The drawings in DEVELOPERS.md are those of the SQL, the analyses and the sections as they are."""

from __future__ import annotations

from itertools import pairwise

from tests.drawings.drawing import DRAWINGS, FILE, PART, longest_chain, reads, record_to_page, with_drawings


def test_the_drawings_are_up_to_date() -> None:
    text = FILE.read_text(encoding="utf-8")
    assert [found["name"] for found in PART.finditer(text)] == list(DRAWINGS)
    assert with_drawings(text) == text, "run python -m tests.drawings.drawing"


def test_every_section_and_every_mart_is_drawn() -> None:
    drawn = record_to_page()
    shown = {name for name in reads() if name.startswith(("marts.", "page."))}
    assert {name for name in shown if f'"{name}"' not in drawn} == set()


def test_the_longest_chain_follows_what_is_read() -> None:
    chain, read = longest_chain(), reads()
    assert all(before in read[name] for before, name in pairwise(chain))
    assert chain[0] not in read
