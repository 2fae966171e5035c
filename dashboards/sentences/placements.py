"""How goods lie in a carton, or why they have no place in it."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, RowsOf, definition, of_records, where
from dashboards.sentences.grounds import flagged, having, only_if

CARTONS, PIECES = "placement.cartons", "placement.pieces"


def _fitted(answer: str) -> RowsOf:
    return having(CARTONS, "fitted", answer)


@of_records
def _pieces(records: Records, is_one: bool) -> Rows:
    found = _fitted("fits")(records).head(1)
    return found[(found["piece_count"] == 1) == is_one]


@of_records
def _not_placed(records: Records, looked_at: str, is_looked_at: bool) -> bool:
    """Whether a carton was looked at or not, and no piece has a place in it."""
    cartons, pieces = records.table(CARTONS), records.table(PIECES)
    has_carton = bool((cartons["looked_at"] == looked_at).any())
    return len(cartons) > 0 and has_carton == is_looked_at and not (pieces["looked_at"] == looked_at).any()


ENTRIES = (
    where("packing.one_piece", "{piece_count} piece, {clearance_in} clear of every wall.", _pieces(True)),
    where(
        "packing.pieces",
        "{piece_count} pieces, each {clearance_in} clear of every wall and every other piece.",
        _pieces(False),
    ),
    where(
        "packing.none_placed",
        "{piece_count:piece/pieces} to be packed {clearance_in} clear on every side; no carton looked at has a proven "
        "placement.",
        lambda records: only_if(_fitted("fits")(records).empty, records.table(CARTONS).head(1)),
    ),
    where("packing.fits", "The goods fit, {clearance_in} clear on every side.", _fitted("fits")),
    where(
        "packing.does_not_fit",
        "The goods do not fit with {clearance_in} clear on every side: {fit_reason}.",
        _fitted("does not fit"),
    ),
    where(
        "packing.undecided",
        "No way was found that leaves {clearance_in} clear on every side: {fit_reason}.",
        _fitted("undecided"),
    ),
    where(
        "packing.carton",
        "Packing in {carton_code}, inside {inside_length_in x inside_width_in x inside_height_in}, {looked_at}.",
        lambda records: records.table(CARTONS),
    ),
    where(
        "packing.opens_at_end",
        "The carton opens at its end.",
        lambda records: flagged(records.table(CARTONS), "is_end_opening"),
    ),
    where("packing.cut_down", "The carton is cut down.", lambda records: flagged(records.table(CARTONS), "is_cut")),
    where("packing.not_looked_at", "Not looked at: {fit_reason}.", _fitted("not looked at")),
    where("packing.no_carton", "No carton is known.", lambda records: records.is_empty(CARTONS)),
    where(
        "packing.none_as_sent",
        "No placement in the carton used: the table above says why.",
        _not_placed("as sent", True),
    ),
    where(
        "packing.none_cheaper",
        "No placement in the cheaper carton: the table above says why.",
        _not_placed("cheaper from stock", True),
    ),
    where(
        "packing.no_cheaper",
        "No cheaper carton from stock is known for such parcels.",
        _not_placed("cheaper from stock", False),
    ),
    definition(
        "packing.drawing", "The numbers are those of the table, in the order of packing. There may be other ways."
    ),
)
