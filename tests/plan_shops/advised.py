"""The program asked for its plan of a shop, in memory, through the steps that a build and `dunnage cartons` take."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pandas as pd

from models.analyses import ANALYSES
from models.analyses.services import rules
from models.plain_rows import as_dicts
from models.settings.cartons import Cartons
from models.settings.damage import Damage
from models.shop_units import Units
from models.sql_texts import sql_texts
from models.tariffs.rules import Tariff as PriceList
from pipelines.build import analysing, building, cartons, services, suppliers, tariffs
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, Shop
from tests.pipelines.parcels import JUDGED
from tests.plan_shops.oracle import outside
from tests.plan_shops.trade import BOARD, CLEARANCE, Carton, PlanShop, Sides, Tariff
from tests.shops import built

Row = dict[str, Any]
CARRIER, OTHER_CARRIER, SERVICE, METHOD = "Sandpiper", "Dunlin", "parcel", "wrap"
# What judging cartons and near misses reads, and comparing services.
NEEDED = (*JUDGED, "marts.near_miss_totals", "marts.record_states")
COMPARED = ("core.charted_zones", "core.shipment_parcels", "marts.parcel_costs")
# What the decision between packing methods reads.
DECIDED = (
    *("marts.exposure_cells", "marts.claim_losses", "marts.coverage", "core.packing_methods"),
    *("core.insured_parcels", "core.claims"),
)
DECISIONS = [each for each in ANALYSES if each.name == "packing decisions"]
NAMES = ("length_in", "width_in", "height_in")
HEAVIEST = 150
RULES = f"""\
tariff_code = "{{carrier}}"
carrier = "{{carrier}}"
source = "Invented for this test"
effective_from = {{from_on}}
currency = "USD"
length_unit = "in"
weight_unit = "lb"
prices = "list.csv"
zone_chart = "chart.csv"
ships_from = "1"
dispute_days = 60
dispute_from = "invoiced_on"
claim_days = 60

[[services]]
service = "{SERVICE}"
side_rounding = "up"
divisor = {{divisor}}.0
divisor_above_volume = 0.0
non_rectangular_factor = 1.0
weight_step = 1.0
minimum_weight = 1.0
limits = {{{{ longest_side = {{limit}}.0, scale_weight = {HEAVIEST}.0 }}}}
"""
PROMISE = "\n[[promises]]\ndays = 3\n"
CHARGE = """
[[surcharges]]
surcharge = "{name}"
charge_code = "{name}"
when = [[{{ measure = "{measure}", more_than = {beyond}.0 }}]]
amount_cents = {cents}
group = "{name}"
rank = 1
"""


@dataclass(frozen=True)
class Advised:
    """actions, sizes, saving: rows of analysis.actions, analysis.assortment, analysis.assortment_saving."""

    actions: list[Row]
    sizes: list[Row]
    saving: list[Row]
    totals: Row


def price_list(tariff: Tariff, carrier: str = CARRIER, from_on: str = "2025-01-01") -> PriceList:
    """The carrier's list as the program reads it; a place is known by its zone, which is that of either carrier."""
    charges = (("long side", "longest_side", *tariff.longest), ("large", "length_plus_girth", *tariff.around))
    keys = ("name", "measure", "beyond", "cents")
    text = RULES.format(divisor=tariff.divisor, carrier=carrier, limit=tariff.limit, from_on=from_on) + "".join(
        CHARGE.format(**dict(zip(keys, each, strict=True))) for each in charges
    )
    prices = [
        f"{SERVICE},{zone},{pounds},{first + further * (pounds - 1)}"
        for zone, (first, further) in tariff.by_pound.items()
        for pounds in range(1, HEAVIEST * 6)
    ]
    files = {
        "list.toml": [text + PROMISE],
        "list.csv": ["service,zone,up_to_weight,price_cents", *prices],
        "chart.csv": ["origin,destination,zone", *(f"1,{place_of(zone)},{zone}" for zone in tariff.by_pound)],
    }
    with tempfile.TemporaryDirectory() as beside:
        for name, lines in files.items():
            (Path(beside) / name).write_text("\n".join(lines) + "\n", encoding="utf-8")
        found, findings = tariffs.check(Path(beside) / "list.toml")
    assert found, findings
    return found


def place_of(zone: str) -> str:
    """The beginning of the postal codes of a zone."""
    return f"{zone}0"


def _sides(before: str, sides: Sides) -> Row:
    return {f"{before}{name}": side for name, side in zip(NAMES, sides, strict=True)}


