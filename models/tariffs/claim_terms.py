"""The days of a claim, as [[claim_terms]] of a tariff file states them; filing is `claim_days` after shipping."""

from collections.abc import Sequence
from typing import Any

from models.claims.deadlines import MOST_NUMBER, STARTS, STEPS, TERM_UNITS, ClaimTerm
from models.tariffs.reading import Section

FILING = "filing"
STATED = tuple(step for step in STEPS if step != FILING)


def claim_terms(top: Section) -> tuple[ClaimTerm, ...]:
    """The terms, each step once; what cannot be meant is noted with its line. Filing is not among them."""
    found: dict[str, ClaimTerm] = {}

    def read(section: Section) -> None:
        if term := _term(section):
            if term.step in found:
                section.wrong("step", f"= {term.step} is stated twice", "state one term for each step")
            found[term.step] = term

    top.rows("claim_terms", read)
    return tuple(found.values())


def _term(section: Section) -> ClaimTerm | None:
    step, start = section.text("step", STATED), section.text("from", STARTS)
    stated = {unit: section.whole(unit) for unit in TERM_UNITS}
    units = [unit for unit, number in stated.items() if number is not None]
    if len(units) != 1 or (stated[units[0]] or 0) > MOST_NUMBER:
        section.wrong("step", f"= {step} needs one length", f"state one of {', '.join(TERM_UNITS)}, such as days = 30")
        return None
    if step not in STATED or start not in STARTS:
        return None
    return ClaimTerm(step, stated[units[0]] or 0, units[0], start, section.line())


def all_terms(claim_days: int | None, stated: Sequence[ClaimTerm]) -> tuple[ClaimTerm, ...]:
    """Every term that a tariff states, that of filing first."""
    if claim_days is None:
        return tuple(stated)
    return (ClaimTerm(FILING, claim_days, "days", "shipped_on"), *stated)


def claim_term_rows(tariff_key: int, claim_days: int | None, stated: Sequence[ClaimTerm]) -> list[dict[str, Any]]:
    """Rows of shop.tariff_claim_terms."""
    return [
        {
            "tariff_key": tariff_key,
            "claim_step": term.step,
            "term_length": term.number,
            "term_unit": term.unit,
            "term_start": term.start,
        }
        for term in all_terms(claim_days, stated)
    ]
