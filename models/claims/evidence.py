"""What a claim's evidence is counted against, and how files are sorted by their names."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

# What carriers ask to see of a broken parcel (common practice, no source); `value` proves what it was worth.
ASKED = {
    "contents": "the damaged goods, whole and close up",
    "cushioning": "the cushioning as it lay around the goods",
    "closed": "the closed carton from outside, all sides and any hole or dent",
    "tape": "how the carton was taped",
    "label": "the carrier's label with its number readable",
    "value": "proof of value: the sale's invoice, or what the goods cost",
}
UNSORTED = "other"
KINDS = (*ASKED, UNSORTED)
# The buyer has these; `value` is the shop's own.
FROM_BUYER = tuple(kind for kind in ASKED if kind != "value")
SUFFIXES = {".jpg": "JPEG", ".jpeg": "JPEG", ".png": "PNG", ".webp": "WEBP", ".pdf": "PDF"}
_KEPT = re.compile(r"(?P<kind>[a-z]+)-(?P<hash>[0-9a-f]{64})(?P<suffix>\.[a-z]+)")


@dataclass(frozen=True)
class Kept:
    """A file of evidence as it is kept: what it shows, the SHA-256 of its content, its suffix."""

    kind: str
    content_hash: str
    suffix: str

    @property
    def name(self) -> str:
        """The name under which it lies."""
        return f"{self.kind}-{self.content_hash}{self.suffix}"


def kept_of(name: str) -> Kept | None:
    """What a kept file's name says; None for a name that no kept file has."""
    found = _KEPT.fullmatch(name)
    is_known = found is not None and found["kind"] in KINDS and found["suffix"] in SUFFIXES
    return Kept(found["kind"], found["hash"], found["suffix"]) if found and is_known else None


def kind_of(name: str) -> str:
    """What a file shows, where its name begins with a word of KINDS, as in `label 2.jpg`; else UNSORTED."""
    first = re.match(r"[a-z]+", name.casefold())
    return first[0] if first and first[0] in KINDS else UNSORTED


def counted(kept: Iterable[Kept]) -> dict[str, int]:
    """How many files show each thing, every kind named."""
    kinds = [each.kind for each in kept]
    return {kind: kinds.count(kind) for kind in KINDS}
