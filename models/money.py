"""The kinds of money of a parcel. Each is a column NAME_cents wherever money stands side by side; what the SQL models,
the contracts, the margin bridge and the page list of them follows from here.

Another kind of cost is a line here, its rows in models/sql/core/parcel_amounts.sql and its column in
models/columns/margin.py.
"""

from dataclasses import dataclass

# A month of which at least this share of the parcels has a bill counts as billed (common practice, no source).
MOSTLY_BILLED = 0.95


@dataclass(frozen=True)
class Money:
    """One kind of money.

    origin: `charge` (charge lines of that kind), `own` (a parcel's other costs), `sale` (a sale line states it).
    A cost of less than nothing is money that comes back. step: of the margin bridge. sign: how it enters the margin.
    """

    name: str
    origin: str
    step: str
    sign: int = -1

    @property
    def column(self) -> str:
        """The column that holds it."""
        return f"{self.name}_cents"


MONEY = (
    Money("shipping_charged", "sale", "shipping charged", 1),
    Money("shipping_refunded", "sale", "shipping refunded"),
    Money("allowance", "sale", "shipping charged", 1),
    Money("fee_on_shipping", "sale", "marketplace fee"),
    Money("base", "charge", "base price"),
    Money("fuel", "charge", "fuel"),
    Money("surcharge", "charge", "surcharges"),
    Money("adjustment", "charge", "adjustments and credits"),
    Money("tax", "charge", "tax and unknown charges"),
    Money("credit", "charge", "adjustments and credits"),
    Money("unmapped", "charge", "tax and unknown charges"),
    Money("tax_reclaimed", "own", "tax and unknown charges"),
    Money("carton", "own", "cartons and material"),
    Money("material", "own", "cartons and material"),
    Money("labour", "own", "labour"),
    Money("damage_net", "own", "damage, net"),
    Money("return_carriage", "own", "returns"),
    Money("depreciation", "own", "returns"),
)
BILLED, MARGIN = "billed", "margin"
# Charges that are shown on their own wherever the margin is split.
SPLIT_CHARGES = ("surcharge", "adjustment")


def _of(*origins: str) -> tuple[str, ...]:
    return tuple(each.name for each in MONEY if each.origin in origins)


# Names of columns without _cents, for `{each LIST: ...}` and `{sum LIST: ...}` in the SQL texts. all: with both sums;
# parts: what the margin is made of, carriage as one.
LISTS = {
    "charges": _of("charge"),
    "own": _of("own"),
    "costs": _of("charge", "own"),
    "paid": _of("sale"),
    "income": tuple(each.name for each in MONEY if each.sign > 0),
    "outlays": tuple(each.name for each in MONEY if each.sign < 0),
    "other_outlays": (*_of("own"), *(each.name for each in MONEY if each.origin == "sale" and each.sign < 0)),
    "all": (*_of("charge"), BILLED, *_of("own"), *_of("sale"), MARGIN),
    "parts": (*_of("sale"), BILLED, *_of("own")),
    "split": (*_of("sale"), BILLED, *SPLIT_CHARGES, *_of("own"), MARGIN),
}


def columns_of(names: str) -> tuple[str, ...]:
    """The columns of one of the LISTS."""
    return tuple(f"{name}_cents" for name in LISTS[names])
