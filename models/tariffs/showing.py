"""A tariff as a reader wants to see it: few tables in the tariff's own units, in words."""

from collections.abc import Callable
from decimal import Decimal

import pandas as pd

from models.claims.deadlines import ClaimTerm
from models.tariffs.charges import NEAREST_CENT, Condition, Discount, Extra, Fuel, Rounding, Surcharge, Tax
from models.tariffs.claim_terms import all_terms
from models.tariffs.rules import MILLI, MILLIONTHS_OF_PERCENT, Further, Price, Promise, Service, SizeClass, Tariff
from models.tariffs.shipments import shipment_shown

Money = Callable[[Decimal], str]

COMPARISONS = {
    (False, False): "more than",
    (False, True): "at least",
    (True, False): "less than",
    (True, True): "at most",
}


def heading(tariff: Tariff) -> str:
    """What the tariff is, and where its figures come from."""
    until = f" to {tariff.effective_to}" if tariff.effective_to else ""
    name = f"{tariff.tariff_code} of {tariff.carrier}, from {tariff.effective_from}{until}"
    return f"{name}. Source: {tariff.source}.{_learned(tariff)}"


def _learned(tariff: Tariff) -> str:
    if tariff.learned_first_on is None:
        return ""
    days = f"{tariff.learned_first_on} to {tariff.learned_last_on}"
    learned = f" Its prices are learned from bills of parcels shipped {days}, each with its 95% interval"
    return f"{learned}; the review shows their error."


def rule_tables(tariff: Tariff, money: Money) -> dict[str, pd.DataFrame]:
    """By title: whatever the tariff states beside prices; columns that say nothing are left out. Shares in percent.

    money: words an amount in minor units and parts of them.
    """
    stated: dict[str, list[dict[str, object]]] = {
        f"services ({tariff.length_unit}, {tariff.weight_unit})": [_service(row) for row in tariff.services],
        "sizes that prices go by: the first that fits": [_class(row) for row in tariff.classes],
        "surcharges": [_surcharge(row, money) for row in tariff.surcharges],
        "weight beyond the prices": [_further(row, money) for row in tariff.further],
        "options and events": [_extra(row, money) for row in tariff.extras],
        "shipments of several parcels": [shipment_shown(row, money) for row in tariff.shipments],
        "discounts": [_discount(row, tariff, money) for row in tariff.discounts],
        "fuel": [_fuel(row) for row in tariff.fuel],
        f"tax{_tax_words(tariff)}": [_tax(row) for row in tariff.taxes],
        "areas": [{"area": area, "codes that begin": ", ".join(entries)} for area, entries in tariff.areas],
        "days of a claim": [_claim_term(row) for row in all_terms(tariff.claim_days, tariff.claim_terms)],
        "promised days": [_scope(row) | {"days": row.days} for row in tariff.promises],
    }
    return {title: _said(pd.DataFrame(rows)) for title, rows in stated.items() if rows}


def _said(rows: pd.DataFrame) -> pd.DataFrame:
    return rows[[name for name in rows.columns if rows[name].notna().any() and (rows[name] != "").any()]]


def _fine(millicents: int, money: Money) -> str:
    return money(Decimal(millicents) / MILLI)


def _whole(cents: int, money: Money) -> str:
    return money(Decimal(cents))


def _further(row: Further, money: Money) -> dict[str, object]:
    each = f"{_fine(row.amount_millicents, money)} for each {row.step_milli / MILLI:g} begun"
    return _scope(row) | {"up to": row.up_to_milli / MILLI, "adds": each}


def _scope(row: Surcharge | Extra | Promise | Further | Tax) -> dict[str, object]:
    return {"zones": ", ".join(row.zones or ("all",)), "services": ", ".join(row.services or ("all",))}


def _service(row: Service) -> dict[str, object]:
    return {
        "service": row.service,
        "sides rounded": row.side_rounding,
        "divisor": None if row.divisor is None else float(row.divisor),
        "above volume": row.divisor_above_milli / MILLI,
        "not rectangular x": float(row.non_rectangular_factor),
        "weight step": row.weight_step_milli / MILLI,
        "limits": _bounds(row.limits),
        "at least": _bounds(row.minimums),
    }


def _bounds(bounds: tuple[tuple[str, int], ...]) -> str:
    return ", ".join(f"{measure.replace('_', ' ')} {milli / MILLI:g}" for measure, milli in bounds)


def _class(row: SizeClass) -> dict[str, object]:
    return {"class": row.size_class, "services": ", ".join(row.services or ("all",)), "at most": _bounds(row.at_most)}


def _discount(row: Discount, tariff: Tariff, money: Money) -> dict[str, object]:
    return {
        "on": ", ".join(row.on),
        "services": ", ".join(row.services or ("all",)),
        "percent": row.share_millionths / MILLIONTHS_OF_PERCENT,
        "rounded": _rounded(row.rounding, money),
        "not below": _whole(row.minimum_charge_cents, money) if row.minimum_charge_cents else "",
        "from": str(row.valid_from or tariff.effective_from),
        "to": str(row.valid_to or ""),
        "stacked": row.stacked,
        "billed weight": _band(row),
        "zones": ", ".join(row.zones or ()),
    }


def _band(row: Discount) -> str:
    above = f"above {row.above_milli / MILLI:g}" if row.above_milli else ""
    return f"{above} up to {row.up_to_milli / MILLI:g}".strip() if row.up_to_milli else above


