"""What a built table's rows are made from, as its contract states it: where `dunnage trace` leads from a figure."""

from dataclasses import dataclass

# How the parcels relate to the figure: their amounts add up to it; it is based on them; on some or all of them, as the
# analysis decides; on a part of what stands behind it, as asked for; on none.
RELATIONS = ADDED, EXACTLY, AMONG, PART, NONE = "added up", "exactly", "among", "part", "none"


@dataclass(frozen=True)
class MadeFrom:
    """The rows behind a row.

    rows: a built table with parcel_id, or a query of models/sql/queries; the table itself where empty. by: columns of
    the table, parted by blanks, that its rows have as well; None for the table's key. A column that `rows` lacks is
    that of the parcel (core.parcels) or of its zone (core.zone_bands); `p.carrier` is the parcel's in any case. sums:
    column of the table that the rows' amounts add up to. amount: SQL of a row's amount; else its column named as
    `sums`. where: what else holds, in SQL: `r` is the table, `b` a row behind it, `p` its parcel. is_year:
    shipped_month is the last of twelve months. is_among: the figure may rest on fewer of the rows than those found.
    """

    rows: str = ""
    by: str | None = None
    sums: str = ""
    amount: str = ""
    where: str = "true"
    is_year: bool = False
    is_among: bool = False

    def relation(self, has_amounts: bool) -> str:
        """How the parcels relate to the figure: one of RELATIONS."""
        return AMONG if self.is_among else ADDED if self.sums and has_amounts else EXACTLY


def itself(amount: str) -> MadeFrom:
    """Each row is one parcel, or one record of it: `amount` is a column of it."""
    return MadeFrom(sums=amount)


def parcels(by: str | None = None, sums: str = "margin_cents") -> MadeFrom:
    """Sums over parcels and account fees."""
    return MadeFrom("marts.parcel_costs", by, sums)


def claims(by: str | None = None, where: str = "true") -> MadeFrom:
    """What is reckoned from claims. Which of them count hangs on their cause and day."""
    known = f"(p.has_bench_log or p.has_charges) and {where}"
    return MadeFrom("core.claims", by, amount="b.loss_cents", where=known, is_among=True)


def judged(by: str | None = None, where: str = "true", is_among: bool = True) -> MadeFrom:
    """What is reckoned from parcels whose carton can be judged."""
    known = f"b.packed_contents_key is not null and b.conditions_key is not null and {where}"
    return MadeFrom("core.carton_demand", by, amount="b.spent_cents", where=known, is_among=is_among)


LOSSES = MadeFrom("core.claims", sums="damage_net_cents", amount="b.loss_cents")
SURCHARGES = "b.charge_kind = 'surcharge' and not b.is_account"
# The parcels that the latest `dunnage cartons` looked at.
CHOSEN_FOR = judged("", "b.shipped_month >= (select max(x.chosen_from_on) from analysis.assortment_runs as x)")
