"""A letter's plain text, by given tables."""

from __future__ import annotations

from dashboards.filled import NONE
from dashboards.letter import Block, Content, Grid, Row
from dashboards.letter_text import plain_text


def test_what_an_action_does_not_bring_and_what_cannot_be_take_no_line() -> None:
    heads = ["What to do", "Expected a month", "Expected once", "First deadline", "Chance"]
    rows = [Row(["File 2 claims", NONE, "$90.00", "n/a", "50.0%"]), Row(["Cut", "¥700", NONE, "9 Apr 2027", "90%"])]
    grid = Grid("To do", heads, [False, True, True, False, True], rows, has_sentences=True)
    lines = plain_text(Content("", "", [Block("What to do", "", [grid])], []), []).splitlines()
    assert [line.strip() for line in lines[lines.index("To do:") + 1 : -2]] == [
        *("1. File 2 claims", "Expected once: $90.00", "Chance: 50.0%"),
        *("2. Cut", "Expected a month: ¥700", "First deadline: 9 Apr 2027", "Chance: 90%"),
    ]
