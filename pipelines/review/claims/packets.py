"""A claim's packet: one zip file with the sheet, the letter, the invoice's lines, proof of value and clean pictures.

Nothing that a camera or a buyer added leaves with it: pictures are copied as pixels alone. It goes out by hand.
"""

import csv
import io
import tempfile
import zipfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from models.claims.evidence import SUFFIXES, Kept
from models.claims.sheet import Sheet
from models.errors import EvidenceError
from models.visible import FORMULA_STARTS
from pipelines.review.claims import evidence, pictures
from pipelines.shop import durable
from pipelines.shop.settings import Settings

LINES = ("invoiced_on", "invoice_number", "line_number", "charge_code", "charge_kind", "amount_cents")
VALUE = ("sale_id", "line_number", "item_type", "packed_quantity", "item_price_cents", "item_cost_cents")
LETTER = "to-carrier.txt"


@dataclass(frozen=True)
class Packet:
    """The file written, how many pictures and documents are in it, and what carriers ask to see and is not."""

    path: Path
    file_count: int
    missing: Sequence[str]


def write(settings: Settings, sheet: Sheet, target: Path) -> Packet:
    """Write the packet, whole or not at all. Raises EvidenceError for a file on record that was altered or is unfit."""
    from dashboards.claim_page import render

    parcel_id = str(sheet.parcel["parcel_id"])
    with tempfile.TemporaryDirectory() as beside, durable.replacing(target) as fresh:
        copies = dict(_copies(settings, parcel_id, Path(beside)))
        page = render(sheet, settings.shop.shown_units, settings.shop.name, list(copies))
        with zipfile.ZipFile(fresh, "w", zipfile.ZIP_DEFLATED) as packed:
            packed.writestr("claim.html", page)
            packed.writestr(LETTER, sheet.texts.get(LETTER, ""))
            packed.writestr("invoice-lines.csv", _table(sheet.lines, LINES))
            packed.writestr("value.csv", _table(sheet.goods, VALUE))
            for name, path in copies.items():
                packed.write(path, name, zipfile.ZIP_STORED)
    return Packet(target, len(copies), sheet.missing)


def _copies(settings: Settings, parcel_id: str, beside: Path) -> Iterator[tuple[str, Path]]:
    """Name in the packet -> the clean copy, numbered in the order of what carriers ask to see."""
    with pictures.reader() as reader:
        for number, (each, path) in enumerate(evidence.whole(settings, parcel_id), start=1):
            target = beside / _name(number, each)
            if fault := reader.copy(path, SUFFIXES[each.suffix], target):
                raise EvidenceError(
                    f"parcel {parcel_id}", f"has evidence that {fault}: {each.name}", "this packet", "remove that file"
                )
            yield target.name, target


def _name(number: int, kept: Kept) -> str:
    return f"{number:02d}-{kept.kind}{'.pdf' if kept.suffix == '.pdf' else '.jpg'}"


def _table(rows: Sequence[Mapping[str, Any]], names: Sequence[str]) -> str:
    """Rows as CSV; amounts in the smallest unit of the currency, as every file of the shop has them."""
    written = io.StringIO()
    writer = csv.writer(written, lineterminator="\n")
    writer.writerow(names)
    writer.writerows([[_guarded(row[name]) for name in names] for row in rows])
    return written.getvalue()


def _guarded(cell: Any) -> Any:
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(FORMULA_STARTS) else cell
