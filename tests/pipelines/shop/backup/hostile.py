"""Backups that somebody made to do harm, from a sound one: each writes outside, fills the disk or lies."""

from __future__ import annotations

import hashlib
import json
import stat
import warnings
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

OUTSIDE = "outside"


@dataclass
class Forged:
    """The parts of a backup, to be changed and packed again. hashes follow the members unless they are stated."""

    members: dict[str, bytes]
    said: dict[str, Any]
    modes: dict[str, int] = field(default_factory=dict)
    extra: list[tuple[str, bytes]] = field(default_factory=list)
    keeps_hashes: bool = False

    @classmethod
    def of(cls, path: Path) -> Forged:
        """The parts of a sound backup."""
        with zipfile.ZipFile(path) as packed:
            members = {name: packed.read(name) for name in packed.namelist()}
        return cls(members, json.loads(members.pop("manifest.json")))

    def pack(self, path: Path) -> None:
        """Write it as a zip file."""
        if not self.keeps_hashes:
            self.said["sha256"] = {name: hashlib.sha256(content).hexdigest() for name, content in self.members.items()}
        with warnings.catch_warnings(), zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
            warnings.simplefilter("ignore")  # zipfile warns of a name that is there twice
            for name, content in [*self.members.items(), *self.extra]:
                member = zipfile.ZipInfo(name)
                member.external_attr = (self.modes.get(name, stat.S_IFREG | 0o600)) << 16
                packed.writestr(member, content, zipfile.ZIP_DEFLATED)
            packed.writestr("manifest.json", json.dumps(self.said))


Change = Callable[[Forged], None]


def named(name: str) -> Change:
    """With a member of this name."""

    def change(forged: Forged) -> None:
        forged.members[name] = b"x"

    return change


def with_folders(said: str) -> Change:
    """With these [folders]."""

    def change(forged: Forged) -> None:
        forged.members["dunnage.toml"] += f"\n[folders]\n{said}\n".encode()

    return change


def linked(forged: Forged) -> None:
    """A link as a folder's member."""
    forged.members["archive/link"] = b"../../outside"
    forged.modes["archive/link"] = stat.S_IFLNK | 0o777


def twice(forged: Forged) -> None:
    """The settings twice, in two wordings."""
    forged.extra.append(("dunnage.toml", b'[shop]\nname = "Other"\n'))


def bomb(forged: Forged) -> None:
    """A tariff of a hundred million zeros."""
    forged.members["tariffs/zeros.csv"] = bytes(100_000_000)


def altered(forged: Forged) -> None:
    """A price list other than the manifest says."""
    forged.keeps_hashes = True
    forged.members["tariffs/northline.csv"] = b"zone,price\n1,9\n"


def other_rows(forged: Forged) -> None:
    """A manifest whose tables are not those of its warehouse."""
    rows, digest = forged.said["tables"]["accepted.charges"]
    forged.said["tables"]["accepted.charges"] = [rows, str(int(digest) + 1)]


def more_tables(forged: Forged) -> None:
    """A manifest that leaves a table out."""
    del forged.said["tables"]["accepted.charges"]


def older(forged: Forged) -> None:
    """Called version 1, whose warehouses nobody proved, with a rotten one."""
    forged.said["version"] = 1
    whole = bytearray(forged.members["warehouse.duckdb"])
    whole[12_288 + 262_144 + 100] ^= 1
    forged.members["warehouse.duckdb"] = bytes(whole)


def newer(forged: Forged) -> None:
    """Of a version to come."""
    forged.said["version"] = 9


def other_shop(forged: Forged) -> None:
    """Of another shop."""
    forged.said["shop"] = "Another"


def no_warehouse(forged: Forged) -> None:
    """Text in place of the warehouse."""
    forged.members["warehouse.duckdb"] = b"no engine wrote this"


HOSTILE: dict[str, Change] = {
    "a way up": named("../outside.toml"),
    "a way up within": named("archive/../../outside"),
    "from the root": named("/tmp/outside.toml"),
    "a drive": named("archive/C:outside"),
    "a backslash": named("archive\\..\\..\\outside"),
    "a device": named("outbox/NUL.eml"),
    "a dot at the end": named("archive/x."),
    "a name too long": named("archive/" + "x" * 250),
    "too deep": named("archive/" + "x/" * 50 + "x"),
    "a control character": named("archive/a\nb"),
    "a place that is no backup's": named("reviews/x"),
    "the journal": named("restoring.json"),
    "capitals": named("Dunnage.toml"),
    "a file that is a folder too": named("tariffs/northline.csv/x"),
    "a link": linked,
    "twice": twice,
    "a bomb": bomb,
    "an altered member": altered,
    "other rows": other_rows,
    "a table left out": more_tables,
    "a rotten warehouse of an older version": older,
    "a newer version": newer,
    "another shop": other_shop,
    "no warehouse": no_warehouse,
    "outbox above": with_folders('outbox = "../outside"'),
    "archive from the root": with_folders('archive = "/tmp/outside"'),
    "reviews above": with_folders('reviews = "a/../../outside"'),
    "rejects on a drive": with_folders("rejects = 'C:\\outside'"),
    "tariffs in the program's own": with_folders('tariffs = ".restoring"'),
    "archive in the folder itself": with_folders('archive = "."'),
    "archive for the warehouse": with_folders('archive = "Warehouse.duckdb"'),
    "two in one": with_folders('archive = "kept"\noutbox = "KEPT/outbox"'),
}


def lying_there(folder: Path) -> Iterator[tuple[str, bytes]]:
    """Every file and link below a folder with its content; the lock, which a refused restore may leave, not."""
    for path in sorted(folder.rglob("*")):
        if path.is_symlink() or path.is_file():
            content = str(path.readlink()).encode() if path.is_symlink() else path.read_bytes()
            yield path.relative_to(folder).as_posix(), content
