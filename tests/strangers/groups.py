"""Cells that share a column map, and the files in which they are written."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from pipelines.shop.settings import ColumnSource, Shop, Source
from tests.strangers import writing
from tests.strangers.trials import Case, Probe, Row, Trial, mapped

MARK, REMARK = "Ref", "Remark"
TEXT_DIALECTS = ((",", "utf-8"), (";", "utf-8-sig"), ("|", "utf-16"), ("\t", "utf-8"))


@dataclass(frozen=True)
class Group:
    """Cells of one column under one column map."""

    name: str
    probe: Probe
    cases: Sequence[Case]
    header: str = "Cell"
    unit: str | None = None
    words: Mapping[str, str] = field(default_factory=dict)
    decimal: str | None = None
    date_order: str | None = None
    shop: Shop = field(default_factory=Shop)
    forms: Sequence[str] = writing.FORMS
    # The cells prove one another: they stay together in every sample.
    is_whole: bool = False
    # Every format must give the same answer.
    is_compared: bool = True
    # The oracle's file may also be refused and asked about, as where the map itself proves nothing.
    may_be_refused: bool = False

    def sampled(self, share: float, chance: random.Random) -> Group:
        """The group with a share of its cells, at least three."""
        if self.is_whole or share >= 1:
            return self
        few = min(len(self.cases), max(3, round(share * len(self.cases))))
        return replace(self, cases=[self.cases[at] for at in sorted(chance.sample(range(len(self.cases)), few))])

    def source(self, form: str, delimiter: str, encoding: str) -> Source:
        """The column map as a user would state it."""
        tested = ColumnSource(self.header, unit=self.unit, values=dict(self.words))
        text: dict[str, Any] = (
            {"delimiter": delimiter, "encoding": encoding.removesuffix("-sig")} if form == "csv" else {}
        )
        return Source(
            "source",
            self.probe.kind,
            "*",
            mapped(self.probe, tested, MARK),
            format=form,
            decimal=self.decimal,
            date_order=self.date_order,
            **text,
        )


def trials(group: Group, forms: Sequence[str], turn: int = 0) -> Iterator[Trial]:
    """The group's files, one in each form that can hold it; packing, delimiter and encoding take turns."""
    for number, form in enumerate(form for form in forms if form in group.forms):
        yield _trial(group, form, turn + number)


def _trial(group: Group, form: str, turn: int) -> Trial:
    delimiter, encoding = TEXT_DIALECTS[turn % len(TEXT_DIALECTS)] if form == "csv" else (",", "utf-8")
    # Unlike in every file: one file's row must not correct another's.
    marks = [f"{group.name} {form} {number:03}" for number in range(len(group.cases))]
    table = [[mark, case.cell, f"n{place}"] for place, (mark, case) in enumerate(zip(marks, group.cases, strict=True))]
    content = writing.written(form, (MARK, group.header, REMARK), table, **_dialect(form, delimiter, encoding))
    packing = writing.PACKINGS[turn % 3]
    name, content = writing.packed(f"{re.sub('[^A-Za-z]+', '-', group.name)}-{turn}.{form}", content, packing)
    source = group.source(form, delimiter, encoding)
    # A key holds the carrier: the same cell in another form must not be a correction.
    carrier = ColumnSource(value=f"Carrier {name}")
    columns = {**source.columns, **({"carrier": carrier} if "carrier" in source.columns else {})}
    return Trial(
        group.name,
        form,
        name,
        content,
        replace(source, columns=columns),
        tuple(_row(mark, case) for mark, case in zip(marks, group.cases, strict=True)),
        (group.probe.column,),
        group.probe.mark,
        group.shop,
        may_be_refused=group.may_be_refused,
        is_compared=group.is_compared,
    )


def _dialect(form: str, delimiter: str, encoding: str) -> dict[str, Any]:
    return {"delimiter": delimiter, "encoding": encoding} if form == "csv" else {}


def _row(mark: str, case: Case) -> Row:
    allowed = tuple((value,) for value in case.allowed)
    return Row(mark, allowed, case.why, case.is_valid, shown=repr(case.cell)[:100])
