"""Makes the demo shop: `python -m sample_data.generate [--out FOLDER] [--parcels N]`.

One seed, one numpy Generator for each stage, so that the same command writes the same bytes.
"""

from __future__ import annotations

import argparse
import shutil
import tomllib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from sample_data import carton_lists, faults, layouts, planting, prices, shop, truth, writing
from sample_data.billing import ChargeLine
from sample_data.claims import Harm, appeal, as_known, harm
from sample_data.labels import Label, draw_labels
from sample_data.literal_rating import Tariff, read_tariff
from sample_data.packing import Packed, pack
from sample_data.planting import Billing
from sample_data.returns import Return, draw_returns, return_rows
from sample_data.sales import Sale, draw_sales

HERE = Path(__file__).parent
TARIFFS = ("corvane-2025", "northline-2025", "northline-2026")
COPIED = "sales-2025-Q3-copy.csv"
CORRECTED, CORRECTED_LINES, UNCHANGED_LINES = "sales-corrections-2026-07.csv", 25, 5
Row = dict[str, Any]


@dataclass
class Demo:
    """Everything drawn, and the list of files written with what intake must find in each."""

    folder: Path
    sales: list[Sale]
    parcels: list[Packed]
    found: Harm
    book: Billing
    labels: list[Label]
    returns: list[Return]
    rng: np.random.Generator
    files: list[Row] = field(default_factory=list)

    def path(self, name: str, rows: int, **counts: Any) -> Path:
        """Where the file goes; its rows are new unless stated otherwise."""
        new = rows - sum(counts.get(each, 0) for each in ("corrected", "unchanged", "rejected"))
        self.files.append({"file": name, "rows": rows, "new": new, **counts})
        return self.folder / "inbox" / name


def main(arguments: Sequence[str] | None = None) -> None:
    """The command line."""
    parser = argparse.ArgumentParser(description="Write the demo shop's records.")
    parser.add_argument("--out", type=Path, default=HERE, help="folder to write to; default: this package")
    parser.add_argument("--parcels", type=int, default=shop.PARCELS, help="about how many parcels")
    chosen = parser.parse_args(arguments)
    generate(chosen.out, chosen.parcels)


def generate(folder: Path, parcels: int = shop.PARCELS, seed: int = shop.SEED) -> Demo:
    """Write the whole demo to `folder` and return what was drawn."""
    tariffs = prepare_folder(folder)
    streams = [np.random.default_rng(child) for child in np.random.SeedSequence(seed).spawn(7)]
    sales = draw_sales(streams[0], parcels)
    packed = pack(streams[1], sales)
    found = harm(streams[2], packed)
    appeal(streams[5], found.claims)
    book = planting.bill(streams[3], packed, tariffs)
    returns = draw_returns(streams[6], packed, found.claims)
    demo = Demo(folder, sales, packed, found, book, draw_labels(packed, book), returns, streams[4])
    tables = [*write_sales(demo), *write_bench(demo), *write_charges(demo), *write_claims(demo), *write_labels(demo)]
    tables += write_returns(demo)
    bad = write_bad_rows(demo, dict([*tables, *write_tables(demo)]))
    write_answers(demo, seed, bad)
    return demo


def prepare_folder(folder: Path) -> list[Tariff]:
    """Empty inbox, tariffs with their prices, settings."""
    shutil.rmtree(folder / "inbox", ignore_errors=True)
    for name in ("inbox", "tariffs", "truth"):
        (folder / name).mkdir(parents=True, exist_ok=True)
    for name in ("dunnage.toml", *(f"tariffs/{tariff}.toml" for tariff in TARIFFS)):
        if folder.resolve() != HERE.resolve():
            shutil.copyfile(HERE / name, folder / name)
    prices.write_prices(folder / "tariffs")
    prices.write_zones(folder / "tariffs")
    return [read_tariff(folder / "tariffs" / f"{tariff}.toml") for tariff in TARIFFS]


