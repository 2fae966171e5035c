"""A correction of rejected rows: written into the column map, and the rows sent again by it, in one step."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

import tomlkit

from models.cells.texts import Reading
from models.column_map.answers import Answers
from models.column_map.corrections import Correction, corrections
from models.errors import ColumnMapError, NotFoundError
from models.fields import MEASURED
from models.reference import RECORDS
from models.shop_units import kept_name
from pipelines.intake import rejects_export
from pipelines.intake.columns import reading_of
from pipelines.intake.deliveries import Delivery
from pipelines.intake.frequent_texts import Rejection, rejections
from pipelines.intake.importing import import_files
from pipelines.intake.units import with_header_units
from pipelines.shop import durable, settings
from pipelines.shop.settings import Settings, Source
from pipelines.shop.warehouse import Connection, writing


@dataclass(frozen=True)
class Reason:
    """Rows of one file rejected for one reason, and what would have them read."""

    file_name: str
    source_name: str
    rejection: Rejection
    corrections: tuple[Correction, ...]


def reasons(connection: Connection, shop: Settings) -> list[Reason]:
    """Open rejections by file and reason, each with its most frequent texts and its corrections."""
    known = {source.name: with_header_units(source) for source in shop.sources}
    return [
        Reason(file, name, found, _corrections(shop, known.get(name), found))
        for file, name, delivery in _files(connection)
        for found in rejections(connection, _rows(delivery), _headers(known.get(name)))
    ]


def _files(connection: Connection) -> list[tuple[str, str, int]]:
    return connection.execute(
        f"select distinct d.file_name, r.source_name, r.delivery_id from rejected.rows as r "
        f"inner join intake.deliveries as d on d.delivery_id = r.delivery_id where r.{rejects_export.OPEN} order by all"
    ).fetchall()


def _rows(delivery_id: int) -> str:
    return (
        "select column_name, reason, source_text, coalesce(line_number, row_number) as line "
        f"from rejected.rows where {rejects_export.OPEN} and delivery_id = {int(delivery_id)}"
    )


def _headers(source: Source | None) -> dict[str, str]:
    return {name: said.column for name, said in source.columns.items() if said.column} if source else {}


def _corrections(shop: Settings, source: Source | None, found: Rejection) -> tuple[Correction, ...]:
    if source is None or found.column not in source.columns:
        return ()
    schema = RECORDS[source.kind]
    reading = _needing_unit(reading_of(shop, source, schema, found.column))
    return corrections(found.column, schema.columns[found.column], reading, [text for text, _ in found.texts])


def _needing_unit(reading: Reading) -> Reading:
    return replace(reading, needs_unit=reading.quantity in MEASURED and reading.unit is None)


def correct(shop: Settings, source_name: str | None, answers: Answers, *, now: datetime) -> tuple[Path, list[Delivery]]:
    """Write the answers into the source's map and send its rejected rows again, as their files have them.

    Returns dunnage.toml and what became of the rows. Raises NotFoundError for a source without rejected rows,
    ColumnMapError for a column, unit or word that it does not know.
    """
    with writing(shop, "rejects") as connection:
        source = _source(connection, shop, source_name)
        _refuse_unknown(source, answers)
        path = shop.folder / settings.FILE_NAME
        before = path.read_text(encoding="utf-8")
        document = tomlkit.parse(before)
        _put(next(table for table in document["source"] if table["name"] == source.name), answers)
        durable.write(path, tomlkit.dumps(document), mode=path.stat().st_mode & 0o777)
        try:
            corrected = settings.load(shop.folder)
        except Exception:
            durable.write(path, before, mode=path.stat().st_mode & 0o777)
            raise
        sent = rejects_export.export(connection, corrected, now, source.name)
        files = [file for file, _ in sent]
        units = answers.units
        named = source.name
        return path, import_files(
            corrected, files, now=now, source=named, again=True, units=units, connection=connection
        )


def _source(connection: Connection, shop: Settings, name: str | None) -> Source:
    found = connection.execute(f"select distinct source_name from rejected.rows where {rejects_export.OPEN} order by 1")
    names = [str(row[0]) for row in found.fetchall()]
    asked = [name] if name else names
    if len(asked) != 1 or asked[0] not in names:
        where = f"source {name!r}" if name else "--source"
        what = "has no rejected rows" if name else f"is not stated, and {len(names)} sources have rejected rows"
        if not names:
            raise NotFoundError(where, "no row is rejected", "nothing was changed", "nothing needs to be corrected")
        raise NotFoundError(where, what, "nothing was changed", f"state one of: {', '.join(names)}")
    sources = [each for each in shop.sources if each.name == asked[0]]
    if not sources:
        raise NotFoundError(f"source {asked[0]!r}", "is not in dunnage.toml", "its rejected rows", "state it again")
    return sources[0]


def _refuse_unknown(source: Source, answers: Answers) -> None:
    for name in (*answers.units, *answers.words):
        if name not in source.columns:
            raise ColumnMapError(
                name, f"is not mapped by source {source.name!r}", "nothing was changed", "check its spelling"
            )
    answers.refuse_unknown(source.kind, "nothing was changed")


def _put(table: Any, answers: Answers) -> None:
    """Change the [[source]] table in place; comments stay."""
    for setting, value in (("decimal", answers.decimal), ("date_order", answers.date_order)):
        if value:
            table[setting] = value
    for name, unit in answers.units.items():
        _column(table["columns"], name)["unit"] = unit
    for name, words in answers.words.items():
        column = _column(table["columns"], name)
        column["values"] = _inline({**column.get("values", {}), **words})


def _column(columns: Any, name: str) -> Any:
    """The column's own table; a header alone becomes one. A measure may stand under either of its names."""
    name = next(each for each in columns if kept_name(each) == name)
    if isinstance(columns[name], str):
        comment = columns[name].trivia.comment
        columns[name] = _inline({"column": str(columns[name])})
        if comment:
            columns[name].comment(comment.lstrip("# "))
    return columns[name]


def _inline(stated: Mapping[str, Any]) -> Any:
    table = tomlkit.inline_table()
    for name, value in stated.items():
        table.append(name, value)
    return table
