"""Holds a file whose measures are off by a unit's factor: against what is stored of the same goods, and by density.

Only a column whose unit the map or the header states is looked at: a cell that carries its unit speaks for itself.
Samples are compared, so that a long history costs no more than a short one.
"""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from models.cells.unit_checks import Known, impossible_density, other_units, usual_in
from models.errors import IntakeError
from models.fields import MEASURED
from models.reference import RECORDS
from pipelines.intake.columns import Layout
from pipelines.shop.warehouse import Connection

_NEW, _STORED = 2_000, 50_000
_SIDES = ("length_in", "width_in", "height_in")
_LEAST_KNOWN = 3


@dataclass(frozen=True)
class _Evidence:
    """Pairs of a column's measures and what is known of them: `sql` gives both, of rows `new` of the delivery."""

    column: str
    known: Known
    of: str
    sql: str


def refuse_other_units(
    connection: Connection, kind: str, layout: Layout, where: str, stated: Collection[str] = ()
) -> None:
    """Raises IntakeError where a measure of `staged` is off by a unit's factor. stated: columns with a stated unit."""
    stated = {
        name: reading.unit
        for name, reading in layout.readings.items()
        if name in layout.headers and reading.unit and name not in stated and reading.quantity in MEASURED
    }
    if not stated:
        return
    connection.execute(f"create or replace temp view new_rows as select * from staged where not is_broken limit {_NEW}")
    for each in _evidence(kind):
        if each.column in stated:
            _compare(connection, layout, each, where)
    for weight, sides in _DENSITIES.get(kind, ()):
        if all(name in layout.headers for name in (weight, *sides)):
            _weigh(connection, layout, weight, sides, stated, where)


_DENSITIES: Mapping[str, tuple[tuple[str, tuple[str, ...]], ...]] = {
    "weights": (("scale_weight_lb", _SIDES),),
    "item_types": (("weight_lb", _SIDES),),
    "charges": (("billed_weight_lb", tuple(f"billed_{side}" for side in _SIDES)),),
}


def _evidence(kind: str) -> Iterator[_Evidence]:
    if kind == "weights":
        yield _of_item_types()
        yield _of_stored("scale_weight_lb", "item type", _per_piece("new_rows"), _per_piece(_sample("weights")))
        for side in _SIDES:
            yield _of_stored(side, "carton", _in_carton(side, "new_rows"), _in_carton(side, _sample("weights")))
    elif kind == "charges":
        yield _of_parcels("billed_weight_lb", "scale_weight_lb", Known.AT_LEAST)
        for side in _SIDES:
            yield _of_parcels(f"billed_{side}", side, Known.SAME)
    elif kind in ("item_types", "cartons"):
        yield from _of_same_key(kind)


def _sample(kind: str) -> str:
    return f"(select * from accepted.{kind} limit {_STORED})"


def _per_piece(rows: str) -> str:
    """Item type and weight for each piece, of parcels of one sale line."""
    return f"""
        select coalesce(s.item_type, k.item_type) as goods, w.scale_weight_lb / w.packed_quantity as measure
        from {rows} as w inner join accepted.sales as s on s.sale_id = w.sale_id and s.line_number = w.line_number
        left join accepted.skus as k on k.sku = s.sku where w.scale_weight_lb > 0
    """


def _in_carton(side: str, rows: str) -> str:
    """Carton and outside side, of parcels that are not cut down."""
    return (
        f"select carton_code as goods, {side} as measure from {rows} "
        f"where {side} > 0 and carton_code is not null and cut_height_in is null"
    )


def _of_stored(column: str, group: str, new: str, stored: str) -> _Evidence:
    """Against the median of the same group so far; only where groups differ in kind, so that no one change misleads."""
    sql = f"""
        with known as (
            select goods, median(measure) as reference from ({stored}) where goods is not null
            group by goods having count(*) >= {_LEAST_KNOWN}
        ), pairs as (select goods, measure, reference from ({new}) inner join known using (goods))
        select measure, reference from pairs where (select count(distinct goods) from pairs) >= {_LEAST_KNOWN}
    """
    return _Evidence(column, Known.SAME, f"what is stored of the same {group}", sql)


def _of_item_types() -> _Evidence:
    sql = f"""
        select p.measure, t.weight_lb from ({_per_piece("new_rows")}) as p
        inner join accepted.item_types as t on t.item_type = p.goods where t.weight_lb > 0
    """
    return _Evidence("scale_weight_lb", Known.AT_LEAST, "the goods alone", sql)


def _of_parcels(billed: str, measured: str, known: Known) -> _Evidence:
    sql = f"""
        select b.{billed}, w.{measured} from (select distinct parcel_id, {billed} from new_rows) as b
        inner join (select distinct parcel_id, {measured} from accepted.weights) as w using (parcel_id)
        where b.{billed} > 0 and w.{measured} > 0
    """
    return _Evidence(billed, known, "the bench log of the same parcel", sql)


def _of_same_key(kind: str) -> Iterator[_Evidence]:
    name = {"item_types": "item_type", "cartons": "carton_code"}[kind]
    for column, stated in RECORDS[kind].columns.items():
        if stated.quantity in MEASURED:
            sql = (
                f"select n.{column}, a.{column} from new_rows as n inner join accepted.{kind} as a using ({name}) "
                f"where n.{column} > 0 and a.{column} > 0"
            )
            yield _Evidence(column, Known.SAME, f"what is stored of the same {name.replace('_', ' ')}", sql)


def _compare(connection: Connection, layout: Layout, evidence: _Evidence, where: str) -> None:
    reading = layout.readings[evidence.column]
    pairs = [(float(measure), float(known)) for measure, known in connection.execute(evidence.sql).fetchall()]
    units = other_units(reading.quantity, reading.unit or "", pairs, evidence.known)
    if units:
        ratio = sorted(measure / known for measure, known in pairs)[len(pairs) // 2]
        said = f"nearly every row is {ratio:.3g} times {evidence.of}, as if it were in {' or '.join(units)}"
        raise _held(where, evidence.column, reading.unit or "", said, units)


def _weigh(
    connection: Connection, layout: Layout, weight: str, sides: tuple[str, ...], stated: Mapping[str, str], where: str
) -> None:
    """The density of parcels, where nothing is known of them yet: it can be impossible, never merely unusual."""
    volume = " * ".join(sides)
    sql = f"select {weight} / ({volume}) from new_rows where {weight} > 0 and {volume} > 0"
    densities = [float(row[0]) for row in connection.execute(sql).fetchall()]
    if not impossible_density(densities):
        return
    middle = sorted(densities)[len(densities) // 2] * 27_680
    for name in (weight, sides[0]):
        reading = layout.readings[name]
        units = usual_in(densities, reading.quantity, reading.unit or "") if name in stated else ()
        if units:
            said = f"a parcel would weigh {middle:,.3g} kg a cubic metre; in {' or '.join(units)} it would be usual"
            raise _held(where, name, reading.unit or "", said, units)


def _held(where: str, column: str, unit: str, said: str, units: tuple[str, ...]) -> IntakeError:
    return IntakeError(
        where,
        f"{column}, read in {unit}, is off by a unit: {said}",
        "this file; nothing of it was imported, it waits",
        f'correct the map (unit = "{units[0]}"), or say which it is for this file: --unit {column}={units[0]}, '
        f"or --unit {column}={unit} if {unit} is right; for all files of the source, write unit_is_right = true behind "
        "the unit (dunnage map FILE --right-unit COLUMN)",
    )
