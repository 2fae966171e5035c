"""The texts to buyer and carrier: the shop's own words with names in braces, filled in from the records."""

import re
from collections.abc import Mapping

from models.errors import SettingsError
from models.packaged import packaged

NOT_KNOWN = "not known"
_NAME = re.compile(r"\{([^{}\n]*)\}")
_PART = re.compile(r"[^.;]+[.;]?")

TEMPLATES = ("to-buyer.txt", "to-carrier.txt")
NAMES = (
    *("parcel", "service", "shipped_on", "cause", "opened_on", "goods", "packing_method", "carton", "sides", "weight"),
    *("declared_value", "invoices", "claimed", "evidence", "photographs", "reply_by", "shop", "carrier"),
)


def template(name: str) -> str:
    """The text of one of TEMPLATES."""
    return packaged(f"claims/letters/{name}")


def filled(text: str, facts: Mapping[str, str], where: str) -> str:
    """The text with its names replaced. A sentence or part of one that names only what no record knows is left out;
    beside something known it is NOT_KNOWN. Raises SettingsError for an unknown name."""
    unknown = sorted({name for name in _NAME.findall(text) if name not in NAMES})
    if unknown:
        raise SettingsError(
            where,
            f"names {{{unknown[0]}}}, which is not known",
            "the text of this claim",
            f"use one of {', '.join(NAMES)}, in braces",
        )
    lines = [(line, _proven(line, facts)) for line in text.split("\n")]
    kept = "\n".join(proven for line, proven in lines if proven or not line)
    return _NAME.sub(lambda found: facts.get(found[1]) or NOT_KNOWN, kept)


def _proven(line: str, facts: Mapping[str, str]) -> str:
    """The line without those parts, to a full stop or semicolon, whose names are all unknown."""
    parts = _PART.findall(line)
    kept = [part for part in parts if not _NAME.search(part) or any(map(facts.get, _NAME.findall(part)))]
    if kept == parts:
        return line
    proven = "".join(kept).strip()
    proven = f"{proven[:-1]}." if proven.endswith(";") else proven
    return proven[:1].upper() + proven[1:]
