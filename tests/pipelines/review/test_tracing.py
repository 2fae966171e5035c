"""`dunnage trace`: every figure that is shown leads to its parcels, and these to file and row."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

from dashboards.sections import all_sections
from models.errors import NotFoundError
from models.plain_rows import as_dicts
from models.provenance import AMONG, EXACTLY, NONE, PART
from models.sql_texts import sql_texts
from models.tables import TABLES
from pipelines.cli import main
from pipelines.review import tracing
from pipelines.shop import warehouse
from tests.models.tariffs.price_lists import parsed, prices_text
from tests.pipelines.build.billed_list import CODES, TEXT
from tests.pipelines.build.billed_shops import billed_shop
from tests.shops import built, rows

SHOWN = sorted(
    {name for name in TABLES if name.startswith(("marts.", "analysis."))}
    | {part.table for section in all_sections() for part in section.parts}
)
STATED = {name: stated for name in SHOWN if (stated := TABLES[name].made_from)}
SUMS = sorted(name for name, stated in STATED.items() if stated.sums and stated.rows)
# Of these every parcel counted is a row behind; others count parcels at risk, and lead to those claimed or charged.
COUNTED = sorted(
    name
    for name, stated in STATED.items()
    if "parcel_count" in TABLES[name].columns
    and not stated.is_among
    and name != "analysis.assortment_ladder"  # which `dunnage cartons` makes
    and stated.rows not in ("core.claims", "core.charge_lines")
)
# The demo keeps no history of labels, its price lists state every charge, and all of its invoices came.
UNSEEN = (
    *("marts.quoted_against_billed", "marts.unchecked_charges", "analysis.missing_invoices", "marts.zone_sources"),
)
RATED = ("marts.unchecked_charges", "marts.near_miss_totals", "marts.billing_totals")
# Files of these kinds name no parcel.
WITHOUT_PARCELS = {"bundles", "cartons", "carton_prices", "charge_codes", "item_types", "packing_methods", "skus"}
MOST = 10_000_000


@pytest.fixture(scope="module")
def shop() -> Iterator[warehouse.Connection]:
    """Two years, two carriers, a fee without a parcel, a parcel that only an invoice knows, two goods in one parcel."""
    months = {"A1": "2024-09-03", "A2": "2025-10-01", "A3": "2025-11-30", "A4": "2026-10-02", "A5": "2026-10-30"}
    packed = [{"parcel_id": each, "sale_id": f"S{each}", "shipped_on": day} for each, day in months.items()]
    other = {"carrier": "Corvane", "invoice_number": "C7"}
    amounts = {"A1": 900, "A2": 1_100, "A3": 1_250, "A4": 1_300, "A5": 1_475}
    with built(
        sales=[{"sale_id": f"S{each}", "shipping_charged_cents": 700} for each in months]
        + [{"sale_id": "SA5", "line_number": 2, "item_type": "lens", "shipping_charged_cents": 33}],
        weights=[
            *({**row, "packing_method": "foam" if row["parcel_id"] > "A2" else None} for row in packed),
            {**packed[-1], "line_number": 2, "packing_method": "foam"},
            {"parcel_id": "B1", "sale_id": "unheard of", "carrier": "Corvane", "service": None, "zone": None},
        ],
        item_types=[{"item_type": "tripod"}, {"item_type": "lens", "length_in": 9}],
        labels=[{"parcel_id": each, "quoted_cents": 1_000} for each in ("A2", "A4", "A5")],
        charges=[
            *({"parcel_id": each, "charge_kind": "base", "amount_cents": cents} for each, cents in amounts.items()),
            *({"parcel_id": each, "charge_kind": "surcharge", "amount_cents": 450} for each in ("A2", "A2", "A4")),
            {"parcel_id": "B1", "charge_kind": "base", "amount_cents": 2_000, **other},
            {"parcel_id": "ONLY-BILLED", "charge_kind": "surcharge", "amount_cents": 310, **other},
            {"parcel_id": None, "charge_kind": "surcharge", "amount_cents": 600, **other},
        ],
        claims=[
            {"claim_id": "CL1", "parcel_id": "A2", "refund_cents": 5_000, "paid_cents": 1_200},
            {"claim_id": "CL2", "parcel_id": "A4", "refund_cents": 800},
            {"claim_id": "CL3", "parcel_id": "A4", "claim_cause": "loss", "refund_cents": 90},
        ],
    ) as connection:  # fmt: skip
        yield connection


def beside(connection: warehouse.Connection, table: str, column: str) -> pd.DataFrame:
    """Every row of the table: `shown` is the column, `cents` and `parcels` what is traced; what is not known is 0."""
    found = tracing.parcels_behind(connection, table, {}, MOST).rows
    by = [name for name in found.columns if name not in ("parcel_id", "amount_cents")]
    listed = connection.execute(f"select {', '.join(by)}, {column} as shown from {table}").df()
    behind = pd.DataFrame(as_dicts(found), columns=list(found.columns)).astype(dict(listed[by].dtypes))
    goods = behind[~behind["parcel_id"].str.startswith("account ")]
    cents = behind.groupby(by, dropna=False)["amount_cents"].sum()
    parcels = goods.groupby(by, dropna=False)["parcel_id"].nunique()
    found = listed.join(cents.rename("cents"), on=by).join(parcels.rename("parcels"), on=by)
    return found.fillna({"cents": 0, "parcels": 0, "shown": 0})


def test_every_table_shown_says_what_it_is_made_from() -> None:
    assert [table for table in SHOWN if TABLES[table].made_from is None] == []


@pytest.mark.parametrize("table", [name for name in SUMS if name not in UNSEEN])
def test_sums_are_the_sums_of_what_they_are_traced_to(demo: warehouse.Connection, table: str) -> None:
    found = beside(demo, table, STATED[table].sums)
    assert found["cents"].tolist() == found["shown"].tolist()
    assert found["cents"].any()


# Without price lists nothing is rated, and nothing analysed.
@pytest.mark.parametrize("table", [name for name in SUMS if name.startswith("marts.") and name not in RATED])
def test_so_are_those_of_a_shop_with_what_makes_them_differ(shop: warehouse.Connection, table: str) -> None:
    found = beside(shop, table, STATED[table].sums)
    assert found["cents"].tolist() == found["shown"].tolist()
    assert found["cents"].any()


def test_so_are_those_of_charges_that_no_price_list_states() -> None:
    shop = billed_shop(random.Random(5), 40, 0.2)
    listed = parsed("trial.toml", TEXT, lambda name: prices_text())
    with built(price_lists=[listed], weights=shop.weights, charges=shop.charges, charge_codes=CODES) as connection:
        for column in ("billed_cents", "parcel_count"):
            found = beside(connection, "marts.unchecked_charges", column)
            assert found["cents" if column == "billed_cents" else "parcels"].tolist() == found["shown"].tolist()
            assert len(found) and found["cents"].any()


def test_a_year_leads_to_the_twelve_months_that_end_with_it(shop: warehouse.Connection) -> None:
    table, wanted = "marts.packing_method_year", {"packing_method": "unknown"}
    behind = tracing.parcels_behind(shop, table, wanted, MOST).rows
    assert set(behind["parcel_id"]) == {"A2"}
    assert behind["amount_cents"].tolist() == [3_800, 3_800]
    assert [f"{month:%Y-%m}" for month in sorted(behind["shipped_month"])] == ["2025-10", "2025-11"]
    beyond = tracing.parcels_behind(shop, table, {"shipped_month": "2026-10-01"}, MOST).rows
    assert beyond["parcel_id"].tolist() == ["A4"]
    assert beyond["amount_cents"].tolist() == [890]


@pytest.mark.parametrize("table", [name for name in COUNTED if name not in UNSEEN])
def test_parcels_counted_are_parcels_traced(demo: warehouse.Connection, table: str) -> None:
    found = beside(demo, table, "parcel_count")
    assert found["parcels"].tolist() == found["shown"].tolist()


@pytest.mark.parametrize("table", SHOWN)
def test_the_first_row_leads_to_a_file_and_row(demo: warehouse.Connection, table: str) -> None:
    names = TABLES[table].key
    texts = ", ".join(f"cast({name} as varchar) as {name}" for name in names)
    first = rows(demo, f"select {texts} from {table} as t order by {', '.join(f't.{name}' for name in names)} limit 1")
    if not first:
        with pytest.raises(NotFoundError, match="has no rows"):
            tracing.parcels_behind(demo, table, {}, 20)
        return
    wanted = {name: value for name, value in first[0].items() if value is not None}
    behind = tracing.parcels_behind(demo, table, wanted, 20)
    if behind.relation == NONE:
        assert behind.rows.empty and behind.parcel_count == 0
        # Nothing is missing of a month's sales, or no claim was made.
        assert wanted.get("kind") in WITHOUT_PARCELS or STATED[table].rows in ("core.claims", "gap_records")
        return
    found = tracing.sources(demo, behind.rows["parcel_id"].tolist())
    assert set(found["parcel_id"]) == set(behind.rows["parcel_id"])
    assert all(found["file_name"]) and (found["row_number"] > 0).all()


def test_a_figure_leads_to_file_and_row(demo: warehouse.Connection) -> None:
    wanted = {"shipped_month": "2026-10-01", "item_type": "tripod"}
    figures, several = tracing.figures(demo, "marts.item_type_costs", wanted, 20)
    (figure,) = figures.to_dict("records")
    assert several == 1
    behind = tracing.parcels_behind(demo, "marts.item_type_costs", wanted, most=10_000)
    assert behind.amount_cents == behind.rows["amount_cents"].sum() == figure["billed_cents"]
    assert behind.parcel_count == len(behind.rows)
    sources = tracing.sources(demo, behind.rows["parcel_id"].tolist())
    assert set(behind.rows["parcel_id"]) == set(sources["parcel_id"])
    assert {"weights", "charges", "sales"} <= set(sources["kind"])


def test_actions_lead_to_the_parcels_they_were_reckoned_on(demo: warehouse.Connection) -> None:
    actions = rows(demo, "select * from analysis.actions order by place")
    assert {"dispute", "claim", "cut", "carton"} <= {action["action_kind"] for action in actions}
    for action in actions:
        behind = tracing.parcels_behind(demo, "analysis.actions", {"place": str(action["place"])}, MOST)
        assert behind.relation == AMONG
        check_action(demo, action, behind)


def check_action(demo: warehouse.Connection, action: dict[str, Any], behind: tracing.Behind) -> None:
    kind, said = action["action_kind"], action["evidence"]
    if kind in ("dispute", "claim"):
        assert (behind.parcel_count, behind.amount_cents) == (action["parcel_count"], action["once_cents"])
    elif kind in ("near miss", "charge"):
        assert round(behind.parcel_count / 12) == action["parcel_count"]
    else:
        assert behind.parcel_count >= 12 * action["parcel_count"] - 6
    facts = dict(re.findall(r", (item_type|carton_code) ([^,]+)", said))
    marks = ", ".join("?" for _ in behind.rows["parcel_id"])
    for column, value in facts.items():
        asked = f"select distinct {column} from core.parcels where parcel_id in ({marks})"
        assert demo.execute(asked, behind.rows["parcel_id"].tolist()).fetchall() == [(value,)]


def test_a_step_of_the_bridge_rests_on_the_two_months_it_compares(demo: warehouse.Connection) -> None:
    behind = tracing.parcels_behind(demo, "analysis.margin_bridge", {"shipped_month": "2026-03-01"}, MOST)
    asked = "select parcel_id from marts.parcel_costs where shipped_month in ('2026-02-01', '2026-03-01')"
    assert behind.relation == EXACTLY
    assert sorted(behind.rows["parcel_id"]) == sorted(row["parcel_id"] for row in rows(demo, asked))


def test_every_check_that_warns_leads_to_its_parcels() -> None:
    text = sql_texts("queries")["warned_parcels"]
    named = re.findall(r"(?:'([\w ]+)'|replace\('(\w+)', '_', ' '\)) as warning", text)
    assert {(said or read).replace("_", " ") for said, read in named} == {
        name.replace("_", " ") for name in sql_texts("checks/warn")
    }


def test_a_table_that_has_the_parcels_column_can_be_asked_by_it(demo: warehouse.Connection) -> None:
    """A month's margin has no carrier; its parcels have."""
    behind = tracing.parcels_behind(demo, "marts.shipping_margin", {"carrier": "Corvane"}, 50)
    assert set(behind.rows["carrier"]) == {"Corvane"}
    assert behind.relation == PART
    with pytest.raises(NotFoundError, match="has no column surcharge"):
        tracing.parcels_behind(demo, "marts.shipping_margin", {"surcharge": "bulky goods"}, 50)


def test_the_command_says_how_parcels_and_figure_relate(
    demo_folder: Path, demo: warehouse.Connection, capsys: pytest.CaptureFixture[str]
) -> None:
    def written(*words: str) -> str:
        assert main(["--shop", str(demo_folder), "trace", *words]) == 0
        return " ".join(capsys.readouterr().out.split())

    assert "whose amounts add up to" in written("marts.shipping_margin", "--month", "2026-10")
    assert re.search(r"Based on \d+ parcels\.", written("analysis.margin_bridge", "--month", "2025-06"))
    assert "Based on some or all of" in written("analysis.actions")
    (unclaimed, *_) = rows(
        demo, "select * from marts.damage_counts where damage_count + loss_count + other_claim_count = 0 order by all"
    )
    asked = ["--month", f"{unclaimed['shipped_month']:%Y-%m}", "--item-type", unclaimed["item_type"]]
    said = written("marts.damage_counts", *asked, "--packing-method", unclaimed["packing_method"])
    assert said.endswith("No record of a parcel stands behind it.")
