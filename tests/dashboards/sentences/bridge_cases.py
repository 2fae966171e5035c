"""Cases of the sentences on months compared, and on what changed the margin between them."""

from __future__ import annotations

from tests.dashboards.sentences.cases import BEFORE, Case, Tables, margin, one_month, row, rows
from tests.dashboards.sentences.margin_cases import EQUAL, MARGIN, UNEQUAL


def _bridge(*steps: tuple[str, int, int], share: float | None = 0.8) -> Tables:
    cells = [
        {
            "step_number": at,
            "bridge_step": name,
            "margin_step_change_cents": cents,
            "main_item_type": "kettle",
            "main_item_change_cents": main,
            "compared_share": share,
            "is_actionable": name in ("prices", "damage", "material"),
        }
        for at, (name, cents, main) in enumerate([*steps, ("all", sum(step[1] for step in steps), 0)])
    ]
    return rows("analysis.margin_bridge", *cells)


STEPS = _bridge(
    ("prices", -200, -150), ("damage", 90, 50), ("material", 10, 10), ("mix", 150, 100), ("volume", -400, -300)
)
ONE_ITEM = _bridge(("prices", -200, -200), ("damage", 50, 50), ("mix", 150, 150))
NO_ITEM = {
    name: steps.assign(main_item_type="unknown")
    for name, steps in _bridge(("prices", -200, -150), ("damage", 50, 40), ("mix", 150, 90)).items()
}
NO_STEP = _bridge(("prices", 0, 0), ("volume", 0, 0))
ONLY_GIVEN = _bridge(("prices", 0, 0), ("volume", -400, -300))

COMPARED = row(
    "analysis.margin_comparisons",
    compared_with="the same month last year",
    per_parcel_change_cents=40,
    compared_per_parcel_cents=-210,
    compared_parcel_count=340,
    is_like_with_like=True,
)
UNLIKE, UNKNOWN, SMALL = (
    {name: rows.assign(**{column: value}) for name, rows in COMPARED.items()}
    for column, value in (("is_like_with_like", False), ("is_like_with_like", None), ("compared_parcel_count", 29))
)

CASES: dict[str, Case] = {
    "margin.compared": Case(
        {**one_month(), **COMPARED},
        (*({**one_month(), **tables} for tables in (UNLIKE, UNKNOWN, SMALL)), {**one_month(parcels=29), **COMPARED}),
        "+$0.40 against the same month last year (-$2.10 on 340 parcels).",
    ),
    "bridge.no_month_before": Case(one_month(), (EQUAL, {})),
    "bridge.unequal": Case({**UNEQUAL, **STEPS}, ({**EQUAL, **STEPS}, UNEQUAL, {**one_month(), **STEPS})),
    "bridge.moved_most": Case(
        {**EQUAL, **STEPS},
        ({**UNEQUAL, **STEPS}, {**EQUAL, **NO_STEP}, {**EQUAL, **ONLY_GIVEN}),
        "the largest part that can be acted on is prices: -$2.00.",
    ),
    "bridge.given": Case(
        {**EQUAL, **STEPS},
        ({**UNEQUAL, **STEPS}, {**EQUAL, **NO_STEP}, {**EQUAL, **_bridge(("prices", -200, -150))}),
        "The largest part that nobody can act on is volume: -$4.00.",
    ),
    "bridge.hurt_most": Case(
        {**EQUAL, **STEPS},
        ({**UNEQUAL, **STEPS}, {**EQUAL, **ONE_ITEM}, {**EQUAL, **NO_STEP}, {**EQUAL, **ONLY_GIVEN}),
        "Hurt most, of what can be acted on: prices, -$2.00; kettle alone -$1.50.",
    ),
    "bridge.hurt_most_one_item": Case(
        {**EQUAL, **NO_ITEM},
        ({**EQUAL, **STEPS}, {**UNEQUAL, **ONE_ITEM}),
        "Hurt most, of what can be acted on: prices, -$2.00.",
    ),
    "bridge.helped_most": Case(
        {**EQUAL, **STEPS},
        ({**EQUAL, **NO_ITEM}, {**UNEQUAL, **STEPS}, {**EQUAL, **ONE_ITEM}, {**EQUAL, **NO_STEP}),
        "Helped most, of what can be acted on: damage, +$0.90; kettle alone +$0.50.",
    ),
    "bridge.helped_most_one_item": Case({**EQUAL, **ONE_ITEM}, ({**EQUAL, **STEPS}, {**UNEQUAL, **ONE_ITEM})),
    "bridge.compared": Case(
        {**EQUAL, **STEPS},
        (
            {**EQUAL, **_bridge(("volume", -4, -4), share=None)},
            {**EQUAL, **_bridge(("volume", -4, -4), share=1.0)},
            {**UNEQUAL, **STEPS},
            {**EQUAL, **STEPS, **rows(MARGIN, {**margin(-9), "shipped_month": BEFORE}, margin(-10, 49))},
        ),
        "80% of the month's parcels are comparable",
    ),
    "bridge.spans_compared": Case(
        row("terminal.bridge", compared_share=0.8, parcel_count=50),
        (
            row("terminal.bridge", compared_share=None, parcel_count=50),
            row("terminal.bridge", compared_share=1.0, parcel_count=50),
            row("terminal.bridge", compared_share=0.8, parcel_count=49),
        ),
        "80% of the later parcels",
    ),
}
