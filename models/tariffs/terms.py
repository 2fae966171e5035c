"""The days in which a bill may be disputed and a claim filed. A list that leaves them out knows no such deadline."""

import re
from typing import Any

from models.tariffs.reading import Section
from models.tariffs.rules import DISPUTE_STARTS

# A file of rules written with learned prices used to say so: a number where none was known. Who has asked the carrier
# writes another line.
_GUESSED = re.compile(r"^(?:dispute_days|claim_days) = 30   # not known[ \t\r]*$", re.MULTILINE)


def without_guesses(rules_text: str) -> str:
    """The text of a rule file, with an empty line in place of each term that it calls not known."""
    return _GUESSED.sub("", rules_text)


def terms(top: Section) -> dict[str, Any]:
    """dispute_days, dispute_from, claim_days, label_refund_days; None for what the list does not state.

    Days of dispute without the day that they count from are noted as a fault.
    """
    dispute_days = top.whole("dispute_days")
    return {
        "dispute_days": dispute_days,
        "dispute_from": top.text("dispute_from", DISPUTE_STARTS, needed=dispute_days is not None) or None,
        "claim_days": top.whole("claim_days"),
        "label_refund_days": top.whole("label_refund_days"),
    }
