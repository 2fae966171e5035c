"""The carriers' price tables, whose prices rise with weight and zone, and the zone chart of both. All invented."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from sample_data import shop

HEADER = "service,zone,up_to_weight,price_cents"
ZONES = range(2, 9)
# File -> service -> (first price, per zone, per unit of weight, per unit and zone), in cents of the carrier's unit.
NORTHLINE = {"ground": (470, 28, 14.0, 4.2), "express": (1550, 150, 52.0, 14.0)}
CORVANE = {"economy": (360, 22, 34.0, 8.4), "standard": (450, 30, 41.0, 10.0)}
TABLES = {
    "northline-2025": (NORTHLINE, 1.0, [float(pound) for pound in range(1, 151)]),
    "northline-2026": (NORTHLINE, 1.059, [float(pound) for pound in range(1, 151)]),
    "corvane-2025": (CORVANE, 1.0, [half / 2 for half in range(1, 141)]),
}


def write_prices(folder: Path) -> None:
    """One CSV for each tariff."""
    for name in TABLES:
        text = "\n".join([HEADER, *price_rows(name)]) + "\n"
        (folder / f"{name}.csv").write_text(text, encoding="utf-8", newline="\n")


def write_zones(folder: Path) -> None:
    """The chart that both carriers' tariffs name: zones by postal code, from where the shop ships."""
    rows = [f"120,{prefix},{zone}" for prefix, zone in shop.ZONES.items()]
    text = "\n".join(["origin,destination,zone", *rows]) + "\n"
    (folder / "zones.csv").write_text(text, encoding="utf-8", newline="\n")


def price_rows(name: str) -> Iterator[str]:
    """The rows of one table: service, zone, weight, cents."""
    services, level, weights = TABLES[name]
    for service, (first, per_zone, per_weight, per_both) in services.items():
        for zone in ZONES:
            far = zone - 2
            for weight in weights:
                # Heavier parcels cost less for each further unit.
                grown = weight**0.94
                cents = level * (first + per_zone * far + (per_weight + per_both * far) * grown)
                yield f"{service},{zone},{weight:g},{round(cents / 5) * 5}"
