"""A whole proposed column map: pairings with units, marks and words as the sample proves them, and what stays open."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from models.cells.decimal_marks import NUMBERS, ambiguous_numbers, decimal_marks, proven_by
from models.cells.units import carries_unit
from models.column_map.answers import NOTHING, Answers
from models.column_map.headers import header, stated_unit
from models.column_map.implied import SHIPMENT, STATE, shipments_of, with_filed
from models.column_map.pairing import (
    APART,
    SURE,
    THRESHOLD,
    Pairing,
    Sample,
    Scores,
    assign,
    assign_by_values,
    runner_up,
    score_pairs,
)
from models.column_map.sale_amounts import SaleAmounts
from models.column_map.sample_values import MOST_WORDS, allowed_words, date_orders, has_open_dates
from models.column_map.whole_rows import (
    left_out,
    line_numbers,
    missing_columns,
    repeated_keys,
    telling_columns,
    wanted_columns,
)
from models.column_map.word_maps import WordMap, map_flags, map_words
from models.contracts import Contract
from models.fields import MEASURED, Column, Quantity

_SPOKEN = {".": "point", ",": "comma"}
DATES = (Quantity.DATE, Quantity.INSTANT)


@dataclass(frozen=True)
class Proposal:
    """What is proposed for one file as one kind of record.

    missing: needed columns without a source. unused: source columns that feed nothing. personal: source columns
    that look like a buyer's and are never stored. notes: what the user should know about the whole.
    """

    kind: str
    pairings: tuple[Pairing, ...]
    missing: tuple[str, ...]
    unused: tuple[str, ...]
    personal: tuple[str, ...]
    decimal: str | None
    date_order: str | None
    notes: tuple[str, ...] = ()


def propose(
    schema: Contract,
    sample: Sample,
    personal: Collection[str] = (),
    stated: Mapping[str, Pairing] | None = None,
    answers: Answers = NOTHING,
) -> Proposal:
    """A column map for the sample as the contract's kind. Pairings `stated` by the user stand; they are completed."""
    fixed = dict(stated or {})
    taken = {pairing.source for pairing in fixed.values()}
    headers = [written for written in sample.headers if written not in personal and written not in taken]
    pairings = {**_found(schema, sample, headers, fixed), **fixed}
    pairings = {
        name: _read(schema.columns[name], answers.applied(pairing), sample)
        for name, pairing in pairings.items()
        if name not in answers.without
    }
    pairings.update(line_numbers(schema, sample, pairings))
    if schema.name == "sales":
        found = SaleAmounts(sample, pairings).proven()
        pairings.update((each.column, each) for each in found if each.column not in answers.without)
    if schema.name == "weights" and SHIPMENT not in answers.without:
        pairings.update(shipments_of(sample, pairings))
    if schema.name == "claims":
        pairings.update(with_filed(sample, pairings, answers.words.get(STATE, {})))
    lonely = left_out(schema, sample, pairings, fixed)
    pairings = {name: pairing for name, pairing in pairings.items() if name not in lonely}
    decimal = answers.decimal or _agreed_mark(schema, pairings, sample)
    orders = answers.date_order or _agreed(pairings.values(), "date_order")
    settled = {
        name: _settle(pairing, decimal, orders, sample, schema.columns[name]) for name, pairing in pairings.items()
    }
    return Proposal(
        kind=str(schema.name),
        pairings=tuple(settled[name] for name in schema.columns if name in settled),
        missing=missing_columns(schema, settled, answers.without),
        unused=tuple(written for written in headers if written not in {each.source for each in settled.values()}),
        personal=tuple(written for written in sample.headers if written in personal),
        decimal=decimal,
        date_order=orders,
        notes=(*lonely.values(), *repeated_keys(schema, sample, settled)),
    )


def _found(schema: Contract, sample: Sample, headers: Sequence[str], fixed: Collection[str]) -> dict[str, Pairing]:
    scores = score_pairs(schema, sample, headers)
    columns = {name: column for name, column in schema.columns.items() if name not in fixed}
    paired = assign(list(columns), headers, scores, needed=wanted_columns(schema))
    free = [written for written in headers if written not in paired.values()]
    telling = {name: column for name, column in telling_columns(schema).items() if name not in fixed}
    by_values = assign_by_values(telling, sample, paired, free)
    return {
        **{name: _by_header(name, written, scores, free) for name, written in paired.items()},
        **{name: _by_values(name, written) for name, written in by_values.items()},
    }


def _by_header(name: str, written: str, scores: Scores, free: Collection[str]) -> Pairing:
    chosen = scores[name, written]
    second = runner_up(name, written, scores)
    doubts = []
    if chosen.value < SURE:
        doubts.append("the header only comes near")
    if second is not None and second[0] in free and second[1] > chosen.value - APART:
        doubts.append(f'"{second[0]}" would suit nearly as well')
    return Pairing(
        name,
        written,
        chosen.value,
        chosen.reasons,
        tuple(doubts),
        runner_up=second[0] if second and second[0] in free else None,
        is_sure=not doubts,
    )


def _by_values(name: str, written: str) -> Pairing:
    reason = "the only source column whose values all fit"
    return Pairing(name, written, THRESHOLD, (reason,), ("the header says nothing",), is_sure=False)


