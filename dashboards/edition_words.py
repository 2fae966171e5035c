"""Which edition of a month's report this is and what changed since the one before, as page and terminal say it."""

from collections.abc import Iterator

import pandas as pd

from dashboards import formats, sentences
from dashboards.review_tables import Records
from dashboards.sentences.letters import CHANGES, EDITION
from models import columns
from models.fields import Quantity
from models.shop_units import Units


def edition_words(edition: int, changes: pd.DataFrame, units: Units) -> str:
    """One line. changes: measure, amount_before, amount_after against the edition before."""
    records = of_edition(edition, changes)
    reported = [f"{'; '.join(_reported(changes, units))}."] if edition > 1 and len(changes) else []
    begun = sentences.lines(["edition.first", "edition.later"], records, units)
    return " ".join([*begun, *reported, *sentences.lines(["edition.nothing_changed"], records, units)])


def of_edition(edition: int, changes: pd.DataFrame) -> Records:
    """What the sentences on an edition are judged by."""
    numbers = pd.DataFrame({"edition": [edition], "edition_before": [edition - 1]})
    return Records(tables={EDITION: numbers, CHANGES: changes})


def _reported(changes: pd.DataFrame, units: Units) -> Iterator[str]:
    for measure, before, after in changes[["measure", "amount_before", "amount_after"]].itertuples(index=False):
        yield f"{columns.label(measure)} {amount(measure, before, units)}, now {amount(measure, after, units)}"


def amount(measure: str, value: float | None, units: Units) -> str:
    """A headline amount as written; the outbox keeps money and counts as floating point."""
    kind = columns.quantity(measure)
    if kind is Quantity.FRACTION and value is not None and not formats.is_unknown(value):
        return formats.fine_rate(value)  # in whole percent many a change would be none
    whole = kind in (Quantity.MONEY, Quantity.COUNT) and not formats.is_unknown(value)
    return formats.shown(int(value) if whole and value is not None else value, measure, units)
