"""Holds a file of charges that would overwrite another invoice: one that states other parcels under its line numbers.

A corrected invoice keeps its parcels, whatever their order. Where a map gives several invoices one number, each next
file would pass for a correction of the one before, and its charges would take the place of theirs.
"""

from dataclasses import dataclass

from models.errors import IntakeError
from models.visible import counted
from pipelines.intake.reading.finding import Content
from pipelines.intake.record_keys import same_key
from pipelines.shop.settings import Source
from pipelines.shop.warehouse import Connection

# A carrier who states its own number may have billed one parcel under another's; judgement, no source.
_LEAST_FOREIGN = 3


@dataclass(frozen=True)
class _Overwritten:
    """An invoice on record of whose lines that the file states again most would go to parcels that it has not had."""

    carrier: str
    invoice_number: str
    known_count: int
    foreign_count: int
    delivery_id: int
    file_name: str


def refuse_other_parcels(connection: Connection, source: Source, content: Content, delivery_id: int) -> None:
    """Raises IntakeError where what the delivery replaced are other invoices' lines.

    Asked within the delivery's transaction, after its rows are stored and before its entry is written. Lines on record
    from the same content are not compared: that file comes again because its map was corrected.
    """
    said = source.columns["invoice_number"]
    least = _LEAST_FOREIGN if said.value is None else 1
    found = connection.execute(_OVERWRITTEN, [delivery_id, content.content_hash, least]).fetchall()
    if found:
        raise _held(content.name, source, _Overwritten(*found[0]))


# $1: the delivery. $2: its content. $3: the least foreign lines of an invoice. The most foreign lines come first.
_OVERWRITTEN = f"""
    with replaced as (
        select s.carrier, s.invoice_number, s.parcel_id as parcel_before, a.parcel_id, s.delivery_id
        from superseded.charges as s
        inner join accepted.charges as a on {same_key("charges", "s", "a")}
        where s.superseded_by = $1 and s.delivery_id <> $1 and a.delivery_id = $1
            and s.delivery_id not in (select delivery_id from intake.deliveries where content_hash = $2)
    ),
    before as (
        select carrier, invoice_number, parcel_id from superseded.charges where superseded_by = $1
            and delivery_id <> $1
        union
        select carrier, invoice_number, parcel_id from accepted.charges where delivery_id <> $1
    ),
    judged as (
        select r.carrier, r.invoice_number, r.delivery_id,
            r.parcel_id is not null and r.parcel_before is not null
                and not exists (
                    select 1 from before as b where b.carrier = r.carrier and b.invoice_number = r.invoice_number
                        and b.parcel_id = r.parcel_id)
                and not exists (
                    select 1 from staged as n where n.carrier = r.carrier and n.invoice_number = r.invoice_number
                        and n.parcel_id = r.parcel_before) as is_foreign
        from replaced as r
        union all
        select a.carrier, a.invoice_number, a.delivery_id, false from staged as n
        inner join accepted.charges as a on {same_key("charges", "n", "a")}
        where a.delivery_id <> $1 and not n.is_broken
            and (a.carrier, a.invoice_number) in (select (carrier, invoice_number) from replaced)
    )
    select carrier, invoice_number, count(*), count(*) filter (is_foreign), max(delivery_id) filter (is_foreign),
        max_by(d.file_name, delivery_id) filter (is_foreign)
    from judged inner join intake.deliveries as d using (delivery_id)
    group by carrier, invoice_number
    having 2 * count(*) filter (is_foreign) > count(*) and count(*) filter (is_foreign) >= $3
    order by 4 desc, 1, 2 limit 1
"""


def _held(name: str, source: Source, found: _Overwritten) -> IntakeError:
    return IntakeError(
        f"{name} (source {source.name!r})",
        f"would overwrite another invoice: of {counted(found.known_count, 'line')} that are on record under number "
        f"{found.invoice_number!r} of {found.carrier}, {found.foreign_count} would go to parcels that are not on "
        f"record there, from parcels of {found.file_name}, delivery {found.delivery_id}, that this file does not have; "
        "a corrected invoice keeps its parcels",
        "this file; nothing of it was imported, it waits",
        _next_step(source, found),
    )


def _next_step(source: Source, found: _Overwritten) -> str:
    back = f"`dunnage intake --withdraw {found.delivery_id}`"
    if source.columns["invoice_number"].value is not None:
        return (
            f"source {source.name!r} gives every file the one invoice_number {found.invoice_number!r}: map what states "
            f"the number of each, maybe the file's name (`dunnage map FILE --from-name`), take the earlier file back "
            f"({back}), and import both"
        )
    return (
        "if it is another invoice, correct the map: another column states the number of each, or line_number is "
        f"another; if it is the same one for other parcels, take the earlier file back ({back}) and import this one"
    )
