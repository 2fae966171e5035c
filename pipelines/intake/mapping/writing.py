"""Writes a proposed column map into dunnage.toml: comments kept, reasons as comments, the file replaced in one step."""

import re
from dataclasses import replace
from fnmatch import fnmatchcase
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Table

from models.column_map import Pairing, ThreeSides
from models.errors import ColumnMapError, SettingsError
from models.settings.text_files import stated_structure
from models.shop_units import Units
from pipelines.intake.mapping import FileProposal, glob_for
from pipelines.shop import durable, settings


def write_source(folder: Path, proposed: FileProposal, *, is_replacing: bool = False) -> Path:
    """Add the [[source]] to FOLDER/dunnage.toml, or replace the one of the same name; returns the file's path.

    Raises ColumnMapError for a map with missing columns, for a name in use, and for a file that another source
    already takes as this kind of record; SettingsError for a dunnage.toml that cannot be read.
    """
    _refuse_missing(proposed)
    path = folder / settings.FILE_NAME
    known = settings.load(folder)
    _refuse_taken(known, proposed, is_replacing)
    document = _parsed(path)
    _put(document, source_table(proposed, known.shop.shown_units))
    text = tomlkit.dumps(document)
    _refuse_unreadable(text, path)
    durable.write(path, text, mode=path.stat().st_mode & 0o777)
    return path


def with_kept_files(folder: Path, proposed: FileProposal) -> FileProposal:
    """The proposal with the `files` of the source that it replaces, where these take the file at hand: the shop may
    have narrowed them, and a wider pattern would take the files of another source, too."""
    for source in settings.load(folder).sources:
        if source.name == proposed.name and fnmatchcase(proposed.path.name, source.files):
            return replace(proposed, files=source.files)
    return proposed


def _refuse_missing(proposed: FileProposal) -> None:
    if missing := proposed.proposal.missing:
        raise ColumnMapError(
            str(proposed.path),
            f"no column was found for {', '.join(missing)}",
            f"every row of {proposed.name}; nothing was written",
            f'state it: --column {missing[0].split()[0]}="Header" or --constant {missing[0].split()[0]}=value',
        )


def _refuse_taken(known: settings.Settings, proposed: FileProposal, is_replacing: bool) -> None:
    for source in known.sources:
        if source.name == proposed.name and not is_replacing:
            raise ColumnMapError(
                str(known.folder / settings.FILE_NAME),
                f"has a source {source.name!r} already",
                "nothing was written",
                "add --replace where this is the same export; choose another --name and --files where it is another's, "
                "as of a second carrier",
            )
        is_same_kind = source.kind == proposed.proposal.kind
        is_same_file = fnmatchcase(proposed.path.name, source.files) or source.files == proposed.files
        if (
            source.name != proposed.name
            and is_same_kind
            and is_same_file
            and source.sheet == proposed.found.source.sheet
        ):
            raise ColumnMapError(
                str(known.folder / settings.FILE_NAME),
                f"source {source.name!r} already takes this file by {source.files!r}",
                "nothing was written; a file would be taken twice",
                f"to replace it, add --name {source.name} --replace; where this file is another's, as of a second "
                f"carrier, narrow `files` of {source.name} in {settings.FILE_NAME} and state --files for this one",
            )


def _parsed(path: Path) -> tomlkit.TOMLDocument:
    try:
        return tomlkit.parse(path.read_text(encoding="utf-8"))
    except TOMLKitError as wrong:
        raise SettingsError(str(path), f"is not valid TOML: {wrong}", "every command", "correct that line") from None


def source_table(proposed: FileProposal, units: Units) -> Table:
    """The [[source]] table with a comment of reasons behind each column; measures under the shop's names for them."""
    found, proposal = proposed.found, proposed.proposal
    table = tomlkit.table()
    stated: dict[str, Any] = {
        "name": proposed.name,
        "kind": proposal.kind,
        "files": proposed.files,
        **_file_settings(found.source),
        "decimal": proposal.decimal,
        "date_order": proposal.date_order,
        "sheet": found.source.sheet,
    }
    table.update(_known(stated))
    if proposed.amounts is not None:
        table.add("amounts", _inline(dict(proposed.amounts.amounts)))
        if proposed.amounts.total:
            table.add("total", proposed.amounts.total)
    if proposed.tax is not None:
        table.add("tax", proposed.tax.tax)
        table.add("is_tax_within", bool(proposed.tax.is_within))
    columns = tomlkit.table()
    for pairing in proposal.pairings:
        columns.add(units.name(pairing.column), _written(pairing, proposed.sides))
    if proposed.joined:
        table.add("join", _joins(proposed))
    table.add("columns", columns)
    table.add(tomlkit.nl())
    return table


def _joins(proposed: FileProposal) -> Any:
    """The files that are read together with the source's, each a table of [[source.join]]."""
    tables = tomlkit.aot()
    for each in proposed.joined:
        there = each.there if each.there != each.by else None
        stated = {"files": glob_for(each.path.name), "by": each.by, "there": there, **_file_settings(each.found.source)}
        table = tomlkit.table()
        table.update(_known(stated))
        tables.append(table)
    return tables


def _file_settings(source: settings.Source) -> dict[str, Any]:
    """How a file is read, where it differs from what is usual."""
    return {
        "format": source.format,
        "delimiter": source.delimiter if source.format == "csv" and source.delimiter != "," else None,
        "encoding": source.encoding if source.encoding != "utf-8" else None,
        "header": None if source.header else False,
        **stated_structure(source),
    }


def _known(stated: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in stated.items() if value is not None}


def _written(pairing: Pairing, sides: ThreeSides) -> Any:
    source, side = sides.made.get(pairing.source or "", (pairing.source, None))
    stated: dict[str, Any] = {
        "column": source,
        "side": side,
        "value": pairing.constant,
        "row": pairing.is_row or None,
        "within": pairing.within,
        "name": pairing.name,
        "before": pairing.before,
        "unit": pairing.unit,
        "unit_is_right": pairing.is_unit_right or None,
        "decimal": pairing.decimal,
        "date_order": pairing.date_order,
        "values": dict(pairing.values) or None,
    }
    kept = _known(stated)
    item: Any = tomlkit.item(source) if list(kept) == ["column"] else _inline(kept)
    return item.comment(_one_line(pairing))


def _inline(stated: dict[str, Any]) -> Any:
    table = tomlkit.inline_table()
    for name, value in stated.items():
        table.append(name, _inline(value) if isinstance(value, dict) else value)
    return table


def _one_line(pairing: Pairing) -> str:
    doubts = [f"CHECK: {doubt}" for doubt in pairing.doubts]
    return re.sub(r"[\x00-\x1f\x7f\s]+", " ", "; ".join((*doubts, *pairing.reasons)))


def _put(document: tomlkit.TOMLDocument, table: Table) -> None:
    sources = document.get("source")
    if not isinstance(sources, AoT):
        sources = tomlkit.aot()
        document["source"] = sources
    for at, known in enumerate(sources):
        if known.get("name") == table["name"]:
            sources[at] = table
            return
    sources.append(table)


def _refuse_unreadable(text: str, path: Path) -> None:
    """What is written must read back, before it takes the old file's place."""
    for table in tomlkit.parse(text).unwrap()["source"]:
        settings.source(table, f"{path} [[source]] {table.get('name')}")
