"""What a shop does next, by what was imported so far."""

from collections.abc import Collection

from pipelines.shop import warehouse
from pipelines.shop.settings import Settings

# The kinds without which a review says nothing of shipping, each with the files that hold it.
_WANTED = {"sales": "order lists", "charges": "carrier invoices"}


def after_import(settings: Settings) -> str:
    """The next step in a line. A shop that has no file yet is told where to put one."""
    kinds = landed_kinds(settings)
    missing = {kind: files for kind, files in _WANTED.items() if kind not in kinds}
    if not kinds:
        return f"next: put exports into {settings.path('inbox')}, then `dunnage map FILE --write` for each kind of file"
    if missing:
        listed = " and ".join(f"{files} (`dunnage map FILE --as {kind} --write`)" for kind, files in missing.items())
        only = "only " if len(kinds) == 1 else ""
        return (
            f"next: {only}{', '.join(kind.replace('_', ' ') for kind in sorted(kinds))} are there so far; add {listed}"
        )
    return "next: `dunnage review`"


def landed_kinds(settings: Settings) -> Collection[str]:
    """The kinds of which rows were accepted."""
    if not warehouse.files(settings)[0].exists():
        return frozenset()
    asked = "select distinct kind from intake.deliveries where accepted_count + unchanged_count > 0"
    with warehouse.reading(settings) as connection:
        return frozenset(str(row[0]) for row in connection.execute(asked).fetchall())
