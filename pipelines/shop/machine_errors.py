"""The machine's own errors in plain words: a full disk, a folder that may not be written, a damaged file."""

import errno
import re
import sys
from typing import Any

from models.errors import RESTORE, DunnageError, MachineError, WarehouseError

FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
CLOSED = (errno.EACCES, errno.EPERM, errno.EROFS)
DAMAGED = ("FatalException", "InternalException", "SerializationException", "IOException")
UNCHANGED = "this command; what was committed before stays, nothing half done is kept"


def named(broken: Exception) -> DunnageError | None:
    """The mistake to tell the user, or None where the fault is the program's own."""
    if isinstance(broken, OSError):
        return _of_system(broken)
    if _is_engine_error(broken):
        return _of_engine(type(broken).__name__, str(broken).splitlines()[0])
    return MachineError("memory", "is used up", UNCHANGED, _LESS) if isinstance(broken, MemoryError) else None


_LESS = "close other programs, or lower memory_limit under [engine] in dunnage.toml"


def _is_engine_error(broken: Exception) -> bool:
    # Where nobody imported the warehouse, no engine can have failed; importing it here would cost half a second.
    warehouse: Any = sys.modules.get("pipelines.shop.warehouse")
    return warehouse is not None and isinstance(broken, warehouse.EngineError)


def _of_system(broken: OSError) -> DunnageError | None:
    where = str(broken.filename2 or broken.filename or "the shop's folder")
    if broken.errno in FULL:
        return _full(where)
    if broken.errno in CLOSED:
        return MachineError(
            where, f"may not be written or read: {broken.strerror}", UNCHANGED, "run as its owner, or move the shop"
        )
    if broken.errno is not None:
        return MachineError(where, str(broken.strerror), UNCHANGED, "check disk and folder, then run it again")
    return None


def _full(where: str) -> MachineError:
    return MachineError(where, "cannot be written: the disk is full", UNCHANGED, "make room, then run it again")


def _of_engine(kind: str, said: str) -> DunnageError | None:
    if kind == "OutOfMemoryException" and "temp" not in said:
        return MachineError("memory", f"does not suffice: {said}", UNCHANGED, "raise memory_limit under [engine]")
    if "No space left" in said or "File too large" in said or kind == "OutOfMemoryException":
        return _full("the warehouse or its spill folder")
    if "Permission denied" in said or "Read-only file system" in said:
        return MachineError("the warehouse", f"may not be written: {said}", UNCHANGED, "run as its owner")
    if said.startswith("Corrupt database file") or kind in DAMAGED:
        return WarehouseError("the warehouse", f"cannot be read: {said}", "every command of this shop", RESTORE)
    return _not_built(said) if kind == "CatalogException" else None


def _not_built(said: str) -> WarehouseError | None:
    """A table of the build that is missing: no review was made yet, or the last one by a version without it."""
    from models.tables import TABLES

    missing = re.search(r"Table with name (\w+) does not exist", said)
    if missing is None or missing[1] not in {name.partition(".")[2] for name in TABLES}:
        return None
    what = f"are not built yet: {missing[1]} is missing"
    return WarehouseError("the review's tables", what, "this command", "run `dunnage review` once, then this again")
