"""What the demo's records really hold: the answers that tests hold the pipeline to."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import tomlkit

from sample_data import shop
from sample_data.billing import ChargeLine
from sample_data.claims import LAG_LEAST, LAG_MEDIAN, LAG_MOST, LAG_SIGMA, Harm, true_damage_rate
from sample_data.labels import Label
from sample_data.packing import Packed
from sample_data.planting import FUEL_WEEK, NOT_YET_BILLED_FROM, Billing
from sample_data.returns import Return
from sample_data.sales import Sale
from sample_data.shop import ITEM_TYPES, METHODS
from sample_data.writing import write_csv

Section = dict[str, Any]
LONG_CODES = ("LONG SIDE", "DISCOUNT LONG", "SEASON LONG", "LONG GOODS")


def shop_facts(seed: int, sales: Sequence[Sale], parcels: Sequence[Packed]) -> Section:
    """Counts of what was sold and shipped."""
    logged = [parcel for parcel in parcels if parcel.has_log]
    return {
        "seed": seed,
        "as_of": shop.AS_OF,
        "first_shipped_on": parcels[0].shipped_on,
        "last_shipped_on": parcels[-1].shipped_on,
        "sales": len(sales),
        "sale_lines": sum(len(sale.lines) for sale in sales),
        "parcels": len(parcels),
        "parcels_logged": len(logged),
        "bench_rows": sum(len(parcel.contents) for parcel in logged),
        "sales_in_several_parcels": sum(len(sale.parcels) > 1 for sale in sales),
        "parcels_of_several_lines": sum(len(parcel.contents) > 1 for parcel in parcels),
        "parcels_without_sides": sum(parcel.logged_sides_in is None for parcel in logged),
        "parcels_without_scale_weight": sum(parcel.logged_weight_lb is None for parcel in logged),
        "parcels_without_bench_log": [parcel.parcel_id for parcel in parcels if not parcel.has_log],
        "parcels_by_item_type": dict(Counter(main_item(parcel) for parcel in parcels)),
    }


def main_item(parcel: Packed) -> str:
    """The first item type in the parcel."""
    return parcel.contents[0][0]


def long_carton(parcels: Sequence[Packed], book: Billing) -> Section:
    """The carton that is nominally 48 in long and closes longer."""
    used = [parcel for parcel in parcels if parcel.carton_code == shop.NOMINAL_48]
    over = {parcel.parcel_id for parcel in used if parcel.true_sides_in[0] > 48}
    lines = [line for line in book.lines if line.parcel_id in over and line.charge_code in LONG_CODES]
    charged = {line.parcel_id for line in lines}
    return {
        "carton_code": shop.NOMINAL_48,
        "nominal_length_in": 48.0,
        "usual_closed_length_in": 49.0,
        "parcels": len(used),
        "parcels_closing_over_48": len(over),
        "parcels_charged": len(charged),
        "surcharges_net_of_discount_cents": sum(line.amount_cents for line in lines),
        "needed_length_in": 45.0,
        "avoided_by_carton": "C-46",
        "avoided_by_cutting_to_in": 46.0,
    }


def labels(drawn: Sequence[Label]) -> Section:
    """Labels since the shop keeps them, and those that were paid for and never used."""
    unused = [label for label in drawn if not (label.is_scanned or label.is_voided)]
    return {
        "since": shop.LABELS_SINCE,
        "labels": len(drawn),
        "quoted_cents": sum(label.quoted_cents for label in drawn if label.is_scanned),
        "voided": sum(label.is_voided for label in drawn),
        "unused": [label.parcel_id for label in unused],
        "unused_cents": sum(label.quoted_cents for label in unused),
    }


def returns(drawn: Sequence[Return]) -> Section:
    """Goods that came back undamaged."""
    return {
        "since": shop.RETURNS_SINCE,
        "returns": len(drawn),
        "carriage_cents": sum(each.carriage_cents or 0 for each in drawn),
        "depreciation_cents": sum(each.depreciation_cents for each in drawn),
        "not_sold_again": [each.return_id for each in drawn if each.resold_on is None],
        "by_condition": dict(Counter(each.condition for each in drawn)),
    }


def appeals(found: Harm) -> Section:
    """How claims stand when the records end, and what appeals brought."""
    appealed = [claim for claim in found.claims if claim.appealed_on]
    answered = [claim for claim in appealed if claim.first_on]
    return {
        "since": shop.APPEALS_SINCE,
        "appealed": [claim.claim_id for claim in appealed],
        "won": [claim.claim_id for claim in answered if claim.first_cents < (claim.paid_cents or 0)],
        "won_cents": sum((claim.paid_cents or 0) - claim.first_cents for claim in answered),
        "waiting_at_first": sum(claim.state_on(shop.LAST_DAY) == "appealed" for claim in found.claims),
        "claims_by_state": dict(Counter(claim.state_on(shop.AS_OF) for claim in found.claims)),
    }


def missing_size(parcels: Sequence[Packed]) -> Section:
    """Goods shipped in a far too big carton, for want of the right one."""
    return {
        "item_type": "primary mirror",
        "carton_code": "M-20",
        "parcels": sum(parcel.contents == (("primary mirror", 1),) for parcel in parcels),
        "needed_inside_in": [16.0, 16.0, 7.0],
        "used_inside_in": [round(side / shop.CM, 2) for side in shop.CARTONS["M-20"].inside_cm],
    }


def simpson(parcels: Sequence[Packed], found: Harm) -> Section:
    """Foam halves the odds of damage, and looks worse than air cushions as long as nobody asks for what goods."""
    damaged = {claim.parcel.parcel_id for claim in found.claims if claim.cause == "broken"}
    section: Section = {
        "dearer_method": "foam",
        "cheaper_method": "air cushion",
        "true_odds_ratio": METHODS["foam"].odds_ratio,
    }
    for method in ("foam", "air cushion"):
        used = [parcel for parcel in parcels if parcel.packing_method == method]
        hits = sum(parcel.parcel_id in damaged for parcel in used)
        expected = sum(true_damage_rate(item, method) for parcel in used for item, _ in parcel.contents) / len(used)
        section[method.replace(" ", "_")] = {
            "parcels": len(used),
            "damage_claims": hits,
            "crude_rate": round(hits / len(used), 5),
            "true_mean_rate": round(expected, 5),
        }
    section["true_rates"] = {
        item: {method: round(true_damage_rate(item, method), 5) for method in METHODS} for item in ITEM_TYPES
    }
    return section


def changes(parcels: Sequence[Packed], found: Harm) -> list[Section]:
    """The packing change that worked and the one that changed nothing: parcels and damage claims by method."""
    damaged = {claim.parcel.parcel_id for claim in found.claims if claim.cause == "broken"}
    stated = (
        ("tripod", "paper", "corner blocks", shop.TRIPOD_CHANGE),
        ("mount head", "paper", "honeycomb paper", shop.PLACEBO_CHANGE),
    )
    return [
        {
            "item_type": item,
            "changed_on": day,
            "from_method": old,
            "to_method": new,
            "true_rate_ratio": round(true_damage_rate(item, new) / true_damage_rate(item, old), 3),
            "parcels": [_used(parcels, item, old), _used(parcels, item, new)],
            "damage_claims": [_used(parcels, item, old, damaged), _used(parcels, item, new, damaged)],
        }
        for item, old, new, day in stated
    ]  # fmt: skip


def _used(parcels: Sequence[Packed], item: str, method: str, among: set[str] | None = None) -> int:
    return sum(
        main_item(parcel) == item and parcel.packing_method == method and (among is None or parcel.parcel_id in among)
        for parcel in parcels
    )


def late_claims(found: Harm) -> Section:
    """How late damage is reported, and what will still come after the end of the records."""
    return {
        "lag_distribution": "lognormal, rounded to days, drawn again outside the bounds",
        "lag_median_days": LAG_MEDIAN,
        "lag_sigma": LAG_SIGMA,
        "lag_bounds_days": [LAG_LEAST, LAG_MOST],
        "drawn_median_days": float(np.median(found.lags)),
        "damaged_in_truth": sum(found.damaged_by_month.values()),
        "damaged_not_yet_reported": sum(found.unreported_by_month.values()),
        "damaged_by_ship_month": found.damaged_by_month,
        "not_yet_reported_by_ship_month": found.unreported_by_month,
        "claims_by_cause": dict(Counter(claim.cause for claim in found.claims)),
    }


def planted(book: Billing) -> Section:
    """The carriers' errors, row by row."""
    truth = dict(book.truth)
    pending = [row["parcel_id"] for row in truth.pop("not_yet_billed", [])]
    return {
        "fuel_on_wrong_base_week": {"carrier": "Corvane", "first_day": FUEL_WEEK[0], "last_day": FUEL_WEEK[1]},
        "not_yet_billed": {"from": NOT_YET_BILLED_FROM, "parcels": pending},
        **truth,
    }


def write_invoices(path: Path, lines: Sequence[ChargeLine]) -> None:
    """Each invoice's lines and exact sum."""
    totals: dict[tuple[str, str, str], list[int]] = {}
    for line in lines:
        total = totals.setdefault((line.carrier, line.invoice_number, f"{line.invoiced_on}"), [0, 0])
        total[0] += 1
        total[1] += line.amount_cents
    headers = ("carrier", "invoice_number", "invoiced_on", "lines", "amount_cents")
    write_csv(path, [dict(zip(headers, (*key, *total), strict=True)) for key, total in sorted(totals.items())])


def write_truth(path: Path, sections: Section) -> None:
    """truth.toml."""
    path.write_text(tomlkit.dumps(sections), encoding="utf-8", newline="\n")
