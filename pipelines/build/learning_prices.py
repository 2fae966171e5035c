"""Writes a tariff learned from billed history, for a shop that has no price list of a carrier: rules and prices."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pandas as pd

from models.errors import NotFoundError
from models.learned_prices.billed_weights import divisor, weight_step
from models.learned_prices.learning import LearnedLane, learned, price_rows
from models.learned_prices.rule_text import Rules, not_known, rule_text
from models.sql_texts import sql_texts
from models.tariffs.price_file import LEARNED_HEADER, learned_mark
from models.tariffs.rules import LENGTHS_PER_INCH, WEIGHTS_PER_POUND
from pipelines.shop import durable, warehouse

# The unit of length that lists state beside a unit of weight.
LENGTH_UNITS = {"lb": "in", "oz": "in", "kg": "cm", "g": "cm"}


@dataclass(frozen=True)
class Asked:
    """Whose prices of which days of shipping, and the unit and step of the weights they are written for.

    weight_step: None for the step that the bills show, else 1.
    """

    carrier: str
    first: date
    last: date
    weight_unit: str = "lb"
    weight_step: float | None = None


@dataclass(frozen=True)
class Learned:
    """What was learned: the lanes, the rules that go with them, and the words of charges beside the base price."""

    lanes: list[LearnedLane]
    rules: Rules
    charges: list[str]


def learn(connection: warehouse.Connection, asked: Asked, currency: str, code: str) -> Learned:
    """Prices by service and zone, and the rules of weighing. Raises NotFoundError where nothing was billed then."""
    texts = sql_texts("queries")
    days = [asked.carrier, asked.first, asked.last]
    bills = _in_units(connection.execute(texts["base_bills"], days).df(), asked.weight_unit)
    if bills.empty:
        raise NotFoundError(
            f"{asked.carrier}, {asked.first} to {asked.last}",
            "no base charge with a billed weight, a service and a zone is in what the last review built",
            "this command",
            "check the carrier's name and the days; `dunnage map FILE --constant service=NAME` states what no column "
            "does; after an import `dunnage review` builds",
        )
    step = asked.weight_step or weight_step(bills["billed_weight"].to_numpy(dtype=float)) or 1.0
    rules = Rules(
        tariff_code=code,
        carrier=asked.carrier,
        first=asked.first,
        last=asked.last,
        currency=currency,
        length_unit=LENGTH_UNITS[asked.weight_unit],
        weight_unit=asked.weight_unit,
        prices=f"{code}.csv",
        step=step,
        services=tuple(dict.fromkeys(bills["service"])),
        divisor=divisor(bills, step),
    )
    charges = [str(word) for (word,) in connection.execute(texts["billed_words"], days).fetchall()]
    return Learned(learned(bills, step), rules, charges)


def _in_units(bills: pd.DataFrame, weight_unit: str) -> pd.DataFrame:
    per_pound, per_inch = float(WEIGHTS_PER_POUND[weight_unit]), float(LENGTHS_PER_INCH[LENGTH_UNITS[weight_unit]])
    return bills.assign(
        billed_weight=(bills["billed_weight_lb"] * per_pound).round(3),
        scale_weight=bills["scale_weight_lb"].astype("float64") * per_pound,
        volume=bills["volume_in3"].astype("float64") * per_inch**3,
    )


def write(found: Learned, folder: Path) -> tuple[Path, bool]:
    """Write prices and, unless there are some, rules. Returns the rule file, and whether it was written."""
    rules = found.rules
    rows = price_rows(found.lanes)[LEARNED_HEADER].to_csv(index=False, lineterminator="\n")
    mark = learned_mark(rules.first, rules.last, rules.weight_unit)
    durable.write(folder / rules.prices, f"{mark}\n{rows}")
    file = (folder / rules.prices).with_suffix(".toml")
    if file.exists():
        return file, False
    durable.write(file, rule_text(rules, found.charges))
    return file, True


def unknown(found: Learned) -> list[str]:
    """What the bills do not tell, in sentences."""
    return not_known(found.rules, found.charges)


def report(found: Learned) -> pd.DataFrame:
    """For each service and zone what its prices were learned from, and how far they miss bills left out in turn."""
    unit = found.rules.weight_unit
    return pd.DataFrame(
        [
            {
                "service": lane.service,
                "zone": lane.zone,
                "bills": lane.bill_count,
                f"lightest {unit}": lane.lightest,
                f"heaviest {unit}": lane.heaviest,
                "error cents": None if lane.error_cents is None else round(lane.error_cents, 1),
                "error percent": None if lane.error_share is None else round(100 * lane.error_share, 2),
            }
            for lane in found.lanes
        ]
    )
