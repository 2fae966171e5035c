"""Broken rows of `staged`, with every reason, their source text and their place: rows of rejected.rows."""

from collections.abc import Iterator

from models.cells.texts import IS_SEVERAL, IS_SHORTENED
from models.privacy import BLANKED_EMAIL, holds_mark_sql
from models.sql_quoting import literal, quoted
from pipelines.intake.columns import Layout
from pipelines.intake.numbers_as_text import identifiers, is_several, is_shortened, keys_of_text, labels
from pipelines.intake.reading.delimited import DelimitedFile
from pipelines.intake.reading.tables import AS_FOUND, FAULT, FAULT_COLUMN, LINE, REJECT_REF, WHOLE_ROW, Table
from pipelines.intake.record_keys import key_text
from pipelines.intake.staging import Staged
from pipelines.shop.settings import Source
from pipelines.shop.warehouse import Connection


def reject(connection: Connection, source: Source, layout: Layout, staged: Staged) -> None:
    """Fill the temporary table `refused`: one row per broken row, with its first column and all reasons."""
    kept = [column.header for column in layout.kept if column.header != REJECT_REF]
    pairs = ", ".join(f"{literal(header)}, {layout.archived(header)}" for header in kept)
    faults = ", ".join(_faults(source.kind, layout, staged))
    beside = ", ".join(
        f"{quoted(name)} as {short}"
        for name, short in ((FAULT, "fault"), (FAULT_COLUMN, "fault_column"), (AS_FOUND, "as_found"), (LINE, "line"))
    )
    connection.execute(
        f"""
        create or replace temp table refused as
        select row_number, line as line_number,
            case when as_found is null or fault is null then source_text
                else cast(json_object({literal(WHOLE_ROW)}, as_found) as varchar) end as source_text,
            faults[1].place as column_name,
            array_to_string(
                list_transform(faults, lambda each, n:
                    case when n = 1 then each.reason else 'also ' || each.later end), '; '
            ) as reason,
            {key_text(source.kind, staged.looked_up, is_marked=layout.is_marked)} as row_key, reject_ref
        from (
            select *, list_filter([{faults}], lambda each: each is not null) as faults
            from (select * from staged where is_broken)
            inner join (
                select file_row_number + 1 as row_number, cast(json_object({pairs}) as varchar) as source_text, {beside}
                from questioned_rows
            ) using (row_number)
        )
        """
    )


def shift_of(table: Table) -> int | None:
    """Lines above the first row of a text file; None for a file whose rows know their lines, or have none."""
    return table.line_shift() if isinstance(table, DelimitedFile) else None


def place_lines(connection: Connection, table: Table, staged: Staged) -> None:
    """State the line of each refused row of a text file that the engine read."""
    shift = shift_of(table)
    if shift is not None and staged.broken_count:
        connection.execute("update refused set line_number = row_number + ? where line_number is null", [shift])


def _faults(kind: str, layout: Layout, staged: Staged) -> Iterator[str]:
    """SQL for one fault each, or null: of the row, of an unread cell, of a check. The first that applies is named."""
    yield _fault("fault is not null", "fault_column", "fault")
    for name in staged.looked_up:
        yield _fault(f"unread_{name} is not null", literal(name), f"unread_{name}")
    for name in keys_of_text(kind, layout):
        yield _fault(holds_mark_sql(name, BLANKED_EMAIL), literal(name), "'held an e-mail address'")
    for name in identifiers(kind, layout):
        yield _fault(is_shortened(name), literal(name), literal(IS_SHORTENED))
    for name in labels(layout):
        yield _fault(is_several(name), literal(name), literal(IS_SEVERAL))
    for predicate in layout.conditions(kind):
        # What an unread cell holds is not known, so nothing more is said about it.
        known = "".join(f" and unread_{name} is null" for name in predicate.columns if name in staged.looked_up)
        yield _fault(
            f"fault is null and ({predicate.sql}){known}",
            literal(predicate.columns[0]),
            literal(predicate.reason),
            # The reason of a rule names its columns itself.
            None if len(predicate.columns) == 1 else literal(predicate.reason),
        )


def _fault(condition: str, place: str, reason: str, later: str | None = None) -> str:
    """One fault: its column, its reason, and how it is written after another one."""
    later = later or f"{place} || ' ' || {reason}"
    return f"case when {condition} then {{'place': {place}, 'reason': {reason}, 'later': {later}}} end"
