"""Tariffs drawn at random from everything that the format can state."""

from __future__ import annotations

import random
from datetime import date, timedelta
from typing import Any

from tests.models.tariffs.price_lists import rules_text

FIRST = date(2025, 5, 1)
SIZES = {
    **{"longest_side": 60, "second_side": 25, "shortest_side": 15, "length_plus_girth": 110, "volume": 5_000},
    **{"sum_of_sides": 90, "longest_plus_shortest": 70, "diagonal": 65},
}
COMPARISONS = ("more_than", "at_least", "less_than", "at_most")
KINDS = ('["base"]', '["surcharge"]', '["base", "surcharge"]')
FUELLED = (*KINDS, '["base", "surcharge:s0", "surcharge:s3"]', '["surcharge:s1", "surcharge:s2"]')
SHARES_OF = (*KINDS, '["declared"]')
TARGETS = ('"base"', '"base"', '"fuel"', '"fuel", "surcharge:s2"', '"surcharge:s0"', '"base", "surcharge:s1"')
WEIGHTS = {"dim_weight": 25, "scale_weight": 30, "rated_weight": 25}


def random_rules(source: random.Random, code: str) -> str:
    """The rules of a tariff with random units, rounding, surcharges, discounts and fuel."""
    length_unit, weight_unit = source.choice([("in", "lb"), ("cm", "kg"), ("in", "oz"), ("cm", "g")])
    length = 2.54 if length_unit == "cm" else 1.0
    weight = {"lb": 1.0, "kg": 0.454, "oz": 16.0, "g": 454.0}[weight_unit]
    rows = [_surcharge(source, f"s{n % 6}", length, weight) for n in range(source.choice([3, 7, 14, 60]))]
    return rules_text(
        code,
        "\n".join(
            [
                *_further(source, weight),
                *_classes(source, length, weight),
                *rows,
                *_discounts(source),
                AREAS,
                *_fuel(source),
                *_tax(source),
            ]
        ),
        first=_first(source),
        effective_from=str(FIRST),
        length_unit=length_unit,
        weight_unit=weight_unit,
        side_rounding=source.choice(["up", "nearest", "none"]),
        divisor="none" if source.random() < 0.2 else source.choice([139.0, 166.0, 138.4]) * length**3 / weight,
        above=float(source.choice([0, round(1728 * length**3)])),
        factor=source.choice([1.0, 0.785]),
        step=float(source.choice([1, 0.5]) if weight_unit in ("lb", "kg") else source.choice([1, 100])),
        limits=f"limits = {{ longest_side = {round(90 * length)}.0 }}"
        if source.random() < 0.5
        else "minimums = { sum_of_sides = 12.0 }",
    )


def random_shipments(source: random.Random, rules: dict[str, Any]) -> str:
    """Rules for shipments of some numbers of parcels, in a tariff with these rules."""
    kinds: dict[str, set[bool]] = {}
    for row in rules["surcharges"]:
        is_share = "percent" in row and "base" in row.get("of", ["base"])
        kinds.setdefault(row["surcharge"], set()).add(is_share)
        if is_share and row.get("of", ["base"]) != ["base"]:
            kinds[row["surcharge"]].add(False)
    discounted = {f"{on}" for row in rules.get("discounts", []) for on in row["on"]}
    plain = [name for name, found in kinds.items() if found == {False}]
    shares = [name for name, found in kinds.items() if found == {True} and f"surcharge:{name}" not in discounted]
    found = []
    for least in source.choice([(2,), (2, 4), (3,)]):
        once = [f'"{name}"' for name in (*plain, *shares) if source.random() < 0.4]
        lines = ["[[shipments]]", f"parcels_at_least = {least}", f"minimum_cents = {source.choice([0, 0, 3_000])}"]
        if "classes" not in rules and source.random() < 0.6:
            lines += ['base = "total"', f'weight = "{source.choice(["rounded", "greater", "together"])}"']
        else:
            lines += ['base = "each"', source.choice(["", "less_cents = 150", "less_percent = 33.3"])]
            lines += [f'less_on = "{source.choice(["further", "all"])}"'] if lines[-1] else []
        found.append("\n".join([*lines, *([f"once = [{', '.join(once)}]"] if once else []), ""]))
    return "\n" + "\n".join(found)


