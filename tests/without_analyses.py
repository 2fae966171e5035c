"""A build of the SQL models alone, for tests that read no more: what is computed on them takes most of its time."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from pipelines.build import building

COMPUTED = ("compare_services", "wrap", "repack", "price_forward", "judge_cartons")


@contextmanager
def without_analyses(*but: str) -> Iterator[None]:
    """Within it a build makes the tables of the SQL models and runs the analyses of these names; what else is computed
    stands as the build before left it. For shops that were built whole before.
    """
    with pytest.MonkeyPatch.context() as patch:
        for step in COMPUTED:
            patch.setattr(building, step, lambda *given: None)
        for part in ("FIRST", "LAST"):
            patch.setattr(building, part, [each for each in getattr(building, part) if each.name in but])
        yield
