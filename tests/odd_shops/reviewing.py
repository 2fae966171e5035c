"""An odd shop taken through the command line to its page, workbook and letter."""

from __future__ import annotations

import contextlib
import io
from pathlib import Path

from pipelines.cli import main
from tests.odd_shops.plans import Plan
from tests.odd_shops.trade import Shop
from tests.odd_shops.writing import found


def reviewed(folder: Path, made: Shop) -> Path:
    """The shop's folder after init, import, build and review; the letter lies beside the page."""
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        found(folder, made)
        assert main(["--shop", str(folder), "intake"]) == 0
        assert main(["--shop", str(folder), "send", f"{made.plan.month:%Y-%m}", "--dry-run"]) == 0
    return folder


def page_of(folder: Path, plan: Plan) -> Path:
    """The page of the month reviewed."""
    return folder / "reviews" / f"review-{plan.month:%Y-%m}.html"
