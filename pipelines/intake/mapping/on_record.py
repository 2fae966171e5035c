"""What earlier records say of a file's columns: whose values are numbers of parcels, sales or shipments on record."""

from collections.abc import Iterator, Mapping

from models.column_map import Sample
from models.errors import DunnageError
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings
from pipelines.shop.warehouse import Connection

# Column of a record -> the tables that hold such numbers. A shipment's number is one before it is a parcel's.
_KEYS = {
    "shipment_id": ("weights", "charges"),
    "parcel_id": ("weights", "labels", "sales", "charges"),
    "sale_id": ("sales", "weights", "labels"),
}
# Shorter numbers, and fewer of them, may agree by chance.
_SHORTEST, _FEWEST = 4, 5


def on_record(settings: Settings, sample: Sample) -> Mapping[tuple[str, str], tuple[int, int]]:
    """Column and header -> how many of the header's values are known as such, of how many; at least half are.

    A header whose values are known as several things is the first of them. Nothing where nothing is on record yet, or
    where the warehouse cannot be read.
    """
    each = {header: {text for text in sample.column(header) if len(text) >= _SHORTEST} for header in sample.headers}
    values = {header: own for header, own in each.items() if len(own) >= _FEWEST}
    if not values:
        return {}
    try:
        with warehouse.reading(settings) as connection:
            return dict(_counted(connection, values))
    except DunnageError:
        return {}


def _counted(
    connection: Connection, values: Mapping[str, set[str]]
) -> Iterator[tuple[tuple[str, str], tuple[int, int]]]:
    asked, left = sorted(set().union(*values.values())), dict(values)
    for column, tables in _KEYS.items():
        held = " union ".join(f"select {column} from accepted.{table}" for table in tables)
        known = connection.execute(f"select * from ({held}) where {column} in (select unnest(?))", [asked]).fetchall()
        numbers = {str(text) for (text,) in known}
        for header, own in list(left.items()):
            if 2 * len(own & numbers) >= len(own):
                del left[header]
                yield (column, header), (len(own & numbers), len(own))
