"""Which edition of a month's report this is and what changed since the one before, as page and terminal say it."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from dashboards import formats
from models import columns
from models.fields import Quantity
from models.shop_units import Units


def edition_words(edition: int, changes: pd.DataFrame, units: Units) -> str:
    """One line. changes: measure, amount_before, amount_after against the edition before."""
    if edition == 1:
        return "Edition 1 of this month's review."
    reported = "; ".join(_reported(changes, units)) or "no headline amount changed; smaller figures did"
    return f"Edition {edition} of this month's review. Since edition {edition - 1}: {reported}."


def _reported(changes: pd.DataFrame, units: Units) -> Iterator[str]:
    for measure, before, after in changes[["measure", "amount_before", "amount_after"]].itertuples(index=False):
        yield f"{columns.label(measure)} {amount(measure, before, units)}, now {amount(measure, after, units)}"


def amount(measure: str, value: float | None, units: Units) -> str:
    """A headline amount as written; the outbox keeps money and counts as floating point."""
    kind = columns.quantity(measure)
    whole = kind in (Quantity.MONEY, Quantity.COUNT) and not formats.is_unknown(value)
    return formats.shown(int(value) if whole and value is not None else value, measure, units)
