"""What a backup file holds, read with suspicion: its manifest, and each member held to its name, size and hash."""

import hashlib
import json
import stat
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, Any

from models.errors import BackupError
from pipelines.shop.backup.copying import Digests
from pipelines.shop.backup.places import WAREHOUSE, clashing, is_ours

FORMAT, VERSION = "dunnage backup", 2
MANIFEST = "manifest.json"
MOST_MANIFEST_BYTES = 64 << 20
# Beyond both, a member is taken for one that was made to fill the disk. Backups of version 1 held the warehouse as it
# lay, with blocks that were free; what they unpack to is bounded by the disk alone.
MOST_RATIO, FREE_OF_RATIO_BYTES = 300, 64 << 20
_CHUNK = 1 << 20
_BROKEN = (zipfile.BadZipFile, zlib.error, EOFError, KeyError, TypeError, ValueError, NotImplementedError)


@dataclass(frozen=True)
class Backup:
    """A backup file and what its manifest says: shop, when it was made, member -> SHA-256, byte count in all.

    tables: schema.table -> rows and digest as this engine must read them (none in version 1). probe: of that engine.
    """

    path: Path
    shop_name: str
    made_at: str
    hashes: Mapping[str, str]
    byte_count: int = 0
    tables: Digests = field(default_factory=dict)
    probe: str = ""


def stated(shop_name: str, made_at: str, hashes: Mapping[str, str], tables: Digests, probe: str) -> str:
    """The manifest's text."""
    said = {"format": FORMAT, "version": VERSION, "shop": shop_name, "made_at": made_at}
    return json.dumps(said | {"sha256": hashes, "probe": probe, "tables": tables}, ensure_ascii=False, indent=1)


def copied(source: IO[bytes], target: IO[bytes] | None) -> str:
    """Copy all of it, or read it only; returns its SHA-256."""
    digest = hashlib.sha256()
    while chunk := source.read(_CHUNK):
        digest.update(chunk)
        if target:
            target.write(chunk)
    return digest.hexdigest()


def checked(path: Path) -> Backup:
    """The backup, every member read and held to its hash. Raises BackupError that names what is wrong."""
    with opened(path) as (packed, made):
        for member in made.hashes:
            hold(packed, made, member, None)
    return made


@contextmanager
def opened(path: Path) -> Iterator[tuple[zipfile.ZipFile, Backup]]:
    """The file and its manifest; what is found broken meanwhile is a BackupError."""
    if not path.is_file():
        raise BackupError(str(path), "is not there", "this restore; nothing was changed", "check the name")
    try:
        with zipfile.ZipFile(path) as packed:
            yield packed, _manifest(path, packed)
    except _BROKEN as broken:
        raise damaged(path, str(broken)) from None


def hold(packed: zipfile.ZipFile, made: Backup, member: str, target: IO[bytes] | None) -> None:
    """Read one member, into the target if there is one, and hold it to its hash."""
    with packed.open(member) as source:
        if copied(source, target) != made.hashes[member]:
            raise damaged(made.path, f"{member} has another content than was backed up")


def _manifest(path: Path, packed: zipfile.ZipFile) -> Backup:
    members = packed.infolist()
    said = _said(packed, members)
    if not isinstance(said, dict) or said.get("format") != FORMAT:
        raise BackupError(str(path), "is no backup that dunnage made", "this restore; nothing was changed", "name one")
    if not 1 <= int(said["version"]) <= VERSION:
        raise BackupError(
            str(path), "was made by a newer version", "this restore; nothing was changed", "update dunnage"
        )
    hashes = {str(member): str(hashed) for member, hashed in said["sha256"].items()}
    _refuse_strange(path, members, hashes, has_fresh_copy=said["version"] > 1)
    tables = {str(name): (int(rows), str(digest)) for name, (rows, digest) in said.get("tables", {}).items()}
    if said["version"] > 1 and (WAREHOUSE not in hashes or not tables):
        raise damaged(path, "its manifest names no tables")
    byte_count = sum(each.file_size for each in members)
    return Backup(path, str(said["shop"]), str(said["made_at"]), hashes, byte_count, tables, str(said.get("probe", "")))


def _said(packed: zipfile.ZipFile, members: list[zipfile.ZipInfo]) -> Any:
    found = [each for each in members if each.filename == MANIFEST]
    if not found or found[0].file_size > MOST_MANIFEST_BYTES:
        return None
    return json.loads(packed.read(found[0]))


def _refuse_strange(
    path: Path, members: list[zipfile.ZipInfo], hashes: Mapping[str, str], *, has_fresh_copy: bool
) -> None:
    names = [each.filename for each in members]
    if sorted(names) != sorted([*hashes, MANIFEST]) or not all(map(is_ours, hashes)):
        raise damaged(path, "its members are not those of its manifest")
    if wrong := clashing(names):
        raise damaged(path, f"{wrong[0]} is there twice where capitals do not count")
    for each in members:
        kind = stat.S_IFMT(each.external_attr >> 16)
        if kind not in (0, stat.S_IFREG) or each.flag_bits & 1 or each.is_dir():
            raise damaged(path, f"{each.filename} is no plain file")
        is_bounded = has_fresh_copy or each.filename != WAREHOUSE
        if is_bounded and each.file_size > max(FREE_OF_RATIO_BYTES, MOST_RATIO * each.compress_size):
            raise damaged(path, f"{each.filename} would unpack to {each.file_size:,} bytes")


def damaged(path: Path, what: str) -> BackupError:
    """The error for a file that must not be used."""
    return BackupError(str(path), f"is damaged: {what}", "this restore; nothing was changed", "use another backup")
