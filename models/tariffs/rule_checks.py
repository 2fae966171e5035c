"""Checks of a tariff's surcharge rows: names that nothing bears, rows that can never apply, ranks that tie."""

from collections.abc import Iterator
from itertools import combinations

from models.tariffs.charges import Condition, Extra, Surcharge
from models.tariffs.reading import Finding
from models.tariffs.rules import MILLI, Tariff


def surcharge_findings(tariff: Tariff) -> Iterator[Finding]:
    """Everything found in the surcharge rows."""
    for row in tariff.surcharges:
        yield from _unknown_names(tariff, row)
        yield from _never_valid(tariff, row)
        yield from _never_met(tariff, row)
        yield from _never_priced(tariff, row)
        yield from _zero_wins(tariff, row)
        if row.is_greatest and (row.per_weight or (row.share_millionths is not None and not row.is_of_declared)):
            what = "takes a share or an amount by weight, which `greatest` cannot compare"
            yield _stop(tariff, row, what, "state ranks, or fixed amounts")
    yield from _other_densities(tariff)
    for first, second in combinations(tariff.surcharges, 2):
        if first.group and first.group == second.group:
            yield from _tied(tariff, first, second)
            yield from _always_beaten(tariff, first, second)
            yield from _always_beaten(tariff, second, first)


def _other_densities(tariff: Tariff) -> Iterator[Finding]:
    """Rows of one service that look for different densities: it is rated by one."""
    for service in tariff.services:
        rows = [row for row in tariff.surcharges if row.missing and row.holds_for(service.service)]
        for row in rows:
            if row.missing and rows[0].missing and row.missing.density != rows[0].missing.density:
                what = f"looks for another density than {rows[0].surcharge} in line {rows[0].line} does"
                yield _stop(tariff, row, what, f"state one density for the service {service.service}")


def extra_findings(tariff: Tariff) -> Iterator[Finding]:
    """Everything found in the options and events."""
    rated = {row.surcharge: row.line for row in tariff.surcharges}
    codes = {row.charge_code: row.line for row in tariff.surcharges}
    for row in tariff.extras:
        yield from _unknown_scope(tariff, row)
        if row.charge_name in rated:
            yield _stop(tariff, row, f"is also the surcharge of line {rated[row.charge_name]}", "rename one of the two")
        elif row.charge_code in codes:
            what = f"has the code {row.charge_code} of the surcharge in line {codes[row.charge_code]}"
            yield _stop(tariff, row, what, "give each its own code")
        if row.valid_from and row.valid_to and row.valid_from > row.valid_to:
            yield _stop(tariff, row, "ends before it begins", "correct from and to")


def _stop(tariff: Tariff, row: Surcharge | Extra, what: str, next_step: str) -> Finding:
    return Finding(tariff.file, row.line, "stop", f"{_named(row)} {what}", next_step)


def _named(row: Surcharge | Extra) -> str:
    return f"surcharge {row.surcharge}" if isinstance(row, Surcharge) else f"{row.extra_kind} {row.charge_name}"


def _warn(tariff: Tariff, row: Surcharge, what: str, next_step: str) -> Finding:
    return Finding(tariff.file, row.line, "warn", f"{_named(row)} {what}", next_step)


def _unknown_names(tariff: Tariff, row: Surcharge) -> Iterator[Finding]:
    yield from _unknown_scope(tariff, row)
    if row.area is not None and row.area not in dict(tariff.areas):
        yield _stop(tariff, row, f"is for the unknown area {row.area}", "list the area's prefixes under [areas]")


def _unknown_scope(tariff: Tariff, row: Surcharge | Extra) -> Iterator[Finding]:
    for service in sorted(set(row.services or ()) - tariff.service_names):
        yield _stop(tariff, row, f"is for the unknown service {service}", "correct the name, or state the service")
    for zone in sorted(set(row.zones or ()) - tariff.priced_zones):
        yield _stop(tariff, row, f"is for zone {zone}, which has no prices", "correct the zone, or add its prices")


def _never_valid(tariff: Tariff, row: Surcharge) -> Iterator[Finding]:
    first, last = tariff.days(row)
    if first > last:
        yield _stop(tariff, row, "ends before it begins", "correct from and to")
    elif first > tariff.last_on or last < tariff.effective_from:
        yield _warn(tariff, row, "is valid on no day of the tariff", "correct from and to, or drop the row")


def _never_met(tariff: Tariff, row: Surcharge) -> Iterator[Finding]:
    """Each alternative needs more than what any of its services carries."""
    services = [each for each in tariff.services if row.holds_for(each.service)]
    limits = [dict(service.limits) for service in services]
    if limits and all(_beyond(limit, alternative) for limit in limits for alternative in row.when):
        yield _warn(
            tariff, row, "can never apply: parcels that meet it are beyond the limits", "correct thresholds or limits"
        )


