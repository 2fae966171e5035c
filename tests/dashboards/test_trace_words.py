"""What stands between a traced figure and its parcels."""

from __future__ import annotations

import pytest

from dashboards.trace_words import trace_lines
from models.provenance import RELATIONS
from models.shop_units import Units


def test_each_relation_has_one_sentence_of_its_own() -> None:
    told = [trace_lines(relation, 3, 12_345, Units("USD")) for relation in RELATIONS]
    assert [len(lines) for lines in told] == [1] * len(RELATIONS)
    assert len({lines[0] for lines in told}) == len(RELATIONS)


@pytest.mark.parametrize(
    ("parcels", "cents", "says"), [(1, -90, "1 parcel, whose amounts add up to -$0.90."), (2, None, "")]
)
def test_a_sum_is_told_with_its_amount_and_never_without(parcels: int, cents: int | None, says: str) -> None:
    assert " ".join(trace_lines("added up", parcels, cents, Units("USD"))).endswith(says)
    assert bool(trace_lines("added up", parcels, cents, Units("USD"))) == bool(says)
