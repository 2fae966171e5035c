"""Cases of what is told of other services and carriers."""

from __future__ import annotations

from tests.dashboards.sentences.cases import Case, row, rows

TOTALS, COVERAGE, RULES = "analysis.service_totals", "analysis.service_coverage", "analysis.service_rules"
ALONE, CHOICE = (row(COVERAGE, not_compared=reason) for reason in ("no other service in a tariff", "no days promised"))
CHEAPER = row(TOTALS, parcel_count=9, compared_elsewhere_count=7, better_parcel_count=3, saving_cents=4_500)
LEVEL = row(TOTALS, parcel_count=9, compared_elsewhere_count=7, better_parcel_count=0, saving_cents=0)
NONE = row(TOTALS, parcel_count=9, compared_elsewhere_count=0, better_parcel_count=0, saving_cents=0)
CASES = {
    "services.saving": Case(CHEAPER, (LEVEL, NONE), "Of 9 parcels looked back on, 7 could be compared"),
    "services.none_cheaper": Case(LEVEL, (CHEAPER, NONE), "none would have cost less"),
    "services.none_compared": Case(NONE | CHOICE, (NONE | ALONE, CHEAPER | CHOICE, LEVEL | CHOICE), "Of 9 parcels"),
    "services.none_advised": Case(
        CHEAPER | row(RULES, is_advised=False), (CHEAPER | row(RULES, is_advised=True), LEVEL | rows(RULES), CHEAPER)
    ),
    "services.more_damage": Case(
        row(RULES, item_type="vase", more_damage_cents=150), (row(RULES, more_damage_cents=0), rows(RULES)), "vase by"
    ),
}
