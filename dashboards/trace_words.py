"""How the parcels that a trace leads to relate to its figure."""

from dashboards import sentences
from dashboards.review_tables import Records
from dashboards.sentences.letters import TRACE
from models.plain_rows import plain
from models.shop_units import Units

TRACED = ("trace.added", "trace.exactly", "trace.among", "trace.part", "trace.none")


def trace_lines(relation: str, parcel_count: int, amount_cents: int | None, units: Units) -> list[str]:
    """The sentence that stands between a figure and its parcels. relation: of models/provenance.py."""
    row = {"relation": relation, "parcel_count": parcel_count, "amount_cents": amount_cents}
    return sentences.lines(TRACED, Records(tables={TRACE: plain([row])}), units)
