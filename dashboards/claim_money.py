"""The money of a claim and what it teaches, in lines of its sheet."""

from __future__ import annotations

from collections.abc import Iterator

from dashboards import values
from models.claims.lessons import Lesson
from models.claims.refunds import Recovery, Way
from models.claims.sheet import Sheet
from models.shop_units import Units


def way_pairs(sheet: Sheet, units: Units) -> list[tuple[str, str]]:
    """Each way out with what it costs the shop."""
    return [(way.name.capitalize(), _cost(way, units)) for way in sheet.ways]


def _cost(way: Way, units: Units) -> str:
    if way.cost is None:
        return f"not known: no record of {way.lacking}"
    back = f", or {_money(way.cost - way.fee_back, units)} where the fee comes back" if way.fee_back else ""
    return f"{_money(way.cost, units)}{back}"


def _money(cents: int, units: Units) -> str:
    return values.money(cents, units.currency)


def recovery_words(recovery: Recovery | None) -> str:
    """What the carrier made of such claims so far."""
    if recovery is None:
        return "The carrier pays for damage and loss alone."
    if recovery.share is None:
        return "No claim of this cause with this carrier was decided yet: what it will pay is not known."
    few = " These are few." if recovery.is_few else ""
    chance = f"95 % interval of the chance {recovery.low:.0%} to {recovery.high:.0%}"
    return (
        f"Of {recovery.decided} decided claims of this cause with this carrier it paid {recovery.paid} "
        f"({chance}), and {recovery.share:.0%} of all that was claimed.{few} "
        "No payment is taken off the costs above."
    )


def lesson_lines(sheet: Sheet) -> Iterator[str]:
    """The parcel beside its like, and the rules of thumb that it broke."""
    if sheet.lesson:
        yield _like(sheet.lesson)
        yield _pattern(sheet.lesson)
    for rule in sheet.rules_broken:
        yield f"Rule of thumb (common practice, no source): {rule}"


def _like(lesson: Lesson) -> str:
    low, high = lesson.like_interval
    alike = f"{lesson.like_damaged} of {values.count(lesson.like)} (95 % interval {low:.1%} to {high:.1%})"
    others = f"{lesson.other_damaged} of {values.count(lesson.other)}"
    return (
        f"Damaged of parcels with the same item type, packing method, carton and carrier: {alike}. "
        f"Of others of the item type: {others}."
    )


def _pattern(lesson: Lesson) -> str:
    if lesson.chance is None:
        return "No other parcel of the item type is on record to compare with."
    said = f"If these were no worse than the others, as many would be damaged with a chance of {lesson.chance:.0%}"
    verdict = "this may be a pattern" if lesson.is_pattern else "this is no proof of a pattern"
    settled = (
        f" About {values.count(lesson.settled_by)} parcels of each kind would settle it." if lesson.settled_by else ""
    )
    return f"{said}: {verdict}.{settled}"
