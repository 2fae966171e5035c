"""Terms of a carrier's offer, written `divisor=166` or `long side=-50%`, put into a tariff that is in force.

A value with a sign changes what is charged by so many percent; one without is what would be charged. What a term is
about is divisor, minimum weight, base, fuel or a surcharge by its name; a colon adds a service and, for base, a zone; a
point a measure whose thresholds move.
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from models.errors import TariffError
from models.tariffs.charges import Condition, Surcharge
from models.tariffs.rules import MILLI, MILLIONTHS_OF_PERCENT, Price, Tariff

_TERM = re.compile(r"(?P<about>[^=]+)=\s*(?P<sign>[+-]?)(?P<number>[0-9]+(?:\.[0-9]+)?)\s*(?P<percent>%?)\s*\Z")


class _Term:
    """One term as written: what it is about, a service and a zone ("" for all), and its number."""

    def __init__(self, text: str, tariff: Tariff) -> None:
        found = _TERM.fullmatch(text.strip())
        if not found:
            raise refused(text, "is no term", tariff)
        self.text, self.tariff = text, tariff
        about, *scope = (part.strip() for part in found["about"].split(":"))
        self.about, _, self.measure = (part.strip().lower().replace("_", " ") for part in about.partition("."))
        self.service, self.zone = [*scope, "", ""][:2]
        self.is_change, self.is_percent = bool(found["sign"]), bool(found["percent"])
        self.number = Decimal(found["sign"] + found["number"])
        self._check(len(scope))

    def _check(self, parts: int) -> None:
        services = {each.service for each in self.tariff.services}
        if self.service and self.service not in services:
            raise refused(self.text, f"names the unknown service {self.service}", self.tariff)
        zones = {price.zone for price in self.tariff.prices}
        if parts > 2 or (self.zone and (self.about != "base" or self.zone not in zones)):
            raise refused(self.text, "names a zone that has no prices, or is not about base", self.tariff)
        if self.is_change and not self.is_percent:
            raise refused(self.text, "has a sign and no percent", self.tariff)
        if self.is_change and self.number < -100:
            raise refused(self.text, "takes off more than all", self.tariff)

    def changed(self, amount: int) -> int:
        """The amount after a change in percent, half a unit upwards."""
        return int((amount * (100 + self.number) / 100).quantize(Decimal(1), ROUND_HALF_UP))

    def is_for(self, services: tuple[str, ...] | None) -> bool:
        """Whether a row of these services is meant. A row for several cannot be split by a term for one."""
        return (
            not self.service
            or services == (self.service,)
            or {each.service for each in self.tariff.services} == {self.service}
        )


def terms_of(tariff: Tariff) -> list[str]:
    """What terms of this tariff can be about, each with an example."""
    names = dict.fromkeys(row.surcharge for row in tariff.surcharges)
    measures = dict.fromkeys(
        f"{row.surcharge}.{each.measure}" for row in tariff.surcharges for each in _conditions(row)
    )
    fuel = ["fuel=-10%"] if tariff.fuel else []
    return [
        *("divisor=166", "minimum weight=2", "base=-5%"),
        *fuel,
        *(f"{name}=-50%" for name in names),
        *(f"{measure}=50" for measure in measures),
    ]


def refused(text: str, what: str, tariff: Tariff) -> TariffError:
    """The refusal of a term, with those that this tariff knows."""
    known = ", ".join(terms_of(tariff))
    return TariffError(f"--what-if {text!r}", what, "this comparison", f"write it like one of: {known}")


def offered(tariff: Tariff, text: str) -> Tariff:
    """The tariff with one term put in. Raises TariffError for a term that it does not know."""
    term = _Term(text, tariff)
    known: dict[str, Callable[[_Term], Tariff]] = {
        "divisor": _divisor,
        "minimum weight": _minimum_weight,
        "base": _base,
        "fuel": _fuel,
    }
    return known.get(term.about, _surcharge)(term)


def _divisor(term: _Term) -> Tariff:
    if term.is_percent or term.measure or term.number <= 0:
        raise refused(term.text, "is no divisor", term.tariff)
    return _with_services(term, divisor=term.number)


def _minimum_weight(term: _Term) -> Tariff:
    milli = term.number * MILLI
    if term.is_percent or term.measure or milli % 1:
        raise refused(term.text, "is no weight", term.tariff)
    return _with_services(term, minimum_weight_milli=int(milli))


def _with_services(term: _Term, **changed: Any) -> Tariff:
    """The tariff with these terms in the service that is meant, or in all."""
    services = (
        replace(each, **changed) if term.service in ("", each.service) else each for each in term.tariff.services
    )
    return replace(term.tariff, services=tuple(services))


def _base(term: _Term) -> Tariff:
    if not term.is_change or term.measure:
        raise refused(term.text, "is no change of the base price in percent", term.tariff)
    return replace(term.tariff, prices=tuple(_changed_price(term, row) for row in term.tariff.prices))


def _changed_price(term: _Term, row: Price) -> Price:
    if term.service not in ("", row.service) or term.zone not in ("", row.zone):
        return row
    price, interval = (None if each is None else term.changed(each) for each in (row.price_cents, row.interval_cents))
    return replace(row, price_cents=price, interval_cents=interval)


def _fuel(term: _Term) -> Tariff:
    if not term.is_percent or term.measure or not any(term.is_for(row.services) for row in term.tariff.fuel):
        raise refused(term.text, "is no percentage of a fuel row of this tariff", term.tariff)
    share = int(term.number * MILLIONTHS_OF_PERCENT)
    return replace(
        term.tariff,
        fuel=tuple(
            replace(row, share_millionths=term.changed(row.share_millionths) if term.is_change else share)
            if term.is_for(row.services)
            else row
            for row in term.tariff.fuel
        ),
    )


def _surcharge(term: _Term) -> Tariff:
    change = _with_threshold if term.measure else _with_amount
    found = [change(term, row) if _is_meant(term, row) else row for row in term.tariff.surcharges]
    if found == list(term.tariff.surcharges) and not any(_is_meant(term, row) for row in found):
        raise refused(term.text, "is about nothing that this tariff states", term.tariff)
    return replace(term.tariff, surcharges=tuple(found))


def _is_meant(term: _Term, row: Surcharge) -> bool:
    return row.surcharge.lower().replace("_", " ") == term.about and term.is_for(row.services)


def _conditions(row: Surcharge) -> Iterator[Condition]:
    return (each for alternative in row.when for each in alternative if each.measure != "not_rectangular")


def _with_threshold(term: _Term, row: Surcharge) -> Surcharge:
    measure, milli = term.measure.replace(" ", "_"), term.number * MILLI
    if term.is_percent or milli % 1 or measure not in {each.measure for each in _conditions(row)}:
        raise refused(term.text, "moves no threshold of this surcharge", term.tariff)
    moved = tuple(
        tuple(replace(each, threshold_milli=int(milli)) if each.measure == measure else each for each in alternative)
        for alternative in row.when
    )
    return replace(row, when=moved)


def _with_amount(term: _Term, row: Surcharge) -> Surcharge:
    if term.is_change:
        return _by_percent(term, row)
    if term.is_percent and row.share_millionths is not None:
        return replace(row, share_millionths=int(term.number * MILLIONTHS_OF_PERCENT))
    if not term.is_percent and row.amount_cents is not None and term.number % 1 == 0:
        return replace(row, amount_cents=int(term.number))
    raise refused(term.text, "is not how this surcharge is stated (whole minor units, or percent)", term.tariff)


def _by_percent(term: _Term, row: Surcharge) -> Surcharge:
    """Amounts and their least and most alike, so that the charge itself changes by so much."""
    changed: dict[str, Any] = {
        name: term.changed(amount)
        for name in ("amount_cents", "share_millionths", "at_least_cents", "at_most_cents")
        if (amount := getattr(row, name)) is not None
    }
    changed |= {
        name: replace(each, amount_millicents=term.changed(each.amount_millicents))
        for name in ("declared", "per_weight", "missing")
        if (each := getattr(row, name))
    }
    return replace(row, **changed)
