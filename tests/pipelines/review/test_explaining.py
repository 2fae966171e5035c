"""A parcel's bill is explained by the very models that check all bills."""

from __future__ import annotations

from pipelines.review import explaining
from pipelines.shop import warehouse
from tests.shops import rows

TWICE = """
select parcel_id, cast(sum(billed_cents) as bigint) as cents
from marts.billing_differences
where difference_class = 'duplicate line'
group by parcel_id
"""
CHARGED = """
select cast(sum(amount_cents) as bigint) as cents
from core.charge_lines
where parcel_id = '{}' and charge_kind in ('base', 'surcharge', 'fuel', 'unmapped')
"""


def test_lines_billed_twice_count_once_and_all_others_are_reported(demo: warehouse.Connection) -> None:
    found = rows(demo, TWICE)
    assert len(found) == 15  # as many as the demo's shop plants
    for parcel in found:
        reported = explaining.bill(demo, parcel["parcel_id"])["lines"]
        charged = rows(demo, CHARGED.format(parcel["parcel_id"]))[0]["cents"]
        assert reported["billed_cents"].sum() == charged - parcel["cents"]
    assert explaining.bill(demo, "NOSUCH")["lines"].empty
