"""What is expected of shipments by random tariffs, against a literal reading of the same rules."""

from __future__ import annotations

import random
import tomllib
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from models.tariffs.checks import checked
from sample_data import literal_rating
from tests.models.tariffs.price_lists import parsed
from tests.models.tariffs.shown import hold_shown
from tests.pipelines.build.literal_shipments import Amounts, rate_together
from tests.pipelines.build.random_tariffs import random_prices, random_rules, random_shipments
from tests.pipelines.build.shipped_together import line, parcel, shop
from tests.pipelines.parcels import random_parcel
from tests.sampling import tries
from tests.shops import rows

SHIPMENTS = 40


def drawn(source: random.Random, name: str) -> list[dict[str, Any]]:
    """Two to six parcels of one day and zone."""
    first = random_parcel(source, "trial", ("plain",), "23")
    found = []
    for place in range(source.randint(2, 6)):
        stated = random_parcel(source, "trial", ("plain",), "23") | {key: first[key] for key in ("zone", "shipped_on")}
        sides = sorted((stated[side] for side in ("length_in", "width_in", "height_in")), reverse=True)
        stated |= dict(zip(("length_in", "width_in", "height_in"), sides, strict=True))
        found.append(parcel(f"{name}-{place}", 0, name, **stated))
    return found


def literal(parcels: list[dict[str, Any]], read: literal_rating.Tariff) -> Amounts | None:
    return rate_together(
        [
            literal_rating.Parcel(
                row["service"],
                row["zone"],
                row["shipped_on"],
                (row["length_in"], row["width_in"], row["height_in"]),
                row["scale_weight_lb"],
                row["is_rectangular"],
                row["is_residential"],
                row["destination_prefix"],
                row["declared_value_cents"],
            )
            for row in parcels
        ],
        read,
    )


@pytest.mark.parametrize("seed", range(tries(25)))
def test_a_literal_reading_of_rules_for_shipments_agrees_charge_by_charge(seed: int, tmp_path: Path) -> None:
    source = random.Random(1_000 + seed)
    rules = random_rules(source, "trial")
    rules += random_shipments(source, tomllib.loads(rules, parse_float=Decimal))
    heaviest = {"lb": 200, "kg": 90, "oz": 3_200, "g": 90_000}[tomllib.loads(rules)["weight_unit"]]
    prices = random_prices(source, heaviest)
    (tmp_path / "trial.toml").write_text(rules, encoding="utf-8")
    (tmp_path / "trial.csv").write_text(prices, encoding="utf-8")
    tariff = parsed("trial.toml", rules, lambda name: prices)
    assert [each for each in checked(tariff) if "shipments" in each.what and each.level == "stop"] == []
    hold_shown(tariff)
    asked = {f"S{number:02}": drawn(source, f"S{number:02}") for number in range(SHIPMENTS)}
    weights = [row for parcels in asked.values() for row in parcels]
    bills = [line("BASE", 1, None, name) for name in asked]
    with shop(tariff, weights, bills, needed=("core.shipment_charges",)) as connection:
        charges = rows(
            connection, "select * from core.shipment_charges where amount_cents is null or amount_cents <> 0"
        )
    found: dict[str, Amounts] = {}
    for row in charges:
        own = found.setdefault(row["parcel_id"].partition("-")[0], {})
        own[row["charge_kind"], row["charge_name"]] = row["amount_cents"]
    read = literal_rating.read_tariff(tmp_path / "trial.toml")
    said = {name: amounts for name, parcels in asked.items() if (amounts := literal(parcels, read))}
    assert said
    assert set(found) == set(said)
    for name, amounts in said.items():
        beyond = amounts.get(("base", "base"), 0) is None
        assert (None if beyond else found[name]) == (None if beyond else amounts), name
        assert not beyond or found[name]["base", "base"] is None
