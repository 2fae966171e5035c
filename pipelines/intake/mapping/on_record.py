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
    """Column and header -> how many of the header's values are known as such, of how many.

    A header whose values are known as several things is the first of them. Nothing where nothing is on record yet, or
    where the warehouse cannot be read.
    """
    values = [(header, text) for header in sample.headers for text in sorted({*sample.column(header)})]
    long_enough = [(header, text) for header, text in values if len(text) >= _SHORTEST]
    if not long_enough:
        return {}
    try:
        with warehouse.reading(settings) as connection:
            return dict(_counted(connection, sample, long_enough))
    except DunnageError:
        return {}


def _counted(
    connection: Connection, sample: Sample, values: list[tuple[str, str]]
) -> Iterator[tuple[tuple[str, str], tuple[int, int]]]:
    texts = sorted({text for _, text in values})
    taken = set[str]()
    for column, tables in _KEYS.items():
        known = {
            str(text)
            for table in tables
            for (text,) in connection.execute(
                f"select distinct {column} from accepted.{table} where {column} in (select unnest(?))", [texts]
            ).fetchall()
        }
        for header in sample.headers:
            own = {text for written, text in values if written == header}
            if header not in taken and len(own) >= _FEWEST and 2 * len(own & known) >= len(own):
                taken.add(header)
                yield (column, header), (len(own & known), len(own))
