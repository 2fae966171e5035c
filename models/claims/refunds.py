"""What each way out costs the shop for one parcel: refund, part refund, replacement, return.

Everything is counted against a parcel that had arrived whole: what was spent on it before is spent in any case. An
amount that no record says is None, and so is every way that needs it. What a carrier may pay stands beside.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from models.claims.evidence import FROM_BUYER
from models.wilson import wilson

# Below so many decided claims the share that a carrier paid is said to be based on few (common practice, no source).
FEW = 10
HALF = Fraction(1, 2)


@dataclass(frozen=True)
class Money:
    """What the records say of one parcel, in cents; None where they do not.

    price, cost: of its goods. shipping: that the buyer paid. fee: that the marketplace kept on its lines. packing:
    carton, material and labour of one more parcel. carriage: of one more on the same lane, by the tariff or as billed.
    """

    price: int | None
    cost: int | None
    shipping: int
    fee: int
    packing: int | None
    carriage: int | None


@dataclass(frozen=True)
class Way:
    """One way out. cost: cents, None where `lacking` names what no record says. fee_back: less by so much where the
    marketplace gives its fee back."""

    name: str
    cost: int | None
    fee_back: int = 0
    lacking: str = ""

    @property
    def cost_less_fee(self) -> int | None:
        """The cost in cents where the fee comes back; None where it is not known."""
        return None if self.cost is None else self.cost - self.fee_back


def ways(money: Money, part: Fraction = HALF) -> list[Way]:
    """Every way out. part: the share of the price given back in a part refund; the buyer keeps the goods then.

    A replacement is sent as the first parcel was. Of a return the goods come back as good as they were bought: what is
    broken is worth less, which the shop sees then.
    """
    refund = _sum(money.price, money.shipping)
    return [
        _way("refund in full, buyer keeps it", refund, money.fee, {"price": money.price}),
        _way(
            f"refund of {float(part):.0%} of the price, buyer keeps it",
            None if money.price is None else math.floor(money.price * part + HALF),
            math.floor(money.fee * part + HALF),
            {"price": money.price},
        ),
        _way(
            "replacement",
            _sum(money.cost, money.packing, money.carriage),
            0,
            {"goods' cost": money.cost, "packing": money.packing, "carriage": money.carriage},
        ),
        _way(
            "return and refund, goods as good as before",
            _sum(refund, money.carriage, None if money.cost is None else -money.cost),
            money.fee,
            {"price": money.price, "goods' cost": money.cost, "carriage": money.carriage},
        ),
    ]


def _way(name: str, cost: int | None, fee_back: int, needed: Mapping[str, int | None]) -> Way:
    lacking = ", ".join(what for what, cents in needed.items() if cents is None)
    return Way(name, None if lacking else cost, 0 if lacking else fee_back, lacking)


def _sum(*parts: int | None) -> int | None:
    return None if any(part is None for part in parts) else sum(part for part in parts if part is not None)


@dataclass(frozen=True)
class Recovery:
    """What a carrier made of such claims. decided, paid: how many were decided, and paid at all.

    low, high: 95% interval of the chance that one is paid. share: paid cents over claimed cents; None where none was
    decided.
    """

    decided: int
    paid: int
    low: float
    high: float
    share: float | None

    @property
    def is_few(self) -> bool:
        """Whether it is based on few claims."""
        return self.decided < FEW


def recovery(decided: Sequence[Mapping[str, Any]]) -> Recovery:
    """From decided claims with this carrier and cause, a row each: claimed_cents and paid_cents."""
    claimed, paid = (sum(int(row[name]) for row in decided) for name in ("claimed_cents", "paid_cents"))
    hits = sum(row["paid_cents"] > 0 for row in decided)
    return Recovery(len(decided), hits, *wilson(hits, len(decided)), paid / claimed if claimed else None)


def by_evidence(
    decided: Sequence[Mapping[str, Any]], shows: Mapping[str, frozenset[str]]
) -> list[tuple[str, Recovery]]:
    """What became of claims with pictures on record, with each kind of them, and without any.

    shows: parcel_id -> kinds of evidence (models/claims/evidence.py) that are kept of it. A claim whose record says
    what pictures show had some, of a kind that is not known.
    """
    kinds = [shows.get(str(row["parcel_id"]), frozenset()) for row in decided]
    pictured = [bool(found) or row["packing_evidence"] is not None for row, found in zip(decided, kinds, strict=True)]
    groups = {"with pictures on record": pictured, "without pictures on record": [not each for each in pictured]}
    groups |= {f"with a picture of {kind}": [kind in found for found in kinds] for kind in FROM_BUYER}
    return [(name, recovery(_those(decided, group))) for name, group in groups.items()]


def _those(rows: Sequence[Mapping[str, Any]], wanted: Sequence[bool]) -> list[Mapping[str, Any]]:
    return [row for row, is_wanted in zip(rows, wanted, strict=True) if is_wanted]
