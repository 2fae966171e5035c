"""What stands between a traced figure and its parcels."""

from __future__ import annotations

import pytest

from dashboards import sentences
from dashboards.sentences.letters import TRACE
from models.provenance import RELATIONS
from models.shop_units import Units
from pipelines.commands.trace import TRACED


def trace_lines(relation: str, parcels: int, cents: int | None) -> list[str]:
    led_to = {"relation": relation, "parcel_count": parcels, "amount_cents": cents}
    return sentences.lines_of(TRACED, TRACE, [led_to], Units("USD"))


def test_each_relation_has_one_sentence_of_its_own() -> None:
    shown = [trace_lines(relation, 3, 12_345) for relation in RELATIONS]
    assert [len(lines) for lines in shown] == [1] * len(RELATIONS)
    assert len({lines[0] for lines in shown}) == len(RELATIONS)


@pytest.mark.parametrize(
    ("parcels", "cents", "says"), [(1, -90, "1 parcel, whose amounts add up to -$0.90."), (2, None, "")]
)
def test_a_sum_is_reported_with_its_amount_and_never_without(parcels: int, cents: int | None, says: str) -> None:
    assert " ".join(trace_lines("added up", parcels, cents)).endswith(says)
    assert bool(trace_lines("added up", parcels, cents)) == bool(says)
