"""Which queries have no rows because tables that they read have none: read off their text, without asking the engine.

Most models of a small shop have none, and to plan one takes the engine longer than to run it.
"""

from __future__ import annotations

import re
from collections.abc import Set
from dataclasses import dataclass
from functools import cache

ASIDE = re.compile(r"--[^\n]*|'[^']*'")
# A bracket: one that closes may end a function over a window.
BRACKET = re.compile(r"\(|\)(\s*over\b)?")
LAST_WORD = re.compile(r"(\w*)\s*\Z")
QUERY = re.compile(r"\s*(?:with|select)\b")
COMMON = re.compile(r"\s*with((?:\s+\w+ as \$\d+,?)+)")
NAMED = re.compile(r"(\w+) as (\$\d+)")
UNITED = re.compile(r"\bunion\b(?:\s+all\b)?")
SELECT = re.compile(r"\s*select\b")
GROUPED = re.compile(r"\bgroup by\s+(?!all\b)\w")
# Rows need rows of each of these; a left join keeps what stands before it.
READ = re.compile(r"\b(?:from|(?:inner|cross)\s+join)\s+([\w.$]+)")
# Words that may make rows of none, or are not known here: nothing is concluded.
UNREAD = re.compile(r"\b(?:full|right|natural|semi|anti|asof|positional|except|intersect|rollup|cube|sets)\b")
# Any other function might be a sum, which without groups answers a row for none.
OF_ONE_ROW = re.compile(
    r"abs|cast|ceil|chr|coalesce|date_diff|date_part|date_trunc|floor|greatest|least|length|lower|md5|mod|nullif|replace"
    r"|round|split_part|sqrt|starts_with|substr|translate|trim|try_cast"
    r"|and|as|between|by|case|else|from|in|join|not|on|or|over|then|when|where"
)
SUM, PLAIN = "#", "@"


@dataclass(frozen=True)
class Query:
    """The queries it names in front, in order; of each select that it unites, what it cannot have rows without."""

    named: tuple[tuple[str, Query], ...]
    selects: tuple[tuple[str | Query, ...], ...]

    def is_empty(self, without: Set[str]) -> bool:
        """Whether it surely has no rows where the tables `without` have none."""
        known = set(without)
        for name, query in self.named:
            if query.is_empty(known):
                known.add(name)
        return all(
            any(need.is_empty(known) if isinstance(need, Query) else need in known for need in needs)
            for needs in self.selects
        )


@cache
def read(sql: str) -> Query:
    """A query of the house's SQL: each table with its schema, joins that say what they are."""
    inner: dict[str, Query] = {}
    around, text, at = list[str](), "", 0
    plain = ASIDE.sub("", sql).replace("distinct from", "")
    for bracket in BRACKET.finditer(plain):
        text, at = text + plain[at : bracket.start()], bracket.end()
        if bracket[0] == "(":
            around.append(text)
            text = ""
        else:
            before, over = around.pop(), bracket[1] or ""
            text = f"{before}{_folded(before, text, inner, is_over=bool(over))}{over}"
    return _query(text + plain[at:], inner)


def _folded(before: str, text: str, inner: dict[str, Query], *, is_over: bool) -> str:
    """What stands for a text in brackets: the name of a query, else whether it may be a sum."""
    if QUERY.match(text):
        inner[name := f"${len(inner)}"] = _query(text, inner)
        return name
    last = LAST_WORD.search(before[-40:])
    word = last[1] if last else ""
    is_sum = SUM in text or not (is_over or not word or OF_ONE_ROW.fullmatch(word))
    return SUM if is_sum else PLAIN


def _query(text: str, inner: dict[str, Query]) -> Query:
    common = COMMON.match(text)
    named = NAMED.findall(common[1]) if common else []
    body = text[common.end() :] if common else text
    return Query(
        tuple((name, inner[query]) for name, query in named),
        tuple(_needs(select, inner) for select in UNITED.split(body)),
    )


def _needs(select: str, inner: dict[str, Query]) -> tuple[str | Query, ...]:
    is_read = SELECT.match(select) and not UNREAD.search(select) and (SUM not in select or GROUPED.search(select))
    return tuple(inner.get(name, name) for name in READ.findall(select)) if is_read else ()