AREAS = """[areas]
far = ["597", "995", "IV1..IV12"]
island = ["995", "200", "5971..5980", "IV5", "AB"]
"""


def random_prices(source: random.Random, heaviest: float) -> str:
    """Prices of two zones, some weights apart, the last at about `heaviest`."""
    rows = ["service,zone,up_to_weight,price_cents,class"]
    for zone in source.choice(["23", "2*"]):
        for size in ("", "S") if source.random() < 0.5 else ("",):
            cents = 500
            for place in range(1, 31):
                cents += source.randint(0, 160)
                rows.append(f"plain,{zone},{round(heaviest * place / 30, 2)},{cents},{size}")
    return "\n".join([*rows, ""])


def _further(source: random.Random, weight: float) -> list[str]:
    if source.random() < 0.5:
        return []
    return [
        f"[[further]]\nstep = {source.choice([1, 5])}\namount_cents = {source.randint(1, 999) / 10}\n"
        f"up_to = {round(most * weight)}\n"
        for most in source.choice([(130,), (95, 130), (130, 104.5)])
    ]


def _classes(source: random.Random, length: float, weight: float) -> list[str]:
    if source.random() < 0.4:
        return []
    small = f"sum_of_sides = {round(source.uniform(20, 90) * length, 1)}, scale_weight = {round(30 * weight, 1)}"
    sizes = {"S": small, "L": f"longest_side = {round(100 * length)}.0"}
    return [f'[[classes]]\nclass = "{name}"\nat_most = {{ {bounds} }}\n' for name, bounds in sizes.items()]


def _surcharge(source: random.Random, name: str, length: float, weight: float) -> str:
    lines = [f'[[surcharges]]\nsurcharge = "{name}"\ncharge_code = "{name.upper()}"']
    if source.random() < 0.7:
        alternatives = [_alternative(source, length, weight) for _ in range(source.randint(1, 3))]
        lines.append(f"when = [{', '.join(alternatives)}]")
    lines += source.sample(['zones = ["2"]', "residential = true", 'area = "far"'], source.choice([0, 0, 1, 2]))
    if source.random() < 0.3:
        first = FIRST + timedelta(source.randrange(300))
        lines += [f"from = {first}", f"to = {first + timedelta(source.randrange(1, 200))}"]
    lines.append(_amount(source) if source.random() < 0.9 else _missing(source, weight, length))
    fixed = any(line.startswith("amount_cents") for line in lines[-1].splitlines())
    if source.random() < 0.5:
        group = source.choice("ghk" if fixed else "gh")
        lines += [f'group = "{group}"', f"rank = {source.randint(0, 3)}"]
        lines += ["greatest = true"] if group == "k" else []
    if source.random() < 0.3:
        lines.append(f"minimum_weight = {round(source.uniform(1, 40) * weight, 1)}")
    if source.random() < 0.2:
        lines.append(f"at_most_cents = {source.randint(50, 900)}")
    if source.random() < 0.2:
        lines.append(f"at_least_cents = {source.randint(50, 900)}")
    if source.random() < 0.2:
        lines.append(_rounding(source))
    return "\n".join(lines) + "\n"


def _alternative(source: random.Random, length: float, weight: float) -> str:
    return f"[{', '.join(_condition(source, length, weight) for _ in range(source.randint(1, 2)))}]"


