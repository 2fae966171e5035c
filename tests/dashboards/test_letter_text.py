"""A letter's plain text, by given points."""

from __future__ import annotations

from dashboards.letter_contents import Block, Content, Point
from dashboards.letter_text import LINE, plain_text


def written(*blocks: Block, **known: object) -> list[str]:
    made = Content(**{"subject": "", "heading": "March", "paragraphs": [], "months": [], "blocks": blocks, **known})  # type: ignore[arg-type]
    return plain_text(made, ["Made today."]).splitlines()


def test_amounts_end_in_one_column_and_words_run_on_beside_them() -> None:
    points = [Point("¥700 a month", "Cut " + "the carton " * 8), Point("¥9 once", "File it"), Point("", "Ask")]
    assert written(Block("To do", points, ["2 more"])) == [
        *("March", "", "TO DO"),
        "¥700 a month  Cut the carton the carton the carton the carton the carton",
        "              the carton the carton the carton",
        "     ¥9 once  File it",
        "              Ask",
        *("2 more", "", "-- ", "Made today."),
    ]


def test_months_are_a_table() -> None:
    lines = written(months=[["March", "-$9.00", "-$0.38"], ["The month before", "$948.35", "$2.87"]])
    assert lines[2:5] == [
        "                   Margin  Per parcel",
        "March              -$9.00      -$0.38",
        "The month before  $948.35       $2.87",
    ]


def test_a_long_place_stays_one_word() -> None:
    place = "/shop/" + "a" * 90
    lines = plain_text(Content("", "March", [], [], []), [f"On the shop's machine: {place}"]).splitlines()
    assert place in lines
    assert all(len(line) <= LINE for line in lines if line != place)
