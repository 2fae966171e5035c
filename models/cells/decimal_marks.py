"""What the texts of a column prove about their decimal mark.

`18,50`, `1.234,56` and `0,125` can only have a decimal comma, `1,234,567` only a point. `1,500` proves nothing: its
mark may be a decimal mark or part thousands, which stand in groups of three figures and never begin with a zero. The
patterns are read by Python and by the engine, so they keep to what the two have in common.
"""

import re
from collections.abc import Iterable, Mapping, Set

from models.fields import Quantity

MARKS = (".", ",")
# What is read with a decimal mark.
NUMBERS = frozenset(
    (
        *(Quantity.COUNT, Quantity.MONEY, Quantity.LENGTH, Quantity.WEIGHT),
        *(Quantity.MINUTES, Quantity.FRACTION, Quantity.NUMBER),
    )
)
# Blanks as files hold them: plain, no-break, figure, thin, narrow no-break.
_BLANKS = "[ \u00a0\u2007\u2009\u202f]"


def _proof(mark: str, other: str) -> str:
    three = "[1-9][0-9]{0,2}"
    bodies = (
        *(f"{three}(?:{group}[0-9]{{3}})+{mark}[0-9]+" for group in (other, _BLANKS, "['’]")),
        f"{three}(?:{other}[0-9]{{3}}){{2,}}",
        f"[0-9]+{mark}(?:[0-9]{{1,2}}|[0-9]{{4,}})",
        f"(?:0[0-9]*|[0-9]{{4,}}){mark}[0-9]{{3}}",
        f"[0-9]+{mark}[0-9]+[eE][+-]?[0-9]+",
    )
    # Around the number may stand a sign, a currency or a unit, but no other figures.
    return rf"(?:[^0-9]*[^0-9.,])?(?:{'|'.join(bodies)})(?:[^0-9.,][^0-9]*)?|[-+( ]*{mark}[0-9]+[) -]*"


# By mark, the pattern of a whole cell that proves it.
PROOF: Mapping[str, str] = {".": _proof(r"\.", ","), ",": _proof(",", r"\.")}
# Found in a cell that reads in two ways.
AMBIGUOUS = r"(?:^|[^0-9.,]|[A-Za-z]\.)[1-9][0-9]{0,2}[.,][0-9]{3}(?:[^0-9.,]|$)"

# A number written as a number in a workbook or in JSON: its point is the format's, and says nothing of the texts there.
NATIVE = r"-?[0-9]+(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?"

_NATIVE = re.compile(NATIVE)
_PROOF = {mark: re.compile(pattern) for mark, pattern in PROOF.items()}
_AMBIGUOUS = re.compile(AMBIGUOUS)


def proven_by(text: str) -> str | None:
    """The decimal mark that one cell proves, or None."""
    return next((mark for mark in MARKS if _PROOF[mark].fullmatch(text)), None)


def decimal_marks(texts: Iterable[str], *, is_typed: bool = False) -> frozenset[str]:
    """The decimal marks that the numbers among the texts prove: nothing, one, or both where they disagree.

    is_typed: they are of a format with numbers of its own. What may be one of these proves nothing; but with a point it
    may be a text too, and then contradicts a comma.
    """
    by_kind: dict[bool, set[str]] = {False: set(), True: set()}
    for text in texts:
        if mark := proven_by(text):
            by_kind[is_typed and _NATIVE.fullmatch(text) is not None].add(mark)
    return with_natives(by_kind[False], by_kind[True])


def with_natives(by_texts: Set[str], by_natives: Set[str]) -> frozenset[str]:
    """What a column proves by texts that are surely texts, and by those that may have been written as numbers."""
    return frozenset(by_texts | by_natives if by_texts else by_texts)


def ambiguous_numbers(texts: Iterable[str]) -> list[str]:
    """The texts such as `1,234` that read in two ways as long as no decimal mark is known."""
    return [text for text in texts if _AMBIGUOUS.search(text)]


def settled_marks(proofs: Mapping[str, frozenset[str]]) -> dict[str, str | None]:
    """The mark of each column: the one that its own cells prove, else the one that all columns of the file agree on.

    None where a column writes both, and where nothing in the file proves one or its columns disagree.
    """
    everywhere = frozenset[str]().union(*proofs.values())
    return {name: _only(marks) if marks else _only(everywhere) for name, marks in proofs.items()}


def _only(marks: frozenset[str]) -> str | None:
    return next(iter(marks)) if len(marks) == 1 else None