def _read(column: Column, pairing: Pairing, sample: Sample) -> Pairing:
    """The pairing completed by what its values prove."""
    if pairing.source is None:
        return pairing
    texts = sample.column(pairing.source)
    wanted = column.quantity
    seen = header(pairing.source)
    if pairing.unit is None and seen.unit is not None and seen.unit[0] == wanted:
        pairing = replace(pairing, unit=seen.unit[1] if seen.unit[1] not in ("", _own_unit(wanted)) else None)
    if wanted in NUMBERS:
        return _with_decimal(pairing, decimal_marks(texts, is_typed=sample.is_typed), texts)
    if wanted in DATES:
        return _with_order(pairing, date_orders(texts))
    return _with_words(column, pairing, texts)


def _own_unit(wanted: Quantity) -> str:
    return {Quantity.LENGTH: "in", Quantity.WEIGHT: "lb"}.get(wanted, "")


def _with_decimal(pairing: Pairing, proven: frozenset[str], texts: Sequence[str]) -> Pairing:
    examples = {mark: next(text for text in texts if proven_by(text) == mark) for mark in sorted(proven)}
    if len(proven) > 1:
        listed = " and ".join(f'{_SPOKEN[mark]} ("{text}")' for mark, text in examples.items())
        return replace(pairing, doubts=(*pairing.doubts, f"values disagree on the decimal mark: {listed}"))
    if not proven or pairing.decimal is not None:
        return pairing
    ((only, text),) = examples.items()
    reason = f'values such as "{text}" prove a decimal {_SPOKEN[only]}'
    return replace(pairing, reasons=(*pairing.reasons, reason), decimal=only)


def _with_order(pairing: Pairing, proven: frozenset[str]) -> Pairing:
    if len(proven) > 1:
        listed = " and ".join(sorted(proven))
        return replace(pairing, doubts=(*pairing.doubts, f"values disagree on the date order: {listed}"))
    if not proven or pairing.date_order is not None:
        return pairing
    only = next(iter(proven))
    return replace(pairing, reasons=(*pairing.reasons, f"values prove date order {only}"), date_order=only)


def _with_words(column: Column, pairing: Pairing, texts: Sequence[str]) -> Pairing:
    """Words of a closed list, or for yes and no, mapped by closeness."""
    listed = allowed_words(column)
    distinct = sorted(set(texts))[:MOST_WORDS]
    if not (listed or column.quantity is Quantity.FLAG):
        return pairing
    asked = [word for word in distinct if word not in pairing.values]
    mapped = map_words(asked, listed) if listed else map_flags(asked, pairing.column.removeprefix("is_"))
    return replace(
        pairing,
        values={**mapped.needed, **pairing.values},
        doubts=(*pairing.doubts, *_word_doubts(mapped)),
        guessed=mapped.guessed,
        unknown=mapped.unknown,
    )


def _word_doubts(mapped: WordMap) -> Iterable[str]:
    if mapped.guessed:
        yield "check these: " + ", ".join(f'"{word}" as {mapped.words[word]}' for word in mapped.guessed)
    if mapped.unknown:
        yield "no meaning known for " + ", ".join(f'"{word}"' for word in mapped.unknown)


def _texts(pairing: Pairing, sample: Sample) -> list[str]:
    return sample.column(pairing.source) if pairing.source else []


def _agreed_mark(schema: Contract, pairings: Mapping[str, Pairing], sample: Sample) -> str | None:
    """The decimal mark that the file states once. Where two cells of it disagree, each column states its own."""
    numbers = [each for name, each in pairings.items() if schema.columns[name].quantity in NUMBERS]
    proven = {mark for each in numbers for mark in decimal_marks(_texts(each, sample), is_typed=sample.is_typed)}
    stated = {each.decimal for each in numbers if each.decimal}
    return next(iter(stated)) if len(proven | stated) == 1 else None


def _agreed(pairings: Iterable[Pairing], name: str) -> str | None:
    """What most columns of the file prove."""
    proven = [value for pairing in pairings if (value := getattr(pairing, name))]
    return max(sorted(set(proven)), key=proven.count) if proven else None


def _settle(pairing: Pairing, decimal: str | None, order: str | None, sample: Sample, column: Column) -> Pairing:
    """What the whole file agrees on is stated once, for the file; what stays open is a doubt."""
    texts = _texts(pairing, sample)
    doubts = list(pairing.doubts)
    if column.quantity in NUMBERS and (decimal or pairing.decimal) is None and (unread := ambiguous_numbers(texts)):
        doubts.append(f'nothing in the file proves the decimal mark of "{unread[0]}": state decimal')
    if bare := cells_without_unit(pairing, column.quantity, texts):
        then = "the file is" if len(bare) == len(texts) else "such rows are"
        doubts.append(f'nothing states the unit of "{bare[0]}": state unit, or {then} refused')
    if column.quantity in DATES and (order or pairing.date_order) is None and has_open_dates(texts):
        doubts.append(f'nothing proves the date order of "{texts[0]}": state date_order')
    return replace(
        pairing,
        doubts=tuple(doubts),
        decimal=None if pairing.decimal == decimal else pairing.decimal,
        date_order=None if pairing.date_order == order else pairing.date_order,
    )


def cells_without_unit(pairing: Pairing, wanted: Quantity, texts: Sequence[str]) -> list[str]:
    """Cells of a measure whose unit neither they nor the header nor the map states."""
    is_measure = wanted in MEASURED and pairing.source is not None
    if not is_measure or pairing.unit or stated_unit(pairing.source or "", wanted):
        return []
    return [text for text in texts if not carries_unit(text)]
