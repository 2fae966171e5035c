"""A shop that measures in cm and kg, from `init` to bench sheet: no inch and no pound on any surface, and the same
cents as the same shop in inches and pounds.
"""

from __future__ import annotations

import contextlib
import email
import email.policy
import io
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pandas as pd
import pytest
from openpyxl import load_workbook

from models.tables import TABLES
from pipelines.cli import main
from pipelines.shop import settings, warehouse
from tests.pipelines import metric_shop, reviewed_metric_shop
from tests.sampling import SHARE, is_whole

pytestmark = pytest.mark.slow
# A unit of the other system: as a word, behind a number, behind a label, or at the end of a column's name.
OTHER = re.compile(
    r"\binch(es)?\b|″|(?<![€.\d])\d+(\.\d+)?\s?in\b(?!\s+(the|all|kg|cm|bench log|\d+)\b)|\(in\)|, in(?=\s*($|[<|\n]))|"
    r"_in\b|\blbs?\b|_lb\b|\bpounds?\b|\bounces?\b|\bft\b",
    re.IGNORECASE | re.MULTILINE,
)
# The one setting that names both.
BOTH = '"metric" (cm, kg) or "inch" (in, lb)'
COMMANDS = (
    *(
        "rejects",
        "rejects --export",
        "records",
        "status",
        "damage",
        "watch",
        "decide",
        "bench-sheets",
        "bench-list",
        "disputes list --all",
    ),
    *(
        "disputes export {out}/disputes.csv --all",
        "explain OV41007",
        "explain OV41005",
        "explain OV41025",
        "explain OV41003",
    ),
    *(
        "cartons --hold-out 1 --sizes 4",
        "cartons --placement OV41001",
        "trace marts.near_miss_totals",
        "review 2026-10",
    ),
    *(
        "trace analysis.learned_sides",
        "trace analysis.actions",
        "trace marts.billing_disputes",
        "send 2026-10 --dry-run",
    ),
    *("tariff show ostvale-2026", "tariff check {shop}/tariffs/ostvale-2026.toml", "bridge 2026-08 2026-09"),
    *("tariff compare {shop}/tariffs/ostvale-2026.toml", "map {shop}/inbox/template-weights.csv --as weights"),
    *("tariff learn Ostvale {out}/learned.csv --from 2026-08-01 --to 2026-10-31", "intake --list", "tariff format"),
)
WRONG = (
    "cartons --placement OV41150",
    "explain OV41150",
    "trace marts.parcel_costs --parcel-id none",
    "export core.x a.csv",
)


def said(folder: Path, *words: str) -> str:
    """What a command prints, on both channels."""
    with contextlib.redirect_stdout(io.StringIO()) as out, contextlib.redirect_stderr(io.StringIO()) as wrong:
        main(["--shop", str(folder), *words])
    return out.getvalue() + wrong.getvalue()


