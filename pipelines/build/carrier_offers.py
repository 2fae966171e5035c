"""What the terms of a carrier's offer would be worth on the shop's own past: each alone, and all together."""

import math
from collections.abc import Sequence
from datetime import date
from pathlib import Path

import pandas as pd

from models.contracts import validated
from models.errors import TariffError
from models.sql_texts import sql_texts
from models.tables.rating import PRICED
from models.tables.tariff_comparison import TERMS
from models.tariffs.offer_terms import offered
from models.tariffs.rules import Tariff
from pipelines.build import rating, tariffs
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings

TOGETHER = "all terms together"


def asked(settings: Settings, file: Path | None, on: date) -> Tariff:
    """The tariff of the file, or the one in force on a day. Raises TariffError where there is not just one."""
    if file is not None:
        return tariffs.announced(settings, file)
    found = [each for each in tariffs.tariffs_of(settings) if each.effective_from <= on <= each.last_on]
    if len(found) != 1:
        known = " or ".join(each.tariff_code for each in found)
        raise TariffError(
            "--what-if",
            f"may be about {known}" if found else f"is about no tariff: none is in force on {on}",
            "this comparison",
            "give the file of the tariff that the offer is about",
        )
    return found[0]


def worth(connection: warehouse.Connection, tariff: Tariff, terms: Sequence[str], since: date) -> pd.DataFrame:
    """comparison.terms: for each term, and for all together, the carrier's parcels shipped since a day.

    All are rated again: by the tariff as it is, with one term, and with all, on the same parcels. Raises TariffError
    for a term that the tariff does not know, NotFoundError where the carrier shipped nothing since.
    """
    changed = [(term, offered(tariff, term)) for term in terms]
    together = tariff
    for term in terms:
        together = offered(together, term)
    before = _rated(connection, tariff, since)
    rows = [_row(name, before, _rated(connection, each, since)) for name, each in [*changed, (TOGETHER, together)]]
    found = pd.DataFrame(rows).assign(term_number=range(1, len(rows) + 1))
    # The last row is no term of its own: up to it all terms are added up.
    alone = found["change_cents"].where(found["term"] != TOGETHER, 0).cumsum()
    return validated(found.assign(alone_cents=alone)[list(TERMS.columns)], TERMS, "this comparison")


def _rated(connection: warehouse.Connection, tariff: Tariff, since: date) -> pd.DataFrame:
    """Expected cents by parcel, and how far learned prices may be off; those that cannot be priced are unknown."""
    tariffs.write(connection, [tariff], schema="announced")
    moved = connection.execute(sql_texts("tariff_comparison")["requests"], [since]).df()
    if moved.empty:
        raise rating.nothing_shipped(since)
    rating.rate(connection, moved, tariffs="announced", until=PRICED)
    rows = connection.execute(sql_texts("tariff_comparison")["offered"]).df().set_index("request_id")
    return rows.assign(expected_cents=rows["expected_cents"].astype("Int64"))


def _row(term: str, before: pd.DataFrame, after: pd.DataFrame) -> dict[str, object]:
    both = before.add_suffix("_before").join(after).dropna(subset=["expected_cents_before", "expected_cents"])
    change = both["expected_cents"] - both["expected_cents_before"]
    paid = int(both["expected_cents_before"].sum())
    return {
        "term": term,
        "parcel_count": len(before),
        "compared_count": len(both),
        "changed_count": int((change != 0).sum()),
        "before_cents": paid,
        "after_cents": int(both["expected_cents"].sum()),
        "change_cents": int(change.sum()),
        "change_share": round(int(change.sum()) / paid, 4) if paid else None,
        "learned_count": int(both["is_learned"].sum()),
        "within_cents": _within(both[both["is_learned"]]),
    }


def _within(learned: pd.DataFrame) -> int | None:
    """How far the change may be off; None where no price is learned, or of one its interval is not known.

    The same price without and with a term is off the same way, so that only what the term makes of that is left; of two
    prices one may be too high and the other too low.
    """
    before, after = learned["within_cents_before"], learned["within_cents"]
    if learned.empty or before.isna().any() or after.isna().any():
        return None
    is_same = learned["price_name"] == learned["price_name_before"]
    return math.ceil(((after - before).abs().where(is_same, after + before)).sum())
