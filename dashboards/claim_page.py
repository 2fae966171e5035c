"""A claim's sheet as one printable page."""

from collections.abc import Sequence

from dashboards import pages, values
from dashboards.claim_sheet import parts
from models.claims.sheet import Sheet
from models.shop_units import Units


def render(sheet: Sheet, units: Units, shop_name: str, pictures: Sequence[str] | None = None) -> str:
    """The sheet as one printable page.

    pictures: names of files beside it, for a packet: what is the shop's own is left out then.
    """
    shown = [part for part in parts(sheet, units) if pictures is None or not part.is_own]
    return pages.page(
        "claim_sheet.html",
        {},
        shop_name=shop_name,
        made_on=values.day(sheet.made_on),
        parcel_id=str(sheet.parcel["parcel_id"]),
        parts=shown,
        pictures=pictures or (),
    )
