"""A shop with three exports that state no day of shipping: every surface says by which day its parcels are counted."""

from __future__ import annotations

import csv
import email
import email.policy
import random
import re
from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from pathlib import Path

import pytest

from pipelines.cli import main
from tests.dashboards.markup import parsed

CARRIER, PARCELS = "Hollowbrook Freight", 60
LATE_CLAIM = "PX-9"


def days(seed: int) -> list[tuple[date, date]]:
    """Day of sale and of the invoice of each parcel, in September and October; bills come a week or so later."""
    chance = random.Random(seed)
    sold = sorted(date(2026, 9, 1) + timedelta(days=chance.randrange(61)) for _ in range(PARCELS))
    return [(day, day + timedelta(days=chance.randint(4, 11))) for day in sold]


def written(path: Path, rows: Sequence[Sequence[object]]) -> str:
    with path.open("w", encoding="utf-8", newline="") as out:
        csv.writer(out).writerows(rows)
    return str(path)


def exports(folder: Path, made: list[tuple[date, date]]) -> dict[str, str]:
    """The files by kind of record."""
    sales: list[list[object]] = [
        ["Order number", "Tracking number", "Sale date", "Item type", "Quantity", "Item price"]
    ]
    sales[0] += ["Shipping charged"]
    charges: list[list[object]] = [
        ["Invoice number", "Invoice date", "Tracking number", "Charge code", "Kind", "Amount"]
    ]
    for n, (sold, billed) in enumerate(made):
        sales.append([f"S-{n}", f"PX-{n}", f"{sold} 10:00", "sextant", 1, "80.00", "14.50"])
        charges.append([f"R-{billed:%m%d}", billed, f"PX-{n}", "CARRIAGE", "base", f"{9 + n % 5}.20"])
    claims: list[list[object]] = [["Claim number", "Tracking number", "Reported", "Cause", "State", "Claimed"]]
    claims += [["K-1", LATE_CLAIM, str(made[9][1]), "damage", "reported", "60.00"]]
    found = {"sales": sales, "charges": charges, "claims": claims}
    return {kind: written(folder / f"{kind}.csv", rows) for kind, rows in found.items()}


@pytest.fixture(scope="module")
def made() -> list[tuple[date, date]]:
    return days(3)


@pytest.fixture(scope="module")
def shop(made: list[tuple[date, date]], tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    folder = tmp_path_factory.mktemp("no-days")
    here, home = ["--shop", str(folder / "shop")], str(folder / "shop")
    words = ["--name", "Quayside", "--currency", "USD", "--time-zone", "UTC", "--wage", "0", "--units", "inch"]
    assert main(["init", home, *words]) == 0
    for kind, path in exports(folder, made).items():
        constant = ["--constant", f"carrier={CARRIER}"] if kind == "charges" else []
        assert main([*here, "map", path, "--as", kind, *constant, "--write"]) == 0
        assert main([*here, "intake", path]) == 0
    assert main([*here, "review", "2026-10"]) == 0
    yield folder / "shop"


def test_the_page_says_by_which_day_parcels_are_counted(shop: Path, made: list[tuple[date, date]]) -> None:
    billed = [day.month for _, day in made]
    own, later = billed.count(10), billed.count(11)
    assert own != sum(sold.month == 10 for sold, _ in made) and later
    text = re.sub(r"\s+", " ", parsed((shop / "reviews" / "review-2026-10.html").read_text(encoding="utf-8")).text())
    by_invoice = f"{own} of {own} parcels of October 2026 are counted in the month of their first invoice"
    after = f"{later} of {later} parcels that are counted in November 2026, the month of their first invoice, may have"
    assert text.count(by_invoice) == text.count(after) == 3  # the first screen, the money and the records
    assert "Shipping in October 2026 has" in text and "so far" in text
    assert not re.search(r"In October 2026 shipping|is expected to (make|lose|pay)", text)
    assert "days of shipping" not in text and "shipped in October" not in text


def test_the_letter_says_it_as_well(shop: Path, made: list[tuple[date, date]]) -> None:
    assert main(["--shop", str(shop), "send", "2026-10", "--dry-run"]) == 0
    (path,) = (shop / "reviews").glob("*.eml")
    plain = email.message_from_bytes(path.read_bytes(), policy=email.policy.default).get_body(("plain",))
    assert plain is not None
    own = sum(day.month == 10 for _, day in made)
    assert f"{own} of {own} parcels of October 2026 are counted in the month of" in re.sub(
        r"\s+", " ", plain.get_content()
    )


def test_a_claim_from_before_the_invoice_is_taken_and_states_no_day_of_shipping(
    shop: Path, made: list[tuple[date, date]], capsys: pytest.CaptureFixture[str]
) -> None:
    opened = made[20][1] - timedelta(days=1)
    assert main(["--shop", str(shop), "claim", "PX-20", "--cause", "damage", "--opened", str(opened)]) == 0
    shown = capsys.readouterr().out
    assert "Shipped: not known" in shown
    assert "Claim for parcel PX-20." in shown and "Shipped on" not in shown and "Packing: " not in shown
