"""Which names a backup may hold and where its settings may lead: never out of the shop's folder.

A backup is a file that somebody hands over. Its member names and its settings are held to what is a plain name on
every system, whichever one it is restored on.
"""

import os
import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path, PurePosixPath, PureWindowsPath

WAREHOUSE = "warehouse.duckdb"
FOLDERS = ("archive", "tariffs", "outbox", "evidence", "texts")
# 255 bytes is what most file systems take; a name being written is a little longer.
LONGEST_NAME, DEEPEST = 240, 8
_DEVICE = re.compile(r"(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])(\..*)?", re.IGNORECASE)
_ODD = re.compile(r"[\x00-\x1f\x7f\\:]")
_OWN = re.compile(r"\..*|replaced-.*|warehouse.*|schedule-.*|backups|.*\.toml|restoring\.json", re.IGNORECASE)


def is_ours(member: str) -> bool:
    """Whether a member has a place in a shop's folder. Nothing else is packed or unpacked."""
    parts = member.split("/")
    if not all(map(_is_plain, parts)) or len(parts) > DEEPEST:
        return False
    if len(parts) == 1:
        return member == WAREHOUSE or re.fullmatch(r"[\w][\w.-]*\.toml", member) is not None
    return parts[0] in FOLDERS


def _is_plain(part: str) -> bool:
    """Whether a name means itself on every system: no way up, no device, nothing that is cut off at its end."""
    is_whole = 0 < len(part.encode()) <= LONGEST_NAME and part == part.rstrip(". ")
    return is_whole and not _ODD.search(part) and not _DEVICE.fullmatch(part)


def clashing(members: Iterable[str]) -> list[str]:
    """Names that would be one file, or a file and a folder, where capitals or accents do not tell names apart."""
    known: set[str] = set()
    wrong = []
    names = sorted((_folded(member), member) for member in members)
    folders = {str(parent) for name, _ in names for parent in PurePosixPath(name).parents}
    for name, member in names:
        if name in known or name in folders:
            wrong.append(member)
        known.add(name)
    return wrong


def _folded(name: str) -> str:
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())


def leading_out(said: Mapping[str, str]) -> list[str]:
    """The [folders] whose place is not inside the shop's folder, or is taken by the program or by one another.

    The inbox is left out: it is only read, and may be anywhere.
    """
    wrong = [name for name, place in said.items() if name != "inbox" and not _is_inside(place)]
    kept = {name: _folded(said[name].rstrip("/")) for name in FOLDERS}
    for name, place in kept.items():
        others = [other for each, other in kept.items() if each != name]
        if any(f"{place}/".startswith(f"{other}/") for other in others):
            wrong.append(name)
    return sorted(set(wrong))


def _is_inside(place: str) -> bool:
    if PurePosixPath(place).is_absolute() or PureWindowsPath(place).anchor:
        return False
    parts = place.rstrip("/").split("/")
    return all(map(_is_plain, parts)) and len(parts) <= DEEPEST and not _OWN.fullmatch(parts[0])


def in_the_way(folder: Path, places: Iterable[str]) -> Iterator[Path]:
    """What stands where a folder above a place should be: a file, or a link, behind which all would lie elsewhere."""
    for parent in {parent for place in places for parent in list(PurePosixPath(place).parents)[:-1]}:
        if (folder / parent).is_symlink() or ((folder / parent).exists() and not (folder / parent).is_dir()):
            yield folder / parent


def outermost(places: Iterable[str]) -> list[str]:
    """The places without those that lie in another one."""
    found = list(dict.fromkeys(place.rstrip("/") for place in places))
    return [place for place in found if not any(str(parent) in found for parent in PurePosixPath(place).parents)]


def names_there(folder: Path) -> Iterator[str]:
    """What lies in a folder at any depth, relative to it; links are named and not followed."""
    for place, within, names in os.walk(folder):
        links = [name for name in within if (Path(place) / name).is_symlink()]
        yield from ((Path(place) / name).relative_to(folder).as_posix() for name in (*names, *links))