def _fuel(row: Fuel) -> dict[str, object]:
    return {
        "from": str(row.valid_from),
        "percent": row.share_millionths / MILLIONTHS_OF_PERCENT,
        "on": ", ".join(row.on),
        "services": ", ".join(row.services or ()),
    }


def _tax_words(tariff: Tariff) -> str:
    said = (" contained in prices" * tariff.is_tax_in_prices, " reclaimed, no cost" * tariff.is_tax_reclaimable)
    return ",".join(filter(None, said))


def _tax(row: Tax) -> dict[str, object]:
    return {"from": str(row.valid_from), "percent": row.share_millionths / MILLIONTHS_OF_PERCENT, **_scope(row)}


def _rounded(rounding: Rounding, money: Money) -> str:
    return "" if rounding == NEAREST_CENT else f"{rounding.way} to {_whole(rounding.cents, money)}"


def _claim_term(row: ClaimTerm) -> dict[str, object]:
    length = f"{row.number} {row.unit.replace('_', ' ')}"
    return {"step": row.step, "at most": length, "after": row.start.removesuffix("_on")}


def _surcharge(row: Surcharge, money: Money) -> dict[str, object]:
    return {
        "surcharge": row.surcharge,
        **_scope(row),
        "when": "; or ".join(" and ".join(words(each) for each in alternative) for alternative in row.when),
        "only": ", ".join(
            [*(["homes"] if row.is_residential else []), *([f"area {row.area}"] if row.area else []), *_days(row)]
        ),
        "amount": _amount(row, money),
        "rounded": _rounded(row.rounding, money),
        "group": f"{row.group} {'greatest' if row.is_greatest else row.rank}" if row.group else "",
        "bills at least": row.minimum_weight_milli / MILLI or None,
    }


def _extra(row: Extra, money: Money) -> dict[str, object]:
    share = None if row.share_millionths is None else f"{row.share_millionths / MILLIONTHS_OF_PERCENT:g}% of {row.of}"
    amount = share or ("not stated: not checked" if row.amount_cents is None else _whole(row.amount_cents, money))
    least = f", at least {_whole(row.at_least_cents, money)}" if row.at_least_cents is not None else ""
    return {
        "charge": row.charge_name,
        "kind": row.extra_kind,
        "code": row.charge_code,
        **_scope(row),
        "only": ", ".join(_days(row)),
        "amount": amount + least + _most(row, money),
        "rounded": _rounded(row.rounding, money),
    }


def _most(row: Surcharge | Extra, money: Money) -> str:
    return f", at most {_whole(row.at_most_cents, money)}" if row.at_most_cents is not None else ""


def words(condition: Condition) -> str:
    """The condition in words: longest side more than 48."""
    if condition.measure == "not_rectangular":
        return "rectangular" if condition.is_below else "not rectangular"
    comparison = COMPARISONS[condition.is_below, condition.is_inclusive]
    return f"{condition.measure.replace('_', ' ')} {comparison} {condition.threshold_milli / MILLI:g}"


def _days(row: Surcharge | Extra) -> list[str]:
    if row.valid_from is None and row.valid_to is None:
        return []
    return [f"{row.valid_from or 'start'} to {row.valid_to or 'end'}"]


def _amount(row: Surcharge, money: Money) -> str:
    most = (f", at least {_whole(row.at_least_cents, money)}" if row.at_least_cents is not None else "") + _most(
        row, money
    )
    if row.declared:
        amount, step, above = row.declared.amount_millicents, row.declared.step_cents, row.declared.above_cents
        return f"{_fine(amount, money)} for each {_whole(step, money)} begun above {_whole(above, money)}{most}"
    if row.per_weight:
        steps = row.per_weight
        beyond = f" above {steps.above_milli / MILLI:g}" if steps.above_milli else ""
        each = f"{_fine(steps.amount_millicents, money)} for each {steps.step_milli / MILLI:g} of weight begun"
        return f"{each}{beyond}{most}"
    if row.missing:
        each = (
            f"{_fine(row.missing.amount_millicents, money)} for each {row.missing.step_milli / MILLI:g} of weight begun"
        )
        return f"{each} that is missing to density {row.missing.density:f}{most}"
    if row.share_millionths is not None:
        return f"{row.share_millionths / MILLIONTHS_OF_PERCENT:g}% of {' and '.join(row.of)}{most}"
    return f"{_whole(row.amount_cents or 0, money)}{most}"


def _price(row: Price, money: Money) -> str:
    if row.price_cents is None:
        return ""
    return _whole(row.price_cents, money) + (
        f" ± {_whole(row.interval_cents, money)}" if row.interval_cents is not None else ""
    )


def price_grids(tariff: Tariff, money: Money) -> dict[str, pd.DataFrame]:
    """By title: for each service, and size where prices go by it, a row for each weight and a column for each zone."""
    found = {}
    for service, size in dict.fromkeys((price.service, price.size_class) for price in tariff.prices):
        prices = [row for row in tariff.prices if (row.service, row.size_class) == (service, size)]
        rows: dict[float, dict[str, str]] = {}
        for row in sorted(prices, key=lambda price: price.up_to_milli):
            rows.setdefault(row.up_to_milli / MILLI, {})[f"zone {row.zone}"] = _price(row, money)
        zones = [f"zone {zone}" for zone in dict.fromkeys(price.zone for price in prices)]
        grid = pd.DataFrame.from_dict(rows, orient="index").reindex(columns=zones).fillna("")
        named = f"{service}, size {size}" if size else service
        found[f"{named}: prices by {tariff.weight_unit}"] = grid.rename_axis("up to").reset_index()
    return found
