"""What a shop does next, by what was imported so far."""

from collections.abc import Collection, Iterator

from models.sql_texts import sql_texts
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings

# The kinds without which a review says nothing of shipping, each with the files that hold it.
_WANTED = {"sales": "order lists", "charges": "carrier invoices"}


def after_import(settings: Settings) -> str:
    """The next step in a line, before it what keeps sold goods unknown. A new shop is told where to put its files."""
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
    return "\n".join((*_unknown_goods(settings), "next: `dunnage review`"))


def _unknown_goods(settings: Settings) -> Iterator[str]:
    """Sale lines that name goods by a stock number alone, of which no list says the item type."""
    with warehouse.reading(settings) as connection:
        (found,) = connection.execute(sql_texts("queries")["unknown_stock_numbers"]).fetchone() or (0,)
    if found:
        named = "1 sale line names" if found == 1 else f"{found:,} sale lines name"
        yield (
            f"{named} a stock number that stands for no item type, so the goods are not known: "
            "`dunnage map FILE --as skus --write` takes a list of stock numbers and item types; or fill in "
            "templates/template-skus.csv"
        )


def landed_kinds(settings: Settings) -> Collection[str]:
    """The kinds of which rows were accepted."""
    if not warehouse.files(settings)[0].exists():
        return frozenset()
    asked = "select distinct kind from intake.deliveries where accepted_count + unchanged_count > 0"
    with warehouse.reading(settings) as connection:
        return frozenset(str(row[0]) for row in connection.execute(asked).fetchall())
