"""Services, scale bands and prices of a tariff as rows."""

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from models.tariffs.charges import Surcharge
from models.tariffs.rules import DENSITY_VOLUMES, MILLI, Further, Price, Service, Tariff

Row = dict[str, Any]
STEPS_AND_BIASES_MILLI = {"up": (1000, 999), "nearest": (1000, 500), "none": (1, 0)}
MOST_STEPS = 1_000_000_000
# No weight on a scale is more.
MOST_MILLI = 1_000_000_000_000


def service_row(tariff: Tariff, service: Service, keys: dict[str, int], tariff_key: int) -> Row:
    """How one service rounds and what volume weighs, spelt out."""
    step, bias = STEPS_AND_BIASES_MILLI[service.side_rounding]
    rows = [row for row in tariff.surcharges if row.holds_for(service.service)]
    declared_grain, declared_most = _declared_steps(rows)
    return {
        **vars(service),
        "service_key": keys[service.service],
        "tariff_key": tariff_key,
        "side_step_milli": step,
        "side_bias_milli": bias,
        "divisor": None if service.divisor is None else float(service.divisor),
        "density_divisor": _density_divisor(tariff, rows),
        "non_rectangular_factor": float(service.non_rectangular_factor),
        "scale_grain_milli": _scale_grain(tariff, service),
        "top_step": _top_step(tariff, service),
        "declared_grain_cents": declared_grain,
        "declared_most_steps": declared_most,
        "has_residential": any(row.is_residential for row in rows),
        "has_area": any(row.area for row in rows),
    }


def _density_divisor(tariff: Tariff, rows: Sequence[Surcharge]) -> float | None:
    """The volume of a unit of weight at the density that surcharges look for; of a service all state the same."""
    densities = [row.missing.density for row in rows if row.missing]
    return float(DENSITY_VOLUMES[tariff.length_unit] / densities[0]) if densities else None


def _declared_steps(rows: Sequence[Surcharge]) -> tuple[int, int]:
    """The grain to which declared values are rated alike, and how many grains matter."""
    schemes = [(row.declared, row.at_most_cents, row.rounding.cents) for row in rows if row.declared]
    if any(row.is_of_declared for row in rows):
        return 1, MOST_STEPS
    if not schemes:
        return 1, 0
    grain = math.gcd(*(bound for declared, _, _ in schemes for bound in (declared.above_cents, declared.step_cents)))
    if any(at_most is None or not declared.amount_millicents for declared, at_most, _ in schemes):
        return grain, MOST_STEPS
    most = max(
        declared.above_cents
        + declared.step_cents * math.ceil(((at_most or 0) + cents) * MILLI / declared.amount_millicents)
        for declared, at_most, cents in schemes
    )
    return grain, math.ceil(most / grain)


def _scale_grain(tariff: Tariff, service: Service) -> int:
    weighed = [each.threshold_milli for each in tariff.conditions(service) if each.measure == "scale_weight"]
    return math.gcd(service.weight_step_milli, *weighed)


def _top_step(tariff: Tariff, service: Service) -> int:
    """The step of weight that stands for all beyond the prices, counted from 1."""
    heaviest = max(
        (
            *(price.up_to_milli for price in tariff.prices if price.service == service.service),
            *(row.up_to_milli for row in tariff.further if row.holds_for(service.service)),
        ),
        default=0,
    )
    return heaviest // service.weight_step_milli + 1


def scale_bands(tariff: Tariff, keys: dict[str, int]) -> list[Row]:
    """Scale weights that are rated alike, from and to a whole thousandth: they part at each step, and at thresholds."""
    rows = []
    for service in tariff.services:
        step, top = service.weight_step_milli, _top_step(tariff, service)
        ends = sorted({*range(0, top * step, step), *_condition_ends(tariff, service), MOST_MILLI})
        rows += [
            {
                "service_key": keys[service.service],
                "scale_band": band,
                "weight_step_number": min(-(-first // step), top),
                "first_milli": first,
                "last_milli": last,
            }
            for band, (first, last) in enumerate(zip([0, *(end + 1 for end in ends)], ends, strict=False))
        ]
    return rows


def _condition_ends(tariff: Tariff, service: Service) -> set[int]:
    """The heaviest scale weights that do not meet a condition on the scale weight, or on the rated weight."""
    # A rated weight is a multiple of the step: to pass a threshold it must pass the multiple below.
    grains = {"scale_weight": 1, "rated_weight": service.weight_step_milli}
    met = [each for each in tariff.conditions(service) if each.measure in grains]
    ends = {each.passed_milli // grains[each.measure] * grains[each.measure] for each in met}
    return {end for end in ends if 0 <= end < MOST_MILLI}


def price_rows(tariff: Tariff, keys: dict[str, int]) -> list[Row]:
    """The price of each weight that can be billed: every step, and the least weights that surcharges bill."""
    least = {row.minimum_weight_milli for row in tariff.surcharges if row.minimum_weight_milli}
    rows = []
    for service in tariff.services:
        # A price without a size is for every size that has none of its own.
        sizes = [row.size_class for row in tariff.classes_of(service)] or [""]
        for zone in tariff.zones(service.service):
            own = [price for price in tariff.prices if (price.service, price.zone) == (service.service, zone)]
            for size in dict.fromkeys(sizes):
                found = [price for price in own if price.size_class == size] or [
                    price for price in own if not price.size_class
                ]
                lane = {"service_key": keys[service.service], "zone": zone, "price_size": size}
                bands = sorted(found, key=lambda price: price.up_to_milli)
                rows += [
                    lane | priced for priced in _spelt_out(service, _with_further(tariff, service, zone, bands), least)
                ]
    return rows


def _with_further(tariff: Tariff, service: Service, zone: str, bands: Sequence[Price]) -> Sequence[Price]:
    """The bands, and those of each step beyond the last that the tariff prices, range after range of weights."""
    stated = [row for row in tariff.further if row.holds_in(service.service, zone)]
    if not bands or bands[-1].price_cents is None:
        return bands
    found, last, millicents = list(bands), bands[-1].up_to_milli, bands[-1].price_cents * MILLI
    for row in sorted(stated, key=lambda each: each.up_to_milli):
        for weight in _steps(last, row):
            millicents += row.amount_millicents
            cents = (millicents + MILLI // 2) // MILLI
            found.append(replace(bands[-1], up_to_milli=weight, price_cents=cents))
        last = max(last, row.up_to_milli)
    return found


def _steps(above_milli: int, row: Further) -> list[int]:
    """The weights at which steps above a weight end; the last ends where the range does."""
    count = -(-(row.up_to_milli - above_milli) // row.step_milli)
    return [min(above_milli + step * row.step_milli, row.up_to_milli) for step in range(1, count + 1)]


def _spelt_out(service: Service, bands: Sequence[Price], least: set[int]) -> list[Row]:
    step = service.weight_step_milli
    first = max(math.ceil(service.minimum_weight_milli / step), 1)
    heaviest = bands[-1].up_to_milli if bands else 0
    weights = sorted({n * step for n in range(first, heaviest // step + 1)} | least)
    rows, place = [], 0
    for weight in weights:
        while place < len(bands) and bands[place].up_to_milli < weight:
            place += 1
        if place == len(bands):
            break
        price = bands[place]
        if price.price_cents is not None:
            cents = {name: getattr(price, name) for name in ("price_cents", "miss_cents", "interval_cents")}
            rows.append({"weight_milli": weight} | cents)
    return rows
