"""Numbers and codes that are kept as text: which columns hold them, and what shows that a cell cannot be one number."""

from models.cells.texts import SEVERAL_LABELS, SHORTENED_KEY
from models.fields import Quantity
from models.privacy import is_identifier
from models.reference import RECORDS
from models.sql_quoting import literal
from pipelines.intake.columns import Layout


def is_several(name: str) -> str:
    """SQL: true where a column's text holds the numbers of several labels. Few texts have such signs at all."""
    signs = " or ".join(f"contains({name}, '{sign}')" for sign in ";,|&+ ")
    return f"case when {signs} then regexp_full_match({name}, {literal(SEVERAL_LABELS)}) end"


def labels(layout: Layout) -> tuple[str, ...]:
    """The column whose cells name a parcel by the number on its label, where such cells are held to one number."""
    return ("parcel_id",) if layout.is_parted and "parcel_id" in layout.headers else ()


def is_shortened(name: str) -> str:
    """SQL: true where a column's text is a number shortened by a spreadsheet. It begins and ends with a figure."""
    begins, ends = f"{name} between '1' and ':'", f"{name}[-1] between '0' and '9'"
    return f"case when {begins} then case when {ends} then regexp_full_match({name}, {literal(SHORTENED_KEY)}) end end"


def identifiers(kind: str, layout: Layout) -> tuple[str, ...]:
    """Columns of text that hold a number or code, such as those of parcels, sales and invoices."""
    is_text = (name for name in layout.headers if layout.readings[name].quantity is Quantity.TEXT)
    return tuple(name for name in is_text if is_identifier(RECORDS[kind], name))


def keys_of_text(kind: str, layout: Layout) -> tuple[str, ...]:
    """Key columns of text: an e-mail address in one of them is no key, and blanked ones would join strangers."""
    keys = RECORDS[kind].key
    return tuple(name for name in keys if name in layout.headers and layout.readings[name].quantity is Quantity.TEXT)
