"""The SQL files of models/sql, their fragments written out.

A fragment says once what many models say. `{each LIST: ...}`, `{sum LIST: ...}` and `{union LIST: ...}` repeat the text
behind the colon for each kind of money of a list (models/money.py), `$` being its name: as columns, added up, as rows;
`{in_each TABLES: ...}` repeats it as rows for each of some tables. `{sums A, B, ...}` adds columns up under their own
names, `{max A, ...}`, `{min A, ...}` and `{or_unknown A, ...}` likewise; `{mean TOTAL over COUNT}` is a mean in whole
cents, unknown of none. `{by_pieces A, ...}` are amounts that `all_pieces` share, those of the pieces from
`pieces_before` to `pieces_upto`. `{group PARCEL by WAY}` is the group to which a parcel belongs by its item type,
carton or service. `{facts ROW}` are the columns by which the rating knows a parcel, but for its lane. `{alike A, B in
NAME, NAME?, ...}` holds where two rows agree in columns of one name, of which those with a question mark may be unknown
in both. `{valid ENTRY on DAY}` holds for the entry of a dated list that is valid on a day, `{in_force TARIFF on DAY}`
for tariffs, whose last day is stated, `{counts ROW on DAY}` for their rows. `{key FACT, FACT, ...}` is a number that
stands for facts, the same wherever and whenever it is made; checks/total/one_fact_for_a_key.sql holds that no two share
one. `{longest ROW}`, `{second ROW}` and `{shortest ROW}` are a row's sides by their length, ROW being its name and a
point, and what the names of its sides begin with. `{milli MEASURE}` is a measure in whole thousandths. `{amount
MILLIONTHS by ROW}` are millionths of a cent as cents, rounded as ROW says: its name and a point, and where it states
several ways the beginning of their names. `{tax CENTS in LANE}` is what tax adds to what the shop bears of charges:
nothing where it gets the tax back, and less than nothing where the charges contain what it gets back, as `{tax_within
CENTS in LANE}` reckons it. `{length IN as TABLE}` and `{weight LB as TABLE}` write a measure as the shop sees it,
without its unit; TABLE stands for shop.settings. `{postal CODE}` is a postal code as tariffs compare it
(models/tariffs/places.py), where it begins with a letter without what follows a blank, or the last three of 5 to 7
signs: as districts are listed. `{packed_lb WEIGHT from USED to OFFER with VOID}` is what a parcel of that weight weighs
in another carton: with its tare and the void fill of so many pounds instead of those that USED states; a tare that is
not stated for both changes nothing. `{cut CODE after COUNT}` holds where so many signs of a code of letters and a
number end within its number. `{last_stated A, B in ENTRY by KEY, ...}` are columns of a dated list, where an entry
leaves them blank as the last one of that key stated them. Fragments that are queries of their own:
models/sql_queries.py.
"""

import re
from collections.abc import Callable, Mapping
from functools import cache
from importlib import resources
from itertools import takewhile
from string import Template

from models.money import LISTS
from models.sql_queries import compared_by, current, margin_by, medians, recent, shared_out, today, unlike, values

SENTENCE_END = re.compile(r"(?<=\.) ")
FRAGMENT = re.compile(r"\{(\w+) ([^{}]*)\}")


@cache
def sql_texts(folder: str) -> Mapping[str, str]:
    """The SQL files of models/sql/FOLDER by name, in the order of their names; none where there is no such folder."""
    place = resources.files("models").joinpath("sql", *folder.split("/"))
    files = [file for file in place.iterdir() if file.name.endswith(".sql")] if place.is_dir() else []
    texts = {file.name.removesuffix(".sql"): written_out(file.read_text(encoding="utf-8")) for file in files}
    return dict(sorted(texts.items()))


def grain(table: str) -> str:
    """What one row of a model's table is: the first sentence of its SQL. Raises KeyError where no SQL makes it."""
    folder, name = table.split(".")
    head = takewhile(lambda line: line.startswith("--"), sql_texts(folder)[name].splitlines())
    return SENTENCE_END.split(" ".join(line.removeprefix("--").strip() for line in head))[0]


def written_out(text: str) -> str:
    """The text with its fragments written out. Raises KeyError for a fragment or list that there is not."""
    return FRAGMENT.sub(lambda found: FRAGMENTS[found[1]](found[2]), text)


