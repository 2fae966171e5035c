"""Amounts under a stated decimal mark in every odd spelling, and amounts whose decimal mark nobody states."""

from __future__ import annotations

from collections.abc import Iterator

from pipelines.shop.settings import Shop
from tests.strangers.groups import Group
from tests.strangers.probes import MONEY
from tests.strangers.trials import Case, either, refused, valid


def odd(mark: str, other: str) -> Iterator[Case]:
    """Spellings under a stated decimal mark; `other` is the other one."""
    sign, code = ("$", "USD") if mark == "." else ("€", "EUR")
    for cell, cents in (
        ("12{m}5", 1250),
        ("12{m}50", 1250),
        ("{m}5", 50),
        ("0{m}05", 5),
        ("1{o}500", 150000),
        ("1{o}234{o}567{m}89", 123456789),
        ("1234567{m}89", 123456789),
        ("0", 0),
        ("-5{m}25", -525),
        (sign + "5{m}25", 525),
        ("5{m}25 " + sign, 525),
        (code + " 5{m}25", 525),
        ("5{m}25\u00a0" + code, 525),
        (" 5{m}25 ", 525),
        ("\u00a05{m}25\u00a0", 525),
    ):
        yield valid("plain under the stated mark", _put(cell, mark, other), cents)
    for cell, cents in (
        ("-" + sign + "5{m}25", -525),
        (sign + "-5{m}25", -525),
        ("({s}5{m}25)", -525),
        ("5{m}25-", -525),
        ("\u22125{m}25", -525),
        ("+5{m}25", 525),
        ("5{m}", 500),
        ("5{m}250", 525),
        ("00005", 500),
        ("1e3", 100000),
        ("5{m}25E+2", 52500),
        ("(5{m}25)", -525),
        ("1'234{m}50", 123450),
        ("1 234{m}50", 123450),
        ("1\u202f234{m}50", 123450),
        ("1\u2009234{m}50", 123450),
        ("5{m}25 CR", -525),
        ("525 cents", 525),
        ("１２{m}５", 1250),
        ("\u0661\u0662", 1200),
        ("5{m}25 " + sign + sign, 525),
        ("½", 50),
        ("5{m}--", 500),
        ("5{m}-", 500),
        ("1{o}00{o}000{m}50", 10000050),
        ("33{m}300000000000004", 3330),
    ):
        yield either("a spelling that a reader may know", _put(cell, mark, other).replace("{s}", sign), cents)
    yield from refused(
        "the other mark, not where groups end",
        *_each(
            mark,
            other,
            "12{o}5",
            "12{o}50",
            "1{o}5000",
            "1{o}23{m}50",
            "12{o}34",
            "0{o}05",
            "1{o}234{o}56",
            "1{o}2{o}3",
        ),
    )
    yield from refused(
        "the stated mark twice", *_each(mark, other, "1{m}234{m}567", "1{m}5{m}0", "1{m}500{o}25", "1{m}234{o}5")
    )
    yield from refused(
        "finer than the smallest coin", *_each(mark, other, "12{m}345", "0{m}001", "1{m}500001", "1{o}234{m}567")
    )
    yield from refused(
        "words and scraps",
        "five",
        "12 or 13",
        "~12",
        "<5",
        "5?",
        "1-2",
        "--5",
        "5/2",
        "12%",
        "x",
        "5 5",
        "12 34",
        "0x10",
        "1_000",
        "#N/A",
        "#REF!",
        "#VALUE!",
        "########",
        "tbd",
        "see note",
        "5 kg",
        "5 in",
        "free",
        ".",
        ",",
        "-$",
        "$",
    )
    yield from refused(
        "not finite, or beyond what the dictionary allows", "inf", "-Infinity", "1e999", "9.40011E+21", "99999999999999"
    )
    yield from (
        either("a mark of absence in a needed column", word) for word in ("", " ", "\u00a0", "-", "n/a", "NULL", "NaN")
    )


def _put(cell: str, mark: str, other: str) -> str:
    return cell.replace("{m}", mark).replace("{o}", other)


def _each(mark: str, other: str, *cells: str) -> list[str]:
    return [_put(cell, mark, other) for cell in cells]


def cents() -> Iterator[Case]:
    yield from (
        valid("whole cents by the map", cell, cents)
        for cell, cents in (("1250", 1250), ("1,250", 1250), ("-5", -5), ("0", 0))
    )
    yield either("whole cents with a fraction of nothing", "1250.00", 1250)
    yield either("the cell names dollars, the map cents", "$12.50", 1250)
    yield from refused("a fraction of a cent", "12.5", "0.25", "1250.01")


def unproven() -> Iterator[Group]:
    """No decimal mark is stated: what the column itself proves, and what it does not."""
    grouped = ["1.500", "12.345", "1,500", "12,345", "999,999", "-1.500", "$1,500", "1.500 USD"]
    for mark, cells in (
        ("point", [one for one in grouped if "." in one]),
        ("comma", [one for one in grouped if "," in one]),
    ):
        yield Group(f"money unproven {mark}", MONEY, refused("thousands or thousandths", *cells), is_whole=True)
    for mark, other in ((".", ","), (",", ".")):
        proof = [valid("proves itself", f"12{mark}50", 1250), valid("proves itself", f"1{other}234{mark}50", 123450)]
        shown = [
            valid("proven by the column", f"1{other}500", 150000),
            valid("proven by the column", f"12{other}345", 1234500),
        ]
        name = "point" if mark == "." else "comma"
        yield Group(
            f"money proven {name}", MONEY, [*proof, *shown, *refused("finer than a cent", f"1{mark}505")], is_whole=True
        )
    mixed = [either("proves itself among others", "12.50", 1250), either("proves itself among others", "12,50", 1250)]
    yield Group("money mixed", MONEY, [*mixed, *refused("nothing decides it", "1.500", "1,500")], is_whole=True)
    whole = [valid("a whole number", cell, cents) for cell, cents in (("5", 500), ("120", 12000), ("-7", -700))]
    yield Group("money whole", MONEY, whole, is_whole=True)
    owned = [either("whole cents by the header", cell, cents) for cell, cents in (("1250", 1250), ("5", 5))]
    yield Group("money named cents", MONEY, owned, header="amount_cents", decimal=".")
    minor = [valid("ISO 4217: three places", "12.345", 12345), *refused("finer than a fils", "12.3456")]
    yield Group("money of three places", MONEY, minor, decimal=".", shop=Shop(currency="KWD"))
    yen = [
        valid("ISO 4217: no places", "1500", 1500),
        *refused("a fraction of a yen", "1500.5"),
        either("", "1500.00", 1500),
    ]
    yield Group("money of no places", MONEY, yen, decimal=".", shop=Shop(currency="JPY"))