def _beyond(limits: dict[str, int], alternative: tuple[Condition, ...]) -> bool:
    return any(
        each.threshold_milli > limits[each.measure]
        or (each.threshold_milli == limits[each.measure] and not each.is_inclusive)
        for each in alternative
        if each.measure in limits and not each.is_below
    )


def _never_priced(tariff: Tariff, row: Surcharge) -> Iterator[Finding]:
    heaviest = max((price.up_to_milli for price in tariff.prices), default=0)
    if tariff.prices and row.minimum_weight_milli > heaviest:
        what = f"bills at least {row.minimum_weight_milli / MILLI:g}, beyond the heaviest price"
        yield _warn(tariff, row, what, "lower minimum_weight, or add prices")


def _meet(tariff: Tariff, first: Surcharge, second: Surcharge) -> bool:
    """Whether some parcel, zone, service and day can meet both rows."""
    services, zones = tariff.service_names, tariff.priced_zones
    (begun, ended), (other_begun, other_ended) = tariff.days(first), tariff.days(second)
    return bool(
        set(first.services or services) & set(second.services or services)
        and set(first.zones or zones) & set(second.zones or zones)
        and begun <= other_ended
        and other_begun <= ended
    )


def _tied(tariff: Tariff, first: Surcharge, second: Surcharge) -> Iterator[Finding]:
    if first.is_greatest != second.is_greatest:
        what = f"is of group {second.group} with {first.surcharge} in line {first.line}, of which one has no `greatest`"
        yield _stop(tariff, second, what, "state greatest = true in all rows of the group, or in none")
    elif first.rank == second.rank and not first.is_greatest and _meet(tariff, first, second):
        what = f"and {first.surcharge} in line {first.line} have the same rank in group {first.group}"
        yield _warn(tariff, second, what, "give them different ranks; as it stands the first is charged")


def _always_beaten(tariff: Tariff, weaker: Surcharge, stronger: Surcharge) -> Iterator[Finding]:
    """The stronger row applies wherever the weaker does: in every service, zone, day, home and area, and always."""
    (begun, ended), (weaker_begun, weaker_ended) = tariff.days(stronger), tariff.days(weaker)
    covers = (
        stronger.rank > weaker.rank
        and not stronger.is_greatest
        and _covers(stronger.services, weaker.services)
        and _covers(stronger.zones, weaker.zones)
        and begun <= weaker_begun
        and ended >= weaker_ended
        and (not stronger.is_residential or weaker.is_residential)
        and stronger.area in (None, weaker.area)
        and all(any(_implied(wide, narrow) for wide in stronger.when) for narrow in weaker.when)
    )
    if covers:
        what = f"can never apply: {stronger.surcharge} in line {stronger.line} always goes before it"
        yield _warn(tariff, weaker, what, "correct the ranks or the thresholds")


def _zero_wins(tariff: Tariff, row: Surcharge) -> Iterator[Finding]:
    """A row of nothing that keeps others of its group from being charged. One that bills a least weight is meant so."""
    if row.group is None or row.is_greatest or row.amount_cents != 0 or row.minimum_weight_milli:
        return
    spared = [
        f"{other.surcharge} in line {other.line}"
        for other in tariff.surcharges
        if other.group == row.group and other.rank < row.rank and other.amount_cents != 0 and _meet(tariff, row, other)
    ]
    if spared:
        what = f"charges nothing, yet goes before {', '.join(spared)}: a parcel that meets both pays neither"
        yield _warn(tariff, row, what, "state its amount or a lower rank, if the list does not mean that")


def _covers(wide: tuple[str, ...] | None, narrow: tuple[str, ...] | None) -> bool:
    return wide is None or (narrow is not None and set(narrow) <= set(wide))


def _implied(wide: tuple[Condition, ...], narrow: tuple[Condition, ...]) -> bool:
    """Whether every parcel that meets `narrow` meets `wide`."""
    return all(any(_at_least_as_strict(each, condition) for each in narrow) for condition in wide)


def _at_least_as_strict(narrow: Condition, wide: Condition) -> bool:
    if (narrow.measure, narrow.is_below) != (wide.measure, wide.is_below):
        return False
    further = narrow.threshold_milli - wide.threshold_milli
    return (further < 0 if wide.is_below else further > 0) or (
        narrow.threshold_milli == wide.threshold_milli and (wide.is_inclusive or not narrow.is_inclusive)
    )