def write_sales(demo: Demo) -> list[tuple[str, list[Row]]]:
    """A file a quarter, one of them twice, and one of corrections."""
    written: list[Row] = []
    for part, sales in writing.by_quarter(demo.sales, lambda sale: sale.sold_at).items():
        rows = [row for sale in sales for row in layouts.sale_rows(sale)]
        _write_sale_file(demo.path(f"sales-{part}.csv", len(rows)), rows)
        if COPIED.startswith(f"sales-{part}-"):
            _write_sale_file(demo.path(COPIED, len(rows), unchanged=len(rows), copy_of=f"sales-{part}.csv"), rows)
        written += rows
    _write_corrections(demo, [row for row in written if row["Paid at"][3:10] in ("04/2026", "05/2026", "06/2026")])
    return [("market-sales", written)]


def _write_sale_file(path: Path, rows: Sequence[Any]) -> None:
    writing.write_csv(path, rows, delimiter=";", encoding="windows-1252")


def _write_corrections(demo: Demo, rows: list[Row]) -> None:
    """Some postage was typed wrong at first: the same keys with the right amounts, and a few rows as they were."""
    picked = sorted(
        demo.rng.choice(len(rows), size=min(len(rows), CORRECTED_LINES + UNCHANGED_LINES), replace=False).tolist()
    )
    sent = [dict(rows[n]) for n in picked]
    changed = sent[:CORRECTED_LINES]
    for row in changed:
        cents = int(row["Postage paid"].replace(",", ""))
        row["Postage paid"] = layouts.comma(cents + 250)
        demo.book.note("corrected_sales", sale_id=row["Order no"], line_number=int(row["Pos"]),
                       shipping_charged_cents=[cents, cents + 250])  # fmt: skip
    counts = {"corrected": len(changed), "unchanged": len(sent) - len(changed)}
    _write_sale_file(demo.path(CORRECTED, len(sent), **counts), sent)


def write_bench(demo: Demo) -> list[tuple[str, list[Row]]]:
    """A workbook a quarter."""
    written: list[Row] = []
    logged = [parcel for parcel in demo.parcels if parcel.has_log]
    for part, parcels in writing.by_quarter(logged, lambda parcel: parcel.shipped_on).items():
        rows = [row for parcel in parcels for row in layouts.bench_rows(demo.rng, parcel)]
        writing.write_xlsx(demo.path(f"bench-{part}.xlsx", len(rows)), rows, "Log")
        written += rows
    return [("bench-log", written)]


def write_charges(demo: Demo) -> list[tuple[str, list[Row]]]:
    """A file a quarter and carrier, in the carrier's own columns and units."""
    written: dict[str, list[Row]] = {"northline-charges": [], "corvane-charges": []}
    shapes: dict[str, tuple[Callable[[ChargeLine], Row], str]] = {
        "Northline": (layouts.northline_row, "dollars"),
        "Corvane": (layouts.corvane_row, "cents"),
    }
    for carrier, (row_of, amount) in shapes.items():
        lines = [line for line in demo.book.lines if line.carrier == carrier]
        for part, of_quarter in writing.by_quarter(lines, lambda line: line.invoiced_on).items():
            rows = [row_of(line) for line in of_quarter]
            name = f"{carrier.lower()}-{part}.parquet"
            writing.write_parquet(demo.path(name, len(rows)), rows, writing.charge_schema(list(rows[0]), amount))
            written[f"{carrier.lower()}-charges"] += rows
    return list(written.items())


def write_claims(demo: Demo) -> list[tuple[str, list[Row]]]:
    """The list at the end of October, and the whole list again three weeks later, with what has changed."""
    early = [as_known(claim, shop.LAST_DAY) for claim in demo.found.claims if claim.opened_on <= shop.LAST_DAY]
    late = [as_known(claim, shop.AS_OF) for claim in demo.found.claims]
    before = {row["case"]: row for row in early}
    same = sum(before.get(row["case"]) == row for row in late)
    corrected = len(early) - same
    writing.write_jsonl(demo.path(f"claims-{shop.LAST_DAY}.jsonl", len(early)), early)
    path = demo.path(f"claims-{shop.AS_OF}.jsonl", len(late), unchanged=same, corrected=corrected)
    writing.write_jsonl(path, late)
    return [("claims", late)]