@pytest.fixture(scope="module")
def metric(metric_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the metric shop that the commands may write into."""
    return Path(shutil.copytree(metric_folder, tmp_path_factory.mktemp("metric") / "shop"))


@pytest.fixture(scope="module")
def spoken(metric: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Everything that the commands print, by command."""
    out = tmp_path_factory.mktemp("out")
    asked = [command.format(shop=metric, out=out) for command in (*COMMANDS, *WRONG)]
    answers = {command: said(metric, *command.split()) for command in asked}
    with warehouse.reading(settings.load(metric)) as connection:
        known = connection.execute("select table_schema || '.' || table_name from information_schema.tables").fetchall()
    shown = sorted(name for (name,) in known if name in TABLES and name.startswith(("marts.", "analysis.")))
    for name in shown[:: 1 if is_whole() else SHARE]:  # each by the same few lines, which know units by names alone
        said(metric, "export", name, str(out / f"{name}.csv"))
    return answers | {str(path): path.read_text(encoding="utf-8") for path in out.iterdir()}


def surfaces(folder: Path) -> Iterator[tuple[str, str]]:
    """The texts of every file that the shop's folder holds for a reader."""
    for path in sorted(folder.rglob("*")):
        if path.suffix in (".csv", ".toml") and "archive" not in path.parts:
            yield path.name, path.read_text(encoding="utf-8")
        elif path.suffix == ".html":
            yield path.name, without_programs(path.read_text(encoding="utf-8"))
        elif path.suffix == ".xlsx":
            for sheet in load_workbook(path).worksheets:
                cells = (str(cell.value) for row in sheet.iter_rows() for cell in row if cell.value is not None)
                yield f"{path.name} {sheet.title}", "\n".join(cells)
        elif path.suffix == ".eml":
            yield from letter_texts(path)


def without_programs(page: str) -> str:
    """A page without style sheet and programs; the descriptions of its figures stay."""
    bare = re.sub(r"<style>.*?</style>", "", page, flags=re.DOTALL)
    return re.sub(r"<script(?![^>]*json)[^>]*>.*?</script>", "", bare, flags=re.DOTALL)


def letter_texts(path: Path) -> Iterator[tuple[str, str]]:
    letter = email.message_from_bytes(path.read_bytes(), policy=email.policy.default)
    for part in letter.walk():
        if part.get_content_type() in ("text/plain", "text/html"):
            yield f"{path.name} {part.get_content_type()}", without_programs(str(part.get_content()))


def test_no_surface_of_a_metric_shop_shows_an_inch_or_a_pound(metric: Path, spoken: dict[str, str]) -> None:
    texts = [(name, text.replace(BOTH, "")) for name, text in (*spoken.items(), *surfaces(metric))]
    assert len(texts) > 60
    assert not [
        (name, text[max(0, found.start() - 60) : found.end() + 20])
        for name, text in texts
        for found in OTHER.finditer(text)
    ]
    assert any(name.startswith("bench-list-") and "OV41900" in text for name, text in texts)
    everything = "\n".join(text for _, text in texts)
    for sign in ("length_cm", "clearance_cm", "scale_weight_kg", "35.8 x 35.8 x 16.6 cm", " kg on the scale", ", cm"):
        assert sign in everything


@pytest.fixture(scope="module")
def twin(spoken: dict[str, str], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same records in inches and pounds, in a shop that sees them so."""
    return reviewed_metric_shop.reviewed(tmp_path_factory.mktemp("twin") / "shop", "inch")


def held(folder: Path) -> dict[str, pd.DataFrame]:
    """Marts and analyses by name."""
    with warehouse.reading(settings.load(folder)) as connection:
        known = connection.execute("select table_schema || '.' || table_name from information_schema.tables").fetchall()
        names = sorted(row[0] for row in known if row[0].startswith(("marts.", "analysis.")) and row[0] in TABLES)
        return {name: connection.execute(f"select * from {name}").df() for name in names}


def test_the_twin_in_inches_has_the_same_cents(metric: Path, twin: Path) -> None:
    ours, theirs = held(metric), held(twin)
    assert ours.keys() == theirs.keys()
    compared = 0
    for name, table in ours.items():
        columns = [column for column in table.columns if column.endswith("_cents")]
        assert len(table) == len(theirs[name]), name
        left, right = (rows[columns].sort_values(columns).reset_index(drop=True) for rows in (table, theirs[name]))
        if columns:
            pd.testing.assert_frame_equal(left, right, obj=name)
            compared += table[columns].notna().to_numpy().sum()
    assert compared > 5_000
    assert theirs["marts.shipping_margin"]["billed_cents"].sum() == sum(
        row["amount_cents"] for row in metric_shop.records()["charges"]
    )


def test_the_twin_shows_inches_in_sixteenths_at_the_bench(twin: Path) -> None:
    said(twin, "bench-sheets")
    page = (twin / "reviews" / "bench-sheets.html").read_text(encoding="utf-8")
    assert re.search(r">51 ?3/16 in<", page) or re.search(r"\d+ \d+/16 in<", page)
    assert " cm<" not in page


def test_an_export_is_in_the_shops_units_under_their_names(metric: Path, tmp_path: Path) -> None:
    said(metric, "export", "marts.billing_differences", str(tmp_path / "a.csv"))
    said(metric, "export", "analysis.learned_sides", str(tmp_path / "b.csv"))
    found = pd.read_csv(tmp_path / "b.csv")
    assert {"bulge_cm", "named_cm", "usual_cm"} <= set(found.columns)
    assert not [name for name in found.columns if name.endswith("_in")]
