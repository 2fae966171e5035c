"""A tariff as a reader wants to see it: few tables in the tariff's own units, in words."""

from __future__ import annotations

import pandas as pd

from models.tariffs.rules import MILLI, MILLIONTHS_OF_PERCENT, Condition, Extra, Surcharge, Tariff

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
    return f" Its prices are learned from bills of parcels shipped {days}; the review shows their error."


def rule_tables(tariff: Tariff) -> dict[str, pd.DataFrame]:
    """By title: services, surcharges, discounts and fuel. Amounts in cents, shares in percent."""
    return {
        f"services ({tariff.length_unit}, {tariff.weight_unit})": pd.DataFrame(
            [
                {
                    "service": row.service,
                    "sides rounded": row.side_rounding,
                    "divisor": None if row.divisor is None else float(row.divisor),
                    "above volume": row.divisor_above_milli / MILLI,
                    "not rectangular x": float(row.non_rectangular_factor),
                    "weight step": row.weight_step_milli / MILLI,
                    "limits": ", ".join(f"{measure} {most / MILLI:g}" for measure, most in row.limits),
                    "at least": ", ".join(f"{measure} {least / MILLI:g}" for measure, least in row.minimums),
                }
                for row in tariff.services
            ]
        ),
        "sizes that prices go by: the first that fits": pd.DataFrame(
            [
                {
                    "class": row.size_class,
                    "services": ", ".join(row.services or ("all",)),
                    "at most": ", ".join(
                        f"{measure.replace('_', ' ')} {most / MILLI:g}" for measure, most in row.at_most
                    ),
                }
                for row in tariff.classes
            ]
        ),
        "surcharges": pd.DataFrame([_surcharge(row) for row in tariff.surcharges]),
        "options and events": pd.DataFrame([_extra(row) for row in tariff.extras]),
        "discounts": pd.DataFrame(
            [
                {
                    "on": ", ".join(row.on),
                    "services": ", ".join(row.services or ("all",)),
                    "percent": row.share_millionths / MILLIONTHS_OF_PERCENT,
                    "not below": row.minimum_charge_cents,
                    "from": str(row.valid_from or tariff.effective_from),
                }
                for row in tariff.discounts
            ]
        ),
        "fuel": pd.DataFrame(
            [
                {
                    "from": str(row.valid_from),
                    "percent": row.share_millionths / MILLIONTHS_OF_PERCENT,
                    "on": ", ".join(row.on),
                }
                for row in tariff.fuel
            ]
        ),
    }


def _surcharge(row: Surcharge) -> dict[str, object]:
    return {
        "surcharge": row.surcharge,
        "zones": ", ".join(row.zones or ("all",)),
        "services": ", ".join(row.services or ("all",)),
        "when": "; or ".join(" and ".join(words(each) for each in alternative) for alternative in row.when),
        "only": ", ".join(
            [*(["homes"] if row.is_residential else []), *([f"area {row.area}"] if row.area else []), *_days(row)]
        ),
        "amount": _amount(row),
        "group": f"{row.group} {row.rank}" if row.group else "",
        "bills at least": row.minimum_weight_milli / MILLI or None,
    }


def _extra(row: Extra) -> dict[str, object]:
    least = f", at least {row.at_least_cents}" if row.at_least_cents is not None else ""
    most = f", at most {row.at_most_cents}" if row.at_most_cents is not None else ""
    share = None if row.share_millionths is None else f"{row.share_millionths / MILLIONTHS_OF_PERCENT:g} % of {row.of}"
    amount = share or ("not stated: not checked" if row.amount_cents is None else str(row.amount_cents))
    return {
        "charge": row.charge_name,
        "kind": row.extra_kind,
        "code": row.charge_code,
        "zones": ", ".join(row.zones or ("all",)),
        "services": ", ".join(row.services or ("all",)),
        "only": ", ".join(_days(row)),
        "amount": amount + least + most,
    }


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


def _amount(row: Surcharge) -> str:
    most = f", at most {row.at_most_cents}" if row.at_most_cents is not None else ""
    if row.declared:
        declared = row.declared
        return f"{declared.amount_cents} for each {declared.step_cents} begun above {declared.above_cents}{most}"
    if row.share_millionths is not None:
        return f"{row.share_millionths / MILLIONTHS_OF_PERCENT:g} % of {' and '.join(row.of)}{most}"
    return f"{row.amount_cents}{most}"


def price_grids(tariff: Tariff) -> dict[str, pd.DataFrame]:
    """By title: for each service the prices in cents, a row for each weight and a column for each zone."""
    found = {}
    for service in tariff.services:
        rows = [
            {"up to": row.up_to_milli / MILLI, "zone": row.zone, "cents": row.price_cents}
            for row in tariff.prices
            if row.service == service.service
        ]
        grid = pd.DataFrame(rows).pivot_table(index="up to", columns="zone", values="cents", sort=False)
        grid.columns = [f"zone {zone}" for zone in grid.columns]
        found[f"{service.service}: prices in cents by {tariff.weight_unit}"] = grid.sort_index().reset_index()
    return found
