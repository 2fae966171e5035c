"""Texts and keys: stored as they are, or not at all."""

from __future__ import annotations

from collections.abc import Iterator

from tests.strangers.groups import Group
from tests.strangers.probes import KEY, TEXT
from tests.strangers.trials import Case, either, refused, valid

# What Unicode holds that programs trip over: marks, planes, directions, widths, joined emoji, unusual spaces within.
UNICODE = (
    "Größe Öl",
    "naïve façade",
    "Ελληνικά",
    "Привет",
    "日本語のラベル",
    "한국어",
    "עברית",
    "العربية",
    "ไทย",
    "𝔘𝔫𝔦𝔠𝔬𝔡𝔢",
    "👩‍🔧 tube",
    "🇩🇪 flag",
    "ﬁne ligature",
    "Ａ full width",
    "İstanbul ıI",
    "ß ẞ",
    "½ in",
    "5\u2032 tube",
    "a\u2013b \u2014 c",
    "a \u201cquoted\u201d word",
    "Å vs Å",
    "zero\u200bwidth",
    "right\u200eleft\u200f",
    "soft\u00adhyphen",
)
SPECIAL = (
    'a "quoted" word',
    '"',
    '""',
    'ends with "',
    '"begins with',
    "it's",
    "a 'single' word",
    "a,b;c|d",
    ",",
    ";;",
    "back\\slash",
    "\\",
    'back\\"quote',
    "\\n",
    "\\N",
    "#comment",
    "# ",
    "=1+1",
    "+SUM(A1)",
    "-lead",
    "@cell",
    "<b>bold</b>",
    "&amp;",
    "%s %d {0} {x}",
    "'; drop table x; --",
    "$(rm x)",
    "_x0041_",
    "_x000D_",
    "a_x005F_b",
    "//",
    "/*",
    "null byte \\0",
    "[1]",
    "{}",
    "*?",
    "~",
)
# What looks like another type and is a text: never made into one.
LOOKALIKES = (
    "007",
    "1.0",
    "1.50",
    "+5",
    "00",
    "1,000",
    "TRUE",
    "false",
    "yes",
    "2026-10-05",
    "5/10",
    "12:30",
    "1-2",
    "0x1F",
    "5%",
    "$5",
    "5 kg",
    "3E",
    "E5",
    "1.2.3",
    "MAR1",
    "SEPT2",
)


def groups() -> Iterator[Group]:
    """Texts where they may be blank, and texts that are keys."""
    yield Group("texts", TEXT, list(_texts()))
    yield Group("texts of control characters", TEXT, list(_controls()))
    # RFC 8259, 8.2: a lone surrogate is a string that no Unicode text can hold.
    yield Group(
        "texts of lone surrogates",
        TEXT,
        refused("no Unicode text", "\ud800", "a\udc00b", "\udfff\ud800"),
        forms=("json", "jsonl"),
    )
    enclosed = ("'single'", "\u201cquoted\u201d", "\u00abquoted\u00bb", "`back`")
    # In a text file these may be another program's quotes: kept or rejected there, and so not the same in every format.
    cases = [either("enclosed in another kind of quotes", text, text) for text in enclosed]
    yield Group("texts in other quotes", TEXT, cases, is_compared=False)
    yield Group("keys", KEY, list(_keys()))


def _texts() -> Iterator[Case]:
    yield from (
        valid("a text as it is", text, text, text.strip())
        for text in (*UNICODE, *SPECIAL, *LOOKALIKES, "a", "x" * 200, "é" * 200, "🧰" * 200)
    )
    yield from (valid("blank where it may be", blank, None) for blank in ("", " ", "   "))
    yield from (
        either("a blank that some take for a letter", blank, None, blank)
        for blank in ("\u00a0", "\u2003", "\u3000", "\u202f")
    )
    yield from (
        either("a mark of absence, or a word", word, word, None)
        for word in ("NULL", "null", "None", "n/a", "N/A", "NaN", "nan", "-", "#N/A", "?")
    )
    # RFC 4180, 2.4: spaces are part of a field; that they are trimmed is a promise of nobody.
    yield from (
        valid("blanks around", text, text, text.strip()) for text in (" lead", "trail ", " both ", "\u00a0both\u00a0")
    )
    yield valid("blanks within", "two  blanks", "two  blanks")
    yield valid("no-break blank within", "no\u00a0break", "no\u00a0break")
    yield either("decomposed letters", "e\u0301te\u0301", "e\u0301te\u0301", "\u00e9t\u00e9")
    yield from refused("longer than the dictionary allows", "x" * 201, "é" * 201, "x y " * 5_000, "x" * 400_000)
    yield from refused(
        "a line break or a tab, which the dictionary excludes", "two\nlines", "two\r\nlines", "a\tb", 'a\n"b"', "a\rb"
    )


def _controls() -> Iterator[Case]:
    yield from refused(
        "a control character", *(f"a{chr(code)}b" for code in (*range(0, 9), 11, 12, *range(14, 32), 127))
    )
    yield from (
        either("a separator that the dictionary does not name", f"a{sign}b", f"a{sign}b")
        for sign in "\u0085\u2028\u2029\ufeff\ufffd\ue000\ufdd0"
    )


def _keys() -> Iterator[Case]:
    # A spreadsheet shows whole numbers of twelve and more figures as powers of ten; the other figures are gone.
    yield from refused(
        "shortened by a spreadsheet",
        "9.40011E+21",
        "1.23457E+11",
        "4.00178E+12",
        "1E+15",
        "1.2E+18",
        "9.40011e+21",
        "9,40011E+21",
        "9.40011E21",
    )
    yield from (
        valid("a key as it is", key, key, key.strip())
        for key in (
            "007",
            "0000123",
            "INV-1",
            "1E5-A",
            "a b",
            "A/B-1",
            "12345678901234567890",
            "94001118992230000001",
            "1Z999",
            "ÄÖ-1",
            "NL 4",
            "1.0",
            "#1",
            "E+21",
            "x" * 200,
            *SPECIAL[:20],
        )
    )
    yield from (
        either("a key or a power of ten", key, key) for key in ("1E5", "12E3", "1.5E+3", "1E+05", "2e10", "-1.5E+13")
    )
    yield from refused("a key is needed", "", " ", "   ")
    yield from (either("a mark of absence, or a word", word, word) for word in ("NULL", "n/a", "-", "\u00a0"))
    yield from refused("longer than the dictionary allows", "k" * 201)