def records(shop: PlanShop) -> dict[str, list[Row]]:
    """What the shop has written down of its past."""
    goods = [
        {"item_type": each.name, **_sides("", each.sides), "weight_lb": each.weight, "turns": "any"}
        for each in shop.goods
    ]
    methods = [{"packing_method": METHOD, "effective_from": "2024-01-01", "clearance_in": CLEARANCE}]
    sales = [
        {"sale_id": f"S{each.number}", "item_type": each.goods.name, "sold_at": f"{each.day} 08:00:00"}
        for each in shop.past
    ]
    weights = [
        {
            "parcel_id": each.number,
            "sale_id": f"S{each.number}",
            "shipped_on": str(each.day),
            "carrier": CARRIER,
            "service": SERVICE,
            "zone": each.zone,
            "destination_prefix": place_of(each.zone),
            "carton_code": each.carton.code,
            "packing_method": METHOD,
            "scale_weight_lb": round(each.weight + shop.board_lb * each.carton.blank_in2, 2),
            **_sides("", outside(each.carton.inside)),
            "is_rectangular": True,
        }
        for each in shop.past
    ]
    stocked = [_carton(each) for each in shop.cartons]
    return {"item_types": goods, "packing_methods": methods, "sales": sales, "weights": weights, "cartons": stocked}


def _carton(carton: Carton) -> Row:
    return {
        "carton_code": carton.code,
        "effective_from": "2024-01-01",
        "carton_style": "0201",
        **_sides("inside_", carton.inside),
        "board_in": BOARD,
        "unit_cost_cents": carton.cents,
        "is_cuttable": carton.lowest is not None,
        "minimum_height_in": float(carton.lowest or 0) or None,
        "on_hand": carton.on_hand,
        "minimum_order": 25,
    }


def _supplier(shop: PlanShop) -> pd.DataFrame:
    rows = [
        {"size_code": each.code, **_sides("inside_", each.inside), "unit_cost_cents": each.cents, "pack_quantity": 25}
        for each in shop.offered
    ]
    return pd.DataFrame(rows, columns=list(suppliers.SUPPLIER.columns)) if rows else suppliers.no_supplier()


def advised(shop: PlanShop) -> Advised:
    """The plan that the program shows after the shop's past."""
    tables = ("actions order by place", "assortment order by size_code", "assortment_saving order by all")
    with planned(shop, _supplier(shop)) as connection:
        actions, sizes, saving, totals = (
            as_dicts(connection.execute(f"select * from analysis.{name}").df()) for name in (*tables, "action_totals")
        )
    return Advised(actions, sizes, saving, totals[0])


@contextmanager
def planned(shop: PlanShop, supplier: pd.DataFrame | None = None) -> Iterator[warehouse.Connection]:
    """The shop built, its services, cartons and actions judged; sizes to stock where a supplier's list is given."""
    chosen = Cartons(
        fixed_cents_per_month=shop.fixed_cents, new_size_cents=shop.new_size_cents, hold_out_months=3, seconds=20
    )
    lists = [price_list(shop.tariff), *([price_list(shop.other, OTHER_CARRIER)] if shop.other else [])]
    with judged(records(shop), lists, chosen, supplier) as connection:
        yield connection


@contextmanager
def judged(
    given: Mapping[str, list[Row]], lists: Sequence[PriceList], chosen: Cartons, supplier: pd.DataFrame | None = None
) -> Iterator[warehouse.Connection]:
    """A shop of these records built and judged; other services where there is a second carrier, packing methods where
    there are two."""
    decided = Damage(min_parcels=1, sampled_parcels=10_000)
    settings = Settings(folder=Path(), shop=Shop(wage_cents_per_hour=2_400), cartons=chosen, damage=decided)
    are_compared = len({each.carrier for each in lists}) > 1
    has_methods = len(given["packing_methods"]) > 1
    needed = (*NEEDED, *(COMPARED if are_compared else ()), *(DECIDED if has_methods else ()))
    with built(shop=settings.shop, price_lists=lists, needed=needed, **given) as connection:
        connection.execute("create schema if not exists analysis")
        with warehouse.transaction(connection):
            building.wrap(connection, settings)
            if are_compared:
                _compare_services(connection, chosen)
            if has_methods:
                building.repack(connection, settings)
                analysing.analyse(connection, building.options(settings), DECISIONS)
            if supplier is not None:
                made_at = pd.Timestamp("2026-04-02")
                found = cartons.chosen_tables(connection, chosen, supplier, made_at, Units("USD"))
                for name, rows in found.items():
                    analysing.store(connection, name, rows)
            building.judge_cartons(connection, settings)
            analysing.analyse(connection, building.options(settings), building.LAST)
        yield connection


def _compare_services(connection: warehouse.Connection, chosen: Cartons) -> None:
    """What the build writes of other services, in a shop without claims."""
    services.compare(connection, chosen.judged_months)
    cells = connection.execute(sql_texts("queries")["service_cells"]).df()
    found = rules(cells, chosen.hold_out_months, lambda rows: [0] * len(rows))
    analysing.store(connection, "analysis.service_rules", found)
