"""An odd shop founded and filled through the command line."""

from __future__ import annotations

import csv
from pathlib import Path

from pipelines.cli import main
from tests.odd_shops.trade import CARRIER, DIVISOR, FUEL, LONG_CENTS, LONG_SIDE, SERVICE, Row, Shop, price

TARIFF = f"""\
tariff_code = "longreach"
carrier = "{CARRIER}"
source = "Invented for this test"
effective_from = 2026-01-01
currency = "%s"
length_unit = "in"
weight_unit = "lb"
prices = "longreach.csv"
dispute_days = 45
dispute_from = "invoiced_on"
claim_days = 60

[[services]]
service = "{SERVICE}"
side_rounding = "up"
divisor = {DIVISOR}.0
divisor_above_volume = 0.0
non_rectangular_factor = 1.0
weight_step = 1.0
minimum_weight = 1.0
limits = {{ longest_side = 96.0, scale_weight = 90.0 }}

[[surcharges]]
surcharge = "long side"
charge_code = "LONG"
when = [[{{ measure = "longest_side", more_than = {LONG_SIDE} }}]]
amount_cents = {LONG_CENTS}

[[fuel]]
from = 2026-01-01
percent = {FUEL * 100}
on = ["base", "surcharge"]
"""
METRIC = {"_in": ("_cm", 2.54), "_lb": ("_kg", 0.45359237)}


def found(folder: Path, made: Shop) -> Path:
    """`dunnage init`, the tariff if any, and a file of each kind that the shop keeps. Returns the folder."""
    plan = made.plan
    words = ("--name", "Saltmarsh Spars", "--currency", plan.currency, "--time-zone", "UTC", "--wage", "18.00")
    assert main(["init", str(folder), *words, "--units", plan.units]) == 0
    if plan.has_tariff:
        (folder / "tariffs" / "longreach.toml").write_text(TARIFF % plan.currency, encoding="utf-8")
        zones = tuple(plan.zones)
        prices = [f"{SERVICE},{zone},{lb},{price(zones, zone, lb)}" for zone in zones for lb in range(1, 91)]
        head = "service,zone,up_to_weight,price_cents"
        (folder / "tariffs" / "longreach.csv").write_text("\n".join([head, *prices]) + "\n", encoding="utf-8")
    for kind in plan.keeps:
        _fill(folder, kind, made.records[kind], plan.units == "metric")
    return folder


def _fill(folder: Path, kind: str, rows: list[Row], is_metric: bool) -> None:
    """A filled copy of the shop's own template: its headers say in which unit a cell is written."""
    template = folder / "templates" / f"template-{kind}.csv"
    header = template.read_text(encoding="utf-8").strip().split(",")
    with (folder / "inbox" / template.name).open("w", encoding="utf-8", newline="") as out:
        writer = csv.writer(out)
        writer.writerow(header)
        writer.writerows([_cell(row, name) for name in header] for row in rows)


def _cell(row: Row, header: str) -> object:
    if header == "amount_cents" and row.get("is_foreign"):
        return f"GBP {row[header]}"
    for ending, (metric, factor) in METRIC.items():
        if header.endswith(metric):
            kept = row.get(header.removesuffix(metric) + ending)
            return "" if kept is None else round(float(kept) * factor, 4)
    return row.get(header, "")
