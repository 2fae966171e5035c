"""What a column map means for whole rows: columns still missing, columns useless without another, keys that repeat."""

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from decimal import Decimal

from models.column_map.pairing import SURE, THRESHOLD, Pairing, Sample
from models.column_map.sample_values import allowed_words, amount
from models.contracts import Contract
from models.fields import Column, Quantity
from models.rules import AtMost, Needs, OneOf, Rule


def nearest_shape(schema: Contract, paired: Collection[str]) -> tuple[str, ...]:
    """The columns of the way to keep such records that lacks the fewest of its own."""
    return min(schema.shapes, key=lambda shape: len(set(shape) - set(paired)))


def missing_columns(schema: Contract, paired: Collection[str], without: Collection[str] = ()) -> tuple[str, ...]:
    """Columns of the nearest shape without a source; where one of several is enough, those several joined by `or`.

    Of those that a file mostly has one of, the first where it has none.

    without: columns that the user leaves empty; those that every row needs are missing all the same.
    """
    left_out = {name for name in without if name in schema.columns and schema.columns[name].nullable}
    single = [name for name in nearest_shape(schema, paired) if name not in paired and name not in left_out]
    several = [rule.columns for rule in schema.rules if isinstance(rule, OneOf)]
    asked = schema.asks[:1] if not {*schema.asks} & {*paired, *left_out} else ()
    return (*single, *asked, *(" or ".join(names) for names in several if not {*names} & {*paired, *single}))


def wanted_columns(schema: Contract) -> dict[str, Column]:
    """The columns of any shape."""
    named = {name for shape in schema.shapes for name in shape}
    return {name: column for name, column in schema.columns.items() if name in named}


def telling_columns(schema: Contract) -> dict[str, Column]:
    """The columns worth finding by their values alone: those of any shape, and those with a closed list of words.

    A column that says which sales were cancelled is not to be overlooked because its header says `Payment`.
    """
    listed = {name: column for name, column in schema.columns.items() if allowed_words(column)}
    return {**wanted_columns(schema), **listed}


def without_partner(stated: Sequence[Rule], paired: Collection[str], fixed: Collection[str]) -> dict[str, str]:
    """Columns that must be left out because a rule wants another that has no source, with the reason.

    Kept, they would have every row rejected. Columns in `fixed` were stated by the user and stay.
    """
    left_out: dict[str, str] = {}
    wants = [rule for rule in stated if isinstance(rule, Needs)]
    for _ in wants:
        for rule in wants:
            is_there = rule.given in paired and rule.given not in left_out and rule.given not in fixed
            if is_there and (rule.needed not in paired or rule.needed in left_out):
                left_out[rule.given] = f"{rule.given} is left out: it needs {rule.needed}, which has no source"
    return left_out


def left_out(
    schema: Contract, sample: Sample, pairings: Mapping[str, Pairing], fixed: Collection[str]
) -> dict[str, str]:
    """Columns that whole rows show to be useless or something else, with the reason. Those in `fixed` stay."""
    lonely = without_partner(schema.rules, pairings.keys(), fixed)
    return {
        **lonely,
        **_no_invoice_totals(sample, pairings, fixed),
        **_more_than_their_bound(schema, sample, pairings, fixed),
    }


def _more_than_their_bound(
    schema: Contract, sample: Sample, pairings: Mapping[str, Pairing], fixed: Collection[str]
) -> dict[str, str]:
    """Amounts that a rule bounds by another and that mostly are more: a whole refund is none of shipping."""
    left_out: dict[str, str] = {}
    for rule in schema.rules:
        if not isinstance(rule, AtMost) or not {*rule.columns} <= set(pairings) or rule.smaller in fixed:
            continue
        column, (small, large) = schema.columns[rule.smaller], (pairings[name] for name in rule.columns)
        if column.quantity is not Quantity.MONEY or not column.nullable:
            continue
        pairs = [*zip(amounts(sample, small), amounts(sample, large), strict=True)]
        known = [(smaller, larger) for smaller, larger in pairs if smaller and larger is not None]
        more = sum(smaller > larger for smaller, larger in known)
        if 2 * more > len(known):
            words = f'is more than "{large.source}" in {more} of {len(known)} rows'
            left_out[rule.smaller] = f'"{small.source}" is left out: as {rule.smaller} it {words}'
    return left_out


def amounts(sample: Sample, pairing: Pairing) -> list[Decimal | None]:
    """The amounts that a column gets, one for each sampled row; None where a cell holds none."""
    return [amount(text, pairing.decimal or ".") for text in texts(sample, pairing)]


def _no_invoice_totals(sample: Sample, pairings: Mapping[str, Pairing], fixed: Collection[str]) -> dict[str, str]:
    """The total of invoices, where sampled lines of one invoice state different ones."""
    names = ("invoice_number", "invoice_total_cents")
    if names[1] in fixed or not {*names} <= set(pairings):
        return {}
    stated = {pair for pair in zip(*(texts(sample, pairings[name]) for name in names), strict=True) if pair[1]}
    if len(stated) == len({number for number, _ in stated}):
        return {}
    return {names[1]: f'"{pairings[names[1]].source}" is left out: lines of one invoice state different totals'}


def repeats(sample: Sample, names: Sequence[str], pairings: Mapping[str, Pairing]) -> int | None:
    """How many sampled rows repeat the values of `names`; None where one of them has no source column."""
    if not all(name in pairings for name in names):
        return None
    rows = list(zip(*(texts(sample, pairings[name]) for name in names), strict=True))
    return len(rows) - len(set(rows))


def texts(sample: Sample, pairing: Pairing) -> list[str]:
    """The texts that a column gets, one for each sampled row."""
    if pairing.is_row:
        return [str(row) for row in range(len(sample.rows))]
    if pairing.within is not None:
        return places_within(texts(sample, Pairing("", pairing.within, 1)))
    if pairing.source is None:
        return [pairing.constant or ""] * len(sample.rows)
    at = sample.headers.index(pairing.source)
    return [row[at] if at < len(row) else "" for row in sample.rows]


def repeated_keys(schema: Contract, sample: Sample, pairings: Mapping[str, Pairing]) -> Iterator[str]:
    """A note where sampled rows share their key: they would replace one another."""
    if repeated := repeats(sample, schema.key, pairings):
        together = " + ".join(schema.key)
        yield f"{repeated} of {len(sample.rows)} sampled rows repeat {together}; the last of them would win"


def line_numbers(schema: Contract, sample: Sample, pairings: Mapping[str, Pairing]) -> dict[str, Pairing]:
    """Where the file has no line number: lines of sales are counted within their sale, those of others in the file.

    A bench log without one says which parcel went for which sale, and nothing of its lines.
    """
    if "line_number" not in schema.key or "line_number" in pairings or schema.name == "weights":
        return {}
    sale = pairings["sale_id"].source if schema.name == "sales" and "sale_id" in pairings else None
    if sale is None:
        doubt = "a row keeps its number only while the file keeps its order"
        return {"line_number": Pairing("line_number", None, THRESHOLD, ("no line column",), (doubt,), is_row=True)}
    has_several = repeats(sample, ["sale_id"], pairings)
    doubts = ("lines of a sale keep their numbers while they keep their order",) if has_several else ()
    return {"line_number": Pairing("line_number", None, SURE, ("no line column",), doubts, within=sale)}


def places_within(cells: Iterable[str]) -> list[str]:
    """Of each cell its place among those with its text, from 1."""
    seen = Counter[str]()
    places = []
    for cell in map(str.strip, cells):
        seen[cell] += 1
        places.append(str(seen[cell]))
    return places