def _condition(source: random.Random, length: float, weight: float) -> str:
    measure = source.choice([*SIZES, *WEIGHTS])
    scale = weight if measure in WEIGHTS else length**3 if measure == "volume" else length
    threshold = round((SIZES | WEIGHTS)[measure] * scale * source.uniform(0.3, 1.2), source.choice([0, 0, 1, 2]))
    comparison = source.choice(COMPARISONS)
    if source.random() < 0.1:
        return f"{{ rectangular = {source.choice(['true', 'false'])} }}"
    return f'{{ measure = "{measure}", {comparison} = {threshold} }}'


def _amount(source: random.Random) -> str:
    kind = source.random()
    if kind < 0.6:
        return f"amount_cents = {source.choice([source.randint(1, 3_000), source.randint(1, 30_000) / 10])}"
    if kind < 0.8:
        return f"percent = {source.randint(1, 2_000) / 100}\nof = {source.choice(SHARES_OF)}"
    if kind < 0.85:
        amount = f"step = {source.choice([1, 2.5])}, amount_cents = {source.randint(1, 999) / 10}"
        return f"per_weight = {{ above = 3, {amount} }}"
    above, step = source.choice([0, 5_000, 10_000]), source.choice([2_500, 10_000])
    each = f"step_cents = {step}, amount_cents = {source.randint(1, 2_000) / 10}"
    return f"per_declared = {{ above_cents = {above}, {each} }}"


def _missing(source: random.Random, weight: float, length: float) -> str:
    """An amount by what is missing to eight pounds in a cubic foot: of one service all rows state one density."""
    density = round(8 * weight * (1 if length == 1 else 35.3), 1)
    step, cents = source.choice([0.5, 1, 3]), source.randint(1, 999) / 10
    return f"per_missing_weight = {{ density = {density}, step = {step}, amount_cents = {cents} }}"


def _first(source: random.Random) -> str:
    """What stands before the first section: how amounts are rounded, and what becomes of tax."""
    stated = [_rounding(source), f"tax_{_rounding(source)}", "tax_in_prices = true", "tax_reclaimable = true"]
    return "\n".join([*(line for line in stated if source.random() < 0.4), ""])


def _rounding(source: random.Random) -> str:
    return f'rounding = {{ cents = {source.choice([1, 5, 10])}, way = "{source.choice(["up", "nearest", "down"])}" }}'


def _tax(source: random.Random) -> list[str]:
    return [
        f"[[tax]]\nfrom = {FIRST + timedelta(day)}\npercent = {source.choice([0, 7.7, 19, 20])}\n"
        + source.choice(["", 'zones = ["2"]\n', 'zones = ["3"]\nservices = ["plain"]\n'])
        for day in source.sample(range(0, 580, 30), source.randint(0, 3))
    ]


def _discounts(source: random.Random) -> list[str]:
    return [_discount(source, source.choice(TARGETS)) for _ in range(source.randint(0, 7))]


def _discount(source: random.Random, on: str) -> str:
    lines = [
        f"[[discounts]]\npercent = {source.randint(1, 4_000) / 100}\non = [{on}]",
        f"from = {FIRST + timedelta(source.randrange(400))}",
        source.choice(["", f"to = {FIRST + timedelta(500)}"]),
        source.choice(["", "", 'stacked = "after"', 'stacked = "added"']),
    ]
    if "fuel" not in on:
        lines += [source.choice(["", 'zones = ["2"]']), f"minimum_charge_cents = {source.choice([0, 0, 700])}"]
    if on == '"base"':
        lines.append(source.choice(["", "above_weight = 3\nup_to_weight = 9.5", "up_to_weight = 20"]))
    return "\n".join([*lines, ""])


def _fuel(source: random.Random) -> list[str]:
    days = source.sample(range(0, 580, 7), source.randint(0, 6))
    return [
        f"[[fuel]]\nfrom = {FIRST + timedelta(day)}\npercent = {source.randint(0, 3_000) / 100}\n"
        f"on = {source.choice(FUELLED)}\n" + source.choice(["", "", 'services = ["plain"]\n'])
        for day in days
    ]
