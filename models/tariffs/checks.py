"""What is wrong or doubtful in a tariff that could be read: each a finding with file, line and what to do."""

from collections.abc import Iterator, Sequence
from datetime import timedelta
from itertools import pairwise

from models.tariffs.charges import SURCHARGE, Discount
from models.tariffs.condition_levels import MOST_BITS, bits_needed
from models.tariffs.price_checks import price_findings
from models.tariffs.reading import Finding
from models.tariffs.rule_checks import extra_findings, surcharge_findings
from models.tariffs.rules import MILLIONTHS_OF_PERCENT, Tariff
from models.tariffs.shipments import shipment_findings

DAY = timedelta(days=1)


def checked(tariff: Tariff) -> list[Finding]:
    """Everything found in one tariff, in the order of its lines."""
    found = [
        *_date_findings(tariff),
        *_service_findings(tariff),
        *price_findings(tariff),
        *surcharge_findings(tariff),
        *extra_findings(tariff),
        *shipment_findings(tariff),
        *_discount_findings(tariff),
        *_fuel_findings(tariff),
        *_tax_findings(tariff),
    ]
    return sorted(found, key=lambda each: (each.file != tariff.file, each.file, each.line))


def checked_together(tariffs: Sequence[Tariff]) -> list[Finding]:
    """What is wrong between a carrier's tariffs: days with two for one service, days with none, a code used twice."""
    found = []
    codes: dict[str, Tariff] = {}
    for tariff in tariffs:
        first = codes.setdefault(tariff.tariff_code, tariff)
        if first is not tariff:
            found.append(
                _stop(
                    tariff, 1, f"tariff_code {tariff.tariff_code} is also that of {first.file}", "give it its own code"
                )
            )
    for carrier, service in dict.fromkeys((each.carrier, row.service) for each in tariffs for row in each.services):
        stating = [each for each in tariffs if any(row.service == service for row in each.services)]
        own = sorted((each for each in stating if each.carrier == carrier), key=lambda each: each.effective_from)
        found += [finding for pair in pairwise(own) for finding in _between(*pair)]
    return list(dict.fromkeys(found))


def _between(earlier: Tariff, later: Tariff) -> Iterator[Finding]:
    if earlier.last_on >= later.effective_from:
        yield _stop(
            earlier,
            1,
            f"is still valid on {later.effective_from}, when {later.file} begins",
            f"state effective_to = {later.effective_from - DAY}",
        )
    elif earlier.last_on + DAY < later.effective_from:
        yield _warn(
            earlier,
            1,
            f"ends on {earlier.last_on}, {later.file} begins on {later.effective_from}: days between have no tariff",
            "state the dates so that they meet, or add the tariff between",
        )


def _stop(tariff: Tariff, line: int, what: str, next_step: str) -> Finding:
    return Finding(tariff.file, line, "stop", what, next_step)


def _warn(tariff: Tariff, line: int, what: str, next_step: str) -> Finding:
    return Finding(tariff.file, line, "warn", what, next_step)


def _date_findings(tariff: Tariff) -> Iterator[Finding]:
    if tariff.last_on < tariff.effective_from:
        yield _stop(tariff, 1, "effective_to lies before effective_from", "correct the dates")


def _service_findings(tariff: Tariff) -> Iterator[Finding]:
    if not tariff.services:
        yield _stop(tariff, 1, "has no [[services]]", "state at least one")
    names = [service.service for service in tariff.services]
    for service in tariff.services:
        if (needed := bits_needed(tariff.conditions(service))) > MOST_BITS:
            what = f"the conditions of {service.service} take {needed} bits; the rating holds {MOST_BITS} a service"
            yield _stop(tariff, service.line, what, "state equal thresholds equally, or split the service in two")
        if names.count(service.service) > 1:
            yield _stop(tariff, service.line, f"service {service.service} is stated twice", "join or rename them")


