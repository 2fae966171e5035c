"""Who ships, and where things lie: the sections [shop] and [folders] of the shop's settings."""

import re
from dataclasses import dataclass
from typing import Annotated, ClassVar

from pydantic import AfterValidator, Field

from models.settings.types import Currency, InboxFolder, InsideFolder, RefusedError, Section, Words, Zone, among
from models.shop_units import INCH, SYSTEMS, Units


@dataclass(frozen=True)
class Shop(Section):
    """Who ships. Amounts are minor units of `currency`; times without a zone are in `time_zone`.

    units: in which measures are shown and templates are written; a shop that does not say it is in inches.
    tax_reclaimed: the shop gets the tax that carriers bill back, so that it is no cost, whatever their tariffs say.
    shipping_tax_share: sales tax within the shipping that buyers pay, as a share of the rest, of sales that state none.
    """

    affected: ClassVar[str] = "every amount and time of this shop"

    name: Words = "My shop"
    currency: Currency = "USD"
    time_zone: Zone = "UTC"
    wage_cents_per_hour: Annotated[int, Field(ge=0, le=10_000_000)] = 0
    # Costs of a parcel are shared by each item's own chargeable weight: the greater of weight and volume / this.
    sharing_divisor_in3_per_lb: Annotated[float, Field(ge=1, le=10_000)] = 139.0
    units: Annotated[str, among(SYSTEMS)] = INCH
    tax_reclaimed: bool = False
    shipping_tax_share: Annotated[float, Field(ge=0, le=1)] = 0.0

    @property
    def shown_units(self) -> Units:
        """How the shop writes amounts and measures."""
        return Units(self.currency, self.units)


@dataclass(frozen=True)
class Folders(Section):
    """Where things lie, relative to dunnage.toml.

    The inbox is only read, and may be any folder into which other programs export. The others are written, kept in
    backups and restored: they lie inside the shop's folder, so that no file of settings leads a restore outside.
    """

    affected: ClassVar[str] = "every command that reads or writes files"

    inbox: InboxFolder = "inbox"
    archive: InsideFolder = "archive"
    rejects: InsideFolder = "rejects"
    reviews: InsideFolder = "reviews"
    tariffs: InsideFolder = "tariffs"
    outbox: InsideFolder = "outbox"
    evidence: InsideFolder = "evidence"
    texts: InsideFolder = "texts"


def _apart(folders: Folders) -> Folders:
    """The section where no folder is another one or lies in it. Raises RefusedError.

    The inbox may be around others, since it is not read to its depths.
    """
    places = {name: tuple(part for part in re.split(r"[/\\]", value) if part) for name, value in vars(folders).items()}
    for name, place in places.items():
        for other, around in places.items():
            if name != other and place[: len(around)] == around and (other != "inbox" or place == around):
                raise RefusedError(
                    f"{name} lies in the folder {other}", "give each folder a place of its own", at=(name,)
                )
    return folders


CheckedFolders = Annotated[Folders, AfterValidator(_apart)]
