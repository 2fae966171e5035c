"""All that a shop's surfaces say, piece by piece: page, letter, workbook, index, and every command that reads."""

from __future__ import annotations

import contextlib
import io
import json
import os
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any
from unittest.mock import patch

from openpyxl import load_workbook

from pipelines.cli import main
from pipelines.shop import warehouse
from pipelines.shop.settings import load
from tests.dashboards.markup import Element, parsed
from tests.odd_shops import walking

# What holds words by itself; cells of tables and labels in pictures are columns' and pictures'.
SPEAKING = {"p", "li", "h1", "h2", "h3", "h4", "figcaption", "caption", "summary", "dt", "dd", "small"}
READING = (
    *("status", "watch", "disputes", "disputes list --all", "damage", "decide --judge", "claims list", "bench-list"),
    *("claims list --all", "claims insure", "charges", "titles", "rejects --all", "intake --list", "bench-sheets"),
)
SHORT = 64  # letters; lines of prose are broken at seventy or more
WIDE = {"COLUMNS": "2000"}  # no line of a terminal is broken

Pieces = Iterator[tuple[str, str]]


def written(folder: Path, month: str) -> Pieces:
    """(surface, words) of each paragraph, heading, line and worded cell that the shop's surfaces show."""
    reviews = folder / "reviews"
    yield from html("page", (reviews / f"review-{month}.html").read_text(encoding="utf-8"))
    yield from html("index", (reviews / "index.html").read_text(encoding="utf-8"))
    for letter in sorted(reviews.glob(f"review-{month}-letter-*.eml"))[-1:]:
        yield from (("letter", each) for each in paragraphs(walking.letter(letter)))
    yield from cells(reviews / f"review-{month}.xlsx")
    yield from terminal(folder, month)


def html(surface: str, text: str) -> Pieces:
    """Every element that speaks and holds no other that does."""
    for element in parsed(text).walk():
        inner = [each for each in element.walk() if each.tag in SPEAKING and each is not element]
        if element.tag in SPEAKING and not inner and element.text():
            yield surface, element.text()
        elif element.tag in ("td", "th") and _is_worded(element):
            yield f"{surface}: cell", element.text()


def _is_worded(element: Element) -> bool:
    return len(element.text().split()) > 4


def paragraphs(text: str) -> Iterator[str]:
    """Lines of prose that run on are joined; a short line is a heading or a point, and one with gaps a row of cells."""
    joined: list[str] = []
    for line in [*text.splitlines(), ""]:
        words = line.strip().lstrip("- ")
        is_row = "   " in words
        if words and not is_row:
            joined.append(words)
        if joined and (is_row or len(words) < SHORT):
            yield " ".join(joined)
            joined = []


def cells(path: Path) -> Pieces:
    """Cells of several words of each sheet."""
    book = load_workbook(path, read_only=True)
    for sheet in book.worksheets:
        for row in sheet.iter_rows(values_only=True):
            yield from (
                (f"workbook: {sheet.title}", cell) for cell in row if isinstance(cell, str) and len(cell.split()) > 4
            )
    book.close()


def terminal(folder: Path, month: str) -> Pieces:
    """Lines of what the reading commands print, and the texts of what they give as JSON."""
    for words in (*READING, *of_records(folder, month)):
        # The texts of a claim are broken into lines; what is given as JSON has them whole.
        out = printed(folder, *words.split()).split("Text to the buyer")[0]
        yield from ((words.split(" ")[0], line.strip()) for line in out.splitlines() if line.strip())
    for parcel in parcels(folder):
        for text in texts(json.loads(printed(folder, "claim", parcel, "--json"))):
            yield from (("claim --json", each) for each in paragraphs(text))


def of_records(folder: Path, month: str) -> Iterator[str]:
    """Reading commands that ask for a record of the shop."""
    yield f"bridge {_before(month)} {month}"
    yield f"trace marts.shipping_margin --month {month}"
    yield from (f"explain {parcel}" for parcel in parcels(folder))
    yield from (f"claim {parcel}" for parcel in parcels(folder))
    for tariff in sorted((folder / "tariffs").glob("*.toml")):
        yield f"tariff show {tariff.stem}"
        yield f"tariff compare {tariff}"


def _before(month: str) -> str:
    year, number = int(month[:4]), int(month[5:])
    return f"{year - (number == 1)}-{(number - 2) % 12 + 1:02d}"


def parcels(folder: Path) -> list[str]:
    """A parcel that lost most, one that made most, one that broke, the latest."""
    with warehouse.reading(load(folder)) as connection:
        orders = ("margin_cents", "margin_cents desc", "damage_net_cents desc nulls last", "shipped_on desc")
        return sorted(
            {
                str(
                    connection.execute(f"select parcel_id from marts.parcel_costs order by {by} limit 1").fetchall()[0][
                        0
                    ]
                )
                for by in orders
            }
        )


def texts(found: Any) -> Iterator[str]:
    """Every text in a JSON value."""
    return (each for each in leaves(found) if isinstance(each, str))


def leaves(found: Any) -> Iterator[Any]:
    """Every value in a JSON value that holds no others."""
    if isinstance(found, Mapping):
        for each in found.values():
            yield from leaves(each)
    elif isinstance(found, list):
        for each in found:
            yield from leaves(each)
    else:
        yield found


def printed(folder: Path, *words: str) -> str:
    """What a command prints on both of its outputs."""
    out = io.StringIO()
    with patch.dict(os.environ, WIDE), contextlib.redirect_stdout(out), contextlib.redirect_stderr(out):
        main(["--shop", str(folder), *words])
    return out.getvalue()
