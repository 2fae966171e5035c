"""The metric shop, or its twin in inches, with a review: what takes long is made in one place."""

from pathlib import Path

from pipelines.cli import main
from tests.pipelines import metric_shop


def reviewed(folder: Path, system: str) -> Path:
    """The shop with its records imported, sizes chosen and October's review and letter, which show them."""
    metric_shop.found(folder, system)
    for words in ("intake", "cartons --hold-out 1 --sizes 4", "review 2026-10", "send 2026-10 --dry-run"):
        assert main(["--shop", str(folder), *words.split()]) == 0
    return folder
