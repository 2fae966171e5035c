"""How far prices learned from bills miss: those that tariffs use, and those of days without a price list."""

from collections.abc import Iterator

import pandas as pd

from models.analyses.question import Question, answer
from models.learned_prices.learning import LearnedLane, learned, price_rows

READS, WRITES = ("rate_bills",), ("analysis.rate_curves",)
DAYS = ["carrier", "tariff_code", "learned_first_on", "learned_last_on"]
LANE = ("carrier", "service", "zone", "tariff_code", "learned_first_on", "learned_last_on")


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.rate_curves from the query rate_bills, one row per carrier, service, zone, tariff and days.

    All lanes of a tariff's days are learned together, by its own steps of weight. A tariff whose prices were learned
    from bills that the records do not hold has a row with no bills and no error.
    """
    by_days = question.table("rate_bills").groupby(DAYS, sort=True, dropna=False)
    rows = [row for _, part in by_days for row in _of_days(part)]
    return {WRITES[0]: answer(WRITES[0], rows).sort_values(list(LANE), ignore_index=True)}


def _of_days(part: pd.DataFrame) -> Iterator[dict[str, object]]:
    times = part["bill_count"].tolist()
    per_lb = float(part["weight_per_lb"].iloc[0])
    bills = part.loc[part.index.repeat(times), ["service", "zone", "base_cents"]].assign(
        billed_weight=(part["billed_weight_lb"] * per_lb).round(3).repeat(times)
    )
    lanes = {(lane.service, lane.zone): lane for lane in learned(bills, part["weight_step_milli"].min() / 1_000)}
    is_in_use = {"is_in_use": not pd.isna(part["tariff_code"].iloc[0])}
    for key in part[list(LANE)].drop_duplicates().to_dict("records"):
        named = {str(name): value for name, value in key.items()}
        yield named | is_in_use | _found(lanes.get((str(key["service"]), str(key["zone"]))), per_lb)


def _found(lane: LearnedLane | None, per_lb: float) -> dict[str, object]:
    if lane is None:
        return {"bill_count": 0, "left_out_unpriced_count": 0}
    return {
        "bill_count": lane.bill_count,
        "seen_from_lb": lane.lightest / per_lb,
        "seen_to_lb": lane.heaviest / per_lb,
        "left_out_error_cents": None if lane.error_cents is None else int(lane.error_cents + 0.5),
        "left_out_error_share": lane.error_share,
        "widest_interval_share": _widest(lane),
        "left_out_unpriced_count": lane.outside_count,
    }


def _widest(lane: LearnedLane) -> float | None:
    """Half the widest interval as a share of its price; None where too few bills were left out to know one."""
    known = price_rows([lane]).dropna(subset=["price_cents", "interval_cents"])
    return None if known.empty else float((known["interval_cents"] / known["price_cents"]).max())
