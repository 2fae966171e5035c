"""What truth.toml says is planted is in the files, counted again from the files."""

from __future__ import annotations

import csv
import datetime as dt
from collections import Counter, defaultdict
from dataclasses import asdict
from functools import cache
from statistics import median

import numpy as np
from statsmodels.stats.contingency_tables import StratifiedTable, Table2x2

from models.packing.fit import Verdict, fit
from models.packing.needed import contents, packed_item
from sample_data.shop import CARTONS, CM, FIRST_DAY, ITEM_TYPES, LAST_DAY, METHODS, TRIPOD_CHANGE
from tests.sample_data.shop_files import SHOP, Row, bench, cents, charges, latest, truth

AS_OF = dt.date(2026, 11, 20)


@cache
def item_of() -> dict[tuple[str, str], str]:
    """(sale, line) -> item type, by kind or by stock number."""
    numbers = {row["sku"]: row["item_type"] for row in latest("skus", "sku")}
    lines = latest("market-sales", "sale_id", "line_number")
    return {(row["Order no"], row["Pos"]): row["Kind"] or numbers[row["Stock no"]] for row in lines}


def item(row: Row) -> str:
    return item_of()[row["Order"], str(row["Order pos"])]


@cache
def claims() -> list[Row]:
    return latest("claims", "claim_id")


@cache
def broken() -> set[str]:
    return {row["label"] for row in claims() if row["what"] == "broken"}


@cache
def lines_by_parcel() -> dict[str, list[Row]]:
    found: dict[str, list[Row]] = defaultdict(list)
    for line in charges():
        found[line["parcel_id"]].append(line)
    return found


def test_every_invoice_sums_to_the_stated_cents() -> None:
    sums: Counter[tuple[str, str]] = Counter()
    for line in charges():
        sums[line["carrier"], line["invoice_number"]] += line["amount_cents"]
    with (SHOP / "truth" / "invoices.csv").open(encoding="utf-8", newline="") as opened:
        stated = {(row["carrier"], row["invoice_number"]): int(row["amount_cents"]) for row in csv.DictReader(opened)}
    assert dict(sums) == stated


def test_keys_are_unique_and_days_lie_within_the_stated_months() -> None:
    lines = list(charges())
    assert len({(line["carrier"], line["invoice_number"], line["line_number"]) for line in lines}) == len(lines)
    assert all(line["shipped_on"] is None or line["shipped_on"] <= line["invoiced_on"] <= AS_OF for line in lines)
    days = [rows[0]["Handed over"].date() for rows in bench().values()]
    assert (min(days), max(days)) == (FIRST_DAY, LAST_DAY)
    assert len(bench()) == truth()["shop"]["parcels_logged"]


def test_labels_are_counted_and_those_that_no_carrier_scanned_are_on_no_invoice() -> None:
    stated, kept = truth()["labels"], latest("label-list", "parcel_id")
    assert len(kept) == stated["labels"]
    assert min(dt.date.fromisoformat(row["Bought on"]) for row in kept) == stated["since"]
    assert sum(row["Voided"] == "yes" for row in kept) == stated["voided"] > 0
    unused = [row for row in kept if not row["First scan"] and row["Voided"] == "no"]
    assert [row["Tracking no"] for row in unused] == stated["unused"] != []
    assert sum(cents(row["Postage quoted"]) for row in unused) == stated["unused_cents"]
    assert sum(cents(row["Postage quoted"]) for row in kept if row["First scan"]) == stated["quoted_cents"]
    assert not any(lines_by_parcel().get(row["Tracking no"]) for row in kept if not row["First scan"])


def test_what_was_typed_for_the_48_inch_carton_is_shorter_than_what_was_billed() -> None:
    typed = {row["Tracking no"]: float(row["Typed length (in)"]) for row in latest("label-list", "parcel_id")}
    of_carton = [label for label, rows in bench().items() if rows[0]["Box"] == "C-48" and label in typed]
    assert of_carton and all(typed[label] <= 48 for label in of_carton)


def test_the_invoice_for_july_came_a_month_late() -> None:
    dated = {line["invoice_number"]: line["invoiced_on"] for line in charges() if line["carrier"] == "Corvane"}
    assert dated["CV-2026-07"] - dated["CV-2026-06"] == dt.timedelta(days=61)
    assert dated["CV-2026-07"] < dated["CV-2026-08"]


def test_the_48_inch_carton_closes_at_49_and_is_charged() -> None:
    stated = truth()["long_carton"]
    used = [rows[0] for rows in bench().values() if rows[0]["Box"] == stated["carton_code"]]
    lengths = [float(row["L"]) for row in used if isinstance(row["L"], int | float)]
    assert median(lengths) == stated["usual_closed_length_in"]
    assert sum(length > 48 for length in lengths) / len(lengths) > 0.9
    charged = [
        label
        for label, rows in bench().items()
        if rows[0]["Box"] == "C-48"
        and any(line["charge_code"] in ("LONG SIDE", "LONG GOODS") for line in lines_by_parcel()[label])
    ]
    assert abs(len(charged) - stated["parcels_charged"]) < 0.02 * stated["parcels"]
    assert stated["parcels_charged"] > 0.85 * stated["parcels"]
    assert CARTONS["C-46"].inside_cm[2] / CM > stated["needed_length_in"]


