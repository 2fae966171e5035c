"""Counts, and words of a closed list."""

from __future__ import annotations

from collections.abc import Iterator

from tests.strangers.groups import Group
from tests.strangers.probes import CHOICE, COUNT
from tests.strangers.trials import Case, either, refused, valid


def groups() -> Iterator[Group]:
    """Counts under both decimal marks, one closed list."""
    yield Group("counts", COUNT, list(_counts()), decimal=".")
    yield Group("counts under a comma", COUNT, list(_counts_under_comma()), decimal=",")
    # Cells that say that the map is wrong: to ask about the whole file is as fair as to reject them.
    for name, mark, cells in (
        ("point", ".", ("1,5", "10,00", "1.000.000")),
        ("comma", ",", ("1.5", "10.00", "1.0000")),
    ):
        against = refused("the other mark than the map's", *cells)
        yield Group(f"counts against the {name}", COUNT, against, decimal=mark, is_whole=True, may_be_refused=True)
    yield Group("kinds of charge", CHOICE, list(_choices()))


def _counts() -> Iterator[Case]:
    yield from (
        valid("a whole number", cell, value)
        for cell, value in (
            ("1", 1),
            ("12", 12),
            ("100000", 100000),
            ("1,000", 1000),
            ("12,345", 12345),
            (" 7 ", 7),
            ("5.0", 5),
            ("5.00", 5),
        )
    )
    yield from (
        either("a whole number, spelled oddly", cell, value)
        for cell, value in (
            ("+5", 5),
            ("005", 5),
            ("5 pcs", 5),
            ("5x", 5),
            ("1e3", 1000),
            ("1.000", 1),
            ("1 000", 1000),
            ("５", 5),
        )
    )
    yield from refused(
        "no whole number of 1 to 100,000",
        "0",
        "-1",
        "100001",
        "1.5",
        "0.5",
        "five",
        "5-6",
        "5/6",
        "",
        " ",
        "-",
        "99999999999999999999",
        "5 kg",
        "5%",
        "1e99",
        "inf",
        "nan",
        "TRUE",
        "2.9999999",
    )


def _counts_under_comma() -> Iterator[Case]:
    yield from (
        valid("a whole number", cell, value)
        for cell, value in (("1", 1), ("1.000", 1000), ("12.345", 12345), ("5,0", 5))
    )
    yield either("a whole number, spelled oddly", "1,000", 1)
    yield from refused("no whole number", "1,5", "2,9999")


def _choices() -> Iterator[Case]:
    yield from (
        valid("of the list", word, word) for word in ("base", "fuel", "surcharge", "adjustment", "tax", "credit")
    )
    yield from (
        either("of the list in other letters", cell, cell.strip().lower())
        for cell in ("Base", "FUEL", "Tax", " credit ")
    )
    yield from (valid("blank where it may be", blank, None) for blank in ("", " "))
    yield from refused("not of the list", "fee", "bas", "base fuel", "surcharges", "0", "taxes", "fuel;tax", "b")