def _discount_findings(tariff: Tariff) -> Iterator[Finding]:
    for row in tariff.discounts:
        for target in row.on:
            if target == "fuel" and not tariff.fuel:
                yield _stop(tariff, row.line, "discount on fuel, of which none is stated", "state it, or drop the row")
            elif target not in ("base", "fuel") and target.partition(":")[2] not in tariff.surcharge_names:
                yield _stop(tariff, row.line, f"discount on {target}, which no row is named", "correct the name")
        for service in sorted(set(row.services or ()) - tariff.service_names):
            yield _stop(tariff, row.line, f"discount for the unknown service {service}", "correct the name")
        if row.share_millionths > 100 * MILLIONTHS_OF_PERCENT:
            yield _stop(tariff, row.line, "discount of more than 100 percent", "correct the percentage")
        if words := _without_effect(tariff, row):
            yield _stop(tariff, row.line, f"discount that takes nothing off: {words}", "correct the row, or drop it")


def _without_effect(tariff: Tariff, row: Discount) -> str:
    """Why no parcel can ever get the discount; empty where one may."""
    if tariff.days(row)[0] > tariff.last_on:
        return "it begins after the tariff's last day"
    if row.share_millionths == 0 and not _is_replacing(tariff, row):
        return "it is of nothing"
    highest = max((each.price_cents or 0 for each in tariff.prices), default=0)
    if row.on == ("base",) and 0 < highest <= row.minimum_charge_cents:
        return "no price is above its minimum_charge_cents"
    return ""


def _is_replacing(tariff: Tariff, row: Discount) -> bool:
    """Whether a discount of nothing ends an earlier one."""
    first = tariff.days(row)[0]
    return any(
        other is not row and set(other.on) & set(row.on) and tariff.days(other)[0] < first for other in tariff.discounts
    )


def _tax_findings(tariff: Tariff) -> Iterator[Finding]:
    days = [(row.valid_from, row.services, row.zones) for row in tariff.taxes]
    for place, row in enumerate(tariff.taxes):
        if days.index(days[place]) < place:
            yield _stop(tariff, row.line, f"tax from {row.valid_from} is stated twice", "keep one of the two")
        for name in sorted({*(row.services or ()), *(row.zones or ())} - tariff.service_names - tariff.priced_zones):
            yield _stop(tariff, row.line, f"tax for {name}, which has no price", "correct the name")
        if row.valid_from > tariff.last_on:
            yield _warn(tariff, row.line, "this tax row begins after the tariff's last day", "drop it, or correct it")
    if tariff.is_tax_in_prices and not tariff.taxes:
        yield _warn(tariff, 1, "tax_in_prices is stated, but no [[tax]]", "add its share, or drop it")


def _fuel_findings(tariff: Tariff) -> Iterator[Finding]:
    for row in tariff.fuel:
        named = {each.partition(":")[2] for each in row.on if each.startswith(SURCHARGE)}
        for name in sorted(named - tariff.surcharge_names):
            yield _stop(tariff, row.line, f"fuel on surcharge:{name}, which no row is named", "correct the name")
    days = [(row.valid_from, row.services) for row in tariff.fuel]
    for row in tariff.fuel:
        key = (row.valid_from, row.services)
        if days.count(key) > 1 and row is not tariff.fuel[days.index(key)]:
            yield _stop(tariff, row.line, f"fuel from {row.valid_from} is stated twice", "keep one of the two")
        if row.valid_from > tariff.last_on:
            yield _warn(
                tariff, row.line, "this fuel row begins after the tariff's last day", "drop it or correct the day"
            )
    first = min(tariff.fuel, key=lambda row: row.valid_from, default=None)
    if first and first.valid_from > tariff.effective_from:
        yield _warn(
            tariff,
            first.line,
            f"no fuel is stated from {tariff.effective_from} to {first.valid_from - DAY}: it counts as none",
            "add the row that was valid when the tariff began",
        )
