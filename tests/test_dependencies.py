"""Every library that a checkout installs is pinned, and the pinned version is the one installed here."""

from __future__ import annotations

import re
from collections.abc import Iterator
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

from packaging.requirements import Requirement

ROOT = Path(__file__).parent.parent
EXTRAS = ("test", "check")


def plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def pinned() -> dict[str, str]:
    lines = (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines()
    stated = (line.split("#")[0].split(";")[0].strip() for line in lines)
    return {plain(line.partition("==")[0]): line.partition("==")[2] for line in stated if line}


def needed(name: str, extras: tuple[str, ...], seen: set[tuple[str, tuple[str, ...]]]) -> Iterator[tuple[str, str]]:
    """Name and installed version of everything that `name` needs, directly or not."""
    if (name, extras) in seen:
        return
    seen.add((name, extras))
    try:
        requirements = distribution(name).requires or []
    except PackageNotFoundError:
        return
    for requirement in map(Requirement, requirements):
        applies = requirement.marker is None or any(
            requirement.marker.evaluate({"extra": extra}) for extra in (*extras, "")
        )
        if not applies:
            continue
        try:
            yield plain(requirement.name), distribution(requirement.name).version
        except PackageNotFoundError:
            yield plain(requirement.name), "not installed"
        yield from needed(plain(requirement.name), tuple(sorted(requirement.extras)), seen)


def test_every_library_is_pinned_as_installed() -> None:
    found = dict(needed("dunnage", EXTRAS, set()))
    assert len(found) > 50
    versions = pinned()
    assert {name: version for name, version in found.items() if versions.get(name) != version} == {}
