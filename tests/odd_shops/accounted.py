"""Which words of a surface are accounted for: an entry of dashboards/sentences, or a label or meaning of a column.

A sentence is what ends with a full stop; it is an entry's as far as its words are, whatever its cells hold. What the
program says of itself (a filter without a match, where a file lies) stands in OF_ITSELF.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache
from itertools import combinations
from string import Formatter

from dashboards.cautions import CUTTING
from dashboards.sentences import entries
from dashboards.sentences.claim_sheet import ENTRIES as SHEET
from models import columns
from models.claims.sheet import GLASS, HEAVY, KNIVES
from models.claims.texts import TEMPLATES, template
from models.shop_units import METRIC, Units
from models.sql_texts import grain, sql_texts
from models.tables import TABLES

ENDS = re.compile(r"(?<=[.!?])\s+")
CELL = r"(?:.+?)"
MOST = 6  # sentences of one entry
WORDS = re.compile(r"[A-Za-z]{2,}")
ODD = re.compile(r"\b(nan|NaN|NaT|None|null|inf|unknown(?! kind))\b|(?<![\d.,])100\.0 ?%|(?<![\d.,])0 of 0\b")
# What a check found, by example: the cells of rows as they are.
EXAMPLES = re.compile(r"(?:\d+; )?[a-z]+_(?:id|number) ")
OF_ITSELF = (
    rf"{CELL} of {CELL}, from \d{{4}}-\d\d-\d\d(?: to \d{{4}}-\d\d-\d\d)?\.",
    rf"Source: {CELL}\.",
    r"Nothing matches the filter here\.",
    r"The filter does not apply to this table\.",
    r"Edition \d+ of this month's review\.",
    rf"(?:\S+\.(?:html|xlsx) )?Made {CELL} from the shop's own records\.",  # a path before it ends without a stop
    rf"Made {CELL}\.",
    r"Amounts are in [A-Z]{3}\.",
    r"The same tables as a workbook\.",
    r"The same pictures to explore\.",
    r"All months\.",
    # What a command found nothing of.
    r"No (?:word of an invoice on record is of unknown kind|row is rejected|title is without an item type)\.",
    # A command to type, whose dots stand for an answer.
    r"to correct(?:, after a choice)?: dunnage rejects .*",
)


def strange(said: Iterable[tuple[str, str]]) -> list[tuple[str, str]]:
    """All that is unaccounted for, and all odd words, each once."""
    kept = [(surface, text) for surface, text in said if not EXAMPLES.match(text)]
    return sorted({*unaccounted(kept), *odd_words(kept)})


def unaccounted(said: Iterable[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    """(surface, sentence) of every sentence that is nobody's."""
    for surface, text in said:
        yield from ((surface, sentence) for sentence in strangers(text) if is_sentence(sentence))


@cache
def strangers(text: str) -> tuple[str, ...]:
    """The sentences of the text that are nobody's. A stop may also stand within a sentence, so runs are tried."""
    pieces, found, at = ENDS.split(text.strip()), [], 0
    while at < len(pieces):
        runs = range(min(len(pieces), at + MOST), at, -1)
        end = next((end for end in runs if is_known(" ".join(pieces[at:end]))), None)
        found += [] if end else [pieces[at]]
        at = end or at + 1
    return tuple(found)


def odd_words(said: Iterable[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    """(surface, words) where a cell without a value, or a share that says nothing, has become words."""
    yield from ((surface, text) for surface, text in said if ODD.search(text) and text not in set(meanings()))


def is_sentence(text: str) -> bool:
    """Four words or more, and a full stop at the end."""
    return len(WORDS.findall(text)) > 3 and bool(re.search(r"\S[.!?]$", text.rstrip()))


@cache
def is_known(text: str) -> bool:
    """Whether an entry, the meaning of a column, the grain of a table or a check says it."""
    return any(words in text and pattern.fullmatch(text) for words, pattern in known())


@cache
def known() -> list[tuple[str, re.Pattern[str]]]:
    """The longest fixed words and the pattern of each sentence that the program may say: entries whole and piece by
    piece, the texts of a claim, meanings, checks."""
    written = [*(entry.text for entry in entries().values()), *(entry.text for entry in SHEET)]
    shown = [each for text in written for each in (text, *ENDS.split(text))]
    blocks = [" ".join(block.split()) for text in map(template, TEMPLATES) for block in text.split("\n\n")]
    shown += [each for block in blocks for each in ENDS.split(block)]
    shown += [each for text in map(template, TEMPLATES) for line in text.splitlines() for each in shortened(line)]
    meant = [each for text in (*meanings(), GLASS, HEAVY, KNIVES, CUTTING) for each in (text, *ENDS.split(text))]
    fixed = [(each, re.escape(each)) for each in meant]
    worded = (each for each in map(with_cells, shown) if WORDS.search(each[0]))
    patterns = {*worded, *fixed, *(("", each) for each in OF_ITSELF)}
    return [(words, re.compile(pattern, re.DOTALL)) for words, pattern in sorted(patterns) if pattern]


def shortened(line: str) -> Iterator[str]:
    """A line of a claim's text without some of its parts, of which no record knows anything."""
    parts = re.findall(r"[^.;]+[.;]?", line)
    for count in range(1, len(parts)):
        for some in combinations(parts, count):
            text = re.sub(";$", ".", "".join(some).strip())
            yield text[:1].upper() + text[1:]


def with_cells(text: str) -> tuple[str, str]:
    """An entry's text as a pattern, and its longest words between cells."""
    pattern, longest = "", ""
    for words, column, form, _ in Formatter().parse(text):
        longest = max(longest, words, key=len)
        pattern += re.escape(words)
        if column is not None:
            pattern += CELL + (f" (?:{'|'.join(map(re.escape, form.split('/')))})" if form and "/" in form else "")
    return longest, pattern


def meanings() -> Iterator[str]:
    """Meanings of columns in either system of units, grains of tables, what checks look for."""
    for units in (Units("USD"), Units("USD", METRIC)):
        yield from (columns.meaning(name, units) for name in columns.COLUMNS)
    yield from (
        contract.grain or grain(name) for name, contract in TABLES.items() if name.startswith(("marts.", "analysis."))
    )
    for text in sql_texts("checks/warn").values():
        yield " ".join(line.removeprefix("--").strip() for line in text.splitlines() if line.startswith("--"))
