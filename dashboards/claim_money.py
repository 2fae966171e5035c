"""The money of a claim in lines of its sheet: each way out, and what the carrier paid of such claims."""

from dashboards import values
from models.claims.refunds import Recovery, Way
from models.claims.sheet import Sheet
from models.shop_units import Units


def way_pairs(sheet: Sheet, units: Units) -> list[tuple[str, str]]:
    """Each way out with what it costs the shop."""
    return [(way.name.capitalize(), _cost(way, units)) for way in sheet.ways]


def _cost(way: Way, units: Units) -> str:
    if way.cost is None:
        return f"not known: no record of {way.lacking}"
    less = way.cost_less_fee
    back = f", or {_money(less, units)} where the fee comes back" if way.fee_back and less is not None else ""
    return f"{_money(way.cost, units)}{back}"


def _money(cents: int, units: Units) -> str:
    return values.money(cents, units.currency)


def recovery_pairs(sheet: Sheet) -> list[tuple[str, str]]:
    """What the carrier made of decided claims of the cause, by the evidence that is on record of them."""
    return [(f"Claims {kind}", _decided(found)) for kind, found in sheet.by_evidence if found.decided]


def _decided(found: Recovery) -> str:
    few = "; few" if found.is_few else ""
    return f"{found.paid} of {found.decided} paid (95% interval {found.low:.0%} to {found.high:.0%}){few}"