def _repeated(separator: str) -> Callable[[str], str]:
    def repeat(stated: str) -> str:
        name, template = stated.split(": ", 1)
        return separator.join(template.replace("$", each) for each in LISTS[name])

    return repeat


def _in_each(stated: str) -> str:
    tables, template = stated.split(":", 1)
    return "\n    union all\n    ".join(template.strip().replace("$", table.strip()) for table in tables.split(","))


def _dated(condition: str) -> Callable[[str], str]:
    def dated(stated: str) -> str:
        entry, day = stated.split(" on ", 1)
        return Template(condition).substitute(entry=entry, day=day)

    return dated


def _alike(stated: str) -> str:
    rows, columns = stated.split(" in ", 1)
    one, other = (row.strip() for row in rows.split(","))
    named = (column.strip() for column in columns.split(","))
    terms = ((name.rstrip("?"), "is not distinct from" if name.endswith("?") else "=") for name in named)
    return " and ".join(f"{one}.{name} {equals} {other}.{name}" for name, equals in terms)


def _digest(stated: str) -> str:
    """60 bits of the facts' digest. No fact holds the signs that stand between facts and for an unknown one."""
    facts = " || chr(29) || ".join(f"coalesce(cast({fact.strip()} as varchar), chr(28))" for fact in stated.split(","))
    return f"cast('0x' || substr(md5({facts}), 1, 15) as bigint)"


LETTERS, FIGURES = "ABCDEFGHIJKLMNOPQRSTUVWXYZ", "0123456789"


def _capitals(text: str) -> str:
    """Letters from a to z alone: of others the engines make capitals each in its own way."""
    return f"translate({text}, '{LETTERS.lower()}', '{LETTERS}')"


def _postal(code: str) -> str:
    plain = _capitals(f"replace(replace({code}, ' ', ''), '-', '')")
    first = _capitals(f"split_part(trim({code}), ' ', 1)")
    shape = f"translate({plain}, '{LETTERS}{FIGURES}', '{'A' * 26}{'0' * 10}')"
    return (
        f"case when {shape} like 'A%' and trim({code}) like '% %' then {first} "
        f"when {shape} like 'A%0AA' and length({plain}) between 5 and 7 then substr({plain}, 1, length({plain}) - 3) "
        f"else {plain} end"
    )


def _amount(stated: str) -> str:
    millionths, row = stated.rsplit(" by ", 1)
    whole = f"{row}rounding_cents"
    return f"cast(floor(({millionths} + {row}rounding_bias) / ({whole} * 1000000)) as bigint) * {whole}"


def _tax_within(stated: str) -> str:
    charges, lane = stated.rsplit(" in ", 1)
    share = f"coalesce({lane}.tax_share_millionths, 0)"
    return f"cast(floor((({charges}) * {share} + (1000000 + {share}) / 2) / (1000000 + {share})) as bigint)"


def _tax(stated: str) -> str:
    charges, lane = stated.rsplit(" in ", 1)
    share = f"coalesce({lane}.tax_share_millionths, 0)"
    return (
        f"case when {lane}.is_tax_in_prices and {lane}.is_tax_reclaimable then -{_tax_within(stated)} "
        f"when {lane}.is_tax_in_prices or {lane}.is_tax_reclaimable then 0 "
        f"else {_amount(f'({charges}) * {share} by {lane}.tax_')} end"
    )


def _shown(measure: str) -> Callable[[str], str]:
    def shown(stated: str) -> str:
        kept, said = stated.rsplit(" as ", 1)
        steps = f"{said}.shown_{measure}_steps"
        return f"cast(round({kept} * {said}.shown_{measure}_factor * {steps}) / {steps} as varchar)"

    return shown


def _cut(stated: str) -> str:
    code, count = stated.rsplit(" after ", 1)
    first, *ends = (f"substr({code}, {place}, 1)" for place in ("1", count, f"{count} + 1"))
    return f"({first} >= 'A' and " + " and ".join(f"{each} between '0' and '9'" for each in ends) + ")"


def _packed_lb(stated: str) -> str:
    weight, used, offer, void = re.split(" from | to | with ", stated)
    more = f"{void} - {used}.used_void_lb + coalesce({offer}.tare_lb - {used}.used_tare_lb, 0)"
    return f"{weight} + greatest({more}, 0.01 - {weight})"


