"""Writes a price file learned from billed history, for a shop that has no price list of a carrier."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pandas as pd

from models.errors import NotFoundError
from models.rate_curve import RateCurve, as_prices, learned
from models.sql_texts import sql_texts
from models.tariffs.price_file import LEARNED_HEADER, learned_mark
from models.tariffs.rules import WEIGHTS_PER_POUND
from pipelines.shop import durable, warehouse


@dataclass(frozen=True)
class Asked:
    """Whose prices of which days of shipping, and the unit and step of the weights they are written for."""

    carrier: str
    first: date
    last: date
    weight_unit: str = "lb"
    weight_step: float = 1.0


def curves(connection: warehouse.Connection, asked: Asked) -> list[RateCurve]:
    """A curve for each service and zone. Raises NotFoundError where nothing was billed on those days."""
    sql = sql_texts("queries")["base_bills"]
    period = f"{asked.first} to {asked.last}"
    bills = connection.execute(sql, [period, asked.carrier, asked.first, asked.last]).df()
    if bills.empty:
        raise NotFoundError(
            f"{asked.carrier}, {period}",
            "no base charge with a billed weight is in the records",
            "this command",
            "check the carrier's name and the days",
        )
    weights = bills["billed_weight_lb"] * float(WEIGHTS_PER_POUND[asked.weight_unit])
    return learned(bills.assign(billed_weight=weights.round(3)))


def write(found: list[RateCurve], asked: Asked, file: Path) -> pd.DataFrame:
    """Write the prices as a tariff's price file. Returns for each service and zone what it was learned from."""
    rows = as_prices(found, asked.weight_step)[LEARNED_HEADER].to_csv(index=False, lineterminator="\n")
    durable.write(file, f"{learned_mark(asked.first, asked.last, asked.weight_unit)}\n{rows}")
    return pd.DataFrame(
        [
            {
                "service": curve.service,
                "zone": curve.zone,
                "parcels": curve.parcel_count,
                f"lightest {asked.weight_unit}": float(curve.weights[0]),
                f"heaviest {asked.weight_unit}": float(curve.weights[-1]),
                "error cents": None if curve.error_cents is None else round(curve.error_cents, 1),
                "most missed by cents": curve.miss_cents,
                "error percent": None if curve.error_share is None else round(100 * curve.error_share, 2),
            }
            for curve in found
        ]
    )