def write_labels(demo: Demo) -> list[tuple[str, list[Row]]]:
    """A file a quarter, since the shop keeps them."""
    written: list[Row] = []
    for part, bought in writing.by_quarter(demo.labels, lambda label: label.bought_on).items():
        rows = layouts.label_rows(bought)
        writing.write_csv(demo.path(f"labels-{part}.csv", len(rows)), rows)
        written += rows
    return [("label-list", written)]


def write_returns(demo: Demo) -> list[tuple[str, list[Row]]]:
    """The shop's own list of goods that came back undamaged."""
    rows = return_rows(demo.returns)
    writing.write_csv(demo.path(f"returns-{shop.AS_OF}.csv", len(rows)), rows)
    return [("returns", rows)]


def write_tables(demo: Demo) -> list[tuple[str, list[Row]]]:
    """The carton catalogue and the tables the shop keeps itself."""
    tables = {
        "carton-catalogue": ("cartons.csv", carton_lists.carton_rows()),
        "item-types": ("item_types.csv", layouts.item_type_rows()),
        "packing-methods": ("packing_methods.csv", layouts.packing_method_rows()),
        "bundles": ("bundles.csv", carton_lists.bundle_rows()),
        "carton-prices": ("carton_prices.csv", carton_lists.carton_price_rows()),
        "skus": ("skus.csv", layouts.sku_rows()),
        "charge-codes": ("charge_codes.csv", layouts.charge_rows(demo.book.tariffs)),
    }
    for name, rows in tables.values():
        writing.write_csv(demo.path(name, len(rows)), rows)
    return [(source, rows) for source, (_, rows) in tables.items()]


def write_bad_rows(demo: Demo, tables: dict[str, list[Row]]) -> list[Row]:
    """For each source but the second carrier's a file of bad rows behind one good row that is already known."""
    answers: list[Row] = []
    for table in tomllib.loads((HERE / "dunnage.toml").read_text(encoding="utf-8"))["source"]:
        if table["name"] == "corvane-charges":
            continue
        good = faults.fullest(tables[table["name"]])
        bad = faults.bad_rows(table, good)
        name = table["files"].replace("-*", "-bad-rows").replace("*", "_bad_rows")
        path = demo.path(name, len(bad) + 1, unchanged=1, rejected=len(bad))
        writing.write_any(path, table, [good, *(row.cells for row in bad)])
        answers += [
            {"file": name, "row": number, "column": row.column, "reason": row.reason}
            for number, row in enumerate(bad, 2)
        ]
    return answers


def write_answers(demo: Demo, seed: int, bad: list[Row]) -> None:
    """truth.toml and the two tables beside it."""
    sections = {
        "shop": truth.shop_facts(seed, demo.sales, demo.parcels),
        "long_carton": truth.long_carton(demo.parcels, demo.book),
        "missing_size": truth.missing_size(demo.parcels),
        "simpson": truth.simpson(demo.parcels, demo.found),
        "late_claims": truth.late_claims(demo.found),
        "changes": truth.changes(demo.parcels, demo.found),
        "labels": truth.labels(demo.labels),
        "returns": truth.returns(demo.returns),
        "appeals": truth.appeals(demo.found),
        "files": demo.files,
        **truth.planted(demo.book),
    }
    truth.write_truth(demo.folder / "truth.toml", sections)
    truth.write_invoices(demo.folder / "truth" / "invoices.csv", demo.book.lines)
    writing.write_csv(demo.folder / "truth" / "bad_rows.csv", bad)


if __name__ == "__main__":
    main()