def _under_own_names(template: str) -> Callable[[str], str]:
    def columns(stated: str) -> str:
        named = (column.strip() for column in stated.split(","))
        return ",\n    ".join(f"{template.replace('$', each)} as {each.rpartition('.')[2]}" for each in named)

    return columns


def _last_stated(stated: str) -> str:
    columns, of = stated.split(" in ", 1)
    entry, keys = of.split(None, 1)
    key = ", ".join(f"{entry}.{each.strip()}" for each in keys.removeprefix("by ").split(","))
    window = f"over (partition by {key} order by {entry}.effective_from)"
    named = (column.strip() for column in columns.split(","))
    return ",\n    ".join(f"last_value({entry}.{name} ignore nulls) {window} as {name}" for name in named)


def _side(template: str) -> Callable[[str], str]:
    """Of three sides; `second` is what is left of their sum."""
    longest, shortest = (f"{end}($length_in, $width_in, $height_in)" for end in ("greatest", "least"))
    whole = template.replace("SUM", "$length_in + $width_in + $height_in")
    return lambda row: whole.replace("LONGEST", longest).replace("SHORTEST", shortest).replace("$", row)


def _group(stated: str) -> str:
    parcel, way = stated.split(" by ", 1)
    carton, service = (f"coalesce({parcel}.{name}, 'unknown')" for name in ("carton_code", "service"))
    return f"case {way} when 'item type' then {parcel}.item_type when 'carton' then {carton} else {service} end"


def _mean(stated: str) -> str:
    total, count = stated.rsplit(" over ", 1)
    return f"case when {count} > 0 then cast(round(cast({total} as double) / {count}) as bigint) end"


def _due(pieces: str) -> str:
    """What a row's first so many pieces have of an amount that all pieces share, in whole cents."""
    return f"floor(cast($ * {pieces} as double) / all_pieces)"


# What a request to the rating says of the parcel itself.
RATED_FACTS = (
    *("length_in", "width_in", "height_in", "is_rectangular", "scale_weight_lb", "is_residential"),
    *("destination_prefix", "declared_value_cents"),
)
FRAGMENTS: Mapping[str, Callable[[str], str]] = {
    "each": _repeated(",\n    "),
    "sum": _repeated(" + "),
    "union": _repeated("\n    union all\n    "),
    "in_each": _in_each,
    # An engine's sum of whole numbers may be of another type, so that each is brought back.
    "sums": _under_own_names("cast(sum($) as bigint)"),
    "max": _under_own_names("max($)"),
    "min": _under_own_names("min($)"),
    "or_unknown": _under_own_names("coalesce($, 'unknown')"),
    "mean": _mean,
    **{each.__name__: each for each in (recent, current, medians, today, shared_out, unlike, values)},
    "by_pieces": _under_own_names(f"cast({_due('pieces_upto')} - {_due('pieces_before')} as bigint)"),
    "margin_by": lambda keys: written_out(margin_by(keys)),
    "compared_by": lambda key: written_out(compared_by(key)),
    "last_stated": _last_stated,
    "facts": lambda row: ", ".join(f"{row}.{fact}" for fact in RATED_FACTS),
    "alike": _alike,
    "valid": _dated(
        "$day >= $entry.effective_from and ($entry.effective_before is null or $day < $entry.effective_before)"
    ),
    "counts": _dated("$entry.valid_from <= $day and $entry.valid_to >= $day"),
    "in_force": _dated("$entry.effective_from <= $day and coalesce($entry.effective_to, date '2099-12-31') >= $day"),
    "longest": _side("LONGEST"),
    "second": _side("SUM - LONGEST - SHORTEST"),
    "shortest": _side("SHORTEST"),
    "group": _group,
    "key": _digest,
    "postal": _postal,
    "cut": _cut,
    "packed_lb": _packed_lb,
    "amount": _amount,
    "tax": _tax,
    "tax_within": _tax_within,
    # A half that a conversion of units has left a hair too small still rounds up: 48 in given as 121.92 cm stay 48.
    "milli": lambda measure: f"floor(({measure}) * 1000 + 0.500001)",
    "length": _shown("length"),
    "weight": _shown("weight"),
}