def test_goods_fit_the_carton_they_were_packed_in() -> None:
    used = {
        (tuple((item(row), row["Pcs"]) for row in rows), rows[0]["Box"], rows[0]["Cut to"], rows[0]["Packed with"])
        for rows in bench().values()
    }
    for lines, code, cut_to_in, method in used:
        length, width, height = (side / CM for side in CARTONS[code].inside_cm)
        goods = [(packed_item(asdict(ITEM_TYPES[name]) | sides(name)), pieces) for name, pieces in lines]
        wanted = contents(goods, METHODS[method].clearance_in)
        assert fit(wanted, (length, width, cut_to_in or height)).verdict is Verdict.FITS, (lines, code, method)


def sides(name: str) -> Row:
    """The item type under the contract's names."""
    goods = ITEM_TYPES[name]
    return {"item_type": name, **dict(zip(("length_in", "width_in", "height_in"), goods.sides_in, strict=True))}


def test_mirrors_travel_in_a_far_too_big_carton() -> None:
    stated = truth()["missing_size"]
    alone = [rows[0] for rows in bench().values() if len(rows) == 1 and item(rows[0]) == stated["item_type"]]
    assert {row["Box"] for row in alone} == {stated["carton_code"]}
    assert len(alone) + len(truth()["shop"]["parcels_without_bench_log"]) >= stated["parcels"] >= len(alone)
    assert np.prod(stated["used_inside_in"]) > 3 * np.prod(stated["needed_inside_in"])


def counts(method: str, goods: str = "") -> tuple[int, int]:
    """Damage claims and parcels without one, by the first goods in the parcel."""
    used = [
        label
        for label, rows in bench().items()
        if rows[0]["Packed with"] == method and (not goods or item(rows[0]) == goods)
    ]
    hits = sum(label in broken() for label in used)
    return hits, len(used) - hits


def test_foam_looks_worse_and_is_better() -> None:
    crude = Table2x2([counts("foam"), counts("air cushion")])
    strata = [[counts("foam", goods), counts("air cushion", goods)] for goods in ITEM_TYPES]
    common = StratifiedTable([np.array(table) for table in strata if min(map(sum, table)) > 0])
    assert crude.oddsratio > 1.2
    assert common.oddsratio_pooled < 0.8
    low, high = common.oddsratio_pooled_confint()
    assert low < truth()["simpson"]["true_odds_ratio"] < high < 1.0
    stated = truth()["simpson"]
    assert stated["foam"]["crude_rate"] > stated["air_cushion"]["crude_rate"]
    assert stated["foam"]["true_mean_rate"] > stated["air_cushion"]["true_mean_rate"]
    assert all(each["foam"] < each["air cushion"] for each in stated["true_rates"].values())


def test_one_packing_change_worked_and_the_other_did_nothing() -> None:
    tripod, mount = truth()["changes"]
    assert (tripod["changed_on"], tripod["true_rate_ratio"], mount["true_rate_ratio"]) == (TRIPOD_CHANGE, 0.4, 1.0)
    for change in (tripod, mount):
        found = [counts(change[method], change["item_type"]) for method in ("from_method", "to_method")]
        stated = list(zip(change["damage_claims"], change["parcels"], strict=True))
        for (hits, whole), (stated_hits, stated_parcels) in zip(found, stated, strict=True):
            assert stated_hits - 2 <= hits <= stated_hits
            assert 0.98 * stated_parcels <= hits + whole <= stated_parcels
    low, high = Table2x2([counts("corner blocks", "tripod"), counts("paper", "tripod")]).riskratio_confint()
    assert low < 0.4 < high < 1.0
    low, high = Table2x2([counts("honeycomb paper", "mount head"), counts("paper", "mount head")]).riskratio_confint()
    assert low < 1.0 < high


def test_damage_claims_are_as_many_as_a_shop_this_size_would_see() -> None:
    assert 120 <= len(broken()) <= 180
    causes = Counter(row["what"] for row in claims())
    assert causes == truth()["late_claims"]["claims_by_cause"]
    assert causes["lost"] > 0
    assert causes["not_as_listed"] > 0


def test_claims_come_late_and_the_last_are_missing() -> None:
    stated = truth()["late_claims"]
    shipped = {label: rows[0]["Handed over"].date() for label, rows in bench().items()}
    lags = [
        (dt.date.fromisoformat(row["reported"]) - shipped[row["label"]]).days
        for row in claims()
        if row["label"] in shipped
    ]
    low, high = stated["lag_bounds_days"]
    assert low <= min(lags)
    assert max(lags) <= high
    assert abs(median(lags) - stated["lag_median_days"]) < 3
    assert all(row["reported"] <= f"{AS_OF}" for row in claims())
    by_month = Counter(f"{shipped[label]:%Y-%m}" for label in broken() if label in shipped)
    for month, damaged in stated["damaged_by_ship_month"].items():
        assert by_month[month] <= damaged - stated["not_yet_reported_by_ship_month"].get(month, 0)
    assert stated["damaged_in_truth"] - stated["damaged_not_yet_reported"] == len(broken())
    assert stated["damaged_not_yet_reported"] > 0
