"""From what buyers paid to what is left of a month: steps that add up to the cent, then what is still to come."""

from collections.abc import Iterator
from typing import Any

import pandas as pd

from models.analyses.question import Question, answer
from models.money import MONEY
from models.plain_rows import as_dicts

READS = ("marts.shipping_margin", "analysis.completed_months")
WRITES = ("analysis.margin_waterfall",)
PAID, LEFT, TO_COME, IN_THE_END = "paid by buyers", "left so far", "still to come", "left in the end"
# Which kinds of money (models/money.py) each step is made of: what carriers billed in the parts that other tables have,
# so that the same words are the same number. A kind that none names counts among OTHERS.
OTHERS = "other charges"
STEPS = {
    PAID: ("shipping_charged", "shipping_refunded", "allowance"),
    "marketplace fees": ("fee_on_shipping",),
    "plain carriage and fuel": ("base", "fuel"),
    "surcharges": ("surcharge",),
    "adjustments and credits": ("adjustment", "credit"),
    "tax on carriage": ("tax", "tax_reclaimed"),
    OTHERS: (),
    "packing": ("carton", "material", "labour"),
    "damage": ("damage_net",),
    "returns": ("return_carriage", "depreciation"),
}


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.margin_waterfall: for each month with parcels its steps in order and their sum, what is left so far.

    Where more is expected to come, that and the completed margin follow. A step of nothing is left out.
    waterfall_from_cents: where the step begins, the sum of those before; 0 for what is left.
    """
    months, completed = (question.table(name).set_index("shipped_month").sort_index() for name in READS)
    months = months[months["parcel_count"] > 0]
    to_come = (completed["completed_margin_cents"] - completed["margin_cents"]).reindex(months.index).fillna(0)
    rows = [
        {
            "shipped_month": month,
            "step_number": at,
            "waterfall_step": step,
            "waterfall_cents": cents,
            "waterfall_from_cents": start,
        }
        for month, amounts in zip(months.index, as_dicts(months), strict=True)
        for at, (step, cents, start) in enumerate(_steps(amounts, int(to_come[month])), start=1)
    ]
    return {WRITES[0]: answer(WRITES[0], rows)}


def _steps(amounts: dict[str, Any], to_come: int) -> Iterator[tuple[str, int, int]]:
    """Name, cents and start of each step."""
    reached = 0
    for step, cents in _sums(amounts).items():
        if cents or step == PAID:
            yield step, cents, reached
        reached += cents
    yield LEFT, reached, 0
    if to_come:
        yield TO_COME, to_come, reached
        yield IN_THE_END, reached + to_come, 0


def _sums(amounts: dict[str, Any]) -> dict[str, int]:
    named = {name: step for step, names in STEPS.items() for name in names}
    sums = dict.fromkeys(STEPS, 0)
    for kind in MONEY:
        sums[named.get(kind.name, OTHERS)] += kind.sign * int(amounts[kind.column])
    return sums
