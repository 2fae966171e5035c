"""The texts to buyer and carrier: the shop's own words with names in braces, filled in from the records."""

from __future__ import annotations

import re
from collections.abc import Mapping

from models.errors import SettingsError

NOT_KNOWN = "not known"
_NAME = re.compile(r"\{([^{}\n]*)\}")
_PART = re.compile(r"[^.;]+[.;]?")

TO_BUYER = """\
Thank you for telling us, and we are sorry that parcel {parcel} did not arrive as it should.

Please keep everything: the goods with all broken pieces, the carton with its label and tape, and all cushioning. The
carrier may want to see them, and a claim often fails without them.

Please send us photographs of:
{photographs}

We need them by {reply_by}. If glass is broken, please do not reach into the carton: wear gloves and eye protection, and
keep children and animals away. Please leave out names, addresses and anything else that we do not need.

{shop}
"""
TO_CARRIER = """\
Claim for parcel {parcel}. Service: {service}. Shipped on {shipped_on}.

Cause: {cause}. Reported to us on {opened_on}.
Goods: {goods}.
Packing: {packing_method} in carton {carton}; closed sides {sides}; weight {weight}.
Declared value: {declared_value}. Invoices: {invoices}.
Amount claimed: {claimed}.

Evidence: {evidence}. Goods and packing are kept for your inspection until the claim is closed.

{shop}
"""
TEMPLATES = {"to-buyer.txt": TO_BUYER, "to-carrier.txt": TO_CARRIER}
NAMES = (
    *("parcel", "service", "shipped_on", "cause", "opened_on", "goods", "packing_method", "carton", "sides", "weight"),
    *("declared_value", "invoices", "claimed", "evidence", "photographs", "reply_by", "shop", "carrier"),
)


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
