"""Every library that a checkout installs is pinned with hashes as installed here, under a licence that may be used."""

from __future__ import annotations

import re
from collections.abc import Iterator
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path

import pytest
from packaging.requirements import Requirement

ROOT = Path(__file__).parent.parent
EXTRAS = ("test", "check")
LOCKS = ("constraints.txt", "constraints-spark.txt")

# SPDX names, and what the classifiers of the package index call them. Permissive, or copyleft by file only: neither
# reaches the shop's own records, nor a program that merely imports the library.
ALLOWED = {
    "0BSD",
    "3-Clause BSD License",
    "Apache-2.0",
    "Artistic License",
    "Apache Software License",
    "BSD License",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "CC0-1.0",
    "CNRI-Python",
    "ISC",
    "ISC License (ISCL)",
    "MIT",
    "MIT License",
    "MIT-0",
    "MIT-CMU",
    "MPL-2.0",
    "Mozilla Public License 2.0 (MPL 2.0)",
    "PSF-2.0",
    "Public Domain",
    "Python Software Foundation License",
    "Zlib",
}
# Packages whose metadata name no licence, with the one that their licence file states.
STATED_IN_FILE = {"axe-playwright-python": "MIT License", "pyrage": "MIT License", "resvg-py": "MIT License"}
# The licence's own words, for a file that does not name it.
WORDS = {"MIT License": "Permission is hereby granted, free of charge, to any person obtaining a"}
NO_LICENCE_OF_ITS_OWN = {"OSI Approved"}


def plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def locked(lock: str) -> dict[str, tuple[str, int]]:
    """Name -> version and number of hashes."""
    text = (ROOT / lock).read_text(encoding="utf-8").replace("\\\n", " ")
    found = [line.split() for line in text.splitlines() if line.strip() and not line.startswith("#")]
    return {
        plain(words[0].partition("==")[0]): (
            words[0].partition("==")[2],
            sum(1 for word in words[1:] if re.fullmatch(r"--hash=sha256:[0-9a-f]{64}", word)),
        )
        for words in found
    }


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


def test_every_library_is_locked_as_installed() -> None:
    found = dict(needed("dunnage", EXTRAS, set()))
    assert len(found) > 50
    versions = {name: version for name, (version, _) in locked("constraints.txt").items()}
    assert {name: version for name, version in found.items() if versions.get(name) != version} == {}


@pytest.mark.parametrize("lock", LOCKS)
def test_every_locked_version_has_its_hashes(lock: str) -> None:
    found = locked(lock)
    assert found
    assert [name for name, (version, hashes) in found.items() if not version or not hashes] == []


def test_the_lock_holds_what_builds_the_project_too() -> None:
    assert "setuptools" in locked("constraints.txt")


@pytest.mark.parametrize("lock", LOCKS)
def test_no_lock_names_a_host_or_a_folder(lock: str) -> None:
    assert not re.search(r"://|^--(?:find-links|index)|/", (ROOT / lock).read_text(encoding="utf-8"), re.MULTILINE)


def licences(found: Distribution) -> set[str]:
    """What a distribution says of its licence: its expression's names, else its classifiers, else the field itself."""
    said = found.metadata
    if expression := said.json.get("license_expression"):
        return set(re.findall(r"[\w.+-]+", str(expression))) - {"AND", "OR", "WITH"}
    classified = {line.split(" :: ")[-1] for line in said.get_all("Classifier") or [] if line.startswith("License ::")}
    return classified - NO_LICENCE_OF_ITS_OWN or set(filter(None, [str(said.json.get("license") or "")]))


def test_every_library_may_be_used() -> None:
    """One licence that is allowed is enough where several are offered; all stated by an expression must be allowed."""
    wrong = {}
    for name in dict(needed("dunnage", EXTRAS, set())):
        found = distribution(name)
        said = licences(found) or {STATED_IN_FILE.get(name, "none stated")}
        strict = bool(found.metadata.json.get("license_expression"))
        if not (said <= ALLOWED if strict else said & ALLOWED):
            wrong[name] = sorted(said)
    assert wrong == {}


@pytest.mark.parametrize("name", sorted(STATED_IN_FILE))
def test_a_licence_stated_in_a_file_is_there(name: str) -> None:
    files = [file for file in distribution(name).files or [] if "LICENSE" in file.name.upper()]
    stated = STATED_IN_FILE[name]
    assert any(words in file.read_text() for file in files for words in (stated, WORDS[stated]))
